//! What is known at the start of an hour, and what flows in it, W.

use crate::battery::{BatteryHour, MostCharge, MostDischarge, Resting, Store};
use crate::converter::Converter;
use crate::inverter::Inverting;
use crate::loads::LoadHour;

/// What stays the same over the year.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fixed<'a> {
    pub store: &'a Store,
    /// The charger and its greatest current, A.
    pub charger: Option<(Converter, f64)>,
    /// Standing use on the battery bus.
    pub standing: f64,
}

/// What is known at the start of an hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moment<'a> {
    pub fixed: &'a Fixed<'a>,
    pub battery: &'a BatteryHour,
    /// The bank after self-discharge.
    pub rest: Resting,
    /// Whether the bank was run down and loads wait for it.
    pub latched: bool,
    /// Sun that can be had on the battery bus and on the AC side.
    pub sun_dc: f64,
    pub sun_ac: f64,
    pub loads: LoadHour,
    /// What had to wait and must run now.
    pub overdue: f64,
    /// What may run if there is surplus.
    pub opportunity: f64,
    /// The inverter: nothing when there is none.
    pub inverter: Option<InverterNow>,
    /// Voltage at which the bank is charged, V.
    pub volts: f64,
}

/// The inverter at the power factor of an hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct InverterNow {
    pub law: Inverting,
    pub most: f64,
    pub idle: f64,
}

/// Everything that flows in an hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Flows {
    /// Sun used on the battery bus and on the AC side.
    pub sun_dc: f64,
    pub sun_ac: f64,
    /// Charger, both sides.
    pub charger_in: f64,
    pub charger_out: f64,
    /// Inverter, both sides, and its idle draw on either side.
    pub inverter_in: f64,
    pub inverter_out: f64,
    pub idle_dc: f64,
    pub idle_ac: f64,
    /// Bank; one of the two is nothing.
    pub charge: f64,
    pub discharge: f64,
    pub dc_served: f64,
    pub standing: f64,
    /// AC loads by class; `waited` is what could wait.
    pub critical: f64,
    pub normal: f64,
    pub waited: f64,
    /// Utility or generator.
    pub source: f64,
    pub export: f64,
    /// Sun that nobody could take.
    pub curtailed: f64,
    /// The bank was run down in this hour.
    pub ran_down: bool,
    /// The greatest charge and discharge of the bank, where they were asked for.
    pub most_charge: Option<MostCharge>,
    pub most_discharge: Option<MostDischarge>,
}

impl Moment<'_> {
    /// The greatest charge up to a share of the capacity.
    pub(super) fn most_charge(&self, top: f64) -> MostCharge {
        self.fixed.store.most_charge(self.battery, &self.rest, top)
    }
    /// The greatest discharge.
    pub(super) fn most_discharge(&self) -> MostDischarge {
        self.fixed.store.most_discharge(self.battery, &self.rest)
    }

    /// The charger: what it gives for an AC input and takes for a DC output, and its limit.
    pub(super) fn charger(&self) -> ChargerNow {
        match self.fixed.charger {
            Some((converter, amps)) => ChargerNow { converter: Some(converter), most: amps * self.volts },
            None => ChargerNow { converter: None, most: 0.0 },
        }
    }

    /// What the AC loads get of what there is: critical first, then normal, then what could wait.
    pub(super) fn share_out(&self, flows: &mut Flows, available: f64) {
        flows.critical = self.loads.critical.min(available);
        flows.normal = self.loads.normal.min(available - flows.critical);
        flows.waited = (available - flows.critical - flows.normal).max(0.0);
    }
}

/// The charger at the voltage of an hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct ChargerNow {
    converter: Option<Converter>,
    /// Greatest output.
    pub most: f64,
}

impl ChargerNow {
    /// AC input for a DC output.
    pub(super) fn input(&self, output: f64) -> f64 {
        self.converter.map_or(0.0, |it| it.input_w(output))
    }
    /// DC output for an AC input.
    pub(super) fn output(&self, input: f64) -> f64 {
        self.converter.map_or(0.0, |it| it.output_w(input))
    }
}
