//! What the disconnect rules share: the devices that open a circuit on the ways away from a point, and whether
//! they can be reached or locked.

use crate::circumstances::Circumstances;
use crate::places::Told;
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::units::Meters;
use lineside_study::network::PoleInBlock;
use lineside_study::ways;
use lineside_study::{Missing, NodeId};
use std::collections::BTreeMap;

/// A device that opens the circuit, on one of the ways away from a point.
#[derive(Clone, Copy)]
pub(crate) struct Means<'a> {
    /// The pole.
    pub pole: &'a PoleInBlock,
    /// The block to which it belongs.
    pub block: &'a Block,
    /// The point on its far side.
    pub beyond: NodeId,
    /// Length of conductor on the way to it.
    pub length: Meters,
}

/// The devices on all ways away from a point, nearest first, and the points reached without one.
pub(crate) struct Around<'a> {
    /// The devices.
    pub means: Vec<Means<'a>>,
    /// Sources and sinks that no device parts from the point.
    pub open: Vec<NodeId>,
    /// Blocks that were passed on the way.
    pub passed: Vec<BlockId>,
}

impl Around<'_> {
    /// Whether the point is wired to anything at all.
    pub(crate) fn is_wired(&self) -> bool {
        !self.means.is_empty() || !self.open.is_empty()
    }
}

/// Walks away from a point to the first devices that open the circuit.
pub(crate) fn around<'a>(
    on: &Circumstances<'a>,
    start: NodeId,
    current: CurrentKind,
    how: Disconnects,
) -> Around<'a> {
    let network = &on.studies.network;
    let found = ways::from(on.circuit(), network, start, |pole| ways::opens(pole, current, how));
    let means = found
        .stops
        .iter()
        .filter_map(|stop| {
            let pole = network.poles().get(stop.pole)?;
            Some(Means { pole, block: on.block(pole.block)?, beyond: stop.beyond, length: stop.length })
        })
        .collect();
    let mut points: BTreeMap<BlockId, usize> = BTreeMap::new();
    for node in found.passed.iter().filter_map(|node| network.node(*node)) {
        *points.entry(node.block).or_default() += 1;
    }
    // A block of which only one point was reached was not passed.
    let passed = points.into_iter().filter(|(_, count)| *count > 1).map(|(block, _)| block).collect();
    Around { means, open: found.open, passed }
}

/// Whether a device can be locked open.
pub(crate) fn lockable(block: &Block) -> Told {
    if let Some(it) = block.equipment.as_kind::<Generator>() {
        return Told::from(it.breaker_lockable);
    }
    let given = match block.equipment.get("lockable") {
        Some(Value::Choice(key)) => Fitted::ALL.iter().copied().find(|it| it.key() == key),
        _ => None,
    };
    Told::from(given)
}

/// How a device stands to the block that it serves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Standing {
    /// In it, or in sight and near enough.
    Near,
    /// Elsewhere, but it can be locked open.
    Locked,
    /// In sight, but too far, by a distance that is given.
    Far(Meters),
    /// In another location, and nothing says that it can be locked open.
    Elsewhere,
    /// The project does not tell.
    Untold(Missing),
}

/// How near a device must be to a block in whose location it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Nearness {
    /// One location is one room: all in it is near.
    SameLocation,
    /// Within the distance of the code. The straight distance where it is given; else the conductor between them is
    /// an upper bound.
    Measured(Option<Meters>),
}

/// Whether a device serves a block where it stands.
pub(crate) fn standing(
    on: &Circumstances<'_>,
    block: BlockId,
    means: &Means<'_>,
    near: Nearness,
) -> Standing {
    if means.block.id == block {
        return Standing::Near;
    }
    let limit: Meters = on.limit(FactorKey::InSightDistance);
    let locked = lockable(means.block) == Told::Yes;
    match (on.in_sight(block, means.block.id), near) {
        (Told::Yes, Nearness::Measured(Some(distance))) if distance > limit && !locked => {
            Standing::Far(distance)
        }
        (Told::Yes, Nearness::Measured(None)) if means.length > limit && !locked => {
            Standing::Untold(Missing::block(block, "To its disconnect"))
        }
        (Told::Yes, _) => Standing::Near,
        (Told::No | Told::Untold, _) if locked => Standing::Locked,
        (Told::No, _) => Standing::Elsewhere,
        (Told::Untold, _) => {
            let unplaced = [block, means.block.id].into_iter().find(|id| on.location(*id).is_none());
            Standing::Untold(Missing::block(unplaced.unwrap_or(block), "Place"))
        }
    }
}

/// The name of the place of a block, in words.
pub(crate) fn place_words(on: &Circumstances<'_>, block: BlockId) -> String {
    on.location(block).map_or_else(String::new, |place| format!(" in {}", place.name))
}
