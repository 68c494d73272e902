//! What follows a new name: labels, accepted advice, operating cases, programmed values and test rows stand at a tag or
//! a place's name, and go with it.

use super::Edit;
use crate::project::{AdvicePlace, LabelPlace, MadeLabel, OperatingCase, Project};

/// A name that became another.
pub(super) struct Renamed<'a> {
    pub(super) from: &'a str,
    pub(super) to: &'a str,
}

/// Lets everything that names a block follow it.
pub(super) fn of_block(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    let inverse = follow(&mut project.cases, inverse, Edit::SetCases, |case| in_case(case, names));
    let inverse =
        follow(&mut project.set_points, inverse, Edit::SetSetPoints, |point| rename(&mut point.block, names));
    let inverse = test_rows(project, inverse, names);
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

/// Lets everything that names a run follow it.
pub(super) fn of_run(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    let inverse = test_rows(project, inverse, names);
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

fn in_case(case: &mut OperatingCase, names: &Renamed<'_>) -> bool {
    let mut changed = false;
    for (tag, _) in &mut case.loads {
        changed |= rename(tag, names);
    }
    for tag in &mut case.supplies {
        changed |= rename(tag, names);
    }
    for switch in &mut case.switches {
        changed |= rename(&mut switch.block, names);
    }
    changed
}

fn test_rows(project: &mut Project, inverse: Edit, names: &Renamed<'_>) -> Edit {
    let before = project.site_record.clone();
    let back = |_| Edit::SetSiteRecord(Box::new(before));
    follow(&mut project.site_record.rows, inverse, back, |row| rename(&mut row.on, names))
}

fn labels(project: &mut Project, inverse: Edit, change: impl FnMut(&mut MadeLabel) -> bool) -> Edit {
    follow(&mut project.labels, inverse, Edit::SetLabels, change)
}

/// Changes a list. The inverse then also puts the list back, since something may have stood at the new name before.
fn follow<T: Clone>(
    list: &mut Vec<T>,
    inverse: Edit,
    put_back: impl FnOnce(Vec<T>) -> Edit,
    mut change: impl FnMut(&mut T) -> bool,
) -> Edit {
    let mut changed = list.clone();
    let mut any = false;
    for one in &mut changed {
        any |= change(one);
    }
    if !any {
        return inverse;
    }
    let before = std::mem::replace(list, changed);
    Edit::Batch(vec![inverse, put_back(before)])
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
    use crate::project::{AcceptedAdvice, RecordResult, RecordRow, SetPoint, SiteRecord};
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

    fn cabin() -> Project {
        let mut project = file::read(include_str!("../../../../assets/demos/cabin.lineside")).unwrap();
        let point = SetPoint {
            block: "C1".into(),
            name: "Absorption".into(),
            value: "57.6 V".into(),
            reason: String::new(),
        };
        let rows = ["C1", "W1"].map(|on| RecordRow {
            test: "Voltage".into(),
            on: on.into(),
            conditions: String::new(),
            measured: String::new(),
            result: RecordResult::Open,
            remark: String::new(),
            instrument: String::new(),
            date: None,
            initials: String::new(),
        });
        project.set_points = vec![point];
        project.site_record = SiteRecord { rows: rows.into() };
        project
    }

    #[test]
    fn cases_programmed_values_and_test_rows_go_with_a_block_and_come_back() {
        let mut project = cabin();
        let before = project.clone();
        let named = |project: &Project, tag: &str| {
            let cases = &project.cases;
            let loads = cases.iter().flat_map(|case| case.loads.iter().map(|(tag, _)| tag.clone()));
            let supplies = cases.iter().flat_map(|case| case.supplies.iter().cloned());
            let switches = cases.iter().flat_map(|case| case.switches.iter().map(|it| it.block.clone()));
            loads.chain(supplies).chain(switches).filter(|other| other == tag).count()
        };
        for tag in ["P1", "C1"] {
            let uses = named(&project, tag);
            let id = project.circuit.block_by_tag(tag).unwrap().id;
            let undo = apply(&mut project, Edit::SetTag(id, "NEW".into())).unwrap();
            assert_eq!((named(&project, tag), named(&project, "NEW")), (0, uses));
            if tag == "C1" {
                assert_eq!(project.set_points[0].block, "NEW");
                assert_eq!(project.site_record.rows[0].on, "NEW");
            } else {
                assert!(uses > 0, "the cases of the demo name its panel");
            }
            apply(&mut project, undo).unwrap();
            assert!(project == before);
        }
        let mut run = project.circuit.run_by_tag("W1").unwrap().clone();
        run.tag = "W99".into();
        let undo = apply(&mut project, Edit::SetRun(Box::new(run))).unwrap();
        assert_eq!(project.site_record.rows[1].on, "W99");
        apply(&mut project, undo).unwrap();
        assert!(project == before);
    }
}
