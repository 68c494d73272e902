//! The energy year of a sheet with everything that is read off it: for the window's Year area.
//!
//! Nothing is computed here; the energy crate and the price tables are asked in order, stage by stage, so that what is
//! quick can be shown while the rest is under way.

use crate::engine::Engine;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::Project;
use lineside_core::units::{Liters, Percent, WattHours, Watts};
use lineside_energy::hours::{DurationCurve, Week, worst_week};
use lineside_energy::money::{Costs, Lifetime, PartLife, WearingPart, WornPart, course, lifetime, lives};
use lineside_energy::sun::Sky;
use lineside_energy::weather::{Weather, typical};
use lineside_energy::{
    Detail, FromProject, Hour, ManyYears, Outcome, Prepared, Progress, Run, Statement, StatementKind, System,
    Tables, Wishes, from_project,
};
use lineside_propose::{Factors, SheetCosts, typical_bank, typical_fuel, years_of_money};
use lineside_study::Conditions;
use rust_decimal::Decimal;

/// Why there is no year: everything that is missing, in plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoYear(pub Vec<String>);

/// Everything that a year is computed from.
pub struct YearGround {
    tables: Tables,
    factors: Factors,
    from: FromProject,
    system: System,
    sky: Sky,
    weather: Weather,
    remarks: Vec<String>,
    seed: u64,
}

/// The typical year of a sheet with what is read off it.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetYear {
    /// The seed of its weather.
    pub seed: u64,
    /// The system as it was understood.
    pub system: System,
    /// What it amounts to.
    pub outcome: Outcome,
    /// Every hour.
    pub hours: Vec<Hour>,
    /// State of charge by duration.
    pub charge: DurationCurve<Percent>,
    /// Unmet load by duration.
    pub unmet: DurationCurve<Watts>,
    /// The worst week.
    pub week: Option<Week>,
    /// How long parts last.
    pub lives: Vec<PartLife>,
    /// Money over its life.
    pub money: Money,
    /// What was assumed or left out.
    pub statements: Vec<Statement>,
    /// What is odd about the weather records.
    pub remarks: Vec<String>,
}

/// Money over the life of the sheet's system.
#[derive(Clone, Debug, PartialEq)]
pub struct Money {
    /// What its main equipment costs.
    pub costs: SheetCosts,
    /// Over its life; `None` when that cannot be reckoned.
    pub life: Option<Lifetime>,
    /// Years that are looked at.
    pub years: u32,
    /// Currency, as an ISO 4217 code.
    pub currency: String,
}

/// The same system with a bank of another chemistry that gives the same energy.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// The chemistry.
    pub chemistry: Chemistry,
    /// Whether it is the one on the sheet.
    pub standing: Standing,
    /// Energy of the bank by its name.
    pub rated: WattHours,
    /// Energy that it gives between full and the charge below which it is not drawn.
    pub usable: WattHours,
    /// The typical year with it.
    pub outcome: Outcome,
    /// How long the bank lasts.
    pub life: Option<PartLife>,
    /// What has been spent by the end of each year, at its value today; empty when there are no prices.
    pub spent: Vec<Decimal>,
    /// Levelized cost of a kilowatt-hour.
    pub per_kilowatt_hour: Option<Decimal>,
}

/// Whether a bank stands on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It does.
    OnSheet,
    /// It is only compared.
    Compared,
}

/// Cost of the parts that wear, and what a year costs.
struct Prices {
    battery: Decimal,
    electronics: Decimal,
    engine: Decimal,
    others: Decimal,
    upkeep: Decimal,
}

impl YearGround {
    /// Builds the system from the sheet and the brief and makes the weather of the typical year.
    pub fn new(project: &Project, engine: &Engine, seed: u64) -> Result<Self, NoYear> {
        let tables = engine.energy.clone();
        let factors = Factors::load().map_err(|error| NoYear(vec![error.to_string()]))?;
        let on = Conditions::new(project, &engine.codes);
        let studies = lineside_study::all(&on);
        let mut from = from_project(&on, &studies, &tables, &Wishes::default());
        let (Some(location), Some(climate), Some(system)) =
            (from.location, &from.climate, from.system.take())
        else {
            let missing = from.statements.iter().filter(|it| it.kind() == StatementKind::Missing);
            return Err(NoYear(missing.map(|it| it.text(&project.circuit, project.units)).collect()));
        };
        let faults = system.faults();
        if !faults.is_empty() {
            return Err(NoYear(faults.iter().map(ToString::to_string).collect()));
        }
        let sky = Sky::over(&tables, location, &climate.turbidity);
        let made = typical(&sky, climate, &tables.defaults, seed);
        let remarks = made.remarks.iter().map(ToString::to_string).collect();
        Ok(Self { from, system, sky, weather: made.weather, remarks, seed, tables, factors })
    }

    fn outcome_of(&self, system: &System, detail: Detail) -> Option<lineside_energy::Year> {
        let prepared = Prepared::new(&self.sky, system, &self.tables).ok()?;
        Some(prepared.year(&self.weather, self.seed, 0, detail))
    }

    /// The typical year. `None` never comes of a ground whose system has no faults.
    pub fn typical(&self, project: &Project) -> Option<SheetYear> {
        let year = self.outcome_of(&self.system, Detail::Hourly)?;
        let (outcome, hours) = (year.outcome, year.hours?);
        let costs = SheetCosts::of(project, &self.factors);
        let prices = self.prices_of_sheet(project, &costs);
        let life = prices.and_then(|prices| {
            lifetime(&self.costs(project, &self.system, &outcome, &prices), outcome.year.served()).ok()
        });
        let currency = match project.price_book.currency.as_str() {
            "" => "USD".to_owned(),
            code => code.to_owned(),
        };
        Some(SheetYear {
            seed: self.seed,
            charge: DurationCurve::of(hours.iter().map(|hour| hour.state_of_charge)),
            unmet: DurationCurve::of(hours.iter().map(|hour| hour.unmet)),
            week: worst_week(&hours),
            lives: lives(&self.system, &outcome, &self.tables.defaults),
            money: Money { costs, life, years: years_of_money(project, &self.factors), currency },
            statements: self.from.statements.clone(),
            remarks: self.remarks.clone(),
            system: self.system.clone(),
            outcome,
            hours,
        })
    }

    /// The same system with each chemistry's bank of the same usable energy.
    pub fn alternatives(&self, project: &Project, engine: &Engine) -> Vec<Alternative> {
        let own = self.system.bank.cell.chemistry;
        let found = Chemistry::ALL.iter().filter_map(|chemistry| {
            if *chemistry == own {
                return self.alternative(project, &self.system, Standing::OnSheet);
            }
            let system = self.system.in_chemistry(*chemistry, &engine.codes, &self.tables.defaults)?;
            self.alternative(project, &system, Standing::Compared)
        });
        found.collect()
    }

    fn alternative(&self, project: &Project, system: &System, standing: Standing) -> Option<Alternative> {
        let outcome = self.outcome_of(system, Detail::Sums)?.outcome;
        let costs = SheetCosts::of(project, &self.factors);
        let chemistry = system.bank.cell.chemistry;
        let rated = system.bank.rated();
        let of_sheet = self.prices_of_sheet(project, &costs);
        // Banks are compared by typical prices, all of them: a bargain on the sheet would not be like against like.
        let typical = typical_bank(project, &self.factors, chemistry, rated);
        let prices = of_sheet.zip(typical).map(|(prices, bank)| Prices {
            battery: bank.price,
            upkeep: bank.upkeep,
            ..prices
        });
        let costs = prices.map(|prices| self.costs(project, system, &outcome, &prices));
        let lives = lives(system, &outcome, &self.tables.defaults);
        Some(Alternative {
            chemistry,
            standing,
            rated,
            usable: system.bank.usable(),
            life: lives.into_iter().find(|life| life.part == WornPart::Battery),
            spent: costs.as_ref().and_then(|costs| course(costs).ok()).unwrap_or_default(),
            per_kilowatt_hour: costs
                .as_ref()
                .and_then(|costs| lifetime(costs, outcome.year.served()).ok()?.per_kilowatt_hour),
            outcome,
        })
    }

    /// `None` when something on the sheet has no price.
    fn prices_of_sheet(&self, project: &Project, costs: &SheetCosts) -> Option<Prices> {
        let chemistry = self.system.bank.cell.chemistry;
        let upkeep = typical_bank(project, &self.factors, chemistry, WattHours::ZERO)?.upkeep;
        costs.without.is_empty().then_some(Prices {
            battery: costs.bank,
            electronics: costs.electronics,
            engine: costs.engine,
            others: costs.array,
            upkeep,
        })
    }

    fn costs(&self, project: &Project, system: &System, outcome: &Outcome, prices: &Prices) -> Costs {
        let mut capital = prices.battery + prices.electronics + prices.engine + prices.others;
        let mut parts = Vec::new();
        for life in lives(system, outcome, &self.tables.defaults) {
            let cost = match life.part {
                WornPart::Battery => prices.battery,
                WornPart::Electronics => prices.electronics,
                WornPart::Engine => prices.engine,
            };
            capital -= cost;
            parts.push(WearingPart { cost, life: life.cautious });
        }
        Costs {
            capital,
            upkeep: prices.upkeep,
            fuel: fuel(outcome.year.fuel, typical_fuel(&self.factors)),
            parts,
            interest: self.tables.defaults.real_interest,
            years: years_of_money(project, &self.factors),
        }
    }

    /// Random years. `None` when the work was stopped.
    pub fn many(&self, run: &Run, progress: &impl Progress) -> Option<ManyYears> {
        let climate = self.from.climate.as_ref()?;
        let prepared = Prepared::new(&self.sky, &self.system, &self.tables).ok()?;
        prepared.many_years(climate, run, progress)
    }
}

fn fuel(liters: Liters, each: Decimal) -> Decimal {
    Decimal::try_from(liters.value()).unwrap_or_default().round_dp(2) * each
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_energy::Unheard;
    use std::num::NonZeroUsize;

    fn demo(text: &str) -> (Project, Engine) {
        (lineside_core::file::read(text).unwrap(), Engine::load().unwrap())
    }

    #[test]
    fn a_sheet_has_its_year() {
        let (project, engine) = demo(include_str!("../../../assets/demos/cabin.lineside"));
        let ground = YearGround::new(&project, &engine, 1).unwrap_or_else(|_| panic!("no year"));
        let year = ground.typical(&project).unwrap();
        assert_eq!((year.hours.len(), year.charge.len(), year.unmet.len()), (8760, 8760, 8760));
        assert!(year.week.is_some_and(|week| week.unmet <= year.outcome.year.unmet()));
        assert!(year.money.life.is_some_and(|life| life.present_cost > year.money.costs.total()));
        let all = ground.alternatives(&project, &engine);
        assert_eq!(all.len(), Chemistry::ALL.len());
        let own = all.iter().find(|it| it.standing == Standing::OnSheet).unwrap();
        assert_eq!(own.outcome, year.outcome);
        for other in &all {
            assert!((other.usable / own.usable - 1.0).abs() < 1e-9, "{:?}", other.chemistry);
            assert_eq!(other.spent.len(), year.money.years as usize + 1);
        }
        let run =
            Run { years: 2, seed: 1, doubt: lineside_energy::ModelDoubt::Left, threads: NonZeroUsize::MIN };
        assert_eq!(ground.many(&run, &Unheard).unwrap().years.len(), 2);
    }

    #[test]
    fn an_empty_sheet_says_what_it_lacks() {
        let NoYear(reasons) =
            YearGround::new(&Project::default(), &Engine::load().unwrap(), 1).err().unwrap();
        assert!(reasons.iter().any(|reason| reason.contains("no battery bank")), "{reasons:?}");
        assert!(reasons.iter().any(|reason| reason.contains("the brief does not give")), "{reasons:?}");
    }
}
