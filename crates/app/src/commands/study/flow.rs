//! The steady state of every operating case: its shape in JSON.
//!
//! What is computed is in `lineside_study::flow`; `flow_page.rs` prints it for people.

use super::flow_keys::{controller_key, converter_key, direction_key, inverter_key, source_doing_key};
use super::gathering::Gathering;
use super::isolation::source_key;
use crate::commands::shapes::Figure;
use lineside_core::circuit::{Block, BlockId, Run};
use lineside_core::kinds::inside::SourceKind;
use lineside_core::project::OperatingCase;
use lineside_study::flow::{self, Balance, Flow, OperatingState, SourceFlow};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct CaseShape {
    pub(super) case: String,
    pub(super) solved: bool,
    pub(super) reasons: Vec<String>,
    pub(super) remarks: Vec<String>,
    pub(super) balance: BalanceShape,
    pub(super) unmet: Vec<UnmetShape>,
    pub(super) sources: Vec<SourceFlowShape>,
    pub(super) controllers: Vec<ControllerShape>,
    pub(super) inverters: Vec<InverterShape>,
    pub(super) converters: Vec<ConverterShape>,
    pub(super) runs: Vec<RunFlowShape>,
    pub(super) blocks: Vec<BlockFlowShape>,
    pub(super) zones: Vec<ZoneFlowShape>,
}

#[derive(Serialize)]
pub(super) struct BalanceShape {
    pub(super) entering: Figure,
    pub(super) leaving: Figure,
    pub(super) lost: Figure,
    pub(super) gap: Figure,
}

#[derive(Serialize)]
pub(super) struct UnmetShape {
    pub(super) block: String,
    pub(super) asked: Figure,
    pub(super) why: String,
}

#[derive(Serialize)]
pub(super) struct SourceFlowShape {
    pub(super) block: String,
    pub(super) kind: &'static str,
    pub(super) doing: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    #[serde(skip)]
    pub(super) makes_energy: bool,
    pub(super) voltage: Option<Figure>,
    pub(super) current: Figure,
    pub(super) power: Figure,
}

#[derive(Serialize)]
pub(super) struct ControllerShape {
    pub(super) block: String,
    pub(super) doing: &'static str,
    pub(super) words: &'static str,
    pub(super) input_voltage: Option<Figure>,
    pub(super) input_current: Figure,
    pub(super) output_voltage: Option<Figure>,
    pub(super) output_current: Figure,
    pub(super) available: Option<Figure>,
    pub(super) stage_voltage: Option<Figure>,
    pub(super) lost: Figure,
}

#[derive(Serialize)]
pub(super) struct InverterShape {
    pub(super) block: String,
    pub(super) doing: &'static str,
    pub(super) words: &'static str,
    pub(super) dc_voltage: Option<Figure>,
    pub(super) from_battery: Figure,
    pub(super) made: Figure,
    pub(super) passed: Figure,
    pub(super) charging: Figure,
    pub(super) lost: Figure,
}

#[derive(Serialize)]
pub(super) struct ConverterShape {
    pub(super) block: String,
    pub(super) doing: &'static str,
    pub(super) words: &'static str,
    pub(super) input: Figure,
    pub(super) output: Figure,
    pub(super) lost: Figure,
}

#[derive(Serialize)]
pub(super) struct RunFlowShape {
    pub(super) run: String,
    pub(super) direction: &'static str,
    pub(super) current: Figure,
    pub(super) from_voltage: Option<Figure>,
    pub(super) to_voltage: Option<Figure>,
    pub(super) power_in: Figure,
    pub(super) power_out: Figure,
    pub(super) lost: Figure,
    /// Current and power without their signs, for people.
    #[serde(skip)]
    pub(super) size: Figure,
    #[serde(skip)]
    pub(super) sent: Figure,
}

#[derive(Serialize)]
pub(super) struct BlockFlowShape {
    pub(super) block: String,
    pub(super) taken: Figure,
    pub(super) given: Figure,
    pub(super) made: Figure,
    pub(super) used: Figure,
    pub(super) lost: Figure,
}

#[derive(Serialize)]
pub(super) struct ZoneFlowShape {
    pub(super) zone: String,
    pub(super) entering: Figure,
    pub(super) leaving: Figure,
    pub(super) lost: Figure,
}

/// Gathers the steady state of every operating case, in the order of the project.
pub(super) fn gather(on: &Gathering<'_>) -> Vec<CaseShape> {
    on.on.project.cases.iter().map(|case| of_case(on, case)).collect()
}

fn of_case(on: &Gathering<'_>, case: &OperatingCase) -> CaseShape {
    let studies = on.studies;
    let state = OperatingState::from_case(on.on.project, case);
    let flow = flow::study(&on.on, &studies.network, &studies.zones, &studies.ratings, &state);
    let telling = Telling { on, flow: &flow };
    let reasons = match &flow.outcome {
        flow::Outcome::Solved => Vec::new(),
        flow::Outcome::NotSolved(reasons) => {
            reasons.iter().map(|reason| reason.words(on.circuit(), on.units)).collect()
        }
    };
    CaseShape {
        case: case.name.clone(),
        solved: flow.is_solved(),
        reasons,
        remarks: flow.remarks.iter().map(|remark| remark.words(on.circuit())).collect(),
        balance: telling.balance(&flow.balance),
        unmet: telling.unmet(),
        sources: telling.sources(),
        controllers: telling.of_blocks(|block| telling.controller(block)),
        inverters: telling.of_blocks(|block| telling.inverter(block)),
        converters: telling.of_blocks(|block| telling.converter(block)),
        runs: on.circuit().runs().filter_map(|run| telling.run(run)).collect(),
        blocks: telling.of_blocks(|block| telling.block(block)),
        zones: telling.zones(),
    }
}

/// The flow of one case, and where its names and units come from.
struct Telling<'a> {
    on: &'a Gathering<'a>,
    flow: &'a Flow,
}

impl Telling<'_> {
    fn of_blocks<T>(&self, of: impl Fn(BlockId) -> Option<T>) -> Vec<T> {
        self.on.circuit().blocks().map(|block: &Block| block.id).filter_map(of).collect()
    }

    fn balance(&self, balance: &Balance) -> BalanceShape {
        BalanceShape {
            entering: self.on.figure(balance.entering),
            leaving: self.on.figure(balance.leaving),
            lost: self.on.figure(balance.lost),
            gap: self.on.figure(balance.gap()),
        }
    }

    fn unmet(&self) -> Vec<UnmetShape> {
        let (network, circuit, units) = (&self.on.studies.network, self.on.circuit(), self.on.units);
        let unmet = self.flow.unmet.iter().map(|unmet| UnmetShape {
            block: self.on.block(unmet.block),
            asked: self.on.figure(unmet.asked),
            why: unmet.words(network, circuit, units),
        });
        unmet.collect()
    }

    fn sources(&self) -> Vec<SourceFlowShape> {
        let nodes = self.on.studies.network.sources().iter().map(|source| source.node);
        let sources = self.flow.sources().iter().zip(nodes);
        let shape = |(source, node): (&SourceFlow, _)| SourceFlowShape {
            block: self.on.block(source.block),
            kind: source_key(source.kind),
            doing: source_doing_key(source.doing),
            label: source.doing.label(),
            makes_energy: makes_energy(source.kind),
            voltage: self.on.known(self.flow.voltage(node)),
            current: self.on.figure(source.current),
            power: self.on.figure(source.power),
        };
        sources.map(shape).collect()
    }

    fn controller(&self, block: BlockId) -> Option<ControllerShape> {
        let it = self.flow.controller(block)?;
        Some(ControllerShape {
            block: self.on.block(block),
            doing: controller_key(it.doing),
            words: it.doing.label(),
            input_voltage: self.on.known(it.input_voltage),
            input_current: self.on.figure(it.input_current),
            output_voltage: self.on.known(it.output_voltage),
            output_current: self.on.figure(it.output_current),
            available: self.on.known(it.available),
            stage_voltage: self.on.known(it.stage_voltage),
            lost: self.on.figure(it.lost),
        })
    }

    fn inverter(&self, block: BlockId) -> Option<InverterShape> {
        let it = self.flow.inverter(block)?;
        Some(InverterShape {
            block: self.on.block(block),
            doing: inverter_key(it.doing),
            words: it.doing.label(),
            dc_voltage: self.on.known(it.dc_voltage),
            from_battery: self.on.figure(it.from_battery),
            made: self.on.figure(it.made),
            passed: self.on.figure(it.passed),
            charging: self.on.figure(it.charging),
            lost: self.on.figure(it.lost),
        })
    }

    fn converter(&self, block: BlockId) -> Option<ConverterShape> {
        let it = self.flow.converter(block)?;
        Some(ConverterShape {
            block: self.on.block(block),
            doing: converter_key(it.doing),
            words: it.doing.label(),
            input: self.on.figure(it.input),
            output: self.on.figure(it.output),
            lost: self.on.figure(it.lost),
        })
    }

    fn run(&self, run: &Run) -> Option<RunFlowShape> {
        let it = self.flow.run(&self.on.studies.network, run.id)?;
        Some(RunFlowShape {
            run: run.tag.clone(),
            direction: direction_key(it.flow.direction()),
            current: self.on.figure(it.flow.current),
            from_voltage: self.on.known(it.from),
            to_voltage: self.on.known(it.to),
            power_in: self.on.figure(it.flow.power_in),
            power_out: self.on.figure(it.flow.power_out),
            lost: self.on.figure(it.flow.lost),
            size: self.on.figure(it.flow.current.abs()),
            sent: self.on.figure(it.flow.power_in.abs().max(it.flow.power_out.abs())),
        })
    }

    fn block(&self, block: BlockId) -> Option<BlockFlowShape> {
        let it = self.flow.block(block)?;
        Some(BlockFlowShape {
            block: self.on.block(block),
            taken: self.on.figure(it.taken),
            given: self.on.figure(it.given),
            made: self.on.figure(it.made),
            used: self.on.figure(it.used),
            lost: self.on.figure(it.lost),
        })
    }

    fn zones(&self) -> Vec<ZoneFlowShape> {
        let studies = self.on.studies;
        let shape = |(id, zone): (_, &lineside_study::Zone)| {
            let balance = self.flow.zone(id)?;
            Some(ZoneFlowShape {
                zone: zone.name(&studies.network, self.on.circuit()),
                entering: self.on.figure(balance.entering),
                leaving: self.on.figure(balance.leaving),
                lost: self.on.figure(balance.lost),
            })
        };
        studies.zones.all().filter_map(shape).collect()
    }
}

/// Whether it is no converter: those are told of by themselves.
const fn makes_energy(kind: SourceKind) -> bool {
    matches!(
        kind,
        SourceKind::Strings | SourceKind::BatteryString(_) | SourceKind::Generator | SourceKind::Utility
    )
}
