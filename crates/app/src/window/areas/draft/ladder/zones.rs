//! Of which zones a ladder can be drawn for what is selected, and which comes first.

use crate::window::areas::draft::findings::{looked_at, selection_of};
use crate::window::selection::Thing;
use crate::window::view::View;
use lineside_core::circuit::{Circuit, RunEnd};
use lineside_study::{VoltageWindow, ZoneKind};

/// The windows of the zones in which lies what is selected, that of the finding that is looked at first.
pub(super) fn windows_of_selection<'a>(view: &View<'a>) -> Vec<&'a VoltageWindow> {
    let studies = &view.derived.checked.studies;
    let mut windows: Vec<&VoltageWindow> = ends_of_selection(view, &view.project().circuit)
        .into_iter()
        .filter_map(|end| studies.windows.of(studies.zones.of(studies.network.at(end)?)?))
        .filter(|window| {
            rank(window.kind).is_some() && window.lowest().is_some() && !window.permitted.is_empty()
        })
        .collect();
    windows.sort_by_key(|window| (!is_affected(view, window), rank(window.kind), window.zone));
    windows.dedup_by_key(|window| window.zone);
    windows
}

/// A block stands in several zones; on the battery bus windows are tightest, then on the array side.
const fn rank(kind: ZoneKind) -> Option<u8> {
    match kind {
        ZoneKind::Battery => Some(0),
        ZoneKind::Pv => Some(1),
        ZoneKind::Ac => Some(2),
        ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => None,
    }
}

fn ends_of_selection(view: &View<'_>, circuit: &Circuit) -> Vec<RunEnd> {
    if let Some(terminal) = view.selection.terminal {
        return vec![terminal];
    }
    view.selection.single().map_or_else(Vec::new, |thing| ends_of(thing, circuit))
}

/// Whether all that the finding concerns that is looked at has to do with a zone.
fn is_affected(view: &View<'_>, window: &VoltageWindow) -> bool {
    let Some(finding) = looked_at(view) else { return false };
    let circuit = &view.project().circuit;
    let studies = &view.derived.checked.studies;
    let zone_of = |end: RunEnd| studies.network.at(end).and_then(|node| studies.zones.of(node));
    selection_of(finding).things().all(|thing| {
        let mut ends = ends_of(thing, circuit).into_iter().peekable();
        ends.peek().is_none() || ends.any(|end| zone_of(end) == Some(window.zone))
    })
}

fn ends_of(thing: Thing, circuit: &Circuit) -> Vec<RunEnd> {
    match thing {
        Thing::Block(id) => circuit.block(id).map_or_else(Vec::new, |block| {
            let terminals = block.equipment.terminals().into_iter();
            terminals.map(|terminal| RunEnd { block: id, terminal: terminal.name }).collect()
        }),
        Thing::Run(id) => circuit.run(id).map_or_else(Vec::new, |run| vec![run.from, run.to]),
        Thing::Terminal(end) => vec![end],
        Thing::Place(_) => Vec::new(),
    }
}
