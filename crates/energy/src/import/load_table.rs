//! A load table as a spreadsheet holds it: one line a load, under headings. Rows that cannot be read are told and left out.

use super::metered_loads;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::table::{Cells, Headings, ImportFault, Text};
use lineside_core::units::{Hours, Percent, Watts};

/// What was read of a load table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LoadTable {
    /// Lines that can be taken.
    pub loads: Vec<LoadItem>,
    /// Rows that cannot, each with its reason.
    pub refused: Vec<ImportFault>,
    /// What a person should know of it.
    pub remarks: Vec<String>,
}

/// Tables longer than this are no load table.
const MOST_ROWS: usize = 2000;
/// Greatest power of one load that is believed, W.
const POWER: std::ops::RangeInclusive<f64> = 0.0..=1e7;

/// Headings by which each column is known, the first being the one that we write.
const NAME: &[&str] = &["name", "load", "appliance", "item", "description"];
const WATTS: &[&str] = &["watts", "power", "power (w)", "w", "watt"];
const QUANTITY: &[&str] = &["quantity", "qty", "number", "how many", "count"];
const HOURS: &[&str] = &["hours", "hours/day", "hours per day", "h/day", "h"];
const DAYS: &[&str] = &["days", "days per week", "days/week", "days a week"];
const START: &[&str] = &["start", "from", "start hour"];
const SURGE: &[&str] = &["surge", "surge (w)", "starting watts", "start watts"];
const FACTOR: &[&str] = &["power factor", "pf"];
const CURRENT: &[&str] = &["current", "ac/dc", "ac or dc"];
const WAITS: &[&str] = &["waits", "can wait", "priority"];
const MONTHS: &[&str] = &["months", "season"];

struct Columns {
    name: usize,
    watts: usize,
    quantity: Option<usize>,
    hours: usize,
    days: Option<usize>,
    start: Option<usize>,
    surge: Option<usize>,
    factor: Option<usize>,
    current: Option<usize>,
    waits: Option<usize>,
    months: Option<usize>,
}

/// Reads a load table: CSV, or what a spreadsheet puts on the clipboard; or a year of metered hours, which becomes a line
/// for each month. `Err` when its headings lack a column without
/// which there is no load; single rows that cannot be read are told with the table.
pub fn load_table(bytes: &[u8]) -> Result<LoadTable, Vec<ImportFault>> {
    let text = Text::new(bytes).map_err(|fault| vec![fault])?;
    let mut rows = text.spreadsheet_rows(1);
    let first = loop {
        match rows.next() {
            Some(Ok(row)) if row.is_blank() => {}
            Some(Ok(row)) => break row,
            Some(Err(fault)) => return Err(vec![fault]),
            None => {
                let fault = ImportFault::new(1, "", "headings and a line for each load", "nothing");
                return Err(vec![fault]);
            }
        }
    };
    let headings = first.headings();
    if ["month", "day", "hour"].iter().all(|name| headings.find(name).is_some()) {
        return metered(bytes);
    }
    let columns = Columns::of(&headings)?;
    let mut table = LoadTable::default();
    for row in rows {
        if table.loads.len() + table.refused.len() >= MOST_ROWS {
            let fault = ImportFault::new(0, "", format!("at most {MOST_ROWS} rows"), "more of them");
            table.refused.push(fault);
            break;
        }
        match row.and_then(|row| if row.is_blank() { Ok(None) } else { columns.load(&row).map(Some) }) {
            Ok(Some(load)) => table.loads.push(load),
            Ok(None) => {}
            Err(fault) => table.refused.push(fault),
        }
    }
    Ok(table)
}

/// What a meter saw in a year, as lines of a table.
fn metered(bytes: &[u8]) -> Result<LoadTable, Vec<ImportFault>> {
    let metered = metered_loads(bytes, Percent::ZERO, Percent::new(100.0))?;
    let remark = "a meter’s hours became a line for each month: its energy, the mean course of its days, and its greatest hour \
                  as power. Starts within an hour and the spread of days are not in it";
    Ok(LoadTable { loads: metered.lines(), refused: Vec::new(), remarks: vec![remark.to_owned()] })
}

impl Columns {
    fn of(headings: &Headings) -> Result<Self, Vec<ImportFault>> {
        let find = |names: &[&str]| names.iter().find_map(|name| headings.find(name));
        let mut faults = Vec::new();
        let mut need = |names: &[&str]| {
            find(names).unwrap_or_else(|| {
                faults.extend(headings.need(names.first().copied().unwrap_or_default()).err());
                0
            })
        };
        let columns = Self {
            name: need(NAME),
            watts: need(WATTS),
            hours: need(HOURS),
            quantity: find(QUANTITY),
            days: find(DAYS),
            start: find(START),
            surge: find(SURGE),
            factor: find(FACTOR),
            current: find(CURRENT),
            waits: find(WAITS),
            months: find(MONTHS),
        };
        if faults.is_empty() { Ok(columns) } else { Err(faults) }
    }

    fn load(&self, row: &Cells) -> Result<LoadItem, ImportFault> {
        let none = |_: f64| false;
        let text = |place: Option<usize>, name| place.map_or(Ok(""), |place| row.text(place, name));
        let number = |place: Option<usize>, name, bounds| match place {
            Some(place) => row.optional(place, name, bounds, none),
            None => Ok(None),
        };
        let name = row.text(self.name, "name")?.to_owned();
        if name.is_empty() {
            return Err(row.fault("name", "the name of a load", ""));
        }
        let quantity = match text(self.quantity, "quantity")? {
            "" => 1,
            _ => row.whole(self.quantity.unwrap_or_default(), "quantity", 0..=10_000)?,
        };
        let days_per_week = match text(self.days, "days")? {
            "" => 7,
            _ => row.whole(self.days.unwrap_or_default(), "days", 0..=7)?,
        };
        let factor = number(self.factor, "power factor", 0.0..=100.0)?;
        Ok(LoadItem {
            name,
            power: Watts::new(row.number(self.watts, "watts", POWER)?),
            quantity,
            hours: Hours::new(row.number(self.hours, "hours", 0.0..=24.0)?),
            days_per_week,
            start: self.start(row)?,
            profile: Vec::new(),
            surge: number(self.surge, "surge", 0.0..=1e8)?.map(Watts::new),
            // 0.8 and 80 are both said.
            power_factor: factor.map(|it| Percent::new(if it <= 1.0 { it * 100.0 } else { it })),
            current: current(row, text(self.current, "current")?)?,
            priority: priority(row, text(self.waits, "waits")?)?,
            months: months(row, text(self.months, "months")?)?,
        })
    }

    /// `18`, `18.5` or `18:30`.
    fn start(&self, row: &Cells) -> Result<Option<Hours>, ImportFault> {
        let Some(place) = self.start else { return Ok(None) };
        let text = row.text(place, "start")?;
        if let Some((hours, minutes)) = text.split_once(':') {
            let read = |part: &str, most: u32| part.trim().parse::<u32>().ok().filter(|it| *it <= most);
            let fault = || row.fault("start", "an hour of the day such as 18 or 18:30", text);
            let hours = read(hours, 24).ok_or_else(fault)?;
            let minutes = read(minutes, 59).ok_or_else(fault)?;
            let start = f64::from(hours) + f64::from(minutes) / 60.0;
            return if start <= 24.0 { Ok(Some(Hours::new(start))) } else { Err(fault()) };
        }
        Ok(row.optional(place, "start", 0.0..=24.0, |_| false)?.map(Hours::new))
    }
}

fn current(row: &Cells, text: &str) -> Result<LoadCurrent, ImportFault> {
    match text.to_lowercase().as_str() {
        "" | "ac" => Ok(LoadCurrent::Ac),
        "dc" => Ok(LoadCurrent::Dc),
        _ => Err(row.fault("current", "AC or DC", text)),
    }
}

fn priority(row: &Cells, text: &str) -> Result<LoadPriority, ImportFault> {
    match text.to_lowercase().as_str() {
        "" | "no" | "must run" | "must" | "false" | "0" => Ok(LoadPriority::MustRun),
        "yes" | "can wait" | "wait" | "waits" | "true" | "1" => Ok(LoadPriority::CanWait),
        _ => Err(row.fault("waits", "yes or no", text)),
    }
}

/// Months by name or number, single or from–to, apart by blanks or semicolons: `Nov-Feb`, `5 6 7`.
fn months(row: &Cells, text: &str) -> Result<Vec<Month>, ImportFault> {
    let fault = || row.fault("months", "months such as “Nov-Feb” or “5 6 7”, or nothing for all", text);
    let mut found = Vec::new();
    for part in text.split([' ', ';', ',', '/']).filter(|part| !part.is_empty()) {
        let (first, last) = part.split_once(['-', '–']).unwrap_or((part, part));
        let first = month(first).ok_or_else(fault)?;
        let last = month(last).ok_or_else(fault)?;
        let count = (last.number() + 12 - first.number()) % 12 + 1;
        let of_year = Month::ALL.into_iter().cycle().skip(first.number() - 1).take(count);
        for month in of_year {
            if !found.contains(&month) {
                found.push(month);
            }
        }
    }
    found.sort_unstable();
    Ok(if found.len() == Month::ALL.len() { Vec::new() } else { found })
}

fn month(text: &str) -> Option<Month> {
    let text = text.trim().to_lowercase();
    let named = |month: &Month| text.len() >= 3 && month.name().to_lowercase().starts_with(&text);
    let numbered = |month: &Month| text.parse() == Ok(month.number());
    Month::ALL.into_iter().find(|month| named(month) || numbered(month))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Month::{December, February, January, June, May, November};

    #[test]
    fn a_table_from_a_spreadsheet() {
        let text = "\u{feff}Load\tQty\tPower (W)\tHours/day\tStart\tAC/DC\tCan wait\tSeason\tpf\n\
                    LED lamp\t6\t9,5\t5\t18:30\tAC\tno\t\t0,6\n\
                    \n\
                    Heater\t\t1.500\t2\t\t\tyes\tNov-Feb\t\n\
                    Radio\t1\t12\t24\t\tdc\t\t5 6\t\n";
        let table = load_table(text.as_bytes()).unwrap();
        assert_eq!(table.refused, Vec::new());
        let [lamp, heater, radio] = table.loads.as_slice() else { panic!("{:?}", table.loads) };
        assert_eq!((lamp.power, lamp.quantity, lamp.start), (Watts::new(9.5), 6, Some(Hours::new(18.5))));
        assert_eq!((lamp.days_per_week, lamp.power_factor), (7, Some(Percent::new(60.0))));
        assert_eq!(
            (heater.power, heater.quantity, heater.priority),
            (Watts::new(1500.0), 1, LoadPriority::CanWait)
        );
        assert_eq!(heater.months, [January, February, November, December]);
        assert_eq!((radio.current, radio.months.as_slice()), (LoadCurrent::Dc, [May, June].as_slice()));
    }

    #[test]
    fn rows_that_cannot_be_read_are_told_and_left_out() {
        let text = "name,watts,hours,start,months\nPump,1e9,1,,\nLamp,10,25,,\n,5,1,,\nFan,20,4,26:00,\nTV,80,4,18,Foo\nRadio,5,3,7,\n";
        let table = load_table(text.as_bytes()).unwrap();
        assert_eq!(table.loads.len(), 1);
        let told: Vec<_> = table.refused.iter().map(|it| (it.line, it.column.as_str())).collect();
        assert_eq!(told, [(2, "watts"), (3, "hours"), (4, "name"), (5, "start"), (6, "months")]);
    }

    #[test]
    fn headings_that_lack_a_column_are_told() {
        let faults = load_table(b"name,amps\nPump,3\n").unwrap_err();
        let told: Vec<_> = faults.iter().map(ToString::to_string).collect();
        assert!(told.len() == 2 && told[0].contains("“watts”") && told[1].contains("“hours”"), "{told:?}");
        assert!(load_table(b"").is_err() && load_table(b"\n\n").is_err());
    }
}
