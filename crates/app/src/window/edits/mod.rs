//! Edits made from what a person does on the sheet: pure functions from a project to an `Edit`.
//!
//! Nothing here touches the window, so each can be tested without one. Making the edit is the document's.

pub mod adding;
pub mod aligning;
pub mod continuing;
pub mod copying;
pub mod enclosing;
pub mod fields;
pub mod moving;
pub mod orienting;
pub mod places;
pub mod removing;
pub mod renumbering;
pub mod replacing;
pub mod room;
pub mod stocking;
pub mod swapping;
pub mod wiring;

#[cfg(test)]
mod any_order;
pub mod words;

use lineside_core::circuit::{BlockId, Circuit, GridPoint, PlaceId, RunId};
use lineside_core::edit::Edit;
use lineside_core::kinds::Kind;
use lineside_core::project::Project;
use std::collections::BTreeSet;

/// An edit with the name of the step that it makes.
#[derive(Clone, Debug, PartialEq)]
pub struct Labeled {
    /// As the menu names it: `move C1`.
    pub label: String,
    /// What is to be.
    pub edit: Edit,
}

impl Labeled {
    /// A named edit.
    pub fn new(label: impl Into<String>, edit: Edit) -> Self {
        Self { label: label.into(), edit }
    }
}

/// Ids and tags that are given out while one edit is put together, before any of it is made.
pub struct Fresh<'a> {
    circuit: &'a Circuit,
    last_id: u32,
    tags: BTreeSet<String>,
}

impl<'a> Fresh<'a> {
    /// For a project as it stands.
    pub fn new(project: &'a Project) -> Self {
        Self { circuit: &project.circuit, last_id: project.last_id, tags: BTreeSet::new() }
    }
    /// An id for a new block; `None` when every number is used up.
    pub fn block(&mut self) -> Option<BlockId> {
        self.number().and_then(BlockId::new)
    }
    /// An id for a new run.
    pub fn run(&mut self) -> Option<RunId> {
        self.number().and_then(RunId::new)
    }
    /// An id for a new place.
    pub fn place(&mut self) -> Option<PlaceId> {
        self.number().and_then(PlaceId::new)
    }
    fn number(&mut self) -> Option<u32> {
        self.last_id = self.last_id.checked_add(1)?;
        Some(self.last_id)
    }
    /// The tag itself if it is free, or else the next free one with its letters.
    pub fn tag_like(&mut self, tag: &str) -> String {
        if !self.taken(tag) {
            self.tags.insert(tag.to_owned());
            return tag.to_owned();
        }
        self.tag(tag.trim_end_matches(|c: char| c.is_ascii_digit()))
    }
    /// The next free tag with these letters, past every number in use.
    pub fn tag(&mut self, letters: &str) -> String {
        let highest = self
            .circuit
            .blocks()
            .map(|block| block.tag.as_str())
            .chain(self.circuit.runs().map(|run| run.tag.as_str()))
            .chain(self.tags.iter().map(String::as_str))
            .filter_map(|tag| tag.strip_prefix(letters)?.parse::<u32>().ok())
            .max()
            .unwrap_or(0);
        let tag = format!("{letters}{}", highest.saturating_add(1));
        self.tags.insert(tag.clone());
        tag
    }
    fn taken(&self, tag: &str) -> bool {
        self.tags.contains(tag) || self.circuit.has_tag(tag)
    }
}

/// The innermost place whose frame holds a point; of several, the smallest.
pub fn place_at(circuit: &Circuit, at: GridPoint) -> Option<PlaceId> {
    circuit
        .places()
        .filter(|place| place.contains(at))
        .min_by_key(|place| i64::from(place.size.x).saturating_mul(i64::from(place.size.y)))
        .map(|place| place.id)
}

/// `C1`, `C1 and Q2`, or `5 blocks`, for labels of steps.
pub fn names_of(circuit: &Circuit, blocks: &BTreeSet<BlockId>) -> String {
    let tags: Vec<&str> =
        blocks.iter().filter_map(|id| circuit.block(*id)).map(|block| block.tag.as_str()).collect();
    match tags.as_slice() {
        [one] => (*one).to_owned(),
        [one, other] => format!("{one} and {other}"),
        many => format!("{} blocks", many.len()),
    }
}

/// A kind of block with its article: `a breaker`, `an AC panel`, `strings`.
pub fn one(kind: Kind) -> String {
    let label = kind.label();
    if label.ends_with('s') && kind != Kind::BusBar {
        label.to_owned()
    } else if label.starts_with(['a', 'e', 'i', 'o', 'A']) {
        format!("an {label}")
    } else {
        format!("a {label}")
    }
}

#[cfg(test)]
pub(crate) mod samples {
    //! Small circuits for the tests of the edits.

    use super::Labeled;
    use lineside_core::circuit::{Block, BlockId, GridPoint, Orientation, Run, RunEnd, RunId, TerminalName};
    use lineside_core::edit::{Edit, apply};
    use lineside_core::kinds::Equipment;
    use lineside_core::kinds::field::Value;
    use lineside_core::project::{Project, StockItem};
    use lineside_core::stock;
    use std::sync::LazyLock;

    /// Read once: tests of many sheets would read it many times.
    static STOCK: LazyLock<Vec<StockItem>> = LazyLock::new(|| stock::built_in().unwrap());

    pub fn item(name: &str) -> StockItem {
        stock::find(&STOCK, name).unwrap().clone()
    }

    pub fn of_stock(name: &str) -> Equipment {
        item(name).equipment
    }

    pub fn breaker() -> Equipment {
        of_stock("DC breaker, 60 A, 125 V")
    }

    pub fn bus(taps: u32) -> Equipment {
        let mut bus = of_stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
        bus.set("taps", &Value::Whole(taps)).unwrap();
        bus
    }

    /// Makes an edit, and gives back the one that undoes it.
    pub fn make(project: &mut Project, step: Labeled) -> Edit {
        apply(project, step.edit).unwrap()
    }

    pub fn put(project: &mut Project, tag: &str, equipment: Equipment, x: i32, y: i32) -> BlockId {
        let id = project.next_block_id().unwrap();
        let block = Block {
            id,
            tag: tag.to_owned(),
            equipment,
            stock: None,
            place: None,
            at: GridPoint::new(x, y),
            orientation: Orientation::default(),
            note: String::new(),
        };
        apply(project, Edit::InsertBlock(Box::new(block))).unwrap();
        id
    }

    pub fn end(block: BlockId, terminal: &str) -> RunEnd {
        RunEnd { block, terminal: TerminalName::read(terminal).unwrap() }
    }

    pub fn join(project: &mut Project, tag: &str, from: RunEnd, to: RunEnd) -> RunId {
        let id = project.next_run_id().unwrap();
        let run = Run {
            id,
            tag: tag.to_owned(),
            from,
            to,
            conductor: None,
            bends: Vec::new(),
            note: String::new(),
        };
        apply(project, Edit::InsertRun(Box::new(run))).unwrap();
        id
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_have_their_articles() {
        let said = [Kind::Breaker, Kind::AcPanel, Kind::Strings, Kind::Utility, Kind::Inverter, Kind::BusBar]
            .map(one);
        assert_eq!(
            said,
            ["a breaker", "an AC panel", "strings", "a utility service", "an inverter", "a bus bar"]
        );
    }

    #[test]
    fn tags_go_on_from_the_highest() {
        let mut project = Project::default();
        samples::put(&mut project, "Q1", samples::breaker(), 0, 0);
        samples::put(&mut project, "Q7", samples::breaker(), 0, 8);
        let mut fresh = Fresh::new(&project);
        assert_eq!(fresh.tag("Q"), "Q8");
        assert_eq!(fresh.tag("Q"), "Q9");
        assert_eq!(fresh.tag_like("Q1"), "Q10");
        assert_eq!(fresh.tag_like("MAIN"), "MAIN");
        assert_eq!(fresh.tag_like("MAIN"), "MAIN1");
    }
}
