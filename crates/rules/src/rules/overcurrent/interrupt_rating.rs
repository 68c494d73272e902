//! Rule `interrupt-rating`.

use crate::circumstances::Circumstances;
use crate::fault_workings::Estimate;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::{stock_of, with_stock};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::inside::{JoinKind, Pole, PoleDevice};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Amps, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::network::PoleInBlock;
use lineside_study::{Missing, NodeId, Prospective, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// Every device can break the short circuit that comes through it
    ///
    /// ## The harm
    /// A device that cannot break the fault explodes.
    ///
    /// ## The formula
    /// A short circuit is put at each side of the device in turn; what then comes through the device counts, the larger
    /// of the two. Batteries stand full and at rest behind their ohmic resistance (IEC: nine tenths of it), runs are at
    /// 20 °C, devices and bars have no resistance, everything that limits its own current is added as a constant. For
    /// like strings `I = E_B / (R_B / n + R_run)`.
    ///
    /// ## The limit
    /// Not above the interrupting rating for that kind of current. A battery of unknown resistance is estimated from its
    /// chemistry and capacity; where the estimate decides, the rule cannot tell. In the NEC an AC breaker without a mark
    /// counts as 5 kA, a fuse as 10 kA.
    ///
    /// ## What to do
    /// A current-limiting fuse at each battery; a device of a higher rating. Longer runs are no remedy.
    INTERRUPT_RATING {
        id: "interrupt-rating",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.9, 706.31",
            Nec2020: "NEC 2020 110.9, 706.31",
            Nec2017: "NEC 2017 110.9, 706.21",
            Iec: "IEC 60364-4-43 cl. 434.5.1, IEC 61660-1",
        ],
        check: check,
        remedies: remedies,
    }
}

/// A device with the greatest current that any of its poles must break.
struct Duty<'a> {
    pole: &'a PoleInBlock,
    near: NodeId,
    kind: ZoneKind,
    fault: Prospective,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, duty) in duties(on) {
        if let Some(block) = on.block(id) {
            judge(on, report, block, &duty);
        }
    }
}

/// The worst pole of every block with overcurrent devices. A block can stand in one zone on DC and in another on AC
/// only by a mistake of wiring, which is told elsewhere.
fn duties<'a>(on: &Circumstances<'a>) -> BTreeMap<BlockId, Duty<'a>> {
    let mut worst: BTreeMap<BlockId, Duty<'a>> = BTreeMap::new();
    let network = &on.studies.network;
    for pole in network.poles().iter().filter(|it| it.pole.overcurrent.is_some()) {
        let Some(near) = network.link(pole.link).map(|link| link.a) else { continue };
        let Some(kind) = on.studies.zones.kind_of(near) else { continue };
        let fault = on.studies.faults.duty(pole.link);
        let so_far = worst.get(&pole.block).map(|duty| duty.fault.total());
        if !fault.is_nothing() && so_far.is_none_or(|so_far| fault.total() > so_far) {
            worst.insert(pole.block, Duty { pole, near, kind, fault });
        }
    }
    worst
}

/// The rating that counts, or what is missing of it; `None` where another rule speaks of the device.
fn rating(on: &Circumstances<'_>, duty: &Duty<'_>) -> Option<Result<(Amps, bool), &'static str>> {
    let pole = &duty.pole.pole;
    match duty.kind {
        ZoneKind::Pv | ZoneKind::Battery => {
            let marked_for_dc = pole.dc_voltage.is_some() || pole.ac_voltage.is_none();
            marked_for_dc.then(|| pole.interrupts_dc.map(|amps| (amps, true)).ok_or("DC interrupting rating"))
        }
        ZoneKind::Ac => {
            let marked = pole.interrupts_ac.map(|amps| (amps, true));
            let unmarked = on.rule_set().is_nec().then(|| {
                let key = if pole.device == PoleDevice::Fuse {
                    FactorKey::UnmarkedFuse
                } else {
                    FactorKey::UnmarkedBreaker
                };
                (on.limit::<Amps>(key), false)
            });
            let marked_for_ac = pole.ac_voltage.is_some() || pole.dc_voltage.is_none();
            marked_for_ac.then(|| marked.or(unmarked).ok_or("AC interrupting rating"))
        }
        ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => None,
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block, duty: &Duty<'_>) {
    let (rated, is_marked) = match rating(on, duty) {
        Some(Ok(found)) => found,
        Some(Err(datum)) => {
            report.cannot_tell(Missing::block(block.id, label(block, datum)));
            return;
        }
        None => return,
    };
    if let Estimate::Decides(missing) = on.estimate_behind(&duty.fault, duty.near, rated) {
        report.cannot_tell(missing);
        return;
    }
    let at = Part::Block(block.id);
    let total = duty.fault.total();
    if !report.at_most(at, total, rated).fails() {
        return;
    }
    let mut working = Working::new();
    on.fault_working(&duty.fault, duty.near, &mut working);
    working.given("interrupting rating", "I_cu", rated.into(), || {
        if is_marked {
            Origin::Nameplate(block.tag.clone())
        } else {
            let fuse = duty.pole.pole.device == PoleDevice::Fuse;
            let key = if fuse { FactorKey::UnmarkedFuse } else { FactorKey::UnmarkedBreaker };
            Origin::Table(on.on.clause(key).to_owned())
        }
    });
    let title = format!("{} cannot break the short circuit that comes through it", block.tag);
    let finding = INTERRUPT_RATING.finding(on, Severity::Danger, at, title);
    report.find(finding.against(total, rated).working(working));
}

/// The field of a block where the rating stands.
fn label(block: &Block, usual: &'static str) -> &'static str {
    let own = [
        (Kind::Combiner, "Interrupting rating"),
        (Kind::GroundFaultDevice, "Interrupting rating"),
        (Kind::BatteryBank, "Internal fuse interrupts"),
        (Kind::AcPanel, "Main breaker interrupts"),
        (Kind::Generator, "Own breaker interrupts"),
    ];
    own.into_iter().find(|(kind, _)| *kind == block.kind()).map_or(usual, |(_, label)| label)
}

/// The same device of a higher rating; in place of a DC breaker also a fused switch.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let (Some(block), Some(duty)) = (on.block(id), duties(on).remove(&id)) else { return Vec::new() };
    let current = if duty.kind == ZoneKind::Ac { CurrentKind::Alternating } else { CurrentKind::Direct };
    let fits = |equipment: &Equipment| {
        pole_of(equipment).is_some_and(|pole| will_do(&pole, &duty.pole.pole, duty.fault.total(), current))
    };
    let interrupts = |equipment: &Equipment| {
        pole_of(equipment).and_then(|pole| ratings(&pole, current).1).unwrap_or_default()
    };
    let kinds = [Kind::Breaker, Kind::Fuse].into_iter().filter(|kind| {
        let in_place_of_a_breaker = block.kind() == Kind::Breaker && current == CurrentKind::Direct;
        *kind == block.kind() || in_place_of_a_breaker
    });
    let exchanges = matches!(block.kind(), Kind::Breaker | Kind::Fuse);
    let mut proposals = Vec::new();
    for kind in kinds.filter(|_| exchanges) {
        let mut items = stock_of(on, kind, fits);
        items.sort_by(|a, b| interrupts(&a.equipment).total_cmp(&interrupts(&b.equipment)));
        items.truncate(2);
        proposals.extend(items.into_iter().map(|item| {
            let label = format!("{} as {}", block.tag, item.name);
            with_stock(block, item, label)
        }));
    }
    proposals
}

fn pole_of(equipment: &Equipment) -> Option<Pole> {
    equipment.inside().joins.into_iter().find_map(|join| match join.what {
        JoinKind::Pole(pole) => Some(*pole),
        JoinKind::Solid | JoinKind::Converter => None,
    })
}

/// Voltage and interrupting rating for a kind of current.
fn ratings(pole: &Pole, current: CurrentKind) -> (Option<Volts>, Option<Amps>) {
    match current {
        CurrentKind::Direct => (pole.dc_voltage, pole.interrupts_dc),
        CurrentKind::Alternating => (pole.ac_voltage, pole.interrupts_ac),
    }
}

fn will_do(pole: &Pole, instead_of: &Pole, fault: Amps, current: CurrentKind) -> bool {
    let (voltage, interrupts) = ratings(pole, current);
    pole.overcurrent == instead_of.overcurrent
        && voltage >= ratings(instead_of, current).0
        && pole.disconnects >= instead_of.disconnects
        && interrupts.is_some_and(|interrupts| interrupts >= fault)
}
