//! A measuring rule for drawn sheets: words over words, symbols, conductors and outlines; runs through blocks,
//! and joints that are not a T. What it finds is told in words, so that a test can print it.

#![expect(dead_code, reason = "each target takes what it needs")]

use lineside_core::circuit::{Circuit, GridPoint, Place, PlaceId, RunEnd, RunId};
use lineside_core::project::Project;
use lineside_drawing::display_list::{Ends, HitShape, Layer, Shape, Subject, Text};
use lineside_drawing::geometry::{Area, GridArea, Point};
use lineside_drawing::pen::Pen;
use lineside_drawing::placement;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Drawing, Look, inks_by_terminals, sheet};
use lineside_drawing::symbols;
use std::collections::{BTreeMap, BTreeSet};

/// Shared edges are no overlap, and sums of lengths differ by a hair, mm.
const HAIR: f32 = 0.02;

/// A project drawn with the inks of its terminals.
pub fn drawn(project: &Project) -> (Drawing, Routes) {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    let routes = Routes::new(&project.circuit);
    let drawing = sheet(project, &Look { inks, bars, ..Look::default() }, &routes);
    (drawing, routes)
}

/// Every overlap of words with words, symbols, conductors, outlines of places and their flags.
pub fn overlaps(project: &Project, drawing: &Drawing) -> Vec<String> {
    let words: Vec<(Subject, &Text, Area)> = drawing
        .list
        .groups
        .iter()
        .filter(|group| group.layer == Layer::Words)
        .flat_map(|group| &group.items)
        .filter_map(|item| {
            let Shape::Text(text) = &item.shape else { return None };
            Some((item.subject, text, text.bounds().grown(-HAIR)))
        })
        .collect();
    let mut found = stroke_overlaps(project, drawing);
    for (place, (subject, text, area)) in words.iter().enumerate() {
        for (other, content, taken) in words.iter().skip(place + 1) {
            if subject != other && area.overlaps(*taken) {
                found.push(format!("{:?} over {:?}", text.content, content.content));
            }
        }
        for block in project.circuit.blocks() {
            if area.overlaps(placement::bounds(block).on_paper()) {
                found.push(format!("{:?} over the symbol of {}", text.content, block.tag));
            }
        }
        for (what, line) in lines(drawing) {
            if area.overlaps(line) {
                found.push(format!("{:?} over a line of {what}", text.content));
            }
        }
    }
    found
}

/// Strokes that count conductors, over words, symbols and lines of others.
fn stroke_overlaps(project: &Project, drawing: &Drawing) -> Vec<String> {
    let items = |pen: fn(Pen) -> bool| {
        let groups = drawing.list.groups.iter().filter(|group| group.layer == Layer::Words);
        groups.flat_map(|group| &group.items).filter(move |item| pen(item.pen))
    };
    let mut found = Vec::new();
    for stroke in items(|pen| matches!(pen, Pen::Flag(_))) {
        let area = stroke.bounds().grown(-HAIR);
        for text in items(|pen| matches!(pen, Pen::Text | Pen::SoftText)) {
            if area.overlaps(text.bounds()) {
                found.push(format!("a stroke of {:?} over {:?}", stroke.subject, text.shape));
            }
        }
        for block in project.circuit.blocks() {
            if area.overlaps(placement::bounds(block).on_paper()) {
                found.push(format!("a stroke of {:?} over {}", stroke.subject, block.tag));
            }
        }
        let own = format!("{:?}", stroke.subject);
        let others = lines(drawing).filter(|(what, line)| *what != own && area.overlaps(*line));
        found.extend(others.map(|(what, _)| format!("a stroke of {own} over a line of {what}")));
    }
    found
}

/// Every overlap of words on a page with words, symbols, flags of other sheets, conductors and outlines; and conductors on
/// flags. `flags` are the off-sheet references.
pub fn page_overlaps(drawing: &Drawing, flags: &[Area]) -> Vec<String> {
    let mut words: Vec<(usize, &Text, Area)> = Vec::new();
    for (number, group) in drawing.list.groups.iter().enumerate() {
        if group.layer != Layer::Words {
            continue;
        }
        for item in &group.items {
            if let Shape::Text(text) = &item.shape {
                words.push((number, text, text.bounds().grown(-HAIR)));
            }
        }
    }
    let symbols: Vec<Area> = drawing
        .areas
        .iter()
        .filter_map(|area| match (area.subject, &area.shape) {
            (Subject::Block(_), HitShape::Box(area)) => Some(*area),
            _ => None,
        })
        .collect();
    let lines: Vec<(String, Area)> = lines(drawing).collect();
    let mut found = Vec::new();
    for (place, (group, text, area)) in words.iter().enumerate() {
        for (other, content, taken) in words.iter().skip(place + 1) {
            if group != other && area.overlaps(*taken) {
                found.push(format!("{:?} over {:?}", text.content, content.content));
            }
        }
        if symbols.iter().any(|symbol| area.overlaps(*symbol)) {
            found.push(format!("{:?} over a symbol", text.content));
        }
        for (what, _) in lines.iter().filter(|line| area.overlaps(line.1)) {
            found.push(format!("{:?} over a line of {what}", text.content));
        }
        for flag in flags.iter().filter(|flag| area.overlaps(**flag)) {
            if !flag.grown(HAIR).holds(*area) {
                found.push(format!("{:?} over the edge of a flag", text.content));
            }
        }
    }
    for flag in flags.iter().map(|flag| flag.grown(-0.4)) {
        found.extend(
            lines.iter().filter(|line| flag.overlaps(line.1)).map(|line| format!("{} on a flag", line.0)),
        );
        found.extend(
            symbols.iter().filter(|area| flag.overlaps(**area)).map(|_| "a symbol on a flag".to_owned()),
        );
    }
    found
}

/// Every straight line of runs and of outlines, with its width.
fn lines(drawing: &Drawing) -> impl Iterator<Item = (String, Area)> {
    let items = drawing.list.groups.iter().filter(|group| matches!(group.layer, Layer::Runs | Layer::Places));
    items.flat_map(|group| &group.items).flat_map(|item| {
        let half = item.pen.width_mm() / 2.0;
        let mut points: Vec<Point> = Vec::new();
        if let Shape::Polyline { points: corners, ends } = &item.shape {
            points.extend(corners.iter().copied());
            points.extend(corners.first().copied().filter(|_| *ends == Ends::Joined));
        }
        let areas: Vec<Area> = points.windows(2).map(|pair| Area::of(pair).grown(half)).collect();
        areas.into_iter().map(|area| (format!("{:?}", item.subject), area))
    })
}

/// Whether two blocks stand on each other, or outlines of places cross.
pub fn piled(circuit: &Circuit) -> Vec<String> {
    let boxes: Vec<(&str, GridArea)> =
        circuit.blocks().map(|block| (block.tag.as_str(), placement::bounds(block))).collect();
    let mut found = Vec::new();
    for (place, (tag, area)) in boxes.iter().enumerate() {
        for (other, taken) in boxes.iter().skip(place + 1) {
            if area.on_paper().overlaps(taken.on_paper()) {
                found.push(format!("{tag} on {other}"));
            }
        }
    }
    found
}

/// Frames on each other, and blocks and frames that are not in the frame in which they belong or in one in which
/// they do not.
pub fn frames(circuit: &Circuit) -> Vec<String> {
    let frame = |place: &Place| GridArea::of(place.at, place.at.moved(place.size.x, place.size.y));
    let within = |place: PlaceId, outer: PlaceId| {
        let mut here = Some(place);
        for _ in 0..=circuit.places().count() {
            match here {
                Some(id) if id == outer => return true,
                Some(id) => here = circuit.place(id).and_then(|place| place.within),
                None => return false,
            }
        }
        false
    };
    let mut found = Vec::new();
    for place in circuit.places() {
        let room = frame(place).on_paper();
        for other in circuit.places().filter(|other| other.id != place.id && !within(place.id, other.id)) {
            let area = frame(other).on_paper();
            if within(other.id, place.id) {
                if !room.holds(area) {
                    found.push(format!("{} outside of {}", other.name, place.name));
                }
            } else if room.overlaps(area) {
                found.push(format!("{} on {}", place.name, other.name));
            }
        }
        for block in circuit.blocks() {
            let area = placement::bounds(block).on_paper();
            if block.place.is_some_and(|here| within(here, place.id)) {
                if !room.holds(area) {
                    found.push(format!("{} outside of {}", block.tag, place.name));
                }
            } else if room.overlaps(area) {
                found.push(format!("{} in {}", block.tag, place.name));
            }
        }
    }
    found
}

/// Every run that goes through a block, beyond the step by which it leaves or enters its own.
pub fn through_blocks(circuit: &Circuit, routes: &Routes) -> Vec<String> {
    let mut found = Vec::new();
    let bodies: Vec<(&str, GridArea)> = circuit
        .blocks()
        .map(|block| {
            let outline = symbols::outline(&block.equipment);
            (block.tag.as_str(), placement::placement(block, &outline).area(outline.body))
        })
        .collect();
    for (id, points) in routes.iter() {
        let tag = circuit.run(id).map(|run| run.tag.clone()).unwrap_or_default();
        let inner = steps(points);
        let inner = inner.get(1..inner.len().saturating_sub(1)).unwrap_or_default();
        for (block, body) in &bodies {
            if inner.iter().any(|point| body.contains(*point)) {
                found.push(format!("{tag} through {block}"));
            }
        }
    }
    found
}

/// Every grid point of a way, in order.
fn steps(points: &[GridPoint]) -> Vec<GridPoint> {
    let mut all: Vec<GridPoint> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let (dx, dy) = ((b.x - a.x).signum(), (b.y - a.y).signum());
        let mut here = *a;
        while here != *b {
            here = here.moved(dx, dy);
            all.push(here);
        }
    }
    all
}

/// What meets at a grid point: for each run the directions in which it leaves the point.
type Meetings = BTreeMap<(i32, i32), BTreeMap<RunId, BTreeSet<(i32, i32)>>>;

fn meetings(routes: &Routes) -> Meetings {
    let mut all = Meetings::new();
    for (id, points) in routes.iter() {
        for pair in steps(points).windows(2) {
            let [a, b] = pair else { continue };
            let step = (b.x - a.x, b.y - a.y);
            all.entry((a.x, a.y)).or_default().entry(id).or_default().insert(step);
            all.entry((b.x, b.y)).or_default().entry(id).or_default().insert((-step.0, -step.1));
        }
    }
    all
}

/// How the runs of a sheet meet.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Meeting {
    /// Plain crossings of runs that are not joined.
    pub crossings: usize,
    /// Points at which runs that are not joined touch or lie on each other, so that one reads a joint.
    pub false_joints: Vec<String>,
    /// Joints of more than three lines.
    pub crosses: Vec<String>,
    /// Dots where fewer than three lines meet, and real joints off the bars without a dot.
    pub wrong_dots: Vec<String>,
}

/// How the runs of a sheet meet.
pub fn meeting(circuit: &Circuit, routes: &Routes) -> Meeting {
    let mut meeting = Meeting::default();
    let ends: BTreeMap<RunId, [RunEnd; 2]> = circuit.runs().map(|run| (run.id, [run.from, run.to])).collect();
    let joined = |a: RunId, b: RunId| {
        let [ours, theirs] = [a, b].map(|run| ends.get(&run).copied());
        matches!((ours, theirs), (Some(a), Some(b)) if a.iter().any(|end| b.contains(end)))
    };
    let dots: BTreeSet<(i32, i32)> = routes.joints().iter().map(|joint| (joint.at.x, joint.at.y)).collect();
    let pins: BTreeSet<(i32, i32)> =
        circuit.blocks().flat_map(placement::terminals).map(|pin| (pin.at.x, pin.at.y)).collect();
    for (at, runs) in meetings(routes) {
        let list: Vec<(&RunId, &BTreeSet<(i32, i32)>)> = runs.iter().collect();
        let mut ways = BTreeSet::new();
        for (place, (run, out)) in list.iter().enumerate() {
            for (other, there) in list.iter().skip(place + 1) {
                let name = || format!("{} and {} at {at:?}", tag(circuit, **run), tag(circuit, **other));
                if joined(**run, **other) {
                    ways.extend(out.iter().chain(there.iter()).copied());
                } else if out.is_disjoint(there) && is_straight(out) && is_straight(there) {
                    meeting.crossings += 1;
                } else {
                    meeting.false_joints.push(name());
                }
            }
        }
        if ways.len() > 3 {
            meeting.crosses.push(format!("{at:?}"));
        }
        let is_joint = ways.len() == 3 || ways.len() == 2 && pins.contains(&at);
        if dots.contains(&at) && !is_joint && !pins.contains(&at) {
            meeting.wrong_dots.push(format!("a dot at {at:?} where {} lines meet", ways.len()));
        }
        if ways.len() >= 3 && !dots.contains(&at) {
            meeting.wrong_dots.push(format!("no dot at {at:?}"));
        }
    }
    meeting
}

fn is_straight(out: &BTreeSet<(i32, i32)>) -> bool {
    out.len() == 2
        && out.iter().map(|step| step.0).sum::<i32>() == 0
        && out.iter().map(|step| step.1).sum::<i32>() == 0
}

fn tag(circuit: &Circuit, run: RunId) -> String {
    circuit.run(run).map(|run| run.tag.clone()).unwrap_or_default()
}

/// Whether anything is drawn with a pen.
pub fn uses(drawing: &Drawing, pen: Pen) -> bool {
    drawing.list.items().any(|item| item.pen == pen)
}
