//! Words that can be read from afar: where true-to-scale lettering would be too small on the screen, tags,
//! ratings and flags are set at a readable size wherever there is room for them, the weightiest first.
//!
//! Near enough, words are painted as the drawing has them; this is only for the overview.

use super::drawn::Drawn;
use super::paint::FRAME;
use super::room::Room;
use crate::window::brush::Brush;
use crate::window::fonts;
use egui::{Color32, FontFamily, FontId, Galley, Pos2, Rect, Stroke, Vec2, pos2, vec2};
use lineside_core::circuit::BlockId;
use lineside_core::project::WordsOf;
use lineside_drawing::display_list::{
    Across, Along, Ends, Group, Item, Layer, Shape, Subject, Text, Turned, Weight,
};
use lineside_drawing::geometry::Point;
use lineside_drawing::pen::Pen;
use lineside_drawing::sheet::Drawing;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Points of tags.
const TAG: f32 = 13.0;
/// Points of ratings and flags.
const SMALL: f32 = 12.0;
/// From one line of ratings to the next.
const PITCH: f32 = 13.5;
/// Height of small lettering on paper, mm, with which ratings and flags are set there.
const SMALL_EM: f32 = 1.8 / lineside_drawing::metrics::CAPITAL_HEIGHT;
/// Below this scale, points for a millimeter, there is room for tags only.
const FARTHEST: f32 = 1.7;
/// Below this scale, tags would lie on each other.
const FARTHEST_TAGS: f32 = 0.9;
/// On sheets with more groups of words than this in view there is no room, and no time to look for it.
const MOST: usize = 500;

/// Whether words must be set larger than the drawing has them.
pub fn are_needed(scale: f32) -> bool {
    SMALL_EM * scale < SMALL
}

/// Paints the words of everything in view, and tells where those came to stand that a hand can move.
pub fn labels_ui(
    brush: &Brush<'_>,
    drawn: &Drawn,
    selected: &BTreeSet<BlockId>,
    view: Rect,
) -> Vec<(WordsOf, Rect)> {
    let mut painted = Vec::new();
    let drawing = &drawn.drawing;
    if brush.camera.scaling < FARTHEST_TAGS {
        return painted;
    }
    let words: Vec<&Group> = drawing
        .list
        .groups
        .iter()
        .filter(|group| group.layer == Layer::Words && view.expand(80.0).intersects(brush.area(group.bounds)))
        .collect();
    let mut room = Room::default();
    let boxes = taken(brush, drawing, selected, view, &mut room);
    let blocks = || {
        words.iter().filter_map(|group| {
            let Subject::Block(id) = group.subject else { return None };
            Some((id, *group))
        })
    };
    for (id, group) in blocks() {
        painted.extend(tag(brush, group, &boxes, &mut room).map(|rect| (WordsOf::Tag(id), rect)));
    }
    for group in words.iter().filter(|group| matches!(group.subject, Subject::Place(_))) {
        name(brush, group, drawing, &mut room);
    }
    if brush.camera.scaling < FARTHEST || words.len() > MOST {
        return painted;
    }
    for (id, group) in blocks() {
        painted.extend(ratings(brush, group, &boxes, &mut room).map(|rect| (WordsOf::Ratings(id), rect)));
    }
    for group in &words {
        let Subject::Run(id) = group.subject else { continue };
        painted.extend(flag(brush, group, drawn, &mut room).map(|rect| (WordsOf::Callout(id), rect)));
    }
    painted
}

/// Symbols, runs, outlines of places and marks take their room; gives back the boxes of the symbols.
fn taken(
    brush: &Brush<'_>,
    drawing: &Drawing,
    selected: &BTreeSet<BlockId>,
    view: Rect,
    room: &mut Room,
) -> BTreeMap<BlockId, Rect> {
    let mut boxes = BTreeMap::new();
    for area in &drawing.areas {
        let Subject::Block(id) = area.subject else { continue };
        // What is selected has a frame round it.
        let frame = if selected.contains(&id) { FRAME + 1.5 } else { 0.0 };
        let rect = brush.area(area.bounds()).expand(frame);
        if view.expand(40.0).intersects(rect) {
            boxes.insert(id, rect);
            room.take(rect);
        }
    }
    for group in &drawing.list.groups {
        let rect = brush.area(group.bounds);
        if group.layer == Layer::Words || !view.expand(40.0).intersects(rect) {
            continue;
        }
        match (group.layer, group.subject) {
            (Layer::Symbols, Subject::Block(_)) => {}
            (Layer::Marks, _) => room.take(rect),
            _ => group.items.iter().for_each(|item| lines(brush, item, room)),
        }
    }
    boxes
}

fn lines(brush: &Brush<'_>, item: &Item, room: &mut Room) {
    let Shape::Polyline { points, ends } = &item.shape else { return };
    let closing = if *ends == Ends::Joined { points.first() } else { None };
    for (a, b) in points.iter().zip(points.iter().skip(1).chain(closing)) {
        let rect = Rect::from_two_pos(brush.point(*a), brush.point(*b));
        room.take(rect.expand(1.5));
    }
}

fn texts(group: &Group) -> impl Iterator<Item = (&Item, &Text)> {
    group.items.iter().filter_map(|item| {
        let Shape::Text(text) = &item.shape else { return None };
        (text.turned == Turned::Upright).then_some((item, text))
    })
}

fn galley(brush: &Brush<'_>, words: &str, weight: Weight, size: f32, color: Color32) -> Arc<Galley> {
    let family = match weight {
        Weight::Regular => FontFamily::Proportional,
        Weight::Strong => fonts::strong(),
    };
    // Words grow with the drawing once they are readable at its scale.
    brush.painter.layout_no_wrap(words.to_owned(), FontId::new(size, family), color)
}

/// Where words lie, by the point to which the drawing aligns them.
fn place(brush: &Brush<'_>, text: &Text, galley: &Galley) -> Rect {
    let at = brush.point(text.anchor);
    let size = galley.size();
    let x = match text.along {
        Along::Start => at.x,
        Along::Middle => at.x - size.x / 2.0,
        Along::End => at.x - size.x,
    };
    let y = match text.across {
        Across::Top => at.y - size.y * 0.16,
        Across::Middle => at.y - size.y / 2.0,
        Across::Baseline => at.y - size.y * 0.78,
    };
    Rect::from_min_size(pos2(x, y), size)
}

/// Letters fill less than the height of their line.
fn letters(rect: Rect) -> Rect {
    rect.shrink2(vec2(0.0, rect.height() * 0.12))
}

/// Tags of blocks are always there.
fn tag(brush: &Brush<'_>, group: &Group, boxes: &BTreeMap<BlockId, Rect>, room: &mut Room) -> Option<Rect> {
    let mut painted = None;
    for (item, text) in texts(group).filter(|(_, text)| text.weight == Weight::Strong) {
        let size = (text.em() * brush.camera.scaling).max(TAG);
        let color = brush.tokens.pen(item.pen);
        let galley = galley(brush, &text.content, text.weight, size, color);
        let mut rect = place(brush, text, &galley);
        if let Subject::Block(id) = group.subject
            && let Some(symbol) = boxes.get(&id)
        {
            rect = free_spot(clear_of(rect, *symbol, brush.point(text.anchor)), *symbol, room);
        }
        brush.painter.galley(rect.min, galley, color);
        room.take(letters(rect));
        painted = Some(letters(rect));
    }
    painted
}

/// Names of places stand in the first corner of their frame that has room, or above it.
fn name(brush: &Brush<'_>, group: &Group, drawing: &Drawing, room: &mut Room) {
    let outline =
        drawing.list.groups.iter().find(|it| it.layer == Layer::Places && it.subject == group.subject);
    let (Some(outline), Some((item, text))) = (outline, texts(group).next()) else { return };
    let frame = brush.area(outline.bounds).shrink2(vec2(5.0, 3.0));
    let size = (text.em() * brush.camera.scaling).max(TAG);
    let color = brush.tokens.pen(item.pen);
    let galley = galley(brush, &text.content, text.weight, size, color);
    let extent = galley.size();
    if extent.x > frame.width() {
        return;
    }
    let corners = [
        frame.left_top(),
        pos2(frame.right() - extent.x, frame.top()),
        pos2(frame.left(), frame.bottom() - extent.y),
        pos2(frame.right() - extent.x, frame.bottom() - extent.y),
        pos2(frame.left(), frame.top() - extent.y - 5.0),
    ];
    let free = corners
        .into_iter()
        .map(|corner| Rect::from_min_size(corner, extent))
        .find(|rect| room.is_free(letters(*rect)));
    if let Some(rect) = free {
        brush.painter.galley(rect.min, galley, color);
        room.take(letters(rect));
    }
}

/// Where a tag has no room, it stands at another side of its symbol.
fn free_spot(wanted: Rect, symbol: Rect, room: &Room) -> Rect {
    let size = wanted.size();
    let others = [
        pos2(symbol.left(), symbol.top() - size.y + 1.0),
        pos2(symbol.right() + 3.0, symbol.center().y - size.y / 2.0),
        pos2(symbol.left() - size.x - 3.0, symbol.center().y - size.y / 2.0),
        pos2(symbol.left(), symbol.bottom() - 1.0),
    ];
    std::iter::once(wanted.min)
        .chain(others)
        .map(|corner| Rect::from_min_size(corner, size))
        .find(|rect| room.is_free(letters(*rect)))
        .unwrap_or(wanted)
}

/// Moves words that have grown off the symbol to which they belong.
fn clear_of(rect: Rect, symbol: Rect, anchor: Pos2) -> Rect {
    let inner = letters(rect);
    let by =
        if anchor.y < symbol.center().y && inner.bottom() > symbol.top() - 1.0 && anchor.y <= symbol.top() {
            vec2(0.0, symbol.top() - 1.0 - inner.bottom())
        } else if anchor.y >= symbol.bottom() && inner.top() < symbol.bottom() + 1.0 {
            vec2(0.0, symbol.bottom() + 1.0 - inner.top())
        } else {
            Vec2::ZERO
        };
    rect.translate(by)
}

/// As many lines of ratings as there is room for.
fn ratings(
    brush: &Brush<'_>,
    group: &Group,
    boxes: &BTreeMap<BlockId, Rect>,
    room: &mut Room,
) -> Option<Rect> {
    let lines: Vec<(&Item, &Text)> = ratings_of(group);
    let (Subject::Block(id), Some((_, first))) = (group.subject, lines.first()) else { return None };
    let symbol = boxes.get(&id)?;
    let mut painted: Option<Rect> = None;
    let anchor = brush.point(first.anchor);
    let upwards = anchor.y < symbol.top();
    let mut at: Option<Pos2> = None;
    let order: Vec<&(&Item, &Text)> =
        if upwards { lines.iter().rev().collect() } else { lines.iter().collect() };
    for (item, text) in order {
        let color = brush.tokens.pen(item.pen);
        let galley = galley(brush, &text.content, Weight::Regular, SMALL, color);
        let natural = place(brush, text, &galley);
        let corner = at.unwrap_or_else(|| clear_of(natural, *symbol, brush.point(text.anchor)).min);
        let rect = Rect::from_min_size(pos2(natural.left(), corner.y), galley.size());
        if !room.is_free(letters(rect)) {
            break;
        }
        room.take(letters(rect));
        painted = Some(painted.map_or(rect, |all| all.union(rect)));
        brush.painter.galley(rect.min, galley, color);
        let step = if upwards { -PITCH } else { PITCH };
        at = Some(corner + vec2(0.0, step));
    }
    painted
}

/// The lines of ratings in the words of a block: those that stand under each other. Names of terminals do
/// not.
fn ratings_of(group: &Group) -> Vec<(&Item, &Text)> {
    let small: Vec<(&Item, &Text)> =
        texts(group).filter(|(_, text)| text.weight == Weight::Regular).collect();
    let under = |a: &Text, b: &Text| (a.anchor.x - b.anchor.x).abs() < 0.01 && a.along == b.along;
    let longest =
        small.iter().max_by_key(|(_, text)| (text.content.len(), std::cmp::Reverse(order(text.anchor))));
    let Some((_, chief)) = longest else { return Vec::new() };
    small.iter().filter(|(_, text)| under(text, chief)).copied().collect()
}

#[expect(clippy::cast_possible_truncation, reason = "millimeters on paper")]
fn order(point: Point) -> (i32, i32) {
    ((point.y * 10.0) as i32, (point.x * 10.0) as i32)
}

/// The tag of a run, beside it, and what it is made of if there is room for that too.
fn flag(brush: &Brush<'_>, group: &Group, drawn: &Drawn, room: &mut Room) -> Option<Rect> {
    const GAP: f32 = 5.0;
    let Subject::Run(id) = group.subject else { return None };
    let mut pieces = texts(group);
    let (item, text) = pieces.next()?;
    let (ink, soft) = (brush.tokens.pen(item.pen), brush.tokens.pen(Pen::SoftText));
    let tag = galley(brush, &text.content, Weight::Strong, SMALL, ink);
    let rest = pieces.next().map(|(_, text)| galley(brush, &text.content, Weight::Regular, SMALL, soft));
    let natural = place(brush, text, &tag);
    // The drawing's flag may be longer than the tag alone; of its two ends, the tag stands at the one by the run.
    let bounds = brush.area(group.bounds);
    let route: Vec<Pos2> = drawn.route(id).into_iter().map(|point| brush.point(point)).collect();
    let other = natural.translate(vec2(bounds.right() - natural.right(), 0.0));
    let at_other_end = off(&route, other.center()) < off(&route, natural.center());
    let rect = if at_other_end { other } else { natural };
    let whole = rest.as_ref().map(|rest| {
        let width = tag.size().x + GAP + rest.size().x;
        let left = if at_other_end { rect.right() - width } else { rect.left() };
        Rect::from_min_size(pos2(left, rect.top()), vec2(width, rect.height()))
    });
    let lead = |to: Rect| {
        if let Some(line) = leader(&route, letters(to)) {
            brush.painter.line_segment(line, Stroke::new(1.0, soft));
        }
    };
    if let (Some(whole), Some(rest)) = (whole, rest)
        && room.is_free(letters(whole))
    {
        room.take(letters(whole));
        lead(whole);
        let beside = whole.min + vec2(tag.size().x + GAP, 0.0);
        brush.painter.galley(whole.min, tag, ink);
        brush.painter.galley(beside, rest, soft);
        Some(letters(whole))
    } else if room.is_free(letters(rect)) {
        room.take(letters(rect));
        lead(rect);
        brush.painter.galley(rect.min, tag, ink);
        Some(letters(rect))
    } else {
        None
    }
}

/// Words farther than this from their run need a line that leads to it.
const FAR: f32 = 12.0;

/// The line from words that stand far from their run to the run.
fn leader(route: &[Pos2], words: Rect) -> Option<[Pos2; 2]> {
    let pieces = route.iter().zip(route.iter().skip(1)).map(|(a, b)| Rect::from_two_pos(*a, *b));
    let ends = pieces.map(|piece| {
        let at = words.clamp(piece.center());
        let on = piece.clamp(at);
        [words.clamp(on), on]
    });
    let nearest = ends.min_by(|[a, b], [c, d]| a.distance(*b).total_cmp(&c.distance(*d)))?;
    let [from, to] = nearest;
    (from.distance(to) > FAR).then_some(nearest)
}

/// How far a point is off a way, in points.
fn off(route: &[Pos2], at: Pos2) -> f32 {
    let pieces = route.iter().zip(route.iter().skip(1));
    pieces.map(|(a, b)| Rect::from_two_pos(*a, *b).distance_to_pos(at)).fold(f32::INFINITY, f32::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_far_from_their_run_are_led_to_it() {
        let route = [pos2(0.0, 50.0), pos2(100.0, 50.0), pos2(100.0, 90.0)];
        let words = |top: f32| Rect::from_min_size(pos2(20.0, top), vec2(40.0, 10.0));
        // 50 − 20 = 30 points above the first piece; 5 points are beside it.
        let [from, to] = leader(&route, words(10.0)).unwrap();
        assert_eq!((from.y, to.y), (20.0, 50.0));
        assert!((from.x - to.x).abs() < 1e-6 && (20.0..=60.0).contains(&from.x));
        assert_eq!(leader(&route, words(35.0)), None);
    }

    #[test]
    fn grown_words_move_off_their_symbol() {
        let symbol = Rect::from_min_size(pos2(100.0, 100.0), vec2(40.0, 40.0));
        let above = Rect::from_min_size(pos2(100.0, 86.0), vec2(20.0, 20.0));
        assert!(letters(clear_of(above, symbol, pos2(100.0, 98.0))).bottom() <= 100.0);
        let below = Rect::from_min_size(pos2(100.0, 130.0), vec2(20.0, 20.0));
        assert!(letters(clear_of(below, symbol, pos2(100.0, 146.0))).top() >= 140.0);
    }
}
