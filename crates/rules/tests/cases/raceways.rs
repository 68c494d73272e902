//! Rules on how conductors are laid: fill of raceways, insulation for the place, fine strands.

use crate::support::{Case, copper};
use lineside_core::circuit::{Conductor, Insulation, Raceway, RacewaySize};
use lineside_core::project::RuleSet;
use lineside_core::units::{ConductorSize, Meters};

const FILL: &str = "raceway-fill";

const NEC: [RuleSet; 3] = [RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017];

/// Two runs in one buried conduit of PVC schedule 40: 1/0 with an 8 AWG ground, and 4 AWG.
fn two_in_one(size: RacewaySize) -> Case {
    let named = |conductor: Conductor| Conductor {
        raceway: Raceway::BuriedConduit,
        raceway_name: Some("Trench".to_owned()),
        raceway_size: Some(size),
        loaded_conductors: 4,
        ..conductor
    };
    let (first, second) = (named(copper("1/0", 105.0)), named(copper("4", 105.0)));
    Case::cabin()
        .run("W4", |it| *it = Conductor { grounding_conductor: Some(ConductorSize::Awg(8)), ..first })
        .join("W90", "CB1.out", "Q1.line", Some(Conductor { grounding_conductor: None, ..second }))
}

#[test]
fn conductors_fill_a_raceway() {
    // 2 × 0.1855 + 2 × 0.0824 + 0.0366 = 0.5724 in² = 3.69 cm².
    // 1-1/2 in of PVC schedule 40: 40 % of 1.986 = 0.7944 in² = 5.13 cm²; 1 in: 40 % of 0.832 = 0.3328 in² = 2.15 cm².
    for set in NEC {
        let fits = two_in_one(RacewaySize::OneAndHalf).under(set);
        assert!(fits.passes(FILL, "3.69", "5.13"), "{:?}", fits.says(FILL));
        assert!(fits.says(FILL).is_empty());
        assert_eq!(two_in_one(RacewaySize::One).under(set).says(FILL), ["correction W4: 3.69, not 2.15"]);
    }
    let full = two_in_one(RacewaySize::One);
    assert_eq!(full.clause(FILL), "NEC 2023 Chapter 9 Tables 1, 4 and 5");
    assert_eq!(full.mended(FILL).first().map(String::as_str), Some("1-1/4 in, PVC schedule 40"));
}

#[test]
fn one_and_two_conductors_have_limits_of_their_own() {
    let laid = |size, change: fn(&mut Conductor)| {
        Case::cabin().run("W16", move |it| {
            it.raceway = Raceway::MetalConduit;
            it.raceway_size = Some(size);
            it.grounding_conductor = None;
            change(it);
        })
    };
    // Two of 6 AWG: 2 × 0.0507 = 0.1014 in² = 0.65 cm². EMT: 31 % of 0.304 in² = 0.0942 in² = 0.61 cm²;
    // 31 % of 0.533 in² = 0.1652 in² = 1.07 cm².
    assert_eq!(laid(RacewaySize::Half, |_| {}).says(FILL), ["correction W16: 0.65, not 0.61"]);
    assert!(laid(RacewaySize::ThreeQuarters, |_| {}).passes(FILL, "0.65", "1.07"));
    // With a ground of 8 AWG three: 0.1014 + 0.0366 = 0.138 in² = 0.89 cm²; 40 % of 0.304 in² is 0.78 cm².
    let three = laid(RacewaySize::Half, |it| it.grounding_conductor = Some(ConductorSize::Awg(8)));
    assert_eq!(three.says(FILL), ["correction W16: 0.89, not 0.78"]);
    // In a nipple of 24 in 60 % of 0.304 in² = 0.1824 in² = 1.18 cm²; not in one of 25 in.
    let nipple = |inches: f64| {
        let length = Meters::from_feet(inches / 12.0);
        laid(RacewaySize::Half, |it| it.grounding_conductor = Some(ConductorSize::Awg(8)))
            .run("W16", |it| it.length = length)
    };
    assert!(nipple(24.0).passes(FILL, "0.89", "1.18"));
    assert_eq!(nipple(25.0).says(FILL), ["correction W16: 0.89, not 0.78"]);
    // The electrode conductor is alone: 6 AWG, 0.0507 in² = 0.33 cm²; 53 % of 0.304 in² = 0.1611 in² = 1.04 cm².
    let alone = Case::cabin().run("W21", |it| {
        it.raceway = Raceway::MetalConduit;
        it.raceway_size = Some(RacewaySize::Half);
    });
    assert!(alone.passes(FILL, "0.33", "1.04"), "{:?}", alone.asks(FILL));
}

#[test]
fn sets_in_parallel_may_lie_in_raceways_of_their_own() {
    let two = |loaded| {
        Case::cabin().run("W13", |it| {
            it.parallel = 2;
            it.loaded_conductors = loaded;
        })
    };
    // 4/0: 0.3237 in², ground of 4 AWG 0.0824 in². Each set 2 × 0.3237 + 0.0824 = 0.7298 in² = 4.71 cm²;
    // both 1.4596 in² = 9.42 cm². EMT of 1-1/2 in: 40 % of 2.036 in² = 0.8144 in² = 5.25 cm².
    assert!(two(2).passes(FILL, "4.71", "5.25"));
    assert_eq!(two(4).says(FILL), ["correction W13: 9.42, not 5.25"]);
}

#[test]
fn the_home_shares_its_conduits() {
    // Four 10 AWG with two grounds: 6 × 0.0211 = 0.1266 in² = 0.82 cm²; EMT of 3/4 in: 40 % of 0.533 in² = 1.38 cm².
    assert!(Case::home().passes(FILL, "0.82", "1.38"));
    // Split phase has a neutral: 3 × 0.0507 + 0.0211 = 0.1732 in² = 1.12 cm²; PVC of 3/4 in 40 % of 0.508 in² = 1.31 cm².
    assert!(Case::home().passes(FILL, "1.12", "1.31"));
    let small = Case::home()
        .run("W2", |it| it.raceway_size = Some(RacewaySize::Half))
        .run("W7", |it| it.raceway_size = None);
    // 40 % of 0.304 in² = 0.78 cm²
    assert_eq!(small.says(FILL), ["correction W2: 0.82, not 0.78"]);
}

#[test]
fn what_is_not_known_of_a_raceway() {
    let unnamed = Case::home().run("W2", |it| it.raceway_name = None);
    assert_eq!(unnamed.asks(FILL), ["What else lies in the raceway"]);
    let unlisted = Case::cabin().run("W4", |it| it.insulation = Insulation::PvWire);
    assert_eq!(unlisted.asks(FILL), ["Area of the conductor with its insulation"]);
    let no_size = Case::cabin().run("W4", |it| it.raceway_size = None);
    assert!(no_size.asks(FILL).is_empty() && no_size.says(FILL).is_empty());
}

#[test]
fn the_iec_has_a_custom_of_forty_percent() {
    // 0.65 cm² as above; EMT of 1/2 in: 40 % of 0.304 in² = 0.78 cm².
    let two = Case::cabin().under(RuleSet::Iec).run("W16", |it| {
        it.raceway = Raceway::MetalConduit;
        it.raceway_size = Some(RacewaySize::Half);
        it.grounding_conductor = None;
    });
    assert!(two.passes(FILL, "0.65", "0.78"));
    let full = two_in_one(RacewaySize::One).under(RuleSet::Iec);
    assert_eq!(full.says(FILL), ["correction W4: 3.69, not 2.15"]);
    assert_eq!(full.clause(FILL), "IEC 60364-5-52 cl. 522.8");
    let metric = Case::hut().run("W9", |it| it.raceway_size = Some(RacewaySize::One));
    assert_eq!(metric.asks(FILL), ["Area of the conductor with its insulation"]);
}

#[test]
fn the_cabin_is_laid_as_it_should_be() {
    let found = Case::cabin().check().report.findings;
    let titles: Vec<&str> = found.iter().map(|finding| finding.title.as_str()).collect();
    assert!(titles.is_empty(), "{titles:?}");
}
