//! A small off-grid system, laid out by hand, for the tests of the window: three strings, a combiner, a
//! controller, a bank and an inverter in a shed.

use lineside::window::edits::{Labeled, adding, places, wiring};
use lineside_core::circuit::{BlockId, GridPoint, Place, PlaceKind, RunEnd, TerminalName};
use lineside_core::edit::{Edit, apply};
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{Celsius, Meters};
use std::collections::BTreeSet;

/// Builds a project from stock by what the window's own edits do.
pub struct Drawing<'a> {
    /// What has been drawn so far.
    pub project: Project,
    stock: &'a [StockItem],
}

impl<'a> Drawing<'a> {
    /// An empty sheet.
    pub fn new(stock: &'a [StockItem]) -> Self {
        let mut project = Project::default();
        "Juniper Ridge Cabin".clone_into(&mut project.title.system);
        project.brief.site.record_low = Some(Celsius::new(-24.0));
        project.brief.site.design_high = Some(Celsius::new(33.0));
        Self { project, stock }
    }

    /// Goes on with a project.
    pub fn on(stock: &'a [StockItem], project: Project) -> Self {
        Self { project, stock }
    }

    fn make(&mut self, step: Labeled) {
        apply(&mut self.project, step.edit).expect("the sample is drawn without mistakes");
    }

    /// Puts the first item of stock that has this name on the sheet.
    pub fn put(&mut self, tag: &str, name: &str, x: i32, y: i32) -> BlockId {
        let item = self
            .stock
            .iter()
            .find(|item| item.name == name)
            .unwrap_or_else(|| panic!("no stock item {name}"));
        let (step, id) = adding::add(&self.project, item, GridPoint::new(x, y)).expect("ids are left");
        self.make(step);
        if self.project.circuit.block(id).is_some_and(|block| block.tag != tag) {
            self.make(Labeled::new("tag", Edit::SetTag(id, tag.to_owned())));
        }
        id
    }

    /// Draws a run of that length, in feet, between two ends written as `C1.pv`.
    pub fn run(&mut self, from: &str, to: &str, size: &str, feet: f64) {
        let step = wiring::draw(&self.project, self.end(from), self.end(to)).expect("ids are left");
        let id = self.project.next_run_id().expect("ids are left");
        self.make(step);
        let mut run = self.project.circuit.run(id).expect("it was drawn").clone();
        if let Some(conductor) = &mut run.conductor {
            conductor.length = Meters::from_feet(feet);
            conductor.size = lineside_core::units::ConductorSize::read(size).expect("a size");
        }
        self.make(Labeled::new("conductor", Edit::SetRun(Box::new(run))));
    }

    /// `C1.pv` as an end.
    pub fn end(&self, text: &str) -> RunEnd {
        let (tag, terminal) = text.split_once('.').expect("TAG.terminal");
        let block = self.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no block {tag}")).id;
        RunEnd {
            block,
            terminal: TerminalName::read(terminal).unwrap_or_else(|| panic!("no terminal {terminal}")),
        }
    }

    /// Draws a place with that frame; what stands there belongs to it.
    pub fn place(&mut self, name: &str, kind: PlaceKind, at: (i32, i32), size: (i32, i32)) {
        let (step, id) =
            places::add(&self.project, &BTreeSet::new(), GridPoint::new(0, 0)).expect("ids are left");
        self.make(step);
        let place = self.project.circuit.place(id).expect("it was added").clone();
        let (at, size) = (GridPoint::new(at.0, at.1), GridPoint::new(size.0, size.1));
        self.make(Labeled::new(
            "place",
            Edit::SetPlace(Box::new(Place { name: name.to_owned(), kind, within: None, at, size, ..place })),
        ));
    }
}

/// The sample: drawn without regard to the rules, so that they have something to say.
pub fn cabin(stock: &[StockItem]) -> Project {
    let mut drawing = Drawing::new(stock);
    drawing.place("Array field", PlaceKind::Location, (0, 0), (40, 42));
    drawing.place("Power shed", PlaceKind::Location, (48, 0), (68, 42));
    drawing.place("Cabin", PlaceKind::Location, (124, 0), (20, 28));
    for n in 0..3 {
        drawing.put(&format!("S{}", n + 1), "Module string, 400 W modules", 6, 10 + 11 * n);
    }
    drawing.put("CB1", "Combiner, three ways, 20 A breakers, 150 V", 32, 21);
    drawing.put("Q1", "DC breaker, 70 A, 150 V", 56, 9);
    drawing.put("C1", "Tracking controller, 150 V in, 60 A out", 68, 9);
    drawing.put("Q2", "DC breaker, 80 A, 125 V", 80, 9);
    drawing.put("BUS1", "DC bus bar, covered, 400 A, 8 taps, 150 V", 92, 15);
    drawing.put("F1", "Class T fuse, bolted, 200 A, 125 V DC", 72, 34);
    drawing.put("B1", "Nickel-iron cell, 400 Ah", 56, 34);
    drawing.put("Q3", "DC breaker, 125 A, 125 V", 100, 14);
    drawing.put("INV1", "Wide-window inverter-charger, 4 kW, 48 V, 120 V", 110, 13);
    drawing.put("P1", "AC panel, 120 V, 60 A, without main", 134, 14);
    for n in 1..=3 {
        drawing.run(&format!("S{n}.out"), &format!("CB1.way{n}"), "10 AWG", 15.0);
    }
    drawing.run("CB1.out", "Q1.line", "1/0 AWG", 120.0);
    drawing.run("Q1.load", "C1.pv", "4 AWG", 2.0);
    drawing.run("C1.battery", "Q2.line", "4 AWG", 2.0);
    drawing.run("Q2.load", "BUS1.tap1", "4 AWG", 2.0);
    drawing.run("INV1.dc", "Q3.line", "2/0 AWG", 3.0);
    drawing.run("Q3.load", "BUS1.tap2", "2/0 AWG", 2.0);
    drawing.run("B1.out", "F1.line", "2/0 AWG", 4.0);
    drawing.run("F1.load", "BUS1.tap3", "2/0 AWG", 6.0);
    drawing.run("INV1.out", "P1.feed", "10 AWG", 40.0);
    drawing.project
}
