//! The results of the studies, gathered in the shape that is printed as JSON. `docs/json.md` describes it.
//!
//! Nothing is computed here, and nothing is left out because it is unknown: what is not known is `null`.

use super::faults::{self, FaultsShape};
use super::flow::{self, CaseShape};
use super::gathering::Gathering;
use super::isolation::{self, OrderShape};
use crate::commands::label_shapes::{self, LabelsShape};
use crate::commands::shapes::{Figure, Head};
use lineside_core::circuit::{BlockId, Run, RunId, Side};
use lineside_study::ratings::NotRated;
use lineside_study::{
    BusFlow, CircuitKind, Direction, Holding, Level, Met, Missing, Owner, PathDrop, PathKind, Permitted,
    VoltageWindow, Zone, ZoneId, ZoneKind, required_labels,
};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct StudyShape {
    #[serde(flatten)]
    head: Head,
    file: String,
    rule_set: &'static str,
    pub(super) zones: Vec<ZoneShape>,
    pub(super) runs: Vec<RunShape>,
    pub(super) field_run_ends: Vec<FieldRunEndShape>,
    pub(super) drops: Vec<DropShape>,
    pub(super) buses: Vec<BusShape>,
    pub(super) faults: FaultsShape,
    pub(super) isolation: Vec<OrderShape>,
    pub(super) flow: Vec<CaseShape>,
    pub(super) labels: LabelsShape,
}

#[derive(Serialize)]
pub(super) struct ZoneShape {
    pub(super) name: String,
    pub(super) kind: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    pub(super) blocks: Vec<String>,
    pub(super) levels: Vec<LevelShape>,
    pub(super) permitted: Vec<PermittedShape>,
    pub(super) missing: Vec<MissingShape>,
}

impl ZoneShape {
    /// Whether it is nothing but the bonding terminal of one block, of which a large sheet has many.
    pub(super) fn is_lone_bond(&self) -> bool {
        self.kind == ZoneKind::Earth.key() && self.blocks.len() == 1
    }
}

#[derive(Serialize)]
pub(super) struct LevelShape {
    pub(super) cause: &'static str,
    pub(super) voltage: Figure,
}

#[derive(Serialize)]
pub(super) struct PermittedShape {
    pub(super) block: String,
    pub(super) what: String,
    pub(super) lowest: Option<Figure>,
    pub(super) highest: Option<Figure>,
    pub(super) absolute: Option<Figure>,
}

#[derive(Serialize)]
pub(super) struct MissingShape {
    pub(super) owner: String,
    pub(super) datum: &'static str,
}

#[derive(Serialize)]
pub(super) struct RunShape {
    pub(super) run: String,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) circuit: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    pub(super) size: Option<String>,
    pub(super) current: CurrentShape,
    pub(super) rating: Option<RatingShape>,
    pub(super) holding: HoldingEndsShape,
}

#[derive(Serialize)]
pub(super) struct CurrentShape {
    pub(super) greatest: Option<Figure>,
    pub(super) forward: Option<Figure>,
    pub(super) backward: Option<Figure>,
    pub(super) in_ring: bool,
}

#[derive(Serialize)]
pub(super) struct RatingShape {
    pub(super) ampacity: Option<Figure>,
    pub(super) not_rated: Option<String>,
    pub(super) largest_device: Option<Figure>,
    pub(super) warm_resistance: Option<Figure>,
    pub(super) cold_resistance: Option<Figure>,
}

#[derive(Serialize)]
pub(super) struct HoldingEndsShape {
    pub(super) from: HoldingShape,
    pub(super) to: HoldingShape,
}

#[derive(Serialize)]
pub(super) struct HoldingShape {
    pub(super) current: Option<Figure>,
    pub(super) unlimited: bool,
    pub(super) devices: u32,
}

#[derive(Serialize)]
pub(super) struct FieldRunEndShape {
    pub(super) end: String,
    pub(super) met: Option<MetShape>,
}

#[derive(Serialize)]
pub(super) struct MetShape {
    pub(super) kind: &'static str,
    pub(super) name: String,
}

#[derive(Serialize)]
pub(super) struct DropShape {
    pub(super) path: &'static str,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) runs: Vec<LegShape>,
    pub(super) drop: Figure,
    pub(super) of: Figure,
    pub(super) share: Figure,
}

#[derive(Serialize)]
pub(super) struct LegShape {
    pub(super) run: String,
    pub(super) current: Figure,
    pub(super) resistance: Figure,
}

#[derive(Serialize)]
pub(super) struct BusShape {
    pub(super) bus: String,
    pub(super) worst: Figure,
    pub(super) simple: Figure,
    pub(super) feeders: Vec<FeederShape>,
    pub(super) unlimited: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct FeederShape {
    pub(super) run: String,
    pub(super) device: Option<String>,
    pub(super) current: Figure,
    pub(super) direction: &'static str,
}

/// Gathers the results.
pub(super) fn gather(file: &str, gathering: &Gathering<'_>) -> StudyShape {
    let studies = gathering.studies;
    let required = required_labels::study(&gathering.on, studies);
    StudyShape {
        head: Head::of("study"),
        file: file.to_owned(),
        rule_set: gathering.on.rule_set.key(),
        zones: studies.zones.all().map(|(id, zone)| gathering.zone(id, zone)).collect(),
        runs: gathering.circuit().runs().map(|run| gathering.run(run)).collect(),
        field_run_ends: gathering.field_run_ends(),
        drops: studies.drops.all().iter().map(|path| gathering.drop(path)).collect(),
        buses: studies.bus_flows.all().map(|(bus, flow)| gathering.bus(bus, flow)).collect(),
        faults: faults::gather(gathering),
        isolation: isolation::gather(gathering),
        flow: flow::gather(gathering),
        labels: label_shapes::gather(&gathering.on, &required, gathering.units),
    }
}

impl Gathering<'_> {
    fn zone(&self, id: ZoneId, zone: &Zone) -> ZoneShape {
        // A bank that is only bonded to an earth zone does not lift it to its own voltages.
        let window = self.studies.windows.of(id).filter(|_| zone.kind != ZoneKind::Earth);
        let levels = window.map_or(&[][..], |window: &VoltageWindow| &window.levels);
        let permitted = window.map_or(&[][..], |window| &window.permitted);
        let missing = window.map_or(&[][..], |window| &window.missing);
        ZoneShape {
            name: zone.name(&self.studies.network, self.circuit()),
            kind: zone.kind.key(),
            label: zone.kind.label(),
            blocks: zone.blocks(&self.studies.network).into_iter().map(|id| self.block(id)).collect(),
            levels: each_once(levels).map(|level| self.level(level)).collect(),
            permitted: permitted.iter().map(|permitted| self.permitted(permitted)).collect(),
            missing: missing.iter().map(|missing| self.missing(*missing)).collect(),
        }
    }

    fn level(&self, level: Level) -> LevelShape {
        LevelShape { cause: level.cause, voltage: self.figure(level.voltage) }
    }

    fn permitted(&self, permitted: &Permitted) -> PermittedShape {
        let rating = |volts: Option<_>| volts.map(|volts| Figure::rating(volts, self.units));
        PermittedShape {
            block: self.block(permitted.block),
            what: permitted.what.clone(),
            lowest: rating(permitted.lowest),
            highest: rating(permitted.highest),
            absolute: rating(permitted.absolute),
        }
    }

    fn missing(&self, missing: Missing) -> MissingShape {
        let owner = match missing.owner {
            Owner::Block(id) => self.block(id),
            Owner::Run(id) => self.run_tag(id),
            Owner::Place(id) => self.circuit().place(id).map(|place| place.name.clone()).unwrap_or_default(),
            Owner::Site => "site".to_owned(),
        };
        MissingShape { owner, datum: missing.datum }
    }

    fn run(&self, run: &Run) -> RunShape {
        let current = self.studies.currents.of(run.id);
        let circuit = current.map_or(CircuitKind::None, |current| current.circuit);
        RunShape {
            run: run.tag.clone(),
            from: self.circuit().end_name(run.from),
            to: self.circuit().end_name(run.to),
            circuit: circuit_key(circuit),
            label: circuit.label(),
            size: run.conductor.as_ref().map(|conductor| conductor.size.to_string()),
            current: CurrentShape {
                greatest: self.known(current.and_then(|current| current.greatest)),
                forward: self.known(current.and_then(|current| current.forward)),
                backward: self.known(current.and_then(|current| current.backward)),
                in_ring: current.is_some_and(|current| current.in_ring),
            },
            rating: self.rating(run.id),
            holding: HoldingEndsShape {
                from: self.holding(self.studies.holding.at(run.id, Side::From)),
                to: self.holding(self.studies.holding.at(run.id, Side::To)),
            },
        }
    }

    fn rating(&self, run: RunId) -> Option<RatingShape> {
        let rating = self.studies.ratings.of(run)?;
        Some(RatingShape {
            ampacity: self.known(self.studies.ratings.ampacity(run)),
            not_rated: rating.ampacity.as_ref().err().map(|why| match why {
                NotRated::NoAmbient => "the ambient is not given".to_owned(),
                NotRated::Table(why) => why.to_string(),
            }),
            largest_device: self
                .studies
                .ratings
                .largest_device(run)
                .map(|rating| Figure::rating(rating, self.units)),
            warm_resistance: self.known(self.studies.ratings.warm_resistance(run)),
            cold_resistance: self.known(self.studies.ratings.cold_resistance(run)),
        })
    }

    fn holding(&self, holding: Holding) -> HoldingShape {
        HoldingShape {
            current: self.known(holding.current()),
            unlimited: holding.unlimited,
            devices: holding.devices,
        }
    }

    fn field_run_ends(&self) -> Vec<FieldRunEndShape> {
        let end = |(run, side, met): (RunId, Side, Option<Met>)| FieldRunEndShape {
            end: format!("{}.{}", self.run_tag(run), side.key()),
            met: met.map(|met| match met {
                Met::Source(block, _) => MetShape { kind: "source", name: self.block(block) },
                Met::Converter(block) => MetShape { kind: "converter", name: self.block(block) },
                Met::FieldRun(run) => MetShape { kind: "field_run", name: self.run_tag(run) },
            }),
        };
        self.studies.reach.ends().map(end).collect()
    }

    fn drop(&self, path: &PathDrop) -> DropShape {
        DropShape {
            path: path_key(path.kind),
            from: self.block(path.from),
            to: self.block(path.to),
            runs: path
                .legs
                .iter()
                .map(|leg| LegShape {
                    run: self.run_tag(leg.run),
                    current: self.figure(leg.current),
                    resistance: self.figure(leg.resistance),
                })
                .collect(),
            drop: self.figure(path.drop),
            of: self.figure(path.of),
            share: self.figure(path.share),
        }
    }

    fn bus(&self, bus: BlockId, flow: &BusFlow) -> BusShape {
        BusShape {
            bus: self.block(bus),
            worst: self.figure(flow.worst),
            simple: self.figure(flow.simple),
            feeders: flow
                .feeders
                .iter()
                .map(|feeder| FeederShape {
                    run: self.run_tag(feeder.run),
                    device: feeder.device.map(|device| self.block(device)),
                    current: self.figure(feeder.amps),
                    direction: match feeder.direction {
                        Direction::In => "in",
                        Direction::Out => "out",
                        Direction::Both => "both",
                    },
                })
                .collect(),
            unlimited: flow.unlimited.iter().map(|run| self.run_tag(*run)).collect(),
        }
    }
}

/// Equal sets of strings bring about the same levels, which stand beside each other.
fn each_once(levels: &[Level]) -> impl Iterator<Item = Level> {
    let before = std::iter::once(None).chain(levels.iter().map(Some));
    levels.iter().zip(before).filter(|(level, before)| *before != Some(*level)).map(|(level, _)| *level)
}

const fn circuit_key(circuit: CircuitKind) -> &'static str {
    match circuit {
        CircuitKind::String => "string",
        CircuitKind::Array => "array",
        CircuitKind::ControllerOutput => "controller_output",
        CircuitKind::Battery => "battery",
        CircuitKind::InverterDc => "inverter_dc",
        CircuitKind::DcLoads => "dc_loads",
        CircuitKind::BusTie => "bus_tie",
        CircuitKind::InverterOutput => "inverter_output",
        CircuitKind::InverterInput => "inverter_input",
        CircuitKind::Generator => "generator",
        CircuitKind::Utility => "utility",
        CircuitKind::Feeder => "feeder",
        CircuitKind::None => "none",
    }
}

const fn path_key(path: PathKind) -> &'static str {
    match path {
        PathKind::StringsToController => "strings_to_controller",
        PathKind::ControllerToBus => "controller_to_bus",
        PathKind::BankToInverter => "bank_to_inverter",
        PathKind::BusToLoads => "bus_to_loads",
        PathKind::AcSource => "ac_source",
    }
}
