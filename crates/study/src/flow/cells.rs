//! One battery string as seen from its terminals: what current flows at what voltage, and what of it is stored.
//!
//! A resting voltage behind a polarization and a resistance, by the model of the chemistry. A string that accepts less
//! than it is offered climbs towards the absorb voltage, so that its chargers hold back.

use crate::conditions::Conditions;
use lineside_codes::CellModel;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::curve::value_at;
use lineside_core::units::{Celsius, Percent, Volts};

/// A string at one state of charge and temperature.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cells {
    /// At rest.
    pub rest_volts: f64,
    /// What of the charge current stays in it, as a share.
    stored_share: f64,
    /// Current into the string by the voltage above rest: straight lines, beginning at these points.
    charge: [Line; 3],
    /// Current out of the string by the voltage below rest.
    discharge: [Line; 2],
}

/// A straight piece of a characteristic.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Line {
    /// Where it begins.
    from_volts: f64,
    /// The current there.
    from_amps: f64,
    /// Volts for each further ampere.
    ohms: f64,
}

/// What a blocked string still lets through, so that its voltage stays known: microamperes.
const BLOCKED_OHMS: f64 = 1e6;
/// No resistance is taken to be smaller.
const LEAST_OHMS: f64 = 1e-7;

impl Cells {
    /// A string of a bank; `None` when nothing is known of its chemistry.
    pub(super) fn of(
        on: &Conditions<'_>,
        bank: &BatteryBank,
        charge: Percent,
        temperature: Celsius,
    ) -> Option<Self> {
        let model = on.codes.common.battery_models.find(bank.chemistry)?;
        let cells = f64::from(bank.cells());
        let capacity = bank.capacity;
        let plate = bank.string_resistance().map_or(0.0, lineside_core::units::Ohms::value);
        let ohms = |of_cell: f64| (of_cell * cells).max(plate).max(LEAST_OHMS);
        let full_current = model.polarization_current(capacity).value().max(f64::MIN_POSITIVE);
        let discharge_ohms = ohms(model.discharge_resistance(capacity, temperature).value());
        let polarization = model.discharge_polarization().value() * cells;
        let ramp = Line { ohms: discharge_ohms + polarization / full_current, ..Line::default() };
        let discharge = [ramp, ramp.onward(full_current, discharge_ohms)];
        let stored = bank
            .charge_efficiency
            .unwrap_or_else(|| model.charge_efficiency(charge, temperature))
            .share()
            .clamp(0.0, 1.0);
        Some(Self {
            rest_volts: (rest_voltage(bank, model, charge) * cells).value(),
            stored_share: stored,
            charge: Self::charging(bank, model, charge, temperature, ohms),
            discharge,
        })
    }

    fn charging(
        bank: &BatteryBank,
        model: &CellModel,
        charge: Percent,
        temperature: Celsius,
        ohms: impl Fn(f64) -> f64,
    ) -> [Line; 3] {
        if is_blocked(bank, temperature) {
            return [Line { ohms: BLOCKED_OHMS, ..Line::default() }; 3];
        }
        let (cells, capacity) = (f64::from(bank.cells()), bank.capacity);
        let charge_ohms = ohms(model.charge_resistance(capacity, temperature).value());
        let full_current = model.polarization_current(capacity).value().max(f64::MIN_POSITIVE);
        let ramp_ohms = model.charge_polarization().value() * cells / full_current;
        let accepted = model.accepted_current(capacity, charge, temperature).value();
        let full = rest_voltage(bank, model, Percent::new(100.0));
        let climb = (bank.charge_voltage - full).max(Volts::ZERO).value() * cells;
        let within = (model.absorb_end_current(capacity) - model.float_current(capacity)).value();
        let climb_ohms = (climb / within.max(f64::MIN_POSITIVE)).min(BLOCKED_OHMS);
        // The polarization grows up to one current, the climb begins at another; either may come first.
        let first = Line {
            ohms: charge_ohms + ramp_ohms + if accepted > 0.0 { 0.0 } else { climb_ohms },
            ..Line::default()
        };
        let both = charge_ohms + climb_ohms;
        if accepted < full_current {
            let second = first.onward(accepted, both + ramp_ohms);
            [first, second, second.onward(full_current, both)]
        } else {
            let second = first.onward(full_current, charge_ohms);
            [first, second, second.onward(accepted, both)]
        }
    }

    /// Current out of the string at so many volts above rest, and how it changes with them.
    pub(super) fn give(&self, above: f64) -> (f64, f64) {
        if above >= 0.0 {
            let (amps, slope) = along(&self.charge, above);
            (-amps, -slope)
        } else {
            let (amps, slope) = along(&self.discharge, -above);
            (amps, -slope)
        }
    }

    /// Watts that the cells give up, or that stay in them (negative), while `amps` flow out.
    pub(super) fn drawn_watts(&self, amps: f64) -> f64 {
        let at_rest = self.rest_volts * amps;
        if amps < 0.0 { at_rest * self.stored_share } else { at_rest }
    }
}

impl Line {
    /// The piece that follows from a current on.
    fn onward(self, amps: f64, ohms: f64) -> Self {
        Self { from_volts: self.from_volts + (amps - self.from_amps) * self.ohms, from_amps: amps, ohms }
    }
}

fn along(lines: &[Line], volts: f64) -> (f64, f64) {
    let line = lines.iter().rev().find(|line| line.from_volts <= volts).or(lines.first());
    line.map_or((0.0, 0.0), |line| (line.from_amps + (volts - line.from_volts) / line.ohms, 1.0 / line.ohms))
}

/// Resting volts of a cell: by the nameplate's curve, else by that of the chemistry.
fn rest_voltage(bank: &BatteryBank, model: &CellModel, charge: Percent) -> Volts {
    let plate = bank.rest_voltages.as_ref().and_then(|curve| value_at(&curve.0, charge.value()));
    plate.map_or_else(|| model.rest_voltage(charge), Volts::new)
}

/// Whether the management keeps the string from being charged, because it is too cold or too hot.
fn is_blocked(bank: &BatteryBank, temperature: Celsius) -> bool {
    bank.blocks_cold_charge == Some(Fitted::Yes)
        && (bank.charge_from.is_some_and(|from| temperature < from)
            || bank.charge_to.is_some_and(|to| temperature > to))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_codes::Codes;
    use lineside_core::project::Project;
    use lineside_core::testing::Bench;
    use lineside_core::units::Ohms;

    fn cells(item: &str, in_series: u32, charge: f64, change: impl Fn(&mut BatteryBank)) -> Cells {
        let codes = Codes::load().unwrap();
        let project = Project::default();
        let mut bank = Bench::new().stock(item).as_kind::<BatteryBank>().unwrap().clone();
        bank.units_in_series = in_series;
        bank.rest_voltages = None;
        bank.charge_efficiency = None;
        change(&mut bank);
        Cells::of(&Conditions::new(&project, &codes), &bank, Percent::new(charge), Celsius::new(25.0))
            .unwrap()
    }
    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} instead of {expected}");
    }
    fn give(string: &Cells, volts: f64) -> (f64, f64) {
        string.give(volts - string.rest_volts)
    }
    const IRON: &str = "Nickel-iron cell, 600 Ah";

    #[test]
    fn discharge_by_hand() {
        // 40 cells at 75 %: 40 × 1.34 = 53.6 V. Polarization 40 × 0.04 = 1.6 V in full from 6 A; resistance
        // 40 × 0.45 / 600 = 0.03 Ω, above the nameplate's. At 50 A: 53.6 − 1.6 − 1.5 = 50.5 V.
        let string = cells(IRON, 40, 75.0, |_| ());
        close(string.rest_volts, 53.6);
        let (amps, slope) = give(&string, 50.5);
        close(amps, 50.0);
        close(slope, -1.0 / 0.03);
        // At 3 A half the polarization: 53.6 − 0.8 − 0.09.
        close(give(&string, 52.71).0, 3.0);
        close(string.drawn_watts(50.0), 53.6 * 50.0);
    }

    #[test]
    fn charge_by_hand() {
        // 53.6 + 40 × 0.13 + 50 × 40 × 0.70 / 600 = 53.6 + 5.2 + 2.333333 V at 50 A; accepted are 2 × 600 × 0.25 / 0.845.
        let string = cells(IRON, 40, 75.0, |_| ());
        close(give(&string, 53.6 + 5.2 + 50.0 * 28.0 / 600.0).0, -50.0);
        // 84.5 % of it stay: halfway between 87 % and 82 %.
        close(string.drawn_watts(-50.0), -53.6 * 50.0 * 0.845);
    }

    #[test]
    fn a_full_string_climbs_to_the_absorb_voltage() {
        // Full: 56 V at rest, 1.2 A keep it full; from there 40 × (1.6 − 1.4) = 8 V within 30 − 1.2 = 28.8 A.
        let string = cells(IRON, 40, 100.0, |bank| bank.charge_voltage = Volts::new(1.6));
        let ohms = 28.0 / 600.0;
        let keeps_full = 56.0 + 1.2 * (ohms + 5.2 / 6.0);
        close(give(&string, keeps_full).0, -1.2);
        // At 6 A the polarization is there in full; at 30 A: 56 + 5.2 + 30 × 0.046667 + 28.8 × 8 / 28.8.
        close(give(&string, 56.0 + 5.2 + 30.0 * ohms + 8.0).0, -30.0);
    }

    #[test]
    fn a_greater_resistance_on_the_nameplate_counts() {
        // 0.002 Ω in each of 40 cells, no links: 0.08 Ω instead of 0.03 Ω: 53.6 − 1.6 − 4 = 48 V at 50 A.
        let string = cells(IRON, 40, 75.0, |bank| {
            bank.unit_resistance = Some(Ohms::new(0.002));
            bank.link_resistance = None;
        });
        close(give(&string, 48.0).0, 50.0);
    }

    #[test]
    fn management_keeps_cold_lithium_from_charging() {
        let string = cells("Lithium iron phosphate wall pack, 51.2 V, 200 Ah", 1, 50.0, |bank| {
            bank.blocks_cold_charge = Some(Fitted::Yes);
            bank.charge_from = Some(Celsius::new(26.0));
        });
        // 16 × 3.295 = 52.72 V; five volts more push five microamperes.
        close(string.rest_volts, 52.72);
        assert!(give(&string, 57.72).0.abs() < 1e-5);
        assert!(give(&string, 50.0).0 > 10.0);
    }

    #[test]
    fn every_characteristic_falls_without_a_jump() {
        for item in [IRON, "Flooded lead-acid battery, 6 V, 370 Ah", "Sealed gel cell, 2 V, 800 Ah"] {
            for charge in [0.0, 20.0, 50.0, 80.0, 95.0, 99.5, 100.0] {
                let string = cells(item, 4, charge, |_| ());
                let mut last = f64::INFINITY;
                for step in -300..=300 {
                    let volts = string.rest_volts * (1.0 + f64::from(step) * 1e-3);
                    let (amps, slope) = give(&string, volts);
                    assert!(amps <= last && slope < 0.0, "{item} at {charge} %, {volts} V");
                    let near = give(&string, volts + 1e-9).0;
                    assert!((near - amps).abs() < 1e-5, "{item} at {charge} %, {volts} V jumps");
                    last = amps;
                }
            }
        }
    }
}
