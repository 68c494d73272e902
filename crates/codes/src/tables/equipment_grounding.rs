//! Equipment-grounding conductors: NEC Table 250.122.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{Amps, ConductorSize, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("nec/nec-250-122.csv");

#[derive(Clone, Copy, Debug)]
struct Step {
    device_to: Amps,
    copper: ConductorSize,
    aluminum: ConductorSize,
    confidence: Confidence,
}

/// The table of equipment-grounding conductors.
#[derive(Clone, Debug)]
pub struct EquipmentGrounding {
    steps: Vec<Step>,
}

impl EquipmentGrounding {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                device_to: row.quantity("ocpd_not_over")?,
                copper: row.size("cu", UnitSystem::Us)?,
                aluminum: row.size("al", UnitSystem::Us)?,
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.device_to >= step.device_to) {
                return Err(row.error("ocpd_not_over", "rising ratings", row.text("ocpd_not_over")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// The smallest equipment-grounding conductor behind an overcurrent device of that rating; `None` above
    /// the last row. Enlarging it in proportion and the smallest of all are the rules' to judge.
    pub fn conductor(&self, device: Amps, metal: Metal) -> Option<Cited<ConductorSize>> {
        let step = self.steps.iter().find(|step| device <= step.device_to)?;
        let size = match metal {
            Metal::Copper => step.copper,
            Metal::Aluminum => step.aluminum,
        };
        Some(Cited::new(size, "Table 250.122", step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::by_size::compare_sizes;
    use std::cmp::Ordering::Less;

    fn table() -> EquipmentGrounding {
        EquipmentGrounding::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn a_device_finds_its_grounding_conductor() {
        let table = table();
        let check = |device, metal, expected: Option<ConductorSize>| {
            let found = table.conductor(Amps::new(device), metal);
            assert_eq!(found.map(|found| found.value), expected, "{device}");
        };
        // 63.75 A of an array circuit: not over 100 A, 8 AWG copper. A 45 A feeder: not over 60 A, 10 AWG.
        check(63.75, Metal::Copper, Some(ConductorSize::Awg(8)));
        check(45.0, Metal::Copper, Some(ConductorSize::Awg(10)));
        check(100.0, Metal::Copper, Some(ConductorSize::Awg(8)));
        check(225.0, Metal::Aluminum, Some(ConductorSize::Awg(2)));
        check(6000.0, Metal::Copper, Some(ConductorSize::Kcmil(800)));
        check(6001.0, Metal::Copper, None);
    }

    #[test]
    fn sizes_rise_and_aluminum_is_larger() {
        let steps = table().steps;
        assert_eq!(steps.len(), 19);
        for pair in steps.windows(2) {
            assert_eq!(compare_sizes(pair[0].copper, pair[1].copper), Some(Less));
            assert_ne!(compare_sizes(pair[1].aluminum, pair[0].aluminum), Some(Less));
        }
        for step in &steps {
            assert_eq!(compare_sizes(step.copper, step.aluminum), Some(Less), "{}", step.device_to);
        }
    }
}
