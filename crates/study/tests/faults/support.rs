//! How the numbers of a studied project are asked for by tag, and an array for the cabin of `by_hand.rs`.

use super::by_hand::{changed, feet};
use lineside_codes::Codes;
use lineside_core::circuit::{RunEnd, Side, TerminalName};
use lineside_core::project::Project;
use lineside_core::testing::Bench;
use lineside_study::{Conditions, PoleSide, Prospective, Studies, all};

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
