//! Adjustment of the NEC for more than three current-carrying conductors together: Table 310.15(C)(1) of
//! 2020 and 2023, 310.15(B)(3)(a) of 2017.

use crate::cited::{Cited, Confidence};
use crate::edition::NecEdition;
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::Percent;

pub(crate) const FILE: TableFile = table_file!("nec/nec-310-15-c1.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    /// `None` for the last row, which has no upper end.
    to: Option<u32>,
    factor: f64,
    confidence: Confidence,
}

/// The table of adjustments.
#[derive(Clone, Debug)]
pub struct NecBundling {
    steps: Vec<Step>,
    last: Step,
}

impl NecBundling {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut steps: Vec<Step> = Vec::new();
        let mut next = Some(1);
        for row in table.iter() {
            if next != Some(row.whole("conductors_from")?) {
                return Err(row.error("conductors_from", "rows without a gap", row.text("conductors_from")?));
            }
            let to = row.optional_whole("conductors_to")?;
            next = to.and_then(|to| to.checked_add(1));
            steps.push(Step {
                to,
                factor: row.quantity::<Percent>("percent")?.share(),
                confidence: row.confidence("confidence")?,
            });
        }
        match steps.last() {
            Some(last) if last.to.is_none() => Ok(Self { last: *last, steps }),
            _ => Err(table.error("a last row without an upper end", "none")),
        }
    }

    /// Factor for that many current-carrying conductors together.
    pub fn factor(&self, edition: NecEdition, conductors: u32) -> Cited<f64> {
        let step =
            self.steps.iter().find(|step| step.to.is_some_and(|to| conductors <= to)).unwrap_or(&self.last);
        let source = match edition {
            NecEdition::Nec2017 => "Table 310.15(B)(3)(a)",
            NecEdition::Nec2020 | NecEdition::Nec2023 => "Table 310.15(C)(1)",
        };
        Cited::new(step.factor, source, step.confidence)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_more_the_less() {
        let table = NecBundling::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let check = |conductors, expected: f64| {
            let found = table.factor(NecEdition::Nec2017, conductors);
            assert!((found.value - expected).abs() < 1e-12, "{conductors}");
            assert_eq!(found.source, "Table 310.15(B)(3)(a)");
        };
        check(0, 1.0);
        check(3, 1.0);
        check(4, 0.80);
        check(6, 0.80);
        check(7, 0.70);
        check(20, 0.50);
        check(21, 0.45);
        check(40, 0.40);
        check(41, 0.35);
        check(1000, 0.35);
        assert!(table.steps.windows(2).all(|pair| pair[0].factor > pair[1].factor));
    }

    #[test]
    fn gaps_are_refused() {
        let parse = |rows: &str| {
            let text = format!("# source: a test\nconductors_from,conductors_to,percent,confidence\n{rows}");
            NecBundling::parse(&TableFile { name: "assets/codes/test.csv", text: text.leak() }).is_ok()
        };
        assert!(parse("1,3,100,recalled\n4,,80,recalled\n"));
        assert!(!parse("1,3,100,recalled\n5,,80,recalled\n"));
        assert!(!parse("1,3,100,recalled\n4,6,80,recalled\n"));
    }
}
