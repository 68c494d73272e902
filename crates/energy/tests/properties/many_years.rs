//! Many years: threads, spread, stopping.

use crate::systems::{GROUND, TEMPERATE, VALLEY, system};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_energy::weather::random;
use lineside_energy::{Better, Continue, ModelDoubt, Prepared, Progress, Run, Unheard};
use std::num::NonZeroUsize;

fn run(years: u32, threads: usize) -> Run {
    Run { years, seed: 9, doubt: ModelDoubt::Included, threads: NonZeroUsize::new(threads).unwrap() }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let system = system(Chemistry::FloodedLead, 400.0, 3, 300.0);
    let prepared = Prepared::new(&VALLEY.sky, &system, &GROUND.tables).unwrap();
    let one = prepared.many_years(&VALLEY.climate, &run(7, 1), &Unheard).unwrap();
    let three = prepared.many_years(&VALLEY.climate, &run(7, 3), &Unheard).unwrap();
    assert_eq!(one.years, three.years);
    let other_seed = Run { seed: 10, ..run(7, 2) };
    assert_ne!(one.years, prepared.many_years(&VALLEY.climate, &other_seed, &Unheard).unwrap().years);
    let sun = one.spread(Better::More, |year| year.year.level_sun).unwrap();
    assert!(sun.least <= sun.p90 && sun.p90 <= sun.p50 && sun.p50 <= sun.most);
    let unmet = one.spread(Better::Less, |year| year.unmet_share).unwrap();
    assert!(unmet.p50 <= unmet.p90);
}

/// The mean of many random years is the records', and they stray by some 3 to 5 %.
#[test]
fn random_years_keep_the_mean() {
    let years: Vec<f64> = (1..=60)
        .map(|n| {
            random(&VALLEY.sky, &VALLEY.climate, &GROUND.tables.defaults, 2, n).weather.irradiation().value()
        })
        .collect();
    let mean = years.iter().sum::<f64>() / 60.0;
    let deviation = (years.iter().map(|year| (year - mean) * (year - mean)).sum::<f64>() / 59.0).sqrt();
    let days = [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];
    let records: f64 = TEMPERATE.iter().zip(days).map(|(sun, days)| sun * days).sum();
    assert!((mean / records - 1.0).abs() < 0.015, "{mean} {records}");
    assert!((0.02..0.06).contains(&(deviation / mean)), "{}", deviation / mean);
}

struct StopAfter(u32);

impl Progress for StopAfter {
    fn done(&self, years: u32) -> Continue {
        if years >= self.0 { Continue::No } else { Continue::Yes }
    }
}

#[test]
fn many_years_can_be_stopped() {
    let system = system(Chemistry::Gel, 400.0, 3, 300.0);
    let prepared = Prepared::new(&VALLEY.sky, &system, &GROUND.tables).unwrap();
    assert_eq!(prepared.many_years(&VALLEY.climate, &run(50, 2), &StopAfter(3)), None);
    assert!(prepared.many_years(&VALLEY.climate, &run(0, 2), &Unheard).is_some_and(|years| {
        years.years.is_empty() && years.spread(Better::More, |year| year.year.level_sun).is_none()
    }));
}
