//! The demo projects in many cases: each is solved, balances, and does what such a system does.

use super::*;

pub(super) fn demo(name: &str) -> Sheet {
    let path = format!("{}/../../assets/demos/{name}.lineside", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    Sheet::new(lineside_core::file::read(&text).unwrap_or_else(|fault| panic!("{fault}")))
}

#[test]
fn look() {
    let sheet = demo("cabin");
    let circuit = &sheet.project.circuit;
    let state = sheet.state().loaded(circuit, "P1", power(800.0)).loaded(circuit, "L1", Load::ALL);
    for (name, state) in [
        ("sun", OperatingState { charge: percent(75.0), ..state.clone() }),
        ("absorb", OperatingState { charge: percent(100.0), ..state.clone() }),
        ("float", OperatingState { charge: percent(100.0), stage: ChargeStage::Float, ..state.clone() }),
        ("night", OperatingState { sun: sun(0.0), ..state.clone() }),
        ("low", OperatingState { sun: sun(0.0), charge: percent(0.0), ..state.clone() }),
        (
            "gen",
            OperatingState { sun: sun(0.0), charge: percent(30.0), ..state.clone() }.supplied(circuit, "G1"),
        ),
        (
            "help",
            OperatingState { sun: sun(0.0), charge: percent(30.0), ..state.clone() }
                .supplied(circuit, "G1")
                .loaded(circuit, "P1", power(2500.0)),
        ),
        ("overload", state.clone().loaded(circuit, "P1", power(5500.0))),
    ] {
        let flow = sheet.flow(&state);
        println!("== {name}: {:?}", flow.outcome);
        println!("{:?} {:?}", flow.balance, flow.residual);
        println!("{:?}", flow.controller(sheet.id("C1")));
        println!("{:?}", flow.inverter(sheet.id("INV1")));
        for source in flow.sources() {
            println!(
                "   {} {:?} {:?} {} {}",
                circuit.block(source.block).unwrap().tag,
                source.kind,
                source.doing,
                source.power.value(),
                source.current.value()
            );
        }
        for run in circuit.runs() {
            let it = flow.run(&sheet.network, run.id).unwrap();
            println!(
                "   {} {:.3} A {:?}->{:?} lost {:.3}",
                run.tag,
                it.flow.current.value(),
                it.from.map(|v| v.value()),
                it.to.map(|v| v.value()),
                it.flow.lost.value()
            );
        }
        println!("{:?}", flow.unmet);
        assert_balanced(&sheet, &flow, name);
    }
}
