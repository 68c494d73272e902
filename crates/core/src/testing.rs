//! Samples and strategies for tests of every crate (feature `testing`).
//!
//! A [`Bench`] builds small circuits from stock by name; the strategies make arbitrary edits and projects.

use crate::circuit::{
    Block, BlockId, Conductor, GridPoint, Insulation, Orientation, Place, PlaceFacts, PlaceId, PlaceKind,
    Raceway, Run, RunEnd, TerminalName,
};
use crate::edit::{Edit, Stand, apply};
use crate::kinds::Equipment;
use crate::project::{MovedWords, Project, RuleSet, StockItem, TitleBlock, WordsOf, WordsPlace};
use crate::stock;
use crate::units::{Celsius, ConductorSize, Measure, Meters};
use proptest::prelude::*;

/// Builds a circuit step by step. Panics on a mistake, since only tests use it.
#[derive(Clone, Debug)]
pub struct Bench {
    /// What was built so far.
    pub project: Project,
    stock: Vec<StockItem>,
}

impl Default for Bench {
    fn default() -> Self {
        Self::new()
    }
}

#[expect(
    clippy::expect_used,
    clippy::missing_panics_doc,
    reason = "a bench is only used by tests, where a mistake must stop them"
)]
impl Bench {
    /// An empty sheet at a site from −20 to 35 °C, checked by NEC 2023.
    pub fn new() -> Self {
        let mut project = Project { rule_set: RuleSet::Nec2023, ..Project::default() };
        project.title = TitleBlock { system: "Bench".to_owned(), ..TitleBlock::default() };
        project.brief.site.record_low = Some(Celsius::new(-20.0));
        project.brief.site.design_high = Some(Celsius::new(35.0));
        Self { project, stock: stock::built_in().expect("the built-in stock reads") }
    }

    fn apply(&mut self, edit: Edit) {
        apply(&mut self.project, edit).expect("the bench makes no mistakes");
    }

    /// Adds a location.
    pub fn location(&mut self, name: &str) -> PlaceId {
        self.place(name, PlaceKind::Location, None)
    }
    /// Adds an enclosure within a place.
    pub fn enclosure(&mut self, name: &str, within: PlaceId) -> PlaceId {
        self.place(name, PlaceKind::Enclosure, Some(within))
    }
    fn place(&mut self, name: &str, kind: PlaceKind, within: Option<PlaceId>) -> PlaceId {
        let id = self.project.next_place_id().expect("ids are left");
        let place = Place {
            id,
            name: name.to_owned(),
            kind,
            within,
            at: GridPoint::new(0, 0),
            size: GridPoint::new(40, 40),
            facts: PlaceFacts::unknown(),
        };
        self.apply(Edit::InsertPlace(Box::new(place)));
        id
    }
    /// A stock item's equipment, by the item's name.
    pub fn stock(&self, name: &str) -> Equipment {
        stock::find(&self.stock, name).unwrap_or_else(|| unknown_item(name)).equipment.clone()
    }
    /// Puts equipment on the sheet under a tag.
    pub fn put(&mut self, tag: &str, place: Option<PlaceId>, equipment: impl Into<Equipment>) -> BlockId {
        let id = self.project.next_block_id().expect("ids are left");
        let step = i32::try_from(self.project.circuit.block_count()).unwrap_or(0);
        let block = Block {
            id,
            tag: tag.to_owned(),
            equipment: equipment.into(),
            stock: None,
            place,
            at: GridPoint::new(step % 20 * 12, step / 20 * 12),
            orientation: Orientation::default(),
            note: String::new(),
        };
        self.apply(Edit::InsertBlock(Box::new(block)));
        id
    }
    /// Joins two ends, `C1.pv` and `Q1.load`, with a conductor or directly. Gives the run its tag.
    pub fn join(&mut self, tag: &str, from: &str, to: &str, conductor: Option<Conductor>) {
        let id = self.project.next_run_id().expect("ids are left");
        let (from, to) = (self.end(from), self.end(to));
        let run = Run {
            id,
            tag: tag.to_owned(),
            from,
            to,
            conductor: conductor.map(Box::new),
            bends: Vec::new(),
            note: String::new(),
        };
        self.apply(Edit::InsertRun(Box::new(run)));
    }
    fn end(&self, text: &str) -> RunEnd {
        let (tag, terminal) = text.rsplit_once('.').expect("an end is TAG.terminal");
        let block = self.project.circuit.block_by_tag(tag).expect("the block is there").id;
        RunEnd { block, terminal: TerminalName::read(terminal).expect("the terminal is known") }
    }
}

#[expect(clippy::panic, reason = "only tests ask for stock by name")]
fn unknown_item(name: &str) -> &'static StockItem {
    panic!("no stock item “{name}”")
}

/// Copper in metal conduit, 90 °C, for tests that change what matters to them.
pub fn copper(size: &str, length: Meters) -> Conductor {
    Conductor {
        raceway: Raceway::MetalConduit,
        ..Conductor::copper(
            ConductorSize::read(size).unwrap_or(ConductorSize::Awg(10)),
            Insulation::Thwn2,
            length,
        )
    }
}

/// A choice of what to do, resolved against the project when it is its turn.
#[derive(Clone, Debug)]
pub enum Wish {
    /// Put a stock item on the sheet.
    Insert(prop::sample::Index, GridPoint),
    /// Remove a block with its runs.
    Remove(prop::sample::Index),
    /// Join two terminals.
    Join(prop::sample::Index, prop::sample::Index, prop::sample::Index, prop::sample::Index, u8),
    /// Remove a run.
    Cut(prop::sample::Index),
    /// Move a block.
    Move(prop::sample::Index, GridPoint, prop::sample::Index),
    /// Rename a block.
    Rename(prop::sample::Index, String),
    /// Give a block other equipment.
    Swap(prop::sample::Index, prop::sample::Index),
    /// Add a place, perhaps within another.
    AddPlace(String, prop::sample::Index),
    /// Remove a place.
    RemovePlace(prop::sample::Index),
    /// Change the rule set.
    Code(prop::sample::Index),
    /// Change the site.
    Climate(f64, f64),
    /// Write a note.
    Note(prop::sample::Index, String),
    /// Move words, or let them go back.
    Words(prop::sample::Index, i16, i16, u8),
}

fn point() -> impl Strategy<Value = GridPoint> {
    (-50..200_i32, -50..200_i32).prop_map(|(x, y)| GridPoint::new(x, y))
}

/// Any wish.
pub fn wish() -> impl Strategy<Value = Wish> {
    let any = any::<prop::sample::Index>;
    prop_oneof![
        6 => (any(), point()).prop_map(|(item, at)| Wish::Insert(item, at)),
        1 => any().prop_map(Wish::Remove),
        8 => (any(), any(), any(), any(), 0..8_u8).prop_map(|(a, b, c, d, e)| Wish::Join(a, b, c, d, e)),
        1 => any().prop_map(Wish::Cut),
        3 => (any(), point(), any()).prop_map(|(block, at, place)| Wish::Move(block, at, place)),
        1 => (any(), "[A-Za-z]{1,3}[0-9]{0,2}").prop_map(|(block, tag)| Wish::Rename(block, tag)),
        2 => (any(), any()).prop_map(|(block, item)| Wish::Swap(block, item)),
        2 => ("[A-Z][a-z]{2,8}", any()).prop_map(|(name, within)| Wish::AddPlace(name, within)),
        1 => any().prop_map(Wish::RemovePlace),
        1 => any().prop_map(Wish::Code),
        1 => (-60.0..20.0, 0.0..55.0).prop_map(|(low, high)| Wish::Climate(low, high)),
        1 => (any(), "[ -~]{0,20}").prop_map(|(block, note)| Wish::Note(block, note)),
        2 => (any(), -300..300_i16, -300..300_i16, 0..5_u8)
            .prop_map(|(of, right, down, lines)| Wish::Words(of, right, down, lines)),
    ]
}

impl Wish {
    /// The edit that grants it; `None` when there is nothing to do it with.
    pub fn edit(&self, project: &Project, stock: &[StockItem]) -> Option<Edit> {
        let circuit = &project.circuit;
        let blocks: Vec<&Block> = circuit.blocks().collect();
        let runs: Vec<&Run> = circuit.runs().collect();
        let places: Vec<&Place> = circuit.places().collect();
        let pick = |index: &prop::sample::Index| (!blocks.is_empty()).then(|| *index.get(&blocks));
        match self {
            Self::Insert(item, at) => {
                let item = item.get(stock);
                Some(Edit::InsertBlock(Box::new(Block {
                    id: project.next_block_id()?,
                    tag: project.next_tag(item.equipment.kind().tag_letters()),
                    equipment: item.equipment.clone(),
                    stock: Some(item.name.clone()),
                    place: places.first().map(|place| place.id),
                    at: *at,
                    orientation: Orientation::default(),
                    note: String::new(),
                })))
            }
            Self::Remove(block) => Some(crate::edit::remove_block_with_runs(circuit, pick(block)?.id)),
            Self::Join(a, b, from, to, sort) => join(project, pick(a)?, pick(b)?, *from, *to, *sort),
            Self::Cut(run) => (!runs.is_empty()).then(|| Edit::RemoveRun(run.get(&runs).id)),
            Self::Move(block, at, place) => {
                let block = pick(block)?;
                let place = (!places.is_empty()).then(|| place.get(&places).id);
                Some(Edit::SetStand(block.id, Stand { at: *at, orientation: block.orientation, place }))
            }
            Self::Rename(block, tag) => Some(Edit::SetTag(pick(block)?.id, tag.clone())),
            Self::Swap(block, item) => {
                let item = item.get(stock);
                Some(Edit::SetEquipment {
                    block: pick(block)?.id,
                    equipment: Box::new(item.equipment.clone()),
                    stock: Some(item.name.clone()),
                })
            }
            Self::AddPlace(name, within) => Some(Edit::InsertPlace(Box::new(Place {
                id: project.next_place_id()?,
                name: name.clone(),
                kind: if places.len().is_multiple_of(2) { PlaceKind::Location } else { PlaceKind::Enclosure },
                within: (!places.is_empty()).then(|| within.get(&places).id),
                at: GridPoint::new(0, 0),
                size: GridPoint::new(60, 60),
                facts: PlaceFacts::unknown(),
            }))),
            Self::RemovePlace(place) => {
                (!places.is_empty()).then(|| Edit::RemovePlace(place.get(&places).id))
            }
            Self::Code(set) => Some(Edit::SetRuleSet(*set.get(&RuleSet::ALL))),
            Self::Climate(low, high) => {
                let mut brief = project.brief.clone();
                brief.site.record_low = Celsius::try_new(*low).ok();
                brief.site.design_high = Celsius::try_new(*high).ok();
                Some(Edit::SetBrief(Box::new(brief)))
            }
            Self::Note(block, note) => Some(Edit::SetBlockNote(pick(block)?.id, note.clone())),
            Self::Words(of, right, down, lines) => words(project, *of, (*right, *down), *lines),
        }
    }
}

/// Words of a block or a run, moved; every fifth goes back to where it would stand by itself.
fn words(project: &Project, of: prop::sample::Index, (right, down): (i16, i16), lines: u8) -> Option<Edit> {
    let blocks = project.circuit.blocks().flat_map(|it| [WordsOf::Tag(it.id), WordsOf::Ratings(it.id)]);
    let all: Vec<WordsOf> = blocks.chain(project.circuit.runs().map(|it| WordsOf::Callout(it.id))).collect();
    let of = (!all.is_empty()).then(|| *of.get(&all))?;
    let along = 250 * u16::from(lines);
    Some(Edit::SetWords(of, (right % 5 != 0).then_some(WordsPlace { along, right, down, lines })))
}

fn join(
    project: &Project,
    a: &Block,
    b: &Block,
    from: prop::sample::Index,
    to: prop::sample::Index,
    sort: u8,
) -> Option<Edit> {
    let (ends_a, ends_b) = (a.equipment.terminals(), b.equipment.terminals());
    if ends_a.is_empty() || ends_b.is_empty() {
        return None;
    }
    let sizes = ["14", "10", "6", "2", "4/0", "250 kcmil", "35 mm²"];
    let size = sizes.get(usize::from(sort));
    Some(Edit::InsertRun(Box::new(Run {
        id: project.next_run_id()?,
        tag: project.next_tag("W"),
        from: RunEnd { block: a.id, terminal: from.get(&ends_a).name },
        to: RunEnd { block: b.id, terminal: to.get(&ends_b).name },
        conductor: size.map(|size| Box::new(copper(size, Meters::new(f64::from(sort) * 3.0)))),
        bends: Vec::new(),
        note: String::new(),
    })))
}

/// Any project that a sequence of edits can make, refused edits left out.
pub fn project(edits: impl Into<prop::collection::SizeRange>) -> impl Strategy<Value = Project> {
    let stock = stock::built_in().unwrap_or_default();
    prop::collection::vec(wish(), edits).prop_map(move |wishes| {
        let mut project = Project::default();
        for wish in wishes {
            if let Some(edit) = wish.edit(&project, &stock) {
                let _refused = apply(&mut project, edit);
            }
        }
        project
    })
}

/// The same system so many times on one sheet, each copy with tags and places of its own, side by side. For
/// measuring how work grows. Labels were made for one system, and words were moved on one, so that none are taken along.
pub fn copies(project: &Project, count: u32) -> Project {
    let circuit = crate::circuit::Circuit::default();
    let mut sheet =
        Project { circuit, labels: Vec::new(), moved_words: MovedWords::new(), ..project.clone() };
    let width = project.circuit.places().map(|place| place.at.x + place.size.x).max().unwrap_or(200) + 20;
    let step = project.last_id + 1;
    for copy in 0..count {
        let moved = |number: u32| number + copy * step;
        let (dx, dy) =
            (width * i32::try_from(copy % 10).unwrap_or(0), 120 * i32::try_from(copy / 10).unwrap_or(0));
        let place_id = |id: PlaceId| PlaceId::new(moved(id.number()));
        for place in project.circuit.places() {
            let Some(id) = place_id(place.id) else { continue };
            let within = place.within.and_then(place_id);
            let name = format!("{} {copy}", place.name);
            let place = Place { id, name, within, at: place.at.moved(dx, dy), ..place.clone() };
            sheet.circuit.places_mut().insert(id, place);
        }
        for block in project.circuit.blocks() {
            let Some(id) = BlockId::new(moved(block.id.number())) else { continue };
            let tag = format!("{}-{copy}", block.tag);
            let place = block.place.and_then(place_id);
            sheet.circuit.insert_block(Block { id, tag, place, at: block.at.moved(dx, dy), ..block.clone() });
        }
        for run in project.circuit.runs() {
            let Some(id) = crate::circuit::RunId::new(moved(run.id.number())) else { continue };
            let end =
                |end: RunEnd| BlockId::new(moved(end.block.number())).map(|block| RunEnd { block, ..end });
            let (Some(from), Some(to)) = (end(run.from), end(run.to)) else { continue };
            let tag = format!("{}-{copy}", run.tag);
            let bends = run.bends.iter().map(|bend| bend.moved(dx, dy)).collect();
            let mut run = Run { id, tag, from, to, bends, ..run.clone() };
            // Each copy has raceways of its own.
            if let Some(name) = run.conductor.as_mut().and_then(|it| it.raceway_name.as_mut()) {
                *name = format!("{name} {copy}");
            }
            sheet.circuit.insert_run(run);
        }
    }
    sheet.last_id = step.saturating_mul(count.max(1));
    sheet
}
