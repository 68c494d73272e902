//! What is wrong with a file: where, what was expected, what was found, and what to do.

use std::fmt;

/// One fault in a file. Lines and columns count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadFault {
    /// Line.
    pub line: usize,
    /// Column, in characters.
    pub column: usize,
    /// What stands there, as people would name it: `block C1`.
    pub place: String,
    /// What was expected.
    pub expected: String,
    /// What was found.
    pub found: String,
    /// What to do about it.
    pub advice: String,
}

impl fmt::Display for ReadFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)?;
        if !self.place.is_empty() {
            write!(f, " ({})", self.place)?;
        }
        write!(f, ": expected {}, found {}. {}", self.expected, self.found, self.advice)
    }
}

/// Why a file could not be read. Nothing of it was loaded.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// It is empty.
    #[error(
        "the file is empty; a project file begins with “(” and its version. Open the copy beside it (.previous), or start a new project"
    )]
    Empty,
    /// It is too large to be a project.
    #[error(
        "the file is {found} bytes; project files are at most {limit} bytes. This is probably another kind of file"
    )]
    TooLarge {
        /// Its size.
        found: usize,
        /// The limit.
        limit: usize,
    },
    /// It is not text.
    #[error(
        "the file is not text: byte {offset} (line {line}) belongs to no UTF-8 character. This is probably another kind of file, or it was damaged"
    )]
    NotText {
        /// The first bad byte.
        offset: usize,
        /// Its line.
        line: usize,
    },
    /// It was written by a newer program.
    #[error(
        "the file has version {found}; this program reads up to version {newest}. Use a newer Lineside, or save the project in the older form there"
    )]
    Newer {
        /// Its version.
        found: u32,
        /// The newest that is known.
        newest: u32,
    },
    /// It has faults.
    #[error("{}", list(.0))]
    Faults(Vec<ReadFault>),
}

fn list(faults: &[ReadFault]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
