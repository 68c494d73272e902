//! Arrays: from light on the plane to power at the end of their conductors.
//!
//! What a controller makes of it is in `controller`.

mod cell_temperature;
mod diode_fit;
mod module;
mod single_diode;
mod wiring;
mod year;

pub use cell_temperature::{Cooling, cell_temperature};
pub use diode_fit::{DiodeNameplate, fit};
pub use module::{Module, ModuleModel};
pub use single_diode::{DiodePoint, NoFit, SingleDiode};
pub use wiring::loop_resistance;
pub use year::{Array, Setting};

pub(crate) use year::{ArrayHour, FixedVoltage, FixedVoltageHour, Laid};
