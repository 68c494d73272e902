//! Templates stand alone without a danger of their own; in whole systems they are tried by the window's tests.

use super::*;
use lineside_core::edit::apply;
use lineside_core::stock;

fn built_in() -> Vec<StockItem> {
    stock::built_in().unwrap()
}

#[test]
fn every_template_is_placed_wired_and_taken_back_as_one_step() {
    let stock = built_in();
    for units in [UnitSystem::Us, UnitSystem::Si] {
        for template in Template::ALL {
            let mut project = Project { units, ..Project::default() };
            let before = project.clone();
            let (step, blocks) = place(&project, &stock, template, GridPoint::new(40, 40), |_, _| 0).unwrap();
            let undo = apply(&mut project, step.edit).unwrap();
            assert_eq!(project.circuit.block_count(), blocks.len(), "{template:?}");
            let runs: Vec<usize> = blocks.iter().map(|id| project.circuit.runs_at(*id).len()).collect();
            assert!(runs.iter().all(|runs| *runs > 0), "{template:?}: {runs:?}");
            apply(&mut project, undo).unwrap();
            assert!(project == before);
        }
    }
}

/// A demo without some of its blocks, with a template in their place.
struct Bench {
    project: Project,
    new: Vec<BlockId>,
    runs: Vec<Run>,
}

impl Bench {
    fn new(demo: &str, without: &[&str], template: Template) -> Self {
        let mut project = lineside_core::file::read(demo).unwrap();
        let runs: Vec<Run> = project.circuit.runs().cloned().collect();
        for tag in without {
            let id = project.circuit.block_by_tag(tag).unwrap().id;
            let gone = lineside_core::edit::remove_block_with_runs(&project.circuit, id);
            apply(&mut project, gone).unwrap();
        }
        let (step, new) = place(&project, &built_in(), template, GridPoint::new(400, 400), |_, _| 0).unwrap();
        apply(&mut project, step.edit).unwrap();
        // It stands where what it takes the place of stood, as far as the rules go.
        let place = project.circuit.places().find(|place| place.name.contains("anel")).map(|place| place.id);
        let place = place.or_else(|| project.circuit.places().last().map(|place| place.id));
        for id in &new {
            let block = project.circuit.block(*id).unwrap();
            let stand = lineside_core::edit::Stand { at: block.at, orientation: block.orientation, place };
            apply(&mut project, Edit::SetStand(*id, stand)).unwrap();
        }
        Self { project, new, runs }
    }

    /// Draws a run like one that the demo had; an end is `TAG.terminal`, or `2.terminal` of the template's third block.
    fn join(&mut self, from: &str, to: &str, like: &str) {
        let end = |text: &str| {
            let (who, terminal) = text.split_once('.').unwrap();
            let block = match who.parse::<usize>() {
                Ok(index) => self.new[index],
                Err(_) => self.project.circuit.block_by_tag(who).unwrap().id,
            };
            RunEnd { block, terminal: TerminalName::read(terminal).unwrap() }
        };
        let (from, to) = (end(from), end(to));
        let like = self.runs.iter().find(|run| run.tag == like).unwrap().clone();
        let mut fresh = Fresh::new(&self.project);
        let run = Run { id: fresh.run().unwrap(), tag: fresh.tag("W"), from, to, bends: Vec::new(), ..like };
        apply(&mut self.project, Edit::InsertRun(Box::new(run))).unwrap();
    }

    /// Dangers and corrections at the blocks and runs of the template.
    fn worst(&self) -> Vec<String> {
        use lineside_rules::{Part, Severity};
        let engine = crate::engine::Engine::load().unwrap();
        let derived = crate::engine::derive(&self.project, &engine, 0);
        let circuit = &self.project.circuit;
        let own_run = |id| {
            circuit.run(id).is_some_and(|run: &Run| {
                self.new.contains(&run.from.block) && self.new.contains(&run.to.block)
            })
        };
        let own = |part: Part| match part {
            Part::Block(id) => self.new.contains(&id),
            Part::Run(id) | Part::RunEnd(id, _) => own_run(id),
            Part::Place(_) | Part::Project => false,
        };
        let mut said: Vec<String> = derived
            .findings()
            .iter()
            .filter(|finding| finding.severity != Severity::Advice && own(finding.at))
            .filter(|finding| !finding.rule.starts_with("label"))
            .map(|finding| format!("{:?} {}: {}", finding.severity, finding.id(circuit), finding.title))
            .collect();
        said.sort();
        said
    }
}

const CABIN: &str = include_str!("../../../../../assets/demos/cabin.lineside");
const HOME: &str = include_str!("../../../../../assets/demos/home.lineside");
const HUT: &str = include_str!("../../../../../assets/demos/hut.lineside");

#[test]
fn a_controller_with_its_breakers_is_sound_in_a_cabin_and_a_hut() {
    let mut cabin = Bench::new(CABIN, &["Q1", "C1", "Q2"], Template::ControllerWithBreakers);
    cabin.join("CB1.out", "0.line", "W4");
    cabin.join("2.line", "BUS1.tap1", "W7");
    assert_eq!(cabin.worst(), Vec::<String>::new());
    let mut hut = Bench::new(HUT, &["C1", "Q1"], Template::ControllerWithBreakers);
    hut.join("F2.load", "0.line", "W5");
    hut.join("2.line", "BUS1.tap1", "W7");
    assert_eq!(hut.worst(), Vec::<String>::new());
}

#[test]
fn a_string_takes_the_next_free_way_and_is_like_its_neighbors() {
    let bench = Bench::new(CABIN, &["S3"], Template::StringWithItsWay);
    let circuit = &bench.project.circuit;
    let run = circuit.runs_at(bench.new[0])[0];
    assert_eq!(circuit.end_name(run.to), "CB1.way3");
    let like = circuit.block_by_tag("S1").unwrap();
    assert_eq!(circuit.block(bench.new[0]).unwrap().equipment, like.equipment);
    assert_eq!(bench.worst(), Vec::<String>::new());
}

#[test]
fn an_inverter_with_its_pair_and_bypass_is_sound_in_a_home_and_a_hut() {
    let mut home = Bench::new(HOME, &["BP1", "INV1", "QO"], Template::InverterWithPairAndBypass);
    home.join("QM.load", "0.source", "W20");
    home.join("0.load", "P2.feed", "W24");
    home.join("QI.load", "2.dc", "W12");
    home.join("QG.load", "2.in2", "W27");
    // Where the neutral is bonded and when the bank lets go is the home's, and is set there.
    let of_the_home = ["low-cut-out-window@INV1", "neutral-bond-count@INV1"];
    let stays = |bench: &Bench, of_it: &[&str]| {
        let worst = bench.worst();
        assert!(worst.iter().all(|said| of_it.iter().any(|id| said.contains(id))), "{worst:?}");
        assert!(worst.iter().all(|said| said.starts_with("Correction")), "{worst:?}");
    };
    stays(&home, &of_the_home);
    let mut hut = Bench::new(HUT, &["INV1", "Q3"], Template::InverterWithPairAndBypass);
    hut.join("Q2.load", "2.dc", "W9");
    hut.join("0.load", "P1.feed", "W11");
    // The hut has no supply; the source of the bypass stays open.
    stays(&hut, &["low-cut-out-window@INV1", "neutral-bond-count@INV1", "wiring@Q5#open"]);
}

#[test]
fn where_no_way_is_free_strings_like_those_on_the_sheet_get_a_combiner_that_suits() {
    let home = lineside_core::file::read(HOME).unwrap();
    let stock = built_in();
    // As though all combiners for less than 600 V were dangerous there.
    let volts = |project: &Project, ids: &[BlockId]| {
        let combiner = project.circuit.block(ids[1]).unwrap();
        let Some(Value::Number(volts)) = combiner.equipment.get("dc_voltage") else { return 1 };
        usize::from(volts < 600.0)
    };
    let template = Template::StringWithItsWay;
    let (step, ids) = place(&home, &stock, template, GridPoint::new(300, 300), volts).unwrap();
    let mut project = home.clone();
    let undo = apply(&mut project, step.edit).unwrap();
    assert_eq!(volts(&project, &ids), 0);
    let like = project.circuit.block_by_tag("S2").unwrap();
    assert_eq!(project.circuit.block(ids[0]).unwrap().equipment, like.equipment);
    apply(&mut project, undo).unwrap();
    assert!(project == home);
}
