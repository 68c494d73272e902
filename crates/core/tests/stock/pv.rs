//! Modules, combiners, charge controllers and what stands beside them on the array side.

use crate::{each, near, same};
use lineside_core::kinds::charge_controller::ControllerType;
use lineside_core::kinds::combiner::WayDevice;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::strings::ModuleTechnology;
use lineside_core::units::{Amps, Volts};

/// Volts per battery class while charging: 6, 12 or 24 lead cells at 2.4 V, near 4, 8 or 16 lithium cells at 3.6 V.
const CHARGING_VOLTS: [(f64, f64); 3] = [(12.0, 14.4), (24.0, 28.8), (48.0, 57.6)];

#[test]
fn module_power_is_voltage_times_current() {
    for (name, it) in each!(Strings) {
        let product = it.max_power_voltage * it.max_power_current;
        // The printed figures are rounded, so a hundredth of a volt and of an ampere may be lost: well under 0.5 %.
        assert!(near(product.value(), it.power.value(), 0.005), "{name}: {product}");
    }
}

#[test]
fn fill_factor_is_that_of_silicon() {
    for (name, it) in each!(Strings) {
        let corner = it.open_circuit_voltage * it.short_circuit_current;
        let fill = it.max_power_voltage * it.max_power_current / corner;
        // Series resistance keeps it below 0.85, and a module below 0.70 would be faulty.
        assert!((0.70..0.85).contains(&fill), "{name}: {fill}");
        let voltage = it.max_power_voltage / it.open_circuit_voltage;
        let current = it.max_power_current / it.short_circuit_current;
        assert!((0.78..0.87).contains(&voltage) && (0.91..0.97).contains(&current), "{name}");
    }
}

#[test]
fn voltage_per_cell_is_that_of_a_junction() {
    for (name, it) in each!(Strings) {
        assert_eq!(it.technology, ModuleTechnology::Crystalline, "{name}");
        let cell = it.open_circuit_voltage.value() / f64::from(it.cells.unwrap());
        // Silicon at 25 °C and full sun: 0.55 V for the poorest cell sold, 0.75 V for the best.
        assert!((0.55..0.75).contains(&cell), "{name}: {cell}");
        // One bypass diode guards at most 24 cells, or the reverse voltage breaks a shaded cell down.
        let guarded = f64::from(it.cells.unwrap()) / f64::from(it.bypass_diodes.unwrap());
        assert!((12.0..=24.0).contains(&guarded), "{name}: {guarded}");
    }
}

#[test]
fn coefficients_are_those_of_silicon() {
    for (name, it) in each!(Strings) {
        let open = it.open_circuit_coefficient.unwrap().value();
        let power = it.power_coefficient.unwrap().value();
        let short = it.short_circuit_coefficient.unwrap().value();
        // About −2 mV per cell and degree on 0.65 V is −0.3 %; power falls faster because the knee softens too.
        assert!((-0.36..=-0.22).contains(&open) && (-0.48..=-0.26).contains(&power), "{name}");
        assert!(power < open, "{name}");
        // The band gap narrows with heat, so a little more light is taken.
        assert!((0.02..=0.07).contains(&short), "{name}");
        assert!((40.0..=48.0).contains(&it.nominal_cell_temperature.unwrap().value()), "{name}");
    }
}

#[test]
fn power_for_area_and_mass_is_possible() {
    for (name, it) in each!(Strings) {
        let area = it.length.unwrap().value() * it.width.unwrap().value();
        // Efficiency is watts over 1000 W/m² times the area: 14 % for old cells, below 24 % for the best on sale.
        let efficiency = it.power.value() / (1000.0 * area);
        assert!((0.14..0.24).contains(&efficiency), "{name}: {efficiency}");
        // Glass of 3.2 mm alone weighs 8 kg/m²; with a frame, or glass on both sides, 10 to 14.
        let surface_mass = it.mass.unwrap().value() / area;
        assert!((9.0..14.0).contains(&surface_mass), "{name}: {surface_mass}");
        assert!(it.length > it.width, "{name}: the long side is the length");
    }
}

#[test]
fn a_string_device_exists_for_every_module() {
    for (name, it) in each!(Strings) {
        // 1.25 for the sun and 1.25 for long duty: a device below this opens in summer, one above the module's
        // rating does not protect it. A module that leaves no room between could not be combined.
        let least = 1.25 * 1.25 * it.greatest_short_circuit_current().value();
        let rating = it.series_fuse_rating.unwrap().value();
        // IEC 62548-1 has no string device above 2.4 times the current, so no module is rated for more.
        let most = 2.4 * it.short_circuit_current.value();
        assert!((least..most).contains(&rating), "{name}: {least} to {most}");
    }
}

#[test]
fn the_rear_of_a_bifacial_module_adds_its_share() {
    let mut bifacial = 0;
    for (name, it) in each!(Strings) {
        assert_eq!(it.bifacial_share.is_some(), it.bifacial_short_circuit_current.is_some(), "{name}");
        let (Some(share), Some(both)) = (it.bifacial_share, it.bifacial_short_circuit_current) else {
            continue;
        };
        // Rear light of 135 W/m² counts with the share of the front's response.
        let want = it.short_circuit_current.value() * (1.0 + 0.135 * share.share());
        assert!(near(both.value(), want, 0.002), "{name}: {want}");
        bifacial += 1;
    }
    assert!(bifacial >= 2);
}

#[test]
fn ageing_is_slow() {
    for (name, it) in each!(Strings) {
        let (first, later) = (it.first_year_loss.unwrap().value(), it.yearly_loss.unwrap().value());
        // Makers warrant about 80 to 88 % after 25 years.
        let left = 100.0 - first - 24.0 * later;
        assert!((78.0..95.0).contains(&left) && first >= later, "{name}: {left}");
    }
}

#[test]
fn a_combiner_bus_carries_all_its_ways() {
    for (name, it) in each!(Combiner) {
        let each_bus = it.ways.div_ceil(it.buses);
        // A way's device is at least 1.56 times its string, so the sum of the devices covers the rule for the bus.
        let sum = f64::from(each_bus) * it.device_rating.value();
        assert!(it.bus_rating.value() >= sum, "{name}: {sum}");
        // PV fuses limit the current and break 20 kA, small DC breakers 10 kA.
        let breaks = if it.device == WayDevice::FuseHolder { 20_000.0 } else { 10_000.0 };
        assert_eq!(it.interrupting_rating, Some(Amps::new(breaks)), "{name}");
        assert_eq!(it.ways % it.buses, 0, "{name}: ways are shared out evenly");
        assert_eq!(it.pv_listed, Some(Fitted::Yes), "{name}");
        if let Some(arrester) = it.arrester_voltage {
            assert!(arrester >= it.dc_voltage.unwrap(), "{name}: the arrester would conduct first");
        }
    }
    let combiners = each!(Combiner);
    for ways in [2, 3, 4, 6] {
        assert!(combiners.iter().any(|(_, it)| it.ways == ways), "{ways} ways");
    }
    assert!(combiners.iter().any(|(_, it)| it.buses == 2));
}

#[test]
fn controller_watts_follow_from_current_and_charging_voltage() {
    for (name, it) in each!(ChargeController) {
        let given = [it.array_watts_12, it.array_watts_24, it.array_watts_48];
        assert!(given.iter().any(Option::is_some), "{name}");
        for (watts, (class, volts)) in given.iter().zip(CHARGING_VOLTS) {
            let Some(watts) = watts else { continue };
            let want = it.output_current.value() * volts;
            assert!(near(watts.value(), want, 0.25), "{name} at {class} V: {want}");
        }
        // At twice the battery voltage the same current charges with twice the power.
        let known: Vec<f64> = given.iter().flatten().map(|watts| watts.value()).collect();
        assert!(known.is_sorted() && known.windows(2).all(|pair| pair[1] > 1.8 * pair[0]), "{name}");
    }
}

#[test]
fn controller_windows_hold_the_banks_they_are_for() {
    for (name, it) in each!(ChargeController) {
        let (low, high) = (it.min_output_voltage.unwrap(), it.max_output_voltage.unwrap());
        let setting = it.highest_charge_setting.unwrap();
        // Below what destroys it, and not far below: parts are chosen for the highest setting.
        assert!((0.9..1.0).contains(&(setting / high)), "{name}: {setting} of {high}");
        let classes = [
            (it.array_watts_12.is_some(), 10.0),
            (it.array_watts_24.is_some(), 20.0),
            (it.array_watts_48.is_some(), 40.0),
        ];
        for cells in classes.iter().filter(|(served, _)| *served).map(|(_, cells)| *cells) {
            // Nickel-iron has the widest window: 1.00 V per cell at the very end, 1.65 V while it equalizes.
            assert!(low.value() <= cells * 1.00, "{name}: {cells} cells");
            assert!(setting.value() >= cells * 1.65, "{name}: {cells} cells");
        }
    }
}

#[test]
fn controller_inputs_are_in_order() {
    for (name, it) in each!(ChargeController) {
        let limit = it.max_input_voltage;
        if it.kind == ControllerType::Switching {
            // Strings for a 24 V bank have an open-circuit voltage near 45 V.
            assert!(limit >= Volts::new(50.0) && it.tracking_low.is_none(), "{name}");
            // A switching controller passes the strings' own current through, so its two ratings are one.
            assert_eq!(it.input_short_circuit_current, Some(it.output_current), "{name}");
            continue;
        }
        let (low, high) = (it.tracking_low.unwrap(), it.tracking_high.unwrap());
        let works = it.operating_input_voltage.unwrap_or(limit);
        assert!(low < high && high <= works && works <= limit, "{name}");
        // Tracking starts near the battery's own voltage; where the limit is high, at a fifth to a third of it.
        assert!((0.06..0.35).contains(&(low / limit)), "{name}");
        if it.kind == ControllerType::TrackingStepDown {
            assert!(it.headroom.unwrap() >= Volts::new(1.0), "{name}: current flows only downhill");
        }
        // The input must take the current that makes its greatest charging power from a string that fits it
        // twice over: near the top of its voltage on one side, near half of it on the other.
        let watts = it.array_watts_48.or(it.array_watts_24).unwrap().value();
        let least = watts / high.value();
        assert!(it.input_short_circuit_current.unwrap().value() >= 1.25 * least, "{name}: {least}");
        assert_eq!(it.backfeed_current, Some(Amps::ZERO), "{name}: trackers block");
    }
}

#[test]
fn controllers_lose_little() {
    for (name, it) in each!(ChargeController) {
        let watts = it.array_watts_12.or(it.array_watts_24).or(it.array_watts_48).unwrap().value();
        // What it takes by itself all night is below 0.4 % of the smallest array that it is made for.
        assert!(it.own_consumption.unwrap().value() < 0.004 * watts, "{name}");
        for point in it.efficiency.as_ref().unwrap() {
            assert!((90.0..99.5).contains(&point.y), "{name}: {} % at {} %", point.y, point.x);
        }
    }
}

#[test]
fn controllers_for_high_voltage_protect_against_arcs_and_ground_faults() {
    for (name, it) in each!(ChargeController) {
        // A roof at several hundred volts needs both by code, and equipment of that class has them.
        if it.max_input_voltage > Volts::new(300.0) {
            assert_eq!(it.ground_fault_protection, Some(Fitted::Yes), "{name}");
            assert_eq!(it.arc_fault_protection, Some(Fitted::Yes), "{name}");
        }
        if let Some(switch) = it.input_switch_voltage {
            assert!(switch >= it.max_input_voltage, "{name}: the switch must break what the input bears");
            assert!(it.input_switch_rating >= it.input_short_circuit_current, "{name}");
        }
    }
}

#[test]
fn the_usual_controllers_are_there() {
    let all = each!(ChargeController);
    let has = |volts: f64, amps: f64| {
        all.iter()
            .any(|(_, it)| same(it.max_input_voltage.value(), volts) && same(it.output_current.value(), amps))
    };
    for (volts, amps) in
        [(75.0, 15.0), (100.0, 30.0), (100.0, 50.0), (150.0, 60.0), (150.0, 85.0), (250.0, 100.0)]
    {
        assert!(has(volts, amps), "{volts} V, {amps} A");
    }
    for kind in ControllerType::ALL {
        assert!(all.iter().any(|(_, it)| it.kind == *kind), "{}", kind.label());
    }
}

#[test]
fn rapid_shutdown_meets_its_limits() {
    for (name, it) in each!(ShutdownInitiator) {
        assert!(it.time.value() <= 30.0, "{name}: NEC 690.12 gives 30 s");
    }
    for (name, it) in each!(ShutdownReceiver) {
        assert!(it.residual_voltage.value() <= 30.0, "{name}: NEC 690.12 leaves 30 V outside the array");
        assert!(it.rating.value() >= 15.0 && it.dc_voltage.unwrap().value() >= 600.0, "{name}");
    }
}
