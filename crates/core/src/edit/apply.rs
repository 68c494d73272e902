//! Making an edit, and the edit that undoes it.

use super::renaming::{self, Renamed};
use super::{Edit, Refusal};
use crate::circuit::{Block, BlockId, Circuit, GridPoint, ID_LIMIT, Place, PlaceId, Run, RunEnd, RunId};
use crate::kinds::Equipment;
use crate::kinds::field::Field;
use crate::project::{AcceptedAdvice, Project, WordsOf, WordsPlace};

/// Makes an edit and gives back its inverse. On a refusal the project is unchanged.
pub fn apply(project: &mut Project, edit: Edit) -> Result<Edit, Refusal> {
    match edit {
        Edit::Batch(edits) => batch(project, edits),
        Edit::InsertBlock(block) => insert_block(project, *block),
        Edit::RemoveBlock(id) => remove_block(project, id),
        Edit::SetTag(id, tag) => set_tag(project, id, &tag),
        Edit::SetStand(id, stand) => set_stand(project, id, stand),
        Edit::SetEquipment { block, equipment, stock } => set_equipment(project, block, equipment, stock),
        Edit::SetBlockNote(id, note) => {
            let block = project.circuit.block_mut(id).ok_or(Refusal::NoBlock(id))?;
            Ok(Edit::SetBlockNote(id, std::mem::replace(&mut block.note, note)))
        }
        Edit::InsertRun(run) => insert_run(project, *run),
        Edit::RemoveRun(id) => {
            let run = project.circuit.remove_run(id).ok_or(Refusal::NoRun(id))?;
            Ok(put_back(project, Edit::InsertRun(Box::new(run)), &[WordsOf::Callout(id)]))
        }
        Edit::SetRun(run) => set_run(project, *run),
        Edit::InsertPlace(place) => insert_place(project, *place),
        Edit::RemovePlace(id) => remove_place(project, id),
        Edit::SetPlace(place) => set_place(project, *place),
        Edit::SetTitle(title) => Ok(Edit::SetTitle(Box::new(std::mem::replace(&mut project.title, *title)))),
        Edit::SetRuleSet(set) => Ok(Edit::SetRuleSet(std::mem::replace(&mut project.rule_set, set))),
        Edit::SetUnits(units) => Ok(Edit::SetUnits(std::mem::replace(&mut project.units, units))),
        Edit::SetBrief(brief) => set_brief(project, brief),
        Edit::SetStock(stock) => Ok(Edit::SetStock(std::mem::replace(&mut project.stock, stock))),
        Edit::SetSetPoints(points) => {
            Ok(Edit::SetSetPoints(std::mem::replace(&mut project.set_points, points)))
        }
        Edit::SetPriceBook(book) => {
            Ok(Edit::SetPriceBook(Box::new(std::mem::replace(&mut project.price_book, *book))))
        }
        Edit::SetCases(cases) => Ok(Edit::SetCases(std::mem::replace(&mut project.cases, cases))),
        Edit::SetRevisions(list) => Ok(Edit::SetRevisions(std::mem::replace(&mut project.revisions, list))),
        Edit::SetLabels(labels) => Ok(Edit::SetLabels(std::mem::replace(&mut project.labels, labels))),
        Edit::SetAccepted(accepted) if !accepted.iter().all(AcceptedAdvice::has_reason) => {
            Err(Refusal::NoReason)
        }
        Edit::SetAccepted(accepted) => {
            Ok(Edit::SetAccepted(std::mem::replace(&mut project.accepted, accepted)))
        }
        Edit::SetWords(of, place) => set_words(project, of, place),
        Edit::SetSiteRecord(record) => {
            Ok(Edit::SetSiteRecord(Box::new(std::mem::replace(&mut project.site_record, *record))))
        }
        Edit::SetLastId(last) if last > ID_LIMIT => Err(Refusal::NoIdsLeft),
        Edit::SetLastId(last) => Ok(Edit::SetLastId(std::mem::replace(&mut project.last_id, last))),
    }
}

/// The edit that removes a block together with every run that lands on it.
pub fn remove_block_with_runs(circuit: &Circuit, block: BlockId) -> Edit {
    let mut edits: Vec<Edit> = circuit.runs_at(block).iter().map(|run| Edit::RemoveRun(run.id)).collect();
    edits.push(Edit::RemoveBlock(block));
    Edit::Batch(edits)
}

fn batch(project: &mut Project, edits: Vec<Edit>) -> Result<Edit, Refusal> {
    let mut undo = Vec::with_capacity(edits.len());
    for edit in edits {
        match apply(project, edit) {
            Ok(inverse) => undo.push(inverse),
            Err(refusal) => {
                for inverse in undo.into_iter().rev() {
                    let undone = apply(project, inverse);
                    debug_assert!(undone.is_ok(), "an inverse can always be applied: {undone:?}");
                }
                return Err(refusal);
            }
        }
    }
    undo.reverse();
    Ok(Edit::Batch(undo))
}

/// Inserting raises the counter; the inverse of a removal must not leave it changed.
/// Words that were moved go with what they belong to, and come back with it.
fn put_back(project: &mut Project, insertion: Edit, words: &[WordsOf]) -> Edit {
    let mut edits = vec![insertion, Edit::SetLastId(project.last_id)];
    for of in words {
        edits.extend(project.moved_words.remove(of).map(|place| Edit::SetWords(*of, Some(place))));
    }
    Edit::Batch(edits)
}

fn set_words(project: &mut Project, of: WordsOf, place: Option<WordsPlace>) -> Result<Edit, Refusal> {
    match of {
        WordsOf::Tag(id) | WordsOf::Ratings(id) => {
            project.circuit.block(id).map(|_| ()).ok_or(Refusal::NoBlock(id))?;
        }
        WordsOf::Callout(id) => project.circuit.run(id).map(|_| ()).ok_or(Refusal::NoRun(id))?,
    }
    let before = match place {
        Some(place) if !place.is_sound() => return Err(Refusal::OffSheet),
        Some(place) => project.moved_words.insert(of, place),
        None => project.moved_words.remove(&of),
    };
    Ok(Edit::SetWords(of, before))
}

/// The inverse of an insertion also puts the counter back, so that undo gives the identical project.
fn take_away(last_id: u32, removal: Edit) -> Edit {
    Edit::Batch(vec![removal, Edit::SetLastId(last_id)])
}

fn insert_block(project: &mut Project, block: Block) -> Result<Edit, Refusal> {
    free_id(project, block.id.number())?;
    good_tag(&block.tag)?;
    free_tag(&project.circuit, &block.tag)?;
    on_sheet(block.at)?;
    known_place(&project.circuit, block.place)?;
    within_limits(&block.equipment)?;
    let (id, before) = (block.id, project.last_id);
    project.last_id = before.max(id.number());
    project.circuit.insert_block(block);
    Ok(take_away(before, Edit::RemoveBlock(id)))
}

fn remove_block(project: &mut Project, id: BlockId) -> Result<Edit, Refusal> {
    let block = project.circuit.block(id).ok_or(Refusal::NoBlock(id))?;
    let runs: Vec<&str> = project.circuit.runs_at(id).iter().map(|run| run.tag.as_str()).collect();
    if !runs.is_empty() {
        return Err(Refusal::StillWired { block: block.tag.clone(), runs: runs.join(", ") });
    }
    let block = project.circuit.remove_block(id).ok_or(Refusal::NoBlock(id))?;
    Ok(put_back(project, Edit::InsertBlock(Box::new(block)), &[WordsOf::Tag(id), WordsOf::Ratings(id)]))
}

fn set_tag(project: &mut Project, id: BlockId, tag: &str) -> Result<Edit, Refusal> {
    let now = &project.circuit.block(id).ok_or(Refusal::NoBlock(id))?.tag;
    if *now != tag {
        good_tag(tag)?;
        free_tag(&project.circuit, tag)?;
    }
    let block = project.circuit.block_mut(id).ok_or(Refusal::NoBlock(id))?;
    let before = std::mem::replace(&mut block.tag, tag.to_owned());
    let inverse = Edit::SetTag(id, before.clone());
    Ok(renaming::of_block(project, &Renamed { from: &before, to: tag }, inverse))
}

fn set_stand(project: &mut Project, id: BlockId, stand: super::Stand) -> Result<Edit, Refusal> {
    on_sheet(stand.at)?;
    known_place(&project.circuit, stand.place)?;
    let block = project.circuit.block_mut(id).ok_or(Refusal::NoBlock(id))?;
    let before = super::Stand { at: block.at, orientation: block.orientation, place: block.place };
    block.at = stand.at;
    block.orientation = stand.orientation;
    block.place = stand.place;
    Ok(Edit::SetStand(id, before))
}

fn set_equipment(
    project: &mut Project,
    id: BlockId,
    equipment: Box<Equipment>,
    stock: Option<String>,
) -> Result<Edit, Refusal> {
    let block = project.circuit.block(id).ok_or(Refusal::NoBlock(id))?;
    within_limits(&equipment)?;
    let terminals = equipment.terminals();
    for run in project.circuit.runs_at(id) {
        let mut lost = [run.from, run.to]
            .into_iter()
            .filter(|end| end.block == id && !terminals.iter().any(|terminal| terminal.name == end.terminal));
        if let Some(end) = lost.next() {
            return Err(Refusal::WouldLoseTerminal {
                block: block.tag.clone(),
                terminal: end.terminal.to_string(),
                run: run.tag.clone(),
            });
        }
    }
    let block = project.circuit.block_mut(id).ok_or(Refusal::NoBlock(id))?;
    let equipment = Box::new(std::mem::replace(&mut block.equipment, *equipment));
    let stock = std::mem::replace(&mut block.stock, stock);
    Ok(Edit::SetEquipment { block: id, equipment, stock })
}

fn insert_run(project: &mut Project, run: Run) -> Result<Edit, Refusal> {
    free_id(project, run.id.number())?;
    good_tag(&run.tag)?;
    free_tag(&project.circuit, &run.tag)?;
    good_run(&project.circuit, &run)?;
    let (id, before) = (run.id, project.last_id);
    project.last_id = before.max(id.number());
    project.circuit.insert_run(run);
    Ok(take_away(before, Edit::RemoveRun(id)))
}

fn set_run(project: &mut Project, run: Run) -> Result<Edit, Refusal> {
    let now = project.circuit.run(run.id).ok_or(Refusal::NoRun(run.id))?;
    if now.tag != run.tag {
        good_tag(&run.tag)?;
        free_tag(&project.circuit, &run.tag)?;
    }
    good_run(&project.circuit, &run)?;
    let before = project.circuit.remove_run(run.id).ok_or(Refusal::NoRun(run.id))?;
    let names = (before.tag.clone(), run.tag.clone());
    project.circuit.insert_run(run);
    let inverse = Edit::SetRun(Box::new(before));
    Ok(renaming::of_run(project, &Renamed { from: &names.0, to: &names.1 }, inverse))
}

fn insert_place(project: &mut Project, place: Place) -> Result<Edit, Refusal> {
    free_id(project, place.id.number())?;
    good_place(&project.circuit, &place)?;
    let (id, before) = (place.id, project.last_id);
    project.last_id = before.max(id.number());
    project.circuit.places_mut().insert(id, place);
    Ok(take_away(before, Edit::RemovePlace(id)))
}

fn remove_place(project: &mut Project, id: PlaceId) -> Result<Edit, Refusal> {
    let circuit = &project.circuit;
    let place = circuit.place(id).ok_or(Refusal::NoPlace(id))?;
    let housed =
        circuit.blocks().find(|block| block.place == Some(id)).map(|block| block.tag.clone()).or_else(|| {
            circuit.places().find(|inner| inner.within == Some(id)).map(|inner| inner.name.clone())
        });
    if let Some(what) = housed {
        return Err(Refusal::StillHouses { place: place.name.clone(), what });
    }
    let place = project.circuit.places_mut().remove(id).ok_or(Refusal::NoPlace(id))?;
    Ok(put_back(project, Edit::InsertPlace(Box::new(place)), &[]))
}

fn set_place(project: &mut Project, place: Place) -> Result<Edit, Refusal> {
    good_place(&project.circuit, &place)?;
    let (id, name) = (place.id, place.name.clone());
    let before = project.circuit.places_mut().insert(id, place);
    if let Some(before) = before {
        let names = (before.name.clone(), name);
        let inverse = Edit::SetPlace(Box::new(before));
        Ok(renaming::of_place(project, &Renamed { from: &names.0, to: &names.1 }, inverse))
    } else {
        project.circuit.places_mut().remove(id);
        Err(Refusal::NoPlace(id))
    }
}

fn set_brief(project: &mut Project, brief: Box<crate::project::Brief>) -> Result<Edit, Refusal> {
    for field in crate::project::Site::fields() {
        check_field(field, brief.site.get(field.key))?;
    }
    if let Some(fault) = brief.faults().into_iter().next() {
        return Err(Refusal::Brief(fault));
    }
    Ok(Edit::SetBrief(Box::new(std::mem::replace(&mut project.brief, *brief))))
}

fn free_id(project: &Project, number: u32) -> Result<(), Refusal> {
    let circuit = &project.circuit;
    let taken = BlockId::new(number).is_some_and(|id| circuit.block(id).is_some())
        || RunId::new(number).is_some_and(|id| circuit.run(id).is_some())
        || PlaceId::new(number).is_some_and(|id| circuit.place(id).is_some());
    if taken {
        Err(Refusal::IdTaken(number))
    } else if number > ID_LIMIT {
        Err(Refusal::NoIdsLeft)
    } else {
        Ok(())
    }
}

/// Whether a text can be a tag: files write ends as `TAG.terminal`, so a tag has no dot and no space.
pub(crate) fn is_tag(tag: &str) -> bool {
    (1..=24).contains(&tag.chars().count())
        && tag.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '/'))
}

fn good_tag(tag: &str) -> Result<(), Refusal> {
    if is_tag(tag) { Ok(()) } else { Err(Refusal::BadTag(tag.to_owned())) }
}

fn free_tag(circuit: &Circuit, tag: &str) -> Result<(), Refusal> {
    if circuit.has_tag(tag) { Err(Refusal::TagTaken(tag.to_owned())) } else { Ok(()) }
}

fn on_sheet(at: GridPoint) -> Result<(), Refusal> {
    if at.is_on_sheet() { Ok(()) } else { Err(Refusal::OffSheet) }
}

fn known_place(circuit: &Circuit, place: Option<PlaceId>) -> Result<(), Refusal> {
    match place {
        Some(id) if circuit.place(id).is_none() => Err(Refusal::NoPlace(id)),
        _ => Ok(()),
    }
}

fn within_limits(equipment: &Equipment) -> Result<(), Refusal> {
    equipment.faults().into_iter().next().map_or(Ok(()), |(_, fault)| Err(fault.into()))
}

fn check_field(field: &Field, value: Option<crate::kinds::field::Value>) -> Result<(), Refusal> {
    value.map_or(Ok(()), |value| field.check(&value).map_err(Refusal::from))
}

fn good_run(circuit: &Circuit, run: &Run) -> Result<(), Refusal> {
    known_end(circuit, run.from)?;
    known_end(circuit, run.to)?;
    run.bends.iter().try_for_each(|bend| on_sheet(*bend))?;
    let Some(conductor) = &run.conductor else { return Ok(()) };
    for field in crate::circuit::Conductor::fields() {
        check_field(field, conductor.get(field.key))?;
    }
    Ok(())
}

fn known_end(circuit: &Circuit, end: RunEnd) -> Result<(), Refusal> {
    let block = circuit.block(end.block).ok_or(Refusal::NoBlock(end.block))?;
    if block.terminal_index(end.terminal).is_some() {
        Ok(())
    } else {
        Err(Refusal::NoTerminal { block: block.tag.clone(), terminal: end.terminal.to_string() })
    }
}

fn good_place(circuit: &Circuit, place: &Place) -> Result<(), Refusal> {
    if !(1..=60).contains(&place.name.trim().chars().count()) {
        return Err(Refusal::BadName);
    }
    if circuit.places().any(|other| other.name == place.name && other.id != place.id) {
        return Err(Refusal::NameTaken(place.name.clone()));
    }
    on_sheet(place.at)?;
    on_sheet(place.size)?;
    for field in crate::circuit::PlaceFacts::fields() {
        check_field(field, place.facts.get(field.key))?;
    }
    let mut outer = place.within;
    while let Some(id) = outer {
        if id == place.id {
            return Err(Refusal::PlaceRing(place.name.clone()));
        }
        outer = circuit.place(id).ok_or(Refusal::NoPlace(id))?.within;
    }
    Ok(())
}
