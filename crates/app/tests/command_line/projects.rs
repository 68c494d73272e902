//! Small projects for the tests, and files made of them.

use crate::Outcome;
use crate::running::in_repository;
use lineside_core::circuit::{Conductor, Insulation, PlaceFacts, PlaceId, Raceway, Surroundings};
use lineside_core::edit::{Edit, apply};
use lineside_core::file;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::field::Value;
use lineside_core::project::{Brief, OperatingCase, Project, SwitchState, TitleBlock};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::{Celsius, Meters, Percent, Watts, WattsPerSquareMeter};
use std::fs;

/// Three modules in series stay below the controller's 150 V in the cold: 3 × 37.2 V × 1.1215 = 125 V.
pub const SOUND: u32 = 3;
/// Four do not: 4 × 37.2 V × 1.1215 = 167 V.
pub const TOO_MANY: u32 = 4;

/// 90 °C copper in metal conduit.
fn in_conduit(size: &str, feet: f64) -> Conductor {
    Conductor {
        insulation: Insulation::Thwn2,
        raceway: Raceway::MetalConduit,
        ..copper(size, Meters::from_feet(feet))
    }
}

/// A small system: one string of so many 400 W modules, a controller and a 48 V bank.
pub fn small(modules: u32) -> Outcome<Project> {
    let mut bench = Bench::new();
    let field = bench.location("Array field");
    let wall = bench.location("Power wall");
    indoors(&mut bench.project, wall)?;
    let mut strings = bench.stock("Module string, 400 W modules");
    strings.set("modules_in_series", &Value::Whole(modules))?;
    bench.put("S1", Some(field), strings);
    bench.put("Q1", Some(field), bench.stock("DC switch, 30 A, 600 V"));
    bench.put("Q2", Some(wall), bench.stock("DC switch, 30 A, 600 V"));
    bench.put("C1", Some(wall), bench.stock("Tracking controller, 150 V in, 60 A out"));
    bench.put("Q3", Some(wall), bench.stock("DC breaker, 80 A, 125 V"));
    bench.put("B1", Some(wall), bench.stock("Nickel-iron cell, 400 Ah"));
    bench.join("W1", "S1.out", "Q1.line", Some(in_conduit("10", 10.0)));
    bench.join("W2", "Q1.load", "Q2.line", Some(in_conduit("10", 40.0)));
    bench.join("W3", "Q2.load", "C1.pv", Some(in_conduit("10", 5.0)));
    bench.join("W4", "C1.battery", "Q3.line", Some(in_conduit("4", 5.0)));
    bench.join("W5", "Q3.load", "B1.out", Some(in_conduit("4", 5.0)));
    let mut project = bench.project;
    project.title = TitleBlock { system: "Test Shed".to_owned(), ..TitleBlock::default() };
    Ok(project)
}

fn indoors(project: &mut Project, place: PlaceId) -> Outcome<()> {
    let mut place = project.circuit.place(place).ok_or("the place is there")?.clone();
    place.facts = PlaceFacts {
        surroundings: Some(Surroundings::Indoors),
        coldest: Some(Celsius::new(10.0)),
        hottest: Some(Celsius::new(30.0)),
        ..PlaceFacts::unknown()
    };
    apply(project, Edit::SetPlace(Box::new(place)))?;
    Ok(())
}

/// The small system as the text of a file.
pub fn small_text(modules: u32) -> Outcome<String> {
    Ok(file::write(&small(modules)?)?)
}

/// The small system at a site of which nothing is known.
pub fn without_site_text() -> Outcome<String> {
    let mut project = small(SOUND)?;
    project.brief = Brief::default();
    Ok(file::write(&project)?)
}

/// A bank with an inverter, a DC converter and a panel, in cases that it stands and in one that it does not. What the
/// bank and the inverter push into a short circuit is not given.
pub fn with_cases_text() -> Outcome<String> {
    let mut bench = Bench::new();
    let wall = bench.location("Power wall");
    indoors(&mut bench.project, wall)?;
    for (tag, stock) in [
        ("B1", "Nickel-iron cell, 400 Ah"),
        ("Q1", "DC breaker, 225 A, 125 V"),
        ("BUS1", "DC bus bar, covered, 250 A, 6 taps, 150 V"),
        ("INV1", "Inverter-charger, 4 kW, 48 V, 120 V"),
        ("QA", "AC breaker, one-pole, 45 A, 120 V"),
        ("P1", "AC panel, 120 V, 60 A, without main"),
        ("CV1", "DC converter, 48 V to 12 V, 20 A"),
        ("L1", "DC lights, 12 V, 5 A"),
    ] {
        let mut equipment = bench.stock(stock);
        for unknown in ["unit_resistance", "output_fault_current"] {
            // Not every kind has both.
            let _ = equipment.set(unknown, &Value::Absent);
        }
        bench.put(tag, Some(wall), equipment);
    }
    bench.join("W1", "Q1.load", "B1.out", Some(in_conduit("4/0", 5.0)));
    bench.join("W2", "Q1.line", "BUS1.tap1", None);
    bench.join("W3", "BUS1.tap2", "INV1.dc", Some(in_conduit("1/0", 5.0)));
    bench.join("W4", "INV1.out", "QA.line", Some(in_conduit("6", 5.0)));
    bench.join("W5", "QA.load", "P1.feed", Some(in_conduit("6", 5.0)));
    bench.join("W6", "BUS1.tap3", "CV1.in", Some(in_conduit("10", 5.0)));
    bench.join("W7", "CV1.out", "L1.in", Some(in_conduit("10", 5.0)));
    let case = |name: &str, loads: &[(&str, f64)]| OperatingCase {
        name: name.to_owned(),
        sun: WattsPerSquareMeter::ZERO,
        ambient: Celsius::new(20.0),
        state_of_charge: Percent::new(80.0),
        loads: loads.iter().map(|(tag, watts)| ((*tag).to_owned(), Watts::new(*watts))).collect(),
        supplies: Vec::new(),
        switches: Vec::new(),
        remark: String::new(),
    };
    let open = SwitchState { block: "QA".to_owned(), pole: String::new(), position: Position::Open };
    let cases = vec![
        case("evening", &[("P1", 1200.0), ("L1", 60.0), ("P9", 5.0)]),
        case("everything at once", &[("P1", 60_000.0)]),
        OperatingCase { switches: vec![open], ..case("breaker off", &[("P1", 500.0)]) },
    ];
    apply(&mut bench.project, Edit::SetCases(cases))?;
    Ok(file::write(&bench.project)?)
}

/// A bank that hangs on a bus bar with no device between.
pub fn bare_bus_text() -> Outcome<String> {
    let mut bench = Bench::new();
    let wall = bench.location("Power wall");
    bench.put("B1", Some(wall), bench.stock("Nickel-iron cell, 400 Ah"));
    bench.put("BUS1", Some(wall), bench.stock("DC bus bar, covered, 250 A, 6 taps, 150 V"));
    bench.join("W1", "B1.out", "BUS1.tap1", Some(in_conduit("4/0", 5.0)));
    Ok(file::write(&bench.project)?)
}

/// A string and a controller and nothing else: what `docs/json.md` shows.
pub fn shed_text() -> Outcome<String> {
    let mut bench = Bench::new();
    let wall = bench.location("Shed wall");
    let mut strings = bench.stock("Module string, 400 W modules");
    strings.set("modules_in_series", &Value::Whole(TOO_MANY))?;
    bench.put("S1", Some(wall), strings);
    bench.put("C1", Some(wall), bench.stock("Tracking controller, 150 V in, 60 A out"));
    bench.join("W1", "S1.out", "C1.pv", Some(in_conduit("10", 10.0)));
    Ok(file::write(&bench.project)?)
}

/// A demo that is free of dangers, corrections and advice.
pub fn clean_text() -> Outcome<String> {
    Ok(fs::read_to_string(in_repository("assets/demos/cabin.lineside"))?)
}

/// The same with so long a way to its DC loads that much voltage is lost: advice, and nothing worse.
pub fn wasteful_text() -> Outcome<String> {
    let mut project = file::read(&clean_text()?)?;
    let mut run = project.circuit.run_by_tag("W11").ok_or("W11")?.clone();
    let conductor = run.conductor.as_mut().ok_or("its conductor")?;
    conductor.length = conductor.length * 5.0;
    apply(&mut project, Edit::SetRun(Box::new(run)))?;
    Ok(file::write(&project)?)
}

/// So many small systems beside each other on one sheet, as the text of a file.
pub fn many_text(systems: u32) -> Outcome<String> {
    let text = small_text(TOO_MANY)?;
    let (head, rest) = text.split_once("    blocks: [\n").ok_or("blocks")?;
    let (blocks, rest) = rest.split_once("    ],\n    runs: [\n").ok_or("runs")?;
    let (runs, tail) = rest.split_once("    ],\n").ok_or("the end of the runs")?;
    let many = |entries: &str| (0..systems).map(|system| renumbered(entries, system)).collect::<String>();
    let (blocks, runs) = (many(blocks), many(runs));
    Ok(format!("{head}    blocks: [\n{blocks}    ],\n    runs: [\n{runs}    ],\n{tail}"))
}

/// How many ids and tags a small system takes.
const STEP: u32 = 100;
/// Grid steps from one system to the next.
const ROW: u32 = 12;

/// The entries of one system with ids and tags of their own, and in a row of its own: `S1` becomes `S1-7`.
fn renumbered(entries: &str, system: u32) -> String {
    entries.lines().flat_map(|line| [renumbered_line(line, system), "\n".to_owned()]).collect()
}

fn renumbered_line(line: &str, system: u32) -> String {
    let Some((key, value)) = line.split_once(": ") else { return line.to_owned() };
    match (key.trim(), value.trim_end_matches(',').parse::<u32>()) {
        ("id", Ok(id)) => format!("{key}: {},", id + system * STEP),
        ("y", Ok(y)) => format!("{key}: {},", y + system * ROW),
        ("tag", _) => format!("{key}: {}-{system}\",", value.trim_end_matches("\",")),
        ("from" | "to", _) => format!("{key}: {}", value.replacen('.', &format!("-{system}."), 1)),
        _ => line.to_owned(),
    }
}
