//! Ampacities of the NEC: Table 310.16 (raceway, cable, earth) and Table 310.17 (single, in free air); in
//! the 2017 edition 310.15(B)(16) and (17). All for 30 °C ambient.
//!
//! Corrections for ambient and bundling are in `nec_ambient.rs` and `nec_bundling.rs`; how they come together
//! is in [`crate::ampacity`].

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::edition::NecEdition;
use crate::table_error::TableError;
use crate::table_file::{Row, TableFile, table_file};
use lineside_core::circuit::Metal;
use lineside_core::units::{Amps, Celsius, ConductorSize, UnitSystem};

pub(crate) const RACEWAY: TableFile = table_file!("nec/nec-310-16.csv");
pub(crate) const FREE_AIR: TableFile = table_file!("nec/nec-310-17.csv");

/// A column of the ampacity tables: the temperature for which a conductor or a terminal is rated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConductorTemperature {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

impl ConductorTemperature {
    /// Every column, cool to hot.
    pub const ALL: [Self; 3] = [Self::C60, Self::C75, Self::C90];

    /// The temperature.
    pub const fn celsius(self) -> Celsius {
        Celsius::new(match self {
            Self::C60 => 60.0,
            Self::C75 => 75.0,
            Self::C90 => 90.0,
        })
    }
    /// The hottest column that is not above a rating; `None` below 60 °C.
    pub fn not_above(rating: Celsius) -> Option<Self> {
        Self::ALL.into_iter().rfind(|column| column.celsius() <= rating)
    }
}

/// Which of the two ampacity tables holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Installation {
    /// Raceway, cable or earth, not more than three current-carrying conductors.
    Raceway,
    /// A single conductor in free air.
    FreeAir,
}

/// Ampacities of one size, by column, and how sure they are.
#[derive(Clone, Copy, Debug)]
struct Ampacities {
    copper: [Option<Amps>; 3],
    aluminum: [Option<Amps>; 3],
    copper_confidence: Confidence,
    aluminum_confidence: Confidence,
}

/// Both ampacity tables.
#[derive(Clone, Debug)]
pub struct NecAmpacity {
    raceway: BySize<Ampacities>,
    free_air: BySize<Ampacities>,
}

impl NecAmpacity {
    pub(crate) fn parse(raceway: &TableFile, free_air: &TableFile) -> Result<Self, TableError> {
        let raceway = BySize::from_rows(&raceway.read()?, "size", UnitSystem::Us, |row| {
            ampacities(row, row.confidence("confidence")?, row.confidence("confidence")?)
        })?;
        let free_air = BySize::from_rows(&free_air.read()?, "size", UnitSystem::Us, |row| {
            let copper = row.confidence("confidence_cu")?;
            // Sizes without an aluminum ampacity have no confidence of one either.
            let aluminum = match row.text("confidence_al")? {
                "" => copper,
                _ => row.confidence("confidence_al")?,
            };
            ampacities(row, copper, aluminum)
        })?;
        Ok(Self { raceway, free_air })
    }

    /// Ampacity of one conductor at 30 °C. `None` where the table has no row for the size or the cell is
    /// empty: then the conductor is not permitted or not listed.
    pub fn find(
        &self,
        edition: NecEdition,
        size: ConductorSize,
        metal: Metal,
        column: ConductorTemperature,
        installation: Installation,
    ) -> Option<Cited<Amps>> {
        let row = self.table(installation).get(size)?;
        let (cells, confidence) = match metal {
            Metal::Copper => (&row.copper, row.copper_confidence),
            Metal::Aluminum => (&row.aluminum, row.aluminum_confidence),
        };
        let ampacity = cells.get(column as usize).copied().flatten()?;
        Some(Cited::new(ampacity, source(edition, column, installation), confidence))
    }

    /// The sizes of a table, from small to large.
    pub fn sizes(&self, installation: Installation) -> impl DoubleEndedIterator<Item = ConductorSize> {
        self.table(installation).iter().map(|(size, _)| size)
    }

    const fn table(&self, installation: Installation) -> &BySize<Ampacities> {
        match installation {
            Installation::Raceway => &self.raceway,
            Installation::FreeAir => &self.free_air,
        }
    }
}

/// The table's name without a column.
pub(crate) const fn table_name(edition: NecEdition, installation: Installation) -> &'static str {
    match (edition, installation) {
        (NecEdition::Nec2017, Installation::Raceway) => "Table 310.15(B)(16)",
        (NecEdition::Nec2017, Installation::FreeAir) => "Table 310.15(B)(17)",
        (NecEdition::Nec2020 | NecEdition::Nec2023, Installation::Raceway) => "Table 310.16",
        (NecEdition::Nec2020 | NecEdition::Nec2023, Installation::FreeAir) => "Table 310.17",
    }
}

const fn source(
    edition: NecEdition,
    column: ConductorTemperature,
    installation: Installation,
) -> &'static str {
    use ConductorTemperature::{C60, C75, C90};
    match (edition, installation, column) {
        (NecEdition::Nec2017, Installation::Raceway, C60) => "Table 310.15(B)(16), 60 °C",
        (NecEdition::Nec2017, Installation::Raceway, C75) => "Table 310.15(B)(16), 75 °C",
        (NecEdition::Nec2017, Installation::Raceway, C90) => "Table 310.15(B)(16), 90 °C",
        (NecEdition::Nec2017, Installation::FreeAir, C60) => "Table 310.15(B)(17), 60 °C",
        (NecEdition::Nec2017, Installation::FreeAir, C75) => "Table 310.15(B)(17), 75 °C",
        (NecEdition::Nec2017, Installation::FreeAir, C90) => "Table 310.15(B)(17), 90 °C",
        (_, Installation::Raceway, C60) => "Table 310.16, 60 °C",
        (_, Installation::Raceway, C75) => "Table 310.16, 75 °C",
        (_, Installation::Raceway, C90) => "Table 310.16, 90 °C",
        (_, Installation::FreeAir, C60) => "Table 310.17, 60 °C",
        (_, Installation::FreeAir, C75) => "Table 310.17, 75 °C",
        (_, Installation::FreeAir, C90) => "Table 310.17, 90 °C",
    }
}

fn ampacities(row: Row<'_>, copper: Confidence, aluminum: Confidence) -> Result<Ampacities, TableError> {
    Ok(Ampacities {
        copper: [
            row.optional_quantity("cu60")?,
            row.optional_quantity("cu75")?,
            row.optional_quantity("cu90")?,
        ],
        aluminum: [
            row.optional_quantity("al60")?,
            row.optional_quantity("al75")?,
            row.optional_quantity("al90")?,
        ],
        copper_confidence: copper,
        aluminum_confidence: aluminum,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use ConductorTemperature::{C60, C75, C90};
    use Installation::{FreeAir, Raceway};

    const BOTH: [Installation; 2] = [Raceway, FreeAir];

    fn tables() -> NecAmpacity {
        NecAmpacity::parse(&RACEWAY, &FREE_AIR).unwrap_or_else(|fault| panic!("{fault}"))
    }

    fn amps(
        tables: &NecAmpacity,
        size: ConductorSize,
        metal: Metal,
        column: ConductorTemperature,
        laid: Installation,
    ) -> Option<f64> {
        tables.find(NecEdition::Nec2023, size, metal, column, laid).map(|found| found.value.value())
    }

    #[test]
    fn ampacities_of_the_worked_systems() {
        let tables = tables();
        let check = |size: &str, column, laid, expected| {
            let size = ConductorSize::read(size).unwrap_or_else(|fault| panic!("{fault}"));
            assert_eq!(amps(&tables, size, Metal::Copper, column, laid), Some(expected), "{size}");
        };
        check("10", C90, FreeAir, 55.0);
        check("10", C90, Raceway, 40.0);
        check("10", C75, Raceway, 35.0);
        check("4", C60, Raceway, 70.0);
        check("1/0", C90, Raceway, 170.0);
        check("4/0", C75, Raceway, 230.0);
        check("250", C75, Raceway, 255.0);
    }

    #[test]
    fn an_empty_cell_permits_nothing() {
        let tables = tables();
        assert_eq!(amps(&tables, ConductorSize::Awg(18), Metal::Copper, C75, Raceway), None);
        assert_eq!(amps(&tables, ConductorSize::Awg(18), Metal::Copper, C90, Raceway), Some(14.0));
        assert_eq!(amps(&tables, ConductorSize::Awg(14), Metal::Aluminum, C75, Raceway), None);
        assert_eq!(amps(&tables, ConductorSize::Metric(350), Metal::Copper, C75, Raceway), None);
        assert_eq!(amps(&tables, ConductorSize::Awg(5), Metal::Copper, C75, Raceway), None);
    }

    #[test]
    fn each_edition_has_its_own_clause() {
        let tables = tables();
        let source = |edition, laid| {
            let found = tables.find(edition, ConductorSize::Awg(4), Metal::Copper, C75, laid);
            found.map(|found| found.source.into_owned()).unwrap_or_default()
        };
        assert_eq!(source(NecEdition::Nec2023, Raceway), "Table 310.16, 75 °C");
        assert_eq!(source(NecEdition::Nec2020, FreeAir), "Table 310.17, 75 °C");
        assert_eq!(source(NecEdition::Nec2017, Raceway), "Table 310.15(B)(16), 75 °C");
        for edition in NecEdition::ALL {
            for laid in BOTH {
                assert!(source(edition, laid).starts_with(table_name(edition, laid)));
            }
        }
    }

    #[test]
    fn ampacities_rise_with_the_size() {
        let tables = tables();
        for laid in BOTH {
            for metal in [Metal::Copper, Metal::Aluminum] {
                for column in ConductorTemperature::ALL {
                    let rising: Vec<f64> = tables
                        .sizes(laid)
                        .filter_map(|size| amps(&tables, size, metal, column, laid))
                        .collect();
                    assert!(rising.len() > 20);
                    assert!(rising.windows(2).all(|pair| pair[0] < pair[1]), "{laid:?} {metal:?} {column:?}");
                }
            }
        }
    }

    #[test]
    fn columns_stand_in_the_ratio_of_their_heat() {
        // Ampacity goes with the square root of the rise over 30 °C: sqrt(45/30) = 1.22 for 75 over 60 °C,
        // sqrt(60/45) = 1.15 for 90 over 75 °C; the table rounds to 5 A.
        let tables = tables();
        for laid in BOTH {
            for metal in [Metal::Copper, Metal::Aluminum] {
                for size in tables.sizes(laid) {
                    let at = |column| amps(&tables, size, metal, column, laid);
                    if let (Some(a), Some(b), Some(c)) = (at(C60), at(C75), at(C90)) {
                        let tolerance = 0.05 + 5.0 / a;
                        assert!((b / a - 1.20).abs() < tolerance, "{size} {metal:?} {laid:?}");
                        assert!((c / b - 1.13).abs() < tolerance, "{size} {metal:?} {laid:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn free_air_is_not_below_raceway_and_aluminum_not_above_copper() {
        let tables = tables();
        for size in tables.sizes(FreeAir) {
            for column in ConductorTemperature::ALL {
                for metal in [Metal::Copper, Metal::Aluminum] {
                    let raceway = amps(&tables, size, metal, column, Raceway);
                    let free = amps(&tables, size, metal, column, FreeAir);
                    assert_eq!(raceway.is_some(), free.is_some(), "{size} {column:?} {metal:?}");
                    assert!(free >= raceway, "{size} {column:?} {metal:?}");
                }
                for laid in BOTH {
                    let copper = amps(&tables, size, Metal::Copper, column, laid);
                    let aluminum = amps(&tables, size, Metal::Aluminum, column, laid);
                    assert!(aluminum < copper || copper.is_none(), "{size} {column:?} {laid:?}");
                }
            }
        }
    }

    #[test]
    fn a_rating_finds_its_column() {
        let check = |rating, expected| {
            assert_eq!(ConductorTemperature::not_above(Celsius::new(rating)), expected, "{rating}");
        };
        check(60.0, Some(C60));
        check(74.9, Some(C60));
        check(75.0, Some(C75));
        check(105.0, Some(C90));
        check(59.9, None);
    }
}
