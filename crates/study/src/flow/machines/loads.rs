//! What feeds a circuit by itself, and what takes from it: sets of strings, supplies, panels and DC loads.

use super::Given;
use super::derating::Derating;
use crate::flow::modules::Modules;
use crate::network::NodeId;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::dc_load::DcLoad as DcLoadPlate;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::utility::Utility;
use lineside_core::math;
use lineside_core::units::{Hertz, Percent, Volts, Watts};

/// A set of strings.
#[derive(Clone, Debug)]
pub(in crate::flow) struct StringSet {
    pub block: BlockId,
    pub node: NodeId,
    /// `None` in the dark.
    pub modules: Option<Modules>,
}

impl StringSet {
    pub(super) fn of(given: &Given<'_>, block: &Block, strings: &Strings, node: NodeId) -> Self {
        let modules = Modules::of(given.on, block, strings, given.state.sun, given.state.ambient);
        Self { block: block.id, node, modules }
    }
}

/// What sort of supply it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::flow) enum SupplyKind {
    /// Taken first.
    Utility,
    /// Taken when there is no utility.
    Generator,
}

/// A utility service or a generator.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Supply {
    pub block: BlockId,
    pub node: NodeId,
    pub kind: SupplyKind,
    pub system: AcSystem,
    pub frequency: Hertz,
    /// Whether the state has it there.
    pub present: bool,
    /// What it gives for hours; chargers and helping inverters keep it below.
    pub usable_watts: f64,
    /// What it gives at most.
    pub greatest_watts: f64,
}

impl Supply {
    pub(super) fn utility(given: &Given<'_>, block: &Block, utility: &Utility, node: NodeId) -> Self {
        let watts = (utility.ac_system.current_voltage() * utility.service_rating).value();
        Self {
            block: block.id,
            node,
            kind: SupplyKind::Utility,
            system: utility.ac_system,
            frequency: utility.frequency,
            present: given.state.supplies.contains(&block.id),
            usable_watts: watts,
            greatest_watts: watts,
        }
    }

    pub(super) fn generator(given: &Given<'_>, block: &Block, set: &Generator, node: NodeId) -> Self {
        let derating = Derating {
            full_output_to: set.full_output_to,
            hot: set.hot_derating,
            full_output_below: set.full_output_below,
            altitude: set.altitude_derating,
        };
        let greatest_watts = (set.power * derating.share(given)).value();
        Self {
            block: block.id,
            node,
            kind: SupplyKind::Generator,
            system: set.ac_system,
            frequency: set.frequency,
            present: given.state.supplies.contains(&block.id),
            usable_watts: greatest_watts * set.usable_share.map_or(1.0, Percent::share),
            greatest_watts,
        }
    }
}

/// The loads of a panel.
#[derive(Clone, Debug)]
pub(in crate::flow) struct AcLoad {
    pub block: BlockId,
    pub node: NodeId,
    pub watts: f64,
    /// Reactive; lagging is positive.
    pub vars: f64,
}

impl AcLoad {
    pub(super) fn of(given: &Given<'_>, block: &Block, panel: &AcPanel, node: NodeId) -> Self {
        let watts = given.state.load_of(block.id, panel.connected_load.unwrap_or_default()).value();
        let factor = panel.power_factor.map_or(1.0, Percent::share).clamp(0.01, 1.0);
        let vars = watts * math::sqrt(1.0 / (factor * factor) - 1.0);
        Self { block: block.id, node, watts, vars }
    }
}

/// DC loads.
#[derive(Clone, Debug)]
pub(in crate::flow) struct DcLoad {
    pub block: BlockId,
    pub node: NodeId,
    pub watts: f64,
    /// Below this voltage they do not work; a share of the nominal voltage where the nameplate gives none.
    pub lowest_volts: f64,
    /// Whether that is the nameplate's.
    pub lowest_from_nameplate: bool,
}

impl DcLoad {
    pub(super) fn of(given: &Given<'_>, block: &Block, load: &DcLoadPlate, node: NodeId) -> Self {
        // Without bank or converter in its zone, the middle of what it stands.
        let window = || Some((load.min_voltage? + load.max_voltage?).value() * 0.5);
        let nominal = given.nominal(node).or_else(window).or(load.max_voltage.map(Volts::value));
        let nominal = nominal.unwrap_or_default();
        let connected = Watts::new(load.current.value() * nominal);
        let floor = given.on.codes.common.equipment_models.voltage_floor.share();
        Self {
            block: block.id,
            node,
            watts: given.state.load_of(block.id, connected).value(),
            lowest_volts: load.min_voltage.map_or(nominal * floor, Volts::value),
            lowest_from_nameplate: load.min_voltage.is_some(),
        }
    }
}
