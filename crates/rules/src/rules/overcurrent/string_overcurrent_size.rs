//! Rule `string-overcurrent-size`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::overcurrent::string_ways::{StringWay, string_ways};
use lineside_codes::FactorKey;
use lineside_core::kinds::common::ContinuousDuty;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::ZoneKind;

rule! {
    /// String devices are large enough for bright sun
    ///
    /// ## The harm
    /// Too small, it opens at the edges of clouds and ages. Too large is the matter of two other rules.
    ///
    /// ## The formula
    /// NEC: `I_n ≥ 1.25 × 1.25 × I_sc`, or `1.25 × I_sc` for a device rated for 100 %. IEC: `1.5 × I_sc < I_n <
    /// 2.4 × I_sc`, the greatest only where something can push current back through the device.
    ///
    /// ## What to do
    /// The next standard size that is not above the module's series fuse rating. Where there is none, a device
    /// rated for 100 %, or other modules.
    STRING_OVERCURRENT_SIZE {
        id: "string-overcurrent-size",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(B)",
            Nec2020: "NEC 2020 690.9(B)",
            Nec2017: "NEC 2017 690.9(B)",
            Iec: "IEC 62548-1 cl. 6.5, IEC 60364-7-712 cl. 712.431.102",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        for way in string_ways(on, zone) {
            judge(on, report, &way);
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, way: &StringWay<'_>) {
    let Some(device) = way.device else { return };
    let Some(rating) = device.pole.overcurrent else { return };
    let Some(block) = on.block(device.block) else { return };
    let group = f64::from(way.strings.strings_in_parallel);
    let current = way.strings.greatest_short_circuit_current() * group;
    let at = Part::Block(way.block.id);
    let mut working = Working::new();
    working
        .given("short-circuit current", "I_sc", current.into(), || Origin::Nameplate(way.block.tag.clone()));
    let nec = on.rule_set().is_nec();
    let factor = if nec {
        let continuous = match device.pole.duty {
            ContinuousDuty::HundredPercent => 1.0,
            ContinuousDuty::EightyPercent => on.number(FactorKey::Continuous),
        };
        on.number(FactorKey::PvCurrent) * continuous
    } else {
        on.number(FactorKey::StringDeviceLeast)
    };
    let least = current * factor;
    working.given("factor", "k", Quantity::number(factor), || {
        let key = if nec { FactorKey::PvCurrent } else { FactorKey::StringDeviceLeast };
        Origin::Table(on.on.clause(key).to_owned())
    });
    working.found("least rating", "I_min", || "k × I_sc".to_owned(), least.into());
    working.given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
    let name =
        device.pole.name.as_ref().map_or_else(|| block.tag.clone(), |name| format!("{} {name}", block.tag));
    let find = |report: &mut Report, title: String, aspect: &'static str, allowed: Amps, working: Working| {
        let finding = STRING_OVERCURRENT_SIZE.finding(on, Severity::Correction, at, title).aspect(aspect);
        report.find(finding.also(Part::Block(block.id)).against(rating, allowed).working(working));
    };
    if report.at_least(at, rating, least).fails() {
        let series = way.strings.series_fuse_rating.filter(|series| *series < least);
        let title = match series {
            Some(_) => format!(
                "No device suits the strings of {}: the least rating is above the modules' series fuse rating",
                way.block.tag
            ),
            None => format!("The device of {} ({name}) opens in bright sun", way.block.tag),
        };
        find(report, title, "", least, working.clone());
    }
    if !nec && way.is_pushed_back() {
        let most = current * on.number(FactorKey::StringDeviceGreatest);
        if report.at_most(at, rating, most).fails() {
            working.found("greatest rating", "I_most", || "2.4 × I_sc".to_owned(), most.into());
            find(
                report,
                format!("The device of {} ({name}) is too large for its string", way.block.tag),
                "greatest",
                most,
                working,
            );
        }
    }
}
