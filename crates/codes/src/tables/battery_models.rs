//! How one cell behaves, by chemistry, for batteries whose nameplate is silent: resting voltage, resistance,
//! what it accepts, what it gives back, how it ages.
//!
//! The voltages between which it is used are in `battery_windows.rs`.

use crate::cell_model::CellModel;
use crate::table_error::TableError;
use crate::table_file::{Row, Rows, TableFile, table_file};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::kinds::field::CurvePoint;

pub(crate) const FILE: TableFile = table_file!("common/battery-models.csv");

/// The table of models.
#[derive(Clone, Debug)]
pub struct BatteryModels {
    /// In the order of [`Chemistry::ALL`].
    models: Vec<CellModel>,
}

impl BatteryModels {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        for row in table.iter() {
            row.one_of("chemistry", Chemistry::ALL, Chemistry::key)?;
            row.one_of("figure", FIGURES, |figure| figure)?;
            row.filled("source")?;
            row.confidence("confidence")?;
        }
        let models = Chemistry::ALL
            .iter()
            .map(|chemistry| CellModel::read(&Figures { table: &table, chemistry: *chemistry }));
        Ok(Self { models: models.collect::<Result<_, _>>()? })
    }

    /// The model of a chemistry. `None` never happens for a table that was read: each chemistry has its rows.
    pub fn find(&self, chemistry: Chemistry) -> Option<&CellModel> {
        self.models.get(chemistry as usize)
    }
}

/// Every figure that a row may give. Each is read in [`CellModel::read`].
const FIGURES: &[&str] = &[
    "rest_voltage",
    "charge_efficiency",
    "efficiency_heat",
    "efficiency_heat_from",
    "charge_polarization",
    "discharge_polarization",
    "polarization_rate",
    "charge_resistance",
    "discharge_resistance",
    "resistance_cold",
    "charge_rate",
    "discharge_rate",
    "acceptance",
    "float_voltage",
    "float_rate",
    "absorb_end_rate",
    "self_discharge",
    "self_discharge_heat",
    "rate_exponent",
    "rated_rate",
    "cold_capacity",
    "least_charge",
    "restart_charge",
    "cycles_at_full_depth",
    "cycles_exponent",
    "calendar_years",
    "calendar_halving",
];

/// The rows of one chemistry.
pub(crate) struct Figures<'a> {
    table: &'a Rows,
    chemistry: Chemistry,
}

impl<'a> Figures<'a> {
    /// A single figure, not below nothing.
    pub(crate) fn number(&self, figure: &'static str) -> Result<f64, TableError> {
        let rows: Vec<Row<'a>> = self.rows(figure).collect();
        let [row] = rows.as_slice() else {
            let count = rows.len().to_string();
            return Err(self.table.error(format!("one row “{figure}” of {}", self.chemistry.key()), &count));
        };
        let value = row.number("value")?;
        if value < 0.0 {
            return Err(row.error("value", "a number not below 0", &value.to_string()));
        }
        Ok(value)
    }

    /// A curve, its points in rising order.
    pub(crate) fn curve(&self, figure: &'static str) -> Result<Vec<CurvePoint>, TableError> {
        let mut points: Vec<CurvePoint> = Vec::new();
        for row in self.rows(figure) {
            let point = CurvePoint { x: row.number("at")?, y: row.number("value")? };
            if points.last().is_some_and(|last| last.x >= point.x) {
                return Err(row.error("at", "points in rising order", row.text("at")?));
            }
            points.push(point);
        }
        if points.is_empty() {
            return Err(self.table.error(format!("rows “{figure}” of {}", self.chemistry.key()), "none"));
        }
        Ok(points)
    }

    fn rows(&self, figure: &'static str) -> impl Iterator<Item = Row<'a>> {
        let chemistry = self.chemistry.key();
        self.table
            .iter()
            .filter(move |row| row.text("chemistry") == Ok(chemistry) && row.text("figure") == Ok(figure))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_chemistry_has_a_model() {
        let table = BatteryModels::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"));
        for chemistry in Chemistry::ALL {
            assert!(table.find(*chemistry).is_some(), "{}", chemistry.key());
        }
    }

    #[test]
    fn a_mistake_in_the_file_is_told_with_its_place() {
        let fault = |text: &'static str| {
            let file = TableFile { name: "assets/codes/test.csv", text };
            BatteryModels::parse(&file).map(|_| ()).unwrap_err().to_string()
        };
        let head = "# source: a test\nchemistry,figure,at,value,source,confidence\n";
        let with = |row: &str| -> &'static str { Box::leak(format!("{head}{row}\n").into_boxed_str()) };
        assert!(fault(with("gel,rest_voltage,0,2,a book,recalled")).contains("nickel_iron"));
        assert!(fault(with("gel,resting,0,2,a book,recalled")).contains("“resting”"));
        assert!(fault(with("zinc,rest_voltage,0,2,a book,recalled")).contains("“zinc”"));
    }
}
