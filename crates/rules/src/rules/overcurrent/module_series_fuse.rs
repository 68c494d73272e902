//! Rule `module-series-fuse`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::overcurrent::string_ways::{StringWay, string_ways};
use lineside_codes::FactorKey;
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};

rule! {
    /// No string device is above the module's series fuse rating
    ///
    /// ## The harm
    /// The module's own circuit burns before the device opens.
    ///
    /// ## The formula
    /// `I_n ≤ I_fuse` for the device that a string's reverse current passes. One device for a group of strings:
    /// NEC `I_n + (n_g − 1) × 1.25 × I_sc ≤ I_fuse`, IEC the same without 1.25. A breaker through which neither other
    /// strings nor the controller can push anything back is a disconnect, and free of this.
    ///
    /// ## What to do
    /// A smaller device; one device for each string.
    MODULE_SERIES_FUSE {
        id: "module-series-fuse",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(A)(1), 110.3(B)",
            Nec2020: "NEC 2020 690.9(A)(1), 110.3(B)",
            Nec2017: "NEC 2017 690.9(A), 110.3(B)",
            Iec: "IEC 62548-1 cl. 6.5",
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
    let Some(device) = way.device.filter(|_| way.is_pushed_back()) else { return };
    let Some(rating) = device.pole.overcurrent else { return };
    let Some(limit) = way.strings.series_fuse_rating else {
        report.cannot_tell(Missing::block(way.block.id, "Series fuse rating"));
        return;
    };
    let Some(block) = on.block(device.block) else { return };
    let at = Part::Block(way.block.id);
    let neighbors = f64::from(way.strings.strings_in_parallel.saturating_sub(1));
    let factor = if on.rule_set().is_nec() { on.number(FactorKey::PvCurrent) } else { 1.0 };
    let each = way.strings.greatest_short_circuit_current() * factor;
    let through = rating + each * neighbors;
    if !report.at_most(at, through, limit).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("rating of the device", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
    if neighbors > 0.0 {
        working.given("strings behind the same device", "n_g − 1", Quantity::number(neighbors), || {
            Origin::Setting(way.block.tag.clone())
        });
        working.given("each pushes", "I", each.into(), || Origin::Nameplate(way.block.tag.clone()));
        working.found("through one string", "I_rev", || "I_n + (n_g − 1) × I".to_owned(), through.into());
    }
    working.given("series fuse rating of the module", "I_fuse", limit.into(), || {
        Origin::Nameplate(way.block.tag.clone())
    });
    let title = if neighbors > 0.0 {
        format!("One device cannot protect the parallel strings of {}", way.block.tag)
    } else {
        format!("{} is above the series fuse rating of the modules of {}", block.tag, way.block.tag)
    };
    let finding = MODULE_SERIES_FUSE.finding(on, Severity::Danger, at, title).also(Part::Block(block.id));
    report.find(finding.against(through, limit).working(working));
}
