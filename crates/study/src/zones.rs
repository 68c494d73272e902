//! Zones: all terminals that one voltage joins, that is, the pieces of the network between converters.
//!
//! Open and closed poles alike belong to their zone: what can be closed can be live.

use crate::network::{LinkKind, Network, NodeId};
use lineside_core::circuit::{BlockId, Circuit, Potential};
use lineside_core::kinds::inside::{SinkKind, SourceKind};

/// A zone, by its position in [`Zones::all`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ZoneId(u32);

impl ZoneId {
    pub(crate) const fn index(self) -> usize {
        self.0 as usize
    }
}

/// What a zone is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ZoneKind {
    /// The array side of a controller.
    Pv,
    /// The battery bus.
    Battery,
    /// Alternating current.
    Ac,
    /// Equipment ground.
    Earth,
    /// Nothing tells yet: unwired devices.
    Unknown,
    /// Wired together from circuits that do not belong together.
    Mixed,
}

impl ZoneKind {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Pv => "array side",
            Self::Battery => "battery bus",
            Self::Ac => "AC",
            Self::Earth => "earth",
            Self::Unknown => "not yet connected",
            Self::Mixed => "mixed circuits",
        }
    }
    /// As it stands in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Pv => "pv",
            Self::Battery => "battery",
            Self::Ac => "ac",
            Self::Earth => "earth",
            Self::Unknown => "unknown",
            Self::Mixed => "mixed",
        }
    }
}

/// One zone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zone {
    /// What it is for.
    pub kind: ZoneKind,
    /// Its nodes, in order.
    pub nodes: Vec<NodeId>,
    /// Positions of its sources in [`Network::sources`].
    pub sources: Vec<usize>,
    /// Positions of its sinks in [`Network::sinks`].
    pub sinks: Vec<usize>,
    /// Positions of its poles in [`Network::poles`].
    pub poles: Vec<usize>,
}

impl Zone {
    /// Its name: its first terminal, since a zone has no id of its own.
    pub fn name(&self, network: &Network, circuit: &Circuit) -> String {
        let named = self.nodes.iter().find_map(|id| {
            let node = network.node(*id)?;
            let terminal = node.terminal?;
            Some(format!("{}.{terminal}", circuit.block(node.block)?.tag))
        });
        named.unwrap_or_default()
    }
    /// The blocks that have a point in it, each once, in order.
    pub fn blocks<'a>(&'a self, network: &'a Network) -> Vec<BlockId> {
        let mut blocks: Vec<BlockId> =
            self.nodes.iter().filter_map(|id| network.node(*id)).map(|node| node.block).collect();
        blocks.dedup();
        blocks
    }
}

/// Every zone of a network.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Zones {
    all: Vec<Zone>,
    of_node: Vec<ZoneId>,
}

impl Zones {
    /// Every zone, in the order of its first node.
    pub fn all(&self) -> impl Iterator<Item = (ZoneId, &Zone)> {
        (0..).map(ZoneId).zip(&self.all)
    }
    /// How many there are.
    pub fn count(&self) -> usize {
        self.all.len()
    }
    /// A zone.
    pub fn get(&self, id: ZoneId) -> Option<&Zone> {
        self.all.get(id.index())
    }
    /// The zone of a node.
    pub fn of(&self, node: NodeId) -> Option<ZoneId> {
        self.of_node.get(node.index()).copied()
    }
    /// The kind of the zone of a node.
    pub fn kind_of(&self, node: NodeId) -> Option<ZoneKind> {
        Some(self.get(self.of(node)?)?.kind)
    }
}

/// Cuts the network at its converters.
pub fn study(network: &Network) -> Zones {
    let roots = joined(network);
    let mut zones = Zones { all: Vec::new(), of_node: Vec::with_capacity(network.node_count()) };
    let mut of_root: Vec<Option<ZoneId>> = vec![None; network.node_count()];
    for (node, _) in network.nodes() {
        let root = roots.get(node.index()).copied().unwrap_or(0);
        let known = of_root.get(root).copied().flatten();
        let zone = known.unwrap_or_else(|| {
            let id = ZoneId(u32::try_from(zones.all.len()).unwrap_or(u32::MAX));
            zones.all.push(Zone {
                kind: ZoneKind::Unknown,
                nodes: Vec::new(),
                sources: Vec::new(),
                sinks: Vec::new(),
                poles: Vec::new(),
            });
            if let Some(slot) = of_root.get_mut(root) {
                *slot = Some(id);
            }
            id
        });
        zones.of_node.push(zone);
        if let Some(zone) = zones.all.get_mut(zone.index()) {
            zone.nodes.push(node);
        }
    }
    share_out(network, &mut zones);
    for zone in &mut zones.all {
        zone.kind = kind_of(network, zone);
    }
    zones
}

/// For each node the representative of its zone.
fn joined(network: &Network) -> Vec<usize> {
    let mut parent: Vec<usize> = (0..network.node_count()).collect();
    for (_, link) in network.links() {
        if link.kind != LinkKind::Converter {
            let (a, b) = (find(&mut parent, link.a.index()), find(&mut parent, link.b.index()));
            // The lower one stays, so that the result does not depend on the order of links.
            if let Some(slot) = parent.get_mut(a.max(b)) {
                *slot = a.min(b);
            }
        }
    }
    (0..network.node_count()).map(|node| find(&mut parent, node)).collect()
}

fn find(parent: &mut [usize], node: usize) -> usize {
    let mut here = node;
    while let Some(up) = parent.get(here).copied()
        && up != here
    {
        let above = parent.get(up).copied().unwrap_or(up);
        if let Some(slot) = parent.get_mut(here) {
            *slot = above;
        }
        here = above;
    }
    here
}

fn share_out(network: &Network, zones: &mut Zones) {
    let Zones { all, of_node } = zones;
    let mut zone_at = |node: NodeId| of_node.get(node.index()).map(|zone| zone.index());
    for (i, source) in network.sources().iter().enumerate() {
        if let Some(zone) = zone_at(source.node).and_then(|zone| all.get_mut(zone)) {
            zone.sources.push(i);
        }
    }
    for (i, sink) in network.sinks().iter().enumerate() {
        if let Some(zone) = zone_at(sink.node).and_then(|zone| all.get_mut(zone)) {
            zone.sinks.push(i);
        }
    }
    for (i, pole) in network.poles().iter().enumerate() {
        let node = network.link(pole.link).map(|link| link.a);
        if let Some(zone) = node.and_then(&mut zone_at).and_then(|zone| all.get_mut(zone)) {
            zone.poles.push(i);
        }
    }
}

fn kind_of(network: &Network, zone: &Zone) -> ZoneKind {
    let of_sources =
        zone.sources.iter().filter_map(|i| network.sources().get(*i)).map(|source| match source.kind {
            SourceKind::Strings => ZoneKind::Pv,
            SourceKind::BatteryString(_)
            | SourceKind::ControllerOutput
            | SourceKind::DcConverterOutput
            | SourceKind::Charger => ZoneKind::Battery,
            SourceKind::InverterOutput | SourceKind::Generator | SourceKind::Utility => ZoneKind::Ac,
        });
    let of_sinks = zone.sinks.iter().filter_map(|i| network.sinks().get(*i)).map(|sink| match sink.kind {
        SinkKind::ControllerInput => ZoneKind::Pv,
        SinkKind::InverterInput | SinkKind::DcLoads => ZoneKind::Battery,
        SinkKind::InverterAcInput | SinkKind::AcLoads => ZoneKind::Ac,
    });
    let of_terminals = zone.nodes.iter().filter_map(|node| match network.node(*node)?.potential {
        Potential::Pv => Some(ZoneKind::Pv),
        Potential::Battery => Some(ZoneKind::Battery),
        Potential::Ac => Some(ZoneKind::Ac),
        Potential::Earth => Some(ZoneKind::Earth),
        Potential::Any => None,
    });
    let mut kind = ZoneKind::Unknown;
    for found in of_sources.chain(of_sinks).chain(of_terminals) {
        if kind == ZoneKind::Unknown {
            kind = found;
        } else if kind != found {
            return ZoneKind::Mixed;
        }
    }
    kind
}
