//! Plots: each is built once as a [`Picture`], which the screen paints and files are written from, so that what is exported
//! is what was seen.
//!
//! What a plot shows is its own file in the area that has it; here is only what all plots share. Nothing is computed here.

pub mod axis;
mod card;
pub mod export;
mod paint;
pub mod picture;
pub mod png_file;
pub mod raster;
mod svg_file;
pub mod widget;

pub use axis::{Frame, Span};
pub use card::{Extent, Toggle, plot_card};
pub use picture::{Dash, Fill, KeyMark, Mark, Picture};
pub use widget::{Look, Plot, PlotState, Readout};
