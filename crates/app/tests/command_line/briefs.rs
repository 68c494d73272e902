//! `lineside brief`: what it tells, what it takes over, what it refuses.

use crate::Outcome;
use crate::projects;
use crate::running::Folder;
use std::fmt::Write;

fn folder(name: &str) -> Outcome<Folder> {
    Folder::with(name, "cabin.lineside", projects::clean_text()?)
}

#[test]
fn a_whole_brief_is_told_and_left_alone() -> Outcome<()> {
    let folder = folder("brief_whole")?;
    let ran = folder.run(&["brief", "cabin.lineside"])?;
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(ran.out.contains("Well pump") && ran.out.contains("the worst start"), "{}", ran.out);
    let json = folder.json(&["brief", "cabin.lineside", "--json"])?;
    assert_eq!(json["months"].as_array().map(Vec::len), Some(12));
    assert_eq!(json["missing"].as_array().map(Vec::len), Some(0));
    Ok(())
}

#[test]
fn loads_are_taken_over_and_rows_that_cannot_be_read_are_told() -> Outcome<()> {
    let folder = folder("brief_loads")?;
    folder.write("loads.csv", "name;watts;hours;days\nPump;1.100,5;2;7\nLamp;9;99;7\n")?;
    let arguments = ["brief", "cabin.lineside", "--loads", "loads.csv", "-o", "new.lineside"];
    let ran = folder.run(&arguments)?;
    assert_eq!(ran.code, Some(1), "a row was refused");
    assert!(ran.out.contains("line 3, column “hours”"), "{}", ran.out);
    let json = folder.json(&["brief", "new.lineside", "--json"])?;
    assert_eq!(json["loads"].as_array().map(Vec::len), Some(1));
    assert_eq!(json["loads"][0]["power"]["value"].as_f64(), Some(1100.5));
    Ok(())
}

#[test]
fn a_climate_stands_in_and_says_so() -> Outcome<()> {
    let folder = folder("brief_climate")?;
    let wrong = folder.run(&["brief", "cabin.lineside", "--climate", "wet_tropics"])?;
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.err.contains("humid_interior"), "those that fit are named: {}", wrong.err);
    let taken = folder.run(&["brief", "cabin.lineside", "--climate", "steppe", "-o", "steppe.lineside"])?;
    assert_eq!(taken.code, Some(0), "{}", taken.err);
    let year = folder.run(&["year", "steppe.lineside", "--years", "0"])?;
    assert!(year.out.contains("generic climate, “steppe and dry interior”"), "{}", year.out);
    Ok(())
}

#[test]
fn weather_and_metered_loads_come_from_files() -> Outcome<()> {
    let folder = folder("brief_weather")?;
    let mut hours = "month,day,hour,ghi,ta\n".to_owned();
    let mut meter = "month,day,hour,ac\n".to_owned();
    for (month, days) in (1..).zip([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]) {
        for day in 1..=days {
            for hour in 0..24 {
                let sun = if (9..17).contains(&hour) { 500 } else { 0 };
                writeln!(hours, "{month},{day},{hour},{sun},10")?;
                writeln!(meter, "{month},{day},{hour},100")?;
            }
        }
    }
    folder.write("hours.csv", hours)?;
    folder.write("meter.csv", meter)?;
    // Eight hours of 500 W/m² are 4 kWh/m² a day.
    let json = folder.json(&["brief", "cabin.lineside", "--weather", "hours.csv", "--json"])?;
    assert_eq!(json["months"][6]["sun"]["value"].as_f64(), Some(4.0));
    assert_eq!(json["weather_source"].as_str(), Some("hours.csv"));
    // 100 W in every hour are 876 kWh a year.
    let year = folder.json(&[
        "year",
        "cabin.lineside",
        "--weather",
        "hours.csv",
        "--loads",
        "meter.csv",
        "--years",
        "0",
        "--json",
    ])?;
    let demand = year["outcome"]["demand"]["value"].as_f64().ok_or("a demand")?;
    assert!((demand - 876_000.0).abs() < 1e-6, "{demand}");
    // In the brief they become a line for each month: 2.4 kWh a day, 100 W at once.
    let brief = folder.json(&["brief", "cabin.lineside", "--loads", "meter.csv", "--json"])?;
    assert_eq!(brief["loads"].as_array().map(Vec::len), Some(12));
    let ac = brief["months"][3]["ac"]["value"].as_f64().ok_or("April")?;
    assert!((ac - 2400.0).abs() < 1e-6, "{ac}");
    assert_eq!(brief["connected"]["value"].as_f64(), Some(100.0));
    let unread = folder.run(&["year", "cabin.lineside", "--weather", "meter.csv"])?;
    assert_eq!(unread.code, Some(2));
    assert!(unread.err.contains("ghi") && unread.err.contains("meter.csv"), "{}", unread.err);
    let missing = folder.run(&["brief", "cabin.lineside", "--loads", "nothing.csv"])?;
    assert!(missing.code == Some(2) && missing.err.contains("no such file"), "{}", missing.err);
    Ok(())
}
