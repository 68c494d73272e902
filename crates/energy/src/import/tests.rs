//! Files of every sort, good and bad.

use super::*;
use crate::calendar::{ByMonth, HOURS, months};
use crate::site::{Climate, Location, TimeZone};
use crate::sun::Sky;
use crate::tables::Tables;
use crate::weather::{Weather, typical};
use lineside_core::project::{Brief, Month, MonthlyMeans, WeatherSource};
use lineside_core::units::{Celsius, Degrees, Hours, Meters, Percent, SunHours, UnitSystem};
use std::fmt::Write;

struct Place {
    sky: Sky,
    climate: Climate,
    weather: Weather,
}

/// A place whose weather is written into files here and read back.
fn place() -> Place {
    let tables = Tables::load().unwrap();
    let location = Location::new(
        Degrees::new(40.0),
        Degrees::new(-105.0),
        Meters::new(1600.0),
        Hours::new(-7.0),
        TimeZone::Checked,
    )
    .unwrap();
    let sun = [2.4, 3.2, 4.4, 5.4, 6.2, 6.9, 6.7, 6.0, 5.0, 3.8, 2.6, 2.1].map(SunHours::new);
    let air = [0.0, 1.0, 5.0, 9.0, 14.0, 19.0, 23.0, 22.0, 17.0, 10.0, 4.0, 0.0].map(Celsius::new);
    let climate = Climate::new(ByMonth(sun), ByMonth(air), &tables.defaults);
    let sky = Sky::over(&tables, location, &climate.turbidity);
    let weather = typical(&sky, &climate, &tables.defaults, 3).weather;
    Place { sky, climate, weather }
}

/// Month, day and hour of each hour of the year.
fn moments() -> Vec<(usize, usize, usize)> {
    let days =
        months().enumerate().flat_map(|(month, (_, _, days))| (1..=days).map(move |day| (month + 1, day)));
    days.flat_map(|(month, day)| (0..24).map(move |hour| (month, day, hour))).collect()
}

fn own(place: &Place) -> String {
    let mut text = "month,day,hour,ghi,ta\n".to_owned();
    for ((month, day, hour), weather) in moments().into_iter().zip(place.weather.hours()) {
        writeln!(text, "{month},{day},{hour},{:.4},{:.3}", weather.horizontal, weather.celsius).unwrap();
    }
    text
}

fn tmy3(place: &Place) -> String {
    let mut text = "700001,\"High Plain, Airport\",CO,-7.0,40.000,-105.000,1600\n".to_owned();
    text.push_str(
        "Date (MM/DD/YYYY),Time (HH:MM),ETR,GHI (Wh/m^2),DNI (Wh/m^2),DHI (Wh/m^2),Dry-bulb (C),Wspd (m/s),Alb (unitless)\n",
    );
    for ((month, day, hour), weather) in moments().into_iter().zip(place.weather.hours()) {
        let (ghi, dni, dhi) = (weather.horizontal, weather.beam, weather.diffuse);
        let ends = hour + 1;
        let air = weather.celsius;
        writeln!(
            text,
            "{month:02}/{day:02}/1988,{ends:02}:00,0,{ghi:.4},{dni:.4},{dhi:.4},{air:.3},4.0,-9900"
        )
        .unwrap();
    }
    text
}

fn epw(place: &Place) -> String {
    let mut text = "LOCATION,High Plain,CO,USA,TMY,700001,40.0,-105.0,-7.0,1600.0\n".to_owned();
    for line in 2..=8 {
        writeln!(text, "HEADER {line},0").unwrap();
    }
    for ((month, day, hour), weather) in moments().into_iter().zip(place.weather.hours()) {
        let mut cells = vec!["0".to_owned(); 35];
        let (ghi, dni, dhi) = (weather.horizontal, weather.beam, weather.diffuse);
        cells[0] = "1988".to_owned();
        (cells[1], cells[2], cells[3]) = (month.to_string(), day.to_string(), (hour + 1).to_string());
        cells[6] = format!("{:.3}", weather.celsius);
        (cells[13], cells[14], cells[15]) = (format!("{ghi:.4}"), format!("{dni:.4}"), format!("{dhi:.4}"));
        (cells[21], cells[32]) = ("4.0".to_owned(), "999".to_owned());
        writeln!(text, "{}", cells.join(",")).unwrap();
    }
    text
}

fn read(text: &str) -> HourlyFile {
    weather(text.as_bytes()).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn faults(text: &str) -> Vec<ImportFault> {
    weather(text.as_bytes()).map(|file| file.layout).expect_err("the file is wrong")
}

fn assert_same(place: &Place, found: &Weather) {
    assert_eq!(found.hours().len(), HOURS);
    for (found, written) in found.hours().iter().zip(place.weather.hours()) {
        assert!((found.horizontal - written.horizontal).abs() < 1e-3);
        assert!((found.beam - written.beam).abs() < 2e-2, "{} {}", found.beam, written.beam);
        assert!((found.celsius - written.celsius).abs() < 1e-2);
    }
}

#[test]
fn three_layouts_say_the_same() {
    let place = place();
    let heights = Meters::new(2.0);
    let ours = read(&own(&place));
    assert_eq!((ours.layout, &ours.station), (Layout::Own, &None));
    assert_same(&place, &ours.weather(&place.sky, &place.climate, heights));
    for (text, layout) in [(tmy3(&place), Layout::Tmy3), (epw(&place), Layout::Epw)] {
        let file = read(&text);
        assert_eq!(file.layout, layout);
        assert_eq!(file.station.as_ref().map(|it| it.utc_offset), Some(Hours::new(-7.0)));
        let weather = file.weather(&place.sky, &place.climate, heights);
        assert_same(&place, &weather);
        // 4 m/s on a 10 m mast are 4 × 0.2^0.2 = 2.899 m/s at 2 m; the missing albedo is the site's.
        assert!((weather.hours()[100].wind - 2.899).abs() < 1e-3);
        assert!((weather.hours()[100].albedo - 0.2).abs() < 1e-12);
        assert_eq!(file.check(&place.sky, &place.climate), Vec::new());
        let climate = file.climate(&Tables::load().unwrap().defaults);
        assert!(
            (climate.sun.0[5].value() - 6.9).abs() < 1e-3
                && (climate.temperature.0[5].value() - 19.0).abs() < 1e-2
        );
    }
}

#[test]
fn spreadsheets_have_their_ways() {
    let place = place();
    let plain = own(&place);
    // A byte-order mark, line ends of two characters, semicolons, decimal commas, thousands apart, rows out of order.
    let mut rows: Vec<String> = plain.lines().map(|row| row.replace(',', ";").replace('.', ",")).collect();
    rows.swap(10, 7000);
    let changed = format!("\u{feff}{}\r\n", rows.join("\r\n")).replace("month", "Month");
    assert_eq!(
        read(&changed).weather(&place.sky, &place.climate, Meters::new(2.0)),
        read(&plain).weather(&place.sky, &place.climate, Meters::new(2.0))
    );
    let thousands = plain.replacen("7,1,12,", "7,1,12,\"1,012.5\",9\n#", 1);
    let row = thousands.lines().position(|line| line.starts_with('#')).unwrap();
    let mut lines: Vec<&str> = thousands.lines().collect();
    lines.remove(row);
    let thousands = lines.join("\n");
    let noon = (31 + 28 + 31 + 30 + 31 + 30) * 24 + 12;
    let found = read(&thousands).weather(&place.sky, &place.climate, Meters::new(2.0));
    assert!((found.hours()[noon].horizontal - 1012.5).abs() < 1e-9);
}

#[test]
fn leap_days_are_left_out_and_told() {
    let place = place();
    let with_leap_day = own(&place).replace("\n3,1,0,", "\n2,29,0,9,9\n2,29,23,9,9\n3,1,0,");
    let file = read(&with_leap_day);
    assert!(file.remarks.contains(&FileRemark::LeapDay));
    let mut row = vec!["0"; 35];
    (row[1], row[2], row[3]) = ("2", "29", "5");
    let lines: Vec<String> = epw(&place).lines().map(str::to_owned).collect();
    let mut lines = lines;
    lines.insert(8 + 59 * 24, row.join(","));
    assert!(read(&lines.join("\n")).remarks.contains(&FileRemark::LeapDay));
}

#[test]
fn double_missing_and_unordered_hours_are_refused_with_their_line() {
    let place = place();
    let twice = own(&place).replacen("\n1,1,3,", "\n1,1,2,5,5\n1,1,3,", 1);
    let found = &faults(&twice)[0];
    assert_eq!((found.line, found.expected.as_str()), (5, "each hour once"));
    assert!(found.to_string().contains("month 1, day 1, hour 2"));
    let short = own(&place).lines().take(8000).collect::<Vec<_>>().join("\n");
    assert!(faults(&short)[0].found.contains("7999 hours, the first missing one is hour 8000"));
    let shifted = tmy3(&place).replacen("01/01/1988,03:00", "01/01/1988,02:00", 1);
    let found = &faults(&shifted)[0];
    assert_eq!((found.line, found.found.as_str()), (5, "01/01/1988 02:00"));
    let more = format!("{}01/01/1989,01:00,0,1,1,1,1,1,1\n", tmy3(&place));
    assert!(faults(&more)[0].to_string().contains("hour 8761"));
    let no_date = own(&place).replacen("\n4,30,5,", "\n4,31,5,", 1);
    assert!(faults(&no_date)[0].to_string().contains("a day of that month, found “31”"));
}

#[test]
fn short_gaps_are_filled_and_long_ones_are_refused() {
    let place = place();
    let gap = |first: usize, hours: usize| {
        let mut lines: Vec<String> = epw(&place).lines().map(str::to_owned).collect();
        for line in &mut lines[8 + first..8 + first + hours] {
            let mut cells: Vec<&str> = line.split(',').collect();
            cells[6] = "99.9";
            *line = cells.join(",");
        }
        lines.join("\n")
    };
    let file = read(&gap(100, 3));
    assert!(file.remarks.contains(&FileRemark::Filled { column: "air temperature", hours: 3 }));
    let found = &faults(&gap(100, 4))[0];
    assert_eq!((found.line, found.column.as_str()), (109, "air temperature"));
}

#[test]
fn what_cannot_be_is_refused_with_its_cell() {
    let place = place();
    for (cell, name) in [("-400", "ghi"), ("1501", "ghi"), ("NaN", "ghi"), ("inf", "ghi"), ("sunny", "ghi")] {
        let wrong = own(&place).replacen("\n1,1,4,0.0000,", &format!("\n1,1,4,{cell},"), 1);
        let found = &faults(&wrong)[0];
        assert_eq!((found.line, found.column.as_str(), found.found.as_str()), (6, name, cell));
    }
    let cold = own(&place).lines().take(2).collect::<Vec<_>>().join("\n") + "\n1,1,1,0,-120\n";
    assert!(
        faults(&cold)[0].to_string().starts_with("line 3, column “ta”: expected a number from -90 to 60")
    );
    let a_little = own(&place).replacen("\n1,1,4,0.0000,", "\n1,1,4,-2,", 1);
    assert!(read(&a_little).remarks.contains(&FileRemark::Negative { hours: 1 }));
    let few_cells = own(&place).replacen("\n1,1,4,0.0000,", "\n1,1,4\n1,1,5,0,", 1);
    assert!(faults(&few_cells)[0].to_string().contains("expected at least 4 cells, found “3 cells”"));
}

#[test]
fn what_is_no_weather_file_is_refused() {
    for text in [
        "",
        "\n\n",
        "hello",
        "a;b;c\n1;2;3\n",
        "month,day\n1,1\n",
        "LOCATION\n",
        "LOCATION,x,y,z\n1\n",
        "\u{0}\u{1}",
    ] {
        let found = faults(text);
        assert!(!found.is_empty() && !found[0].expected.is_empty(), "{text:?}");
    }
    assert!(weather(&[0xFF, 0xFE, 0x00, 0x80]).is_err());
    let columns = faults("month,day,hour,sun,air\n");
    assert_eq!(columns[0].to_string(), "line 1: expected a column “ghi”, found “month,day,hour,sun,air”");
}

#[test]
fn a_hundred_megabytes_are_refused_at_once() {
    let large = vec![b'1'; 100_000_000];
    let found = weather(&large).map(|file| file.layout).expect_err("too large");
    assert!(found[0].to_string().contains("at most 32 MB"), "{}", found[0]);
    // Within the limit, but of one endless line or of rows without end: still an answer.
    let mut rows = "month,day,hour,ghi,ta\n".to_owned();
    rows.push_str(&"1,1,0,5,5\n".repeat(500_000));
    assert_eq!(faults(&rows).len(), 50);
}

#[test]
fn a_wrong_time_zone_shows_at_noon() {
    let place = place();
    let mut lines: Vec<String> = own(&place).lines().map(str::to_owned).collect();
    // Hours named by their end and read as by their beginning: everything is an hour late.
    let rows = lines.split_off(1);
    let moments = rows.iter().map(|row| row.splitn(4, ',').take(3).collect::<Vec<_>>().join(","));
    let values = rows.iter().map(|row| row.splitn(4, ',').last().unwrap());
    let late = moments
        .zip(values.clone().cycle().skip(HOURS - 1))
        .map(|(moment, value)| format!("{moment},{value}"));
    let file = read(&format!("{}\n{}", lines[0], late.collect::<Vec<_>>().join("\n")));
    let remarks = file.check(&place.sky, &place.climate);
    assert!(
        remarks
            .iter()
            .any(|it| matches!(it, FileRemark::Noon { apart } if (apart.value() - 1.0).abs() < 0.2))
    );
    // At another place the file says where it is from; with half the sun every month is told.
    let elsewhere = Climate { sun: place.climate.sun.map(|sun| sun * 0.5), ..place.climate.clone() };
    let remarks = read(&tmy3(&place).replacen("40.000", "42.000", 1)).check(&place.sky, &elsewhere);
    assert!(remarks.contains(&FileRemark::Elsewhere { station: "High Plain, Airport".to_owned() }));
    assert_eq!(remarks.iter().filter(|it| matches!(it, FileRemark::Month { .. })).count(), 12);
}

#[test]
fn a_meter_file_is_read() {
    let mut text = "month;day;hour;ac;dc\n".to_owned();
    for (month, day, hour) in moments() {
        writeln!(text, "{month};{day};{hour};{};12,5", 100 + hour).unwrap();
    }
    let metered = metered_loads(text.as_bytes(), Percent::new(20.0), Percent::new(90.0));
    let metered = metered.unwrap_or_else(|faults| panic!("{}", faults[0]));
    assert_eq!(metered.ac.len(), HOURS);
    assert!((metered.ac[30].value() - 106.0).abs() < 1e-12 && (metered.dc[30].value() - 12.5).abs() < 1e-12);
    let negative = text.replacen(";100;", ";-100;", 1);
    let found = metered_loads(negative.as_bytes(), Percent::ZERO, Percent::new(90.0));
    assert_eq!(found.map(|_| ()).expect_err("no load is negative")[0].column, "ac");
    assert!(metered_loads(b"month,day,hour,watts\n", Percent::ZERO, Percent::ZERO).is_err());
}

#[test]
fn a_file_fills_a_brief() {
    let place = place();
    let file = weather(epw(&place).as_bytes()).unwrap();
    let snow = Some(Percent::new(20.0));
    let old =
        MonthlyMeans { snow, ..MonthlyMeans::new(Month::January, SunHours::new(9.0), Celsius::new(30.0)) };
    let mut brief = Brief { months: vec![old], ..Brief::default() };
    brief.site.longitude = Some(Degrees::new(-106.0));
    let said = file.fill(&mut brief, "plain.epw", UnitSystem::Si);
    // The records of the place, which the file was made to meet; what was known of snow stays.
    assert_eq!(brief.months.len(), 12);
    assert!(
        (brief.months[0].sun.value() - 2.4).abs() < 0.01 && brief.months[0].temperature.value().abs() < 0.1
    );
    assert_eq!((brief.months[0].snow, brief.months[1].snow), (snow, None));
    assert!(brief.months.iter().all(|it| it.daily_range.unwrap().value() > 3.0));
    assert_eq!(brief.weather, WeatherSource::Records("plain.epw".to_owned()));
    // Where the file was recorded stands in only where the brief was silent.
    assert_eq!(brief.site.latitude, Some(Degrees::new(40.0)));
    assert_eq!(brief.site.longitude, Some(Degrees::new(-106.0)));
    assert_eq!(brief.site.record_low, None, "a year is no record");
    assert!(said.iter().any(|it| it.contains("lowest on record")), "{said:?}");
    assert_eq!(brief.faults(), Vec::new());
}
