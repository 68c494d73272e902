//! Taking another item of stock in the place of one that is drawn, with its runs and its settings kept.

use super::{Labeled, names_of, one};
use lineside_core::circuit::{Block, BlockId, Circuit, Run, RunEnd, TerminalName};
use lineside_core::edit::Edit;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::Layer;
use lineside_core::project::StockItem;
use std::collections::BTreeSet;

/// Puts an item in the place of blocks of its kind. Runs stay where they are; one whose terminal the item does not
/// have goes to a free one of the same sort. Says why when it cannot be done.
pub fn swap(circuit: &Circuit, blocks: &BTreeSet<BlockId>, item: &StockItem) -> Result<Labeled, String> {
    let mut edits = Vec::new();
    for block in blocks.iter().filter_map(|id| circuit.block(*id)) {
        if block.kind() != item.equipment.kind() {
            let (own, other) = (one(block.kind()), one(item.equipment.kind()));
            return Err(format!("{} is {own}; {other} cannot take its place", block.tag));
        }
        edits.extend(moved_runs(circuit, block, &item.equipment)?);
        edits.push(Edit::SetEquipment {
            block: block.id,
            equipment: Box::new(with_settings_of(&item.equipment, &block.equipment)),
            stock: Some(item.name.clone()),
        });
    }
    if edits.is_empty() {
        return Err("there is nothing to swap".to_owned());
    }
    Ok(Labeled::new(format!("swap {}", names_of(circuit, blocks)), Edit::Batch(edits)))
}

/// Why an item cannot take the place of blocks; `None` when it can.
pub fn hindrance(circuit: &Circuit, blocks: &BTreeSet<BlockId>, item: &StockItem) -> Option<String> {
    swap(circuit, blocks, item).err()
}

/// Every block of the same model: from the same item of stock, or else of the same nameplate.
pub fn same_model(circuit: &Circuit, id: BlockId) -> BTreeSet<BlockId> {
    let Some(model) = circuit.block(id) else { return BTreeSet::new() };
    let same = |block: &&Block| {
        block.kind() == model.kind()
            && match (&block.stock, &model.stock) {
                (Some(one), Some(other)) => one == other,
                (None, None) => same_nameplate(&block.equipment, &model.equipment),
                (Some(_), None) | (None, Some(_)) => false,
            }
    };
    circuit.blocks().filter(same).map(|block| block.id).collect()
}

fn same_nameplate(one: &Equipment, other: &Equipment) -> bool {
    let mut nameplate = one.kind().fields().iter().filter(|field| field.layer == Layer::Nameplate);
    nameplate.all(|field| one.get(field.key) == other.get(field.key))
}

/// What the designer chose stays as it was chosen.
fn with_settings_of(new: &Equipment, old: &Equipment) -> Equipment {
    let mut equipment = new.clone();
    for field in new.kind().fields().iter().filter(|field| field.layer == Layer::Setting) {
        if let Some(value) = old.get(field.key) {
            let mut tried = equipment.clone();
            if tried.set(field.key, &value).is_ok() {
                equipment = tried;
            }
        }
    }
    equipment
}

/// Runs on terminals that the new equipment does not have, moved to free ones of the same sort.
fn moved_runs(circuit: &Circuit, block: &Block, new: &Equipment) -> Result<Vec<Edit>, String> {
    let names: Vec<TerminalName> = new.terminals().into_iter().map(|terminal| terminal.name).collect();
    let runs = circuit.runs_at(block.id);
    let mut used: BTreeSet<TerminalName> = runs
        .iter()
        .flat_map(|run| run.ends())
        .filter(|(_, end)| end.block == block.id)
        .map(|(_, end)| end.terminal)
        .collect();
    let mut edits = Vec::new();
    for run in runs {
        let mut moved: Run = run.clone();
        for end in [&mut moved.from, &mut moved.to] {
            if end.block != block.id || names.contains(&end.terminal) {
                continue;
            }
            let own = end.terminal;
            let free = names.iter().copied().find(|name| name.stem() == own.stem() && !used.contains(name));
            let Some(free) = free else {
                return Err(format!(
                    "{} lands on {}.{own}, and {} of this model has no such terminal free",
                    run.tag,
                    block.tag,
                    one(block.kind())
                ));
            };
            used.insert(free);
            *end = RunEnd { terminal: free, ..*end };
        }
        if moved != *run {
            moved.bends = Vec::new();
            edits.push(Edit::SetRun(Box::new(moved)));
        }
    }
    Ok(edits)
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, bus, end, item, join, put};
    use super::*;
    use lineside_core::edit::apply;
    use lineside_core::kinds::field::Value;
    use lineside_core::project::Project;

    #[test]
    fn runs_and_settings_are_kept_and_undo_restores() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        let run = join(&mut project, "W1", end(a, "load"), end(b, "line"));
        let mut open = breaker();
        open.set("position", &Value::Choice("open")).unwrap();
        apply(&mut project, Edit::SetEquipment { block: a, equipment: Box::new(open), stock: None }).unwrap();
        let before = project.clone();
        let step = swap(&project.circuit, &BTreeSet::from([a]), &item("DC breaker, 80 A, 150 V")).unwrap();
        assert_eq!(step.label, "swap Q1");
        let undo = apply(&mut project, step.edit).unwrap();
        let swapped = project.circuit.block(a).unwrap();
        assert_eq!(swapped.stock.as_deref(), Some("DC breaker, 80 A, 150 V"));
        assert_eq!(swapped.equipment.get("rating"), Some(Value::Number(80.0)));
        assert_eq!(swapped.equipment.get("position"), Some(Value::Choice("open")));
        assert_eq!(project.circuit.run(run), before.circuit.run(run));
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn another_kind_is_refused_and_lost_terminals_give_way_to_free_ones() {
        let mut project = Project::default();
        let bar = put(&mut project, "BUS1", bus(12), 40, 0);
        let q = put(&mut project, "Q1", breaker(), 0, 0);
        let run = join(&mut project, "W1", end(q, "load"), end(bar, "tap12"));
        let (both, alone) = (BTreeSet::from([q, bar]), BTreeSet::from([bar]));
        let small = item("DC bus bar, covered, 400 A, 8 taps, 150 V");
        let refused = swap(&project.circuit, &both, &small).unwrap_err();
        assert_eq!(refused, "Q1 is a breaker; a bus bar cannot take its place");
        let step = swap(&project.circuit, &alone, &small).unwrap();
        apply(&mut project, step.edit).unwrap();
        assert_eq!(project.circuit.end_name(project.circuit.run(run).unwrap().to), "BUS1.tap1");
    }

    #[test]
    fn a_run_without_a_terminal_to_go_to_is_named() {
        let mut project = Project::default();
        let bar = put(&mut project, "BUS1", bus(12), 40, 0);
        for n in 1..=9 {
            let q = put(&mut project, &format!("Q{n}"), breaker(), 0, 8 * n);
            join(&mut project, &format!("W{n}"), end(q, "load"), end(bar, &format!("tap{n}")));
        }
        let small = item("DC bus bar, covered, 400 A, 8 taps, 150 V");
        let why = hindrance(&project.circuit, &BTreeSet::from([bar]), &small).unwrap();
        assert_eq!(why, "W9 lands on BUS1.tap9, and a bus bar of this model has no such terminal free");
    }

    #[test]
    fn the_same_model_is_found_by_stock_or_by_nameplate() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        let c = put(&mut project, "Q3", item("DC breaker, 80 A, 150 V").equipment, 0, 20);
        assert_eq!(same_model(&project.circuit, a), BTreeSet::from([a, b]));
        assert_eq!(same_model(&project.circuit, c), BTreeSet::from([c]));
    }
}
