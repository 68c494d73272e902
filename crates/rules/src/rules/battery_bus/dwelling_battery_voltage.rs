//! Rule `dwelling-battery-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::places::Told;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::Fitted;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Missing, ZoneKind};

rule! {
    /// A bank in a home is of a low voltage, or nobody can reach its live parts
    ///
    /// ## The harm
    /// Shock at an open bank, which cannot be switched off.
    ///
    /// ## The formula
    /// The highest bus voltage: all cells, charged or equalized, on the coldest day.
    ///
    /// ## The limit
    /// NEC, one- and two-family dwellings: 100 V, unless live parts are out of reach in routine maintenance, as in
    /// a sealed bank whose terminals are covered. Flooded cells are opened to be watered, so covers do not free
    /// them. IEC: above 120 V DC extra-low voltage ends and the full protection against shock is needed.
    ///
    /// ## What to do
    /// A bank of lower voltage; an enclosed, listed storage system.
    DWELLING_BATTERY_VOLTAGE {
        id: "dwelling-battery-voltage",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.20(B)",
            Nec2020: "NEC 2020 706.20(B)",
            Nec2017: "NEC 2017 706.30(A)",
            Iec: "IEC 60364-4-41 cl. 414, IEC 62485-2 cl. 4",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let key =
        if on.rule_set().is_nec() { FactorKey::DwellingBatteryVoltage } else { FactorKey::ExtraLowVoltage };
    let allowed: Volts = on.limit(key);
    let dwelling = if on.rule_set().is_nec() { on.is_dwelling() } else { Told::Yes };
    if dwelling == Told::No {
        return;
    }
    for zone in on.zones(ZoneKind::Battery) {
        for (block, bank, voltages) in on.banks_in(zone) {
            if !is_out_of_reach(bank) {
                judge(on, report, block, voltages, dwelling, allowed);
            }
        }
    }
}

/// Whether nobody touches live parts in routine maintenance.
fn is_out_of_reach(bank: &BatteryBank) -> bool {
    bank.terminals_covered == Some(Fitted::Yes) && !bank.chemistry.is_flooded()
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    voltages: &BankVoltages,
    dwelling: Told,
    allowed: Volts,
) {
    let (at, highest) = (Part::Block(block.id), voltages.highest);
    if dwelling == Told::Untold {
        if highest > allowed {
            report.cannot_tell(Missing::site("Building"));
        }
        return;
    }
    if !report.at_most(at, highest, allowed).fails() {
        return;
    }
    let title = if on.rule_set().is_nec() {
        format!("{} is of too high a voltage for a home", block.tag)
    } else {
        format!("{} is above extra-low voltage and its live parts can be reached", block.tag)
    };
    let mut working = Working::new();
    on.bank_voltage_working(block.id, &mut working);
    working.given("greatest voltage", "V_limit", allowed.into(), || {
        Origin::Table(DWELLING_BATTERY_VOLTAGE.clause(on.rule_set()).unwrap_or_default().to_owned())
    });
    let finding = DWELLING_BATTERY_VOLTAGE.finding(on, Severity::Correction, at, title);
    report.find(finding.against(highest, allowed).working(working));
}

/// Covers for a sealed bank.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(bank) = block.equipment.as_kind::<BatteryBank>() else { return Vec::new() };
    if bank.chemistry.is_flooded() {
        return Vec::new();
    }
    let covered = BatteryBank { terminals_covered: Some(Fitted::Yes), ..bank.clone() };
    vec![with_equipment(block, covered, format!("Cover the terminals of {}", block.tag))]
}
