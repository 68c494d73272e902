//! Lineside's documents: what leaves the program for paper and for other people's programs.
//!
//! The same input gives the same bytes. No disk, no clock: the program writes what is returned here. The drawing itself
//! is the `drawing` crate's display list, so that paper and screen never differ.

pub mod dxf;
pub mod pdf;
pub mod review;

use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::sheet::Drawing;

/// Between the drawing and the edge of a page without paper, mm.
const MARGIN: f32 = 5.0;

/// The rectangle that a page shows.
fn page_area(drawing: &Drawing) -> Area {
    match drawing.paper {
        Some(paper) => paper.size.area(),
        None if drawing.bounds.is_nothing() => Area::around(Point::new(0.0, 0.0), 10.0, 10.0),
        None => drawing.bounds.grown(MARGIN),
    }
}
