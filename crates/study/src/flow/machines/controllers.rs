//! Charge controllers and DC-to-DC converters.

use super::Given;
use super::banks::Sensor;
use super::derating::Derating;
use crate::flow::losses::Conversion;
use crate::network::{Network, NodeId};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::kinds::inside::SinkKind;
use lineside_core::units::{Percent, Volts, Watts};

/// A charge controller.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Controller<'a> {
    pub block: BlockId,
    pub plate: &'a ChargeController,
    pub input: NodeId,
    pub output: NodeId,
    pub works: Works,
    /// Greatest output current: as set, less what the heat takes.
    pub limit_amps: f64,
    /// Greatest input, when the nameplate gives watts for this bank.
    pub limit_watts: Option<f64>,
    pub own_watts: f64,
    /// Whether it was switched off.
    pub is_off: bool,
    pub sensor: Sensor,
    /// Whether it holds the voltage of the battery instead of that at its own terminals.
    pub senses_battery: bool,
    /// No charge voltage is set above.
    pub highest_setting: Option<f64>,
}

/// How a controller works.
#[derive(Clone, Debug)]
pub(in crate::flow) enum Works {
    /// It chooses the voltage at which the strings give most.
    Tracking {
        /// What it loses.
        conversion: Conversion,
        /// Volts that its input must stand above its output.
        headroom: Option<f64>,
    },
    /// It puts the strings on the battery, less this drop.
    Switching(f64),
}

impl<'a> Controller<'a> {
    pub(super) fn of(
        given: &Given<'_>,
        block: &Block,
        plate: &'a ChargeController,
        output: NodeId,
    ) -> Option<Self> {
        let input = sink_of(given.network, block.id, SinkKind::ControllerInput)?;
        let nominal = given.nominal(output);
        let derating = Derating {
            full_output_to: plate.full_output_to,
            hot: plate.hot_derating,
            full_output_below: plate.full_output_below,
            altitude: plate.altitude_derating,
        };
        let set = [plate.voltage_ceiling, plate.highest_charge_setting];
        let class = nominal.map(Volts::new).and_then(|nominal| plate.array_watts(class_of(nominal)));
        Some(Self {
            block: block.id,
            plate,
            input,
            output,
            works: works(given, plate, nominal),
            limit_amps: plate
                .output_limit()
                .value()
                .min((plate.output_current * derating.share(given)).value()),
            limit_watts: class.map(Watts::value),
            own_watts: plate.own_consumption.map_or(0.0, Watts::value),
            is_off: given.state.is_off(block.id),
            sensor: Sensor::of(plate.temperature_sensor),
            senses_battery: plate.remote_sense == Some(Fitted::Yes),
            highest_setting: set.into_iter().flatten().map(Volts::value).reduce(f64::min),
        })
    }

    /// Lowest input voltage at which it works over a bus of this voltage.
    pub(in crate::flow) fn lowest_input(&self, bus_volts: f64) -> f64 {
        let tracks_from = self.plate.tracking_low.map_or(0.0, Volts::value);
        match self.works {
            Works::Tracking { headroom: Some(headroom), .. } => tracks_from.max(bus_volts + headroom),
            Works::Tracking { headroom: None, .. } => tracks_from,
            Works::Switching(drop) => bus_volts + drop,
        }
    }

    /// Highest input voltage at which it works, and above which it does not start.
    pub(in crate::flow) fn highest_input(&self) -> (f64, f64) {
        let plate = self.plate;
        let starts = plate.operating_input_voltage.unwrap_or(plate.max_input_voltage).value();
        (plate.tracking_high.map_or(starts, Volts::value).min(starts), starts)
    }
}

fn works(given: &Given<'_>, plate: &ChargeController, nominal: Option<f64>) -> Works {
    let models = &given.on.codes.common.equipment_models;
    if plate.kind == ControllerType::Switching {
        return Works::Switching(models.switching_drop.value());
    }
    let rated = (Volts::new(nominal.unwrap_or_default()).max(Volts::new(1.0)) * plate.output_current).value();
    let conversion = if plate.efficiency.as_ref().is_some_and(|curve| !curve.is_empty()) {
        Conversion::curve(plate.efficiency.as_deref().unwrap_or(&[]), rated, 0.0)
    } else {
        Conversion::law(models.tracking, rated)
    };
    let usual = given.on.quantity::<Volts>(FactorKey::ConverterHeadroom).value()
        / given.on.quantity::<Volts>(FactorKey::ConverterHeadroomPer).value()
        * nominal.unwrap_or_default();
    let headroom = plate.headroom.map_or(usual, Volts::value);
    let steps_down = plate.kind == ControllerType::TrackingStepDown;
    Works::Tracking { conversion, headroom: steps_down.then_some(headroom) }
}

/// The class by which nameplates give array watts: 12, 24 or 48 V.
fn class_of(nominal: Volts) -> Volts {
    let classes = [12.0, 24.0, 36.0, 48.0].map(Volts::new);
    let near = classes.into_iter().find(|class| (nominal / *class - 1.0).abs() <= 0.12);
    near.unwrap_or(nominal)
}

/// A DC-to-DC converter.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Converter {
    pub block: BlockId,
    pub input: NodeId,
    pub output: NodeId,
    pub conversion: Conversion,
    pub output_volts: f64,
    pub limit_amps: f64,
    /// It works between these input voltages.
    pub window: (f64, f64),
    /// Whether it was switched off.
    pub is_off: bool,
}

impl Converter {
    pub(super) fn of(given: &Given<'_>, block: &Block, plate: &DcConverter, output: NodeId) -> Option<Self> {
        let rated = (plate.output_voltage * plate.output_current).value();
        // The kind knows which efficiency it assumes; its greatest input current tells it.
        let assumed = rated / (plate.min_input_voltage * plate.input_current()).value();
        let efficiency = plate.efficiency.map_or(assumed, Percent::share);
        let own = plate.own_consumption.map_or(0.0, Watts::value);
        Some(Self {
            block: block.id,
            input: sink_of(given.network, block.id, SinkKind::DcLoads)?,
            output,
            conversion: Conversion::flat(efficiency, rated, own),
            output_volts: plate.output_voltage.value(),
            limit_amps: plate.output_current.value(),
            window: (plate.min_input_voltage.value(), plate.max_input_voltage.value()),
            is_off: given.state.is_off(block.id),
        })
    }
}

/// The node of a block's sink; sinks stand in the order of blocks.
pub(super) fn sink_of(network: &Network, block: BlockId, kind: SinkKind) -> Option<NodeId> {
    let sinks = network.sinks();
    let first = sinks.partition_point(|sink| sink.block < block);
    let of_block = sinks.get(first..)?.iter().take_while(|sink| sink.block == block);
    of_block.into_iter().find(|sink| sink.kind == kind).map(|sink| sink.node)
}
