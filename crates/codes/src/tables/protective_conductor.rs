//! Protective conductors of the IEC: IEC 60364-5-54 Table 54.2.

use crate::by_size::BySize;
use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::{ConductorSize, UnitSystem};

pub(crate) const FILE: TableFile = table_file!("iec/iec-60364-5-54-pe.csv");

/// The table of protective conductors.
#[derive(Clone, Debug)]
pub struct ProtectiveConductor {
    rows: BySize<(ConductorSize, Confidence)>,
}

impl ProtectiveConductor {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let rows = BySize::from_rows(&file.read()?, "line_mm2", UnitSystem::Si, |row| {
            Ok((row.size("pe_mm2", UnitSystem::Si)?, row.confidence("confidence")?))
        })?;
        Ok(Self { rows })
    }

    /// The smallest protective conductor of the metal of its line conductor; `None` for a size that is not
    /// in the table.
    pub fn conductor(&self, line: ConductorSize) -> Option<Cited<ConductorSize>> {
        let (size, confidence) = self.rows.get(line)?;
        Some(Cited::new(*size, "IEC 60364-5-54 Table 54.2", *confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::iec_resistance::{self, IecResistance};

    #[test]
    fn the_rule_and_the_next_size_up() {
        // To 16 mm² the line's own size, to 35 mm² 16 mm², above that half the line, next standard size up.
        let table = ProtectiveConductor::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let sizes = IecResistance::parse(&iec_resistance::FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let sizes: Vec<u16> = sizes
            .sizes()
            .map(|size| match size {
                ConductorSize::Metric(tenths) => tenths,
                ConductorSize::Awg(_) | ConductorSize::Kcmil(_) => panic!("{size} is not metric"),
            })
            .collect();
        for (line, (found, _)) in table.rows.iter() {
            let ConductorSize::Metric(tenths) = line else { panic!("{line} is not metric") };
            let least = match tenths {
                0..=160 => tenths,
                161..=350 => 160,
                _ => tenths.div_ceil(2),
            };
            let expected = sizes.iter().copied().find(|size| *size >= least).map(ConductorSize::Metric);
            assert_eq!(Some(*found), expected, "{line}");
        }
        assert_eq!(table.conductor(ConductorSize::Metric(3000)), None);
        let found = table.conductor(ConductorSize::Metric(700));
        assert_eq!(found.map(|found| found.value), Some(ConductorSize::Metric(350)));
    }
}
