//! Rows of a table keyed by conductor size, sorted once and found by halving.
//!
//! Also the order of conductor sizes by how large they are, which their names do not give.

use crate::table_error::TableError;
use crate::table_file::{Row, Rows};
use lineside_core::units::{ConductorSize, UnitSystem};
use std::cmp::Ordering;

/// Place of a size among its kind, small to large. AWG numbers fall while the conductor grows.
fn rank(size: ConductorSize) -> i32 {
    match size {
        ConductorSize::Awg(gauge) => -i32::from(gauge),
        ConductorSize::Kcmil(size) | ConductorSize::Metric(size) => i32::from(size),
    }
}

/// Which of two sizes is larger. `None` when one is of the American sizes and the other metric, since no
/// table sets one beside the other.
///
/// ```
/// use lineside_codes::compare_sizes;
/// use lineside_core::units::ConductorSize::{Awg, Kcmil, Metric};
/// use std::cmp::Ordering;
/// assert_eq!(compare_sizes(Awg(4), Awg(0)), Some(Ordering::Less));
/// assert_eq!(compare_sizes(Kcmil(250), Awg(-3)), Some(Ordering::Greater));
/// assert_eq!(compare_sizes(Metric(250), Awg(4)), None);
/// ```
pub fn compare_sizes(one: ConductorSize, other: ConductorSize) -> Option<Ordering> {
    (one.system() == other.system()).then(|| rank(one).cmp(&rank(other)))
}

/// Rows keyed by conductor size, from small to large.
#[derive(Clone, Debug)]
pub(crate) struct BySize<T> {
    system: UnitSystem,
    rows: Vec<(ConductorSize, T)>,
}

impl<T> BySize<T> {
    /// No rows yet.
    pub(crate) const fn new(system: UnitSystem) -> Self {
        Self { system, rows: Vec::new() }
    }

    /// From rows that each give one entry under the size in `column`.
    pub(crate) fn from_rows(
        rows: &Rows,
        column: &str,
        system: UnitSystem,
        entry: impl Fn(Row<'_>) -> Result<T, TableError>,
    ) -> Result<Self, TableError> {
        let mut found = Self::new(system);
        for row in rows.iter() {
            found.push(row, column, entry(row)?)?;
        }
        Ok(found)
    }

    /// Adds a row, which must be larger than the one before.
    pub(crate) fn push(&mut self, row: Row<'_>, column: &str, entry: T) -> Result<(), TableError> {
        let size = row.size(column, self.system)?;
        if self.rows.last().is_some_and(|(last, _)| rank(*last) >= rank(size)) {
            return Err(row.error(column, "sizes from small to large, each once", row.text(column)?));
        }
        self.rows.push((size, entry));
        Ok(())
    }

    /// The row of a size.
    pub(crate) fn get(&self, size: ConductorSize) -> Option<&T> {
        if size.system() != self.system {
            return None;
        }
        let at = self.rows.binary_search_by_key(&rank(size), |(size, _)| rank(*size)).ok()?;
        self.rows.get(at).map(|(_, entry)| entry)
    }

    /// The row of the last size, to be changed.
    pub(crate) fn last_mut(&mut self) -> Option<(ConductorSize, &mut T)> {
        self.rows.last_mut().map(|(size, entry)| (*size, entry))
    }

    /// All rows, from small to large.
    pub(crate) fn iter(&self) -> impl DoubleEndedIterator<Item = (ConductorSize, &T)> {
        self.rows.iter().map(|(size, entry)| (*size, entry))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table_file::TableFile;

    fn table(text: &'static str) -> Result<BySize<f64>, TableError> {
        let rows = TableFile { name: "assets/codes/test.csv", text }.read()?;
        BySize::from_rows(&rows, "size", UnitSystem::Us, |row| row.number("amps"))
    }

    #[test]
    fn a_size_finds_its_row() {
        let table = table("# source: a test\nsize,amps\n14,1\n1,2\n1/0,3\n4/0,4\n250,5\n1000,6\n");
        let table = table.unwrap_or_else(|fault| panic!("{fault}"));
        let check = |size, expected: Option<f64>| assert_eq!(table.get(size).copied(), expected, "{size}");
        check(ConductorSize::Awg(14), Some(1.0));
        check(ConductorSize::Awg(0), Some(3.0));
        check(ConductorSize::Awg(-3), Some(4.0));
        check(ConductorSize::Kcmil(1000), Some(6.0));
        check(ConductorSize::Awg(12), None);
        // 25 mm² has the rank of 250 kcmil and must not be taken for it.
        check(ConductorSize::Metric(250), None);
    }

    #[test]
    fn disorder_is_refused() {
        for wrong in ["4\n6", "4\n4", "250\n4/0", "x"] {
            let text = format!("# source: a test\nsize,amps\n{}\n", wrong.replace('\n', ",1\n") + ",1");
            assert!(table(text.leak()).is_err(), "{wrong}");
        }
    }
}
