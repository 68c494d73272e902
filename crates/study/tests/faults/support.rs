//! Three hand-worked systems, and how their numbers are asked for by tag.

use lineside_codes::Codes;
use lineside_core::circuit::{Conductor, RunEnd, Side, Stranding, TerminalName};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::Value;
use lineside_core::project::{Project, RuleSet};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;
use lineside_study::{Conditions, PoleSide, Prospective, Studies, all};

/// A conductor of a size, so many feet one way.
#[expect(clippy::unnecessary_wraps, reason = "runs are joined with or without a conductor")]
pub fn feet(size: &str, length: f64) -> Option<Conductor> {
    Some(copper(size, Meters::from_feet(length)))
}

/// A fine-strand conductor in mm², so many meters one way.
#[expect(clippy::unnecessary_wraps, reason = "runs are joined with or without a conductor")]
pub fn meters(size: &str, length: f64) -> Option<Conductor> {
    Some(Conductor { stranding: Stranding::Fine, ..copper(&format!("{size} mm²"), Meters::new(length)) })
}

/// Stock with some of its numbers changed.
pub fn changed(bench: &Bench, name: &str, fields: &[(&str, f64)]) -> Equipment {
    let mut equipment = bench.stock(name);
    for (field, value) in fields {
        let whole = Value::Whole(format!("{value}").parse().unwrap_or(0));
        equipment.set(field, &Value::Number(*value)).or_else(|_| equipment.set(field, &whole)).unwrap();
    }
    equipment
}

/// A project with its studies.
pub struct Studied {
    pub project: Project,
    pub studies: Studies,
}

impl Studied {
    pub fn new(project: Project) -> Self {
        let codes = Codes::load().unwrap();
        let studies = all(&Conditions::new(&project, &codes));
        Self { project, studies }
    }

    /// With a short circuit at `TAG.terminal`, from all sides.
    pub fn at(&self, end: &str) -> Prospective {
        let (tag, terminal) = end.rsplit_once('.').unwrap();
        let block = self.project.circuit.block_by_tag(tag).unwrap().id;
        let end = RunEnd { block, terminal: TerminalName::read(terminal).unwrap() };
        self.studies.faults.at(&self.studies.network, end)
    }
    /// Into a run from one of its ends.
    pub fn run_side(&self, run: &str, side: Side) -> Prospective {
        let run = self.project.circuit.run_by_tag(run).unwrap().id;
        self.studies.faults.run_side(&self.studies.network, run, side)
    }
    /// Through the pole of a block, the n-th from 0, from one side.
    pub fn through(&self, tag: &str, pole: usize, side: PoleSide) -> Prospective {
        let block = self.project.circuit.block_by_tag(tag).unwrap().id;
        let poles = self.studies.network.poles();
        let found = poles.iter().filter(|it| it.block == block).nth(pole).unwrap();
        self.studies.faults.through_pole(found.link, side)
    }
    /// What the n-th pole of a block must interrupt.
    pub fn duty(&self, tag: &str, pole: usize) -> f64 {
        let line = self.through(tag, pole, PoleSide::Line).total();
        line.max(self.through(tag, pole, PoleSide::Load).total()).value()
    }
}

/// Asserts that a number rounds to the printed one, given to two decimals.
pub fn printed(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() <= 0.005 + 1e-9, "{what}: {found:.4} instead of {expected:.2}");
}

/// The 48 V nickel-iron cabin: battery bus and AC.
pub fn system_a() -> Bench {
    let mut bench = Bench::new();
    let battery = changed(
        &bench,
        "Nickel-iron cell, 400 Ah",
        &[("empty_voltage", 1.0), ("lowest_voltage", 1.0), ("charge_voltage", 1.55)],
    );
    bench.put("B1", None, battery);
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "F1", "Class T fuse, bolted, 225 A, 125 V DC");
    put(&mut bench, "BUS1", "DC bus bar, covered, 400 A, 8 taps, 150 V");
    put(&mut bench, "QB", "DC breaker, 225 A, 125 V");
    put(&mut bench, "Q3", "DC breaker, 80 A, 125 V");
    put(&mut bench, "Q4", "DC breaker, 80 A, 125 V");
    put(&mut bench, "QI", "DC breaker, 150 A, 125 V");
    put(&mut bench, "Q5", "DC breaker, 20 A, 125 V");
    put(&mut bench, "C1", "Tracking controller, 150 V in, 60 A out");
    put(&mut bench, "C2", "Tracking controller, 150 V in, 60 A out");
    put(&mut bench, "INV1", "Inverter-charger, 4 kW, 48 V, 120 V");
    put(&mut bench, "L1", "DC lights, 48 V, 10 A");
    bench.join("W9", "B1.out", "F1.line", feet("4/0", 2.0));
    bench.join("W10", "F1.load", "QB.line", feet("4/0", 12.0));
    bench.join("W11", "C1.battery", "Q3.line", feet("4", 6.0));
    bench.join("W12", "C2.battery", "Q4.line", feet("4", 6.0));
    bench.join("W13", "QI.load", "INV1.dc", feet("1/0", 8.0));
    bench.join("W14", "Q5.load", "L1.in", feet("12", 10.0));
    for (tap, end) in ["QB.load", "Q3.load", "Q4.load", "QI.line", "Q5.line"].iter().enumerate() {
        bench.join(&format!("J{tap}"), end, &format!("BUS1.tap{}", tap + 1), None);
    }
    bench
}

/// The array of the cabin's first controller.
pub fn array_a(bench: &mut Bench) {
    for n in 1..=3 {
        let strings = changed(bench, "Module string, 400 W modules", &[("modules_in_series", 3.0)]);
        bench.put(&format!("S{n}"), None, strings);
    }
    let combiner = bench.stock("Combiner, three ways, 25 A breakers, 150 V");
    bench.put("CB1", None, combiner);
    let breaker = bench.stock("DC breaker, 70 A, 150 V");
    bench.put("Q1", None, breaker);
    for n in 1..=3 {
        bench.join(&format!("W{n}"), &format!("S{n}.out"), &format!("CB1.way{n}"), feet("10", 15.0));
    }
    bench.join("W7", "CB1.out", "Q1.line", feet("1/0", 120.0));
    bench.join("J9", "Q1.load", "C1.pv", None);
}

/// The battery bus of the lithium home.
pub fn system_b() -> Bench {
    let mut bench = Bench::new();
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "BUS1", "DC bus bar, covered, 600 A, 12 taps, 600 V, braced for 50 kA");
    for n in 1..=3 {
        put(&mut bench, &format!("P{n}"), "Lithium iron phosphate wall pack, 51.2 V, 200 Ah");
        put(&mut bench, &format!("FB{n}"), "Fused switch with Class T fuse, 200 A, 125 V DC, 20 kA");
        bench.join(&format!("W{}", 10 + n), &format!("P{n}.out"), &format!("FB{n}.line"), feet("3/0", 3.0));
        bench.join(&format!("JB{n}"), &format!("FB{n}.load"), &format!("BUS1.tap{n}"), None);
    }
    for n in 1..=2 {
        put(&mut bench, &format!("C{n}"), "Tracking controller, 500 V in, 80 A out, with fault protection");
        put(&mut bench, &format!("Q{n}"), "DC breaker, 100 A, 125 V");
        bench.join(&format!("W{}", 4 + n), &format!("C{n}.battery"), &format!("Q{n}.line"), feet("3", 6.0));
        bench.join(&format!("JQ{n}"), &format!("Q{n}.load"), &format!("BUS1.tap{}", 3 + n), None);
    }
    put(&mut bench, "QI", "DC breaker, 250 A, 125 V");
    put(&mut bench, "INV1", "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator");
    bench.join("JI", "BUS1.tap6", "QI.line", None);
    bench.join("W7", "QI.load", "INV1.dc", feet("4/0", 5.0));
    bench
}

/// The battery bus of the lead-acid hut.
pub fn system_c() -> Bench {
    let mut bench = Bench::new();
    bench.project.rule_set = RuleSet::Iec;
    let battery = changed(
        &bench,
        "Flooded lead-acid battery, 6 V, 225 Ah",
        &[("units_in_series", 4.0), ("empty_voltage", 1.75)],
    );
    bench.put("B1", None, battery);
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "F1", "Strip fuse, 100 A, 32 V");
    put(&mut bench, "BUS1", "DC bus bar, covered, 150 A, 6 taps, 60 V");
    put(&mut bench, "Q1", "DC breaker, 50 A, 80 V");
    put(&mut bench, "Q2", "DC breaker, 80 A, 80 V");
    let controller = changed(&bench, "Tracking controller, 150 V in, 60 A out", &[("output_current", 40.0)]);
    bench.put("C1", None, controller);
    put(&mut bench, "INV1", "Inverter, 1.2 kW, 24 V to 230 V");
    put(&mut bench, "L1", "DC lights, 48 V, 10 A");
    bench.join("W4", "B1.out", "F1.line", meters("35", 0.3));
    bench.join("W5", "F1.load", "BUS1.tap1", meters("35", 1.5));
    bench.join("W6", "C1.battery", "Q1.line", meters("16", 1.5));
    bench.join("W7", "Q2.load", "INV1.dc", meters("25", 2.0));
    bench.join("W8", "BUS1.tap2", "L1.in", meters("4", 8.0));
    bench.join("J1", "Q1.load", "BUS1.tap3", None);
    bench.join("J2", "BUS1.tap4", "Q2.line", None);
    bench
}
