//! Rule `overcurrent-minimum`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::conductors::support::{current_working, sized_working};
use lineside_codes::FactorKey;
use lineside_core::circuit::Run;
use lineside_core::kinds::common::ContinuousDuty;
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::CircuitKind;
use lineside_study::network::PoleInBlock;

rule! {
    /// Devices hold the continuous current
    ///
    /// ## The harm
    /// They open for nothing and run hot; people then bridge them.
    ///
    /// ## The formula
    /// NEC: `I_n ≥ 1.25 × I_max`; in a listed assembly rated for 100 % `I_n ≥ I_max`; what loads take for less
    /// than three hours counts once. IEC: `I_n ≥ I_B`. Generators cannot overload their own device, and strings have
    /// their own rule.
    ///
    /// ## What to do
    /// The next standard size; then look at the conductor again.
    OVERCURRENT_MINIMUM {
        id: "overcurrent-minimum",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(B), 215.3, 706.31(B)",
            Nec2020: "NEC 2020 690.9(B), 215.3, 706.31(B)",
            Nec2017: "NEC 2017 690.9(B), 215.3, 706.21",
            Iec: "IEC 60364-4-43 cl. 433.1, IEC 62548-1 cl. 6.5",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// A pole with the run that asks most of it.
pub(super) struct Asked<'a> {
    pub(super) pole: &'a PoleInBlock,
    pub(super) rating: Amps,
    pub(super) run: &'a Run,
    pub(super) factor: f64,
    pub(super) least: Amps,
}

/// Every pole is compared; a block of several has one finding, at the pole that lacks most.
fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut weak: Vec<Asked<'_>> = Vec::new();
    for (index, pole) in on.studies.network.poles().iter().enumerate() {
        if let Some(asked) = asked(on, index, pole, applies)
            && report.at_least(Part::Block(pole.block), asked.rating, asked.least).fails()
        {
            weak.push(asked);
        }
    }
    for of_block in weak.chunk_by(|a, b| a.pole.block == b.pole.block) {
        find(on, report, of_block);
    }
}

/// A pole with the heaviest of the runs beside it, of those whose circuits apply.
pub(super) fn asked<'a>(
    on: &Circumstances<'a>,
    index: usize,
    pole: &'a PoleInBlock,
    applies: fn(CircuitKind) -> bool,
) -> Option<Asked<'a>> {
    let rating = pole.pole.overcurrent?;
    let factor = match pole.pole.duty {
        ContinuousDuty::HundredPercent => 1.0,
        ContinuousDuty::EightyPercent => on.number(FactorKey::Continuous),
    };
    let runs = on.studies.protection.runs_of(index).iter();
    let heaviest = runs
        .filter_map(|run| Some((on.run(*run)?, on.studies.currents.of(*run)?)))
        .filter(|(_, current)| applies(current.circuit))
        .filter_map(|(run, current)| Some((run, current.sized(factor)?)))
        .max_by(|a, b| {
            let solid = |run: &Run| run.conductor.is_some();
            a.1.total_cmp(&b.1).then(solid(a.0).cmp(&solid(b.0))).then(b.0.id.cmp(&a.0.id))
        });
    heaviest.map(|(run, least)| Asked { pole, rating, run, factor, least })
}

const fn applies(circuit: CircuitKind) -> bool {
    !matches!(
        circuit,
        CircuitKind::String | CircuitKind::Generator | CircuitKind::Utility | CircuitKind::None
    )
}

fn find(on: &Circumstances<'_>, report: &mut Report, of_block: &[Asked<'_>]) {
    let worst = of_block
        .iter()
        .max_by(|a, b| (a.least - a.rating).total_cmp(&(b.least - b.rating)).then(b.run.id.cmp(&a.run.id)));
    let Some(Asked { pole, rating, run, factor, least }) = worst else { return };
    let Some(block) = on.block(pole.block) else { return };
    let mut working = Working::new();
    current_working(on, run, &mut working);
    sized_working(on, run, *factor, "least rating", "I_min", &mut working);
    working.given("rating of the device", "I_n", (*rating).into(), || Origin::Nameplate(block.tag.clone()));
    let title = format!("{} is too small for the current of {}", block.tag, run.tag);
    let others = of_block.iter().filter(|it| it.run.id != run.id).map(|it| Part::Run(it.run.id));
    report.find(
        OVERCURRENT_MINIMUM
            .finding(on, Severity::Correction, Part::Block(block.id), title)
            .also(Part::Run(run.id))
            .also_all(others)
            .against(*rating, *least)
            .working(working),
    );
}
