//! Rule `busbar-120-percent`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::Block;
use lineside_core::kinds::ac_panel::{AcPanel, SourcePosition};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;
use lineside_study::parallel_sources::{self, exported};

rule! {
    /// Utility and inverter together do not overload a bus
    ///
    /// ## The harm
    /// Utility and inverter together overload the bus behind two breakers that both hold.
    ///
    /// ## The formula
    /// For each panel with a main breaker between the utility and inverters that run in parallel with it, one of these is
    /// enough: `1.25 × I_source + I_main ≤ I_bus`; with the source's breaker at the far end of the bus
    /// `1.25 × I_source + I_main ≤ 1.20 × I_bus`; the sum of all breakers but the main, loads and sources,
    /// not above `I_bus`. An export limit that is set replaces the current of the source. IEC: the sum of the sources is
    /// within the rating of the board. A pure standby source does not count.
    ///
    /// ## What to do
    /// A lower export limit; a smaller main breaker; a connection on the supply side.
    BUSBAR_120_PERCENT {
        id: "busbar-120-percent",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 705.12(B)",
            Nec2020: "NEC 2020 705.12(B)(3)",
            Nec2017: "NEC 2017 705.12(B)(2)(3)",
            Iec: "IEC 60364-4-43, IEC 60364-8-82",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for bus in parallel_sources::study(&on.on, &on.studies.network, &on.studies.zones) {
        let (block, panel) = bus.panel;
        judge(on, report, block, panel, bus.main, &bus.sources);
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    panel: &AcPanel,
    main: Amps,
    sources: &[(&Block, &Inverter)],
) {
    let mut working = Working::new();
    let mut current = Amps::ZERO;
    for (inverter, it) in sources {
        working.given("source", "I_source", exported(it).into(), || match it.export_limit {
            Some(_) => Origin::Setting(inverter.tag.clone()),
            None => Origin::Nameplate(inverter.tag.clone()),
        });
        current += exported(it);
    }
    let factor = on.number(FactorKey::Continuous);
    working.given("for hours on end", "k", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::Continuous).to_owned())
    });
    working.given("main breaker", "I_main", main.into(), || Origin::Nameplate(block.tag.clone()));
    let sum = current * factor + main;
    working.found("both together", "I", || "k × Σ I_source + I_main".to_owned(), sum.into());
    working.given("rating of the bus", "I_bus", panel.bus_rating.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let at = Part::Block(block.id);
    let allowed = match allowed(on, panel, sum, &mut working) {
        Allowed::Most(most) => most,
        Allowed::Untold => {
            report.cannot_tell(Missing::block(block.id, "Source breaker"));
            return;
        }
    };
    if let Some(breakers) = panel.branch_breakers
        && breakers <= panel.bus_rating
        && on.rule_set().is_nec()
    {
        report.at_most(at, breakers, panel.bus_rating);
        return;
    }
    if report.at_most(at, sum, allowed).fails() {
        let title = format!("Utility and inverter together overload the bus of {}", block.tag);
        let finding = BUSBAR_120_PERCENT.finding(on, Severity::Correction, at, title);
        let parts = sources.iter().map(|(block, _)| Part::Block(block.id));
        report.find(finding.also_all(parts).against(sum, allowed).working(working));
    }
}

/// What the bus may carry.
enum Allowed {
    Most(Amps),
    /// It depends on where the source's breaker stands.
    Untold,
}

fn allowed(on: &Circumstances<'_>, panel: &AcPanel, sum: Amps, working: &mut Working) -> Allowed {
    if !on.rule_set().is_nec() || sum <= panel.bus_rating {
        return Allowed::Most(panel.bus_rating);
    }
    let share = on.number(FactorKey::BusbarShare);
    let most = panel.bus_rating * share;
    match panel.source_position {
        Some(SourcePosition::Elsewhere) => Allowed::Most(panel.bus_rating),
        None if sum <= most => Allowed::Untold,
        Some(SourcePosition::FarEnd) | None => {
            working.given("with sources at opposite ends", "k_bus", Quantity::number(share), || {
                Origin::Table(on.on.clause(FactorKey::BusbarShare).to_owned())
            });
            working.found("allowed", "I_most", || "k_bus × I_bus".to_owned(), most.into());
            Allowed::Most(most)
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Amount::Quantity(allowed) = finding.allowed else { return Vec::new() };
    let allowed = Amps::new(allowed.value);
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(panel) = block.equipment.as_kind::<AcPanel>() else { return Vec::new() };
    let Some(main) = panel.main_rating else { return Vec::new() };
    let sources: Vec<(&Block, &Inverter)> = finding
        .parts()
        .filter_map(|part| match part {
            Part::Block(id) => on.block(id),
            Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
        })
        .filter_map(|block| Some((block, block.equipment.as_kind::<Inverter>()?)))
        .collect();
    let factor = on.number(FactorKey::Continuous);
    let mut proposals = Vec::new();
    if let [(inverter, it)] = sources.as_slice() {
        let limit = ((allowed - main) / factor).cut_to(2);
        if limit >= Amps::new(1.0) {
            let set = Inverter { export_limit: Some(limit), ..(*it).clone() };
            proposals.push(with_equipment(
                inverter,
                set,
                format!("Export limit of {} at {limit}", inverter.tag),
            ));
        }
    }
    let current: Amps = sources.iter().map(|(_, it)| exported(it)).sum();
    let left = allowed - current * factor;
    let smaller = on.codes().common.ratings.next_at_most(left, DeviceType::Breaker, on.rule_set());
    if let Some(smaller) = smaller {
        let changed = AcPanel { main_rating: Some(smaller.value), ..panel.clone() };
        proposals.push(with_equipment(
            block,
            changed,
            format!("A main breaker of {} in {}", smaller.value, block.tag),
        ));
    }
    proposals
}
