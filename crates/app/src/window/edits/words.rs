//! Moving words by hand, and the ways of runs: a piece of a run pulled aside, and both given back to their own places.

use super::Labeled;
use crate::window::selection::Selection;
use lineside_core::circuit::{Circuit, GridPoint, Run, RunId};
use lineside_core::edit::Edit;
use lineside_core::project::{Project, WordsOf, WordsPlace};

/// Puts words to a place.
pub fn put(circuit: &Circuit, of: WordsOf, place: WordsPlace) -> Labeled {
    Labeled::new(format!("move {}", name_of(circuit, of)), Edit::SetWords(of, Some(place)))
}

fn name_of(circuit: &Circuit, of: WordsOf) -> String {
    let block = |id| circuit.block(id).map_or("", |block| block.tag.as_str());
    match of {
        WordsOf::Tag(id) => format!("the tag of {}", block(id)),
        WordsOf::Ratings(id) => format!("the ratings of {}", block(id)),
        WordsOf::Callout(id) => {
            format!("the words of {}", circuit.run(id).map_or("", |run| run.tag.as_str()))
        }
    }
}

/// Gives the words of what is selected, and the ways of selected runs, back to their own places; of everything when nothing
/// is selected. `None` when all stand there.
pub fn own_places(project: &Project, selection: &Selection) -> Option<Labeled> {
    let all = selection.blocks.is_empty() && selection.runs.is_empty();
    let is_meant = |of: &WordsOf| match of {
        WordsOf::Tag(id) | WordsOf::Ratings(id) => all || selection.blocks.contains(id),
        WordsOf::Callout(id) => all || selection.runs.contains(id),
    };
    let words = project.moved_words.keys().filter(|of| is_meant(of)).map(|of| Edit::SetWords(*of, None));
    let runs = project.circuit.runs().filter(|run| all || selection.runs.contains(&run.id));
    let ways = runs
        .filter(|run| !run.bends.is_empty())
        .map(|run| Edit::SetRun(Box::new(Run { bends: Vec::new(), ..run.clone() })));
    let edits: Vec<Edit> = words.chain(ways).collect();
    (!edits.is_empty()).then(|| Labeled::new("place words and bends automatically", Edit::Batch(edits)))
}

/// Steps that a run keeps going straight at its ends when its first or last piece is pulled aside.
const STUB: i32 = 2;

/// Pulls one piece of a run's way aside: the piece after the corner `piece` of `way`, by a number of steps. `None` when
/// there is no such piece or it would not move.
pub fn pull(
    circuit: &Circuit,
    run: RunId,
    way: &[GridPoint],
    piece: usize,
    by: GridPoint,
) -> Option<Labeled> {
    let run = circuit.run(run)?;
    let (a, b) = (*way.get(piece)?, *way.get(piece + 1)?);
    // A level piece moves up and down, an upright one to the sides.
    let aside = if a.y == b.y { GridPoint::new(0, by.y) } else { GridPoint::new(by.x, 0) };
    let step = GridPoint::new((b.x - a.x).signum(), (b.y - a.y).signum());
    let length = (b.x - a.x).abs() + (b.y - a.y).abs();
    let stub = STUB.min(length / 3);
    let stub = GridPoint::new(step.x * stub, step.y * stub);
    let is_last = piece + 2 == way.len();
    let mut bends: Vec<GridPoint> = Vec::with_capacity(way.len() + 2);
    bends.extend(way.iter().take(piece + 1).skip(1));
    let moved = |point: GridPoint| point.moved(aside.x, aside.y);
    if piece == 0 {
        let out = a.moved(stub.x, stub.y);
        bends.extend([out, moved(out)]);
    } else if let Some(corner) = bends.last_mut() {
        *corner = moved(*corner);
    }
    if is_last {
        let into = b.moved(-stub.x, -stub.y);
        bends.extend([moved(into), into]);
    } else {
        bends.push(moved(b));
        bends.extend(way.iter().take(way.len().saturating_sub(1)).skip(piece + 2));
    }
    bends.dedup();
    (bends != run.bends).then(|| {
        Labeled::new(format!("bend {}", run.tag), Edit::SetRun(Box::new(Run { bends, ..run.clone() })))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::edit::apply;
    use lineside_drawing::route::Routes;

    fn cabin() -> Project {
        lineside_core::file::read(include_str!("../../../../../assets/demos/cabin.lineside")).unwrap()
    }

    /// Every piece of every run of the cabin is pulled aside by three steps: the way then passes there, goes on from terminal to
    /// terminal at right angles, and goes back to its own with one command.
    #[test]
    fn a_piece_that_is_pulled_aside_stays_there() {
        let cabin = cabin();
        let routes = Routes::new(&cabin.circuit);
        let mut pulled = 0;
        for (run, way) in routes.iter() {
            for (piece, pair) in way.windows(2).enumerate() {
                let (a, b) = (pair[0], pair[1]);
                if (b.x - a.x).abs() + (b.y - a.y).abs() < 6 {
                    continue;
                }
                let by = GridPoint::new(3, 3);
                let Some(step) = pull(&cabin.circuit, run, way, piece, by) else { panic!("{run:?} {piece}") };
                let mut project = cabin.clone();
                apply(&mut project, step.edit).unwrap();
                let anew = Routes::new(&project.circuit);
                let there = anew.get(run).unwrap();
                assert_eq!((there.first(), there.last()), (way.first(), way.last()));
                let middle = GridPoint::new(i32::midpoint(a.x, b.x), i32::midpoint(a.y, b.y));
                let wanted = if a.y == b.y { middle.moved(0, 3) } else { middle.moved(3, 0) };
                let passes = there.windows(2).any(|pair| {
                    let area = lineside_drawing::geometry::GridArea::of(pair[0], pair[1]);
                    area.contains(wanted) && (pair[0].x == pair[1].x || pair[0].y == pair[1].y)
                });
                assert!(passes, "{run:?} {piece}: {there:?} passes {wanted:?}");
                let back = own_places(&project, &Selection::default()).unwrap();
                apply(&mut project, back.edit).unwrap();
                assert_eq!(project, cabin);
                pulled += 1;
            }
        }
        assert!(pulled > 10, "{pulled} pieces");
        assert_eq!(own_places(&cabin, &Selection::default()), None);
    }
}
