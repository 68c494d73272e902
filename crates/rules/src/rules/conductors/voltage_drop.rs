//! Rule `voltage-drop`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::larger_run;
use lineside_codes::FactorKey;
use lineside_core::circuit::BlockId;
use lineside_core::units::Percent;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{PathDrop, PathKind};
use std::collections::BTreeMap;

rule! {
    /// Little voltage is lost on the way
    ///
    /// ## The harm
    /// Energy is lost, the inverter stops early, absorption seems reached too soon.
    ///
    /// ## The formula
    /// `ΔV = Σ I × R` over the runs of a path, both poles, with warm conductors; in percent of the strings'
    /// maximum-power voltage, of the bank's nominal voltage or of the AC voltage.
    ///
    /// ## The limit
    /// Strings to controller 2 %, controller to bus 1 %, bank to inverter 2 %, bus to DC loads 2 %, AC source to
    /// panel 3 %: above is advice. Bank to inverter above 5 %: correction, because the inverter cuts out under load.
    ///
    /// ## What to do
    /// A larger size; strings of higher voltage; a shorter way.
    VOLTAGE_DROP {
        id: "voltage-drop",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 210.19(A) and 215.2(A), informational notes",
            Nec2020: "NEC 2020 210.19(A) and 215.2(A), informational notes",
            Nec2017: "NEC 2017 210.19(A) and 215.2(A), informational notes",
            Iec: "IEC 60364-5-52 annex G",
        ],
        check: check,
        remedies: remedies,
    }
}

/// Several sources may feed one panel or inverter: the way that loses most is reported.
fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut broken: BTreeMap<(BlockId, &'static str), &PathDrop> = BTreeMap::new();
    for path in on.studies.drops.all() {
        let (chief, aspect) = stands_at(path);
        if !report.at_most(Part::Block(chief), path.share, limit(on, path.kind)).fails() {
            continue;
        }
        let worst = broken.entry((chief, aspect)).or_insert(path);
        if path.share > worst.share {
            *worst = path;
        }
    }
    for path in broken.into_values() {
        find(on, report, path);
    }
}

fn limit(on: &Circumstances<'_>, kind: PathKind) -> Percent {
    on.limit(match kind {
        PathKind::StringsToController => FactorKey::DropStrings,
        PathKind::ControllerToBus => FactorKey::DropController,
        PathKind::BankToInverter => FactorKey::DropInverter,
        PathKind::BusToLoads => FactorKey::DropDcLoads,
        PathKind::AcSource => FactorKey::DropAcPanel,
    })
}

/// The block that a path is for, a controller's output at the controller, and which of its paths it is.
const fn stands_at(path: &PathDrop) -> (BlockId, &'static str) {
    match path.kind {
        PathKind::StringsToController => (path.to, "strings"),
        PathKind::ControllerToBus => (path.from, "output"),
        PathKind::BankToInverter | PathKind::BusToLoads => (path.to, "supply"),
        PathKind::AcSource => (path.to, "ac"),
    }
}

fn find(on: &Circumstances<'_>, report: &mut Report, path: &PathDrop) {
    let (Some(from), Some(to)) = (on.block(path.from), on.block(path.to)) else { return };
    let (chief, aspect) = stands_at(path);
    let at = Part::Block(chief);
    let limit = limit(on, path.kind);
    let most: Percent = on.limit(FactorKey::DropInverterGreatest);
    let severe = path.kind == PathKind::BankToInverter && path.share > most;
    let (severity, allowed) = if severe { (Severity::Correction, most) } else { (Severity::Advice, limit) };
    let title = format!("Much voltage is lost from {} to {}", from.tag, to.tag);
    let mut working = Working::new();
    for leg in &path.legs {
        let tag = on.run(leg.run).map_or("", |run| run.tag.as_str()).to_owned();
        let lost = leg.current * leg.resistance;
        working.given("current", "I", leg.current.into(), || Origin::Working(tag.clone()));
        working.given("resistance of both poles, warm", "R", leg.resistance.into(), || {
            Origin::Working(tag.clone())
        });
        working.found("lost in this run", "ΔV", || format!("I × R in {tag}"), lost.into());
    }
    working.found("lost on the whole way", "ΔV", || "Σ I × R".to_owned(), path.drop.into());
    working
        .given("of", "V", path.of.into(), || Origin::Working("nominal or maximum-power voltage".to_owned()));
    working.found("share", "%", || "100 × ΔV / V".to_owned(), path.share.into());
    let finding = VOLTAGE_DROP.finding(on, severity, at, title).aspect(aspect);
    let other = if chief == path.to { path.from } else { path.to };
    let runs = path.legs.iter().map(|leg| Part::Run(leg.run));
    report
        .find(finding.also(Part::Block(other)).also_all(runs).against(path.share, allowed).working(working));
}

/// The next sizes for the run that loses most.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let worst = on
        .studies
        .drops
        .all()
        .iter()
        .filter(|path| finding.parts().any(|part| path.legs.iter().any(|leg| part == Part::Run(leg.run))))
        .flat_map(|path| &path.legs)
        .filter(|leg| finding.parts().any(|part| part == Part::Run(leg.run)))
        .max_by(|a, b| {
            (a.current * a.resistance).total_cmp(&(b.current * b.resistance)).then(b.run.cmp(&a.run))
        });
    worst.map(|leg| larger_run(on, leg.run)).unwrap_or_default()
}
