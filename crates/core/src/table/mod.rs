//! Delimited tables that users bring: CSV, and what spreadsheets write, with line and column for whatever is wrong.
//!
//! What the columns mean is for whoever reads the table.

mod cells;
mod fault;
mod number;

pub use cells::{Cells, Headings, Text};
pub use fault::{Faults, ImportFault};
