//! Money over the life of a system: present cost, levelized cost, replacements. Money is decimal at the boundary.

use crate::system::System;
use crate::tables::Defaults;
use crate::year::Outcome;
use lineside_core::math::pow;
use lineside_core::units::{Percent, WattHours, Years};
use rust_decimal::Decimal;

/// A part that wears out before the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WearingPart {
    /// What a new one costs.
    pub cost: Decimal,
    /// How long one lasts.
    pub life: Years,
}

/// What a system costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Costs {
    /// First cost of everything but the wearing parts.
    pub capital: Decimal,
    /// Upkeep a year.
    pub upkeep: Decimal,
    /// Fuel a year.
    pub fuel: Decimal,
    /// Parts that are replaced.
    pub parts: Vec<WearingPart>,
    /// Real rate of interest.
    pub interest: Percent,
    /// Years that are looked at.
    pub years: u32,
}

/// A replacement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Replacement {
    /// Position of the part in the list.
    pub part: usize,
    /// After so many years.
    pub after: Years,
    /// What it costs then, at today's prices.
    pub cost: Decimal,
}

/// Money over the life of a system.
#[derive(Clone, Debug, PartialEq)]
pub struct Lifetime {
    /// Net present cost.
    pub present_cost: Decimal,
    /// Levelized cost of a kilowatt-hour served; `None` when nothing is served.
    pub per_kilowatt_hour: Option<Decimal>,
    /// Every replacement, by part, then by time.
    pub replacements: Vec<Replacement>,
    /// Capital recovery factor: the yearly share that pays off a sum.
    pub recovery: f64,
}

/// Money that cannot be computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyFault {
    /// No years are looked at.
    #[error("money is looked at over no years")]
    NoYears,
    /// A part that does not last at all would be replaced without end.
    #[error("part {0} lasts no time: expected a life of a month or more")]
    NoLife(usize),
    /// The rate is one at which no sum grows or falls as money does.
    #[error("the rate of interest must lie between 0 and 100 %")]
    Interest,
    /// A sum is beyond what money can be.
    #[error("a sum is greater than can be reckoned with")]
    TooGreat,
}

/// Shortest life of a part, years.
const SHORTEST_LIFE: f64 = 1.0 / 12.0;
/// Decimals that are kept of computed sums.
const DECIMALS: u32 = 6;

/// Net present and levelized cost for the energy that is served in a year.
pub fn lifetime(costs: &Costs, served: WattHours) -> Result<Lifetime, MoneyFault> {
    let rate = costs.interest.share();
    if costs.years == 0 {
        return Err(MoneyFault::NoYears);
    }
    if !(0.0..=1.0).contains(&rate) {
        return Err(MoneyFault::Interest);
    }
    let years = f64::from(costs.years);
    let recovery = if rate > 0.0 { rate / (1.0 - pow(1.0 + rate, -years)) } else { 1.0 / years };
    let today = |after: f64| pow(1.0 + rate, -after);
    let mut present = float(costs.capital)? + (float(costs.upkeep)? + float(costs.fuel)?) / recovery;
    let mut replacements = Vec::new();
    for (index, part) in costs.parts.iter().enumerate() {
        let (cost, life) = (float(part.cost)?, part.life.value());
        present += cost;
        if life.is_nan() || life < SHORTEST_LIFE {
            return Err(MoneyFault::NoLife(index));
        }
        let mut last = 0.0;
        let times = (1..).map(|n| f64::from(n) * life).take_while(|after| *after < years - 1e-9);
        for after in times {
            present += cost * today(after);
            last = after;
            replacements.push(Replacement { part: index, after: Years::new(after), cost: part.cost });
        }
        let left = ((last + life - years) / life).max(0.0);
        present -= cost * left * today(years);
    }
    let kilowatt_hours = served.value() / 1000.0;
    let per_kilowatt_hour =
        if kilowatt_hours > 0.0 { Some(decimal(present * recovery / kilowatt_hours)?) } else { None };
    Ok(Lifetime { present_cost: decimal(present)?, per_kilowatt_hour, replacements, recovery })
}

/// What has been spent by the end of each year, at its value today: first the day of purchase, then year by year. What
/// wears out is bought again when its life ends; what is left of it at the end is not taken off, as it is in
/// [`lifetime`].
pub fn course(costs: &Costs) -> Result<Vec<Decimal>, MoneyFault> {
    let life = lifetime(costs, WattHours::ZERO)?;
    let rate = costs.interest.share();
    let today = |after: f64| pow(1.0 + rate, -after);
    let every_year = float(costs.upkeep)? + float(costs.fuel)?;
    let parts: Decimal = costs.parts.iter().map(|part| part.cost).sum();
    let mut spent = float(costs.capital)? + float(parts)?;
    let mut course = vec![decimal(spent)?];
    for year in 1..=costs.years {
        let end = f64::from(year);
        spent += every_year * today(end);
        for again in &life.replacements {
            let after = again.after.value();
            if after > end - 1.0 && after <= end {
                spent += float(again.cost)? * today(after);
            }
        }
        course.push(decimal(spent)?);
    }
    Ok(course)
}

fn float(sum: Decimal) -> Result<f64, MoneyFault> {
    f64::try_from(sum).map_err(|_| MoneyFault::TooGreat)
}

fn decimal(sum: f64) -> Result<Decimal, MoneyFault> {
    Decimal::try_from(sum).map(|sum| sum.round_dp(DECIMALS)).map_err(|_| MoneyFault::TooGreat)
}

/// What wears out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WornPart {
    /// The bank.
    Battery,
    /// Controllers, inverters, chargers.
    Electronics,
    /// The generator's engine.
    Engine,
}

/// How long a part lasts at the pace of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartLife {
    /// The part.
    pub part: WornPart,
    /// If everything that wears adds up.
    pub cautious: Years,
    /// If only the worst counts.
    pub hopeful: Years,
}

/// How long the parts of a system last at the pace of a year.
pub fn lives(system: &System, outcome: &Outcome, defaults: &Defaults) -> Vec<PartLife> {
    let both = |part, years| PartLife { part, cautious: years, hopeful: years };
    let wear = &outcome.wear;
    let mut found =
        vec![PartLife { part: WornPart::Battery, cautious: wear.cautious, hopeful: wear.hopeful }];
    if !system.controllers.is_empty() || system.inverter.is_some() || !system.pv_inverters.is_empty() {
        found.push(both(WornPart::Electronics, defaults.electronics_life));
    }
    let engine = system.generator.and_then(|generator| generator.fuel);
    let hours = outcome.year.generator_hours.value();
    if let Some(fuel) = engine.filter(|_| hours > 0.0) {
        found.push(both(WornPart::Engine, Years::new(fuel.life.value() / hours)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example_file::{close, component, list, number};

    fn money(value: f64) -> Decimal {
        Decimal::try_from(value).unwrap()
    }

    #[test]
    fn the_reference_system() {
        let example = component("lifetime_cost");
        let input = &example["input"];
        let at = |key: &str| money(number(&input[key]));
        let parts = list(&input["parts"])
            .iter()
            .map(|part| WearingPart { cost: money(number(&part[0])), life: Years::new(number(&part[1])) });
        let costs = Costs {
            capital: at("capital"),
            upkeep: at("om_per_year"),
            fuel: at("fuel_per_year"),
            parts: parts.collect(),
            interest: crate::Tables::load().unwrap().defaults.real_interest,
            years: 30,
        };
        let served = WattHours::new(number(&input["served_kwh_per_year"]) * 1000.0);
        let found = lifetime(&costs, served).unwrap();
        close("present cost", float(found.present_cost).unwrap(), number(&example["npc"]));
        close("levelized", float(found.per_kilowatt_hour.unwrap()).unwrap(), number(&example["lcoe"]));
        close("recovery", found.recovery, number(&example["crf"]));
        let replaced = found.replacements.iter().map(|it| (it.after.value(), float(it.cost).unwrap()));
        let expected = list(&example["replacements"]).iter().map(|it| (number(&it[0]), number(&it[1])));
        assert_eq!(replaced.collect::<Vec<_>>(), expected.collect::<Vec<_>>());
    }

    #[test]
    fn money_is_spent_in_its_year() {
        let part = WearingPart { cost: money(100.0), life: Years::new(4.0) };
        let mut costs = Costs {
            capital: money(1000.0),
            upkeep: money(8.0),
            fuel: money(2.0),
            parts: vec![part],
            interest: Percent::ZERO,
            years: 10,
        };
        // 1000 + 100 at first, 10 a year, 100 more at the ends of the fourth and the eighth year.
        let expected = [1100, 1110, 1120, 1130, 1240, 1250, 1260, 1270, 1380, 1390, 1400];
        assert_eq!(course(&costs).unwrap(), expected.map(Decimal::from));
        // At 25 % the 10 of the first year are 8 today, those of the second 6.40.
        costs.interest = Percent::new(25.0);
        assert_eq!(course(&costs).unwrap()[..3], [1100.0, 1108.0, 1114.4].map(money));
        assert_eq!(course(&Costs { years: 0, ..costs }), Err(MoneyFault::NoYears));
    }

    #[test]
    fn what_cannot_be_reckoned_is_told() {
        let part = WearingPart { cost: money(100.0), life: Years::ZERO };
        let costs = Costs {
            capital: money(1000.0),
            upkeep: Decimal::ZERO,
            fuel: Decimal::ZERO,
            parts: vec![part],
            interest: Percent::ZERO,
            years: 10,
        };
        let served = WattHours::new(1e6);
        assert_eq!(lifetime(&costs, served), Err(MoneyFault::NoLife(0)));
        assert_eq!(lifetime(&Costs { years: 0, ..costs.clone() }, served), Err(MoneyFault::NoYears));
        let wild = Costs { interest: Percent::new(-3.0), ..costs.clone() };
        assert_eq!(lifetime(&wild, served), Err(MoneyFault::Interest));
        // Without interest 1000 over 10 years of 1000 kWh are 0.1 each; without energy there is no price of it.
        let plain = Costs { parts: Vec::new(), ..costs };
        assert_eq!(lifetime(&plain, served).unwrap().per_kilowatt_hour, Some(money(0.1)));
        assert_eq!(lifetime(&plain, WattHours::ZERO).unwrap().per_kilowatt_hour, None);
    }
}
