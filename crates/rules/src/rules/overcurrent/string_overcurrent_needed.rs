//! Rule `string-overcurrent-needed`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::overcurrent::string_ways::{StringWay, string_ways};
use lineside_codes::FactorKey;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};

rule! {
    /// Parallel strings have their own devices where they need them
    ///
    /// ## The harm
    /// One string fails; its neighbors, and a controller that leaks back, push their current through its modules:
    /// fire on the roof.
    ///
    /// ## The formula
    /// NEC: `I_rev = 1.25 × I_sc × (n − 1) + I_back` into each string. IEC 62548-1: `(n − 1) × I_sc` against the
    /// module's rating; 7-712: `(n − 1) × K_I × I_sc` against 1.35 times the rating; the stricter governs.
    ///
    /// ## The limit
    /// Above the module's series fuse rating, or above what the string's conductor may carry, each string needs its
    /// own device. One or two like strings without backfeed normally need none.
    ///
    /// ## What to do
    /// One device for each string in the combiner; separate inputs; fewer and longer strings.
    STRING_OVERCURRENT_NEEDED {
        id: "string-overcurrent-needed",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(A)(1)",
            Nec2020: "NEC 2020 690.9(A)(1)",
            Nec2017: "NEC 2017 690.9(A)",
            Iec: "IEC 62548-1 cl. 6.5, IEC 60364-7-712 cl. 712.431.101",
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
    let id = way.block.id;
    let nec = on.rule_set().is_nec();
    let factor = on.number(FactorKey::PvCurrent);
    let reverse = if nec { way.others * factor + way.backfeed } else { way.others };
    let Some(rating) = way.strings.series_fuse_rating else {
        if reverse > Amps::ZERO {
            report.cannot_tell(Missing::block(id, "Series fuse rating"));
        }
        return;
    };
    if way.has_own_device() {
        return;
    }
    let at = Part::Block(id);
    let mut working = Working::new();
    working.given("short-circuit current of all other strings", "Σ I_sc", way.others.into(), || {
        Origin::Nameplate("strings".to_owned())
    });
    if nec {
        working.given("for bright cloud edges", "k", Quantity::number(factor), || {
            Origin::Table(on.on.clause(FactorKey::PvCurrent).to_owned())
        });
        working.given("leaking back from the controller", "I_back", way.backfeed.into(), || {
            Origin::Nameplate("controller".to_owned())
        });
    }
    let formula = if nec { "k × Σ I_sc + I_back" } else { "Σ I_sc" };
    working.found("pushed into one string", "I_rev", || formula.to_owned(), reverse.into());
    let mut broken = report.at_most(at, reverse, rating).fails().then_some((
        reverse,
        rating,
        "series fuse rating of the module",
    ));
    if broken.is_none() && !nec {
        let in_bright_sun = way.others * factor;
        let allowed = rating * on.number(FactorKey::ReverseCurrent);
        if report.at_most(at, in_bright_sun, allowed).fails() {
            working.found("in bright sun", "K_I × I_rev", String::new, in_bright_sun.into());
            broken = Some((in_bright_sun, allowed, "1.35 times the series fuse rating"));
        }
    }
    if broken.is_none()
        && let Some(ampacity) = way.conductor.and_then(|run| on.studies.ratings.ampacity(run))
        && report.at_most(at, reverse, ampacity).fails()
    {
        broken = Some((reverse, ampacity, "ampacity of the string's conductor"));
    }
    if let Some((found, limit, meaning)) = broken {
        working.given(meaning, "I_limit", limit.into(), || Origin::Nameplate(way.block.tag.clone()));
        let title = format!("The strings of {} need a device each", way.block.tag);
        let finding = STRING_OVERCURRENT_NEEDED.finding(on, Severity::Danger, at, title);
        report.find(finding.against(found, limit).working(working));
    }
}
