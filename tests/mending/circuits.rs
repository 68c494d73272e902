//! Sound circuits to start from: the demos, varied in site, lengths, sizes, stock and code as long as no danger and no
//! correction comes of it.

use crate::dice::Dice;
use lineside_codes::Codes;
use lineside_core::circuit::{Block, Run};
use lineside_core::edit::{Edit, apply};
use lineside_core::file;
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::Value;
use lineside_core::project::{Project, RuleSet, StockItem};
use lineside_rules::{Severity, check};

const DEMOS: [&str; 3] = [
    include_str!("../../assets/demos/cabin.lineside"),
    include_str!("../../assets/demos/home.lineside"),
    include_str!("../../assets/demos/hut.lineside"),
];

/// How many dangers and corrections a project has.
pub fn objections(project: &Project, codes: &Codes) -> usize {
    let findings = check(project, codes, project.rule_set).report.findings;
    findings.iter().filter(|it| it.severity < Severity::Advice).count()
}

/// A sound circuit.
pub fn sound(dice: &mut Dice, codes: &Codes, stock: &[StockItem]) -> Project {
    let demo = DEMOS.get(dice.below(DEMOS.len())).copied().unwrap_or_default();
    let mut project = file::read(demo).unwrap_or_else(|error| panic!("{error}"));
    for _ in 0..10 {
        let mut copy = project.clone();
        let changed = variation(dice, &copy, stock).is_some_and(|edit| apply(&mut copy, edit).is_ok());
        if changed && objections(&copy, codes) == 0 {
            project = copy;
        }
    }
    project
}

fn variation(dice: &mut Dice, project: &Project, stock: &[StockItem]) -> Option<Edit> {
    let blocks: Vec<&Block> = project.circuit.blocks().collect();
    let runs: Vec<&Run> = project.circuit.runs().filter(|run| run.conductor.is_some()).collect();
    match dice.below(6) {
        0 => {
            let mut brief = project.brief.clone();
            let (key, low, high) = *dice.pick(&[("record_low", -8.0, 8.0), ("design_high", -6.0, 4.0)])?;
            let Value::Number(now) = brief.site.get(key)? else { return None };
            brief.site.set(key, &Value::Number((now + dice.between(low, high)).round())).ok()?;
            Some(Edit::SetBrief(Box::new(brief)))
        }
        1 | 2 => {
            let mut run = (*dice.pick(&runs)?).clone();
            let conductor = run.conductor.as_mut()?;
            conductor.length = conductor.length * dice.between(0.4, 1.5);
            Some(Edit::SetRun(Box::new(run)))
        }
        3 => {
            let strings: Vec<&&Block> = blocks.iter().filter(|block| block.kind() == Kind::Strings).collect();
            let block = dice.pick(&strings)?;
            let mut equipment = block.equipment.clone();
            let (key, value) =
                *dice.pick(&[("tilt", 30.0), ("tilt", 60.0), ("azimuth", 150.0), ("azimuth", 215.0)])?;
            equipment.set(key, &Value::Number(value)).ok()?;
            Some(Edit::SetEquipment {
                block: block.id,
                equipment: Box::new(equipment),
                stock: block.stock.clone(),
            })
        }
        4 => {
            let block = dice.pick(&blocks)?;
            let alike: Vec<&StockItem> =
                stock.iter().filter(|item| item.equipment.kind() == block.kind()).collect();
            let item = dice.pick(&alike)?;
            Some(Edit::SetEquipment {
                block: block.id,
                equipment: Box::new(item.equipment.clone()),
                stock: Some(item.name.clone()),
            })
        }
        _ => {
            let set = *dice.pick(&[RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017])?;
            project.rule_set.is_nec().then_some(Edit::SetRuleSet(set))
        }
    }
}
