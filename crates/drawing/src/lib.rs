//! The drawing of a project: symbols, places, runs and words as one display list, which the screen and every
//! file format read.
//!
//! No colors here, only pen classes (the SVG writer alone has a palette); no electrical computing and no
//! judging: inks of runs and marks of findings come in as plain data.

pub mod display_list;
pub mod geometry;
mod label;
pub mod metrics;
pub mod pen;
pub mod placement;
pub mod points;
pub mod route;
pub mod sheet;
pub mod sheets;
pub mod svg;
pub mod symbols;
pub mod tidy;
