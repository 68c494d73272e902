//! Rule `string-hot-voltage-tracker`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::kinds::charge_controller::ControllerType;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};

rule! {
    /// Hot strings stay in the tracking range
    ///
    /// ## The harm
    /// In heat the controller falls out of its range and harvests little, just when the sun is best.
    ///
    /// ## The formula
    /// `T_cell = T_hot + ΔT`, with `ΔT = 1.25 × (NOCT − 20 °C)` where the nameplate gives the nominal cell
    /// temperature; `V_mp,hot = n × V_mp × (1 + γ/100 × (T_cell − 25 °C))`.
    ///
    /// ## The limit
    /// Not below the lowest tracking voltage.
    ///
    /// ## What to do
    /// One module more in series (then look at the cold end again); another controller.
    STRING_HOT_VOLTAGE_TRACKER {
        id: "string-hot-voltage-tracker",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "IEC 62109-1, manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let Some((strings, voltage)) = on.hottest_strings(zone) else {
            if !zone.sources.is_empty() && on.project().brief.site.design_high.is_none() {
                report.cannot_tell(Missing::site("2 % design high"));
            }
            continue;
        };
        for (block, controller) in on.controllers_fed_by(zone) {
            let Some(lowest) =
                controller.tracking_low.filter(|_| controller.kind != ControllerType::Switching)
            else {
                continue;
            };
            let at = Part::Block(block.id);
            if !report.at_least(at, voltage, lowest).fails() {
                continue;
            }
            let mut working = Working::new();
            on.hot_voltage_working(strings, &mut working);
            working.given("lowest tracking voltage", "V_track,min", lowest.into(), || {
                Origin::Nameplate(block.tag.clone())
            });
            let title = format!("Hot strings fall below the tracking range of {}", block.tag);
            report.find(
                STRING_HOT_VOLTAGE_TRACKER
                    .finding(on, Severity::Correction, at, title)
                    .also(Part::Block(strings))
                    .against(voltage, lowest)
                    .working(working),
            );
        }
    }
}
