//! Stock files: lists of items, each with its nameplate.

use super::error::{ReadError, ReadFault};
use super::ron_options;
use super::scan::{Span, entries, find_field, line_and_column};
use crate::project::StockItem;

/// Reads a stock file. Every fault that can be found is reported; nothing is half read.
pub fn read_stock(text: &str) -> Result<Vec<StockItem>, ReadError> {
    let start = text.find('[').unwrap_or(0);
    let whole = Span { start, end: text.len() };
    let spans = entries(text, whole)
        .map_err(|fault| ReadError::Faults(vec![super::read::form_fault(text, &fault)]))?;
    let mut items: Vec<StockItem> = Vec::with_capacity(spans.len());
    let mut faults = Vec::new();
    for span in spans {
        let piece = text.get(span.start..span.end).unwrap_or("");
        match ron_options().from_str::<StockItem>(piece) {
            Err(error) => faults.push(super::read::ron_fault(text, span, "stock item", &error)),
            Ok(item) => {
                faults.extend(item_faults(text, span, &item, &items));
                items.push(item);
            }
        }
    }
    if faults.is_empty() { Ok(items) } else { Err(ReadError::Faults(faults)) }
}

fn item_faults(text: &str, span: Span, item: &StockItem, before: &[StockItem]) -> Vec<ReadFault> {
    let place = format!("stock item “{}”", item.name);
    let fault = |key: &str, expected: String, found: String, advice: &str| {
        let at = find_field(text, span, key).unwrap_or(span.start);
        let (line, column) = line_and_column(text, at);
        ReadFault { line, column, place: place.clone(), expected, found, advice: advice.to_owned() }
    };
    let mut faults: Vec<ReadFault> = item
        .equipment
        .faults()
        .into_iter()
        .map(|(key, value)| {
            fault(key, "a value within its limits".to_owned(), value.to_string(), "Correct the value.")
        })
        .collect();
    if before.iter().any(|other| other.name == item.name) {
        faults.push(fault(
            "name",
            "a name of its own".to_owned(),
            format!("“{}” a second time", item.name),
            "Rename or remove one of the two.",
        ));
    }
    faults
}
