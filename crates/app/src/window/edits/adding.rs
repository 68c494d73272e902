//! Putting stock on the sheet, on its own or into a run.

use super::{Fresh, Labeled, place_at, wiring};
use lineside_core::circuit::{
    Block, BlockId, Circuit, Conductor, GridPoint, Orientation, Potential, Run, RunEnd, RunId, TerminalName,
    Turn,
};
use lineside_core::edit::{Edit, Refusal};
use lineside_core::kinds::Equipment;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{Meters, UnitSystem};
use lineside_drawing::geometry::Point;
use lineside_drawing::{placement, symbols};

/// Puts an item on the sheet with the middle of its symbol at a point.
pub fn add(project: &Project, item: &StockItem, middle: GridPoint) -> Result<(Labeled, BlockId), Refusal> {
    let block = block_of(project, item, middle, Orientation::default())?;
    let (id, label) = (block.id, format!("add {}", block.tag));
    Ok((Labeled::new(label, Edit::InsertBlock(Box::new(block))), id))
}

fn block_of(
    project: &Project,
    item: &StockItem,
    middle: GridPoint,
    orientation: Orientation,
) -> Result<Block, Refusal> {
    let mut fresh = Fresh::new(project);
    let size = symbols::outline(&item.equipment).size;
    Ok(Block {
        id: fresh.block().ok_or(Refusal::NoIdsLeft)?,
        tag: fresh.tag(item.equipment.kind().tag_letters()),
        equipment: item.equipment.clone(),
        stock: Some(item.name.clone()),
        place: place_at(&project.circuit, middle),
        at: GridPoint::new(middle.x.saturating_sub(size.x / 2), middle.y.saturating_sub(size.y / 2)),
        orientation,
        note: String::new(),
    })
}

/// The two terminals by which equipment lies in a run; `None` when it does not lie in one.
pub fn through(equipment: &Equipment) -> Option<(TerminalName, TerminalName)> {
    let mut terminals =
        equipment.terminals().into_iter().filter(|terminal| terminal.potential != Potential::Earth);
    let (first, second) = (terminals.next()?, terminals.next()?);
    let both_any = first.potential == Potential::Any && second.potential == Potential::Any;
    (both_any
        && terminals.next().is_none()
        && !matches!(equipment, Equipment::BusBar(_) | Equipment::Junction(_)))
    .then_some((first.name, second.name))
}

/// Where on a run an item would go in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// The run.
    pub run: RunId,
    /// The middle of the item's symbol, on the run.
    pub middle: GridPoint,
    /// The way in which the run passes there, from its beginning to its end.
    pub along: Along,
    /// Share of the run's drawn length that lies before the spot.
    pub share: f32,
}

impl Spot {
    /// How a symbol lies there, so that its line terminal comes first.
    pub fn orientation(&self) -> Orientation {
        Orientation { turn: self.along.turn(), ..Orientation::default() }
    }
}

/// The way in which a piece of a run passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// From left to right.
    Right,
    /// From right to left.
    Left,
    /// Downwards.
    Down,
    /// Upwards.
    Up,
}

impl Along {
    const fn turn(self) -> Turn {
        match self {
            Self::Right => Turn::None,
            Self::Down => Turn::Quarter,
            Self::Left => Turn::Half,
            Self::Up => Turn::ThreeQuarters,
        }
    }
}

/// The spot on a drawn run that is nearest to a point.
pub fn spot_on(run: RunId, route: &[Point], at: Point) -> Option<Spot> {
    let lengths: Vec<f32> = pieces(route).map(|(a, b)| (b.x - a.x).abs() + (b.y - a.y).abs()).collect();
    let whole: f32 = lengths.iter().sum();
    let mut before = 0.0;
    let mut best: Option<(f32, Spot)> = None;
    for ((a, b), length) in pieces(route).zip(&lengths) {
        let on = Point::new(at.x.clamp(a.x.min(b.x), a.x.max(b.x)), at.y.clamp(a.y.min(b.y), a.y.max(b.y)));
        let distance = (on.x - at.x).abs() + (on.y - at.y).abs();
        let share =
            if whole > 0.0 { (before + (on.x - a.x).abs() + (on.y - a.y).abs()) / whole } else { 0.5 };
        before += length;
        if *length > 0.0 && best.is_none_or(|(nearest, _)| distance < nearest) {
            let along = match (b.x - a.x, b.y - a.y) {
                (x, _) if x > 0.0 => Along::Right,
                (x, _) if x < 0.0 => Along::Left,
                (_, y) if y > 0.0 => Along::Down,
                _ => Along::Up,
            };
            best = Some((distance, Spot { run, middle: on.to_grid(), along, share }));
        }
    }
    best.map(|(_, spot)| spot)
}

/// The middle of the longest straight piece of a drawn run, where a device has the most room.
pub fn middle_spot(run: RunId, route: &[Point]) -> Option<Spot> {
    let length = |(a, b): &(Point, Point)| (b.x - a.x).abs() + (b.y - a.y).abs();
    let (a, b) = pieces(route).max_by(|one, other| length(one).total_cmp(&length(other)))?;
    spot_on(run, route, a.halfway(b))
}

fn pieces(route: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    route.iter().copied().zip(route.iter().copied().skip(1))
}

/// Puts an item into a run: the run ends at the item, and a new run of the same conductors goes on from it.
/// The length is shared out by where the item was dropped.
pub fn insert_item(project: &Project, item: &StockItem, spot: Spot) -> Result<(Labeled, BlockId), Refusal> {
    let block = block_of(project, item, spot.middle, spot.orientation())?;
    let mut fresh = Fresh::new(project);
    let _ = fresh.block();
    let (id, tag) = (block.id, block.tag.clone());
    let mut edits = vec![Edit::InsertBlock(Box::new(block))];
    let run = project.circuit.run(spot.run).ok_or(Refusal::NoRun(spot.run))?;
    edits.extend(split(project, run, id, &item.equipment, spot.share, &mut fresh)?);
    Ok((Labeled::new(format!("insert {tag} in {}", run.tag), Edit::Batch(edits)), id))
}

/// Puts a block that is on the sheet, and on which nothing lands, into a run.
pub fn insert_block(project: &Project, id: BlockId, spot: Spot) -> Result<Labeled, Refusal> {
    let block = project.circuit.block(id).ok_or(Refusal::NoBlock(id))?;
    let run = project.circuit.run(spot.run).ok_or(Refusal::NoRun(spot.run))?;
    let size = symbols::outline(&block.equipment).size;
    let stand = lineside_core::edit::Stand {
        at: spot.middle.moved(-size.x / 2, -size.y / 2),
        orientation: spot.orientation(),
        place: place_at(&project.circuit, spot.middle),
    };
    let mut edits = vec![Edit::SetStand(id, stand)];
    edits.extend(split(project, run, id, &block.equipment, spot.share, &mut Fresh::new(project))?);
    Ok(Labeled::new(format!("insert {} in {}", block.tag, run.tag), Edit::Batch(edits)))
}

/// Why an item cannot go into a run; `None` when it can.
pub fn hindrance(circuit: &Circuit, equipment: &Equipment, run: &Run) -> Option<String> {
    if through(equipment).is_none() {
        return Some(format!("{} cannot lie in a run", super::one(equipment.kind())));
    }
    let earth =
        [run.from, run.to].into_iter().any(|end| wiring::potential(circuit, end) == Some(Potential::Earth));
    earth.then(|| format!("{} is a grounding conductor; nothing may open it", run.tag))
}

fn split(
    project: &Project,
    run: &Run,
    block: BlockId,
    equipment: &Equipment,
    share: f32,
    fresh: &mut Fresh<'_>,
) -> Result<[Edit; 2], Refusal> {
    let (near, far) = through(equipment).ok_or_else(|| Refusal::NoTerminal {
        block: equipment.kind().label().to_owned(),
        terminal: "line".to_owned(),
    })?;
    let (before, after) = share_out(run.conductor.as_deref(), share, project.units);
    let second = Run {
        id: fresh.run().ok_or(Refusal::NoIdsLeft)?,
        tag: fresh.tag_like(&run.tag),
        from: RunEnd { block, terminal: far },
        to: run.to,
        conductor: after.map(Box::new),
        bends: Vec::new(),
        note: String::new(),
    };
    let first = Run {
        to: RunEnd { block, terminal: near },
        conductor: before.map(Box::new),
        bends: Vec::new(),
        ..run.clone()
    };
    Ok([Edit::SetRun(Box::new(first)), Edit::InsertRun(Box::new(second))])
}

/// Shares the length out in whole feet or tenths of a meter, so that the sum stays what it was.
fn share_out(
    conductor: Option<&Conductor>,
    share: f32,
    units: UnitSystem,
) -> (Option<Conductor>, Option<Conductor>) {
    let Some(conductor) = conductor else { return (None, None) };
    let step = match units {
        UnitSystem::Us => Meters::from_feet(1.0).value(),
        UnitSystem::Si => 0.1,
    };
    let whole = conductor.length.value();
    let first = ((whole * f64::from(share.clamp(0.0, 1.0)) / step).round() * step).clamp(0.0, whole);
    let with = |length: f64| Conductor { length: Meters::new(length), ..conductor.clone() };
    let mut before = with(first);
    let mut after = with(whole - first);
    before.terminal_to = None;
    after.terminal_from = None;
    (Some(before), Some(after))
}

/// The middle of a block's symbol on the grid.
pub fn middle_of(block: &Block) -> GridPoint {
    let bounds = placement::bounds(block);
    GridPoint::new(i32::midpoint(bounds.min.x, bounds.max.x), i32::midpoint(bounds.min.y, bounds.max.y))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, bus, end, join, put};
    use super::*;
    use lineside_core::edit::apply;

    fn item() -> StockItem {
        StockItem { name: "Breaker, 60 A".to_owned(), equipment: breaker() }
    }

    #[test]
    fn an_item_lands_with_its_middle_where_it_was_dropped() {
        let mut project = Project::default();
        let (labeled, id) = add(&project, &item(), GridPoint::new(10, 7)).unwrap();
        apply(&mut project, labeled.edit).unwrap();
        let block = project.circuit.block(id).unwrap();
        // The symbol of a breaker is 4 by 2 steps.
        assert_eq!((block.at, block.tag.as_str()), (GridPoint::new(8, 6), "Q1"));
        assert_eq!(middle_of(block), GridPoint::new(10, 7));
    }

    #[test]
    fn a_breaker_dropped_on_a_run_goes_into_it() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        let run = join(&mut project, "W1", end(a, "load"), end(b, "line"));
        let route = [Point::new(10.0, 2.5), Point::new(100.0, 2.5)];
        let spot = spot_on(run, &route, Point::new(55.0, 4.0)).unwrap();
        assert_eq!((spot.middle, spot.along), (GridPoint::new(22, 1), Along::Right));
        let before = project.clone();
        let (labeled, id) = insert_item(&project, &item(), spot).unwrap();
        assert_eq!(labeled.label, "insert Q3 in W1");
        let undo = apply(&mut project, labeled.edit).unwrap();
        let first = project.circuit.run(run).unwrap();
        assert_eq!((first.from, first.to), (end(a, "load"), end(id, "line")));
        let second = project.circuit.run_by_tag("W2").unwrap();
        assert_eq!((second.from, second.to), (end(id, "load"), end(b, "line")));
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn lengths_are_shared_out_and_keep_their_sum() {
        let conductor =
            Conductor { length: Meters::from_feet(120.0), ..wiring::usual_conductor(UnitSystem::Us) };
        let (before, after) = share_out(Some(&conductor), 0.251, UnitSystem::Us);
        let (before, after) = (before.unwrap().length, after.unwrap().length);
        // 0.251 × 120 ft = 30.12 ft, which is 30 whole feet; 120 ft − 30 ft = 90 ft.
        assert!((before.value() - 30.0 * 0.3048).abs() < 1e-9, "{before:?}");
        assert!((after.value() - 90.0 * 0.3048).abs() < 1e-9, "{after:?}");
    }

    #[test]
    fn only_devices_with_two_ends_go_into_runs() {
        assert!(through(&breaker()).is_some());
        assert_eq!(through(&bus(2)), None);
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "BUS1", bus(2), 0, 0), put(&mut project, "BUS2", bus(2), 40, 0));
        let run = join(&mut project, "W1", end(a, "bond"), end(b, "bond"));
        let run = project.circuit.run(run).unwrap();
        let why = hindrance(&project.circuit, &breaker(), run).unwrap();
        assert!(why.contains("grounding conductor"), "{why}");
    }

    #[test]
    fn the_nearest_piece_of_a_bent_run_is_found() {
        let route = [Point::new(0.0, 0.0), Point::new(50.0, 0.0), Point::new(50.0, 100.0)];
        let run = RunId::new(1).unwrap();
        let spot = spot_on(run, &route, Point::new(52.0, 70.0)).unwrap();
        assert_eq!((spot.middle, spot.along), (GridPoint::new(20, 28), Along::Down));
        // 50 mm of the first piece and 70 mm of the second, of 150 mm.
        assert!((spot.share - 0.8).abs() < 1e-6);
        assert_eq!(spot_on(run, &[], Point::default()), None);
    }
}
