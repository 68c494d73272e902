//! Rule `battery-charge-current`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Missing, Zone, ZoneKind};

rule! {
    /// All chargers together suit the bank
    ///
    /// ## The harm
    /// Too much: cells overheat, gas, or plate lithium. Too little: flooded cells are never stirred.
    ///
    /// ## The formula
    /// `I = Σ I_out + Σ I_charger` of all chargers that can run together.
    ///
    /// ## The limit
    /// Not above the strings' greatest charge current together, else a correction; with parallel strings not
    /// above that of all but one, else advice, because one may be out. Flooded cells: at least a twentieth of the
    /// capacity, else advice.
    ///
    /// ## What to do
    /// Set current limits; another string; a smaller charger.
    BATTERY_CHARGE_CURRENT {
        id: "battery-charge-current",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.33, 110.3(B)",
            Nec2020: "NEC 2020 706.33, 110.3(B)",
            Nec2017: "NEC 2017 706.23, 110.3(B)",
            Iec: "IEC 62485-2, manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let banks = on.banks_in(zone);
        let Some((first, _, _)) = banks.first().copied() else { continue };
        let mut working = Working::new();
        let total = chargers(on, zone, &mut working);
        if total > Amps::ZERO {
            upper(on, report, first, &banks, total, &working);
            lower(on, report, first, &banks, total, working);
        }
    }
}

fn chargers(on: &Circumstances<'_>, zone: &Zone, working: &mut Working) -> Amps {
    let mut total = Amps::ZERO;
    for (block, controller) in on.controllers_charging(zone) {
        let current = controller.output_limit();
        working.given("controller", "I_out", current.into(), || Origin::Nameplate(block.tag.clone()));
        total += current;
    }
    for (block, inverter) in on.inverters_on(zone) {
        if let Some(current) = inverter.charge_current() {
            working.given("charger", "I_chg", current.into(), || Origin::Nameplate(block.tag.clone()));
            total += current;
        }
    }
    working.found("all chargers together", "I", || "Σ I_out + Σ I_chg".to_owned(), total.into());
    total
}

type Bank<'a> = (&'a Block, &'a BatteryBank, &'a BankVoltages);

fn upper(
    on: &Circumstances<'_>,
    report: &mut Report,
    first: &Block,
    banks: &[Bank<'_>],
    total: Amps,
    common: &Working,
) {
    let mut allowed = Amps::ZERO;
    let mut strings = 0;
    let mut largest = Amps::ZERO;
    let mut working = common.clone();
    for (block, bank, _) in banks {
        let Some(each) = bank.charge_current else {
            report.cannot_tell(Missing::block(block.id, "Greatest charge current"));
            return;
        };
        working.given("greatest charge current of a string", "I_max", each.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        allowed += each * f64::from(bank.strings_in_parallel);
        strings += bank.strings_in_parallel;
        largest = largest.max(each);
    }
    working.found("of all strings", "n × I_max", || format!("{strings} strings"), allowed.into());
    let at = Part::Block(first.id);
    let others = banks.iter().skip(1).map(|(block, _, _)| Part::Block(block.id));
    if report.at_most(at, total, allowed).fails() {
        let title = format!("The chargers together give {} more than it takes", first.tag);
        let finding = BATTERY_CHARGE_CURRENT.finding(on, Severity::Correction, at, title);
        report.find(finding.also_all(others).against(total, allowed).working(working));
    } else if strings > 1 && report.at_most(at, total, allowed - largest).fails() {
        let one_out = allowed - largest;
        working.found("with one string out", "(n − 1) × I_max", String::new, one_out.into());
        let title = "With one battery string out the chargers give too much".to_owned();
        let finding = BATTERY_CHARGE_CURRENT.finding(on, Severity::Advice, at, title).aspect("one-out");
        report.find(finding.also_all(others).against(total, one_out).working(working));
    }
}

fn lower(
    on: &Circumstances<'_>,
    report: &mut Report,
    first: &Block,
    banks: &[Bank<'_>],
    total: Amps,
    mut working: Working,
) {
    if !banks.iter().all(|(_, bank, _)| bank.chemistry.is_flooded()) {
        return;
    }
    let share = on.number(FactorKey::FloodedChargeLeast);
    let capacity: f64 =
        banks.iter().map(|(_, bank, _)| bank.capacity.value() * f64::from(bank.strings_in_parallel)).sum();
    let needed = Amps::new(capacity * share);
    let at = Part::Block(first.id);
    if report.at_least(at, total, needed).fails() {
        working.found(
            "least current that stirs the cells",
            "I_min",
            || "share × capacity".to_owned(),
            needed.into(),
        );
        let title = format!("The chargers are too small to stir the cells of {}", first.tag);
        let finding = BATTERY_CHARGE_CURRENT.finding(on, Severity::Advice, at, title).aspect("least");
        report.find(finding.against(total, needed).working(working));
    }
}
