//! Rules on what must be alike or standard: strings on one input, conductors in parallel, ratings of devices.

use crate::support::{Case, copper};
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, ConductorSize, Degrees, Volts};

const STRINGS: &str = "unequal-strings";
const PARALLEL: &str = "parallel-conductors";
const STANDARD: &str = "overcurrent-standard-size";

const NEC: [RuleSet; 3] = [RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017];

#[test]
fn strings_on_one_input_have_one_voltage() {
    // 3 × 30.50 = 91.50 V: (93.90 − 91.50) / 93.90 = 2.56 %; 2 × 31.30 = 62.60 V: 33.33 %
    let lower = Case::cabin().with::<Strings>("S2", |it| it.max_power_voltage = Volts::new(30.5));
    let shorter = Case::cabin().with::<Strings>("S2", |it| it.modules_in_series = 2);
    for set in NEC {
        assert!(lower.clone().under(set).passes(STRINGS, "2.56", "5.00"));
        assert!(lower.clone().under(set).says(STRINGS).is_empty());
        assert_eq!(shorter.clone().under(set).says(STRINGS), ["correction S2: 33.33, not 5.00"]);
    }
    // 3 × 29.70 = 89.10 V: 5.11 %
    let weak = Case::cabin().with::<Strings>("S2", |it| it.max_power_voltage = Volts::new(29.7));
    assert_eq!(weak.says(STRINGS), ["correction S2: 5.11, not 5.00"]);
    assert!(Case::hut().passes(STRINGS, "0.00", "5.00"));
    let hut = Case::hut().with::<Strings>("S2", |it| it.modules_in_series = 1);
    assert_eq!(hut.says(STRINGS), ["correction S2: 50.00, not 5.00"]);
    assert_eq!(hut.clause(STRINGS), "IEC 62548-1 cl. 5.1");
    let apart = Case::home().with::<Strings>("S2", |it| it.modules_in_series = 7);
    assert!(apart.says(STRINGS).is_empty(), "each on an input of its own");
}

#[test]
fn strings_on_one_input_look_one_way() {
    let facing = |case: Case, tilt, azimuth| {
        case.with::<Strings>("S2", |it| {
            it.tilt = Degrees::new(tilt);
            it.azimuth = Degrees::new(azimuth);
        })
    };
    // The others look south at 50°; the hut's at 60° and 175°.
    assert!(facing(Case::cabin(), 50.0, 195.0).passes(STRINGS, "15.00", "15.00"));
    let turned = facing(Case::cabin(), 50.0, 200.0);
    assert_eq!(turned.says(STRINGS), ["advice S2#direction: 20.00, not 15.00"]);
    let steep = facing(Case::cabin(), 70.0, 180.0);
    assert_eq!(steep.says(STRINGS), ["advice S2#direction: 20.00, not 15.00"]);
    assert!(facing(Case::hut(), 60.0, 190.0).says(STRINGS).is_empty());
    assert_eq!(facing(Case::hut(), 60.0, 195.0).says(STRINGS), ["advice S2#direction: 20.00, not 15.00"]);
    // 355° and 5° are 10° apart; a level module looks nowhere.
    let first = |case: Case, tilt, azimuth| {
        ["S1", "S3"].into_iter().fold(case, |case, tag| {
            case.with::<Strings>(tag, |it| {
                it.tilt = Degrees::new(tilt);
                it.azimuth = Degrees::new(azimuth);
            })
        })
    };
    assert!(first(facing(Case::cabin(), 50.0, 5.0), 50.0, 355.0).passes(STRINGS, "10.00", "15.00"));
    assert!(first(facing(Case::cabin(), 10.0, 90.0), 0.0, 180.0).passes(STRINGS, "10.00", "15.00"));
}

fn two(case: Case, run: &str, text: &str) -> Case {
    let size = ConductorSize::read(text).unwrap();
    case.run(run, |it| {
        it.size = size;
        it.parallel = 2;
    })
}

#[test]
fn small_conductors_are_not_paralleled() {
    for (set, clause) in [
        (RuleSet::Nec2023, "NEC 2023 310.10(G)"),
        (RuleSet::Nec2020, "NEC 2020 310.10(G)"),
        (RuleSet::Nec2017, "NEC 2017 310.10(H)"),
    ] {
        assert!(two(Case::cabin(), "W13", "1/0").under(set).passes(PARALLEL, "105600.00", "105600.00"));
        let small = two(Case::cabin(), "W13", "4").under(set);
        assert_eq!(small.says(PARALLEL), ["correction W13: 41740.00, not 105600.00"]);
        assert_eq!(small.clause(PARALLEL), clause);
    }
    // 16 mm² are 16 × 1973.525 = 31576.40 cmil, 10 mm² are 19735.25 cmil
    let hut = |text| two(Case::hut(), "W1", text).says(PARALLEL);
    assert!(hut("16 mm²").is_empty());
    assert_eq!(hut("10 mm²"), ["correction W1: 19735.25, not 31576.40"]);
    assert!(
        Case::cabin().run("W13", |it| it.size = ConductorSize::read("4").unwrap()).says(PARALLEL).is_empty()
    );
}

#[test]
fn runs_side_by_side_are_alike() {
    let beside = |size, feet| Case::cabin().join("W90", "QB.load", "F1.load", Some(copper(size, feet)));
    assert!(beside("4/0", 14.0).says(PARALLEL).is_empty());
    assert_eq!(beside("4/0", 20.0).says(PARALLEL), ["correction W90#alike: another length, not alike"]);
    assert_eq!(
        beside("2", 14.0).says(PARALLEL),
        ["correction W90: 66360.00, not 105600.00", "correction W90#alike: another size, not alike"]
    );
}

#[test]
fn ratings_are_standard_ones() {
    let rated = |case: Case, tag, amps| case.with::<Breaker>(tag, |it| it.rating = Amps::new(amps));
    for set in NEC {
        assert!(rated(Case::cabin(), "Q1", 70.0).under(set).passes(STANDARD, "70.00", "70.00"));
        assert_eq!(
            rated(Case::cabin(), "Q1", 65.0).under(set).says(STANDARD),
            ["advice Q1: 65.00, not 70.00"]
        );
    }
    // Breakers of 10 A are standard from 2023 on.
    assert!(rated(Case::cabin(), "Q1", 10.0).says(STANDARD).is_empty());
    for set in [RuleSet::Nec2020, RuleSet::Nec2017] {
        assert_eq!(
            rated(Case::cabin(), "Q1", 10.0).under(set).says(STANDARD),
            ["advice Q1: 10.00, not 15.00"]
        );
    }
    assert!(rated(Case::hut(), "Q1", 63.0).passes(STANDARD, "63.00", "63.00"));
    assert_eq!(rated(Case::hut(), "Q1", 60.0).says(STANDARD), ["advice Q1: 60.00, not 63.00"]);
}
