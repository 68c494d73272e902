//! `lineside stock [NAME]`: the built-in equipment, as a list or one item with all its data.
//!
//! What fields an item has is the core crate's, kind by kind.

mod fit;
mod table;

use super::failure::Failure;
use super::options::{StockAction, StockOptions};
use super::shapes::{Figure, Head};
use super::table::{Table, words};
use super::{Verdict, output};
use crate::own_stock;
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::{Field, Layer, Shape, Value};
use lineside_core::project::StockItem;
use lineside_core::stock;
use lineside_core::units::{Quantity, Unit, UnitSystem, text};
use serde::Serialize;
use std::fmt::Write;

/// Prints the list, or one item.
pub fn run(options: &StockOptions) -> Result<Verdict, Failure> {
    match &options.action {
        Some(StockAction::Export(options)) => return table::export(options),
        Some(StockAction::Import(options)) => return table::import(options),
        Some(StockAction::Fit(options)) => return fit::run(options),
        None => {}
    }
    let mut all = stock::built_in().map_err(|error| Failure::Damaged(error.to_string()))?;
    all.extend(own_stock::of_this_person()?);
    let units = options.units.units.unwrap_or_default();
    let items: Vec<&StockItem> =
        all.iter().filter(|item| options.kind.is_none_or(|kind| item.equipment.kind() == kind)).collect();
    let chosen = match &options.name {
        Some(name) => vec![named(&items, name)?],
        None => items,
    };
    if options.json {
        let items = chosen.iter().map(|item| item_shape(item, units)).collect();
        output::print_json(&StockShape { head: Head::of("stock"), items })?;
    } else if options.name.is_some() {
        output::print(&chosen.iter().map(|item| page(item, units)).collect::<String>())?;
    } else {
        output::print(&list(&chosen))?;
    }
    Ok(Verdict::Clean)
}

/// The item of that name; else the only one whose name holds it.
fn named<'a>(items: &[&'a StockItem], name: &str) -> Result<&'a StockItem, Failure> {
    let wanted = name.to_lowercase();
    if let Some(item) = items.iter().find(|item| item.name.to_lowercase() == wanted) {
        return Ok(item);
    }
    let fitting: Vec<&'a StockItem> =
        items.iter().copied().filter(|item| item.name.to_lowercase().contains(&wanted)).collect();
    match fitting.as_slice() {
        [] => Err(Failure::NoItem(name.to_owned())),
        [item] => Ok(item),
        several => Err(Failure::SeveralItems {
            asked: name.to_owned(),
            names: several.iter().map(|item| item.name.clone()).collect(),
        }),
    }
}

fn list(items: &[&StockItem]) -> String {
    let mut out = String::new();
    for kind in Kind::ALL {
        let names: Vec<&str> = items
            .iter()
            .filter(|item| item.equipment.kind() == *kind)
            .map(|item| item.name.as_str())
            .collect();
        if !names.is_empty() {
            let gap = if out.is_empty() { "" } else { "\n" };
            let _ = writeln!(out, "{gap}{} ({})", kind.plural(), kind.key());
            for name in names {
                let _ = writeln!(out, "  {name}");
            }
        }
    }
    let _ = writeln!(
        out,
        "\n{} items. Their numbers are generic: compare them with the nameplate of what is bought.",
        text::count(items.len())
    );
    out
}

fn page(item: &StockItem, units: UnitSystem) -> String {
    let kind = item.equipment.kind();
    let mut out = format!("{}\n{}: {}\n", item.name, kind.label(), kind.explanation().trim());
    for (layer, title) in [(Layer::Nameplate, "Nameplate"), (Layer::Setting, "Set by the designer")] {
        let mut table = Table::new(&[words("", 44), words("", 40), words("", 70)]);
        for field in kind.fields().iter().filter(|field| field.layer == layer) {
            let value = item.equipment.get(field.key).unwrap_or(Value::Absent);
            table.row([field.label.to_owned(), field.show(&value, units), field.help.to_owned()]);
        }
        if !table.is_empty() {
            let _ = write!(out, "\n{title}\n{}", table.show(2));
        }
    }
    out
}

#[derive(Serialize)]
struct StockShape {
    #[serde(flatten)]
    head: Head,
    items: Vec<ItemShape>,
}

#[derive(Serialize)]
struct ItemShape {
    name: String,
    kind: &'static str,
    fields: Vec<FieldShape>,
}

#[derive(Serialize)]
struct FieldShape {
    key: &'static str,
    label: &'static str,
    layer: &'static str,
    value: ValueShape,
    unit: Option<&'static str>,
    text: String,
}

/// What a field holds.
#[derive(Serialize)]
#[serde(untagged)]
enum ValueShape {
    Absent,
    Number(f64),
    Whole(u32),
    Words(String),
    Curve(Vec<PointShape>),
}

#[derive(Serialize)]
struct PointShape {
    x: Figure,
    y: Figure,
}

fn item_shape(item: &StockItem, units: UnitSystem) -> ItemShape {
    let kind = item.equipment.kind();
    let fields = kind
        .fields()
        .iter()
        .map(|field| field_shape(field, &item.equipment.get(field.key).unwrap_or(Value::Absent), units))
        .collect();
    ItemShape { name: item.name.clone(), kind: kind.key(), fields }
}

fn field_shape(field: &Field, value: &Value, units: UnitSystem) -> FieldShape {
    let symbol = |unit: Unit| text::symbol(unit, UnitSystem::Si);
    let unit = match field.shape {
        Shape::Quantity { unit, .. } => Some(symbol(unit)),
        Shape::Whole { .. } | Shape::Choice(_) | Shape::Text | Shape::Size | Shape::Curve { .. } => None,
    };
    FieldShape {
        key: field.key,
        label: field.label,
        layer: match field.layer {
            Layer::Nameplate => "nameplate",
            Layer::Setting => "setting",
        },
        value: value_shape(field, value, units),
        unit,
        text: field.show(value, units),
    }
}

fn value_shape(field: &Field, value: &Value, units: UnitSystem) -> ValueShape {
    match (value, field.shape) {
        (Value::Number(number), _) => ValueShape::Number(*number),
        (Value::Whole(whole), _) => ValueShape::Whole(*whole),
        (Value::Choice(key), _) => ValueShape::Words((*key).to_owned()),
        (Value::Text(words), _) => ValueShape::Words(words.clone()),
        (Value::Size(size), _) => ValueShape::Words(size.to_string()),
        (Value::Curve(points), Shape::Curve { x, y }) => ValueShape::Curve(
            points
                .iter()
                .map(|point| PointShape {
                    x: Figure::rating(Quantity { value: point.x, unit: x }, units),
                    y: Figure::rating(Quantity { value: point.y, unit: y }, units),
                })
                .collect(),
        ),
        // A curve in a field of another shape cannot be: fields are declared with their types.
        (Value::Absent | Value::Curve(_), _) => ValueShape::Absent,
    }
}
