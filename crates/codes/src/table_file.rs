//! Reads a table file: CSV whose first line is a comment with its source and units.
//!
//! Only cells are read here; what they mean is known in the file of each table.

use crate::cited::Confidence;
use crate::table_error::TableError;
use lineside_core::units::{ConductorSize, Measure, UnitSystem};
use std::borrow::Cow;

/// A table file that is built into the program.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TableFile {
    /// Its path in the project.
    pub name: &'static str,
    /// All of it.
    pub text: &'static str,
}

/// Builds in a file of `assets/codes`.
macro_rules! table_file {
    ($path:literal) => {
        $crate::table_file::TableFile {
            name: concat!("assets/codes/", $path),
            text: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../assets/codes/", $path)),
        }
    };
}
pub(crate) use table_file;

/// The rows of a table file.
#[derive(Debug)]
pub(crate) struct Rows {
    file: &'static str,
    headings: csv::StringRecord,
    records: Vec<csv::StringRecord>,
}

/// One row of a table file.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row<'a> {
    rows: &'a Rows,
    record: &'a csv::StringRecord,
}

impl TableFile {
    /// Reads all rows. Refuses a file without its source line, without rows, or of uneven rows.
    pub(crate) fn read(&self) -> Result<Rows, TableError> {
        if !self.text.starts_with("# source: ") {
            let found = self.text.lines().next().unwrap_or_default().to_owned();
            return Err(self.error(1, "a first line “# source: …”", found));
        }
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(self.text.as_bytes());
        let headings = reader.headers().map_err(|fault| self.unreadable(&fault))?.clone();
        let records =
            reader.records().collect::<Result<Vec<_>, _>>().map_err(|fault| self.unreadable(&fault))?;
        if records.is_empty() {
            return Err(self.error(1, "at least one row", String::new()));
        }
        Ok(Rows { file: self.name, headings, records })
    }

    fn unreadable(&self, fault: &csv::Error) -> TableError {
        let line = fault.position().map_or(1, csv::Position::line);
        self.error(line, "a row with as many cells as there are columns", fault.to_string())
    }

    fn error(&self, line: u64, expected: &'static str, found: String) -> TableError {
        TableError { file: self.name, line, column: String::new(), expected: expected.into(), found }
    }
}

impl Rows {
    /// The rows, in the order of the file.
    pub(crate) fn iter(&self) -> impl Iterator<Item = Row<'_>> {
        self.records.iter().map(|record| Row { rows: self, record })
    }

    /// An error about the table as a whole.
    pub(crate) fn error(&self, expected: impl Into<Cow<'static, str>>, found: &str) -> TableError {
        TableError {
            file: self.file,
            line: 1,
            column: String::new(),
            expected: expected.into(),
            found: found.to_owned(),
        }
    }
}

impl<'a> Row<'a> {
    /// The text of a cell; empty when it is empty.
    pub(crate) fn text(self, column: &str) -> Result<&'a str, TableError> {
        self.rows
            .headings
            .iter()
            .position(|heading| heading == column)
            .and_then(|at| self.record.get(at))
            .ok_or_else(|| self.error(column, "a column of this name", "none"))
    }

    /// The text of a cell that may not be empty.
    pub(crate) fn filled(self, column: &str) -> Result<&'a str, TableError> {
        let text = self.text(column)?;
        if text.is_empty() { Err(self.error(column, "a text", text)) } else { Ok(text) }
    }

    /// A finite number; `None` for an empty cell.
    pub(crate) fn optional_number(self, column: &str) -> Result<Option<f64>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        text.parse()
            .ok()
            .filter(|number: &f64| number.is_finite())
            .map(Some)
            .ok_or_else(|| self.error(column, "a finite number or nothing", text))
    }

    /// A finite number.
    pub(crate) fn number(self, column: &str) -> Result<f64, TableError> {
        self.optional_number(column)?.ok_or_else(|| self.error(column, "a number", ""))
    }

    /// A finite number above nothing.
    pub(crate) fn positive(self, column: &str) -> Result<f64, TableError> {
        self.optional_positive(column)?.ok_or_else(|| self.error(column, "a number above 0", ""))
    }

    /// A finite number above nothing; `None` for an empty cell.
    pub(crate) fn optional_positive(self, column: &str) -> Result<Option<f64>, TableError> {
        match self.optional_number(column)? {
            Some(number) if number <= 0.0 => Err(self.error(column, "a number above 0", &number.to_string())),
            number => Ok(number),
        }
    }

    /// A quantity above nothing, in the unit in which its type is kept; `None` for an empty cell.
    pub(crate) fn optional_quantity<M: Measure>(self, column: &str) -> Result<Option<M>, TableError> {
        self.optional_positive(column)?
            .map(|number| {
                M::try_new(number).map_err(|fault| self.error(column, "a quantity", &fault.to_string()))
            })
            .transpose()
    }

    /// A quantity above nothing, in the unit in which its type is kept.
    pub(crate) fn quantity<M: Measure>(self, column: &str) -> Result<M, TableError> {
        self.optional_quantity(column)?.ok_or_else(|| self.error(column, "a number above 0", ""))
    }

    /// A whole number; `None` for an empty cell.
    pub(crate) fn optional_whole(self, column: &str) -> Result<Option<u32>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        text.parse().map(Some).map_err(|_| self.error(column, "a whole number or nothing", text))
    }

    /// A whole number.
    pub(crate) fn whole(self, column: &str) -> Result<u32, TableError> {
        self.optional_whole(column)?.ok_or_else(|| self.error(column, "a whole number", ""))
    }

    /// A conductor size as the tables of `system` name it: `4/0` and `250`, or square millimeters; `None`
    /// for an empty cell.
    pub(crate) fn optional_size(
        self,
        column: &str,
        system: UnitSystem,
    ) -> Result<Option<ConductorSize>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        let written = match system {
            UnitSystem::Us => Cow::Borrowed(text),
            UnitSystem::Si => Cow::Owned(format!("{text} mm²")),
        };
        ConductorSize::read(&written).map(Some).map_err(|_| self.error(column, "a conductor size", text))
    }

    /// A conductor size as the tables of `system` name it.
    pub(crate) fn size(self, column: &str, system: UnitSystem) -> Result<ConductorSize, TableError> {
        self.optional_size(column, system)?.ok_or_else(|| self.error(column, "a conductor size", ""))
    }

    /// One of a list of choices, by the key that `key` gives each.
    pub(crate) fn one_of<T: Copy>(
        self,
        column: &str,
        choices: &[T],
        key: impl Fn(T) -> &'static str,
    ) -> Result<T, TableError> {
        let text = self.text(column)?;
        choices.iter().copied().find(|choice| key(*choice) == text).ok_or_else(|| {
            let keys: Vec<_> = choices.iter().map(|choice| key(*choice)).collect();
            self.error(column, format!("one of {}", keys.join(", ")), text)
        })
    }

    /// How sure the row is.
    pub(crate) fn confidence(self, column: &str) -> Result<Confidence, TableError> {
        self.one_of(column, &Confidence::ALL, Confidence::key)
    }

    /// An error about a cell of this row.
    pub(crate) fn error(
        self,
        column: &str,
        expected: impl Into<Cow<'static, str>>,
        found: &str,
    ) -> TableError {
        TableError {
            file: self.rows.file,
            line: self.record.position().map_or(0, csv::Position::line),
            column: column.to_owned(),
            expected: expected.into(),
            found: found.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Amps;

    fn file(text: &'static str) -> TableFile {
        TableFile { name: "assets/codes/test.csv", text }
    }

    #[test]
    fn cells_are_read() {
        let rows = file("# source: a test\nsize,amps,sure\n4/0,195,verified-2\n250,,recalled\n").read();
        let rows = rows.unwrap_or_else(|fault| panic!("{fault}"));
        let read: Vec<_> = rows
            .iter()
            .map(|row| {
                let size = row.size("size", UnitSystem::Us);
                (size, row.optional_quantity::<Amps>("amps"), row.confidence("sure"))
            })
            .collect();
        assert_eq!(
            read[0],
            (Ok(ConductorSize::Awg(-3)), Ok(Some(Amps::new(195.0))), Ok(Confidence::Verified))
        );
        assert_eq!(read[1], (Ok(ConductorSize::Kcmil(250)), Ok(None), Ok(Confidence::Recalled)));
    }

    #[test]
    fn what_is_wrong_has_its_place() {
        let says = |text| {
            let rows = file(text).read()?;
            let row = rows.iter().last().ok_or_else(|| rows.error("a row", ""))?;
            row.quantity::<Amps>("amps")
        };
        let fault = says("# source: a test\nsize,amps\n4,20\n3,-1\n").map_err(|fault| fault.to_string());
        let expected = "assets/codes/test.csv, line 4, column “amps”: expected a number above 0, found “-1”";
        assert_eq!(fault, Err(expected.to_owned()));
        for wrong in [
            "size,amps\n4,20\n",
            "# source: a test\nsize,amps\n",
            "# source: a test\nsize,amps\n4\n",
            "# source: a test\nsize,amp\n4,20\n",
            "# source: a test\nsize,amps\n4,\n",
            "# source: a test\nsize,amps\n4,NaN\n",
            "# source: a test\nsize,amps\n4,twenty\n",
        ] {
            assert!(says(wrong).is_err(), "{wrong}");
        }
    }
}
