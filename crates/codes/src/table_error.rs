//! What can be wrong with a table file.

use std::borrow::Cow;

/// A cell, row or heading of a table file that is not what it should be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}, line {line}, column “{column}”: expected {expected}, found “{found}”")]
pub struct TableError {
    /// The file, as its path in the project.
    pub file: &'static str,
    /// Line, from 1.
    pub line: u64,
    /// Heading of the column; empty when the whole line is meant.
    pub column: String,
    /// What should stand there.
    pub expected: Cow<'static, str>,
    /// What stands there.
    pub found: String,
}
