//! Gassing currents of batteries: IEC 62485-2 Table 1, and our rows for chemistries that it does not know.

use crate::cited::{Cited, Confidence};
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::units::{MilliampsPerAmpHour, Volts};

pub(crate) const FILE: TableFile = table_file!("common/battery-gas.csv");

/// Batteries as the table tells them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GassingBattery {
    /// Vented lead-acid with less than 3 % antimony.
    VentedLead,
    /// Valve-regulated lead-acid.
    SealedLead,
    /// Vented nickel-cadmium.
    NickelCadmium,
    /// Flooded nickel-iron; takes the whole end-of-charge current, so it has no gassing current of its own.
    NickelIron,
    /// Lithium iron phosphate; gives off no gas in service.
    LithiumIronPhosphate,
}

/// How a battery is charged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChargeMode {
    /// Kept full.
    Float,
    /// Being filled.
    Boost,
    /// Equalized.
    Equalize,
    /// Whatever the charger does.
    Any,
}

/// One row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gassing {
    /// Charge voltage per cell for which the row holds; `None` when it does not matter.
    pub volts_per_cell: Option<Volts>,
    /// Current that makes gas. `None` when it is the whole charge current.
    pub current: Option<MilliampsPerAmpHour>,
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    battery: GassingBattery,
    mode: ChargeMode,
    gassing: Gassing,
    confidence: Confidence,
}

/// The table of gassing currents.
#[derive(Clone, Debug)]
pub struct BatteryGas {
    rows: Vec<Entry>,
}

const BATTERIES: [(&str, GassingBattery); 5] = [
    ("vented lead-acid, Sb below 3 %", GassingBattery::VentedLead),
    ("valve-regulated lead-acid", GassingBattery::SealedLead),
    ("vented nickel-cadmium", GassingBattery::NickelCadmium),
    ("nickel-iron, flooded", GassingBattery::NickelIron),
    ("lithium iron phosphate", GassingBattery::LithiumIronPhosphate),
];
const MODES: [(&str, ChargeMode); 4] = [
    ("float", ChargeMode::Float),
    ("boost", ChargeMode::Boost),
    ("equalise", ChargeMode::Equalize),
    ("any", ChargeMode::Any),
];

impl BatteryGas {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let mut rows = Vec::new();
        for row in file.read()?.iter() {
            let current = row.optional_number("i_gas_ma_per_ah")?;
            rows.push(Entry {
                battery: row.one_of("battery", &BATTERIES, |it| it.0)?.1,
                mode: row.one_of("mode", &MODES, |it| it.0)?.1,
                gassing: Gassing {
                    volts_per_cell: row.optional_quantity("volts_per_cell")?,
                    current: current.map(MilliampsPerAmpHour::new),
                },
                confidence: row.confidence("confidence")?,
            });
        }
        Ok(Self { rows })
    }

    /// The row of a battery in a mode of charge; `None` when the table has none.
    pub fn find(&self, battery: GassingBattery, mode: ChargeMode) -> Option<Cited<Gassing>> {
        let row = self.rows.iter().find(|row| row.battery == battery && row.mode == mode)?;
        let source = match row.confidence {
            Confidence::Engineering => "engineering judgment",
            Confidence::Trade | Confidence::Recalled | Confidence::VerifiedOnce | Confidence::Verified => {
                "IEC 62485-2 Table 1"
            }
        };
        Some(Cited::new(row.gassing, source, row.confidence))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gassing_currents() {
        let table = BatteryGas::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        let check = |battery, mode, expected: Option<Option<f64>>| {
            let found =
                table.find(battery, mode).map(|found| found.value.current.map(MilliampsPerAmpHour::value));
            assert_eq!(found, expected, "{battery:?} {mode:?}");
        };
        check(GassingBattery::VentedLead, ChargeMode::Boost, Some(Some(20.0)));
        check(GassingBattery::SealedLead, ChargeMode::Float, Some(Some(1.0)));
        check(GassingBattery::NickelIron, ChargeMode::Equalize, Some(None));
        check(GassingBattery::LithiumIronPhosphate, ChargeMode::Any, Some(Some(0.0)));
        check(GassingBattery::VentedLead, ChargeMode::Equalize, None);
    }

    #[test]
    fn the_current_is_the_product_of_its_factors() {
        let file = FILE.read().unwrap_or_else(|fault| panic!("{fault}"));
        let mut checked = 0;
        for row in file.iter() {
            let cell = |column| row.optional_number(column).unwrap();
            let factors = (cell("i_charge_ma_per_ah"), cell("f_g"), cell("f_s"), cell("i_gas_ma_per_ah"));
            if let (Some(charge), Some(emission), Some(safety), Some(current)) = factors {
                assert!((charge * emission * safety - current).abs() < 1e-9, "{row:?}");
                checked += 1;
            }
        }
        assert_eq!(checked, 7);
    }
}
