//! Conductors: the next sizes, insulation for more heat or voltage, two in parallel, the grounding conductor.

use super::support::{blocks, chief_run, runs};
use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part};
use crate::proposals::with_conductor;
use crate::remedy::Proposal;
use crate::rules::conductors::support::larger_run;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Conductor, Insulation, Run, RunId, Stranding};
use lineside_core::edit::Edit;
use lineside_core::kinds::Kind;
use lineside_core::units::{ConductorSize, Meters, UnitSystem, Volts};

/// Voltages of insulation that can be bought.
const CLASSES: [f64; 3] = [600.0, 1000.0, 2000.0];

/// Sizes that are proposed together with another insulation.
const LARGER: usize = 8;

/// The next sizes of the run where the finding stands, or of every run that it names.
pub(super) fn larger(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let chief: Vec<RunId> = chief_run(finding).into_iter().collect();
    let all =
        if chief.is_empty() { runs(on, finding).into_iter().map(|run| run.id).collect() } else { chief };
    all.into_iter().flat_map(|run| larger_run(on, run)).collect()
}

/// Insulation for 90 °C in the same raceway.
pub(super) fn ninety_degrees(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_runs(on, finding, |run, conductor| {
        let wanted = match conductor.size.system() {
            UnitSystem::Us => Insulation::Xhhw2,
            UnitSystem::Si => Insulation::Xlpe90,
        };
        insulated(run, conductor, wanted)
    })
}

/// Any other insulation that the trade would lay.
pub(super) fn another_insulation(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let us = [Insulation::Rhw2, Insulation::Thwn2, Insulation::Xhhw2, Insulation::Use2, Insulation::PvWire];
    let si = [Insulation::Xlpe90, Insulation::PvCable, Insulation::Pvc70];
    of_runs(on, finding, |run, conductor| {
        let all: &[Insulation] = match conductor.size.system() {
            UnitSystem::Us => &us,
            UnitSystem::Si => &si,
        };
        let alone = all.iter().flat_map(|insulation| insulated(run, conductor, *insulation));
        let next =
            sizes(on, conductor).into_iter().filter(|size| size.area() > conductor.size.area()).take(LARGER);
        let larger = next.flat_map(|size| {
            let insulation = all.iter().copied().take(1);
            insulation.map(move |insulation| {
                let changed =
                    Conductor { insulation, size, stranding: Stranding::Coarse, ..conductor.clone() };
                with_conductor(run, changed, format!("{size}, {} for {}", insulation.label(), run.tag))
            })
        });
        alone.chain(larger).collect()
    })
}

/// Insulation of the next voltage classes.
pub(super) fn insulated_higher(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_runs(on, finding, |run, conductor| {
        let higher = CLASSES.into_iter().map(Volts::new).filter(|volts| *volts > conductor.voltage);
        higher
            .map(|voltage| {
                let changed = Conductor { voltage, ..conductor.clone() };
                with_conductor(run, changed, format!("Insulation for {voltage} on {}", run.tag))
            })
            .collect()
    })
}

/// One conductor more of the same size for each pole, where the size may be laid in parallel at all.
pub(super) fn doubled(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_runs(on, finding, |run, conductor| {
        let least = match conductor.size.system() {
            UnitSystem::Us => ConductorSize::Awg(0).area(),
            UnitSystem::Si => ConductorSize::read("50 mm²").map(ConductorSize::area).unwrap_or_default(),
        };
        if conductor.size.area() < least {
            return Vec::new();
        }
        let parallel = conductor.parallel + 1;
        let loaded_conductors =
            conductor.loaded_conductors.saturating_mul(parallel) / conductor.parallel.max(1);
        let changed = Conductor { parallel, loaded_conductors, ..conductor.clone() };
        vec![with_conductor(run, changed, format!("{parallel} conductors in parallel for {}", run.tag))]
    })
}

/// One conductor for each pole in place of several, in all sizes.
pub(super) fn single(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_runs(on, finding, |run, conductor| {
        if conductor.parallel < 2 {
            return Vec::new();
        }
        sizes(on, conductor)
            .into_iter()
            .filter(|size| size.area() > conductor.size.area())
            .map(|size| {
                let loaded_conductors = (conductor.loaded_conductors / conductor.parallel).max(2);
                let changed = Conductor { size, parallel: 1, loaded_conductors, ..conductor.clone() };
                with_conductor(run, changed, format!("One {size} for {}", run.tag))
            })
            .collect()
    })
}

/// An equipment-grounding conductor of the next sizes, or at all.
pub(super) fn grounded(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_runs(on, finding, |run, conductor| {
        let now = conductor.grounding_conductor.map(ConductorSize::area).unwrap_or_default();
        sizes(on, conductor)
            .into_iter()
            .filter(|size| size.area() > now && size.area() <= conductor.size.area().max(now))
            .map(|size| {
                let changed = Conductor { grounding_conductor: Some(size), ..conductor.clone() };
                with_conductor(run, changed, format!("{size} to ground {}", run.tag))
            })
            .collect()
    })
}

/// The lead cut to the length that the code allows between a battery and its first device.
pub(super) fn shorter(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::RunEnd(..) = finding.at else { return Vec::new() };
    let limit: Meters = on.limit(FactorKey::BatteryLead);
    of_runs(on, finding, |run, conductor| {
        if conductor.length <= limit || on.circuit().is_field_run(run) {
            return Vec::new();
        }
        let changed = Conductor { length: limit.cut_to(1), ..conductor.clone() };
        vec![with_conductor(
            run,
            changed,
            format!("The device moved to within {} of the battery", limit.cut_to(1)),
        )]
    })
}

/// The cables of all banks that stand in parallel as long as the longest, or as the shortest.
pub(super) fn equal_lengths(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    if !blocks(on, finding).iter().any(|block| block.kind() == Kind::BatteryBank) {
        return Vec::new();
    }
    let banks = on.circuit().blocks().filter(|block| block.kind() == Kind::BatteryBank);
    let leads: Vec<(&Run, &Conductor)> = banks
        .flat_map(|bank| on.circuit().runs_at(bank.id))
        .filter_map(|run| Some((run, run.conductor.as_deref()?)))
        .filter(|(_, conductor)| conductor.loaded_conductors > 1)
        .collect();
    let lengths = || leads.iter().map(|(_, conductor)| conductor.length);
    let all = [lengths().min_by(Meters::total_cmp), lengths().max_by(Meters::total_cmp)];
    all.into_iter()
        .flatten()
        .filter_map(|length| {
            let edits: Vec<Edit> = leads
                .iter()
                .filter(|(_, conductor)| conductor.length != length)
                .map(|(run, conductor)| {
                    let conductor = Conductor { length, ..(*conductor).clone() };
                    Edit::SetRun(Box::new(Run { conductor: Some(Box::new(conductor)), ..(*run).clone() }))
                })
                .collect();
            let label = format!("All battery leads {length} long");
            (!edits.is_empty()).then_some(Proposal { label, edit: Edit::Batch(edits) })
        })
        .collect()
}

fn of_runs(
    on: &Circumstances<'_>,
    finding: &Finding,
    change: impl Fn(&Run, &Conductor) -> Vec<Proposal>,
) -> Vec<Proposal> {
    runs(on, finding)
        .into_iter()
        .filter_map(|run| Some((run, run.conductor.as_deref()?)))
        .flat_map(|(run, conductor)| change(run, conductor))
        .collect()
}

/// Welding cable is fine strands; what replaces it need not be.
fn insulated(run: &Run, conductor: &Conductor, insulation: Insulation) -> Vec<Proposal> {
    if conductor.insulation == insulation {
        return Vec::new();
    }
    let strands = [conductor.stranding, Stranding::Coarse].into_iter();
    let mut all: Vec<Proposal> = strands
        .map(|stranding| {
            let changed = Conductor { insulation, stranding, ..conductor.clone() };
            with_conductor(run, changed, format!("{} for {}", insulation.label(), run.tag))
        })
        .collect();
    all.dedup_by(|a, b| matches!((&a.edit, &b.edit), (Edit::SetRun(a), Edit::SetRun(b)) if a == b));
    all
}

/// Every size of the tables, smallest first.
fn sizes(on: &Circumstances<'_>, conductor: &Conductor) -> Vec<ConductorSize> {
    let codes = on.codes();
    let mut all: Vec<ConductorSize> = match conductor.size.system() {
        UnitSystem::Us => codes.nec.conductor_properties.sizes().collect(),
        UnitSystem::Si => codes.iec.resistance.sizes().collect(),
    };
    all.sort_by(|a, b| a.area().total_cmp(&b.area()));
    all.dedup();
    all
}
