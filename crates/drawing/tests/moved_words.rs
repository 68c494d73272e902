//! Words that were moved by hand stay with their block or run, all others make room for them, and let go they stand where
//! they stood.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::GridPoint;
use lineside_core::edit::{Edit, Stand, apply};
use lineside_core::file;
use lineside_core::project::{Project, WordsOf};
use lineside_core::units::UnitSystem;
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::sheet::{Drawing, WordsPlacing};

fn cabin() -> Project {
    file::read(support::DEMOS[0].1).unwrap()
}

fn area(drawing: &Drawing, of: WordsOf) -> Area {
    drawing.words.iter().find(|words| words.of == of).unwrap().area
}

fn step(project: &mut Project, tag: &str, dx: i32, dy: i32) {
    let block = project.circuit.block_by_tag(tag).unwrap();
    let stand = Stand { at: block.at.moved(dx, dy), orientation: block.orientation, place: block.place };
    let id = block.id;
    apply(project, Edit::SetStand(id, stand)).unwrap();
}

/// Puts words to a point, and back what undoes it.
fn put(project: &mut Project, of: WordsOf, corner: Point) -> Edit {
    let (drawing, _) = measure::drawn(project);
    let place = drawing.words_put(of, corner).unwrap();
    apply(project, Edit::SetWords(of, Some(place))).unwrap()
}

fn near(area: Area, corner: Point) -> bool {
    (area.left - corner.x).abs() < 0.06 && (area.top - corner.y).abs() < 0.06
}

#[test]
fn words_of_a_block_go_with_it() {
    let mut project = cabin();
    let id = project.circuit.block_by_tag("C1").unwrap().id;
    let (plain, _) = measure::drawn(&project);
    for of in [WordsOf::Tag(id), WordsOf::Ratings(id)] {
        let from = area(&plain, of);
        let to = Point::new(from.left + 11.3, from.top - 23.4);
        put(&mut project, of, to);
        let (drawing, _) = measure::drawn(&project);
        assert!(near(area(&drawing, of), to), "{of:?}: {:?} at {to:?}", area(&drawing, of));
        let words = drawing.words.iter().find(|words| words.of == of).unwrap();
        assert_eq!(words.placing, WordsPlacing::ByHand);
        // Four steps to the left and six up: 10 mm and 15 mm.
        let mut moved = project.clone();
        step(&mut moved, "C1", -4, -6);
        let (drawing, _) = measure::drawn(&moved);
        assert!(near(area(&drawing, of), to.moved(-10.0, -15.0)), "{of:?} goes with its block");
        // In other units the words are others, but begin where they began.
        moved.units = UnitSystem::Si;
        let (drawing, _) = measure::drawn(&moved);
        assert!(near(area(&drawing, of), to.moved(-10.0, -15.0)), "{of:?} in SI units");
    }
}

#[test]
fn words_of_a_run_stay_at_their_share_of_its_way() {
    let mut project = cabin();
    let run = project.circuit.runs().find(|run| run.tag == "W11").unwrap();
    let (id, of) = (run.id, WordsOf::Callout(run.id));
    let (drawing, routes) = measure::drawn(&project);
    let way = routes.get(id).unwrap().to_vec();
    let from = area(&drawing, of);
    let to = Point::new(from.left + 15.0, from.top + 20.0);
    put(&mut project, of, to);
    let (drawing, _) = measure::drawn(&project);
    assert!(near(area(&drawing, of), to), "{:?} at {to:?}", area(&drawing, of));
    // As wide and high as before: on as many lines.
    let after = area(&drawing, of);
    assert!((after.width() - from.width()).abs() < 0.1 && (after.height() - from.height()).abs() < 0.1);
    // Everything moved alike moves the words alike.
    let mut all = project.clone();
    let tags: Vec<String> = all.circuit.blocks().map(|block| block.tag.clone()).collect();
    for tag in tags {
        step(&mut all, &tag, 8, 4);
    }
    for place in project.circuit.places() {
        let mut place = place.clone();
        place.at = place.at.moved(8, 4);
        apply(&mut all, Edit::SetPlace(Box::new(place))).unwrap();
    }
    let (drawing, routes) = measure::drawn(&all);
    let shifted: Vec<GridPoint> = way.iter().map(|at| at.moved(8, 4)).collect();
    assert_eq!(routes.get(id).unwrap(), shifted);
    assert!(near(area(&drawing, of), to.moved(20.0, 10.0)), "{:?}", area(&drawing, of));
}

/// On every demo each set of words is put onto the middle of another's place in turn: the one that is moved stands there, and
/// nothing that finds its own place lies on it.
#[test]
fn other_words_make_room_and_come_back() {
    for (name, text) in support::DEMOS {
        let mut project = file::read(text).unwrap();
        let (plain, _) = measure::drawn(&project);
        let mut tried = 0;
        for (one, other) in plain.words.iter().zip(plain.words.iter().skip(7)) {
            let to = Point::new(other.area.left, other.area.top);
            let back = put(&mut project, one.of, to);
            let (drawing, _) = measure::drawn(&project);
            let moved = area(&drawing, one.of);
            assert!(near(moved, to), "{name} {:?}: {moved:?} at {to:?}", one.of);
            for words in drawing.words.iter().filter(|words| words.of != one.of) {
                let on = moved.grown(-0.02).overlaps(words.area.grown(-0.02));
                assert!(!on, "{name}: {:?} on {:?}, which was moved", words.of, one.of);
            }
            apply(&mut project, back).unwrap();
            assert_eq!(measure::drawn(&project).0.words, plain.words, "{name}: {:?} let go", one.of);
            tried += 1;
        }
        assert!(tried > 20, "{name}: {tried} moves");
    }
}
