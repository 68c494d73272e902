//! AC sources: which of them can be joined by the positions of switches and relays, and how often the neutral is
//! bonded to equipment ground in every operating case.
//!
//! Not only the drawn positions are looked at but every one that can be reached: breakers without an interlock close
//! in any combination, the throws of an interlocked switch and the relays of one inverter exclude each other.

mod joined;
mod neutral;

use crate::conditions::Conditions;
use crate::network::{LinkId, LinkKind, Network, NodeId, SourceInBlock};
use crate::zones::{Zone, ZoneId, ZoneKind, Zones};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::inside::SourceKind;
use std::collections::BTreeMap;

pub use joined::{Joined, JoinedBy};
pub use neutral::{Bond, BondKind, NeutralCase, Neutrals};

/// What was found in one AC zone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AcSystemStates {
    /// Pairs of sources that some reachable position joins although they are not made to run together.
    pub joined: Vec<Joined>,
    /// How often its neutral is bonded.
    pub neutrals: Neutrals,
}

/// What was found in every AC zone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AcSources {
    zones: BTreeMap<ZoneId, AcSystemStates>,
}

impl AcSources {
    /// Every AC zone, in order.
    pub fn all(&self) -> impl Iterator<Item = (ZoneId, &AcSystemStates)> {
        self.zones.iter().map(|(zone, found)| (*zone, found))
    }
    /// One AC zone.
    pub fn of(&self, zone: ZoneId) -> Option<&AcSystemStates> {
        self.zones.get(&zone)
    }
    /// Every pair of sources that can be joined.
    pub fn joined(&self) -> impl Iterator<Item = &Joined> {
        self.zones.values().flat_map(|found| &found.joined)
    }
}

/// Goes through the states of every AC zone.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones) -> AcSources {
    let mut found = AcSources::default();
    let mut links: BTreeMap<ZoneId, Vec<LinkId>> = BTreeMap::new();
    for (id, link) in network.links().filter(|(_, link)| link.kind != LinkKind::Converter) {
        if zones.kind_of(link.a) == Some(ZoneKind::Ac)
            && let Some(zone) = zones.of(link.a)
        {
            links.entry(zone).or_default().push(id);
        }
    }
    let jumpers = neutral::jumpers(&on.project.circuit);
    for (id, zone) in zones.all().filter(|(_, zone)| zone.kind == ZoneKind::Ac) {
        let links = links.get(&id).map_or(&[][..], Vec::as_slice);
        let area = Area { on, network, zone, links, jumpers: &jumpers };
        let states = AcSystemStates { joined: joined::find(&area), neutrals: neutral::find(&area) };
        found.zones.insert(id, states);
    }
    found
}

/// One AC zone with everything that is asked of it.
struct Area<'a> {
    on: &'a Conditions<'a>,
    network: &'a Network,
    zone: &'a Zone,
    /// The links that lie in it, converters left out.
    links: &'a [LinkId],
    /// The jumpers of neutrals on the sheet, each with the block to which it is wired.
    jumpers: &'a [(BlockId, BlockId)],
}

impl Area<'_> {
    /// The AC sources of the zone.
    fn sources(&self) -> impl Iterator<Item = &SourceInBlock> {
        let sources = self.zone.sources.iter().filter_map(|index| self.network.sources().get(*index));
        sources.filter(|source| {
            matches!(source.kind, SourceKind::Utility | SourceKind::Generator | SourceKind::InverterOutput)
        })
    }
    /// The data of a block, when it is of that kind.
    fn data<T: lineside_core::kinds::OfKind>(&self, block: BlockId) -> Option<&T> {
        self.on.project.circuit.block(block)?.equipment.as_kind::<T>()
    }
}

/// Nodes that hang together.
struct Groups {
    parent: BTreeMap<NodeId, NodeId>,
}

impl Groups {
    fn alone(nodes: &[NodeId]) -> Self {
        Self { parent: nodes.iter().map(|node| (*node, *node)).collect() }
    }
    fn of(&self, node: NodeId) -> NodeId {
        let mut here = node;
        while let Some(up) = self.parent.get(&here).copied()
            && up != here
        {
            here = up;
        }
        here
    }
    fn join(&mut self, a: NodeId, b: NodeId) {
        let (a, b) = (self.of(a), self.of(b));
        self.parent.insert(a.max(b), a.min(b));
    }
}
