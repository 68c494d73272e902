//! Correction for the soil's thermal resistivity: IEC 60364-5-52 Table B.52.16, base 2.5 K·m/W.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};

pub(crate) const FILE: TableFile = table_file!("iec/iec-60364-5-52-soil.csv");
const SOURCE: &str = "IEC 60364-5-52 Table B.52.16";

/// Thermal resistivity of the soil, K·m/W.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct SoilResistivity(f64);

impl SoilResistivity {
    /// The resistivity for which the capacities in the ground hold.
    pub const BASE: Self = Self(2.5);

    /// From kelvin meters per watt, which must be finite and above nothing.
    pub fn new(kelvin_meters_per_watt: f64) -> Option<Self> {
        (kelvin_meters_per_watt.is_finite() && kelvin_meters_per_watt > 0.0)
            .then_some(Self(kelvin_meters_per_watt))
    }
    /// In kelvin meters per watt.
    pub const fn kelvin_meters_per_watt(self) -> f64 {
        self.0
    }
}

/// How a cable lies in the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Burial {
    /// In a duct: method D1.
    Duct,
    /// Straight in the ground: method D2.
    Direct,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    to: SoilResistivity,
    duct: f64,
    direct: f64,
    confidence: Confidence,
}

/// The table of soil corrections.
#[derive(Clone, Debug)]
pub struct IecSoil {
    steps: Vec<Step>,
}

impl IecSoil {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut steps: Vec<Step> = Vec::new();
        for row in file.read()?.iter() {
            let step = Step {
                to: SoilResistivity(row.positive("k_m_per_w")?),
                duct: row.positive("duct")?,
                direct: row.positive("direct")?,
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.to >= step.to) {
                return Err(row.error("k_m_per_w", "rising resistivities", row.text("k_m_per_w")?));
            }
            steps.push(step);
        }
        Ok(Self { steps })
    }

    /// Factor on the capacity, from the row of the next drier soil; `None` for soil drier than the table.
    pub fn factor(&self, soil: SoilResistivity, burial: Burial) -> Option<Cited<f64>> {
        let step = self.steps.iter().find(|step| step.to >= soil)?;
        let factor = match burial {
            Burial::Duct => step.duct,
            Burial::Direct => step.direct,
        };
        Some(Cited::new(factor, SOURCE, step.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drier_soil_carries_less() {
        let table = IecSoil::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let check = |soil, burial, expected: Option<f64>| {
            let soil = SoilResistivity::new(soil).unwrap();
            assert_eq!(table.factor(soil, burial).map(|found| found.value), expected);
        };
        check(2.5, Burial::Duct, Some(1.0));
        check(2.5, Burial::Direct, Some(1.0));
        check(0.9, Burial::Duct, Some(1.18));
        check(2.6, Burial::Direct, Some(0.90));
        check(3.1, Burial::Direct, None);
        assert!(table.steps.windows(2).all(|pair| pair[0].duct > pair[1].duct));
        assert!(table.steps.windows(2).all(|pair| pair[0].direct > pair[1].direct));
        assert_eq!(SoilResistivity::new(f64::NAN), None);
    }
}
