//! Conductor properties of the NEC: Chapter 9 Table 8, areas and DC resistance at 75 °C.
//!
//! AC resistance is in `ac_resistance.rs`; the IEC's resistances are in `iec_resistance.rs`.

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::linear_resistance::{LinearResistance, ReferenceLength};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::{Coating, Metal, Stranding};
use lineside_core::units::{CircularMils, ConductorSize, Ohms, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("nec/nec-ch9-t8.csv");
pub(crate) const SOURCE: &str = "Chapter 9 Table 8";

#[derive(Clone, Copy, Debug)]
struct Strands {
    copper: Ohms,
    copper_coated: Ohms,
    aluminum: Ohms,
    confidence: Confidence,
}

#[derive(Clone, Copy, Debug)]
struct Properties {
    circular_mils: CircularMils,
    solid: Option<Strands>,
    stranded: Option<Strands>,
}

/// The table of conductor properties.
#[derive(Clone, Debug)]
pub struct ConductorProperties {
    rows: BySize<Properties>,
}

impl ConductorProperties {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut rows: BySize<Properties> = BySize::new(UnitSystem::Us);
        for row in file.read()?.iter() {
            let size = row.size("size", UnitSystem::Us)?;
            let circular_mils = row.quantity("cmil")?;
            let strands = Strands {
                copper: row.quantity("cu_uncoated")?,
                copper_coated: row.quantity("cu_coated")?,
                aluminum: row.quantity("al")?,
                confidence: row.confidence("confidence")?,
            };
            // Small sizes have two rows, solid first.
            match (row.whole("strands")?, rows.last_mut().filter(|(last, _)| *last == size)) {
                (1, None) => {
                    let solid = Some(strands);
                    rows.push(row, "size", Properties { circular_mils, solid, stranded: None })?;
                }
                (2.., None) => {
                    let stranded = Some(strands);
                    rows.push(row, "size", Properties { circular_mils, solid: None, stranded })?;
                }
                (2.., Some((_, properties)))
                    if properties.stranded.is_none() && properties.circular_mils == circular_mils =>
                {
                    properties.stranded = Some(strands);
                }
                _ => {
                    return Err(row.error(
                        "strands",
                        "solid, then stranded, of one area",
                        row.text("strands")?,
                    ));
                }
            }
        }
        Ok(Self { rows })
    }

    /// Area of a size; `None` for a size that is not in the table.
    pub fn circular_mils(&self, size: ConductorSize) -> Option<Cited<CircularMils>> {
        let row = self.rows.get(size)?;
        let confidence = row.stranded.or(row.solid).map_or(Confidence::Recalled, |it| it.confidence);
        Some(Cited::new(row.circular_mils, SOURCE, confidence))
    }

    /// DC resistance of one conductor at 75 °C, Ω per 1000 ft. Fine strands have no rows of their own and
    /// take those of coarse ones. `None` for a size or stranding that is not in the table.
    pub fn dc_resistance(
        &self,
        size: ConductorSize,
        metal: Metal,
        stranding: Stranding,
        coating: Coating,
    ) -> Option<Cited<LinearResistance>> {
        let row = self.rows.get(size)?;
        let strands = match stranding {
            Stranding::Solid => row.solid?,
            Stranding::Coarse | Stranding::Fine => row.stranded?,
        };
        let ohms = match (metal, coating) {
            (Metal::Copper, Coating::Plain) => strands.copper,
            (Metal::Copper, Coating::Tinned) => strands.copper_coated,
            (Metal::Aluminum, _) => strands.aluminum,
        };
        let resistance = LinearResistance::new(ohms, ReferenceLength::ThousandFeet);
        Some(Cited::new(resistance, SOURCE, strands.confidence))
    }

    /// The sizes of the table, from small to large.
    pub fn sizes(&self) -> impl DoubleEndedIterator<Item = ConductorSize> {
        self.rows.iter().map(|(size, _)| size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> ConductorProperties {
        ConductorProperties::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn resistances() {
        let table = table();
        let check = |size, metal, stranding, coating, expected: Option<f64>| {
            let found = table.dc_resistance(size, metal, stranding, coating);
            assert_eq!(found.map(|found| found.value.ohms().value()), expected, "{size}");
        };
        let (ten, four_aught) = (ConductorSize::Awg(10), ConductorSize::Awg(-3));
        check(ten, Metal::Copper, Stranding::Coarse, Coating::Plain, Some(1.24));
        check(ten, Metal::Copper, Stranding::Solid, Coating::Plain, Some(1.21));
        check(ten, Metal::Copper, Stranding::Fine, Coating::Tinned, Some(1.29));
        check(ten, Metal::Aluminum, Stranding::Coarse, Coating::Plain, Some(2.04));
        check(four_aught, Metal::Copper, Stranding::Coarse, Coating::Plain, Some(0.0608));
        check(four_aught, Metal::Copper, Stranding::Solid, Coating::Plain, None);
        check(ConductorSize::Metric(350), Metal::Copper, Stranding::Coarse, Coating::Plain, None);
    }

    #[test]
    fn areas() {
        let table = table();
        let area = |size| table.circular_mils(size).map(|found| found.value.value());
        assert_eq!(area(ConductorSize::Awg(8)), Some(16_510.0));
        assert_eq!(area(ConductorSize::Awg(6)), Some(26_240.0));
        assert_eq!(area(ConductorSize::Kcmil(250)), Some(250_000.0));
        // 0.005 in × 92^((36 − n)/39), squared, is the definition behind the table.
        for size in table.sizes() {
            let printed = area(size).unwrap();
            assert!((size.area().value() / printed - 1.0).abs() < 0.005, "{size}");
        }
    }

    #[test]
    fn resistance_goes_with_area() {
        // Copper of 100 % conductivity: 10.371 Ω·cmil/ft at 20 °C, times 1 + 0.00393 × 55 at 75 °C = 12.61;
        // in Ω/kft times cmil 12 610. Stranding adds 2 %, coating of thin strands up to 6 % more.
        let table = table();
        for size in table.sizes() {
            let row = table.rows.get(size).unwrap();
            for strands in [row.solid, row.stranded].into_iter().flatten() {
                let constant = strands.copper.value() * row.circular_mils.value() / 12_610.0;
                assert!((0.99..1.04).contains(&constant), "{size}: {constant}");
                let coated = strands.copper_coated / strands.copper;
                assert!((1.02..1.07).contains(&coated), "{size}: {coated}");
                let aluminum = strands.aluminum / strands.copper;
                assert!((aluminum - 1.64).abs() < 0.02, "{size}: {aluminum}");
            }
            if let (Some(solid), Some(stranded)) = (row.solid, row.stranded) {
                assert!(solid.copper < stranded.copper && solid.aluminum < stranded.aluminum, "{size}");
            }
        }
    }

    #[test]
    fn circles_have_their_area() {
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        for row in file.iter() {
            let diameter = row.number("diameter_in").unwrap();
            let circle = std::f64::consts::PI / 4.0 * diameter * diameter;
            // The area is printed to a thousandth of a square inch.
            assert!((row.number("area_in2").unwrap() - circle).abs() < 0.0016, "{row:?}");
            let square_mm = row.number("cmil").unwrap() * 5.067_074_8e-4;
            assert!((row.number("area_mm2").unwrap() / square_mm - 1.0).abs() < 0.005, "{row:?}");
        }
    }

    #[test]
    fn a_second_solid_row_is_refused() {
        let text = "# source: a test\nsize,cmil,strands,cu_uncoated,cu_coated,al,confidence\n\
                    14,4110,1,3.07,3.19,5.06,recalled\n14,4110,1,3.07,3.19,5.06,recalled\n";
        let fault = ConductorProperties::parse(&TableFile { name: "assets/codes/test.csv", text });
        assert_eq!(fault.map_err(|fault| (fault.line, fault.column)).err(), Some((4, "strands".to_owned())));
    }
}
