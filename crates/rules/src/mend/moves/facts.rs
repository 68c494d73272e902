//! Facts that the stock knows: a nameplate that lacks a figure is completed from the item of the same name. What
//! nobody has measured is never made up.

use super::support::{blocks, set, set_all, with_field};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::remedy::Proposal;
use lineside_core::circuit::Block;
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::{Layer, Value};

/// The figures that are missing from a nameplate, as the stock has them.
pub(super) fn from_stock(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    blocks(on, finding).into_iter().filter_map(|block| completed(on, block)).collect()
}

fn completed(on: &Circumstances<'_>, block: &Block) -> Option<Proposal> {
    let name = block.stock.as_ref()?;
    let all = on.project().stock.iter().chain(on.stock);
    let item = all.into_iter().find(|item| item.name == *name && item.equipment.kind() == block.kind())?;
    let mut equipment = block.equipment.clone();
    for field in block.kind().fields().iter().filter(|field| field.layer == Layer::Nameplate) {
        if equipment.get(field.key) == Some(Value::Absent)
            && let Some(value) = item.equipment.get(field.key)
        {
            let _ = equipment.set(field.key, &value);
        }
    }
    (equipment != block.equipment).then(|| Proposal {
        label: format!("The nameplate of {} completed from {name}", block.tag),
        edit: set(block, equipment),
    })
}

/// No circuits that share a neutral on a panel fed by one line.
pub(super) fn neutrals_apart(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let panels = blocks(on, finding).into_iter().filter(|block| block.kind() == Kind::AcPanel);
    panels
        .filter_map(|block| {
            let equipment = with_field(block, "multiwire", &Value::Choice("none"))?;
            let label = format!("A neutral for each circuit of {}", block.tag);
            set_all(label, [(block.id, equipment, block.stock.clone())])
        })
        .collect()
}
