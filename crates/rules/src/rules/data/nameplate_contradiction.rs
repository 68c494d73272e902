//! Rule `nameplate-contradiction`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};

rule! {
    /// No nameplate contradicts itself
    ///
    /// ## The harm
    /// A bank that is empty above where it is full, modules that work above their open-circuit voltage: one of the
    /// values was mistyped, and everything that is computed from it is wrong without looking wrong.
    ///
    /// ## The limit
    /// Voltages, currents and powers of one nameplate stand in the order that physics gives them.
    ///
    /// ## What to do
    /// Compare with the nameplate or the manual, and correct the value.
    NAMEPLATE_CONTRADICTION {
        id: "nameplate-contradiction",
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
    for block in on.circuit().blocks() {
        let said = block.equipment.contradictions();
        let at = Part::Block(block.id);
        if said.is_empty() || !report.holds(at, || false).fails() {
            continue;
        }
        let title = format!("The nameplate of {} contradicts itself", block.tag);
        let finding = NAMEPLATE_CONTRADICTION.finding(on, Severity::Correction, at, title);
        report.find(finding.against(words(said.join("; ")), words("values that can be true together")));
    }
}
