//! What must hold of every year: books close, more sun never leaves more unmet, years do not depend on threads, and input
//! of every sort gives figures or a reason.

use lineside_codes::Codes;
use lineside_codes::tables::LossLaw;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::{Brief, LoadCurrent, MonthlyMeans};
use lineside_core::units::{
    AmpHours, Amps, Celsius, Degrees, Hours, Meters, Ohms, Percent, PercentPerCelsius, SunHours, VoltAmps,
    Volts, Watts,
};
use lineside_energy::array::{Array, Module, ModuleModel, Setting};
use lineside_energy::battery::{Bank, Cell};
use lineside_energy::loads::{Days, Load, LoadClass, Loads, Metered, Profile};
use lineside_energy::plane::PlaneSetting;
use lineside_energy::site::{Climate, Location, SiteFault, TimeZone};
use lineside_energy::sun::Sky;
use lineside_energy::weather::{Weather, WeatherRemark, random, typical};
use lineside_energy::{
    Better, ByMonth, Charger, Connection, Continue, Control, Controller, Detail, Generator, Inverter,
    ModelDoubt, Outcome, Prepared, Progress, PvInverter, RandomOutages, Run, Starter, SunToUtility, System,
    SystemFault, Tables, Unheard, Utility,
};
use proptest::prelude::*;
use std::num::NonZeroUsize;
use std::sync::LazyLock;

struct Ground {
    codes: Codes,
    tables: Tables,
}

static GROUND: LazyLock<Ground> = LazyLock::new(|| Ground {
    codes: Codes::load().unwrap_or_else(|fault| panic!("{fault}")),
    tables: Tables::load().unwrap_or_else(|fault| panic!("{fault}")),
});

struct Site {
    sky: Sky,
    climate: Climate,
}

fn site(latitude: f64, sun: [f64; 12], air: f64) -> Site {
    let location = Location::new(
        Degrees::new(latitude),
        Degrees::new(10.0),
        Meters::new(300.0),
        Hours::new(1.0),
        TimeZone::Checked,
    );
    let temperature = ByMonth::same(Celsius::new(air));
    let climate = Climate::new(ByMonth(sun.map(SunHours::new)), temperature, &GROUND.tables.defaults);
    let location = location.unwrap_or_else(|fault| panic!("{fault}"));
    Site { sky: Sky::over(&GROUND.tables, location, &climate.turbidity), climate }
}

const TEMPERATE: [f64; 12] = [1.2, 2.0, 3.2, 4.4, 5.3, 5.8, 5.9, 5.1, 3.8, 2.4, 1.4, 1.0];

static VALLEY: LazyLock<Site> = LazyLock::new(|| site(47.0, TEMPERATE, 9.0));

fn array(strings: u32, tilt: f64, azimuth: f64) -> Array {
    let defaults = &GROUND.tables.defaults;
    let module = Module {
        power: Watts::new(400.0),
        open_circuit_voltage: Volts::new(37.1),
        max_power_voltage: Volts::new(31.2),
        short_circuit_current: Amps::new(13.65),
        max_power_current: Amps::new(12.82),
        power_coefficient: PercentPerCelsius::new(-0.34),
        current_coefficient: PercentPerCelsius::new(0.05),
        voltage_coefficient: PercentPerCelsius::new(-0.26),
        cell_temperature: Celsius::new(45.0),
        low_light_loss: Percent::new(3.0),
        model: ModuleModel::Nameplate,
    };
    let plane = PlaneSetting::new(Degrees::new(tilt), Degrees::new(azimuth), defaults);
    Array {
        module,
        in_series: 3,
        in_parallel: strings,
        setting: Setting::new(plane, &module, defaults),
        string_resistance: Ohms::new(0.2),
        common_resistance: Ohms::new(0.02),
    }
}

fn load(watts: f64, hours: f64, start: f64, current: LoadCurrent, class: LoadClass) -> Load {
    Load {
        name: "a load".to_owned(),
        power: Watts::new(watts),
        quantity: 1,
        hours: Hours::new(hours),
        days: Days::PerWeek(7.0),
        profile: Profile::From(Hours::new(start)),
        current,
        class,
        power_factor: Percent::new(85.0),
        seasons: ByMonth::same(Percent::new(100.0)),
    }
}

fn loads(evening: f64) -> Loads {
    let table = vec![
        load(60.0, 24.0, 0.0, LoadCurrent::Ac, LoadClass::Critical),
        load(evening, 5.0, 17.5, LoadCurrent::Ac, LoadClass::Normal),
        load(25.0, 24.0, 0.0, LoadCurrent::Dc, LoadClass::Normal),
    ];
    Loads::of_table(table, &GROUND.tables.defaults)
}

/// 48 V, an inverter, nothing else.
fn system(chemistry: Chemistry, amp_hours: f64, strings: u32, evening: f64) -> System {
    let Ground { codes, tables } = &*GROUND;
    let cell = Cell::usual(codes, chemistry).unwrap_or_else(|| panic!("no cell"));
    let cells = match chemistry {
        Chemistry::NickelIron => 40,
        Chemistry::LithiumIronPhosphate => 16,
        Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel => 24,
    };
    System {
        bank: Bank {
            nominal: Volts::new(48.0),
            ..Bank::new(cell, cells, AmpHours::new(amp_hours), &tables.defaults)
        },
        controllers: vec![Controller {
            control: Control::Tracking(codes.common.equipment_models.tracking),
            count: 2,
            current: Amps::new(100.0),
            arrays: vec![array(strings, 45.0, 180.0)],
        }],
        pv_inverters: Vec::new(),
        inverter: Some(Inverter {
            apparent: VoltAmps::new(4000.0),
            continuous: Watts::new(3600.0),
            idle: Watts::new(25.0),
            search: None,
            law: LossLaw::of_shares([0.0, 0.015, 0.05]),
            at_altitude: Percent::new(100.0),
            hot: None,
        }),
        charger: None,
        generator: None,
        utility: None,
        loads: loads(evening),
        standing_use: Watts::new(6.0),
        shed_below: None,
    }
}

fn year(site: &Site, system: &System, weather: &Weather, number: u32) -> Outcome {
    let prepared =
        Prepared::new(&site.sky, system, &GROUND.tables).unwrap_or_else(|faults| panic!("{faults:?}"));
    prepared.year(weather, 4, number, Detail::Sums).outcome
}

fn of_typical(site: &Site, system: &System) -> Outcome {
    let weather = typical(&site.sky, &site.climate, &GROUND.tables.defaults, 4).weather;
    year(site, system, &weather, 0)
}

fn chemistry() -> impl Strategy<Value = Chemistry> {
    (0..Chemistry::ALL.len()).prop_map(|index| Chemistry::ALL[index])
}

/// Any system: switching or tracking, with sun on the AC side, generator, utility, chargers, what can wait.
fn any_system() -> impl Strategy<Value = System> {
    let base = (chemistry(), 100.0..900.0_f64, 1..6_u32, 0.0..1500.0_f64);
    let parts = (0..2_u8, 0..2_u8, 0..3_u8, 0..4_u8, 0..2_u8, 0..2_u8);
    (base, parts).prop_map(
        |((kind, amp_hours, strings, evening), (switching, ac, engine, grid, waits, sheds))| {
            let Ground { codes, tables } = &*GROUND;
            let mut system = system(kind, amp_hours, strings, evening);
            let models = &codes.common.equipment_models;
            if switching == 1 {
                system.controllers[0].control = Control::Switching(models.switching_drop);
            }
            if ac == 1 {
                let arrays = vec![array(2, 30.0, 240.0)];
                system.pv_inverters.push(PvInverter {
                    rated: Watts::new(2000.0),
                    law: models.pv_inverter,
                    arrays,
                });
            }
            if engine > 0 || grid > 0 {
                system.charger = Some(Charger { current: Amps::new(60.0), law: models.charger });
            }
            if engine > 0 {
                let floor = system.bank.cell.least_charge;
                let mut starter = Starter::usual(kind, floor, &tables.defaults);
                starter.quiet = Some((Hours::new(22.0), Hours::new(7.0)));
                starter.exercise = (engine == 2).then_some((14, Hours::new(10.0)));
                let rated = Watts::new(if engine == 2 { 900.0 } else { 6000.0 });
                system.generator =
                    Some(Generator::new(rated, None, starter, Meters::new(300.0), &tables.defaults));
            }
            if grid > 0 {
                system.utility = Some(Utility {
                    connection: match grid {
                        1 => Connection::SolarFirst {
                            connect: Percent::new(40.0),
                            disconnect: Percent::new(70.0),
                        },
                        _ => Connection::Backup,
                    },
                    sun: match grid {
                        3 => SunToUtility::Interactive { export: Watts::new(1000.0) },
                        _ => SunToUtility::Off,
                    },
                    limit: (grid == 2).then_some(Watts::new(800.0)),
                    random: Some(RandomOutages { per_year: 60.0, mean: Hours::new(10.0) }),
                    ..Utility::backup()
                });
            }
            if waits == 1 {
                system.loads.table.push(load(800.0, 1.5, 0.0, LoadCurrent::Ac, LoadClass::Deferrable));
            }
            system.shed_below = (sheds == 1).then_some(Percent::new(50.0));
            system
        },
    )
}

/// Loads are taken up again in the hour after a bank was run down, not only at its restart charge.
fn at_once(system: &mut System) {
    system.bank.cell.restart_charge = system.bank.cell.least_charge - Percent::new(0.01);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    /// Energy is conserved in every hour and over the year, and every figure is one.
    #[test]
    fn books_close(system in any_system(), number in 0..4_u32) {
        let defaults = &GROUND.tables.defaults;
        let weather = match number {
            0 => typical(&VALLEY.sky, &VALLEY.climate, defaults, 4).weather,
            _ => random(&VALLEY.sky, &VALLEY.climate, defaults, 4, number).weather,
        };
        let outcome = year(&VALLEY, &system, &weather, number);
        prop_assert!(outcome.closure.worst() < 1e-9, "{:?}", outcome.closure);
        let totals = &outcome.year;
        for watt_hours in [
            totals.sun_potential - totals.sun_used, totals.curtailed, totals.ac_demand - totals.ac_served,
            totals.dc_demand - totals.dc_served, totals.waiting_demand - totals.waiting_served, totals.wire_loss,
            totals.controller_loss, totals.pv_inverter_loss, totals.inverter_loss, totals.charger_loss,
            totals.battery_loss, totals.self_discharge, totals.unmet_critical, totals.unmet_normal, totals.unmet_dc,
        ] {
            prop_assert!(watt_hours.value().is_finite() && watt_hours.value() > -1e-3, "{totals:?}");
        }
        let unmet = totals.ac_demand + totals.dc_demand - totals.ac_served - totals.dc_served - totals.unmet();
        prop_assert!(unmet.value().abs() < 1e-6 * totals.demand().value().max(1.0));
        prop_assert!(outcome.wear.cautious.value() > 0.0 && outcome.wear.cautious <= outcome.wear.hopeful);
        prop_assert!(outcome.mean_charge <= Percent::new(100.0 + 1e-9) && outcome.mean_charge >= Percent::ZERO);
    }

    /// More array never means more unmet energy under the same weather. A bank that was run down waits for its restart
    /// charge, so a little more sun can put the wait into hungrier hours; without that wait the rule is strict.
    #[test]
    fn more_array_never_leaves_more_unmet(
        kind in chemistry(),
        amp_hours in 100.0..600.0_f64,
        strings in 1..5_u32,
        more in 1..4_u32,
        evening in 100.0..1200.0_f64,
    ) {
        let mut less = system(kind, amp_hours, strings, evening);
        at_once(&mut less);
        let mut array = less.clone();
        array.controllers[0].arrays[0].in_parallel = strings + more;
        let (less, array) = (of_typical(&VALLEY, &less), of_typical(&VALLEY, &array));
        let slack = 1e-9 * less.year.demand().value();
        prop_assert!(array.year.unmet().value() <= less.year.unmet().value() + slack,
            "{} {}", less.year.unmet(), array.year.unmet());
    }

    /// A bigger bank of equal efficiency never lengthens the longest time without everything served.
    #[test]
    fn a_bigger_bank_never_lengthens_the_longest_gap(
        amp_hours in 100.0..500.0_f64,
        times in 1.2..3.0_f64,
        strings in 1..5_u32,
        evening in 100.0..1200.0_f64,
    ) {
        let make = |amp_hours: f64| {
            let mut system = system(Chemistry::LithiumIronPhosphate, amp_hours, strings, evening);
            system.bank.cell.self_discharge = 0.0;
            at_once(&mut system);
            of_typical(&VALLEY, &system)
        };
        let (small, big) = (make(amp_hours), make(amp_hours * times));
        prop_assert!(big.longest_gap <= small.longest_gap, "{} {}", small.longest_gap, big.longest_gap);
        prop_assert!(big.year.unmet().value() <= small.year.unmet().value() * (1.0 + 1e-9) + 1e-6);
    }
}

fn run(years: u32, threads: usize) -> Run {
    Run { years, seed: 9, doubt: ModelDoubt::Included, threads: NonZeroUsize::new(threads).unwrap() }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let system = system(Chemistry::FloodedLead, 400.0, 3, 300.0);
    let prepared = Prepared::new(&VALLEY.sky, &system, &GROUND.tables).unwrap();
    let one = prepared.many_years(&VALLEY.climate, &run(7, 1), &Unheard).unwrap();
    let three = prepared.many_years(&VALLEY.climate, &run(7, 3), &Unheard).unwrap();
    assert_eq!(one.years, three.years);
    let other_seed = Run { seed: 10, ..run(7, 2) };
    assert_ne!(one.years, prepared.many_years(&VALLEY.climate, &other_seed, &Unheard).unwrap().years);
    let sun = one.spread(Better::More, |year| year.year.level_sun).unwrap();
    assert!(sun.least <= sun.p90 && sun.p90 <= sun.p50 && sun.p50 <= sun.most);
    let unmet = one.spread(Better::Less, |year| year.unmet_share).unwrap();
    assert!(unmet.p50 <= unmet.p90);
}

/// The mean of many random years is the records', and they stray by some 3 to 5 %.
#[test]
fn random_years_keep_the_mean() {
    let years: Vec<f64> = (1..=60)
        .map(|n| {
            random(&VALLEY.sky, &VALLEY.climate, &GROUND.tables.defaults, 2, n).weather.irradiation().value()
        })
        .collect();
    let mean = years.iter().sum::<f64>() / 60.0;
    let deviation = (years.iter().map(|year| (year - mean) * (year - mean)).sum::<f64>() / 59.0).sqrt();
    let days = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
    let records: f64 = TEMPERATE.iter().zip(days).map(|(sun, days)| sun * days).sum();
    assert!((mean / records - 1.0).abs() < 0.015, "{mean} {records}");
    assert!((0.02..0.06).contains(&(deviation / mean)), "{}", deviation / mean);
}

struct StopAfter(u32);

impl Progress for StopAfter {
    fn done(&self, years: u32) -> Continue {
        if years >= self.0 { Continue::No } else { Continue::Yes }
    }
}

#[test]
fn many_years_can_be_stopped() {
    let system = system(Chemistry::Gel, 400.0, 3, 300.0);
    let prepared = Prepared::new(&VALLEY.sky, &system, &GROUND.tables).unwrap();
    assert_eq!(prepared.many_years(&VALLEY.climate, &run(50, 2), &StopAfter(3)), None);
    assert!(prepared.many_years(&VALLEY.climate, &run(0, 2), &Unheard).is_some_and(|years| {
        years.years.is_empty() && years.spread(Better::More, |year| year.year.level_sun).is_none()
    }));
}

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
        .map(|month| MonthlyMeans { month: *month, sun: SunHours::new(4.0), temperature: Celsius::new(10.0) })
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
