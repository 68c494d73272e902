//! What has no steady state is told in plain words; what is dead is told why.

use super::demos::demo;
use super::*;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::dc_load::DcLoad;
use lineside_core::kinds::strings::Strings;
use lineside_core::testing::{Bench, copper};
use lineside_core::units::{Amps, Meters};

fn words(sheet: &Sheet, flow: &Flow) -> Vec<String> {
    match &flow.outcome {
        Outcome::Solved => Vec::new(),
        Outcome::NotSolved(reasons) => reasons
            .iter()
            .map(|reason| reason.words(&sheet.project.circuit, lineside_core::units::UnitSystem::Si))
            .collect(),
    }
}

fn lights(min_voltage: Option<f64>) -> DcLoad {
    DcLoad {
        current: Amps::new(10.0),
        max_voltage: None,
        min_voltage: min_voltage.map(lineside_core::units::Volts::new),
        terminal_temperature: None,
        continuous_current: None,
    }
}

fn at_the_end_of_a_long_wire(load: DcLoad) -> Sheet {
    let mut bench = Bench::new();
    bench.put("B1", None, bench.stock("Nickel-iron cell, 600 Ah"));
    bench.put("L1", None, load);
    bench.join("W1", "B1.out", "L1.in", Some(copper("14", Meters::from_feet(1000.0))));
    Sheet::new(bench.project)
}

#[test]
fn a_load_at_the_end_of_a_long_wire_breaks_down() {
    // 14 AWG, 1000 ft one way: 6.28 Ω. No more than about 53² / (4 × 6.6) = 106 W can come through.
    let sheet = at_the_end_of_a_long_wire(lights(None));
    let loaded =
        |watts| sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "L1", power(watts)));
    assert!(loaded(90.0).is_solved());
    let flow = loaded(400.0);
    assert_balanced(&sheet, &flow, "collapse");
    let [told] = &words(&sheet, &flow)[..] else { panic!("{:?}", flow.outcome) };
    assert!(told.starts_with("the voltage at DC load L1 breaks down to "), "{told}");
    assert!(matches!(flow.unmet[0].why, Unserved::LetGo(Trip::Collapse { .. })));
    // With a lowest voltage on its nameplate it lets go in good order.
    let sheet = at_the_end_of_a_long_wire(lights(Some(42.0)));
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "L1", power(90.0)));
    assert!(flow.is_solved());
    assert!(matches!(flow.unmet[0].why, Unserved::LetGo(Trip::LowVoltage { .. })), "{:?}", flow.unmet);
}

#[test]
fn an_inverter_that_pulls_its_bank_down_under_too_much_load_is_called_overloaded() {
    let mut bench = Bench::new();
    bench.put("B1", None, bench.stock("Nickel-iron cell, 400 Ah"));
    bench.put("INV1", None, bench.stock("Inverter-charger, 4 kW, 48 V, 120 V"));
    bench.put("P1", None, bench.stock("AC panel, 120 V, 60 A, without main"));
    bench.join("W1", "B1.out", "INV1.dc", Some(copper("4/0", Meters::from_feet(10.0))));
    bench.join("W2", "INV1.out", "P1.feed", None);
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "P1", power(60_000.0)));
    let [told] = &words(&sheet, &flow)[..] else { panic!("{:?}", flow.outcome) };
    assert!(told.starts_with("inverter INV1 is asked for "), "{told}");
    assert!(matches!(flow.unmet[0].why, Unserved::Dead(_)), "{:?}", flow.unmet);
    // A bank that is empty stops the inverter in good order.
    let empty = OperatingState { charge: percent(0.0), ..OperatingState::new() };
    let flow = sheet.flow(&empty.loaded(&sheet.project.circuit, "P1", power(3000.0)));
    assert!(flow.is_solved(), "{:?}", flow.outcome);
}

#[test]
fn a_controller_without_battery_has_nothing_to_hold() {
    let mut bench = Bench::new();
    let strings = bench.stock("Module string, 400 W modules").as_kind::<Strings>().unwrap().clone();
    bench.put("S1", None, Strings { modules_in_series: 3, strings_in_parallel: 1, ..strings });
    bench.put("C1", None, bench.stock("Tracking controller, 150 V in, 60 A out"));
    bench.put("L1", None, lights(None));
    bench.join("W1", "S1.out", "C1.pv", None);
    bench.join("W2", "C1.battery", "L1.in", None);
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new());
    assert_eq!(
        words(&sheet, &flow),
        ["nothing holds the voltage of the circuit that charge controller C1 feeds: it has no battery"]
    );
    assert_eq!(
        flow.controller(sheet.id("C1")).unwrap().doing,
        ControllerDoing::Off(ControllerOff::NoBattery)
    );
    // In the dark nothing would feed it.
    assert!(sheet.flow(&OperatingState { sun: sun(0.0), ..OperatingState::new() }).is_solved());
}

#[test]
fn direct_and_alternating_current_on_one_circuit_are_told() {
    let mut bench = Bench::new();
    bench.put("B1", None, bench.stock("Nickel-iron cell, 600 Ah"));
    bench.put("Q1", None, bench.stock("DC breaker, 70 A, 150 V"));
    bench.put("P1", None, bench.stock("AC panel, 120 V, 60 A, without main"));
    bench.join("W1", "B1.out", "Q1.line", None);
    bench.join("W2", "Q1.load", "P1.feed", None);
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new());
    assert_eq!(
        words(&sheet, &flow),
        ["direct and alternating current stand on one circuit: battery bank B1, AC panel P1"]
    );
    assert!(sheet.flow(&OperatingState::new().thrown(sheet.id("Q1"), Position::Open)).is_solved());
}

#[test]
fn an_inverter_that_is_asked_for_too_much_switches_off() {
    let sheet = demo("cabin");
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "P1", power(4500.0)));
    let [told] = &words(&sheet, &flow)[..] else { panic!("{:?}", flow.outcome) };
    assert!(
        told.starts_with("inverter INV1 is asked for 4,6")
            && told.ends_with("gives 4,000 W at most, so it switches off"),
        "{told}"
    );
}

#[test]
fn an_empty_sheet_and_lone_blocks_are_solved() {
    let sheet = Sheet::new(Project::default());
    let flow = sheet.flow(&OperatingState::new());
    assert!(flow.is_solved());
    assert_eq!(flow.balance, Balance::default());
    let mut bench = Bench::new();
    bench.put("P1", None, bench.stock("AC panel, 120 V, 60 A, without main"));
    bench.put("S1", None, bench.stock("Module string, 400 W modules"));
    bench.put("C1", None, bench.stock("Tracking controller, 150 V in, 60 A out"));
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "P1", power(100.0)));
    assert!(flow.is_solved(), "{:?}", flow.outcome);
    assert_eq!(flow.unmet.len(), 1);
    // The module stands at its open-circuit voltage.
    let point = sheet.network.sources()[0].node;
    assert!(flow.voltage(point).is_some_and(|volts| volts.value() > 30.0));
}

#[test]
fn a_run_whose_resistance_no_table_tells_is_remarked() {
    let mut bench = Bench::new();
    bench.project.rule_set = lineside_core::project::RuleSet::Iec;
    bench.put("B1", None, bench.stock("Nickel-iron cell, 600 Ah"));
    bench.put("L1", None, lights(None));
    bench.join("W1", "B1.out", "L1.in", Some(copper("8", Meters::new(10.0))));
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "L1", power(100.0)));
    let run = sheet.project.circuit.run_by_tag("W1").unwrap().id;
    assert_eq!(flow.remarks, [Remark::ResistanceUnknown(run)]);
    assert!((flow.block(sheet.id("L1")).unwrap().used.value() - 100.0).abs() < 1e-9);
}

#[test]
fn a_run_from_a_block_to_itself_carries_nothing() {
    let mut bench = Bench::new();
    bench.put("B1", None, bench.stock("Nickel-iron cell, 600 Ah"));
    bench.put("BUS1", None, bench.stock("DC bus bar, covered, 250 A, 6 taps, 150 V"));
    bench.put("L1", None, lights(None));
    bench.join("W1", "B1.out", "BUS1.tap1", None);
    bench.join("W2", "BUS1.tap2", "BUS1.tap3", Some(copper("8", Meters::new(10.0))));
    bench.join("W3", "BUS1.tap4", "BUS1.tap4", Some(copper("8", Meters::new(10.0))));
    bench.join("W4", "BUS1.tap5", "L1.in", Some(copper("8", Meters::ZERO)));
    let sheet = Sheet::new(bench.project);
    let flow = sheet.flow(&OperatingState::new().loaded(&sheet.project.circuit, "L1", power(100.0)));
    assert_balanced(&sheet, &flow, "loops");
    for tag in ["W2", "W3"] {
        let run = sheet.project.circuit.run_by_tag(tag).unwrap().id;
        assert_eq!(flow.run(&sheet.network, run).unwrap().flow.current, Amps::ZERO, "{tag}");
    }
}

#[test]
fn rapid_shutdown_leaves_the_strings_live_and_the_controllers_without_them() {
    let sheet = demo("home");
    let flow = sheet.flow(&OperatingState::new().thrown(sheet.id("RS1"), Position::Open));
    assert_balanced(&sheet, &flow, "shutdown");
    for tag in ["C1", "C2"] {
        let doing = flow.controller(sheet.id(tag)).unwrap().doing;
        assert_eq!(doing, ControllerDoing::Off(ControllerOff::NoStrings), "{tag}");
    }
    let at = |block: &str, name: &str| {
        let terminal = lineside_core::circuit::TerminalName::read(name).unwrap();
        let end = lineside_core::circuit::RunEnd { block: sheet.id(block), terminal };
        flow.voltage(sheet.network.at(end).unwrap())
    };
    assert!(at("K1", "line").is_some() && at("K1", "load").is_none() && at("PVD", "line1").is_none());
}

#[test]
fn what_is_switched_off_by_its_own_switch_is_off() {
    let sheet = demo("cabin");
    let circuit = &sheet.project.circuit;
    let state = OperatingState::new().loaded(circuit, "P1", power(500.0));
    let off = state.thrown(sheet.id("C1"), Position::Open).thrown(sheet.id("INV1"), Position::Open);
    let flow = sheet.flow(&off);
    assert_balanced(&sheet, &flow, "switched off");
    assert_eq!(
        flow.controller(sheet.id("C1")).unwrap().doing,
        ControllerDoing::Off(ControllerOff::SwitchedOff)
    );
    assert_eq!(flow.inverter(sheet.id("INV1")).unwrap().doing, InverterDoing::Off(InverterOff::SwitchedOff));
    assert_eq!(flow.unmet.len(), 1);
}
