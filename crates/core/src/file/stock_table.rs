//! Stock as a table: one line an item, a column for each datum, as spreadsheets keep it.
//!
//! Values stand with their units, as in the project file. Stock files of the program itself are read in `stock.rs`.

use crate::kinds::field::{Field, Layer, Presence, Shape, Value};
use crate::kinds::{Equipment, Kind};
use crate::project::StockItem;
use crate::stock;
use crate::table::{Cells, Headings, ImportFault, Text};
use crate::units::Quantity;
use crate::units::text::{self, UnitSystem};
use std::cell::LazyCell;

/// Several kinds have a field of their own called `kind`.
const KIND: &str = "equipment";
const NAME: &str = "name";
/// Spreadsheets take a text that begins so for a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// Tables longer than this are no stock.
const MOST_ROWS: usize = 20_000;
/// Longest name of an item.
const LONGEST_NAME: usize = 120;

/// What is wanted of a name that is taken already, by whom it is taken.
const NOT_BUILT_IN: &str = "a name of your own (the built-in stock has this one: rename the row)";
const NOT_KEPT: &str = "a name of its own (your own stock has this one: rename the row, or remove it)";
const NOT_ABOVE: &str = "a name that no row above has";

/// A heading of the user's, and the column that it stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnName {
    /// As it stands in the table.
    pub theirs: String,
    /// `equipment`, `name`, or the key of a field; empty for a column that is not to be read.
    pub ours: String,
}

/// The headings of a table of stock as they stand in it, each with what it is taken for when nothing else is said: the key
/// of a column of ours, or nothing.
pub fn stock_table_headings(bytes: &[u8]) -> Result<Vec<(String, Option<&'static str>)>, ImportFault> {
    let text = Text::new(bytes)?;
    let mut rows = text.spreadsheet_rows(1);
    let Some(first) = rows.next() else {
        return Err(ImportFault::new(1, "", "headings and a line for each item", "nothing"));
    };
    let known = |heading: &str| {
        let (asked, _) = unit_of(heading);
        let of_kinds = || Kind::ALL.iter().find_map(|kind| field_of(*kind, &asked)).map(|field| field.key);
        match asked.as_str() {
            KIND => Some(KIND),
            NAME => Some(NAME),
            _ => of_kinds(),
        }
    };
    Ok(first?.headings().names().map(|heading| (heading.to_owned(), known(heading))).collect())
}

/// What was read of a table of stock.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockTable {
    /// Items that can be taken.
    pub items: Vec<StockItem>,
    /// Rows that cannot, each with its reason.
    pub refused: Vec<ImportFault>,
    /// Headings that stand for nothing known; their columns were not read.
    pub unread: Vec<String>,
}

/// Why stock could not be written as a table.
#[derive(Debug, thiserror::Error)]
#[error("the table could not be written: {0}")]
pub struct TableFault(String);

/// Writes items as a table: CSV with commas, in SI units, nothing lost. Texts that a spreadsheet would take for formulas
/// are marked with an apostrophe.
pub fn write_stock_table(items: &[StockItem]) -> Result<String, TableFault> {
    let fault = |error: &dyn std::fmt::Display| TableFault(error.to_string());
    let mut keys: Vec<&'static str> = Vec::new();
    for kind in Kind::ALL.iter().filter(|kind| items.iter().any(|item| item.equipment.kind() == **kind)) {
        for field in kind.fields() {
            if !keys.contains(&field.key) {
                keys.push(field.key);
            }
        }
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer
        .write_record([KIND, NAME].into_iter().chain(keys.iter().copied()))
        .map_err(|error| fault(&error))?;
    for item in items {
        let kind = item.equipment.kind();
        let cell = |key: &&str| {
            let Some(field) = kind.fields().iter().find(|field| field.key == *key) else {
                return String::new();
            };
            let value = item.equipment.get(key).unwrap_or(Value::Absent);
            match (&value, field.shape) {
                (Value::Choice(key), _) => (*key).to_owned(),
                (Value::Whole(whole), _) => whole.to_string(),
                (Value::Text(text), _) => harmless(text),
                (Value::Number(number), Shape::Quantity { unit, .. }) => {
                    text::exact(Quantity { value: *number, unit })
                }
                _ => field.entry(&value, UnitSystem::Si),
            }
        };
        let head = [kind.key().to_owned(), harmless(&item.name)];
        writer.write_record(head.into_iter().chain(keys.iter().map(cell))).map_err(|error| fault(&error))?;
    }
    let bytes = writer.into_inner().map_err(|error| fault(&error))?;
    String::from_utf8(bytes).map_err(|error| fault(&error))
}

fn harmless(text: &str) -> String {
    if text.starts_with(FORMULA) { format!("'{text}") } else { text.to_owned() }
}

fn without_mark(text: &str) -> &str {
    text.strip_prefix('\'').filter(|rest| rest.starts_with(FORMULA)).unwrap_or(text)
}

/// Reads a table of stock. `known` is stock in which each kind has an item: what a designer sets and a table does not say
/// is taken from the first of the kind; nameplates are never filled in. `kind` is that of every row, where the table has no
/// column `equipment`. `Err` when the table as a whole cannot be read.
pub fn read_stock_table(
    bytes: &[u8],
    names: &[ColumnName],
    known: &[StockItem],
    kind: Option<Kind>,
) -> Result<StockTable, Vec<ImportFault>> {
    let text = Text::new(bytes).map_err(|fault| vec![fault])?;
    let mut rows = text.spreadsheet_rows(1);
    let first = match rows.next() {
        Some(Ok(row)) => row,
        Some(Err(fault)) => return Err(vec![fault]),
        None => return Err(vec![ImportFault::new(1, "", "headings and a line for each item", "nothing")]),
    };
    let columns = Columns::of(&first.headings(), names, kind)?;
    let built_in = LazyCell::new(|| stock::built_in().unwrap_or_default());
    let mut table = StockTable { unread: columns.unread.clone(), ..StockTable::default() };
    for row in rows {
        if table.items.len() + table.refused.len() >= MOST_ROWS {
            table.refused.push(ImportFault::new(0, "", format!("at most {MOST_ROWS} rows"), "more of them"));
            break;
        }
        let item = row.and_then(|row| {
            if row.is_blank() {
                return Ok(None);
            }
            let item = columns.item(&row, known)?;
            let taken = |items: &[StockItem]| items.iter().any(|other| other.name == item.name);
            if taken(&table.items) || taken(known) {
                let kept = if taken(known) { NOT_KEPT } else { NOT_ABOVE };
                let wanted = if taken(&built_in) { NOT_BUILT_IN } else { kept };
                return Err(row.fault(NAME, wanted, &item.name));
            }
            Ok(Some(item))
        });
        match item {
            Ok(item) => table.items.extend(item),
            Err(fault) => table.refused.push(fault),
        }
    }
    Ok(table)
}

/// Where the kind of a row comes from.
enum KindOf {
    /// From a column.
    Column(usize),
    /// It is the same for all.
    All(Kind),
}

struct Columns {
    kind: KindOf,
    name: usize,
    /// Places of the other columns: key or label in lower case, and the unit that the heading gives.
    fields: Vec<(usize, String, Option<String>)>,
    unread: Vec<String>,
}

impl Columns {
    fn of(headings: &Headings, names: &[ColumnName], all: Option<Kind>) -> Result<Self, Vec<ImportFault>> {
        let (mut fields, mut unread) = (Vec::new(), Vec::new());
        let (mut kind, mut name) = (None, None);
        for (place, heading) in headings.names().enumerate() {
            let mapped = names.iter().find(|it| it.theirs.eq_ignore_ascii_case(heading));
            let (asked, unit) = match mapped {
                Some(mapped) => (mapped.ours.to_lowercase(), unit_of(heading).1),
                None => unit_of(heading),
            };
            match asked.as_str() {
                KIND => kind = Some(place),
                NAME => name = Some(place),
                _ if Kind::ALL.iter().any(|kind| field_of(*kind, &asked).is_some()) => {
                    fields.push((place, asked, unit));
                }
                _ if heading.is_empty() => {}
                _ => unread.push(heading.to_owned()),
            }
        }
        let kind = kind.map(KindOf::Column).or(all.map(KindOf::All));
        match (kind, name) {
            (Some(kind), Some(name)) => Ok(Self { kind, name, fields, unread }),
            (kind, name) => {
                let missing = [(kind.is_none(), KIND), (name.is_none(), NAME)];
                let missing = missing.into_iter().filter(|(is_missing, _)| *is_missing);
                Err(missing.filter_map(|(_, column)| headings.need(column).err()).collect())
            }
        }
    }

    fn item(&self, row: &Cells, known: &[StockItem]) -> Result<StockItem, ImportFault> {
        let name = without_mark(row.text(self.name, NAME)?).to_owned();
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            return Err(row.fault(NAME, format!("a name of 1 to {LONGEST_NAME} characters"), &name));
        }
        let kind = self.kind_of(row)?;
        let base = known.iter().find(|item| item.equipment.kind() == kind);
        let mut equipment = base
            .ok_or_else(|| row.fault(KIND, "a kind of which the program has an item", kind.key()))?
            .equipment
            .clone();
        for field in kind.fields() {
            self.fill(&mut equipment, field, row)?;
        }
        match equipment.faults().into_iter().next() {
            Some((key, fault)) => Err(row.fault(key, "a value within its limits", fault.to_string())),
            None => Ok(StockItem { name, equipment }),
        }
    }

    fn kind_of(&self, row: &Cells) -> Result<Kind, ImportFault> {
        let column = match self.kind {
            KindOf::All(kind) => return Ok(kind),
            KindOf::Column(column) => column,
        };
        let asked = row.text(column, KIND)?;
        let is_asked = |kind: &&Kind| kind.key() == asked || kind.label().eq_ignore_ascii_case(asked);
        Kind::ALL.iter().copied().find(|kind| is_asked(&kind)).ok_or_else(|| {
            let keys: Vec<&str> = Kind::ALL.iter().map(|kind| kind.key()).collect();
            row.fault(KIND, format!("one of {}", keys.join(", ")), asked)
        })
    }

    fn fill(&self, equipment: &mut Equipment, field: &Field, row: &Cells) -> Result<(), ImportFault> {
        let is_of = |asked: &str| asked == field.key || field.label.to_lowercase() == asked;
        let column = self.fields.iter().find(|(_, asked, _)| is_of(asked));
        let mut typed = match column {
            Some((place, _, _)) if matches!(field.shape, Shape::Quantity { .. }) => {
                row.pointed(*place, field.key)?
            }
            Some((place, _, _)) => without_mark(row.text(*place, field.key)?).to_owned(),
            None => String::new(),
        };
        if typed.is_empty() && field.layer == Layer::Setting {
            return Ok(());
        }
        if typed.is_empty() && field.presence == Presence::Required && !matches!(field.shape, Shape::Text) {
            return Err(row.fault(
                field.key,
                format!("{}, which stands on every nameplate", field.label),
                "",
            ));
        }
        if let Some((_, _, Some(unit))) = column
            && typed.parse::<f64>().is_ok()
        {
            typed = format!("{typed} {unit}");
        }
        let refuse = |reason: String| row.fault(field.key, reason, &typed);
        let value = field.read(&typed, UnitSystem::Si).map_err(|fault| refuse(fault.to_string()))?;
        equipment.set(field.key, &value).map_err(|fault| refuse(fault.to_string()))
    }
}

fn field_of(kind: Kind, asked: &str) -> Option<&'static Field> {
    kind.fields().iter().find(|field| field.key == asked || field.label.to_lowercase() == asked)
}

/// A heading without the unit that it gives in brackets, and that unit.
fn unit_of(heading: &str) -> (String, Option<String>) {
    let inside = heading.trim().strip_suffix(')').and_then(|rest| rest.rsplit_once('('));
    match inside {
        Some((name, unit)) => (name.trim().to_owned(), Some(proper(unit.trim()))),
        None => (heading.trim().to_owned(), None),
    }
}

/// Headings are read in lower case; units are not written so.
fn proper(unit: &str) -> String {
    match unit {
        "v" => "V",
        "a" => "A",
        "w" => "W",
        "kw" => "kW",
        "va" => "VA",
        "kva" => "kVA",
        "ah" => "Ah",
        "hz" => "Hz",
        "°c" => "°C",
        "%/°c" => "%/°C",
        "ω" => "Ω",
        "mω" => "mΩ",
        other => other,
    }
    .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_stock_goes_out_and_comes_back() {
        let items = stock::built_in().unwrap();
        let text = write_stock_table(&items).unwrap();
        let renamed: Vec<StockItem> = items
            .iter()
            .map(|item| StockItem { name: format!("Old {}", item.name), ..item.clone() })
            .collect();
        let back = read_stock_table(text.as_bytes(), &[], &renamed, None).unwrap();
        assert_eq!((back.refused, back.unread), (Vec::new(), Vec::new()));
        assert_eq!(back.items.len(), items.len());
        for (before, after) in items.iter().zip(&back.items) {
            assert_eq!(before, after);
        }
    }

    fn read(text: &str) -> StockTable {
        read_stock_table(text.as_bytes(), &[], &stock::built_in().unwrap(), None).unwrap()
    }

    #[test]
    fn headings_are_keys_or_labels_with_units_of_their_own() {
        let known = stock::built_in().unwrap();
        let fuse = known.iter().find(|it| it.equipment.kind() == Kind::Fuse).unwrap();
        let text = write_stock_table(std::slice::from_ref(fuse)).unwrap();
        let (head, row) = text.split_once('\n').unwrap();
        let row = row.replacen(&fuse.name, "Our fuse", 1);
        assert_eq!(read(&format!("{head}\n{row}")).items[0].equipment, fuse.equipment);
        let odd = format!("{},who sells it\n{},nobody", head.replacen("name", "item", 1), row.trim_end());
        let theirs = [ColumnName { theirs: "item".to_owned(), ours: "name".to_owned() }];
        let table = read_stock_table(odd.as_bytes(), &theirs, &known, None).unwrap();
        assert_eq!((table.items.len(), table.unread), (1, vec!["who sells it".to_owned()]));
    }

    #[test]
    fn rows_that_cannot_be_taken_are_told() {
        let known = stock::built_in().unwrap();
        let named = &known[0].name;
        let text = format!("equipment,name\nlamp,Lamp\nfuse,\nfuse,Fuse of ours\nstrings,{named}\n");
        let table = read(&text);
        assert!(table.items.is_empty());
        let told: Vec<_> = table.refused.iter().map(|it| (it.line, it.column.clone())).collect();
        assert_eq!(told[0], (2, "equipment".to_owned()));
        assert_eq!(told[1], (3, "name".to_owned()));
        assert_eq!(told[2].0, 4, "a fuse without a nameplate");
        assert_eq!(told.len(), 4);
        assert!(read_stock_table(b"name\nx\n", &[], &known, None).is_err(), "no kinds");
        // A row of the exported table as it stands is refused by its name, and says what to do.
        let told = read(&write_stock_table(&known[..1]).unwrap()).refused[0].to_string();
        assert!(told.contains("the built-in stock has this one: rename the row"), "{told}");
    }

    #[test]
    fn a_table_of_one_kind_needs_no_column_for_it_and_tells_what_its_headings_are() {
        let known = stock::built_in().unwrap();
        let text = "Model,Rated current (A),size,Notes\nOurs,50,,x\n";
        let headings = stock_table_headings(text.as_bytes()).unwrap();
        let found: Vec<_> = headings.iter().map(|(_, column)| *column).collect();
        assert_eq!(found[0], None, "a model is not known for a name");
        assert_eq!(found[3], None);
        assert_eq!(headings[1].0, "rated current (a)");
        let theirs = |name: &str, ours: &str| ColumnName { theirs: name.to_owned(), ours: ours.to_owned() };
        let names = [theirs("model", "name"), theirs("rated current (a)", "rating"), theirs("size", "")];
        let table = read_stock_table(text.as_bytes(), &names, &known, Some(Kind::BusBar)).unwrap();
        // A bus bar also has taps, which the table does not give.
        assert_eq!(table.refused.len(), 1);
        assert!(table.refused[0].to_string().contains("taps"), "{}", table.refused[0]);
        assert_eq!(table.unread, ["size", "notes"]);
        let text = "Model,Rated current (A),taps\nOurs,50,6\n";
        let table = read_stock_table(text.as_bytes(), &names, &known, Some(Kind::BusBar)).unwrap();
        assert_eq!((table.items.len(), table.items[0].name.as_str()), (1, "Ours"));
        assert_eq!(table.items[0].equipment.get("rating"), Some(Value::Number(50.0)));
    }

    #[test]
    fn formulas_are_marked_and_come_back_plain() {
        let known = stock::built_in().unwrap();
        let item = StockItem { name: "=1+1".to_owned(), ..known[0].clone() };
        let text = write_stock_table(std::slice::from_ref(&item)).unwrap();
        assert!(text.contains("'=1+1") && !text.contains(",=1+1"));
        assert_eq!(read(&text).items, [item]);
    }
}
