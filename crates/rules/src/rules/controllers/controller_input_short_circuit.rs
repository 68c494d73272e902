//! Rule `controller-input-short-circuit`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::charge_controller::{ChargeController, InputRatingBasis};
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// The array's short-circuit current is within the controller's input
    ///
    /// ## The harm
    /// A wiring fault or a reversed string pushes more current through the input than it was tested for, and
    /// burns it.
    ///
    /// ## The formula
    /// `I = 1.25 × Σ I_sc` of all strings on the input.
    ///
    /// ## The limit
    /// The nameplate's short-circuit current. Above with the factor: correction; above even without it: danger.
    /// Where the maker states the limit at standard test conditions, `Σ I_sc` alone is compared.
    ///
    /// ## What to do
    /// Share the strings between two inputs; more modules in series, fewer strings in parallel.
    CONTROLLER_INPUT_SHORT_CIRCUIT {
        id: "controller-input-short-circuit",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B), 690.8(A)",
            Nec2020: "NEC 2020 110.3(B), 690.8(A)",
            Nec2017: "NEC 2017 110.3(B), 690.8(A)",
            Iec: "IEC 62109-1, IEC 62548-1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let controllers = on.controllers_fed_by(zone);
        if zone.sources.is_empty() {
            continue;
        }
        for (block, controller) in controllers {
            match controller.input_short_circuit_current {
                Some(limit) => judge(on, report, zone, block, controller, limit),
                None => report.cannot_tell(Missing::block(block.id, "PV short-circuit current")),
            }
        }
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    block: &Block,
    controller: &ChargeController,
    limit: Amps,
) {
    let mut working = Working::new();
    let mut bare = Amps::ZERO;
    for (strings, it) in on.string_sets(zone) {
        let current = it.greatest_short_circuit_current() * f64::from(it.strings_in_parallel);
        working.given("short-circuit current of the set", "I_sc", current.into(), || {
            Origin::Nameplate(strings.tag.clone())
        });
        bare += current;
    }
    let factor = on.number(FactorKey::PvCurrent);
    let standard = controller.input_rating_basis == Some(InputRatingBasis::StandardTest);
    let current = if standard { bare } else { bare * factor };
    if !standard {
        working.given("for bright cloud edges", "k", Quantity::number(factor), || {
            Origin::Table(on.on.clause(FactorKey::PvCurrent).to_owned())
        });
    }
    working.found(
        "of all strings",
        "I",
        || if standard { "Σ I_sc" } else { "k × Σ I_sc" }.to_owned(),
        current.into(),
    );
    working.given("limit of the input", "I_limit", limit.into(), || Origin::Nameplate(block.tag.clone()));
    let at = Part::Block(block.id);
    let broken = if report.at_most(at, bare, limit).fails() {
        Some((
            Severity::Danger,
            bare,
            format!("The strings' current is above what the input of {} stands", block.tag),
        ))
    } else if report.at_most(at, current, limit).fails() {
        Some((
            Severity::Correction,
            current,
            format!("In bright sun the strings' current is above the input of {}", block.tag),
        ))
    } else {
        None
    };
    if let Some((severity, found, title)) = broken {
        let finding = CONTROLLER_INPUT_SHORT_CIRCUIT.finding(on, severity, at, title);
        let strings = on.strings_in(zone).into_iter().map(Part::Block);
        report.find(finding.also_all(strings).against(found, limit).working(working));
    }
}
