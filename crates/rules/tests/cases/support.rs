//! Cases for the rule tests: a demo system and the edits that spoil it, and what one rule then says.
//!
//! Not here: the rules themselves, and whole systems with all of their findings.

use lineside_codes::Codes;
use lineside_core::circuit::{
    Block, Conductor, GridPoint, Orientation, PlaceFacts, Run, RunEnd, TerminalName,
};
use lineside_core::edit::{Edit, apply, remove_block_with_runs};
use lineside_core::kinds::{Equipment, OfKind};
use lineside_core::project::{Brief, MadeLabel, Project, RuleSet, Site, StockItem};
use lineside_core::{file, stock};
use lineside_rules::{Amount, Checked, Circumstances, Outcome, check, remedy};
use lineside_study::{Conditions, required_labels};
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| or_stop(Codes::load()));
static STOCK: LazyLock<Vec<StockItem>> = LazyLock::new(|| or_stop(stock::built_in()));

const CABIN: &str = include_str!("../../../../assets/demos/cabin.lineside");
const HOME: &str = include_str!("../../../../assets/demos/home.lineside");
const HUT: &str = include_str!("../../../../assets/demos/hut.lineside");

fn or_stop<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|fault| panic!("{fault}"))
}

/// A project under a rule set.
#[derive(Clone)]
pub struct Case {
    pub project: Project,
    rule_set: RuleSet,
}

impl Case {
    fn read(text: &str) -> Self {
        let project = match file::read(text) {
            Ok(project) => project,
            Err(faults) => panic!("{faults:?}"),
        };
        let rule_set = project.rule_set;
        Self { project, rule_set }
    }
    /// A project that was put together by hand, under its own rule set.
    pub fn of(project: Project) -> Self {
        let rule_set = project.rule_set;
        Self { project, rule_set }
    }
    /// The 48 V nickel-iron cabin, NEC 2023: three strings on the ground, a shed for the equipment.
    pub fn cabin() -> Self {
        Self::read(CABIN)
    }
    /// The 48 V lithium home, NEC 2023: strings on the roof, utility, generator and bypass.
    pub fn home() -> Self {
        Self::read(HOME)
    }
    /// The 24 V lead-acid hut, IEC.
    pub fn hut() -> Self {
        Self::read(HUT)
    }

    pub fn under(mut self, rule_set: RuleSet) -> Self {
        self.rule_set = rule_set;
        self.project.rule_set = rule_set;
        self
    }
    fn edit(mut self, edit: Edit) -> Self {
        or_stop(apply(&mut self.project, edit));
        self
    }
    fn block(&self, tag: &str) -> &Block {
        let found = self.project.circuit.block_by_tag(tag);
        found.unwrap_or_else(|| panic!("no block {tag}"))
    }

    /// Changes nameplate or settings of a block.
    pub fn with<T: OfKind + Clone + Into<Equipment>>(self, tag: &str, change: impl FnOnce(&mut T)) -> Self {
        let block = self.block(tag);
        let Some(found) = block.equipment.as_kind::<T>() else { panic!("{tag} is of another kind") };
        let mut equipment = found.clone();
        change(&mut equipment);
        let (block, stock) = (block.id, block.stock.clone());
        self.edit(Edit::SetEquipment { block, equipment: Box::new(equipment.into()), stock })
    }
    /// Exchanges a block for a stock item.
    pub fn stock(self, tag: &str, name: &str) -> Self {
        let block = self.block(tag).id;
        let equipment = Box::new(stock_item(name));
        self.edit(Edit::SetEquipment { block, equipment, stock: Some(name.to_owned()) })
    }
    /// Changes what is known of a place.
    pub fn place(self, name: &str, change: impl FnOnce(&mut PlaceFacts)) -> Self {
        let Some(place) = self.project.circuit.place_by_name(name) else { panic!("no place {name}") };
        let mut place = place.clone();
        change(&mut place.facts);
        self.edit(Edit::SetPlace(Box::new(place)))
    }
    /// Changes the conductors of a run.
    pub fn run(self, tag: &str, change: impl FnOnce(&mut Conductor)) -> Self {
        let Some(run) = self.project.circuit.run_by_tag(tag) else { panic!("no run {tag}") };
        let mut run = run.clone();
        match &mut run.conductor {
            Some(conductor) => change(conductor),
            None => panic!("{tag} is a direct joint"),
        }
        self.edit(Edit::SetRun(Box::new(run)))
    }
    /// Changes what is known of the site.
    pub fn site(self, change: impl FnOnce(&mut Site)) -> Self {
        let mut brief = self.project.brief.clone();
        change(&mut brief.site);
        self.edit(Edit::SetBrief(Box::new(brief)))
    }
    /// Takes the loads out of the brief.
    pub fn without_loads(self) -> Self {
        let brief = Brief { loads: Vec::new(), ..self.project.brief.clone() };
        self.edit(Edit::SetBrief(Box::new(brief)))
    }
    /// Takes a block away with its runs.
    pub fn without(self, tag: &str) -> Self {
        let edit = remove_block_with_runs(&self.project.circuit, self.block(tag).id);
        self.edit(edit)
    }
    /// Takes a run away.
    pub fn cut(self, tag: &str) -> Self {
        let Some(run) = self.project.circuit.run_by_tag(tag) else { panic!("no run {tag}") };
        let id = run.id;
        self.edit(Edit::RemoveRun(id))
    }
    /// Puts a stock item beside another block.
    pub fn put(self, tag: &str, beside: &str, name: &str) -> Self {
        self.put_equipment(tag, beside, stock_item(name))
    }
    /// Puts equipment beside another block.
    pub fn put_equipment(self, tag: &str, beside: &str, equipment: Equipment) -> Self {
        let place = self.block(beside).place;
        let Some(id) = self.project.next_block_id() else { panic!("no ids are left") };
        let block = Block {
            id,
            tag: tag.to_owned(),
            equipment,
            stock: None,
            place,
            at: GridPoint::new(0, 0),
            orientation: Orientation::default(),
            note: String::new(),
        };
        self.edit(Edit::InsertBlock(Box::new(block)))
    }
    /// Joins two ends by a conductor or directly.
    pub fn join(self, tag: &str, from: &str, to: &str, conductor: Option<Conductor>) -> Self {
        let Some(id) = self.project.next_run_id() else { panic!("no ids are left") };
        let run = Run {
            id,
            tag: tag.to_owned(),
            from: self.end(from),
            to: self.end(to),
            conductor: conductor.map(Box::new),
            bends: Vec::new(),
            note: String::new(),
        };
        self.edit(Edit::InsertRun(Box::new(run)))
    }
    fn end(&self, text: &str) -> RunEnd {
        let Some((tag, terminal)) = text.rsplit_once('.') else { panic!("{text} is no TAG.terminal") };
        let Some(terminal) = TerminalName::read(terminal) else { panic!("no terminal {terminal}") };
        RunEnd { block: self.block(tag).id, terminal }
    }

    /// With the labels that it needs as it stands.
    pub fn labeled(self) -> Self {
        let checked = self.check();
        let on = Conditions::new(&self.project, &CODES).under(self.rule_set);
        let labels = required_labels::study(&on, &checked.studies).made(&on, self.project.units);
        self.edit(Edit::SetLabels(labels))
    }
    /// Without any.
    pub fn unlabeled(self) -> Self {
        self.edit(Edit::SetLabels(Vec::new()))
    }
    /// With another list of labels.
    pub fn labels(self, change: impl FnOnce(&mut Vec<MadeLabel>)) -> Self {
        let mut labels = self.project.labels.clone();
        change(&mut labels);
        self.edit(Edit::SetLabels(labels))
    }
    /// With each label changed.
    pub fn relabeled(self, change: impl Fn(&mut MadeLabel)) -> Self {
        self.labels(|all| all.iter_mut().for_each(change))
    }

    pub fn check(&self) -> Checked {
        check(&self.project, &CODES, self.rule_set)
    }
    /// What a rule finds, one line each: `danger battery-ventilation@Battery room: 1000.00, not 2240.00`.
    pub fn says(&self, rule: &str) -> Vec<String> {
        let findings = self.check().report.findings;
        let of_rule = findings.into_iter().filter(|it| it.rule == rule);
        of_rule
            .map(|it| {
                let (found, allowed) = (show(&it.found), show(&it.allowed));
                let id = it.id(&self.project.circuit);
                let place = id.split_once('@').map_or("", |(_, place)| place);
                format!("{} {place}: {found}, not {allowed}", it.severity.key())
            })
            .collect()
    }
    /// Whether a rule compared two figures and found them in order.
    pub fn passes(&self, rule: &str, found: &str, allowed: &str) -> bool {
        self.check().report.compared.iter().any(|it| {
            it.rule == rule
                && it.outcome == Outcome::Passes
                && format!("{:.2}", it.found.value) == found
                && format!("{:.2}", it.allowed.value) == allowed
        })
    }
    /// What a rule could not tell for want of.
    pub fn asks(&self, rule: &str) -> Vec<&'static str> {
        let unknown = self.check().report.unknown;
        let mut data: Vec<&str> =
            unknown.into_iter().filter(|it| it.rule == rule).map(|it| it.missing.datum).collect();
        data.sort_unstable();
        data.dedup();
        data
    }
    /// The clause under which a rule speaks first.
    pub fn clause(&self, rule: &str) -> &'static str {
        let findings = self.check().report.findings;
        findings.iter().find(|it| it.rule == rule).map_or("", |it| it.clause)
    }
    /// Labels of the remedies that clear the first finding of a rule without a worse one coming.
    pub fn mended(&self, rule: &str) -> Vec<String> {
        let checked = self.check();
        let Some(finding) = checked.report.findings.iter().find(|it| it.rule == rule) else {
            panic!("{rule} says nothing")
        };
        let on = Conditions::new(&self.project, &CODES).under(self.rule_set);
        let circumstances = Circumstances { on, studies: &checked.studies, stock: &STOCK };
        let Some(rule) = lineside_rules::ALL.iter().find(|it| it.id == rule) else { panic!("no {rule}") };
        let proposals = (rule.remedies)(&circumstances, finding);
        let tried = remedy::tried(&self.project, &CODES, &checked, finding, proposals);
        tried.into_iter().map(|it| it.label).collect()
    }
}

fn stock_item(name: &str) -> Equipment {
    let items = or_stop(stock::built_in());
    let Some(item) = stock::find(&items, name) else { panic!("no stock item {name}") };
    item.equipment.clone()
}

fn show(amount: &Amount) -> String {
    match amount {
        Amount::Quantity(quantity) => format!("{:.2}", quantity.value),
        Amount::Words(words) => words.clone(),
    }
}

/// Copper conductors of a size and length in metal conduit.
pub fn copper(size: &str, feet: f64) -> Conductor {
    lineside_core::testing::copper(size, lineside_core::units::Meters::from_feet(feet))
}
