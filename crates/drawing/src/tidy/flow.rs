//! The direction of power through a circuit: how far each block is from the array, and in which band of the
//! sheet it belongs.
//!
//! What is far from the array stands far to the right; where it stands exactly is the work of `columns` and
//! `rows`.

use lineside_core::circuit::{BlockId, Circuit, Potential, Run, RunEnd};
use lineside_core::kinds::{Equipment, Kind};
use std::collections::{BTreeMap, VecDeque};

/// The bands of a sheet, from the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Band {
    /// Supplies of AC, above the inverter.
    Supply,
    /// From the array to the loads.
    Main,
    /// Batteries, below their bus.
    Store,
    /// Grounding, at the bottom.
    Earth,
}

/// Where a block belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Station {
    /// Steps of power flow from the array.
    pub rank: i32,
    /// Its band.
    pub band: Band,
}

/// The station of every block.
pub(super) fn stations(circuit: &Circuit) -> BTreeMap<BlockId, Station> {
    let mut ends: BTreeMap<BlockId, Vec<&Run>> = BTreeMap::new();
    for run in circuit.runs() {
        for end in [run.from, run.to] {
            ends.entry(end.block).or_default().push(run);
        }
    }
    let mut stations = BTreeMap::new();
    // Where power comes from, the array first. Each later start takes what the ones before did not reach.
    for kinds in STARTS {
        let mut starts = Vec::new();
        for block in circuit.blocks().filter(|block| kinds.contains(&block.kind())) {
            if !stations.contains_key(&block.id) && kinds.contains(&Kind::Strings) {
                starts.push(block.id);
            } else if !stations.contains_key(&block.id) {
                // Unlike strings, a lone battery or generator is not on one level with all the others.
                walk(circuit, &ends, &[block.id], &mut stations);
            }
        }
        walk(circuit, &ends, &starts, &mut stations);
    }
    for block in circuit.blocks() {
        if !stations.contains_key(&block.id) {
            walk(circuit, &ends, &[block.id], &mut stations);
        }
    }
    for bank in circuit.blocks().filter(|block| block.kind() == Kind::BatteryBank) {
        hang(circuit, &ends, bank.id, &mut stations);
    }
    stations
}

/// Where power comes from, in the order in which a reader looks for it.
const STARTS: [&[Kind]; 5] = [
    &[Kind::Strings],
    &[Kind::Combiner],
    &[Kind::ChargeController],
    &[Kind::BatteryBank],
    &[Kind::Utility, Kind::Generator],
];

type Ends<'a> = BTreeMap<BlockId, Vec<&'a Run>>;

/// Ranks everything that can be reached from some blocks by their distance.
fn walk(circuit: &Circuit, ends: &Ends<'_>, starts: &[BlockId], stations: &mut BTreeMap<BlockId, Station>) {
    let mut front: VecDeque<BlockId> = starts.iter().copied().collect();
    for start in starts {
        stations.insert(*start, Station { rank: 0, band: Band::Main });
    }
    // Grounding hangs on what it grounds; power comes first.
    let mut grounds: VecDeque<BlockId> = VecDeque::new();
    while let Some(here) = front.pop_front().or_else(|| grounds.pop_front()) {
        let Some(station) = stations.get(&here).copied() else { continue };
        for run in ends.get(&here).into_iter().flatten() {
            let (leaving, entering) =
                if run.from.block == here { (run.from, run.to) } else { (run.to, run.from) };
            let known = stations.contains_key(&entering.block);
            let is_ground = is_earth(circuit, leaving) || is_earth(circuit, entering);
            if known || entering.block == here {
                continue;
            }
            let band = if is_ground || station.band == Band::Earth {
                Band::Earth
            } else {
                band_beyond(circuit, leaving, station.band)
            };
            stations.insert(entering.block, Station { rank: station.rank + 1, band });
            if band == Band::Earth {
                grounds.push_back(entering.block);
            } else {
                front.push_back(entering.block);
            }
        }
    }
}

fn is_earth(circuit: &Circuit, end: RunEnd) -> bool {
    let Some(block) = circuit.block(end.block) else { return false };
    if matches!(block.kind(), Kind::Electrode | Kind::BondingJumper | Kind::SurgeArrester) {
        return true;
    }
    let terminals = block.equipment.terminals();
    terminals.iter().any(|it| it.name == end.terminal && it.potential == Potential::Earth)
}

/// The band of what lies beyond a terminal: AC that comes to an inverter or a transfer switch comes from above.
fn band_beyond(circuit: &Circuit, leaving: RunEnd, band: Band) -> Band {
    let Some(block) = circuit.block(leaving.block) else { return band };
    match (&block.equipment, leaving.terminal.stem()) {
        (Equipment::Inverter(_), "in") | (Equipment::TransferSwitch(_), "normal" | "standby" | "source") => {
            Band::Supply
        }
        (Equipment::Inverter(_), "out")
        | (Equipment::TransferSwitch(_), "load")
        | (Equipment::Utility(_) | Equipment::Generator(_), _) => Band::Main,
        _ => band,
    }
}

/// Puts a battery bank, and the devices in its cable, below the bus.
fn hang(circuit: &Circuit, ends: &Ends<'_>, bank: BlockId, stations: &mut BTreeMap<BlockId, Station>) {
    let power = |block: BlockId| {
        let runs = ends.get(&block).into_iter().flatten().copied();
        runs.filter(|run| !is_earth(circuit, run.from) && !is_earth(circuit, run.to)).collect::<Vec<_>>()
    };
    let mut chain = vec![bank];
    let mut here = bank;
    // A chain is no longer than the circuit has blocks.
    while let Some(next) = power(here)
        .iter()
        .map(|run| if run.from.block == here { run.to.block } else { run.from.block })
        .find(|next| !chain.contains(next))
    {
        let is_device = circuit.block(next).is_some_and(|block| {
            matches!(block.kind(), Kind::Breaker | Kind::Fuse | Kind::Switch | Kind::Meter)
        });
        if !is_device || power(next).len() != 2 || power(here).len() > 2 {
            break;
        }
        chain.push(next);
        here = next;
    }
    // A bank that feeds something straight and nothing else is where reading begins; it stays in the row.
    if power(here).is_empty() {
        return;
    }
    for block in chain {
        if let Some(station) = stations.get_mut(&block) {
            station.band = Band::Store;
        }
    }
}
