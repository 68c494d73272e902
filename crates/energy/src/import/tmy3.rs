//! TMY3 CSV [Wilcox & Marion, NREL/TP-581-43156]: station in line 1, column names in line 2, then 8 760 rows whose hours are
//! named by their end.

use super::hourly_file::{AIR, ALBEDO, FileHour, HourlyFile, Layout, SUN, Station, WIND};
use crate::calendar::{HOURS, hour_of};
use lineside_core::table::{Cells, Faults, Headings, ImportFault, Text};
use lineside_core::units::{Degrees, Hours, Meters};

/// Numbers at or below it stand for none.
const MISSING: f64 = -9900.0;

pub(super) fn read(text: &Text<'_>) -> Result<HourlyFile, Vec<ImportFault>> {
    let mut faults = Faults::default();
    let mut rows = text.rows_from(1);
    let station = match rows.next() {
        Some(Ok(row)) => station(&row),
        Some(Err(fault)) => Err(fault),
        None => Err(ImportFault::new(1, "", "a station", "nothing")),
    };
    let station = station.map_err(|fault| vec![fault])?;
    let headings = match rows.next() {
        Some(Ok(row)) => row.headings(),
        Some(Err(fault)) => return Err(vec![fault]),
        None => return Err(vec![ImportFault::new(2, "", "names of columns", "nothing")]),
    };
    let columns = Columns::of(&headings).map_err(|fault| vec![fault])?;
    let mut hours = Vec::with_capacity(HOURS);
    for row in rows {
        let hour =
            row.and_then(
                |row| if row.is_blank() { Ok(None) } else { columns.hour(&row, hours.len()).map(Some) },
            );
        match hour {
            Ok(hour) => hours.extend(hour),
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
        faults.add(ImportFault::new(3, "", "8760 rows", found));
    }
    HourlyFile::of(Layout::Tmy3, Some(station), Vec::new(), &hours, faults)
}

fn station(row: &Cells) -> Result<Station, ImportFault> {
    Ok(Station {
        name: row.text(1, "name")?.to_owned(),
        utc_offset: Hours::new(row.number(3, "UTC offset", -12.0..=14.0)?),
        latitude: Degrees::new(row.number(4, "latitude", -90.0..=90.0)?),
        longitude: Degrees::new(row.number(5, "longitude", -180.0..=180.0)?),
        elevation: Meters::new(row.number(6, "elevation", -430.0..=9000.0)?),
    })
}

struct Columns {
    date: usize,
    time: usize,
    horizontal: usize,
    beam: Option<usize>,
    diffuse: Option<usize>,
    air: usize,
    wind: Option<usize>,
    albedo: Option<usize>,
}

const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
const GHI: &str = "GHI (Wh/m^2)";
const DNI: &str = "DNI (Wh/m^2)";
const DHI: &str = "DHI (Wh/m^2)";
const DRY_BULB: &str = "Dry-bulb (C)";
const WIND_SPEED: &str = "Wspd (m/s)";
const ALB: &str = "Alb (unitless)";

impl Columns {
    fn of(headings: &Headings) -> Result<Self, ImportFault> {
        Ok(Self {
            date: headings.need(DATE)?,
            time: headings.need(TIME)?,
            horizontal: headings.need(GHI)?,
            beam: headings.find(DNI),
            diffuse: headings.find(DHI),
            air: headings.need(DRY_BULB)?,
            wind: headings.find(WIND_SPEED),
            albedo: headings.find(ALB),
        })
    }

    /// The hour of a row, which must be the one that is due.
    fn hour(&self, row: &Cells, due: usize) -> Result<FileHour, ImportFault> {
        let (date, time) = (row.text(self.date, DATE)?, row.text(self.time, TIME)?);
        if moment(date, time) != Some(due) {
            let expected = format!("hour {} of the year, rows in order and each once", due + 1);
            return Err(row.fault(DATE, expected, format!("{date} {time}")));
        }
        let missing = |value: f64| value <= MISSING;
        let column = |place: Option<usize>, name, bounds| match place {
            Some(place) => row.optional(place, name, bounds, missing),
            None => Ok(None),
        };
        Ok(FileHour {
            horizontal: row.optional(self.horizontal, GHI, SUN, missing)?,
            beam: column(self.beam, DNI, SUN)?,
            diffuse: column(self.diffuse, DHI, SUN)?,
            celsius: row.optional(self.air, DRY_BULB, AIR, missing)?,
            wind: column(self.wind, WIND_SPEED, WIND)?,
            albedo: match self.albedo {
                Some(place) => row.optional(place, ALB, ALBEDO, |value| value < 0.0)?,
                None => None,
            },
            line: row.line,
        })
    }
}

/// The hour of the year that ends at a time, whatever the year.
fn moment(date: &str, time: &str) -> Option<usize> {
    let mut parts = date.split('/').map(str::parse::<u32>);
    let (month, day) = (parts.next()?.ok()?, parts.next()?.ok()?);
    let ends: usize = time.split(':').next()?.parse().ok()?;
    Some(hour_of(month, day)? + ends.checked_sub(1).filter(|hour| *hour < 24)?)
}
