//! One step of a bank: self-discharge, then one net charge or discharge of an hour.

use super::bank::Bank;
use super::curve::Curve;
use super::hours::BatteryHour;
use super::limits::{MostCharge, MostDischarge};
use lineside_core::math::{exp, pow, sqrt};

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

/// A bank at rest.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Resting {
    /// Charge, Ah.
    pub q: f64,
    pub volts: f64,
    /// Change of the voltage with the charge, V/Ah, and the share of the capacity from which it holds.
    slope: f64,
    slope_from: f64,
    /// Stored, Wh.
    pub energy: f64,
}

impl Resting {
    /// Whether one straight piece of the curve of resting voltages holds both.
    const fn is_on_slope_of(&self, other: &Self) -> bool {
        self.slope_from.to_bits() == other.slope_from.to_bits()
    }
}

/// A charge of one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Charged {
    pub amps: f64,
    /// Charge and stored energy afterwards, Ah and Wh.
    pub q: f64,
    pub energy: f64,
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
    /// Charge and stored energy afterwards, Ah and Wh.
    pub q: f64,
    pub energy: f64,
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

    /// The bank at rest with a charge.
    pub(crate) fn at_rest(&self, q: f64) -> Resting {
        let place = self.rest.place(q / self.capacity);
        Resting {
            q,
            volts: self.cells * place.value,
            slope: self.cells * place.slope / self.capacity,
            slope_from: place.from,
            energy: self.cells * self.capacity * place.integral,
        }
    }
    /// Stored energy, Wh.
    pub(crate) fn energy(&self, q: f64) -> f64 {
        self.at_rest(q).energy
    }
    /// Voltage at which controllers and chargers will charge, before any resistance.
    pub(crate) fn charging_voltage(&self, rest: &Resting) -> f64 {
        rest.volts + self.charge_polarization
    }
    /// Resting voltage less the polarization of discharge.
    pub(crate) fn discharging_voltage(&self, rest: &Resting) -> f64 {
        rest.volts - self.discharge_polarization
    }
    pub(super) fn efficiency(&self, hour: &BatteryHour, q: f64) -> f64 {
        self.efficiency.at(q / self.capacity) * hour.efficiency
    }

    /// What flows in at the terminals for a charge current.
    pub(super) fn charge_power(&self, hour: &BatteryHour, rest: &Resting, efficiency: f64, amps: f64) -> f64 {
        if amps <= 0.0 {
            return 0.0;
        }
        let stored = self.energy(rest.q + efficiency * amps) - rest.energy;
        stored / efficiency + amps * (self.charge_polarization + hour.charge_ohm * amps)
    }

    /// What flows out at the terminals for a discharge current.
    pub(super) fn discharge_power(&self, hour: &BatteryHour, rest: &Resting, amps: f64) -> f64 {
        if amps <= 0.0 {
            return 0.0;
        }
        let taken = rest.energy - self.energy(rest.q - amps);
        (taken - amps * (self.discharge_polarization + hour.discharge_ohm * amps)).max(0.0)
    }

    /// Charges for an hour with a power at the terminals, no more than the greatest current lets in.
    pub(crate) fn charge(
        &self,
        hour: &BatteryHour,
        rest: &Resting,
        power: f64,
        most: &MostCharge,
    ) -> Charged {
        if power <= 0.0 || most.amps <= 0.0 {
            return Charged { q: rest.q, energy: rest.energy, ..Charged::default() };
        }
        let (ohm, efficiency) = (hour.charge_ohm, most.efficiency);
        let linear = rest.volts + self.charge_polarization;
        let at = |amps| (amps, self.at_rest(rest.q + efficiency * amps));
        let (amps, after) = if power >= most.watts {
            at(most.amps)
        } else {
            let first = at(root(ohm + 0.5 * rest.slope * efficiency, linear, power).min(most.amps));
            if first.1.is_on_slope_of(rest) {
                first
            } else {
                at(search(most.amps, first.0, self.capacity * CLOSE, |amps| {
                    let (_, there) = at(amps);
                    let stored = (there.energy - rest.energy) / efficiency;
                    let value = stored + amps * (self.charge_polarization + ohm * amps) - power;
                    let slope = there.volts + self.charge_polarization + 2.0 * ohm * amps;
                    (value, slope, ohm + 0.5 * there.slope * efficiency)
                }))
            }
        };
        let stored = after.energy - rest.energy;
        let loss = (1.0 / efficiency - 1.0) * stored + amps * (self.charge_polarization + ohm * amps);
        let gassing = (1.0 - efficiency) * amps;
        Charged { amps, q: after.q, energy: after.energy, power: stored + loss, loss, gassing }
    }

    /// Discharges for an hour with a power at the terminals, no more than the greatest current gives.
    pub(crate) fn discharge(
        &self,
        hour: &BatteryHour,
        rest: &Resting,
        power: f64,
        most: &MostDischarge,
    ) -> Discharged {
        if power <= 0.0 || most.amps <= 0.0 {
            return Discharged { q: rest.q, energy: rest.energy, ..Discharged::default() };
        }
        let ohm = hour.discharge_ohm;
        let linear = rest.volts - self.discharge_polarization;
        let at = |amps| (amps, self.at_rest(rest.q - amps));
        let (amps, after) = if power >= most.watts {
            at(most.amps)
        } else {
            let first = at(root(-(ohm + 0.5 * rest.slope), linear, power).min(most.amps));
            if first.1.is_on_slope_of(rest) {
                first
            } else {
                at(search(most.amps, first.0, self.capacity * CLOSE, |amps| {
                    let (_, there) = at(amps);
                    let taken = rest.energy - there.energy;
                    let value = taken - amps * (self.discharge_polarization + ohm * amps) - power;
                    let slope = there.volts - self.discharge_polarization - 2.0 * ohm * amps;
                    (value, slope, -(ohm + 0.5 * there.slope))
                }))
            }
        };
        let loss = amps * (self.discharge_polarization + ohm * amps);
        let power = rest.energy - after.energy - loss;
        Discharged { amps, q: after.q, energy: after.energy, power, loss }
    }
}

/// The smaller root of `square × x² + linear × x = value`: exact while the charge stays on one straight piece of the
/// resting voltage, and near otherwise.
fn root(square: f64, linear: f64, value: f64) -> f64 {
    2.0 * value / (linear + sqrt((linear * linear + 4.0 * square * value).max(0.0)))
}

/// Newton's method within `[0, most]` with the curvature that holds on each straight piece of the resting voltage, so that
/// it lands on the root once it is on the root's piece; halving where a step would leave the bounds. The function gives
/// value, slope and half the change of the slope, and rises.
fn search(most: f64, first: f64, close: f64, function: impl Fn(f64) -> (f64, f64, f64)) -> f64 {
    let (mut low, mut high) = (0.0, most);
    let mut amps = first.clamp(0.0, most);
    for _ in 0..STEPS {
        let (value, slope, bend) = function(amps);
        if value > 0.0 {
            high = amps;
        } else {
            low = amps;
        }
        let landed = amps - root(-bend, slope, value);
        let next = if landed >= low && landed <= high { landed } else { 0.5 * (low + high) };
        let step = (next - amps).abs();
        amps = next;
        if step <= close {
            break;
        }
    }
    amps
}
