//! Ambient correction of the IEC: IEC 60364-5-52 tables B.52.14 (air, base 30 °C) and B.52.15 (ground, base
//! 20 °C).

use super::iec_capacity::CableInsulation;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::Celsius;

pub(crate) const FILE: TableFile = table_file!("iec/iec-60364-5-52-ambient.csv");

/// What surrounds a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Medium {
    /// Air.
    Air,
    /// Earth.
    Ground,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    medium: Medium,
    source: &'static str,
    to: Celsius,
    factors: [Option<f64>; 2],
    confidence: Confidence,
}

/// The tables of ambient corrections.
#[derive(Clone, Debug)]
pub struct IecAmbient {
    steps: Vec<Step>,
}

impl IecAmbient {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        const MEDIA: [(&str, Medium); 2] = [("air", Medium::Air), ("ground", Medium::Ground)];
        const TABLES: [(&str, &str); 2] =
            [("B.52.14", "IEC 60364-5-52 Table B.52.14"), ("B.52.15", "IEC 60364-5-52 Table B.52.15")];
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                medium: row.one_of("medium", &MEDIA, |it| it.0)?.1,
                source: row.one_of("table", &TABLES, |it| it.0)?.1,
                to: row.quantity("celsius")?,
                factors: [row.optional_positive("pvc70")?, row.optional_positive("xlpe90")?],
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.medium == step.medium && last.to >= step.to) {
                return Err(row.error("celsius", "rising temperatures", row.text("celsius")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// Factor on the capacity, from the row of the next warmer temperature. `None` where none is permitted.
    pub fn factor(
        &self,
        medium: Medium,
        ambient: Celsius,
        insulation: CableInsulation,
    ) -> Option<Cited<f64>> {
        let step = self.steps.iter().find(|step| step.medium == medium && step.to >= ambient)?;
        let factor = step.factors.get(insulation as usize).copied().flatten()?;
        Some(Cited::new(factor, step.source, step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use CableInsulation::{Pvc70, Xlpe90};
    use lineside_core::math;

    fn table() -> IecAmbient {
        IecAmbient::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn the_next_warmer_row() {
        let table = table();
        let check = |medium, ambient, insulation, expected: Option<f64>| {
            let found = table.factor(medium, Celsius::new(ambient), insulation);
            assert_eq!(found.map(|found| found.value), expected, "{ambient}");
        };
        check(Medium::Air, 35.0, Pvc70, Some(0.94));
        check(Medium::Air, 31.0, Pvc70, Some(0.94));
        check(Medium::Air, -10.0, Xlpe90, Some(1.15));
        check(Medium::Air, 60.0, Pvc70, Some(0.50));
        check(Medium::Air, 60.5, Pvc70, None);
        check(Medium::Air, 80.0, Xlpe90, Some(0.41));
        check(Medium::Air, 80.5, Xlpe90, None);
        check(Medium::Ground, 22.0, Pvc70, Some(0.95));
    }

    #[test]
    fn factors_follow_the_heat_balance() {
        // sqrt((Tc − Ta) / (Tc − base)) within 0.01
        for step in &table().steps {
            let base = match step.medium {
                Medium::Air => 30.0,
                Medium::Ground => 20.0,
            };
            for (factor, insulation) in step.factors.iter().zip(CableInsulation::ALL) {
                let conductor = insulation.celsius().value();
                let balance = (conductor - step.to.value()) / (conductor - base);
                match factor {
                    Some(factor) => {
                        assert!((factor - math::sqrt(balance)).abs() <= 0.01, "{} {insulation:?}", step.to);
                    }
                    None => assert!(step.to.value() + 10.0 > conductor, "{} {insulation:?}", step.to),
                }
            }
        }
    }

    #[test]
    fn the_base_changes_nothing() {
        let table = table();
        for insulation in CableInsulation::ALL {
            for (medium, base) in [(Medium::Air, 30.0), (Medium::Ground, 20.0)] {
                let found = table.factor(medium, Celsius::new(base), insulation);
                assert_eq!(found.map(|found| found.value), Some(1.0));
            }
        }
    }
}
