//! Rules on ground faults, arcs and rapid shutdown of the array side.

use crate::support::Case;
use lineside_core::circuit::{Raceway, Surroundings};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::ground_fault_device::GroundFaultDevice;
use lineside_core::kinds::rapid_shutdown::{ReceiverReach, ShutdownInitiator, ShutdownReceiver};
use lineside_core::kinds::strings::{Mounting, Strings};
use lineside_core::kinds::switch::Switch;
use lineside_core::project::{ArrayStructure, RuleSet};
use lineside_core::units::{Amps, Seconds, Volts};

const GROUND_FAULT: &str = "pv-ground-fault-protection";
const ARC: &str = "pv-arc-fault";
const SHUTDOWN: &str = "rapid-shutdown";

fn without_protection(case: Case, tag: &str) -> Case {
    case.with::<ChargeController>(tag, |it| {
        it.ground_fault_protection = Some(Fitted::No);
        it.arc_fault_protection = Some(Fitted::No);
    })
}

#[test]
fn arrays_above_30_volts_have_ground_fault_protection() {
    // 3 × 37.20 × (1 + 0.0027 × 56) = 128.47 V
    let case = without_protection(Case::cabin(), "C1");
    assert_eq!(case.says(GROUND_FAULT), ["correction C1: 128.47, not 30.00"]);
    assert!(Case::cabin().says(GROUND_FAULT).is_empty());
    let unknown = Case::cabin().with::<ChargeController>("C1", |it| it.ground_fault_protection = None);
    assert_eq!(unknown.asks(GROUND_FAULT), ["Ground-fault protection"]);
    assert!(case.mended(GROUND_FAULT).iter().any(|label| label.starts_with("Ground-fault interrupter")));
}

/// One module of 24.00 V cold and 6.00 A: 4.80 A × 1.25.
fn small(volts: f64, amps: f64) -> Case {
    let case = without_protection(Case::cabin(), "C1").without("S2").without("S3");
    case.with::<Strings>("S1", |it| {
        it.modules_in_series = 1;
        it.open_circuit_voltage = Volts::new(volts / 1.1512);
        it.max_power_voltage = Volts::new(volts / 1.4);
        it.short_circuit_current = Amps::new(amps / 1.25);
    })
}

#[test]
fn small_arrays_go_without_from_2020() {
    assert!(small(24.0, 7.5).says(GROUND_FAULT).is_empty());
    assert!(small(24.0, 7.5).passes(GROUND_FAULT, "7.50", "8.00"));
    assert!(small(30.0, 8.0).says(GROUND_FAULT).is_empty(), "exactly at both limits");
    assert_eq!(small(24.0, 8.1).says(GROUND_FAULT), ["correction C1: 8.10, not 8.00"]);
    assert_eq!(small(24.0, 7.5).under(RuleSet::Nec2020).says(GROUND_FAULT).len(), 0);
}

#[test]
fn the_2017_edition_asks_it_of_all_but_small_grounded_arrays() {
    let small = small(24.0, 7.5).under(RuleSet::Nec2017);
    // The cabin's negative is bonded; its shed is a building, though.
    assert_eq!(small.says(GROUND_FAULT), ["correction C1: 24.00, not 0.00"]);
    let open_air = small.place("Power shed", |facts| facts.surroundings = Some(Surroundings::Ground));
    assert!(open_air.says(GROUND_FAULT).is_empty(), "solidly grounded, one string, off buildings");
    assert_eq!(open_air.without("E2").says(GROUND_FAULT).len(), 1, "not grounded");
}

#[test]
fn a_device_in_the_input_serves_too() {
    assert!(Case::hut().says(GROUND_FAULT).is_empty());
    let without = Case::hut().with::<GroundFaultDevice>("F2", |it| {
        it.kind = lineside_core::kinds::ground_fault_device::GroundFaultType::ResidualCurrent;
    });
    assert_eq!(without.says(GROUND_FAULT), ["correction C1: none, not an insulation check with alarm"]);
    assert_eq!(without.clause(GROUND_FAULT), "IEC 62548-1 cl. 6.4, IEC 62109-2");
}

#[test]
fn arcs_from_80_volts_are_put_out() {
    let roof = |case| without_protection(case, "C1");
    // 10 × 38.9 × (1 + 0.0025 × 43) = 430.82 V on a roof
    assert_eq!(roof(Case::home()).says(ARC), ["correction C1: 430.82, not 80.00"]);
    let one = roof(Case::home()).with::<Strings>("S1", |it| it.modules_in_series = 1);
    // 38.9 × 1.1075 = 43.08 V
    assert!(one.says(ARC).is_empty() && one.passes(ARC, "43.08", "80.00"));
    // Exactly 80 V needs it: 80 / 1.1075 = 72.2348 V
    let limit = one.with::<Strings>("S1", |it| it.open_circuit_voltage = Volts::new(80.0 / 1.1075 + 1e-9));
    assert_eq!(limit.says(ARC).len(), 1);
    let unknown = Case::home().with::<ChargeController>("C1", |it| it.arc_fault_protection = None);
    assert_eq!(unknown.asks(ARC), ["Arc-fault protection"]);
    assert_eq!(roof(Case::home()).under(RuleSet::Iec).says(ARC), ["advice C1: 430.82, not 80.00"]);
}

#[test]
fn arcs_off_buildings_in_metal_or_on_pv_structures_are_exempt() {
    // Strings on a rack in the field, a shed for the equipment; between them PVC conduit in the ground.
    let field = without_protection(Case::cabin(), "C1");
    let metal = field.clone().run("W4", |it| it.raceway = Raceway::MetalConduit);
    assert!(metal.says(ARC).is_empty());
    let plastic = field.clone().run("W4", |it| it.raceway = Raceway::PlasticConduit);
    assert_eq!(plastic.says(ARC), ["correction C1: 128.47, not 80.00"]);
    assert_eq!(
        metal.under(RuleSet::Nec2017).says(ARC).len(),
        1,
        "no exemption for PV structures before 2020"
    );
    let house = field.place("Power shed", |it| it.surroundings = Some(Surroundings::Indoors));
    assert_eq!(house.says(ARC).len(), 1);
    let unknown = without_protection(Case::cabin(), "C1")
        .site(|it| it.array_on_building = None)
        .place("Array field", |it| it.surroundings = None)
        .with::<Strings>("S1", |it| it.mounting = Mounting::Tracker)
        .run("W4", |it| it.raceway = Raceway::MetalConduit);
    assert_eq!(unknown.asks(ARC), ["Array on a building"]);
}

fn receivers(change: impl Fn(&mut ShutdownReceiver)) -> Case {
    Case::home().with("K1", &change).with("K2", &change)
}

#[test]
fn inside_the_boundary_80_volts_are_left() {
    // Each module by itself: 38.9 × (1 + 0.0025 × 43) = 43.08 V
    assert!(Case::home().says(SHUTDOWN).is_empty());
    assert!(Case::home().passes(SHUTDOWN, "43.08", "80.00"));
    let whole = receivers(|it| it.reach = ReceiverReach::WholeString);
    assert_eq!(whole.says(SHUTDOWN), ["correction Roof#inside: 430.82, not 80.00"]);
    assert!(whole.mended(SHUTDOWN)[0].contains("each module"));
    let listed = receivers(|it| {
        it.reach = ReceiverReach::WholeString;
        it.hazard_control = Some(Fitted::Yes);
    });
    assert!(listed.says(SHUTDOWN).is_empty());
    assert_eq!(listed.under(RuleSet::Nec2017).says(SHUTDOWN).len(), 1, "hazard control came in 2020");
    let no_metal = whole.site(|it| it.array_clear_of_metal = Some(Fitted::Yes));
    assert!(no_metal.says(SHUTDOWN).is_empty());
}

#[test]
fn outside_the_boundary_30_volts_are_left() {
    let left = |volts| receivers(move |it| it.residual_voltage = Volts::new(volts));
    assert!(left(30.0).says(SHUTDOWN).is_empty());
    assert_eq!(left(31.0).says(SHUTDOWN), ["correction Roof#outside: 31.00, not 30.00"]);
}

#[test]
fn something_outside_starts_it_in_time() {
    let none = Case::home().without("RS1").with::<Switch>("PVD", |it| it.starts_rapid_shutdown = None);
    assert_eq!(none.says(SHUTDOWN).len(), 1);
    assert_eq!(none.mended(SHUTDOWN), ["An initiator outside"]);
    let slow = Case::home().with::<ShutdownInitiator>("RS1", |it| it.time = Seconds::new(45.0));
    assert_eq!(slow.says(SHUTDOWN), ["correction RS1#time: 45.00, not 30.00"]);
    let inside = Case::home().place("Outside wall", |it| it.surroundings = Some(Surroundings::Garage));
    assert_eq!(inside.says(SHUTDOWN), ["correction PVD#place: inside, not outside the dwelling"]);
}

#[test]
fn ground_mounts_to_their_own_shed_are_exempt() {
    assert!(Case::cabin().says(SHUTDOWN).is_empty());
    let house = Case::cabin().place("Power shed", |it| it.surroundings = Some(Surroundings::Indoors));
    assert_eq!(house.says(SHUTDOWN), ["correction Array field#outside: 128.47, not 30.00"]);
    assert!(house.mended(SHUTDOWN)[0].contains("each module"), "receivers and an initiator together");
    let wall = Case::cabin().place("Power shed", |it| it.surroundings = Some(Surroundings::OutsideWall));
    assert!(wall.says(SHUTDOWN).is_empty(), "ends on the outside wall, 2023");
    assert_eq!(wall.under(RuleSet::Nec2020).says(SHUTDOWN).len(), 1);
    let unknown = Case::cabin().place("Power shed", |it| it.surroundings = None);
    assert_eq!(unknown.asks(SHUTDOWN), ["Surroundings"]);
    assert!(Case::home().under(RuleSet::Iec).says(SHUTDOWN).is_empty());
}

#[test]
fn carports_are_exempt_from_2023() {
    let carport = receivers(|it| it.reach = ReceiverReach::WholeString)
        .site(|it| it.array_structure = Some(ArrayStructure::OpenStructure))
        .place("Outside wall", |it| it.surroundings = Some(Surroundings::Ground))
        .place("Roof", |it| it.surroundings = Some(Surroundings::Ground))
        .place("Garage", |it| it.surroundings = Some(Surroundings::EquipmentShed));
    assert!(carport.says(SHUTDOWN).is_empty());
    assert_eq!(carport.under(RuleSet::Nec2020).says(SHUTDOWN).len(), 1);
}
