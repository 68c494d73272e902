//! What a device must do where it stands: the voltage of its zone, the fault that it must break, the current that it
//! must carry, the conductors that it must protect. Read from the studies; nothing is computed anew.

use crate::circumstances::Circumstances;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Run, RunId, Side};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::ContinuousDuty;
use lineside_core::kinds::inside::{Disconnects, JoinKind, Pole};
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Amps, Volts};
use lineside_study::{CircuitKind, NodeId, VoltageWindow, ZoneKind};

/// Direct or alternating current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flow {
    /// Direct.
    Direct,
    /// Alternating.
    Alternating,
}

/// What a device must do.
#[derive(Clone, Copy, Debug)]
pub(super) struct Demand {
    /// Direct or alternating.
    pub flow: Flow,
    /// Greatest voltage of the zone; zero where it is not known.
    pub voltage: Volts,
    /// Greatest fault that it must break.
    pub fault: Amps,
    /// Greatest continuous current.
    pub current: Amps,
    /// The factor for current that flows for hours.
    pub factor: f64,
    /// Largest rating that protects what lies behind it; `None` when nothing tells.
    pub most: Option<Amps>,
}

impl Demand {
    /// What a block with poles must do.
    pub(super) fn of_block(on: &Circumstances<'_>, block: &Block) -> Option<Self> {
        let network = &on.studies.network;
        let mut all: Option<Self> = None;
        for (index, pole) in network.poles().iter().enumerate().filter(|(_, it)| it.block == block.id) {
            let link = network.link(pole.link)?;
            let mut runs: Vec<RunId> = on.studies.protection.runs_of(index).to_vec();
            runs.extend(network.runs_at(link.a).chain(network.runs_at(link.b)));
            let mut here = Self::at_node(on, link.a, &runs)?;
            here.fault = on.studies.faults.duty(pole.link).total();
            all = Some(all.map_or(here, |so_far| so_far.and(here)));
        }
        all
    }

    /// What a device at one end of a run must do.
    pub(super) fn at_end(on: &Circumstances<'_>, run: &Run, side: Side) -> Option<Self> {
        let node = on.studies.network.run_end(run.id, side)?;
        let mut here = Self::at_node(on, node, &[run.id])?;
        let fault = |side| on.studies.faults.run_side(&on.studies.network, run.id, side).total();
        here.fault = fault(Side::From).max(fault(Side::To));
        Some(here)
    }

    fn at_node(on: &Circumstances<'_>, node: NodeId, runs: &[RunId]) -> Option<Self> {
        let zone = on.studies.zones.of(node)?;
        let flow = match on.studies.zones.kind_of(node)? {
            ZoneKind::Pv | ZoneKind::Battery => Flow::Direct,
            ZoneKind::Ac => Flow::Alternating,
            ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => return None,
        };
        let voltage = on.studies.windows.of(zone).and_then(VoltageWindow::highest).unwrap_or_default();
        let greatest = |run: &RunId| on.studies.currents.greatest(*run);
        let current = runs.iter().filter_map(greatest).max_by(Amps::total_cmp).unwrap_or_default();
        let most = runs.iter().filter_map(|run| largest(on, *run)).min_by(Amps::total_cmp);
        Some(Self {
            flow,
            voltage,
            fault: Amps::ZERO,
            current,
            factor: on.number(FactorKey::Continuous),
            most,
        })
    }

    fn and(self, other: Self) -> Self {
        let most = [self.most, other.most].into_iter().flatten().min_by(Amps::total_cmp);
        Self {
            flow: self.flow,
            voltage: self.voltage.max(other.voltage),
            fault: self.fault.max(other.fault),
            current: self.current.max(other.current),
            factor: self.factor,
            most,
        }
    }

    /// The least rating of a device of some duty.
    pub(super) fn least(&self, duty: ContinuousDuty) -> Amps {
        match duty {
            ContinuousDuty::EightyPercent => self.current * self.factor,
            ContinuousDuty::HundredPercent => self.current,
        }
    }

    /// Whether a device stands the voltage and breaks the fault.
    pub(super) fn is_stood_by(&self, pole: &Pole) -> bool {
        let (voltage, breaks) = match self.flow {
            Flow::Direct => (pole.dc_voltage, pole.interrupts_dc),
            Flow::Alternating => (pole.ac_voltage, pole.interrupts_ac),
        };
        let breaks_enough = pole.overcurrent.is_none() || breaks.is_none_or(|breaks| breaks >= self.fault);
        let stands = match self.flow {
            Flow::Direct => voltage.is_some_and(|voltage| voltage >= self.voltage),
            Flow::Alternating => voltage.is_some(),
        };
        stands && breaks_enough
    }

    /// Whether a rating carries the current.
    pub(super) fn is_carried_by(&self, pole: &Pole) -> bool {
        let rating = pole.overcurrent.or(pole.carries);
        let slack = 1.0 - 1e-9;
        rating.is_none_or(|rating| rating >= self.least(pole.duty) * slack)
    }

    /// Whether a rating protects what lies behind it.
    pub(super) fn is_protected_by(&self, pole: &Pole) -> bool {
        let most = self.most;
        pole.overcurrent.is_none_or(|rating| most.is_none_or(|most| rating <= most * (1.0 + 1e-9)))
    }
}

/// The largest device for a run: by its ampacity, by the small sizes, by the modules of its strings.
fn largest(on: &Circumstances<'_>, id: RunId) -> Option<Amps> {
    let run = on.run(id)?;
    let conductor = run.conductor.as_deref()?;
    let small = on.rule_set().is_nec().then(|| {
        on.codes().nec.small_conductors.greatest_device(conductor.size, conductor.metal).map(|it| it.value)
    });
    let modules =
        on.studies.currents.of(id).filter(|current| current.circuit == CircuitKind::String).and_then(|_| {
            let ends = [run.from.block, run.to.block];
            let strings =
                ends.into_iter().filter_map(|block| on.block(block)?.equipment.as_kind::<Strings>());
            strings.filter_map(|it| it.series_fuse_rating).min_by(Amps::total_cmp)
        });
    let rated = on.studies.ratings.largest_device(id);
    [rated, small.flatten(), modules].into_iter().flatten().min_by(Amps::total_cmp)
}

/// The first pole in a piece of equipment.
pub(super) fn pole_of(equipment: &Equipment) -> Option<Pole> {
    equipment.inside().joins.into_iter().find_map(|join| match join.what {
        JoinKind::Pole(pole) => Some(*pole),
        JoinKind::Solid | JoinKind::Converter => None,
    })
}

/// Whether a pole may be opened under load.
pub(super) fn breaks_load(pole: &Pole) -> bool {
    pole.disconnects >= Disconnects::UnderLoad
}
