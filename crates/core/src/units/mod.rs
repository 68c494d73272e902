//! Physical quantities as types: what a volt is, and which products of quantities mean something.
//!
//! Parsing and printing are in [`text`], conductor sizes in [`ConductorSize`]. Tables of a standard are
//! not here; they live in the `codes` crate.

pub mod arithmetic;
mod conductor_size;
mod quantity;
pub mod text;
mod unit;
mod writing;

pub use conductor_size::{ConductorSize, SizeFault};
pub use quantity::*;
pub use text::UnitSystem;
pub use unit::{Quantity, Unit};
