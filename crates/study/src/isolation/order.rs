//! The order in which things are thrown to make a block dead, what stays live, and the way back.

use super::cut::Cut;
use super::energy::{Energy, Positions};
use super::{Reached, cut};
use crate::conditions::Conditions;
use crate::network::{LinkKind, Network, NodeId, PoleInBlock};
use crate::zones::Zones;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Kind;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inside::{Disconnects, SinkKind, SourceKind};
use std::collections::BTreeSet;

/// For what a device is thrown; in the order of throwing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Purpose {
    /// Takes load off, so that the others part little current.
    Loads,
    /// Cuts off a utility or a generator.
    AcSources,
    /// Cuts off the output of a converter.
    Converters,
    /// Cuts off strings.
    Pv,
    /// Cuts off a battery.
    Battery,
}

impl Purpose {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Loads => "takes the load off",
            Self::AcSources => "cuts off the AC source",
            Self::Converters => "cuts off the converter",
            Self::Pv => "cuts off the array",
            Self::Battery => "cuts off the battery",
        }
    }
}

/// What a step does for the block itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Without it the block stays live.
    CutsOff,
    /// It spares the other devices the load.
    TakesLoadOff,
}

/// One thing to throw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The block to throw.
    pub block: BlockId,
    /// Positions of its poles in [`Network::poles`]: the ways of a combiner, or all of a handle.
    pub poles: Vec<usize>,
    /// For what.
    pub purpose: Purpose,
    /// Whether the block stays live without it.
    pub role: Role,
    /// Whether it may be opened under load.
    pub how: Disconnects,
    /// Whether it is drawn open and has to be kept so.
    pub already_open: bool,
}

/// Something that stays live, or stays so for a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Live {
    /// Strings up to the device that cuts them off, as long as there is daylight.
    Strings(BlockId),
    /// The terminals of a battery up to the device that cuts it off.
    Battery(BlockId),
    /// The lines of a utility or a generator up to that device.
    AcSource(BlockId),
    /// The capacitors in a converter: wait as long as is marked on it, then measure.
    Capacitors(BlockId),
}

/// How one block is made dead and brought back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SwitchingOrder {
    /// The block.
    pub block: BlockId,
    /// What to throw, in order.
    pub steps: Vec<Step>,
    /// What stays live behind those devices.
    pub stays_live: Vec<Live>,
    /// Sources that nothing cuts off.
    pub remains: Vec<Reached>,
}

impl SwitchingOrder {
    /// Whether the block can be made dead.
    pub fn is_complete(&self) -> bool {
        self.remains.is_empty()
    }
    /// The steps without which the block stays live.
    pub fn cuts(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(|step| step.role == Role::CutsOff)
    }
    /// The poles that are open when all steps are done.
    pub fn open_poles(&self) -> BTreeSet<usize> {
        self.steps.iter().flat_map(|step| step.poles.iter().copied()).collect()
    }
    /// The way back: the same steps, the last one first.
    pub fn way_back(&self) -> impl Iterator<Item = &Step> {
        self.steps.iter().rev()
    }
}

/// Finds how one block is made dead. Works out the whole network upstream of it, so ask when it is wanted.
pub fn of(on: &Conditions<'_>, network: &Network, zones: &Zones, block: BlockId) -> SwitchingOrder {
    let energy = Energy { on, network, zones };
    let found = cut::smallest(&energy, block);
    let dead = Dead::around(&energy, block, &found.poles);
    let mut steps: Vec<Step> = Vec::new();
    for pole in &found.poles {
        dead.put(*pole, dead.purpose(*pole), Role::CutsOff, &mut steps);
    }
    for pole in dead.load_poles(&found) {
        dead.put(pole, Purpose::Loads, Role::TakesLoadOff, &mut steps);
    }
    steps.sort_by_key(|step| (step.purpose, std::cmp::Reverse(step.how), step.block));
    let mut stays_live: BTreeSet<Live> = found.poles.iter().flat_map(|pole| dead.behind(*pole)).collect();
    stays_live.extend(dead.capacitors());
    SwitchingOrder {
        block,
        steps,
        stays_live: stays_live.into_iter().collect(),
        remains: found.remains.into_iter().collect(),
    }
}

/// What counts as load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Counted {
    LoadsAndInverters,
    /// Those, and the inputs of charge controllers.
    Controllers,
}

/// What has been made dead together with the block.
struct Dead<'a> {
    energy: &'a Energy<'a>,
    block: BlockId,
    open: &'a BTreeSet<usize>,
    nodes: BTreeSet<NodeId>,
    positions: Positions,
}

impl<'a> Dead<'a> {
    fn around(energy: &'a Energy<'a>, block: BlockId, open: &'a BTreeSet<usize>) -> Self {
        let upstream = energy.upstream(block);
        let positions = energy.positions(&upstream).into_iter().next().unwrap_or_default();
        let own = energy.network.nodes_of(block);
        let mut dead = Self { energy, block, open, nodes: BTreeSet::new(), positions };
        dead.nodes = dead.hang_together(own.collect(), &BTreeSet::new());
        dead
    }

    /// Everything at the same potential as some nodes, in the drawn position, some further poles open.
    fn hang_together(&self, from: Vec<NodeId>, also_open: &BTreeSet<usize>) -> BTreeSet<NodeId> {
        let network = self.energy.network;
        let mut seen: BTreeSet<NodeId> = from.iter().copied().collect();
        let mut waiting = from;
        while let Some(node) = waiting.pop() {
            for (_, link) in network.links_at(node) {
                let is_open = matches!(link.kind, LinkKind::Pole(pole) if also_open.contains(&pole));
                let (passes, _) = self.energy.crosses(link, &self.positions, self.open);
                let passes = passes && link.kind != LinkKind::Converter && !is_open;
                if passes && seen.insert(link.other(node)) {
                    waiting.push(link.other(node));
                }
            }
        }
        seen
    }

    /// The end of a pole from which energy comes, once it is open: the one that is not dead.
    fn live_end(&self, pole: usize) -> Option<NodeId> {
        let network = self.energy.network;
        let link = network.link(network.poles().get(pole)?.link)?;
        [link.a, link.b].into_iter().find(|node| !self.nodes.contains(node))
    }

    fn live_sources(&self, pole: usize) -> Vec<(BlockId, SourceKind)> {
        let Some(end) = self.live_end(pole) else { return Vec::new() };
        let nodes = self.hang_together(vec![end], &BTreeSet::new());
        let sources = nodes.iter().flat_map(|node| self.energy.network.sources_at(*node));
        sources.map(|it| (it.block, it.kind)).collect()
    }

    /// By the source behind it that is cut off last; a branch that only takes and charges counts as load.
    fn purpose(&self, pole: usize) -> Purpose {
        let sources = self.live_sources(pole);
        let of = |kind| match kind {
            SourceKind::Strings => Purpose::Pv,
            SourceKind::BatteryString(_) => Purpose::Battery,
            SourceKind::Generator | SourceKind::Utility => Purpose::AcSources,
            SourceKind::ControllerOutput | SourceKind::DcConverterOutput | SourceKind::InverterOutput => {
                Purpose::Converters
            }
            SourceKind::Charger => Purpose::Loads,
        };
        sources.iter().map(|(_, kind)| of(*kind)).max().unwrap_or(Purpose::Converters)
    }

    fn behind(&self, pole: usize) -> Vec<Live> {
        let live = |(block, kind)| match kind {
            SourceKind::Strings => Some(Live::Strings(block)),
            SourceKind::BatteryString(_) => Some(Live::Battery(block)),
            SourceKind::Generator | SourceKind::Utility => Some(Live::AcSource(block)),
            SourceKind::ControllerOutput
            | SourceKind::DcConverterOutput
            | SourceKind::InverterOutput
            | SourceKind::Charger => None,
        };
        self.live_sources(pole).into_iter().filter_map(live).collect()
    }

    /// What takes the load off: the first poles on the ways to loads that hang on the dead part. Where something must
    /// be parted that only opens without load, the inputs of controllers count as loads too; where no pole is on the
    /// way to them, or something stays live, the block's own poles part its current.
    fn load_poles(&self, cut: &Cut) -> Vec<usize> {
        let parts_without_load = cut.poles.iter().any(|pole| self.must_not_carry(*pole));
        let counted = if parts_without_load { Counted::Controllers } else { Counted::LoadsAndInverters };
        let mut found = self.first_poles(counted);
        if (found.is_empty() && parts_without_load) || !cut.remains.is_empty() {
            found.extend(self.own_poles());
        }
        found
    }

    /// Whether a pole is drawn closed and may only be opened when no current flows.
    fn must_not_carry(&self, pole: usize) -> bool {
        let drawn = self.energy.network.poles().get(pole).map(|it| it.pole.position);
        drawn == Some(Position::Closed) && !self.energy.opens_under_load(pole)
    }

    fn own_poles(&self) -> Vec<usize> {
        let own: BTreeSet<NodeId> = self.energy.network.nodes_of(self.block).collect();
        let poles = self.energy.poles_of(&own).map(|(index, _)| index);
        poles.filter(|index| self.energy.opens_under_load(*index)).collect()
    }

    fn first_poles(&self, counted: Counted) -> Vec<usize> {
        let network = self.energy.network;
        let opens = |(index, it): &(usize, &PoleInBlock)| {
            it.block != self.block && !self.open.contains(index) && self.energy.opens_under_load(*index)
        };
        let inside: BTreeSet<usize> =
            self.energy.poles_of(&self.nodes).filter(opens).map(|(index, _)| index).collect();
        let own = network.nodes_of(self.block);
        let near = self.hang_together(own.collect(), &inside);
        inside
            .iter()
            .copied()
            .filter(|pole| {
                let link = network.poles().get(*pole).and_then(|it| network.link(it.link));
                let Some(link) = link else { return false };
                let far = [link.a, link.b].into_iter().find(|node| !near.contains(node));
                let touches = [link.a, link.b].into_iter().any(|node| near.contains(&node));
                touches && far.is_some_and(|far| self.has_loads(far, &inside, &near, counted))
            })
            .collect()
    }

    fn has_loads(
        &self,
        from: NodeId,
        inside: &BTreeSet<usize>,
        near: &BTreeSet<NodeId>,
        counted: Counted,
    ) -> bool {
        let mut others = inside.clone();
        others.retain(|pole| {
            let link =
                self.energy.network.poles().get(*pole).and_then(|it| self.energy.network.link(it.link));
            link.is_some_and(|link| near.contains(&link.a) || near.contains(&link.b))
        });
        let nodes = self.hang_together(vec![from], &others);
        let mut sinks = nodes.iter().flat_map(|node| self.energy.network.sinks_at(*node));
        sinks.any(|sink| match sink.kind {
            SinkKind::DcLoads | SinkKind::AcLoads | SinkKind::InverterInput | SinkKind::InverterAcInput => {
                true
            }
            SinkKind::ControllerInput => counted == Counted::Controllers,
        })
    }

    /// The converters of the dead part.
    fn capacitors(&self) -> Vec<Live> {
        let network = self.energy.network;
        let links = self.nodes.iter().flat_map(|node| network.links_at(*node));
        let converters = links.filter(|(_, link)| link.kind == LinkKind::Converter);
        converters.filter_map(|(_, link)| Some(Live::Capacitors(network.node(link.a)?.block))).collect()
    }

    /// Poles on one handle make one step.
    fn put(&self, pole: usize, purpose: Purpose, role: Role, steps: &mut Vec<Step>) {
        let network = self.energy.network;
        let Some(it) = network.poles().get(pole) else { return };
        let block = self.energy.on.project.circuit.block(it.block);
        let ganged = block.is_some_and(|block| block.kind() == Kind::Switch);
        let already_open = it.pole.position == Position::Open;
        let same = steps.iter_mut().find(|step| {
            step.block == it.block
                && (ganged || (step.purpose, step.role, step.already_open) == (purpose, role, already_open))
        });
        if let Some(step) = same {
            step.poles.push(pole);
            step.purpose = step.purpose.max(purpose);
            step.role = step.role.min(role);
            return;
        }
        let (block, how) = (it.block, it.pole.disconnects);
        steps.push(Step { block, poles: vec![pole], purpose, role, how, already_open });
    }
}
