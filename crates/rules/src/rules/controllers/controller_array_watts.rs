//! Rule `controller-array-watts`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::units::{Percent, Quantity, Watts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Zone, ZoneKind};

rule! {
    /// The array's watts suit the controller at this bank voltage
    ///
    /// ## The harm
    /// Energy is clipped, and the controller stands hot at its limit all summer. It is not unsafe.
    ///
    /// ## The formula
    /// `r = n × P_stc / P_lim`, with `P_lim` the nameplate's array watts at this bank voltage, else output current
    /// times charge voltage.
    ///
    /// ## The limit
    /// Up to 1 nothing is said; up to the maker's oversize limit, or 1.30 where he gives none, advice; above it a
    /// correction.
    ///
    /// ## What to do
    /// Accept it; a second controller; a bank of higher voltage.
    CONTROLLER_ARRAY_WATTS {
        id: "controller-array-watts",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let controllers = on.controllers_fed_by(zone);
        // Several controllers on one array share it in a way that only the flow study knows.
        let [(block, controller)] = controllers.as_slice() else { continue };
        if let Some((bank, voltages)) = on.bank_charged_by(block.id) {
            judge(on, report, zone, block, controller, bank, voltages);
        }
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    block: &Block,
    controller: &ChargeController,
    bank: &Block,
    voltages: &BankVoltages,
) {
    let mut working = Working::new();
    let mut watts = Watts::ZERO;
    for (strings, it) in on.string_sets(zone) {
        working.given("array power of the set", "P", it.array_power().into(), || {
            Origin::Nameplate(strings.tag.clone())
        });
        watts += it.array_power();
    }
    let limit = passed_watts(controller, block, bank, voltages, &mut working);
    let oversize =
        controller.oversize_limit.map_or_else(|| on.number(FactorKey::ControllerOversize), Percent::share);
    working.found("ratio", "r", || "Σ P / P_lim".to_owned(), Quantity::number(watts / limit));
    let at = Part::Block(block.id);
    if !report.at_most(at, watts, limit).fails() {
        return;
    }
    let most = limit * oversize;
    let (severity, allowed, title) = if report.at_most(at, watts, most).fails() {
        working.given("oversize limit", "r_max", Quantity::number(oversize), || {
            Origin::Nameplate(block.tag.clone())
        });
        (Severity::Correction, most, format!("The array is larger than the maker of {} allows", block.tag))
    } else {
        (Severity::Advice, limit, format!("The array can give more than {} takes", block.tag))
    };
    let finding = CONTROLLER_ARRAY_WATTS.finding(on, severity, at, title);
    let strings = on.strings_in(zone).into_iter().map(Part::Block);
    report.find(finding.also_all(strings).against(watts, allowed).working(working));
}

/// The nameplate's array watts at this bank voltage, else output current times charge voltage.
fn passed_watts(
    controller: &ChargeController,
    block: &Block,
    bank: &Block,
    voltages: &BankVoltages,
    working: &mut Working,
) -> Watts {
    let plate = || Origin::Nameplate(block.tag.clone());
    if let Some(limit) = controller.array_watts(voltages.class) {
        working.given("array watts at this bank voltage", "P_lim", limit.into(), plate);
        return limit;
    }
    working.given("charge current", "I_out", controller.output_current.into(), plate);
    working.given("charge voltage of the bank", "V_charge", voltages.charge.into(), || {
        Origin::Nameplate(bank.tag.clone())
    });
    let limit = voltages.charge * controller.output_current;
    working.found("watts that it can pass", "P_lim", || "I_out × V_charge".to_owned(), limit.into());
    limit
}
