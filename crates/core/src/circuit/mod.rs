//! The circuit: blocks joined by runs, in places.
//!
//! It is a petgraph `StableGraph` behind ids of our own, because graph indices are recycled and neighbor
//! order depends on history. No petgraph type stands in a signature, and every iteration is in id order.
//! The circuit changes only through [`crate::edit`].

mod block;
mod id_map;
mod ids;
mod place;
mod run;
mod terminal;

pub use block::{Block, GridPoint, Mirror, Orientation, Turn};
pub use id_map::{ID_LIMIT, Id, IdMap};
pub use ids::{BlockId, PlaceId, RunId};
pub use place::{Opposite, Place, PlaceFacts, PlaceKind, Surroundings};
pub use run::{
    Coating, Conductor, ConductorEnds, Insulation, Metal, Method, Raceway, RacewaySize, Run, RunEnd, Side,
    Stranding,
};
pub use terminal::{Potential, Terminal, TerminalName};

use petgraph::stable_graph::{EdgeIndex, NodeIndex, StableUnGraph};

/// Blocks, runs and places of a project.
#[derive(Clone, Debug, Default)]
pub struct Circuit {
    graph: StableUnGraph<Block, Run>,
    blocks: IdMap<BlockId, NodeIndex>,
    runs: IdMap<RunId, EdgeIndex>,
    places: IdMap<PlaceId, Place>,
}

impl PartialEq for Circuit {
    /// Equal when they hold the same blocks, runs and places, whatever their graph indices.
    fn eq(&self, other: &Self) -> bool {
        self.blocks().eq(other.blocks()) && self.runs().eq(other.runs()) && self.places.eq(&other.places)
    }
}

impl Circuit {
    /// Every block, in the order of ids.
    pub fn blocks(&self) -> impl Iterator<Item = &Block> {
        self.blocks.values().filter_map(|index| self.graph.node_weight(*index))
    }
    /// Every run, in the order of ids.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        self.runs.values().filter_map(|index| self.graph.edge_weight(*index))
    }
    /// Every place, in the order of ids.
    pub fn places(&self) -> impl Iterator<Item = &Place> {
        self.places.values()
    }
    /// How many blocks there are.
    pub fn block_count(&self) -> usize {
        self.blocks.len()
    }
    /// How many runs there are.
    pub fn run_count(&self) -> usize {
        self.runs.len()
    }
    /// A block.
    pub fn block(&self, id: BlockId) -> Option<&Block> {
        self.graph.node_weight(*self.blocks.get(id)?)
    }
    /// A run.
    pub fn run(&self, id: RunId) -> Option<&Run> {
        self.graph.edge_weight(*self.runs.get(id)?)
    }
    /// A place.
    pub fn place(&self, id: PlaceId) -> Option<&Place> {
        self.places.get(id)
    }
    /// The block with a tag.
    pub fn block_by_tag(&self, tag: &str) -> Option<&Block> {
        self.blocks().find(|block| block.tag == tag)
    }
    /// The run with a tag.
    pub fn run_by_tag(&self, tag: &str) -> Option<&Run> {
        self.runs().find(|run| run.tag == tag)
    }
    /// Whether a block or a run has this tag.
    pub fn has_tag(&self, tag: &str) -> bool {
        self.blocks().any(|block| block.tag == tag) || self.runs().any(|run| run.tag == tag)
    }
    /// The place with a name.
    pub fn place_by_name(&self, name: &str) -> Option<&Place> {
        self.places().find(|place| place.name == name)
    }
    /// The runs that land on a block, in the order of ids.
    pub fn runs_at(&self, block: BlockId) -> Vec<&Run> {
        let Some(index) = self.blocks.get(block) else { return Vec::new() };
        let mut runs: Vec<&Run> = self.graph.edges(*index).map(|edge| edge.weight()).collect();
        runs.sort_by_key(|run| run.id);
        runs.dedup_by_key(|run| run.id);
        runs
    }
    /// The runs that land on one terminal, in the order of ids.
    pub fn runs_on(&self, end: RunEnd) -> Vec<&Run> {
        let mut runs = self.runs_at(end.block);
        runs.retain(|run| run.from == end || run.to == end);
        runs
    }
    /// The location in which a place stands: itself, or what encloses it.
    pub fn location_of(&self, place: PlaceId) -> PlaceId {
        let mut here = place;
        // A ring of enclosures is refused by edits and reading; the bound keeps even such a ring finite.
        for _ in 0..self.places.len() {
            match self.places.get(here) {
                Some(Place { kind: PlaceKind::Enclosure, within: Some(outer), .. }) => here = *outer,
                _ => break,
            }
        }
        here
    }
    /// The location in which a block stands; `None` if it stands nowhere.
    pub fn location_of_block(&self, block: BlockId) -> Option<PlaceId> {
        self.block(block)?.place.map(|place| self.location_of(place))
    }
    /// Whether a run joins two locations, so that both its ends need a disconnecting means.
    pub fn is_field_run(&self, run: &Run) -> bool {
        let from = self.location_of_block(run.from.block);
        let to = self.location_of_block(run.to.block);
        from.is_some() && to.is_some() && from != to
    }
    /// `C1.pv`, as files and messages write an end.
    pub fn end_name(&self, end: RunEnd) -> String {
        let tag = self.block(end.block).map_or("?", |block| block.tag.as_str());
        format!("{tag}.{}", end.terminal)
    }

    pub(crate) fn insert_block(&mut self, block: Block) {
        let id = block.id;
        let index = self.graph.add_node(block);
        self.blocks.insert(id, index);
    }
    pub(crate) fn remove_block(&mut self, id: BlockId) -> Option<Block> {
        self.graph.remove_node(self.blocks.remove(id)?)
    }
    pub(crate) fn block_mut(&mut self, id: BlockId) -> Option<&mut Block> {
        self.graph.node_weight_mut(*self.blocks.get(id)?)
    }
    /// Both blocks must be there.
    pub(crate) fn insert_run(&mut self, run: Run) {
        let (Some(from), Some(to)) = (self.blocks.get(run.from.block), self.blocks.get(run.to.block)) else {
            debug_assert!(false, "a run is inserted after its blocks");
            return;
        };
        let id = run.id;
        let index = self.graph.add_edge(*from, *to, run);
        self.runs.insert(id, index);
    }
    pub(crate) fn remove_run(&mut self, id: RunId) -> Option<Run> {
        self.graph.remove_edge(self.runs.remove(id)?)
    }
    pub(crate) fn places_mut(&mut self) -> &mut IdMap<PlaceId, Place> {
        &mut self.places
    }
}
