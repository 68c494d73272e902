//! Places: their outlines and names, and the flags where field runs pass them.

use super::build::Pieces;
use crate::display_list::{
    Across, Along, Behind, Ends, Group, HitArea, HitShape, Item, Layer, Shape, Subject, Text, Turned, Weight,
};
use crate::geometry::{Area, GridArea, Point};
use crate::pen::{Ink, Pen};
use crate::points::Points;
use lineside_core::circuit::{GridPoint, Place, PlaceId, PlaceKind};

/// Side of the flag where a field run passes an outline, mm.
const FLAG: f32 = 1.6;
/// Height of the names of locations, mm.
const LOCATION_NAME: f32 = 2.5;
/// Height of the names of enclosures, mm.
const ENCLOSURE_NAME: f32 = 2.0;

/// The outline of a place.
pub(super) fn outline(place: &Place, area: Area) -> Group {
    let subject = Subject::Place(place.id);
    let points = area.corners();
    let pen = match place.kind {
        PlaceKind::Location => Pen::Place,
        PlaceKind::Enclosure => Pen::Enclosure,
    };
    let item = Item { subject, pen, shape: Shape::Polyline { points: points.into(), ends: Ends::Joined } };
    Group::new(subject, Layer::Places, vec![item])
}

/// The name of a place, in the upper left corner of its outline; where a run passes there, farther along its
/// upper or its lower edge, inside before outside.
pub(super) fn name(place: &Place, area: Area, is_free: impl Fn(Area) -> bool) -> Text {
    let (height, weight, content) = match place.kind {
        PlaceKind::Location => (LOCATION_NAME, Weight::Strong, place.name.to_uppercase()),
        PlaceKind::Enclosure => (ENCLOSURE_NAME, Weight::Regular, place.name.clone()),
    };
    let at = |anchor: Point| Text {
        anchor,
        along: Along::Start,
        across: Across::Top,
        height,
        weight,
        turned: Turned::Upright,
        behind: Behind::Clear,
        content: content.clone(),
    };
    let corner = at(Point::new(area.left + NAME_INSET, area.top + 1.6));
    let length = corner.bounds().width();
    let start = area.left + NAME_INSET;
    let inside = (start, (area.right - NAME_INSET - length).max(start));
    let outside = (start - length, area.right);
    let lines = [
        (area.top + 1.6, inside),
        (area.bottom - 1.6 - height, inside),
        (area.top + 3.2 + height, inside),
        (area.top - 1.6 - height, outside),
        (area.bottom + 1.6, outside),
    ];
    let places = lines.into_iter().flat_map(|(top, (first, last))| {
        let slides = (0..MOST_SLIDES).map(move |slide| first + f32::from(slide) * SLIDE);
        slides.take_while(move |left| *left <= last).map(move |left| Point::new(left, top))
    });
    places.map(at).find(|text| is_free(text.bounds())).unwrap_or(corner)
}

/// Between the name of a place and the side of its outline, mm.
const NAME_INSET: f32 = 1.8;
/// How far a name is slid along an edge in one step, mm, and how often at most.
const SLIDE: f32 = 2.5;
const MOST_SLIDES: u8 = 100;

/// The name as it is drawn.
pub(super) fn name_group(place: &Place, text: Text) -> Group {
    let subject = Subject::Place(place.id);
    let item = Item { subject, pen: Pen::SoftText, shape: Shape::Text(text) };
    Group::new(subject, Layer::Words, vec![item])
}

/// Where a field run passes the outlines of the two locations that it joins; a run within one has none.
pub(super) fn passages(
    [from, to]: [Option<PlaceId>; 2],
    frame: impl Fn(PlaceId) -> Option<GridArea>,
    points: &[GridPoint],
) -> Vec<Point> {
    let mut found = Vec::new();
    if from == to {
        return found;
    }
    for GridArea { min, max } in [from, to].into_iter().flatten().filter_map(frame) {
        for pair in points.windows(2) {
            let [a, b] = pair else { continue };
            let (low, high) =
                (GridPoint::new(a.x.min(b.x), a.y.min(b.y)), GridPoint::new(a.x.max(b.x), a.y.max(b.y)));
            if a.y == b.y && (min.y..=max.y).contains(&a.y) {
                let edges = [min.x, max.x].into_iter().filter(|x| low.x < *x && *x < high.x);
                found.extend(edges.map(|x| Point::on_grid(GridPoint::new(x, a.y))));
            } else if a.x == b.x && (min.x..=max.x).contains(&a.x) {
                let edges = [min.y, max.y].into_iter().filter(|y| low.y < *y && *y < high.y);
                found.extend(edges.map(|y| Point::on_grid(GridPoint::new(a.x, y))));
            }
        }
    }
    found
}

/// The room of a flag at a passage.
pub(super) fn flag_area(at: Point) -> Area {
    Area::around(at, FLAG, FLAG)
}

/// The flag itself: a small open square.
pub(super) fn flag(at: Point, ink: Ink, subject: Subject, pieces: &mut Pieces) {
    let area = flag_area(at);
    let points = area.corners();
    pieces.push(Item { subject, pen: Pen::Paper, shape: Shape::Polygon { points: points.into() } });
    pieces.push(Item {
        subject,
        pen: Pen::Flag(ink),
        shape: Shape::Polyline { points: points.into(), ends: Ends::Joined },
    });
}

/// The outline of a place as the pointer meets it; its inside is free ground.
pub(super) fn hit(place: PlaceId, area: Area) -> HitArea {
    let points: Points = area.corners().into_iter().chain([Point::new(area.left, area.top)]).collect();
    HitArea { subject: Subject::Place(place), shape: HitShape::Line { points, reach: OUTLINE_REACH } }
}

/// How far from an outline the pointer still meets it, mm.
const OUTLINE_REACH: f32 = 1.0;
