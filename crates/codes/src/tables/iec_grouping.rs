//! Reduction for several circuits together: IEC 60364-5-52 Table B.52.17, in air, on surfaces and in
//! enclosures. Groups in the ground have tables of their own, which are not kept here.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};

pub(crate) const FILE: TableFile = table_file!("iec/iec-60364-5-52-grouping.csv");

/// How the circuits of a group lie, the items of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Arrangement {
    /// Bunched in air, on a surface, embedded or enclosed. The safe one to take when nothing is known.
    Bunched,
    /// In a single layer on a wall, a floor or an unperforated tray.
    LayerOnWall,
    /// In a single layer under a ceiling.
    LayerUnderCeiling,
    /// In a single layer on a perforated tray.
    LayerOnPerforatedTray,
    /// In a single layer on a ladder or cleats.
    LayerOnLadder,
}

impl Arrangement {
    /// Every one, in the order of the table.
    pub const ALL: [Self; 5] = [
        Self::Bunched,
        Self::LayerOnWall,
        Self::LayerUnderCeiling,
        Self::LayerOnPerforatedTray,
        Self::LayerOnLadder,
    ];
    const fn key(self) -> &'static str {
        match self {
            Self::Bunched => "1",
            Self::LayerOnWall => "2",
            Self::LayerUnderCeiling => "3",
            Self::LayerOnPerforatedTray => "4",
            Self::LayerOnLadder => "5",
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Step {
    arrangement: Arrangement,
    circuits: u32,
    factor: f64,
    confidence: Confidence,
}

/// The table of reductions.
#[derive(Clone, Debug)]
pub struct IecGrouping {
    steps: Vec<Step>,
}

impl IecGrouping {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                arrangement: row.one_of("item", &Arrangement::ALL, Arrangement::key)?,
                circuits: row.whole("circuits")?,
                factor: row.positive("factor")?,
                confidence: row.confidence("confidence")?,
            };
            let last = steps.last().filter(|last| last.arrangement == step.arrangement);
            if last.map_or(step.circuits != 1, |last| last.circuits >= step.circuits) {
                return Err(row.error("circuits", "rising from 1", row.text("circuits")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// Factor for that many circuits or multicore cables together, from the next larger row. Layers keep the
    /// factor of nine circuits for more; `None` for more bunched circuits than the table has.
    pub fn factor(&self, arrangement: Arrangement, circuits: u32) -> Option<Cited<f64>> {
        let mut rows = self.steps.iter().filter(|step| step.arrangement == arrangement);
        let step = match arrangement {
            Arrangement::Bunched => rows.find(|step| step.circuits >= circuits)?,
            Arrangement::LayerOnWall
            | Arrangement::LayerUnderCeiling
            | Arrangement::LayerOnPerforatedTray
            | Arrangement::LayerOnLadder => {
                let last = rows.clone().next_back()?;
                rows.find(|step| step.circuits >= circuits).unwrap_or(last)
            }
        };
        Some(Cited::new(step.factor, "IEC 60364-5-52 Table B.52.17", step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> IecGrouping {
        IecGrouping::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn the_next_larger_row() {
        let table = table();
        let check = |arrangement, circuits, expected: Option<f64>| {
            let found = table.factor(arrangement, circuits).map(|found| found.value);
            assert_eq!(found, expected, "{arrangement:?} {circuits}");
        };
        check(Arrangement::Bunched, 1, Some(1.0));
        check(Arrangement::Bunched, 2, Some(0.80));
        check(Arrangement::Bunched, 10, Some(0.45));
        check(Arrangement::Bunched, 20, Some(0.38));
        check(Arrangement::Bunched, 21, None);
        check(Arrangement::LayerOnWall, 3, Some(0.79));
        check(Arrangement::LayerOnLadder, 30, Some(0.78));
        check(Arrangement::LayerUnderCeiling, 1, Some(0.95));
    }

    #[test]
    fn more_circuits_never_carry_more_and_bunched_the_least() {
        let table = table();
        for arrangement in Arrangement::ALL {
            let falling: Vec<f64> = (1..=9)
                .map(|circuits| table.factor(arrangement, circuits).map_or(0.0, |found| found.value))
                .collect();
            assert!(falling.windows(2).all(|pair| pair[0] >= pair[1]), "{arrangement:?}");
            for (circuits, factor) in (1..=9).zip(&falling) {
                let bunched = table.factor(Arrangement::Bunched, circuits).unwrap().value;
                assert!(*factor >= bunched || circuits == 1, "{arrangement:?} {circuits}");
            }
        }
    }
}
