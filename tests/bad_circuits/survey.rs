//! What every circuit must hold, however bad: finite numbers, dead blocks that are dead, flows that balance or say why not.

use lineside_codes::Codes;
use lineside_core::circuit::{Circuit, RunEnd, Side, TerminalName};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::Value;
use lineside_core::project::{Project, RuleSet};
use lineside_core::testing::Bench;
use lineside_core::units::{Percent, UnitSystem, WattsPerSquareMeter};
use lineside_rules::{Amount, Checked, check};
use lineside_study::flow::{self, Flow, Load, OperatingState, Outcome};
use lineside_study::{Conditions, PoleSide, Prospective, isolation};
use std::collections::BTreeSet;
use std::sync::{LazyLock, mpsc};
use std::thread;
use std::time::Duration;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

/// After so long something hangs; what is tried here takes a small part of it even on a busy machine.
const HANGS_AFTER: Duration = Duration::from_mins(2);

/// What came out under the project's own rule set.
pub struct Surveyed {
    pub project: Project,
    pub checked: Checked,
    /// Sun, all loads, every supply there; then the same at night without supplies.
    pub flows: [Flow; 2],
}

/// Does everything that can be done with a project, in a thread that must end.
pub fn survey(bench: Bench) -> Surveyed {
    let (done, result) = mpsc::channel();
    let worker = thread::spawn(move || {
        let surveyed = everything(bench.project);
        let _ = done.send(());
        surveyed
    });
    match result.recv_timeout(HANGS_AFTER) {
        Err(mpsc::RecvTimeoutError::Timeout) => panic!("it hangs"),
        Ok(()) | Err(mpsc::RecvTimeoutError::Disconnected) => worker.join().unwrap(),
    }
}

fn everything(project: Project) -> Surveyed {
    for rule_set in RuleSet::ALL {
        assert_finite(&check(&project, &CODES, rule_set), &project.circuit);
    }
    let checked = check(&project, &CODES, project.rule_set);
    let on = Conditions::new(&project, &CODES);
    let studies = &checked.studies;
    for block in project.circuit.blocks() {
        let order = isolation::of(&on, &studies.network, &studies.zones, block.id);
        let open = order.open_poles();
        let reaching = isolation::sources_reaching(&on, &studies.network, &studies.zones, block.id, &open);
        let remains: BTreeSet<_> = order.remains.iter().copied().collect();
        assert_eq!(reaching, remains, "{}", block.tag);
    }
    let loaded = OperatingState { other_loads: Load::ALL, ..OperatingState::new() };
    let everything_there = OperatingState {
        supplies: project.circuit.blocks().map(|block| block.id).collect(),
        ..loaded.clone()
    };
    let night = OperatingState { sun: WattsPerSquareMeter::ZERO, charge: Percent::new(50.0), ..loaded };
    let flows = [everything_there, night].map(|state| {
        let flow = flow::study(&on, &studies.network, &studies.zones, &studies.ratings, &state);
        assert_flow(&flow, &project.circuit);
        flow
    });
    Surveyed { project, checked, flows }
}

fn assert_finite(checked: &Checked, circuit: &Circuit) {
    for finding in &checked.report.findings {
        for amount in [&finding.found, &finding.allowed] {
            if let Amount::Quantity(quantity) = amount {
                assert!(quantity.value.is_finite(), "{}", finding.id(circuit));
            }
        }
        let mut lines = finding.working.lines.iter();
        assert!(lines.all(|line| line.value.value.is_finite()), "{}", finding.id(circuit));
    }
    let studies = &checked.studies;
    let finite = |found: Prospective| found.total().value().is_finite() && found.total().value() >= 0.0;
    for (node, _) in studies.network.nodes() {
        assert!(finite(studies.faults.at_node(node)));
    }
    for run in circuit.runs() {
        for side in [Side::From, Side::To] {
            assert!(finite(studies.faults.run_side(&studies.network, run.id, side)), "{}", run.tag);
        }
    }
    for pole in studies.network.poles() {
        for side in [PoleSide::Line, PoleSide::Load] {
            assert!(finite(studies.faults.through_pole(pole.link, side)));
        }
    }
    for (id, _) in studies.zones.all() {
        for level in studies.windows.of(id).map_or(&[][..], |window| &window.levels) {
            assert!(level.voltage.value().is_finite(), "{}", level.cause);
        }
    }
}

/// It balances; where it is no steady state it says why.
fn assert_flow(flow: &Flow, circuit: &Circuit) {
    let largest = flow.blocks().map(|(_, it)| it.taken.value() + it.made.value()).fold(1.0, f64::max);
    let gap = flow.balance.gap().value();
    assert!(gap.abs() <= 1e-6 * largest, "{gap} of {largest}");
    for (block, it) in flow.blocks() {
        let tag = &circuit.block(block).unwrap().tag;
        assert!(it.gap().value().abs() <= 1e-6 * largest, "{tag}: {it:?}");
    }
    if let Outcome::NotSolved(reasons) = &flow.outcome {
        assert!(!reasons.is_empty());
        assert!(reasons.iter().all(|reason| !reason.words(circuit, UnitSystem::Us).is_empty()));
    }
}

impl Surveyed {
    /// The ids of what was found, without advice that has nothing to do with the matter.
    pub fn rules(&self) -> BTreeSet<&'static str> {
        self.checked.report.findings.iter().map(|finding| finding.rule).collect()
    }
    /// Why a flow is no steady state.
    pub fn reasons(&self, flow: usize) -> Vec<String> {
        match &self.flows[flow].outcome {
            Outcome::Solved => Vec::new(),
            Outcome::NotSolved(reasons) => {
                reasons.iter().map(|it| it.words(&self.project.circuit, UnitSystem::Si)).collect()
            }
        }
    }
    /// Why loads have no power.
    pub fn unmet(&self, flow: usize) -> Vec<String> {
        let network = &self.checked.studies.network;
        let words = |it: &flow::Unmet| it.words(network, &self.project.circuit, UnitSystem::Si);
        self.flows[flow].unmet.iter().map(words).collect()
    }
    /// Prospective short-circuit current at `TAG.terminal`, in amperes.
    pub fn fault(&self, end: &str) -> f64 {
        let (tag, terminal) = end.rsplit_once('.').unwrap();
        let block = self.project.circuit.block_by_tag(tag).unwrap().id;
        let end = RunEnd { block, terminal: TerminalName::read(terminal).unwrap() };
        self.checked.studies.faults.at(&self.checked.studies.network, end).total().value()
    }
    /// Asserts the prospective short-circuit current at `TAG.terminal`, to a hundredth.
    pub fn assert_fault(&self, end: &str, expected: f64) {
        let amps = self.fault(end);
        assert!((amps - expected).abs() < 0.01, "{end}: {amps} instead of {expected}");
    }
}

/// Blocks from stock, by tag.
pub fn bench(blocks: &[(&str, &str)]) -> Bench {
    let mut bench = Bench::new();
    for (tag, name) in blocks {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    }
    bench
}

/// Stock with some of its fields set.
pub fn changed(bench: &Bench, name: &str, fields: &[(&str, Value)]) -> Equipment {
    let mut equipment = bench.stock(name);
    for (field, value) in fields {
        equipment.set(field, value).unwrap_or_else(|refused| panic!("{field}: {refused:?}"));
    }
    equipment
}
