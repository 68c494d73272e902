//! The conductors of a circuit: how many lines, and whether there is a neutral. One line on the sheet stands for all.

use lineside_core::circuit::{Circuit, Potential, Run, RunId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::AcSystem;
use std::collections::{BTreeMap, VecDeque};

/// The conductors of a circuit, without the equipment-grounding conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Wires {
    /// Lines, or poles.
    pub lines: u8,
    /// Neutrals.
    pub neutrals: u8,
}

impl Wires {
    /// Both poles of a DC circuit.
    pub const POLES: Self = Self { lines: 2, neutrals: 0 };
    /// A conductor that grounds.
    pub const GROUND: Self = Self { lines: 1, neutrals: 0 };

    /// How many there are.
    pub fn count(self) -> u32 {
        u32::from(self.lines) + u32::from(self.neutrals)
    }
}

/// The conductors of an AC circuit at this equipment; `None` where the equipment does not tell.
pub(super) fn of_equipment(equipment: &Equipment) -> Option<Wires> {
    let (lines, neutrals) = match ac_system(equipment)? {
        AcSystem::Single120 | AcSystem::Single230 => (1, 1),
        AcSystem::Single240 => (2, 0),
        AcSystem::Split120x240 => (2, 1),
        AcSystem::Three208 | AcSystem::Three400 => (3, 1),
    };
    Some(Wires { lines, neutrals })
}

fn ac_system(equipment: &Equipment) -> Option<AcSystem> {
    match equipment {
        Equipment::Inverter(it) => Some(it.ac_system),
        Equipment::Generator(it) => Some(it.ac_system),
        Equipment::Utility(it) => Some(it.ac_system),
        Equipment::AcPanel(it) => Some(it.ac_system),
        Equipment::Strings(_)
        | Equipment::Combiner(_)
        | Equipment::ChargeController(_)
        | Equipment::BatteryBank(_)
        | Equipment::Breaker(_)
        | Equipment::Fuse(_)
        | Equipment::Switch(_)
        | Equipment::BusBar(_)
        | Equipment::Junction(_)
        | Equipment::DcConverter(_)
        | Equipment::DcLoad(_)
        | Equipment::TransferSwitch(_)
        | Equipment::Meter(_)
        | Equipment::SurgeArrester(_)
        | Equipment::GroundFaultDevice(_)
        | Equipment::ShutdownInitiator(_)
        | Equipment::ShutdownReceiver(_)
        | Equipment::Electrode(_)
        | Equipment::BondingJumper(_) => None,
    }
}

/// The conductors of every AC run, from the equipment that its circuit reaches through devices that do not tell.
pub fn wires_by_equipment(circuit: &Circuit) -> BTreeMap<RunId, Wires> {
    let mut found: BTreeMap<RunId, Wires> = BTreeMap::new();
    let mut front: VecDeque<(&Run, Wires)> = VecDeque::new();
    for run in circuit.runs() {
        let told = [run.from, run.to].into_iter().find_map(|end| {
            let equipment = &circuit.block(end.block)?.equipment;
            let terminals = equipment.terminals();
            let terminal = terminals.iter().find(|terminal| terminal.name == end.terminal)?;
            (terminal.potential == Potential::Ac).then(|| of_equipment(equipment)).flatten()
        });
        if let Some(wires) = told {
            found.insert(run.id, wires);
            front.push_back((run, wires));
        }
    }
    while let Some((run, wires)) = front.pop_front() {
        for end in [run.from, run.to] {
            // Equipment that tells has another circuit at each of its terminals.
            let Some(block) = circuit.block(end.block) else { continue };
            if of_equipment(&block.equipment).is_some() || !is_in_line(&block.equipment) {
                continue;
            }
            for other in circuit.runs_at(end.block) {
                let earths = |end: lineside_core::circuit::RunEnd| {
                    end.block == block.id && matches!(end.terminal.stem(), "bond" | "earth")
                };
                if earths(other.from) || earths(other.to) || found.contains_key(&other.id) {
                    continue;
                }
                found.insert(other.id, wires);
                front.push_back((other, wires));
            }
        }
    }
    found
}

/// Whether a circuit goes on through this equipment with the same conductors.
const fn is_in_line(equipment: &Equipment) -> bool {
    matches!(
        equipment,
        Equipment::Breaker(_)
            | Equipment::Fuse(_)
            | Equipment::Switch(_)
            | Equipment::Junction(_)
            | Equipment::TransferSwitch(_)
            | Equipment::Meter(_)
            | Equipment::GroundFaultDevice(_)
            | Equipment::BusBar(_)
    )
}
