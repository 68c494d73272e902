//! What an edit changes on the sheet, in words, and what that costs by the project's price book. Told from the
//! project before and after, so that it cannot differ from what is applied.

use lineside_core::circuit::{Block, Conductor, PlaceFacts, Run};
use lineside_core::kinds::field::{Field, Value};
use lineside_core::project::{MadeLabel, Project, Site};
use lineside_core::units::UnitSystem;
use rust_decimal::Decimal;

/// What a remedy costs the firm, beyond what is drawn already.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cost {
    /// How much more; below zero where it saves.
    pub amount: Decimal,
    /// ISO 4217 code of the price book; empty when it has none.
    pub currency: String,
}

/// Fields that are listed for one block before the rest is left out: an exchange changes most of a nameplate.
const LISTED: usize = 4;

/// What changes, line by line.
pub(super) fn changes(before: &Project, after: &Project, units: UnitSystem) -> Vec<String> {
    let mut lines = Vec::new();
    for block in after.circuit.blocks() {
        match before.circuit.block(block.id) {
            None => lines.push(new_block(after, block)),
            Some(old) => lines.extend(block_changes(old, block, units)),
        }
    }
    for run in after.circuit.runs() {
        match before.circuit.run(run.id) {
            None if run.conductor.is_some() => {
                lines.push(format!(
                    "{}: new, {} to {}",
                    run.tag,
                    after.circuit.end_name(run.from),
                    after.circuit.end_name(run.to)
                ));
            }
            None => {}
            Some(old) => lines.extend(run_changes(old, run, units)),
        }
    }
    for place in after.circuit.places() {
        if let Some(old) = before.circuit.place(place.id) {
            let fields =
                differing(PlaceFacts::fields(), |key| old.facts.get(key), |key| place.facts.get(key));
            lines.extend(fields.map(|change| change.line(&place.name, units)));
        }
    }
    let (old, new) = (&before.brief.site, &after.brief.site);
    let fields = differing(Site::fields(), |key| old.get(key), |key| new.get(key));
    lines.extend(fields.map(|change| change.line("Site", units)));
    lines.extend(label_changes(&before.labels, &after.labels));
    lines
}

/// `Labels: 1 added, 2 renewed, 1 taken away`.
fn label_changes(before: &[MadeLabel], after: &[MadeLabel]) -> Option<String> {
    let same_place = |a: &MadeLabel, b: &MadeLabel| (a.kind, &a.at) == (b.kind, &b.at);
    let is_in = |list: &[MadeLabel], label: &MadeLabel| list.iter().any(|it| same_place(it, label));
    let added = after.iter().filter(|it| !is_in(before, it)).count();
    let renewed = after.iter().filter(|it| is_in(before, it) && !before.contains(it)).count();
    let gone = before.iter().filter(|it| !is_in(after, it)).count();
    let counts: Vec<String> = [(added, "added"), (renewed, "renewed"), (gone, "taken away")]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    if counts.is_empty() && before != after {
        return Some("Labels: double ones taken away".to_owned());
    }
    (!counts.is_empty()).then(|| format!("Labels: {}", counts.join(", ")))
}

fn new_block(project: &Project, block: &Block) -> String {
    let what = block.stock.as_deref().unwrap_or_else(|| block.kind().label());
    let place = block.place.and_then(|id| project.circuit.place(id));
    place.map_or_else(
        || format!("{}: new, {what}", block.tag),
        |it| format!("{}: new, {what}, in {}", block.tag, it.name),
    )
}

fn block_changes(old: &Block, new: &Block, units: UnitSystem) -> Vec<String> {
    if old.equipment == new.equipment {
        return Vec::new();
    }
    if let (Some(was), Some(is)) = (&old.stock, &new.stock)
        && was != is
    {
        return vec![format!("{}: {was} → {is}", new.tag)];
    }
    let fields = new.kind().fields();
    let all: Vec<String> = differing(fields, |key| old.equipment.get(key), |key| new.equipment.get(key))
        .map(|change| change.line(&new.tag, units))
        .collect();
    let rest = all.len().saturating_sub(LISTED);
    let mut lines: Vec<String> = all.into_iter().take(LISTED).collect();
    if rest > 0 {
        lines.push(format!("{}: {rest} more of its nameplate", new.tag));
    }
    lines
}

fn run_changes(old: &Run, new: &Run, units: UnitSystem) -> Vec<String> {
    let (Some(was), Some(is)) = (&old.conductor, &new.conductor) else { return Vec::new() };
    differing(Conductor::fields(), |key| was.get(key), |key| is.get(key))
        .map(|change| change.line(&new.tag, units))
        .collect()
}

struct Change {
    field: &'static Field,
    old: Value,
    new: Value,
}

impl Change {
    /// `W4 · Size: 8 AWG → 4 AWG`.
    fn line(&self, name: &str, units: UnitSystem) -> String {
        let show = |value: &Value| {
            if *value == Value::Absent { "not given".to_owned() } else { self.field.show(value, units) }
        };
        format!("{name} · {}: {} → {}", self.field.label, show(&self.old), show(&self.new))
    }
}

fn differing(
    fields: &'static [Field],
    old: impl Fn(&str) -> Option<Value>,
    new: impl Fn(&str) -> Option<Value>,
) -> impl Iterator<Item = Change> {
    fields.iter().filter_map(move |field| {
        let (old, new) = (old(field.key)?, new(field.key)?);
        (old != new).then_some(Change { field, old, new })
    })
}

/// What the blocks that are new or exchanged cost more than those that go; `None` where a price is missing, or
/// where nothing is bought.
pub(super) fn cost(before: &Project, after: &Project) -> Option<Cost> {
    let book = &after.price_book;
    let price = |block: &Block| {
        let name = block.stock.as_ref()?;
        book.prices.iter().find(|it| it.item == *name).map(|it| it.cost)
    };
    let mut amount = Decimal::ZERO;
    let mut bought = 0;
    for block in after.circuit.blocks() {
        let old = before.circuit.block(block.id);
        if old.is_some_and(|old| old.stock == block.stock) {
            continue;
        }
        amount += price(block)?;
        if let Some(old) = old {
            amount -= price(old)?;
        }
        bought += 1;
    }
    (bought > 0 && !conductors_differ(before, after))
        .then(|| Cost { amount, currency: book.currency.clone() })
}

/// Conductors are priced by the foot under names of the firm's own, so that a remedy with other conductors has no
/// price here.
fn conductors_differ(before: &Project, after: &Project) -> bool {
    after.circuit.runs().any(|run| match before.circuit.run(run.id) {
        Some(old) => old.conductor != run.conductor,
        None => run.conductor.is_some(),
    })
}
