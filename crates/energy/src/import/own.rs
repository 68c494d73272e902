//! Our own CSV: `month,day,hour,ghi,ta`, with `dni,dhi,wind,albedo` where they are known. Hours are named by their beginning,
//! 0 to 23; rows may stand in any order.

use super::hourly_file::{AIR, ALBEDO, FileHour, FileRemark, HourlyFile, Layout, SUN, WIND};
use crate::calendar::{HOURS, hour_of};
use lineside_core::table::{Cells, Faults, Headings, ImportFault, Text};

pub(super) fn read(text: &Text<'_>) -> Result<HourlyFile, Vec<ImportFault>> {
    let table = YearTable::read(text, |headings| {
        Ok(Columns {
            horizontal: headings.need("ghi")?,
            air: headings.need("ta")?,
            beam: headings.find("dni"),
            diffuse: headings.find("dhi"),
            wind: headings.find("wind"),
            albedo: headings.find("albedo"),
        })
    })?;
    let remarks = if table.leap_day { vec![FileRemark::LeapDay] } else { Vec::new() };
    HourlyFile::of(Layout::Own, None, remarks, &table.hours, Faults::default())
}

struct Columns {
    horizontal: usize,
    air: usize,
    beam: Option<usize>,
    diffuse: Option<usize>,
    wind: Option<usize>,
    albedo: Option<usize>,
}

impl Read for Columns {
    type Hour = FileHour;

    fn hour(&self, row: &Cells) -> Result<FileHour, ImportFault> {
        let none = |_: f64| false;
        let column = |place: Option<usize>, name, bounds| match place {
            Some(place) => row.optional(place, name, bounds, none),
            None => Ok(None),
        };
        Ok(FileHour {
            horizontal: row.optional(self.horizontal, "ghi", SUN, none)?,
            beam: column(self.beam, "dni", SUN)?,
            diffuse: column(self.diffuse, "dhi", SUN)?,
            celsius: row.optional(self.air, "ta", AIR, none)?,
            wind: column(self.wind, "wind", WIND)?,
            albedo: column(self.albedo, "albedo", ALBEDO)?,
            line: row.line,
        })
    }
}

/// Reads the cells of one hour.
pub(super) trait Read {
    /// What an hour holds.
    type Hour: Clone;
    /// The hour of a row.
    fn hour(&self, row: &Cells) -> Result<Self::Hour, ImportFault>;
}

/// A table with a row for each hour of the year, named by month, day and hour.
pub(super) struct YearTable<T> {
    pub hours: Vec<T>,
    /// Whether it had a leap day, which is left out.
    pub leap_day: bool,
}

impl<T: Clone> YearTable<T> {
    /// Reads it; the columns besides the moment are found by `columns`.
    pub(super) fn read<C: Read<Hour = T>>(
        text: &Text<'_>,
        columns: impl FnOnce(&Headings) -> Result<C, ImportFault>,
    ) -> Result<Self, Vec<ImportFault>> {
        let mut rows = text.spreadsheet_rows(1);
        let headings = match rows.next() {
            Some(Ok(row)) => row.headings(),
            Some(Err(fault)) => return Err(vec![fault]),
            None => return Err(vec![ImportFault::new(1, "", "names of columns", "nothing")]),
        };
        let one = |fault| vec![fault];
        let moment = Moment::of(&headings).map_err(one)?;
        let columns = columns(&headings).map_err(one)?;
        let mut faults = Faults::default();
        let mut slots: Vec<Option<T>> = vec![None; HOURS];
        let mut leap_day = false;
        for row in rows {
            let put = row.and_then(|row| {
                if row.is_blank() {
                    return Ok(());
                }
                let Some(hour) = moment.hour(&row)? else {
                    leap_day = true;
                    return Ok(());
                };
                let slot = slots.get_mut(hour).filter(|slot| slot.is_none());
                let slot = slot.ok_or_else(|| row.fault("month", "each hour once", moment.text(&row)))?;
                *slot = Some(columns.hour(&row)?);
                Ok(())
            });
            if let Err(fault) = put {
                faults.add(fault);
            }
            if faults.is_full() {
                return Err(faults.into_list());
            }
        }
        let missing = slots.iter().filter(|slot| slot.is_none()).count();
        if missing > 0 {
            let first = slots.iter().position(Option::is_none).unwrap_or(0);
            let found =
                format!("{} hours, the first missing one is hour {} of the year", HOURS - missing, first + 1);
            faults.add(ImportFault::new(2, "", "a row for each of the 8760 hours of a year", found));
        }
        faults.or(Self { hours: slots.into_iter().flatten().collect(), leap_day })
    }
}

/// Columns that name the hour.
struct Moment {
    month: usize,
    day: usize,
    hour: usize,
}

impl Moment {
    fn of(headings: &Headings) -> Result<Self, ImportFault> {
        Ok(Self { month: headings.need("month")?, day: headings.need("day")?, hour: headings.need("hour")? })
    }

    /// The hour of the year; `None` on the leap day.
    fn hour(&self, row: &Cells) -> Result<Option<usize>, ImportFault> {
        let (month, day) = (row.whole(self.month, "month", 1..=12)?, row.whole(self.day, "day", 1..=31)?);
        let hour = row.whole(self.hour, "hour", 0..=23)?;
        if (month, day) == (2, 29) {
            return Ok(None);
        }
        let first = hour_of(month, day);
        let first = first.ok_or_else(|| row.fault("day", "a day of that month", day.to_string()))?;
        Ok(Some(first + hour as usize))
    }

    fn text(&self, row: &Cells) -> String {
        let cell = |place| row.text(place, "").unwrap_or_default();
        format!("month {}, day {}, hour {}, again", cell(self.month), cell(self.day), cell(self.hour))
    }
}
