//! Lineside's energy year: sun, weather, arrays, batteries, supplies and loads, hour by hour.
//!
//! Pure functions: the same project, seed and year give the same bytes on any machine and any number of threads. No
//! disk, no clock; randomness only from a seed of the input. What the sheet cannot support is said, never guessed.

mod alternatives;
pub mod array;
pub mod battery;
mod calendar;
mod controller;
mod converter;
mod csv_table;
mod dispatch;
#[cfg(test)]
mod example_file;
mod from_project;
mod generator;
mod hot_derating;
pub mod hours;
pub mod import;
mod inverter;
mod lacks;
pub mod loads;
pub mod money;
pub mod plane;
mod random;
pub mod site;
mod stand_in;
pub mod sun;
mod system;
mod tables;
mod utility;
pub mod weather;
mod year;

pub use calendar::{ByMonth, DAYS, HOURS, Moment, month_of_hours};
pub use controller::{Control, Controller, PvInverter};
pub use converter::Converter;
pub use from_project::{FromProject, Statement, StatementKind, Wishes, from_project};
pub use generator::{EngineDerating, Generator, StartLevel, Starter, WithSun};
pub use hot_derating::HotDerating;
pub use inverter::{Charger, Inverter, Search};
pub use lacks::brief_lacks;
pub use stand_in::{GenericClimate, OtherLatitude, climates_at};
pub use system::{System, SystemFault};
pub use tables::{Defaults, FuelUse, Number, Tables};
pub use utility::{Connection, RandomOutages, SunToUtility, SupplyOrder, Utility, WEEK_HOURS};
pub use year::{
    Better, Closure, Continue, Detail, Hour, Hourly, ManyYears, ModelDoubt, Outcome, Prepared, Progress,
    Reserve, Run, Spread, Totals, Unheard, Year, quick_p90,
};
