//! Ambient correction of the NEC for ampacities based on 30 °C: Table 310.15(B)(1)(1) of 2023,
//! 310.15(B)(1) of 2020, 310.15(B)(2)(a) of 2017.

use super::nec_ampacity::ConductorTemperature;
use crate::cited::{Cited, Confidence};
use crate::edition::NecEdition;
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::Celsius;

pub(crate) const FILE: TableFile = table_file!("nec/nec-310-15-b1-1.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    to: Celsius,
    factors: [Option<f64>; 3],
    confidence: Confidence,
}

/// The table of ambient corrections.
#[derive(Clone, Debug)]
pub struct NecAmbient {
    steps: Vec<Step>,
}

impl NecAmbient {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                to: row.quantity("c_to")?,
                factors: [
                    row.optional_positive("f60")?,
                    row.optional_positive("f75")?,
                    row.optional_positive("f90")?,
                ],
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.to >= step.to) {
                return Err(row.error("c_to", "rising temperatures", row.text("c_to")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// Factor on the ampacity, from the first row that reaches up to the ambient. `None` where the table
    /// permits no current at all.
    pub fn factor(
        &self,
        edition: NecEdition,
        ambient: Celsius,
        column: ConductorTemperature,
    ) -> Option<Cited<f64>> {
        let step = self.steps.iter().find(|step| step.to >= ambient)?;
        let factor = step.factors.get(column as usize).copied().flatten()?;
        Some(Cited::new(factor, source(edition), step.confidence))
    }
}

pub(crate) const fn source(edition: NecEdition) -> &'static str {
    match edition {
        NecEdition::Nec2017 => "Table 310.15(B)(2)(a)",
        NecEdition::Nec2020 => "Table 310.15(B)(1)",
        NecEdition::Nec2023 => "Table 310.15(B)(1)(1)",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ConductorTemperature::{C60, C75, C90};
    use lineside_core::math;

    fn table() -> NecAmbient {
        NecAmbient::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn the_row_that_reaches_up_to_the_ambient() {
        let table = table();
        let check = |ambient: f64, column, expected: Option<f64>| {
            let found = table.factor(NecEdition::Nec2023, Celsius::new(ambient), column);
            assert_eq!(found.map(|factor| factor.value), expected, "{ambient} {column:?}");
        };
        check(-31.0, C90, Some(1.15));
        check(30.0, C90, Some(1.00));
        check(30.1, C90, Some(0.96));
        check(33.0, C90, Some(0.96));
        check(36.0, C90, Some(0.91));
        check(40.0, C75, Some(0.88));
        check(69.0, C90, Some(0.58));
        check(55.5, C60, None);
        check(71.0, C75, None);
        check(85.0, C90, Some(0.29));
        check(85.1, C90, None);
    }

    #[test]
    fn factors_follow_the_heat_balance() {
        // sqrt((Tc − Ta) / (Tc − 30)) with Ta at the warm end of the row, within 0.01
        for step in &table().steps {
            for (factor, column) in step.factors.iter().zip(ConductorTemperature::ALL) {
                let conductor = column.celsius().value();
                let balance = (conductor - step.to.value()) / (conductor - 30.0);
                match factor {
                    Some(factor) => {
                        assert!((factor - math::sqrt(balance)).abs() <= 0.01, "{} {column:?}", step.to);
                    }
                    None => assert!(step.to.value() + 5.0 > conductor, "{} {column:?}", step.to),
                }
            }
        }
    }

    #[test]
    fn warmer_never_carries_more() {
        let table = table();
        for column in 0..3 {
            let falling: Vec<f64> = table.steps.iter().map_while(|step| step.factors[column]).collect();
            assert!(falling.windows(2).all(|pair| pair[0] > pair[1]));
            let empty = table.steps.iter().filter(|step| step.factors[column].is_none()).count();
            assert_eq!(falling.len() + empty, table.steps.len(), "no factor beyond an empty cell");
        }
    }

    #[test]
    fn rows_leave_no_gap() {
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        let rows: Vec<(Option<f64>, f64)> = file
            .iter()
            .map(|row| (row.optional_number("c_from").unwrap(), row.number("c_to").unwrap()))
            .collect();
        assert_eq!(rows.first().map(|row| row.0), Some(None));
        assert!(rows.windows(2).all(|pair| pair[1].0 == Some(pair[0].1 + 1.0)));
        for row in file.iter() {
            let fahrenheit = row.number("f_to").unwrap();
            assert!((row.number("c_to").unwrap() * 1.8 + 32.0 - fahrenheit).abs() < 1e-9);
        }
    }
}
