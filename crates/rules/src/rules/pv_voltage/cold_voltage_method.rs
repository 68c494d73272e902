//! Rule `cold-voltage-method`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::strings::{ModuleTechnology, Strings};
use lineside_core::units::Celsius;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;

rule! {
    /// The voltage table is only used where it holds
    ///
    /// ## The harm
    /// A table used outside its field gives a false pass.
    ///
    /// ## The formula
    /// Where the nameplate gives the coefficient of the open-circuit voltage, it is used and the table is not.
    ///
    /// ## The limit
    /// The table holds for crystalline silicon down to −40 °C. Other modules and colder places need the
    /// coefficient.
    ///
    /// ## What to do
    /// Enter the coefficient from the module's data sheet.
    COLD_VOLTAGE_METHOD {
        id: "cold-voltage-method",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.7(A)(2)",
            Nec2020: "NEC 2020 690.7(A)(2)",
            Nec2017: "NEC 2017 690.7(A)(2)",
            Iec: "IEC 62548-1 cl. 7.2",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        if let Equipment::Strings(strings) = &block.equipment
            && strings.open_circuit_coefficient.is_none()
        {
            judge(on, report, block, strings);
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block, strings: &Strings) {
    let at = Part::Block(block.id);
    let crystalline = strings.technology == ModuleTechnology::Crystalline;
    if report.holds(at, || crystalline).fails() {
        let title = format!("No table gives the cold voltage of {}: its coefficient is needed", block.tag);
        let finding = COLD_VOLTAGE_METHOD.finding(on, Severity::Correction, at, title);
        let allowed = words(ModuleTechnology::Crystalline.label());
        report.find(finding.aspect("technology").against(words(strings.technology.label()), allowed));
        return;
    }
    let Some(low) = on.project().brief.site.record_low else {
        report.cannot_tell(Missing::site("Record low"));
        return;
    };
    let coldest: Celsius = on.limit(FactorKey::VoltageTableColdest);
    if !report.at_least(at, low, coldest).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("record low", "T_low", low.into(), || Origin::Brief);
    working.given("coldest of the table", "T_table", coldest.into(), || {
        Origin::Table(on.on.clause(FactorKey::VoltageTableColdest).to_owned())
    });
    let title = format!("It gets colder than the voltage table goes: {} needs its coefficient", block.tag);
    let finding = COLD_VOLTAGE_METHOD.finding(on, Severity::Correction, at, title);
    report.find(finding.against(low, coldest).working(working));
}
