//! A datum that a study needed and did not find. Which rule cannot tell because of it is the rules' matter.

use lineside_core::circuit::{BlockId, Circuit, PlaceId, RunId};

/// Whose datum is missing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// A block's nameplate or setting.
    Block(BlockId),
    /// A run's conductor.
    Run(RunId),
    /// A place.
    Place(PlaceId),
    /// The site, in the brief.
    Site,
}

/// A datum that is not given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Missing {
    /// Whose.
    pub owner: Owner,
    /// Label of the field, as people read it.
    pub datum: &'static str,
}

impl Missing {
    /// A datum of a block.
    pub const fn block(block: BlockId, datum: &'static str) -> Self {
        Self { owner: Owner::Block(block), datum }
    }
    /// What people call whose it is: a tag, a place's name, or the site.
    pub fn owner_name(self, circuit: &Circuit) -> String {
        match self.owner {
            Owner::Block(id) => circuit.block(id).map(|it| it.tag.clone()).unwrap_or_default(),
            Owner::Run(id) => circuit.run(id).map(|it| it.tag.clone()).unwrap_or_default(),
            Owner::Place(id) => circuit.place(id).map(|it| it.name.clone()).unwrap_or_default(),
            Owner::Site => "the site".to_owned(),
        }
    }
    /// A datum of the site.
    pub const fn site(datum: &'static str) -> Self {
        Self { owner: Owner::Site, datum }
    }
}
