//! A project: everything about one system for one customer, in one value.
//!
//! It changes only through [`crate::edit`]. Nothing derived is kept here.

mod accepted;
mod brief;
mod cases;
mod labels;
mod moved_words;
mod price_book;
mod revision;
mod set_points;
mod site_record;
mod stock;
mod title;

pub use accepted::{AcceptedAdvice, AdvicePlace};
pub use brief::{
    ArrayStructure, Brief, BriefFault, BuildingUse, ChemistryWish, Goals, HorizonPoint, LoadCurrent,
    LoadItem, LoadPriority, Month, MonthlyMeans, OutagePattern, Site, SupplyWish, WeatherSource,
    loads_at_once,
};
pub use cases::{OperatingCase, SwitchState};
pub use labels::{LabelKind, LabelPlace, LabelValues, MadeLabel};
pub use moved_words::{MovedWords, WordsOf, WordsPlace};
pub use price_book::{Price, PriceBook};
pub use revision::{Revision, RevisionStatus};
pub use set_points::SetPoint;
pub use site_record::{RecordResult, RecordRow, SiteRecord};
pub use stock::StockItem;
pub use title::TitleBlock;

use crate::circuit::{BlockId, Circuit, PlaceId, RunId};
use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};

/// The rules of one code and edition.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum RuleSet {
    /// NFPA 70, edition 2023.
    #[default]
    #[serde(rename = "nec-2023")]
    Nec2023,
    /// NFPA 70, edition 2020.
    #[serde(rename = "nec-2020")]
    Nec2020,
    /// NFPA 70, edition 2017.
    #[serde(rename = "nec-2017")]
    Nec2017,
    /// IEC 62548-1, IEC 60364 and their companions.
    #[serde(rename = "iec")]
    Iec,
}

impl RuleSet {
    /// Every rule set.
    pub const ALL: [Self; 4] = [Self::Nec2023, Self::Nec2020, Self::Nec2017, Self::Iec];

    /// As it stands in files and commands.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Nec2023 => "nec-2023",
            Self::Nec2020 => "nec-2020",
            Self::Nec2017 => "nec-2017",
            Self::Iec => "iec",
        }
    }
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Nec2023 => "NEC 2023",
            Self::Nec2020 => "NEC 2020",
            Self::Nec2017 => "NEC 2017",
            Self::Iec => "IEC",
        }
    }
    /// The rule set of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|set| set.key() == key)
    }
    /// Whether it is an edition of the NEC.
    pub const fn is_nec(self) -> bool {
        !matches!(self, Self::Iec)
    }
}

/// One system for one customer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Project {
    /// Title block.
    pub title: TitleBlock,
    /// By which code it is checked.
    pub rule_set: RuleSet,
    /// In which units its people read.
    pub units: UnitSystem,
    /// What the customer needs.
    pub brief: Brief,
    /// Blocks, runs and places.
    pub circuit: Circuit,
    /// Stock that came with the project, so that its file stands alone.
    pub stock: Vec<StockItem>,
    /// Programmed values.
    pub set_points: Vec<SetPoint>,
    /// What things cost.
    pub price_book: PriceBook,
    /// Named states of sun, load, supplies and switches.
    pub cases: Vec<OperatingCase>,
    /// Dated, lettered states.
    pub revisions: Vec<Revision>,
    /// Labels as they were made; empty as long as none have been.
    pub labels: Vec<MadeLabel>,
    /// Advice that the designer lives with, each with the reason.
    pub accepted: Vec<AcceptedAdvice>,
    /// Words on the sheet that were moved by hand.
    pub moved_words: MovedWords,
    /// What the installer measured.
    pub site_record: SiteRecord,
    /// The last id that was given out.
    pub last_id: u32,
}

impl Project {
    /// An id for a new block. It is taken once the block is inserted.
    pub fn next_block_id(&self) -> Option<BlockId> {
        BlockId::new(self.last_id.checked_add(1)?)
    }
    /// An id for a new run.
    pub fn next_run_id(&self) -> Option<RunId> {
        RunId::new(self.last_id.checked_add(1)?)
    }
    /// An id for a new place.
    pub fn next_place_id(&self) -> Option<PlaceId> {
        PlaceId::new(self.last_id.checked_add(1)?)
    }
    /// The first free tag with these letters, past every number in use: `C3`.
    pub fn next_tag(&self, letters: &str) -> String {
        let blocks = self.circuit.blocks().map(|block| block.tag.as_str());
        let runs = self.circuit.runs().map(|run| run.tag.as_str());
        let highest = blocks
            .chain(runs)
            .filter_map(|tag| tag.strip_prefix(letters)?.parse::<u32>().ok())
            .max()
            .unwrap_or(0);
        format!("{letters}{}", highest.saturating_add(1))
    }
    /// `Highmeadow Cabin`, or what to call a project without a title.
    pub fn name(&self) -> &str {
        if self.title.system.is_empty() { "Untitled" } else { &self.title.system }
    }
}
