//! Equipment-grounding conductors and the sizes of raceways.

use super::draft::Draft;
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_codes::ampacity::is_nipple;
use lineside_codes::tables::{RacewayKind, TradeSize};
use lineside_core::circuit::{Conductor, Raceway, RacewaySize, RunId, Side};
use lineside_core::kinds::common::AcSystem;
use lineside_core::units::{Amps, ConductorSize, Percent, SquareCentimeters};
use lineside_study::{CircuitKind, Conditions, Studies, ZoneKind};

impl Draft<'_> {
    /// Gives every run its equipment-grounding conductor and its raceway a size.
    pub(super) fn ground_and_house(&mut self) -> Result<(), Why> {
        let studies = lineside_study::all(&Conditions::new(&self.project, self.terms.on.codes));
        for (run, conductor) in self.with_conductors() {
            let on = Conditions::new(&self.project, self.terms.on.codes);
            let grounding_conductor = grounding(&on, &studies, run, &conductor);
            let grounded = Conductor { grounding_conductor, ..conductor };
            let raceway_size = raceway(&on, &studies, run, &grounded);
            self.lay(run, Conductor { raceway_size, ..grounded })?;
        }
        Ok(())
    }
}

/// The equipment-grounding conductor of a run; under the IEC it lies in the same cable or raceway by the size of the
/// line and is not drawn, but for the frames of an array.
fn grounding(
    on: &Conditions<'_>,
    studies: &Studies,
    run: RunId,
    conductor: &Conductor,
) -> Option<ConductorSize> {
    let current = studies.currents.of(run)?;
    let circuit = current.circuit;
    if matches!(circuit, CircuitKind::None | CircuitKind::Utility) {
        return None;
    }
    let codes = on.codes;
    if !on.rule_set.is_nec() {
        if circuit.is_pv() {
            return codes
                .common
                .sizes
                .size(on.rule_set, lineside_codes::tables::SizeKey::FrameBondingSmallest);
        }
        let lines = codes.iec.protective_conductor.conductor(conductor.size).map(|it| it.value);
        return lines.filter(|_| circuit.is_ac());
    }
    let devices = Side::BOTH.into_iter().filter_map(|side| {
        let device = studies.protection.at(run, side)?;
        studies.network.poles().get(device.pole)?.pole.overcurrent
    });
    let pv = current.greatest.filter(|_| circuit.is_pv()).map(|it| it * on.number(FactorKey::Continuous));
    let holds = Side::BOTH.into_iter().filter_map(|side| {
        let holding = studies.holding.at(run, side);
        holding.current().filter(|_| holding.devices > 0)
    });
    let device = devices.max_by(Amps::total_cmp).or(pv).or_else(|| holds.max_by(Amps::total_cmp))?;
    let table = codes.nec.equipment_grounding.conductor(device, conductor.metal)?.value;
    let mils = |size: ConductorSize| {
        codes.nec.conductor_properties.circular_mils(size).map_or(size.area(), |found| found.value)
    };
    let before = conductor.size_before_enlarging.filter(|_| !circuit.is_pv()).map(mils);
    let installed = mils(conductor.size);
    let in_proportion = before.filter(|before| *before < installed);
    let needed =
        in_proportion.map_or(mils(table), |before| mils(table) * (installed / before)).min(installed);
    let sizes = codes.nec.conductor_properties.sizes();
    let fits = sizes.filter(|size| mils(*size) >= needed);
    fits.min_by(|a, b| mils(*a).total_cmp(&mils(*b)))
}

/// The smallest trade size that holds a run's conductors.
fn raceway(on: &Conditions<'_>, studies: &Studies, run: RunId, conductor: &Conductor) -> Option<RacewaySize> {
    if !on.rule_set.is_nec() {
        return None;
    }
    let kind = match conductor.raceway {
        Raceway::MetalConduit => RacewayKind::Emt,
        Raceway::PlasticConduit | Raceway::BuriedConduit => RacewayKind::PvcSchedule40,
        Raceway::FreeAir | Raceway::MetalClad | Raceway::Tray | Raceway::Buried | Raceway::Enclosure => {
            return None;
        }
    };
    // Conductors in parallel lie in raceways of their own, one set in each.
    let wires = wires(on, studies, run)?;
    let area = |size| Some(on.codes.nec.conductor_area.area(size, conductor.insulation)?.value);
    let mut filled: SquareCentimeters = area(conductor.size)? * f64::from(wires);
    let mut number = wires;
    if let Some(size) = conductor.grounding_conductor {
        filled += area(size)?;
        number += 1;
    }
    let key = match number {
        _ if is_nipple(on.codes, on.rule_set, conductor.length) => FactorKey::RacewayFillNipple,
        1 => FactorKey::RacewayFillOne,
        2 => FactorKey::RacewayFillTwo,
        _ => FactorKey::RacewayFillMore,
    };
    let share: Percent = on.quantity(key);
    let inside = |size: RacewaySize| {
        on.codes.nec.raceway_area.area(kind, TradeSize::from(size)).map(|found| found.value * share.share())
    };
    let least = RacewaySize::ThreeQuarters;
    RacewaySize::ALL
        .iter()
        .copied()
        .find(|size| *size >= least && inside(*size).is_some_and(|it| it >= filled))
}

/// Conductors of a run but for the grounding one.
fn wires(on: &Conditions<'_>, studies: &Studies, run: RunId) -> Option<u32> {
    let zone = studies.zones.of(studies.network.run_end(run, Side::From)?)?;
    let zone = studies.zones.get(zone)?;
    match zone.kind {
        ZoneKind::Pv | ZoneKind::Battery => Some(2),
        ZoneKind::Earth => Some(1),
        ZoneKind::Ac => {
            let blocks = zone.blocks(&studies.network);
            let system: AcSystem =
                blocks.into_iter().find_map(|id| on.project.circuit.block(id)?.equipment.ac_system())?;
            Some(system.lines() + u32::from(system.has_neutral()))
        }
        ZoneKind::Unknown | ZoneKind::Mixed => None,
    }
}
