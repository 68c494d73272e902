//! Why a combination could not be drawn whole.

use lineside_core::units::text::figure;
use lineside_core::units::{Amps, UnitSystem, Volts};

/// Why a combination could not be drawn whole.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Why {
    /// The combination names something that is not on the shelf.
    #[error("the shelf has not all the parts of this combination")]
    NotOnShelf,
    /// Nothing in the stock does a job.
    #[error(
        "no {what} of the stock serves as {tag}: it has to carry {}, stand {} and break {}",
        figure((*current).into(), UnitSystem::Si),
        figure((*voltage).into(), UnitSystem::Si),
        figure((*fault).into(), UnitSystem::Si)
    )]
    NoPart {
        /// What was looked for.
        what: &'static str,
        /// Where it was to stand, by tag.
        tag: String,
        /// What it must carry.
        current: Amps,
        /// What it must stand.
        voltage: Volts,
        /// What it must break or withstand.
        fault: Amps,
    },
    /// Nothing in the stock is of a kind that the circuit needs.
    #[error("the stock has no {0}")]
    NoSuch(&'static str),
    /// No size of conductor does.
    #[error("no conductor of the tables does for {0}")]
    NoConductor(String),
    /// An edit was refused: a mistake of this program.
    #[error("the circuit could not be drawn: {0}")]
    Refused(String),
    /// Only other equipment than that of the combination would do.
    #[error("it takes other equipment: {0}")]
    OtherEquipment(String),
    /// Dangers and corrections are left, by id and title.
    #[error("the rules still object: {}", .0.join("; "))]
    Objections(Vec<String>),
}
