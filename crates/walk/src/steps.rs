//! The steps of a walk: operating cases that the circuit itself makes, in the order of a day and then of mishaps.
//!
//! A step is there only when the circuit has what it is about. What flows in it is found by the `study` crate.

use crate::Seen;
use crate::account::{Account, STILL};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Kind;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::kinds::inverter::{Inverter, UtilityPriority};
use lineside_core::kinds::transfer_switch::{TransferArrangement, TransferSwitch};
use lineside_core::project::Project;
use lineside_core::units::{Celsius, Percent, WattsPerSquareMeter};
use lineside_study::flow::{self, ChargeStage, Load, OperatingState};
use lineside_study::{Conditions, Studies, ZoneKind};
use std::collections::{BTreeMap, BTreeSet};

/// One step of a walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// What it is about, before anything is known of the flow.
    pub about: String,
    /// What is asked of the circuit.
    pub state: OperatingState,
}

/// Share of the connected loads that runs by day, in the evening, and at night.
const BY_DAY: Percent = Percent::new(20.0);
const EVENING: Percent = Percent::new(40.0);
const NIGHT: Percent = Percent::new(10.0);

/// Stages and charges at which a bank may be full.
const FULL: [(ChargeStage, f64); 6] = [
    (ChargeStage::Absorb, 99.0),
    (ChargeStage::Absorb, 100.0),
    (ChargeStage::Float, 100.0),
    (ChargeStage::Float, 97.0),
    (ChargeStage::Float, 94.0),
    (ChargeStage::Float, 90.0),
];

const BRIGHT: WattsPerSquareMeter = WattsPerSquareMeter::new(900.0);
const CLOUD: WattsPerSquareMeter = WattsPerSquareMeter::new(200.0);

/// The cases of the project itself, as steps.
pub fn own_steps(project: &Project) -> Vec<Step> {
    let step = |case: &lineside_core::project::OperatingCase| Step {
        name: case.name.clone(),
        about: case.remark.clone(),
        state: OperatingState::from_case(project, case),
    };
    project.cases.iter().map(step).collect()
}

/// Every step that the circuit makes.
pub fn steps(on: &Conditions<'_>, studies: &Studies) -> Vec<Step> {
    let maker = Maker { on, project: on.project, studies };
    let mut steps = maker.of_the_day();
    steps.extend(maker.of_supplies());
    steps.extend(maker.of_service());
    steps
}

struct Maker<'a> {
    on: &'a Conditions<'a>,
    project: &'a Project,
    studies: &'a Studies,
}

impl Maker<'_> {
    fn of_kind(&self, kind: Kind) -> Vec<&Block> {
        self.project.circuit.blocks().filter(|block| block.kind() == kind).collect()
    }

    fn has(&self, kind: Kind) -> bool {
        !self.of_kind(kind).is_empty()
    }

    /// Mean temperature of the sunniest month of the brief; that of standard tests when it has none.
    fn warm(&self) -> Celsius {
        let months = &self.project.brief.months;
        let sunniest = months.iter().max_by(|a, b| a.sun.total_cmp(&b.sun));
        sunniest.map_or(Celsius::STANDARD_TEST, |month| month.temperature)
    }

    /// With the utility there, as it mostly is. Where sun and bank go first, inverters keep it waiting.
    fn state(&self, sun: WattsPerSquareMeter, charge: f64, loads: Percent) -> OperatingState {
        let mut state = OperatingState {
            sun,
            ambient: self.warm(),
            charge: Percent::new(charge),
            other_loads: Load::Share(loads),
            supplies: self.of_kind(Kind::Utility).into_iter().map(|block| block.id).collect(),
            ..OperatingState::new()
        };
        for pole in self.studies.network.poles().iter().filter(|pole| pole.is_relay()) {
            let inverter = self.project.circuit.block(pole.block);
            let inverter = inverter.and_then(|block| block.equipment.as_kind::<Inverter>());
            let waits = inverter.is_some_and(|it| it.utility_priority == Some(UtilityPriority::SunFirst));
            if let Some(name) = pole.pole.name.clone().filter(|_| waits) {
                state.switches.insert((pole.block, name), Position::Open);
            }
        }
        state
    }

    /// The same when the bank is low, or the utility is out: inverters take what there is.
    fn low(&self, charge: f64, loads: Percent, supplies: BTreeSet<BlockId>) -> OperatingState {
        let state = self.state(WattsPerSquareMeter::ZERO, charge, loads);
        OperatingState { supplies, switches: BTreeMap::new(), ..state }
    }

    /// The bank at the end of charging: the first of some states in which controllers hold back and the bank does not
    /// give, since each chemistry is full at another one.
    fn full(&self) -> OperatingState {
        let states =
            FULL.map(|(stage, charge)| OperatingState { stage, ..self.state(BRIGHT, charge, BY_DAY) });
        let [first, ..] = &states;
        let held = states.iter().find(|state| {
            let it = self.studies;
            let flow = flow::study(self.on, &it.network, &it.zones, &it.ratings, state);
            let step = step("", "", (*state).clone());
            let seen = Seen { project: self.project, studies: it, step: &step, flow: &flow };
            let account = Account::of(&seen);
            account.taken > STILL && account.held_back() > STILL && account.bank_gives < STILL
        });
        held.unwrap_or(first).clone()
    }

    fn of_the_day(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let array = self.has(Kind::Strings) && self.has(Kind::ChargeController);
        if !self.has(Kind::BatteryBank) {
            return steps;
        }
        if array {
            let filling = self.state(BRIGHT, 55.0, BY_DAY);
            steps.push(step("Sun high, the bank fills", "A bright day; the bank is half full.", filling));
            steps.push(step(
                "The bank is full, the array is held back",
                "The same sun later in the day, at the end of charging.",
                self.full(),
            ));
            let cloud = self.state(CLOUD, 80.0, BY_DAY);
            steps.push(step("A cloud passes", "A little sun is left for some minutes.", cloud));
        }
        let evening = self.state(WattsPerSquareMeter::ZERO, 75.0, EVENING);
        steps.push(step("Evening on the bank", "The sun is down and the lights are on.", evening));
        steps
    }

    fn of_supplies(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let (utilities, generators) = (self.of_kind(Kind::Utility), self.of_kind(Kind::Generator));
        for block in utilities.iter().chain(&generators) {
            let name = format!("The bank is low, {} takes over", block.title());
            let about = "Days without sun have emptied the bank.".to_owned();
            steps.push(Step { name, about, state: self.low(25.0, EVENING, BTreeSet::from([block.id])) });
        }
        for block in &utilities {
            let name = format!("{} fails", sentence(&block.title()));
            let about = "An outage in the evening.".to_owned();
            steps.push(Step { name, about, state: self.low(70.0, EVENING, BTreeSet::new()) });
        }
        for block in &generators {
            let name = format!("{} does not start", sentence(&block.title()));
            let about = "The bank is low and no help comes.".to_owned();
            steps.push(Step { name, about, state: self.low(20.0, NIGHT, BTreeSet::new()) });
        }
        steps
    }

    fn of_service(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let bypass = |block: &&Block| {
            block
                .equipment
                .as_kind::<TransferSwitch>()
                .is_some_and(|it| it.arrangement == TransferArrangement::Bypass)
        };
        for block in self.of_kind(Kind::TransferSwitch).into_iter().filter(bypass) {
            let mut state = self.state(BRIGHT, 80.0, BY_DAY).thrown(block.id, Position::Open);
            if state.supplies.is_empty() {
                state.supplies.extend(self.of_kind(Kind::Generator).first().map(|it| it.id));
            }
            let name = format!("{} in bypass for service", sentence(&block.title()));
            let about = "The loads are fed past the inverter, so that it can be worked on.".to_owned();
            steps.push(Step { name, about, state });
        }
        let array = self.hand_devices(|kind| kind == ZoneKind::Pv);
        if !array.is_empty() {
            let state = self.opened(self.state(BRIGHT, 80.0, BY_DAY), &array);
            let about = "Every device of the array is open and locked: controllers can be programmed with no sun on them.";
            steps.push(step("The array is locked off", about, state));
        }
        let all = self.hand_devices(|kind| kind != ZoneKind::Earth);
        if !all.is_empty() {
            let mut state = self.opened(self.state(BRIGHT, 80.0, BY_DAY), &all);
            for initiator in self.of_kind(Kind::ShutdownInitiator) {
                state = state.thrown(initiator.id, Position::Open);
            }
            let about = "Everything that a hand can open is open. What is still live stays live.";
            steps.push(step("Shutdown in an emergency", about, state));
        }
        steps
    }

    /// Blocks with a pole that is opened by hand under load, in zones of some kinds.
    fn hand_devices(&self, zones: impl Fn(ZoneKind) -> bool) -> Vec<BlockId> {
        let (network, all) = (&self.studies.network, &self.studies.zones);
        let mut found: Vec<BlockId> = network
            .poles()
            .iter()
            .filter(|it| !it.is_relay() && it.pole.disconnects == Disconnects::UnderLoad)
            .filter(|it| {
                let node = network.link(it.link).map(|link| link.a);
                node.and_then(|node| all.kind_of(node)).is_some_and(&zones)
            })
            .map(|it| it.block)
            .collect();
        found.dedup();
        // A transfer switch has no position in which it is off, and opening a converter by name switches all of it off.
        let others = [Kind::TransferSwitch, Kind::ChargeController, Kind::Inverter, Kind::DcConverter];
        found.retain(|id| {
            self.project.circuit.block(*id).is_some_and(|block| !others.contains(&block.kind()))
        });
        found
    }

    fn opened(&self, state: OperatingState, blocks: &[BlockId]) -> OperatingState {
        blocks.iter().fold(state, |state, block| state.thrown(*block, Position::Open))
    }
}

fn step(name: &str, about: &str, state: OperatingState) -> Step {
    Step { name: name.to_owned(), about: about.to_owned(), state }
}

/// With a capital.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
