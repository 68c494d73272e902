//! Rule `string-cold-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::edit::Edit;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::ZoneKind;

rule! {
    /// Cold strings stay below what the controller survives
    ///
    /// ## The harm
    /// Open-circuit voltage rises in the cold. At dawn, before the controller loads the string, it destroys the
    /// input, often without a sign and outside the warranty.
    ///
    /// ## The formula
    /// By the module's coefficient: `V_max = n × V_oc × (1 + β/100 × (T_low − 25 °C))`, the factor never below 1.
    /// Without a coefficient, for crystalline silicon, by the table of voltage factors: `V_max = n × V_oc × k`.
    /// `T_low` is the record low of the site. IEC: where neither the coefficient nor the record low is known, 1.2 times the
    /// voltage at 25 °C counts, and the record low is asked for all the same.
    ///
    /// ## The limit
    /// Above the voltage that destroys the input: danger. Above the voltage at which it still works: correction,
    /// since it stays off until the strings warm.
    ///
    /// ## What to do
    /// One module fewer in each string; a controller with a higher input; modules of lower voltage. After any of
    /// these look at the hot end again.
    STRING_COLD_VOLTAGE {
        id: "string-cold-voltage",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.7(A), 110.3(B)",
            Nec2020: "NEC 2020 690.7(A), 110.3(B)",
            Nec2017: "NEC 2017 690.7(A), 110.3(B)",
            Iec: "IEC 62548-1 cl. 7.2, IEC 60364-7-712 annex B, IEC 62109-1",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let strings: Vec<BlockId> = on.strings_in(zone);
        for missing in
            strings.iter().filter_map(|id| on.studies.windows.strings(*id)).flat_map(|it| &it.missing)
        {
            if missing.datum != "2 % design high" {
                report.cannot_tell(*missing);
            }
        }
        let Some((worst, voltage)) = on.coldest_strings(zone) else { continue };
        for (block, controller) in on.controllers_fed_by(zone) {
            judge(on, report, block, controller, worst, voltage);
        }
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    controller: &ChargeController,
    worst: BlockId,
    voltage: Volts,
) {
    let at = Part::Block(block.id);
    let works = controller.operating_input_voltage.unwrap_or(controller.max_input_voltage);
    let (severity, limit, title, meaning) =
        if report.at_most(at, voltage, controller.max_input_voltage).fails() {
            let title = format!("Cold strings destroy the input of {}", block.tag);
            (Severity::Danger, controller.max_input_voltage, title, "voltage that destroys the input")
        } else if report.at_most(at, voltage, works).fails() {
            let title = format!("Cold strings keep {} from working", block.tag);
            (Severity::Correction, works, title, "voltage at which the input still works")
        } else {
            return;
        };
    let mut working = Working::new();
    on.cold_voltage_working(worst, &mut working);
    if let Some(by_table) = on.studies.windows.strings(worst).and_then(|it| it.cold_by_table) {
        working.found(
            "by the table, for comparison",
            "V_table",
            || "n × V_oc × k".to_owned(),
            by_table.into(),
        );
    }
    working.given(meaning, "V_limit", limit.into(), || Origin::Nameplate(block.tag.clone()));
    report.find(
        STRING_COLD_VOLTAGE
            .finding(on, severity, at, title)
            .also(Part::Block(worst))
            .against(voltage, limit)
            .working(working),
    );
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    finding.parts().filter_map(|part| fewer_modules(on, part)).collect()
}

/// One module fewer in every string of the zone, as often as it takes to come below the limit.
fn fewer_modules(on: &Circumstances<'_>, part: Part) -> Option<Proposal> {
    let Part::Block(id) = part else { return None };
    let block = on.block(id)?;
    let Equipment::Strings(strings) = &block.equipment else { return None };
    let fewer = strings.modules_in_series.checked_sub(1).filter(|modules| *modules > 0)?;
    let mut equipment = strings.as_ref().clone();
    equipment.modules_in_series = fewer;
    Some(Proposal {
        label: format!("{fewer} modules in series in {}", block.tag),
        edit: Edit::SetEquipment {
            block: id,
            equipment: Box::new(equipment.into()),
            stock: block.stock.clone(),
        },
    })
}
