//! The demo projects, with weather records and loads added, and small circuits by hand.

use super::*;
use crate::controller::Control;
use crate::sun::Sky;
use crate::utility::{Connection, SunToUtility};
use crate::weather::typical;
use crate::year::{Detail, Outcome, Prepared};
use lineside_codes::Codes;
use lineside_core::circuit::PlaceId;
use lineside_core::file;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::inverter::{Export, Inverter, UtilityPriority};
use lineside_core::kinds::strings::{Mounting, Strings};
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month, MonthlyMeans, Project};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::{AmpHours, Amps, Celsius, Degrees, Meters, SunHours, UnitSystem, Volts};

fn built(project: &Project, wishes: &Wishes) -> FromProject {
    let codes = Codes::load().unwrap();
    let on = Conditions::new(project, &codes);
    let studies = lineside_study::all(&on);
    from_project(&on, &studies, &Tables::load().unwrap(), wishes)
}

fn load(name: &str, watts: f64, hours: f64, current: LoadCurrent, priority: LoadPriority) -> LoadItem {
    LoadItem {
        name: name.to_owned(),
        power: Watts::new(watts),
        quantity: 1,
        hours: Hours::new(hours),
        days_per_week: 7,
        start: Some(Hours::new(17.0)),
        profile: Vec::new(),
        surge: None,
        power_factor: Some(Percent::new(90.0)),
        current,
        priority,
        months: Vec::new(),
    }
}

/// What the demos lack: weather records of a temperate place and a few loads.
fn with_needs(mut project: Project) -> Project {
    let sun = [1.6, 2.5, 3.7, 4.8, 5.7, 6.3, 6.5, 5.8, 4.4, 2.9, 1.7, 1.3];
    let air = [-5.0, -3.0, 2.0, 7.0, 12.0, 16.0, 19.0, 18.0, 13.0, 7.0, 1.0, -4.0];
    project.brief.months = Month::ALL
        .into_iter()
        .zip(sun.into_iter().zip(air))
        .map(|(month, (sun, air))| MonthlyMeans::new(month, SunHours::new(sun), Celsius::new(air)))
        .collect();
    project.brief.loads = vec![
        load("lights", 60.0, 5.0, LoadCurrent::Ac, LoadPriority::MustRun),
        load("refrigerator", 45.0, 24.0, LoadCurrent::Ac, LoadPriority::MustRun),
        load("radio", 20.0, 10.0, LoadCurrent::Dc, LoadPriority::MustRun),
        load("water", 300.0, 1.0, LoadCurrent::Ac, LoadPriority::CanWait),
    ];
    project
}

fn demo(text: &str) -> Project {
    with_needs(file::read(text).unwrap_or_else(|fault| panic!("{fault}")))
}

fn year(found: &FromProject) -> Outcome {
    let tables = Tables::load().unwrap();
    let (location, climate) = (found.location.unwrap(), found.climate.clone().unwrap());
    let sky = Sky::over(&tables, location, &climate.turbidity);
    let weather = typical(&sky, &climate, &tables.defaults, 1).weather;
    let system = found.system.as_ref().unwrap();
    let prepared = Prepared::new(&sky, system, &tables).unwrap_or_else(|faults| panic!("{faults:?}"));
    prepared.year(&weather, 1, 0, Detail::Sums).outcome
}

fn says(found: &FromProject, project: &Project, text: &str) -> bool {
    let texts = found.statements.iter().map(|it| it.text(&project.circuit, UnitSystem::Si));
    texts.into_iter().any(|it| it.contains(text))
}

#[test]
fn the_demos_have_years_and_their_books_close() {
    for text in [
        include_str!("../../../../assets/demos/cabin.lineside"),
        include_str!("../../../../assets/demos/home.lineside"),
        include_str!("../../../../assets/demos/hut.lineside"),
    ] {
        let project = demo(text);
        let found = built(&project, &Wishes::default());
        assert!(
            found.statements.iter().all(|it| it.kind() != StatementKind::Missing),
            "{:?}",
            found.statements
        );
        let outcome = year(&found);
        assert!(outcome.closure.worst() < 1e-9, "{:?}", outcome.closure);
        assert!(outcome.year.sun_used.value() > 0.0 && outcome.year.served().value() > 0.0);
        assert!(outcome.unmet_share < Percent::new(20.0), "{}", outcome.unmet_share);
    }
}

/// The lithium home: two controllers, three packs as one bank, a utility that charges, a generator behind it.
#[test]
fn the_home_is_read_from_its_sheet() {
    let mut project = demo(include_str!("../../../../assets/demos/home.lineside"));
    let outages = Some(RandomOutages { per_year: 10.0, mean: Hours::new(8.0) });
    let found = built(&project, &Wishes { outages, ..Wishes::default() });
    let system = found.system.as_ref().unwrap();
    let packs = ["B1", "B2", "B3"].map(|tag| project.circuit.block_by_tag(tag).unwrap());
    let capacity: AmpHours =
        packs.iter().map(|it| it.equipment.as_kind::<BatteryBank>().unwrap().capacity).sum();
    assert_eq!(system.bank.capacity, capacity);
    assert_eq!((system.bank.cells, system.bank.nominal), (16, Volts::new(48.0)));
    assert_eq!(system.controllers.len(), 2);
    let utility = system.utility.as_ref().unwrap();
    assert_eq!((utility.random, utility.sun), (outages, SunToUtility::Off));
    assert!(system.generator.is_some() && system.charger.is_some());
    assert!(!says(&found, &project, "as always there"));
    assert!(says(&found, &project, "the brief has DC loads and the sheet none"));
    // Of the brief, where no one wishes otherwise; where it has none, that is said.
    let of_brief = built(&project, &Wishes::default());
    let six = RandomOutages { per_year: 6.0, mean: Hours::new(5.0) };
    assert_eq!(of_brief.system.unwrap().utility.unwrap().random, Some(six));
    project.brief.goals.outages = None;
    assert!(says(&built(&project, &Wishes::default()), &project, "U1 is taken as always there"));
}

#[test]
fn the_cabin_without_records_or_loads_says_so() {
    let mut project = file::read(include_str!("../../../../assets/demos/cabin.lineside")).unwrap();
    project.brief.site.elevation = None;
    project.brief.months.clear();
    project.brief.loads.clear();
    let found = built(&project, &Wishes::default());
    assert_eq!((found.location, found.climate.is_none()), (None, true));
    assert!(says(&found, &project, "does not give the elevation"));
    assert!(says(&found, &project, "the weather records lack July"));
    assert!(says(&found, &project, "the brief has no loads"));
    let missing = found.statements.iter().filter(|it| it.kind() == StatementKind::Missing).count();
    assert_eq!(missing, 13);
    assert!(found.system.is_some(), "the sheet alone has a system");
}

struct Small {
    bench: Bench,
    place: PlaceId,
}

const FEET: f64 = 0.3048;

/// Two sets of strings on a splice box, one common run to a controller, a nickel-iron bank, an inverter.
fn small() -> Small {
    let mut bench = Bench::new();
    let place = bench.location("Here");
    let put = |bench: &mut Bench, tag: &str, item: &str| {
        let equipment = bench.stock(item);
        bench.put(tag, Some(place), equipment);
    };
    put(&mut bench, "S1", "Module string, 400 W modules");
    put(&mut bench, "S2", "Module string, 400 W modules");
    put(&mut bench, "X1", "Splice box, three ends, 85 A, 600 V");
    put(&mut bench, "C1", "Tracking controller, 150 V in, 45 A out");
    put(&mut bench, "BUS1", "DC bus bar, covered, 250 A, 6 taps, 150 V");
    put(&mut bench, "B1", "Nickel-iron cell, 300 Ah");
    put(&mut bench, "INV1", "Inverter, 2 kW, 48 V to 120 V");
    let feet = |feet: f64| Meters::new(feet * FEET);
    bench.join("W1", "S1.out", "X1.end1", Some(copper("10", feet(50.0))));
    bench.join("W2", "S2.out", "X1.end2", None);
    bench.join("W3", "X1.end3", "C1.pv", Some(copper("10", feet(100.0))));
    bench.join("W4", "C1.battery", "BUS1.tap1", Some(copper("4", feet(10.0))));
    bench.join("W5", "BUS1.tap2", "B1.out", Some(copper("2/0", feet(10.0))));
    bench.join("W6", "BUS1.tap3", "INV1.dc", Some(copper("2/0", feet(5.0))));
    let mut small = Small { bench, place };
    small.change("B1", |it: &mut BatteryBank| it.units_in_series = 40);
    small
}

impl Small {
    fn change<T: lineside_core::kinds::OfKind + Clone + Into<lineside_core::kinds::Equipment>>(
        &mut self,
        tag: &str,
        change: impl FnOnce(&mut T),
    ) {
        let block = self.bench.project.circuit.block_by_tag(tag).unwrap();
        let mut it: T = block.equipment.as_kind::<T>().unwrap().clone();
        change(&mut it);
        let edit = lineside_core::edit::Edit::SetEquipment {
            block: block.id,
            equipment: Box::new(it.into()),
            stock: None,
        };
        lineside_core::edit::apply(&mut self.bench.project, edit).unwrap();
    }
    fn built(&self) -> FromProject {
        built(&self.bench.project, &Wishes::default())
    }
}

#[test]
fn conductors_of_the_sheet_are_counted_once_for_each_current() {
    let found = small().built();
    let system = found.system.as_ref().unwrap();
    let arrays = &system.controllers[0].arrays;
    assert_eq!(arrays.len(), 2);
    // 10 AWG copper at 50 °C: 1.24 Ω/kft × (1 + 0.00323 × (50 − 75)) = 1.13987 Ω/kft, both ways.
    // The common 100 ft carry both sets, so each counts them twice: 0.2 × 1.13987 × 2 = 0.455948 Ω;
    // the first set has 50 ft of its own: 0.1 × 1.13987 = 0.113987 Ω.
    assert!((arrays[1].common_resistance.value() - 0.455_948).abs() < 1e-6);
    assert!((arrays[0].common_resistance.value() - 0.569_935).abs() < 1e-6);
    // The bank's own run: 10 ft of 2/0 at 30 °C: 0.0967 × (1 − 0.00323 × 45) = 0.0826446 Ω/kft × 0.02 = 1.65289 mΩ.
    assert!((system.bank.cable.value() - 1.652_89e-3).abs() < 1e-8);
}

/// The runs of controller and inverter stand in their losses: R I / V of the rating more at full current.
#[test]
fn runs_of_the_bus_stand_in_the_losses_of_what_they_feed() {
    let with = small().built();
    let mut bare = small();
    for (tag, from, to) in [("W4", "C1.battery", "BUS1.tap1"), ("W6", "BUS1.tap3", "INV1.dc")] {
        let run = bare.bench.project.circuit.run_by_tag(tag).unwrap().id;
        lineside_core::edit::apply(&mut bare.bench.project, lineside_core::edit::Edit::RemoveRun(run))
            .unwrap();
        bare.bench.join(tag, from, to, None);
    }
    let without = bare.built();
    let square = |found: &FromProject| {
        let system = found.system.as_ref().unwrap();
        let Control::Tracking(law) = system.controllers[0].control else { panic!("a tracking controller") };
        (law.shares()[2], system.inverter.unwrap().law.shares()[2])
    };
    let (with, without) = (square(&with), square(&without));
    // 10 ft of 4 AWG at 30 °C: 0.308 × 0.85465 × 0.02 = 5.26464 mΩ × 45 A / 48 V = 0.0049356.
    assert!((with.0 - without.0 - 0.004_935_6).abs() < 1e-6, "{}", with.0 - without.0);
    // 5 ft of 2/0: 0.826446 mΩ × (2000 VA / 48 V) / 48 V = 0.00071740.
    assert!((with.1 - without.1 - 0.000_717_40).abs() < 1e-7, "{}", with.1 - without.1);
}

#[test]
fn orientations_mountings_and_rear_light_are_told() {
    let mut small = small();
    small.change("S2", |it: &mut Strings| {
        it.azimuth = Degrees::new(240.0);
        it.mounting = Mounting::Tracker;
        it.bifacial_share = Some(Percent::new(70.0));
    });
    let found = small.built();
    let project = &small.bench.project;
    assert!(says(&found, project, "several orientations share the input of C1"));
    assert!(says(&found, project, "the tracker of S2"));
    assert!(says(&found, project, "light on the rear of S2"));
    let arrays = &found.system.as_ref().unwrap().controllers[0].arrays;
    assert_eq!(arrays[1].setting.plane.azimuth, Degrees::new(240.0));
    assert_eq!(arrays[0].setting.mismatch, Percent::new(3.0));
}

#[test]
fn what_the_year_cannot_follow_is_told() {
    let mut small = small();
    let place = Some(small.place);
    let strings = small.bench.stock("Module string, 400 W modules");
    small.bench.put("S9", place, strings);
    let controller = small.bench.stock("Tracking controller, 150 V in, 45 A out");
    small.bench.put("C9", place, controller);
    small.bench.join("W9", "C9.battery", "BUS1.tap4", None);
    let lead = small.bench.stock("Flooded lead-acid cell, 2 V, 600 Ah");
    small.bench.put("B9", place, lead.clone());
    small.bench.join("W10", "B9.out", "BUS1.tap5", None);
    small.bench.put("B8", place, lead);
    let generator = small.bench.stock("Generator, 10 kW, 230 V, diesel");
    small.bench.put("G9", place, generator);
    let found = small.built();
    let project = &small.bench.project;
    for text in [
        "S9 reaches no charge controller",
        "C9 has no strings",
        "B9 has another chemistry",
        "B8 stands on another battery bus",
        "G9 reaches no inverter",
    ] {
        assert!(says(&found, project, text), "{text}: {:?}", found.statements);
    }
    let mut empty = Bench::new();
    empty.project = with_needs(empty.project);
    let found = built(&empty.project, &Wishes::default());
    assert!(found.system.is_none() && found.statements.contains(&Statement::NoBank));
}

/// A second inverter on the bus, with a utility at its inlet.
fn add_utility(small: &mut Small) {
    let place = Some(small.place);
    let inverter = small.bench.stock("Inverter-charger, 4 kW, 48 V, 230 V");
    small.bench.put("INV2", place, inverter);
    small.bench.join("W7", "BUS1.tap6", "INV2.dc", None);
    let utility = small.bench.stock("Utility service, 230 V, 63 A");
    small.bench.put("U1", place, utility);
    small.bench.join("W8", "U1.out", "INV2.in1", None);
}

fn on_the_map(project: &mut Project) {
    let site = &mut project.brief.site;
    site.latitude = Some(Degrees::new(46.0));
    site.longitude = Some(Degrees::new(8.0));
    site.elevation = Some(Meters::new(500.0));
}

/// Export on: sun that the bank cannot take goes to the loads and to the utility.
#[test]
fn supplies_reach_the_bank_through_the_inverter() {
    let mut small = small();
    add_utility(&mut small);
    small.change("INV2", |it: &mut Inverter| {
        it.export = Export::On;
        it.export_limit = Some(Amps::new(10.0));
        it.charge_limit = Some(Amps::new(20.0));
        it.ac_input_limit = Some(Amps::new(16.0));
    });
    small.bench.project = with_needs(small.bench.project);
    on_the_map(&mut small.bench.project);
    let found = built(&small.bench.project, &Wishes::default());
    let system = found.system.as_ref().unwrap();
    let utility = system.utility.as_ref().unwrap();
    assert_eq!(utility.sun, SunToUtility::Interactive { export: Watts::new(2300.0) });
    assert_eq!(utility.limit, Some(Watts::new(3680.0)));
    assert_eq!(system.charger.map(|it| it.current), Some(Amps::new(20.0)));
    // 2 kW and 4 kW stand on the bus together.
    assert_eq!(system.inverter.map(|it| it.continuous), Some(Watts::new(6000.0)));
    assert_eq!(utility.connection, Connection::Backup);
    let taken = "U1 is taken to serve the loads whenever it is there";
    assert!(says(&found, &small.bench.project, taken));
    let outcome = year(&found);
    assert!(outcome.year.export.value() > 0.0 && outcome.closure.worst() < 1e-9, "{:?}", outcome.closure);
    assert_eq!(outcome.unmet_share, Percent::ZERO);
}

/// Utility priority: an inverter's setting goes before the brief's wish, and what neither gives is the table's 50 and
/// 80 %. The utility gives less when it comes last.
#[test]
fn sun_and_bank_can_go_before_the_utility() {
    let mut small = small();
    add_utility(&mut small);
    small.bench.project = with_needs(small.bench.project);
    on_the_map(&mut small.bench.project);
    let first = built(&small.bench.project, &Wishes::default());
    let connection =
        |found: &FromProject| found.system.as_ref().unwrap().utility.as_ref().unwrap().connection;
    assert_eq!(connection(&first), Connection::Backup);

    small.bench.project.brief.goals.utility_priority = Some(UtilityPriority::SunFirst);
    let wished = built(&small.bench.project, &Wishes::default());
    let sun_first = |connect, disconnect| Connection::SolarFirst {
        connect: Percent::new(connect),
        disconnect: Percent::new(disconnect),
    };
    assert_eq!(connection(&wished), sun_first(50.0, 80.0));
    assert!(says(&wished, &small.bench.project, "charge at which the utility connects: 50 % assumed"));
    let import = |found: &FromProject| year(found).year.import;
    assert!(import(&wished) < import(&first), "{:?} {:?}", import(&wished), import(&first));

    small.change("INV2", |it: &mut Inverter| {
        it.utility_priority = Some(UtilityPriority::SunFirst);
        it.utility_connect_charge = Some(Percent::new(60.0));
        it.utility_disconnect_charge = Some(Percent::new(90.0));
    });
    assert_eq!(connection(&built(&small.bench.project, &Wishes::default())), sun_first(60.0, 90.0));

    small.change("INV2", |it: &mut Inverter| it.utility_priority = Some(UtilityPriority::UtilityFirst));
    let set = built(&small.bench.project, &Wishes::default());
    assert_eq!(connection(&set), Connection::Backup);
    assert!(!says(&set, &small.bench.project, "is taken to serve the loads"));
}
