//! Areas of insulated conductors: NEC Chapter 9 Table 5.
//!
//! Areas of bare conductors are in `conductor_properties.rs`, those of raceways in `raceway_area.rs`.

use super::raceway_area::inches;
use crate::by_size::{BySize, compare_sizes};
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Insulation;
use lineside_core::units::{ConductorSize, Millimeters, SquareCentimeters, UnitSystem};
use std::cmp::Ordering;

pub(crate) const FILE: TableFile = table_file!("nec/nec-ch9-t5-area-thwn2.csv");

/// The columns of the table.
#[derive(Clone, Copy, Debug)]
enum Column {
    Thwn2,
    Xhhw2,
    Rhw2,
}

#[derive(Clone, Copy, Debug)]
struct Outside {
    diameter: Millimeters,
    area: SquareCentimeters,
    confidence: Confidence,
}

/// The table of insulated conductors.
#[derive(Clone, Debug)]
pub struct ConductorArea {
    rows: BySize<[Outside; 3]>,
}

/// From this size up THW is as thick as RHW-2 without an outer covering.
const THW_FROM: ConductorSize = ConductorSize::Awg(6);

impl ConductorArea {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let rows = BySize::from_rows(&file.read()?, "size", UnitSystem::Us, |row| {
            let outside = |diameter, area, confidence| {
                Ok(Outside {
                    diameter: inches(row, diameter, "in")?,
                    area: inches(row, area, "in²")?,
                    confidence: row.confidence(confidence)?,
                })
            };
            Ok([
                outside("thwn2_dia", "thwn2_area", "confidence")?,
                outside("xhhw2_dia", "xhhw2_area", "confidence")?,
                outside("rhw2_dia", "rhw2_area", "confidence_rhw2")?,
            ])
        })?;
        Ok(Self { rows })
    }

    /// Area of an insulated conductor. `None` where the table is silent: PV wire and welding cable vary by
    /// maker, whose data must be used.
    pub fn area(&self, size: ConductorSize, insulation: Insulation) -> Option<Cited<SquareCentimeters>> {
        let (outside, source) = self.outside(size, insulation)?;
        Some(Cited::new(outside.area, source, outside.confidence))
    }

    /// Diameter of an insulated conductor; `None` as for [`Self::area`].
    pub fn diameter(&self, size: ConductorSize, insulation: Insulation) -> Option<Cited<Millimeters>> {
        let (outside, source) = self.outside(size, insulation)?;
        Some(Cited::new(outside.diameter, source, outside.confidence))
    }

    fn outside(&self, size: ConductorSize, insulation: Insulation) -> Option<(Outside, &'static str)> {
        const SOURCE: &str = "Chapter 9 Table 5";
        const STAND_IN: &str = "Chapter 9 Table 5, RHW-2 for USE-2";
        let (column, source) = match insulation {
            Insulation::Thhn | Insulation::Thwn2 => (Column::Thwn2, SOURCE),
            Insulation::Xhhw2 => (Column::Xhhw2, SOURCE),
            Insulation::Rhw | Insulation::Rhw2 => (Column::Rhw2, SOURCE),
            Insulation::Use2 => (Column::Rhw2, STAND_IN),
            Insulation::Thw if compare_sizes(size, THW_FROM) != Some(Ordering::Less) => {
                (Column::Rhw2, SOURCE)
            }
            Insulation::Thw
            | Insulation::Tw
            | Insulation::PvWire
            | Insulation::Welding
            | Insulation::Pvc70
            | Insulation::Xlpe90
            | Insulation::PvCable => return None,
        };
        Some((*self.rows.get(size)?.get(column as usize)?, source))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> ConductorArea {
        ConductorArea::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn areas() {
        let table = table();
        let check = |size, insulation, expected: Option<f64>| {
            // 1 in² = 6.4516 cm²
            let found = table.area(size, insulation).map(|found| found.value.value() / 6.4516);
            let near = match (found, expected) {
                (Some(found), Some(expected)) => (found - expected).abs() < 1e-12,
                (found, expected) => found == expected,
            };
            assert!(near, "{size} {insulation:?}: {found:?}");
        };
        check(ConductorSize::Awg(0), Insulation::Thwn2, Some(0.1855));
        check(ConductorSize::Awg(4), Insulation::Thwn2, Some(0.0824));
        check(ConductorSize::Awg(8), Insulation::Thhn, Some(0.0366));
        check(ConductorSize::Awg(8), Insulation::Xhhw2, Some(0.0437));
        check(ConductorSize::Awg(6), Insulation::Thw, Some(0.0726));
        check(ConductorSize::Awg(8), Insulation::Thw, None);
        check(ConductorSize::Awg(10), Insulation::PvWire, None);
        check(ConductorSize::Metric(100), Insulation::Thwn2, None);
        let stand_in = table.area(ConductorSize::Awg(10), Insulation::Use2);
        assert!(stand_in.is_some_and(|found| found.source.ends_with("RHW-2 for USE-2")));
    }

    #[test]
    fn circles_have_their_area_and_grow() {
        let table = table();
        for column in 0..3 {
            let outsides: Vec<Outside> = table.rows.iter().map(|(_, row)| row[column]).collect();
            for outside in &outsides {
                let diameter_cm = outside.diameter.value() / 10.0;
                let circle = std::f64::consts::PI / 4.0 * diameter_cm * diameter_cm;
                assert!((outside.area.value() / circle - 1.0).abs() < 0.01, "{}", outside.area);
            }
            assert!(outsides.windows(2).all(|pair| pair[0].area < pair[1].area));
        }
        for (size, row) in table.rows.iter() {
            assert!(row[0].area < row[2].area && row[1].area < row[2].area, "{size}");
        }
    }
}
