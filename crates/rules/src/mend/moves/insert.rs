//! A device of stock put into a run: an overcurrent device or a disconnecting means at the end that is named.

use super::demand::{Demand, Flow, breaks_load, pole_of};
use super::support::{blocks, runs};
use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part};
use crate::proposals::{into_run, stock_of};
use crate::remedy::Proposal;
use lineside_core::circuit::{Run, Side};
use lineside_core::kinds::common::Polarity;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::inside::Pole;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::units::Amps;

/// Devices of one kind that are proposed for one end.
const EACH: usize = 2;

/// A breaker or fuse at the end that is named, else at both.
pub(super) fn overcurrent(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let kinds = [Kind::Breaker, Kind::Fuse];
    ends(on, finding).into_iter().flat_map(|(run, side)| fitting(on, run, side, &kinds, |_| true)).collect()
}

/// A breaker, fused switch or switch at the end that is named, else at the terminals of the block that is named.
pub(super) fn disconnect(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let kinds = [Kind::Breaker, Kind::Switch, Kind::Fuse];
    let all = ends(on, finding).into_iter();
    all.flat_map(|(run, side)| fitting(on, run, side, &kinds, breaks_load)).collect()
}

/// A current-limiting fuse at the terminal of each battery, which lowers what comes to everything behind it.
pub(super) fn fuse_at_batteries(on: &Circumstances<'_>, _: &Finding) -> Vec<Proposal> {
    let banks = on.circuit().blocks().filter(|block| block.kind() == Kind::BatteryBank);
    let leads =
        banks.flat_map(|bank| on.circuit().runs_at(bank.id).into_iter().map(move |run| (run, bank.id)));
    let leads = leads.filter(|(run, _)| run.conductor.is_some());
    leads
        .flat_map(|(run, bank)| {
            let side = if run.from.block == bank { Side::From } else { Side::To };
            fitting(on, run, side, &[Kind::Fuse], |_| true)
        })
        .collect()
}

/// Where a device may be put: the end that is named; the ends of the run that is named; the ends at the blocks that
/// are named.
fn ends<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<(&'a Run, Side)> {
    match finding.at {
        Part::RunEnd(id, side) => on.run(id).map(|run| (run, side)).into_iter().collect(),
        Part::Run(id) => on.run(id).into_iter().flat_map(|run| Side::BOTH.map(|side| (run, side))).collect(),
        Part::Block(_) | Part::Place(_) | Part::Project => {
            let mut all: Vec<(&Run, Side)> = Vec::new();
            for block in blocks(on, finding) {
                for run in on.circuit().runs_at(block.id) {
                    all.extend(
                        Side::BOTH
                            .into_iter()
                            .filter(|side| run.end(*side).block == block.id)
                            .map(|side| (run, side)),
                    );
                }
            }
            all.extend(runs(on, finding).into_iter().flat_map(|run| Side::BOTH.map(|side| (run, side))));
            all
        }
    }
}

fn fitting(
    on: &Circumstances<'_>,
    run: &Run,
    side: Side,
    kinds: &[Kind],
    wanted: impl Fn(&Pole) -> bool,
) -> Vec<Proposal> {
    let Some(demand) = Demand::at_end(on, run, side) else { return Vec::new() };
    let items = kinds.iter().flat_map(|kind| smallest(on, *kind, &demand, &wanted));
    items
        .filter_map(|item| {
            let label = format!("{} at {}", item.name, on.circuit().end_name(run.end(side)));
            into_run(on, run, side, item, label)
        })
        .collect()
}

/// The smallest devices of a kind that do, those first that protect the conductor as it is.
fn smallest(
    on: &Circumstances<'_>,
    kind: Kind,
    demand: &Demand,
    wanted: impl Fn(&Pole) -> bool,
) -> Vec<StockItem> {
    let mut items = stock_of(on, kind, |equipment| does(equipment, demand, &wanted));
    let rank = |item: &StockItem| {
        let pole = pole_of(&item.equipment);
        let protects = pole.as_ref().is_some_and(|pole| demand.is_protected_by(pole));
        let rating = pole.and_then(|pole| pole.overcurrent.or(pole.carries)).unwrap_or_default();
        (u8::from(!protects), rating)
    };
    items.sort_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    items.truncate(EACH);
    items
}

fn does(equipment: &Equipment, demand: &Demand, wanted: impl Fn(&Pole) -> bool) -> bool {
    let Some(pole) = pole_of(equipment) else { return false };
    let one_circuit = equipment.as_kind::<Switch>().is_none_or(|it| it.circuits == 1);
    // A strip fuse on DC is for vehicles; the stock has better.
    let limits = equipment.as_kind::<Fuse>().is_none_or(|it| {
        demand.flow == Flow::Alternating
            || it.is_current_limiting()
            || pole.overcurrent.is_some_and(|rating| rating <= Amps::new(100.0))
    });
    one_circuit
        && limits
        && pole.polarity == Polarity::None
        && demand.is_stood_by(&pole)
        && demand.is_carried_by(&pole)
        && wanted(&pole)
}
