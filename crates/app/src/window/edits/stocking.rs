//! Blocks beside the stock they came from: where a nameplate differs, taking stock's values again, and keeping what differs as
//! the project's own copy of the item.

use super::Labeled;
use lineside_core::circuit::Block;
use lineside_core::edit::{Edit, Refusal};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::{Field, Layer, Value};
use lineside_core::project::{Project, StockItem};

/// One datum of a nameplate that differs from stock.
#[derive(Clone, Debug, PartialEq)]
pub struct Differing {
    /// Which.
    pub field: &'static Field,
    /// What stock says.
    pub stock: Value,
    /// What the block says.
    pub here: Value,
}

/// How a block stands to the stock item that it is named after.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// Its nameplate is that of stock, or it is from no stock.
    Same,
    /// Stock has no item of that name any more.
    Gone,
    /// It differs, and the project has no copy of the item that says what it says.
    Differs(Vec<Differing>),
    /// It is as the project's own copy of the item says, which differs from stock.
    OwnCopy(Vec<Differing>),
}

/// How a block stands to stock. What the designer sets does not count.
pub fn standing(project: &Project, stock: &[StockItem], block: &Block) -> Standing {
    let Some(name) = block.stock.as_deref() else { return Standing::Same };
    let copy = of_name(&project.stock, name);
    let is_copied = copy.is_some_and(|copy| differing(&copy.equipment, &block.equipment).is_empty());
    let Some(item) = of_name(stock, name) else {
        return if is_copied { Standing::Same } else { Standing::Gone };
    };
    if item.equipment.kind() != block.kind() {
        return Standing::Gone;
    }
    let found = differing(&item.equipment, &block.equipment);
    match (found.is_empty(), is_copied) {
        (true, _) => Standing::Same,
        (false, true) => Standing::OwnCopy(found),
        (false, false) => Standing::Differs(found),
    }
}

fn of_name<'a>(items: &'a [StockItem], name: &str) -> Option<&'a StockItem> {
    items.iter().find(|item| item.name == name)
}

/// The data of a nameplate in which a block differs from an item.
fn differing(stock: &Equipment, here: &Equipment) -> Vec<Differing> {
    if stock.kind() != here.kind() {
        return Vec::new();
    }
    let nameplate = here.kind().fields().iter().filter(|field| field.layer == Layer::Nameplate);
    nameplate
        .filter_map(|field| {
            let (stock, here) = (stock.get(field.key)?, here.get(field.key)?);
            (stock != here).then_some(Differing { field, stock, here })
        })
        .collect()
}

/// Gives a block the nameplate of its stock item again; its settings stay. A copy of the item that no other block follows goes.
pub fn take_stock(project: &Project, stock: &[StockItem], block: &Block) -> Result<Labeled, Refusal> {
    let item = block.stock.as_deref().and_then(|name| of_name(stock, name));
    let Some(item) = item else { return Err(Refusal::NoBlock(block.id)) };
    let mut equipment = block.equipment.clone();
    for datum in differing(&item.equipment, &block.equipment) {
        equipment.set(datum.field.key, &datum.stock)?;
    }
    let set = Edit::SetEquipment {
        block: block.id,
        equipment: Box::new(equipment),
        stock: Some(item.name.clone()),
    };
    let mut edits = vec![set];
    if let Some(copy) = of_name(&project.stock, &item.name) {
        let follows = |other: &Block| {
            other.id != block.id
                && other.stock.as_deref() == Some(item.name.as_str())
                && differing(&copy.equipment, &other.equipment).is_empty()
        };
        if !project.circuit.blocks().any(follows) {
            let rest = project.stock.iter().filter(|other| other.name != item.name).cloned().collect();
            edits.push(Edit::SetStock(rest));
        }
    }
    Ok(Labeled::new(format!("take stock's values for {}", block.tag), Edit::Batch(edits)))
}

/// Keeps what a block says as the project's own copy of its stock item, so that its file stands alone and nothing differs
/// unnoticed.
pub fn keep_copy(project: &Project, block: &Block) -> Option<Labeled> {
    let name = block.stock.clone()?;
    let mut items: Vec<StockItem> = project.stock.iter().filter(|item| item.name != name).cloned().collect();
    items.push(StockItem { name: name.clone(), equipment: block.equipment.clone() });
    Some(Labeled::new(format!("keep {name} as in {}", block.tag), Edit::SetStock(items)))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, put};
    use super::*;
    use lineside_core::edit::apply;
    use lineside_core::stock;

    const NAME: &str = "DC breaker, 60 A, 125 V";

    fn project() -> (Project, Vec<StockItem>, lineside_core::circuit::BlockId) {
        let mut project = Project::default();
        let id = put(&mut project, "Q1", breaker(), 0, 0);
        let edit =
            Edit::SetEquipment { block: id, equipment: Box::new(breaker()), stock: Some(NAME.to_owned()) };
        apply(&mut project, edit).unwrap();
        (project, stock::built_in().unwrap(), id)
    }

    fn change(project: &mut Project, id: lineside_core::circuit::BlockId, key: &str, value: f64) {
        let block = project.circuit.block(id).unwrap();
        let mut equipment = block.equipment.clone();
        equipment.set(key, &Value::Number(value)).unwrap();
        let edit =
            Edit::SetEquipment { block: id, equipment: Box::new(equipment), stock: block.stock.clone() };
        apply(project, edit).unwrap();
    }

    #[test]
    fn a_changed_nameplate_differs_is_kept_and_taken_back() {
        let (mut project, stock, id) = project();
        let now = |project: &Project| standing(project, &stock, project.circuit.block(id).unwrap());
        assert_eq!(now(&project), Standing::Same);
        change(&mut project, id, "rating", 50.0);
        let Standing::Differs(found) = now(&project) else { panic!("it differs") };
        let told: Vec<_> = found.iter().map(|it| (it.field.key, it.stock.clone(), it.here.clone())).collect();
        assert_eq!(told, [("rating", Value::Number(60.0), Value::Number(50.0))]);
        let block = project.circuit.block(id).unwrap().clone();
        let before = project.clone();
        let back = apply(&mut project, keep_copy(&before, &block).unwrap().edit).unwrap();
        assert!(matches!(now(&project), Standing::OwnCopy(found) if found.len() == 1));
        assert_eq!(project.stock.len(), 1);
        let kept = project.clone();
        apply(&mut project, take_stock(&kept, &stock, &block).unwrap().edit).unwrap();
        assert_eq!(now(&project), Standing::Same);
        assert!(project.stock.is_empty(), "nobody follows the copy any more");
        let mut project = kept;
        apply(&mut project, back).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn a_copy_that_another_block_follows_stays() {
        let (mut project, stock, id) = project();
        change(&mut project, id, "rating", 50.0);
        let block = project.circuit.block(id).unwrap().clone();
        let other = put(&mut project, "Q2", block.equipment.clone(), 0, 8);
        let edit = Edit::SetEquipment {
            block: other,
            equipment: Box::new(block.equipment.clone()),
            stock: Some(NAME.to_owned()),
        };
        apply(&mut project, edit).unwrap();
        let edit = keep_copy(&project, &block).unwrap().edit;
        apply(&mut project, edit).unwrap();
        let edit = take_stock(&project, &stock, &block).unwrap().edit;
        apply(&mut project, edit).unwrap();
        assert_eq!(project.stock.len(), 1);
        let other = project.circuit.block(other).unwrap();
        assert!(matches!(standing(&project, &stock, other), Standing::OwnCopy(_)));
    }

    #[test]
    fn an_item_that_stock_has_no_more_is_told() {
        let (project, _, id) = project();
        assert_eq!(standing(&project, &[], project.circuit.block(id).unwrap()), Standing::Gone);
    }
}
