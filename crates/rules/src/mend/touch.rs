//! What an edit touches, and how much it disturbs: told from the edit itself, so that every proposal is ranked by
//! one measure. What an edit changes in words is in `preview.rs`.

use lineside_core::circuit::{BlockId, Conductor, PlaceId, RunId};
use lineside_core::edit::Edit;
use lineside_core::kinds::field::Layer;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::Project;

/// One thing that an edit touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Touch {
    /// A programmed value or another choice of the designer.
    Setting(BlockId, &'static str),
    /// A figure of the nameplate: another rating of the same series.
    Nameplate(BlockId, &'static str),
    /// A block exchanged for another one of stock.
    Exchange(BlockId, Kind),
    /// Another conductor size.
    Size(RunId),
    /// Another property of the conductors.
    Conductor(RunId, &'static str),
    /// Other ends of a run.
    Ends(RunId),
    /// A run cut open for a new device.
    Cut(RunId),
    /// A new block.
    New(Kind),
    /// A place: building work.
    Place(PlaceId),
    /// A fact of the site.
    Site,
    /// Anything else.
    Other,
}

/// Everything that an edit touches, without the runs that join new blocks.
pub(super) fn touches(project: &Project, edit: &Edit) -> Vec<Touch> {
    let mut all = Vec::new();
    collect(project, edit, &mut all);
    all
}

/// Whether an edit sets what another one has set, and nothing else: then only the later one counts.
pub(super) fn overtakes(later: &[Touch], earlier: &[Touch]) -> bool {
    let only_sets = |touch: &Touch| match touch {
        Touch::Setting(..)
        | Touch::Nameplate(..)
        | Touch::Exchange(..)
        | Touch::Size(_)
        | Touch::Conductor(..)
        | Touch::Place(_) => true,
        Touch::Ends(_) | Touch::Cut(_) | Touch::New(_) | Touch::Site | Touch::Other => false,
    };
    later == earlier && later.iter().all(only_sets)
}

/// How much an edit disturbs, in steps: a programmed value is one.
pub(super) fn effort(touches: &[Touch]) -> u32 {
    touches.iter().map(|touch| weight(*touch)).sum()
}

/// The order of the trade: what costs nothing and disturbs nothing first.
fn weight(touch: Touch) -> u32 {
    match touch {
        Touch::Setting(_, "units_in_series" | "strings_in_parallel") => 6,
        Touch::Setting(..) => 1,
        Touch::Nameplate(..) | Touch::Exchange(_, Kind::Breaker | Kind::Fuse | Kind::Switch) => 2,
        Touch::Size(_) | Touch::Conductor(..) => 3,
        Touch::Exchange(_, Kind::Inverter | Kind::BatteryBank | Kind::Generator | Kind::Strings) => 8,
        Touch::Exchange(..) | Touch::Place(_) => 5,
        Touch::New(_) | Touch::Site | Touch::Ends(_) => 4,
        Touch::Cut(_) => 0,
        Touch::Other => 10,
    }
}

fn collect(project: &Project, edit: &Edit, all: &mut Vec<Touch>) {
    match edit {
        Edit::Batch(edits) => {
            let new: Vec<BlockId> = inserted(edits);
            for edit in edits {
                // A run that is cut open for a new device keeps everything but its end.
                let cut = matches!(edit, Edit::SetRun(run)
                    if new.contains(&run.from.block) || new.contains(&run.to.block));
                if let (true, Edit::SetRun(run)) = (cut, edit) {
                    all.push(Touch::Cut(run.id));
                } else {
                    collect(project, edit, all);
                }
            }
        }
        Edit::SetEquipment { block, equipment, stock } => {
            let Some(now) = project.circuit.block(*block) else { return all.push(Touch::Other) };
            if stock.is_some() && now.stock != *stock {
                return all.push(Touch::Exchange(*block, equipment.kind()));
            }
            all.extend(fields(&now.equipment, equipment, *block));
        }
        Edit::SetRun(run) => {
            let Some(now) = project.circuit.run(run.id) else { return all.push(Touch::Other) };
            if (now.from, now.to) != (run.from, run.to) {
                all.push(Touch::Ends(run.id));
            }
            if let (Some(old), Some(new)) = (&now.conductor, &run.conductor) {
                all.extend(conductor(run.id, old, new));
            }
        }
        Edit::InsertBlock(block) => all.push(Touch::New(block.kind())),
        Edit::InsertRun(_) => {}
        Edit::SetPlace(place) => all.push(Touch::Place(place.id)),
        Edit::SetBrief(_) => all.push(Touch::Site),
        Edit::RemoveBlock(_)
        | Edit::SetTag(..)
        | Edit::SetStand(..)
        | Edit::SetBlockNote(..)
        | Edit::RemoveRun(_)
        | Edit::InsertPlace(_)
        | Edit::RemovePlace(_)
        | Edit::SetTitle(_)
        | Edit::SetRuleSet(_)
        | Edit::SetUnits(_)
        | Edit::SetStock(_)
        | Edit::SetSetPoints(_)
        | Edit::SetPriceBook(_)
        | Edit::SetCases(_)
        | Edit::SetRevisions(_)
        | Edit::SetLabels(_)
        | Edit::SetAccepted(_)
        | Edit::SetWords(..)
        | Edit::SetSiteRecord(_)
        | Edit::SetLastId(_) => all.push(Touch::Other),
    }
}

fn inserted(edits: &[Edit]) -> Vec<BlockId> {
    let id = |edit: &Edit| if let Edit::InsertBlock(block) = edit { Some(block.id) } else { None };
    edits.iter().filter_map(id).collect()
}

fn fields(old: &Equipment, new: &Equipment, block: BlockId) -> Vec<Touch> {
    if old.kind() != new.kind() {
        return vec![Touch::Exchange(block, new.kind())];
    }
    let changed = new.kind().fields().iter().filter(|field| old.get(field.key) != new.get(field.key));
    changed
        .map(|field| match field.layer {
            Layer::Setting => Touch::Setting(block, field.key),
            Layer::Nameplate => Touch::Nameplate(block, field.key),
        })
        .collect()
}

fn conductor(run: RunId, old: &Conductor, new: &Conductor) -> Vec<Touch> {
    let changed = Conductor::fields().iter().filter(|field| old.get(field.key) != new.get(field.key));
    changed
        .map(|field| if field.key == "size" { Touch::Size(run) } else { Touch::Conductor(run, field.key) })
        .collect()
}
