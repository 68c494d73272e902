//! What follows a new name: labels that were made and advice that was accepted stand at a tag or a place's name, and
//! go with it.

use super::Edit;
use crate::project::{AdvicePlace, LabelPlace, MadeLabel, Project};

/// A name that became another.
pub(super) struct Renamed<'a> {
    pub(super) from: &'a str,
    pub(super) to: &'a str,
}

/// Lets labels and accepted advice follow a renamed block.
pub(super) fn of_block(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    let inverse = advice(project, inverse, |at| match at {
        AdvicePlace::Block(tag) => rename(tag, names),
        AdvicePlace::Run(_)
        | AdvicePlace::RunFrom(_)
        | AdvicePlace::RunTo(_)
        | AdvicePlace::Place(_)
        | AdvicePlace::Project => false,
    });
    labels(project, inverse, |label| {
        let mut changed = false;
        if let LabelPlace::Block(tag) = &mut label.at {
            changed |= rename(tag, names);
        }
        for tag in &mut label.listed {
            changed |= rename(tag, names);
        }
        changed
    })
}

/// Lets labels and accepted advice follow a renamed run.
pub(super) fn of_run(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    let inverse = advice(project, inverse, |at| match at {
        AdvicePlace::Run(tag) | AdvicePlace::RunFrom(tag) | AdvicePlace::RunTo(tag) => rename(tag, names),
        AdvicePlace::Block(_) | AdvicePlace::Place(_) | AdvicePlace::Project => false,
    });
    labels(project, inverse, |label| {
        if let LabelPlace::Run(tag) = &mut label.at { rename(tag, names) } else { false }
    })
}

/// Lets labels and accepted advice follow a renamed place.
pub(super) fn of_place(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    let inverse =
        advice(
            project,
            inverse,
            |at| {
                if let AdvicePlace::Place(name) = at { rename(name, names) } else { false }
            },
        );
    labels(project, inverse, |label| {
        if let LabelPlace::Place(name) = &mut label.at { rename(name, names) } else { false }
    })
}

fn rename(name: &mut String, names: &Renamed<'_>) -> bool {
    let is_it = name == names.from && names.from != names.to;
    if is_it {
        names.to.clone_into(name);
    }
    is_it
}

/// Changes the labels. The inverse then also puts the list back, since a label may have stood at the new name before.
fn labels(project: &mut Project, inverse: Edit, mut change: impl FnMut(&mut MadeLabel) -> bool) -> Edit {
    let mut labels = project.labels.clone();
    let mut any = false;
    for label in &mut labels {
        any |= change(label);
    }
    if !any {
        return inverse;
    }
    let before = std::mem::replace(&mut project.labels, labels);
    Edit::Batch(vec![inverse, Edit::SetLabels(before)])
}

/// The same for accepted advice. What stood at the new name before spoke of another part and gives way.
fn advice(project: &mut Project, inverse: Edit, mut change: impl FnMut(&mut AdvicePlace) -> bool) -> Edit {
    let mut kept: Vec<crate::project::AcceptedAdvice> = Vec::with_capacity(project.accepted.len());
    let mut moved = Vec::new();
    for entry in &project.accepted {
        let mut entry = entry.clone();
        moved.push(change(&mut entry.at));
        kept.push(entry);
    }
    if !moved.contains(&true) {
        return inverse;
    }
    let followed: Vec<_> =
        kept.iter().zip(&moved).filter(|(_, moved)| **moved).map(|(it, _)| it.clone()).collect();
    let mut moved = moved.into_iter();
    kept.retain(|entry| moved.next() == Some(true) || !followed.iter().any(|other| other.is_of_same(entry)));
    let before = std::mem::replace(&mut project.accepted, kept);
    Edit::Batch(vec![inverse, Edit::SetAccepted(before)])
}

#[cfg(test)]
mod tests {
    use super::super::apply;
    use super::*;
    use crate::circuit::Run;
    use crate::file::{self, ReadError};
    use crate::project::AcceptedAdvice;
    use crate::testing::Bench;

    fn accepted(at: AdvicePlace) -> AcceptedAdvice {
        AcceptedAdvice {
            rule: "voltage-drop".to_owned(),
            at,
            aspect: String::new(),
            said: "3.2 % against 2 %".to_owned(),
            reason: "The pump runs at noon only.".to_owned(),
            date: jiff::civil::date(2026, 4, 7),
            by: String::new(),
        }
    }

    #[test]
    fn accepted_advice_follows_its_part_and_comes_back() {
        let mut bench = Bench::new();
        let fuse = bench.stock("Class T fuse, bolted, 200 A, 125 V DC");
        let block = bench.put("F1", None, fuse.clone());
        bench.put("F2", None, fuse);
        bench.join("W1", "F1.load", "F2.line", None);
        let mut project = bench.project;
        let list = vec![
            accepted(AdvicePlace::Block("NEW".to_owned())),
            accepted(AdvicePlace::Block("F1".to_owned())),
            accepted(AdvicePlace::RunTo("W1".to_owned())),
        ];
        apply(&mut project, Edit::SetAccepted(list.clone())).unwrap();
        let before = file::write(&project).unwrap();
        let back = apply(&mut project, Edit::SetTag(block, "NEW".to_owned())).unwrap();
        // The entry that stood at a block of that name before is gone; two cannot speak of one finding.
        let places: Vec<_> = project.accepted.iter().map(|it| it.at.clone()).collect();
        let (new, end) = (AdvicePlace::Block("NEW".to_owned()), AdvicePlace::RunTo("W1".to_owned()));
        assert_eq!(places, [new, end]);
        apply(&mut project, back).unwrap();
        assert_eq!(project.accepted, list);
        let run = project.circuit.runs().next().unwrap().clone();
        let renamed = Run { tag: "W99".to_owned(), ..run };
        let back = apply(&mut project, Edit::SetRun(Box::new(renamed))).unwrap();
        assert_eq!(project.accepted[2].at, AdvicePlace::RunTo("W99".to_owned()));
        apply(&mut project, back).unwrap();
        assert_eq!(file::write(&project).unwrap(), before);
        assert_eq!(file::read(&before).unwrap(), project);
    }

    #[test]
    fn a_reason_must_be_given_and_each_finding_stands_once() {
        let mut project = Project::default();
        let blank = AcceptedAdvice { reason: " \n".to_owned(), ..accepted(AdvicePlace::Project) };
        let refused = apply(&mut project, Edit::SetAccepted(vec![blank.clone()])).unwrap_err();
        assert!(refused.to_string().contains("with a reason"), "{refused}");
        let one = accepted(AdvicePlace::Project);
        let text = file::write(&Project { accepted: vec![one.clone(), one, blank], ..Project::default() });
        let Err(ReadError::Faults(faults)) = file::read(&text.unwrap()) else { panic!("it has faults") };
        let told: Vec<_> = faults.iter().map(|fault| fault.found.as_str()).collect();
        assert_eq!(told, ["it a second time", "0 characters"]);
    }
}
