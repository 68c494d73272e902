//! Flow: the steady state of an operating case.

mod alternating;
mod cells;
mod direct;
mod elimination;
mod losses;
mod machines;
mod modules;
mod newton;
mod phasor;
mod positions;
mod settle;
mod spread;
mod state;
mod topology;
mod tracking;
mod trips;
mod wiring;

pub use state::{ChargeStage, Load, OperatingState};
pub use trips::Trip;
