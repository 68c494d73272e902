//! What each sheet of a set is called: by the places on it.

use super::cells::Cell;
use super::plan::Span;
use lineside_core::circuit::{Circuit, PlaceId};
use std::collections::BTreeMap;

/// The titles of the sheets. A place that goes on over several sheets is counted: `Power shed 2 of 3`.
pub(super) fn of(circuit: &Circuit, cells: &[Cell], spans: &[Span]) -> Vec<String> {
    let places = |span: &Span| {
        let cells = cells.get(span.0..span.1).unwrap_or_default();
        let mut places: Vec<Option<PlaceId>> = Vec::new();
        for cell in cells {
            if !places.contains(&cell.location) {
                places.push(cell.location);
            }
        }
        places
    };
    let mut counts: BTreeMap<Option<PlaceId>, usize> = BTreeMap::new();
    for span in spans {
        for place in places(span) {
            *counts.entry(place).or_insert(0) += 1;
        }
    }
    let mut seen: BTreeMap<Option<PlaceId>, usize> = BTreeMap::new();
    let mut name = |place: Option<PlaceId>| {
        let name = place.and_then(|id| circuit.place(id)).map_or("Outside of places", |place| &place.name);
        let number = seen.entry(place).or_insert(0);
        *number += 1;
        match counts.get(&place) {
            Some(count) if *count > 1 => format!("{name} {number} of {count}"),
            _ => name.to_owned(),
        }
    };
    spans.iter().map(|span| places(span).into_iter().map(&mut name).collect::<Vec<_>>().join(", ")).collect()
}
