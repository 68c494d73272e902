//! Refusals: why an edit cannot be made, as a sentence that can stand at the pointer.

use crate::circuit::{BlockId, PlaceId, RunId};
use crate::kinds::field::ValueFault;
use crate::project::BriefFault;

/// Why an edit was refused. The project is unchanged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The block is not there.
    #[error("there is no such block any more (number {})", .0.number())]
    NoBlock(BlockId),
    /// The run is not there.
    #[error("there is no such run any more (number {})", .0.number())]
    NoRun(RunId),
    /// The place is not there.
    #[error("there is no such place any more (number {})", .0.number())]
    NoPlace(PlaceId),
    /// The id is in use.
    #[error("number {0} is already in use")]
    IdTaken(u32),
    /// The tag is in use.
    #[error("the tag {0} is already in use; a tag names one thing")]
    TagTaken(String),
    /// The tag is empty or has characters that files and messages need for themselves.
    #[error("“{0}” cannot be a tag: use letters, digits, - and _, no more than 24 of them")]
    BadTag(String),
    /// The name of a place is in use.
    #[error("there is already a place called {0}")]
    NameTaken(String),
    /// The name of a place is empty.
    #[error("a place needs a name of 1 to 60 characters")]
    BadName,
    /// The terminal does not exist.
    #[error("{block} has no terminal {terminal}")]
    NoTerminal {
        /// Tag of the block.
        block: String,
        /// Name of the terminal.
        terminal: String,
    },
    /// Runs still land on a block that is to be removed.
    #[error("{runs} still lands on {block}; remove it first")]
    StillWired {
        /// Tag of the block.
        block: String,
        /// Tags of the runs.
        runs: String,
    },
    /// A changed block would lose a terminal on which a run lands.
    #[error("{run} lands on {block}.{terminal}, which would be gone; move the run first")]
    WouldLoseTerminal {
        /// Tag of the block.
        block: String,
        /// Name of the terminal.
        terminal: String,
        /// Tag of the run.
        run: String,
    },
    /// Blocks or places still stand in a place that is to be removed.
    #[error("{what} still stands in {place}; move it out first")]
    StillHouses {
        /// Name of the place.
        place: String,
        /// What stands in it.
        what: String,
    },
    /// A place would stand within itself.
    #[error("{0} cannot stand within itself")]
    PlaceRing(String),
    /// A value outside its limits.
    #[error(transparent)]
    Value(#[from] ValueFault),
    /// A value of the brief that cannot be.
    #[error(transparent)]
    Brief(#[from] BriefFault),
    /// Advice was accepted without a reason.
    #[error("advice is accepted with a reason of 1 to 600 characters, so that others can judge it")]
    NoReason,
    /// Beyond the edge of any sheet.
    #[error("that is beyond the edge of the largest sheet")]
    OffSheet,
    /// Every id has been given out.
    #[error("this project has used up its numbers; start a new project and copy the blocks over")]
    NoIdsLeft,
}
