//! What of the stock fits where a block stands, or into a run: every item is tried there on a copy, and what the rules
//! then report says whether it fits and why not.
//!
//! Exchanging an item is the same edit as a remedy makes, so that what is told is what happens.

mod words;

use super::moves::support::exchange;
use super::preview;
use super::trial::{Ledger, Subject, Tried, objects, outcome_of};
use crate::finding::{Amount, Finding, Part, Severity};
use crate::mend::Cost;
use crate::proposals;
use crate::report::{Outcome, Report};
use crate::rules::FOLLOWS_CHANGES;
use lineside_core::circuit::{BlockId, RunId, Side};
use lineside_core::edit::{Edit, Refusal};
use lineside_core::kinds::Kind;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{Quantity, UnitSystem};
use std::cmp::Ordering;
use std::ops::ControlFlow;

/// Where an item would stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// In the place of a block, with its runs and what the designer has set.
    Block(BlockId),
    /// In a run, at one of its ends.
    Run(RunId, Side),
}

/// Rules whose comparisons leave nothing to spare: what is printed on labels, and sizes that must be standard ones.
const NO_MARGIN: [&str; 2] = [FOLLOWS_CHANGES, "overcurrent-standard-size"];

/// Whether an item can stand there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fitness {
    /// No danger and no correction comes, and none stays at the block.
    Fits,
    /// A correction comes or stays.
    Corrections,
    /// A danger comes or stays.
    Dangers,
    /// It cannot even be put there.
    Refused,
}

/// A finding, in short.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// Its id.
    pub id: String,
    /// How bad.
    pub severity: Severity,
    /// What is wrong.
    pub title: String,
    /// What was found, where it is a quantity.
    pub found: Option<Quantity>,
    /// What is allowed, where it is a quantity.
    pub allowed: Option<Quantity>,
}

/// The limit to which an item comes nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// The rule that compares.
    pub rule: &'static str,
    /// What is found.
    pub found: Quantity,
    /// What is allowed.
    pub allowed: Quantity,
    /// What is to spare, as a share of what is allowed.
    pub share: f64,
}

/// One item of stock, tried in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Its name.
    pub item: String,
    /// Whether it is what stands there now.
    pub now: Standing,
    /// Whether it fits.
    pub fitness: Fitness,
    /// The edit that puts it there; `None` when that is refused.
    pub edit: Option<Edit>,
    /// Findings that go.
    pub goes: Vec<Told>,
    /// Findings that come, worst first.
    pub comes: Vec<Told>,
    /// Dangers and corrections at the block that stay.
    pub stays: Vec<Told>,
    /// How many rules can no longer tell, because its nameplate says less.
    pub blinds: usize,
    /// The limit to which it comes nearest.
    pub margin: Option<Margin>,
    /// What it costs more than what stands there, when the price book knows.
    pub cost: Option<Cost>,
    /// All that in words.
    pub why: String,
}

/// Whether an item stands there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It does.
    Here,
    /// It lies in stock.
    InStock,
}

/// Tries every item of a kind, the project's own stock first, and ranks them: best first. `watch` hears each as soon as it has
/// been tried and may stop the search; then what has been tried is ranked.
pub fn fits(
    subject: &Subject<'_>,
    spot: Spot,
    kind: Kind,
    units: UnitSystem,
    mut watch: impl FnMut(&Fit) -> ControlFlow<()>,
) -> Vec<Fit> {
    let ledger = Ledger::of(&subject.checked.report);
    let mut all: Vec<Fit> = Vec::new();
    for item in candidates(subject, kind) {
        let fit = fit(subject, &ledger, spot, item, units);
        let flow = watch(&fit);
        all.push(fit);
        if flow.is_break() {
            break;
        }
    }
    all.sort_by(rank);
    all
}

/// Items of a kind, each name once: what the project brings with it goes before stock of that name.
fn candidates<'a>(subject: &Subject<'a>, kind: Kind) -> Vec<&'a StockItem> {
    let mut found: Vec<&StockItem> = Vec::new();
    for item in subject.project.stock.iter().chain(subject.stock) {
        if item.equipment.kind() == kind && !found.iter().any(|other| other.name == item.name) {
            found.push(item);
        }
    }
    found
}

/// Best first: what fits, then what brings least; among equals what costs less where that is known, then what has most to spare.
fn rank(a: &Fit, b: &Fit) -> Ordering {
    let weight = |fit: &Fit| {
        let of = |severity| {
            let both = fit.comes.iter().chain(&fit.stays);
            both.filter(|it| it.severity == severity && !it.id.starts_with(FOLLOWS_CHANGES)).count()
        };
        (fit.fitness, of(Severity::Danger), of(Severity::Correction), fit.blinds, of(Severity::Advice))
    };
    let cost = |fit: &Fit| fit.cost.as_ref().map(|cost| cost.amount);
    let priced = match (cost(a), cost(b)) {
        (Some(a), Some(b)) => a.cmp(&b),
        _ => Ordering::Equal,
    };
    let spare = |fit: &Fit| fit.margin.map_or(f64::NEG_INFINITY, |margin| margin.share);
    weight(a).cmp(&weight(b)).then(priced).then_with(|| spare(b).total_cmp(&spare(a)))
}

fn fit(subject: &Subject<'_>, ledger: &Ledger, spot: Spot, item: &StockItem, units: UnitSystem) -> Fit {
    let mut fit = Fit {
        item: item.name.clone(),
        now: standing(subject.project, spot, item),
        fitness: Fitness::Refused,
        edit: None,
        goes: Vec::new(),
        comes: Vec::new(),
        stays: Vec::new(),
        blinds: 0,
        margin: None,
        cost: None,
        why: String::new(),
    };
    let Some(edit) = edit_of(subject, spot, item) else {
        "It does not lie in a run.".clone_into(&mut fit.why);
        return fit;
    };
    match outcome_of(subject, &edit) {
        Err(refusal) => fit.why = refused(&refusal),
        Ok(tried) => {
            judge(&mut fit, subject, ledger, spot, &tried);
            fit.edit = Some(edit);
            fit.why = words::why(&fit, units);
        }
    }
    fit
}

fn standing(project: &Project, spot: Spot, item: &StockItem) -> Standing {
    let block = if let Spot::Block(id) = spot { project.circuit.block(id) } else { None };
    let here = block.is_some_and(|block| block.stock.as_deref() == Some(item.name.as_str()));
    if here { Standing::Here } else { Standing::InStock }
}

fn edit_of(subject: &Subject<'_>, spot: Spot, item: &StockItem) -> Option<Edit> {
    let circuit = &subject.project.circuit;
    match spot {
        Spot::Block(id) => Some(exchange(circuit.block(id)?, item).edit),
        Spot::Run(id, side) => {
            let lies_in_a_run = ["line", "load"].into_iter().all(|wanted| {
                item.equipment.terminals().iter().any(|terminal| terminal.name.to_string() == wanted)
            });
            lies_in_a_run
                .then(|| proposals::insertion(subject.project, circuit.run(id)?, side, item.clone()))?
        }
    }
}

fn refused(refusal: &Refusal) -> String {
    format!("It cannot stand there: {refusal}.")
}

fn told(finding: &Finding, project: &Project) -> Told {
    let quantity = |amount: &Amount| if let Amount::Quantity(it) = amount { Some(*it) } else { None };
    Told {
        found: quantity(&finding.found),
        allowed: quantity(&finding.allowed),
        id: finding.id(&project.circuit),
        severity: finding.severity,
        title: finding.title.clone(),
    }
}

/// Holds what is reported with the item against what was reported before.
fn judge(fit: &mut Fit, subject: &Subject<'_>, ledger: &Ledger, spot: Spot, tried: &Tried) {
    let report = &tried.checked.report;
    let (before, after) = (subject.project, &tried.project);
    let came: Vec<&Finding> = ledger.newcomers(report).collect();
    fit.comes = came.iter().map(|it| told(it, after)).collect();
    fit.comes.extend(ledger.advice(report).map(|it| told(it, after)));
    fit.goes = ledger.gone(&subject.checked.report, report).map(|it| told(it, before)).collect();
    let here = new_part(subject.project, spot);
    let names = |finding: &&Finding| finding.parts().any(|part| part == here);
    let stays = report.findings.iter().filter(|it| objects(it) && !came.contains(it)).filter(names);
    fit.stays = stays.map(|it| told(it, after)).collect();
    fit.blinds = ledger.newly_unknown(report);
    fit.margin = margin(report, here);
    fit.cost = preview::cost(before, after);
    let worst = fit.comes.iter().chain(&fit.stays).filter(|it| !it.id.starts_with(FOLLOWS_CHANGES));
    fit.fitness = match worst.map(|it| it.severity).min() {
        Some(Severity::Danger) => Fitness::Dangers,
        Some(Severity::Correction) => Fitness::Corrections,
        Some(Severity::Advice) | None => Fitness::Fits,
    };
}

/// The block that stands there once the item is in its place.
fn new_part(before: &Project, spot: Spot) -> Part {
    match spot {
        Spot::Block(id) => Part::Block(id),
        Spot::Run(run, _) => before.next_block_id().map_or(Part::Run(run), Part::Block),
    }
}

/// Of everything that was compared at a part and holds, what is nearest to its limit. Counts and labels have nothing to spare.
fn margin(report: &Report, at: Part) -> Option<Margin> {
    let counted = Quantity::count(0).unit;
    let compared = report.compared.iter().filter(|it| {
        it.at == at
            && it.outcome == Outcome::Passes
            && !NO_MARGIN.contains(&it.rule)
            && it.allowed.unit != counted
            && it.allowed.value.abs() > 0.0
    });
    compared
        .map(|it| Margin {
            rule: it.rule,
            found: it.found,
            allowed: it.allowed,
            share: (it.allowed.value - it.found.value).abs() / it.allowed.value.abs(),
        })
        .min_by(|a, b| a.share.total_cmp(&b.share))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check;
    use lineside_codes::Codes;
    use lineside_core::edit::apply;
    use lineside_core::file;
    use lineside_core::stock;

    fn tried(demo: &str, tag: &str, kind: Kind) -> (Project, Vec<Fit>) {
        let project = file::read(demo).unwrap();
        let codes = Codes::load().unwrap();
        let stock = stock::built_in().unwrap();
        let checked = check(&project, &codes, project.rule_set);
        let subject = Subject { project: &project, codes: &codes, stock: &stock, checked: &checked };
        let block = project.circuit.block_by_tag(tag).unwrap().id;
        let all = fits(&subject, Spot::Block(block), kind, UnitSystem::Us, |_| ControlFlow::Continue(()));
        (project, all)
    }

    const AS_FOUND: &str = include_str!("../../../../assets/demos/as-found.lineside");
    const CABIN: &str = include_str!("../../../../assets/demos/cabin.lineside");

    #[test]
    fn controllers_are_ranked_and_those_that_do_not_fit_say_why() {
        let (project, all) = tried(CABIN, "C1", Kind::ChargeController);
        let now = all.iter().find(|it| it.now == Standing::Here).unwrap();
        // The demo is sound, so that what stands there fits, and exchanging it for itself changes nothing.
        assert_eq!((now.fitness, now.goes.len(), now.comes.len()), (Fitness::Fits, 0, 0), "{}", now.why);
        assert!(all.is_sorted_by_key(|it| it.fitness), "what fits stands first");
        let worst = all.iter().find(|it| it.fitness == Fitness::Dangers).unwrap();
        assert!(!worst.why.is_empty() && worst.comes.iter().any(|it| worst.why.starts_with(&it.title)));
        // What is told is what happens.
        for fit in all.iter().filter(|it| it.edit.is_some()).take(4) {
            let mut copy = project.clone();
            apply(&mut copy, fit.edit.clone().unwrap()).unwrap();
            let report = check(&copy, &Codes::load().unwrap(), copy.rule_set).report;
            let ids: Vec<String> = report.findings.iter().map(|it| it.id(&copy.circuit)).collect();
            assert!(fit.comes.iter().all(|it| ids.contains(&it.id)), "{}", fit.item);
            assert!(fit.goes.iter().all(|it| !ids.contains(&it.id)), "{}", fit.item);
        }
    }

    #[test]
    fn an_item_that_clears_what_is_wrong_stands_before_what_stands_there() {
        // Four modules in series give 1.6 times what the controller of the workshop may see.
        let (_, all) = tried(AS_FOUND, "C1", Kind::ChargeController);
        let place = |wanted: &dyn Fn(&Fit) -> bool| all.iter().position(wanted).unwrap();
        let here = place(&|it| it.now == Standing::Here);
        let cleared = place(&|it| it.goes.iter().any(|gone| gone.id == "string-cold-voltage@C1"));
        assert!(cleared < here);
        assert!(all[here].stays.iter().any(|it| it.id == "string-cold-voltage@C1"));
    }

    #[test]
    fn the_margin_is_the_comparison_nearest_to_its_limit() {
        let (_, all) = tried(CABIN, "C1", Kind::ChargeController);
        let now = all.iter().find(|it| it.now == Standing::Here).unwrap();
        let margin = now.margin.unwrap();
        // 40 cells charged at 1.71 V are 68.4 V at an output made for 72 V: (72 − 68.4) / 72 = 5 %.
        assert_eq!(margin.rule, "charge-voltage-above-equipment");
        assert!((margin.found.value - 68.4).abs() < 1e-9 && (margin.allowed.value - 72.0).abs() < 1e-9);
        assert!((margin.share - 0.05).abs() < 1e-9);
        assert!(now.why.contains("68.40 V against 72.00 V, 5.00 % to spare"), "{}", now.why);
        // A size that must be a standard one has nothing to spare and is no margin.
        let (_, breakers) = tried(CABIN, "Q1", Kind::Breaker);
        assert!(breakers.iter().all(|it| it.margin.is_none_or(|it| it.rule != "overcurrent-standard-size")));
    }

    #[test]
    fn the_search_can_be_stopped() {
        let project = file::read(CABIN).unwrap();
        let codes = Codes::load().unwrap();
        let stock = stock::built_in().unwrap();
        let checked = check(&project, &codes, project.rule_set);
        let subject = Subject { project: &project, codes: &codes, stock: &stock, checked: &checked };
        let block = project.circuit.block_by_tag("C1").unwrap().id;
        let spot = Spot::Block(block);
        let all = fits(&subject, spot, Kind::ChargeController, UnitSystem::Si, |_| ControlFlow::Break(()));
        assert_eq!(all.len(), 1);
    }

    #[test]
    fn devices_are_tried_in_a_run() {
        let project = file::read(CABIN).unwrap();
        let codes = Codes::load().unwrap();
        let stock = stock::built_in().unwrap();
        let checked = check(&project, &codes, project.rule_set);
        let subject = Subject { project: &project, codes: &codes, stock: &stock, checked: &checked };
        let run = project.circuit.runs().find(|run| run.conductor.is_some()).unwrap();
        let spot = Spot::Run(run.id, Side::From);
        let all = fits(&subject, spot, Kind::Breaker, UnitSystem::Us, |_| ControlFlow::Continue(()));
        assert!(all.iter().any(|it| it.edit.is_some()));
        let panels = fits(&subject, spot, Kind::AcPanel, UnitSystem::Us, |_| ControlFlow::Continue(()));
        assert!(panels.iter().all(|it| it.fitness == Fitness::Refused && !it.why.is_empty()));
    }
}
