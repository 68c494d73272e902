//! Breakers, fuses and switches that stand already: another one of stock, another rating of the same series, a
//! smaller one, one that can be switched.

use super::demand::{Demand, breaks_load, pole_of};
use super::support::{blocks, exchange, runs, set_all};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::proposals::{stock_of, with_equipment};
use crate::remedy::Proposal;
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::Block;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::{ContinuousDuty, Polarity};
use lineside_core::kinds::field::Value;
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::inside::Pole;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::units::Amps;

/// Stock items that are proposed for one device.
const CHOICE: usize = 10;

/// Another device of stock that does what is asked where it stands.
pub(super) fn exchanged(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    devices(on, finding).into_iter().flat_map(|block| exchanges(on, block, |_| true)).collect()
}

/// The next smaller device that still carries the current.
pub(super) fn smaller(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let mut all = Vec::new();
    for block in devices(on, finding) {
        let Some(now) = rating_of(&block.equipment) else { continue };
        all.extend(exchanges(on, block, |pole| pole.overcurrent.is_some_and(|rating| rating < now)));
        all.extend(rerate(on, block, |rating| rating < now));
    }
    all
}

/// Another standard rating of the same series.
pub(super) fn rerated(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    devices(on, finding).into_iter().flat_map(|block| rerate(on, block, |_| true)).collect()
}

/// A fuse on a load-break switch; a switch that opens under load; a breaker in place of a fuse.
pub(super) fn switchable(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let mut all = Vec::new();
    for block in devices(on, finding) {
        let opens = pole_of(&block.equipment).is_some_and(|pole| breaks_load(&pole));
        if opens {
            continue;
        }
        all.extend(exchanges(on, block, breaks_load));
        if let Some(fuse) = block.equipment.as_kind::<Fuse>() {
            let fused = Fuse { mount: FuseMount::FusedSwitch, ..fuse.clone() };
            all.push(with_equipment(block, fused, format!("{} on a load-break switch", block.tag)));
        }
    }
    all
}

/// The devices that a finding names, those in series with the runs that it names, and those that stand beside.
fn devices<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Block> {
    let mut all: Vec<&Block> = blocks(on, finding);
    let runs = runs(on, finding);
    all.extend(runs.iter().flat_map(|run| on.devices_of(run.id)).filter_map(|pole| on.block(pole.block)));
    all.extend(runs.iter().flat_map(|run| [run.from.block, run.to.block]).filter_map(|id| on.block(id)));
    let mut seen = Vec::new();
    all.retain(|block| {
        let new = !seen.contains(&block.id);
        seen.push(block.id);
        new && is_device(block.kind())
    });
    all
}

const fn is_device(kind: Kind) -> bool {
    matches!(kind, Kind::Breaker | Kind::Fuse | Kind::Switch | Kind::Combiner)
}

fn rating_of(equipment: &Equipment) -> Option<Amps> {
    let pole = pole_of(equipment)?;
    pole.overcurrent.or(pole.carries)
}

/// Stock for the place of a device: what fits between current and conductor, nearest to the present rating; where
/// nothing does, what carries the current, since conductors can be enlarged.
fn exchanges(on: &Circumstances<'_>, block: &Block, wanted: impl Fn(&Pole) -> bool) -> Vec<Proposal> {
    let (Some(demand), Some(now)) = (Demand::of_block(on, block), pole_of(&block.equipment)) else {
        return Vec::new();
    };
    let mut fits: Vec<StockItem> = alternatives(block.kind())
        .iter()
        .flat_map(|kind| stock_of(on, *kind, |it| does(block, &now, &demand, it, &wanted)))
        .collect();
    let rating = rating_of(&block.equipment).unwrap_or_default();
    let distance = |item: &StockItem| {
        let pole = pole_of(&item.equipment);
        let protects = pole.as_ref().is_some_and(|pole| demand.is_protected_by(pole));
        let other = pole.and_then(|pole| pole.overcurrent.or(pole.carries)).unwrap_or_default();
        (u8::from(!protects), u8::from(item.equipment.kind() != block.kind()), (other - rating).abs())
    };
    fits.sort_by(|a, b| {
        let (a, b) = (distance(a), distance(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    });
    fits.iter()
        .filter(|item| Some(&item.name) != block.stock.as_ref() || item.equipment != block.equipment)
        .take(CHOICE)
        .map(|item| exchange(block, item))
        .collect()
}

/// What may stand in the place of a kind, itself first.
fn alternatives(kind: Kind) -> &'static [Kind] {
    ALTERNATIVES.iter().find(|(instead_of, _)| *instead_of == kind).map_or(&[], |(_, kinds)| kinds)
}

const ALTERNATIVES: &[(Kind, &[Kind])] = &[
    (Kind::Breaker, &[Kind::Breaker, Kind::Fuse]),
    (Kind::Fuse, &[Kind::Fuse, Kind::Breaker]),
    (Kind::Switch, &[Kind::Switch, Kind::Breaker]),
    (Kind::Combiner, &[Kind::Combiner]),
];

fn does(
    block: &Block,
    now: &Pole,
    demand: &Demand,
    item: &Equipment,
    wanted: impl Fn(&Pole) -> bool,
) -> bool {
    let Some(pole) = pole_of(item) else { return false };
    let keeps_ways = match (block.equipment.as_kind::<Combiner>(), item.as_kind::<Combiner>()) {
        (Some(old), Some(new)) => new.ways >= old.ways && new.buses == old.buses,
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    };
    let keeps_duty = now.overcurrent.is_none() || pole.overcurrent.is_some();
    keeps_ways
        && keeps_duty
        && pole.polarity == Polarity::None
        && pole.disconnects >= now.disconnects
        && demand.is_stood_by(&pole)
        && demand.is_carried_by(&pole)
        && wanted(&pole)
}

/// Standard ratings that carry the current, smallest first, then the largest that protects the conductors.
fn rerate(on: &Circumstances<'_>, block: &Block, wanted: impl Fn(Amps) -> bool) -> Vec<Proposal> {
    let Some(demand) = Demand::of_block(on, block) else { return Vec::new() };
    let Some((key, duty, device)) = series(&block.equipment) else { return Vec::new() };
    let ratings = &on.codes().common.ratings;
    let least = ratings.next_at_least(demand.least(duty), device, on.rule_set());
    let most = demand.most.and_then(|most| ratings.next_at_most(most, device, on.rule_set()));
    let above = least.as_ref().and_then(|least| {
        ratings.next_at_least(least.value * (1.0 + 1e-6) + Amps::new(1e-6), device, on.rule_set())
    });
    let mut all: Vec<Amps> = [least, above, most].into_iter().flatten().map(|it| it.value).collect();
    all.sort_by(Amps::total_cmp);
    all.dedup();
    all.into_iter()
        .filter(|rating| wanted(*rating))
        .filter_map(|rating| {
            let mut equipment = block.equipment.clone();
            equipment.set(key, &Value::Number(lineside_core::units::Measure::value(rating))).ok()?;
            (equipment != block.equipment).then_some(())?;
            set_all(format!("{} of {rating}", block.tag), [(block.id, equipment, None)])
        })
        .collect()
}

/// Where the rating of a series of devices stands, how much of it may be carried for hours, and what it is.
fn series(equipment: &Equipment) -> Option<(&'static str, ContinuousDuty, DeviceType)> {
    let breaker = equipment.as_kind::<Breaker>().map(|it| ("rating", it.duty, DeviceType::Breaker));
    let fuse = equipment.as_kind::<Fuse>().map(|it| ("rating", it.duty, DeviceType::Fuse));
    let ways = equipment.as_kind::<Combiner>().map(|it| ("device_rating", it.duty, DeviceType::Breaker));
    breaker.or(fuse).or(ways)
}
