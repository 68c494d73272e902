//! `lineside year`: the books of the demos, seeds, hours as CSV, and what is said when there is no year.

use crate::Outcome;
use crate::projects::{self, SOUND};
use crate::running::{Folder, in_repository};
use serde_json::Value;

fn demo(name: &str) -> String {
    in_repository(&format!("assets/demos/{name}.lineside")).display().to_string()
}

fn number(value: &Value) -> Outcome<f64> {
    Ok(value["value"].as_f64().ok_or("a number")?)
}

/// Every figure of the cabin's balance of a period, by name.
fn balance<'a>(year: &'a Value, period: &str) -> Outcome<&'a Value> {
    let list = year["balance"].as_array().ok_or("a balance")?;
    Ok(list.iter().find(|it| it["period"] == period).ok_or("the period")?)
}

#[test]
fn the_books_of_the_demos_close_and_meet_the_records() -> Outcome<()> {
    let folder = Folder::new("years")?;
    // Cabin: 365 × (3960 Wh AC + 300 Wh DC) + 61 × 1000 Wh in the shop. Hut: 365 × 712 Wh + 122 × 1015 Wh in summer.
    for (name, asked) in [("cabin", 1_615_900.0), ("hut", 383_710.0)] {
        let year = folder.json(&["year", &demo(name), "--json", "--years", "0"])?;
        assert_eq!((&year["lineside"], &year["many"]), (&"year".into(), &Value::Null));
        assert!(number(&year["outcome"]["not_closed"])? < 1e-7, "{name}: in percent");
        assert!((number(&year["outcome"]["demand"])? - asked).abs() < 0.5, "{name}");
        let all = balance(&year, "year")?;
        let months = year["balance"].as_array().ok_or("months")?.iter().filter(|it| it["period"] != "year");
        let hours: Outcome<Vec<f64>> = months.map(|it| number(&it["generator_hours"])).collect();
        assert!((hours?.iter().sum::<f64>() - number(&all["generator_hours"])?).abs() < 1e-6, "{name}");
    }
    let cabin = folder.json(&["year", &demo("cabin"), "--json", "--years", "0"])?;
    // January: 31 days of 1.6 kWh/m², met to the last digit by the made hours.
    assert!((number(&balance(&cabin, "January")?["level_sun"])? - 49.6).abs() < 1e-9);
    // Lights 8 × 12 W × 5 h, refrigerator 110 × 9, pump 900, kitchen 1500 × 0.7, desk 90 × 6: 3960 Wh a day.
    assert!((number(&balance(&cabin, "January")?["ac_demand"])? - 31.0 * 3960.0).abs() < 1e-6);
    Ok(())
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_other_ones() -> Outcome<()> {
    let folder = Folder::new("year_seeds")?;
    let print = |seed: &str| folder.run(&["year", &demo("cabin"), "--json", "--years", "3", "--seed", seed]);
    let (first, again, other) = (print("7")?, print("7")?, print("8")?);
    assert_eq!(first, again);
    assert_ne!(first.out, other.out);
    let spread = |text: &str| -> Outcome<Value> { Ok(serde_json::from_str::<Value>(text)?["many"].clone()) };
    assert_eq!(spread(&first.out)?["years"], 3);
    let spreads = spread(&first.out)?["spreads"].clone();
    for it in spreads.as_array().ok_or("spreads")? {
        let (least, half, most) = (number(&it["least"])?, number(&it["p50"])?, number(&it["most"])?);
        assert!(least <= half && half <= most, "{it}");
    }
    Ok(())
}

#[test]
fn every_hour_is_written_as_a_table() -> Outcome<()> {
    let folder = Folder::new("year_hours")?;
    let ended = folder.run(&["year", &demo("hut"), "--years", "0", "--csv", "hours.csv"])?;
    assert_eq!((ended.code, ended.err.as_str()), (Some(0), ""));
    assert!(ended.out.starts_with("Ridge Hut, by IEC: "), "{}", ended.out);
    let table = folder.read("hours.csv")?;
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(lines.len(), 8761);
    let headings: Vec<&str> = lines[0].split(',').collect();
    let column = |name: &str| headings.iter().position(|it| *it == name);
    let sun = column("level_sun_w_m2").ok_or("sun")?;
    let mut level_sun = 0.0;
    for (index, line) in lines.iter().enumerate().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), headings.len(), "{line}");
        let values: Result<Vec<f64>, _> = cells.iter().map(|cell| cell.parse::<f64>()).collect();
        level_sun += values?[sun];
        assert_eq!(cells[2], ((index - 1) % 24).to_string());
    }
    // Days of the months times the records of the hut, 31 × 1.7 + 28 × 2.7 + …: 1343.0 kWh/m² a year.
    assert!((level_sun / 1000.0 - 1343.0).abs() < 0.01, "{level_sun}");
    // To standard output goes the table and nothing else.
    let piped = folder.run(&["year", &demo("hut"), "--years", "0", "--csv", "-"])?;
    assert_eq!(piped.out, table);
    let refused = folder.run(&["year", &demo("hut"), "--csv", "hours.lineside"])?;
    assert_eq!((refused.code, refused.out.as_str()), (Some(2), ""));
    assert!(refused.err.contains("ends in .csv"), "{}", refused.err);
    Ok(())
}

#[test]
fn what_is_missing_for_a_year_is_named() -> Outcome<()> {
    let folder = Folder::with("year_missing", "small.lineside", projects::small_text(SOUND)?)?;
    folder.write("empty.lineside", "(lineside: 1)")?;
    for json in [&[][..], &["--json"]] {
        let ended = folder.run(&[&["year", "small.lineside"], json].concat())?;
        assert_eq!((ended.code, ended.out.as_str()), (Some(2), ""));
        for words in ["there is no year", "latitude", "the weather records lack July", "in small.lineside"] {
            assert!(ended.err.contains(words), "no “{words}” in {}", ended.err);
        }
    }
    let empty = folder.run(&["year", "empty.lineside"])?;
    assert!(empty.err.contains("no battery bank on the sheet"), "{}", empty.err);
    let wild = folder.run(&["year", &demo("hut"), "--years", "20000"])?;
    assert_eq!(wild.code, Some(2));
    Ok(())
}

#[test]
fn the_page_says_what_was_assumed_and_how_far_it_can_be_trusted() -> Outcome<()> {
    let folder = Folder::new("year_page")?;
    let page = folder.run(&["year", &demo("cabin"), "--years", "2", "--doubt", "model"])?.out;
    for words in [
        "The typical year (seed 1",
        "2 random years (seed 1), which differ by weather and doubt about the model",
        "What was assumed",
        "sun lost to dirt: 3 % assumed",
        "weakest link",
        "Not an approval",
    ] {
        assert!(page.contains(words), "no “{words}” in\n{page}");
    }
    Ok(())
}
