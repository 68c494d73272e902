//! Labels of the AC side and of the system as a whole under the NEC: service, sources, panels, directories.

use super::{Spot, Survey};
use crate::missing::Missing;
use crate::parallel_sources::{self, exported};
use crate::places::Told;
use crate::ways;
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::ac_panel::{AcPanel, SourcePosition};
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::generator::{FrameBond, Generator};
use lineside_core::project::{BuildingUse, LabelKind, LabelValues};
use lineside_core::units::Amps;
use std::sync::Arc;

pub(super) fn survey(survey: &mut Survey<'_>) {
    directories(survey);
    generators(survey);
    single_120(survey);
    interactive(survey);
    panels(survey);
    fault_current(survey);
}

impl<'a> Survey<'a> {
    pub(super) fn of_kind(&self, kind: Kind) -> impl Iterator<Item = &'a Block> + use<'a> {
        self.circuit().blocks().filter(move |block| block.kind() == kind)
    }
    pub(super) fn utility(&self) -> Option<BlockId> {
        self.supplies.iter().copied().find(|id| self.is(*id, Kind::Utility))
    }
    fn is(&self, block: BlockId, kind: Kind) -> bool {
        self.circuit().block(block).is_some_and(|block| block.kind() == kind)
    }

    /// The service, or the main panel where there is no utility, or the site where there is no panel.
    pub(super) fn service(&self) -> Spot {
        *self.service.get_or_init(|| self.find_service())
    }

    fn find_service(&self) -> Spot {
        if let Some(utility) = self.utility() {
            let first = self.disconnects_of_supply(utility).first().copied();
            return Spot::Block(first.unwrap_or(utility));
        }
        let inverter = self.of_kind(Kind::Inverter).next();
        let fed = inverter.and_then(|it| self.panels_fed_by(it.id).first().map(|(block, _)| block.id));
        let panel = fed.or_else(|| self.of_kind(Kind::AcPanel).next().map(|block| block.id));
        panel.map_or(Spot::Site, Spot::Block)
    }

    /// The devices that switch a utility or a generator off, its own breaker first.
    fn disconnects_of_supply(&self, supply: BlockId) -> Vec<BlockId> {
        let source = self.network().sources().iter().find(|source| source.block == supply);
        source.map(|source| self.disconnects(source.node, CurrentKind::Alternating)).unwrap_or_default()
    }

    /// The panels that an inverter or a generator feeds from its output.
    fn panels_fed_by(&self, source: BlockId) -> Vec<(&'a Block, &'a AcPanel)> {
        let output = RunEnd { block: source, terminal: TerminalName::plain("out") };
        let Some(from) = self.network().at(output) else { return Vec::new() };
        let found = ways::from(self.circuit(), self.network(), from, |_| false);
        let mut ids: Vec<BlockId> =
            found.open.iter().filter_map(|node| Some(self.network().node(*node)?.block)).collect();
        ids.sort_unstable();
        ids.dedup();
        let blocks = ids.into_iter().filter_map(|id| self.circuit().block(id));
        blocks.filter_map(|block| Some((block, block.equipment.as_kind::<AcPanel>()?))).collect()
    }

    /// The disconnects of every power source: of the utility and of generators the blocks themselves where none is drawn.
    pub(super) fn source_disconnects(&self) -> Arc<[BlockId]> {
        let mut all: Vec<BlockId> = self.pv_disconnects.union(&self.storage_disconnects).copied().collect();
        for supply in &self.supplies {
            let found = self.disconnects_of_supply(*supply);
            if found.is_empty() { all.push(*supply) } else { all.extend(found) }
        }
        all.sort_unstable();
        all.dedup();
        all.into()
    }
}

/// Plaques and directories, and the sign of a standby source.
fn directories(survey: &mut Survey<'_>) {
    let has_plant = survey.of_kind(Kind::Inverter).next().is_some()
        && (!survey.pv_disconnects.is_empty() || survey.of_kind(Kind::BatteryBank).next().is_some());
    let service = survey.service();
    if has_plant && survey.utility().is_none() {
        match survey.on.project.brief.site.building {
            Some(BuildingUse::Dwelling | BuildingUse::Other) => {
                let listed = survey.source_disconnects();
                survey.directory(LabelKind::DirectoryStandalone, service, &listed);
            }
            Some(BuildingUse::None) => {}
            None => survey.undecided(LabelKind::DirectoryStandalone, Missing::site("Building")),
        }
    }
    // Array and battery are one supply here: the plaque names the disconnects of both.
    if survey.supplies.len() + usize::from(has_plant) > 1 {
        let listed = survey.source_disconnects();
        let mut spots: Vec<Spot> = vec![service];
        spots.extend(survey.of_kind(Kind::Generator).map(|block| Spot::Block(block.id)));
        spots.extend(
            survey.pv_disconnects.iter().chain(&survey.storage_disconnects).map(|id| Spot::Block(*id)),
        );
        spots.sort_unstable();
        spots.dedup();
        for at in spots {
            survey.directory(LabelKind::DirectorySources, at, &listed);
        }
    }
    if survey.utility().is_some() {
        let mut standby: Vec<BlockId> = survey.of_kind(Kind::Generator).map(|block| block.id).collect();
        standby.extend(survey.of_kind(Kind::Inverter).filter(|_| has_plant).map(|block| block.id));
        if !standby.is_empty() {
            survey.directory(LabelKind::StandbySign, service, &standby.into());
        }
    }
}

/// The shared grounding connection, and disconnects that are inside the set.
fn generators(survey: &mut Survey<'_>) {
    for block in survey.of_kind(Kind::Generator) {
        let Some(it) = block.equipment.as_kind::<Generator>() else { continue };
        if it.breaker_rating.is_some() {
            survey.plain(LabelKind::GeneratorDisconnect, Spot::Block(block.id));
        }
        if it.frame_bond == FrameBond::Floating && survey.utility().is_some() {
            let service = survey.service();
            survey.plain(LabelKind::NeutralWarning, service);
        }
    }
}

fn single_120(survey: &mut Survey<'_>) {
    let is_split = |block: &Block| {
        block.equipment.as_kind::<AcPanel>().is_some_and(|it| it.ac_system == AcSystem::Split120x240)
    };
    if !survey.of_kind(Kind::AcPanel).any(is_split) {
        return;
    }
    let sources = survey.of_kind(Kind::Inverter).chain(survey.of_kind(Kind::Generator));
    for source in sources.filter(|block| block.equipment.ac_system() == Some(AcSystem::Single120)) {
        for (panel, it) in survey.panels_fed_by(source.id) {
            if it.ac_system == AcSystem::Split120x240 {
                survey.plain(LabelKind::Single120, Spot::Block(panel.id));
            }
        }
    }
}

/// Inverters in parallel with the utility: the point of connection, and by which way the bus bears them.
fn interactive(survey: &mut Survey<'_>) {
    let exporting = parallel_sources::exporting(&survey.on);
    if exporting.is_empty() || survey.utility().is_none() {
        return;
    }
    let buses = parallel_sources::study(&survey.on, survey.network(), &survey.studies.zones);
    let service = survey.service();
    for (block, it) in exporting {
        let bus = buses.iter().find(|bus| bus.sources.iter().any(|(source, _)| source.id == block.id));
        let values = LabelValues {
            greatest_current: Some(it.output_current()),
            nominal_voltage: Some(it.ac_system.line_voltage()),
            ..LabelValues::NONE
        };
        let at = bus.map_or(service, |bus| Spot::Block(bus.panel.0.id));
        survey.valued(LabelKind::Interconnection, at, values, Vec::new());
    }
    for bus in &buses {
        let (block, panel) = bus.panel;
        let sources: Amps = bus.sources.iter().map(|(_, it)| exported(it)).sum();
        let together = sources * survey.on.number(FactorKey::Continuous) + bus.main;
        if together > panel.bus_rating {
            by_which_way(survey, block, panel, together);
        }
    }
}

fn by_which_way(survey: &mut Survey<'_>, block: &Block, panel: &AcPanel, together: Amps) {
    let at = Spot::Block(block.id);
    let within = together <= panel.bus_rating * survey.on.number(FactorKey::BusbarShare);
    let by_sum = panel.branch_breakers.is_some_and(|sum| sum <= panel.bus_rating);
    match panel.source_position {
        Some(SourcePosition::FarEnd) if within => survey.plain(LabelKind::DoNotRelocate, at),
        _ if by_sum => {
            let values = LabelValues { bus_rating: Some(panel.bus_rating), ..LabelValues::NONE };
            survey.valued(LabelKind::SumOfBreakers, at, values, Vec::new());
        }
        None if within => {
            survey.undecided(LabelKind::DoNotRelocate, Missing::block(block.id, "Source breaker"));
        }
        Some(SourcePosition::FarEnd | SourcePosition::Elsewhere) | None => {}
    }
}

/// Arc flash at every panel other than of a dwelling.
fn panels(survey: &mut Survey<'_>) {
    if survey.of_kind(Kind::AcPanel).next().is_none() || survey.is_dwelling(LabelKind::ArcFlash) != Told::No {
        return;
    }
    for block in survey.of_kind(Kind::AcPanel) {
        survey.plain(LabelKind::ArcFlash, Spot::Block(block.id));
    }
}

/// What the utility and the sources on site give at the service, other than of a dwelling.
fn fault_current(survey: &mut Survey<'_>) {
    let Some(utility) = survey.utility() else { return };
    if survey.is_dwelling(LabelKind::FaultCurrent) != Told::No {
        return;
    }
    let node = survey.network().nodes_of(utility).next();
    let found = node.map(|node| survey.studies.faults.at_node(node));
    let mut missing = Vec::new();
    if found.is_some_and(|it| it.assumed().all().next().is_some()) {
        missing.push(Missing::block(utility, "Available fault current"));
    }
    let values = LabelValues {
        fault_current: found.map(|it| it.total()),
        date: survey.on.project.revisions.iter().map(|revision| revision.date).max(),
        ..LabelValues::NONE
    };
    let service = survey.service();
    survey.valued(LabelKind::FaultCurrent, service, values, missing);
}
