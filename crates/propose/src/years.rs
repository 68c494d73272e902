//! The year of a combination, and what it costs over its life.

use crate::parts::money;
use crate::proposals::Candidate;
use crate::search::Kept;
use crate::sketch::sketch;
use crate::terms::Terms;
use lineside_energy::money::{Costs, WearingPart, WornPart, lifetime, lives};
use lineside_energy::{Detail, Outcome, Prepared, Wishes, from_project};
use rust_decimal::Decimal;

impl Terms<'_> {
    /// A combination gone through for the typical year. `None` when there is no year of it.
    pub(crate) fn year_of(&self, kept: &Kept) -> Option<Candidate> {
        let project = sketch(self, &kept.combination)?;
        let on = lineside_study::Conditions::new(&project, self.on.codes).under(self.on.rule_set);
        let studies = lineside_study::all(&on);
        let system = from_project(&on, &studies, self.tables, &Wishes::default()).system?;
        let prepared = Prepared::new(&self.sky, &system, self.tables).ok()?;
        let outcome = prepared.year(&self.weather, self.seed, 0, Detail::Sums).outcome;
        let money = self.life_of(kept, &system, &outcome);
        Some(Candidate {
            combination: kept.combination,
            grade: kept.grade,
            chemistry: kept.chemistry,
            array: system.array_power(),
            bank: system.bank.capacity * system.bank.nominal,
            cost: kept.cost,
            life_cost: money.as_ref().map(|money| money.present_cost),
            per_kilowatt_hour: money.and_then(|money| money.per_kilowatt_hour),
            outcome,
            doubt: None,
            merits: Vec::new(),
        })
    }

    fn life_of(
        &self,
        kept: &Kept,
        system: &lineside_energy::System,
        outcome: &Outcome,
    ) -> Option<lineside_energy::money::Lifetime> {
        let it = &kept.combination;
        let shelf = &self.shelf;
        let battery = shelf.batteries.get(it.battery)?.price * Decimal::from(it.units * it.bank_strings);
        let electronics = shelf.inverters.get(it.inverter)?.price * Decimal::from(it.inverters)
            + shelf.controllers.get(it.controller)?.price * Decimal::from(it.controllers);
        let engine = it.generator.and_then(|at| shelf.generators.get(at)).map(|part| part.price);
        let (mut capital, mut parts) = (kept.cost, Vec::new());
        for life in lives(system, outcome, &self.tables.defaults) {
            let cost = match life.part {
                WornPart::Battery => battery,
                WornPart::Electronics => electronics,
                WornPart::Engine => engine.unwrap_or_default(),
            };
            capital -= cost;
            parts.push(WearingPart { cost, life: life.cautious });
        }
        let design = self.on.project.brief.goals.design_life_years;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few decades")]
        let usual = self.factors.value("life") as u32;
        let upkeep = self.factors.chemistry(kept.chemistry)?.upkeep;
        let costs = Costs {
            capital,
            upkeep: money(upkeep),
            fuel: money(
                outcome.year.fuel.value() * self.factors.value("fuel_price")
                    + outcome.year.import.value() / 1000.0 * self.factors.value("utility_price"),
            ),
            parts,
            interest: self.tables.defaults.real_interest,
            years: design.unwrap_or(usual).max(1),
        };
        lifetime(&costs, outcome.year.served()).ok()
    }
}
