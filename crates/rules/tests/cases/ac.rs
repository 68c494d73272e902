//! Rules on the AC side.

use crate::support::{Case, copper};
use lineside_core::kinds::ac_panel::{AcPanel, MultiwireCircuits, SourcePosition};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::{AcSystem, Fitted, Separation};
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, ResidualType};
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_core::kinds::junction::Junction;
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, Meters, Percent, Watts};

const PASS: &str = "ac-pass-through";
const OVERLOAD: &str = "generator-overload";
const CONDUCTOR: &str = "generator-conductor";
const SINGLE: &str = "single-120-volt-supply";
const BUS: &str = "busbar-120-percent";
const BACKFED: &str = "backfed-breaker";
const CAPACITY: &str = "inverter-capacity";
const OUTPUT: &str = "inverter-output-overcurrent";
const SHOCK: &str = "ac-shock-protection";

#[test]
fn the_device_ahead_suits_the_transfer_relay() {
    let ahead = |amps| Case::home().with::<Breaker>("QM", |it| it.rating = Amps::new(amps));
    assert!(ahead(50.0).says(PASS).is_empty() && ahead(50.0).passes(PASS, "50.00", "50.00"));
    assert_eq!(ahead(60.0).says(PASS), ["correction INV1: 60.00, not 50.00"]);
    assert_eq!(ahead(60.0).mended(PASS), ["QM of 50 A"]);
    let smaller = ahead(50.0).with::<Inverter>("INV1", |it| it.greatest_input_device = Some(Amps::new(40.0)));
    assert_eq!(smaller.says(PASS).len(), 1, "the maker allows less than the relay");
    let unknown = Case::home().with::<Inverter>("INV1", |it| it.transfer_relay = None);
    assert_eq!(unknown.asks(PASS), ["Transfer relay"]);
}

#[test]
fn a_source_without_a_device_counts_with_what_it_gives() {
    // 14 kW at 240 V: 58.33 A straight into the second input
    let bare = Case::home()
        .without("QG")
        .join("W70", "G1.out", "INV1.in2", Some(copper("4", 80.0)))
        .with::<Generator>("G1", |it| it.breaker_rating = None);
    assert_eq!(bare.says(PASS), ["correction INV1: 58.33, not 50.00"]);
    // 12 kW: 50 A
    assert!(bare.with::<Generator>("G1", |it| it.power = Watts::new(12_000.0)).says(PASS).is_empty());
}

#[test]
fn devices_side_by_side_add_up() {
    // The utility behind 30 A and the generator of 14 kW behind its own device, together on the first input
    let beside = |amps| {
        let splice = Junction {
            ends: 3,
            rating: Amps::new(100.0),
            voltage: None,
            terminal_temperature: None,
            terminal_marking: None,
        };
        Case::home()
            .with::<Breaker>("QM", |it| it.rating = Amps::new(30.0))
            .with::<Breaker>("QG", |it| it.rating = Amps::new(amps))
            .put_equipment("X9", "INV1", splice.into())
            .cut("W21")
            .cut("W27")
            .join("W71", "BP1.to_inverter", "X9.end1", Some(copper("6", 6.0)))
            .join("W72", "QG.load", "X9.end2", Some(copper("6", 6.0)))
            .join("W73", "X9.end3", "INV1.in1", Some(copper("6", 6.0)))
    };
    assert_eq!(beside(25.0).says(PASS), ["correction INV1: 55.00, not 50.00"]);
    assert!(beside(20.0).says(PASS).is_empty());
}

#[test]
fn an_input_limit_stays_below_the_relay() {
    let set = |amps| Case::home().with::<Inverter>("INV1", |it| it.ac_input_limit = Some(Amps::new(amps)));
    assert_eq!(set(55.0).says(PASS), ["correction INV1#limit: 55.00, not 50.00"]);
    assert!(set(50.0).says(PASS).is_empty());
}

/// 10 kW of which 80 % are usable, 4500 W of loads, a charger of 90 % on 56.80 V.
fn charging(amps: f64) -> Case {
    Case::home()
        .with::<Generator>("G1", |it| {
            it.power = Watts::new(10_000.0);
            it.hot_derating = None;
        })
        .with::<Inverter>("INV1", |it| {
            it.charger_efficiency = None;
            it.charger_power_factor = None;
            it.charge_limit = Some(Amps::new(amps));
            it.ac_input_limit = None;
        })
}

#[test]
fn charger_and_loads_fit_the_generator() {
    // 55.40 × 56.80 / 0.90 + 4500 = 7996.36 W; 100 × 56.80 / 0.90 + 4500 = 10811.11 W
    assert!(charging(55.4).passes(OVERLOAD, "7996.36", "8000.00"));
    assert_eq!(charging(100.0).says(OVERLOAD), ["correction G1: 10811.11, not 8000.00"]);
    // (8000 − 4500) × 0.90 / 56.80 = 55.457 A; 8000 / 240 = 33.3 A
    let mended = charging(100.0).mended(OVERLOAD);
    assert_eq!(mended, ["Charge limit of INV1 at 55.45 A", "AC input limit of INV1 at 33 A"]);
    assert!(charging(55.45).says(OVERLOAD).is_empty());
    assert_eq!(charging(55.46).says(OVERLOAD).len(), 1);
}

#[test]
fn an_input_limit_caps_what_a_generator_gives() {
    // 33 A × 240 V = 7920 W
    let capped = charging(100.0).with::<Inverter>("INV1", |it| it.ac_input_limit = Some(Amps::new(33.0)));
    assert!(capped.passes(OVERLOAD, "7920.00", "8000.00"));
}

#[test]
fn height_and_heat_take_from_a_generator() {
    let plain = |case: Case| {
        case.with::<Generator>("G1", |it| {
            it.full_output_below = None;
            it.altitude_derating = None;
            it.full_output_to = None;
        })
    };
    // 1200 m: 3 steps of 300 m above 300 m, 10.5 %: 8000 × 0.895 = 7160 W
    let high = plain(charging(55.4)).site(|it| it.elevation = Some(Meters::new(1200.0)));
    assert_eq!(high.says(OVERLOAD), ["correction G1: 7996.36, not 7160.00"]);
    // No usable part given: 0.80, and 38 °C is 13 K above 25: 13 / 5.5 = 2.364 %: 7810.91 W
    let warm = plain(charging(55.4)).with::<Generator>("G1", |it| it.usable_share = None);
    assert_eq!(warm.says(OVERLOAD), ["correction G1: 7996.36, not 7810.91"]);
    let unknown = charging(55.0).site(|it| it.elevation = None);
    assert_eq!(unknown.asks(OVERLOAD), ["Elevation"]);
    let load = charging(55.0).with::<Generator>("G1", |it| it.load_while_charging = None);
    assert_eq!(load.asks(OVERLOAD), ["Load while charging"]);
}

#[test]
fn volt_amperes_count_where_the_power_factor_is_given() {
    // 35 × 56.80 / 0.90 = 2208.89 W; / 0.60 = 3681.48 VA; with 4500 W: 8181.48 VA
    let case =
        charging(35.0).with::<Inverter>("INV1", |it| it.charger_power_factor = Some(Percent::new(60.0)));
    assert_eq!(case.says(OVERLOAD), ["correction G1#apparent: 8181.48, not 8000.00"]);
}

#[test]
fn conductors_stand_115_percent_of_a_generator() {
    // 10 kW at 240 V: 1.15 × 41.67 = 47.92 A against 6 AWG, 65 A
    let size = |size: &str| {
        let size = lineside_core::units::ConductorSize::read(size).unwrap();
        charging(40.0).run("W26", move |it| it.size = size)
    };
    assert!(size("6").passes(CONDUCTOR, "65.00", "47.92"));
    let cool = size("8").run("W26", |it| {
        it.terminal_from = Some(lineside_core::units::Celsius::new(60.0));
    });
    assert_eq!(cool.says(CONDUCTOR), ["correction W26: 40.00, not 47.92"]);
    assert!(cool.mended(CONDUCTOR)[0].starts_with("6 AWG"));
}

/// The cabin's 120 V inverter on a panel for two lines.
fn split_panel(change: impl FnOnce(&mut AcPanel)) -> Case {
    Case::cabin().with::<AcPanel>("P1", |it| {
        it.ac_system = AcSystem::Split120x240;
        it.neutral_rating = Some(Amps::new(100.0));
        change(it);
    })
}

#[test]
fn a_120_volt_source_shares_no_neutrals() {
    assert!(split_panel(|_| ()).says(SINGLE).is_empty());
    assert!(split_panel(|_| ()).passes(SINGLE, "33.33", "100.00"));
    let shared = split_panel(|it| {
        it.multiwire = MultiwireCircuits::Some;
        it.largest_branch_breaker = Some(Amps::new(15.0));
    });
    // 15 + 15 = 30 A in phase on a neutral for 15 A
    assert_eq!(shared.says(SINGLE), ["danger P1#multiwire: 30.00, not 15.00"]);
    let unsized_ = split_panel(|it| it.multiwire = MultiwireCircuits::Some);
    assert_eq!(unsized_.says(SINGLE).len(), 1);
    let split = Case::home().with::<AcPanel>("P2", |it| it.multiwire = MultiwireCircuits::Some);
    assert!(split.says(SINGLE).is_empty(), "two lines, out of phase");
    assert!(shared.under(RuleSet::Iec).says(SINGLE).is_empty());
}

#[test]
fn a_120_volt_source_has_a_neutral_bus_and_no_240_volt_outlets() {
    let bus = |amps| split_panel(move |it| it.neutral_rating = Some(Amps::new(amps)));
    assert_eq!(bus(30.0).says(SINGLE), ["danger P1#neutral: 33.33, not 30.00"]);
    assert_eq!(split_panel(|it| it.neutral_rating = None).asks(SINGLE), ["Neutral bus rating"]);
    let outlet = split_panel(|it| it.largest_240_load = Some(Watts::new(2400.0)));
    assert_eq!(outlet.says(SINGLE), ["danger P1#outlets: 240 V outlets, not 120 V outlets only"]);
}

/// The home exports, its breaker at the far end of the 200 A bus.
fn exporting(change: impl FnOnce(&mut Inverter)) -> Case {
    Case::home()
        .with::<AcPanel>("P1", |it| it.source_position = Some(SourcePosition::FarEnd))
        .with::<Inverter>("INV1", |it| {
            it.export = Export::On;
            change(it);
        })
}

#[test]
fn a_bus_with_two_sources_is_not_overloaded() {
    // 1.25 × 8000 / 240 + 200 = 241.67 A; 1.25 × 32 + 200 = 240 A
    assert_eq!(exporting(|_| ()).says(BUS), ["correction P1: 241.67, not 240.00"]);
    let limited = exporting(|it| it.export_limit = Some(Amps::new(32.0)));
    assert!(limited.says(BUS).is_empty() && limited.passes(BUS, "240.00", "240.00"));
    let mended = exporting(|_| ()).mended(BUS);
    assert_eq!(mended[0], "Export limit of INV1 at 32 A");
    assert!(mended[1].contains("175 A"), "{mended:?}");
    assert!(Case::home().says(BUS).is_empty(), "no export, no matter");
}

#[test]
fn where_the_source_sits_on_the_bus_matters() {
    let limited = || exporting(|it| it.export_limit = Some(Amps::new(32.0)));
    let position = |at| limited().with::<AcPanel>("P1", |it| it.source_position = at);
    assert_eq!(position(None).asks(BUS), ["Source breaker"]);
    assert_eq!(position(Some(SourcePosition::Elsewhere)).says(BUS), ["correction P1: 240.00, not 200.00"]);
    let summed = position(Some(SourcePosition::Elsewhere))
        .with::<AcPanel>("P1", |it| it.branch_breakers = Some(Amps::new(190.0)));
    assert!(summed.says(BUS).is_empty(), "the sum of all breakers is within the bus");
    // IEC: 33.33 + 200 A
    assert_eq!(exporting(|_| ()).under(RuleSet::Iec).says(BUS), ["correction P1: 233.33, not 200.00"]);
    assert_eq!(exporting(|_| ()).under(RuleSet::Nec2017).clause(BUS), "NEC 2017 705.12(B)(2)(3)");
}

#[test]
fn a_breaker_that_feeds_a_panel_is_fastened() {
    // On the bus of the cabin's panel, fed from the stand-alone inverter.
    let seated = |change: fn(&mut Breaker)| {
        Case::cabin().cut("W17").join("W60", "QM.load", "P1.feed", None).with("QM", change)
    };
    assert_eq!(
        seated(|_| ()).says(BACKFED),
        ["correction QM: plug-in, not fastened, not held down or bolted"]
    );
    assert_eq!(seated(|_| ()).mended(BACKFED), ["A hold-down kit for QM"]);
    assert!(seated(|it| it.plug_in = Some(Fitted::No)).says(BACKFED).is_empty());
    assert_eq!(seated(|it| it.plug_in = None).asks(BACKFED), ["Plug-in, not fastened"]);
    let marked = seated(|it| {
        it.plug_in = Some(Fitted::No);
        it.marked_line_load = Some(Fitted::Yes);
    });
    assert_eq!(marked.says(BACKFED).len(), 1);
    assert!(Case::cabin().says(BACKFED).is_empty(), "in a box of its own");
    // The home's breaker on the service panel feeds the inverter; it is fed backwards only while that exports.
    let plugged = |case: Case| case.with::<Breaker>("QM", |it| it.plug_in = Some(Fitted::Yes));
    assert!(plugged(Case::home()).says(BACKFED).is_empty());
    assert_eq!(plugged(exporting(|_| ())).says(BACKFED).len(), 1);
}

#[test]
fn the_inverter_runs_its_largest_load() {
    let load = |watts| Case::cabin().with::<AcPanel>("P1", |it| it.largest_load = Some(Watts::new(watts)));
    assert!(load(1500.0).passes(CAPACITY, "4000.00", "1500.00"));
    assert!(load(4000.0).says(CAPACITY).is_empty());
    assert_eq!(load(4500.0).says(CAPACITY), ["correction P1: 4000.00, not 4500.00"]);
    let unknown = |case: Case| {
        case.with::<AcPanel>("P1", |it| {
            it.largest_load = None;
            it.connected_load = None;
        })
    };
    assert_eq!(unknown(Case::cabin().without_loads()).asks(CAPACITY), ["Largest load"]);
    // The brief's largest is the kitchen.
    assert!(unknown(Case::cabin()).passes(CAPACITY, "4000.00", "1500.00"));
    let small = Case::cabin().with::<AcPanel>("P1", |it| it.largest_load = None);
    assert!(small.asks(CAPACITY).is_empty(), "all loads together are within the inverter");
}

#[test]
fn the_inverter_starts_and_has_the_lines() {
    // 7600 W to start while 600 W run, against a surge of 8000 W
    let start = |watts| Case::cabin().with::<AcPanel>("P1", |it| it.largest_start = Some(Watts::new(watts)));
    assert_eq!(start(7600.0).says(CAPACITY), ["correction P1#surge: 8000.00, not 8200.00"]);
    assert!(start(7400.0).says(CAPACITY).is_empty());
    let pump = Case::cabin().with::<AcPanel>("P1", |it| it.largest_240_load = Some(Watts::new(2400.0)));
    assert_eq!(pump.says(CAPACITY), ["correction P1#lines: 120 V source, not a source of 240 V"]);
}

#[test]
fn the_output_device_lies_between_current_and_the_makers_limit() {
    // 1.25 × 4000 / 120 = 41.67 A; 1.25 × 8000 / 240 = 41.67 A
    assert!(Case::cabin().passes(OUTPUT, "45.00", "41.67"));
    let home = |amps| Case::home().with::<Breaker>("QO", |it| it.rating = Amps::new(amps));
    assert_eq!(home(40.0).says(OUTPUT), ["correction QO: 40.00, not 41.67"]);
    assert_eq!(home(40.0).mended(OUTPUT), ["QO of 45 A"]);
    assert!(home(50.0).says(OUTPUT).is_empty());
    assert_eq!(home(60.0).says(OUTPUT), ["correction QO#large: 60.00, not 50.00"]);
    let unknown = Case::home().with::<Inverter>("INV1", |it| it.greatest_output_device = None);
    assert_eq!(unknown.asks(OUTPUT), ["Greatest output device"]);
    // IEC: 1500 / 230 = 6.52 A
    assert!(Case::hut().passes(OUTPUT, "10.00", "6.52"));
}

#[test]
fn residual_current_devices_serve_on_inverter_supply() {
    assert!(Case::hut().says(SHOCK).is_empty() && Case::hut().passes(SHOCK, "0.03", "0.03"));
    // 2 × 1200 / 230 = 10.43 A against 5 × 10 = 50 A
    let breaker = Case::hut()
        .with::<GroundFaultDevice>("Q3", |it| it.trip_current = Amps::new(0.3))
        .with::<Inverter>("INV1", |it| {
            it.continuous = Watts::new(1200.0);
            it.output_fault_current = None;
        })
        .with::<AcPanel>("P1", |it| it.largest_branch_breaker = Some(Amps::new(10.0)));
    assert_eq!(breaker.says(SHOCK), ["correction P1: 10.43, not 50.00"]);
    assert_eq!(breaker.mended(SHOCK), ["Residual-current devices in P1"]);
    let fitted = breaker.clone().with::<AcPanel>("P1", |it| it.residual_current = Some(Fitted::Yes));
    assert!(fitted.says(SHOCK).is_empty());
    let unknown = breaker.with::<AcPanel>("P1", |it| it.largest_branch_breaker = None);
    assert_eq!(unknown.asks(SHOCK), ["Residual-current protection"]);
}

#[test]
fn behind_an_inverter_that_does_not_isolate_direct_current_counts() {
    let open = |kind| {
        Case::hut()
            .with::<Inverter>("INV1", |it| it.separation = Separation::None)
            .with::<GroundFaultDevice>("Q3", move |it| it.residual_type = kind)
    };
    assert_eq!(open(Some(ResidualType::TypeA)).says(SHOCK).len(), 1);
    assert!(open(Some(ResidualType::TypeB)).says(SHOCK).is_empty());
    assert_eq!(open(None).asks(SHOCK), ["Residual currents"]);
}

#[test]
fn under_the_nec_missing_interrupters_are_advice() {
    let panel = |fitted| Case::cabin().with::<AcPanel>("P1", |it| it.residual_current = fitted);
    assert_eq!(panel(Some(Fitted::No)).says(SHOCK).len(), 1);
    assert!(panel(Some(Fitted::No)).says(SHOCK)[0].starts_with("advice P1"));
    assert!(panel(None).says(SHOCK).is_empty());
}

#[test]
fn banks_without_voltage_leave_generators_alone() {
    let empty = charging(100.0).without("B1").without("B2").without("B3");
    assert!(empty.says(OVERLOAD).is_empty());
    let two = charging(100.0).with::<BatteryBank>("B1", |it| it.units_in_series = 1);
    assert_eq!(two.says(OVERLOAD).len(), 1);
}
