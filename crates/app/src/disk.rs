//! Project files on disk: reading, saving so that no instant leaves a torn file, the last good copy, and the
//! lock against two windows.
//!
//! What stands in a file is the core crate's; asking people which file is the window's.

use lineside_core::file::{ReadError, SIZE_LIMIT, read_bytes};
use lineside_core::project::Project;
use std::fs::{self, File};
use std::hash::Hasher;
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// What a file held when it was last read or written, to tell whether somebody else has changed it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    length: usize,
    digest: u64,
}

impl Stamp {
    /// Of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        let mut hasher = std::hash::DefaultHasher::new();
        hasher.write(bytes);
        Self { length: bytes.len(), digest: hasher.finish() }
    }
}

/// Why a file was not opened. The file is untouched.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// It is not there.
    #[error("there is no file {}. It may have been moved or renamed", .0.display())]
    Missing(PathBuf),
    /// It may not be read.
    #[error("you may not read {}. Ask whoever owns it, or copy it to a folder of your own", .0.display())]
    Forbidden(PathBuf),
    /// It is a folder or something stranger.
    #[error("{} is a folder, not a project file", .0.display())]
    NotAFile(PathBuf),
    /// It is no project.
    #[error(transparent)]
    Content(#[from] ReadError),
    /// The system refused for another reason.
    #[error("{} could not be read: {reason}", path.display())]
    System {
        /// Which file.
        path: PathBuf,
        /// In the system's words.
        reason: String,
    },
}

/// Why a file was not saved. What stood in it is untouched.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum SaveError {
    /// The folder is gone.
    #[error("the folder {} is not there any more; save under another name", .0.display())]
    NoFolder(PathBuf),
    /// Nothing may be written there.
    #[error("nothing may be written in {}; save in another folder", .0.display())]
    ReadOnly(PathBuf),
    /// The disk is full.
    #[error("the disk is full; {} is as it was. Make room and save again, or save on another disk", .0.display())]
    DiskFull(PathBuf),
    /// The file was there when it was opened and is gone now.
    #[error("{} is not there any more; somebody moved, renamed or deleted it", .0.display())]
    Vanished(PathBuf),
    /// Somebody else has changed the file since it was opened or saved here.
    #[error("{} was changed by somebody else since it was opened here", .0.display())]
    ChangedOutside(PathBuf),
    /// Another window has it open.
    #[error("{} is open in another window, which alone may save it; save under another name", .0.display())]
    Locked(PathBuf),
    /// The project could not be turned into text.
    #[error("{0}")]
    Unwritable(String),
    /// The system refused for another reason.
    #[error("{} could not be written: {reason}", path.display())]
    System {
        /// Which file.
        path: PathBuf,
        /// In the system's words.
        reason: String,
    },
}

impl SaveError {
    #[expect(
        clippy::wildcard_enum_match_arm,
        reason = "of the system's many errors, few mean something to a person"
    )]
    fn from_system(path: &Path, error: &io::Error) -> Self {
        let folder = || path.parent().unwrap_or(path).to_owned();
        match error.kind() {
            ErrorKind::NotFound | ErrorKind::NotADirectory => Self::NoFolder(folder()),
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Self::ReadOnly(folder()),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                Self::DiskFull(path.to_owned())
            }
            _ => Self::System { path: path.to_owned(), reason: error.to_string() },
        }
    }
}

/// Reads a project.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "of the system's many errors, few mean something to a person"
)]
pub fn open(path: &Path) -> Result<(Project, Stamp), OpenError> {
    if let Ok(facts) = fs::metadata(path)
        && facts.len() > SIZE_LIMIT as u64
    {
        let found = usize::try_from(facts.len()).unwrap_or(usize::MAX);
        return Err(ReadError::TooLarge { found, limit: SIZE_LIMIT }.into());
    }
    let bytes = read_whole(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => OpenError::Missing(path.to_owned()),
        ErrorKind::PermissionDenied => OpenError::Forbidden(path.to_owned()),
        ErrorKind::IsADirectory => OpenError::NotAFile(path.to_owned()),
        _ => OpenError::System { path: path.to_owned(), reason: error.to_string() },
    })?;
    Ok((read_bytes(&bytes)?, Stamp::of(&bytes)))
}

/// At most one byte more than a project may have, so that a device file or a film cannot fill the memory.
fn read_whole(path: &Path) -> io::Result<Vec<u8>> {
    if fs::metadata(path)?.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// What to do when the file on disk is not the one that was opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Conflict {
    /// Save nothing and say so.
    Refuse,
    /// The person has been asked: what is there now gives way.
    Overwrite,
}

/// Saves a project file. `known` is what the file held when it was last read or written here; `None` for a
/// name that the person has just chosen.
pub fn save(path: &Path, bytes: &[u8], known: Option<Stamp>, conflict: Conflict) -> Result<Stamp, SaveError> {
    // A link stays a link: what it points to is saved.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let there = match read_whole(&target) {
        Ok(there) => Some(there),
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(SaveError::from_system(path, &error)),
    };
    if let (Some(known), Conflict::Refuse) = (known, conflict) {
        match &there {
            None => return Err(SaveError::Vanished(path.to_owned())),
            Some(there) if Stamp::of(there) != known => {
                return Err(SaveError::ChangedOutside(path.to_owned()));
            }
            Some(_) => {}
        }
    }
    let job = Job::new(&target, bytes, there.as_deref()).map_err(|e| SaveError::from_system(path, &e))?;
    job.finish().map_err(|error| SaveError::from_system(path, &error))?;
    Ok(Stamp::of(bytes))
}

/// Writes a whole file atomically, without a copy of what was there.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    Job::new(path, bytes, None)?.finish()
}

/// Where the last good copy of a project file is kept: `cabin.lineside.previous`.
pub fn previous_of(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".previous");
    path.with_file_name(name)
}

/// One file being written. After any number of its steps, the target holds either its old bytes or its new
/// ones, all of them.
struct Job<'a> {
    target: &'a Path,
    folder: PathBuf,
    beside: PathBuf,
    bytes: &'a [u8],
    good_copy: Option<&'a [u8]>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    WriteBeside,
    KeepGoodCopy,
    PutInPlace,
    SettleFolder,
}

const STEPS: [Step; 4] = [Step::WriteBeside, Step::KeepGoodCopy, Step::PutInPlace, Step::SettleFolder];

impl<'a> Job<'a> {
    fn new(target: &'a Path, bytes: &'a [u8], there: Option<&'a [u8]>) -> io::Result<Self> {
        let name = target.file_name().ok_or(ErrorKind::InvalidInput)?.to_string_lossy();
        let folder = match target.parent() {
            Some(folder) if folder.as_os_str().is_empty() => PathBuf::from("."),
            Some(folder) => folder.to_owned(),
            None => return Err(ErrorKind::InvalidInput.into()),
        };
        let beside = folder.join(format!(".{name}.saving"));
        // A damaged file must not push the last good copy out.
        let good_copy = there.filter(|there| read_bytes(there).is_ok());
        Ok(Self { target, folder, beside, bytes, good_copy })
    }

    /// Takes all steps; when one fails, nothing is left beside the target.
    fn finish(&self) -> io::Result<()> {
        STEPS.into_iter().try_for_each(|step| self.take(step)).inspect_err(|_| {
            let _ = fs::remove_file(&self.beside);
        })
    }

    fn take(&self, step: Step) -> io::Result<()> {
        match step {
            Step::WriteBeside => {
                let mut file = File::create(&self.beside)?;
                if let Ok(there) = fs::metadata(self.target) {
                    if there.permissions().readonly() {
                        return Err(ErrorKind::PermissionDenied.into());
                    }
                    file.set_permissions(there.permissions())?;
                }
                file.write_all(self.bytes)?;
                file.sync_all()
            }
            Step::KeepGoodCopy => {
                let Some(bytes) = self.good_copy else { return Ok(()) };
                let previous = previous_of(self.target);
                let mut beside = previous.file_name().unwrap_or_default().to_owned();
                beside.push(".saving");
                let beside = previous.with_file_name(beside);
                fs::write(&beside, bytes)?;
                fs::rename(&beside, &previous)
            }
            Step::PutInPlace => fs::rename(&self.beside, self.target),
            // Where folders cannot be opened the rename has still happened.
            Step::SettleFolder => File::open(&self.folder).map_or(Ok(()), |folder| folder.sync_all()),
        }
    }
}

/// A project file held against other windows, for as long as this value lives.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    _file: File,
}

/// Whether a file could be held.
#[derive(Debug)]
pub enum Hold {
    /// It is ours.
    Held(Lock),
    /// Another window has it.
    Taken,
    /// Locks cannot be made there, such as in a folder that may not be written.
    Impossible,
}

/// Tries to hold a project file against other windows.
pub fn hold(path: &Path) -> Hold {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let Some(name) = target.file_name() else { return Hold::Impossible };
    let lock_path = target.with_file_name(format!(".{}.lock", name.to_string_lossy()));
    // Whoever held it last removes the file; holding a removed one would hold nothing, so look again.
    for _ in 0..3 {
        let Ok(file) = File::options().create(true).truncate(false).write(true).open(&lock_path) else {
            return Hold::Impossible;
        };
        match file.try_lock() {
            Ok(()) if same_file(&file, &lock_path) => {
                return Hold::Held(Lock { path: lock_path, _file: file });
            }
            Ok(()) => {}
            Err(fs::TryLockError::WouldBlock) => return Hold::Taken,
            Err(fs::TryLockError::Error(_)) => return Hold::Impossible,
        }
    }
    Hold::Taken
}

#[cfg(unix)]
fn same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    matches!((file.metadata(), fs::metadata(path)), (Ok(a), Ok(b)) if a.ino() == b.ino() && a.dev() == b.dev())
}

#[cfg(not(unix))]
fn same_file(_: &File, path: &Path) -> bool {
    path.exists()
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

#[cfg(test)]
mod tests;
