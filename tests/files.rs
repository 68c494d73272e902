//! The project file: round trip, faults with their places, hostile input.
#![cfg(test)]

use lineside_core::file::{self, ReadError};
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inverter::UtilityPriority;
use lineside_core::project::{
    ChemistryWish, Goals, HorizonPoint, LoadCurrent, LoadItem, LoadPriority, Month, MonthlyMeans,
    OperatingCase, OutagePattern, Price, PriceBook, Project, RecordResult, RecordRow, Revision,
    RevisionStatus, SetPoint, StockItem, SupplyWish, SwitchState, WeatherSource,
};
use lineside_core::testing::{self, Bench, copper};
use lineside_core::units::{
    Celsius, CelsiusSpan, Degrees, Hours, Meters, MetersPerSecond, Percent, SunHours, Watts,
    WattsPerSquareMeter,
};
use proptest::prelude::*;

fn sample() -> String {
    let mut bench = Bench::new();
    let wall = bench.location("Power wall");
    let controller = bench.stock("Tracking controller, 150 V in, 60 A out");
    bench.put("C1", Some(wall), controller.clone());
    bench.put("C2", Some(wall), controller);
    bench.join("W1", "C1.battery", "C2.battery", Some(copper("6", Meters::from_feet(15.0))));
    file::write(&bench.project).unwrap()
}

fn faults(text: &str) -> Vec<String> {
    match file::read(text) {
        Err(ReadError::Faults(faults)) => faults.iter().map(ToString::to_string).collect(),
        other => panic!("expected faults, found {other:?}"),
    }
}

/// Line and column of the first place where `needle` stands.
fn place_of(text: &str, needle: &str) -> String {
    let at = text.find(needle).unwrap();
    let line = text[..at].matches('\n').count() + 1;
    let column = text[..at].rsplit('\n').next().unwrap().chars().count() + 1;
    format!("line {line}, column {column}")
}

#[test]
fn the_file_reads_as_a_person_would_write_it() {
    let text = sample();
    assert!(text.contains("max_input_voltage: \"150 V\""), "{text}");
    assert!(text.contains("from: \"C1.battery\""));
    assert!(text.contains("length: \"4.572 m\""));
    assert!(!text.contains("Some("));
}

#[test]
fn a_length_in_feet_may_be_written_by_hand() {
    let text = sample().replace("\"4.572 m\"", "\"15 ft\"");
    let project = file::read(&text).unwrap();
    assert_eq!(file::write(&project).unwrap(), sample());
}

#[test]
fn every_fault_is_reported_with_its_place() {
    let text = sample()
        .replacen("tag: \"C2\"", "tag: \"C1\"", 1)
        .replacen("to: \"C2.battery\"", "to: \"C9.battery\"", 1)
        .replacen("max_input_voltage: \"150 V\"", "max_input_voltage: \"-150 V\"", 1)
        .replacen("rule_set: \"nec-2023\"", "rule_set: \"nec-1923\"", 1);
    let found = faults(&text);
    assert_eq!(found.len(), 4, "{found:#?}");
    assert!(found[0].starts_with(&place_of(&text, "\"nec-1923\"")), "{}", found[0]);
    assert!(found[1].starts_with(&place_of(&text, "\"-150 V\"")), "{}", found[1]);
    assert!(found[1].contains("block C1") && found[1].contains("must lie between"), "{}", found[1]);
    assert!(found[2].contains("“C1” a second time"), "{}", found[2]);
    assert!(found[3].contains("“C9”") && found[3].contains("run W1"), "{}", found[3]);
}

#[test]
fn wrong_values_are_named() {
    let check = |old: &str, new: &str, expected: &str| {
        let text = sample();
        assert!(text.contains(old), "{old} is not in the sample");
        let found = faults(&text.replacen(old, new, 1));
        assert!(found[0].contains(expected), "{new}: {found:#?}");
    };
    check("\"150 V\"", "\"150 A\"", "the unit “A”");
    check("\"150 V\"", "NaN", "finite");
    check("\"150 V\"", "1e999", "finite");
    check("\"150 V\"", "\"inf V\"", "number");
    check("to: \"C2.battery\"", "to: \"C2.batery\"", "a terminal of C2: pv, battery, bond");
    check("to: \"C2.battery\"", "to: \"C2\"", "such as “C1.pv”");
    check("place: \"Power wall\"", "place: \"Attic\"", "the name of a place in this file");
    check("id: 2", "id: 1", "a number of its own");
    check("id: 2", "id: 0", "a number from 1 to");
    check("parallel: 1", "parallel: -1", "run W1");
    check("parallel: 1", "parallel: 0", "between 1 and 12");
    check("units: us", "units: cubits", "units");
    check("price_book:", "price_bok:", "a section of this file version");
    check("cases: [", "cases: [(", "that closes");
    check("x: 0", "x: 99999999", "on the sheet");
}

#[test]
fn other_files_are_refused_in_words() {
    assert_eq!(file::read(""), Err(ReadError::Empty));
    assert_eq!(file::read_bytes(b"  \n "), Err(ReadError::Empty));
    assert!(matches!(file::read_bytes(&[b'(', 0xff, 0xfe]), Err(ReadError::NotText { offset: 1, line: 1 })));
    assert!(matches!(file::read_bytes(&vec![b' '; file::SIZE_LIMIT + 1]), Err(ReadError::TooLarge { .. })));
    assert_eq!(file::read("(lineside: 9)"), Err(ReadError::Newer { found: 9, newest: 1 }));
    assert!(faults("hello world")[0].contains("at the start of the project"));
    assert!(faults("(title: ())")[0].contains("no version"));
    assert!(faults("(lineside: \"one\")")[0].contains("number of the file version"));
}

#[test]
fn deep_nesting_is_refused_without_recursion() {
    for open in ["[", "(", "(a: ["] {
        let text = format!("(lineside: 1, blocks: [{}])", open.repeat(100_000));
        assert!(file::read(&text).is_err());
        let text = format!("(lineside: 1, blocks: {}{})", "[".repeat(50_000), "]".repeat(50_000));
        assert!(file::read(&text).is_err());
    }
}

#[test]
fn an_empty_project_is_a_project() {
    let project = file::read("(lineside: 1)").unwrap();
    assert_eq!(project, Project::default());
}

#[test]
fn files_of_older_versions_still_open() {
    let old = include_str!("files/0/hut.lineside");
    let now = include_str!("../assets/demos/hut.lineside");
    // Labels came later; a file without them is a project for which none have been made.
    let now = Project { labels: Vec::new(), ..file::read(now).unwrap() };
    assert_eq!(file::read(old).unwrap(), now);
}

fn goals() -> Goals {
    Goals {
        reserve: Some(Hours::new(72.0)),
        unmet_share: Some(Percent::new(1.0)),
        chemistry: ChemistryWish::NickelIron,
        utility: SupplyWish::Excluded,
        utility_priority: Some(UtilityPriority::SunFirst),
        outages: Some(OutagePattern { per_year: 6, mean: Hours::new(3.0), longest: Some(Hours::new(30.0)) }),
        generator: SupplyWish::Wanted,
        generator_hours: Some(Hours::new(120.0)),
        quiet_hours: Some((Hours::new(22.0), Hours::new(7.0))),
        budget: Some("48000.50".parse().unwrap()),
        growth: Some(Percent::new(10.0)),
        design_life_years: Some(25),
    }
}

fn weather(project: &mut Project) {
    project.brief.months = vec![MonthlyMeans {
        month: Month::December,
        sun: SunHours::new(1.6),
        temperature: Celsius::new(-9.5),
        daily_range: Some(CelsiusSpan::new(8.5)),
        wind: Some(MetersPerSecond::new(2.5)),
        albedo: Some(Percent::new(60.0)),
        dirt: Some(Percent::new(2.0)),
        snow: Some(Percent::new(15.0)),
    }];
    project.brief.weather = WeatherSource::Records("reanalysis of ten years".to_owned());
    project.brief.horizon = vec![HorizonPoint { azimuth: Degrees::new(140.0), height: Degrees::new(12.0) }];
}

/// A project with something in every section, those that later areas fill included.
fn full() -> Project {
    let mut project = file::read(include_str!("../assets/demos/cabin.lineside")).unwrap();
    let date = jiff::civil::date(2026, 11, 25);
    let money = |text: &str| text.parse().unwrap();
    "No. 12 \"electrical\"".clone_into(&mut project.title.license);
    weather(&mut project);
    project.brief.loads = vec![LoadItem {
        name: "Well pump".to_owned(),
        power: Watts::new(750.0),
        quantity: 1,
        hours: Hours::new(1.5),
        days_per_week: 7,
        start: Some(Hours::new(7.0)),
        profile: vec![Percent::new(4.0); 24],
        surge: Some(Watts::new(2200.0)),
        power_factor: Some(Percent::new(80.0)),
        current: LoadCurrent::Ac,
        priority: LoadPriority::CanWait,
        months: vec![Month::May, Month::June],
    }];
    project.brief.goals = goals();
    let equipment = project.circuit.block_by_tag("C1").unwrap().equipment.clone();
    project.stock = vec![StockItem { name: "Our own controller".to_owned(), equipment }];
    project.set_points = vec![SetPoint {
        block: "C1".to_owned(),
        name: "Absorb".to_owned(),
        value: "64 V".to_owned(),
        reason: String::new(),
    }];
    project.price_book = PriceBook {
        currency: "USD".to_owned(),
        markup_percent: Some(money("22.5")),
        prices: vec![Price {
            item: "Nickel-iron cell, 600 Ah".to_owned(),
            unit: "each".to_owned(),
            cost: money("0.10"),
            price: Some(money("1234567.89")),
            date: Some(date),
            supplier: "Some supplier".to_owned(),
        }],
    };
    project.cases = vec![OperatingCase {
        name: "Evening".to_owned(),
        sun: WattsPerSquareMeter::ZERO,
        ambient: Celsius::new(5.0),
        state_of_charge: Percent::new(64.0),
        loads: vec![("P1".to_owned(), Watts::new(900.0))],
        supplies: vec!["G1".to_owned()],
        switches: vec![SwitchState { block: "Q1".to_owned(), pole: String::new(), position: Position::Open }],
        remark: "Lights and pump".to_owned(),
    }];
    project.revisions = vec![Revision {
        letter: "A".to_owned(),
        date,
        by: "T. Quill".to_owned(),
        note: "First issue".to_owned(),
        status: RevisionStatus::Released,
        snapshot: "(lineside: 1)".to_owned(),
    }];
    project.site_record.rows = vec![RecordRow {
        test: "String voltage".to_owned(),
        on: "S1".to_owned(),
        conditions: "cells 12 °C".to_owned(),
        measured: "115.2 V".to_owned(),
        result: RecordResult::Passed,
        remark: String::new(),
        instrument: "meter 2".to_owned(),
        date: Some(date),
        initials: "TQ".to_owned(),
    }];
    project
}

#[test]
fn every_section_goes_round() {
    let project = full();
    let text = file::write(&project).unwrap();
    assert_eq!(file::read(&text).unwrap(), project);
    for word in ["Well pump", "1234567.89", "Our own controller", "First issue", "115.2 V", "Evening"] {
        assert!(text.contains(word), "{word} is not in the file");
    }
}

#[test]
fn a_cut_full_file_tells_where() {
    let text = file::write(&full()).unwrap();
    let middle = text.len() / 2;
    let at = (middle..text.len()).find(|at| text.is_char_boundary(*at)).unwrap();
    let found = faults(&text[..at]);
    assert!(found[0].starts_with("line ") && found[0].contains("the end of the file"), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_written_reads_back_the_same(project in testing::project(0..40)) {
        let text = file::write(&project).unwrap();
        let again = match file::read(&text) {
            Ok(again) => again,
            Err(error) => return Err(TestCaseError::fail(error.to_string())),
        };
        prop_assert_eq!(&again, &project);
        prop_assert_eq!(file::write(&again).unwrap(), text);
    }

    #[test]
    fn a_cut_file_is_refused(cut in 0.0..1.0_f64) {
        let text = sample();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of the length")]
        let mut at = (text.len() as f64 * cut) as usize;
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        if text[..at].trim_end() != text.trim_end() {
            prop_assert!(file::read(&text[..at]).is_err());
        }
    }

    #[test]
    fn a_damaged_file_never_panics(at in 0..6000_usize, byte in any::<u8>(), twice in any::<bool>()) {
        let mut bytes = sample().into_bytes();
        let at = at % bytes.len();
        if twice {
            let piece = bytes[at..(at + 40).min(bytes.len())].to_vec();
            bytes.splice(at..at, piece);
        } else {
            bytes[at] = byte;
        }
        let _ = file::read_bytes(&bytes);
    }
}

#[test]
fn a_brief_that_cannot_be_is_refused_with_its_place() {
    let brief = "brief: (loads: [ (name: \"Pump\", power: \"900 W\", quantity: 1, hours: \"30 h\", days_per_week: 7) ])";
    let found = faults(&format!("(lineside: 1, {brief})"));
    assert!(
        found.iter().any(|it| it.contains("Pump") && it.contains("30 h") && it.contains("24 h")),
        "{found:?}"
    );
}
