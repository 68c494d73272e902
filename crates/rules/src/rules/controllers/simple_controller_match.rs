//! Rule `simple-controller-match`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::units::{Amps, Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// The strings of a switching controller fit its bank
    ///
    /// ## The harm
    /// A switching (PWM) controller ties the strings to the battery: voltage above the battery is thrown away,
    /// voltage below it never charges, and the full short-circuit current flows.
    ///
    /// ## The formula
    /// `r = V_mp,hot / (V_bus,max + 1.0 V)`, `I = 1.25 × Σ I_sc`.
    ///
    /// ## The limit
    /// `r` not below 1.00; above 1.60 more than a third of the power is lost, which is advice. `I` not above the
    /// rated current of the controller.
    ///
    /// ## What to do
    /// A tracking controller; modules with the right number of cells.
    SIMPLE_CONTROLLER_MATCH {
        id: "simple-controller-match",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.8, 690.72",
            Nec2020: "NEC 2020 690.8, 690.72",
            Nec2017: "NEC 2017 690.8, 690.72",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv).filter(|zone| !zone.sources.is_empty()) {
        for (block, controller) in on.controllers_fed_by(zone) {
            if controller.kind == ControllerType::Switching {
                voltages(on, report, zone, block);
                current(on, report, zone, block, controller);
            }
        }
    }
}

fn voltages(on: &Circumstances<'_>, report: &mut Report, zone: &Zone, block: &Block) {
    let Some((bank, voltages)) = on.bank_charged_by(block.id) else { return };
    let Some((strings, hot)) = on.hottest_strings(zone) else {
        report.cannot_tell(Missing::site("2 % design high"));
        return;
    };
    let at = Part::Block(block.id);
    let headroom: Volts = on.limit(FactorKey::SwitchingControllerHeadroom);
    let ratio = on.number(FactorKey::SwitchingControllerRatio);
    let least = voltages.highest + headroom;
    let most = least * ratio;
    let mut working = Working::new();
    on.hot_voltage_working(strings, &mut working);
    on.bank_voltage_working(bank.id, &mut working);
    working.given("headroom", "h", headroom.into(), || {
        Origin::Table(on.on.clause(FactorKey::SwitchingControllerHeadroom).to_owned())
    });
    working.found("voltage needed", "V_needed", || "V_bus,max + h".to_owned(), least.into());
    let (severity, aspect, limit, title) = if report.at_least(at, hot, least).fails() {
        let title = format!("Hot strings cannot finish the charge of {} through {}", bank.tag, block.tag);
        (Severity::Correction, "", least, title)
    } else if report.at_most(at, hot, most).fails() {
        working.given("greatest ratio", "r", Quantity::number(ratio), || {
            Origin::Table(on.on.clause(FactorKey::SwitchingControllerRatio).to_owned())
        });
        working.found("voltage worth having", "V_most", || "r × V_needed".to_owned(), most.into());
        let title = format!("{} throws away more than a third of what the strings give", block.tag);
        (Severity::Advice, "lost", most, title)
    } else {
        return;
    };
    let finding = SIMPLE_CONTROLLER_MATCH.finding(on, severity, at, title).aspect(aspect);
    let finding = finding.also(Part::Block(strings)).also(Part::Block(bank.id));
    report.find(finding.against(hot, limit).working(working));
}

fn current(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    block: &Block,
    controller: &ChargeController,
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
    let (found, allowed) = (bare * factor, controller.output_current);
    working.given("for bright cloud edges", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::PvCurrent).to_owned())
    });
    working.found("of all strings", "I", || "k × Σ I_sc".to_owned(), found.into());
    working.given("rated current", "I_rated", allowed.into(), || Origin::Nameplate(block.tag.clone()));
    let at = Part::Block(block.id);
    if report.at_most(at, found, allowed).fails() {
        let title = format!("The strings' full current is above the rating of {}", block.tag);
        let finding = SIMPLE_CONTROLLER_MATCH.finding(on, Severity::Correction, at, title).aspect("current");
        let strings = on.strings_in(zone).into_iter().map(Part::Block);
        report.find(finding.also_all(strings).against(found, allowed).working(working));
    }
}
