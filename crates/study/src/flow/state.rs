//! The operating state that is asked for: sun, temperatures, charge, loads, supplies, switches.
//!
//! What the circuit does in it is in [`super::study`].

use lineside_core::circuit::{BlockId, Circuit};
use lineside_core::kinds::common::Position;
use lineside_core::project::{OperatingCase, Project};
use lineside_core::units::{Celsius, Percent, Watts, WattsPerSquareMeter};
use std::collections::{BTreeMap, BTreeSet};

/// How much a panel or a DC load takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// So many watts.
    Power(Watts),
    /// A share of what is connected: of a panel's connected load, of the current of DC loads at the nominal voltage.
    Share(Percent),
}

impl Load {
    /// Nothing at all.
    pub const NONE: Self = Self::Power(Watts::ZERO);
    /// All that is connected.
    pub const ALL: Self = Self::Share(Percent::new(100.0));
}

/// The stage that chargers are in: the voltage that they do not pass.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChargeStage {
    /// All that there is, up to the absorb voltage. Whether that is reached is found, not asked for.
    #[default]
    Bulk,
    /// At the absorb voltage. What it takes to stay there is found; where the sun does not reach it, it is bulk.
    Absorb,
    /// At the float voltage.
    Float,
    /// At the equalize voltage; the absorb voltage for banks that are never equalized.
    Equalize,
    /// Nothing is charged.
    Off,
}

impl ChargeStage {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Bulk => "bulk",
            Self::Absorb => "absorb",
            Self::Float => "float",
            Self::Equalize => "equalize",
            Self::Off => "off",
        }
    }
}

/// One state of the whole system.
#[derive(Clone, Debug, PartialEq)]
pub struct OperatingState {
    /// Sun in the plane of the array.
    pub sun: WattsPerSquareMeter,
    /// Ambient temperature.
    pub ambient: Celsius,
    /// State of charge of every bank that is not listed below.
    pub charge: Percent,
    /// State of charge of banks that differ.
    pub bank_charges: BTreeMap<BlockId, Percent>,
    /// Temperature of the batteries; where it is not given, that of their places at this ambient.
    pub battery_temperature: Option<Celsius>,
    /// Load of every panel and DC load that is not listed below.
    pub other_loads: Load,
    /// Load of panels and DC loads.
    pub loads: BTreeMap<BlockId, Load>,
    /// Utilities that are there and generators that run.
    pub supplies: BTreeSet<BlockId>,
    /// Poles that stand otherwise than drawn, by the name of the pole; an empty name is every pole of the block. For
    /// a switch with a mechanical interlock the position of one pole decides that of the others. An empty name with
    /// `Open` on a converter, controller or inverter switches it off.
    pub switches: BTreeMap<(BlockId, String), Position>,
    /// The stage that chargers are in.
    pub stage: ChargeStage,
    /// Tags that the case names and the sheet has not.
    pub unknown_tags: Vec<String>,
}

impl OperatingState {
    /// Sun as in standard test conditions, 25 °C, banks at 80 %, nothing loaded, no supply there.
    pub fn new() -> Self {
        Self {
            sun: WattsPerSquareMeter::new(1000.0),
            ambient: Celsius::STANDARD_TEST,
            charge: Percent::new(80.0),
            bank_charges: BTreeMap::new(),
            battery_temperature: None,
            other_loads: Load::NONE,
            loads: BTreeMap::new(),
            supplies: BTreeSet::new(),
            switches: BTreeMap::new(),
            stage: ChargeStage::Bulk,
            unknown_tags: Vec::new(),
        }
    }

    /// The state of a named case. A panel or DC load that the case does not name takes nothing.
    pub fn from_case(project: &Project, case: &OperatingCase) -> Self {
        let circuit = &project.circuit;
        let mut state =
            Self { sun: case.sun, ambient: case.ambient, charge: case.state_of_charge, ..Self::new() };
        let mut unknown = BTreeSet::new();
        let mut find = |tag: &str| {
            let found = circuit.block_by_tag(tag).map(|block| block.id);
            if found.is_none() {
                unknown.insert(tag.to_owned());
            }
            found
        };
        for (tag, watts) in &case.loads {
            state.loads.extend(find(tag).map(|block| (block, Load::Power(*watts))));
        }
        state.supplies.extend(case.supplies.iter().filter_map(|tag| find(tag)));
        for switch in &case.switches {
            state
                .switches
                .extend(find(&switch.block).map(|block| ((block, switch.pole.clone()), switch.position)));
        }
        state.unknown_tags = unknown.into_iter().collect();
        state
    }

    /// The same with a device thrown, every pole of it.
    #[must_use]
    pub fn thrown(mut self, block: BlockId, position: Position) -> Self {
        self.switches.insert((block, String::new()), position);
        self
    }

    /// The same with another load, by tag; unchanged where no block has the tag.
    #[must_use]
    pub fn loaded(mut self, circuit: &Circuit, tag: &str, load: Load) -> Self {
        self.loads.extend(circuit.block_by_tag(tag).map(|block| (block.id, load)));
        self
    }

    /// The same with a supply there, by tag; unchanged where no block has the tag.
    #[must_use]
    pub fn supplied(mut self, circuit: &Circuit, tag: &str) -> Self {
        self.supplies.extend(circuit.block_by_tag(tag).map(|block| block.id));
        self
    }

    /// State of charge of a bank.
    pub fn charge_of(&self, bank: BlockId) -> Percent {
        let charge = self.bank_charges.get(&bank).copied().unwrap_or(self.charge);
        charge.max(Percent::ZERO).min(Percent::new(100.0))
    }

    /// Load of a panel or DC load of which so much is connected.
    pub fn load_of(&self, block: BlockId, connected: Watts) -> Watts {
        let load = match self.loads.get(&block).unwrap_or(&self.other_loads) {
            Load::Power(watts) => *watts,
            Load::Share(share) => connected * share.share(),
        };
        load.max(Watts::ZERO)
    }

    /// Whether a converter, controller or inverter is switched off.
    pub(super) fn is_off(&self, block: BlockId) -> bool {
        self.switches.get(&(block, String::new())) == Some(&Position::Open)
    }
}

impl Default for OperatingState {
    fn default() -> Self {
        Self::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::kinds::Kind;
    use lineside_core::project::SwitchState;
    use lineside_core::testing::Bench;

    #[test]
    fn a_case_becomes_a_state_and_unknown_tags_are_told() {
        let mut bench = Bench::new();
        let panel = bench.stock("AC panel, 120 V, 60 A, without main");
        let p1 = bench.put("P1", None, panel);
        let breaker = bench.stock("DC breaker, 70 A, 150 V");
        assert_eq!(breaker.kind(), Kind::Breaker);
        let q1 = bench.put("Q1", None, breaker);
        let case = OperatingCase {
            name: "evening".to_owned(),
            sun: WattsPerSquareMeter::ZERO,
            ambient: Celsius::new(12.0),
            state_of_charge: Percent::new(70.0),
            loads: vec![("P1".to_owned(), Watts::new(800.0)), ("P9".to_owned(), Watts::new(1.0))],
            supplies: vec!["G1".to_owned()],
            switches: vec![SwitchState {
                block: "Q1".to_owned(),
                pole: String::new(),
                position: Position::Open,
            }],
            remark: String::new(),
        };
        let state = OperatingState::from_case(&bench.project, &case);
        assert_eq!(state.load_of(p1, Watts::new(3800.0)), Watts::new(800.0));
        assert_eq!(state.load_of(q1, Watts::new(3800.0)), Watts::ZERO);
        assert_eq!(state.unknown_tags, ["G1", "P9"]);
        assert!(state.is_off(q1) && !state.is_off(p1));
        assert_eq!(state.charge_of(q1), Percent::new(70.0));
        // A quarter of 3.8 kW.
        let quarter = Load::Share(Percent::new(25.0));
        let state = state.loaded(&bench.project.circuit, "P1", quarter);
        assert_eq!(state.load_of(p1, Watts::new(3800.0)), Watts::new(950.0));
    }
}
