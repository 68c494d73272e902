//! Rule `assembly-short-circuit-rating`.

use crate::circumstances::Circumstances;
use crate::fault_workings::Estimate;
use crate::finding::{Finding, Part, Severity, words};
use crate::proposals::{stock_of, with_stock};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::transfer_switch::TransferSwitch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, NodeId, Prospective};

rule! {
    /// Bars and boxes stand the short circuit
    ///
    /// ## The harm
    /// Bars and boxes fly apart.
    ///
    /// ## The limit
    /// The short-circuit current at a bus bar, panel, combiner or transfer switch is not above its marked short-circuit
    /// rating; nor is that through a switch. Without a mark the rule cannot tell, and below 10 kA it advises. Currents
    /// within the continuous rating need no mark.
    ///
    /// ## What to do
    /// An assembly with the rating; current-limiting fuses ahead of it.
    ASSEMBLY_SHORT_CIRCUIT_RATING {
        id: "assembly-short-circuit-rating",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.10, 408.6",
            Nec2020: "NEC 2020 110.10, 408.6",
            Nec2017: "NEC 2017 110.10",
            Iec: "IEC 61439-1, IEC 61439-2",
        ],
        check: check,
        remedies: remedies,
    }
}

const UNMARKED: &str = "unmarked";

/// What an assembly carries for good, and what it is marked for.
struct Assembly {
    continuous: Amps,
    marked: Option<Amps>,
    /// Whether a missing mark matters.
    wants_mark: bool,
}

fn assembly(equipment: &Equipment) -> Option<Assembly> {
    let of = |continuous, marked| Assembly { continuous, marked, wants_mark: true };
    let bar = equipment.as_kind::<BusBar>().map(|it| of(it.rating, it.short_circuit_rating));
    let panel = equipment.as_kind::<AcPanel>().map(|it| of(it.bus_rating, it.short_circuit_rating));
    let combiner = equipment.as_kind::<Combiner>().map(|it| of(it.bus_rating, it.short_circuit_rating));
    let transfer = equipment.as_kind::<TransferSwitch>().map(|it| of(it.rating, it.short_circuit_rating));
    let switch = equipment
        .as_kind::<Switch>()
        .map(|it| Assembly { wants_mark: false, ..of(it.rating, it.short_circuit_rating) });
    bar.or(panel).or(combiner).or(transfer).or(switch)
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        if let (Some(assembly), Some((near, fault))) = (assembly(&block.equipment), fault_at(on, block)) {
            judge(on, report, block, &assembly, near, &fault);
        }
    }
}

/// The greatest short-circuit current at a block; of a switch what comes through it.
fn fault_at(on: &Circumstances<'_>, block: &Block) -> Option<(NodeId, Prospective)> {
    let (network, faults) = (&on.studies.network, &on.studies.faults);
    let by_size = |a: &(NodeId, Prospective), b: &(NodeId, Prospective)| a.1.total().total_cmp(&b.1.total());
    if block.kind() == Kind::Switch {
        let own = network.poles().iter().filter(|pole| pole.block == block.id);
        return own
            .filter_map(|pole| Some((network.link(pole.link)?.a, faults.duty(pole.link))))
            .max_by(by_size);
    }
    network.nodes_of(block.id).map(|node| (node, faults.at_node(node))).max_by(by_size)
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    assembly: &Assembly,
    near: NodeId,
    fault: &Prospective,
) {
    let total = fault.total();
    if total <= assembly.continuous {
        return;
    }
    let at = Part::Block(block.id);
    let mut working = Working::new();
    let Some(marked) = assembly.marked else {
        if assembly.wants_mark && total > on.limit::<Amps>(FactorKey::AssemblyUnmarked) {
            report.cannot_tell(Missing::block(block.id, "Short-circuit rating"));
        } else if assembly.wants_mark {
            on.fault_working(fault, near, &mut working);
            let title = format!("{} has no mark for the short circuit that it can see", block.tag);
            let finding = ASSEMBLY_SHORT_CIRCUIT_RATING.finding(on, Severity::Advice, at, title);
            report.find(finding.aspect(UNMARKED).against(total, words("a marked rating")).working(working));
        }
        return;
    };
    if let Estimate::Decides(missing) = on.estimate_behind(fault, near, marked) {
        report.cannot_tell(missing);
        return;
    }
    if report.at_most(at, total, marked).fails() {
        on.fault_working(fault, near, &mut working);
        working.given("short-circuit rating", "I_cw", marked.into(), || Origin::Nameplate(block.tag.clone()));
        let title = format!("{} is not braced for the short circuit that it can see", block.tag);
        let finding = ASSEMBLY_SHORT_CIRCUIT_RATING.finding(on, Severity::Correction, at, title);
        report.find(finding.against(total, marked).working(working));
    }
}

/// The smallest bus bars of the stock that are braced for it.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(bar) = block.equipment.as_kind::<BusBar>() else { return Vec::new() };
    let total = fault_at(on, block).map(|(_, fault)| fault.total()).unwrap_or_default();
    let fits = |equipment: &Equipment| {
        equipment.as_kind::<BusBar>().is_some_and(|it| {
            it.rating >= bar.rating
                && it.taps >= bar.taps
                && it.voltage >= bar.voltage
                && it.short_circuit_rating.is_some_and(|marked| marked >= total)
        })
    };
    let mut items = stock_of(on, Kind::BusBar, fits);
    let rating =
        |equipment: &Equipment| equipment.as_kind::<BusBar>().map(|it| it.rating).unwrap_or_default();
    items.sort_by(|a, b| rating(&a.equipment).total_cmp(&rating(&b.equipment)));
    items.truncate(2);
    items
        .into_iter()
        .map(|item| {
            let label = format!("{} as {}", block.tag, item.name);
            with_stock(block, item, label)
        })
        .collect()
}
