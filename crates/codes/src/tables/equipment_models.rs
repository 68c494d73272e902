//! How converters and modules behave where their nameplate is silent: the loss law and a few single figures.
//!
//! How batteries behave is in `battery_models.rs`.

use crate::table_error::TableError;
use crate::table_file::{Row, Rows, TableFile, table_file};
use lineside_core::units::{Celsius, Measure, Percent, Volts, Watts, WattsPerSquareMeter};

pub(crate) const FILE: TableFile = table_file!("common/equipment-models.csv");

/// The one loss law of converters: `loss = P_n × (standing + proportional × x + square × x²)`, `x = P / P_n`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LossLaw {
    standing: f64,
    proportional: f64,
    square: f64,
}

impl LossLaw {
    /// The loss at an output. A converter without a rating has none.
    pub fn loss(&self, rated: Watts, output: Watts) -> Watts {
        if rated <= Watts::ZERO {
            return Watts::ZERO;
        }
        let x = output / rated;
        rated * (self.standing + x * (self.proportional + x * self.square))
    }

    /// The law that loses `at_rated` at the rated output and `standing` at none, its proportional part kept where it
    /// fits.
    #[must_use]
    pub fn fitted(&self, rated: Watts, standing: Watts, at_rated: Watts) -> Self {
        if rated <= Watts::ZERO {
            return *self;
        }
        let standing = standing.min(at_rated) / rated;
        let left = (at_rated / rated - standing).max(0.0);
        let proportional = self.proportional.min(left);
        Self { standing, proportional, square: left - proportional }
    }

    /// Its three numbers: standing, proportional, square.
    pub const fn shares(&self) -> [f64; 3] {
        [self.standing, self.proportional, self.square]
    }

    /// The law of three numbers.
    pub const fn of_shares([standing, proportional, square]: [f64; 3]) -> Self {
        Self { standing, proportional, square }
    }

    /// What it loses with no output.
    pub fn standing(&self, rated: Watts) -> Watts {
        rated * self.standing
    }
}

/// The figures.
#[derive(Clone, Debug, PartialEq)]
pub struct EquipmentModels {
    /// Tracking controllers; the rating is the charge current times the nominal voltage of the bank.
    pub tracking: LossLaw,
    /// What a switching controller drops between strings and battery.
    pub switching_drop: Volts,
    /// Inverters that feed strings into AC.
    pub pv_inverter: LossLaw,
    /// Inverters that feed from the battery; the rating is in volt-amperes.
    pub inverter: LossLaw,
    /// Chargers; the rating is the charge current times the nominal voltage of the bank.
    pub charger: LossLaw,
    /// Efficiency that a module loses at the low irradiance below.
    pub low_light_loss: Percent,
    /// The irradiance of that loss.
    pub low_light_irradiance: WattsPerSquareMeter,
    /// The battery temperature counts no lower in compensated set points.
    pub compensation_from: Celsius,
    /// The battery temperature counts no higher in compensated set points.
    pub compensation_to: Celsius,
    /// Share of the nominal voltage below which a load without a lowest voltage has failed.
    pub voltage_floor: Percent,
}

impl EquipmentModels {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let models = Self {
            tracking: law(&table, ["tracking_standing", "tracking_proportional", "tracking_square"])?,
            switching_drop: quantity(&table, "switching_drop", "V")?,
            pv_inverter: law(
                &table,
                ["pv_inverter_standing", "pv_inverter_proportional", "pv_inverter_square"],
            )?,
            inverter: law(&table, ["inverter_standing", "inverter_proportional", "inverter_square"])?,
            charger: law(&table, ["charger_standing", "charger_proportional", "charger_square"])?,
            low_light_loss: quantity(&table, "low_light_loss", "%")?,
            low_light_irradiance: quantity(&table, "low_light_irradiance", "W/m²")?,
            compensation_from: quantity(&table, "compensation_from", "°C")?,
            compensation_to: quantity(&table, "compensation_to", "°C")?,
            voltage_floor: quantity(&table, "voltage_floor", "%")?,
        };
        if table.iter().count() != FIGURES {
            return Err(table.error("no row but those that are read", "others"));
        }
        Ok(models)
    }
}

/// Rows that are read above.
const FIGURES: usize = 18;

fn law(table: &Rows, [standing, proportional, square]: [&str; 3]) -> Result<LossLaw, TableError> {
    let part = |figure| Ok(find(table, figure, "")?.1);
    Ok(LossLaw { standing: part(standing)?, proportional: part(proportional)?, square: part(square)? })
}

fn quantity<M: Measure>(table: &Rows, figure: &str, unit: &str) -> Result<M, TableError> {
    let (row, value) = find(table, figure, unit)?;
    M::try_new(value).map_err(|fault| row.error("value", "a quantity", &fault.to_string()))
}

/// The row of a figure with its value, which is not below nothing.
fn find<'a>(table: &'a Rows, figure: &str, unit: &str) -> Result<(Row<'a>, f64), TableError> {
    let mut rows = table.iter().filter(|row| row.text("figure") == Ok(figure));
    let row = rows.next().ok_or_else(|| table.error(format!("a row “{figure}”"), "none"))?;
    if rows.next().is_some() {
        return Err(row.error("figure", "each figure once", figure));
    }
    if row.text("unit")? != unit {
        return Err(row.error("unit", format!("“{unit}”"), row.text("unit")?));
    }
    row.filled("source")?;
    row.confidence("confidence")?;
    let value = row.number("value")?;
    if value < 0.0 {
        return Err(row.error("value", "a number not below 0", &value.to_string()));
    }
    Ok((row, value))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn models() -> EquipmentModels {
        EquipmentModels::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    /// Efficiency in percent at a share of the rating.
    fn efficiency(law: LossLaw, share: f64) -> f64 {
        let (rated, output) = (Watts::new(1000.0), Watts::new(1000.0 * share));
        100.0 * (output / (output + law.loss(rated, output)))
    }

    #[test]
    fn the_laws_give_the_efficiencies_that_the_trade_knows() {
        let at = |law, share, expected: f64| {
            let found = efficiency(law, share);
            assert!((found - expected).abs() < 0.06, "{found} instead of {expected}");
        };
        // Loss at full output 0.002 + 0.010 + 0.012 = 0.024, at a half 0.002 + 0.005 + 0.003 = 0.010, at a tenth
        // 0.002 + 0.001 + 0.00012 = 0.00312 of the rating.
        at(models().tracking, 1.0, 97.66);
        at(models().tracking, 0.5, 98.04);
        at(models().tracking, 0.1, 96.97);
        // 0.05 + 0.03 of the rating: 1 / 1.08.
        at(models().charger, 1.0, 92.59);
        // 0.005 + 0.015 + 0.015 = 0.035: 1 / 1.035.
        at(models().pv_inverter, 1.0, 96.62);
    }

    #[test]
    fn a_law_is_fitted_to_a_nameplate() {
        // 4000 W at 92 %: 4000 × (1/0.92 − 1) = 347.83 W lost, 24 W of them with no output.
        let rated = Watts::new(4000.0);
        let law = models().inverter.fitted(rated, Watts::new(24.0), Watts::new(347.826));
        assert!((law.loss(rated, rated).value() - 347.826).abs() < 1e-9);
        assert!((law.loss(rated, Watts::ZERO).value() - 24.0).abs() < 1e-12);
        // The proportional part is kept: 4000 × 0.015 × 0.5 + (347.826 − 24 − 60) × 0.25 + 24 = 119.9565.
        assert!((law.loss(rated, rated * 0.5).value() - 119.9565).abs() < 1e-6);
        // A nameplate that loses nothing leaves nothing of the law.
        let none = models().inverter.fitted(rated, Watts::ZERO, Watts::ZERO);
        assert!(none.loss(rated, rated).value().abs() < 1e-12);
    }

    #[test]
    fn limits_are_in_order() {
        let models = models();
        assert!(models.compensation_from < models.compensation_to);
        assert!(models.voltage_floor.share() > 0.0 && models.voltage_floor.share() < 1.0);
        assert_eq!(models.switching_drop, Volts::new(0.5));
    }
}
