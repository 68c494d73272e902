//! What follows a new name: labels that were made stand at a tag or a place's name, and go with it.

use super::Edit;
use crate::project::{LabelPlace, MadeLabel, Project};

/// A name that became another.
pub(super) struct Renamed<'a> {
    pub(super) from: &'a str,
    pub(super) to: &'a str,
}

/// Lets the labels follow a renamed block.
pub(super) fn of_block(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    follow(project, inverse, |label| {
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

/// Lets the labels follow a renamed run.
pub(super) fn of_run(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    follow(project, inverse, |label| {
        if let LabelPlace::Run(tag) = &mut label.at { rename(tag, names) } else { false }
    })
}

/// Lets the labels follow a renamed place.
pub(super) fn of_place(project: &mut Project, names: &Renamed<'_>, inverse: Edit) -> Edit {
    follow(project, inverse, |label| {
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
fn follow(project: &mut Project, inverse: Edit, mut change: impl FnMut(&mut MadeLabel) -> bool) -> Edit {
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
