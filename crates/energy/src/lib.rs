//! Lineside's energy year: sun, weather, arrays, batteries, supplies and loads, hour by hour.
//!
//! Pure functions: the same project, seed and year give the same bytes on any machine and any number of threads. No
//! disk, no clock; randomness only from a seed of the input. What the sheet cannot support is said, never guessed.

pub mod array;
mod calendar;
mod converter;
mod csv_table;
pub mod plane;
mod random;
pub mod site;
pub mod sun;
mod tables;
pub mod weather;

pub use calendar::{ByMonth, DAYS, HOURS};
pub use converter::Converter;
pub use tables::{Defaults, FuelUse, Number, Tables};
