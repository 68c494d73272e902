//! Rule `module-system-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::kinds::Equipment;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};

rule! {
    /// Strings stay below the modules' system voltage
    ///
    /// ## The harm
    /// The insulation from module, box and connector to the frame breaks down: shock and fire on the roof.
    ///
    /// ## The formula
    /// The greatest voltage of the string, as for the controller. Whether the array is grounded makes no
    /// difference.
    ///
    /// ## What to do
    /// Fewer modules in series; modules of a higher class.
    MODULE_SYSTEM_VOLTAGE {
        id: "module-system-voltage",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.7, 110.3(B)",
            Nec2020: "NEC 2020 690.7, 110.3(B)",
            Nec2017: "NEC 2017 690.7, 110.3(B)",
            Iec: "IEC 62548-1 cl. 7.2, IEC 61730",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        for id in on.strings_in(zone) {
            let Some(block) = on.block(id) else { continue };
            let Equipment::Strings(strings) = &block.equipment else { continue };
            let Some(voltage) = on.studies.windows.strings(id).and_then(|it| it.cold_open_circuit) else {
                continue;
            };
            let Some(limit) = strings.system_voltage else {
                report.cannot_tell(Missing::block(id, "System voltage"));
                continue;
            };
            let at = Part::Block(id);
            if !report.at_most(at, voltage, limit).fails() {
                continue;
            }
            let mut working = Working::new();
            on.cold_voltage_working(id, &mut working);
            working.given("system voltage of the module", "V_system", limit.into(), || {
                Origin::Nameplate(block.tag.clone())
            });
            let title = format!("Strings of {} rise above the modules' system voltage", block.tag);
            report.find(
                MODULE_SYSTEM_VOLTAGE
                    .finding(on, Severity::Danger, at, title)
                    .against(voltage, limit)
                    .working(working),
            );
        }
    }
}
