//! Rules on the place of the battery: air, sparks, working space, covers, lithium.

use crate::support::Case;
use lineside_core::circuit::{Opposite, Surroundings};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::project::RuleSet;
use lineside_core::units::{
    AmpHours, Amps, CubicMetersPerHour, Meters, Millimeters, SquareCentimeters, Volts,
};

const AIR: &str = "battery-ventilation";
const SPARK: &str = "battery-spark-distance";
const SPACE: &str = "working-space";
const COVERS: &str = "live-parts-guarded";
const HOME: &str = "dwelling-battery-voltage";
const LITHIUM: &str = "lithium-location";

/// Nickel-iron, 40 cells, 40 A at the end of charge: 0.05 × 40 × 40 = 80 m³/h, each opening 28 × 80 = 2240 cm².
fn iron(opening: f64) -> Case {
    Case::cabin()
        .with::<BatteryBank>("B1", |it| it.equalize_current = Some(Amps::new(40.0)))
        .place("Battery room", |facts| facts.vent_opening = Some(SquareCentimeters::new(opening)))
}

#[test]
fn nickel_iron_needs_air_for_the_whole_current() {
    assert_eq!(iron(1000.0).says(AIR), ["danger Battery room: 1000.00, not 2240.00"]);
    assert!(iron(2240.0).says(AIR).is_empty(), "exactly enough");
    assert!(iron(2240.0).passes(AIR, "2240.00", "2240.00"));
    assert_eq!(iron(2239.9).says(AIR).len(), 1);
    let remedies = iron(1000.0).mended(AIR);
    assert!(remedies[0].contains("2240 cm²"), "{remedies:?}");
    assert!(remedies[1].contains("80 m³/h"), "{remedies:?}");
    // 1000 / (28 × 0.05 × 40) = 17.857 A, cut to 17.85
    assert!(remedies[2].contains("17.85 A"), "{remedies:?}");
}

#[test]
fn without_a_limit_at_the_end_of_charge_all_chargers_count() {
    // The cabin's chargers give 80 + 20 = 100 A: 28 × 0.05 × 40 × 100 = 5600 cm².
    let case = iron(2240.0).with::<BatteryBank>("B1", |it| it.equalize_current = None);
    assert_eq!(case.says(AIR), ["danger Battery room: 2240.00, not 5600.00"]);
}

#[test]
fn a_fan_serves_in_place_of_openings() {
    let fan =
        |flow| iron(1000.0).place("Battery room", |it| it.vent_fan = Some(CubicMetersPerHour::new(flow)));
    assert!(fan(80.0).says(AIR).is_empty());
    let only = fan(79.0).place("Battery room", |it| it.vent_opening = None);
    assert_eq!(only.says(AIR), ["danger Battery room: 79.00, not 80.00"]);
}

#[test]
fn a_room_of_which_nothing_is_known_is_asked_about() {
    let case = iron(0.0).place("Battery room", |it| it.vent_opening = None);
    assert!(case.says(AIR).is_empty());
    assert_eq!(case.asks(AIR), ["Each vent opening"]);
    let outdoors = case.place("Battery room", |it| it.surroundings = Some(Surroundings::Ground));
    assert!(outdoors.asks(AIR).is_empty() && outdoors.says(AIR).is_empty());
}

/// 24 V lead of 225 Ah equalized with 10 A in the hut: the current governs over the table's boost row.
fn lead() -> Case {
    Case::hut().with::<BatteryBank>("B1", |it| {
        it.capacity = AmpHours::new(225.0);
        it.capacities = None;
        it.equalize_current = Some(Amps::new(10.0));
    })
}

#[test]
fn lead_takes_the_larger_of_boost_and_equalize() {
    // 0.05 × 12 × 10 = 6.00 m³/h against 0.05 × 12 × 20 × 225 / 1000 = 2.70; 28 × 6 = 168 cm²
    let opening = |area| lead().place("Hut", |it| it.vent_opening = Some(SquareCentimeters::new(area)));
    assert!(opening(200.0).passes(AIR, "200.00", "168.00"));
    assert_eq!(opening(160.0).says(AIR), ["danger Hut: 160.00, not 168.00"]);
    assert_eq!(opening(160.0).clause(AIR), "IEC 62485-2 cl. 7.2 and 7.3");
    // Never equalized: 28 × 2.70 = 75.6 cm²
    let boost = opening(76.0).with::<BatteryBank>("B1", |it| {
        it.equalize_voltage = None;
        it.equalize_setting = None;
    });
    assert!(boost.passes(AIR, "76.00", "75.60"));
}

#[test]
fn lead_equalized_with_an_unknown_current_is_asked_about() {
    let case = lead().with::<BatteryBank>("B1", |it| it.equalize_current = None);
    assert_eq!(case.asks(AIR), ["Equalize current"]);
    // Openings for the whole charger of 46 A: 28 × 0.05 × 12 × 46 = 772.8 cm²
    let wide = case.place("Hut", |it| it.vent_opening = Some(SquareCentimeters::new(773.0)));
    assert!(wide.asks(AIR).is_empty());
}

#[test]
fn lithium_gives_off_nothing() {
    assert!(Case::home().says(AIR).is_empty());
    assert!(Case::home().passes(AIR, "0.00", "0.00"));
}

#[test]
fn sparks_keep_their_distance() {
    // 28.8 × ∛1 × ∛44.44 × ∛225 = 28.8 × ∛10000 = 620.48 mm
    let at = |meters| lead().place("Hut", |it| it.spark_distance = Some(Meters::new(meters)));
    assert!(at(1.0).passes(SPARK, "1.00", "0.62"));
    assert_eq!(at(0.6).says(SPARK), ["danger B1: 0.60, not 0.62"]);
    // 400 Ah nickel-iron at 40 A: 28.8 × ∛100 × ∛400 = 28.8 × ∛40000 = 984.95 mm
    let iron = iron(2240.0)
        .with::<BatteryBank>("B1", |it| it.capacity = AmpHours::new(400.0))
        .place("Battery room", |it| it.spark_distance = Some(Meters::new(0.6)));
    assert_eq!(iron.says(SPARK), ["danger B1: 0.60, not 0.98"]);
    assert_eq!(iron.mended(SPARK).len(), 1);
}

#[test]
fn a_distance_is_asked_for_only_where_something_sparks() {
    let unknown = Case::cabin().place("Battery room", |it| it.spark_distance = None);
    assert_eq!(unknown.asks(SPARK), ["From vent to nearest spark"], "a fused switch stands there");
    let fuse = unknown.with::<Fuse>("F1", |it| it.mount = FuseMount::BoltDown);
    assert!(fuse.asks(SPARK).is_empty(), "a fuse does not spark");
}

#[test]
fn working_space_by_voltage_and_what_stands_opposite() {
    let depth = |feet| Case::cabin().place("Cabin", |it| it.working_depth = Some(Meters::from_feet(feet)));
    assert_eq!(depth(2.5).says(SPACE), ["correction Cabin#depth: 0.76, not 0.91"]);
    assert!(depth(3.0).says(SPACE).is_empty(), "exactly enough");
    // The home's garage holds strings of 418 V: 3, 3.5 or 4 ft.
    let garage = |opposite| {
        Case::home().place("Garage", |it| {
            it.working_depth = Some(Meters::from_feet(3.5));
            it.opposite = opposite;
        })
    };
    assert!(garage(Some(Opposite::Grounded)).says(SPACE).is_empty());
    assert_eq!(garage(Some(Opposite::Live)).says(SPACE), ["correction Garage#depth: 1.07, not 1.22"]);
    assert!(garage(None).says(SPACE).is_empty());
    assert_eq!(garage(None).asks(SPACE), ["Opposite the equipment"]);
}

#[test]
fn working_space_has_width_height_and_air_behind_cells() {
    let narrow = Case::cabin().place("Cabin", |it| it.working_width = Some(Meters::new(0.7)));
    assert_eq!(narrow.says(SPACE), ["correction Cabin#width: 0.70, not 0.76"]);
    let low = Case::cabin().place("Cabin", |it| it.working_height = Some(Meters::new(1.9)));
    assert_eq!(low.says(SPACE), ["correction Cabin#height: 1.90, not 1.98"]);
    let gap = |mm| Case::cabin().place("Battery room", |it| it.cell_gap = Some(Millimeters::new(mm)));
    assert_eq!(gap(10.0).says(SPACE), ["correction Battery room#cells: 10.00, not 25.40"]);
    assert!(gap(25.4).says(SPACE).is_empty());
    let unknown = Case::cabin().place("Cabin", |it| it.working_depth = None);
    assert_eq!(unknown.asks(SPACE), ["Clear depth in front"]);
}

#[test]
fn below_60_volts_less_space_may_be_accepted() {
    // 30 cells: 30 × 1.65 = 49.5 V and, at 10 °C, 30 × 0.004 × 15 = 1.8 V more: 51.3 V
    let case = Case::cabin()
        .with::<BatteryBank>("B1", |it| it.units_in_series = 30)
        .place("Battery room", |it| it.working_depth = Some(Meters::new(0.5)));
    assert_eq!(case.says(SPACE), ["advice Battery room#depth: 0.50, not 0.91"]);
    // IEC: a gangway of 600 mm before the battery
    let hut = |meters| Case::hut().place("Hut", |it| it.working_depth = Some(Meters::new(meters)));
    assert!(hut(0.6).says(SPACE).is_empty());
    assert_eq!(hut(0.5).says(SPACE).len(), 1);
}

#[test]
fn bare_parts_above_60_volts_are_covered() {
    let bare = |case: Case| case.with::<BatteryBank>("B1", |it| it.terminals_covered = Some(Fitted::No));
    // 40 × 1.65 = 66 V, and 40 × 0.004 × 15 = 2.4 V more at 10 °C
    assert_eq!(bare(Case::cabin()).says(COVERS), ["correction B1: 68.40, not 60.00"]);
    assert_eq!(bare(Case::cabin()).mended(COVERS), ["Covers on B1"]);
    let locked = bare(Case::cabin()).place("Battery room", |it| it.locked = Some(Fitted::Yes));
    assert!(locked.says(COVERS).is_empty());
    let unknown = Case::cabin().with::<BatteryBank>("B1", |it| it.terminals_covered = None);
    assert_eq!(unknown.asks(COVERS), ["Terminals covered"]);
    // The bus bar stands in the power panel, which guards it.
    assert!(Case::cabin().with::<BusBar>("BUS1", |it| it.covered = Some(Fitted::No)).says(COVERS).is_empty());
}

#[test]
fn between_50_and_60_volts_the_codes_differ() {
    // Three packs of 16 × 3.55 = 56.8 V
    let bare = Case::home().with::<BatteryBank>("B1", |it| it.terminals_covered = Some(Fitted::No));
    assert_eq!(bare.says(COVERS), ["correction B1: 56.80, not 50.00"]);
    assert_eq!(bare.under(RuleSet::Iec).says(COVERS), ["advice B1: 56.80, not 50.00"]);
    // 12 × 2.58 = 30.96 V at 25 °C
    let hut = Case::hut()
        .with::<BatteryBank>("B1", |it| {
            it.equalize_setting = Some(Volts::new(2.58));
            it.terminals_covered = Some(Fitted::No);
        })
        .place("Hut", |it| it.coldest = Some(lineside_core::units::Celsius::new(25.0)));
    assert!(hut.says(COVERS).is_empty() && hut.passes(COVERS, "30.96", "50.00"));
}

#[test]
fn lithium_stands_where_a_fire_does_least_harm() {
    // Three packs of 51.2 V × 200 Ah = 10.24 kWh: 30.72 kWh
    assert!(Case::home().passes(LITHIUM, "30720.00", "80000.00"));
    assert!(Case::home().says(LITHIUM).is_empty());
    let more = |name: &str, ah: f64| {
        Case::home().with::<BatteryBank>("B1", |it| it.capacity = AmpHours::new(ah)).place(name, |_| {})
    };
    // 51.2 × 400 = 20.48 kWh in one unit
    assert_eq!(more("Garage", 400.0).says(LITHIUM), ["advice B1#unit: 20480.00, not 20000.00"]);
    let at = |surroundings| Case::home().place("Garage", |it| it.surroundings = surroundings);
    assert!(at(Some(Surroundings::UtilityRoom)).passes(LITHIUM, "30720.00", "40000.00"));
    assert_eq!(at(Some(Surroundings::Indoors)).says(LITHIUM).len(), 1);
    assert_eq!(at(None).asks(LITHIUM), ["Surroundings"]);
    // Nine packs: 92.16 kWh
    let nine = Case::home().with::<BatteryBank>("B1", |it| it.strings_in_parallel = 7);
    assert_eq!(nine.says(LITHIUM), ["advice Garage#group: 92160.00, not 80000.00"]);
}

#[test]
fn lithium_wants_detectors_and_distance() {
    let detector = |fitted| Case::home().place("Garage", |it| it.smoke_detection = fitted);
    assert_eq!(
        detector(Some(Fitted::No)).says(LITHIUM),
        ["advice Garage#detector: none, not a smoke or heat detector"]
    );
    assert_eq!(detector(None).asks(LITHIUM), ["Smoke or heat detector"]);
    let spaced = |meters| Case::home().place("Garage", |it| it.unit_spacing = Some(Meters::new(meters)));
    assert_eq!(spaced(0.5).says(LITHIUM), ["advice Garage#spacing: 0.50, not 0.91"]);
    assert!(spaced(0.92).says(LITHIUM).is_empty());
    let cars = Case::home().place("Garage", |it| it.vehicle_barrier = Some(Fitted::No));
    assert_eq!(cars.says(LITHIUM).len(), 1);
    let lead = Case::home().with::<BatteryBank>("B1", |it| it.chemistry = Chemistry::AbsorbedGlassMat);
    assert!(lead.passes(LITHIUM, "20480.00", "80000.00"), "only lithium counts");
}

#[test]
fn a_high_bank_asks_for_the_building() {
    // 16 × 3.55 = 56.80 V, and twice as much
    let packs = |series| {
        Case::home().site(|it| it.building = None).with::<BatteryBank>("B1", move |it| {
            it.units_in_series = series;
            it.terminals_covered = Some(Fitted::No);
        })
    };
    assert!(packs(1).asks(HOME).is_empty());
    assert_eq!(packs(2).asks(HOME), ["Building"]);
}
