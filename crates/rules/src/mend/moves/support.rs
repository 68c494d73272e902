//! What the moves share: blocks and runs of a finding, the zones they stand in, fields set by key.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part};
use crate::remedy::Proposal;
use lineside_core::circuit::{Block, BlockId, Run, RunId};
use lineside_core::edit::Edit;
use lineside_core::kinds::field::{Layer, Value};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_study::{Zone, ZoneKind};

/// The blocks that a finding names, each once, the chief one first.
pub(super) fn blocks<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Block> {
    let mut all: Vec<&Block> = Vec::new();
    for part in finding.parts() {
        if let Part::Block(id) = part
            && let Some(block) = on.block(id)
            && !all.iter().any(|it| it.id == id)
        {
            all.push(block);
        }
    }
    all
}

/// The runs that a finding names, each once, the chief one first.
pub(super) fn runs<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Run> {
    let mut all: Vec<&Run> = Vec::new();
    for part in finding.parts() {
        if let Part::Run(id) | Part::RunEnd(id, _) = part
            && let Some(run) = on.run(id)
            && !all.iter().any(|it| it.id == id)
        {
            all.push(run);
        }
    }
    all
}

/// The run at which a finding stands.
pub(super) const fn chief_run(finding: &Finding) -> Option<RunId> {
    match finding.at {
        Part::Run(id) | Part::RunEnd(id, _) => Some(id),
        Part::Block(_) | Part::Place(_) | Part::Project => None,
    }
}

/// The zones of a kind in which a finding's blocks and runs stand.
pub(super) fn zones<'a>(on: &Circumstances<'a>, finding: &Finding, kind: ZoneKind) -> Vec<&'a Zone> {
    let network = &on.studies.network;
    let of_blocks = blocks(on, finding).into_iter().flat_map(|block| network.nodes_of(block.id));
    let of_runs = runs(on, finding)
        .into_iter()
        .flat_map(|run| lineside_core::circuit::Side::BOTH.map(|side| network.run_end(run.id, side)))
        .flatten();
    let mut ids: Vec<_> = of_blocks.chain(of_runs).filter_map(|node| on.studies.zones.of(node)).collect();
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter().filter_map(|id| on.studies.zones.get(id)).filter(|zone| zone.kind == kind).collect()
}

/// The banks that a finding is about: those it names, else those of its battery zones.
pub(super) fn banks<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Block> {
    let named: Vec<&Block> =
        blocks(on, finding).into_iter().filter(|block| block.kind() == Kind::BatteryBank).collect();
    if !named.is_empty() {
        return named;
    }
    let zones = zones(on, finding, ZoneKind::Battery).into_iter();
    zones.flat_map(|zone| on.banks_in(zone)).map(|(block, ..)| block).collect()
}

/// The sets of strings on the array sides of a finding.
pub(super) fn strings<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Block> {
    let zones = zones(on, finding, ZoneKind::Pv).into_iter();
    zones.flat_map(|zone| on.string_sets(zone)).map(|(block, _)| block).collect()
}

/// The figure that is allowed, over the figure that was found.
pub(super) fn allowed_over_found(finding: &Finding) -> Option<f64> {
    let (Amount::Quantity(found), Amount::Quantity(allowed)) = (&finding.found, &finding.allowed) else {
        return None;
    };
    (found.value > 0.0).then(|| allowed.value / found.value)
}

/// A block with one field set; `None` where the field has that value already or does not take it.
pub(super) fn with_field(block: &Block, key: &str, value: &Value) -> Option<Equipment> {
    let mut equipment = block.equipment.clone();
    equipment.set(key, value).ok()?;
    (equipment != block.equipment).then_some(equipment)
}

/// The edit that gives a block other equipment of the same stock.
pub(super) fn set(block: &Block, equipment: Equipment) -> Edit {
    Edit::SetEquipment { block: block.id, equipment: Box::new(equipment), stock: block.stock.clone() }
}

/// One field of several blocks set together.
pub(super) fn set_all(
    label: String,
    changed: impl IntoIterator<Item = (BlockId, Equipment, Option<String>)>,
) -> Option<Proposal> {
    let mut edits: Vec<Edit> = changed
        .into_iter()
        .map(|(block, equipment, stock)| Edit::SetEquipment { block, equipment: Box::new(equipment), stock })
        .collect();
    let edit = if edits.len() > 1 { Edit::Batch(edits) } else { edits.pop()? };
    Some(Proposal { label, edit })
}

/// A block exchanged for a stock item that keeps what the designer had set, as far as the new one takes it.
pub(in crate::mend) fn exchange(block: &Block, item: &StockItem) -> Proposal {
    let mut equipment = item.equipment.clone();
    if equipment.kind() == block.kind() {
        for field in block.kind().fields().iter().filter(|field| field.layer == Layer::Setting) {
            if let Some(value) = block.equipment.get(field.key) {
                let _ = equipment.set(field.key, &value);
            }
        }
    }
    Proposal {
        label: format!("{} as {}", item.name, block.tag),
        edit: Edit::SetEquipment {
            block: block.id,
            equipment: Box::new(equipment),
            stock: Some(item.name.clone()),
        },
    }
}

/// The tags of blocks in words: `S1, S2`.
pub(super) fn tags<'a>(blocks: impl IntoIterator<Item = &'a Block>) -> String {
    blocks.into_iter().map(|block| block.tag.as_str()).collect::<Vec<_>>().join(", ")
}
