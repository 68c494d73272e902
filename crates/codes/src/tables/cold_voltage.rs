//! Correction of the open-circuit voltage for cold, for crystalline silicon without a coefficient: NEC Table
//! 690.7(A), the same numbers in IEC 62548-1 clause 7.2.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::project::RuleSet;
use lineside_core::units::Celsius;

pub(crate) const FILE: TableFile = table_file!("nec/nec-690-7a.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    /// The cold end of the row.
    to: Celsius,
    factor: f64,
    confidence: Confidence,
}

/// The table of voltage factors.
#[derive(Clone, Debug)]
pub struct ColdVoltage {
    /// From warm to cold.
    steps: Vec<Step>,
}

impl ColdVoltage {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                to: Celsius::new(row.number("c_to")?),
                factor: row.positive("factor")?,
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.to <= step.to || last.factor >= step.factor) {
                return Err(row.error("c_to", "falling temperatures, rising factors", row.text("c_to")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// Factor on the open-circuit voltage: from the warmest row whose cold end is not above the temperature;
    /// 1 at 25 °C and above. `None` where it is colder than the table goes.
    pub fn factor(&self, rule_set: RuleSet, temperature: Celsius) -> Option<Cited<f64>> {
        let source = match rule_set {
            RuleSet::Nec2023 | RuleSet::Nec2020 | RuleSet::Nec2017 => "Table 690.7(A)",
            RuleSet::Iec => "IEC 62548-1 cl. 7.2",
        };
        if temperature >= Celsius::STANDARD_TEST {
            return Some(Cited::new(1.0, source, Confidence::Verified));
        }
        let step = self.steps.iter().find(|step| step.to <= temperature)?;
        Some(Cited::new(step.factor, source, step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::factor_key::FactorKey;
    use crate::factors::{self, Factors};
    use lineside_core::units::CelsiusSpan;

    fn table() -> ColdVoltage {
        ColdVoltage::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn the_row_that_reaches_down_to_the_temperature() {
        let table = table();
        let check = |temperature: f64, expected: Option<f64>| {
            let found = table.factor(RuleSet::Nec2023, Celsius::new(temperature));
            assert_eq!(found.map(|found| found.value), expected, "{temperature}");
        };
        check(40.0, Some(1.0));
        check(25.0, Some(1.0));
        check(24.9, Some(1.02));
        check(20.0, Some(1.02));
        check(19.9, Some(1.04));
        check(-10.0, Some(1.14));
        check(-31.0, Some(1.23));
        check(-30.5, Some(1.23));
        check(-40.0, Some(1.25));
        check(-40.1, None);
    }

    #[test]
    fn factors_imply_a_silicon_coefficient() {
        // A row holds down to its cold end, so (factor − 1) over the kelvins from 25 °C to that end is the
        // coefficient it implies there: 0.02/5 = 0.40 %/K at 20 °C down to 0.25/65 = 0.385 %/K at −40 °C.
        let steps = table().steps;
        assert_eq!(steps.len(), 13);
        for step in &steps {
            let coefficient = (step.factor - 1.0) / (25.0 - step.to.value());
            assert!((0.0038..0.004_001).contains(&coefficient), "{}: {coefficient}", step.to);
        }
        for pair in steps.windows(2) {
            assert_eq!(pair[0].to.above(pair[1].to), CelsiusSpan::new(5.0));
        }
    }

    #[test]
    fn row_edges_meet() {
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        // Each row begins one degree below the end of the row before; the first at 24 °C.
        let mut from = 24.0;
        for row in file.iter() {
            let edge = |column| row.number(column).unwrap();
            let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{row:?}");
            near(edge("c_from"), from);
            near(edge("c_to") * 1.8 + 32.0, edge("f_to"));
            from = edge("c_to") - 1.0;
        }
        assert!((from + 41.0).abs() < 1e-9);
    }

    #[test]
    fn the_coldest_row_is_the_limit_of_the_rules() {
        let factors = Factors::parse(&factors::FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let coldest = table().steps.last().map(|step| step.to);
        for rule_set in RuleSet::ALL {
            assert_eq!(Some(factors.quantity(rule_set, FactorKey::VoltageTableColdest)), coldest);
        }
    }
}
