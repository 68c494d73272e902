//! Proposals that many rules make: another nameplate, another fact of a place, a device put into a run, a block of
//! another stock item. Whether they work is found out by [`crate::remedy::tried`].

use crate::circumstances::Circumstances;
use crate::remedy::Proposal;
use lineside_core::circuit::{
    Block, Conductor, GridPoint, Orientation, Place, PlaceFacts, PlaceId, Run, RunEnd, RunId, Side,
    TerminalName,
};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::{Brief, Project, Site, StockItem};

/// Room that a block is given on the sheet, in grid steps: wider and higher than most symbols with their labels.
const ROOM: GridPoint = GridPoint { x: 9, y: 7 };
/// How far round its neighbor room is looked for.
const LOOK: i32 = 30;

/// A block with other settings or another nameplate.
pub(crate) fn with_equipment(block: &Block, equipment: impl Into<Equipment>, label: String) -> Proposal {
    let edit = Edit::SetEquipment {
        block: block.id,
        equipment: Box::new(equipment.into()),
        stock: block.stock.clone(),
    };
    Proposal { label, edit }
}

/// A block exchanged for a stock item.
pub(crate) fn with_stock(block: &Block, item: StockItem, label: String) -> Proposal {
    let edit =
        Edit::SetEquipment { block: block.id, equipment: Box::new(item.equipment), stock: Some(item.name) };
    Proposal { label, edit }
}

/// A place with other facts.
pub(crate) fn with_facts(place: &Place, facts: PlaceFacts, label: String) -> Proposal {
    Proposal { label, edit: Edit::SetPlace(Box::new(Place { facts, ..place.clone() })) }
}

/// A run with another conductor.
pub(crate) fn with_conductor(run: &Run, conductor: Conductor, label: String) -> Proposal {
    let changed = Run { conductor: Some(Box::new(conductor)), ..run.clone() };
    Proposal { label, edit: Edit::SetRun(Box::new(changed)) }
}

/// A brief with another site.
pub(crate) fn with_site(on: &Circumstances<'_>, site: Site, label: String) -> Proposal {
    Proposal { label, edit: Edit::SetBrief(Box::new(Brief { site, ..on.project().brief.clone() })) }
}

/// Stock of a kind, the project's own first, that a rule would take.
pub(crate) fn stock_of(
    on: &Circumstances<'_>,
    kind: Kind,
    wanted: impl Fn(&Equipment) -> bool,
) -> Vec<StockItem> {
    let all = on.project().stock.iter().chain(on.stock);
    all.filter(|item| item.equipment.kind() == kind && wanted(&item.equipment)).cloned().collect()
}

/// A device put into a run at one of its ends: it stands beside the block there and is joined to it directly, so
/// that the run itself stays as it is. The device has a `line` and a `load`.
pub(crate) fn into_run(
    on: &Circumstances<'_>,
    run: &Run,
    side: Side,
    item: StockItem,
    label: String,
) -> Option<Proposal> {
    Some(Proposal { label, edit: insertion(on.project(), run, side, item)? })
}

/// Several edits that each build on the one before, as one. Each is made for the project as it then stands.
pub(crate) fn one_after_another(
    project: &Project,
    steps: impl IntoIterator<Item = impl FnOnce(&Project) -> Option<Edit>>,
) -> Option<Edit> {
    let mut copy = project.clone();
    let mut edits = Vec::new();
    for step in steps {
        let edit = step(&copy)?;
        apply(&mut copy, edit.clone()).ok()?;
        edits.push(edit);
    }
    Some(Edit::Batch(edits))
}

/// The edit that puts a device into a run at one of its ends.
pub(crate) fn insertion(project: &Project, run: &Run, side: Side, item: StockItem) -> Option<Edit> {
    let end = run.end(side);
    let beside = project.circuit.block(end.block)?;
    let device = new_block(project, item, beside.place, beside.at)?;
    let joint = RunId::new(device.id.number().checked_add(1)?)?;
    let at = |terminal| RunEnd { block: device.id, terminal: TerminalName::plain(terminal) };
    let (towards_run, towards_block) = match side {
        Side::From => (at("load"), at("line")),
        Side::To => (at("line"), at("load")),
    };
    let mut shortened = run.clone();
    match side {
        Side::From => shortened.from = towards_run,
        Side::To => shortened.to = towards_run,
    }
    shortened.bends.clear();
    let direct = Run {
        id: joint,
        tag: project.next_tag("W"),
        from: end,
        to: towards_block,
        conductor: None,
        bends: Vec::new(),
        note: String::new(),
    };
    Some(Edit::Batch(vec![
        Edit::InsertBlock(Box::new(device)),
        Edit::SetRun(Box::new(shortened)),
        Edit::InsertRun(Box::new(direct)),
    ]))
}

/// A block of a stock item, beside a point of the sheet.
pub(crate) fn new_block(
    project: &Project,
    item: StockItem,
    place: Option<PlaceId>,
    beside: GridPoint,
) -> Option<Block> {
    Some(Block {
        id: project.next_block_id()?,
        tag: project.next_tag(item.equipment.kind().tag_letters()),
        equipment: item.equipment,
        stock: Some(item.name),
        place,
        at: room_beside(project, place, beside),
        orientation: Orientation::default(),
        note: String::new(),
    })
}

/// The free point nearest to another, in the same place if there is room in it.
fn room_beside(project: &Project, place: Option<PlaceId>, beside: GridPoint) -> GridPoint {
    let is_free = |at: &GridPoint| {
        at.is_on_sheet()
            && project
                .circuit
                .blocks()
                .all(|block| (block.at.x - at.x).abs() >= ROOM.x || (block.at.y - at.y).abs() >= ROOM.y)
    };
    let within = |at: &GridPoint| {
        let Some(place) = place.and_then(|id| project.circuit.place(id)) else { return true };
        let (low, high) = (place.at, place.at.moved(place.size.x, place.size.y));
        at.x > low.x && at.y > low.y && at.x + ROOM.x <= high.x && at.y + ROOM.y <= high.y
    };
    let rings = (0..LOOK).flat_map(|ring| {
        (-ring..=ring).flat_map(move |dy| {
            let dx = ring - dy.abs();
            [beside.moved(dx, dy), beside.moved(-dx, dy)]
        })
    });
    let mut outside = None;
    for at in rings.filter(is_free) {
        if within(&at) {
            return at;
        }
        outside = outside.or(Some(at));
    }
    outside.unwrap_or(beside)
}
