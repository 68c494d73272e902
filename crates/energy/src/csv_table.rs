//! Reads the built-in tables of `assets/energy`: CSV whose first line is a comment with its source.
//!
//! What the cells mean is in `tables.rs`; files that users bring are read in `weather/import`.

use lineside_codes::TableError;

/// The rows of a table.
pub(crate) struct Table {
    file: &'static str,
    headings: csv::StringRecord,
    records: Vec<csv::StringRecord>,
}

/// One row of a table.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    table: &'a Table,
    record: &'a csv::StringRecord,
}

impl Table {
    pub(crate) fn read(file: &'static str, text: &'static str) -> Result<Self, TableError> {
        let fault = |line, found: String| TableError {
            file,
            line,
            column: String::new(),
            expected: "a table whose first line names its source".into(),
            found,
        };
        if !text.starts_with("# source: ") {
            return Err(fault(1, text.lines().next().unwrap_or_default().to_owned()));
        }
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).trim(csv::Trim::All).from_reader(text.as_bytes());
        let unread =
            |error: &csv::Error| fault(error.position().map_or(1, csv::Position::line), error.to_string());
        let headings = reader.headers().map_err(|error| unread(&error))?.clone();
        let records = reader.records().collect::<Result<_, _>>().map_err(|error| unread(&error))?;
        Ok(Self { file, headings, records })
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.records.iter().map(|record| Row { table: self, record })
    }

    pub(crate) fn error(&self, expected: &str, found: &str) -> TableError {
        TableError {
            file: self.file,
            line: 1,
            column: String::new(),
            expected: expected.to_owned().into(),
            found: found.to_owned(),
        }
    }
}

impl<'a> Row<'a> {
    pub(crate) fn text(self, column: &str) -> Result<&'a str, TableError> {
        let place = self.table.headings.iter().position(|heading| heading == column);
        place
            .and_then(|at| self.record.get(at))
            .ok_or_else(|| self.error(column, "a column of this name", "none"))
    }

    pub(crate) fn number(self, column: &str) -> Result<f64, TableError> {
        let text = self.text(column)?;
        let number: Option<f64> = text.parse().ok();
        number.filter(|number| number.is_finite()).ok_or_else(|| self.error(column, "a finite number", text))
    }

    pub(crate) fn error(self, column: &str, expected: &str, found: &str) -> TableError {
        TableError {
            file: self.table.file,
            line: self.record.position().map_or(0, csv::Position::line),
            column: column.to_owned(),
            expected: expected.to_owned().into(),
            found: found.to_owned(),
        }
    }
}
