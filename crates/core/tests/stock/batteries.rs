//! Batteries: voltages, resistance, energy, currents and life within what each chemistry can do.

use crate::{each, near, same};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::curve::{CurvePoint, value_at};
use lineside_core::units::Ohms;
use std::ops::RangeInclusive;

/// What a chemistry allows; voltages per cell at 25 °C.
struct Limits {
    charge: RangeInclusive<f64>,
    float: RangeInclusive<f64>,
    /// `None` where equalizing destroys.
    equalize: Option<RangeInclusive<f64>>,
    /// mV per °C and cell.
    compensation: RangeInclusive<f64>,
    empty: f64,
    lowest: RangeInclusive<f64>,
    /// Resting volts of the full cell.
    full: RangeInclusive<f64>,
    /// Working resistance times capacity, Ω·Ah for a cell. The ohmic part on the nameplate is smaller.
    working_resistance: f64,
    /// Wh for each kg.
    specific_energy: RangeInclusive<f64>,
    /// Charge and discharge current as a share of the capacity, per hour.
    charge_share: RangeInclusive<f64>,
    discharge_share: f64,
    /// Peukert's exponent.
    peukert: RangeInclusive<f64>,
    /// Gassing current at boost charge, mA/Ah.
    gas: f64,
    /// Cycles to the end at the printed depth.
    cycles: RangeInclusive<u32>,
}

/// Rated at 5 h, charged in 7 h; steel plates and free electrolyte make it heavy.
const NICKEL_IRON: Limits = Limits {
    charge: 1.55..=1.68,
    float: 1.40..=1.50,
    equalize: Some(1.65..=1.75),
    compensation: -5.0..=-3.0,
    empty: 1.05,
    lowest: 1.0..=1.0,
    full: 1.38..=1.42,
    working_resistance: 0.45,
    specific_energy: 12.0..=30.0,
    charge_share: 0.10..=0.20,
    discharge_share: 0.25,
    peukert: 1.02..=1.12,
    gas: 100.0,
    cycles: 3000..=10_000,
};

/// A flat curve and no gas; never equalized, never compensated, never charged below freezing.
const LITHIUM_IRON_PHOSPHATE: Limits = Limits {
    charge: 3.45..=3.55,
    float: 3.35..=3.40,
    equalize: None,
    compensation: 0.0..=0.0,
    empty: 3.0,
    lowest: 2.5..=2.8,
    full: 3.35..=3.45,
    working_resistance: 0.15,
    specific_energy: 90.0..=170.0,
    charge_share: 0.20..=0.50,
    discharge_share: 1.0,
    peukert: 1.0..=1.05,
    gas: 0.0,
    cycles: 3000..=8000,
};

/// Antimony plates and free acid: it gasses, and is equalized to stir it.
const FLOODED_LEAD: Limits = Limits {
    charge: 2.40..=2.47,
    float: 2.20..=2.27,
    equalize: Some(2.50..=2.67),
    compensation: -6.0..=-4.0,
    empty: 1.88,
    lowest: 1.75..=1.75,
    full: 2.10..=2.14,
    working_resistance: 0.45,
    specific_energy: 25.0..=50.0,
    charge_share: 0.05..=0.13,
    discharge_share: 0.26,
    peukert: 1.12..=1.35,
    gas: 20.0,
    cycles: 600..=2800,
};

/// Acid held in glass mat, gas recombined: never equalized.
const GLASS_MAT: Limits = Limits {
    charge: 2.38..=2.43,
    float: 2.25..=2.30,
    equalize: None,
    compensation: -5.0..=-3.0,
    empty: 1.90,
    lowest: 1.75..=1.75,
    full: 2.12..=2.17,
    working_resistance: 0.30,
    specific_energy: 30.0..=45.0,
    charge_share: 0.10..=0.20,
    discharge_share: 0.34,
    peukert: 1.05..=1.18,
    gas: 8.0,
    cycles: 400..=1200,
};

/// Acid held in gel; the gentlest charge of all.
const GEL: Limits = Limits {
    charge: 2.33..=2.37,
    float: 2.25..=2.30,
    equalize: None,
    compensation: -5.0..=-3.0,
    empty: 1.90,
    lowest: 1.75..=1.80,
    full: 2.10..=2.15,
    working_resistance: 0.35,
    specific_energy: 25.0..=45.0,
    charge_share: 0.05..=1.0 / 7.0,
    discharge_share: 0.34,
    peukert: 1.05..=1.20,
    gas: 8.0,
    cycles: 600..=1800,
};

fn limits(chemistry: Chemistry) -> Limits {
    match chemistry {
        Chemistry::NickelIron => NICKEL_IRON,
        Chemistry::LithiumIronPhosphate => LITHIUM_IRON_PHOSPHATE,
        Chemistry::FloodedLead => FLOODED_LEAD,
        Chemistry::AbsorbedGlassMat => GLASS_MAT,
        Chemistry::Gel => GEL,
    }
}

fn unit_volts(it: &BatteryBank) -> f64 {
    it.chemistry.nominal_cell_voltage().value() * f64::from(it.cells_per_unit)
}

#[test]
fn voltages_stand_in_their_order_and_in_the_range_of_the_chemistry() {
    for (name, it) in each!(BatteryBank) {
        let limits = limits(it.chemistry);
        assert!(it.lowest_voltage < it.empty_voltage && it.empty_voltage < it.full_rest_voltage, "{name}");
        assert!(it.full_rest_voltage < it.charge_voltage, "{name}: charging must push");
        assert!(it.float_voltage.unwrap() < it.charge_voltage, "{name}");
        assert!(limits.charge.contains(&it.charge_voltage.value()), "{name}");
        assert!(limits.float.contains(&it.float_voltage.unwrap().value()), "{name}");
        assert!(limits.full.contains(&it.full_rest_voltage.value()), "{name}");
        assert!(same(it.empty_voltage.value(), limits.empty), "{name}");
        assert!(limits.lowest.contains(&it.lowest_voltage.value()), "{name}");
        let compensation = it.compensation.unwrap().value() * 1000.0;
        assert!(limits.compensation.contains(&compensation), "{name}: {compensation} mV/°C");
    }
}

#[test]
fn only_flooded_cells_are_equalized_and_gently() {
    for (name, it) in each!(BatteryBank) {
        assert_eq!(it.equalize_voltage.is_some(), it.chemistry.is_flooded(), "{name}");
        assert_eq!(it.equalize_current.is_some(), it.equalize_voltage.is_some(), "{name}");
        let (Some(volts), Some(amps)) = (it.equalize_voltage, it.equalize_current) else { continue };
        assert!(limits(it.chemistry).equalize.is_some_and(|range| range.contains(&volts.value())), "{name}");
        assert!(volts >= it.charge_voltage, "{name}");
        // It only stirs and gasses: a few hundredths of the capacity for lead, a tenth for nickel-iron.
        let share = amps.value() / it.capacity.value();
        assert!((0.03..=0.10).contains(&share), "{name}: {share}");
    }
}

#[test]
fn resistance_falls_as_capacity_grows() {
    for (name, it) in each!(BatteryBank) {
        // Plates in parallel: resistance times capacity is a property of the chemistry. The ohmic part is
        // less than the working resistance, which also has the slow processes, and not a tiny part of it.
        let cell = it.unit_resistance.unwrap().value() / f64::from(it.cells_per_unit);
        let product = cell * it.capacity.value();
        let working = limits(it.chemistry).working_resistance;
        assert!((0.15 * working..working).contains(&product), "{name}: {product} Ω·Ah");
        // A link is a bar of copper, far below the cell it joins except for the largest cells.
        let link = it.link_resistance.map_or(0.0, Ohms::value);
        assert!(link <= it.unit_resistance.unwrap().value(), "{name}");
    }
}

#[test]
fn nickel_iron_cells_scale_from_half_a_milliohm_at_four_hundred_ampere_hours() {
    for (name, it) in each!(BatteryBank).iter().filter(|(_, it)| it.chemistry == Chemistry::NickelIron) {
        // 0.5 mΩ × 400 Ah = 0.2 Ω·Ah for every size; C/5 for charge, 5 h for the rating.
        assert!(near(it.unit_resistance.unwrap().value() * it.capacity.value(), 0.2, 0.001), "{name}");
        assert!(same(it.charge_current.unwrap().value() * 5.0, it.capacity.value()), "{name}");
        assert!(same(it.rated_time.value(), 5.0), "{name}");
        // The standard for gas has no row for it: all of the end-of-charge current makes gas.
        let ends_at = it.equalize_current.unwrap().value() * 1000.0 / it.capacity.value();
        assert!(same(it.gas_current.unwrap().value(), ends_at), "{name}");
    }
}

#[test]
fn energy_for_mass_is_that_of_the_chemistry() {
    for (name, it) in each!(BatteryBank) {
        let energy = it.capacity.value() * unit_volts(&it);
        let specific = energy / it.mass.unwrap().value();
        assert!(limits(it.chemistry).specific_energy.contains(&specific), "{name}: {specific} Wh/kg");
    }
}

#[test]
fn currents_are_what_the_chemistry_bears() {
    for (name, it) in each!(BatteryBank) {
        let limits = limits(it.chemistry);
        let (charge, discharge) = (it.charge_current.unwrap(), it.discharge_current.unwrap());
        let share = charge.value() / it.capacity.value();
        assert!(limits.charge_share.contains(&share), "{name}: {share}");
        assert!(discharge.value() <= limits.discharge_share * it.capacity.value(), "{name}");
        assert!(it.peak_current.unwrap() > discharge && it.peak_time.is_some(), "{name}");
        // The drop at the peak must leave the cell above its lowest voltage, or the peak is not to be had.
        let cell = it.unit_resistance.unwrap().value() / f64::from(it.cells_per_unit);
        let left = it.full_rest_voltage.value() - cell * it.peak_current.unwrap().value();
        assert!(left > it.lowest_voltage.value(), "{name}: {left} V");
    }
}

#[test]
fn a_dead_short_gives_a_current_of_the_right_size() {
    for (name, it) in each!(BatteryBank) {
        let cell = it.unit_resistance.unwrap().value() / f64::from(it.cells_per_unit);
        let times = it.full_rest_voltage.value() / cell / it.capacity.value();
        // Textbooks give about 10 times the capacity for flooded cells, 20 to 40 for glass mat and lithium.
        assert!((5.0..=40.0).contains(&times), "{name}: {times} times its capacity");
    }
}

#[test]
fn gas_is_that_of_the_standard() {
    for (name, it) in each!(BatteryBank) {
        assert!(same(it.gas_current.unwrap().value(), limits(it.chemistry).gas), "{name}");
        assert_eq!(it.gas_current.unwrap().value() > 0.0, it.cells_per_vent.is_some(), "{name}");
    }
}

#[test]
fn management_opens_outside_the_working_window() {
    for (name, it) in each!(BatteryBank) {
        let lithium = it.chemistry == Chemistry::LithiumIronPhosphate;
        assert_eq!(it.management_low.is_some(), lithium, "{name}");
        let (Some(low), Some(high)) = (it.management_low, it.management_high) else { continue };
        let cells = f64::from(it.cells());
        // Below the end of discharge, so that the inverter stops first; above the charge, so that it never
        // opens on a good charge; and between what destroys a cell at either end.
        assert!(low.value() + 0.5 <= cells * it.empty_voltage.value(), "{name}");
        assert!(low.value() >= cells * it.lowest_voltage.value(), "{name}");
        assert!(
            high.value() > cells * it.charge_voltage.value() && high.value() <= cells * 3.65 + 1e-9,
            "{name}"
        );
        // Lithium must never be charged below 0 °C at the cell.
        assert!(it.charge_from.unwrap().value() >= 0.0, "{name}");
        assert_eq!(it.blocks_cold_charge, Some(Fitted::Yes), "{name}");
    }
}

#[test]
fn an_internal_fuse_fits_the_pack() {
    let mut fused = 0;
    for (name, it) in each!(BatteryBank) {
        let Some(rating) = it.internal_fuse_rating else { continue };
        let circuit = it.circuit_current.unwrap();
        // Continuous current times 1.25 is the least rating; twice would no longer protect the pack's leads.
        assert!((1.25..2.0).contains(&(rating / circuit)), "{name}");
        assert!(circuit >= it.discharge_current.unwrap().max(it.charge_current.unwrap()), "{name}");
        assert!(it.internal_fuse_voltage.unwrap() > it.management_high.unwrap(), "{name}");
        assert!(it.internal_fuse_interrupting.unwrap().value() >= 20_000.0, "{name}");
        fused += 1;
    }
    assert!(fused >= 3);
}

#[test]
fn capacity_follows_the_discharge_time() {
    for (name, it) in each!(BatteryBank) {
        let points = &it.capacities.as_ref().unwrap().0;
        let rated = value_at(points, it.rated_time.value()).unwrap();
        assert!(same(rated, it.capacity.value()), "{name}: the curve passes through the rated capacity");
        assert!(points.windows(2).all(|pair| pair[1].y >= pair[0].y), "{name}: slower gives more");
        // Peukert: capacity goes with the time to the power (n − 1)/n.
        let slow: Vec<&CurvePoint> = points.iter().filter(|point| (5.0..=20.0).contains(&point.x)).collect();
        let (first, last) = (slow.first().unwrap(), slow.last().unwrap());
        let power = (last.y / first.y).ln() / (last.x / first.x).ln();
        let exponent = 1.0 / (1.0 - power);
        assert!(limits(it.chemistry).peukert.contains(&exponent), "{name}: {exponent}");
    }
}

#[test]
fn the_cold_takes_capacity_and_charge() {
    for (name, it) in each!(BatteryBank) {
        let points = &it.capacity_by_temperature.as_ref().unwrap().0;
        assert!(points.windows(2).all(|pair| pair[1].y > pair[0].y), "{name}");
        // At freezing point every chemistry keeps two thirds to nine tenths.
        let freezing = value_at(points, 0.0).unwrap();
        assert!((65.0..=92.0).contains(&freezing), "{name}: {freezing} %");
        if let Some(charge) = &it.charge_by_temperature {
            assert_eq!(value_at(&charge.0, it.charge_from.unwrap().value()), Some(0.0), "{name}");
            assert_eq!(value_at(&charge.0, 25.0), Some(100.0), "{name}");
        }
        assert!(
            it.charge_from.unwrap() >= it.discharge_from.unwrap(),
            "{name}: cold charge harms before cold discharge"
        );
        assert!(it.charge_to.unwrap() <= it.discharge_to.unwrap(), "{name}");
    }
}

#[test]
fn life_is_that_of_the_chemistry() {
    for (name, it) in each!(BatteryBank) {
        assert!(limits(it.chemistry).cycles.contains(&it.cycle_life.unwrap()), "{name}");
        assert!((1.0..=30.0).contains(&it.self_discharge.unwrap().value()), "{name}");
        // Charge lost to gas: most in nickel-iron, next to none in lithium.
        assert!((75.0..=100.0).contains(&it.charge_efficiency.unwrap().value()), "{name}");
        assert!(it.parallel_limit.unwrap() >= it.strings_in_parallel, "{name}");
    }
}

#[test]
fn every_item_comes_as_a_bank_of_a_usual_voltage() {
    let banks = each!(BatteryBank);
    for (name, it) in &banks {
        assert!([12.0, 24.0, 48.0].contains(&it.voltage_class().value()), "{name}");
        // Code: a bank in a dwelling stays at or below 100 V, equalizing and cold included.
        assert!(it.highest_volts().value() * f64::from(it.cells()) < 75.0, "{name}");
    }
    for chemistry in Chemistry::ALL {
        assert!(banks.iter().any(|(_, it)| it.chemistry == *chemistry), "{}", chemistry.label());
    }
    for class in [12.0, 24.0, 48.0] {
        for chemistry in [Chemistry::NickelIron, Chemistry::LithiumIronPhosphate, Chemistry::FloodedLead] {
            let there =
                |it: &BatteryBank| it.chemistry == chemistry && same(it.voltage_class().value(), class);
            assert!(banks.iter().any(|(_, it)| there(it)), "{} of {class} V", chemistry.label());
        }
    }
    for capacity in [100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0] {
        let there =
            |it: &BatteryBank| it.chemistry == Chemistry::NickelIron && same(it.capacity.value(), capacity);
        assert!(banks.iter().any(|(_, it)| there(it)), "nickel-iron, {capacity} Ah");
    }
}
