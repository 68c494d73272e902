//! What the temperature of a bank makes of its figures, hour by hour. It depends on the weather alone, so it is found
//! before the hours are gone through.

use super::bank::Bank;
use crate::weather::Weather;
use lineside_core::math::{exp, ln};

/// A bank at the temperature of one hour.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct BatteryHour {
    pub celsius: f64,
    /// Share of the charge that is left after the hour at rest.
    pub kept: f64,
    /// Resistance on charge and on discharge, ohms.
    pub charge_ohm: f64,
    pub discharge_ohm: f64,
    /// What heat leaves of the charge efficiency.
    pub efficiency: f64,
    /// Greatest charge current for this temperature, A.
    pub charge_a: f64,
    /// Voltage to which it is charged, V.
    pub absorb_v: f64,
    /// Share of the capacity that can be taken out.
    pub capacity: f64,
}

/// Temperature at which the figures of a cell hold.
const BASE: f64 = 25.0;
/// Below this the resistance is not taken to rise any further.
const COLDEST_RESISTANCE: f64 = -20.0;
/// Outside these the temperature counts no further in the absorb voltage.
const COMPENSATED: (f64, f64) = (0.0, 45.0);
const DAY_HOURS: f64 = 24.0;

impl BatteryHour {
    /// At a temperature.
    pub(super) fn at(bank: &Bank, cold_capacity: &super::curve::Curve, celsius: f64) -> Self {
        let cell = &bank.cell;
        let cells = f64::from(bank.cells);
        let capacity = bank.left().value();
        let warm = exp(ln(cell.self_discharge_heat) * (celsius - BASE) / 10.0);
        let cold = exp(cell.resistance_cold * (BASE - celsius.max(COLDEST_RESISTANCE)));
        let (charge, discharge) = cell.resistance;
        let ohm = |of_cell: f64| cells * of_cell / capacity * cold + bank.cable.value();
        let (heat, heat_from) = cell.efficiency_heat;
        let (lowest, highest) = COMPENSATED;
        let shift = cell.compensation.value() * (celsius.max(lowest).min(highest) - BASE);
        let absorb = cells * (cell.absorb_voltage.value() + shift);
        let rate = cell.charge_rate(celsius) * capacity;
        Self {
            celsius,
            kept: exp(-cell.self_discharge * warm / DAY_HOURS),
            charge_ohm: ohm(charge),
            discharge_ohm: ohm(discharge),
            efficiency: 1.0 - heat * (celsius - heat_from).max(0.0),
            charge_a: bank.charge_current.map_or(rate, |most| most.value().min(rate)),
            absorb_v: bank.ceiling.map_or(absorb, |ceiling| absorb.min(ceiling.value())),
            capacity: cold_capacity.at(celsius).min(1.0),
        }
    }

    /// In every hour of a year's weather. The bank follows its room slowly, and starts at the mean of the first day.
    pub(crate) fn year(bank: &Bank, weather: &Weather) -> Vec<Self> {
        let cold_capacity = bank.cell.cold_curve();
        let room = |air: f64| bank.room.celsius(air);
        let first: Vec<f64> = weather.hours().iter().take(24).map(|hour| room(hour.celsius)).collect();
        let mut celsius = first.iter().sum::<f64>() / first.len().max(1) as f64;
        let follows = 1.0 - exp(-1.0 / bank.inertia.value().max(1e-6));
        let mut last: Option<Self> = None;
        let hours = weather.hours().iter().map(|hour| {
            // Indoors the temperature often stands still for weeks.
            let here = match last {
                Some(same) if same.celsius.to_bits() == celsius.to_bits() => same,
                _ => Self::at(bank, &cold_capacity, celsius),
            };
            last = Some(here);
            celsius += (room(hour.celsius) - celsius) * follows;
            here
        });
        hours.collect()
    }
}
