//! Sites and systems for the properties.

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
use lineside_energy::weather::{Weather, typical};
use lineside_energy::{
    ByMonth, Charger, Connection, Control, Controller, Detail, Generator, Inverter, Outcome, Prepared,
    PvInverter, RandomOutages, Starter, SunToUtility, System, Tables, Utility,
};
use proptest::prelude::*;
use std::sync::LazyLock;

/// The tables.
pub struct Ground {
    /// Of the standards, cells and converters.
    pub codes: Codes,
    /// Of the energy year.
    pub tables: Tables,
}

pub static GROUND: LazyLock<Ground> = LazyLock::new(|| Ground {
    codes: Codes::load().unwrap_or_else(|fault| panic!("{fault}")),
    tables: Tables::load().unwrap_or_else(|fault| panic!("{fault}")),
});

/// A site.
pub struct Site {
    /// Its sky.
    pub sky: Sky,
    /// Its records.
    pub climate: Climate,
}

pub fn site(latitude: f64, sun: [f64; 12], air: f64) -> Site {
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

pub const TEMPERATE: [f64; 12] = [1.2, 2.0, 3.2, 4.4, 5.3, 5.8, 5.9, 5.1, 3.8, 2.4, 1.4, 1.0];

pub static VALLEY: LazyLock<Site> = LazyLock::new(|| site(47.0, TEMPERATE, 9.0));

pub fn array(strings: u32, tilt: f64, azimuth: f64) -> Array {
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

pub fn load(watts: f64, hours: f64, start: f64, current: LoadCurrent, class: LoadClass) -> Load {
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

pub fn loads(evening: f64) -> Loads {
    let table = vec![
        load(60.0, 24.0, 0.0, LoadCurrent::Ac, LoadClass::Critical),
        load(evening, 5.0, 17.5, LoadCurrent::Ac, LoadClass::Normal),
        load(25.0, 24.0, 0.0, LoadCurrent::Dc, LoadClass::Normal),
    ];
    Loads::of_table(table, &GROUND.tables.defaults)
}

/// 48 V, an inverter, nothing else.
pub fn system(chemistry: Chemistry, amp_hours: f64, strings: u32, evening: f64) -> System {
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
            hot: None,
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

pub fn year(site: &Site, system: &System, weather: &Weather, number: u32) -> Outcome {
    let prepared =
        Prepared::new(&site.sky, system, &GROUND.tables).unwrap_or_else(|faults| panic!("{faults:?}"));
    prepared.year(weather, 4, number, Detail::Sums).outcome
}

pub fn of_typical(site: &Site, system: &System) -> Outcome {
    let weather = typical(&site.sky, &site.climate, &GROUND.tables.defaults, 4).weather;
    year(site, system, &weather, 0)
}

pub fn chemistry() -> impl Strategy<Value = Chemistry> {
    (0..Chemistry::ALL.len()).prop_map(|index| Chemistry::ALL[index])
}

/// Any system: switching or tracking, with sun on the AC side, generator, utility, chargers, what can wait.
pub fn any_system() -> impl Strategy<Value = System> {
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
