//! Rule `polarity-sensitive-breaker`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::{stock_of, with_equipment, with_stock};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, BlockId, Run, RunEnd, TerminalName};
use lineside_core::edit::Edit;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::Polarity;
use lineside_core::kinds::inside::{JoinKind, Pole};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::Amps;
use lineside_core::working::Working;
use lineside_study::network::PoleInBlock;
use lineside_study::{NodeId, PoleSide, Prospective, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// Devices that mind the direction of current stand where it cannot turn
    ///
    /// ## The harm
    /// A polarized DC device drives its arc the wrong way when the current reverses: it burns instead of opening.
    ///
    /// ## The formula
    /// The greatest current, normal or of a fault, that can come through the device from its load side. Batteries always
    /// reverse, since they charge and discharge. String breakers reverse in a fault of a string when there are others.
    ///
    /// ## The limit
    /// None may come backward. In series with a converter that blocks it is allowed, connected as marked.
    ///
    /// ## What to do
    /// A device that is not polarized. One that only stands the wrong way round can be turned; if it was ever opened
    /// under load so, it has to be replaced.
    POLARITY_SENSITIVE_BREAKER {
        id: "polarity-sensitive-breaker",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B), 690.9(B), 690.13(E)",
            Nec2020: "NEC 2020 110.3(B), 690.9(B), 690.13(E)",
            Nec2017: "NEC 2017 110.3(B), 690.9(B), 690.13(E)",
            Iec: "IEC 60947-2, IEC 62548-1 cl. 7.3",
        ],
        check: check,
        remedies: remedies,
    }
}

const REVERSED: &str = "reversed";

/// What comes through a polarized device from both of its sides.
struct Passed<'a> {
    pole: &'a PoleInBlock,
    near: NodeId,
    forward: Prospective,
    backward: Prospective,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, passed) in polarized(on) {
        let at = Part::Block(id);
        let Some(block) = on.block(id) else { continue };
        let backward = passed.backward.total();
        if !report.at_most(at, backward, Amps::ZERO).fails() {
            continue;
        }
        let mut working = Working::new();
        on.fault_working(&passed.backward, passed.near, &mut working);
        let reversed = passed.forward.is_nothing();
        let title = if reversed {
            format!("{} minds the direction of current and stands the wrong way round", block.tag)
        } else {
            format!("Current can come backward through {}, which breaks it in one direction only", block.tag)
        };
        let aspect = if reversed { REVERSED } else { "" };
        let finding = POLARITY_SENSITIVE_BREAKER.finding(on, Severity::Danger, at, title).aspect(aspect);
        report.find(finding.against(backward, Amps::ZERO).working(working));
    }
}

/// The polarized devices on DC, each with its pole of the greatest backward current.
fn polarized<'a>(on: &Circumstances<'a>) -> BTreeMap<BlockId, Passed<'a>> {
    let (network, faults) = (&on.studies.network, &on.studies.faults);
    let mut worst: BTreeMap<BlockId, Passed<'a>> = BTreeMap::new();
    for pole in network.poles().iter().filter(|it| it.pole.polarity == Polarity::Sensitive) {
        let Some(near) = network.link(pole.link).map(|link| link.a) else { continue };
        let zone = on.studies.zones.kind_of(near);
        if !matches!(zone, Some(ZoneKind::Pv | ZoneKind::Battery)) {
            continue;
        }
        let [forward, backward] =
            [PoleSide::Line, PoleSide::Load].map(|side| faults.through_pole(pole.link, side));
        let so_far = worst.get(&pole.block).map(|it| it.backward.total());
        if so_far.is_none_or(|so_far| backward.total() > so_far) {
            worst.insert(pole.block, Passed { pole, near, forward, backward });
        }
    }
    worst
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let (Some(block), Some(passed)) = (on.block(id), polarized(on).remove(&id)) else { return Vec::new() };
    let turned = (finding.aspect == REVERSED).then(|| turned_round(on, block)).flatten();
    turned.into_iter().chain(exchanged(on, block, &passed.pole.pole)).collect()
}

/// What lands on `line` lands on `load`, and the other way about.
fn turned_round(on: &Circumstances<'_>, block: &Block) -> Option<Proposal> {
    let turned = |end: RunEnd| {
        let stem = match end.terminal.stem() {
            "line" => "load",
            "load" => "line",
            _ => return end,
        };
        if end.block != block.id {
            return end;
        }
        let number = end.terminal.number();
        let terminal = number.map_or(TerminalName::plain(stem), |n| TerminalName::numbered(stem, n));
        RunEnd { terminal, ..end }
    };
    let runs = on.circuit().runs_at(block.id).into_iter();
    let edits: Vec<Edit> = runs
        .map(|run| {
            let changed =
                Run { from: turned(run.from), to: turned(run.to), bends: Vec::new(), ..run.clone() };
            Edit::SetRun(Box::new(changed))
        })
        .collect();
    (!edits.is_empty())
        .then(|| Proposal { label: format!("{} turned round", block.tag), edit: Edit::Batch(edits) })
}

/// The same device of the stock without a preferred direction; a combiner with such ways.
fn exchanged(on: &Circumstances<'_>, block: &Block, pole: &Pole) -> Vec<Proposal> {
    if let Some(combiner) = block.equipment.as_kind::<Combiner>() {
        let plain = Combiner { polarity: Polarity::None, ..combiner.clone() };
        return vec![with_equipment(block, plain, format!("{} with ways for either direction", block.tag))];
    }
    let kind = Some(block.kind()).filter(|kind| matches!(kind, Kind::Breaker | Kind::Switch));
    let terminals = block.equipment.terminals().len();
    let fits = |equipment: &Equipment| {
        equipment.terminals().len() == terminals
            && equipment.inside().joins.iter().any(|join| match &join.what {
                JoinKind::Pole(it) => {
                    it.polarity == Polarity::None
                        && it.overcurrent == pole.overcurrent
                        && it.carries >= pole.carries
                        && it.dc_voltage >= pole.dc_voltage
                        && it.interrupts_dc >= pole.interrupts_dc
                }
                JoinKind::Solid | JoinKind::Converter => false,
            })
    };
    let items = kind.into_iter().flat_map(|kind| stock_of(on, kind, fits)).take(2);
    items
        .map(|item| {
            let label = format!("{} as {}", block.tag, item.name);
            with_stock(block, item, label)
        })
        .collect()
}
