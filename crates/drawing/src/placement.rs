//! Placing: where a block's symbol, its box and its terminals lie on the sheet.
//!
//! A block's `at` is the upper left corner of its unturned box. It is mirrored and turned about the middle of
//! that box; boxes have an even number of steps each way, so it stays on the grid.

use crate::display_list::Shape;
use crate::geometry::{Area, Facing, GridArea, Point, STEP_MM};
use crate::symbols::{self, Outline, Pin, Stroke};
use lineside_core::circuit::{Block, GridPoint, Mirror, Orientation, TerminalName, Turn};
use lineside_core::project::Project;

/// Brings points of an unturned box onto the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    at: GridPoint,
    size: GridPoint,
    orientation: Orientation,
}

impl Placement {
    /// Of a box of that size whose unturned upper left corner lies at `at`.
    pub const fn new(at: GridPoint, size: GridPoint, orientation: Orientation) -> Self {
        Self { at, size, orientation }
    }

    /// A point of the box, in steps, on the sheet's grid.
    pub fn grid(self, point: GridPoint) -> GridPoint {
        let x = match self.orientation.mirror {
            Mirror::None => point.x,
            Mirror::LeftRight => self.size.x - point.x,
        };
        // From the middle, doubled so that it stays whole.
        let (dx, dy) = (2 * x - self.size.x, 2 * point.y - self.size.y);
        let (dx, dy) = match self.orientation.turn {
            Turn::None => (dx, dy),
            Turn::Quarter => (-dy, dx),
            Turn::Half => (-dx, -dy),
            Turn::ThreeQuarters => (dy, -dx),
        };
        let half = |doubled: i32, length: i32| (doubled + length) >> 1;
        self.at.moved(half(dx, self.size.x), half(dy, self.size.y))
    }

    /// A point of the box, in millimeters, on the sheet.
    pub fn point(self, point: Point) -> Point {
        let (width, height) = (self.size.x as f32 * STEP_MM, self.size.y as f32 * STEP_MM);
        let x = match self.orientation.mirror {
            Mirror::None => point.x,
            Mirror::LeftRight => width - point.x,
        };
        let (dx, dy) = (x - width / 2.0, point.y - height / 2.0);
        let (dx, dy) = match self.orientation.turn {
            Turn::None => (dx, dy),
            Turn::Quarter => (-dy, dx),
            Turn::Half => (-dx, -dy),
            Turn::ThreeQuarters => (dy, -dx),
        };
        Point::on_grid(self.at).moved(dx + width / 2.0, dy + height / 2.0)
    }

    /// A direction, in degrees clockwise from +x, as it lies on the sheet.
    fn angle(self, degrees: i16) -> i16 {
        let mirrored = match self.orientation.mirror {
            Mirror::None => degrees,
            Mirror::LeftRight => 180 - degrees,
        };
        let turned = match self.orientation.turn {
            Turn::None => mirrored,
            Turn::Quarter => mirrored + 90,
            Turn::Half => mirrored + 180,
            Turn::ThreeQuarters => mirrored + 270,
        };
        turned.rem_euclid(360)
    }

    /// A shape of the box on the sheet. Letters stay upright.
    pub fn shape(self, mut shape: Shape) -> Shape {
        match &mut shape {
            Shape::Polyline { points, .. } | Shape::Polygon { points } => {
                for point in points.iter_mut() {
                    *point = self.point(*point);
                }
            }
            Shape::Circle { center, .. } | Shape::Disc { center, .. } => *center = self.point(*center),
            Shape::Arc { center, start, sweep, .. } => {
                let first = match self.orientation.mirror {
                    Mirror::None => *start,
                    // Mirroring turns the sense round, so the arc begins where it ended.
                    Mirror::LeftRight => *start + *sweep,
                };
                *center = self.point(*center);
                *start = self.angle(first);
            }
            Shape::Text(text) => text.anchor = self.point(text.anchor),
        }
        shape
    }

    /// A stroke of the symbol on the sheet.
    pub fn stroke(self, stroke: Stroke) -> Shape {
        let Some(anchor) = stroke.carried_by else { return self.shape(stroke.shape) };
        let there = self.point(anchor);
        stroke.shape.moved(there.x - anchor.x, there.y - anchor.y)
    }

    /// A rectangle of the box on the sheet's grid.
    pub fn area(self, area: GridArea) -> GridArea {
        GridArea::of(self.grid(area.min), self.grid(area.max))
    }

    /// A terminal of the symbol on the sheet.
    pub fn pin(self, pin: Pin) -> Pin {
        Pin { name: pin.name, at: self.grid(pin.at), facing: pin.facing.oriented(self.orientation) }
    }
}

/// How a block with that outline is placed.
pub const fn placement(block: &Block, outline: &Outline) -> Placement {
    Placement::new(block.at, outline.size, block.orientation)
}

/// Where a terminal of a block lies on the grid, and the way in which a run leaves it; `None` if the block
/// has no such terminal.
pub fn terminal_at(block: &Block, name: TerminalName) -> Option<(GridPoint, Facing)> {
    let outline = symbols::outline(&block.equipment);
    let pin = *outline.pins.iter().find(|pin| pin.name == name)?;
    let pin = placement(block, &outline).pin(pin);
    Some((pin.at, pin.facing))
}

/// Every terminal of a block on the sheet, in the order of the block's own list.
pub fn terminals(block: &Block) -> Vec<Pin> {
    let outline = symbols::outline(&block.equipment);
    let placement = placement(block, &outline);
    outline.pins.iter().map(|pin| placement.pin(*pin)).collect()
}

/// The box of a block's symbol on the grid, as it lies: for picking, overlap and fitting.
pub fn bounds(block: &Block) -> GridArea {
    let outline = symbols::outline(&block.equipment);
    placement(block, &outline).area(GridArea { min: GridPoint::default(), max: outline.size })
}

/// The rectangle that holds every block, place and hand-placed bend, without words; [`Area::NOTHING`] when the
/// sheet is empty.
pub fn sheet_bounds(project: &Project) -> Area {
    let blocks = project.circuit.blocks().map(|block| bounds(block).on_paper());
    let places = project
        .circuit
        .places()
        .map(|place| GridArea::of(place.at, place.at.moved(place.size.x, place.size.y)).on_paper());
    let bends = project.circuit.runs().flat_map(|run| run.bends.iter()).map(|bend| {
        let point = Point::on_grid(*bend);
        Area { left: point.x, top: point.y, right: point.x, bottom: point.y }
    });
    blocks.chain(places).chain(bends).fold(Area::NOTHING, Area::union)
}
