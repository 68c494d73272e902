//! Tests of the study as a whole: hand-worked circuits, the demos in many cases, and properties of any circuit.

mod demos;
mod properties;
mod reasons;
mod supplies;
mod wild;
mod worked;

use super::*;
use crate::{Ratings, currents, network, protection, ratings, zones};
use lineside_codes::Codes;
use lineside_core::circuit::BlockId;
use lineside_core::project::Project;
use lineside_core::units::{Celsius, Percent, Watts, WattsPerSquareMeter};
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

/// A project with the studies that flow needs.
pub(super) struct Sheet {
    pub project: Project,
    pub network: Network,
    pub zones: Zones,
    pub ratings: Ratings,
}

impl Sheet {
    pub fn new(project: Project) -> Self {
        let on = Conditions::new(&project, &CODES);
        let network = network::expand(&project.circuit);
        let zones = zones::study(&network);
        let currents = currents::study(&on, &network, &zones);
        let protection = protection::study(&project.circuit, &network);
        let ratings = ratings::study(&on, &network, &currents, &protection);
        Self { project, network, zones, ratings }
    }
    pub fn flow(&self, state: &OperatingState) -> Flow {
        let on = Conditions::new(&self.project, &CODES);
        study(&on, &self.network, &self.zones, &self.ratings, state)
    }
    pub fn id(&self, tag: &str) -> BlockId {
        self.project.circuit.block_by_tag(tag).unwrap_or_else(|| panic!("no {tag}")).id
    }
    pub fn state(&self) -> OperatingState {
        OperatingState::new()
    }
}

/// Every block and run with what flows there, for messages.
fn table(sheet: &Sheet, flow: &Flow) -> String {
    let circuit = &sheet.project.circuit;
    let blocks = circuit.blocks().map(|it| format!("{}: {:?}\n", it.title(), flow.block(it.id)));
    let runs = circuit.runs().map(|it| {
        let (from, to) = (circuit.end_name(it.from), circuit.end_name(it.to));
        format!("{from} to {to}: {:?}\n", flow.run(&sheet.network, it.id))
    });
    let controllers = flow.controllers.values().map(|it| format!("{it:?}\n"));
    let inverters = flow.inverters.values().map(|it| format!("{it:?}\n"));
    blocks.chain(runs).chain(controllers).chain(inverters).collect()
}

/// Everything that must add up adds up; gives the greatest deviation, as a share of the greatest power.
pub(super) fn assert_balanced(sheet: &Sheet, flow: &Flow, what: &str) {
    let (left_over, largest) = flow.residual;
    // Where next to nothing flows, a hundredth of a nanoampere is enough.
    assert!(
        left_over.value() <= 1e-9 * largest.value() + 1e-11,
        "{what}: {left_over} of {largest} left over"
    );
    let volts = sheet
        .network
        .nodes()
        .filter_map(|(node, _)| flow.voltage(node))
        .map(lineside_core::units::Volts::value);
    // Beside a billionth of the power, a trillionth of an ampere at the highest voltage.
    let grain = volts.fold(0.0, f64::max) * 1e-12;
    let whole = flow.balance.entering.value().max(flow.balance.leaving.value()).max(1.0) + grain * 1e9;
    assert!(
        flow.balance.gap().value().abs() <= 1e-9 * whole,
        "{what}: {:?} does not add up by {}\n{}",
        flow.balance,
        flow.balance.gap().value(),
        table(sheet, flow)
    );
    for (id, block) in flow.blocks() {
        let gap = block.gap().value().abs();
        let tag = sheet.project.circuit.block(id).map(|it| it.tag.clone());
        assert!(gap <= 1e-9 * whole, "{what}: {tag:?} does not add up by {gap}: {block:?}");
    }
    for (id, zone) in sheet.zones.all() {
        let balance = flow.zone(id).unwrap();
        let name = zone.name(&sheet.network, &sheet.project.circuit);
        assert!(balance.gap().value().abs() <= 1e-9 * whole, "{what}: zone of {name}: {balance:?}");
    }
    for (id, link) in sheet.network.links() {
        let (a, b) = (flow.voltage(link.a), flow.voltage(link.b));
        let found = flow.link(id);
        assert!(
            found.current == lineside_core::units::Amps::ZERO || (a.is_some() && b.is_some()),
            "{what}: current where there is no voltage"
        );
    }
}

pub(super) fn sun(value: f64) -> WattsPerSquareMeter {
    WattsPerSquareMeter::new(value)
}
pub(super) fn celsius(value: f64) -> Celsius {
    Celsius::new(value)
}
pub(super) fn percent(value: f64) -> Percent {
    Percent::new(value)
}
pub(super) fn power(value: f64) -> Load {
    Load::Power(Watts::new(value))
}
