//! Labels of the array side: its disconnects, its raceways and boxes, rapid shutdown.

use super::{Spot, Survey};
use crate::faults::PoleSide;
use crate::missing::Missing;
use crate::network::NodeId;
use crate::shutdown_subjects::{self, ShutdownSubject};
use crate::zones::{Zone, ZoneKind};
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{BlockId, Conductor, Raceway, Run, RunEnd, Surroundings, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inside::{Disconnects, SinkKind, SourceKind};
use lineside_core::kinds::rapid_shutdown::ShutdownInitiator;
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::switch::Switch;
use lineside_core::project::{LabelKind, LabelValues};
use lineside_core::units::{Amps, Volts};

pub(super) fn survey(survey: &mut Survey<'_>) {
    let studies = survey.studies;
    let of_array = |(_, zone): &(_, &Zone)| zone.kind == ZoneKind::Pv;
    let mut sides = Vec::new();
    let mut behind = Vec::new();
    for (_, zone) in studies.zones.all().filter(of_array) {
        let strings = strings_of(survey, zone);
        if strings.is_empty() {
            continue;
        }
        let sums = Sums::of(survey, &strings);
        for (controller, input) in controllers_of(survey, zone) {
            behind.extend(at_controller(survey, controller, input, &sums));
        }
        sides.push(Side { zone, strings, sums });
    }
    // Which devices are PV disconnects themselves is known now.
    for block in behind {
        live_on_both_sides(survey, block);
    }
    for side in &sides {
        devices(survey, side.zone, &side.sums);
    }
    shutdown(survey, &sides);
    if !sides.is_empty() {
        raceways(survey);
    }
}

/// An array side.
struct Side<'a> {
    zone: &'a Zone,
    strings: Vec<BlockId>,
    sums: Sums,
}

/// The sets of strings of an array side.
fn strings_of(survey: &Survey<'_>, zone: &Zone) -> Vec<BlockId> {
    let sources = zone.sources.iter().filter_map(|i| survey.network().sources().get(*i));
    sources.filter(|source| source.kind == SourceKind::Strings).map(|source| source.block).collect()
}

/// The controllers that it feeds, with the points of their inputs.
fn controllers_of(survey: &Survey<'_>, zone: &Zone) -> Vec<(BlockId, NodeId)> {
    let sinks = zone.sinks.iter().filter_map(|i| survey.network().sinks().get(*i));
    sinks.filter(|sink| sink.kind == SinkKind::ControllerInput).map(|sink| (sink.block, sink.node)).collect()
}

/// Voltage and current of an array side.
struct Sums {
    /// Highest of the cold voltages; `None` where one is not known.
    highest: Option<Volts>,
    /// All strings together, with the factor for bright sun.
    current: Amps,
    missing: Vec<Missing>,
}

impl Sums {
    fn of(survey: &Survey<'_>, strings: &[BlockId]) -> Self {
        let mut highest = Some(Volts::ZERO);
        let mut current = Amps::ZERO;
        let mut missing = Vec::new();
        for id in strings {
            let found = survey.studies.windows.strings(*id);
            let cold = found.and_then(|it| it.cold_open_circuit);
            highest = highest.and_then(|highest| Some(highest.max(cold?)));
            if let (None, Some(found)) = (cold, found) {
                let wanted = |it: &&Missing| it.datum != "2 % design high";
                missing.extend(found.missing.iter().filter(wanted).copied());
            }
            let block = survey.circuit().block(*id);
            if let Some(it) = block.and_then(|block| block.equipment.as_kind::<Strings>()) {
                current += it.greatest_short_circuit_current() * f64::from(it.strings_in_parallel);
            }
        }
        missing.sort_unstable();
        missing.dedup();
        Self { highest, current: current * survey.on.number(FactorKey::PvCurrent), missing }
    }

    const fn voltage(&self) -> LabelValues {
        LabelValues { highest_voltage: self.highest, ..LabelValues::NONE }
    }
}

/// The disconnect of one controller's array, or the controller where there is none. Gives back the devices at its
/// output.
fn at_controller(survey: &mut Survey<'_>, controller: BlockId, input: NodeId, sums: &Sums) -> Vec<BlockId> {
    let output = RunEnd { block: controller, terminal: TerminalName::plain("battery") };
    let output_node = survey.network().at(output);
    let mut disconnects = survey.disconnects(input, CurrentKind::Direct);
    let behind = output_node.map(|node| survey.disconnects(node, CurrentKind::Direct)).unwrap_or_default();
    if let (true, [only]) = (disconnects.is_empty() && survey.on.rule_set.is_nec(), behind.as_slice()) {
        disconnects.push(*only);
    }
    for block in &disconnects {
        survey.plain(LabelKind::PvDisconnect, Spot::Block(*block));
    }
    survey.pv_disconnects.extend(&disconnects);
    let spots = if disconnects.is_empty() { vec![controller] } else { disconnects };
    let block = survey.circuit().block(controller);
    let rated =
        block.and_then(|block| block.equipment.as_kind::<ChargeController>()).map(|it| it.output_current);
    for spot in spots {
        let at = Spot::Block(spot);
        survey.valued(LabelKind::PvVoltage, at, sums.voltage(), sums.missing.clone());
        let all =
            LabelValues { greatest_current: Some(sums.current), output_current: rated, ..sums.voltage() };
        survey.valued(LabelKind::PvPowerSource, at, all, sums.missing.clone());
    }
    let to_battery = survey.circuit().runs_on(output).first().map(|run| run.id);
    if let Some(run) = to_battery {
        survey.plain(LabelKind::PvPolarity, Spot::Run(run));
    }
    behind
}

/// Boxes, isolating devices and equipment disconnects of an array side.
fn devices(survey: &mut Survey<'_>, zone: &Zone, sums: &Sums) {
    let network = survey.network();
    for pole in zone.poles.iter().filter_map(|i| network.poles().get(*i)) {
        let at = Spot::Block(pole.block);
        match pole.pole.disconnects {
            Disconnects::No => {}
            Disconnects::WithoutLoad => survey.plain(LabelKind::IsolatingDevice, at),
            Disconnects::UnderLoad => live_on_both_sides(survey, pole.block),
        }
        if pole.pole.disconnects != Disconnects::No {
            survey.valued(LabelKind::ArrayDc, at, sums.voltage(), sums.missing.clone());
        }
    }
    if !survey.is_asked(LabelKind::ArrayDc) {
        return;
    }
    for id in zone.blocks(network) {
        let is_box = survey
            .circuit()
            .block(id)
            .is_some_and(|block| matches!(block.kind(), Kind::Combiner | Kind::Junction));
        if is_box {
            survey.valued(LabelKind::ArrayDc, Spot::Block(id), sums.voltage(), sums.missing.clone());
        }
    }
}

/// A device that is not a PV disconnect itself, and both sides of which something feeds.
fn live_on_both_sides(survey: &mut Survey<'_>, block: BlockId) {
    if survey.pv_disconnects.contains(&block) || !survey.is_asked(LabelKind::EquipmentDisconnect) {
        return;
    }
    let (network, faults) = (survey.network(), &survey.studies.faults);
    let is_live = |pole: &&crate::network::PoleInBlock| {
        pole.block == block
            && [PoleSide::Line, PoleSide::Load]
                .iter()
                .all(|side| !faults.through_pole(pole.link, *side).is_nothing())
    };
    let nodes = network.nodes_of(block);
    let mut poles =
        nodes.flat_map(|node| network.links_at(node)).filter_map(|(_, link)| network.pole_of(link));
    if poles.any(|pole| is_live(&pole)) {
        survey.plain(LabelKind::EquipmentDisconnect, Spot::Block(block));
    }
}

/// At the service and at each initiator, where rapid shutdown applies to some array.
fn shutdown(survey: &mut Survey<'_>, sides: &[Side<'_>]) {
    if !survey.is_asked(LabelKind::RapidShutdown) {
        return;
    }
    let arrays = sides.iter().flat_map(|side| side.strings.iter().map(|id| (side.zone, *id)));
    let mut untold = None;
    for (zone, strings) in arrays {
        match shutdown_subjects::of(&survey.on, survey.network(), zone, strings) {
            ShutdownSubject::Exempt => {}
            ShutdownSubject::Untold(missing) => untold = untold.or(Some(missing)),
            ShutdownSubject::Array | ShutdownSubject::Circuits => {
                let service = survey.service();
                survey.plain(LabelKind::RapidShutdown, service);
                for block in initiators(survey) {
                    survey.plain(LabelKind::RapidShutdown, Spot::Block(block));
                }
                return;
            }
        }
    }
    if let Some(missing) = untold {
        survey.undecided(LabelKind::RapidShutdown, missing);
    }
}

fn initiators(survey: &Survey<'_>) -> Vec<BlockId> {
    let blocks = survey.circuit().blocks().filter(|block| {
        let switch = block.equipment.as_kind::<Switch>();
        block.equipment.as_kind::<ShutdownInitiator>().is_some()
            || switch.is_some_and(|it| it.starts_rapid_shutdown == Some(Fitted::Yes))
    });
    blocks.map(|block| block.id).collect()
}

/// Along every run of PV conductors that lies in a raceway, or in free air within a building.
fn raceways(survey: &mut Survey<'_>) {
    if !survey.is_asked(LabelKind::PvRaceway) {
        return;
    }
    let runs = survey.circuit().runs().filter_map(|run| Some((run, run.conductor.as_deref()?)));
    for (run, conductor) in runs {
        let node = survey.network().run_end(run.id, lineside_core::circuit::Side::From);
        if node.and_then(|node| survey.studies.zones.kind_of(node)) != Some(ZoneKind::Pv) {
            continue;
        }
        if is_covered(conductor) || (is_open(conductor) && is_in_building(survey, run)) {
            survey.plain(LabelKind::PvRaceway, Spot::Run(run.id));
        }
    }
}

/// In a raceway or cable tray that can be seen.
const fn is_covered(conductor: &Conductor) -> bool {
    match conductor.raceway {
        Raceway::PlasticConduit | Raceway::MetalConduit | Raceway::MetalClad | Raceway::Tray => true,
        Raceway::FreeAir | Raceway::BuriedConduit | Raceway::Buried | Raceway::Enclosure => false,
    }
}

/// Conductors that can be seen themselves.
const fn is_open(conductor: &Conductor) -> bool {
    matches!(conductor.raceway, Raceway::FreeAir)
}

fn is_in_building(survey: &Survey<'_>, run: &Run) -> bool {
    [run.from.block, run.to.block]
        .into_iter()
        .all(|block| survey.on.surroundings(block).is_some_and(Surroundings::is_inside))
}
