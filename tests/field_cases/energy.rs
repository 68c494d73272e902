//! Cases S54 and S57: what a year brings.

use lineside_acceptance::near;
use lineside_acceptance::sound::sound;
use lineside_codes::Codes;
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month, MonthlyMeans, Project};
use lineside_core::units::{Celsius, Degrees, Hours, Meters, SunHours, Watts};
use lineside_energy::sun::Sky;
use lineside_energy::weather::typical;
use lineside_energy::{Detail, Outcome, Prepared, Tables, Wishes, from_project};
use lineside_study::Conditions;

/// Sun on the level and air of a temperate place at 36° north.
const SUN: [f64; 12] = [2.6, 3.4, 4.5, 5.5, 6.1, 6.5, 6.4, 5.8, 4.9, 3.9, 2.8, 2.4];
const AIR: [f64; 12] = [4.0, 6.0, 10.0, 15.0, 20.0, 24.0, 26.0, 25.0, 22.0, 16.0, 9.0, 5.0];

/// The sound system at that place, its array tilted so, with a load by day and night.
fn project(tilt: f64, load: f64) -> Project {
    let mut project = sound().project().clone();
    let site = &mut project.brief.site;
    site.latitude = Some(Degrees::new(35.9));
    site.longitude = Some(Degrees::new(-95.0));
    site.elevation = Some(Meters::new(200.0));
    let means = Month::ALL.into_iter().zip(SUN.into_iter().zip(AIR));
    project.brief.months = means
        .map(|(month, (sun, air))| MonthlyMeans::new(month, SunHours::new(sun), Celsius::new(air)))
        .collect();
    project.brief.loads = vec![LoadItem {
        name: "standing".to_owned(),
        power: Watts::new(load),
        quantity: 1,
        hours: Hours::new(24.0),
        days_per_week: 7,
        start: None,
        profile: Vec::new(),
        surge: None,
        power_factor: None,
        current: LoadCurrent::Ac,
        priority: LoadPriority::MustRun,
        months: Vec::new(),
    }];
    let strings = project.circuit.block_by_tag("S1").expect("the array").clone();
    if let Equipment::Strings(mut nameplate) = strings.equipment {
        nameplate.tilt = Degrees::new(tilt);
        let equipment = Box::new(Equipment::Strings(nameplate));
        let edit = Edit::SetEquipment { block: strings.id, equipment, stock: None };
        apply(&mut project, edit).expect("a tilt");
    }
    project
}

fn year(project: &Project) -> Outcome {
    let (codes, tables) = (Codes::load().expect("tables"), Tables::load().expect("tables"));
    let on = Conditions::new(project, &codes);
    let studies = lineside_study::all(&on);
    let found = from_project(&on, &studies, &tables, &Wishes::default());
    let (location, climate) = (found.location.expect("a place"), found.climate.clone().expect("a climate"));
    let sky = Sky::over(&tables, location, &climate.turbidity);
    let weather = typical(&sky, &climate, &tables.defaults, 1).weather;
    let system = found.system.as_ref().expect("a system");
    let prepared = Prepared::new(&sky, system, &tables).expect("sound figures");
    prepared.year(&weather, 1, 0, Detail::Sums).outcome
}

/// S54 · Sixty-two watts nobody counted.
#[test]
fn s54() {
    // 62 × 24 = 1488 Wh a day, a quarter of a bank of which 5952 Wh can be used
    let whole = year(&project(35.9, 62.0)).year;
    let day = whole.ac_demand.value() / 365.0;
    assert!(near(day, "1488") && near(day / 5952.0, "0.25"), "{day} Wh a day");
    assert!(near(whole.ac_served.value() / 365.0, "1488"), "{:?} served", whole.ac_served);
}

/// S57 · How much tilt matters, measured: a magazine's 3916 kWh at 25°, 3937 kWh at 35.9°, 4139 kWh with the best tilt
/// of each month and 4127 kWh with that of each quarter.
#[test]
fn s57() {
    let tilts = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.9, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0];
    let potential = |tilt: f64| -> Vec<f64> {
        let outcome = year(&project(tilt, 62.0));
        Month::ALL.iter().map(|month| outcome.months.of(*month).sun_potential.value()).collect()
    };
    let by_tilt: Vec<Vec<f64>> = tilts.into_iter().map(potential).collect();
    let fixed = |tilt: f64| -> f64 {
        let at = tilts.iter().position(|it| (it - tilt).abs() < 0.01).expect("a tilt of the list");
        by_tilt[at].iter().sum()
    };
    // Quarters about the turns of the year: November to January and so on
    let best = |months: &[usize]| -> f64 {
        let sums = by_tilt.iter().map(|of| months.iter().map(|month| of[*month]).sum());
        sums.fold(0.0, f64::max)
    };
    let monthly: f64 = (0..12).map(|month| best(&[month])).sum();
    let quarterly = best(&[10, 11, 0]) + best(&[1, 2, 3]) + best(&[4, 5, 6]) + best(&[7, 8, 9]);
    let latitude = fixed(35.9);
    let found = [latitude / fixed(25.0), monthly / latitude, quarterly / latitude];
    let measured = [3937.0 / 3916.0, 4139.0 / 3937.0, 4127.0 / 3937.0];
    for (found, measured) in found.iter().zip(measured) {
        assert!((found - measured).abs() < 0.015, "{found:.4}, measured {measured:.4}");
    }
}
