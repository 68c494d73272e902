//! `lineside study`: short circuits, switching orders and flows, against numbers worked by hand.

use crate::Outcome;
use crate::projects::{self, SOUND};
use crate::running::{Folder, in_repository};
use serde_json::{Value, json};

fn folder(name: &str) -> Outcome<Folder> {
    let folder = Folder::with(name, "small.lineside", projects::small_text(SOUND)?)?;
    folder.write("cases.lineside", projects::with_cases_text()?)?;
    Ok(folder)
}

/// The entry of a list whose field has a value.
fn entry<'a>(list: &'a Value, field: &str, value: &str) -> Outcome<&'a Value> {
    let found = list.as_array().and_then(|list| list.iter().find(|it| it[field] == value));
    Ok(found.ok_or_else(|| format!("{field} {value}"))?)
}

/// Compares to the last digit that people read.
fn reads(figure: &Value, expected: &str) {
    assert_eq!(figure["text"], expected, "{figure}");
}

#[test]
fn short_circuits_come_from_each_side_by_source() -> Outcome<()> {
    let study = folder("study_faults")?.json(&["study", "small.lineside", "--json"])?;
    let faults = &study["faults"];
    // W5 joins Q3 and the bank by 5 ft of 4 AWG: 56 V behind 21.95 mΩ at the bank's end are 2551 A, from the
    // controller's end come its 60 A.
    let run = entry(&faults["runs"], "run", "W5")?;
    reads(&run["to"]["total"], "2,551 A");
    assert_eq!(run["to"]["sources"][0]["source"], "battery");
    reads(&run["from"]["total"], "60.00 A");
    assert_eq!(run["from"]["sources"][0]["source"], "controller");
    // Q3 stands 5 ft away: 0.308 Ω/kft × (1 − 0.00323 × 55) × 10 ft = 2.533 mΩ; 56 / 24.483 mΩ = 2287 A.
    let device = entry(&faults["devices"], "device", "Q3")?;
    reads(&device["duty"], "2,287 A");
    assert_eq!(
        device["line"]["sources"],
        json!([{ "source": "controller", "current":
        { "value": 60.0, "unit": "A", "text": "60.00 A" } }])
    );
    // One string: 1.25 × 13.60 A.
    reads(&entry(&faults["runs"], "run", "W1")?["from"]["total"], "17.00 A");
    Ok(())
}

#[test]
fn switching_orders_tell_steps_what_stays_live_and_the_way_back() -> Outcome<()> {
    let folder = folder("study_isolation")?;
    let study = folder.json(&["study", "small.lineside", "--json"])?;
    let order = entry(&study["isolation"], "block", "C1")?;
    assert_eq!(order["complete"], true);
    let steps = order["steps"].as_array().cloned().unwrap_or_default();
    let thrown: Vec<&str> = steps.iter().filter_map(|step| step["throw"].as_str()).collect();
    assert_eq!(thrown, ["Q2", "Q3"]);
    assert_eq!(order["way_back"], json!(["Q3", "Q2"]));
    let live = order["stays_live"].as_array().cloned().unwrap_or_default();
    let live: Vec<String> = live.iter().map(|it| format!("{} {}", it["what"], it["block"])).collect();
    assert_eq!(live, [r#""strings" "S1""#, r#""battery" "B1""#, r#""capacitors" "C1""#]);
    // Nothing cuts a bank off from itself.
    let bank = entry(&study["isolation"], "block", "B1")?;
    assert_eq!((&bank["complete"], &bank["remains"][0]["block"]), (&json!(false), &json!("B1")));

    let page = folder.run(&["study", "small.lineside"])?.out;
    for words in ["1. Q2; 2. Q3", "strings S1, battery B1, capacitors in C1", "What cannot be made dead"] {
        assert!(page.contains(words), "no “{words}” in\n{page}");
    }
    assert!(page.contains("no operating case"), "{page}");
    Ok(())
}

#[test]
fn flows_are_told_for_every_case_by_its_name() -> Outcome<()> {
    let folder = folder("study_flow")?;
    let study = folder.json(&["study", "cases.lineside", "--json"])?;
    let flow = study["flow"].as_array().cloned().unwrap_or_default();
    let names: Vec<&Value> = flow.iter().map(|case| &case["case"]).collect();
    assert_eq!(names, ["evening", "everything at once", "breaker off"]);

    let evening = &study["flow"][0];
    assert_eq!((&evening["solved"], &evening["reasons"]), (&json!(true), &json!([])));
    assert_eq!(evening["remarks"], json!(["the case names P9, which is not on the sheet"]));
    let gap = evening["balance"]["gap"]["value"].as_f64().ok_or("a gap")?;
    assert!(gap.abs() < 1e-6, "{gap}");
    let number = |value: &Value| value["value"].as_f64().ok_or("a number");
    // Every run loses what goes in and does not come out; the whole is what the bank gives up.
    for run in evening["runs"].as_array().ok_or("runs")? {
        let lost = number(&run["power_in"])? - number(&run["power_out"])?;
        assert!((lost - number(&run["lost"])?).abs() < 1e-6, "{run}");
    }
    let panel = entry(&evening["blocks"], "block", "P1")?;
    reads(&panel["used"], "1,200 W");
    assert_eq!(entry(&evening["inverters"], "block", "INV1")?["doing"], "inverting");
    assert_eq!(entry(&evening["converters"], "block", "CV1")?["doing"], "holding");

    let everything = &study["flow"][1];
    assert_eq!(everything["solved"], false);
    let reason = everything["reasons"][0].as_str().unwrap_or_default();
    assert!(reason.contains("INV1 is asked for") && reason.contains("at most"), "{reason}");

    let off = &study["flow"][2];
    assert_eq!((&off["solved"], &off["unmet"][0]["block"]), (&json!(true), &json!("P1")));
    let why = off["unmet"][0]["why"].as_str().unwrap_or_default();
    assert!(why.contains("QA is open on the way to"), "{why}");

    let page = folder.run(&["study", "cases.lineside"])?.out;
    for words in
        ["Flow: evening\n", "Flow: everything at once\n", "no steady state", "QA is open on the way to"]
    {
        assert!(page.contains(words), "no “{words}” in\n{page}");
    }
    Ok(())
}

#[test]
fn the_same_project_gives_the_same_bytes() -> Outcome<()> {
    let folder = Folder::new("study_bytes")?;
    for demo in ["cabin", "home", "hut", "as-found"] {
        let path = in_repository(&format!("assets/demos/{demo}.lineside")).display().to_string();
        let print = || folder.run(&["study", &path, "--json"]);
        assert_eq!(print()?.out, print()?.out, "{demo}");
    }
    Ok(())
}
