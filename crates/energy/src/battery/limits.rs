//! What binds the current of a bank in an hour, both ways, and the names of what binds.

use super::hours::BatteryHour;
use super::step::{Resting, Store};
use lineside_core::math::pow;

/// What binds the charge current.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChargeLimit {
    /// The rate that its maker allows at this temperature.
    #[default]
    Rate,
    /// What it accepts when it is nearly full.
    Acceptance,
    /// The charge voltage is reached.
    Voltage,
    /// It is full.
    Full,
}

/// What binds the discharge current.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum DischargeLimit {
    /// The rate that its maker allows.
    #[default]
    Rate,
    /// The charge below which it is not drawn.
    Floor,
    /// What can be taken out at this rate and temperature.
    Capacity,
    /// Discharge ends at this voltage.
    Voltage,
}

/// The greatest charge of an hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct MostCharge {
    pub amps: f64,
    /// At the terminals, W.
    pub watts: f64,
    pub by: ChargeLimit,
    /// What of the current stays in the bank.
    pub efficiency: f64,
}

/// The greatest discharge of an hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct MostDischarge {
    pub amps: f64,
    /// At the terminals, W.
    pub watts: f64,
    pub by: DischargeLimit,
}

fn lesser<T>(so_far: (f64, T), amps: f64, by: T) -> (f64, T) {
    if amps < so_far.0 { (amps, by) } else { so_far }
}

/// Discharged shares below this are never bound by the rate.
const NEARLY_FULL: f64 = 1e-3;

impl Store {
    /// The greatest charge, when the bank may be charged to `top` of its capacity.
    pub(crate) fn most_charge(&self, hour: &BatteryHour, rest: &Resting, top: f64) -> MostCharge {
        let efficiency = self.efficiency(hour, rest.q);
        let accepted = (self.capacity - rest.q) * self.accepted_in_hour / efficiency;
        let by_voltage = (hour.absorb_v - rest.volts - self.charge_polarization) / hour.charge_ohm;
        let room = (top * self.capacity - rest.q) / efficiency;
        let found = lesser((hour.charge_a, ChargeLimit::Rate), accepted, ChargeLimit::Acceptance);
        let found = lesser(found, by_voltage, ChargeLimit::Voltage);
        let (amps, by) = lesser(found, room, ChargeLimit::Full);
        let amps = amps.max(0.0);
        MostCharge { amps, watts: self.charge_power(hour, rest, efficiency, amps), by, efficiency }
    }

    /// The greatest discharge.
    pub(crate) fn most_discharge(&self, hour: &BatteryHour, rest: &Resting) -> MostDischarge {
        let found = (self.discharge_rate, DischargeLimit::Rate);
        let found = lesser(found, rest.q - self.floor, DischargeLimit::Floor);
        let found = match self.current_at_depth(hour, rest.q) {
            Some(amps) => lesser(found, amps, DischargeLimit::Capacity),
            None => found,
        };
        let voltage = rest.volts - self.discharge_polarization - self.cut_out;
        let (amps, by) = lesser(found, voltage / hour.discharge_ohm, DischargeLimit::Voltage);
        let amps = amps.max(0.0);
        MostDischarge { amps, watts: self.discharge_power(hour, rest, amps), by }
    }

    /// The rate at which the bank would be empty at this charge, by Peukert's law read as charge that is stranded at high
    /// rates and in the cold. `None` when it lies above the greatest rate anyway.
    fn current_at_depth(&self, hour: &BatteryHour, q: f64) -> Option<f64> {
        let depth = (1.0 - q / self.capacity) / hour.capacity;
        if depth >= 1.0 {
            return Some(0.0);
        }
        if depth <= NEARLY_FULL.max(self.depth_at_rate) {
            return None;
        }
        Some(self.rated_current * pow(depth, self.depth_exponent))
    }
}
