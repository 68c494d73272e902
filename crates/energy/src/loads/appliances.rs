//! The appliance list: usual figures of usual things, to begin a load table from.
//!
//! They are the project's own round figures; the plate of the thing itself knows better.

use crate::csv_table::{Row, Table};
use lineside_codes::TableError;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority};
use lineside_core::units::{Hours, Percent, Watts};

/// One appliance with its usual figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Appliance {
    /// Where it is used.
    pub group: String,
    /// The line that it makes of a load table.
    pub item: LoadItem,
    /// Least and greatest power that such things have.
    pub range: (Watts, Watts),
    /// What should be known of it; may be empty.
    pub note: String,
}

pub(crate) fn read(table: &Table) -> Result<Vec<Appliance>, TableError> {
    table.rows().map(appliance).collect()
}

fn appliance(row: Row<'_>) -> Result<Appliance, TableError> {
    let power = row.number("watts")?;
    let optional =
        |column| if row.text(column)?.is_empty() { Ok(None) } else { row.number(column).map(Some) };
    let current = match row.text("current")? {
        "ac" => LoadCurrent::Ac,
        "dc" => LoadCurrent::Dc,
        other => return Err(row.error("current", "ac or dc", other)),
    };
    let priority = match row.text("waits")? {
        "must" => LoadPriority::MustRun,
        "wait" => LoadPriority::CanWait,
        other => return Err(row.error("waits", "must or wait", other)),
    };
    let days = row.text("days_per_week")?;
    let days_per_week = days.parse().ok().filter(|days: &u32| *days <= 7);
    let days_per_week = days_per_week.ok_or_else(|| row.error("days_per_week", "0 to 7", days))?;
    Ok(Appliance {
        group: row.text("group")?.to_owned(),
        item: LoadItem {
            name: row.text("name")?.to_owned(),
            power: Watts::new(power),
            quantity: 1,
            hours: Hours::new(row.number("hours")?),
            days_per_week,
            start: optional("start")?.map(Hours::new),
            profile: Vec::new(),
            surge: optional("surge")?.map(|times| Watts::new(times * power)),
            power_factor: optional("power_factor")?.map(Percent::new),
            current,
            priority,
            months: Vec::new(),
        },
        range: (Watts::new(row.number("low")?), Watts::new(row.number("high")?)),
        note: row.text("note")?.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use crate::Tables;
    use lineside_core::project::Brief;
    use std::collections::BTreeSet;

    #[test]
    fn the_list_is_sound() {
        let list = Tables::load().unwrap().appliances;
        assert!(list.len() > 50);
        let names: BTreeSet<_> = list.iter().map(|it| it.item.name.clone()).collect();
        assert_eq!(names.len(), list.len(), "each name once");
        for it in &list {
            assert!(it.range.0 <= it.item.power && it.item.power <= it.range.1, "{}", it.item.name);
            assert!(it.item.surge.is_none_or(|surge| surge >= it.item.power), "{}", it.item.name);
        }
        let brief = Brief { loads: list.into_iter().map(|it| it.item).collect(), ..Brief::default() };
        assert_eq!(brief.faults(), Vec::new());
    }
}
