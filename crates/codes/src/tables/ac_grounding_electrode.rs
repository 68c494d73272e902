//! Grounding electrode conductors of AC systems: NEC Table 250.66.
//!
//! Those of DC systems are in `dc_grounding_electrode.rs`.

use crate::by_size::compare_sizes;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{ConductorSize, UnitSystem};
use std::cmp::Ordering;

pub(crate) const FILE: TableFile = table_file!("nec/nec-250-66.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    /// Largest supply conductor of the row, copper; `None` for the last row, which has no upper end.
    copper_supply_to: Option<ConductorSize>,
    aluminum_supply_to: Option<ConductorSize>,
    copper: ConductorSize,
    aluminum: ConductorSize,
    confidence: Confidence,
}

/// The table of grounding electrode conductors of AC systems.
#[derive(Clone, Debug)]
pub struct AcGroundingElectrode {
    steps: Vec<Step>,
}

impl AcGroundingElectrode {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                copper_supply_to: row.optional_size("supply_cu_to", UnitSystem::Us)?,
                aluminum_supply_to: row.optional_size("supply_al_to", UnitSystem::Us)?,
                copper: row.size("gec_cu", UnitSystem::Us)?,
                aluminum: row.size("gec_al", UnitSystem::Us)?,
                confidence: row.confidence("confidence")?,
            };
            let falls = |last: Option<ConductorSize>, next: Option<ConductorSize>| match (last, next) {
                (Some(last), Some(next)) => compare_sizes(last, next) != Some(Ordering::Less),
                (last, _) => last.is_none(),
            };
            if steps.last().is_some_and(|last| {
                falls(last.copper_supply_to, step.copper_supply_to)
                    || falls(last.aluminum_supply_to, step.aluminum_supply_to)
            }) {
                return Err(row.error("supply_cu_to", "rising sizes", row.text("supply_cu_to")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// The smallest grounding electrode conductor of metal `metal` for the largest ungrounded supply
    /// conductor; `None` for a metric size.
    pub fn conductor(
        &self,
        supply: ConductorSize,
        supply_metal: Metal,
        metal: Metal,
    ) -> Option<Cited<ConductorSize>> {
        if supply.system() != UnitSystem::Us {
            return None;
        }
        let step = self.steps.iter().find(|step| {
            let to = match supply_metal {
                Metal::Copper => step.copper_supply_to,
                Metal::Aluminum => step.aluminum_supply_to,
            };
            to.is_none_or(|to| compare_sizes(supply, to) != Some(Ordering::Greater))
        })?;
        let size = match metal {
            Metal::Copper => step.copper,
            Metal::Aluminum => step.aluminum,
        };
        Some(Cited::new(size, "Table 250.66", step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> AcGroundingElectrode {
        AcGroundingElectrode::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn a_supply_finds_its_electrode_conductor() {
        let table = table();
        let check = |supply: &str, supply_metal, expected: &str| {
            let size = |text| ConductorSize::read(text).unwrap_or_else(|fault| panic!("{fault}"));
            let found = table.conductor(size(supply), supply_metal, Metal::Copper);
            assert_eq!(found.map(|found| found.value), Some(size(expected)), "{supply}");
        };
        check("6", Metal::Copper, "8");
        check("2", Metal::Copper, "8");
        check("1", Metal::Copper, "6");
        check("2/0", Metal::Copper, "4");
        check("4/0", Metal::Copper, "2");
        check("4/0", Metal::Aluminum, "4");
        check("1250", Metal::Copper, "3/0");
        assert_eq!(table.conductor(ConductorSize::Metric(350), Metal::Copper, Metal::Copper), None);
    }

    #[test]
    fn aluminum_is_larger_than_copper() {
        for step in table().steps {
            assert_eq!(compare_sizes(step.copper, step.aluminum), Some(Ordering::Less));
        }
    }
}
