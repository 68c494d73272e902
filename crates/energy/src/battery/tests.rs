//! The reference steps of a bank, and what must hold of every step.

use super::*;
use crate::example_file::{close, component, list, number};
use crate::tables::Tables;
use lineside_codes::Codes;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{AmpHours, Ohms, Percent};
use std::sync::LazyLock;

fn chemistry(key: &str) -> Chemistry {
    match key {
        "nife" => Chemistry::NickelIron,
        "lfp" => Chemistry::LithiumIronPhosphate,
        "fla" => Chemistry::FloodedLead,
        "agm" => Chemistry::AbsorbedGlassMat,
        other => panic!("no chemistry {other}"),
    }
}

static TABLES: LazyLock<(Codes, Tables)> =
    LazyLock::new(|| (Codes::load().unwrap(), Tables::load().unwrap()));

fn bank(chemistry: Chemistry, cells: u32, capacity: f64, cable: f64) -> Bank {
    let (codes, tables) = &*TABLES;
    let cell = Cell::usual(codes, chemistry).unwrap();
    Bank { cable: Ohms::new(cable), ..Bank::new(cell, cells, AmpHours::new(capacity), &tables.defaults) }
}

fn hour(bank: &Bank, celsius: f64) -> BatteryHour {
    BatteryHour::at(bank, &bank.cell.cold_curve(), celsius)
}

#[test]
fn reference_steps() {
    for case in list(component("battery_step")) {
        let at = |key: &str| number(&case[key]);
        let kind = chemistry(case["chem"].as_str().unwrap());
        let cells = u32::try_from(case["cells"].as_u64().unwrap()).unwrap();
        let bank = bank(kind, cells, at("ah"), at("r_cable"));
        let (store, hour) = (Store::new(&bank), hour(&bank, at("temp")));
        let q = at("soc") * at("ah");
        let rest = store.at_rest(q);
        close("rest", rest.volts, at("ocv"));
        close("energy", rest.energy, at("energy_wh"));
        close("efficiency", store.efficiency(&hour, q), at("eta"));
        close("charge resistance", hour.charge_ohm, at("r_charge"));
        close("discharge resistance", hour.discharge_ohm, at("r_discharge"));
        let (most_in, most_out) = (store.most_charge(&hour, &rest, 1.0), store.most_discharge(&hour, &rest));
        close("greatest charge current", most_in.amps, at("i_charge_max"));
        close("greatest charge power", most_in.watts, at("p_charge_max"));
        close("greatest discharge current", most_out.amps, at("i_discharge_max"));
        close("greatest discharge power", most_out.watts, at("p_discharge_max"));
        let by = match case["i_discharge_limit"].as_str().unwrap() {
            "rate" => DischargeLimit::Rate,
            "floor" => DischargeLimit::Floor,
            "capacity" => DischargeLimit::Capacity,
            other => panic!("no limit {other}"),
        };
        assert_eq!(most_out.by, by);
        close("after self-discharge", q * hour.kept / at("ah"), at("soc_after_1h_selfdischarge"));
        let half = &case["charge_half"];
        let charged = store.charge(&hour, &rest, number(&half["p"]), &most_in);
        close("charge current", charged.amps, number(&half["i"]));
        close("charge", charged.q / at("ah"), number(&half["soc_end"]));
        let half = &case["discharge_half"];
        let discharged = store.discharge(&hour, &rest, number(&half["p"]), &most_out);
        close("discharge current", discharged.amps, number(&half["i"]));
        close("charge", discharged.q / at("ah"), number(&half["soc_end"]));
    }
}

#[test]
fn the_example_of_the_standard_for_rainflow() {
    let example = component("rainflow_astm_example");
    let found = cycles(list(&example["series"]).iter().map(number));
    let pairs = list(&example["pairs"]).iter().map(|pair| (number(&pair[0]), number(&pair[1])));
    assert_eq!(
        found.iter().map(|cycle| (cycle.range, cycle.count)).collect::<Vec<_>>(),
        pairs.collect::<Vec<_>>()
    );
}

/// The table of the specification: energy out for energy in, at a tenth of the capacity an hour over the whole window.
#[test]
fn whole_cycles_have_the_known_efficiency() {
    let check = |kind, from: f64, to: f64, expected: f64, within: f64| {
        let bank = bank(kind, 1, 100.0, 0.0);
        let (store, hour) = (Store::new(&bank), hour(&bank, 25.0));
        let (mut q, mut put_in) = (from, 0.0);
        while q < to {
            let amps = 10.0_f64.min((to - q) / store.efficiency(&hour, q)) / 20.0;
            put_in += store.charge_power(&hour, &store.at_rest(q), store.efficiency(&hour, q), amps);
            q += store.efficiency(&hour, q) * amps;
            if to - q < 1e-6 {
                break;
            }
        }
        let mut taken_out = 0.0;
        while q > from {
            let amps = 10.0_f64.min(q - from);
            taken_out += store.discharge_power(&hour, &store.at_rest(q), amps);
            q -= amps;
            if q - from < 1e-6 {
                break;
            }
        }
        let found = taken_out / put_in;
        assert!((found - expected).abs() < within, "{kind:?}: {found}");
    };
    // The charge above is done at a twentieth of the current, so resistance costs nearly nothing there and the
    // efficiencies stand a little above those of the table.
    check(Chemistry::NickelIron, 20.0, 100.0, 0.70, 0.04);
    check(Chemistry::LithiumIronPhosphate, 20.0, 100.0, 0.985, 0.01);
    check(Chemistry::FloodedLead, 20.0, 100.0, 0.84, 0.03);
    check(Chemistry::AbsorbedGlassMat, 50.0, 100.0, 0.93, 0.03);
}

proptest::proptest! {
    /// Each step's books close, and no step passes a limit.
    #[test]
    fn books_close(
        kind in 0..5_usize,
        share in 0.0..1.0_f64,
        celsius in -30.0..55.0_f64,
        part in 0.0..1.5_f64,
    ) {
        let bank = bank(Chemistry::ALL[kind], 24, 400.0, 0.001);
        let (store, hour) = (Store::new(&bank), hour(&bank, celsius));
        let q = share * 400.0;
        let rest = store.at_rest(q);
        let most = store.most_charge(&hour, &rest, 1.0);
        let charged = store.charge(&hour, &rest, part * most.watts, &most);
        let stored = store.energy(charged.q) - rest.energy;
        proptest::prop_assert!((charged.power - charged.loss - stored).abs() < 1e-8);
        proptest::prop_assert!((charged.power - part.min(1.0) * most.watts).abs() < 1e-7);
        proptest::prop_assert!(charged.q <= 400.0 + 1e-9 && charged.loss >= 0.0 && charged.gassing >= 0.0);
        let most = store.most_discharge(&hour, &rest);
        let discharged = store.discharge(&hour, &rest, part * most.watts, &most);
        let taken = rest.energy - store.energy(discharged.q);
        proptest::prop_assert!((taken - discharged.power - discharged.loss).abs() < 1e-8);
        proptest::prop_assert!(discharged.q >= store.floor.min(q) - 1e-9 && discharged.loss >= 0.0);
    }
}

#[test]
fn a_resting_bank_does_not_wear_by_cycles() {
    let bank = bank(Chemistry::LithiumIronPhosphate, 16, 100.0, 0.0);
    let rest = vec![0.5; 8760];
    let wear = Wear::of_year(&bank.cell, &rest, std::iter::repeat_n(25.0, 8760));
    assert_eq!((wear.cycles, wear.of_cycle_life), (0.0, 0.0));
    // 15 years at 25 °C; 13 °C warmer halves them.
    assert!((wear.calendar_life.value() - 15.0).abs() < 1e-9 && wear.hopeful == wear.calendar_life);
    let warm = Wear::of_year(&bank.cell, &rest, std::iter::repeat_n(38.0, 8760));
    assert!((warm.calendar_life.value() - 7.5).abs() < 1e-9);
    // One cycle of 80 % a day: 365 × 0.8^1.1 / 4694 = 0.06083 of its life.
    let cycling: Vec<f64> = (0..8760).map(|hour| if hour % 24 < 12 { 1.0 } else { 0.2 }).collect();
    let wear = Wear::of_year(&bank.cell, &cycling, std::iter::repeat_n(25.0, 8760));
    assert!((wear.of_cycle_life - 0.0608).abs() < 3e-4, "{wear:?}");
    assert!(
        (Percent::from_share(1.0 / CycleLaw::of(&bank.cell).cycles(Percent::new(80.0))).share()
            - 1.0 / 6000.0)
            .abs()
            < 1e-7
    );
}
