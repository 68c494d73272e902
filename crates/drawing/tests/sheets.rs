//! Several sheets: every block stands on exactly one, every run is whole on one or flagged on both of two, what the flags
//! say is so, and on no page lies anything on anything.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::{BlockId, RunId, Side};
use lineside_core::edit::apply;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::testing;
use lineside_drawing::display_list::{Layer, Shape, Subject};
use lineside_drawing::geometry::Area;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Furniture, Look, PaperSize, inks_by_terminals};
use lineside_drawing::sheets::{Division, Sheet, sheets};
use lineside_drawing::tidy;
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;
use std::collections::BTreeMap;

fn set(project: &Project, paper: PaperSize, division: Division) -> Vec<Sheet> {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    let look = Look { inks, bars, furniture: Furniture::With, paper: Some(paper), ..Look::default() };
    sheets(project, &look, &Routes::new(&project.circuit), division)
}

/// Every text of a sheet in one layer.
fn words(sheet: &Sheet, layer: Layer) -> Vec<(Subject, &str, Area)> {
    let groups = sheet.drawing.list.groups.iter().filter(|group| group.layer == layer);
    let items = groups.flat_map(|group| &group.items);
    items
        .filter_map(|item| {
            let Shape::Text(text) = &item.shape else { return None };
            Some((item.subject, text.content.as_str(), text.bounds()))
        })
        .collect()
}

/// What is wrong with a set of sheets.
fn faults(project: &Project, set: &[Sheet]) -> Vec<String> {
    let mut found = Vec::new();
    let mut homes: BTreeMap<BlockId, usize> = BTreeMap::new();
    for (number, sheet) in (1..).zip(set) {
        for block in &sheet.blocks {
            if homes.insert(*block, number).is_some() {
                found.push(format!("{block:?} on two sheets"));
            }
        }
        let drawn: Vec<Subject> = sheet
            .drawing
            .list
            .groups
            .iter()
            .filter(|group| group.layer == Layer::Symbols)
            .map(|group| group.subject)
            .collect();
        if drawn != sheet.blocks.iter().map(|id| Subject::Block(*id)).collect::<Vec<_>>() {
            found.push(format!("sheet {number} draws other blocks than are on it"));
        }
        let flags: Vec<Area> = sheet.references.iter().map(|reference| reference.area).collect();
        found.extend(
            measure::page_overlaps(&sheet.drawing, &flags).iter().map(|it| format!("{number}: {it}")),
        );
    }
    if homes.len() != project.circuit.block_count() {
        found.push(format!("{} of {} blocks", homes.len(), project.circuit.block_count()));
    }
    let mut flags: BTreeMap<RunId, Vec<(usize, Side)>> = BTreeMap::new();
    for (number, sheet) in (1..).zip(set) {
        for reference in &sheet.references {
            flags.entry(reference.run).or_default().push((number, reference.end));
            found.extend(wrong_words(project, set, sheet, reference));
        }
    }
    for run in project.circuit.runs() {
        let ends = [run.from, run.to].map(|end| homes.get(&end.block).copied().unwrap_or_default());
        let drawn: Vec<usize> = (1..)
            .zip(set)
            .filter(|(_, sheet)| {
                let mut groups = sheet.drawing.list.groups.iter();
                groups.any(|it| it.layer == Layer::Runs && it.subject == Subject::Run(run.id))
            })
            .map(|(number, _)| number)
            .collect();
        let mut flagged = flags.remove(&run.id).unwrap_or_default();
        flagged.sort_unstable();
        let mut wanted = vec![(ends[0], Side::To), (ends[1], Side::From)];
        wanted.sort_unstable();
        let (mut there, mut both) = (drawn.clone(), ends.to_vec());
        there.sort_unstable();
        both.sort_unstable();
        both.dedup();
        if there != both
            || (ends[0] != ends[1]) != (flagged == wanted)
            || ends[0] == ends[1] && !flagged.is_empty()
        {
            found.push(format!("{} between {ends:?} on {drawn:?} with flags {flagged:?}", run.tag));
        }
    }
    found
}

/// The flag says the run's tag, the sheet and zone where the other flag stands, and the block.
fn wrong_words(
    project: &Project,
    set: &[Sheet],
    sheet: &Sheet,
    reference: &lineside_drawing::sheets::Reference,
) -> Vec<String> {
    let run = project.circuit.run(reference.run).unwrap();
    let block = project.circuit.block(reference.block).unwrap();
    let onward = format!("/{}.{} to {}", reference.sheet, reference.zone, block.tag);
    let here: Vec<&str> = words(sheet, Layer::Words)
        .into_iter()
        .filter(|(subject, _, area)| *subject == Subject::Run(run.id) && reference.area.holds(*area))
        .map(|(_, words, _)| words)
        .collect();
    let other = &set[reference.sheet - 1];
    let matching = other.references.iter().find(|it| it.run == run.id).unwrap();
    let mut found = Vec::new();
    if here != [run.tag.as_str(), &onward] {
        found.push(format!("{} says {here:?}", run.tag));
    }
    if !other.blocks.contains(&block.id) || zone(other, matching.area) != reference.zone {
        found.push(format!("{} is not where {onward} says, but in {}", run.tag, zone(other, matching.area)));
    }
    found
}

/// The zone of a flag: zones of 50 mm from the middle outwards, a rest shorter than half a zone joined to the last.
fn zone(sheet: &Sheet, flag: Area) -> String {
    let frame = sheet.drawing.paper.unwrap().size.frame();
    // A line between two zones belongs to the later one.
    let count = |low: f32, high: f32, at: f32| {
        let lines = (-20_i8..=20).map(|n| f32::midpoint(low, high) + 50.0 * f32::from(n));
        lines.filter(|line| *line > low + 25.0 && *line < high - 25.0 && *line <= at).count()
    };
    let row = count(frame.top, frame.bottom, flag.center().y);
    let letter = "ABCDEFGHJKLMNPQRSTUVWXYZ".chars().nth(row).unwrap();
    format!("{letter}{}", count(frame.left, frame.right, flag.center().x) + 1)
}

#[test]
fn demos_by_place_have_their_flags() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        for paper in [PaperSize::A3, PaperSize::AnsiB, PaperSize::AnsiD] {
            let set = set(&project, paper, Division::ByPlace);
            assert!(set.len() > 1, "{name}: {} sheets", set.len());
            assert_eq!(faults(&project, &set), Vec::<String>::new(), "{name} on {}", paper.label());
            for (number, sheet) in (1..).zip(&set) {
                let numbered = format!("{number} / {}", set.len());
                let furniture = words(sheet, Layer::Furniture);
                assert!(furniture.iter().any(|(_, words, _)| *words == numbered), "{name}: {numbered}");
                let listed = furniture.iter().any(|(_, words, _)| *words == "Sheets");
                assert_eq!(listed, number == 1, "{name}: the list of sheets is on the first");
            }
        }
    }
}

#[test]
fn a_drawing_that_fits_stays_on_one_sheet() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        let sets = [
            set(&project, PaperSize::A2, Division::AsNeeded),
            set(&project, PaperSize::A3, Division::One),
            set(&project, PaperSize::A3, Division::AsNeeded),
        ];
        assert!(sets.iter().all(|set| set.len() == 1 && set[0].title.is_empty()), "{name}");
    }
}

/// Ten cabins do not fit on A3, and each is cut where it must be.
#[test]
fn many_cabins_take_many_sheets_that_can_be_read() {
    let cabin = file::read(support::DEMOS[0].1).unwrap();
    let cabins = testing::copies(&cabin, 10);
    let set = set(&cabins, PaperSize::A3, Division::AsNeeded);
    assert!((10..60).contains(&set.len()), "{} sheets", set.len());
    assert_eq!(faults(&cabins, &set), Vec::<String>::new());
    for sheet in &set {
        let least = sheet.drawing.paper.unwrap().least_lettering;
        assert!(least >= 1.75, "{}: {least} mm", sheet.title);
    }
}

/// The same circuits every time.
#[test]
fn generated_circuits_are_cut_without_loss() {
    let mut runner = TestRunner::deterministic();
    let mut most = 0;
    for number in 0..100 {
        let mut project = testing::project(10..160).new_tree(&mut runner).unwrap().current();
        if let Some(edit) = tidy::sheet(&project) {
            apply(&mut project, edit).unwrap();
        }
        let set = set(&project, PaperSize::A3, Division::AsNeeded);
        most = most.max(set.len());
        assert_eq!(faults(&project, &set), Vec::<String>::new(), "circuit {number}: {} sheets", set.len());
    }
    assert!(most > 4, "at most {most} sheets");
}
