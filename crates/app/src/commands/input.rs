//! Where a command's project comes from: a file, or standard input.
//!
//! What stands in a project file is the core crate's; moving its bytes is `crate::disk`'s.

use super::failure::Failure;
use crate::disk;
use lineside_core::file::{ReadError, SIZE_LIMIT, read_bytes};
use lineside_core::project::Project;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// A project and what its source is called.
pub struct Loaded {
    /// The file as it was named, or `standard input`.
    pub name: String,
    /// The project.
    pub project: Project,
}

/// Whether a path stands for standard input or standard output.
pub fn is_stream(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Reads a project from the file or from standard input.
pub fn load(path: &Path) -> Result<Loaded, Failure> {
    if is_stream(path) {
        return load_stream(&mut io::stdin().lock());
    }
    let name = path.display().to_string();
    // The size is known before anything is read; what has no size, such as a pipe, is cut off while reading.
    if let Ok(facts) = fs::metadata(path)
        && facts.is_file()
        && facts.len() > SIZE_LIMIT as u64
    {
        let found = usize::try_from(facts.len()).unwrap_or(usize::MAX);
        return Err(Failure::Content { error: ReadError::TooLarge { found, limit: SIZE_LIMIT }, name });
    }
    let (project, _) = disk::open(path).map_err(|error| Failure::opening(error, PathBuf::from(path)))?;
    Ok(Loaded { name, project })
}

/// Reads a table that goes with a project. Its reader refuses what is too long; this keeps it out of memory.
pub fn table(path: &Path) -> Result<Vec<u8>, Failure> {
    let name = path.display().to_string();
    let mut bytes = Vec::new();
    let read = if is_stream(path) {
        io::stdin().lock().take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes)
    } else {
        fs::File::open(path).and_then(|file| file.take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes))
    };
    match read {
        Ok(_) => Ok(bytes),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            Err(Failure::Missing { path: path.to_owned(), instead: None })
        }
        Err(error) if error.kind() == io::ErrorKind::PermissionDenied => {
            Err(Failure::Forbidden(path.to_owned()))
        }
        Err(error) => Err(Failure::Unreadable { reason: error.to_string(), name }),
    }
}

fn load_stream(input: &mut impl Read) -> Result<Loaded, Failure> {
    let name = "standard input".to_owned();
    let mut bytes = Vec::new();
    if let Err(error) = input.take(SIZE_LIMIT as u64 + 1).read_to_end(&mut bytes) {
        return Err(Failure::Unreadable { reason: error.to_string(), name });
    }
    match read_bytes(&bytes) {
        Ok(project) => Ok(Loaded { name, project }),
        Err(error) => Err(Failure::Content { error, name }),
    }
}
