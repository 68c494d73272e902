//! Controllers and their arrays, with the runs between them.

use super::bus::{At, Bus};
use super::fit;
use super::inverters::hot_derating;
use super::paths::Consumers;
use super::{Sheet, Statement};
use crate::array::{Array, Cooling, Module, ModuleModel, Setting};
use crate::controller::{Control, Controller};
use crate::plane::PlaneSetting;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::strings::{Mounting, Strings};
use lineside_core::units::{Amps, Ohms, Percent, Volts, Watts};
use lineside_study::ZoneKind;
use std::collections::BTreeSet;

impl Sheet<'_> {
    /// Each controller of the bus with its strings; strings without one are told.
    pub(super) fn controllers(
        &mut self,
        bus: &Bus,
        consumers: &Consumers,
        nominal: Volts,
    ) -> Vec<Controller> {
        let mut reached: BTreeSet<BlockId> = BTreeSet::new();
        let mut found = Vec::new();
        let inputs: Vec<(At, Ohms)> =
            bus.controllers.iter().copied().zip(consumers.to_controllers.clone()).collect();
        for (at, beyond) in inputs {
            let Some(it) = self.find::<ChargeController>(at.block) else { continue };
            let strings = self.strings_of(at.block);
            if strings.is_empty() {
                self.say(Statement::ControllerWithoutStrings(at.block));
                continue;
            }
            reached.extend(strings.iter().map(|it| it.block));
            let arrays = self.arrays(at.block, &strings);
            found.push(self.controller(it, arrays, beyond, nominal));
        }
        let all = self.studies.network.sources().iter().filter(|source| source.kind == SourceKind::Strings);
        let lost: Vec<BlockId> = all.map(|it| it.block).filter(|block| !reached.contains(block)).collect();
        for block in lost {
            self.say(Statement::StringsWithoutController(block));
        }
        found
    }

    fn controller(
        &self,
        it: &ChargeController,
        arrays: Vec<Array>,
        beyond: Ohms,
        nominal: Volts,
    ) -> Controller {
        let models = &self.on.codes.common.equipment_models;
        let current =
            it.output_limit() * self.at_altitude(it.full_output_below, it.altitude_derating).share();
        let rated = nominal * current;
        let control = match it.kind {
            ControllerType::TrackingStepDown | ControllerType::TrackingStepUpDown => {
                let curve = it.efficiency.as_deref().unwrap_or_default();
                let law =
                    fit::law(models.tracking, rated, rated, models.tracking.standing(rated), None, curve);
                // Current over the bank's voltage: loss R I² is the share R I / V of the rating.
                Control::Tracking(fit::with_series_share(law, current * beyond / nominal))
            }
            ControllerType::Switching => Control::Switching(models.switching_drop),
        };
        let hot = hot_derating(it.full_output_to, it.hot_derating);
        Controller { control, count: 1, current, hot, arrays }
    }

    /// The sets of strings that stand in the same zone as the PV input of a controller.
    fn strings_of(&self, controller: BlockId) -> Vec<At> {
        let zones = self.studies.zones.all().map(|(_, zone)| zone).filter(|zone| zone.kind == ZoneKind::Pv);
        let mine = zones.filter(|zone| self.sinks(zone).iter().any(|sink| sink.block == controller));
        let sources = mine.flat_map(|zone| self.sources(zone));
        sources
            .filter(|source| source.kind == SourceKind::Strings)
            .map(|source| At { block: source.block, node: source.node })
            .collect()
    }

    /// Controllers that take from the same strings, this one included.
    fn sharing(&self, controller: BlockId) -> Vec<BlockId> {
        let zones = self.studies.zones.all().map(|(_, zone)| self.sinks(zone));
        let inputs = zones.map(|sinks| {
            let inputs = sinks.into_iter().filter(|sink| sink.kind == SinkKind::ControllerInput);
            inputs.map(|sink| sink.block).collect::<Vec<_>>()
        });
        inputs.into_iter().find(|blocks| blocks.contains(&controller)).unwrap_or_default()
    }

    fn arrays(&mut self, controller: BlockId, strings: &[At]) -> Vec<Array> {
        let part = self.part_of_strings(controller);
        let input = self
            .studies
            .network
            .sinks()
            .iter()
            .find(|sink| sink.block == controller && sink.kind == SinkKind::ControllerInput);
        let root = input.map(|sink| sink.node);
        let ways = root.map_or_else(Vec::new, |root| self.ways(root, strings));
        for (at, _) in strings.iter().zip(&ways).filter(|(_, way)| way.is_none()) {
            self.say(Statement::NoWay(at.block, controller));
        }
        let currents: Vec<Amps> = strings
            .iter()
            .map(|at| {
                let it = self.find::<Strings>(at.block);
                it.map_or(Amps::ZERO, |it| it.max_power_current * f64::from(it.strings_in_parallel))
            })
            .collect();
        let resistances = self.shared(&ways, &currents, self.tables.defaults.array_conductor);
        let orientations: BTreeSet<(u64, u64)> = strings
            .iter()
            .filter_map(|at| self.find::<Strings>(at.block))
            .map(|it| (it.tilt.value().to_bits(), it.azimuth.value().to_bits()))
            .collect();
        let mixed = orientations.len() > 1;
        if mixed {
            self.say(Statement::MixedOrientations(controller));
        }
        let mut arrays = Vec::new();
        for (at, ohms) in strings.iter().zip(resistances) {
            let Some(it) = self.find::<Strings>(at.block) else { continue };
            let module = self.module(at.block, it, part);
            let mut setting = self.setting(at.block, it, &module);
            if mixed {
                setting.mismatch += self.tables.defaults.mixed_mismatch;
            }
            arrays.push(Array {
                module,
                in_series: it.modules_in_series,
                in_parallel: it.strings_in_parallel,
                setting,
                string_resistance: Ohms::ZERO,
                // Half of the current through the same run meets twice the resistance for its share.
                common_resistance: ohms * (1.0 / part.share().max(f64::MIN_POSITIVE)),
            });
        }
        arrays
    }

    /// The part of shared strings that is this controller's, by their currents.
    fn part_of_strings(&mut self, controller: BlockId) -> Percent {
        let sharing = self.sharing(controller);
        if sharing.len() < 2 {
            return Percent::new(100.0);
        }
        self.say(Statement::SharedStrings(controller));
        let current = |block: &BlockId| {
            self.find::<ChargeController>(*block).map_or(Amps::ZERO, ChargeController::output_limit)
        };
        let all: Amps = sharing.iter().map(current).sum();
        Percent::from_share(current(&controller) / all)
    }

    /// A module from its nameplate; `part` of its power when it is shared.
    fn module(&mut self, block: BlockId, it: &Strings, part: Percent) -> Module {
        let defaults = self.tables.defaults.clone();
        let models = &self.on.codes.common.equipment_models;
        let some = Some(block);
        let low_light = models.low_light_loss;
        let temperature = it.nominal_cell_temperature;
        Module {
            power: it.power * part.share(),
            open_circuit_voltage: it.open_circuit_voltage,
            max_power_voltage: it.max_power_voltage,
            short_circuit_current: it.short_circuit_current * part.share(),
            max_power_current: it.max_power_current * part.share(),
            power_coefficient: self.or_default(
                it.power_coefficient,
                defaults.power_coefficient,
                some,
                "coefficient of power",
            ),
            current_coefficient: it.short_circuit_coefficient.unwrap_or(defaults.current_coefficient),
            voltage_coefficient: it.open_circuit_coefficient.unwrap_or(defaults.voltage_coefficient),
            cell_temperature: if it.cell_rise.is_some() {
                temperature.unwrap_or(defaults.cell_temperature)
            } else {
                self.or_default(temperature, defaults.cell_temperature, some, "nominal cell temperature")
            },
            low_light_loss: self.or_default(it.low_light_loss, low_light, some, "loss at 200 W/m²"),
            model: ModuleModel::Nameplate,
        }
    }

    fn setting(&mut self, block: BlockId, it: &Strings, module: &Module) -> Setting {
        let defaults = self.tables.defaults.clone();
        let mut plane = PlaneSetting::new(it.tilt, it.azimuth, &defaults);
        let wishes = self.wishes;
        plane.soiling = wishes
            .soiling
            .unwrap_or_else(|| self.share_by_month(|means| means.dirt, defaults.soiling, "sun lost to dirt"));
        plane.snow = wishes.snow.unwrap_or_else(|| {
            self.share_by_month(|means| means.snow, defaults.snow, "sun lost to lying snow")
        });
        plane.horizon = self.horizon();
        let mut setting = Setting::new(plane, module, &defaults);
        if let (None, Some(rise)) = (it.nominal_cell_temperature, it.cell_rise) {
            setting.cooling = Cooling::of_rise(rise, &defaults);
        } else if it.mounting == Mounting::Roof {
            setting.cooling = setting.cooling.close_to_roof(&defaults);
        }
        if it.mounting == Mounting::Tracker {
            self.say(Statement::Tracker(block));
        }
        if it.bifacial_share.is_some_and(|share| share > Percent::ZERO) {
            self.say(Statement::Bifacial(block));
        }
        setting.first_year_loss =
            self.or_default(it.first_year_loss, defaults.first_year_loss, Some(block), "first-year loss");
        if let Some(loss) = it.yearly_loss {
            setting.yearly_loss = loss;
        }
        setting
    }

    /// Standing use: what controllers and DC converters say they take, else the usual figure.
    pub(super) fn standing_use(&mut self, bus: &Bus) -> Watts {
        if let Some(given) = self.wishes.standing_use {
            return given;
        }
        let of_controllers =
            bus.controllers.iter().filter_map(|at| self.find::<ChargeController>(at.block)?.own_consumption);
        let controllers: Vec<Watts> = of_controllers.collect();
        let of_converters = bus.dc_loads.iter().filter_map(|at| {
            self.find::<lineside_core::kinds::dc_converter::DcConverter>(at.block)?.own_consumption
        });
        let converters: Watts = of_converters.sum();
        let complete = !controllers.is_empty() && controllers.len() == bus.controllers.len();
        let given = complete.then(|| controllers.into_iter().sum::<Watts>());
        self.or_default(given, self.tables.defaults.standing_use, None, "standing use") + converters
    }
}
