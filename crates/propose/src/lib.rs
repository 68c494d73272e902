//! Lineside's search for whole systems: from a brief and a stock to every system that answers it.
//!
//! Exhaustive, not a walk: every combination of bank, array, controllers, inverters and generator is either broken by
//! a limit that is named, or is no better in anything than one that is kept. What is kept is gone through for a year.
//! No disk, no clock, no randomness but from a seed of the input. Not here: drawing a candidate with its devices and
//! conductors; rules of electrical safety.

mod arrays;
mod buildable;
mod combination;
mod early;
mod factors;
mod front;
mod limits;
mod lines;
mod near;
mod need;
mod parts;
mod proposals;
mod proven;
mod rails;
mod search;
mod settings;
mod shared;
mod sheet_costs;
mod sizing;
#[cfg(test)]
mod sizing_examples;
mod sketch;
mod string_devices;
mod switching;
mod terms;
#[cfg(test)]
mod tests;
mod watch;
pub mod whole;
mod years;

pub use combination::Combination;
pub use factors::Factors;
pub use limits::{Broken, Limit};
pub use lines::PartLine;
pub use near::{Change, NearMiss};
pub use need::Need;
pub use parts::{Part, Shelf};
pub use proposals::{Candidate, Merit, Proposals, Threads, Undrawn, propose};
pub use proven::{Doubt, PROVEN, RANDOM_YEARS};
pub use search::{Cut, Found, Grade, Kept, SearchBounds};
pub use sheet_costs::{SheetCosts, TypicalBank, typical_bank, typical_fuel, years_of_money};
pub use sketch::sketch;
pub use terms::{NoSearch, Terms};
pub use watch::{News, Watch};
