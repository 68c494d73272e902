//! What binds the current of a bank in an hour, both ways, and the names of what binds.

use super::hours::BatteryHour;
use super::step::Store;
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
    Room,
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

/// Greatest currents of one hour, A, and what they give or take at the terminals, W.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limits {
    pub charge_a: f64,
    pub charge_by: ChargeLimit,
    pub charge_w: f64,
    pub discharge_a: f64,
    pub discharge_by: DischargeLimit,
    pub discharge_w: f64,
}

fn lesser<T>(so_far: (f64, T), amps: f64, by: T) -> (f64, T) {
    if amps < so_far.0 { (amps, by) } else { so_far }
}

/// Discharged shares below this are never bound by the rate.
const NEARLY_FULL: f64 = 1e-3;

impl Store {
    /// The limits at the start of an hour, when the bank may be charged to `top` of its capacity.
    pub(crate) fn limits(&self, hour: &BatteryHour, q: f64, top: f64) -> Limits {
        let (charge_a, charge_by) = self.charge_limit(hour, q, top);
        let (discharge_a, discharge_by) = self.discharge_limit(hour, q);
        Limits {
            charge_a,
            charge_by,
            charge_w: self.charge_power(hour, q, charge_a),
            discharge_a,
            discharge_by,
            discharge_w: self.discharge_power(hour, q, discharge_a),
        }
    }

    pub(crate) fn charge_limit(&self, hour: &BatteryHour, q: f64, top: f64) -> (f64, ChargeLimit) {
        let efficiency = self.efficiency(hour, q);
        let missing = self.capacity - q;
        let accepted = missing * self.accepted_in_hour / efficiency;
        let by_voltage = (hour.absorb_v - self.rest_voltage(q) - self.charge_polarization) / hour.charge_ohm;
        let room = (top * self.capacity - q) / efficiency;
        let rate = (hour.charge_a, ChargeLimit::Rate);
        let found = lesser(rate, accepted, ChargeLimit::Acceptance);
        let found = lesser(found, by_voltage, ChargeLimit::Voltage);
        let (amps, by) = lesser(found, room, ChargeLimit::Room);
        (amps.max(0.0), by)
    }

    pub(crate) fn discharge_limit(&self, hour: &BatteryHour, q: f64) -> (f64, DischargeLimit) {
        let found = (self.discharge_rate, DischargeLimit::Rate);
        let found = lesser(found, q - self.floor, DischargeLimit::Floor);
        let found = match self.current_at_depth(hour, q) {
            Some(amps) => lesser(found, amps, DischargeLimit::Capacity),
            None => found,
        };
        let voltage = self.rest_voltage(q) - self.discharge_polarization - self.cut_out;
        let (amps, by) = lesser(found, voltage / hour.discharge_ohm, DischargeLimit::Voltage);
        (amps.max(0.0), by)
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
