//! Project → text. Stable order, one entry for each block, run and place, units in the values.

use super::v1::{BlockEntry, PlaceEntry, RunEntry, WordsEntry, WordsTag};
use super::{NEWEST_VERSION, ron_options};
use crate::circuit::{Block, Circuit, Place, Run};
use crate::project::{Project, StockItem, WordsOf, WordsPlace};
use ron::ser::PrettyConfig;
use serde::Serialize;
use std::fmt::Write;

/// A value that could not be written; it would be a mistake in this program, not in the project.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("the {section} could not be written: {reason}. The file was left as it was; please report this")]
pub struct WriteError {
    /// The section.
    pub section: &'static str,
    /// Why.
    pub reason: String,
}

/// Writes a project. The same project gives the same bytes on every machine.
pub fn write(project: &Project) -> Result<String, WriteError> {
    let circuit = &project.circuit;
    let mut out = String::from(
        "// A Lineside project. Units stand in the values; tags name blocks and runs, names name places.\n(\n",
    );
    let _ = writeln!(out, "    lineside: {NEWEST_VERSION},");
    field(&mut out, "title", &project.title)?;
    field(&mut out, "rule_set", project.rule_set.key())?;
    field(&mut out, "units", &project.units)?;
    field(&mut out, "last_id", &project.last_id)?;
    list(&mut out, "places", circuit.places().map(|place| place_entry(circuit, place)))?;
    list(&mut out, "blocks", circuit.blocks().map(|block| block_entry(circuit, block)))?;
    list(&mut out, "runs", circuit.runs().map(|run| run_entry(circuit, run)))?;
    field(&mut out, "brief", &project.brief)?;
    list(&mut out, "stock", &project.stock)?;
    list(&mut out, "set_points", &project.set_points)?;
    field(&mut out, "price_book", &project.price_book)?;
    list(&mut out, "cases", &project.cases)?;
    list(&mut out, "revisions", &project.revisions)?;
    if !project.labels.is_empty() {
        list(&mut out, "labels", &project.labels)?;
    }
    if !project.accepted.is_empty() {
        list(&mut out, "accepted", &project.accepted)?;
    }
    if !project.moved_words.is_empty() {
        list(&mut out, "moved_words", project.moved_words.iter().filter_map(|it| words_entry(circuit, it)))?;
    }
    field(&mut out, "site_record", &project.site_record)?;
    out.push_str(")\n");
    Ok(out)
}

/// Writes items as a stock file, which [`read_stock`](super::read_stock) reads.
pub fn write_stock(items: &[StockItem]) -> Result<String, WriteError> {
    let mut out = String::from("// Stock of one's own. Units stand in the values.\n[\n");
    for item in items {
        out.push_str("    ");
        push_indented(&mut out, &ron("stock", item)?, "    ");
        out.push_str(",\n");
    }
    out.push_str("]\n");
    Ok(out)
}

fn field<T: Serialize + ?Sized>(out: &mut String, name: &'static str, value: &T) -> Result<(), WriteError> {
    let text = ron(name, value)?;
    let _ = write!(out, "    {name}: ");
    push_indented(out, &text, "    ");
    out.push_str(",\n");
    Ok(())
}

fn list<T: Serialize>(
    out: &mut String,
    name: &'static str,
    entries: impl IntoIterator<Item = T>,
) -> Result<(), WriteError> {
    let _ = writeln!(out, "    {name}: [");
    for entry in entries {
        let text = ron(name, &entry)?;
        out.push_str("        ");
        push_indented(out, &text, "        ");
        out.push_str(",\n");
    }
    out.push_str("    ],\n");
    Ok(())
}

fn push_indented(out: &mut String, text: &str, indent: &str) {
    for (i, line) in text.lines().enumerate() {
        if i > 0 {
            out.push('\n');
            out.push_str(indent);
        }
        out.push_str(line);
    }
}

fn ron<T: Serialize + ?Sized>(section: &'static str, value: &T) -> Result<String, WriteError> {
    let look = PrettyConfig::new()
        .new_line("\n")
        .indentor("    ")
        .struct_names(false)
        .escape_strings(true)
        .compact_arrays(false);
    ron_options()
        .to_string_pretty(value, look)
        .map_err(|error| WriteError { section, reason: error.to_string() })
}

fn place_entry(circuit: &Circuit, place: &Place) -> PlaceEntry {
    PlaceEntry {
        name: place.name.clone(),
        id: place.id.number(),
        kind: place.kind,
        within: place.within.and_then(|id| circuit.place(id)).map(|outer| outer.name.clone()),
        at: place.at,
        size: place.size,
        facts: place.facts.clone(),
    }
}

fn block_entry(circuit: &Circuit, block: &Block) -> BlockEntry {
    BlockEntry {
        tag: block.tag.clone(),
        id: block.id.number(),
        place: block.place.and_then(|id| circuit.place(id)).map(|place| place.name.clone()),
        at: block.at,
        turn: block.orientation.turn,
        mirror: block.orientation.mirror,
        stock: block.stock.clone(),
        note: block.note.clone(),
        equipment: block.equipment.clone(),
    }
}

fn run_entry(circuit: &Circuit, run: &Run) -> RunEntry {
    RunEntry {
        tag: run.tag.clone(),
        id: run.id.number(),
        from: circuit.end_name(run.from),
        to: circuit.end_name(run.to),
        conductor: run.conductor.clone(),
        bends: run.bends.clone(),
        note: run.note.clone(),
    }
}

fn words_entry(circuit: &Circuit, (of, at): (&WordsOf, &WordsPlace)) -> Option<WordsEntry> {
    let of = match *of {
        WordsOf::Tag(block) => WordsTag::Tag(circuit.block(block)?.tag.clone()),
        WordsOf::Ratings(block) => WordsTag::Ratings(circuit.block(block)?.tag.clone()),
        WordsOf::Callout(run) => WordsTag::Callout(circuit.run(run)?.tag.clone()),
    };
    Some(WordsEntry { of, at: *at })
}
