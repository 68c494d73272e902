//! Rule `generator-conductor`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{ampacity_working, larger_conductor};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Run};
use lineside_core::kinds::generator::Generator;
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};

rule! {
    /// Conductors from a generator stand what it can give
    ///
    /// ## The harm
    /// The conductors overheat before anything opens.
    ///
    /// ## The formula
    /// `A ≥ 1.15 × I` with `I` the nameplate current, for the conductors from the set to the first overcurrent device. IEC:
    /// `I_z ≥ I`.
    ///
    /// ## What to do
    /// A larger size.
    GENERATOR_CONDUCTOR {
        id: "generator-conductor",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 445.13",
            Nec2020: "NEC 2020 445.13",
            Nec2017: "NEC 2017 445.13",
            Iec: "IEC 60364-5-55 cl. 551",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Some(generator) = block.equipment.as_kind::<Generator>() else { continue };
        for run in on.circuit().runs_at(block.id).into_iter().filter(|run| run.conductor.is_some()) {
            let at_output =
                [run.from, run.to].iter().any(|end| end.block == block.id && end.terminal.stem() == "out");
            if at_output {
                judge(on, report, block, generator, run);
            }
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block, generator: &Generator, run: &Run) {
    let rated = on.studies.ratings.of(run.id).and_then(|rating| rating.ampacity.as_ref().ok());
    let Some(ampacity) = rated else { return };
    let (current, factor) = (generator.rated_current(), on.number(FactorKey::GeneratorConductor));
    let needed = current * factor;
    let at = Part::Run(run.id);
    if !report.at_least(at, ampacity.ampacity, needed).fails() {
        return;
    }
    let mut working = Working::new();
    ampacity_working(on, run, ampacity, &mut working);
    working.given("nameplate current", "I", current.into(), || Origin::Nameplate(block.tag.clone()));
    working.given("from the set to its first device", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::GeneratorConductor).to_owned())
    });
    working.found("ampacity needed", "A_min", || "k × I".to_owned(), needed.into());
    let title = format!("{} is too small for what {} can give", run.tag, block.tag);
    let finding = GENERATOR_CONDUCTOR.finding(on, Severity::Correction, at, title);
    report.find(finding.also(Part::Block(block.id)).against(ampacity.ampacity, needed).working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
