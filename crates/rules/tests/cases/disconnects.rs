//! Rules on disconnecting means.

use crate::support::{Case, copper};
use lineside_core::circuit::Surroundings;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::combiner::{Combiner, WayDevice};
use lineside_core::kinds::common::{DcGrounding, Fitted, LoadBreak, PolesIn};
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::transfer_switch::TransferSwitch;
use lineside_core::project::{BuildingUse, RuleSet};
use lineside_core::units::{AmpHours, Amps, Meters, Volts};

const BATTERY: &str = "battery-disconnect";
const PV: &str = "pv-system-disconnect";
const COUNT: &str = "disconnect-count";
const KIND: &str = "equipment-disconnect-kind";
const INVERTER: &str = "inverter-disconnect";
const GENERATOR: &str = "generator-disconnect";
const POLES: &str = "disconnect-poles";
const RATING: &str = "disconnect-rating";

/// The cabin with a fuse alone at the battery and its breaker in the power shed, 2 + 12 ft away.
fn in_another_room() -> Case {
    Case::cabin()
        .with::<Fuse>("F1", |it| it.mount = FuseMount::BoltDown)
        .with::<Breaker>("QB", |it| it.lockable = Some(Fitted::No))
        .run("W14", |it| it.length = Meters::from_feet(2.0))
        .run("W13", |it| it.length = Meters::from_feet(12.0))
}

#[test]
fn a_battery_is_switched_off_where_it_stands() {
    assert!(Case::cabin().says(BATTERY).is_empty());
    assert_eq!(in_another_room().says(BATTERY), ["correction B1: 4.27, not 3.05"]);
    let mended = in_another_room().mended(BATTERY);
    assert_eq!(mended[0], "F1 on a load-break switch");
    assert!(mended[1].starts_with("DC switch"), "{mended:?}");
    let locked = in_another_room().with::<Breaker>("QB", |it| it.lockable = Some(Fitted::Yes));
    assert!(locked.says(BATTERY).is_empty(), "locks open, so it need not be in sight");
    let nothing = in_another_room().with::<Breaker>("QB", |it| it.lockable = None);
    assert_eq!(nothing.says(BATTERY).len(), 1, "nothing says that it locks");
}

#[test]
fn a_battery_without_any_device_is_found() {
    // The hut's fuse alone, and the DC loads wired to the bus.
    let case = Case::hut().with::<Fuse>("F1", |it| it.mount = FuseMount::BoltDown).without("Q4").join(
        "W20",
        "BUS1.tap6",
        "L1.in",
        None,
    );
    assert_eq!(case.says(BATTERY), ["correction B1: fuse F1 only, not a load-break disconnect in sight"]);
    assert_eq!(case.clause(BATTERY), "IEC 60364-5-57, IEC 62485-2 cl. 5");
}

#[test]
fn in_sight_means_within_ten_feet() {
    let at = |meters| {
        Case::cabin()
            .with::<BatteryBank>("B1", |it| it.disconnect_distance = Some(Meters::new(meters)))
            .with::<Fuse>("F1", |it| it.lockable = Some(Fitted::No))
    };
    assert!(at(2.0).says(BATTERY).is_empty() && at(2.0).passes(BATTERY, "2.00", "3.05"));
    assert!(at(3.048).says(BATTERY).is_empty(), "exactly");
    assert_eq!(at(3.2).says(BATTERY), ["correction B1: 3.20, not 3.05"]);
    let long = Case::cabin()
        .with::<Fuse>("F1", |it| it.lockable = Some(Fitted::No))
        .run("W14", |it| it.length = Meters::new(4.0));
    assert_eq!(long.asks(BATTERY), ["To its disconnect"], "the cable may be longer than the way");
}

#[test]
fn small_storage_is_left_alone() {
    // 12 V × 80 Ah = 960 Wh at 15 V, against 1 kWh from 2020 and 60 V in 2017
    let small = in_another_room().with::<BatteryBank>("B1", |it| {
        it.units_in_series = 10;
        it.capacity = AmpHours::new(80.0);
    });
    assert!(small.says(BATTERY).is_empty());
    let larger = small.clone().with::<BatteryBank>("B1", |it| it.capacity = AmpHours::new(84.0));
    assert_eq!(larger.says(BATTERY).len(), 1, "12 V × 84 Ah = 1008 Wh");
    assert!(larger.under(RuleSet::Nec2017).says(BATTERY).is_empty(), "below 60 V");
    assert_eq!(in_another_room().under(RuleSet::Nec2017).says(BATTERY).len(), 1);
}

#[test]
fn dwellings_shut_storage_down_from_outside() {
    let stop = |fitted| Case::cabin().site(|it| it.storage_stop_outside = fitted);
    assert_eq!(
        stop(Some(Fitted::No)).says(BATTERY),
        ["correction B1#emergency: none, not an emergency shutdown outside"]
    );
    assert_eq!(stop(Some(Fitted::No)).mended(BATTERY).len(), 1);
    assert_eq!(stop(None).asks(BATTERY), ["Emergency shutdown of the battery, outside"]);
    assert!(stop(Some(Fitted::No)).under(RuleSet::Nec2017).says(BATTERY).is_empty());
    let other = stop(None).site(|it| it.building = Some(BuildingUse::Other));
    assert!(other.asks(BATTERY).is_empty());
}

#[test]
fn the_array_can_be_parted_from_everything() {
    assert!(Case::cabin().passes(PV, "70.00", "51.00"));
    assert!(Case::cabin().says(PV).is_empty() && Case::home().says(PV).is_empty());
    // Without the breaker in the input the one at the output parts the array; under the IEC it does not.
    let case = Case::cabin().without("Q1").join("W30", "CB1.out", "C1.pv", Some(copper("4", 105.0)));
    assert!(case.says(PV).is_empty());
    let hut =
        Case::hut().without("SW1").without("F2").join("W30", "X1.end3", "C1.pv", Some(copper("10", 20.0)));
    assert_eq!(hut.says(PV), ["correction C1: none, not a load-break disconnect"]);
    assert!(!hut.mended(PV).is_empty());
}

#[test]
fn a_disconnect_that_is_too_small_does_not_count() {
    // A 40 A switch in place of the 70 A breaker, and nothing at the output: 1.25 × 3 × 13.60 = 51.00 A
    let switch = |amps| {
        let case = Case::cabin().without("Q2").join("W31", "C1.battery", "BUS1.tap1", Some(copper("1", 4.0)));
        case.stock("Q1", "DC switch, 60 A, 600 V").with::<Switch>("Q1", |it| it.rating = Amps::new(amps))
    };
    assert_eq!(switch(40.0).says(PV), ["correction Q1: 40.00, not 51.00"]);
    assert!(switch(51.0).says(PV).is_empty(), "exactly");
    assert_eq!(switch(40.0).says(RATING), ["danger Q1: 40.00, not 51.00"]);
}

#[test]
fn the_disconnect_of_the_array_locks_open() {
    let lock = |fitted| Case::hut().with::<Switch>("SW1", |it| it.lockable = fitted);
    assert_eq!(lock(None).asks(PV), ["Lockable open"]);
    assert!(lock(Some(Fitted::Yes)).asks(PV).is_empty());
}

#[test]
fn six_handles_part_the_array_at_most() {
    assert!(Case::cabin().passes(COUNT, "1.00", "6.00"));
    assert!(Case::home().passes(COUNT, "1.00", "6.00"), "one handle for both strings");
    // Eight strings whose combiner ways are the only devices.
    let ways = |ways: u32| {
        let mut case = Case::cabin()
            .without("Q1")
            .without("Q2")
            .join("W31", "C1.battery", "BUS1.tap1", Some(copper("1", 4.0)))
            .with::<Combiner>("CB1", |it| it.ways = ways)
            .join("W30", "CB1.out", "C1.pv", Some(copper("4", 105.0)));
        for way in 4..=ways {
            case = case.put(&format!("S{way}"), "S1", "Module string, 400 W modules").join(
                &format!("W4{way}"),
                &format!("S{way}.out"),
                &format!("CB1.way{way}"),
                Some(copper("10", 15.0)),
            );
        }
        case
    };
    assert_eq!(ways(8).says(COUNT), ["correction CB1: 8.00, not 6.00"]);
    assert!(ways(6).says(COUNT).is_empty(), "exactly six");
    assert!(ways(8).under(RuleSet::Iec).says(COUNT).is_empty());
}

#[test]
fn above_30_amperes_equipment_is_opened_under_load() {
    // Touch-safe fuse holders as the only means at a combiner output of 51 A
    let fuses = |case: Case| case.with::<Combiner>("CB1", |it| it.device = WayDevice::FuseHolder);
    let unlocked = Case::cabin().with::<Breaker>("Q1", |it| it.lockable = Some(Fitted::No));
    assert_eq!(fuses(unlocked.clone()).says(KIND), ["correction CB1#load: 51.00, not 30.00"]);
    assert!(unlocked.says(KIND).is_empty(), "breakers open under load");
    assert!(fuses(Case::cabin()).says(KIND).is_empty(), "Q1 locks open");
    // Connectors at the string ends will do for 17.44 A.
    assert!(Case::home().says(KIND).is_empty());
    assert!(Case::home().passes(KIND, "17.44", "30.00"));
}

#[test]
fn equipment_without_a_device_at_hand_is_found() {
    let far = Case::cabin()
        .without("Q2")
        .join("W31", "C1.battery", "BUS1.tap1", Some(copper("1", 4.0)))
        .without("QI")
        .join("W32", "INV1.dc", "BUS1.tap4", Some(copper("1/0", 5.0)));
    assert_eq!(far.says(KIND), ["correction C1#battery: none in sight, not a disconnect in sight"]);
}

#[test]
fn an_inverter_is_cut_off_on_every_side() {
    assert!(Case::cabin().passes(INVERTER, "3.00", "3.00"));
    assert!(Case::home().passes(INVERTER, "4.00", "4.00"));
    // The second AC input wired straight to the generator, whose own breaker stands outside and does not lock.
    let straight = Case::home()
        .without("QG")
        .join("W70", "G1.out", "INV1.in2", Some(copper("4", 80.0)))
        .with::<Generator>("G1", |it| it.breaker_lockable = Some(Fitted::No));
    assert_eq!(straight.says(INVERTER), ["correction INV1: 3.00, not 4.00"]);
    let locked = straight.with::<Generator>("G1", |it| it.breaker_lockable = Some(Fitted::Yes));
    assert!(locked.says(INVERTER).is_empty());
}

#[test]
fn a_generator_stays_off() {
    assert!(Case::home().says(GENERATOR).is_empty());
    let set = |change: fn(&mut Generator)| Case::home().with("G1", change);
    assert_eq!(
        set(|it| it.breaker_lockable = Some(Fitted::No)).says(GENERATOR),
        ["correction G1: not lockable, not a device that locks open"]
    );
    assert_eq!(set(|it| it.start_lockout = Some(Fitted::No)).says(GENERATOR).len(), 1);
    assert_eq!(set(|it| it.start_lockout = Some(Fitted::No)).mended(GENERATOR).len(), 1);
    let no_stop = set(|it| it.emergency_stop = Some(Fitted::No));
    assert_eq!(no_stop.says(GENERATOR).len(), 1);
    assert!(no_stop.under(RuleSet::Nec2017).says(GENERATOR).is_empty(), "from 2020");
    assert_eq!(set(|it| it.start_lockout = None).asks(GENERATOR), ["Stays stopped"]);
    // The first breaker stands in the garage, 70 ft away.
    let far = set(|it| it.breaker_rating = None);
    assert_eq!(far.says(GENERATOR), ["correction G1: QG in Garage, not a device at the set that locks open"]);
    assert_eq!(far.mended(GENERATOR), ["A lockable breaker on G1"]);
    let portable = set(|it| {
        it.breaker_rating = None;
        it.cord_connected = Some(Fitted::Yes);
    });
    assert!(portable.says(GENERATOR).is_empty(), "cord and plug");
    // Whether it is on cord and plug matters only where something lacks of a fixed one.
    assert!(set(|it| it.cord_connected = None).asks(GENERATOR).is_empty());
    let untold = set(|it| {
        it.cord_connected = None;
        it.start_lockout = Some(Fitted::No);
    });
    assert_eq!(untold.asks(GENERATOR), ["Cord and plug"]);
}

#[test]
fn both_poles_of_an_ungrounded_system_open() {
    let floating = Case::cabin()
        .without("E2")
        .with::<BatteryBank>("B1", |it| it.grounding = Some(DcGrounding::Floating));
    let says = floating.says(POLES);
    assert!(says.contains(&"correction Q1: 1.00, not 2.00".to_owned()), "{says:?}");
    let two = floating.with::<Breaker>("Q1", |it| it.poles = 2);
    assert!(!two.says(POLES).iter().any(|line| line.contains("Q1:")));
    assert!(Case::cabin().says(POLES).is_empty(), "the negative is bonded");
    assert_eq!(Case::cabin().without("E2").asks(POLES), ["DC grounding"]);
    let bonded =
        Case::cabin().without("E2").with::<BatteryBank>("B1", |it| it.grounding = Some(DcGrounding::Solid));
    assert!(bonded.says(POLES).is_empty() && bonded.asks(POLES).is_empty());
}

#[test]
fn poles_in_series_open_one_conductor() {
    let series = Case::cabin()
        .without("E2")
        .with::<BatteryBank>("B1", |it| it.grounding = Some(DcGrounding::Functional))
        .with::<Breaker>("Q1", |it| {
            it.poles = 2;
            it.poles_in_series = Some(2);
        });
    assert!(series.says(POLES).contains(&"correction Q1: 1.00, not 2.00".to_owned()));
}

#[test]
fn nothing_stands_in_a_grounded_conductor_alone() {
    let grounded = Case::cabin().with::<Breaker>("Q1", |it| it.poles_in = Some(PolesIn::Grounded));
    assert_eq!(grounded.says(POLES).len(), 1);
    assert!(grounded.says(POLES)[0].starts_with("danger Q1#grounded"));
    assert_eq!(grounded.mended(POLES), ["Q1 in the ungrounded conductor"]);
}

#[test]
fn both_lines_of_240_volts_open() {
    let one = Case::home().with::<Breaker>("QO", |it| it.poles = 1);
    assert_eq!(one.says(POLES), ["correction QO: 1.00, not 2.00"]);
    assert_eq!(one.mended(POLES), ["QO with 2 poles"]);
    assert!(Case::home().says(POLES).is_empty());
}

#[test]
fn switches_stand_current_and_load() {
    // IEC: 1.25 × 2 × 9.20 = 23.00 A
    let switch = |amps| Case::hut().with::<Switch>("SW1", |it| it.rating = Amps::new(amps));
    assert!(switch(32.0).passes(RATING, "32.00", "23.00") && switch(23.0).says(RATING).is_empty());
    assert_eq!(switch(16.0).says(RATING), ["danger SW1: 16.00, not 23.00"]);
    assert!(!switch(16.0).mended(RATING).is_empty());
    let isolator = |case: Case| case.with::<Switch>("SW1", |it| it.load_break = LoadBreak::No);
    assert!(isolator(Case::hut()).says(RATING).is_empty(), "23 A may be isolated without load");
    let strong = isolator(Case::hut()).with::<lineside_core::kinds::strings::Strings>("S1", |it| {
        it.strings_in_parallel = 2;
    });
    // 3 × 11.5 = 34.5 A
    assert!(strong.says(RATING).contains(&"danger SW1#load: 34.50, not 30.00".to_owned()));
}

#[test]
fn devices_on_ac_are_marked_for_the_lines() {
    let marked = |volts| Case::home().with::<Breaker>("QO", |it| it.ac_voltage = volts);
    assert_eq!(marked(Some(Volts::new(120.0))).says(RATING), ["danger QO#volts: 120.00, not 240.00"]);
    let dc = Case::home().with::<Breaker>("QO", |it| {
        it.ac_voltage = None;
        it.dc_voltage = Some(Volts::new(125.0));
    });
    assert_eq!(dc.says(RATING), ["danger QO#volts: DC marking only, not marked for AC"]);
    let bypass = Case::home().with::<TransferSwitch>("BP1", |it| it.rating = Amps::new(20.0));
    assert!(bypass.says(RATING)[0].starts_with("danger BP1: 20.00"), "{:?}", bypass.says(RATING));
    let unknown = Case::home().with::<TransferSwitch>("BP1", |it| it.ac_voltage = None);
    assert_eq!(unknown.asks(RATING), ["AC voltage"]);
}

#[test]
fn places_that_are_not_known_are_asked_for() {
    let case = Case::cabin().place("Battery room", |it| it.surroundings = Some(Surroundings::Ground));
    assert!(case.says(BATTERY).is_empty());
}
