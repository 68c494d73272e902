//! Saving and opening: kills at every step, files changed by others, folders that refuse.

use super::*;
use lineside_core::file::write;

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("lineside-disk-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }
    fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(&self.0)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn project(system: &str) -> Vec<u8> {
    let mut project = Project::default();
    project.title.system = system.to_owned();
    write(&project).unwrap().into_bytes()
}

#[test]
fn a_kill_after_any_step_leaves_a_whole_file() {
    let (old, new) = (project("Old"), project("New"));
    for steps in 0..=STEPS.len() {
        let folder = Folder::new(&format!("kill-{steps}"));
        let path = folder.file("cabin.lineside");
        fs::write(&path, &old).unwrap();
        let job = Job::new(&path, &new, Some(&old)).unwrap();
        for step in STEPS.into_iter().take(steps) {
            job.take(step).unwrap();
        }
        let there = fs::read(&path).unwrap();
        assert!(there == old || there == new, "torn after {steps} steps");
        assert_eq!(there == new, steps >= 3, "after {steps} steps");
        // Whatever lies about from the killed save, the next save succeeds and clears up.
        save(&path, &new, None, Conflict::Refuse).unwrap();
        assert_eq!(fs::read(&path).unwrap(), new);
        assert_eq!(folder.names(), ["cabin.lineside", "cabin.lineside.previous"]);
    }
}

#[test]
fn half_a_file_beside_the_project_does_no_harm() {
    let folder = Folder::new("half");
    let path = folder.file("cabin.lineside");
    fs::write(&path, project("Old")).unwrap();
    fs::write(folder.file(".cabin.lineside.saving"), "( lineside: 1, ti").unwrap();
    assert_eq!(open(&path).unwrap().0.title.system, "Old");
    save(&path, &project("New"), None, Conflict::Refuse).unwrap();
    assert_eq!(open(&path).unwrap().0.title.system, "New");
}

#[test]
fn the_last_good_copy_is_kept_and_a_damaged_file_does_not_replace_it() {
    let folder = Folder::new("previous");
    let path = folder.file("cabin.lineside");
    let first = save(&path, &project("First"), None, Conflict::Refuse).unwrap();
    let second = save(&path, &project("Second"), Some(first), Conflict::Refuse).unwrap();
    assert_eq!(open(&previous_of(&path)).unwrap().0.title.system, "First");
    fs::write(&path, "rubbish").unwrap();
    save(&path, &project("Third"), Some(second), Conflict::Overwrite).unwrap();
    assert_eq!(open(&previous_of(&path)).unwrap().0.title.system, "First");
    assert_eq!(open(&path).unwrap().0.title.system, "Third");
}

#[test]
fn a_file_changed_or_gone_since_it_was_opened_is_not_overwritten_unasked() {
    let folder = Folder::new("changed");
    let path = folder.file("cabin.lineside");
    let stamp = save(&path, &project("Mine"), None, Conflict::Refuse).unwrap();
    fs::write(&path, project("Theirs")).unwrap();
    let refused = save(&path, &project("Mine 2"), Some(stamp), Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::ChangedOutside(path.clone())));
    assert_eq!(open(&path).unwrap().0.title.system, "Theirs");
    fs::remove_file(&path).unwrap();
    let refused = save(&path, &project("Mine 2"), Some(stamp), Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::Vanished(path.clone())));
    assert!(!path.exists());
    save(&path, &project("Mine 2"), Some(stamp), Conflict::Overwrite).unwrap();
    assert_eq!(open(&path).unwrap().0.title.system, "Mine 2");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_refuses_is_named() {
    // Nobody, not even root, may make files there.
    let path = Path::new("/sys/cabin.lineside");
    let refused = save(path, &project("Mine"), None, Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::ReadOnly(PathBuf::from("/sys"))));
    assert!(matches!(hold(path), Hold::Impossible));
    let gone = Path::new("/nowhere/at/all/cabin.lineside");
    let refused = save(gone, &project("Mine"), None, Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::NoFolder(PathBuf::from("/nowhere/at/all"))));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_file_as_it_was() {
    let folder = Folder::new("full");
    let path = folder.file("cabin.lineside");
    let stamp = save(&path, &project("Old"), None, Conflict::Refuse).unwrap();
    // What is written beside the file goes to a device that is always full.
    std::os::unix::fs::symlink("/dev/full", folder.file(".cabin.lineside.saving")).unwrap();
    let refused = save(&path, &project("New"), Some(stamp), Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::DiskFull(path.clone())));
    assert_eq!(open(&path).unwrap().0.title.system, "Old");
    assert_eq!(folder.names(), ["cabin.lineside"]);
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_rights_are_kept() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::new("link");
    let (path, link) = (folder.file("real.lineside"), folder.file("link.lineside"));
    fs::write(&path, project("Old")).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink(&path, &link).unwrap();
    save(&link, &project("New"), None, Conflict::Refuse).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(open(&path).unwrap().0.title.system, "New");
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
}

#[test]
fn a_write_protected_file_is_refused() {
    let folder = Folder::new("protected");
    let path = folder.file("cabin.lineside");
    let stamp = save(&path, &project("Old"), None, Conflict::Refuse).unwrap();
    let mut rights = fs::metadata(&path).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&path, rights).unwrap();
    let refused = save(&path, &project("New"), Some(stamp), Conflict::Refuse);
    assert_eq!(refused, Err(SaveError::ReadOnly(folder.0.clone())));
    assert_eq!(open(&path).unwrap().0.title.system, "Old");
}

#[test]
fn only_one_window_holds_a_file() {
    let folder = Folder::new("lock");
    let path = folder.file("cabin.lineside");
    fs::write(&path, project("Old")).unwrap();
    let first = hold(&path);
    assert!(matches!(first, Hold::Held(_)));
    assert!(matches!(hold(&path), Hold::Taken));
    drop(first);
    assert!(matches!(hold(&path), Hold::Held(_)));
    assert_eq!(folder.names(), ["cabin.lineside"]);
}

#[test]
fn what_cannot_be_opened_is_said() {
    let folder = Folder::new("open");
    let says = |path: &Path| open(path).map(|_| ()).unwrap_err().to_string();
    assert!(says(&folder.file("none.lineside")).contains("there is no file"));
    assert!(says(&folder.0).contains("is a folder"));
    fs::write(folder.file("empty.lineside"), "").unwrap();
    assert!(says(&folder.file("empty.lineside")).contains("the file is empty"));
    fs::write(folder.file("binary.lineside"), [0, 159, 146, 150]).unwrap();
    assert!(says(&folder.file("binary.lineside")).contains("not text"));
}
