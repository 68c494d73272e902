//! Every hour of a year as CSV, for the command and the window: one row an hour, units in the headings, a point for the
//! decimals.

use lineside_core::units::text::{UnitSystem, entry};
use lineside_core::units::{Percent, Quantity};
use lineside_energy::{Hour, Moment};
use std::fmt::Write;

const HEADINGS: &str = "month,day,hour,level_sun_w_m2,plane_sun_w_m2,cells_c,sun_potential_w,controllers_w,\
pv_inverters_w,ac_demand_w,ac_served_w,waiting_served_w,dc_served_w,charge_w,discharge_w,state_of_charge_percent,\
battery_c,generator_w,import_w,export_w,unmet_w,curtailed_w";

/// The table.
pub fn table(hours: &[Hour]) -> String {
    let mut out = String::with_capacity(hours.len() * 120);
    out.push_str(HEADINGS);
    out.push('\n');
    for (index, hour) in hours.iter().enumerate() {
        let Moment { month, day, hour: of_day } = Moment::of(index);
        let _ = write!(out, "{},{day},{of_day}", month.number());
        for value in values(hour) {
            out.push(',');
            // A table for machines has the plain minus sign.
            out.push_str(&entry(value, UnitSystem::Si).replace('−', "-"));
        }
        out.push('\n');
    }
    out
}

/// The columns behind the moment, in the order of the headings.
fn values(hour: &Hour) -> [Quantity; 19] {
    [
        hour.level_sun.into(),
        hour.plane_sun.into(),
        hour.cells.into(),
        hour.sun_potential.into(),
        hour.controllers.into(),
        hour.pv_inverters.into(),
        hour.ac_demand.into(),
        hour.ac_served.into(),
        hour.waiting_served.into(),
        hour.dc_served.into(),
        hour.charge.into(),
        hour.discharge.into(),
        Percent::into(hour.state_of_charge),
        hour.battery.into(),
        hour.generator.into(),
        hour.import.into(),
        hour.export.into(),
        hour.unmet.into(),
        hour.curtailed.into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_has_a_heading() {
        assert_eq!(HEADINGS.split(',').count(), 3 + 19);
        assert_eq!(table(&[]).lines().count(), 1);
    }
}
