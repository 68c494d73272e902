//! Cases S39 and S43: what flows.

use crate::told::{Told, told};
use lineside_acceptance::bench::LEAD;
use lineside_acceptance::sound::{changed, set, sound};
use lineside_acceptance::{Sheet, feet, near};
use lineside_core::project::RuleSet;
use lineside_core::units::{Watts, WattsPerSquareMeter};
use lineside_study::flow::{self, Flow, Load, OperatingState};

/// The steady state of a sheet by night, with one load.
fn flow(verdict: &Told, load: &str, watts: f64) -> Flow {
    let studies = verdict.studies();
    let circuit = &verdict.project.circuit;
    let state = OperatingState { sun: WattsPerSquareMeter::new(0.0), ..OperatingState::new() };
    let state = state.loaded(circuit, load, Load::Power(Watts::new(watts)));
    flow::study(&verdict.conditions(), &studies.network, &studies.zones, &studies.ratings, &state)
}

fn amps(verdict: &Told, flow: &Flow, run: &str) -> f64 {
    let found = flow.run(&verdict.studies().network, verdict.run(run));
    found.map_or(f64::NAN, |run| run.flow.current.value().abs())
}

/// Four batteries of 20 mΩ side by side, 1.5 mΩ of link in each pole between neighbors, both leads on the first.
fn ladder() -> Sheet {
    let mut sheet = Sheet::new(RuleSet::Nec2023, -10.0, 30.0);
    sheet.place("shed", &[("coldest", "25 °C"), ("hottest", "30 °C")]);
    for n in 1..=4 {
        sheet.block(&format!("B{n}"), LEAD);
        set(
            &mut sheet,
            &[
                (&format!("B{n}"), "units_in_series", "1"),
                (&format!("B{n}"), "cells_per_unit", "6"),
                (&format!("B{n}"), "unit_resistance", "20 mΩ"),
            ],
        );
        sheet.block(&format!("X{n}"), r#"junction((ends: 4, rating: "200 A"))"#);
        sheet.run(&format!("W{n}"), &format!("B{n}.out"), &format!("X{n}.end1"), feet("4/0", 0.0));
        if n > 1 {
            // 1.5 mΩ of 0.0608 Ω per 1000 ft
            let link = feet("4/0", 1.5 / 0.0608);
            sheet.run(&format!("W1{n}"), &format!("X{}.end2", n - 1), &format!("X{n}.end3"), link);
        }
    }
    sheet.block("L1", r#"dc_load((current: "100 A"))"#);
    sheet.run("W5", "X1.end4", "L1.in", feet("4/0", 0.0));
    sheet
}

/// S39 · Both leads on the first of four batteries.
#[test]
fn s39() {
    let verdict = told(&ladder());
    let flow = flow(&verdict, "L1", 1000.0);
    assert!(flow.is_solved(), "{:?}", flow.outcome);
    let whole = amps(&verdict, &flow, "W5");
    // In parts of 100 A. Behind X3 lie 3 + 20 = 23 mΩ, behind X2 3 + 20 ∥ 23 = 13.698 mΩ, behind X1
    // 3 + 20 ∥ 13.698 = 11.130 mΩ: the first battery gives 11.130 / 31.130 = 35.8 A. Sums are 100 A.
    let shares: Vec<f64> = (1..=4).map(|n| 100.0 * amps(&verdict, &flow, &format!("W{n}")) / whole).collect();
    // 1.43 times the mean of 25 A; the links as drawn join both poles, so leads on opposite ends are not to be drawn
    for (share, printed) in shares.iter().zip(["35.8", "26.1", "20.4", "17.7"]) {
        assert!(near(*share, printed), "{shares:?}");
    }
}

/// S43 · Both legs tied to one 120 V source.
#[test]
fn s43() {
    let sheet = changed(sound(), |sheet| {
        set(
            sheet,
            &[
                ("P1", "ac_system", "120/240 V"),
                ("P1", "neutral_rating", "100 A"),
                ("P1", "largest_240_load", "4800 W"),
            ],
        );
        sheet.set_run("W5", "length", "0 m");
    });
    let verdict = told(&sheet);
    // The heater on two lines gets nothing
    assert!(verdict.has("single-120-volt-supply@P1#outlets"), "{}", verdict.lines());
    // 2100 / 120 in the feeder and its neutral
    let flow = flow(&verdict, "P1", 2100.0);
    assert!(flow.is_solved(), "{:?}", flow.outcome);
    let found = amps(&verdict, &flow, "W5");
    assert!(near(found, "17.5"), "{found} A");
}
