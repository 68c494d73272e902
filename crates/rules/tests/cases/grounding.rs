//! Rules on grounding conductors, electrodes, surge arresters, and the bus of a combiner.

use crate::support::Case;
use lineside_core::circuit::{Conductor, Raceway};
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::grounding::{Electrode, ElectrodeType};
use lineside_core::kinds::strings::Strings;
use lineside_core::project::{BuildingUse, RuleSet};
use lineside_core::units::{Amps, ConductorSize, FlashDensity, Meters, Volts};

const GROUND: &str = "equipment-grounding-size";
const ELECTRODE: &str = "dc-grounding-electrode";
const SURGE: &str = "surge-protection";
const COMBINER: &str = "combiner-bus-rating";

fn size(text: &str) -> ConductorSize {
    ConductorSize::read(text).unwrap()
}

fn ground(run: &str, to: &str) -> Case {
    let to = size(to);
    Case::cabin().run(run, |it| it.grounding_conductor = Some(to))
}

#[test]
fn the_device_ahead_sets_the_size() {
    // The array circuit behind 70 A: not over 100 A, 8 AWG of 16510 cmil
    assert!(ground("W4", "8").passes(GROUND, "16510.00", "16510.00"));
    assert_eq!(ground("W4", "10").says(GROUND), ["correction W4: 10380.00, not 16510.00"]);
    assert_eq!(ground("W4", "10").mended(GROUND), ["8 AWG to ground W4"]);
    // The battery behind 225 A: not over 300 A, 4 AWG of 41740 cmil
    assert_eq!(ground("W13", "6").says(GROUND), ["correction W13: 26240.00, not 41740.00"]);
}

#[test]
fn enlarged_circuits_have_enlarged_grounds() {
    // 45 A feeder enlarged from 8 to 6 AWG: 10380 × 26240 / 16510 = 16497.35 cmil
    assert_eq!(ground("W16", "10").says(GROUND), ["correction W16: 10380.00, not 16497.35"]);
    assert!(ground("W16", "8").passes(GROUND, "16510.00", "16497.35"));
    let as_needed = ground("W16", "10").run("W16", |it| it.size_before_enlarging = None);
    assert!(as_needed.says(GROUND).is_empty(), "not enlarged");
    // PV circuits are not enlarged in proportion.
    let array = ground("W4", "8").run("W4", |it| it.size_before_enlarging = Some(size("4")));
    assert!(array.says(GROUND).is_empty());
}

#[test]
fn a_ground_need_not_be_larger_than_its_circuit() {
    // Behind 20 A the table asks for 12 AWG, 6530 cmil; the circuit itself is 14 AWG, 4110 cmil.
    let thin = Case::cabin().run("W19", |it| {
        it.size = size("14");
        it.grounding_conductor = Some(size("14"));
    });
    assert!(thin.passes(GROUND, "4110.00", "4110.00"));
}

#[test]
fn pv_circuits_without_a_device_count_as_if_they_had_one() {
    // 1.25 × 1.25 × 13.95 = 21.80 A: not over 30 A, 10 AWG
    assert!(Case::home().passes(GROUND, "10380.00", "10380.00"));
    let thin = Case::home().run("W2", |it| it.grounding_conductor = Some(size("12")));
    assert_eq!(thin.says(GROUND), ["correction W2: 6530.00, not 10380.00"]);
}

#[test]
fn a_ground_that_is_not_told_is_asked_for_where_no_metal_grounds() {
    let absent = |raceway| {
        Case::cabin().run("W4", |it: &mut Conductor| {
            it.grounding_conductor = None;
            it.raceway = raceway;
        })
    };
    assert_eq!(absent(Raceway::BuriedConduit).asks(GROUND), ["Equipment-grounding conductor"]);
    assert!(absent(Raceway::MetalConduit).asks(GROUND).is_empty());
}

#[test]
fn the_iec_goes_by_the_line() {
    // 2.5 mm² lines on AC: 2.5 mm², which are 4933.8 cmil; frames of the array 6 mm²
    let ac = |text| Case::hut().run("W11", |it| it.grounding_conductor = Some(size(text)));
    assert!(ac("2.5 mm²").says(GROUND).is_empty());
    assert_eq!(ac("1.5 mm²").says(GROUND), ["correction W11: 2960.29, not 4933.81"]);
    let frames = |text| Case::hut().run("W1", |it| it.grounding_conductor = Some(size(text)));
    assert!(frames("6 mm²").says(GROUND).is_empty());
    assert_eq!(frames("4 mm²").says(GROUND).len(), 1);
    assert_eq!(frames("4 mm²").mended(GROUND), ["6 mm² to ground W1"]);
}

#[test]
fn electrode_conductors_of_dc_systems() {
    // 6 AWG to rods will do; to building steel the largest conductor counts, 4/0, of which 3/0 is enough.
    assert!(Case::cabin().passes(ELECTRODE, "26240.00", "26240.00"));
    let steel = |text| {
        Case::cabin()
            .with::<Electrode>("E1", |it| it.kind = ElectrodeType::BuildingSteel)
            .run("W21", |it| it.size = size(text))
    };
    assert_eq!(steel("8").says(ELECTRODE), ["correction W21: 16510.00, not 167800.00"]);
    assert_eq!(steel("8").mended(ELECTRODE), ["3/0 AWG for W21"]);
    assert!(steel("3/0").says(ELECTRODE).is_empty());
    let concrete = Case::home().run("W29", |it| it.size = size("6"));
    assert_eq!(concrete.says(ELECTRODE), ["correction W29: 26240.00, not 41740.00"]);
    let ring = steel("8").with::<Electrode>("E1", |it| it.kind = ElectrodeType::Ring);
    assert!(ring.says(ELECTRODE).is_empty(), "the ring's own size is not told");
}

#[test]
fn electrode_conductors_of_ac_panels_and_of_the_iec() {
    // 4/0 AWG service, concrete-encased electrode: the table says 2 AWG, 4 AWG is enough.
    let service = |text| {
        Case::home().cut("W29").join("W80", "P1.bond", "E1.earth", Some(crate::support::copper(text, 10.0)))
    };
    assert!(service("4").says(ELECTRODE).is_empty());
    assert_eq!(service("6").says(ELECTRODE), ["correction W80: 26240.00, not 41740.00"]);
    let hut = |text| Case::hut().run("W17", |it| it.size = size(text));
    assert!(hut("6 mm²").says(ELECTRODE).is_empty());
    assert_eq!(hut("4 mm²").says(ELECTRODE).len(), 1);
}

/// An array on a house at 2.5 flashes: 115 / 2.5 = 46 m.
fn route(meters: f64) -> Case {
    Case::cabin()
        .site(|it| it.flash_density = Some(FlashDensity::new(2.5)))
        .run("W5", |it| it.length = Meters::ZERO)
        .run("W4", |it| it.length = Meters::new(meters - 4.572))
}

#[test]
fn long_routes_have_arresters() {
    assert!(route(40.0).passes(SURGE, "40.00", "46.00"));
    assert_eq!(route(70.0).says(SURGE), ["advice C1: 70.00, not 46.00"]);
    assert_eq!(route(46.0).says(SURGE).len(), 1, "exactly the critical length needs them");
    let field = route(70.0).site(|it| it.building = Some(BuildingUse::None));
    // 200 / 2.5 = 80 m
    assert!(field.says(SURGE).is_empty() && field.passes(SURGE, "70.00", "80.00"));
    let one = route(70.0).with::<Combiner>("CB1", |it| it.arrester_voltage = Some(Volts::new(200.0)));
    assert_eq!(one.says(SURGE).len(), 1, "at both ends on more than 10 m");
    let unknown = route(70.0).site(|it| it.flash_density = None);
    assert_eq!(unknown.asks(SURGE), ["Lightning density"]);
}

#[test]
fn a_dwelling_has_an_arrester_at_its_service() {
    assert_eq!(Case::home().says(SURGE), ["advice U1#service: none, not a surge arrester"]);
    assert!(Case::home().under(RuleSet::Nec2017).says(SURGE).is_empty());
}

#[test]
fn the_bus_of_a_combiner_stands_its_strings() {
    // 1.25 × 1.25 × 3 × 13.60 = 63.75 A; six of them 127.50 A
    assert!(Case::cabin().passes(COMBINER, "63.75", "100.00"));
    let double = Case::cabin()
        .with::<Strings>("S1", |it| it.strings_in_parallel = 2)
        .with::<Strings>("S2", |it| it.strings_in_parallel = 2)
        .with::<Strings>("S3", |it| it.strings_in_parallel = 2);
    assert_eq!(double.says(COMBINER), ["correction CB1: 127.50, not 100.00"]);
    // IEC: 1.25 × 6 × 13.60 = 102.00 A
    assert_eq!(double.clone().under(RuleSet::Iec).says(COMBINER), ["correction CB1: 102.00, not 100.00"]);
    let exact = Case::cabin().with::<Combiner>("CB1", |it| it.bus_rating = Amps::new(63.75));
    assert!(exact.says(COMBINER).is_empty());
    let two = double.with::<Combiner>("CB1", |it| it.bus_rating = Amps::new(127.5));
    assert!(two.says(COMBINER).is_empty());
}

#[test]
fn breakers_in_a_row_count_with_the_larger() {
    let larger = Case::cabin().with::<Breaker>("QM", |it| it.rating = Amps::new(70.0));
    assert!(larger.says(GROUND).iter().all(|line| !line.contains("W16")), "QA stands ahead of the feeder");
}
