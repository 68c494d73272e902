//! The systems of the example years.

use crate::planes_and_arrays::module;
use crate::reference::{list, number, twelve, whole};
use lineside_codes::Codes;
use lineside_codes::tables::LossLaw;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::kinds::generator::Fuel;
use lineside_core::project::LoadCurrent;
use lineside_core::units::{
    AmpHours, Amps, Celsius, CelsiusSpan, Degrees, Hours, Meters, Ohms, Percent, VoltAmps, Volts, Watts,
};
use lineside_energy::array::{Array, Setting};
use lineside_energy::battery::{Bank, Cell, Room};
use lineside_energy::loads::{Days, Deadline, Deferral, Load, LoadClass, Loads, Profile};
use lineside_energy::plane::{Horizon, PlaneSetting};
use lineside_energy::{
    ByMonth, Charger, Connection, Control, Controller, Defaults, FuelUse, Generator, Inverter, RandomOutages,
    StartLevel, Starter, SunToUtility, System, Tables, Utility,
};
use serde_json::Value;

/// A number, or what holds when it is not there.
fn number_or(value: &Value, default: f64) -> f64 {
    if value.is_null() { default } else { number(value) }
}

fn share(value: &Value) -> Percent {
    Percent::from_share(number(value))
}

/// The system of a case at a height above the sea.
pub fn system(tables: &Tables, input: &Value, elevation: f64) -> System {
    let codes = Codes::load().unwrap_or_else(|fault| panic!("{fault}"));
    let defaults = &tables.defaults;
    let nominal = Volts::new(number(&input["bank_v"]));
    let arrays = list(&input["arrays"]).iter().map(|it| array(it, defaults)).collect();
    System {
        bank: Bank { nominal, ..bank(&codes, &input["battery"], defaults) },
        controllers: vec![controller(&codes, &input["controller"], arrays)],
        pv_inverters: Vec::new(),
        inverter: inverter(&input["inverter"]),
        charger: charger(&codes, &input["charger"]),
        generator: generator(tables, &input["generator"], elevation),
        utility: utility(&input["grid"]),
        loads: loads(input, defaults),
        standing_use: Watts::new(number(&input["parasitic_dc_w"])),
        shed_below: None,
    }
}

fn chemistry(value: &Value) -> Chemistry {
    match value.as_str() {
        Some("nife") => Chemistry::NickelIron,
        Some("lfp") => Chemistry::LithiumIronPhosphate,
        Some("fla") => Chemistry::FloodedLead,
        Some("agm") => Chemistry::AbsorbedGlassMat,
        other => panic!("no chemistry {other:?}"),
    }
}

fn bank(codes: &Codes, it: &Value, defaults: &Defaults) -> Bank {
    let cell = Cell::usual(codes, chemistry(&it["chem"])).unwrap();
    let capacity = AmpHours::new(number(&it["ah"]));
    let room = match it["room"].as_str() {
        Some("indoor") => Room::Indoors {
            lowest: Celsius::new(number_or(&it["room_lo"], 10.0)),
            highest: Celsius::new(number_or(&it["room_hi"], 30.0)),
        },
        Some("outdoor") => Room::Outdoors { above_air: CelsiusSpan::new(number_or(&it["room_offset"], 0.0)) },
        other => panic!("no room {other:?}"),
    };
    Bank {
        cable: Ohms::new(number(&it["r_cable_ohm"])),
        room,
        inertia: Hours::new(number_or(&it["room_tau_h"], 24.0)),
        ..Bank::new(cell, whole(&it["cells"]), capacity, defaults)
    }
}

fn array(it: &Value, defaults: &Defaults) -> Array {
    let module = module(&it["module"]);
    let tilt = Degrees::new(number(&it["tilt"]));
    let mut plane = PlaneSetting::new(tilt, Degrees::new(number(&it["azimuth"])), defaults);
    plane.soiling = ByMonth(twelve(&it["soiling"]).map(Percent::from_share));
    if !it["snow"].is_null() {
        plane.snow = ByMonth(twelve(&it["snow"]).map(Percent::from_share));
    }
    if let Some(points) = it["horizon"].as_array() {
        let points: Vec<_> =
            points.iter().map(|it| (Degrees::new(number(&it[0])), Degrees::new(number(&it[1])))).collect();
        plane.horizon = Horizon::new(&points);
    }
    Array {
        module,
        in_series: whole(&it["series"]),
        in_parallel: whole(&it["parallel"]),
        setting: Setting::new(plane, &module, defaults),
        string_resistance: Ohms::new(number_or(&it["r_string_ohm"], 0.0)),
        common_resistance: Ohms::new(number_or(&it["r_main_ohm"], 0.0)),
    }
}

fn controller(codes: &Codes, it: &Value, arrays: Vec<Array>) -> Controller {
    let control = match it["kind"].as_str() {
        Some("mppt") => Control::Tracking(codes.common.equipment_models.tracking),
        Some("pwm") => Control::Switching(Volts::new(number(&it["v_drop"]))),
        other => panic!("no controller {other:?}"),
    };
    Controller {
        control,
        count: whole(&it["count"]),
        current: Amps::new(number(&it["amps"])),
        hot: None,
        arrays,
    }
}

fn inverter(it: &Value) -> Option<Inverter> {
    let law = || LossLaw::of_shares([0.0, number(&it["k1"]), number(&it["k2"])]);
    (!it.is_null()).then(|| Inverter {
        apparent: VoltAmps::new(number(&it["va"])),
        continuous: Watts::new(number(&it["w"])),
        idle: Watts::new(number(&it["idle_w"])),
        search: None,
        law: law(),
        at_altitude: Percent::new(100.0),
        hot: None,
    })
}

fn charger(codes: &Codes, it: &Value) -> Option<Charger> {
    let law = codes.common.equipment_models.charger;
    (!it.is_null()).then(|| Charger { current: Amps::new(number(&it["amps"])), law })
}

fn generator(tables: &Tables, it: &Value, elevation: f64) -> Option<Generator> {
    if it.is_null() {
        return None;
    }
    let quiet = list(&it["quiet"]);
    let fuel = FuelUse {
        fuel: Fuel::Propane,
        standing: number(&it["f0"]),
        running: number(&it["f1"]),
        life: Hours::new(3000.0),
    };
    let starter = Starter {
        start: StartLevel::Charge(share(&it["s_start"])),
        stop: share(&it["s_stop"]),
        delay: Hours::new(number(&it["delay_h"])),
        least_run: Hours::new(number(&it["min_run_h"])),
        longest_run: Hours::new(number(&it["max_run_h"])),
        quiet: Some((Hours::new(number(&quiet[0])), Hours::new(number(&quiet[1])))),
        emergency: share(&it["s_emergency"]),
        exercise: Some((whole(&it["exercise_days"]), Hours::new(number(&it["exercise_hour"])))),
        load_start: None,
    };
    let rated = Watts::new(number(&it["kw"]) * 1000.0);
    Some(Generator::new(rated, Some(fuel), starter, Meters::new(elevation), &tables.defaults))
}

fn utility(it: &Value) -> Option<Utility> {
    if it.is_null() {
        return None;
    }
    assert_eq!((&it["mode"], &it["interactive"]), (&Value::from("backup"), &Value::from(true)));
    Some(Utility {
        connection: Connection::Backup,
        sun: SunToUtility::Interactive { export: Watts::new(number(&it["export_w"])) },
        charge_to: share(&it["s_charge_to"]),
        random: Some(RandomOutages {
            per_year: number(&it["outages_per_year"]),
            mean: Hours::new(number(&it["mean_outage_h"])),
        }),
        ..Utility::backup()
    })
}

fn loads(input: &Value, defaults: &Defaults) -> Loads {
    let mut loads = Loads::of_table(list(&input["loads"]).iter().map(load).collect(), defaults);
    let it = &input["deferrable"];
    if !it.is_null() {
        assert_eq!(it["must"], true);
        loads.deferral = Deferral {
            charge: share(&it["s_def"]),
            from: Hours::new(number(&it["h_from"])),
            to: Hours::new(number(&it["h_to"])),
            deadline: Deadline::MustRunFrom(Hours::new(number(&it["h_deadline"]))),
        };
    }
    loads
}

fn load(it: &Value) -> Load {
    let profile = if let Some(weights) = it["profile"].as_array() {
        let weights: Vec<f64> = weights.iter().map(number).collect();
        Profile::Weights(weights.try_into().unwrap())
    } else if it["start"].is_number() {
        Profile::From(Hours::new(number(&it["start"])))
    } else {
        Profile::Flat
    };
    let days = match it["weekdays"].as_array() {
        Some(days) => {
            let mut week = [false; 7];
            for day in days {
                week[whole(day) as usize] = true;
            }
            Days::Weekdays(week)
        }
        None => Days::PerWeek(number_or(&it["days_per_week"], 7.0)),
    };
    let seasons = if it["months"].is_null() { [1.0; 12] } else { twelve(&it["months"]) };
    Load {
        name: it["name"].as_str().unwrap().to_owned(),
        power: Watts::new(number(&it["watts"])),
        quantity: whole(&it["qty"]),
        hours: Hours::new(number(&it["hours_per_day"])),
        days,
        profile,
        current: if it["bus"] == "dc" { LoadCurrent::Dc } else { LoadCurrent::Ac },
        class: match it["class"].as_str() {
            Some("critical") => LoadClass::Critical,
            Some("deferrable") => LoadClass::Deferrable,
            _ => LoadClass::Normal,
        },
        power_factor: Percent::from_share(number_or(&it["pf"], 1.0)),
        seasons: ByMonth(seasons.map(Percent::from_share)),
    }
}
