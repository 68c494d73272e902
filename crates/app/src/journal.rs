//! The journal: unsaved work, kept beside the settings so that a crash or a kill costs no more than a second of it.
//!
//! One window keeps one entry; it goes when the work is saved, thrown away, or the window closes. What is left when no
//! window holds it any more was lost by somebody, and the next start offers it back. Text of a project is the core
//! crate's.

use crate::disk::{self, Hold, Lock};
use lineside_core::file;
use lineside_core::project::Project;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::SystemTime;

/// Where journals are kept.
#[derive(Clone, Debug, Default)]
pub struct Journals {
    /// `None` for nowhere: in tests, or without a home folder.
    folder: Option<PathBuf>,
}

/// The entry of one window.
#[derive(Debug)]
pub struct Entry {
    path: PathBuf,
    /// Held for as long as the window lives, so that nobody takes its work for lost.
    _lock: Lock,
    /// Whether a thread is writing it.
    busy: Arc<AtomicBool>,
    /// Whether the last state could be written.
    kept: Arc<AtomicBool>,
}

/// Work that was lost by a window that is no more.
#[derive(Debug)]
pub struct LostWork {
    /// The project.
    pub project: Project,
    /// The file that it was of; `None` when it had none.
    pub file: Option<PathBuf>,
    /// How much it is, in words: `14 steps, the last: move Q1`; empty when nobody noted it.
    pub about: String,
    /// When it was kept last.
    pub kept: Option<SystemTime>,
    /// Where it is kept.
    entry: PathBuf,
    /// Held, so that no other window offers it too.
    _lock: Lock,
}

/// The first line of an entry tells of which file it is.
const MARK: &str = "// Unsaved work of: ";
/// The second line tells how much it is.
const ABOUT: &str = "// How much: ";

impl Journals {
    /// Of this person, in the platform's place.
    pub fn of_this_person() -> Self {
        use etcetera::BaseStrategy;
        let Ok(folders) = etcetera::choose_base_strategy() else { return Self::default() };
        let state = folders.state_dir().unwrap_or_else(|| folders.data_dir());
        Self::kept_in(state.join("lineside").join("journal"))
    }

    /// Kept in a folder.
    pub const fn kept_in(folder: PathBuf) -> Self {
        Self { folder: Some(folder) }
    }

    /// A new entry; `None` when none can be kept.
    pub fn begin(&self) -> Option<Entry> {
        let folder = self.folder.as_ref()?;
        fs::create_dir_all(folder).ok()?;
        for number in 0..100 {
            let path = folder.join(format!("{}-{number}.lineside", std::process::id()));
            if path.exists() {
                continue;
            }
            if let Hold::Held(lock) = disk::hold(&path) {
                return Some(Entry { path, _lock: lock, busy: Arc::default(), kept: Arc::default() });
            }
        }
        None
    }

    /// All work that was lost. What cannot be read is left where it is.
    pub fn lost(&self) -> Vec<LostWork> {
        let Some(folder) = &self.folder else { return Vec::new() };
        let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
        let mut paths: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
        paths.retain(|path| path.extension().is_some_and(|ending| ending == "lineside"));
        paths.sort();
        paths.into_iter().filter_map(lost_work).collect()
    }
}

fn lost_work(entry: PathBuf) -> Option<LostWork> {
    let Hold::Held(lock) = disk::hold(&entry) else { return None };
    let text = fs::read_to_string(&entry).ok()?;
    let (first, rest) = text.split_once('\n')?;
    let of = first.strip_prefix(MARK)?;
    let about = rest.lines().next().and_then(|line| line.strip_prefix(ABOUT)).unwrap_or_default().to_owned();
    let kept = fs::metadata(&entry).and_then(|facts| facts.modified()).ok();
    let project = file::read(&text).ok()?;
    let file = (!of.is_empty()).then(|| PathBuf::from(of));
    Some(LostWork { project, file, about, kept, entry, _lock: lock })
}

impl LostWork {
    /// Throws the entry away: the work was taken over, or is not wanted.
    pub fn forget(self) {
        let _ = fs::remove_file(&self.entry);
    }
}

impl Entry {
    /// Writes the state of a project, with how much of it is unsaved in words, on a thread of its own. False when the
    /// last one is still being written.
    pub fn write(&self, project: &Project, of: Option<&Path>, about: &str) -> bool {
        if self.busy.swap(true, Ordering::SeqCst) {
            return false;
        }
        let (path, project) = (self.path.clone(), project.clone());
        let (busy, kept) = (Arc::clone(&self.busy), Arc::clone(&self.kept));
        let of = of.map_or_else(String::new, |of| of.display().to_string().replace('\n', " "));
        let head = format!("{MARK}{of}\n{ABOUT}{}\n", about.replace(['\n', '\r'], " "));
        std::thread::spawn(move || {
            // A journal that cannot be written is not worth an error: saving will tell what hinders.
            let written = file::write(&project)
                .is_ok_and(|text| disk::write_whole(&path, format!("{head}{text}").as_bytes()).is_ok());
            kept.store(written, Ordering::SeqCst);
            busy.store(false, Ordering::SeqCst);
        });
        true
    }

    /// Waits until the last state is on the disk, for a second at most. False when it is not there even then.
    pub fn settle(&self) -> bool {
        for _ in 0..200 {
            if self.is_settled() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        self.is_settled() && self.kept.load(Ordering::SeqCst)
    }

    /// Whether no state is being written.
    pub fn is_settled(&self) -> bool {
        !self.busy.load(Ordering::SeqCst)
    }
}

impl Drop for Entry {
    fn drop(&mut self) {
        // A thread that is still writing would bring the file back.
        self.settle();
        let _ = fs::remove_file(&self.path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Folder(PathBuf);

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    fn folder(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("lineside-journal-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        Folder(path)
    }

    fn project() -> Project {
        file::read(include_str!("../../../assets/demos/hut.lineside")).unwrap()
    }

    fn settle(entry: &Entry) {
        while !entry.is_settled() {
            std::thread::yield_now();
        }
    }

    #[test]
    fn work_of_a_window_that_lives_is_not_lost() {
        let folder = folder("lives");
        let journals = Journals::kept_in(folder.0.clone());
        let entry = journals.begin().unwrap();
        assert!(entry.write(&project(), None, ""));
        settle(&entry);
        assert!(journals.lost().is_empty());
        assert!(entry.settle(), "it is on the disk");
        fs::remove_dir_all(&folder.0).unwrap();
        entry.write(&project(), None, "");
        assert!(!entry.settle(), "a folder that is gone keeps nothing, and it is told");
        drop(entry);
        assert!(journals.lost().is_empty(), "it went with the window");
    }

    #[test]
    fn work_of_a_window_that_is_no_more_is_offered_once() {
        let folder = folder("lost");
        let journals = Journals::kept_in(folder.0.clone());
        let entry = journals.begin().unwrap();
        let of = PathBuf::from("/somewhere/hut.lineside");
        entry.write(&project(), Some(&of), "2 steps");
        settle(&entry);
        // What a kill leaves: the file, and nobody who holds it.
        let kept = fs::read(&entry.path).unwrap();
        let path = entry.path.clone();
        drop(entry);
        fs::write(&path, kept).unwrap();
        let mut lost = journals.lost();
        assert_eq!(lost.len(), 1);
        assert!(journals.lost().is_empty(), "another window does not offer it too");
        let work = lost.remove(0);
        assert_eq!((work.file.as_deref(), &work.project), (Some(of.as_path()), &project()));
        assert_eq!(work.about, "2 steps");
        assert!(work.kept.is_some());
        work.forget();
        assert!(journals.lost().is_empty() && !path.exists());
    }

    #[test]
    fn what_cannot_be_read_is_left_alone() {
        let folder = folder("damaged");
        fs::create_dir_all(&folder.0).unwrap();
        let path = folder.0.join("1-0.lineside");
        fs::write(&path, "// Unsaved work of: \n(lineside: 1, blocks: [").unwrap();
        let journals = Journals::kept_in(folder.0.clone());
        assert!(journals.lost().is_empty());
        assert!(path.exists());
        assert!(Journals::default().begin().is_none());
    }
}
