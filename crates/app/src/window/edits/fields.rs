//! Setting one datum of what is selected, by the key of its field.

use super::Labeled;
use lineside_core::circuit::{Block, BlockId, Circuit, Conductor, PlaceFacts, PlaceId, RunId};
use lineside_core::edit::{Edit, Refusal};
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::{Field, Shape, Value};
use lineside_core::project::{Project, Site};
use std::collections::BTreeSet;

/// Whose data are edited.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// Blocks, of one kind or of several.
    Blocks(BTreeSet<BlockId>),
    /// The conductors of runs.
    Runs(BTreeSet<RunId>),
    /// The facts of a place.
    Place(PlaceId),
    /// The site.
    Site,
}

impl Owner {
    /// The value that all of them share; `None` when they differ or lack the field.
    pub fn shared(&self, project: &Project, key: &str) -> Option<Value> {
        let mut values = self.values(project, key).into_iter();
        let first = values.next()?;
        values.all(|other| other == first).then_some(first)
    }

    fn values(&self, project: &Project, key: &str) -> Vec<Value> {
        let circuit = &project.circuit;
        match self {
            Self::Blocks(ids) => ids.iter().filter_map(|id| circuit.block(*id)?.equipment.get(key)).collect(),
            Self::Runs(ids) => {
                ids.iter().filter_map(|id| circuit.run(*id)?.conductor.as_ref()?.get(key)).collect()
            }
            Self::Place(id) => {
                circuit.place(*id).and_then(|place| place.facts.get(key)).into_iter().collect()
            }
            Self::Site => project.brief.site.get(key).into_iter().collect(),
        }
    }

    /// The fields that all of them have, in the order of the first.
    pub fn fields(&self, circuit: &Circuit) -> Vec<&'static Field> {
        match self {
            Self::Blocks(ids) => {
                let blocks = ids.iter().filter_map(|id| circuit.block(*id));
                let kinds: BTreeSet<Kind> = blocks.map(Block::kind).collect();
                shared_fields(&kinds)
            }
            Self::Runs(_) => Conductor::fields().iter().collect(),
            Self::Place(_) => PlaceFacts::fields().iter().collect(),
            Self::Site => Site::fields().iter().collect(),
        }
    }

    fn name(&self, circuit: &Circuit) -> String {
        match self {
            Self::Blocks(ids) => super::names_of(circuit, ids),
            Self::Runs(ids) => match (ids.len(), ids.first().and_then(|id| circuit.run(*id))) {
                (1, Some(run)) => run.tag.clone(),
                (many, _) => format!("{many} runs"),
            },
            Self::Place(id) => circuit.place(*id).map_or_else(String::new, |place| place.name.clone()),
            Self::Site => "site".to_owned(),
        }
    }
}

/// The fields that every one of these kinds has, of one name and shape.
fn shared_fields(kinds: &BTreeSet<Kind>) -> Vec<&'static Field> {
    let Some(first) = kinds.first() else { return Vec::new() };
    let others: Vec<&'static [Field]> = kinds.iter().skip(1).map(|kind| kind.fields()).collect();
    let is_same = |one: &Field, other: &Field| {
        (one.key, one.layer, one.presence) == (other.key, other.layer, other.presence)
            && same_shape(one.shape, other.shape)
    };
    let in_all =
        |field: &&Field| others.iter().all(|fields| fields.iter().any(|other| is_same(other, field)));
    first.fields().iter().filter(in_all).collect()
}

/// Whether a value of one shape is one of the other, limits aside.
fn same_shape(one: Shape, other: Shape) -> bool {
    match (one, other) {
        (Shape::Quantity { unit, .. }, Shape::Quantity { unit: other, .. }) => unit == other,
        (Shape::Choice(names), Shape::Choice(others)) => names == others,
        (Shape::Curve { x, y }, Shape::Curve { x: across, y: up }) => (x, y) == (across, up),
        (Shape::Whole { .. }, Shape::Whole { .. })
        | (Shape::Text, Shape::Text)
        | (Shape::Size, Shape::Size) => true,
        _ => false,
    }
}

/// Sets a field of every owner.
pub fn set(project: &Project, owner: &Owner, field: &Field, value: &Value) -> Result<Labeled, Refusal> {
    let circuit = &project.circuit;
    let mut edits = Vec::new();
    match owner {
        Owner::Blocks(ids) => {
            for id in ids {
                let block = circuit.block(*id).ok_or(Refusal::NoBlock(*id))?;
                let mut equipment = block.equipment.clone();
                equipment.set(field.key, value)?;
                let (equipment, stock) = (Box::new(equipment), block.stock.clone());
                edits.push(Edit::SetEquipment { block: *id, equipment, stock });
            }
        }
        Owner::Runs(ids) => {
            for id in ids {
                let mut run = circuit.run(*id).ok_or(Refusal::NoRun(*id))?.clone();
                if let Some(conductor) = &mut run.conductor {
                    conductor.set(field.key, value)?;
                }
                edits.push(Edit::SetRun(Box::new(run)));
            }
        }
        Owner::Place(id) => {
            let mut place = circuit.place(*id).ok_or(Refusal::NoPlace(*id))?.clone();
            place.facts.set(field.key, value)?;
            edits.push(Edit::SetPlace(Box::new(place)));
        }
        Owner::Site => {
            let mut brief = project.brief.clone();
            brief.site.set(field.key, value)?;
            edits.push(Edit::SetBrief(Box::new(brief)));
        }
    }
    let label = format!("{} of {}", field.label.to_lowercase(), owner.name(circuit));
    Ok(Labeled::new(label, Edit::Batch(edits)))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, of_stock, put};
    use super::*;
    use lineside_core::edit::apply;
    use lineside_core::units::UnitSystem;

    #[test]
    fn a_field_of_several_blocks_is_set_at_once() {
        let mut project = Project::default();
        let ids = BTreeSet::from([
            put(&mut project, "Q1", breaker(), 0, 0),
            put(&mut project, "Q2", breaker(), 8, 0),
        ]);
        let owner = Owner::Blocks(ids);
        let field = owner.fields(&project.circuit).into_iter().find(|field| field.key == "rating").unwrap();
        let value = field.read("80 A", UnitSystem::Us).unwrap();
        let step = set(&project, &owner, field, &value).unwrap();
        assert_eq!(step.label, "rating of Q1 and Q2");
        apply(&mut project, step.edit).unwrap();
        assert_eq!(owner.shared(&project, "rating"), Some(Value::Number(80.0)));
        assert_eq!(owner.shared(&project, "no such key"), None);
    }

    #[test]
    fn blocks_of_several_kinds_share_the_fields_that_all_have() {
        let mut project = Project::default();
        let fuse = of_stock("Class T fuse, bolted, 200 A, 125 V DC");
        let (q, f) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "F1", fuse, 8, 0));
        let owner = Owner::Blocks(BTreeSet::from([q, f]));
        let keys: Vec<&str> = owner.fields(&project.circuit).iter().map(|field| field.key).collect();
        assert!(keys.contains(&"rating") && !keys.contains(&"trip"), "{keys:?}");
        let field = owner.fields(&project.circuit).into_iter().find(|field| field.key == "rating").unwrap();
        assert_eq!(owner.shared(&project, "rating"), None);
        let before = project.clone();
        let step = set(&project, &owner, field, &Value::Number(110.0)).unwrap();
        let undo = apply(&mut project, step.edit).unwrap();
        assert_eq!(owner.shared(&project, "rating"), Some(Value::Number(110.0)));
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
        let alone = Owner::Blocks(BTreeSet::from([q])).fields(&project.circuit);
        assert_eq!(alone.len(), Kind::Breaker.fields().len());
    }

    #[test]
    fn a_value_outside_the_limits_is_refused() {
        let mut project = Project::default();
        let owner = Owner::Blocks(BTreeSet::from([put(&mut project, "Q1", breaker(), 0, 0)]));
        let field = owner.fields(&project.circuit).into_iter().find(|field| field.key == "rating").unwrap();
        let refused = set(&project, &owner, field, &Value::Number(1e9)).unwrap_err();
        assert!(refused.to_string().contains("must lie between 1 A and 6000 A"), "{refused}");
    }
}
