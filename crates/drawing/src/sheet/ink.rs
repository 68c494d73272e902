//! The ink of runs and bars, where the caller gives none.

use super::Look;
use crate::pen::Ink;
use lineside_core::circuit::{Block, BlockId, Circuit, Potential, Run, RunEnd, RunId};
use lineside_core::kinds::{Equipment, Kind};
use std::collections::BTreeMap;

const fn of_potential(potential: Potential) -> Option<Ink> {
    match potential {
        Potential::Pv => Some(Ink::Pv),
        Potential::Battery => Some(Ink::Battery),
        Potential::Ac => Some(Ink::Ac),
        Potential::Earth => Some(Ink::Earth),
        Potential::Any => None,
    }
}

fn of_end(circuit: &Circuit, end: RunEnd) -> Option<Ink> {
    let equipment = &circuit.block(end.block)?.equipment;
    let terminal = equipment.terminals().into_iter().find(|terminal| terminal.name == end.terminal)?;
    of_potential(terminal.potential)
}

/// The ink of a run: as given, else that of the terminals at its ends, else dead.
pub(super) fn of_run(circuit: &Circuit, look: &Look, run: &Run) -> Ink {
    look.inks
        .get(&run.id)
        .copied()
        .or_else(|| of_end(circuit, run.from))
        .or_else(|| of_end(circuit, run.to))
        .unwrap_or(Ink::Dead)
}

/// The ink of the bars in a block: as given, else by its kind.
pub(super) fn of_bar(look: &Look, block: &Block) -> Ink {
    look.bars.get(&block.id).copied().unwrap_or_else(|| {
        if block.kind() == Kind::Combiner {
            Ink::Pv
        } else if block.kind() == Kind::AcPanel {
            Ink::Ac
        } else {
            Ink::Battery
        }
    })
}

/// Inks for every run and bar by the kinds of the terminals that can be reached without passing a converter.
/// For a sheet that no study has looked at; where two kinds meet, the run keeps its nearest.
pub fn inks_by_terminals(circuit: &Circuit) -> (BTreeMap<RunId, Ink>, BTreeMap<BlockId, Ink>) {
    let mut inks = BTreeMap::new();
    let mut bars = BTreeMap::new();
    let mut front: Vec<(RunId, Ink)> = circuit
        .runs()
        .filter_map(|run| {
            let ink = of_end(circuit, run.from).or_else(|| of_end(circuit, run.to))?;
            Some((run.id, ink))
        })
        .collect();
    while !front.is_empty() {
        let mut next = Vec::new();
        for (id, ink) in front {
            if inks.contains_key(&id) {
                continue;
            }
            inks.insert(id, ink);
            let Some(run) = circuit.run(id) else { continue };
            for end in [run.from, run.to] {
                if of_end(circuit, end).is_none() {
                    if circuit
                        .block(end.block)
                        .is_some_and(|block| matches!(block.equipment, Equipment::BusBar(_)))
                    {
                        bars.entry(end.block).or_insert(ink);
                    }
                    next.extend(
                        circuit
                            .runs_at(end.block)
                            .iter()
                            .filter(|other| is_joined(circuit, other, end))
                            .map(|other| (other.id, ink)),
                    );
                }
            }
        }
        front = next;
    }
    (inks, bars)
}

/// Whether a run lands on the block of an end at a terminal that takes any circuit and belongs with that end.
/// A switch of several circuits joins only those of the same number.
fn is_joined(circuit: &Circuit, run: &Run, end: RunEnd) -> bool {
    let several = circuit
        .block(end.block)
        .is_some_and(|block| matches!(&block.equipment, Equipment::Switch(it) if it.circuits > 1));
    [run.from, run.to].iter().any(|other| {
        other.block == end.block
            && of_end(circuit, *other).is_none()
            && (!several || other.terminal.number() == end.terminal.number())
    })
}
