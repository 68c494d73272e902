//! The terms of a search: brief, site, code, shelf, and what was found from them once for all combinations.

use crate::factors::Factors;
use crate::need::Need;
use crate::parts::{Shelf, prices_are_usual};
use crate::rails::Rails;
use lineside_codes::Codes;
use lineside_core::circuit::{Block, BlockId, GridPoint, Orientation};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::common::{AcSystem, Fitted};
use lineside_core::kinds::curve::value_at;
use lineside_core::kinds::strings::{Mounting, Strings};
use lineside_core::project::{Brief, ChemistryWish, Project, RuleSet, StockItem, SupplyWish};
use lineside_core::units::{Celsius, Degrees, Percent, SunHours, Volts, WattsPerSquareMeter};
use lineside_core::working::Silent;
use lineside_energy::array::{Cooling, cell_temperature};
use lineside_energy::battery::Cell;
use lineside_energy::plane::{Horizon, Plane, PlaneSetting};
use lineside_energy::site::{Climate, Location, TimeZone, solar_zone};
use lineside_energy::sun::Sky;
use lineside_energy::weather::{Weather, typical};
use lineside_energy::{ByMonth, Tables};
use lineside_study::{Conditions, string_voltage};

/// Why nothing can be searched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSearch {
    /// What is missing or cannot be, a sentence each.
    pub reasons: Vec<String>,
}

/// Voltages of one module on the site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ModuleVolts {
    pub cold: Volts,
    pub hot: Volts,
}

/// The terms of a search.
#[derive(Clone)]
pub struct Terms<'a> {
    pub(crate) on: Conditions<'a>,
    pub(crate) tables: &'a Tables,
    pub(crate) stock: &'a [StockItem],
    pub(crate) factors: &'a Factors,
    /// What the loads ask.
    pub need: Need,
    /// What may be taken.
    pub shelf: Shelf,
    /// Parts of the stock that were left out, and why.
    pub left_out: Vec<String>,
    pub(crate) climate: Climate,
    pub(crate) sky: Sky,
    pub(crate) weather: Weather,
    pub(crate) seed: u64,
    pub(crate) tilt: Degrees,
    pub(crate) azimuth: Degrees,
    pub(crate) mounting: Mounting,
    plane_sun: ByMonth<SunHours>,
    /// Voltages of each module of the shelf, in its order.
    pub(crate) volts: Vec<ModuleVolts>,
    /// What the stock has for bus and panel.
    pub(crate) rails: Rails,
}

/// A block that stands on no sheet, to ask a study about.
pub(crate) fn block(equipment: Strings) -> Option<Block> {
    Some(Block {
        id: BlockId::new(1)?,
        tag: String::new(),
        equipment: equipment.into(),
        stock: None,
        place: None,
        at: GridPoint::new(0, 0),
        orientation: Orientation::default(),
        note: String::new(),
    })
}

impl<'a> Terms<'a> {
    /// Of a project's brief and a stock. Seed and tables decide about the weather of the year.
    pub fn new(
        project: &'a Project,
        codes: &'a Codes,
        tables: &'a Tables,
        factors: &'a Factors,
        stock: &'a [StockItem],
        seed: u64,
    ) -> Result<Self, NoSearch> {
        let brief = &project.brief;
        let mut reasons = Vec::new();
        let growth = brief.goals.growth.unwrap_or(Percent::ZERO);
        let need = Need::of(&brief.loads).grown(growth);
        if need.is_nothing() {
            reasons.push("the brief has no loads: there is nothing to propose a system for".to_owned());
        }
        if brief.site.record_low.is_none() {
            reasons.push(
                "the brief does not give the record low, which decides how many modules stand in series"
                    .to_owned(),
            );
        }
        if brief.site.design_high.is_none() {
            reasons.push(
                "the brief does not give the 2 % design high, which decides how few modules stand in series"
                    .to_owned(),
            );
        }
        let location = location(project).map_err(|reason| reasons.push(reason)).ok();
        let climate = Climate::of_brief(brief, &tables.defaults)
            .map_err(|faults| reasons.extend(faults.iter().map(ToString::to_string)))
            .ok();
        let (Some(location), Some(climate), true) = (location, climate, reasons.is_empty()) else {
            return Err(NoSearch { reasons });
        };
        let sky = Sky::over(tables, location, &climate.turbidity);
        let weather = typical(&sky, &climate, &tables.defaults, seed).weather;
        let drawn = project.circuit.blocks().find_map(|block| block.equipment.as_kind::<Strings>());
        let latitude = location.latitude().value();
        let by_latitude = Degrees::new(latitude.abs().round().clamp(10.0, 75.0));
        let tilt = brief.site.array_tilt.or(drawn.map(|it| it.tilt)).unwrap_or(by_latitude);
        let toward_sun = Degrees::new(if latitude < 0.0 { 0.0 } else { 180.0 });
        let azimuth = brief.site.array_azimuth.or(drawn.map(|it| it.azimuth)).unwrap_or(toward_sun);
        let usual = match brief.site.array_on_building {
            Some(Fitted::Yes) => Mounting::Roof,
            Some(Fitted::No) | None => Mounting::Ground,
        };
        let mounting = drawn.map_or(usual, |it| it.mounting);
        let setting = plane(brief, tilt, azimuth, tables);
        let plane_sun = plane_sun(&sky, &setting, tables, &weather);
        let shelf = Shelf::of(stock, &project.price_book, factors);
        let on = Conditions::new(project, codes);
        let mut terms = Self {
            on,
            tables,
            stock,
            factors,
            need,
            shelf,
            left_out: Vec::new(),
            climate,
            sky,
            weather,
            seed,
            tilt,
            azimuth,
            mounting,
            plane_sun,
            volts: Vec::new(),
            rails: Rails::of(stock),
        };
        terms.prepare();
        Ok(terms)
    }

    /// The stock from which parts and devices are taken.
    pub const fn stock(&self) -> &[StockItem] {
        self.stock
    }

    /// The project whose brief is answered.
    pub const fn project(&self) -> &Project {
        self.on.project
    }

    /// Takes off the shelf what the brief rules out, and finds the voltages of the modules.
    fn prepare(&mut self) {
        let wish = self.on.project.brief.goals.chemistry;
        self.shelf.batteries.retain(|part| wanted(wish, part.item.chemistry));
        let systems = ac_systems(self.on.project);
        self.shelf.inverters.retain(|part| systems.contains(&part.item.ac_system));
        self.shelf.generators.retain(|part| systems.contains(&part.item.ac_system));
        if self.on.project.brief.goals.generator == SupplyWish::Excluded {
            self.shelf.generators.clear();
        }
        let mut modules = Vec::new();
        for mut part in std::mem::take(&mut self.shelf.modules) {
            part.item.mounting = self.mounting;
            (part.item.tilt, part.item.azimuth) = (self.tilt, self.azimuth);
            if let Some(volts) = self.module_volts(&part.item) {
                self.volts.push(volts);
                modules.push(part);
            } else {
                self.left_out.push(format!("{}: its voltage in the cold is not known", part.name));
            }
        }
        self.shelf.modules = modules;
        if !prices_are_usual(&self.on.project.price_book) {
            let left_out =
                "parts without a price in the price book, and mounting and leads: typical prices are US$";
            self.left_out.push(left_out.to_owned());
        }
    }

    fn module_volts(&self, module: &Strings) -> Option<ModuleVolts> {
        let block = block(module.clone())?;
        let site = &self.on.project.brief.site;
        let (low, high) = (site.record_low?, site.design_high?);
        let cold = string_voltage::cold_open_circuit(&self.on, &block, module, low, &mut Silent).ok()?;
        let (_, hot) = string_voltage::hot(&self.on, &block, module, high, &mut Silent);
        Some(ModuleVolts { cold: cold.0, hot })
    }

    /// Share of its capacity that a battery gives at the coldest that its room gets.
    pub(crate) fn cold_share(&self, battery: &BatteryBank) -> f64 {
        let cold = self.cold_bank().value();
        let listed = battery.capacity_by_temperature.as_ref().and_then(|curve| value_at(&curve.0, cold));
        let usual = || value_at(&Cell::usual(self.on.codes, battery.chemistry)?.cold_capacity, cold);
        listed.or_else(usual).map_or(1.0, |percent| (percent / 100.0).clamp(0.05, 1.0))
    }

    /// The coldest that the bank gets.
    pub(crate) fn cold_bank(&self) -> Celsius {
        let usual = Celsius::new(self.factors.value("cold_bank"));
        self.on.project.brief.site.battery_coldest.unwrap_or(usual)
    }

    /// Energy that a watt of modules of this kind gives on a mean day of a month, Wh.
    pub(crate) fn yield_of(&self, module: &Strings) -> ByMonth<f64> {
        let defaults = &self.tables.defaults;
        let coefficient = module.power_coefficient.unwrap_or(defaults.power_coefficient).value() / 100.0;
        let nominal = module.nominal_cell_temperature.unwrap_or(defaults.cell_temperature);
        let rest = self.factors.value("yield");
        let setting = plane(&self.on.project.brief, self.tilt, self.azimuth, self.tables);
        let cooling = Cooling::open(nominal, defaults);
        let mut sun = self.plane_sun;
        for (month, mean) in self.climate.temperature.iter() {
            // The hours that count are warmer than the mean of the day by a quarter of its range, at 600 W/m².
            let range = self.climate.range.as_ref().map_or(defaults.least_range, |range| range.of(month));
            let air = Celsius::new(mean.value() + 0.25 * range.value());
            let cells = cell_temperature(cooling, WARM_SUN, air, self.climate.wind.of(month));
            let warm = 1.0 + coefficient * cells.above(Celsius::STANDARD_TEST).value();
            let clean = (1.0 - setting.soiling.of(month).share()) * (1.0 - setting.snow.of(month).share());
            *sun.of_mut(month) = sun.of(month) * (clean * rest * warm);
        }
        sun.map(SunHours::value)
    }

    /// Whether the array stands on the building that it serves, by the brief, else by what is drawn.
    pub(crate) fn array_is_on_building(&self) -> bool {
        let told = self.on.project.brief.site.array_on_building;
        told.map_or(self.mounting == Mounting::Roof, |told| told == Fitted::Yes)
    }

    /// Whether the systems hang on a utility: where the brief wants it.
    pub(crate) fn has_utility(&self) -> bool {
        self.on.project.brief.goals.utility == SupplyWish::Wanted
    }
}

fn location(project: &Project) -> Result<Location, String> {
    let site = &project.brief.site;
    let missing = |what: &str| format!("the brief does not give the {what}");
    let latitude = site.latitude.ok_or_else(|| missing("latitude"))?;
    let longitude = site.longitude.ok_or_else(|| missing("longitude"))?;
    let elevation = site.elevation.ok_or_else(|| missing("elevation"))?;
    let offset = site.utc_offset.unwrap_or_else(|| solar_zone(longitude));
    Location::new(latitude, longitude, elevation, offset, TimeZone::Checked)
        .map_err(|fault| fault.to_string())
}

/// Light under which cells stand in the hours that count.
const WARM_SUN: WattsPerSquareMeter = WattsPerSquareMeter::new(600.0);

/// The plane of the array: horizon, dirt and snow as the brief gives them.
fn plane(brief: &Brief, tilt: Degrees, azimuth: Degrees, tables: &Tables) -> PlaneSetting {
    let mut setting = PlaneSetting::new(tilt, azimuth, &tables.defaults);
    for means in &brief.months {
        if let Some(dirt) = means.dirt {
            *setting.soiling.of_mut(means.month) = dirt;
        }
        if let Some(snow) = means.snow {
            *setting.snow.of_mut(means.month) = snow;
        }
    }
    let points: Vec<_> = brief.horizon.iter().map(|point| (point.azimuth, point.height)).collect();
    setting.horizon = Horizon::new(&points);
    setting
}

/// Sun on the plane on a mean day of each month.
fn plane_sun(sky: &Sky, setting: &PlaneSetting, tables: &Tables, weather: &Weather) -> ByMonth<SunHours> {
    let mut sums = ByMonth::same((0.0_f64, 0.0_f64));
    let hours = Plane::under(sky, setting, tables).year(sky, weather);
    for (hour, month) in hours.iter().zip(lineside_energy::month_of_hours()) {
        let sum = sums.of_mut(month);
        *sum = (sum.0 + hour.total().value() / 1000.0, sum.1 + 1.0 / 24.0);
    }
    sums.map(|(energy, days)| SunHours::new(energy / days.max(1.0)))
}

const fn wanted(wish: ChemistryWish, chemistry: Chemistry) -> bool {
    match wish {
        ChemistryWish::Open => true,
        ChemistryWish::NickelIron => matches!(chemistry, Chemistry::NickelIron),
        ChemistryWish::LithiumIronPhosphate => matches!(chemistry, Chemistry::LithiumIronPhosphate),
        ChemistryWish::Lead => {
            matches!(chemistry, Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel)
        }
    }
}

/// The AC systems that the loads may get: that of the panels on the sheet, else what the country of the code has.
fn ac_systems(project: &Project) -> Vec<AcSystem> {
    let panel = project.circuit.blocks().find_map(|block| {
        block.equipment.as_kind::<lineside_core::kinds::ac_panel::AcPanel>().map(|panel| panel.ac_system)
    });
    match panel {
        Some(system) => vec![system],
        None if project.rule_set == RuleSet::Iec => vec![AcSystem::Single230],
        None => vec![AcSystem::Single120, AcSystem::Split120x240],
    }
}
