//! History: the steps taken, so that they can be taken back and taken again.
//!
//! Steps of one gesture (a drag, a spell of typing) merge into one. A gesture begins and ends with the
//! pointer or the text field; no timer guesses it.

use super::{Edit, Refusal, apply};
use crate::project::Project;

/// Names a gesture; each drag or spell of typing gets its own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Gesture(pub u64);

/// One step that can be undone.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What people read in the menu: `move C1`.
    pub label: String,
    /// What was done.
    pub forward: Edit,
    /// What undoes it.
    pub inverse: Edit,
    /// The gesture to which it belongs.
    pub gesture: Option<Gesture>,
}

/// Steps done and steps undone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    done: Vec<Step>,
    undone: Vec<Step>,
    /// Counts every change, undo and redo included; equal counts mean an unchanged project.
    changes: u64,
    /// The value of `changes` when the project was last saved; `None` once that state cannot come back.
    saved_at: Option<usize>,
}

impl History {
    /// The history of a project that has just been opened or begun.
    pub fn new() -> Self {
        Self { saved_at: Some(0), ..Self::default() }
    }

    /// Makes an edit as one step. Steps of the same gesture merge.
    pub fn make(
        &mut self,
        project: &mut Project,
        label: impl Into<String>,
        edit: Edit,
        gesture: Option<Gesture>,
    ) -> Result<(), Refusal> {
        let forward = edit.clone();
        let inverse = apply(project, edit)?;
        self.changes += 1;
        self.undone.clear();
        if self.saved_at.is_some_and(|at| at > self.done.len()) {
            self.saved_at = None;
        }
        let merges = gesture.is_some()
            && self.done.last().is_some_and(|last| last.gesture == gesture)
            && self.saved_at != Some(self.done.len());
        match self.done.last_mut() {
            Some(last) if merges => merge(last, forward, inverse),
            _ => self.done.push(Step { label: label.into(), forward, inverse, gesture }),
        }
        Ok(())
    }

    /// Takes the last step back. `None` when there is none.
    pub fn undo(&mut self, project: &mut Project) -> Option<&Step> {
        let step = self.done.pop()?;
        let redo = apply(project, step.inverse.clone());
        debug_assert!(redo.is_ok(), "an inverse can always be applied: {redo:?}");
        self.changes += 1;
        self.undone.push(Step { gesture: None, ..step });
        self.undone.last()
    }

    /// Takes the step again that was last taken back.
    pub fn redo(&mut self, project: &mut Project) -> Option<&Step> {
        let step = self.undone.pop()?;
        let done = apply(project, step.forward.clone());
        debug_assert!(done.is_ok(), "an undone edit can be made again: {done:?}");
        self.changes += 1;
        self.done.push(step);
        self.done.last()
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|step| step.label.as_str())
    }
    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|step| step.label.as_str())
    }
    /// Every step done, oldest first.
    pub fn steps(&self) -> &[Step] {
        &self.done
    }
    /// Every step that was taken back, the one that redo would make first at the end.
    pub fn undone(&self) -> &[Step] {
        &self.undone
    }
    /// After how many steps the project was last saved; `None` when that state cannot come back.
    pub const fn saved_after(&self) -> Option<usize> {
        self.saved_at
    }
    /// A number that changes with every change of the project.
    pub const fn changes(&self) -> u64 {
        self.changes
    }
    /// Notes that the project has just been saved.
    pub fn mark_saved(&mut self) {
        self.saved_at = Some(self.done.len());
    }
    /// Notes that the state on disk is not one of this history.
    pub fn mark_unsaved(&mut self) {
        self.saved_at = None;
    }
    /// Whether the project differs from what was saved.
    pub fn is_changed(&self) -> bool {
        self.saved_at != Some(self.done.len())
    }
}

/// The newer edit of the same sort on the same thing replaces the older one; the inverse stays the first.
fn merge(last: &mut Step, forward: Edit, inverse: Edit) {
    if same_target(&last.forward, &forward) {
        last.forward = forward;
        return;
    }
    let mut steps = steps_of(&mut last.forward);
    steps.push(forward);
    last.forward = Edit::Batch(steps);
    let mut back = vec![inverse];
    back.append(&mut steps_of(&mut last.inverse));
    last.inverse = Edit::Batch(back);
}

fn steps_of(edit: &mut Edit) -> Vec<Edit> {
    let taken = std::mem::replace(edit, Edit::Batch(Vec::new()));
    if let Edit::Batch(steps) = taken { steps } else { vec![taken] }
}

/// Whether the second edit overwrites everything that the first one set.
#[expect(clippy::match_same_arms, reason = "the ids are of different types, so the arms cannot be joined")]
fn same_target(first: &Edit, second: &Edit) -> bool {
    match (first, second) {
        (Edit::SetTag(a, _), Edit::SetTag(b, _)) => a == b,
        (Edit::SetStand(a, _), Edit::SetStand(b, _)) => a == b,
        (Edit::SetEquipment { block: a, .. }, Edit::SetEquipment { block: b, .. }) => a == b,
        (Edit::SetRun(a), Edit::SetRun(b)) => a.id == b.id,
        (Edit::SetPlace(a), Edit::SetPlace(b)) => a.id == b.id,
        (Edit::SetBlockNote(a, _), Edit::SetBlockNote(b, _)) => a == b,
        (Edit::SetTitle(_), Edit::SetTitle(_)) | (Edit::SetBrief(_), Edit::SetBrief(_)) => true,
        (Edit::Batch(a), Edit::Batch(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(first, second)| same_target(first, second))
        }
        _ => false,
    }
}
