//! The operating cases of the sound demo projects: each is a steady state, its power adds up, and its figures are those
//! that an electrician would expect.

use lineside_codes::Codes;
use lineside_core::circuit::BlockId;
use lineside_core::file;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::project::Project;
use lineside_rules::{Checked, check};
use lineside_study::flow::{self, ControllerDoing, Flow, InverterDoing, OperatingState, SourceDoing};
use lineside_study::{Conditions, ZoneKind};
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

const CABIN: &str = include_str!("../../assets/demos/cabin.lineside");
const HOME: &str = include_str!("../../assets/demos/home.lineside");
const HUT: &str = include_str!("../../assets/demos/hut.lineside");

struct Demo {
    project: Project,
    checked: Checked,
}

impl Demo {
    fn read(text: &str) -> Self {
        let project = file::read(text).unwrap_or_else(|error| panic!("{error}"));
        let checked = check(&project, &CODES, project.rule_set);
        Self { project, checked }
    }
    fn flow(&self, name: &str) -> Flow {
        let case = self.project.cases.iter().find(|case| case.name == name).unwrap();
        let (on, studies) = (Conditions::new(&self.project, &CODES), &self.checked.studies);
        let state = OperatingState::from_case(&self.project, case);
        flow::study(&on, &studies.network, &studies.zones, &studies.ratings, &state)
    }
    fn id(&self, tag: &str) -> BlockId {
        self.project.circuit.block_by_tag(tag).unwrap().id
    }
    /// Volts at both ends and amperes of a run.
    fn run(&self, flow: &Flow, tag: &str) -> (f64, f64, f64) {
        let run = self.project.circuit.run_by_tag(tag).unwrap().id;
        let it = flow.run(&self.checked.studies.network, run).unwrap();
        (it.from.unwrap().value(), it.to.unwrap().value(), it.flow.current.value())
    }
    fn used(&self, flow: &Flow, tag: &str) -> f64 {
        flow.block(self.id(tag)).unwrap().used.value()
    }
    /// What a source gives, in watts.
    fn gives(&self, flow: &Flow, tag: &str) -> f64 {
        flow.sources().iter().filter(|it| it.block == self.id(tag)).map(|it| it.power.value()).sum()
    }
}

fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} instead of {expected}");
}

#[test]
fn every_case_is_a_steady_state_and_its_power_adds_up() {
    for (name, text) in [("cabin", CABIN), ("home", HOME), ("hut", HUT)] {
        let demo = Demo::read(text);
        assert!(demo.project.cases.len() >= 5, "{name}");
        for case in &demo.project.cases {
            let what = format!("{name}, {}", case.name);
            let flow = demo.flow(&case.name);
            assert!(flow.is_solved() && flow.unmet.is_empty() && flow.remarks.is_empty(), "{what}");
            let (left_over, largest) = flow.residual;
            assert!(left_over.value() <= 1e-9 * largest.value(), "{what}: {left_over:?} of {largest:?}");
            near(flow.balance.gap().value(), 0.0, 1e-6);
            for (block, it) in flow.blocks() {
                let tag = &demo.project.circuit.block(block).unwrap().tag;
                assert!(it.gap().value().abs() <= 1e-6, "{what}: {tag} {it:?}");
            }
            for (id, _) in demo.checked.studies.zones.all() {
                near(flow.zone(id).unwrap().gap().value(), 0.0, 1e-6);
            }
            loads_have_what_they_ask_for(&demo, &flow, &case.loads);
            runs_follow_ohms_law(&demo, &flow, &what);
        }
    }
}

fn loads_have_what_they_ask_for(demo: &Demo, flow: &Flow, loads: &[(String, lineside_core::units::Watts)]) {
    for (tag, watts) in loads {
        near(demo.used(flow, tag), watts.value(), 1e-6);
    }
}

/// Every run of a DC circuit loses current times warm resistance, and no more than 5 % of its voltage.
fn runs_follow_ohms_law(demo: &Demo, flow: &Flow, what: &str) {
    let studies = &demo.checked.studies;
    for run in demo.project.circuit.runs() {
        let Some(it) = flow.run(&studies.network, run.id) else { continue };
        near(it.flow.power_in.value() - it.flow.power_out.value(), it.flow.lost.value(), 1e-6);
        assert!(it.flow.lost.value() >= 0.0, "{what}: {}", run.tag);
        let node = studies.network.run_end(run.id, lineside_core::circuit::Side::From).unwrap();
        let (Some(from), Some(to)) = (it.from, it.to) else { continue };
        assert!((from.value() / to.value() - 1.0).abs() < 0.05, "{what}: {} {from:?} {to:?}", run.tag);
        if studies.zones.kind_of(node) != Some(ZoneKind::Ac) {
            let ohms = studies.ratings.warm_resistance(run.id).map_or(0.0, lineside_core::units::Ohms::value);
            near(from.value() - to.value(), it.flow.current.value() * ohms, 1e-9);
        }
    }
}

#[test]
fn the_cabin_at_noon_in_the_evening_and_on_its_generator() {
    let demo = Demo::read(CABIN);
    let noon = demo.flow("Noon, the bank fills");
    assert_eq!(noon.controller(demo.id("C1")).unwrap().doing, ControllerDoing::Tracking);
    // Three strings alike: a third of the current each, W5 all of it.
    let thirds: f64 = ["W1", "W2", "W3"].map(|tag| demo.run(&noon, tag).2).iter().sum();
    near(thirds, demo.run(&noon, "W5").2, 1e-9);
    // 600 W at the panel, 120 V less what 26 m of 6 AWG lose: 5.02 A through 98.98 mΩ are 0.50 V.
    let (at_inverter, _, amps) = demo.run(&noon, "W15");
    let (_, at_panel, _) = demo.run(&noon, "W17");
    near(at_inverter, 120.0, 1e-9);
    near(amps, 5.02, 0.005);
    near(at_inverter - at_panel, 0.50, 0.005);

    let full = demo.flow("Afternoon, the bank is full");
    let controller = full.controller(demo.id("C1")).unwrap();
    assert!(matches!(controller.doing, ControllerDoing::HeldBack(_)), "{:?}", controller.doing);
    assert!(controller.available.unwrap().value() > 2.0 * controller.input_current.value() * 98.0);

    let evening = demo.flow("Evening on the bank");
    // 1,200 W through the inverter and 240 W of lights, and a tenth more for what is lost on the way.
    let given = demo.gives(&evening, "B1");
    assert!(given > 1440.0 && given < 1.1 * 1440.0, "{given}");

    let dark = demo.flow("Dark week, the generator charges");
    let inverter = dark.inverter(demo.id("INV1")).unwrap();
    assert!(matches!(inverter.doing, InverterDoing::Charging { input: 1 }), "{:?}", inverter.doing);
    // 16 A on 120 V at most.
    let given = demo.gives(&dark, "G1");
    assert!(given > 1600.0 && given < 1920.0, "{given}");

    let locked = demo.flow("Array locked off");
    let strings = locked.sources().iter().filter(|it| it.kind == SourceKind::Strings);
    assert!(strings.clone().count() == 3 && strings.clone().all(|it| it.doing == SourceDoing::Resting));
    // Live up to Q1: three modules of 37.2 V less what the warm cells lose.
    let (volts, _, amps) = demo.run(&locked, "W4");
    assert!(volts > 100.0 && volts < 111.6, "{volts}");
    near(amps, 0.0, 1e-9);
}

#[test]
fn the_home_with_and_without_its_utility() {
    let demo = Demo::read(HOME);
    let there = demo.flow("Noon, utility there");
    let inverter = there.inverter(demo.id("INV1")).unwrap();
    assert!(matches!(inverter.doing, InverterDoing::Charging { input: 1 }), "{:?}", inverter.doing);
    // Three packs alike take the same.
    let packs = ["W16", "W17", "W18"].map(|tag| demo.run(&there, tag).2);
    near(packs[0], packs[1], 1e-9);
    near(packs[0], packs[2], 1e-9);

    let evening = demo.flow("Evening, utility out");
    assert!(demo.gives(&evening, "U1").abs() < 1e-9);
    // 3,000 W, a third from each pack, and a tenth more for what is lost on the way.
    let pack = demo.gives(&evening, "B2");
    assert!(pack > 1000.0 && pack < 1100.0, "{pack}");

    let bypassed = demo.flow("Inverter bypassed for service");
    // It stands by on the bank and feeds nothing.
    let inverter = bypassed.inverter(demo.id("INV1")).unwrap();
    assert_eq!(inverter.doing, InverterDoing::Inverting);
    near(inverter.passed.value() + inverter.made.value(), 0.0, 1e-9);
    // 500 W and 1,500 W from the utility, and next to nothing lost.
    let given = demo.gives(&bypassed, "U1");
    assert!(given > 2000.0 && given < 2020.0, "{given}");
}

#[test]
fn the_hut_carries_itself_in_the_evening_and_under_snow() {
    let demo = Demo::read(HUT);
    let evening = demo.flow("Evening on the bank");
    let given = demo.gives(&evening, "B1");
    assert!(given > 460.0 && given < 1.15 * 460.0, "{given}");
    // 400 W at 230 V: 1.74 A.
    near(demo.run(&evening, "W10").2, 1.74, 0.005);
    let snow = demo.flow("Snow on the modules");
    assert!(demo.gives(&snow, "S1") > 0.0 && demo.gives(&snow, "B1") > 0.0);
}

/// What carries a voltage in a case with every switch as drawn is live by the drawing alone.
#[test]
fn what_a_case_finds_live_the_drawing_calls_live() {
    let mut seen = 0;
    for text in [CABIN, HOME, HUT] {
        let demo = Demo::read(text);
        let (network, liveness) = (&demo.checked.studies.network, &demo.checked.studies.liveness);
        for case in demo.project.cases.iter().filter(|case| case.switches.is_empty()) {
            let flow = demo.flow(&case.name);
            for (node, it) in network.nodes().filter(|(node, _)| flow.voltage(*node).is_some()) {
                assert!(liveness.is_live(node), "{}: {it:?}", case.name);
                seen += 1;
            }
        }
    }
    assert!(seen > 500, "{seen}");
}
