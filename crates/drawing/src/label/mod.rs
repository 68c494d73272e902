//! Words on the sheet: what they say and where they stand.
//!
//! What they say comes from nameplates and conductors (`words`, `flags`); where they stand is the first
//! free one of many places near their subject (`spots`, `room`, `arrange`). Every text knows its box, so overlaps
//! can be measured. Ratings and flags that find no place are left out, and the drawing tells of them.

mod arrange;
mod figures;
mod flags;
pub(crate) mod moved;
mod ratings;
mod room;
mod spots;
mod texts;
mod words;

pub(crate) use arrange::{Arranger, BlockSpots, FlagSpot, MovedSpots, Path, Spot};
pub(crate) use figures::Figures;
pub(crate) use flags::{Flag, FlagExtent};
pub(crate) use room::{Plane, Room};
pub(crate) use texts::{flag_texts, texts};
pub(crate) use words::{BlockExtent, BlockWords};

use lineside_core::circuit::TerminalName;
use lineside_core::kinds::Kind;

/// Height of tags, mm.
pub(crate) const TAG_HEIGHT: f32 = 2.5;
/// Height of ratings, flags and names of terminals, mm; the least that may be printed.
pub(crate) const SMALL_HEIGHT: f32 = 1.8;
/// From one small line to the next, mm.
pub(crate) const SMALL_PITCH: f32 = 2.9;

/// Whether terminals of a kind of block have names on the sheet.
pub(crate) const fn names_terminals(kind: Kind) -> bool {
    matches!(kind, Kind::ChargeController | Kind::DcConverter)
}

/// The name of a terminal as it is printed beside it, where the symbol alone does not tell its sides apart.
pub(crate) fn terminal_name(kind: Kind, terminal: TerminalName) -> Option<&'static str> {
    match (kind, terminal.stem()) {
        (Kind::ChargeController, "pv") => Some("PV"),
        (Kind::ChargeController, "battery") => Some("BAT"),
        (Kind::DcConverter, "in") => Some("IN"),
        (Kind::DcConverter, "out") => Some("OUT"),
        _ => None,
    }
}
