//! Batteries: one equivalent circuit for every chemistry, its figures per cell from the tables of the `codes` crate.
//!
//! State is the charge `q` in Ah. Stored energy `E(q) = N ∫ OCV dq` is a function of the state alone, so the books close
//! whatever way was taken.

mod bank;
mod cell;
mod curve;
mod hours;
mod limits;
mod step;
#[cfg(test)]
mod tests;
mod wear;

pub use bank::{Bank, Room};
pub use cell::Cell;
pub use limits::{ChargeLimit, DischargeLimit};
pub use wear::{Cycle, CycleLaw, Wear, cycles};

pub(crate) use hours::BatteryHour;
pub(crate) use limits::{MostCharge, MostDischarge};
pub(crate) use step::{Charged, Discharged, Resting, Store};
