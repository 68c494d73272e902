//! The bank of the year: the banks of the bus together, their cells as the nameplate says.

use super::bus::{At, Bus};
use super::{Sheet, Statement};
use crate::battery::{Bank, Cell, Room};
use lineside_core::circuit::{BlockId, Surroundings};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::curve::value_at;
use lineside_core::kinds::field::CurvePoint;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::math::{ln, pow};
use lineside_core::units::{AmpHours, Amps, Celsius, CelsiusSpan, Percent, Volts, Years};

impl Sheet<'_> {
    /// The banks of the bus as one. `None` when there is none.
    pub(super) fn bank(&mut self, bus: &Bus) -> Option<Bank> {
        let first = *bus.banks.first()?;
        let it = self.find::<BatteryBank>(first.block)?;
        let alike: Vec<At> = bus.banks.iter().copied().filter(|at| self.is_alike(it, at.block)).collect();
        for at in bus.banks.iter().filter(|at| !alike.contains(at)) {
            self.say(Statement::OtherBank(at.block));
        }
        let strings = |block: BlockId| {
            self.find::<BatteryBank>(block).map_or((AmpHours::ZERO, 0.0), |it| {
                let strings = f64::from(it.strings_in_parallel);
                (it.capacity * strings, strings)
            })
        };
        let (mut capacity, mut parallel) = (AmpHours::ZERO, 0.0);
        for at in &alike {
            let (of_bank, strings) = strings(at.block);
            capacity += of_bank;
            parallel += strings;
        }
        let cell = self.cell(first.block, it, bus)?;
        let mut bank = Bank::new(cell, it.cells(), capacity, &self.tables.defaults);
        bank.nominal = it.voltage_class();
        bank.charge_current = it.charge_current.map(|amps| amps * parallel);
        bank.discharge_current = it.discharge_current.map(|amps| amps * parallel);
        bank.ceiling = self.ceiling(bus);
        bank.room = self.wishes.room.unwrap_or_else(|| self.room(first.block));
        bank.health = self.wishes.health.unwrap_or(Percent::new(100.0));
        Some(bank)
    }

    fn is_alike(&self, it: &BatteryBank, other: BlockId) -> bool {
        self.find::<BatteryBank>(other)
            .is_some_and(|other| other.chemistry == it.chemistry && other.cells() == it.cells())
    }

    /// The usual cell of the chemistry with everything that the nameplate knows better.
    fn cell(&mut self, block: BlockId, it: &BatteryBank, bus: &Bus) -> Option<Cell> {
        let mut cell = Cell::usual(self.on.codes, it.chemistry)?;
        cell.absorb_voltage = it.charge_volts();
        cell.cut_out_voltage = self.cut_out(it, bus);
        if let Some(compensation) = it.compensation {
            cell.compensation = compensation;
        }
        if let Some(curve) = &it.rest_voltages {
            cell.rest_voltages.clone_from(&curve.0);
        }
        if let Some(curve) = &it.capacity_by_temperature {
            cell.cold_capacity.clone_from(&curve.0);
        }
        cell.rate_law(it);
        cell.charge_rates(it);
        if let Some(amps) = it.discharge_current {
            cell.discharge_rate = amps / Amps::new(1.0) / it.capacity.value();
        }
        if let Some(ohms) = it.string_resistance() {
            let of_cell = ohms.value() / f64::from(it.cells().max(1)) * it.capacity.value();
            cell.resistance = (cell.resistance.0.max(of_cell), cell.resistance.1.max(of_cell));
        }
        if let Some(month) = it.self_discharge {
            cell.self_discharge = -ln((1.0 - month.share()).max(0.01)) / DAYS_IN_MONTH;
        }
        if let (Some(cycles), Some(depth)) = (it.cycle_life, it.cycle_depth) {
            let (_, exponent) = cell.cycle_law;
            cell.cycle_law = (f64::from(cycles) * pow(depth.share(), exponent), exponent);
        }
        if let Some(years) = it.calendar_years {
            cell.calendar_life = Years::new(f64::from(years));
        }
        match it.charge_efficiency {
            Some(efficiency) if it.chemistry == Chemistry::LithiumIronPhosphate => {
                cell.set_efficiency(efficiency);
            }
            Some(_) => self.say(Statement::ChargeEfficiency(block)),
            None => {}
        }
        Some(cell)
    }

    /// Discharge ends at the cell's own end or at the inverter's low cut-out, whichever comes first.
    fn cut_out(&self, it: &BatteryBank, bus: &Bus) -> Volts {
        let cells = f64::from(it.cells().max(1));
        let inverters = bus.inverters.iter().filter_map(|at| self.find::<Inverter>(at.block));
        let highest = inverters.map(Inverter::low_cut_out_voltage).fold(Volts::ZERO, Volts::max);
        it.empty_volts().max(highest * (1.0 / cells))
    }

    /// The lowest voltage that something on the bus keeps charging below: a ceiling as set, or where an inverter stops.
    fn ceiling(&self, bus: &Bus) -> Option<Volts> {
        let set =
            bus.controllers.iter().filter_map(|at| self.find::<ChargeController>(at.block)?.voltage_ceiling);
        let stops = bus.inverters.iter().filter_map(|at| self.find::<Inverter>(at.block));
        let stops = stops.map(|it| it.highest_input_voltage);
        set.chain(stops).reduce(Volts::min)
    }

    /// Where the bank stands, by its place.
    fn room(&mut self, block: BlockId) -> Room {
        let circuit = &self.on.project.circuit;
        let place = circuit.block(block).and_then(|it| it.place);
        let here = place.and_then(|place| circuit.place(place));
        let around = place.and_then(|place| circuit.place(circuit.location_of(place)));
        let facts = || [here, around].into_iter().flatten().map(|place| &place.facts);
        let outdoors = facts().find_map(|facts| facts.surroundings).is_some_and(|it| match it {
            Surroundings::Ground | Surroundings::Roof | Surroundings::OutsideWall => true,
            Surroundings::Indoors
            | Surroundings::UtilityRoom
            | Surroundings::Garage
            | Surroundings::EquipmentShed => false,
        });
        let defaults = &self.tables.defaults;
        if outdoors {
            let above_air: CelsiusSpan = defaults.outdoor_offset;
            return Room::Outdoors { above_air };
        }
        let (coldest, hottest) = (facts().find_map(|it| it.coldest), facts().find_map(|it| it.hottest));
        let (lowest, highest): (Celsius, Celsius) = (defaults.room_lowest, defaults.room_highest);
        let site = &self.on.project.brief.site;
        let (coldest, hottest) = (coldest.or(site.battery_coldest), hottest.or(site.battery_warmest));
        let lowest = self.or_default(coldest, lowest, Some(block), "coldest room");
        let highest = self.or_default(hottest, highest, Some(block), "warmest room");
        Room::Indoors { lowest, highest: highest.max(lowest) }
    }
}

const DAYS_IN_MONTH: f64 = 30.0;
/// Temperatures for which the charge current of a nameplate is written out, °C.
const CHARGE_RANGE: std::ops::RangeInclusive<i32> = -60..=80;

impl Cell {
    /// The rated time of the nameplate, and Peukert's exponent where it gives capacities at several times:
    /// `n = ln(t₂/t₁) / ln(I₁/I₂)`.
    fn rate_law(&mut self, it: &BatteryBank) {
        self.rated_rate = 1.0 / it.rated_time.value().max(0.1);
        let points = it.capacities.as_ref().map_or(&[][..], |curve| curve.0.as_slice());
        if let (Some(first), Some(last)) = (points.first(), points.last())
            && last.x > first.x
        {
            let currents = (first.y / first.x) / (last.y / last.x);
            let exponent = ln(last.x / first.x) / ln(currents);
            if exponent.is_finite() && (1.0..=2.0).contains(&exponent) {
                self.rate_exponent = exponent;
            }
        }
    }

    /// Charge current by temperature as the nameplate gives it, degree by degree; none outside its limits unless it is
    /// heated.
    fn charge_rates(&mut self, it: &BatteryBank) {
        let usual = self.charge_steps.clone();
        let usual_at = |celsius: f64| {
            let step = usual.iter().rev().find(|step| step.x <= celsius);
            step.or(usual.first()).map_or(0.0, |step| step.y)
        };
        let most = it.charge_current.map(|amps| amps.value() / it.capacity.value());
        let heated = it.heater == Some(Fitted::Yes);
        let outside = |celsius: f64| {
            let cold = it.charge_from.is_some_and(|from| celsius < from.value()) && !heated;
            cold || it.charge_to.is_some_and(|to| celsius >= to.value())
        };
        let points = it.charge_by_temperature.as_ref().map(|curve| curve.0.as_slice());
        if most.is_none() && points.is_none() && it.charge_from.is_none() && it.charge_to.is_none() {
            return;
        }
        self.charge_steps = CHARGE_RANGE
            .map(|degree| {
                let celsius = f64::from(degree);
                let rate = match (most, points) {
                    (Some(most), Some(points)) => most * value_at(points, celsius).unwrap_or(100.0) / 100.0,
                    (Some(most), None) => most.min(usual_at(celsius)),
                    (None, Some(points)) => {
                        usual_at(25.0) * value_at(points, celsius).unwrap_or(100.0) / 100.0
                    }
                    (None, None) => usual_at(celsius),
                };
                CurvePoint { x: celsius, y: if outside(celsius) { 0.0 } else { rate } }
            })
            .collect();
    }
}
