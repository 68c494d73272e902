//! Rule `surge-protection`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::places::Told;
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::surge_arrester::{ArresterCurrent, SurgeArrester};
use lineside_core::project::{BuildingUse, RuleSet};
use lineside_core::units::{FlashDensity, Meters, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind, ways};

rule! {
    /// Arresters keep surges from long routes
    ///
    /// ## The harm
    /// Lightning nearby.
    ///
    /// ## The formula
    /// `L_crit = 115 / N_g` m for a house, `200 / N_g` in a field, `450 / N_g` for another building, with `N_g` the flashes per
    /// km² and year.
    ///
    /// ## The limit
    /// From a route of that length between strings and controller DC arresters stand on the array side, at both ends
    /// where it is longer than 10 m. Under the NEC this is advice; dwellings with a utility service also have an arrester
    /// there (2020 on). The voltage of an arrester is compared with the cold strings by its own rule.
    ///
    /// ## What to do
    /// Arresters at the array and at the controller.
    SURGE_PROTECTION {
        id: "surge-protection",
        severity: Advice,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 242, 230.67",
            Nec2020: "NEC 2020 242, 230.67",
            Nec2017: "NEC 2017 280, 285",
            Iec: "IEC 60364-7-712 cl. 712.443, IEC 60364-5-53 cl. 534",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        for (block, _) in on.controllers_fed_by(zone) {
            if !zone.sources.is_empty() {
                route(on, report, zone, block);
            }
        }
    }
    if matches!(on.rule_set(), RuleSet::Nec2023 | RuleSet::Nec2020) && on.is_dwelling() == Told::Yes {
        for zone in on.zones(ZoneKind::Ac) {
            service(on, report, zone);
        }
    }
}

/// Length of conductor from the input of a controller to the farthest strings.
fn length(on: &Circumstances<'_>, zone: &Zone, controller: BlockId) -> Option<Meters> {
    let mut sinks = zone.sinks.iter().filter_map(|i| on.studies.network.sinks().get(*i));
    let input = sinks.find(|it| it.block == controller && it.kind == SinkKind::ControllerInput)?;
    Some(ways::from(on.circuit(), &on.studies.network, input.node, |_| false).farthest)
}

fn route(on: &Circumstances<'_>, report: &mut Report, zone: &Zone, block: &Block) {
    let Some(length) = length(on, zone, block.id) else { return };
    let site = &on.project().brief.site;
    let Some(density) = site.flash_density else {
        report.cannot_tell(Missing::site("Lightning density"));
        return;
    };
    let key = match site.building {
        Some(BuildingUse::Dwelling) => FactorKey::SurgeHouse,
        Some(BuildingUse::None) => FactorKey::SurgeField,
        Some(BuildingUse::Other) => FactorKey::SurgeOther,
        None => {
            report.cannot_tell(Missing::site("Building"));
            return;
        }
    };
    if density <= FlashDensity::ZERO {
        return;
    }
    let factor = on.number(key);
    let critical = Meters::new(factor / density.value());
    let at = Part::Block(block.id);
    if length < critical {
        report.at_most(at, length, critical);
        return;
    }
    let both: Meters = on.limit(FactorKey::SurgeBothEnds);
    let needed = if length > both { 2 } else { 1 };
    let fitted = arresters(on, zone, ArresterCurrent::Dc);
    if !report.count_at_least(at, fitted, needed).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("flashes per km² and year", "N_g", density.into(), || Origin::Brief);
    working.given("factor", "k", Quantity::number(factor), || Origin::Table(on.on.clause(key).to_owned()));
    working.found("critical length", "L_crit", || "k / N_g".to_owned(), critical.into());
    working.given("from the strings to the controller", "L", length.into(), || {
        Origin::Working("runs of the array side".to_owned())
    });
    working.given("arresters on the array side", "n", Quantity::count(fitted), || {
        Origin::Working("blocks of the array side".to_owned())
    });
    working.found("arresters needed", "n_min", || "two on more than 10 m".to_owned(), {
        Quantity::count(needed)
    });
    let title = format!("The route to {} is long for the lightning here", block.tag);
    let finding = SURGE_PROTECTION.finding(on, Severity::Advice, at, title);
    let strings = on.strings_in(zone).into_iter().map(Part::Block);
    report.find(finding.also_all(strings).against(length, critical).working(working));
}

/// Arresters in a zone, those in combiners included.
fn arresters(on: &Circumstances<'_>, zone: &Zone, current: ArresterCurrent) -> usize {
    let blocks = zone.blocks(&on.studies.network);
    let fitted = blocks.into_iter().filter_map(|id| on.block(id)).filter(|block| {
        let arrester = block.equipment.as_kind::<SurgeArrester>();
        let combiner = block.equipment.as_kind::<Combiner>();
        arrester.is_some_and(|it| it.current == current)
            || current == ArresterCurrent::Dc && combiner.is_some_and(|it| it.arrester_voltage.is_some())
    });
    fitted.count()
}

fn service(on: &Circumstances<'_>, report: &mut Report, zone: &Zone) {
    for utility in on.with_source(zone, |kind| kind == SourceKind::Utility) {
        let at = Part::Block(utility);
        if report.count_at_least(at, arresters(on, zone, ArresterCurrent::Ac), 1).fails() {
            let title = "The service of the dwelling has no surge arrester".to_owned();
            let finding = SURGE_PROTECTION.finding(on, Severity::Advice, at, title).aspect("service");
            report.find(finding.against(words("none"), words("a surge arrester")));
        }
    }
}
