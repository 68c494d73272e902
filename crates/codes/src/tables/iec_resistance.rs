//! Conductor resistance of the IEC: IEC 60228, greatest DC resistance at 20 °C.
//!
//! The NEC's resistances are in `conductor_properties.rs`.

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::linear_resistance::{LinearResistance, ReferenceLength};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::{Coating, Metal, Stranding};
use lineside_core::units::{ConductorSize, Ohms, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("iec/iec-60228.csv");

#[derive(Clone, Copy, Debug)]
struct Resistances {
    /// Class 2, stranded.
    stranded: Ohms,
    stranded_tinned: Ohms,
    stranded_aluminum: Option<Ohms>,
    /// Class 5, flexible.
    flexible: Ohms,
    flexible_tinned: Ohms,
    confidence: Confidence,
}

/// The tables of conductor resistance.
#[derive(Clone, Debug)]
pub struct IecResistance {
    rows: BySize<Resistances>,
}

impl IecResistance {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let rows = BySize::from_rows(&file.read()?, "mm2", UnitSystem::Si, |row| {
            Ok(Resistances {
                stranded: row.quantity("cl2_cu")?,
                stranded_tinned: row.quantity("cl2_cu_tinned")?,
                stranded_aluminum: row.optional_quantity("cl2_al")?,
                flexible: row.quantity("cl5_cu")?,
                flexible_tinned: row.quantity("cl5_cu_tinned")?,
                confidence: row.confidence("confidence")?,
            })
        })?;
        Ok(Self { rows })
    }

    /// DC resistance of one conductor at 20 °C, Ω/km. `None` for sizes, solid conductors (class 1) and
    /// flexible aluminum, which are not in the tables.
    pub fn dc_resistance(
        &self,
        size: ConductorSize,
        metal: Metal,
        stranding: Stranding,
        coating: Coating,
    ) -> Option<Cited<LinearResistance>> {
        const CLASS_2: &str = "IEC 60228 class 2";
        const CLASS_5: &str = "IEC 60228 class 5";
        let row = self.rows.get(size)?;
        let (ohms, source) = match (stranding, metal, coating) {
            (Stranding::Coarse, Metal::Copper, Coating::Plain) => (row.stranded, CLASS_2),
            (Stranding::Coarse, Metal::Copper, Coating::Tinned) => (row.stranded_tinned, CLASS_2),
            (Stranding::Coarse, Metal::Aluminum, _) => (row.stranded_aluminum?, CLASS_2),
            (Stranding::Fine, Metal::Copper, Coating::Plain) => (row.flexible, CLASS_5),
            (Stranding::Fine, Metal::Copper, Coating::Tinned) => (row.flexible_tinned, CLASS_5),
            (Stranding::Fine, Metal::Aluminum, _) | (Stranding::Solid, _, _) => return None,
        };
        Some(Cited::new(LinearResistance::new(ohms, ReferenceLength::Kilometer), source, row.confidence))
    }

    /// The sizes of the tables, from small to large.
    pub fn sizes(&self) -> impl DoubleEndedIterator<Item = ConductorSize> {
        self.rows.iter().map(|(size, _)| size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> IecResistance {
        IecResistance::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn resistances() {
        let table = table();
        let check = |tenths, metal, stranding, coating, expected: Option<f64>| {
            let found = table.dc_resistance(ConductorSize::Metric(tenths), metal, stranding, coating);
            assert_eq!(found.map(|found| found.value.ohms().value()), expected, "{tenths}");
        };
        check(40, Metal::Copper, Stranding::Fine, Coating::Tinned, Some(5.09));
        check(350, Metal::Copper, Stranding::Fine, Coating::Plain, Some(0.554));
        check(350, Metal::Copper, Stranding::Coarse, Coating::Plain, Some(0.524));
        check(15, Metal::Copper, Stranding::Coarse, Coating::Tinned, Some(12.2));
        check(350, Metal::Aluminum, Stranding::Coarse, Coating::Plain, Some(0.868));
        check(350, Metal::Aluminum, Stranding::Fine, Coating::Plain, None);
        check(40, Metal::Aluminum, Stranding::Coarse, Coating::Plain, None);
        check(40, Metal::Copper, Stranding::Solid, Coating::Plain, None);
        let american = ConductorSize::Awg(4);
        assert_eq!(table.dc_resistance(american, Metal::Copper, Stranding::Fine, Coating::Plain), None);
    }

    #[test]
    fn resistance_goes_with_area() {
        // Copper resists 17.24 Ω·mm²/km at 20 °C; stranding and the rounding of nominal areas take it to
        // 17.8 … 19.6. Aluminum resists 28.3 and more.
        let table = table();
        for (size, row) in table.rows.iter() {
            let ConductorSize::Metric(tenths) = size else { panic!("{size} is not metric") };
            let area = f64::from(tenths) / 10.0;
            for ohms in [row.stranded, row.stranded_tinned] {
                assert!((17.8..19.6).contains(&(ohms.value() * area)), "{size}: {ohms}");
            }
            for ohms in [row.flexible, row.flexible_tinned] {
                assert!((18.0..20.6).contains(&(ohms.value() * area)), "{size}: {ohms}");
            }
            if let Some(ohms) = row.stranded_aluminum {
                assert!((29.0..32.5).contains(&(ohms.value() * area)), "{size}: {ohms}");
                assert!((ohms / row.stranded - 1.65).abs() < 0.04, "{size}: {ohms}");
            }
        }
    }

    #[test]
    fn tinned_resists_more_and_larger_less() {
        let table = table();
        for (size, row) in table.rows.iter() {
            assert!(row.stranded_tinned > row.stranded && row.flexible_tinned > row.flexible, "{size}");
        }
        let rows: Vec<_> = table.rows.iter().map(|(_, row)| row).collect();
        assert!(rows.windows(2).all(|pair| pair[0].stranded > pair[1].stranded));
        assert!(rows.windows(2).all(|pair| pair[0].flexible > pair[1].flexible));
    }
}
