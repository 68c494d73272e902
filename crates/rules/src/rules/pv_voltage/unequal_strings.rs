//! Rule `unequal-strings`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::views::turn_between;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Degrees, Percent, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::ZoneKind;

rule! {
    /// Strings on one input are alike
    ///
    /// ## The harm
    /// Strings of unlike voltage in parallel: the weak one gives nothing or takes current back.
    ///
    /// ## The formula
    /// `d = (V_mp,max − V_mp,min) / V_mp,max` of the strings that are joined on one input, at 25 °C.
    ///
    /// ## The limit
    /// 5 %. Tilts or azimuths that differ by more than 15° on one input are advice. Unlike currents in parallel
    /// are fine.
    ///
    /// ## What to do
    /// Equal strings; separate inputs.
    UNEQUAL_STRINGS {
        id: "unequal-strings",
        severity: Correction,
        status: Stable,
        clauses: [Nec2023: "", Nec2020: "", Nec2017: "", Iec: "IEC 62548-1 cl. 5.1"],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let sets = on.string_sets(zone);
        if sets.len() > 1 && !on.controllers_fed_by(zone).is_empty() {
            voltages(on, report, &sets);
            directions(on, report, &sets);
        }
    }
}

fn working_voltage(strings: &Strings) -> Volts {
    strings.max_power_voltage * f64::from(strings.modules_in_series)
}

fn voltages(on: &Circumstances<'_>, report: &mut Report, sets: &[(&Block, &Strings)]) {
    let by_voltage = |a: &&(&Block, &Strings), b: &&(&Block, &Strings)| {
        working_voltage(a.1).total_cmp(&working_voltage(b.1))
    };
    let (Some((weak, weakest)), Some((strong, strongest))) =
        (sets.iter().min_by(by_voltage), sets.iter().max_by(by_voltage))
    else {
        return;
    };
    let (low, high) = (working_voltage(weakest), working_voltage(strongest));
    let difference = Percent::from_share((high - low) / high);
    let allowed: Percent = on.limit(FactorKey::UnequalVoltage);
    let at = Part::Block(weak.id);
    if !report.at_most(at, difference, allowed).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("working voltage of the strongest", "V_mp,max", high.into(), || {
        Origin::Nameplate(strong.tag.clone())
    });
    working.given("working voltage of the weakest", "V_mp,min", low.into(), || {
        Origin::Nameplate(weak.tag.clone())
    });
    working.found("difference", "d", || "(V_mp,max − V_mp,min) / V_mp,max".to_owned(), difference.into());
    let title = format!("{} is in parallel with {} of a higher voltage", weak.tag, strong.tag);
    let finding = UNEQUAL_STRINGS.finding(on, Severity::Correction, at, title);
    report.find(finding.also(Part::Block(strong.id)).against(difference, allowed).working(working));
}

/// Sets that look elsewhere than the first: by tilt, and by azimuth where neither lies level.
fn directions(on: &Circumstances<'_>, report: &mut Report, sets: &[(&Block, &Strings)]) {
    let Some(((first, reference), others)) = sets.split_first() else { return };
    let allowed: Degrees = on.limit(FactorKey::UnequalAngle);
    for (block, strings) in others {
        let angle = apart(reference, strings);
        let at = Part::Block(block.id);
        if !report.at_most(at, angle, allowed).fails() {
            continue;
        }
        let mut working = Working::new();
        for (block, strings) in [(first, reference), (block, strings)] {
            working.given("tilt", "β", strings.tilt.into(), || Origin::Setting(block.tag.clone()));
            working.given("azimuth", "α", strings.azimuth.into(), || Origin::Setting(block.tag.clone()));
        }
        working.found("apart", "Δ", || "max(|Δβ|, |Δα|)".to_owned(), angle.into());
        let title = format!("{} and {} look in different directions on one input", first.tag, block.tag);
        let finding = UNEQUAL_STRINGS.finding(on, Severity::Advice, at, title).aspect("direction");
        report.find(finding.also(Part::Block(first.id)).against(angle, allowed).working(working));
    }
}

fn apart(a: &Strings, b: &Strings) -> Degrees {
    let tilt = (a.tilt - b.tilt).abs();
    if a.tilt == Degrees::ZERO || b.tilt == Degrees::ZERO {
        return tilt;
    }
    tilt.max(turn_between(a.azimuth, b.azimuth))
}
