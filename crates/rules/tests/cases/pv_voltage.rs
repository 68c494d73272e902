//! Rules on the voltage that buildings allow, the voltage table, the upper end of the tracking range, and
//! switching controllers.

use crate::support::Case;
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::kinds::strings::{ModuleTechnology, Strings};
use lineside_core::project::{BuildingUse, RuleSet};
use lineside_core::units::{Amps, Celsius, Volts};

const BUILDING: &str = "pv-building-voltage";
const METHOD: &str = "cold-voltage-method";
const TRACKING: &str = "string-voltage-above-tracking";
const TRACKER: &str = "string-hot-voltage-tracker";
const SWITCHING: &str = "simple-controller-match";

const NEC: [RuleSet; 3] = [RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017];

/// The roof of the home at −24 °C: so many modules of 38.90 × (1 + 0.0025 × 49) = 43.665 25 V in both strings.
fn roof(modules: u32) -> Case {
    let both = |case: Case, tag| case.with::<Strings>(tag, |it| it.modules_in_series = modules);
    let cold = Case::home().site(|it| it.record_low = Some(Celsius::new(-24.0)));
    both(both(cold, "S1"), "S2")
}

#[test]
fn dwellings_have_600_volts_and_other_buildings_1000() {
    // 12 × 43.66525 = 523.98 V, 16 × 43.66525 = 698.64 V
    for set in NEC {
        assert!(roof(12).under(set).passes(BUILDING, "523.98", "600.00"));
        let long = roof(16).under(set);
        assert_eq!(
            long.says(BUILDING),
            ["correction S1: 698.64, not 600.00", "correction S2: 698.64, not 600.00"]
        );
        let other = |case: Case| case.under(set).site(|it| it.building = Some(BuildingUse::Other));
        assert!(other(roof(16)).passes(BUILDING, "698.64", "1000.00"));
        // 23 × 43.66525 = 1004.30 V
        assert_eq!(other(roof(23)).says(BUILDING).len(), 2);
        assert!(other(roof(22)).says(BUILDING).is_empty());
    }
}

#[test]
fn the_iec_has_1000_volts_on_every_building() {
    assert!(roof(16).under(RuleSet::Iec).passes(BUILDING, "698.64", "1000.00"));
    assert_eq!(roof(23).under(RuleSet::Iec).says(BUILDING)[0], "correction S1: 1004.30, not 1000.00");
}

#[test]
fn what_is_not_told_of_the_building_is_asked_for() {
    let untold = |modules| roof(modules).site(|it| it.building = None);
    assert_eq!(untold(16).asks(BUILDING), ["Building"]);
    assert!(untold(12).asks(BUILDING).is_empty(), "within the least of all limits");
    assert!(untold(12).passes(BUILDING, "523.98", "600.00"));
}

#[test]
fn the_voltage_table_ends_at_40_below() {
    let at = |case: Case, low| {
        case.with::<Strings>("S1", |it| it.open_circuit_coefficient = None)
            .site(|it| it.record_low = Some(Celsius::new(low)))
    };
    for set in NEC {
        assert!(at(Case::cabin(), -31.0).under(set).passes(METHOD, "-31.00", "-40.00"));
        assert!(at(Case::cabin(), -40.0).under(set).passes(METHOD, "-40.00", "-40.00"));
        let cold = at(Case::cabin(), -43.0).under(set);
        assert_eq!(cold.says(METHOD), ["correction S1: -43.00, not -40.00"]);
    }
    assert!(at(Case::hut(), -24.0).passes(METHOD, "-24.00", "-40.00"));
    assert_eq!(at(Case::hut(), -41.0).says(METHOD), ["correction S1: -41.00, not -40.00"]);
    let known = Case::cabin().site(|it| it.record_low = Some(Celsius::new(-43.0)));
    assert!(known.says(METHOD).is_empty(), "by the coefficient, not by the table");
    let unknown = at(Case::cabin(), -31.0).site(|it| it.record_low = None);
    assert_eq!(unknown.asks(METHOD), ["Record low"]);
}

#[test]
fn the_voltage_table_is_for_crystalline_silicon() {
    let thin = |case: Case| {
        case.with::<Strings>("S1", |it| {
            it.open_circuit_coefficient = None;
            it.technology = ModuleTechnology::ThinFilm;
        })
    };
    for case in [thin(Case::cabin()), thin(Case::hut())] {
        assert_eq!(case.says(METHOD), ["correction S1#technology: thin film, not crystalline silicon"]);
    }
}

#[test]
fn cold_bright_days_stay_in_the_tracking_range() {
    // 12 × 32.50 × (1 + 0.0029 × 49) = 445.42 V, 13 × 32.50 × 1.1421 = 482.54 V
    for set in NEC {
        assert!(roof(12).under(set).passes(TRACKING, "445.42", "450.00"));
        let long = roof(13).under(set);
        assert_eq!(long.says(TRACKING), ["advice C1: 482.54, not 450.00", "advice C2: 482.54, not 450.00"]);
    }
    // 2 × 38.10 × (1 + 0.0038 × 49) = 90.39 V
    let hut =
        |volts| Case::hut().with::<ChargeController>("C1", |it| it.tracking_high = Some(Volts::new(volts)));
    assert!(hut(91.0).passes(TRACKING, "90.39", "91.00"));
    assert_eq!(hut(90.0).says(TRACKING), ["advice C1: 90.39, not 90.00"]);
    let untold = Case::hut().with::<ChargeController>("C1", |it| it.tracking_high = None);
    assert_eq!(untold.asks(TRACKING), ["Tracking to"]);
    let switching = hut(90.0).with::<ChargeController>("C1", |it| it.kind = ControllerType::Switching);
    assert!(switching.says(TRACKING).is_empty());
}

/// The hut behind a switching controller: one module in each string gives in the heat
/// 38.10 × (1 − 0.0038 × (24 + 1.25 × 26 − 25)) = 33.54 V; the bank at its highest 12 × (2.55 + 0.005 × 25) = 32.10 V.
fn hut(modules: u32) -> Case {
    Case::hut()
        .with::<ChargeController>("C1", |it| it.kind = ControllerType::Switching)
        .with::<Strings>("S1", |it| it.modules_in_series = modules)
        .with::<Strings>("S2", |it| it.modules_in_series = modules)
}

/// The cabin likewise: a module gives 31.30 × (1 − 0.0034 × 39.25) = 27.123 V, the bank rises to
/// 40 × (1.65 + 0.004 × 15) = 68.40 V.
fn cabin(modules: u32) -> Case {
    ["S1", "S2", "S3"].into_iter().fold(
        Case::cabin().with::<ChargeController>("C1", |it| it.kind = ControllerType::Switching),
        |case, tag| case.with::<Strings>(tag, |it| it.modules_in_series = modules),
    )
}

#[test]
fn strings_on_a_switching_controller_finish_the_charge() {
    assert!(hut(1).passes(SWITCHING, "33.54", "33.10"));
    // At 34 °C: 38.10 × (1 − 0.0038 × 41.5) = 32.09 V
    let hotter = hut(1).site(|it| it.design_high = Some(Celsius::new(34.0)));
    assert_eq!(hotter.says(SWITCHING), ["correction C1: 32.09, not 33.10"]);
    for set in NEC {
        assert!(cabin(3).under(set).passes(SWITCHING, "81.37", "69.40"));
        assert_eq!(cabin(2).under(set).says(SWITCHING), ["correction C1: 54.25, not 69.40"]);
    }
    assert!(Case::hut().says(SWITCHING).is_empty(), "the hut's own controller tracks");
    let untold = hut(1).site(|it| it.design_high = None);
    assert_eq!(untold.asks(SWITCHING), ["2 % design high"]);
}

#[test]
fn a_switching_controller_does_not_throw_too_much_away() {
    // 1.60 × 33.10 = 52.96 V, 1.60 × 69.40 = 111.04 V; 2 × 33.54 = 67.08 V, 4 × 27.123 = 108.49 V,
    // 5 × 27.123 = 135.62 V
    assert!(hut(1).passes(SWITCHING, "33.54", "52.96"));
    assert_eq!(hut(2).says(SWITCHING), ["advice C1#lost: 67.08, not 52.96"]);
    assert!(cabin(4).passes(SWITCHING, "108.49", "111.04"));
    assert_eq!(cabin(5).says(SWITCHING), ["advice C1#lost: 135.62, not 111.04"]);
}

#[test]
fn a_switching_controller_carries_the_full_current() {
    // 1.25 × 2 × 9.20 = 23.00 A, 1.25 × 3 × 13.60 = 51.00 A
    let rated =
        |case: Case, amps| case.with::<ChargeController>("C1", |it| it.output_current = Amps::new(amps));
    assert!(rated(hut(1), 23.0).passes(SWITCHING, "23.00", "23.00"));
    assert_eq!(rated(hut(1), 22.9).says(SWITCHING), ["correction C1#current: 23.00, not 22.90"]);
    assert!(rated(cabin(3), 51.0).passes(SWITCHING, "51.00", "51.00"));
    assert_eq!(rated(cabin(3), 50.0).says(SWITCHING), ["correction C1#current: 51.00, not 50.00"]);
}

#[test]
fn hot_strings_want_the_design_high() {
    assert!(Case::cabin().asks(TRACKER).is_empty());
    assert_eq!(Case::cabin().site(|it| it.design_high = None).asks(TRACKER), ["2 % design high"]);
}
