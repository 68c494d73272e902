//! The building-energy weather file: eight header lines, then rows without names whose hours are named by their end. Fields
//! are counted from 1 as in its data dictionary.

use super::hourly_file::{AIR, ALBEDO, FileHour, FileRemark, HourlyFile, Layout, SUN, Station, WIND};
use crate::calendar::{HOURS, hour_of};
use lineside_core::table::{Cells, Faults, ImportFault, Text};
use lineside_core::units::{Degrees, Hours, Meters};

/// First line of data.
const FIRST_ROW: u64 = 9;

pub(super) fn read(text: &Text<'_>) -> Result<HourlyFile, Vec<ImportFault>> {
    let mut faults = Faults::default();
    let mut remarks = Vec::new();
    let head = match text.rows_from(1).next() {
        Some(Ok(row)) => station(&row),
        Some(Err(fault)) => Err(fault),
        None => Err(ImportFault::new(1, "", "a station", "nothing")),
    };
    let station = head.map_err(|fault| vec![fault])?;
    let mut hours = Vec::with_capacity(HOURS);
    for row in text.rows_from(FIRST_ROW) {
        match row.and_then(|row| of_row(&row, hours.len())) {
            Ok(Row::Hour(hour)) => hours.push(hour),
            Ok(Row::LeapDay) if !remarks.contains(&FileRemark::LeapDay) => remarks.push(FileRemark::LeapDay),
            Ok(Row::LeapDay | Row::Blank) => {}
            Err(fault) => {
                faults.add(fault);
                hours.push(FileHour::default());
            }
        }
        if hours.len() > HOURS || faults.is_full() {
            break;
        }
    }
    if hours.len() != HOURS && !faults.is_full() {
        let found = if hours.len() > HOURS { "more".to_owned() } else { hours.len().to_string() };
        faults.add(ImportFault::new(FIRST_ROW, "", "8760 rows", found));
    }
    HourlyFile::of(Layout::Epw, Some(station), remarks, &hours, faults)
}

fn station(row: &Cells) -> Result<Station, ImportFault> {
    Ok(Station {
        name: row.text(1, "city")?.to_owned(),
        latitude: Degrees::new(row.number(6, "latitude", -90.0..=90.0)?),
        longitude: Degrees::new(row.number(7, "longitude", -180.0..=180.0)?),
        utc_offset: Hours::new(row.number(8, "UTC offset", -12.0..=14.0)?),
        elevation: Meters::new(row.number(9, "elevation", -430.0..=9000.0)?),
    })
}

enum Row {
    Hour(FileHour),
    LeapDay,
    Blank,
}

fn of_row(row: &Cells, due: usize) -> Result<Row, ImportFault> {
    if row.is_blank() {
        return Ok(Row::Blank);
    }
    let (month, day) = (row.whole(1, "2 month", 1..=12)?, row.whole(2, "3 day", 1..=31)?);
    let ends = row.whole(3, "4 hour", 1..=24)?;
    if (month, day) == (2, 29) {
        return Ok(Row::LeapDay);
    }
    if hour_of(month, day).map(|first| first + ends as usize - 1) != Some(due) {
        let expected = format!("hour {} of the year, rows in order and each once", due + 1);
        return Err(row.fault("2 month", expected, format!("month {month}, day {day}, hour {ends}")));
    }
    let above = |limit: f64| move |value: f64| value >= limit;
    let sun = |place, name| row.optional(place, name, SUN, above(9999.0));
    Ok(Row::Hour(FileHour {
        horizontal: sun(13, "14 global horizontal")?,
        beam: sun(14, "15 direct normal")?,
        diffuse: sun(15, "16 diffuse horizontal")?,
        celsius: row.optional(6, "7 dry bulb", AIR, above(99.9))?,
        wind: row.optional(21, "22 wind speed", WIND, above(999.0))?,
        albedo: match row.text(32, "33 albedo") {
            Ok(_) => row.optional(32, "33 albedo", ALBEDO, above(999.0))?,
            // Older files end before the albedo.
            Err(_) => None,
        },
        line: row.line,
    }))
}
