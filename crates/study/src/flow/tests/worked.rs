//! Small circuits whose state was worked by hand; the arithmetic stands beside each.

use super::*;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::dc_load::DcLoad;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::{StringEnds, Strings};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::{Amps, Meters, Volts};

const IRON: &str = "Nickel-iron cell, 600 Ah";

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{found} instead of {expected}");
}

/// A bank with nothing on its nameplate that the tables of chemistries do not know.
fn bank(item: &str, in_series: u32) -> BatteryBank {
    let bank = Bench::new().stock(item).as_kind::<BatteryBank>().unwrap().clone();
    BatteryBank { units_in_series: in_series, rest_voltages: None, charge_efficiency: None, ..bank }
}

/// Lights that may stand at any voltage.
fn lights() -> DcLoad {
    DcLoad {
        current: Amps::new(10.0),
        max_voltage: None,
        min_voltage: None,
        terminal_temperature: None,
        continuous_current: None,
    }
}

fn feet(feet: f64) -> Meters {
    Meters::from_feet(feet)
}

fn at_75_percent() -> OperatingState {
    let battery_temperature = Some(celsius(25.0));
    OperatingState { sun: sun(0.0), charge: percent(75.0), battery_temperature, ..OperatingState::new() }
}

#[test]
fn a_bank_a_wire_and_a_load() {
    let mut bench = Bench::new();
    bench.put("B1", None, bank(IRON, 40));
    bench.put("L1", None, lights());
    bench.join("W1", "B1.out", "L1.in", Some(copper("8", feet(80.0))));
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&at_75_percent().loaded(&sheet.project.circuit, "L1", power(240.0)));
    assert_balanced(&sheet, &flow, "bank, wire, load");
    assert!(flow.is_solved());
    // 53.6 V at rest. Polarization 1.6 V for 6 A and 0.03 Ω: 0.296667 Ω. 8 AWG: 0.778 Ω/kft × 160 ft = 0.12448 Ω.
    // (53.6 − 0.421147 I) I = 240: I = (53.6 − √(53.6² − 4 × 0.421147 × 240)) / (2 × 0.421147) = 4.647308 A.
    let run = flow.run(&sheet.network, sheet.project.circuit.run_by_tag("W1").unwrap().id).unwrap();
    close(run.flow.current.value(), 4.647_307_887_140_439);
    assert_eq!(run.flow.direction(), FlowDirection::Forward);
    // 53.6 − 4.647308 × 0.296667 and 240 / 4.647308.
    close(run.from.unwrap().value(), 52.221_298_660_148_335);
    close(run.to.unwrap().value(), 51.642_801_774_357_096);
    // 4.647308² × 0.12448 W in the wire.
    close(run.flow.lost.value(), 4.647_307_887_140_439_f64.powi(2) * 0.12448);
    close(flow.block(sheet.id("L1")).unwrap().used.value(), 240.0);
    close(flow.block(sheet.id("B1")).unwrap().made.value(), 53.6 * 4.647_307_887_140_439);
}

#[test]
fn two_banks_of_unlike_charge_even_out() {
    let mut bench = Bench::new();
    bench.put("B1", None, bank(IRON, 40));
    bench.put("B2", None, bank(IRON, 40));
    bench.put("BUS1", None, bench.stock("DC bus bar, covered, 250 A, 6 taps, 150 V"));
    bench.join("W1", "B1.out", "BUS1.tap1", Some(copper("4/0", feet(14.0))));
    bench.join("W2", "B2.out", "BUS1.tap2", Some(copper("4/0", feet(14.0))));
    let sheet = Sheet::new(bench.project);
    let mut state = at_75_percent();
    state.bank_charges.insert(sheet.id("B2"), percent(50.0));
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "two banks");
    // 53.6 V against 40 × 1.31 = 52.4 V. Below 6 A: discharge 1.6/6 + 0.03 = 0.296667 Ω, charge
    // 40 × 0.13/6 + 40 × 0.7/600 = 0.913333 Ω, each wire 0.0608 × 0.028 = 1.7024 mΩ:
    // 1.2 / (0.296667 + 0.913333 + 0.0034048) = 0.988953 A.
    let run = |tag: &str| {
        let id = sheet.project.circuit.run_by_tag(tag).unwrap().id;
        flow.run(&sheet.network, id).unwrap()
    };
    close(run("W1").flow.current.value(), 0.988_952_738_607_926_1);
    close(run("W2").flow.current.value(), -0.988_952_738_607_926_1);
    assert_eq!(run("W2").flow.direction(), FlowDirection::Backward);
    close(run("W1").to.unwrap().value(), 53.304_927_094_404_114);
    let doing = |i: usize| flow.sources()[i].doing;
    assert_eq!((doing(0), doing(1)), (SourceDoing::Giving, SourceDoing::Taking));
    // 92 % of what flows into cells at half charge stays: 52.4 V × 0.988953 A × 0.92.
    close(flow.block(sheet.id("B2")).unwrap().used.value(), 52.4 * 0.988_952_738_607_926_1 * 0.92);
}

/// A bank, a 4 kW inverter on it, a panel behind 95 ft of 6 AWG in metal conduit.
fn inverter_bench(low_cut_out: f64, panel: impl Fn(&mut AcPanel)) -> Sheet {
    let mut bench = Bench::new();
    bench.put("B1", None, bank(IRON, 40));
    let mut inverter =
        bench.stock("Inverter-charger, 4 kW, 48 V, 120 V").as_kind::<Inverter>().unwrap().clone();
    inverter.low_cut_out = Some(Volts::new(low_cut_out));
    bench.put("INV1", None, inverter);
    let mut loads = bench.stock("AC panel, 120 V, 60 A, without main").as_kind::<AcPanel>().unwrap().clone();
    panel(&mut loads);
    bench.put("P1", None, loads);
    bench.join("W1", "B1.out", "INV1.dc", None);
    bench.join("W2", "INV1.out", "P1.feed", Some(copper("6", feet(95.0))));
    Sheet::new(bench.project)
}

#[test]
fn an_inverter_and_its_panel() {
    let sheet = inverter_bench(42.0, |_| ());
    let flow = sheet.flow(&at_75_percent().loaded(&sheet.project.circuit, "P1", power(1500.0)));
    assert_balanced(&sheet, &flow, "inverter");
    // 6 AWG in steel conduit: 0.49 Ω/kft × 190 ft = 0.0931 Ω. V = (120 + √(120² − 4 × 0.0931 × 1500))/2 = 118.824740 V.
    let panel = sheet.network.at(sheet.project.circuit.run_by_tag("W2").unwrap().to).unwrap();
    close(flow.voltage(panel).unwrap().value(), 118.824_739_693_431_71);
    // 12.623634 A × 120 V = 1514.836056 W out; 37.87 % of 4000 W: between 93.5 % at 25 % and 94 % at 50 %:
    // 93.5 + 0.5 × 12.870901/25 = 93.757418 %: 1615.697478 W in.
    let inverter = flow.inverter(sheet.id("INV1")).unwrap();
    assert_eq!(inverter.doing, InverterDoing::Inverting);
    close(inverter.made.value(), 1_514.836_055_726_721_4);
    let efficiency = 93.5 + 0.5 * (1_514.836_055_726_721_4 / 40.0 - 25.0) / 25.0;
    close(inverter.from_battery.value(), 1_514.836_055_726_721_4 / efficiency * 100.0);
}

#[test]
fn a_power_factor_costs_current_and_no_power_but_in_the_wire() {
    let sheet = inverter_bench(42.0, |panel| panel.power_factor = Some(percent(60.0)));
    let flow = sheet.flow(&at_75_percent().loaded(&sheet.project.circuit, "P1", power(900.0)));
    assert_balanced(&sheet, &flow, "power factor");
    let run = flow.run(&sheet.network, sheet.project.circuit.run_by_tag("W2").unwrap().id).unwrap();
    // 900 W and 1200 var are 1500 VA; the current follows from the voltage at the panel.
    let amps = run.flow.current.value();
    close(amps * run.to.unwrap().value(), 1500.0);
    close(run.flow.lost.value(), amps * amps * 0.0931);
    close(flow.inverter(sheet.id("INV1")).unwrap().made.value(), 900.0 + amps * amps * 0.0931);
}

#[test]
fn an_empty_bank_stops_the_inverter_and_leaves_the_panel_dead() {
    // 47.2 V at rest; 3000 W draw some 75 A: 47.2 − 1.6 − 2.3 = 43.3 V.
    let flow_at = |low_cut_out| {
        let sheet = inverter_bench(low_cut_out, |_| ());
        let state = OperatingState { charge: percent(0.0), ..at_75_percent() };
        let flow = sheet.flow(&state.loaded(&sheet.project.circuit, "P1", power(3000.0)));
        (sheet, flow)
    };
    let (sheet, flow) = flow_at(42.0);
    let id = sheet.id("INV1");
    assert_eq!(flow.inverter(id).unwrap().doing, InverterDoing::Inverting);
    let (sheet, flow) = flow_at(45.0);
    assert_balanced(&sheet, &flow, "empty bank");
    // It is off for good reason: the case is solved, the panel goes without.
    assert!(flow.is_solved());
    let doing = flow.inverter(id).unwrap().doing;
    assert!(
        matches!(doing, InverterDoing::Off(InverterOff::Tripped(Trip::LowVoltage { limit, .. })) if limit == Volts::new(45.0)),
        "{doing:?}"
    );
    let [unmet] = flow.unmet.as_slice() else { panic!("{:?}", flow.unmet) };
    assert_eq!((unmet.block, unmet.asked), (sheet.id("P1"), Watts::new(3000.0)));
    let Unserved::Dead(causes) = &unmet.why else { panic!("{unmet:?}") };
    assert!(
        causes
            .iter()
            .any(|it| it.source == id && matches!(it.doing, SourceDoing::Tripped(_)) && it.open.is_none()),
        "{causes:?}"
    );
}

/// Two strings of three 400 W modules on a 60 A controller, a bank, lights.
fn tracking_bench(limit: Option<Amps>) -> Sheet {
    let mut bench = Bench::new();
    let strings = bench.stock("Module string, 400 W modules").as_kind::<Strings>().unwrap().clone();
    let strings =
        Strings { modules_in_series: 3, strings_in_parallel: 1, ends: StringEnds::Leads, ..strings };
    bench.put("S1", None, strings.clone());
    bench.put("S2", None, strings);
    bench.put("X1", None, bench.stock("Splice box, three ends, 85 A, 600 V"));
    let controller = bench.stock("Tracking controller, 150 V in, 60 A out");
    let controller = controller.as_kind::<ChargeController>().unwrap().clone();
    bench.put("C1", None, ChargeController { current_limit: limit, ..controller });
    bench.put("B1", None, bank(IRON, 40));
    bench.put("L1", None, lights());
    bench.join("W1", "S1.out", "X1.end1", Some(copper("10", feet(30.0))));
    bench.join("W2", "S2.out", "X1.end2", Some(copper("10", feet(30.0))));
    bench.join("W3", "X1.end3", "C1.pv", Some(copper("4", feet(100.0))));
    bench.join("W4", "C1.battery", "B1.out", Some(copper("4", feet(5.0))));
    bench.join("W5", "L1.in", "B1.out", None);
    Sheet::new(bench.project)
}

#[test]
fn a_tracker_finds_the_best_voltage_behind_the_wires() {
    let sheet = tracking_bench(None);
    let state = OperatingState { sun: sun(1000.0), ..at_75_percent() };
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "tracker");
    let controller = flow.controller(sheet.id("C1")).unwrap();
    assert_eq!(controller.doing, ControllerDoing::Tracking);
    // Both strings alike: I at the strings' voltage, V less (1.24 × 0.060 + 2 × 0.308 × 0.200) Ω × I = 0.1976 Ω × I at
    // the controller. The best of the products, looked for by trying a hundred thousand voltages.
    let cells = 56.25 - 25.0;
    let (watts, volts) = (1200.0 * (1.0 - 0.0034 * cells), 93.9 * (1.0 - 0.0039 * cells));
    let amps = watts / volts;
    let over = 111.6 * (1.0 - 0.0027 * cells) - volts;
    // Where e^z − 1 = (V / over) z: by halving.
    let (mut low, mut high) = (0.5, 20.0);
    for _ in 0..200 {
        let z: f64 = 0.5 * (low + high);
        if z.exp() - 1.0 < volts / over * z { low = z } else { high = z }
    }
    let bend = over / low;
    let current = |at: f64| amps - amps / volts * bend * (((at - volts) / bend).exp() - 1.0);
    let best = (0..100_000)
        .map(|step| {
            let at = 60.0 + f64::from(step) * 4e-4;
            2.0 * current(at) * (at - 0.1976 * current(at))
        })
        .fold(0.0, f64::max);
    close(controller.available.unwrap().value(), best);
    // 97.9 % at three quarters of 60 A × 48 V = 2880 W, 98 % at a half: 2075 W in are about 70.5 % out.
    let output = (controller.output_voltage.unwrap() * controller.output_current).value();
    let efficiency = 98.0 - 0.1 * (output / 28.8 - 50.0) / 25.0;
    close(output, best * efficiency / 100.0);
}

#[test]
fn a_full_bank_is_held_at_its_voltage_where_the_controller_measures() {
    let sheet = tracking_bench(None);
    let state = OperatingState { sun: sun(1000.0), charge: percent(100.0), ..at_75_percent() };
    let state = state.loaded(&sheet.project.circuit, "L1", power(300.0));
    let bank = sheet.network.at(sheet.project.circuit.run_by_tag("W4").unwrap().to).unwrap();
    // 40 × 1.6 V at 25 °C; 40 × 1.45 V; at 5 °C 40 × 0.004 × 20 = 3.2 V more.
    for (stage, temperature, expected) in [
        (ChargeStage::Bulk, 25.0, 64.0),
        (ChargeStage::Absorb, 25.0, 64.0),
        (ChargeStage::Float, 25.0, 58.0),
        (ChargeStage::Absorb, 5.0, 67.2),
    ] {
        let battery_temperature = Some(celsius(temperature));
        let flow = sheet.flow(&OperatingState { battery_temperature, stage, ..state.clone() });
        assert_balanced(&sheet, &flow, stage.label());
        let controller = flow.controller(sheet.id("C1")).unwrap();
        assert_eq!(controller.doing, ControllerDoing::HeldBack(stage));
        let found = flow.voltage(bank).unwrap().value();
        // The voltage droops by a hundred-thousandth from no current to full current.
        assert!((found / expected - 1.0).abs() <= 1e-5, "{found} instead of {expected}");
        // The strings work to the right of their best voltage and give less than they could.
        assert!(controller.input_voltage.unwrap().value() > 85.0);
        assert!(controller.available.unwrap().value() > 2000.0);
        close(flow.block(sheet.id("L1")).unwrap().used.value(), 300.0);
    }
}

#[test]
fn a_controller_gives_no_more_than_its_current() {
    let sheet = tracking_bench(Some(Amps::new(20.0)));
    let id = sheet.id("C1");
    let flow = sheet.flow(&OperatingState { sun: sun(1000.0), ..at_75_percent() });
    assert_balanced(&sheet, &flow, "limit");
    let controller = flow.controller(id).unwrap();
    assert_eq!(controller.doing, ControllerDoing::LimitedByCurrent);
    close(controller.output_current.value(), 20.0);
    // 1.5 W for itself at its terminals; the bank takes the rest: 53.6 + 5.2 + 0.046667 I.
    let bank = -flow.sources().iter().find(|it| it.block == sheet.id("B1")).unwrap().current.value();
    close(bank, 20.0 - 1.5 / controller.output_voltage.unwrap().value());
    let run = flow.run(&sheet.network, sheet.project.circuit.run_by_tag("W4").unwrap().id).unwrap();
    close(run.to.unwrap().value(), 58.8 + bank * 28.0 / 600.0);
}

/// A 160 W module on a 12 V glass-mat battery through a switching controller.
fn switching_bench() -> Sheet {
    let mut bench = Bench::new();
    let strings =
        bench.stock("Module string, 160 W modules with 36 cells").as_kind::<Strings>().unwrap().clone();
    bench.put("S1", None, Strings { ends: StringEnds::Leads, ..strings });
    bench.put("C1", None, bench.stock("Switching controller, 12 and 24 V, 30 A"));
    bench.put("B1", None, bank("Sealed glass-mat battery, 12 V, 200 Ah", 1));
    bench.join("W1", "S1.out", "C1.pv", None);
    bench.join("W2", "C1.battery", "B1.out", None);
    Sheet::new(bench.project)
}

#[test]
fn a_switching_controller_puts_the_module_on_the_battery() {
    let sheet = switching_bench();
    let state = OperatingState { sun: sun(1000.0), charge: percent(60.0), ..at_75_percent() };
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "switching");
    let controller = flow.controller(sheet.id("C1")).unwrap();
    assert_eq!(controller.doing, ControllerDoing::Tracking);
    // Cells 32.5 K above 25 °C: 139.72 W at 15.9402 V, open 20.3965 V. Battery 6 × 2.07 + 0.18 + 0.0165 I, module 0.5 V
    // above it: by halving 12.758209 V and 9.588442 A, less the 0.2 W that the controller takes for itself.
    let volts = controller.output_voltage.unwrap().value();
    assert!((volts - 12.758_209).abs() < 5e-4, "{volts}");
    close(controller.input_voltage.unwrap().value(), volts + 0.5);
    close(controller.input_current.value(), controller.output_current.value());
    assert!((controller.output_current.value() - 9.588_442).abs() < 1e-3);
    close(controller.lost.value(), 0.5 * controller.output_current.value() + 0.2);
}

#[test]
fn a_switching_controller_holds_back_part_of_the_time() {
    let sheet = switching_bench();
    let state = OperatingState { sun: sun(1000.0), charge: percent(100.0), ..at_75_percent() };
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "switching, full");
    let controller = flow.controller(sheet.id("C1")).unwrap();
    assert_eq!(controller.doing, ControllerDoing::HeldBack(ChargeStage::Bulk));
    // Full: 12.9 V at rest. 0.1 A keep it full, at 0.0165 + 0.09 Ω; from there 0.0165 + 0.09 + 1.5/1.9 = 0.895974 Ω.
    // At 14.4 V: 0.1 + (1.5 − 0.01065)/0.895974 = 1.762271 A, and 0.2 W for the controller: 1.776160 A.
    assert!((controller.output_current.value() - 1.776_160).abs() < 1e-3, "{controller:?}");
    // The module would give 9.15 A at 14.9 V: it is let through about a fifth of the time.
    assert!((controller.duty.value() - 19.4).abs() < 0.5, "{controller:?}");
    // On the average it gives what goes into the controller.
    let module = flow.sources()[0];
    close(module.current.value(), controller.output_current.value());
}

#[test]
fn a_converter_feeds_lights_of_another_voltage() {
    let mut bench = Bench::new();
    bench.put("B1", None, bank(IRON, 40));
    bench.put("C1", None, bench.stock("DC converter, 48 V to 12 V, 20 A"));
    bench.put("L1", None, lights());
    bench.join("W1", "B1.out", "C1.in", None);
    bench.join("W2", "C1.out", "L1.in", None);
    let sheet = Sheet::new(bench.project);
    let loaded = |watts| at_75_percent().loaded(&sheet.project.circuit, "L1", power(watts));
    let flow = sheet.flow(&loaded(100.0));
    assert_balanced(&sheet, &flow, "converter");
    // 90 % at its 250 W: 27.777778 W lost, 1 W of it always; at 100 W 1 + 26.777778 × 0.4 = 11.711111 W.
    let converter = flow.converter(sheet.id("C1")).unwrap();
    assert_eq!(converter.doing, ConverterDoing::Holding);
    close(converter.output.value(), 100.0);
    close(converter.lost.value(), 11.711_111_111_111_11);
    close(flow.block(sheet.id("C1")).unwrap().taken.value(), 111.711_111_111_111_11);
    // 300 W are more than 12.5 V × 20 A = 250 W.
    let flow = sheet.flow(&loaded(300.0));
    assert_balanced(&sheet, &flow, "converter, overload");
    let Outcome::NotSolved(reasons) = &flow.outcome else { panic!("{:?}", flow.outcome) };
    let words = reasons[0].words(&sheet.project.circuit, sheet.project.units);
    assert_eq!(words, "DC converter C1 is asked for 300.00 W and gives 250.00 W at most, so it switches off");
    assert!(flow.is_dead(&sheet.network, sheet.id("L1")));
}

#[test]
fn cold_lithium_is_not_charged_and_the_controller_feeds_the_load_alone() {
    let mut bench = Bench::new();
    let strings = bench.stock("Module string, 400 W modules").as_kind::<Strings>().unwrap().clone();
    bench.put("S1", None, Strings { modules_in_series: 3, strings_in_parallel: 2, ..strings });
    bench.put("C1", None, bench.stock("Tracking controller, 150 V in, 60 A out"));
    let pack = bank("Lithium iron phosphate wall pack, 51.2 V, 200 Ah", 1);
    bench.put("B1", None, BatteryBank { blocks_cold_charge: Some(Fitted::Yes), ..pack });
    bench.put("L1", None, lights());
    bench.join("W1", "S1.out", "C1.pv", None);
    bench.join("W2", "C1.battery", "B1.out", None);
    bench.join("W3", "L1.in", "B1.out", None);
    let sheet = Sheet::new(bench.project);
    let state = OperatingState { sun: sun(1000.0), ambient: celsius(-15.0), ..OperatingState::new() };
    let state = OperatingState { battery_temperature: Some(celsius(-5.0)), ..state };
    let flow = sheet.flow(&state.loaded(&sheet.project.circuit, "L1", power(300.0)));
    assert_balanced(&sheet, &flow, "cold lithium");
    assert_eq!(flow.controller(sheet.id("C1")).unwrap().doing, ControllerDoing::HeldBack(ChargeStage::Bulk));
    let battery = flow.sources().iter().find(|it| it.block == sheet.id("B1")).unwrap();
    assert!(battery.current.value().abs() < 1e-4, "{battery:?}");
    assert_eq!(flow.unmet, []);
}
