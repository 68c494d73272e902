//! Rule `source-interlock`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::BlockId;
use lineside_core::edit::Edit;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::inside::SourceKind;
use lineside_study::{Joined, JoinedBy, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// No position of the switches joins two AC sources
    ///
    /// ## The harm
    /// The output of an inverter in parallel with a utility or a generator: the inverter destroyed, a lineworker killed.
    ///
    /// ## The formula
    /// Over all positions of all switches, breakers and relays that are not interlocked mechanically or by listing. The
    /// relay of an inverter is interlocked: it closes onto a source only when its own output is in step. Inverters side
    /// by side must be made for so many; an interactive inverter listed for it may meet the utility.
    ///
    /// ## The limit
    /// No such position. A two-position switch with a common blade counts, and breakers with a listed interlock; a
    /// procedure and labels do not.
    ///
    /// ## What to do
    /// A two-position switch; an interlock kit listed for the panel.
    SOURCE_INTERLOCK {
        id: "source-interlock",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 702.5, 110.3(B)",
            Nec2020: "NEC 2020 702.5, 110.3(B)",
            Nec2017: "NEC 2017 702.5, 110.3(B)",
            Iec: "IEC 60364-5-55 cl. 551.6 and 551.7",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Ac) {
        let is_ac_source =
            |kind| matches!(kind, SourceKind::Utility | SourceKind::Generator | SourceKind::InverterOutput);
        let sources = on.with_source(zone, is_ac_source);
        let Some(first) = sources.first().filter(|_| sources.len() > 1) else { continue };
        let found = zone.nodes.first().and_then(|node| on.studies.zones.of(*node));
        let found = found.and_then(|id| on.studies.ac_sources.of(id));
        let joined: &[Joined] = found.map_or(&[], |found| &found.joined);
        report.holds(Part::Block(*first), || joined.is_empty());
        for ((at, with), pairs) in grouped(joined) {
            find(on, report, at, with, &pairs);
        }
    }
}

/// By the source to which the finding is tied, the inverter rather than another, and by the sort of the others.
fn grouped(joined: &[Joined]) -> BTreeMap<(BlockId, &'static str), Vec<&Joined>> {
    let mut groups: BTreeMap<(BlockId, &'static str), Vec<&Joined>> = BTreeMap::new();
    for pair in joined {
        let (at, other) =
            if rank(pair.b_kind) < rank(pair.a_kind) { (pair.b, pair.a_kind) } else { (pair.a, pair.b_kind) };
        groups.entry((at, word(other))).or_default().push(pair);
    }
    groups
}

/// Inverters first, utilities last.
fn rank(kind: SourceKind) -> u8 {
    2 - u8::from(kind == SourceKind::Generator) - 2 * u8::from(kind == SourceKind::InverterOutput)
}

fn word(kind: SourceKind) -> &'static str {
    if kind == SourceKind::InverterOutput {
        "inverter"
    } else if kind == SourceKind::Generator {
        "generator"
    } else {
        "utility"
    }
}

fn find(on: &Circumstances<'_>, report: &mut Report, at: BlockId, with: &'static str, pairs: &[&Joined]) {
    let name = |id: BlockId| Part::Block(id).name(on.circuit());
    let Some(first) = pairs.first() else { return };
    let others: Vec<BlockId> = pairs.iter().map(|pair| if pair.a == at { pair.b } else { pair.a }).collect();
    let names: Vec<String> = others.iter().map(|other| name(*other)).collect();
    let closed: Vec<String> = first.through.iter().map(|id| name(*id)).collect();
    let found = match (first.by, closed.is_empty()) {
        (JoinedBy::Position, false) => format!("{} closed", closed.join(" and ")),
        (JoinedBy::Position, true) => "joined for good".to_owned(),
        (JoinedBy::Assumption, _) => {
            "too many interlocked positions to go through; taken as possible".to_owned()
        }
    };
    let title = format!("{} and {} can be joined", name(at), names.join(", "));
    let finding = SOURCE_INTERLOCK.finding(on, Severity::Danger, Part::Block(at), title).aspect(with);
    let also = others.iter().chain(&first.through).map(|id| Part::Block(*id));
    report.find(finding.also_all(also).against(words(found), words("no position joins them")));
}

/// An interlock between the breakers through which the sources meet.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let blocks = finding.also.iter().filter_map(|part| match part {
        Part::Block(id) => on.block(*id),
        Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    });
    let breakers: Vec<_> =
        blocks.filter_map(|block| Some((block, block.equipment.as_kind::<Breaker>()?))).collect();
    let (Some((first, _)), Some((last, _))) = (breakers.first(), breakers.last()) else { return Vec::new() };
    if first.id == last.id {
        return Vec::new();
    }
    let name = format!("{} or {}", first.tag, last.tag);
    let edits = [breakers.first(), breakers.last()].into_iter().flatten().map(|(block, breaker)| {
        let changed = Breaker { interlock: Some(name.clone()), ..(*breaker).clone() };
        Edit::SetEquipment {
            block: block.id,
            equipment: Box::new(changed.into()),
            stock: block.stock.clone(),
        }
    });
    let label = format!("An interlock between {} and {}", first.tag, last.tag);
    vec![Proposal { label, edit: Edit::Batch(edits.collect()) }]
}
