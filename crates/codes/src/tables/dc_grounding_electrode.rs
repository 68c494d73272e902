//! Grounding electrode conductors of DC systems: NEC 250.166.
//!
//! Those of AC systems are in `ac_grounding_electrode.rs`.

use crate::by_size::compare_sizes;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{ConductorSize, UnitSystem};
use std::cmp::Ordering;

pub(crate) const FILE: TableFile = table_file!("nec/nec-250-166.csv");

/// To what a grounding electrode conductor runs as its sole connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DcElectrode {
    /// Building steel, a water pipe, or several electrodes.
    General,
    /// Rods, pipes or plates alone.
    Rods,
    /// A concrete-encased electrode alone.
    ConcreteEncased,
    /// A ring in the ground alone; need not be larger than the ring, whose size the caller knows.
    Ring,
}

#[derive(Clone, Copy, Debug)]
struct Case {
    source: &'static str,
    copper: Option<ConductorSize>,
    aluminum: Option<ConductorSize>,
    confidence: Confidence,
}

/// The clauses on grounding electrode conductors of DC systems.
#[derive(Clone, Debug)]
pub struct DcGroundingElectrode {
    cases: Vec<Case>,
}

const GENERAL: &str = "250.166(B)";
const RODS: &str = "250.166(C)";
const CONCRETE: &str = "250.166(D)";
const RING: &str = "250.166(E)";
const UPPER_END: &str = "250.166";
const CLAUSES: [&str; 6] = ["250.166(A)", GENERAL, RODS, CONCRETE, RING, UPPER_END];

impl DcGroundingElectrode {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut cases = Vec::new();
        for row in table.iter() {
            row.filled("rule")?;
            cases.push(Case {
                source: row.one_of("clause", &CLAUSES, |clause| clause)?,
                copper: row.optional_size("min_cu", UnitSystem::Us)?,
                aluminum: row.optional_size("min_al", UnitSystem::Us)?,
                confidence: row.confidence("confidence")?,
            });
        }
        let all_there = cases.iter().map(|case| case.source).eq(CLAUSES);
        if all_there { Ok(Self { cases }) } else { Err(table.error("clauses (A) to (E), then the cap", "")) }
    }

    /// The smallest grounding electrode conductor: as large as the largest conductor of the system, not
    /// below the least of the clause, and not larger than the electrode or the article asks for. `None` for
    /// a metric size.
    pub fn conductor(
        &self,
        largest: ConductorSize,
        metal: Metal,
        electrode: DcElectrode,
    ) -> Option<Cited<ConductorSize>> {
        if largest.system() != UnitSystem::Us {
            return None;
        }
        let general = self.case(GENERAL)?;
        let upper_end = self.case(UPPER_END)?;
        let mut needed = Cited::new(larger(largest, general.size(metal)?), GENERAL, general.confidence);
        let electrode = match electrode {
            DcElectrode::General => None,
            DcElectrode::Rods => self.case(RODS),
            DcElectrode::ConcreteEncased => self.case(CONCRETE),
            DcElectrode::Ring => self.case(RING),
        };
        for case in [Some(upper_end), electrode].into_iter().flatten() {
            if let Some(enough) = case.size(metal)
                && compare_sizes(needed.value, enough) == Some(Ordering::Greater)
            {
                needed = Cited::new(enough, case.source, case.confidence);
            }
        }
        Some(needed)
    }

    fn case(&self, clause: &str) -> Option<&Case> {
        self.cases.iter().find(|case| case.source == clause)
    }
}

impl Case {
    const fn size(&self, metal: Metal) -> Option<ConductorSize> {
        match metal {
            Metal::Copper => self.copper,
            Metal::Aluminum => self.aluminum,
        }
    }
}

fn larger(one: ConductorSize, other: ConductorSize) -> ConductorSize {
    if compare_sizes(one, other) == Some(Ordering::Less) { other } else { one }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bank_finds_its_electrode_conductor() {
        let table = DcGroundingElectrode::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let check = |largest: &str, metal, electrode, expected: &str, clause: &str| {
            let size = |text| ConductorSize::read(text).unwrap_or_else(|fault| panic!("{fault}"));
            let found = table.conductor(size(largest), metal, electrode);
            let found = found.unwrap_or_else(|| panic!("{largest} has no row"));
            assert_eq!((found.value, found.source.as_ref()), (size(expected), clause), "{largest}");
        };
        let copper = Metal::Copper;
        // A bank on 4/0: building steel wants 3/0 (the cap), rods 6 AWG, concrete 4 AWG.
        check("4/0", copper, DcElectrode::General, "3/0", "250.166");
        check("4/0", copper, DcElectrode::Rods, "6", "250.166(C)");
        check("4/0", copper, DcElectrode::ConcreteEncased, "4", "250.166(D)");
        check("4/0", copper, DcElectrode::Ring, "3/0", "250.166");
        check("2", copper, DcElectrode::General, "2", "250.166(B)");
        check("10", copper, DcElectrode::General, "8", "250.166(B)");
        check("8", copper, DcElectrode::Rods, "8", "250.166(B)");
        check("350", Metal::Aluminum, DcElectrode::General, "250", "250.166");
        check("10", Metal::Aluminum, DcElectrode::General, "6", "250.166(B)");
        assert_eq!(table.conductor(ConductorSize::Metric(350), copper, DcElectrode::Rods), None);
    }

    #[test]
    fn aluminum_is_larger_than_copper() {
        let table = DcGroundingElectrode::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let sizes: Vec<_> = table.cases.iter().filter_map(|case| case.copper.zip(case.aluminum)).collect();
        assert_eq!(sizes.len(), 4);
        assert!(
            sizes
                .iter()
                .all(|(copper, aluminum)| { compare_sizes(*copper, *aluminum) == Some(Ordering::Less) })
        );
    }
}
