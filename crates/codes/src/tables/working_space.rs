//! Depth of the working space before live parts: NEC Table 110.26(A)(1).
//!
//! Width and height are factors.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::{Meters, Volts};

pub(crate) const FILE: TableFile = table_file!("nec/nec-110-26-a1.csv");

/// What stands opposite the live parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WorkingCondition {
    /// Nothing live or grounded.
    Clear,
    /// Grounded parts; concrete, brick and tile count.
    Grounded,
    /// Live parts.
    Live,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    volts_to: Volts,
    depths: [Meters; 3],
    confidence: Confidence,
}

/// The table of working depths.
#[derive(Clone, Debug)]
pub struct WorkingSpace {
    steps: Vec<Step>,
}

impl WorkingSpace {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let feet = |column| row.positive(column).map(Meters::from_feet);
            let step = Step {
                volts_to: row.quantity("volts_to_ground_to")?,
                depths: [feet("cond1_ft")?, feet("cond2_ft")?, feet("cond3_ft")?],
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.volts_to >= step.volts_to) {
                return Err(row.error("volts_to_ground_to", "rising volts", row.text("volts_to_ground_to")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// The depth for a voltage to ground; `None` above the last row.
    pub fn depth(&self, to_ground: Volts, condition: WorkingCondition) -> Option<Cited<Meters>> {
        let step = self.steps.iter().find(|step| to_ground <= step.volts_to)?;
        let depth = step.depths.get(condition as usize)?;
        Some(Cited::new(*depth, "Table 110.26(A)(1)", step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> WorkingSpace {
        WorkingSpace::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn depths() {
        let table = table();
        let check = |volts, condition, feet: Option<f64>| {
            let found = table.depth(Volts::new(volts), condition);
            assert_eq!(found.map(|found| found.value), feet.map(Meters::from_feet), "{volts}");
        };
        check(66.0, WorkingCondition::Live, Some(3.0));
        check(150.0, WorkingCondition::Grounded, Some(3.0));
        check(480.0, WorkingCondition::Clear, Some(3.0));
        check(480.0, WorkingCondition::Grounded, Some(3.5));
        check(480.0, WorkingCondition::Live, Some(4.0));
        check(1000.1, WorkingCondition::Live, None);
    }

    #[test]
    fn more_danger_never_needs_less_and_meters_agree_with_feet() {
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        for row in file.iter() {
            for condition in 1..=3 {
                let feet = row.number(&format!("cond{condition}_ft")).unwrap();
                let meters = row.number(&format!("cond{condition}_m")).unwrap();
                assert!((feet * 0.3048 - meters).abs() < 0.07, "{feet} ft, {meters} m");
            }
        }
        let steps = table().steps;
        for pair in steps.windows(2) {
            assert!(pair[0].depths.iter().zip(&pair[1].depths).all(|(near, far)| near <= far));
        }
        assert!(steps.iter().all(|step| step.depths.is_sorted_by(|a, b| a <= b)));
    }
}
