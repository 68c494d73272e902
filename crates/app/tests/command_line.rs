//! The commands, by running the built program: exit codes, what is printed where, and what is said of bad input.

#[path = "command_line/acceptance.rs"]
mod acceptance;
#[path = "command_line/bad_input.rs"]
mod bad_input;
#[path = "command_line/briefs.rs"]
mod briefs;
#[path = "command_line/documented.rs"]
mod documented;
#[path = "command_line/drawing.rs"]
mod drawing;
#[path = "command_line/fitting.rs"]
mod fitting;
#[path = "command_line/labels.rs"]
mod labels;
#[path = "command_line/mending.rs"]
mod mending;
#[path = "command_line/own_stock.rs"]
mod own_stock;
#[path = "command_line/projects.rs"]
mod projects;
#[path = "command_line/proposals.rs"]
mod proposals;
#[path = "command_line/reference.rs"]
mod reference;
#[path = "command_line/reviews.rs"]
mod reviews;
#[path = "command_line/running.rs"]
mod running;
#[path = "command_line/streams.rs"]
mod streams;
#[path = "command_line/studies.rs"]
mod studies;
#[path = "command_line/walks.rs"]
mod walks;
#[path = "command_line/years.rs"]
mod years;

use projects::{SOUND, TOO_MANY};
use running::{Folder, in_repository};

/// Why a test could not be set up.
type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

/// A folder with a clean demo, the same with advice, and the small system with a danger.
fn folder(name: &str) -> Outcome<Folder> {
    let folder = Folder::with(name, "sound.lineside", projects::clean_text()?)?;
    folder.write("advice.lineside", projects::wasteful_text()?)?;
    folder.write("danger.lineside", projects::small_text(TOO_MANY)?)?;
    Ok(folder)
}

#[test]
fn the_exit_code_tells_clean_from_faulty() -> Outcome<()> {
    let folder = folder("exit_codes")?;
    for command in ["check", "study"] {
        for (file, code) in [("sound", 0), ("advice", 0), ("danger", 1), ("missing", 2)] {
            for form in [&[][..], &["--json"]] {
                let file = format!("{file}.lineside");
                let arguments = [&[command, &file], form].concat();
                assert_eq!(folder.run(&arguments)?.code, Some(code), "{arguments:?}");
            }
        }
    }
    Ok(())
}

#[test]
fn the_demos_get_the_verdict_that_they_are_made_for() -> Outcome<()> {
    let folder = Folder::new("demos")?;
    for (demo, code) in [("cabin", 0), ("home", 0), ("hut", 0), ("as-found", 1)] {
        let path = in_repository(&format!("assets/demos/{demo}.lineside"));
        let ended = folder.run(&["check", &path.display().to_string()])?;
        assert_eq!(ended.code, Some(code), "{demo}: {}", ended.out);
        assert_eq!(ended.err, "", "{demo}");
    }
    Ok(())
}

#[test]
fn a_clean_project_says_what_was_compared() -> Outcome<()> {
    let ended = folder("clean")?.run(&["check", "sound.lineside"])?;
    assert!(ended.out.starts_with("Highmeadow Cabin, by NEC 2023: sound.lineside\n"), "{}", ended.out);
    assert!(ended.out.contains("▲ no dangers  ■ no corrections  ○ no advice"), "{}", ended.out);
    assert!(ended.out.contains("comparisons by"), "{}", ended.out);
    assert!(ended.out.contains("Not an approval"), "{}", ended.out);
    Ok(())
}

#[test]
fn an_empty_sheet_is_not_called_clean_in_silence() -> Outcome<()> {
    let folder = Folder::with("empty_sheet", "new.lineside", "(lineside: 1)")?;
    let ended = folder.run(&["check", "new.lineside"])?;
    assert_eq!(ended.code, Some(0));
    assert!(ended.out.contains("there was nothing to check"), "{}", ended.out);
    assert_eq!(folder.json(&["check", "new.lineside", "--json"])?["compared"], 0);
    let ended = folder.run(&["study", "new.lineside"])?;
    assert!(ended.out.contains("there was nothing to study"), "{}", ended.out);
    Ok(())
}

#[test]
fn the_table_shows_sign_title_found_allowed_where_and_clause() -> Outcome<()> {
    let ended = folder("table")?.run(&["check", "danger.lineside"])?;
    let row = ended.out.lines().find(|line| line.starts_with("▲  Cold strings")).ok_or("a row")?;
    // 4 modules × 37.2 V × (1 − 0.27 % × (−20 − 25)) = 148.8 V × 1.1215 = 166.88 V
    let cells: Vec<&str> = row.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).collect();
    let expected = [
        "▲",
        "Cold strings destroy the input of C1",
        "166.88 V",
        "150.00 V",
        "C1 → S1",
        "NEC 2023 690.7(A),",
    ];
    assert_eq!(cells, expected);
    assert_eq!(ended.err, "");
    Ok(())
}

#[test]
fn workings_are_printed_line_by_line() -> Outcome<()> {
    let ended = folder("working")?.run(&["check", "danger.lineside", "--working"])?;
    let (_, part) = ended.out.split_once("▲ Cold strings destroy the input of C1\n").ok_or("the finding")?;
    let line = |words: &str| {
        let found = part.lines().find(|line| line.trim_start().starts_with(words)).unwrap_or("");
        found.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(line("id "), "id string-cold-voltage@C1");
    assert_eq!(line("open-circuit voltage"), "open-circuit voltage at 25 °C V_oc 37.20 V S1 nameplate");
    assert_eq!(line("modules in series"), "modules in series n 4 S1 setting");
    assert!(line("cold open-circuit voltage").ends_with("166.88 V"), "{}", ended.out);
    Ok(())
}

#[test]
fn units_are_the_projects_or_those_asked_for() -> Outcome<()> {
    let folder = folder("units")?;
    let check = |units: &[&str]| folder.run(&[&["check", "danger.lineside", "--working"], units].concat());
    assert!(check(&[])?.out.contains("−4 °F"));
    assert!(check(&["--units", "si"])?.out.contains("−20 °C"));
    Ok(())
}

#[test]
fn less_severe_findings_are_left_out_of_the_list_and_not_of_the_verdict() -> Outcome<()> {
    let folder = folder("severity")?;
    let advice = folder.json(&["check", "advice.lineside", "--json"])?;
    assert_eq!(advice["counts"]["advice"], 1, "{advice}");
    assert_eq!(advice["findings"].as_array().map(Vec::len), Some(1));
    let dangers = folder.json(&["check", "advice.lineside", "--json", "--severity", "danger"])?;
    assert_eq!(dangers["counts"], advice["counts"]);
    assert_eq!(dangers["findings"].as_array().map(Vec::len), Some(0));
    let listed = folder.run(&["check", "advice.lineside", "--severity", "correction"])?;
    assert!(listed.out.contains("1 finding is less severe and not listed"), "{}", listed.out);
    assert_eq!(folder.run(&["check", "danger.lineside", "--severity", "danger"])?.code, Some(1));
    Ok(())
}

#[test]
fn another_rule_set_can_be_asked_for() -> Outcome<()> {
    let folder = folder("rule_sets")?;
    let ended = folder.run(&["check", "danger.lineside", "--rules", "iec"])?;
    assert!(ended.out.starts_with("Test Shed, by IEC (its own rule set is NEC 2023): "), "{}", ended.out);
    for set in ["nec-2023", "nec-2020", "nec-2017", "iec", "NEC-2020"] {
        let checked = folder.json(&["check", "danger.lineside", "--json", "--rules", set])?;
        assert_eq!(checked["rule_set"], set.to_lowercase());
        let findings = checked["findings"].as_array().ok_or("findings")?;
        let cold = findings.iter().find(|finding| finding["id"] == "string-cold-voltage@C1");
        let clause = cold.and_then(|cold| cold["clause"].as_str()).unwrap_or_default();
        assert!(clause.starts_with(if set == "iec" { "IEC" } else { "NEC" }), "{set}: {clause}");
    }
    Ok(())
}

#[test]
fn a_study_prints_hand_worked_numbers() -> Outcome<()> {
    let folder = folder("study")?;
    folder.write("small.lineside", projects::small_text(SOUND)?)?;
    let study = folder.json(&["study", "small.lineside", "--json"])?;
    assert_eq!(study["lineside"], "study");
    let array = &study["zones"][0];
    assert_eq!((&array["name"], &array["kind"]), (&"S1.out".into(), &"pv".into()));
    assert_eq!(array["blocks"], serde_json::json!(["S1", "Q1", "Q2", "C1"]));
    // 3 × 37.2 V × 1.1215 = 125.16 V; 690.8(A): 13.6 A × 1.25 = 17 A
    assert_eq!(array["levels"][3]["voltage"]["text"], "125.16 V");
    assert_eq!(study["runs"][0]["current"]["greatest"]["text"], "17.00 A");
    // 4 AWG copper THWN-2 ends on 75 °C terminals: 85 A; 10 AWG is held to 30 A by 240.4(D).
    assert_eq!(study["runs"][3]["rating"]["ampacity"]["value"], 85.0);
    assert_eq!(study["runs"][0]["rating"]["largest_device"]["value"], 30.0);
    assert_eq!(study["runs"][4]["holding"]["to"]["unlimited"], true);

    let page = folder.run(&["study", "small.lineside"])?;
    for words in
        ["Zones\n", "array side", "battery bus", "cold, open", "125.16 V", "not limited", "Voltage lost"]
    {
        assert!(page.out.contains(words), "no “{words}” in\n{}", page.out);
    }
    assert_eq!(folder.run(&["study", "sound.lineside"])?.err, "");
    let faulty = folder.run(&["study", "danger.lineside"])?;
    assert!(faulty.err.contains("danger") && faulty.err.ends_with("danger.lineside\n"), "{}", faulty.err);
    Ok(())
}
