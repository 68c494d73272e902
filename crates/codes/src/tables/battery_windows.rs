//! Voltages per cell by chemistry, and short-circuit currents, for batteries whose nameplate is silent.
//!
//! Nominal voltages are known to the core's `Chemistry`; gassing currents are in `battery_gas.rs`.

use crate::cited::Cited;
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{Amps, Volts, VoltsPerCelsius};

pub(crate) const FILE: TableFile = table_file!("common/battery-windows.csv");

/// What is assumed of one cell at 25 °C. No standard sets these.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellWindow {
    /// Lowest voltage that discharge uses.
    pub end_of_discharge: Volts,
    /// Lowest voltage that makers allow.
    pub lowest: Volts,
    /// Charge voltage.
    pub charge: Volts,
    /// Lowest and highest charge voltage that makers ask for, where they differ.
    pub charge_range: Option<(Volts, Volts)>,
    /// Equalize voltage; `None` when the chemistry is never equalized.
    pub equalize: Option<Volts>,
    /// Highest equalize voltage that makers ask for.
    pub equalize_highest: Option<Volts>,
    /// Change of the charge voltage with temperature; zero when there must be none.
    pub compensation: VoltsPerCelsius,
    /// Resting voltage of the full cell.
    pub full_rest: Volts,
    /// Voltage that charging must never pass, where the chemistry has one.
    pub ceiling: Option<Volts>,
    /// Short-circuit current when the resistance is unknown.
    pub fault: AssumedFault,
}

/// Short-circuit current of a battery whose resistance is unknown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AssumedFault {
    /// So many amperes per ampere-hour of capacity.
    PerCapacity(f64),
    /// So many amperes for each pack.
    PerPack(Amps),
}

/// The table of windows.
#[derive(Clone, Debug)]
pub struct BatteryWindows {
    /// In the order of [`Chemistry::ALL`].
    rows: Vec<Cited<CellWindow>>,
}

impl BatteryWindows {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut rows = Vec::new();
        for row in table.iter() {
            let chemistry = row.one_of("chemistry", Chemistry::ALL, Chemistry::key)?;
            if chemistry as usize != rows.len() {
                return Err(row.error("chemistry", "chemistries in the order of the core", chemistry.key()));
            }
            let per_pack = row.optional_positive("fault_ka_per_pack")?;
            let fault = match (row.optional_positive("fault_a_per_ah")?, per_pack) {
                (Some(amps), None) => AssumedFault::PerCapacity(amps),
                (None, Some(kiloamps)) => AssumedFault::PerPack(Amps::new(kiloamps * 1000.0)),
                _ => return Err(row.error("fault_a_per_ah", "one of the two fault currents", "")),
            };
            let window = CellWindow {
                end_of_discharge: row.quantity("end_of_discharge")?,
                lowest: row.quantity("lowest")?,
                charge: row.quantity("charge")?,
                charge_range: row.optional_quantity("charge_low")?.zip(row.optional_quantity("charge_high")?),
                equalize: row.optional_quantity("equalize")?,
                equalize_highest: row.optional_quantity("equalize_high")?,
                compensation: VoltsPerCelsius::new(row.number("compensation")?),
                full_rest: row.quantity("full_rest")?,
                ceiling: row.optional_quantity("ceiling")?,
                fault,
            };
            rows.push(Cited {
                value: window,
                source: row.filled("clause")?.to_owned().into(),
                confidence: row.confidence("confidence")?,
            });
        }
        if rows.len() < Chemistry::ALL.len() {
            return Err(table.error("a row for every chemistry", &format!("{} rows", rows.len())));
        }
        Ok(Self { rows })
    }

    /// The row of a chemistry. `None` never happens for a table that was read: each chemistry has a row.
    pub fn find(&self, chemistry: Chemistry) -> Option<&Cited<CellWindow>> {
        self.rows.get(chemistry as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn window(chemistry: Chemistry) -> CellWindow {
        let table = BatteryWindows::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        table.find(chemistry).map_or_else(|| panic!("{}", chemistry.key()), |found| found.value)
    }

    #[test]
    fn highest_over_lowest() {
        let ratio = |high: Volts, chemistry| high / window(chemistry).lowest;
        let check = |ratio: f64, expected: f64| assert!((ratio - expected).abs() < 0.005, "{ratio}");
        // 1.65/1.00 and 1.75/1.00; 3.55/2.50 = 1.42; 2.67/1.75 = 1.53; 2.40/1.75 = 1.37
        let iron = window(Chemistry::NickelIron);
        check(ratio(iron.charge, Chemistry::NickelIron), 1.65);
        check(ratio(iron.equalize_highest.unwrap(), Chemistry::NickelIron), 1.75);
        let lithium = window(Chemistry::LithiumIronPhosphate).charge_range.unwrap().1;
        check(ratio(lithium, Chemistry::LithiumIronPhosphate), 1.42);
        let flooded = window(Chemistry::FloodedLead).equalize_highest.unwrap();
        check(ratio(flooded, Chemistry::FloodedLead), 1.53);
        check(ratio(window(Chemistry::AbsorbedGlassMat).charge, Chemistry::AbsorbedGlassMat), 1.37);
    }

    #[test]
    fn windows_are_in_order() {
        for chemistry in Chemistry::ALL {
            let cell = window(*chemistry);
            assert!(cell.lowest < cell.end_of_discharge, "{}", chemistry.key());
            assert!(cell.end_of_discharge < cell.full_rest, "{}", chemistry.key());
            assert!(cell.full_rest < cell.charge, "{}", chemistry.key());
            assert!(cell.equalize.is_none_or(|equalize| equalize >= cell.charge), "{}", chemistry.key());
            assert!(cell.compensation <= VoltsPerCelsius::ZERO, "{}", chemistry.key());
        }
    }

    #[test]
    fn lithium_is_never_equalized_nor_compensated() {
        let lithium = window(Chemistry::LithiumIronPhosphate);
        assert_eq!((lithium.equalize, lithium.compensation), (None, VoltsPerCelsius::ZERO));
        assert_eq!(lithium.fault, AssumedFault::PerPack(Amps::new(20_000.0)));
        assert_eq!(window(Chemistry::NickelIron).fault, AssumedFault::PerCapacity(10.0));
    }
}
