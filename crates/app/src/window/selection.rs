//! What is selected: blocks, runs, places and at most one terminal.

use lineside_core::circuit::{BlockId, Circuit, PlaceId, RunEnd, RunId};
use lineside_rules::Part;
use std::collections::BTreeSet;

/// What is selected on the sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// Blocks.
    pub blocks: BTreeSet<BlockId>,
    /// Runs.
    pub runs: BTreeSet<RunId>,
    /// Places.
    pub places: BTreeSet<PlaceId>,
    /// The terminal that was last pointed at, of a selected block.
    pub terminal: Option<RunEnd>,
}

/// One thing that can be selected.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Thing {
    /// A block.
    Block(BlockId),
    /// A run.
    Run(RunId),
    /// A place.
    Place(PlaceId),
    /// A terminal, with its block.
    Terminal(RunEnd),
}

impl Selection {
    /// One thing alone.
    pub fn only(thing: Thing) -> Self {
        let mut selection = Self::default();
        selection.add(thing);
        selection
    }
    /// These blocks.
    pub fn of_blocks(blocks: impl IntoIterator<Item = BlockId>) -> Self {
        Self { blocks: blocks.into_iter().collect(), ..Self::default() }
    }
    /// Everything in a circuit but its places.
    pub fn all(circuit: &Circuit) -> Self {
        Self {
            blocks: circuit.blocks().map(|block| block.id).collect(),
            runs: circuit.runs().map(|run| run.id).collect(),
            ..Self::default()
        }
    }
    /// The parts that a finding is about.
    pub fn of_parts(parts: impl IntoIterator<Item = Part>) -> Self {
        let mut selection = Self::default();
        for part in parts {
            match part {
                Part::Block(id) => selection.add(Thing::Block(id)),
                Part::Run(id) | Part::RunEnd(id, _) => selection.add(Thing::Run(id)),
                Part::Place(id) => selection.add(Thing::Place(id)),
                Part::Project => {}
            }
        }
        selection
    }
    /// Adds one thing.
    pub fn add(&mut self, thing: Thing) {
        match thing {
            Thing::Block(id) => {
                self.blocks.insert(id);
            }
            Thing::Run(id) => {
                self.runs.insert(id);
            }
            Thing::Place(id) => {
                self.places.insert(id);
            }
            Thing::Terminal(end) => {
                self.blocks.insert(end.block);
                self.terminal = Some(end);
            }
        }
    }
    /// Adds one thing, or takes it away if it is there.
    pub fn toggle(&mut self, thing: Thing) {
        if !self.contains(thing) {
            self.add(thing);
            return;
        }
        match thing {
            Thing::Block(id) => {
                self.blocks.remove(&id);
                self.terminal = self.terminal.filter(|end| end.block != id);
            }
            Thing::Run(id) => {
                self.runs.remove(&id);
            }
            Thing::Place(id) => {
                self.places.remove(&id);
            }
            Thing::Terminal(_) => self.terminal = None,
        }
    }
    /// Whether it is selected.
    pub fn contains(&self, thing: Thing) -> bool {
        match thing {
            Thing::Block(id) => self.blocks.contains(&id),
            Thing::Run(id) => self.runs.contains(&id),
            Thing::Place(id) => self.places.contains(&id),
            Thing::Terminal(end) => self.terminal == Some(end),
        }
    }
    /// Blocks, runs and places, in this order.
    pub fn things(&self) -> impl Iterator<Item = Thing> + '_ {
        let blocks = self.blocks.iter().map(|id| Thing::Block(*id));
        let runs = self.runs.iter().map(|id| Thing::Run(*id));
        blocks.chain(runs).chain(self.places.iter().map(|id| Thing::Place(*id)))
    }
    /// Whether nothing is selected.
    pub fn is_empty(&self) -> bool {
        self.blocks.is_empty() && self.runs.is_empty() && self.places.is_empty()
    }
    /// How many things are selected.
    pub fn len(&self) -> usize {
        self.blocks.len() + self.runs.len() + self.places.len()
    }
    /// The one thing that is selected, when it is one.
    pub fn single(&self) -> Option<Thing> {
        if self.len() != 1 {
            return None;
        }
        let block = self.blocks.first().map(|id| Thing::Block(*id));
        let run = self.runs.first().map(|id| Thing::Run(*id));
        let place = self.places.first().map(|id| Thing::Place(*id));
        block.or(run).or(place)
    }
    /// Forgets what is not in the circuit any more.
    pub fn keep_existing(&mut self, circuit: &Circuit) {
        self.blocks.retain(|id| circuit.block(*id).is_some());
        self.runs.retain(|id| circuit.run(*id).is_some());
        self.places.retain(|id| circuit.place(*id).is_some());
        self.terminal = self.terminal.filter(|end| {
            self.blocks.contains(&end.block)
                && circuit.block(end.block).is_some_and(|block| block.terminal_index(end.terminal).is_some())
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn toggling_twice_changes_nothing() {
        let block = BlockId::new(7).unwrap();
        let mut selection = Selection::only(Thing::Block(block));
        assert_eq!(selection.single(), Some(Thing::Block(block)));
        selection.toggle(Thing::Run(RunId::new(3).unwrap()));
        assert_eq!((selection.len(), selection.single()), (2, None));
        selection.toggle(Thing::Run(RunId::new(3).unwrap()));
        assert_eq!(selection, Selection::only(Thing::Block(block)));
        selection.toggle(Thing::Block(block));
        assert!(selection.is_empty());
    }

    #[test]
    fn what_is_gone_is_forgotten() {
        let mut selection = Selection::of_blocks(BlockId::new(7));
        selection.keep_existing(&Circuit::default());
        assert!(selection.is_empty());
    }
}
