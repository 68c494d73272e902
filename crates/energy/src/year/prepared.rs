//! A system under a sky, ready for any number of years.

use super::hourly::Hourly;
use super::ledger::Ledger;
use super::outcome::{Ends, Outcome};
use crate::battery::{BatteryHour, Store};
use crate::controller::{ControllerYear, Placed, PlacedInverter, PvInverterYear};
use crate::dispatch::{Pass, Silent, State, run};
use crate::loads::LoadYear;
use crate::sun::Sky;
use crate::system::{System, SystemFault};
use crate::tables::Tables;
use crate::weather::Weather;

/// Whether every hour is kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// Sums only.
    #[default]
    Sums,
    /// Sums and every hour.
    Hourly,
}

/// One year, done.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// What it amounts to.
    pub outcome: Outcome,
    /// Every hour, when that was asked for.
    pub hours: Option<Hourly>,
}

/// A system under a sky, ready for any number of years.
#[derive(Clone, Debug)]
pub struct Prepared<'a> {
    pub(super) sky: &'a Sky,
    system: &'a System,
    pub(super) tables: &'a Tables,
    store: Store,
    controllers: Vec<Placed>,
    pv_inverters: Vec<PlacedInverter>,
    loads: LoadYear,
    /// Power of each array over that of all.
    weights: Vec<f64>,
}

/// Charge with which the first pass begins, as a share; the second begins where the first ended.
const FIRST_CHARGE: f64 = 0.9;

impl<'a> Prepared<'a> {
    /// Lays a system under a sky. Refuses one with figures that would make the hours meaningless.
    pub fn new(sky: &'a Sky, system: &'a System, tables: &'a Tables) -> Result<Self, Vec<SystemFault>> {
        let faults = system.faults();
        if !faults.is_empty() {
            return Err(faults);
        }
        let nominal = system.bank.nominal;
        let arrays = system.controllers.iter().flat_map(|it| &it.arrays);
        let arrays = arrays.chain(system.pv_inverters.iter().flat_map(|it| &it.arrays));
        let all = system.array_power().value();
        let weights = arrays.map(|array| array.rated_power().value() / all.max(f64::MIN_POSITIVE)).collect();
        Ok(Self {
            sky,
            system,
            tables,
            store: Store::new(&system.bank),
            controllers: system
                .controllers
                .iter()
                .map(|it| Placed::under(sky, it, nominal, tables))
                .collect(),
            pv_inverters: system
                .pv_inverters
                .iter()
                .map(|it| PlacedInverter::under(sky, it, tables))
                .collect(),
            loads: LoadYear::of(&system.loads),
            weights,
        })
    }

    /// The system.
    pub const fn system(&self) -> &System {
        self.system
    }

    /// The year under some weather. Seed and number of the year decide about outages by chance.
    pub fn year(&self, weather: &Weather, seed: u64, number: u32, detail: Detail) -> Year {
        self.year_with(weather, seed, number, detail, 1.0)
    }

    /// The same with the light on the cells multiplied by a factor of doubt.
    pub(super) fn year_with(
        &self,
        weather: &Weather,
        seed: u64,
        number: u32,
        detail: Detail,
        factor: f64,
    ) -> Year {
        let system = self.system;
        let controllers: Vec<ControllerYear> =
            self.controllers.iter().map(|it| it.year(self.sky, weather, factor)).collect();
        let pv_inverters: Vec<PvInverterYear> =
            self.pv_inverters.iter().map(|it| it.year(self.sky, weather, factor)).collect();
        let battery = BatteryHour::year(&system.bank, weather);
        let presence = system.utility.as_ref().map_or_else(Vec::new, |it| it.presence(seed, number));
        let charger = system.charger.map(|it| (it.converter(system.bank.nominal), it.current.value()));
        let pass = Pass {
            store: &self.store,
            battery: &battery,
            restart: system.bank.cell.restart_charge.share(),
            controllers: &controllers,
            pv_inverters: &pv_inverters,
            inverter: system.inverter.as_ref(),
            charger,
            generator: system.generator.as_ref(),
            utility: system.utility.as_ref(),
            presence: &presence,
            loads: &self.loads,
            deferral: &system.loads.deferral,
            standing: system.standing_use.value(),
            shed_below: system.shed_below.map_or(0.0, lineside_core::units::Percent::share),
            weather,
        };
        let begin = State { q: FIRST_CHARGE * self.store.capacity, ..State::default() };
        let second = State { quota: 0.0, ..run(&pass, begin, &mut Silent) };
        let cells = if detail == Detail::Hourly { self.cells(&controllers, weather) } else { Vec::new() };
        let mut ledger = Ledger::new(&pass, &self.weights, &cells, detail);
        let end = run(&pass, second, &mut ledger);
        ledger.end(end.quota);
        let ends = Ends {
            bank: &system.bank,
            store: &self.store,
            q: [second.q, end.q],
            mean_day: self.loads.mean_day(),
            water_g: self.tables.defaults.water.value(),
            celsius: &battery,
        };
        let outcome = Outcome::of(&ledger, &ends);
        Year { outcome, hours: ledger.hours.take() }
    }

    /// Temperature of the cells of the first array.
    fn cells(&self, years: &[ControllerYear], weather: &Weather) -> Vec<f64> {
        let first = self.controllers.iter().zip(years).find_map(|(placed, year)| {
            Some(placed.arrays().first()?.celsius(year.planes.first()?, weather).collect())
        });
        first.unwrap_or_default()
    }
}
