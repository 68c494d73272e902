//! PV cable: IEC 62930 and EN 50618 annex A, ampacity at 60 °C ambient and 120 °C conductor, with its ambient
//! correction.

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::{Amps, Celsius, ConductorSize, UnitSystem};

pub(crate) const AMPACITY: TableFile = table_file!("iec/iec-62930-pv-cable.csv");
pub(crate) const AMBIENT: TableFile = table_file!("iec/iec-62930-ambient.csv");
pub(crate) const SOURCE: &str = "IEC 62930 annex A";

/// How a PV cable lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PvCableLaying {
    /// One cable in free air.
    FreeAir,
    /// One cable on a surface.
    OnSurface,
    /// Two loaded cables side by side on a surface.
    TwoOnSurface,
}

#[derive(Clone, Copy, Debug)]
struct Ampacities {
    free_air: Amps,
    on_surface: Amps,
    two_on_surface: Amps,
    confidence: Confidence,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    to: Celsius,
    factor: f64,
    confidence: Confidence,
}

/// The tables of PV cable.
#[derive(Clone, Debug)]
pub struct PvCable {
    ampacities: BySize<Ampacities>,
    ambient: Vec<Step>,
}

impl PvCable {
    pub(crate) fn parse(ampacity: &TableFile, ambient: &TableFile) -> Result<Self, TableError> {
        let ampacities = BySize::from_rows(&ampacity.read()?, "mm2", UnitSystem::Si, |row| {
            Ok(Ampacities {
                free_air: row.quantity("free_air")?,
                on_surface: row.quantity("on_surface")?,
                two_on_surface: row.quantity("two_on_surface")?,
                confidence: row.confidence("confidence")?,
            })
        })?;
        let mut steps: Vec<Step> = Vec::new();
        for row in ambient.read()?.iter() {
            let step = Step {
                to: row.quantity("celsius")?,
                factor: row.positive("factor")?,
                confidence: row.confidence("confidence")?,
            };
            if steps.last().is_some_and(|last| last.to >= step.to || last.factor <= step.factor) {
                return Err(row.error("celsius", "rising temperatures", row.text("celsius")?));
            }
            steps.push(step);
        }
        Ok(Self { ampacities, ambient: steps })
    }

    /// Ampacity of one cable at 60 °C ambient; `None` for a size that is not in the table.
    pub fn ampacity(&self, size: ConductorSize, laying: PvCableLaying) -> Option<Cited<Amps>> {
        let row = self.ampacities.get(size)?;
        let ampacity = match laying {
            PvCableLaying::FreeAir => row.free_air,
            PvCableLaying::OnSurface => row.on_surface,
            PvCableLaying::TwoOnSurface => row.two_on_surface,
        };
        Some(Cited::new(ampacity, SOURCE, row.confidence))
    }

    /// Factor on the ampacity, from the row of the next warmer temperature; `None` where none is permitted.
    pub fn ambient_factor(&self, ambient: Celsius) -> Option<Cited<f64>> {
        let step = self.ambient.iter().find(|step| step.to >= ambient)?;
        Some(Cited::new(step.factor, SOURCE, step.confidence))
    }

    /// The sizes of the table, from small to large.
    pub fn sizes(&self) -> impl DoubleEndedIterator<Item = ConductorSize> {
        self.ampacities.iter().map(|(size, _)| size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table() -> PvCable {
        PvCable::parse(&AMPACITY, &AMBIENT).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn ampacities_and_ambients() {
        let table = table();
        let amps = |tenths, laying| {
            table.ampacity(ConductorSize::Metric(tenths), laying).map(|found| found.value.value())
        };
        assert_eq!(amps(40, PvCableLaying::TwoOnSurface), Some(44.0));
        assert_eq!(amps(60, PvCableLaying::TwoOnSurface), Some(57.0));
        assert_eq!(amps(40, PvCableLaying::FreeAir), Some(55.0));
        assert_eq!(amps(1500, PvCableLaying::FreeAir), None);
        let factor = |ambient| table.ambient_factor(Celsius::new(ambient)).map(|found| found.value);
        assert_eq!(factor(30.0), Some(1.0));
        assert_eq!(factor(60.0), Some(1.0));
        assert_eq!(factor(60.5), Some(0.92));
        assert_eq!(factor(90.0), Some(0.75));
        assert_eq!(factor(90.5), None);
    }

    #[test]
    fn order_and_ratios() {
        let table = table();
        let rows: Vec<_> = table.ampacities.iter().collect();
        assert!(rows.windows(2).all(|pair| pair[0].1.free_air < pair[1].1.free_air));
        for (size, row) in rows {
            let surface = row.on_surface / row.free_air;
            let two = row.two_on_surface / row.on_surface;
            assert!((0.94..1.0).contains(&surface), "{size}: {surface}");
            assert!((0.82..0.88).contains(&two), "{size}: {two}");
            assert_eq!(row.confidence, Confidence::Recalled);
        }
    }
}
