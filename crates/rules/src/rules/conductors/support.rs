//! What the conductor rules share: terminal limits, workings of currents and ampacities, the next sizes.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part};
use crate::remedy::Proposal;
use crate::report::Report;
use lineside_codes::ampacity::Ampacity;
use lineside_codes::tables::{ConductorTemperature, Installation};
use lineside_codes::{FactorKey, NecEdition};
use lineside_core::circuit::{Conductor, Run, RunId};
use lineside_core::edit::Edit;
use lineside_core::units::{Amps, ConductorSize, Quantity, UnitSystem};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, NotRated, Owner};
use std::borrow::Cow;

/// Ampacities of a run by the ratings of its two terminals; by the IEC by the cooler one and by the cable itself.
pub(super) struct TerminalLimits {
    /// By the lower rating.
    pub lower: Amps,
    /// Where that stands.
    pub source: Cow<'static, str>,
    /// By the higher rating.
    pub higher: Amps,
    /// Where that stands.
    pub higher_source: Cow<'static, str>,
}

/// Ampacities by the terminals' columns of Table 310.16; `None` when the terminals set no limit.
pub(super) fn terminal_limits(on: &Circumstances<'_>, run: RunId) -> Option<TerminalLimits> {
    let rating = on.studies.ratings.of(run)?;
    let ampacity = rating.ampacity.as_ref().ok()?;
    let lower = ampacity.terminal_total?;
    let source = ampacity.terminal.as_ref()?.source.clone();
    let marked = rating.terminals.into_iter().flatten().max_by(lineside_core::units::Celsius::total_cmp);
    let conductor = on.run(run)?.conductor.as_deref()?;
    let of_cable = || (ampacity.corrected, ampacity.insulation.source.clone());
    let higher = marked
        .and_then(ConductorTemperature::not_above)
        .zip(NecEdition::of(on.rule_set()))
        .and_then(|(column, edition)| {
            on.codes().nec.ampacity.find(
                edition,
                conductor.size,
                conductor.metal,
                column,
                Installation::Raceway,
            )
        })
        .map(|found| (found.value * f64::from(conductor.parallel), found.source))
        .or_else(|| (!on.rule_set().is_nec()).then(of_cable));
    let (higher, higher_source) = match higher {
        Some((higher, source)) if higher > lower => (higher, source),
        _ => (lower, source.clone()),
    };
    Some(TerminalLimits { lower, source, higher, higher_source })
}

/// Whether the ampacity of a run is known; tells the report if not.
pub(super) fn ampacity_known(on: &Circumstances<'_>, report: &mut Report, run: &Run) -> bool {
    match on.studies.ratings.of(run.id).map(|rating| &rating.ampacity) {
        Some(Ok(_)) => true,
        Some(Err(NotRated::NoAmbient)) => {
            report.cannot_tell(Missing { owner: Owner::Run(run.id), datum: "Ambient" });
            false
        }
        Some(Err(NotRated::Table(_))) => {
            report.cannot_tell(Missing { owner: Owner::Run(run.id), datum: "An ampacity in the tables" });
            false
        }
        None => false,
    }
}

/// The current of a run, with what decides it.
pub(crate) fn current_working(on: &Circumstances<'_>, run: &Run, working: &mut Working) {
    if let Some(current) = on.studies.currents.of(run.id)
        && let Some(greatest) = current.greatest
    {
        let circuit = current.circuit.label();
        working.given("greatest continuous current", "I_max", greatest.into(), || {
            Origin::Working(format!("{circuit} {}", run.tag))
        });
    }
}

/// Current, factor and product.
pub(super) fn continuous_working(on: &Circumstances<'_>, run: &Run, factor: f64) -> Working {
    let mut working = Working::new();
    current_working(on, run, &mut working);
    sized_working(on, run, factor, "to be carried", "I", &mut working);
    working
}

/// The factor for current that flows for hours, the part that does not, and what that makes together.
pub(crate) fn sized_working(
    on: &Circumstances<'_>,
    run: &Run,
    factor: f64,
    meaning: &'static str,
    symbol: &'static str,
    working: &mut Working,
) {
    let Some(current) = on.studies.currents.of(run.id) else { return };
    working.given("for hours on end", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::Continuous).to_owned())
    });
    let brief = current.brief_part();
    if brief > Amps::ZERO {
        working.given("of which loads for less than three hours", "I_brief", brief.into(), || {
            Origin::Working("loads".to_owned())
        });
    }
    let Some(sized) = current.sized(factor) else { return };
    let formula = if brief > Amps::ZERO { "k × (I_max − I_brief) + I_brief" } else { "k × I_max" };
    working.found(meaning, symbol, || formula.to_owned(), sized.into());
}

/// Ampacity step by step.
pub(crate) fn ampacity_working(
    on: &Circumstances<'_>,
    run: &Run,
    ampacity: &Ampacity,
    working: &mut Working,
) {
    let table = |source: &str| Origin::Table(source.to_owned());
    working.given("ampacity of the insulation", "A_ins", ampacity.insulation.value.into(), || {
        table(&ampacity.insulation.source)
    });
    let from = on.studies.ratings.of(run.id).map_or(Origin::Computed, |rating| rating.ambient_from.clone());
    working.given("ambient", "T", ampacity.ambient.into(), || from);
    if let Some(adder) = &ampacity.roof_adder {
        working.given("of which the sunny roof adds", "ΔT", adder.value.into(), || table(&adder.source));
    }
    working.given("factor for the ambient", "k_amb", Quantity::number(ampacity.ambient_factor.value), || {
        table(&ampacity.ambient_factor.source)
    });
    working.given(
        "factor for bundling",
        "k_bundle",
        Quantity::number(ampacity.bundling_factor.value),
        || table(&ampacity.bundling_factor.source),
    );
    working.given("conductors in parallel", "n", Quantity::count(ampacity.parallel as usize), || {
        Origin::Setting(run.tag.clone())
    });
    working.found(
        "corrected ampacity",
        "A_corr",
        || "A_ins × k_amb × k_bundle × n".to_owned(),
        ampacity.corrected.into(),
    );
    if let (Some(total), Some(terminal)) = (ampacity.terminal_total, &ampacity.terminal) {
        working.given("ampacity by the terminals", "A_term", total.into(), || table(&terminal.source));
        working.found("ampacity", "A", || "min(A_corr, A_term)".to_owned(), ampacity.ampacity.into());
    }
}

/// The next sizes for the run of a finding.
pub(crate) fn larger_conductor(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    match finding.at {
        Part::Run(run) | Part::RunEnd(run, _) => larger_run(on, run),
        Part::Block(_) | Part::Place(_) | Part::Project => Vec::new(),
    }
}

/// The next sizes for a run, smallest first.
pub(crate) fn larger_run(on: &Circumstances<'_>, id: RunId) -> Vec<Proposal> {
    let Some(run) = on.run(id) else { return Vec::new() };
    let Some(conductor) = &run.conductor else { return Vec::new() };
    larger_sizes(on, conductor).into_iter().map(|size| resized(run, conductor, size)).collect()
}

fn resized(run: &Run, conductor: &Conductor, size: ConductorSize) -> Proposal {
    let mut changed = run.clone();
    changed.conductor = Some(Box::new(Conductor { size, ..conductor.clone() }));
    Proposal { label: format!("{size} for {}", run.tag), edit: Edit::SetRun(Box::new(changed)) }
}

fn larger_sizes(on: &Circumstances<'_>, conductor: &Conductor) -> Vec<ConductorSize> {
    let codes = on.codes();
    let all: Vec<ConductorSize> = match conductor.size.system() {
        UnitSystem::Us => codes.nec.conductor_properties.sizes().collect(),
        UnitSystem::Si => codes.iec.resistance.sizes().collect(),
    };
    let larger = all.into_iter().filter(|size| size.area() > conductor.size.area());
    let mut sizes: Vec<ConductorSize> = larger.collect();
    sizes.sort_by(|a, b| a.area().total_cmp(&b.area()));
    sizes.dedup();
    sizes
}
