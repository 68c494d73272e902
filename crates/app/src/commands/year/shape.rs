//! The energy year, gathered in the shape that is printed as JSON. `docs/json.md` describes it.
//!
//! Nothing is computed here, and nothing is left out because it is unknown: what is not known is `null`.

use super::Found;
use crate::commands::shapes::{Figure, Head};
use lineside_core::project::Month;
use lineside_core::units::{Hours, Measure, Percent, Quantity, UnitSystem};
use lineside_energy::money::{PartLife, WornPart, lives};
use lineside_energy::{Better, ManyYears, Moment, Outcome, Statement, StatementKind, Totals};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct YearShape {
    #[serde(flatten)]
    head: Head,
    file: String,
    rule_set: &'static str,
    pub(super) seed: u64,
    pub(super) array_power: Figure,
    pub(super) balance: Vec<BalanceShape>,
    pub(super) outcome: OutcomeShape,
    pub(super) lives: Vec<LifeShape>,
    pub(super) many: Option<ManyShape>,
    pub(super) statements: Vec<StatementShape>,
    pub(super) remarks: Vec<String>,
}

macro_rules! balance {
    ($($field:ident,)+) => {
        /// A month or the whole year.
        #[derive(Serialize)]
        pub(super) struct BalanceShape {
            pub(super) period: &'static str,
            pub(super) lowest_charge: Option<Figure>,
            pub(super) generator_starts: u32,
            $(pub(super) $field: Figure,)+
        }

        fn balance(period: &'static str, lowest: Option<Percent>, totals: &Totals, units: UnitSystem) -> BalanceShape {
            BalanceShape {
                period,
                lowest_charge: lowest.map(|charge| Figure::of(charge, units)),
                generator_starts: totals.generator_starts,
                $($field: Figure::of(totals.$field, units),)+
            }
        }
    };
}

balance! {
    level_sun, plane_sun, sun_potential, sun_used, sun_limited, curtailed, tracking_missed, ac_demand, ac_served,
    dc_demand, dc_served, waiting_demand, waiting_served, standing, unmet_critical, unmet_normal, unmet_dc,
    unmet_waiting, unmet_hours, import, export, generator, generator_hours, noise_hours, low_load_hours, fuel, charge,
    discharge, charged, discharged, gassing, wire_loss, controller_loss, pv_inverter_loss, inverter_loss, charger_loss,
    battery_loss, self_discharge,
}

#[derive(Serialize)]
pub(super) struct OutcomeShape {
    pub(super) demand: Figure,
    pub(super) served: Figure,
    pub(super) unmet: Figure,
    pub(super) unmet_share: Figure,
    pub(super) longest_gap: Figure,
    pub(super) longest_gap_ends: Option<String>,
    pub(super) least_reserve: Option<Figure>,
    pub(super) mean_reserve: Option<Figure>,
    pub(super) mean_charge: Figure,
    pub(super) lowest_charge: Figure,
    pub(super) full_cycles: Figure,
    pub(super) wear: Figure,
    pub(super) water: Figure,
    pub(super) sun_used_share: Figure,
    pub(super) sun_share: Figure,
    pub(super) stored: Figure,
    pub(super) not_closed: Figure,
}

#[derive(Serialize)]
pub(super) struct LifeShape {
    pub(super) part: &'static str,
    pub(super) cautious: Figure,
    pub(super) hopeful: Figure,
}

#[derive(Serialize)]
pub(super) struct ManyShape {
    pub(super) years: u32,
    pub(super) doubt: &'static str,
    pub(super) spreads: Vec<SpreadShape>,
}

#[derive(Serialize)]
pub(super) struct SpreadShape {
    pub(super) what: &'static str,
    pub(super) least: Figure,
    pub(super) p50: Figure,
    pub(super) p90: Figure,
    pub(super) most: Figure,
}

#[derive(Serialize)]
pub(super) struct StatementShape {
    pub(super) kind: &'static str,
    block: Option<String>,
    pub(super) text: String,
}

/// Gathers the results.
pub(super) fn gather(found: &Found<'_>) -> YearShape {
    let units = found.units;
    let outcome = &found.year.outcome;
    let months = outcome.months.iter().zip(outcome.lowest_charge.iter());
    let mut balances: Vec<BalanceShape> = months
        .map(|((month, totals), (_, lowest))| balance(month.name(), Some(lowest), &totals, units))
        .collect();
    balances.push(balance("year", Some(lowest(outcome)), &outcome.year, units));
    let defaults = &found.tables.defaults;
    let parts = lives(found.system, outcome, defaults);
    YearShape {
        head: Head::of("year"),
        file: found.file.to_owned(),
        rule_set: found.rule_set.key(),
        seed: found.seed,
        array_power: Figure::of(found.system.array_power(), units),
        balance: balances,
        outcome: outcome_shape(outcome, units),
        lives: parts.iter().map(|life| life_shape(life, units)).collect(),
        many: found.many.map(|many| many_shape(many, units)),
        statements: found.from.statements.iter().map(|it| statement(it, found)).collect(),
        remarks: found.remarks.clone(),
    }
}

fn lowest(outcome: &Outcome) -> Percent {
    outcome.lowest_charge.iter().map(|(_, charge)| charge).fold(Percent::new(100.0), Percent::min)
}

fn outcome_shape(outcome: &Outcome, units: UnitSystem) -> OutcomeShape {
    let of = |quantity: Quantity| Figure::of(quantity, units);
    let year = &outcome.year;
    let hours = |hours: Option<Hours>| hours.map(|hours| Figure::of(hours, units));
    OutcomeShape {
        demand: of(year.demand().into()),
        served: of(year.served().into()),
        unmet: of(year.unmet().into()),
        unmet_share: of(outcome.unmet_share.into()),
        longest_gap: of(outcome.longest_gap.into()),
        longest_gap_ends: outcome.longest_gap_ends.map(|hour| moment(hour + 1)),
        least_reserve: hours(outcome.reserve.map(|reserve| reserve.least)),
        mean_reserve: hours(outcome.reserve.map(|reserve| reserve.mean)),
        mean_charge: of(outcome.mean_charge.into()),
        lowest_charge: of(lowest(outcome).into()),
        full_cycles: of(Quantity::number(outcome.full_cycles)),
        wear: of(Percent::from_share(outcome.wear.of_cycle_life).into()),
        water: of(outcome.water.into()),
        sun_used_share: of(outcome.sun_used_share.into()),
        sun_share: of(outcome.sun_share.into()),
        stored: of(outcome.stored.into()),
        not_closed: of(Percent::from_share(outcome.closure.worst()).into()),
    }
}

/// `12 March, 19:00`. The end of the year's last hour is midnight.
fn moment(hour: usize) -> String {
    if hour >= lineside_energy::HOURS {
        return format!("31 {}, 24:00", Month::December.name());
    }
    let at = Moment::of(hour);
    format!("{} {}, {:02}:00", at.day, at.month.name(), at.hour)
}

const fn part(part: WornPart) -> &'static str {
    match part {
        WornPart::Battery => "battery",
        WornPart::Electronics => "electronics",
        WornPart::Engine => "engine",
    }
}

fn life_shape(life: &PartLife, units: UnitSystem) -> LifeShape {
    let (cautious, hopeful) = (Figure::of(life.cautious, units), Figure::of(life.hopeful, units));
    LifeShape { part: part(life.part), cautious, hopeful }
}

fn many_shape(many: &ManyYears, units: UnitSystem) -> ManyShape {
    let mut spreads = Vec::new();
    spread(&mut spreads, many, units, "unmet_share", Better::Less, |it| it.unmet_share);
    spread(&mut spreads, many, units, "unmet_hours", Better::Less, |it| it.year.unmet_hours);
    spread(&mut spreads, many, units, "longest_gap", Better::Less, |it| it.longest_gap);
    spread(&mut spreads, many, units, "lowest_charge", Better::More, lowest);
    spread(&mut spreads, many, units, "level_sun", Better::More, |it| it.year.level_sun);
    spread(&mut spreads, many, units, "sun_used", Better::More, |it| it.year.sun_used);
    spread(&mut spreads, many, units, "served", Better::More, |it| it.year.served());
    spread(&mut spreads, many, units, "generator_hours", Better::Less, |it| it.year.generator_hours);
    spread(&mut spreads, many, units, "fuel", Better::Less, |it| it.year.fuel);
    let doubt = match many.run.doubt {
        lineside_energy::ModelDoubt::Left => "weather",
        lineside_energy::ModelDoubt::Included => "model",
    };
    ManyShape { years: many.run.years, doubt, spreads }
}

fn spread<M: Measure + Into<Quantity>>(
    into: &mut Vec<SpreadShape>,
    many: &ManyYears,
    units: UnitSystem,
    what: &'static str,
    better: Better,
    figure: impl Fn(&Outcome) -> M,
) {
    let Some(spread) = many.spread(better, figure) else { return };
    let of = |value: M| Figure::of(value, units);
    let (least, p50, p90, most) = (of(spread.least), of(spread.p50), of(spread.p90), of(spread.most));
    into.push(SpreadShape { what, least, p50, p90, most });
}

fn statement(statement: &Statement, found: &Found<'_>) -> StatementShape {
    let kind = match statement.kind() {
        StatementKind::Missing => "missing",
        StatementKind::LeftOut => "left_out",
        StatementKind::Assumed => "assumed",
    };
    let block = statement.block().and_then(|id| found.circuit.block(id)).map(|block| block.tag.clone());
    StatementShape { kind, block, text: statement.text(found.circuit, found.units) }
}
