//! A sheet that is drawn and changed by text, as an electrician would read it out. What is checked on it is
//! in `verdict.rs`.
#![expect(
    clippy::expect_used,
    clippy::panic,
    clippy::missing_panics_doc,
    reason = "only tests draw here; a mistake must stop them"
)]

use crate::verdict::Verdict;
use lineside_codes::Codes;
use lineside_core::circuit::{Conductor, PlaceId, Run};
use lineside_core::edit::{Edit, Stand, apply, remove_block_with_runs};
use lineside_core::file::read_stock;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::{Field, Value};
use lineside_core::project::{MadeLabel, Project, RuleSet, Site};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::{Meters, UnitSystem};
use lineside_study::required_labels;
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().expect("the tables read"));
static EMPTY: LazyLock<Bench> = LazyLock::new(Bench::new);

/// Equipment as a stock file writes it: `breaker((rating: "70 A", …))`. Fields that are not given are not on
/// the nameplate.
pub fn equipment(text: &str) -> Equipment {
    let file = format!("[(name: \"as written\", equipment: {text})]");
    match read_stock(&file) {
        Ok(items) => items.into_iter().next().expect("one item").equipment,
        Err(error) => panic!("{error}\nin {text}"),
    }
}

/// A project that is drawn step by step.
#[derive(Clone, Debug)]
pub struct Sheet {
    bench: Bench,
    place: Option<PlaceId>,
    joints: u32,
}

impl Sheet {
    /// An empty sheet at a site between two temperatures.
    pub fn new(rule_set: RuleSet, record_low: f64, design_high: f64) -> Self {
        let mut sheet = Self { bench: EMPTY.clone(), place: None, joints: 0 };
        sheet.bench.project.rule_set = rule_set;
        sheet.site("record_low", &format!("{record_low} °C"));
        sheet.site("design_high", &format!("{design_high} °C"));
        sheet
    }

    /// The project drawn so far.
    pub fn project(&self) -> &Project {
        &self.bench.project
    }

    /// What studies and rules say of it.
    pub fn check(&self) -> Verdict {
        Verdict::of(self.bench.project.clone(), &CODES)
    }

    fn apply(&mut self, edit: Edit) {
        if let Err(refusal) = apply(&mut self.bench.project, edit) {
            panic!("{refusal}");
        }
    }

    /// Sets a fact of the site.
    pub fn site(&mut self, key: &str, typed: &str) {
        let mut brief = self.bench.project.brief.clone();
        let value = read(Site::fields(), key, typed);
        brief.site.set(key, &value).expect("the value fits");
        self.apply(Edit::SetBrief(Box::new(brief)));
    }

    /// Checks by another rule set.
    pub fn rule_set(&mut self, rule_set: RuleSet) {
        self.apply(Edit::SetRuleSet(rule_set));
    }

    /// A location; the blocks that follow stand in it. Facts are `key: text`.
    pub fn place(&mut self, name: &str, facts: &[(&str, &str)]) {
        let known = self.bench.project.circuit.place_by_name(name).map(|place| place.id);
        let id = known.unwrap_or_else(|| self.bench.location(name));
        let mut place = self.bench.project.circuit.place(id).expect("it was just made").clone();
        for (key, typed) in facts {
            let value = read(lineside_core::circuit::PlaceFacts::fields(), key, typed);
            place.facts.set(key, &value).expect("the value fits");
        }
        self.apply(Edit::SetPlace(Box::new(place)));
        self.place = Some(id);
    }

    /// Makes the labels that the system needs as it stands.
    pub fn make_labels(&mut self) {
        let verdict = self.check();
        let on = verdict.conditions();
        let labels = required_labels::study(&on, verdict.studies()).made(&on, UnitSystem::Si);
        self.apply(Edit::SetLabels(labels));
    }

    /// Changes the labels that were made.
    pub fn change_labels(&mut self, change: impl FnOnce(&mut Vec<MadeLabel>)) {
        let mut labels = self.bench.project.labels.clone();
        change(&mut labels);
        self.apply(Edit::SetLabels(labels));
    }

    /// A block, with its nameplate as text.
    pub fn block(&mut self, tag: &str, nameplate: &str) {
        self.bench.put(tag, self.place, equipment(nameplate));
    }

    /// Several blocks with the same nameplate.
    pub fn blocks(&mut self, tags: &[&str], nameplate: &str) {
        for tag in tags {
            self.block(tag, nameplate);
        }
    }

    /// A run of conductors.
    pub fn run(&mut self, tag: &str, from: &str, to: &str, conductor: Conductor) {
        self.bench.join(tag, from, to, Some(conductor));
    }

    /// A joint without conductors, such as a breaker bolted onto a bus.
    pub fn joint(&mut self, from: &str, to: &str) {
        self.joints += 1;
        self.joint_as(&format!("J{}", self.joints), from, to);
    }

    /// A joint with a tag, to be spoken of.
    pub fn joint_as(&mut self, tag: &str, from: &str, to: &str) {
        self.bench.join(tag, from, to, None);
    }

    /// Changes one field of a block's nameplate or settings; nothing typed takes it off.
    pub fn set(&mut self, tag: &str, key: &str, typed: &str) {
        let block = self.bench.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no block {tag}"));
        let mut equipment = block.equipment.clone();
        let value = read(equipment.kind().fields(), key, typed);
        equipment.set(key, &value).expect("the value fits");
        let edit = Edit::SetEquipment { block: block.id, equipment: Box::new(equipment), stock: None };
        self.apply(edit);
    }

    /// Moves a block into the place that was named last.
    pub fn stand(&mut self, tag: &str) {
        let block = self.bench.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no block {tag}"));
        let stand = Stand { at: block.at, orientation: block.orientation, place: self.place };
        self.apply(Edit::SetStand(block.id, stand));
    }

    /// Gives a block another nameplate.
    pub fn swap(&mut self, tag: &str, nameplate: &str) {
        let block = self.bench.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no block {tag}"));
        let equipment = Box::new(equipment(nameplate));
        let edit = Edit::SetEquipment { block: block.id, equipment, stock: None };
        self.apply(edit);
    }

    /// Changes one field of several blocks.
    pub fn set_all(&mut self, tags: &[&str], key: &str, typed: &str) {
        for tag in tags {
            self.set(tag, key, typed);
        }
    }

    /// Changes one field of a run's conductor.
    pub fn set_run(&mut self, tag: &str, key: &str, typed: &str) {
        let run = self.bench.project.circuit.run_by_tag(tag).unwrap_or_else(|| panic!("no run {tag}"));
        let mut run = run.clone();
        let conductor = run.conductor.as_mut().unwrap_or_else(|| panic!("{tag} has no conductor"));
        conductor.set(key, &read(Conductor::fields(), key, typed)).expect("the value fits");
        self.apply(Edit::SetRun(Box::new(run)));
    }

    /// The conductor of a run, to be laid once more.
    pub fn conductor(&self, tag: &str) -> Conductor {
        let run = self.bench.project.circuit.run_by_tag(tag).unwrap_or_else(|| panic!("no run {tag}"));
        *run.conductor.clone().unwrap_or_else(|| panic!("{tag} has no conductor"))
    }

    /// Gives a run another conductor.
    pub fn lay(&mut self, tag: &str, conductor: Conductor) {
        let run = self.bench.project.circuit.run_by_tag(tag).unwrap_or_else(|| panic!("no run {tag}"));
        let run = Run { conductor: Some(Box::new(conductor)), ..run.clone() };
        self.apply(Edit::SetRun(Box::new(run)));
    }

    /// Gives a run other ends.
    pub fn land(&mut self, tag: &str, from: &str, to: &str) {
        let run = self.bench.project.circuit.run_by_tag(tag).unwrap_or_else(|| panic!("no run {tag}"));
        let conductor = run.conductor.as_deref().cloned();
        self.cut(tag);
        self.bench.join(tag, from, to, conductor);
    }

    /// Takes a run away.
    pub fn cut(&mut self, tag: &str) {
        let run = self.bench.project.circuit.run_by_tag(tag).unwrap_or_else(|| panic!("no run {tag}"));
        self.apply(Edit::RemoveRun(run.id));
    }

    /// Takes away whatever joins two ends directly.
    pub fn remove_joint(&mut self, from: &str, to: &str) {
        let circuit = &self.bench.project.circuit;
        let joins = |run: &&Run| {
            let ends = [circuit.end_name(run.from), circuit.end_name(run.to)];
            run.conductor.is_none() && (ends == [from, to] || ends == [to, from])
        };
        let found = circuit.runs().find(joins).unwrap_or_else(|| panic!("nothing joins {from} to {to}"));
        self.apply(Edit::RemoveRun(found.id));
    }

    /// Takes a block away with the runs that land on it.
    pub fn remove(&mut self, tag: &str) {
        let block = self.bench.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no block {tag}"));
        let edit = remove_block_with_runs(&self.bench.project.circuit, block.id);
        self.apply(edit);
    }
}

fn read(fields: &[Field], key: &str, typed: &str) -> Value {
    let field = fields.iter().find(|field| field.key == key).unwrap_or_else(|| panic!("no field {key}"));
    field.read(typed, UnitSystem::Si).unwrap_or_else(|fault| panic!("{fault}"))
}

/// Copper by trade size and length in feet, 90 °C in metal conduit with its own circuit alone and terminals
/// marked 75 °C, in an ambient of 30 °C.
pub fn feet(size: &str, feet: f64) -> Conductor {
    use lineside_core::units::Celsius;
    let marked = Some(Celsius::new(75.0));
    let ambient = Some(Celsius::new(30.0));
    Conductor { ambient, terminal_from: marked, terminal_to: marked, ..copper(size, Meters::from_feet(feet)) }
}
