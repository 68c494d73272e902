//! AC resistance and reactance of the NEC: Chapter 9 Table 9, 60 Hz, 75 °C, to neutral.
//!
//! DC resistance is in `conductor_properties.rs`.

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::linear_resistance::{LinearResistance, ReferenceLength};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{ConductorSize, Ohms, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("nec/nec-ch9-t9.csv");
pub(crate) const SOURCE: &str = "Chapter 9 Table 9";

/// What surrounds the conductors; magnetic metal adds resistance and reactance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConduitMaterial {
    /// Plastic, or no conduit.
    Plastic,
    /// Aluminum.
    Aluminum,
    /// Steel.
    Steel,
}

#[derive(Clone, Copy, Debug)]
struct Impedance {
    reactance: Ohms,
    reactance_steel: Ohms,
    copper: [Ohms; 3],
    aluminum: [Option<Ohms>; 3],
    confidence: Confidence,
}

/// The table of AC resistance and reactance.
#[derive(Clone, Debug)]
pub struct AcResistance {
    rows: BySize<Impedance>,
}

impl AcResistance {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let rows = BySize::from_rows(&file.read()?, "size", UnitSystem::Us, |row| {
            Ok(Impedance {
                reactance: row.quantity("x_pvc_al")?,
                reactance_steel: row.quantity("x_steel")?,
                copper: [
                    row.quantity("r_cu_pvc")?,
                    row.quantity("r_cu_al_conduit")?,
                    row.quantity("r_cu_steel")?,
                ],
                aluminum: [
                    row.optional_quantity("r_al_pvc")?,
                    row.optional_quantity("r_al_al_conduit")?,
                    row.optional_quantity("r_al_steel")?,
                ],
                confidence: row.confidence("confidence")?,
            })
        })?;
        Ok(Self { rows })
    }

    /// AC resistance of one conductor at 75 °C, Ω per 1000 ft; `None` where the table has no cell.
    pub fn resistance(
        &self,
        size: ConductorSize,
        metal: Metal,
        conduit: ConduitMaterial,
    ) -> Option<Cited<LinearResistance>> {
        let row = self.rows.get(size)?;
        let ohms = match metal {
            Metal::Copper => row.copper.get(conduit as usize).copied(),
            Metal::Aluminum => row.aluminum.get(conduit as usize).copied().flatten(),
        }?;
        Some(Cited::new(per_thousand_feet(ohms), SOURCE, row.confidence))
    }

    /// Reactance of one conductor at 60 Hz, Ω per 1000 ft; `None` for a size that is not in the table.
    pub fn reactance(
        &self,
        size: ConductorSize,
        conduit: ConduitMaterial,
    ) -> Option<Cited<LinearResistance>> {
        let row = self.rows.get(size)?;
        let ohms = match conduit {
            ConduitMaterial::Plastic | ConduitMaterial::Aluminum => row.reactance,
            ConduitMaterial::Steel => row.reactance_steel,
        };
        Some(Cited::new(per_thousand_feet(ohms), SOURCE, row.confidence))
    }

    /// The sizes of the table, from small to large.
    pub fn sizes(&self) -> impl DoubleEndedIterator<Item = ConductorSize> {
        self.rows.iter().map(|(size, _)| size)
    }
}

const fn per_thousand_feet(ohms: Ohms) -> LinearResistance {
    LinearResistance::new(ohms, ReferenceLength::ThousandFeet)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::conductor_properties::{self, ConductorProperties};
    use lineside_core::circuit::{Coating, Stranding};

    fn table() -> AcResistance {
        AcResistance::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn resistance_and_reactance() {
        let table = table();
        let check = |size, metal, conduit, expected: Option<f64>| {
            let found = table.resistance(size, metal, conduit);
            assert_eq!(found.map(|found| found.value.ohms().value()), expected, "{size}");
        };
        check(ConductorSize::Awg(6), Metal::Copper, ConduitMaterial::Plastic, Some(0.49));
        check(ConductorSize::Awg(0), Metal::Copper, ConduitMaterial::Aluminum, Some(0.13));
        check(ConductorSize::Awg(14), Metal::Aluminum, ConduitMaterial::Plastic, None);
        check(ConductorSize::Kcmil(700), Metal::Copper, ConduitMaterial::Plastic, None);
        let reactance = |conduit| table.reactance(ConductorSize::Awg(6), conduit);
        let ohms = |conduit| reactance(conduit).map(|found| found.value.ohms().value());
        assert_eq!(ohms(ConduitMaterial::Plastic), Some(0.051));
        assert_eq!(ohms(ConduitMaterial::Steel), Some(0.064));
    }

    #[test]
    fn alternating_current_meets_no_less_than_direct() {
        // Two digits are printed, so small sizes may lie 4 % under; skin effect and iron add up to half at
        // 1000 kcmil.
        let direct = ConductorProperties::parse(&conductor_properties::FILE);
        let direct = direct.unwrap_or_else(|fault| panic!("{fault}"));
        let table = table();
        for size in table.sizes() {
            for metal in [Metal::Copper, Metal::Aluminum] {
                let dc = direct.dc_resistance(size, metal, Stranding::Coarse, Coating::Plain).unwrap();
                for conduit in [ConduitMaterial::Plastic, ConduitMaterial::Aluminum, ConduitMaterial::Steel] {
                    let Some(ac) = table.resistance(size, metal, conduit) else { continue };
                    let ratio = ac.value.ohms() / dc.value.ohms();
                    assert!((0.95..1.55).contains(&ratio), "{size} {metal:?} {conduit:?}: {ratio}");
                }
            }
        }
    }

    #[test]
    fn steel_adds_reactance() {
        for (size, row) in table().rows.iter() {
            assert!(row.reactance_steel > row.reactance, "{size}");
        }
    }

    #[test]
    fn larger_conductors_resist_less() {
        let table = table();
        let falling: Vec<Ohms> = table.rows.iter().map(|(_, row)| row.copper[0]).collect();
        assert!(falling.windows(2).all(|pair| pair[0] > pair[1]));
    }
}
