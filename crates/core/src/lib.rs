//! Lineside's data: quantities, equipment, circuit, project, edits and the project file.
//!
//! Plain data and its changes. No disk, no clock, no randomness, no colors, no electrical verdicts: reading
//! bytes is the program's, computing is the `study` crate's, judging is the `rules` crate's.

pub mod circuit;
pub mod edit;
pub mod file;
pub mod kinds;
pub mod math;
pub mod project;
pub mod stock;
pub mod table;
#[cfg(any(test, feature = "testing"))]
pub mod testing;
pub mod units;
pub mod working;
