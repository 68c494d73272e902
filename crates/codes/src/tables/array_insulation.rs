//! Insulation resistance that an array must show before its converter starts: IEC 62109-2.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::{Ohms, Watts};

pub(crate) const FILE: TableFile = table_file!("iec/iec-62109-2-insulation.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    power_to: Watts,
    least: Ohms,
    confidence: Confidence,
}

/// The table of insulation resistances.
#[derive(Clone, Debug)]
pub struct ArrayInsulation {
    steps: Vec<Step>,
}

impl ArrayInsulation {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                power_to: Watts::new(row.positive("power_to_kw")? * 1000.0),
                least: Ohms::new(row.positive("least_kohm")? * 1000.0),
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.power_to >= step.power_to || last.least <= step.least) {
                return Err(row.error("power_to_kw", "rising powers", row.text("power_to_kw")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// The least insulation resistance of an array of that power; `None` above the last row.
    pub fn least(&self, array: Watts) -> Option<Cited<Ohms>> {
        let step = self.steps.iter().find(|step| array <= step.power_to)?;
        Some(Cited::new(step.least, "IEC 62109-2", step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn larger_arrays_may_leak_more() {
        let table = ArrayInsulation::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let check = |watts, expected: Option<f64>| {
            assert_eq!(table.least(Watts::new(watts)).map(|found| found.value.value()), expected);
        };
        check(1320.0, Some(30_000.0));
        check(20_000.0, Some(30_000.0));
        check(25_000.0, Some(20_000.0));
        check(50_000.0, Some(15_000.0));
        check(100_000.0, Some(10_000.0));
        check(100_001.0, None);
    }
}
