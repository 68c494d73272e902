//! How often the neutral is bonded to equipment ground in every operating case.
//!
//! Breakers leave the neutral alone; a transfer switch parts it or does not; an inverter carries it through from its
//! inputs to its output. A case is a position of every transfer switch with some of the utilities and generators
//! live: an inverter passes a live input through and inverts without one. Sets on cord and plug are there only
//! while they run.

use super::{Area, Groups};
use crate::network::{LinkKind, NodeId, PoleInBlock};
use lineside_core::circuit::{BlockId, Circuit, RunEnd, TerminalName};
use lineside_core::kinds::ac_panel::{AcPanel, PanelBond};
use lineside_core::kinds::common::{AcSystem, Fitted};
use lineside_core::kinds::generator::{FrameBond, Generator};
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper};
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::inverter::{Inverter, NeutralBonding};
use lineside_core::kinds::transfer_switch::{SwitchedNeutral, TransferSwitch};
use std::collections::{BTreeMap, BTreeSet};

/// What bonds a neutral.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BondKind {
    /// The main bonding jumper of a panel.
    Panel,
    /// A jumper of its own on the sheet.
    Jumper,
    /// The frame of a generator.
    Frame,
    /// The relay of an inverter, while it inverts.
    Relay,
    /// An inverter, always.
    Inverter,
}

/// One bond between a neutral and equipment ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Bond {
    /// What bonds.
    pub kind: BondKind,
    /// In which block.
    pub block: BlockId,
}

/// One operating case of loads with a neutral.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NeutralCase {
    /// The utilities and generators that are live.
    pub live: Vec<BlockId>,
    /// The inverters that invert; the others pass an input through.
    pub inverting: Vec<BlockId>,
    /// The transfer switches that stand in their second position.
    pub thrown: Vec<BlockId>,
    /// The bonds of the neutral.
    pub bonds: Vec<Bond>,
}

/// What was found over all cases of one zone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Neutrals {
    /// How many cases had loads and a supply.
    pub cases: usize,
    /// The first case without any bond.
    pub unbonded: Option<NeutralCase>,
    /// The first case with the most bonds.
    pub most: Option<NeutralCase>,
}

/// The jumpers of neutrals on the sheet, each with the block to which it is wired.
pub(super) fn jumpers(circuit: &Circuit) -> Vec<(BlockId, BlockId)> {
    let mut found = Vec::new();
    for block in circuit.blocks() {
        let jumper = block.equipment.as_kind::<BondingJumper>();
        if jumper.is_none_or(|it| it.system != BondedSystem::AcNeutral) {
            continue;
        }
        let end = RunEnd { block: block.id, terminal: TerminalName::plain("system") };
        let wired = circuit.runs_on(end).into_iter();
        let others = wired.map(|run| if run.from == end { run.to.block } else { run.from.block });
        found.extend(others.map(|other| (block.id, other)));
    }
    found
}

/// Up to so many things that can be one way or the other every combination is gone through.
const COMBINED: usize = 10;

pub(super) fn find(area: &Area<'_>) -> Neutrals {
    let systems = area
        .sources()
        .filter_map(|source| area.on.project.circuit.block(source.block)?.equipment.ac_system());
    let systems: Vec<AcSystem> = systems.collect();
    if systems.is_empty() || systems.iter().all(|system| *system == AcSystem::Single240) {
        return Neutrals::default();
    }
    let sheet = Sheet::of(area);
    let mut found = Neutrals::default();
    for thrown in choices(&sheet.switches) {
        for live in choices(&sheet.externals) {
            sheet.judge(&thrown, &live, &mut found);
        }
    }
    found
}

/// Every subset; of many things only none, each alone, and all.
fn choices(things: &[BlockId]) -> Vec<BTreeSet<BlockId>> {
    if things.len() > COMBINED {
        let each = things.iter().map(|it| BTreeSet::from([*it]));
        return std::iter::once(BTreeSet::new())
            .chain(each)
            .chain([things.iter().copied().collect()])
            .collect();
    }
    (0_u32..1 << things.len())
        .map(|choice| {
            let chosen = things.iter().enumerate().filter(|(at, _)| choice & (1 << at) != 0);
            chosen.map(|(_, it)| *it).collect()
        })
        .collect()
}

/// What does not depend on the case.
struct Sheet<'a> {
    area: &'a Area<'a>,
    switches: Vec<BlockId>,
    /// Utilities and generators.
    externals: Vec<BlockId>,
    inverters: Vec<BlockId>,
    /// Bonds that stand in every case, each with the node of its neutral.
    fixed: Vec<(NodeId, Bond)>,
}

impl<'a> Sheet<'a> {
    fn of(area: &'a Area<'a>) -> Self {
        let poles = area.zone.poles.iter().filter_map(|index| area.network.poles().get(*index));
        let mut switches: Vec<BlockId> =
            poles.filter(|it| it.pole.throw.is_some() && !it.is_relay()).map(|it| it.block).collect();
        switches.dedup();
        let of_kind = |wanted: fn(SourceKind) -> bool| {
            let mut blocks: Vec<BlockId> =
                area.sources().filter(|it| wanted(it.kind)).map(|it| it.block).collect();
            blocks.dedup();
            blocks
        };
        let externals = of_kind(|kind| matches!(kind, SourceKind::Utility | SourceKind::Generator));
        let inverters = of_kind(|kind| kind == SourceKind::InverterOutput);
        let mut sheet = Self { area, switches, externals, inverters, fixed: Vec::new() };
        sheet.fixed = sheet.fixed_bonds();
        sheet
    }

    fn fixed_bonds(&self) -> Vec<(NodeId, Bond)> {
        let mut bonds = Vec::new();
        for block in self.area.zone.blocks(self.area.network) {
            let panel = self.area.data::<AcPanel>(block).is_some_and(|it| it.bond == PanelBond::Bonded);
            let inverter = self
                .area
                .data::<Inverter>(block)
                .is_some_and(|it| it.neutral_bonding == NeutralBonding::Always);
            let kind = match (panel, inverter) {
                (true, _) => BondKind::Panel,
                (_, true) => BondKind::Inverter,
                (false, false) => continue,
            };
            bonds.extend(self.node_of(block).map(|node| (node, Bond { kind, block })));
        }
        bonds.extend(self.jumpers());
        bonds
    }

    /// Jumpers wired to the bond terminal of a block of this zone.
    fn jumpers(&self) -> Vec<(NodeId, Bond)> {
        let here = |(jumper, bonded): &(BlockId, BlockId)| {
            Some((self.node_of(*bonded)?, Bond { kind: BondKind::Jumper, block: *jumper }))
        };
        let mut found: Vec<(NodeId, Bond)> = self.area.jumpers.iter().filter_map(here).collect();
        found.dedup_by_key(|(_, bond)| bond.block);
        found
    }

    /// A node of a block that lies in this zone; of a panel its bus, of an inverter its output.
    fn node_of(&self, block: BlockId) -> Option<NodeId> {
        let inside = |node: &NodeId| self.area.zone.nodes.binary_search(node).is_ok();
        let network = self.area.network;
        let source = self.area.sources().find(|source| source.block == block).map(|source| source.node);
        source.filter(inside).or_else(|| network.nodes_of(block).find(inside))
    }

    fn is_on_a_cord(&self, block: BlockId) -> bool {
        self.area.data::<Generator>(block).is_some_and(|it| it.cord_connected == Some(Fitted::Yes))
    }

    /// Whether a link joins its ends in a case: the lines, or the neutral.
    fn joins(&self, pole: &PoleInBlock, thrown: &BTreeSet<BlockId>, conductor: ConductorKind) -> bool {
        let Some(throw) = pole.pole.throw else { return true };
        if pole.is_relay() {
            return conductor == ConductorKind::Neutral;
        }
        let solid = self
            .area
            .data::<TransferSwitch>(pole.block)
            .is_some_and(|it| it.switched_neutral == SwitchedNeutral::No);
        let position = if thrown.contains(&pole.block) { 2 } else { 1 };
        conductor == ConductorKind::Neutral && solid || throw == position
    }

    /// What hangs together; plugs that are pulled part what they join.
    fn groups(
        &self,
        thrown: &BTreeSet<BlockId>,
        unplugged: &BTreeSet<BlockId>,
        conductor: ConductorKind,
    ) -> Groups {
        let mut groups = Groups::alone(&self.area.zone.nodes);
        let network = self.area.network;
        for link in self.area.links.iter().filter_map(|id| network.link(*id)) {
            let joins = match link.kind {
                LinkKind::Solid => true,
                LinkKind::Run(_) => [link.a, link.b]
                    .iter()
                    .all(|node| network.node(*node).is_none_or(|node| !unplugged.contains(&node.block))),
                LinkKind::Pole(_) => {
                    network.pole_of(link).is_none_or(|pole| self.joins(pole, thrown, conductor))
                }
                LinkKind::Converter => false,
            };
            if joins {
                groups.join(link.a, link.b);
            }
        }
        groups
    }

    fn judge(&self, thrown: &BTreeSet<BlockId>, live: &BTreeSet<BlockId>, found: &mut Neutrals) {
        let idle = self.externals.iter().filter(|block| !live.contains(block) && self.is_on_a_cord(**block));
        let unplugged: BTreeSet<BlockId> = idle.copied().collect();
        let lines = self.groups(thrown, &unplugged, ConductorKind::Line);
        let neutral = self.groups(thrown, &unplugged, ConductorKind::Neutral);
        let inverting: BTreeSet<BlockId> =
            self.inverters.iter().copied().filter(|it| !self.passes(*it, live, &lines)).collect();
        let mut bonds: BTreeMap<NodeId, Vec<Bond>> = BTreeMap::new();
        let mut add = |node: NodeId, bond: Bond| bonds.entry(neutral.of(node)).or_default().push(bond);
        for (node, bond) in &self.fixed {
            add(*node, *bond);
        }
        for block in self.externals.iter().filter(|block| !unplugged.contains(block)) {
            let bonded =
                self.area.data::<Generator>(*block).is_some_and(|it| it.frame_bond == FrameBond::Bonded);
            if let (true, Some(node)) = (bonded, self.node_of(*block)) {
                add(node, Bond { kind: BondKind::Frame, block: *block });
            }
        }
        for block in &inverting {
            let relay = self
                .area
                .data::<Inverter>(*block)
                .is_some_and(|it| it.neutral_bonding == NeutralBonding::WhileInverting);
            if let (true, Some(node)) = (relay, self.node_of(*block)) {
                add(node, Bond { kind: BondKind::Relay, block: *block });
            }
        }
        for point in self.supplied(live, &neutral) {
            let mut bonds = bonds.get(&point).cloned().unwrap_or_default();
            bonds.sort_unstable();
            let case = NeutralCase {
                live: live.iter().copied().collect(),
                inverting: inverting.iter().copied().collect(),
                thrown: thrown.iter().copied().collect(),
                bonds,
            };
            found.note(case);
        }
    }

    /// Whether one of the inputs of an inverter is live.
    fn passes(&self, inverter: BlockId, live: &BTreeSet<BlockId>, lines: &Groups) -> bool {
        let sinks = self.area.zone.sinks.iter().filter_map(|index| self.area.network.sinks().get(*index));
        let mut inputs =
            sinks.filter(|sink| sink.block == inverter && sink.kind == SinkKind::InverterAcInput);
        inputs.any(|input| {
            let at = lines.of(input.node);
            self.area.sources().any(|source| live.contains(&source.block) && lines.of(source.node) == at)
        })
    }

    /// The neutrals that have both loads and a supply.
    fn supplied(&self, live: &BTreeSet<BlockId>, neutral: &Groups) -> BTreeSet<NodeId> {
        let fed: BTreeSet<NodeId> = self
            .area
            .sources()
            .filter(|it| it.kind == SourceKind::InverterOutput || live.contains(&it.block))
            .map(|it| neutral.of(it.node))
            .collect();
        let sinks = self.area.zone.sinks.iter().filter_map(|index| self.area.network.sinks().get(*index));
        let loads = sinks.filter(|sink| sink.kind == SinkKind::AcLoads).map(|sink| neutral.of(sink.node));
        loads.filter(|point| fed.contains(point)).collect()
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum ConductorKind {
    Line,
    Neutral,
}

impl Neutrals {
    fn note(&mut self, case: NeutralCase) {
        self.cases += 1;
        if case.bonds.is_empty() && self.unbonded.is_none() {
            self.unbonded = Some(case);
        } else if self.most.as_ref().is_none_or(|most| case.bonds.len() > most.bonds.len()) {
            self.most = Some(case);
        }
    }
}
