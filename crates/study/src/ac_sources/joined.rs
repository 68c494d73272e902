//! Which AC sources some reachable position joins.
//!
//! Points that can always be joined are taken together; what is left between them are the throws of interlocked
//! switches, the relays of inverters and interlocked breakers, of which each excludes some others.

use super::{Area, Groups};
use crate::network::{LinkKind, NodeId, PoleInBlock};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::transfer_switch::{Interlock, TransferSwitch};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Whether every position was gone through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JoinedBy {
    /// A position was found that joins them.
    Position,
    /// There are too many interlocked positions to go through; their interlocks were left out.
    Assumption,
}

/// Two AC sources that can be joined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joined {
    /// One source.
    pub a: BlockId,
    /// What it is.
    pub a_kind: SourceKind,
    /// The other.
    pub b: BlockId,
    /// What it is.
    pub b_kind: SourceKind,
    /// The devices that are closed between them, from the one to the other.
    pub through: Vec<BlockId>,
    /// How it was found.
    pub by: JoinedBy,
}

impl Joined {
    /// The source that backs up the other, where one of the two is a utility.
    pub fn standby_to_utility(&self) -> Option<(BlockId, BlockId)> {
        match (self.a_kind, self.b_kind) {
            (SourceKind::Utility, SourceKind::Utility) => None,
            (SourceKind::Utility, _) => Some((self.b, self.a)),
            (_, SourceKind::Utility) => Some((self.a, self.b)),
            _ => None,
        }
    }
}

/// What excludes what: one alternative of a group is closed at a time.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Group {
    Block(BlockId),
    Interlock(String),
}

/// A pole that is not always closable.
struct Choice {
    a: NodeId,
    b: NodeId,
    group: Group,
    alternative: u32,
    /// The inverter whose relay it is.
    relay_of: Option<BlockId>,
}

/// Up to so many combinations of interlocked positions are gone through.
const COMBINATIONS: usize = 4096;

/// A source with the points that can always be joined to it.
#[derive(Clone, Copy)]
struct Supply {
    block: BlockId,
    kind: SourceKind,
    node: NodeId,
    at: NodeId,
}

pub(super) fn find(area: &Area<'_>) -> Vec<Joined> {
    if area.sources().nth(1).is_none() {
        return Vec::new();
    }
    let (always, choices) = split(area);
    let supplies: Vec<Supply> = area
        .sources()
        .map(|source| Supply {
            block: source.block,
            kind: source.kind,
            node: source.node,
            at: always.of(source.node),
        })
        .collect();
    let (positions, by) = positions(&choices);
    let mut found = Vec::new();
    for (index, a) in supplies.iter().enumerate() {
        for b in supplies.iter().skip(index + 1).filter(|b| b.block != a.block) {
            if may_run_together(area, &supplies, *a, *b) {
                continue;
            }
            let own = |it: &Choice| it.relay_of.is_some_and(|relay| is_own(&supplies, relay, *a, *b));
            let joining = positions.iter().find(|closed| {
                let usable = choices.iter().enumerate().filter(|(at, it)| closed.contains(at) && !own(it));
                leads(a.at, b.at, &usable.map(|(_, it)| (it.a, it.b)).collect::<Vec<_>>())
            });
            if let Some(closed) = joining {
                let usable = choices.iter().enumerate().filter(|(at, it)| closed.contains(at) && !own(it));
                let shut: BTreeSet<(NodeId, NodeId)> = usable.map(|(_, it)| (it.a, it.b)).collect();
                let through = path(area, a.node, b.node, &always, &shut);
                let (a, a_kind, b, b_kind) = (a.block, a.kind, b.block, b.kind);
                found.push(Joined { a, a_kind, b, b_kind, through, by });
            }
        }
    }
    found
}

/// What can always be joined, and what depends on a position.
fn split(area: &Area<'_>) -> (Groups, Vec<Choice>) {
    let mut always = Groups::alone(&area.zone.nodes);
    let mut depending = Vec::new();
    let interlocked = shared_interlocks(area);
    for id in area.links {
        let Some(link) = area.network.link(*id) else { continue };
        let group = area.network.pole_of(link).and_then(|pole| group_of(area, pole, &interlocked));
        match (link.kind, group) {
            (LinkKind::Converter, _) => {}
            (_, None) => always.join(link.a, link.b),
            (_, Some((group, alternative, relay_of))) => {
                depending.push(Choice { a: link.a, b: link.b, group, alternative, relay_of });
            }
        }
    }
    for choice in &mut depending {
        (choice.a, choice.b) = (always.of(choice.a), always.of(choice.b));
    }
    (always, depending)
}

/// Names of interlocks that two or more breakers of the zone carry.
fn shared_interlocks(area: &Area<'_>) -> BTreeMap<String, u32> {
    let mut count: BTreeMap<String, u32> = BTreeMap::new();
    for pole in area.zone.poles.iter().filter_map(|index| area.network.poles().get(*index)) {
        if let Some(name) = interlock_of(area, pole.block) {
            *count.entry(name.to_owned()).or_default() += 1;
        }
    }
    count.retain(|_, breakers| *breakers > 1);
    count
}

fn interlock_of<'a>(area: &'a Area<'_>, block: BlockId) -> Option<&'a str> {
    let name = area.data::<Breaker>(block)?.interlock.as_deref()?;
    (!name.trim().is_empty()).then_some(name)
}

fn group_of(
    area: &Area<'_>,
    pole: &PoleInBlock,
    interlocked: &BTreeMap<String, u32>,
) -> Option<(Group, u32, Option<BlockId>)> {
    if let Some(throw) = pole.pole.throw {
        let free = area.data::<TransferSwitch>(pole.block).is_some_and(|it| it.interlock == Interlock::None);
        let relay = pole.is_relay().then_some(pole.block);
        return (!free).then(|| (Group::Block(pole.block), u32::from(throw), relay));
    }
    let name = interlock_of(area, pole.block).filter(|name| interlocked.contains_key(*name))?;
    Some((Group::Interlock(name.to_owned()), pole.block.number(), None))
}

/// Every combination of alternatives, each as the choices that are closed.
fn positions(choices: &[Choice]) -> (Vec<BTreeSet<usize>>, JoinedBy) {
    let mut groups: BTreeMap<&Group, BTreeMap<u32, Vec<usize>>> = BTreeMap::new();
    for (index, choice) in choices.iter().enumerate() {
        groups.entry(&choice.group).or_default().entry(choice.alternative).or_default().push(index);
    }
    let combinations = groups.values().fold(1_usize, |product, it| product.saturating_mul(it.len().max(1)));
    if combinations > COMBINATIONS {
        return (vec![(0..choices.len()).collect()], JoinedBy::Assumption);
    }
    let mut all = vec![BTreeSet::new()];
    for alternatives in groups.values() {
        all = all
            .iter()
            .flat_map(|so_far: &BTreeSet<usize>| {
                alternatives.values().map(move |closed| {
                    so_far.iter().copied().chain(closed.iter().copied()).collect::<BTreeSet<usize>>()
                })
            })
            .collect();
    }
    (all, JoinedBy::Position)
}

/// Inverters that share an output bus and are made for it, and interactive inverters with a utility.
fn may_run_together(area: &Area<'_>, supplies: &[Supply], a: Supply, b: Supply) -> bool {
    let inverter = |supply: Supply| {
        area.data::<Inverter>(supply.block).filter(|_| supply.kind == SourceKind::InverterOutput)
    };
    match (inverter(a), inverter(b)) {
        (Some(one), Some(other)) => {
            let beside = supplies.iter().filter(|it| it.at == a.at && inverter(**it).is_some()).count();
            let for_all = |it: &Inverter| {
                it.parallel_units.and_then(|units| usize::try_from(units).ok()).is_some_and(|it| it >= beside)
            };
            a.at == b.at && for_all(one) && for_all(other)
        }
        (Some(it), None) => is_interactive(it) && b.kind == SourceKind::Utility,
        (None, Some(it)) => is_interactive(it) && a.kind == SourceKind::Utility,
        (None, None) => false,
    }
}

/// An inverter that meets the utility at its output; one with inputs meets it there.
fn is_interactive(inverter: &Inverter) -> bool {
    inverter.ac_inputs == 0 && inverter.utility_listed == Some(Fitted::Yes)
}

/// Whether a relay belongs to one of two sources, or to an inverter that shares its output bus: it closes onto a
/// source only when it has brought its own output in step.
fn is_own(supplies: &[Supply], relay: BlockId, a: Supply, b: Supply) -> bool {
    let Some(of_relay) =
        supplies.iter().find(|it| it.block == relay && it.kind == SourceKind::InverterOutput)
    else {
        return false;
    };
    [a, b].iter().any(|it| it.kind == SourceKind::InverterOutput && it.at == of_relay.at)
}

fn leads(from: NodeId, to: NodeId, edges: &[(NodeId, NodeId)]) -> bool {
    let mut seen = BTreeSet::from([from]);
    let mut waiting = vec![from];
    while let Some(here) = waiting.pop() {
        if here == to {
            return true;
        }
        for (a, b) in edges.iter().filter(|(a, b)| *a == here || *b == here) {
            let other = if *a == here { *b } else { *a };
            if seen.insert(other) {
                waiting.push(other);
            }
        }
    }
    false
}

/// The devices on the shortest way between two sources.
fn path(
    area: &Area<'_>,
    from: NodeId,
    to: NodeId,
    always: &Groups,
    shut: &BTreeSet<(NodeId, NodeId)>,
) -> Vec<BlockId> {
    let mut came: BTreeMap<NodeId, Option<(NodeId, Option<BlockId>)>> = BTreeMap::from([(from, None)]);
    let mut waiting = VecDeque::from([from]);
    while let Some(here) = waiting.pop_front() {
        for (_, link) in area.network.links_at(here).filter(|(_, link)| link.kind != LinkKind::Converter) {
            let (a, b) = (always.of(link.a), always.of(link.b));
            if a != b && !shut.contains(&(a, b)) {
                continue;
            }
            let other = link.other(here);
            if let std::collections::btree_map::Entry::Vacant(entry) = came.entry(other) {
                let device = area.network.pole_of(link).map(|pole| pole.block);
                entry.insert(Some((here, device)));
                waiting.push_back(other);
            }
        }
    }
    let mut through = Vec::new();
    let mut here = to;
    while let Some(Some((before, device))) = came.get(&here).copied() {
        through.extend(device.filter(|device| through.last() != Some(device)));
        here = before;
    }
    through.reverse();
    through
}
