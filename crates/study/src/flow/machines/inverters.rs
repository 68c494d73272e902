//! Inverters, with their chargers and transfer relays.

use super::Given;
use super::banks::Sensor;
use super::controllers::sink_of;
use super::derating::Derating;
use super::loads::Supply;
use crate::flow::losses::Conversion;
use crate::network::NodeId;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::inside::SinkKind;
use lineside_core::kinds::inverter::Inverter as InverterPlate;
use lineside_core::units::{Amps, Hertz, Percent, Volts, Watts};

/// An inverter.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Inverter<'a> {
    pub block: BlockId,
    pub plate: &'a InverterPlate,
    pub dc: NodeId,
    pub out: NodeId,
    pub inputs: Vec<Input>,
    /// DC input by AC output in volt-amperes.
    pub conversion: Conversion,
    pub greatest_watts: f64,
    pub greatest_volt_amperes: f64,
    pub idle_watts: f64,
    pub charger: Option<Charger>,
    /// Greatest current of an AC input, shared between loads and charger.
    pub input_amps: Option<f64>,
    /// How far an AC input may stray from the nominal voltage, as a share.
    pub voltage_window: f64,
    /// It stops below, and above.
    pub window: (f64, f64),
    /// Whether it was switched off.
    pub is_off: bool,
}

/// An AC input with its relay.
#[derive(Clone, Copy, Debug)]
pub(in crate::flow) struct Input {
    pub node: NodeId,
    /// Position of the relay in the network's poles.
    pub pole: usize,
    /// Counted from 1.
    pub number: u8,
}

/// The charger of an inverter.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Charger {
    /// AC input by DC output.
    pub conversion: Conversion,
    pub limit_amps: f64,
    pub sensor: Sensor,
    /// No charge voltage is set above.
    pub highest_setting: Option<f64>,
}

impl<'a> Inverter<'a> {
    pub(super) fn of(
        given: &Given<'_>,
        block: &Block,
        plate: &'a InverterPlate,
        out: NodeId,
    ) -> Option<Self> {
        let derating = Derating {
            full_output_to: plate.full_output_to,
            hot: plate.hot_derating,
            full_output_below: plate.full_output_below,
            altitude: plate.altitude_derating,
        };
        let share = derating.share(given);
        let dc = sink_of(given.network, block.id, SinkKind::InverterInput)?;
        let law = given.on.codes.common.equipment_models.inverter;
        let apparent = Watts::new(plate.rated_apparent_output().value());
        let idle = plate.idle_draw.unwrap_or(law.standing(apparent));
        Some(Self {
            block: block.id,
            plate,
            dc,
            out,
            inputs: inputs(given, block.id),
            conversion: conversion(given, plate, idle),
            greatest_watts: plate.continuous.value() * share,
            greatest_volt_amperes: apparent.value() * share,
            idle_watts: idle.value(),
            charger: charger(given, plate, dc),
            input_amps: plate.input_current().map(Amps::value),
            voltage_window: voltage_window(given, plate).share(),
            window: (plate.low_cut_out_voltage().value(), plate.highest_input_voltage.value()),
            is_off: given.state.is_off(block.id),
        })
    }

    /// Whether it takes a supply for good: its voltage and frequency lie within the window.
    pub(in crate::flow) fn accepts(&self, given: &Given<'_>, system: AcSystem, frequency: Hertz) -> bool {
        let near = |ratio: f64, band: Percent| (ratio - 1.0).abs() <= band.share();
        let hertz = given.on.quantity(FactorKey::AcFrequencyWindow);
        let own = self.plate.ac_system;
        near(system.current_voltage() / own.current_voltage(), voltage_window(given, self.plate))
            && system.loaded_conductors() == own.loaded_conductors()
            && near(frequency / self.plate.frequency, self.plate.input_frequency_band.unwrap_or(hertz))
    }

    /// The same, of a supply.
    pub(in crate::flow) fn accepts_supply(&self, given: &Given<'_>, supply: &Supply) -> bool {
        self.accepts(given, supply.system, supply.frequency)
    }
}

fn voltage_window(given: &Given<'_>, plate: &InverterPlate) -> Percent {
    plate.input_voltage_band.unwrap_or_else(|| given.on.quantity(FactorKey::AcVoltageWindow))
}

/// By the curve; by the law, fitted to the efficiency at rated output where that is all that the nameplate gives.
fn conversion(given: &Given<'_>, plate: &InverterPlate, idle: Watts) -> Conversion {
    let law = given.on.codes.common.equipment_models.inverter;
    let rated = Watts::new(plate.rated_apparent_output().value());
    match (&plate.efficiency, plate.rated_efficiency) {
        (Some(curve), _) if !curve.is_empty() => Conversion::curve(curve, rated.value(), idle.value()),
        (_, Some(efficiency)) => {
            let lost = plate.continuous * (1.0 / efficiency.share() - 1.0);
            Conversion::law(law.fitted(rated, idle, lost), rated.value())
        }
        (_, None) => {
            let at_rated = law.loss(rated, rated) - law.standing(rated) + idle;
            Conversion::law(law.fitted(rated, idle, at_rated), rated.value())
        }
    }
}

fn charger(given: &Given<'_>, plate: &InverterPlate, dc: NodeId) -> Option<Charger> {
    let amps = plate.charge_current()?;
    let nominal = plate.nominal_input_voltage.map(Volts::value).or_else(|| given.nominal(dc));
    let volts = Volts::new(nominal.unwrap_or(plate.lowest_input_voltage.value()));
    let rated = (volts * plate.charger_current.unwrap_or(amps)).value();
    let conversion = match plate.charger_efficiency {
        Some(efficiency) => Conversion::flat(efficiency.share(), rated, 0.0),
        None => Conversion::law(given.on.codes.common.equipment_models.charger, rated),
    };
    Some(Charger {
        conversion,
        limit_amps: amps.value(),
        sensor: Sensor::of(plate.temperature_sensor),
        highest_setting: plate.highest_charge_setting.map(Volts::value),
    })
}

/// The AC inputs, in their order, each with its relay.
fn inputs(given: &Given<'_>, block: BlockId) -> Vec<Input> {
    let sinks = given.network.sinks();
    let first = sinks.partition_point(|sink| sink.block < block);
    let of_block = sinks.iter().skip(first).take_while(|sink| sink.block == block);
    let nodes = of_block.filter(|sink| sink.kind == SinkKind::InverterAcInput).map(|sink| sink.node);
    let relays = given.network.poles();
    let first = relays.partition_point(|pole| pole.block < block);
    let of_block = relays.iter().enumerate().skip(first).take_while(|(_, pole)| pole.block == block);
    nodes.zip(of_block).zip(1..).map(|((node, (pole, _)), number)| Input { node, pole, number }).collect()
}
