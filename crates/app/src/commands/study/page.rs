//! The results of the studies as a page for people.
//!
//! It prints what `shape.rs` gathered, so that the page and the JSON cannot say different things.

use super::shape::{HoldingShape, RatingShape, StudyShape};
use super::{faults, flow_page, isolation};
use crate::commands::input::Loaded;
use crate::commands::label_shapes;
use crate::commands::shapes::Figure;
use crate::commands::table::{Table, numbers, words};
use crate::commands::text::{self, CAUTION};
use lineside_core::project::RuleSet;
use std::fmt::Write;

/// What stands where nothing is known.
pub(super) const UNKNOWN: &str = "–";

/// The whole page.
pub(super) fn page(loaded: &Loaded, rule_set: RuleSet, shape: &StudyShape) -> String {
    let mut page = format!("{}\n", text::heading(&loaded.project, rule_set, &loaded.name));
    if shape.zones.is_empty() {
        page.push_str("\nThe sheet is empty; there was nothing to study.\n");
        return page;
    }
    let sections = [
        ("Zones", zones(shape)),
        ("Voltages that come about", levels(shape)),
        ("Voltages that are permitted", permitted(shape)),
        ("Data that are missing", missing(shape)),
        ("Runs", runs(shape)),
        ("Runs that could not be rated", not_rated(shape)),
        ("Current that can persist into a fault", holding(shape)),
        ("Ends of field runs that no disconnect cuts off", field_run_ends(shape)),
        ("Voltage lost on the way", drops(shape)),
        ("Bus bars", buses(shape)),
        ("What hangs on the bus bars", feeders(shape)),
        ("What flows into a short circuit in a run, at each of its ends", faults::runs(&shape.faults)),
        ("What flows through a device into a short circuit behind it", faults::devices(&shape.faults)),
        ("Where a star stands", faults::assumed(&shape.faults)),
        ("What makes a block dead; the way back is the other way round", isolation::orders(&shape.isolation)),
        ("What cannot be made dead", isolation::incomplete(&shape.isolation)),
    ];
    for (title, table) in sections {
        if !table.is_empty() {
            let _ = write!(page, "\n{title}\n{}", table.show(2));
        }
    }
    page.push_str(&flow_page::page(shape));
    let labels = label_shapes::needed(&shape.labels);
    if !labels.is_empty() {
        let _ = write!(page, "\nLabels that are needed\n{}", labels.show(2));
    }
    let open = label_shapes::open(&shape.labels);
    if !open.is_empty() {
        let _ = write!(page, "\nWhat is open about labels\n{}", open.show(2));
    }
    let _ = write!(page, "\n{}", text::paragraph(CAUTION, 0));
    page
}

pub(super) fn shown(figure: Option<&Figure>) -> String {
    figure.map_or_else(|| UNKNOWN.to_owned(), |figure| figure.text().to_owned())
}

fn zones(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("zone", 20),
        words("kind", 20),
        numbers("lowest"),
        numbers("highest"),
        words("blocks", 60),
    ]);
    for zone in shape.zones.iter().filter(|zone| !zone.is_lone_bond()) {
        table.row([
            zone.name.clone(),
            zone.label.to_owned(),
            shown(zone.levels.first().map(|level| &level.voltage)),
            shown(zone.levels.last().map(|level| &level.voltage)),
            zone.blocks.join(" "),
        ]);
    }
    table
}

fn levels(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[words("zone", 20), words("when", 40), numbers("voltage")]);
    for zone in &shape.zones {
        for level in &zone.levels {
            table.row([zone.name.clone(), level.cause.to_owned(), level.voltage.text().to_owned()]);
        }
    }
    table
}

fn permitted(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("zone", 20),
        words("block", 12),
        words("what", 24),
        numbers("works from"),
        numbers("works to"),
        numbers("never above"),
    ]);
    for zone in &shape.zones {
        for it in &zone.permitted {
            table.row([
                zone.name.clone(),
                it.block.clone(),
                it.what.clone(),
                shown(it.lowest.as_ref()),
                shown(it.highest.as_ref()),
                shown(it.absolute.as_ref()),
            ]);
        }
    }
    table
}

fn missing(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[words("zone", 20), words("of", 20), words("datum", 50)]);
    for zone in &shape.zones {
        for missing in &zone.missing {
            table.row([zone.name.clone(), missing.owner.clone(), missing.datum.to_owned()]);
        }
    }
    table
}

fn runs(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("run", 12),
        words("from", 20),
        words("to", 20),
        words("circuit", 18),
        words("size", 12),
        numbers("current"),
        numbers("ampacity"),
        numbers("largest device"),
        numbers("resistance, warm"),
    ]);
    for run in &shape.runs {
        let rating =
            |figure: fn(&RatingShape) -> Option<&Figure>| shown(run.rating.as_ref().and_then(figure));
        table.row([
            run.run.clone(),
            run.from.clone(),
            run.to.clone(),
            run.label.to_owned(),
            run.size.clone().unwrap_or_else(|| UNKNOWN.to_owned()),
            shown(run.current.greatest.as_ref()),
            rating(|it| it.ampacity.as_ref()),
            rating(|it| it.largest_device.as_ref()),
            rating(|it| it.warm_resistance.as_ref()),
        ]);
    }
    table
}

fn not_rated(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[words("run", 12), words("why", 80)]);
    for run in &shape.runs {
        if let Some(why) = run.rating.as_ref().and_then(|rating| rating.not_rated.clone()) {
            table.row([run.run.clone(), why]);
        }
    }
    table
}

fn holding(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[words("run", 12), numbers("at its beginning"), numbers("at its end")]);
    let at = |holding: &HoldingShape| match &holding.current {
        Some(current) => current.text().to_owned(),
        None => "not limited".to_owned(),
    };
    for run in &shape.runs {
        table.row([run.run.clone(), at(&run.holding.from), at(&run.holding.to)]);
    }
    table
}

fn field_run_ends(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[words("end", 20), words("first met", 20), words("which is", 20)]);
    for end in &shape.field_run_ends {
        if let Some(met) = &end.met {
            table.row([end.end.clone(), met.kind.replace('_', " "), met.name.clone()]);
        }
    }
    table
}

fn drops(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("from", 12),
        words("to", 12),
        words("through", 40),
        numbers("lost"),
        numbers("of"),
        numbers("share"),
    ]);
    for drop in &shape.drops {
        let runs: Vec<&str> = drop.runs.iter().map(|leg| leg.run.as_str()).collect();
        table.row([
            drop.from.clone(),
            drop.to.clone(),
            runs.join(" "),
            drop.drop.text().to_owned(),
            drop.of.text().to_owned(),
            drop.share.text().to_owned(),
        ]);
    }
    table
}

fn buses(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("bus", 12),
        numbers("carries at worst"),
        numbers("everything coming in"),
        words("with neither device nor limit", 40),
    ]);
    for bus in &shape.buses {
        table.row([
            bus.bus.clone(),
            bus.worst.text().to_owned(),
            bus.simple.text().to_owned(),
            bus.unlimited.join(" "),
        ]);
    }
    table
}

fn feeders(shape: &StudyShape) -> Table {
    let mut table = Table::new(&[
        words("bus", 12),
        words("run", 12),
        words("limited by", 14),
        numbers("current"),
        words("direction", 10),
    ]);
    for bus in &shape.buses {
        for feeder in &bus.feeders {
            table.row([
                bus.bus.clone(),
                feeder.run.clone(),
                feeder.device.clone().unwrap_or_else(|| "source or loads".to_owned()),
                feeder.current.text().to_owned(),
                feeder.direction.to_owned(),
            ]);
        }
    }
    table
}
