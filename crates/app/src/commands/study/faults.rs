//! The prospective short-circuit currents: their shape in JSON and their tables.
//!
//! What is computed is in `lineside_study::faults`.

use super::gathering::Gathering;
use crate::commands::shapes::Figure;
use crate::commands::table::{Table, numbers, words};
use lineside_core::circuit::{Run, Side};
use lineside_study::network::PoleInBlock;
use lineside_study::{Assumption, PoleSide, Prospective};
use serde::Serialize;
use std::collections::BTreeSet;

#[derive(Serialize)]
pub(super) struct FaultsShape {
    runs: Vec<RunFaultShape>,
    devices: Vec<DeviceFaultShape>,
}

#[derive(Serialize)]
struct RunFaultShape {
    run: String,
    from: ProspectiveShape,
    to: ProspectiveShape,
}

#[derive(Serialize)]
struct DeviceFaultShape {
    device: String,
    pole: Option<String>,
    line: ProspectiveShape,
    load: ProspectiveShape,
    duty: Figure,
}

#[derive(Serialize)]
struct ProspectiveShape {
    total: Figure,
    sources: Vec<SourceShape>,
    assumed: Vec<&'static str>,
    #[serde(skip)]
    assumed_labels: Vec<&'static str>,
}

#[derive(Serialize)]
struct SourceShape {
    source: &'static str,
    #[serde(skip)]
    label: &'static str,
    current: Figure,
}

/// Gathers what flows into a fault in every run and through every device.
pub(super) fn gather(on: &Gathering<'_>) -> FaultsShape {
    let devices = on.studies.network.poles().iter().filter(|pole| !pole.is_relay());
    FaultsShape {
        runs: on.circuit().runs().map(|run| of_run(on, run)).collect(),
        devices: devices.map(|pole| of_device(on, pole)).collect(),
    }
}

fn of_run(on: &Gathering<'_>, run: &Run) -> RunFaultShape {
    let side = |side| prospective(on, &on.studies.faults.run_side(&on.studies.network, run.id, side));
    RunFaultShape { run: run.tag.clone(), from: side(Side::From), to: side(Side::To) }
}

fn of_device(on: &Gathering<'_>, pole: &PoleInBlock) -> DeviceFaultShape {
    let side = |side| prospective(on, &on.studies.faults.through_pole(pole.link, side));
    DeviceFaultShape {
        device: on.block(pole.block),
        pole: pole.pole.name.clone(),
        line: side(PoleSide::Line),
        load: side(PoleSide::Load),
        duty: on.figure(on.studies.faults.duty(pole.link).total()),
    }
}

fn prospective(on: &Gathering<'_>, found: &Prospective) -> ProspectiveShape {
    let sources = found.sources().map(|(source, amps)| SourceShape {
        source: source.key(),
        label: source.label(),
        current: on.figure(amps),
    });
    ProspectiveShape {
        total: on.figure(found.total()),
        sources: sources.collect(),
        assumed: found.assumed().all().map(Assumption::key).collect(),
        assumed_labels: found.assumed().all().map(Assumption::label).collect(),
    }
}

/// `2,481 A: batteries 2,422 A, controllers 59.18 A`, and the total alone where there is one source.
fn told(found: &ProspectiveShape) -> String {
    let mark = if found.assumed.is_empty() { "" } else { " *" };
    let total = found.total.text();
    match found.sources.as_slice() {
        [] => format!("nothing{mark}"),
        [only] => format!("{total} from {}{mark}", only.label),
        several => {
            let each = several.iter().map(|it| format!("{} {}", it.label, it.current.text()));
            format!("{total}: {}{mark}", each.collect::<Vec<_>>().join(", "))
        }
    }
}

/// For every run what comes from each of its ends.
pub(super) fn runs(shape: &FaultsShape) -> Table {
    let mut table =
        Table::new(&[words("run", 12), words("from its beginning", 60), words("from its end", 60)]);
    for run in &shape.runs {
        table.row([run.run.clone(), told(&run.from), told(&run.to)]);
    }
    table
}

/// For every device what comes through it from each of its sides.
pub(super) fn devices(shape: &FaultsShape) -> Table {
    let mut table = Table::new(&[
        words("device", 20),
        numbers("interrupts"),
        words("from its line or way", 60),
        words("from its load or bus", 60),
    ]);
    for it in &shape.devices {
        let name = it.pole.as_ref().map_or_else(|| it.device.clone(), |pole| format!("{} {pole}", it.device));
        table.row([name, it.duty.text().to_owned(), told(&it.line), told(&it.load)]);
    }
    table
}

/// What was assumed where a star stands; no rows where nothing was.
pub(super) fn assumed(shape: &FaultsShape) -> Table {
    let mut table = Table::new(&[words("", 100)]);
    let runs = shape.runs.iter().flat_map(|run| [&run.from, &run.to]);
    let devices = shape.devices.iter().flat_map(|it| [&it.line, &it.load]);
    let labels: BTreeSet<&str> =
        runs.chain(devices).flat_map(|it| it.assumed_labels.iter().copied()).collect();
    for label in labels {
        table.row([label.to_owned()]);
    }
    table
}
