//! How each block is made dead: its shape in JSON and its tables.
//!
//! What is computed is in `lineside_study::isolation`.

use super::gathering::Gathering;
use crate::commands::table::{Table, words};
use lineside_core::kinds::inside::{Disconnects, SourceKind};
use lineside_study::SwitchingOrder;
use lineside_study::isolation::{self, Live, Purpose, Role, Step};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct OrderShape {
    block: String,
    complete: bool,
    steps: Vec<StepShape>,
    stays_live: Vec<LiveShape>,
    remains: Vec<SourceNameShape>,
    way_back: Vec<String>,
}

#[derive(Serialize)]
struct StepShape {
    throw: String,
    poles: Vec<String>,
    purpose: &'static str,
    needed: bool,
    under_load: bool,
    already_open: bool,
}

#[derive(Serialize)]
struct LiveShape {
    what: &'static str,
    #[serde(skip)]
    label: &'static str,
    block: String,
}

#[derive(Serialize)]
struct SourceNameShape {
    kind: &'static str,
    block: String,
}

/// Gathers the order of every block that any source reaches.
pub(super) fn gather(on: &Gathering<'_>) -> Vec<OrderShape> {
    let (network, zones) = (&on.studies.network, &on.studies.zones);
    let orders = on.circuit().blocks().map(|block| isolation::of(&on.on, network, zones, block.id));
    orders.filter(|order| !order.steps.is_empty() || !order.is_complete()).map(|it| shape(on, &it)).collect()
}

fn shape(on: &Gathering<'_>, order: &SwitchingOrder) -> OrderShape {
    let back = order.way_back().filter(|step| !step.already_open);
    OrderShape {
        block: on.block(order.block),
        complete: order.is_complete(),
        steps: order.steps.iter().map(|it| step(on, it)).collect(),
        stays_live: order.stays_live.iter().map(|it| live(on, *it)).collect(),
        remains: order
            .remains
            .iter()
            .map(|it| SourceNameShape { kind: source_key(it.kind), block: on.block(it.block) })
            .collect(),
        way_back: back.map(|step| on.block(step.block)).collect(),
    }
}

fn step(on: &Gathering<'_>, step: &Step) -> StepShape {
    let poles = step.poles.iter().filter_map(|pole| on.studies.network.poles().get(*pole));
    StepShape {
        throw: on.block(step.block),
        poles: poles.filter_map(|pole| pole.pole.name.clone()).collect(),
        purpose: match step.purpose {
            Purpose::Loads => "loads",
            Purpose::AcSources => "ac_sources",
            Purpose::Converters => "converters",
            Purpose::Pv => "pv",
            Purpose::Battery => "battery",
        },
        needed: step.role == Role::CutsOff,
        under_load: step.how == Disconnects::UnderLoad,
        already_open: step.already_open,
    }
}

fn live(on: &Gathering<'_>, live: Live) -> LiveShape {
    let (what, label, block) = match live {
        Live::Strings(block) => ("strings", "strings", block),
        Live::Battery(block) => ("battery", "battery", block),
        Live::AcSource(block) => ("ac_source", "AC source", block),
        Live::Capacitors(block) => ("capacitors", "capacitors in", block),
    };
    LiveShape { what, label, block: on.block(block) }
}

/// A sort of source, as it stands in JSON.
pub(super) const fn source_key(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::Strings => "strings",
        SourceKind::BatteryString(_) => "battery",
        SourceKind::ControllerOutput => "controller",
        SourceKind::DcConverterOutput => "dc_converter",
        SourceKind::Charger => "charger",
        SourceKind::InverterOutput => "inverter_output",
        SourceKind::Generator => "generator",
        SourceKind::Utility => "utility",
    }
}

/// The orders of those blocks that can be made dead.
pub(super) fn orders(orders: &[OrderShape]) -> Table {
    let mut table =
        Table::new(&[words("block", 12), words("throw, in this order", 70), words("stays live", 50)]);
    for order in orders.iter().filter(|order| order.complete) {
        let steps: Vec<String> = (1..).zip(&order.steps).map(|(n, step)| told(n, step)).collect();
        table.row([order.block.clone(), steps.join("; "), stays_live(order)]);
    }
    table
}

/// Those that cannot.
pub(super) fn incomplete(orders: &[OrderShape]) -> Table {
    let mut table = Table::new(&[
        words("block", 12),
        words("nothing cuts off", 40),
        words("what can be thrown all the same", 60),
    ]);
    for order in orders.iter().filter(|order| !order.complete) {
        let sources = order.remains.iter().map(|it| it.block.clone());
        let mut sources: Vec<String> = sources.collect();
        sources.dedup();
        let steps: Vec<String> = (1..).zip(&order.steps).map(|(n, step)| told(n, step)).collect();
        table.row([order.block.clone(), sources.join(" "), steps.join("; ")]);
    }
    table
}

fn stays_live(order: &OrderShape) -> String {
    let live: Vec<String> = order.stays_live.iter().map(|it| format!("{} {}", it.label, it.block)).collect();
    live.join(", ")
}

/// `2. CB1 (way 3), only without load`.
fn told(number: u32, step: &StepShape) -> String {
    let mut said = format!("{number}. {}", step.throw);
    if !step.poles.is_empty() {
        said = format!("{said} ({})", step.poles.join(", "));
    }
    if step.already_open {
        said.push_str(", which is open: keep it so");
    } else if !step.under_load {
        said.push_str(", only without load");
    }
    said
}
