//! Rules on how conductors are laid: fill of raceways, insulation for the place, fine strands.

use crate::support::{Case, copper};
use lineside_core::circuit::{
    Conductor, ConductorEnds, Insulation, Raceway, RacewaySize, Stranding, Surroundings,
};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::{Fitted, TerminalMarking};
use lineside_core::kinds::curve::{CurvePoint, ShareAtTemperature};
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::{Mounting, Strings};
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, Celsius, ConductorSize, Meters, PercentPerCelsius, Volts};

const FILL: &str = "raceway-fill";
const PLACE: &str = "conductor-type-place";
const CABLE: &str = "flexible-cable";
const AMBIENT: &str = "device-ambient";

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

fn insulated(case: Case, run: &str, insulation: Insulation) -> Case {
    case.run(run, |it| it.insulation = insulation)
}

#[test]
fn what_lies_open_in_the_array_withstands_the_sun() {
    for set in NEC {
        let wrong = insulated(Case::cabin().under(set), "W1", Insulation::Thwn2);
        assert_eq!(wrong.says(PLACE), ["correction W1#sunlight: THWN-2, not USE-2 or PV wire"]);
        assert!(insulated(Case::cabin().under(set), "W1", Insulation::Use2).says(PLACE).is_empty());
    }
    // A mark does not make it PV wire.
    let marked = insulated(Case::cabin(), "W1", Insulation::Thwn2);
    let marked = marked.run("W1", |it| it.sunlight_marked = Some(Fitted::Yes));
    assert_eq!(marked.says(PLACE).len(), 1);
    assert_eq!(marked.mended(PLACE), ["PV wire for W1"]);
    let hut = insulated(Case::hut(), "W1", Insulation::Xlpe90);
    assert_eq!(hut.says(PLACE), ["correction W1#sunlight: XLPE, not PV cable"]);
    assert_eq!(hut.clause(PLACE), "IEC 62548-1 cl. 7.3, IEC 60364-7-712 cl. 712.521");
}

#[test]
fn other_circuits_in_the_sun_are_marked_for_it() {
    // The generator's feed, from its pad into the garage.
    let open = |marked| {
        Case::home().run("W26", move |it| {
            it.raceway = Raceway::FreeAir;
            it.sunlight_marked = marked;
        })
    };
    assert!(open(Some(Fitted::Yes)).says(PLACE).is_empty());
    assert_eq!(
        open(Some(Fitted::No)).says(PLACE),
        ["correction W26#sunlight: THWN-2, not marked as resistant to sunlight"]
    );
    assert_eq!(open(None).asks(PLACE), ["Marked for sunlight"]);
}

#[test]
fn what_lies_in_the_wet_is_rated_for_it() {
    for set in NEC {
        assert!(Case::cabin().under(set).says(PLACE).is_empty());
        let wrong = insulated(Case::cabin().under(set), "W4", Insulation::Welding);
        assert_eq!(wrong.says(PLACE), ["correction W4#wet: welding cable, not rated for wet places"]);
    }
}

#[test]
fn pv_circuits_inside_buildings_run_in_metal() {
    let plastic = |case: Case| case.run("W3", |it| it.raceway = Raceway::PlasticConduit);
    for (set, clause) in [
        (RuleSet::Nec2023, "NEC 2023 690.31(A), (C), (D), 300.9, 310.10(C), (D), 338.12(B)"),
        (RuleSet::Nec2020, "NEC 2020 690.31(A), (C), (D), 300.9, 310.10(C), (D), 338.12(B)"),
        (RuleSet::Nec2017, "NEC 2017 690.31(A), (C), (G), 300.9, 310.10(C), (D), 338.12(B)"),
    ] {
        let wrong = plastic(Case::home().under(set));
        let says = wrong.says(PLACE);
        assert!(says.len() == 1 && says[0].starts_with("correction W3#metal: "), "{says:?}");
        assert!(says[0].ends_with(", not 30.00"), "{says:?}");
        assert_eq!(wrong.clause(PLACE), clause);
        assert!(Case::home().under(set).says(PLACE).is_empty());
    }
    assert_eq!(plastic(Case::home()).mended(PLACE), ["EMT for W3"]);
    // One module of 24 V whose voltage does not rise in the cold.
    let small = |amps: f64| {
        let plastic = Case::cabin().run("W5", |it| it.raceway = Raceway::PlasticConduit);
        ["S1", "S2", "S3"].into_iter().fold(plastic, |case, tag| {
            case.with::<Strings>(tag, |it| {
                it.modules_in_series = 1;
                it.open_circuit_voltage = Volts::new(24.0);
                it.open_circuit_coefficient = Some(PercentPerCelsius::new(0.0));
                it.max_power_voltage = Volts::new(20.0);
                it.short_circuit_current = Amps::new(amps);
                it.max_power_current = Amps::new(amps);
            })
        })
    };
    // 3 × 1.25 × 1.6 = 6.00 A; 3 × 1.25 × 2.4 = 9.00 A
    assert!(small(1.6).passes(PLACE, "24.00", "30.00") && small(1.6).passes(PLACE, "6.00", "8.00"));
    assert!(small(1.6).says(PLACE).is_empty());
    assert_eq!(small(2.4).says(PLACE), ["correction W5#metal: 9.00, not 8.00"]);
}

#[test]
fn use_2_stays_outside() {
    assert_eq!(
        insulated(Case::home(), "W3", Insulation::Use2).says(PLACE),
        ["correction W3#inside: USE-2, not insulation for inside of buildings"]
    );
    assert!(insulated(Case::home(), "W2", Insulation::Use2).says(PLACE).is_empty());
}

#[test]
fn open_circuits_out_of_reach_and_on_trackers() {
    let field = |locked| Case::cabin().place("Array field", move |it| it.locked = Some(locked));
    assert!(field(Fitted::Yes).says(PLACE).is_empty());
    // 3 × 37.2 V × (1 + 0.0027 × 56) = 128.47 V
    assert_eq!(field(Fitted::No).says(PLACE)[0], "correction W1#reach: 128.47, not 30.00");
    assert_eq!(field(Fitted::No).says(PLACE).len(), 3);
    assert!(field(Fitted::No).under(RuleSet::Iec).says(PLACE).iter().all(|it| !it.contains("reach")));
    let tracker = Case::cabin().with::<Strings>("S2", |it| it.mounting = Mounting::Tracker);
    assert_eq!(tracker.says(PLACE), ["correction W2#tracker: stranded, not fine strand"]);
    assert!(tracker.run("W2", |it| it.stranding = Stranding::Fine).says(PLACE).is_empty());
}

#[test]
fn battery_cables_are_listed() {
    for (set, clause) in [
        (RuleSet::Nec2023, "NEC 2023 110.14, 400.4, 400.10"),
        (RuleSet::Nec2020, "NEC 2020 110.14, 400.4, 400.10"),
        (RuleSet::Nec2017, "NEC 2017 110.14, 400.4, 400.10, 706.32"),
    ] {
        let welding = insulated(Case::cabin().under(set), "W14", Insulation::Welding);
        assert_eq!(
            welding.says(CABLE),
            ["correction W14: welding cable, not a listed type, such as RHW or THW"]
        );
        assert_eq!(welding.clause(CABLE), clause);
        assert!(insulated(Case::cabin().under(set), "W14", Insulation::Rhw).says(CABLE).is_empty());
    }
    assert_eq!(insulated(Case::cabin(), "W14", Insulation::Welding).mended(CABLE), ["RHW-2 for W14"]);
}

#[test]
fn fine_strands_are_held() {
    let ended = |case: Case, run, ends| case.run(run, move |it| it.ends = ends);
    for end in [ConductorEnds::Lugs, ConductorEnds::Ferrules] {
        assert!(ended(Case::cabin(), "W14", Some(end)).says(CABLE).is_empty());
    }
    // The fused switch and the cells are marked for copper; where they take fine strands too, bare ones will do.
    let bare = ended(Case::cabin(), "W14", Some(ConductorEnds::Bare))
        .with::<Fuse>("F1", |it| it.terminal_marking = Some(TerminalMarking::Copper))
        .with::<BatteryBank>("B1", |it| it.terminal_marking = Some(TerminalMarking::CopperFine));
    assert_eq!(bare.says(CABLE), ["correction W14.from: copper, not marked for fine strands"]);
    assert_eq!(bare.mended(CABLE), ["crimped lugs for these strands for W14", "ferrules for W14"]);
    let fine = bare.clone().with::<Fuse>("F1", |it| it.terminal_marking = Some(TerminalMarking::Any));
    assert!(fine.says(CABLE).is_empty());
    let unmarked = bare.with::<Fuse>("F1", |it| it.terminal_marking = None);
    assert_eq!(unmarked.asks(CABLE), ["Terminals are marked for"]);
    assert_eq!(ended(Case::cabin(), "W14", None).asks(CABLE), ["Conductor ends"]);
    let hut = ended(Case::hut(), "W9", Some(ConductorEnds::Bare))
        .with::<Breaker>("Q2", |it| it.terminal_marking = Some(TerminalMarking::Copper))
        .with::<Inverter>("INV1", |it| it.terminal_marking = Some(TerminalMarking::Any));
    assert_eq!(hut.says(CABLE), ["correction W9.from: copper, not marked for fine strands"]);
    assert_eq!(hut.clause(CABLE), "IEC 60364-5-52 cl. 526.9");
}

fn curve(share: f64) -> ShareAtTemperature {
    ShareAtTemperature(vec![CurvePoint { x: 40.0, y: 100.0 }, CurvePoint { x: 51.0, y: share }])
}

#[test]
fn devices_hold_the_current_in_a_warm_box() {
    // The combiner in the sun is 36 + 15 = 51 °C warm; 1.25 × 1.25 × 13.60 A = 21.25 A.
    let warm =
        |share| Case::cabin().with::<Combiner>("CB1", |it| it.rating_by_temperature = Some(curve(share)));
    for set in NEC {
        assert!(warm(90.0).under(set).passes(AMBIENT, "22.50", "21.25"));
        assert!(warm(90.0).under(set).says(AMBIENT).is_empty());
        assert!(warm(85.0).under(set).passes(AMBIENT, "21.25", "21.25"));
        assert_eq!(warm(82.0).under(set).says(AMBIENT), ["correction CB1: 20.50, not 21.25"]);
    }
    assert_eq!(warm(82.0).clause(AMBIENT), "NEC 2023 110.3(B)");
    // IEC: 1.25 × 13.60 A = 17.00 A
    assert!(warm(82.0).under(RuleSet::Iec).passes(AMBIENT, "20.50", "17.00"));
    assert_eq!(warm(60.0).under(RuleSet::Iec).says(AMBIENT), ["correction CB1: 15.00, not 17.00"]);
    assert_eq!(warm(60.0).under(RuleSet::Iec).clause(AMBIENT), "IEC 61439-1, IEC 60947-2");
}

#[test]
fn warm_devices_without_data_are_told_of() {
    let unknown = Case::cabin().with::<Combiner>("CB1", |it| it.rating_by_temperature = None);
    assert_eq!(unknown.says(AMBIENT), ["advice CB1#data: 51.00, not 40.00"]);
    // 25 + 15 = 40 °C is still cool, 26 + 15 = 41 °C no more; under a roof nothing is added.
    let at = |hottest: f64| {
        unknown.clone().place("Array field", move |it| it.hottest = Some(Celsius::new(hottest)))
    };
    assert!(at(25.0).passes(AMBIENT, "40.00", "40.00"));
    assert_eq!(at(26.0).says(AMBIENT), ["advice CB1#data: 41.00, not 40.00"]);
    let shed = at(40.0).place("Array field", |it| it.surroundings = Some(Surroundings::EquipmentShed));
    assert!(shed.passes(AMBIENT, "40.00", "40.00"));
    // Indoors at 35 °C nothing is taken off 70 A; 1.25 × 3 × 1.25 × 13.60 A = 63.75 A.
    assert!(Case::cabin().passes(AMBIENT, "70.00", "63.75"));
}
