//! Overcurrent devices of small conductors: NEC 240.4(D).

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{Amps, ConductorSize, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("nec/nec-240-4-d.csv");

#[derive(Clone, Copy, Debug)]
struct Limit {
    size: ConductorSize,
    metal: Metal,
    greatest: Amps,
    confidence: Confidence,
}

/// The limits of small conductors.
#[derive(Clone, Debug)]
pub struct SmallConductors {
    limits: Vec<Limit>,
}

impl SmallConductors {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        // Copper-clad aluminum has a row of its own in 2023; no conductor of the program is made of it.
        const METALS: [(&str, Option<Metal>); 3] =
            [("cu", Some(Metal::Copper)), ("al", Some(Metal::Aluminum)), ("cca", None)];
        let mut limits = Vec::new();
        for row in file.read()?.iter() {
            let size = row.size("size", UnitSystem::Us)?;
            let greatest = row.quantity("max_ocpd")?;
            let confidence = row.confidence("confidence")?;
            if let (_, Some(metal)) = row.one_of("metal", &METALS, |it| it.0)? {
                limits.push(Limit { size, metal, greatest, confidence });
            }
        }
        Ok(Self { limits })
    }

    /// The greatest overcurrent device of a small conductor, whatever its ampacity; `None` for conductors
    /// that are not small.
    pub fn greatest_device(&self, size: ConductorSize, metal: Metal) -> Option<Cited<Amps>> {
        self.limits
            .iter()
            .find(|limit| limit.size == size && limit.metal == metal)
            .map(|limit| Cited::new(limit.greatest, "240.4(D)", limit.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edition::NecEdition;
    use crate::tables::nec_ampacity::{self, ConductorTemperature, Installation, NecAmpacity};

    fn table() -> SmallConductors {
        SmallConductors::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn small_wire_small_device() {
        let table = table();
        let check = |gauge, metal, expected: Option<f64>| {
            let found = table.greatest_device(ConductorSize::Awg(gauge), metal);
            assert_eq!(found.map(|found| found.value), expected.map(Amps::new), "{gauge} {metal:?}");
        };
        check(14, Metal::Copper, Some(15.0));
        check(12, Metal::Copper, Some(20.0));
        check(10, Metal::Copper, Some(30.0));
        check(12, Metal::Aluminum, Some(15.0));
        check(10, Metal::Aluminum, Some(25.0));
        check(14, Metal::Aluminum, None);
        check(8, Metal::Copper, None);
    }

    #[test]
    fn limits_are_not_above_the_60_degree_ampacity() {
        let ampacity = NecAmpacity::parse(&nec_ampacity::RACEWAY, &nec_ampacity::FREE_AIR)
            .unwrap_or_else(|fault| panic!("{fault}"));
        let limits = table().limits;
        assert!(limits.len() > 5);
        for limit in limits {
            let at = |column| {
                ampacity.find(NecEdition::Nec2023, limit.size, limit.metal, column, Installation::Raceway)
            };
            let column = at(ConductorTemperature::C60).or_else(|| at(ConductorTemperature::C90));
            assert!(column.is_some_and(|column| limit.greatest <= column.value), "{}", limit.size);
        }
    }
}
