//! Input of every sort: nothing, too much, poles, the other hemisphere, what cannot be.

use crate::systems::{GROUND, TEMPERATE, VALLEY, array, of_typical, site, system};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::{Brief, MonthlyMeans};
use lineside_core::units::{Amps, Celsius, Degrees, Hours, Meters, Percent, SunHours, Watts};
use lineside_energy::loads::{Loads, Metered};
use lineside_energy::site::{Climate, Location, SiteFault, TimeZone};
use lineside_energy::weather::{WeatherRemark, typical};
use lineside_energy::{ByMonth, Prepared, System, SystemFault};

#[test]
fn nothing_to_serve_and_nothing_to_serve_with() {
    let mut idle = system(Chemistry::NickelIron, 300.0, 2, 0.0);
    idle.loads = Loads::of_table(Vec::new(), &GROUND.tables.defaults);
    let outcome = of_typical(&VALLEY, &idle);
    assert_eq!((outcome.unmet_share, outcome.reserve), (Percent::ZERO, None));
    assert!(outcome.year.unmet_hours == Hours::ZERO && outcome.closure.worst() < 1e-9);
    // No sun at all, and loads above anything: everything goes unmet, nothing breaks.
    let dark = site(47.0, [0.0; 12], 9.0);
    let mut starved = system(Chemistry::LithiumIronPhosphate, 200.0, 1, 1e9);
    starved.controllers.clear();
    let outcome = of_typical(&dark, &starved);
    assert!(outcome.unmet_share > Percent::new(99.9), "{}", outcome.unmet_share);
    assert_eq!(outcome.longest_gap_ends, Some(8759));
    assert!(outcome.closure.worst() < 1e-9);
}

#[test]
fn poles_and_the_southern_half() {
    let polar_sun = [0.0, 0.3, 1.9, 4.3, 5.9, 6.2, 5.4, 3.5, 1.6, 0.4, 0.0, 0.0];
    let polar = site(78.0, polar_sun, -6.0);
    let made = typical(&polar.sky, &polar.climate, &GROUND.tables.defaults, 1);
    assert!((made.weather.irradiation().value() - 899.0).abs() < 15.0, "{}", made.weather.irradiation());
    let impossible = site(78.0, [1.0; 12], -6.0);
    let made = typical(&impossible.sky, &impossible.climate, &GROUND.tables.defaults, 1);
    assert!(made.remarks.iter().any(|it| matches!(it, WeatherRemark::NoSun(_))), "{:?}", made.remarks);
    let at_pole = site(-90.0, [10.0, 4.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.5, 4.0, 9.0, 11.0], -30.0);
    assert!(
        of_typical(&at_pole, &system(Chemistry::LithiumIronPhosphate, 400.0, 3, 100.0)).closure.worst()
            < 1e-9
    );
    // South of the equator an array looks north: turned south it gets less.
    let southern: [f64; 12] = std::array::from_fn(|month| TEMPERATE[(month + 6) % 12]);
    let south = site(-47.0, southern, 9.0);
    let facing = |azimuth: f64| {
        let mut system = system(Chemistry::LithiumIronPhosphate, 400.0, 3, 100.0);
        system.controllers[0].arrays[0] = array(3, 45.0, azimuth);
        of_typical(&south, &system).year.plane_sun
    };
    assert!(facing(0.0) > facing(180.0) * 1.4);
}

#[test]
fn impossible_records_are_refused_with_their_month() {
    let defaults = &GROUND.tables.defaults;
    let mut brief = Brief::default();
    let months = ByMonth::same(()).iter().map(|(month, ())| month).collect::<Vec<_>>();
    brief.months = months
        .iter()
        .map(|month| MonthlyMeans::new(*month, SunHours::new(4.0), Celsius::new(10.0)))
        .collect();
    assert!(Climate::of_brief(&brief, defaults).is_ok());
    brief.months[3].sun = SunHours::new(-2.0);
    brief.months[7].sun = SunHours::new(40.0);
    brief.months.remove(11);
    brief.months.push(brief.months[0]);
    let faults = Climate::of_brief(&brief, defaults).unwrap_err();
    let text: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(text.len(), 4, "{text:?}");
    assert!(text.contains(&"the weather records give January twice".to_owned()));
    assert!(text.contains(&"the weather records lack December".to_owned()));
    assert!(text.contains(&"sun of April: expected 0 to 14, found -2".to_owned()));
    assert!(text.contains(&"sun of August: expected 0 to 14, found 40".to_owned()));
}

#[test]
fn a_doubtful_time_zone_must_be_confirmed() {
    let at = |longitude: f64, offset: f64, zone| {
        let (here, there) = (Degrees::new(45.0), Degrees::new(longitude));
        Location::new(here, there, Meters::ZERO, Hours::new(offset), zone).map(|it| it.utc_offset().value())
    };
    assert_eq!(at(-113.5, -7.0, TimeZone::Checked), Ok(-7.0));
    assert!(matches!(at(-113.5, 7.0, TimeZone::Checked), Err(SiteFault::TimeZone { .. })));
    assert_eq!(at(-113.5, 7.0, TimeZone::Confirmed), Ok(7.0));
    // Just across the date line the zones differ by a day.
    assert_eq!(at(-172.0, 13.0, TimeZone::Checked), Ok(13.0));
    assert!(matches!(
        at(200.0, 13.0, TimeZone::Confirmed),
        Err(SiteFault::Outside { what: "longitude", .. })
    ));
}

#[test]
fn systems_that_mean_nothing_are_refused() {
    let faults = |change: &dyn Fn(&mut System)| {
        let mut system = system(Chemistry::NickelIron, 300.0, 2, 100.0);
        change(&mut system);
        Prepared::new(&VALLEY.sky, &system, &GROUND.tables).err().unwrap_or_default()
    };
    assert_eq!(faults(&|it| it.bank.cells = 0), [SystemFault::EmptyBank]);
    assert_eq!(faults(&|it| it.bank.health = Percent::ZERO), [SystemFault::EmptyBank]);
    let module = |it: &mut System| it.controllers[0].arrays[0].module.max_power_current = Amps::new(20.0);
    assert!(matches!(faults(&module)[..], [SystemFault::Impossible { .. }]));
    let metered = |it: &mut System| {
        let ac = vec![Watts::new(100.0); 24];
        let (critical, power_factor) = (Percent::ZERO, Percent::new(90.0));
        it.loads.metered = Some(Metered { ac, dc: Vec::new(), critical, power_factor });
    };
    assert_eq!(faults(&metered), [SystemFault::MeteredHours(24)]);
}

#[test]
fn a_meter_stands_beside_the_table() {
    let mut metered = system(Chemistry::LithiumIronPhosphate, 400.0, 4, 0.0);
    metered.loads = Loads::of_table(Vec::new(), &GROUND.tables.defaults);
    metered.loads.metered = Some(Metered {
        ac: vec![Watts::new(100.0); 8760],
        dc: vec![Watts::new(10.0); 8760],
        critical: Percent::new(30.0),
        power_factor: Percent::new(90.0),
    });
    let outcome = of_typical(&VALLEY, &metered);
    assert!((outcome.year.ac_demand.value() - 876_000.0).abs() < 1e-6);
    assert!((outcome.year.dc_demand.value() - 87_600.0).abs() < 1e-6);
    assert!(outcome.year.unmet_critical <= outcome.year.unmet_normal);
}
