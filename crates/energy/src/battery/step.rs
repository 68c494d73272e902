//! One step of a bank: self-discharge, then one net charge or discharge of an hour.

use super::bank::Bank;
use super::curve::Curve;
use super::hours::BatteryHour;
use lineside_core::math::{exp, pow};

/// A bank, ready for the hours. Charges in Ah, currents in A, voltages and resistances of the whole bank.
#[derive(Clone, Debug)]
pub(crate) struct Store {
    rest: Curve,
    efficiency: Curve,
    pub(crate) cells: f64,
    pub(crate) capacity: f64,
    pub(super) charge_polarization: f64,
    pub(super) discharge_polarization: f64,
    pub(super) cut_out: f64,
    /// Share of the missing charge that is accepted within an hour.
    pub(super) accepted_in_hour: f64,
    pub(super) discharge_rate: f64,
    /// Charge below which it is not drawn.
    pub(crate) floor: f64,
    pub(super) rated_current: f64,
    pub(super) depth_exponent: f64,
    /// Up to this discharged share the rate binds before Peukert's law does.
    pub(super) depth_at_rate: f64,
}

/// A charge of one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Charged {
    pub amps: f64,
    /// Charge afterwards, Ah.
    pub q: f64,
    /// At the terminals, W.
    pub power: f64,
    pub loss: f64,
    /// Charge that went into gas, Ah.
    pub gassing: f64,
}

/// A discharge of one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Discharged {
    pub amps: f64,
    /// Charge afterwards, Ah.
    pub q: f64,
    /// At the terminals, W.
    pub power: f64,
    pub loss: f64,
}

/// The search for a current ends when it moves less than this part of the capacity.
const CLOSE: f64 = 1e-13;
const STEPS: usize = 60;

impl Store {
    pub(crate) fn new(bank: &Bank) -> Self {
        let cell = &bank.cell;
        let cells = f64::from(bank.cells);
        let capacity = bank.left().value();
        let (charge, discharge) = cell.polarization;
        let rate = cell.discharge_rate * capacity;
        let discharge_rate = bank.discharge_current.map_or(rate, |most| most.value().min(rate));
        let rated_current = cell.rated_rate * capacity;
        // A law without an exponent above 1 never binds.
        let bend = cell.rate_exponent - 1.0;
        let (depth_exponent, depth_at_rate) =
            if bend > 0.0 { (-1.0 / bend, pow(rated_current / discharge_rate, bend)) } else { (0.0, 1.0) };
        Self {
            rest: cell.rest_curve(),
            efficiency: cell.efficiency_curve(),
            cells,
            capacity,
            charge_polarization: cells * charge,
            discharge_polarization: cells * discharge,
            cut_out: cells * cell.cut_out_voltage.value(),
            accepted_in_hour: 1.0 - exp(-cell.acceptance),
            discharge_rate,
            floor: cell.least_charge.share() * capacity,
            rated_current,
            depth_exponent,
            depth_at_rate: depth_at_rate.min(1.0),
        }
    }

    pub(crate) fn rest_voltage(&self, q: f64) -> f64 {
        self.cells * self.rest.at(q / self.capacity)
    }
    /// Highest voltage at which controllers and chargers will charge at this charge, before any resistance.
    pub(crate) fn charging_voltage(&self, q: f64) -> f64 {
        self.rest_voltage(q) + self.charge_polarization
    }
    /// Resting voltage less the polarization of discharge.
    pub(crate) fn discharging_voltage(&self, q: f64) -> f64 {
        self.rest_voltage(q) - self.discharge_polarization
    }
    /// Stored energy, Wh.
    pub(crate) fn energy(&self, q: f64) -> f64 {
        self.cells * self.capacity * self.rest.with_integral(q / self.capacity).1
    }
    pub(super) fn efficiency(&self, hour: &BatteryHour, q: f64) -> f64 {
        self.efficiency.at(q / self.capacity) * hour.efficiency
    }

    /// What flows in at the terminals for a charge current.
    pub(crate) fn charge_power(&self, hour: &BatteryHour, q: f64, amps: f64) -> f64 {
        if amps <= 0.0 {
            return 0.0;
        }
        let efficiency = self.efficiency(hour, q);
        let stored = self.energy(q + efficiency * amps) - self.energy(q);
        stored / efficiency + amps * (self.charge_polarization + hour.charge_ohm * amps)
    }

    /// What flows out at the terminals for a discharge current.
    pub(crate) fn discharge_power(&self, hour: &BatteryHour, q: f64, amps: f64) -> f64 {
        if amps <= 0.0 {
            return 0.0;
        }
        let taken = self.energy(q) - self.energy(q - amps);
        (taken - amps * (self.discharge_polarization + hour.discharge_ohm * amps)).max(0.0)
    }

    /// Charges for an hour with a power at the terminals, no more than the greatest current lets in.
    pub(crate) fn charge(&self, hour: &BatteryHour, q: f64, power: f64, most: (f64, f64)) -> Charged {
        let (most_a, most_w) = most;
        if power <= 0.0 || most_a <= 0.0 {
            return Charged { q, ..Charged::default() };
        }
        let efficiency = self.efficiency(hour, q);
        let before = self.energy(q);
        let amps = if power >= most_w {
            most_a
        } else {
            let polarization = self.charge_polarization;
            search(most_a, power / self.charging_voltage(q), self.capacity * CLOSE, |amps| {
                let (volts, integral) = self.rest.with_integral((q + efficiency * amps) / self.capacity);
                let stored = (self.cells * self.capacity * integral - before) / efficiency;
                let value = stored + amps * (polarization + hour.charge_ohm * amps) - power;
                (value, self.cells * volts + polarization + 2.0 * hour.charge_ohm * amps)
            })
        };
        let after = q + efficiency * amps;
        let stored = self.energy(after) - before;
        let loss =
            (1.0 / efficiency - 1.0) * stored + amps * (self.charge_polarization + hour.charge_ohm * amps);
        Charged { amps, q: after, power: stored + loss, loss, gassing: (1.0 - efficiency) * amps }
    }

    /// Discharges for an hour with a power at the terminals, no more than the greatest current gives.
    pub(crate) fn discharge(&self, hour: &BatteryHour, q: f64, power: f64, most: (f64, f64)) -> Discharged {
        let (most_a, most_w) = most;
        if power <= 0.0 || most_a <= 0.0 {
            return Discharged { q, ..Discharged::default() };
        }
        let before = self.energy(q);
        let amps = if power >= most_w {
            most_a
        } else {
            let polarization = self.discharge_polarization;
            search(most_a, power / self.discharging_voltage(q), self.capacity * CLOSE, |amps| {
                let (volts, integral) = self.rest.with_integral((q - amps) / self.capacity);
                let taken = before - self.cells * self.capacity * integral;
                let value = taken - amps * (polarization + hour.discharge_ohm * amps) - power;
                (value, self.cells * volts - polarization - 2.0 * hour.discharge_ohm * amps)
            })
        };
        let after = q - amps;
        let loss = amps * (self.discharge_polarization + hour.discharge_ohm * amps);
        Discharged { amps, q: after, power: before - self.energy(after) - loss, loss }
    }
}

/// Newton's method within `[0, most]`, halving where a step would leave it. The function gives value and slope, and
/// rises.
fn search(most: f64, first: f64, close: f64, value_and_slope: impl Fn(f64) -> (f64, f64)) -> f64 {
    let (mut low, mut high) = (0.0, most);
    let mut amps = first.clamp(0.0, most);
    for _ in 0..STEPS {
        let (value, slope) = value_and_slope(amps);
        if value > 0.0 {
            high = amps;
        } else {
            low = amps;
        }
        let newton = amps - value / slope;
        let next = if newton >= low && newton <= high { newton } else { 0.5 * (low + high) };
        let step = (next - amps).abs();
        amps = next;
        if step <= close {
            break;
        }
    }
    amps
}
