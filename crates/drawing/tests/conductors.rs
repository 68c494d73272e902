//! What a sheet says of the conductors of a run: its callout, and the strokes that count them.
#![cfg(test)]

#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::RunId;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::units::{Percent, UnitSystem};
use lineside_drawing::display_list::{Layer, Shape, Subject};
use lineside_drawing::pen::Pen;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Drawing, Look, inks_by_terminals, sheet, wires_by_equipment};

fn drawn(project: &Project, drops: &[(RunId, f64)]) -> Drawing {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    let wires = wires_by_equipment(&project.circuit);
    let drops = drops.iter().map(|(run, drop)| (*run, Percent::new(*drop))).collect();
    sheet(project, &Look { inks, bars, wires, drops, ..Look::default() }, &Routes::new(&project.circuit))
}

fn run(project: &Project, tag: &str) -> RunId {
    project.circuit.run_by_tag(tag).unwrap().id
}

/// The words of a run, its tag first.
fn callout(drawing: &Drawing, run: RunId) -> String {
    let texts = drawing.list.texts().filter(|(subject, _)| *subject == Subject::Run(run));
    texts.map(|(_, text)| text.content.as_str()).collect::<Vec<_>>().join(" ")
}

/// Strokes, cross-bars among them, and dots of a run.
fn strokes(drawing: &Drawing, run: RunId) -> (usize, usize) {
    let groups = drawing.list.groups.iter();
    let groups = groups.filter(|group| group.layer == Layer::Words && group.subject == Subject::Run(run));
    let items: Vec<_> = groups.flat_map(|group| &group.items).collect();
    let lines = items.iter().filter(|item| matches!(item.pen, Pen::Flag(_))).count();
    let dots = items.iter().filter(|item| matches!(item.shape, Shape::Disc { .. })).count();
    (lines, dots)
}

#[test]
fn a_callout_ends_in_the_share_that_is_lost() {
    let mut home = file::read(support::DEMOS[1].1).unwrap();
    let (w20, w8) = (run(&home, "W20"), run(&home, "W8"));
    let drawing = drawn(&home, &[(w20, 1.44), (w8, 0.04)]);
    assert_eq!(callout(&drawing, w20), "W20 3-6 AWG Cu THWN-2, 10 EGC, PVC conduit, 45 ft, 1.4 %");
    assert_eq!(callout(&drawing, w8), "W8 2-10 AWG Cu THWN-2, 10 EGC, EMT, 22 ft", "0.04 % is not told");
    // 45 ft × 0.3048 m/ft = 13.716 m.
    home.units = UnitSystem::Si;
    let drawing = drawn(&home, &[(w20, 1.44)]);
    assert_eq!(callout(&drawing, w20), "W20 3-6 AWG Cu THWN-2, 10 EGC, PVC conduit, 13.716 m, 1.4 %");
}

/// W20 is a 120/240 V feeder: two lines, a neutral with a dot, and a grounding conductor with a cross-bar. W8 comes from
/// strings: two poles and a grounding conductor. W28 grounds: one stroke with its bar.
#[test]
fn strokes_count_the_conductors() {
    let home = file::read(support::DEMOS[1].1).unwrap();
    let drawing = drawn(&home, &[]);
    assert_eq!(strokes(&drawing, run(&home, "W20")), (2 + 1 + 2, 1));
    assert_eq!(strokes(&drawing, run(&home, "W28")), (2, 0));
    let w8 = strokes(&drawing, run(&home, "W8"));
    assert!(w8 == (2 + 2, 0), "{w8:?}");
    // Direct joints have no conductors of their own.
    for joint in home.circuit.runs().filter(|run| run.conductor.is_none()) {
        assert_eq!(strokes(&drawing, joint.id), (0, 0), "{}", joint.tag);
    }
}

/// Runs between neighbors have room for their tag alone; those with a straight piece of ten steps have strokes.
#[test]
fn long_runs_of_the_demos_have_their_strokes() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        let drawing = drawn(&project, &[]);
        let routes = Routes::new(&project.circuit);
        let is_long = |run: RunId| {
            let pieces = routes.get(run).unwrap_or_default().windows(2);
            pieces
                .map(|pair| pair[0].x.abs_diff(pair[1].x) + pair[0].y.abs_diff(pair[1].y))
                .any(|long| long >= 10)
        };
        let made = project.circuit.runs().filter(|run| run.conductor.is_some() && is_long(run.id));
        let without: Vec<&str> =
            made.filter(|run| strokes(&drawing, run.id).0 == 0).map(|run| run.tag.as_str()).collect();
        assert!(without.len() <= 2, "{name}: {without:?}");
    }
}
