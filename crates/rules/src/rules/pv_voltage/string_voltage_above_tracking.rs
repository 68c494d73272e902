//! Rule `string-voltage-above-tracking`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::charge_controller::ControllerType;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind, string_voltage};

rule! {
    /// Cold strings stay in the tracking range
    ///
    /// ## The harm
    /// Lost winter energy: on cold bright days the best voltage lies above the tracking range.
    ///
    /// ## The formula
    /// `V_mp,cold = n × V_mp × (1 + γ/100 × (T_low − 25 °C))`.
    ///
    /// ## The limit
    /// Not above the highest tracking voltage.
    ///
    /// ## What to do
    /// One module fewer in series (then look at the hot end again); or accept the loss.
    STRING_VOLTAGE_ABOVE_TRACKING {
        id: "string-voltage-above-tracking",
        severity: Advice,
        status: Stable,
        clauses: [Nec2023: "", Nec2020: "", Nec2017: "", Iec: ""],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv).filter(|zone| !zone.sources.is_empty()) {
        for (block, controller) in on.controllers_fed_by(zone) {
            if controller.kind == ControllerType::Switching {
                continue;
            }
            let Some(highest) = controller.tracking_high else {
                report.cannot_tell(Missing::block(block.id, "Tracking to"));
                continue;
            };
            match coldest_working(on, zone) {
                Some((strings, voltage)) => judge(on, report, block, strings, voltage, highest),
                None => report.cannot_tell(Missing::site("Record low")),
            }
        }
    }
}

/// The set of strings of a zone with the highest cold working voltage.
fn coldest_working(on: &Circumstances<'_>, zone: &Zone) -> Option<(BlockId, Volts)> {
    on.strings_in(zone)
        .into_iter()
        .filter_map(|id| Some((id, on.studies.windows.strings(id)?.cold_max_power?)))
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    strings: BlockId,
    voltage: Volts,
    highest: Volts,
) {
    let at = Part::Block(block.id);
    if !report.at_most(at, voltage, highest).fails() {
        return;
    }
    let mut working = Working::new();
    cold_working(on, strings, voltage, &mut working);
    working.given("highest tracking voltage", "V_track,max", highest.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let title = format!("On cold bright days the strings work above the tracking range of {}", block.tag);
    let finding = STRING_VOLTAGE_ABOVE_TRACKING.finding(on, Severity::Advice, at, title);
    report.find(finding.also(Part::Block(strings)).against(voltage, highest).working(working));
}

fn cold_working(on: &Circumstances<'_>, id: BlockId, voltage: Volts, working: &mut Working) {
    let Some(block) = on.block(id) else { return };
    let Equipment::Strings(strings) = &block.equipment else { return };
    let Some(low) = on.project().brief.site.record_low else { return };
    let series = Quantity::count(strings.modules_in_series as usize);
    working.given("modules in series", "n", series, || Origin::Setting(block.tag.clone()));
    working.given("maximum-power voltage at 25 °C", "V_mp", strings.max_power_voltage.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let (coefficient, assumed) = string_voltage::working_coefficient(&on.on, strings);
    working.given("its coefficient", "γ", coefficient.into(), || {
        assumed.map_or_else(|| Origin::Nameplate(block.tag.clone()), |why| Origin::Assumed(why.to_owned()))
    });
    working.given("record low", "T_low", low.into(), || Origin::Brief);
    working.found(
        "cold working voltage",
        "V_mp,cold",
        || "n × V_mp × (1 + γ/100 × (T_low − 25 °C))".to_owned(),
        voltage.into(),
    );
}
