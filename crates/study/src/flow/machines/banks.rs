//! Battery banks and their strings.

use super::Given;
use crate::bank_voltage::compensation;
use crate::flow::cells::Cells;
use crate::flow::state::ChargeStage;
use crate::network::NodeId;
use lineside_core::circuit::{Block, BlockId, PlaceFacts, Surroundings};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::Fitted;
use lineside_core::units::{Celsius, Volts};

/// The voltage at which a stage holds a bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::flow) struct Stage {
    /// At 25 °C.
    pub at_base: f64,
    /// With the change for the temperature of the battery.
    pub compensated: f64,
}

/// Whether a charger knows the temperature of the battery. One whose nameplate is silent does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::flow) enum Sensor {
    /// It does.
    Fitted,
    /// It does not, so that its voltages are those for 25 °C.
    Missing,
}

impl Sensor {
    pub(super) fn of(plate: Option<Fitted>) -> Self {
        if plate == Some(Fitted::No) { Self::Missing } else { Self::Fitted }
    }
}

/// A bank.
#[derive(Clone, Debug)]
pub(in crate::flow) struct Bank {
    pub block: BlockId,
    /// Each of its strings; `None` when its chemistry has no model.
    pub string: Option<Cells>,
    /// The stage voltage that is asked for; `None` when charging is off.
    pub stage: Option<Stage>,
    /// Its management opens below.
    pub opens_below: Option<f64>,
    /// Its management opens above.
    pub opens_above: Option<f64>,
}

/// One of its parallel strings.
#[derive(Clone, Debug)]
pub(in crate::flow) struct CellString {
    pub block: BlockId,
    pub node: NodeId,
    /// Counted from 1.
    pub number: u8,
    /// Position of its bank.
    pub bank: usize,
}

impl Bank {
    pub(super) fn of(given: &Given<'_>, block: &Block, bank: &BatteryBank) -> Self {
        let charge = given.state.charge_of(block.id);
        let temperature = given.state.battery_temperature.unwrap_or_else(|| temperature(given, block));
        Self {
            block: block.id,
            string: Cells::of(given.on, bank, charge, temperature),
            stage: stage(given, bank, temperature),
            opens_below: bank.management_low.map(Volts::value),
            opens_above: bank.management_high.map(Volts::value),
        }
    }
}

/// `N × (v + k_T × (T − 25))`, the temperature held within limits (set points, section 2.3).
fn stage(given: &Given<'_>, bank: &BatteryBank, temperature: Celsius) -> Option<Stage> {
    let common = &given.on.codes.common;
    let per_cell = match given.state.stage {
        ChargeStage::Off => return None,
        ChargeStage::Bulk | ChargeStage::Absorb => bank.charge_volts(),
        ChargeStage::Equalize => bank.equalize_volts().unwrap_or(bank.charge_volts()),
        ChargeStage::Float => {
            let usual = common.battery_models.find(bank.chemistry).map(|model| model.float_voltage);
            bank.float_voltage.or(usual).unwrap_or(bank.charge_volts())
        }
    };
    let models = &common.equipment_models;
    let held = temperature.max(models.compensation_from).min(models.compensation_to);
    let (per_degree, _) = compensation(given.on, bank);
    let cells = f64::from(bank.cells());
    let at_base = per_cell * cells;
    let compensated = at_base + per_degree * held.above(Celsius::STANDARD_TEST) * cells;
    Some(Stage { at_base: at_base.value(), compensated: compensated.value() })
}

/// Temperature of a bank whose place keeps the ambient within what it says; out of doors the ambient.
fn temperature(given: &Given<'_>, block: &Block) -> Celsius {
    use lineside_codes::FactorKey::{BatteryIndoorColdest, BatteryIndoorHottest};
    let circuit = &given.on.project.circuit;
    let places = block.place.map(|place| [place, circuit.location_of(place)]);
    let facts = || places.into_iter().flatten().filter_map(|id| circuit.place(id)).map(|place| &place.facts);
    let first = |of: fn(&PlaceFacts) -> Option<Celsius>| facts().find_map(of);
    let inside = facts().find_map(|facts| facts.surroundings).is_some_and(Surroundings::is_inside);
    let usual = |key| inside.then(|| given.on.quantity::<Celsius>(key));
    let coldest = first(|facts| facts.coldest).or_else(|| usual(BatteryIndoorColdest));
    let hottest = first(|facts| facts.hottest).or_else(|| usual(BatteryIndoorHottest));
    let ambient = given.state.ambient;
    let not_colder = coldest.map_or(ambient, |coldest| ambient.max(coldest));
    hottest.map_or(not_colder, |hottest| not_colder.min(hottest))
}
