//! Speed of the energy year: the sky of a site, weather, one year, and a hundred years on two cores.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_codes::tables::LossLaw;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::LoadCurrent;
use lineside_core::units::{
    AmpHours, Amps, Celsius, Degrees, Hours, Meters, Ohms, Percent, PercentPerCelsius, SunHours, VoltAmps,
    Volts, Watts,
};
use lineside_energy::array::{Array, Module, ModuleModel, Setting};
use lineside_energy::battery::{Bank, Cell};
use lineside_energy::loads::{Days, Load, LoadClass, Loads, Profile};
use lineside_energy::plane::PlaneSetting;
use lineside_energy::site::{Climate, Location, TimeZone};
use lineside_energy::sun::Sky;
use lineside_energy::weather::{random, typical};
use lineside_energy::{
    ByMonth, Charger, Control, Controller, Detail, Generator, Inverter, ModelDoubt, Prepared, Run, Starter,
    System, Tables, Unheard,
};
use std::hint::black_box;
use std::num::NonZeroUsize;

fn climate(tables: &Tables) -> (Location, Climate) {
    let location = Location::new(
        Degrees::new(47.2),
        Degrees::new(-113.5),
        Meters::new(1150.0),
        Hours::new(-7.0),
        TimeZone::Checked,
    )
    .expect("it is there");
    let sun = [1.35, 2.25, 3.55, 4.75, 5.75, 6.35, 6.75, 5.7, 4.25, 2.6, 1.5, 1.1].map(SunHours::new);
    let air = [-6.0, -3.5, 1.5, 6.0, 10.8, 15.0, 19.5, 18.8, 13.5, 6.5, -0.5, -5.5].map(Celsius::new);
    (location, Climate::new(ByMonth(sun), ByMonth(air), &tables.defaults))
}

fn array(tables: &Tables, azimuth: f64) -> Array {
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
    let plane = PlaneSetting::new(Degrees::new(50.0), Degrees::new(azimuth), &tables.defaults);
    Array {
        module,
        in_series: 4,
        in_parallel: 2,
        setting: Setting::new(plane, &module, &tables.defaults),
        string_resistance: Ohms::new(0.2),
        common_resistance: Ohms::new(0.03),
    }
}

fn load(name: &str, watts: f64, hours: f64, start: f64, class: LoadClass) -> Load {
    Load {
        name: name.to_owned(),
        power: Watts::new(watts),
        quantity: 1,
        hours: Hours::new(hours),
        days: Days::PerWeek(7.0),
        profile: Profile::From(Hours::new(start)),
        current: LoadCurrent::Ac,
        class,
        power_factor: Percent::new(85.0),
        seasons: ByMonth::same(Percent::new(100.0)),
    }
}

/// Two arrays of different azimuth on two controllers, lithium, inverter-charger and generator.
fn system(codes: &Codes, tables: &Tables) -> System {
    let cell = Cell::usual(codes, Chemistry::LithiumIronPhosphate).expect("every chemistry has a cell");
    let models = &codes.common.equipment_models;
    let controller = |azimuth| Controller {
        control: Control::Tracking(models.tracking),
        count: 1,
        current: Amps::new(80.0),
        hot: None,
        arrays: vec![array(tables, azimuth)],
    };
    let starter = Starter::usual(Chemistry::LithiumIronPhosphate, Percent::new(20.0), &tables.defaults);
    let loads = vec![
        load("refrigerator", 60.0, 24.0, 0.0, LoadClass::Critical),
        load("well pump", 1100.0, 0.8, 7.0, LoadClass::Critical),
        load("lighting", 120.0, 5.0, 17.5, LoadClass::Normal),
        load("kitchen", 1500.0, 1.4, 6.75, LoadClass::Normal),
        load("computers", 240.0, 6.0, 16.0, LoadClass::Normal),
        load("water heating", 1000.0, 1.5, 0.0, LoadClass::Deferrable),
    ];
    System {
        bank: Bank::new(cell, 16, AmpHours::new(400.0), &tables.defaults),
        controllers: vec![controller(140.0), controller(220.0)],
        pv_inverters: Vec::new(),
        inverter: Some(Inverter {
            apparent: VoltAmps::new(8000.0),
            continuous: Watts::new(7200.0),
            idle: Watts::new(45.0),
            search: None,
            law: LossLaw::of_shares([0.0, 0.015, 0.05]),
            at_altitude: Percent::new(100.0),
            hot: None,
        }),
        charger: Some(Charger { current: Amps::new(120.0), law: models.charger }),
        generator: Some(Generator::new(
            Watts::new(8000.0),
            None,
            starter,
            Meters::new(1150.0),
            &tables.defaults,
        )),
        utility: None,
        loads: Loads::of_table(loads, &tables.defaults),
        standing_use: Watts::new(8.0),
        shed_below: None,
    }
}

fn year(c: &mut Criterion) {
    let tables = Tables::load().expect("it is there");
    let codes = Codes::load().expect("it is there");
    let (location, climate) = climate(&tables);
    let sky = Sky::over(&tables, location, &climate.turbidity);
    let system = system(&codes, &tables);
    let weather = typical(&sky, &climate, &tables.defaults, 11).weather;
    let prepared = Prepared::new(&sky, &system, &tables).expect("the system is whole");
    c.bench_function("sky of a site", |b| {
        b.iter(|| Sky::over(black_box(&tables), location, &climate.turbidity));
    });
    c.bench_function("system laid under a sky", |b| {
        b.iter(|| Prepared::new(black_box(&sky), &system, &tables));
    });
    c.bench_function("weather of a random year", |b| {
        b.iter(|| random(black_box(&sky), &climate, &tables.defaults, 11, 3));
    });
    c.bench_function("one year", |b| {
        b.iter(|| black_box(&prepared).year(&weather, 11, 0, Detail::Sums));
    });
    c.bench_function("one year with every hour", |b| {
        b.iter(|| black_box(&prepared).year(&weather, 11, 0, Detail::Hourly));
    });
    let mut group = c.benchmark_group("hundred years");
    group.sample_size(20);
    for threads in [1, 2] {
        let threads = NonZeroUsize::new(threads).unwrap_or(NonZeroUsize::MIN);
        let run = Run { years: 100, seed: 11, doubt: ModelDoubt::Left, threads };
        group.bench_function(format!("{threads} threads"), |b| {
            b.iter(|| black_box(&prepared).many_years(&climate, &run, &Unheard));
        });
    }
    group.finish();
}

criterion_group!(benches, year);
criterion_main!(benches);
