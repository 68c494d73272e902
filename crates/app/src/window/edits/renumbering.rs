//! Giving tags their numbers anew, in the order in which the sheet is read, letters by letters.

use super::Labeled;
use crate::window::selection::Selection;
use lineside_core::circuit::{Block, BlockId, Circuit, Run, RunId};
use lineside_core::edit::Edit;
use std::collections::{BTreeMap, BTreeSet};

/// A row is as high as a symbol's unit box, in steps, so that blocks side by side are read from left to right.
const ROW: i32 = 4;

/// What has a tag.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Bearer {
    Block(BlockId),
    Run(RunId),
}

/// A tag of letters and a number.
struct Numbered<'a> {
    bearer: Bearer,
    tag: &'a str,
    letters: &'a str,
}

/// Blocks in the order in which a sheet is read: row by row, each from left to right.
fn reading_order(circuit: &Circuit) -> Vec<&Block> {
    let mut blocks: Vec<&Block> = circuit.blocks().collect();
    blocks.sort_by_key(|block| (block.at.y.div_euclid(ROW), block.at.x, block.id));
    blocks
}

/// The letters of a tag that ends in a number; a tag such as `MAIN` is a name and stays.
fn letters_of(tag: &str) -> Option<&str> {
    let letters = tag.trim_end_matches(|c: char| c.is_ascii_digit());
    (letters.len() < tag.len() && !letters.is_empty()).then_some(letters)
}

/// Whether a part is to have a new number.
fn is_meant(chosen: &Selection, bearer: Bearer) -> bool {
    let all = chosen.blocks.is_empty() && chosen.runs.is_empty();
    all || match bearer {
        Bearer::Block(id) => chosen.blocks.contains(&id),
        Bearer::Run(id) => chosen.runs.contains(&id),
    }
}

fn in_order<'a>(circuit: &'a Circuit, chosen: &Selection) -> Vec<Numbered<'a>> {
    let order = reading_order(circuit);
    let place: BTreeMap<BlockId, usize> =
        order.iter().enumerate().map(|(index, block)| (block.id, index)).collect();
    let mut runs: Vec<&Run> = circuit.runs().collect();
    runs.sort_by_key(|run| {
        let at = |id| place.get(&id).copied().unwrap_or(usize::MAX);
        let (a, b) = (at(run.from.block), at(run.to.block));
        (a.min(b), a.max(b), run.from.terminal, run.id)
    });
    let blocks = order.into_iter().map(|block| (Bearer::Block(block.id), block.tag.as_str()));
    blocks
        .chain(runs.into_iter().map(|run| (Bearer::Run(run.id), run.tag.as_str())))
        .filter(|(bearer, _)| is_meant(chosen, *bearer))
        .filter_map(|(bearer, tag)| Some(Numbered { bearer, tag, letters: letters_of(tag)? }))
        .collect()
}

/// Numbers what is chosen, or everything when nothing is, from 1 on and past the tags that stay. `Err` says why
/// there is nothing to do.
pub fn renumber(circuit: &Circuit, chosen: &Selection) -> Result<Labeled, String> {
    let numbered = in_order(circuit, chosen);
    let meant: BTreeSet<Bearer> = numbered.iter().map(|one| one.bearer).collect();
    let blocks = circuit.blocks().map(|block| (Bearer::Block(block.id), block.tag.as_str()));
    let runs = circuit.runs().map(|run| (Bearer::Run(run.id), run.tag.as_str()));
    let staying: BTreeSet<&str> =
        blocks.chain(runs).filter(|(bearer, _)| !meant.contains(bearer)).map(|(_, tag)| tag).collect();
    let mut last: BTreeMap<&str, u32> = BTreeMap::new();
    let mut changes: Vec<(Bearer, String)> = Vec::new();
    for one in &numbered {
        let number = last.entry(one.letters).or_insert(0);
        let tag = loop {
            *number = number.checked_add(1).ok_or("there are no numbers left")?;
            let tag = format!("{}{number}", one.letters);
            if !staying.contains(tag.as_str()) {
                break tag;
            }
        };
        if tag != one.tag {
            changes.push((one.bearer, tag));
        }
    }
    if changes.is_empty() {
        return Err("the tags are in reading order already".to_owned());
    }
    let what = match (chosen.blocks.len() + chosen.runs.len(), changes.len()) {
        (0, _) => "renumber the sheet".to_owned(),
        (_, 1) => "renumber 1 tag".to_owned(),
        (_, many) => format!("renumber {many} tags"),
    };
    Ok(Labeled::new(what, Edit::Batch(edits(circuit, &changes))))
}

/// Two tags may change places, so all go by way of tags that nobody has.
fn edits(circuit: &Circuit, changes: &[(Bearer, String)]) -> Vec<Edit> {
    let mut free = 0_usize;
    let aside = changes.iter().map(|(bearer, _)| {
        let tag = loop {
            free += 1;
            let tag = format!("-{free}-");
            if !circuit.has_tag(&tag) {
                break tag;
            }
        };
        (*bearer, tag)
    });
    let aside: Vec<(Bearer, String)> = aside.collect();
    aside.iter().chain(changes).filter_map(|(bearer, tag)| give(circuit, *bearer, tag)).collect()
}

fn give(circuit: &Circuit, bearer: Bearer, tag: &str) -> Option<Edit> {
    match bearer {
        Bearer::Block(id) => Some(Edit::SetTag(id, tag.to_owned())),
        Bearer::Run(id) => {
            let run = circuit.run(id)?.clone();
            Some(Edit::SetRun(Box::new(Run { tag: tag.to_owned(), ..run })))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, end, join, put};
    use super::*;
    use crate::window::selection::Thing;
    use lineside_core::edit::apply;
    use lineside_core::project::Project;

    fn tags(project: &Project) -> Vec<&str> {
        reading_order(&project.circuit).iter().map(|block| block.tag.as_str()).collect()
    }

    fn mixed() -> Project {
        let mut project = Project::default();
        let right = put(&mut project, "Q1", breaker(), 40, 1);
        let left = put(&mut project, "Q2", breaker(), 0, 0);
        let low = put(&mut project, "Q9", breaker(), 0, 20);
        put(&mut project, "MAIN", breaker(), 20, 0);
        join(&mut project, "W7", end(right, "load"), end(low, "line"));
        join(&mut project, "W2", end(left, "load"), end(right, "line"));
        project
    }

    #[test]
    fn tags_follow_the_reading_order_and_come_back() {
        let mut project = mixed();
        let before = project.clone();
        let step = renumber(&project.circuit, &Selection::default()).unwrap();
        assert_eq!(step.label, "renumber the sheet");
        let undo = apply(&mut project, step.edit).unwrap();
        assert_eq!(tags(&project), ["Q1", "MAIN", "Q2", "Q3"]);
        // The run from the first block comes first.
        let first = project.circuit.run_by_tag("W1").unwrap();
        assert_eq!(project.circuit.end_name(first.from), "Q1.load");
        assert!(project.circuit.run_by_tag("W2").is_some() && project.circuit.run_by_tag("W7").is_none());
        let again = renumber(&project.circuit, &Selection::default()).unwrap_err();
        assert_eq!(again, "the tags are in reading order already");
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn of_some_only_those_change_and_others_keep_their_tags() {
        let mut project = mixed();
        let low = project.circuit.block_by_tag("Q9").unwrap().id;
        let step = renumber(&project.circuit, &Selection::only(Thing::Block(low))).unwrap();
        assert_eq!(step.label, "renumber 1 tag");
        apply(&mut project, step.edit).unwrap();
        assert_eq!(tags(&project), ["Q2", "MAIN", "Q1", "Q3"]);
    }

    proptest::proptest! {
        #[test]
        fn any_sheet_is_numbered_without_gaps_and_undo_restores_it(
            stands in proptest::collection::vec((1_u32..30, 0_i32..60, 0_i32..60), 1..12),
        ) {
            let mut project = Project::default();
            for (number, x, y) in stands {
                let tag = format!("Q{number}");
                if !project.circuit.has_tag(&tag) {
                    put(&mut project, &tag, breaker(), x, y);
                }
            }
            let before = project.clone();
            if let Ok(step) = renumber(&project.circuit, &Selection::default()) {
                let undo = apply(&mut project, step.edit).unwrap();
                let expected: Vec<String> = (1..=project.circuit.block_count()).map(|n| format!("Q{n}")).collect();
                proptest::prop_assert_eq!(tags(&project), expected);
                apply(&mut project, undo).unwrap();
            }
            proptest::prop_assert!(project == before);
        }
    }
}
