//! What is wrong with a file that a user brings.

/// A place in a file that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}{}: expected {expected}, found “{found}”", column_of(.column))]
pub struct ImportFault {
    /// Line, from 1.
    pub line: u64,
    /// Name or number of the column; empty when the whole line is meant.
    pub column: String,
    /// What should stand there.
    pub expected: String,
    /// What stands there.
    pub found: String,
}

fn column_of(column: &str) -> String {
    if column.is_empty() { String::new() } else { format!(", column “{column}”") }
}

/// Texts of a file are shown no longer than this.
const LONGEST: usize = 60;

impl ImportFault {
    /// At a line and column, with what was expected and found.
    pub fn new(line: u64, column: &str, expected: impl Into<String>, found: impl AsRef<str>) -> Self {
        let found = found.as_ref();
        let mut shown: String = found.chars().take(LONGEST).collect();
        if shown.len() < found.len() {
            shown.push('…');
        }
        Self { line, column: column.to_owned(), expected: expected.into(), found: shown }
    }
}

/// Faults that are kept; the first ones tell what is wrong with a file that is wrong throughout.
const MOST: usize = 50;

/// Faults so far.
#[derive(Debug, Default)]
pub struct Faults(Vec<ImportFault>);

impl Faults {
    /// Keeps one more, while there is room.
    pub fn add(&mut self, fault: ImportFault) {
        if self.0.len() < MOST {
            self.0.push(fault);
        }
    }
    /// Whether more would not be kept.
    pub const fn is_full(&self) -> bool {
        self.0.len() >= MOST
    }
    /// The value when nothing is wrong.
    pub fn or<T>(self, value: T) -> Result<T, Vec<ImportFault>> {
        if self.0.is_empty() { Ok(value) } else { Err(self.0) }
    }
    /// All that are kept.
    pub fn into_list(self) -> Vec<ImportFault> {
        self.0
    }
}
