//! Current-carrying capacity of the IEC: IEC 60364-5-52 tables B.52.2 to B.52.5, B.52.10 and B.52.12,
//! copper, 30 °C in air or 20 °C in the ground.
//!
//! Corrections are in `iec_ambient.rs`, `iec_grouping.rs` and `iec_soil.rs`; PV cable is in `pv_cable.rs`; how
//! they come together is in [`crate::ampacity`].

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::circuit::{Metal, Method};
use lineside_core::units::{Amps, Celsius, ConductorSize, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("iec/iec-60364-5-52.csv");

/// Insulation by the columns of the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CableInsulation {
    /// PVC, conductor to 70 °C.
    Pvc70,
    /// XLPE or EPR, conductor to 90 °C.
    Xlpe90,
}

impl CableInsulation {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Pvc70, Self::Xlpe90];

    const fn key(self) -> &'static str {
        match self {
            Self::Pvc70 => "pvc",
            Self::Xlpe90 => "xlpe",
        }
    }
    /// The conductor temperature of its columns.
    pub const fn celsius(self) -> Celsius {
        Celsius::new(match self {
            Self::Pvc70 => 70.0,
            Self::Xlpe90 => 90.0,
        })
    }
}

/// Conductors of one circuit that carry current: two for DC and one phase, three for three phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LoadedConductors {
    /// DC and single-phase circuits.
    Two,
    /// Three-phase circuits.
    Three,
}

impl LoadedConductors {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Two, Self::Three];

    /// How many they are.
    pub const fn count(self) -> u32 {
        match self {
            Self::Two => 2,
            Self::Three => 3,
        }
    }
    const fn key(self) -> &'static str {
        match self {
            Self::Two => "2",
            Self::Three => "3",
        }
    }
}

#[derive(Clone, Debug)]
struct Column {
    insulation: CableInsulation,
    method: Method,
    loaded: LoadedConductors,
    source: &'static str,
    capacities: BySize<(Amps, Confidence)>,
}

/// The tables of current-carrying capacity.
#[derive(Clone, Debug)]
pub struct IecCapacity {
    columns: Vec<Column>,
}

const TABLES: [(&str, &str); 6] = [
    ("B.52.2", "IEC 60364-5-52 Table B.52.2"),
    ("B.52.3", "IEC 60364-5-52 Table B.52.3"),
    ("B.52.4", "IEC 60364-5-52 Table B.52.4"),
    ("B.52.5", "IEC 60364-5-52 Table B.52.5"),
    ("B.52.10", "IEC 60364-5-52 Table B.52.10"),
    ("B.52.12", "IEC 60364-5-52 Table B.52.12"),
];

impl IecCapacity {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut columns: Vec<Column> = Vec::new();
        for row in file.read()?.iter() {
            row.one_of("metal", &["cu"], |metal| metal)?;
            let (_, source) = row.one_of("table", &TABLES, |it| it.0)?;
            let insulation = row.one_of("insulation", &CableInsulation::ALL, CableInsulation::key)?;
            if row.quantity::<Celsius>("conductor_c")? != insulation.celsius() {
                return Err(row.error(
                    "conductor_c",
                    "the insulation's temperature",
                    row.text("conductor_c")?,
                ));
            }
            let method = row.one_of("method", Method::ALL, Method::label)?;
            let loaded = row.one_of("loaded", &LoadedConductors::ALL, LoadedConductors::key)?;
            let capacity = (row.quantity("ampere")?, row.confidence("confidence")?);
            let same = |column: &&mut Column| {
                (column.insulation, column.method, column.loaded) == (insulation, method, loaded)
            };
            if let Some(column) = columns.iter_mut().find(same) {
                column.capacities.push(row, "mm2", capacity)?;
            } else {
                let mut capacities = BySize::new(UnitSystem::Si);
                capacities.push(row, "mm2", capacity)?;
                columns.push(Column { insulation, method, loaded, source, capacities });
            }
        }
        Ok(Self { columns })
    }

    /// Capacity of a circuit before corrections. `None` where no table has it: aluminum, sizes beyond the
    /// table, methods that are not tabulated for so many loaded conductors.
    pub fn find(
        &self,
        size: ConductorSize,
        metal: Metal,
        insulation: CableInsulation,
        method: Method,
        loaded: LoadedConductors,
    ) -> Option<Cited<Amps>> {
        if metal != Metal::Copper {
            return None;
        }
        let column = self.columns.iter().find(|column| {
            (column.insulation, column.method, column.loaded) == (insulation, method, loaded)
        })?;
        let (capacity, confidence) = *column.capacities.get(size)?;
        Some(Cited::new(capacity, column.source, confidence))
    }

    /// The sizes of a column, from small to large; none when there is no such column.
    pub fn sizes(
        &self,
        insulation: CableInsulation,
        method: Method,
        loaded: LoadedConductors,
    ) -> impl DoubleEndedIterator<Item = ConductorSize> {
        let wanted = (insulation, method, loaded);
        let column =
            self.columns.iter().find(|column| (column.insulation, column.method, column.loaded) == wanted);
        column.into_iter().flat_map(|column| column.capacities.iter().map(|(size, _)| size))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use CableInsulation::{Pvc70, Xlpe90};
    use LoadedConductors::{Three, Two};

    fn table() -> IecCapacity {
        IecCapacity::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    fn amps(
        table: &IecCapacity,
        tenths: u16,
        insulation: CableInsulation,
        method: Method,
        loaded: LoadedConductors,
    ) -> Option<f64> {
        let size = ConductorSize::Metric(tenths);
        table.find(size, Metal::Copper, insulation, method, loaded).map(|found| found.value.value())
    }

    #[test]
    fn capacities() {
        let table = table();
        assert_eq!(amps(&table, 40, Pvc70, Method::B1, Two), Some(32.0));
        assert_eq!(amps(&table, 250, Pvc70, Method::B1, Two), Some(101.0));
        assert_eq!(amps(&table, 350, Pvc70, Method::B1, Two), Some(125.0));
        assert_eq!(amps(&table, 350, Xlpe90, Method::B1, Two), Some(164.0));
        assert_eq!(amps(&table, 250, Pvc70, Method::B1, Three), Some(89.0));
        assert_eq!(amps(&table, 15, Pvc70, Method::A1, Two), Some(14.5));
        assert_eq!(amps(&table, 700, Xlpe90, Method::F, Two), Some(310.0));
    }

    #[test]
    fn what_no_table_has() {
        let table = table();
        assert_eq!(amps(&table, 40, Pvc70, Method::F, Two), None);
        assert_eq!(amps(&table, 40, Pvc70, Method::E, Three), None);
        assert_eq!(amps(&table, 40, Xlpe90, Method::Surface, Two), None);
        assert_eq!(amps(&table, 4000, Pvc70, Method::B1, Two), None);
        let aluminum = table.find(ConductorSize::Metric(350), Metal::Aluminum, Pvc70, Method::B1, Two);
        assert_eq!(aluminum, None);
        assert_eq!(table.find(ConductorSize::Awg(4), Metal::Copper, Pvc70, Method::B1, Two), None);
    }

    #[test]
    fn capacity_rises_with_the_size() {
        for column in &table().columns {
            let rising: Vec<Amps> = column.capacities.iter().map(|(_, (amps, _))| *amps).collect();
            assert!(rising.len() >= 10, "{:?}", column.method);
            assert!(rising.windows(2).all(|pair| pair[0] < pair[1]), "{:?}", column.method);
        }
    }

    #[test]
    fn methods_stand_in_the_order_of_their_cooling() {
        let table = table();
        for insulation in CableInsulation::ALL {
            for size in table.sizes(insulation, Method::A1, Two) {
                let ConductorSize::Metric(tenths) = size else { panic!("{size} is not metric") };
                let at = |method| amps(&table, tenths, insulation, method, Two).unwrap_or(f64::INFINITY);
                let order = [Method::A2, Method::A1, Method::B1, Method::C, Method::E, Method::F];
                let cooling: Vec<f64> = order.into_iter().map(at).collect();
                assert!(cooling.is_sorted(), "{size} {insulation:?}: {cooling:?}");
                assert!(at(Method::B2) < at(Method::B1), "{size} {insulation:?}");
            }
        }
    }

    #[test]
    fn three_loaded_conductors_carry_less_than_two_and_xlpe_more_than_pvc() {
        let table = table();
        let mut compared = 0;
        for column in &table.columns {
            for (size, (capacity, _)) in column.capacities.iter() {
                let other = |insulation, loaded| {
                    table.find(size, Metal::Copper, insulation, column.method, loaded).map(|it| it.value)
                };
                if let (Two, Some(three)) = (column.loaded, other(column.insulation, Three)) {
                    assert!((0.75..0.92).contains(&(three / *capacity)), "{size} {:?}", column.method);
                    compared += 1;
                }
                if let (Pvc70, Some(xlpe)) = (column.insulation, other(Xlpe90, column.loaded)) {
                    // sqrt((90 − 30) / (70 − 30)) = 1.22 in air, sqrt(70/50) = 1.18 in the ground
                    assert!((1.10..1.36).contains(&(xlpe / *capacity)), "{size} {:?}", column.method);
                    compared += 1;
                }
            }
        }
        assert!(compared > 200);
    }
}
