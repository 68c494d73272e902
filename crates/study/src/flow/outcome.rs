//! Whether a case is a steady state, and if not, why, in plain words.

use super::trips::Trip;
use lineside_core::circuit::{BlockId, Circuit};
use lineside_core::units::text;
use lineside_core::units::{UnitSystem, Volts, Watts};

/// Whether what was asked for is a state in which the circuit stays.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It is. Loads may be without power all the same, behind open devices or on an empty bank.
    Solved,
    /// It is not, and why. The figures are those of the state without the parts that are named.
    NotSolved(Vec<Reason>),
}

/// Why a case is no steady state.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// A source is asked for more than it gives, and switches off.
    Overload {
        /// The source.
        block: BlockId,
        /// What it was asked for.
        asked: Watts,
        /// What it gives at most.
        limit: Watts,
    },
    /// The voltage at a load breaks down: what feeds it cannot carry it.
    Collapse {
        /// The load.
        block: BlockId,
        /// To what its voltage fell before it was let go.
        volts: Volts,
    },
    /// Sources that must not meet stand on one circuit.
    Joined {
        /// The sources.
        sources: Vec<BlockId>,
    },
    /// Direct and alternating current stand on one circuit.
    Mixed {
        /// Blocks on it.
        blocks: Vec<BlockId>,
    },
    /// Something would feed a circuit that has no battery to hold its voltage.
    NothingHolds {
        /// What would feed it.
        feeder: BlockId,
    },
    /// The powers that converters pass to each other do not come to rest.
    NotAtRest,
}

impl Reason {
    /// The reason that a trip is; `None` when switching off is what the nameplate promises.
    pub(super) fn of_trip(block: BlockId, trip: Trip) -> Option<Self> {
        match trip {
            Trip::Overload { asked, limit } => Some(Self::Overload { block, asked, limit }),
            Trip::Collapse { volts } => Some(Self::Collapse { block, volts }),
            Trip::LowVoltage { .. } | Trip::HighVoltage { .. } => None,
        }
    }

    /// The reason as a sentence.
    pub fn words(&self, circuit: &Circuit, units: UnitSystem) -> String {
        let title = |block: &BlockId| {
            circuit.block(*block).map_or_else(|| "a block".to_owned(), lineside_core::circuit::Block::title)
        };
        let list = |blocks: &[BlockId]| blocks.iter().map(title).collect::<Vec<_>>().join(", ");
        let watts = |watts: Watts| text::figure(watts.into(), units);
        match self {
            Self::Overload { block, asked, limit } => format!(
                "{} is asked for {} and gives {} at most, so it switches off",
                title(block),
                watts(*asked),
                watts(*limit)
            ),
            Self::Collapse { block, volts } => format!(
                "the voltage at {} breaks down to {}: what feeds it cannot carry it",
                title(block),
                text::figure((*volts).into(), units)
            ),
            Self::Joined { sources } => {
                format!("sources that must not meet stand on one circuit: {}", list(sources))
            }
            Self::Mixed { blocks } => {
                format!("direct and alternating current stand on one circuit: {}", list(blocks))
            }
            Self::NothingHolds { feeder } => {
                format!(
                    "nothing holds the voltage of the circuit that {} feeds: it has no battery",
                    title(feeder)
                )
            }
            Self::NotAtRest => "the powers that converters pass to each other do not come to rest".to_owned(),
        }
    }
}
