//! Rule `disconnect-count`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::disconnects::pv_means::{PvMeans, handle};
use crate::rules::disconnects::support::Means;
use lineside_codes::FactorKey;
use lineside_core::circuit::{BlockId, PlaceId};
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{LinkId, ZoneId, ZoneKind};
use std::collections::{BTreeMap, BTreeSet};

rule! {
    /// A few handles part the array from the rest
    ///
    /// ## The harm
    /// In an emergency one handle too many stays closed.
    ///
    /// ## The formula
    /// For each controller the device that part its array from the rest and serves most controllers; where only the ways
    /// of a combiner part the strings, each way counts.
    ///
    /// ## The limit
    /// Six switches or breaker sets at most for the array of one battery, and all of them in one place.
    ///
    /// ## What to do
    /// One main switch ahead of them; group them.
    DISCONNECT_COUNT {
        id: "disconnect-count",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.13, 705.11, 230.71",
            Nec2020: "NEC 2020 690.13, 705.11, 230.71",
            Nec2017: "NEC 2017 690.13, 705.12, 230.71",
        ],
        check: check,
        remedies: no_remedies,
    }
}

type Handle = (BlockId, Option<LinkId>);

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut systems: BTreeMap<ZoneId, Vec<PvMeans<'_>>> = BTreeMap::new();
    for zone in on.zones(ZoneKind::Pv) {
        for means in PvMeans::of(on, zone) {
            if let Some(battery) = means.charges {
                systems.entry(battery).or_default().push(means);
            }
        }
    }
    for controllers in systems.values() {
        judge(on, report, controllers);
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, controllers: &[PvMeans<'_>]) {
    let chosen = chosen(controllers);
    let Some(first) = chosen.first() else { return };
    let at = Part::Block(first.0);
    let most = on.count(FactorKey::DisconnectsMost);
    let others: Vec<Part> = chosen.iter().skip(1).map(|handle| Part::Block(handle.0)).collect();
    let count = chosen.len();
    let mut working = Working::new();
    working.found("devices that part the array", "n", || "chosen as few as will do".to_owned(), {
        Quantity::count(count)
    });
    working.given("at most", "n_most", Quantity::count(most), || {
        Origin::Table(on.on.clause(FactorKey::DisconnectsMost).to_owned())
    });
    if report.count_at_most(at, count, most).fails() {
        let title = format!("It takes {count} handles to part the array from the rest");
        let finding = DISCONNECT_COUNT.finding(on, Severity::Correction, at, title);
        report.find(
            finding.also_all(others).against(Quantity::count(count), Quantity::count(most)).working(working),
        );
        return;
    }
    let locations: BTreeSet<Option<PlaceId>> =
        chosen.iter().map(|handle| on.circuit().location_of_block(handle.0)).collect();
    let of_controllers: BTreeSet<Option<PlaceId>> =
        controllers.iter().map(|it| on.circuit().location_of_block(it.block.id)).collect();
    let grouped = locations.len() <= 1 || of_controllers.len() > 1 || locations.contains(&None);
    if report.holds(at, || grouped).fails() {
        let title = "The devices that part the array from the rest stand in several places".to_owned();
        let finding = DISCONNECT_COUNT.finding(on, Severity::Correction, at, title).aspect("grouped");
        report.find(
            finding
                .also_all(others)
                .against(words(format!("{} places", locations.len())), words("one place"))
                .working(working),
        );
    }
}

/// As few handles as will do: the one that serves most of the controllers first.
fn chosen(controllers: &[PvMeans<'_>]) -> Vec<Handle> {
    let options: Vec<BTreeSet<Handle>> = controllers
        .iter()
        .map(|it| it.series.iter().chain(&it.output).map(|means: &Means<'_>| handle(means)).collect())
        .collect();
    let mut waiting: BTreeSet<usize> =
        (0..options.len()).filter(|i| options.get(*i).is_some_and(|set| !set.is_empty())).collect();
    let mut chosen: BTreeSet<Handle> = BTreeSet::new();
    while !waiting.is_empty() {
        let mut serves: BTreeMap<Handle, usize> = BTreeMap::new();
        for set in waiting.iter().filter_map(|i| options.get(*i)) {
            for handle in set {
                *serves.entry(*handle).or_default() += 1;
            }
        }
        let best = serves.into_iter().max_by(|a, b| a.1.cmp(&b.1).then(b.0.cmp(&a.0)));
        let Some((best, _)) = best else { break };
        chosen.insert(best);
        waiting.retain(|i| options.get(*i).is_some_and(|set| !set.contains(&best)));
    }
    let together = controllers.iter().filter(|it| it.series.is_empty() && it.output.is_none());
    chosen.extend(together.flat_map(|it| it.together.iter().map(handle)));
    chosen.into_iter().collect()
}
