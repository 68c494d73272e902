//! Worked sizing examples: three sites from their loads to bank and array, each number held against one worked by hand.

use crate::combination::Combination;
use crate::factors::Factors;
use crate::limits::{Limit, with_units};
use crate::terms::Terms;
use lineside_codes::Codes;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::{Equipment, OfKind};
use lineside_core::project::{LoadItem, Month, MonthlyMeans, Project, StockItem, SupplyWish};
use lineside_core::stock;
use lineside_core::units::{
    AmpHours, Amps, Celsius, CelsiusSpan, Degrees, Hours, Meters, MetersPerSecond, Percent,
    PercentPerCelsius, SunHours, VoltAmps, Volts, Watts,
};
use lineside_energy::Tables;

pub(crate) struct Ground {
    codes: Codes,
    tables: Tables,
    factors: Factors,
    stock: Vec<StockItem>,
    project: Project,
}

/// The first item of the built-in stock that fits, changed.
fn like<T: OfKind + Clone + Into<Equipment>>(
    name: &str,
    fits: impl Fn(&T) -> bool,
    change: impl FnOnce(&mut T),
) -> StockItem {
    let all = stock::built_in().unwrap();
    let base = all.iter().filter_map(|item| item.equipment.as_kind::<T>()).find(|it| fits(it)).unwrap();
    let mut item = base.clone();
    change(&mut item);
    StockItem { name: name.to_owned(), equipment: item.into() }
}

pub(crate) fn module(watts: f64, open: f64, short: f64, working: f64, power: f64, voltage: f64) -> StockItem {
    like(
        &format!("{watts} W"),
        |_: &Strings| true,
        |it| {
            it.power = Watts::new(watts);
            it.open_circuit_voltage = Volts::new(open);
            it.short_circuit_current = Amps::new(short);
            it.max_power_voltage = Volts::new(working);
            it.max_power_current = Amps::new(watts / working);
            it.power_coefficient = Some(PercentPerCelsius::new(power));
            it.open_circuit_coefficient = Some(PercentPerCelsius::new(voltage));
            it.short_circuit_coefficient = Some(PercentPerCelsius::new(0.05));
            it.nominal_cell_temperature = Some(Celsius::new(45.0));
            it.cell_rise = None;
            it.bifacial_share = None;
        },
    )
}

fn controller(volts: f64, amps: f64, input: f64) -> StockItem {
    let tracking = |it: &ChargeController| it.kind == ControllerType::TrackingStepDown;
    like(&format!("{volts}/{amps}"), tracking, |it| {
        it.max_input_voltage = Volts::new(volts);
        it.output_current = Amps::new(amps);
        it.input_short_circuit_current = Some(Amps::new(input));
        it.input_rating_basis = None;
        it.oversize_limit = None;
        it.headroom = None;
    })
}

pub(crate) fn cell(name: &str, chemistry: Chemistry, cells: u32, capacity: f64) -> StockItem {
    like(
        name,
        |it: &BatteryBank| it.chemistry == chemistry,
        |it| {
            it.cells_per_unit = cells;
            it.capacity = AmpHours::new(capacity);
            it.capacity_by_temperature = None;
            it.charge_current = None;
        },
    )
}

pub(crate) fn inverter(watts: f64, apparent: f64, surge: f64, idle: f64, low: f64, high: f64) -> StockItem {
    let fits = |it: &Inverter| it.ac_system == AcSystem::Single120;
    like(&format!("{watts} W"), fits, |it| {
        it.continuous = Watts::new(watts);
        it.apparent_output = Some(VoltAmps::new(apparent));
        it.surge = Some(Watts::new(surge));
        it.idle_draw = Some(Watts::new(idle));
        it.lowest_input_voltage = Volts::new(low);
        it.highest_input_voltage = Volts::new(high);
    })
}

/// Watts, hours on a day of use, days a week.
pub(crate) fn load(watts: f64, hours: f64, days: u32, start: Option<f64>) -> LoadItem {
    let tables = Tables::load().unwrap();
    LoadItem {
        name: "load".to_owned(),
        power: Watts::new(watts),
        hours: Hours::new(hours),
        days_per_week: days,
        start: start.map(Hours::new),
        surge: None,
        power_factor: None,
        ..tables.appliances[0].item.clone()
    }
}

#[derive(Clone, Copy)]
pub(crate) struct Site {
    place: (f64, f64, f64),
    zone: f64,
    lows: (f64, f64),
    sun: [f64; 12],
    air: [f64; 12],
    range: [f64; 12],
    wind: f64,
    albedo: [f64; 12],
    dirt: f64,
    snow: [f64; 12],
    plane: (f64, f64),
}

pub(crate) fn project(
    site: &Site,
    loads: Vec<LoadItem>,
    reserve_days: f64,
    generator: SupplyWish,
) -> Project {
    let mut project = Project::default();
    let brief = &mut project.brief;
    let (latitude, longitude, elevation) = site.place;
    brief.site.latitude = Some(Degrees::new(latitude));
    brief.site.longitude = Some(Degrees::new(longitude));
    brief.site.elevation = Some(Meters::new(elevation));
    brief.site.utc_offset = Some(Hours::new(site.zone));
    brief.site.record_low = Some(Celsius::new(site.lows.0));
    brief.site.design_high = Some(Celsius::new(site.lows.1));
    (brief.site.array_tilt, brief.site.array_azimuth) =
        (Some(Degrees::new(site.plane.0)), Some(Degrees::new(site.plane.1)));
    brief.months = Month::ALL
        .into_iter()
        .enumerate()
        .map(|(at, month)| MonthlyMeans {
            daily_range: Some(CelsiusSpan::new(site.range[at])),
            wind: Some(MetersPerSecond::new(site.wind)),
            albedo: Some(Percent::new(100.0 * site.albedo[at])),
            dirt: Some(Percent::new(site.dirt)),
            snow: Some(Percent::new(site.snow[at])),
            ..MonthlyMeans::new(month, SunHours::new(site.sun[at]), Celsius::new(site.air[at]))
        })
        .collect();
    brief.loads = loads;
    brief.goals.reserve = Some(Hours::new(24.0 * reserve_days));
    brief.goals.generator = generator;
    project
}

impl Ground {
    pub(crate) fn new(project: Project, stock: Vec<StockItem>) -> Self {
        let factors = Factors::load().unwrap();
        Self { codes: Codes::load().unwrap(), tables: Tables::load().unwrap(), factors, stock, project }
    }
    pub(crate) fn terms(&self) -> Terms<'_> {
        let found = Terms::new(&self.project, &self.codes, &self.tables, &self.factors, &self.stock, 1);
        found.unwrap_or_else(|fault| panic!("{:?}", fault.reasons))
    }
}

/// One of everything.
pub(crate) const BASE: Combination = Combination::FIRST;

pub(crate) fn near(found: f64, expected: f64, share: f64) {
    assert!((found - expected).abs() <= share * expected, "{found} instead of {expected}");
}

/// A northern valley: 47.2° north, 1150 m, −38 °C on record.
const NORTH: Site = Site {
    place: (47.2, -113.5, 1150.0),
    zone: -7.0,
    lows: (-38.0, 32.0),
    sun: [1.35, 2.25, 3.55, 4.75, 5.75, 6.35, 6.75, 5.7, 4.25, 2.6, 1.5, 1.1],
    air: [-6.0, -3.5, 1.5, 6.0, 10.8, 15.0, 19.5, 18.8, 13.5, 6.5, -0.5, -5.5],
    range: [8.0, 10.0, 11.5, 13.0, 14.0, 15.0, 18.0, 18.0, 16.0, 12.5, 8.5, 7.5],
    wind: 1.5,
    albedo: [0.5, 0.5, 0.35, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.3, 0.5],
    dirt: 2.0,
    snow: [25.0, 15.0, 5.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 5.0, 20.0],
    plane: (50.0, 180.0),
};

fn north() -> Ground {
    let winter: Vec<Month> = Month::ALL.into_iter().filter(|it| !(6..=8).contains(&it.number())).collect();
    let furnace = [6, 6, 6, 6, 7, 8, 8, 6, 4, 3, 2, 2, 2, 2, 2, 3, 4, 5, 6, 6, 6, 6, 6, 6];
    let pump = LoadItem {
        surge: Some(Watts::new(3850.0)),
        power_factor: Some(Percent::new(80.0)),
        ..load(1100.0, 0.8, 7, Some(7.0))
    };
    let blower = LoadItem {
        profile: furnace.map(|weight| Percent::new(f64::from(weight))).to_vec(),
        months: winter,
        ..load(280.0, 9.0, 7, None)
    };
    let loads = vec![
        load(110.0, 10.0, 7, None),
        load(100.0, 8.0, 7, None),
        pump,
        load(126.0, 5.0, 7, Some(17.5)),
        load(25.0, 24.0, 7, None),
        load(500.0, 1.25, 3, Some(10.0)),
        load(240.0, 4.0, 7, Some(18.0)),
        load(1500.0, 1.4, 7, Some(6.75)),
        blower,
        load(1000.0, 1.5, 7, Some(10.0)),
    ];
    let stock = vec![
        module(400.0, 37.1, 13.65, 31.2, -0.34, -0.26),
        module(450.0, 41.5, 13.75, 34.9, -0.33, -0.25),
        module(580.0, 51.5, 14.30, 43.0, -0.30, -0.25),
        controller(150.0, 80.0, 70.0),
        controller(250.0, 100.0, 70.0),
        cell("280 Ah", Chemistry::LithiumIronPhosphate, 16, 280.0),
        inverter(4000.0, 5000.0, 9000.0, 22.0, 38.0, 66.0),
        like(
            "an engine",
            |it: &lineside_core::kinds::generator::Generator| it.ac_system == AcSystem::Single120,
            |_| {},
        ),
    ];
    Ground::new(project(&NORTH, loads, 2.0, SupplyWish::Wanted), stock)
}

#[test]
fn a_northern_home_its_loads_and_its_bank() {
    let ground = north();
    let terms = ground.terms();
    // 1100 + 800 + 880 + 630 + 600 + 625 × 3/7 + 960 + 2100 + 2520 + 1500 Wh; the blower rests in summer.
    near(terms.need.ac.of(Month::January).value(), 11_357.9, 1e-4);
    near(terms.need.ac.of(Month::July).value(), 8_837.9, 1e-4);
    // 110 + 100 + 1100 + 126 + 25 + 500 + 240 + 1500 + 280 + 1000 W, and the pump starts with 2750 W more.
    assert_eq!(terms.need.connected, Watts::new(4981.0));
    assert_eq!(terms.need.surge, Watts::new(7731.0));
    // 11,357.9/0.93 + 24 × (22 + 8) = 12,932.8 Wh; /51.2 V = 252.6 Ah a day; two days 505.2; /0.80 = 631.5;
    // 0.95 of it at 10 °C: 664.7; and a tenth more: 731.2 Ah.
    let bank = with_units(&terms.shelf.batteries[0].item, 1);
    let with_engine = Combination { generator: Some(0), ..BASE };
    near(terms.capacity_needed(&bank, &with_engine).value(), 731.2, 0.001);
    assert!(terms.capacity(&bank, 3) >= terms.capacity_needed(&bank, &with_engine));
    assert!(terms.capacity(&bank, 2) < terms.capacity_needed(&bank, &with_engine));
}

#[test]
fn a_northern_home_and_its_array() {
    let ground = north();
    let terms = ground.terms();
    let bank = with_units(&terms.shelf.batteries[0].item, 1);
    let with_engine = Combination { generator: Some(0), module: 1, ..BASE };
    // February: 3.92 kWh/m² on the plane, 0.98 clean, 0.85 without snow, cells at −3.5 + 2.5 + 600/(25.16 + 10.26) =
    // 15.9 °C: 3.01 Wh from a watt. 12,933 Wh × (0.213 + 0.787/0.96) × 1.10 / 3.015 = 4873 W; the darker months are
    // the engine's.
    let yields = terms.yield_of(&terms.shelf.modules[1].item);
    near(yields.of(Month::February), 3.01, 0.015);
    near(terms.array_needed(&terms.shelf.modules[1].item, &bank, &with_engine).value(), 4873.0, 0.02);
    // 41.5 × (1 + 0.0025 × 63) = 48.04 V in the cold: three in series on 150 V, five on 250 V.
    near(terms.volts[1].cold.value(), 48.04, 0.001);
    let series = |controller: usize, modules| {
        let controller = &terms.shelf.controllers[controller].item;
        let found =
            terms.series_limits(controller, &terms.shelf.modules[1].item, terms.volts[1], &bank, modules);
        found.iter().any(|broken| broken.limit == Limit::ColdVoltage)
    };
    assert!(!series(0, 3) && series(0, 4) && !series(1, 5) && series(1, 6));
    // Four strings: 1.25 × 13.75 × 4 = 68.75 A of 70; five are 85.9 A.
    let strings = |strings| Combination { modules: 3, strings, ..with_engine };
    let limits = |count| {
        let found = terms.parallel_limits(
            &terms.shelf.controllers[0].item,
            &terms.shelf.modules[1].item,
            &bank,
            &strings(count),
        );
        found.iter().any(|broken| broken.limit == Limit::InputCurrent)
    };
    assert!(!limits(4) && limits(5));
}

/// A southern plain: 31.6° south, −5 °C on record, no engine.
const SOUTH: Site = Site {
    place: (-31.6, 145.9, 210.0),
    zone: 10.0,
    lows: (-5.0, 40.0),
    sun: [7.6, 6.7, 5.7, 4.4, 3.25, 2.75, 3.0, 3.9, 5.1, 6.2, 7.1, 7.7],
    air: [28.0, 27.2, 23.8, 19.0, 14.3, 11.2, 10.4, 12.2, 16.0, 19.8, 23.3, 26.3],
    range: [15.0, 15.0, 14.5, 14.5, 13.5, 12.5, 13.0, 14.0, 15.0, 15.5, 15.5, 15.5],
    wind: 2.0,
    albedo: [0.2; 12],
    dirt: 4.0,
    snow: [0.0; 12],
    plane: (45.0, 0.0),
};

#[test]
fn a_southern_farm_with_nickel_iron_at_24_volts() {
    // AC 7552 Wh a day, DC 30 W all day.
    let radio = LoadItem { current: lineside_core::project::LoadCurrent::Dc, ..load(30.0, 24.0, 7, None) };
    let loads = vec![load(944.0, 8.0, 7, Some(10.0)), radio];
    let stock = vec![
        module(400.0, 37.1, 13.65, 31.2, -0.34, -0.26),
        controller(100.0, 50.0, 60.0),
        cell("600 Ah", Chemistry::NickelIron, 1, 600.0),
        inverter(2400.0, 3000.0, 6000.0, 15.0, 19.0, 33.0),
    ];
    let ground = Ground::new(project(&SOUTH, loads, 2.0, SupplyWish::Excluded), stock);
    let terms = ground.terms();
    // 7552/0.93 + 720/0.97 + 24 × (15 + 8) = 9414.7 Wh; /24.0 V = 392.3 Ah a day; two days 784.6; /0.80 = 980.7;
    // 0.90 of it at 10 °C: 1089.7; and a tenth more: 1198.7 Ah, so two strings of 600 Ah.
    let bank = with_units(&terms.shelf.batteries[0].item, 20);
    let needed = terms.capacity_needed(&bank, &BASE).value();
    near(needed, 1198.7, 0.002);
    assert!((600.0..1200.0).contains(&needed));
    // 37.1 × (1 + 0.0026 × 30) = 40.0 V in the cold, two in series 80.0 V on 100 V, three too many.
    near(terms.volts[0].cold.value(), 39.99, 0.001);
    let cold = |modules| {
        let controller = &terms.shelf.controllers[0].item;
        let found =
            terms.series_limits(controller, &terms.shelf.modules[0].item, terms.volts[0], &bank, modules);
        found.iter().any(|broken| broken.limit == Limit::ColdVoltage)
    };
    assert!(!cold(2) && cold(3));
}

/// A tropical coast: 6.4° north.
pub(crate) const TROPICS: Site = Site {
    place: (6.4, 2.6, 20.0),
    zone: 1.0,
    lows: (16.0, 34.0),
    sun: [5.0, 5.4, 5.5, 5.4, 5.0, 4.2, 4.0, 4.1, 4.4, 5.0, 5.3, 5.0],
    air: [27.5, 28.6, 28.9, 28.5, 27.7, 26.4, 25.7, 25.4, 26.0, 26.8, 27.7, 27.6],
    range: [8.0, 7.0, 6.5, 6.0, 6.0, 5.5, 5.0, 5.0, 5.0, 6.0, 7.0, 8.0],
    wind: 2.0,
    albedo: [0.2; 12],
    dirt: 2.0,
    snow: [0.0; 12],
    plane: (10.0, 180.0),
};

#[test]
fn a_tropical_clinic_with_flooded_lead() {
    let loads = vec![
        load(120.0, 9.0, 7, None),
        load(144.0, 6.0, 7, Some(18.0)),
        load(275.0, 10.0, 7, Some(9.0)),
        load(210.0, 8.0, 6, Some(8.0)),
        load(1200.0, 1.0, 6, Some(10.0)),
    ];
    let stock = vec![
        module(450.0, 41.5, 13.75, 34.9, -0.33, -0.25),
        controller(100.0, 30.0, 35.0),
        cell("820 Ah", Chemistry::FloodedLead, 1, 820.0),
        inverter(2400.0, 3000.0, 6000.0, 15.0, 19.0, 33.0),
    ];
    let mut project = project(&TROPICS, loads, 3.0, SupplyWish::Excluded);
    project.brief.site.battery_coldest = Some(Celsius::new(25.0));
    let ground = Ground::new(project, stock);
    let terms = ground.terms();
    // 1080 + 864 + 2750 + 1680 × 6/7 + 1200 × 6/7 = 7162.6 Wh; /0.93 + 24 × (15 + 8) = 8253.7 Wh; /24 V = 343.9 Ah a day;
    // three days 1031.7; /0.50 = 2063.4; warm, so nothing is lost; a tenth more: 2269.8 Ah, so three strings of 820 Ah.
    let bank = with_units(&terms.shelf.batteries[0].item, 12);
    let needed = terms.capacity_needed(&bank, &BASE).value();
    near(needed, 2269.8, 0.002);
    assert!((1640.0..2460.0).contains(&needed));
    // July, 4.0 kWh/m² on the level: 3140 Wh from a kilowatt of modules.
    near(1000.0 * terms.yield_of(&terms.shelf.modules[0].item).of(Month::July), 3140.0, 0.02);
}
