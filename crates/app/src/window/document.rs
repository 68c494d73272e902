//! The document: the project, its history, and the file it came from.

use crate::disk::{self, Conflict, Hold, Lock, OpenError, SaveError, Stamp};
use lineside_core::edit::{Edit, Gesture, History, Refusal};
use lineside_core::file;
use lineside_core::project::Project;
use lineside_drawing::sheet::Changed;
use std::path::{Path, PathBuf};

/// Whether a file may be written from this window.
#[derive(Debug)]
pub enum Access {
    /// It is held by this window.
    Held(Lock),
    /// It could not be held, but nobody else holds it either; saving says what hinders.
    Free,
    /// Another window holds it: here it can only be read.
    ReadOnly,
}

/// The file of the document.
#[derive(Debug)]
pub struct OpenFile {
    /// Where.
    pub path: PathBuf,
    /// What it held when it was last read or written here.
    pub stamp: Stamp,
    /// Whether it may be written.
    pub access: Access,
}

/// The project, its history, and its file.
#[derive(Debug)]
pub struct Document {
    /// The project. It changes only through [`Self::make`].
    pub project: Project,
    /// The steps taken.
    pub history: History,
    /// Its file; `None` until it is saved for the first time.
    pub file: Option<OpenFile>,
    last_gesture: u64,
    touched: Touched,
}

/// What was edited since it was last asked, so that the drawing need not be made anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Touched {
    /// Everything: another project.
    Everything,
    /// These parts.
    Parts(Changed),
}

impl Document {
    /// A project that is in no file.
    pub fn new(project: Project) -> Self {
        Self { project, history: History::new(), file: None, last_gesture: 0, touched: Touched::Everything }
    }

    /// Opens a file. If another window holds it, it opens to be read only.
    pub fn open(path: &Path) -> Result<Self, OpenError> {
        let (project, stamp) = disk::open(path)?;
        let access = match disk::hold(path) {
            Hold::Held(lock) => Access::Held(lock),
            Hold::Taken => Access::ReadOnly,
            Hold::Impossible => Access::Free,
        };
        Ok(Self { file: Some(OpenFile { path: path.to_owned(), stamp, access }), ..Self::new(project) })
    }

    /// Makes an edit as one step.
    pub fn make(&mut self, label: &str, edit: Edit, gesture: Option<Gesture>) -> Result<(), Refusal> {
        self.touch(&edit);
        self.history.make(&mut self.project, label, edit, gesture)
    }

    /// Takes the last step back and says what it was.
    pub fn undo(&mut self) -> Option<String> {
        let step = self.history.undo(&mut self.project)?.clone();
        self.touch(&step.inverse);
        Some(step.label)
    }

    /// Takes the step again that was last taken back, and says what it was.
    pub fn redo(&mut self) -> Option<String> {
        let step = self.history.redo(&mut self.project)?.clone();
        self.touch(&step.forward);
        Some(step.label)
    }

    /// Goes back, or forward again, to how the project was after so many steps.
    pub fn go_to(&mut self, steps: usize) {
        while self.history.steps().len() > steps && self.undo().is_some() {}
        while self.history.steps().len() < steps && self.redo().is_some() {}
    }

    /// What was edited since this was last asked.
    pub fn take_touched(&mut self) -> Touched {
        std::mem::replace(&mut self.touched, Touched::Parts(Changed::default()))
    }

    fn touch(&mut self, edit: &Edit) {
        if let Touched::Parts(changed) = &mut self.touched {
            collect(edit, changed);
        }
    }

    /// A name for a new drag or spell of typing.
    pub fn begin_gesture(&mut self) -> Gesture {
        self.last_gesture += 1;
        Gesture(self.last_gesture)
    }

    /// Writes the project to its file.
    pub fn save(&mut self, conflict: Conflict) -> Result<(), SaveError> {
        let Some(file) = &mut self.file else {
            return Err(SaveError::Unwritable("it has no file yet".to_owned()));
        };
        if matches!(file.access, Access::ReadOnly) {
            return Err(SaveError::Locked(file.path.clone()));
        }
        let text = file::write(&self.project).map_err(|error| SaveError::Unwritable(error.to_string()))?;
        file.stamp = disk::save(&file.path, text.as_bytes(), Some(file.stamp), conflict)?;
        self.history.mark_saved();
        Ok(())
    }

    /// Writes the project to another file, which is its file from then on. Over a file that is there the
    /// person has been asked by the file dialog.
    pub fn save_as(&mut self, path: &Path) -> Result<(), SaveError> {
        let same = self
            .file
            .as_ref()
            .is_some_and(|file| file.path == path && matches!(file.access, Access::Held(_)));
        if same {
            return self.save(Conflict::Overwrite);
        }
        let text = file::write(&self.project).map_err(|error| SaveError::Unwritable(error.to_string()))?;
        let before = disk::hold(path);
        if matches!(before, Hold::Taken) {
            return Err(SaveError::Locked(path.to_owned()));
        }
        let stamp = disk::save(path, text.as_bytes(), None, Conflict::Overwrite)?;
        let access = match before {
            Hold::Held(lock) => Access::Held(lock),
            Hold::Taken | Hold::Impossible => Access::Free,
        };
        self.file = Some(OpenFile { path: path.to_owned(), stamp, access });
        self.history.mark_saved();
        Ok(())
    }

    /// Whether closing it would lose work.
    pub fn is_unsaved(&self) -> bool {
        self.history.is_changed()
    }

    /// Whether its file can only be read here.
    pub fn is_read_only(&self) -> bool {
        matches!(&self.file, Some(OpenFile { access: Access::ReadOnly, .. }))
    }

    /// `cabin.lineside`, or the project's name while it has no file.
    pub fn file_name(&self) -> String {
        self.file
            .as_ref()
            .and_then(|file| file.path.file_name())
            .map_or_else(|| self.project.name().to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// A name to offer when it is saved for the first time: `highmeadow-cabin.lineside`.
    pub fn suggested_name(&self) -> String {
        let words: Vec<String> = self
            .project
            .name()
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .collect();
        format!("{}.lineside", if words.is_empty() { "untitled".to_owned() } else { words.join("-") })
    }

    /// What stands in the title bar: `● Highmeadow Cabin — Lineside`.
    pub fn window_title(&self) -> String {
        let mark = if self.is_unsaved() { "● " } else { "" };
        format!("{mark}{} — Lineside", self.file_name())
    }
}

fn collect(edit: &Edit, changed: &mut Changed) {
    match edit {
        Edit::Batch(edits) => edits.iter().for_each(|edit| collect(edit, changed)),
        Edit::InsertBlock(block) => changed.blocks.push(block.id),
        Edit::RemoveBlock(id)
        | Edit::SetTag(id, _)
        | Edit::SetStand(id, _)
        | Edit::SetEquipment { block: id, .. }
        | Edit::SetBlockNote(id, _) => changed.blocks.push(*id),
        Edit::InsertRun(run) | Edit::SetRun(run) => changed.runs.push(run.id),
        Edit::RemoveRun(id) => changed.runs.push(*id),
        Edit::InsertPlace(_)
        | Edit::RemovePlace(_)
        | Edit::SetPlace(_)
        | Edit::SetTitle(_)
        | Edit::SetRuleSet(_)
        | Edit::SetUnits(_)
        | Edit::SetBrief(_)
        | Edit::SetStock(_)
        | Edit::SetSetPoints(_)
        | Edit::SetPriceBook(_)
        | Edit::SetCases(_)
        | Edit::SetRevisions(_)
        | Edit::SetLabels(_)
        | Edit::SetAccepted(_)
        | Edit::SetWords(..)
        | Edit::SetSiteRecord(_)
        | Edit::SetLastId(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names() {
        let mut project = Project::default();
        project.title.system = "Highmeadow Cabin / 2".to_owned();
        let mut document = Document::new(project);
        assert_eq!(document.suggested_name(), "highmeadow-cabin-2.lineside");
        assert_eq!(document.window_title(), "Highmeadow Cabin / 2 — Lineside");
        let set = Edit::SetUnits(lineside_core::units::UnitSystem::Si);
        document.make("units", set, None).unwrap();
        assert_eq!(document.window_title(), "● Highmeadow Cabin / 2 — Lineside");
        document.project.title.system.clear();
        assert_eq!(document.suggested_name(), "untitled.lineside");
    }
}
