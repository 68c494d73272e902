//! What the trade letters of conductor insulations stand for.
//!
//! The letters themselves are [`Insulation`] of the core; areas of insulated conductors are in
//! `conductor_area.rs`.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::Insulation;
use lineside_core::units::Celsius;

pub(crate) const FILE: TableFile = table_file!("common/insulations.csv");

/// Whether the rule sets of the NEC or the IEC know an insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InsulationFamily {
    /// American letters.
    Nec,
    /// Metric cable.
    Iec,
}

/// What an insulation does when it gets too hot; decides how hot a short circuit may make it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InsulationStructure {
    /// It softens: PVC, nylon.
    Thermoplastic,
    /// It keeps its shape: cross-linked polyethylene, rubber.
    Thermoset,
}

/// Whether an insulation withstands sunlight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sunlight {
    /// By its type.
    Resistant,
    /// Only where so marked.
    WhenMarked,
    /// Not.
    NotResistant,
}

/// Whether conductors lie in a dry or a wet location.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Moisture {
    /// Dry or damp.
    Dry,
    /// Wet: underground, in concrete, in raceways outdoors.
    Wet,
}

/// Whether something may be done with an insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Suitability {
    /// It may.
    Suitable,
    /// It may not.
    Unsuitable,
}

/// What an insulation is good for.
#[derive(Clone, Debug, PartialEq)]
pub struct InsulationFacts {
    /// Whose letters they are.
    pub family: InsulationFamily,
    /// Conductor temperature rating in dry and damp places; `None` when it has none.
    pub dry: Option<Celsius>,
    /// Conductor temperature rating in wet places; `None` when it is not for them.
    pub wet: Option<Celsius>,
    /// What heat does to it.
    pub structure: InsulationStructure,
    /// Whether it withstands sunlight.
    pub sunlight: Sunlight,
    /// As wiring that stays: whether it is a listed type of building wire or PV cable.
    pub building_wire: Suitability,
    /// Inside of buildings, in its raceway.
    pub indoors: Suitability,
    /// Where it stands.
    pub clause: String,
    /// How sure the row is.
    pub confidence: Confidence,
}

impl InsulationFacts {
    /// The conductor temperature rating for such a place.
    pub const fn temperature(&self, moisture: Moisture) -> Option<Celsius> {
        match moisture {
            Moisture::Dry => self.dry,
            Moisture::Wet => self.wet,
        }
    }
    /// The row's clause beside a value of the row.
    pub fn cite<T>(&self, value: T) -> Cited<T> {
        Cited { value, source: self.clause.clone().into(), confidence: self.confidence }
    }
}

/// The table of insulations.
#[derive(Clone, Debug)]
pub struct Insulations {
    /// In the order of [`Insulation::ALL`].
    rows: Vec<InsulationFacts>,
}

impl Insulations {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut rows = Vec::new();
        for row in table.iter() {
            let insulation = row.one_of("insulation", Insulation::ALL, Insulation::key)?;
            if insulation as usize != rows.len() {
                return Err(row.error(
                    "insulation",
                    "insulations in the order of the core",
                    insulation.key(),
                ));
            }
            rows.push(InsulationFacts {
                family: named(row.one_of("family", &FAMILIES, |it| it.0)?),
                dry: row.optional_quantity("dry_c")?,
                wet: row.optional_quantity("wet_c")?,
                structure: named(row.one_of("structure", &STRUCTURES, |it| it.0)?),
                sunlight: named(row.one_of("sunlight", &SUNLIGHT, |it| it.0)?),
                building_wire: named(row.one_of("building_wire", &SUITABILITY, |it| it.0)?),
                indoors: named(row.one_of("indoors", &SUITABILITY, |it| it.0)?),
                clause: row.filled("clause")?.to_owned(),
                confidence: row.confidence("confidence")?,
            });
        }
        if rows.len() < Insulation::ALL.len() {
            return Err(table.error("a row for every insulation", &format!("{} rows", rows.len())));
        }
        Ok(Self { rows })
    }

    /// The row of an insulation. `None` never happens for a table that was read: each insulation has a row.
    pub fn find(&self, insulation: Insulation) -> Option<&InsulationFacts> {
        self.rows.get(insulation as usize)
    }
}

const FAMILIES: [(&str, InsulationFamily); 2] =
    [("nec", InsulationFamily::Nec), ("iec", InsulationFamily::Iec)];
const STRUCTURES: [(&str, InsulationStructure); 2] =
    [("thermoplastic", InsulationStructure::Thermoplastic), ("thermoset", InsulationStructure::Thermoset)];
const SUNLIGHT: [(&str, Sunlight); 3] =
    [("yes", Sunlight::Resistant), ("marked", Sunlight::WhenMarked), ("no", Sunlight::NotResistant)];
const SUITABILITY: [(&str, Suitability); 2] =
    [("yes", Suitability::Suitable), ("no", Suitability::Unsuitable)];

fn named<T>((_, value): (&'static str, T)) -> T {
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(insulation: Insulation) -> InsulationFacts {
        let table = Insulations::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        table.find(insulation).cloned().unwrap_or_else(|| panic!("{}", insulation.key()))
    }

    #[test]
    fn wet_and_dry_ratings() {
        let check = |insulation, dry: Option<f64>, wet: Option<f64>| {
            let facts = facts(insulation);
            assert_eq!(facts.temperature(Moisture::Dry), dry.map(Celsius::new), "{}", insulation.key());
            assert_eq!(facts.temperature(Moisture::Wet), wet.map(Celsius::new), "{}", insulation.key());
        };
        check(Insulation::Thhn, Some(90.0), Some(75.0));
        check(Insulation::Thwn2, Some(90.0), Some(90.0));
        check(Insulation::Tw, Some(60.0), Some(60.0));
        check(Insulation::Welding, None, None);
        check(Insulation::Pvc70, Some(70.0), Some(70.0));
    }

    #[test]
    fn what_each_is_good_for() {
        let pv = facts(Insulation::PvWire);
        assert_eq!((pv.sunlight, pv.structure), (Sunlight::Resistant, InsulationStructure::Thermoset));
        assert_eq!(facts(Insulation::Welding).building_wire, Suitability::Unsuitable);
        assert_eq!(facts(Insulation::Use2).indoors, Suitability::Unsuitable);
        assert_eq!(facts(Insulation::Thwn2).structure, InsulationStructure::Thermoplastic);
        assert_eq!(facts(Insulation::Xlpe90).family, InsulationFamily::Iec);
    }

    #[test]
    fn ratings_are_those_of_the_ampacity_columns() {
        for insulation in Insulation::ALL {
            let facts = facts(*insulation);
            for rating in [facts.dry, facts.wet].into_iter().flatten() {
                let known: &[f64] = match facts.family {
                    InsulationFamily::Nec => &[60.0, 75.0, 90.0],
                    InsulationFamily::Iec => &[70.0, 90.0, 120.0],
                };
                assert!(known.contains(&rating.value()), "{}", insulation.key());
            }
            assert!(facts.wet <= facts.dry, "{}", insulation.key());
        }
    }
}
