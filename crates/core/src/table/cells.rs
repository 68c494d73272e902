//! Lines and cells of a delimited file, with their line numbers and in either decimal mark.

use super::fault::ImportFault;
use super::number::{self, DecimalMark};
use std::borrow::Cow;

/// Files longer than this are no table that a person made, nor a year of hours.
const LONGEST_FILE: usize = 32 * 1024 * 1024;

/// A file as text.
pub struct Text<'a> {
    text: Cow<'a, str>,
}

/// A row of cells.
pub struct Cells {
    /// Line in the file, from 1.
    pub line: u64,
    record: csv::StringRecord,
    mark: DecimalMark,
}

/// The headings of a table.
pub struct Headings {
    names: Vec<String>,
    line: u64,
}

impl<'a> Text<'a> {
    /// Takes off a byte-order mark; refuses what is too long to be a year.
    pub fn new(bytes: &'a [u8]) -> Result<Self, ImportFault> {
        if bytes.len() > LONGEST_FILE {
            let found = format!("{} MB", bytes.len() / 1_000_000);
            return Err(ImportFault::new(1, "", "a file of at most 32 MB", found));
        }
        let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        Ok(Self { text: String::from_utf8_lossy(bytes) })
    }

    /// A line, from 1; empty past the end.
    pub fn line(&self, number: usize) -> &str {
        self.text.lines().nth(number - 1).unwrap_or_default()
    }

    /// Cells from a line on, comma-separated with decimal points.
    pub fn rows_from(&self, first: u64) -> impl Iterator<Item = Result<Cells, ImportFault>> {
        self.rows(first, b',', DecimalMark::Point)
    }

    /// Cells from a line on, in the dialect of a spreadsheet: semicolons or tabs go with decimal commas where one is
    /// seen.
    pub fn spreadsheet_rows(&self, first: u64) -> impl Iterator<Item = Result<Cells, ImportFault>> {
        let (delimiter, mark) = self.dialect();
        self.rows(first, delimiter, mark)
    }

    fn dialect(&self) -> (u8, DecimalMark) {
        let head = self.line(1);
        let delimiter = [';', '\t'].into_iter().find(|delimiter| head.contains(*delimiter));
        let Some(delimiter) = delimiter else { return (b',', DecimalMark::Point) };
        let comma = self.text.lines().skip(1).take(SAMPLE).any(|line| line.contains(','));
        let mark = if comma { DecimalMark::Comma } else { DecimalMark::Point };
        (if delimiter == ';' { b';' } else { b'\t' }, mark)
    }

    fn rows(
        &self,
        first: u64,
        delimiter: u8,
        mark: DecimalMark,
    ) -> impl Iterator<Item = Result<Cells, ImportFault>> {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .from_reader(self.text.as_bytes());
        let cells = reader.into_records().map(move |record| match record {
            Ok(record) => {
                let line = record.position().map_or(0, csv::Position::line);
                Ok(Cells { line, record, mark })
            }
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                Err(ImportFault::new(line, "", "a row of cells", error.to_string()))
            }
        });
        cells.filter(move |row| row.as_ref().map_or(true, |row| row.line >= first))
    }
}

/// Lines that are looked at for decimal commas.
const SAMPLE: usize = 9000;

impl Cells {
    /// The text of a cell, by its place from 0.
    pub fn text(&self, place: usize, name: &str) -> Result<&str, ImportFault> {
        let found = self.record.get(place);
        found.ok_or_else(|| {
            let cells = format!("{} cells", self.record.len());
            ImportFault::new(self.line, name, format!("at least {} cells", place + 1), cells)
        })
    }

    /// The text of a cell with a decimal point in place of the decimal comma of the file.
    pub fn pointed(&self, place: usize, name: &str) -> Result<String, ImportFault> {
        let text = self.text(place, name)?;
        Ok(match self.mark {
            DecimalMark::Point => text.to_owned(),
            DecimalMark::Comma => text.replace('.', "").replace(',', "."),
        })
    }

    /// A finite number within bounds.
    pub fn number(
        &self,
        place: usize,
        name: &str,
        bounds: std::ops::RangeInclusive<f64>,
    ) -> Result<f64, ImportFault> {
        let text = self.text(place, name)?;
        number::read(text, self.mark).filter(|number| bounds.contains(number)).ok_or_else(|| {
            let expected = format!("a number from {} to {}", bounds.start(), bounds.end());
            ImportFault::new(self.line, name, expected, text)
        })
    }

    /// A finite number within bounds; `None` where `missing` says that it is one that stands for none, or for no text.
    pub fn optional(
        &self,
        place: usize,
        name: &str,
        bounds: std::ops::RangeInclusive<f64>,
        missing: impl Fn(f64) -> bool,
    ) -> Result<Option<f64>, ImportFault> {
        let text = self.text(place, name)?;
        if text.is_empty() || number::read(text, self.mark).is_some_and(missing) {
            return Ok(None);
        }
        self.number(place, name, bounds).map(Some)
    }

    /// A whole number within bounds.
    pub fn whole(
        &self,
        place: usize,
        name: &str,
        bounds: std::ops::RangeInclusive<u32>,
    ) -> Result<u32, ImportFault> {
        let text = self.text(place, name)?;
        text.parse().ok().filter(|number| bounds.contains(number)).ok_or_else(|| {
            let expected = format!("a whole number from {} to {}", bounds.start(), bounds.end());
            ImportFault::new(self.line, name, expected, text)
        })
    }

    /// A fault in one of its cells.
    pub fn fault(&self, name: &str, expected: impl Into<String>, found: impl AsRef<str>) -> ImportFault {
        ImportFault::new(self.line, name, expected, found)
    }

    /// Whether all cells are empty.
    pub fn is_blank(&self) -> bool {
        self.record.iter().all(str::is_empty)
    }

    /// The row as headings.
    pub fn headings(&self) -> Headings {
        Headings {
            names: self.record.iter().map(|name| name.trim().to_lowercase()).collect(),
            line: self.line,
        }
    }
}

impl Headings {
    /// The place of a column; upper and lower case are the same.
    pub fn find(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| *known == name.to_lowercase())
    }
    /// The headings in order, in lower case.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(String::as_str)
    }
    /// The place of a column that must be there.
    pub fn need(&self, name: &str) -> Result<usize, ImportFault> {
        self.find(name).ok_or_else(|| {
            ImportFault::new(self.line, "", format!("a column “{name}”"), self.names.join(","))
        })
    }
}
