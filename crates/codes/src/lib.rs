//! Lineside's tables of the standards, and typed look-ups over them.
//!
//! Every number of a standard is a row of a file in `assets/codes`, with its clause and how sure it is; the
//! files are built in, read and checked once by [`Codes::load`], and passed on. There is no global. What to
//! make of the numbers is the `study` crate's and the `rules` crate's.

pub mod ampacity;
mod by_size;
mod cell_model;
mod cited;
mod codes;
mod declare_keys;
mod edition;
mod factor_key;
mod factors;
mod linear_resistance;
pub mod overcurrent;
pub mod resistance;
mod table_error;
mod table_file;
pub mod tables;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod worked_systems;

pub use by_size::compare_sizes;
pub use cell_model::CellModel;
pub use cited::{Cited, Confidence};
pub use codes::{Codes, CommonTables, IecTables, NecTables};
pub use edition::NecEdition;
pub use factor_key::FactorKey;
pub use factors::{Factor, Factors};
pub use linear_resistance::{LinearResistance, ReferenceLength};
pub use table_error::TableError;
