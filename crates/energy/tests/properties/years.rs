//! Properties of one year.

use crate::systems::{GROUND, VALLEY, any_system, chemistry, of_typical, system, year};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::Percent;
use lineside_energy::System;
use lineside_energy::weather::{random, typical};
use proptest::prelude::*;

/// Loads are taken up again in the hour after a bank was run down, not only at its restart charge.
fn at_once(system: &mut System) {
    system.bank.cell.restart_charge = system.bank.cell.least_charge - Percent::new(0.01);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    /// Energy is conserved in every hour and over the year, and every figure is one.
    #[test]
    fn books_close(system in any_system(), number in 0..4_u32) {
        let defaults = &GROUND.tables.defaults;
        let weather = match number {
            0 => typical(&VALLEY.sky, &VALLEY.climate, defaults, 4).weather,
            _ => random(&VALLEY.sky, &VALLEY.climate, defaults, 4, number).weather,
        };
        let outcome = year(&VALLEY, &system, &weather, number);
        prop_assert!(outcome.closure.worst() < 1e-9, "{:?}", outcome.closure);
        let totals = &outcome.year;
        for watt_hours in [
            totals.sun_potential - totals.sun_used, totals.curtailed, totals.ac_demand - totals.ac_served,
            totals.dc_demand - totals.dc_served, totals.waiting_demand - totals.waiting_served, totals.wire_loss,
            totals.controller_loss, totals.pv_inverter_loss, totals.inverter_loss, totals.charger_loss,
            totals.battery_loss, totals.self_discharge, totals.unmet_critical, totals.unmet_normal, totals.unmet_dc,
        ] {
            prop_assert!(watt_hours.value().is_finite() && watt_hours.value() > -1e-3, "{totals:?}");
        }
        let unmet = totals.ac_demand + totals.dc_demand - totals.ac_served - totals.dc_served - totals.unmet();
        prop_assert!(unmet.value().abs() < 1e-6 * totals.demand().value().max(1.0));
        prop_assert!(outcome.wear.cautious.value() > 0.0 && outcome.wear.cautious <= outcome.wear.hopeful);
        prop_assert!(outcome.mean_charge <= Percent::new(100.0 + 1e-9) && outcome.mean_charge >= Percent::ZERO);
    }

    /// More array never means more unmet energy under the same weather.
    #[test]
    fn more_array_never_leaves_more_unmet(
        kind in chemistry(),
        amp_hours in 100.0..600.0_f64,
        strings in 1..5_u32,
        more in 1..4_u32,
        evening in 100.0..1200.0_f64,
    ) {
        let less = system(kind, amp_hours, strings, evening);
        let mut array = less.clone();
        array.controllers[0].arrays[0].in_parallel = strings + more;
        let (less, array) = (of_typical(&VALLEY, &less), of_typical(&VALLEY, &array));
        let slack = 1e-9 * less.year.demand().value();
        prop_assert!(array.year.unmet().value() <= less.year.unmet().value() + slack,
            "{} {}", less.year.unmet(), array.year.unmet());
    }

    /// A bigger bank of equal efficiency never lengthens the longest time without everything served.
    #[test]
    fn a_bigger_bank_never_lengthens_the_longest_gap(
        amp_hours in 100.0..500.0_f64,
        times in 1.2..3.0_f64,
        strings in 1..5_u32,
        evening in 100.0..1200.0_f64,
    ) {
        let make = |amp_hours: f64| {
            let mut system = system(Chemistry::LithiumIronPhosphate, amp_hours, strings, evening);
            system.bank.cell.self_discharge = 0.0;
            at_once(&mut system);
            of_typical(&VALLEY, &system)
        };
        let (small, big) = (make(amp_hours), make(amp_hours * times));
        prop_assert!(big.longest_gap <= small.longest_gap, "{} {}", small.longest_gap, big.longest_gap);
        prop_assert!(big.year.unmet().value() <= small.year.unmet().value() * (1.0 + 1e-9) + 1e-6);
    }
}
