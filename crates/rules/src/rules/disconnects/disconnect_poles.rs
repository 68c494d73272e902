//! Rule `disconnect-poles`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::grounding::GalvanicGroups;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::{DcGrounding, PolesIn};
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::ground_fault_device::GroundFaultDevice;
use lineside_core::kinds::switch::Switch;
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneId, ZoneKind};

rule! {
    /// A device opens every conductor that is not solidly grounded
    ///
    /// ## The harm
    /// Opening one pole of two that are live leaves the other live. Opening a solidly grounded conductor alone makes it live.
    ///
    /// ## The limit
    /// All conductors that are not solidly grounded open together: one pole of a DC system with a bonding jumper, both poles
    /// of one that is ungrounded or grounded through a ground-fault device, both lines of 240 V. An ungrounded battery is
    /// fused in both poles. A device that stands in a solidly grounded conductor alone is a danger.
    ///
    /// ## What to do
    /// A device with more poles; the device moved to the ungrounded conductor.
    DISCONNECT_POLES {
        id: "disconnect-poles",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.13(E), 690.15, 240.15, 240.22, 404.2(B)",
            Nec2020: "NEC 2020 690.13(E), 690.15, 240.15, 240.22, 404.2(B)",
            Nec2017: "NEC 2017 690.13(E), 690.15, 240.15, 240.22, 404.2(B)",
            Iec: "IEC 60364-5-53 cl. 537.2 and 530.4",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let groups = on.galvanic_groups();
    for (id, zone) in on.studies.zones.all() {
        match zone.kind {
            ZoneKind::Pv | ZoneKind::Battery => direct(on, report, &groups, id, zone),
            ZoneKind::Ac => alternating(on, report, zone),
            ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => {}
        }
    }
}

/// How many conductors a device opens, and in which it stands.
struct Poles {
    opened: Option<u32>,
    standing: Option<PolesIn>,
}

/// `None` for blocks whose poles are not a matter of this rule.
fn poles_of(equipment: &Equipment, zone: ZoneKind) -> Option<Poles> {
    let each = |poles: u32, in_series: Option<u32>| poles / in_series.unwrap_or(1).max(1);
    if let Some(it) = equipment.as_kind::<Breaker>() {
        return Some(Poles { opened: Some(each(it.poles, it.poles_in_series)), standing: it.poles_in });
    }
    if let Some(it) = equipment.as_kind::<Switch>() {
        return Some(Poles { opened: Some(each(it.poles, it.poles_in_series)), standing: it.poles_in });
    }
    if let Some(it) = equipment.as_kind::<Fuse>() {
        return (zone == ZoneKind::Battery).then_some(Poles { opened: it.poles, standing: it.poles_in });
    }
    let poles = equipment.as_kind::<GroundFaultDevice>()?.poles?;
    Some(Poles { opened: Some(poles), standing: None })
}

/// Every device of a zone once.
fn devices<'a>(on: &Circumstances<'a>, zone: &'a Zone) -> Vec<(&'a Block, Poles)> {
    let mut ids: Vec<BlockId> = on.poles_in(zone).map(|pole| pole.block).collect();
    ids.dedup();
    ids.into_iter()
        .filter_map(|id| {
            let block = on.block(id)?;
            Some((block, poles_of(&block.equipment, zone.kind)?))
        })
        .collect()
}

fn direct(on: &Circumstances<'_>, report: &mut Report, groups: &GalvanicGroups, id: ZoneId, zone: &Zone) {
    let grounding = groups.grounding(id);
    for (block, poles) in devices(on, zone) {
        let at = Part::Block(block.id);
        if poles.standing == Some(PolesIn::Grounded) && grounding == Some(DcGrounding::Solid) {
            report.holds(at, || false);
            let title = format!("{} stands in the grounded conductor alone", block.tag);
            let finding = DISCONNECT_POLES.finding(on, Severity::Danger, at, title).aspect("grounded");
            report.find(finding.against(
                words("in the grounded conductor"),
                words("in the ungrounded conductor, or in both together"),
            ));
            continue;
        }
        let needed = match grounding {
            Some(DcGrounding::Solid) => 1,
            Some(DcGrounding::Functional | DcGrounding::Floating) => 2,
            None if poles.opened.is_some_and(|opened| opened >= 2) => 2,
            None => {
                if let Some(bank) = groups.bank(id) {
                    report.cannot_tell(Missing::block(bank, "DC grounding"));
                }
                continue;
            }
        };
        match poles.opened {
            Some(opened) => compare(on, report, block, opened, needed),
            None if needed > 1 => report.cannot_tell(Missing::block(block.id, "Fused poles")),
            None => {}
        }
    }
}

fn alternating(on: &Circumstances<'_>, report: &mut Report, zone: &Zone) {
    let Some(system) = on.ac_system_of(zone) else { return };
    for (block, poles) in devices(on, zone) {
        if let Some(opened) = poles.opened {
            compare(on, report, block, opened, system.lines());
        }
    }
}

fn compare(on: &Circumstances<'_>, report: &mut Report, block: &Block, opened: u32, needed: u32) {
    let at = Part::Block(block.id);
    let (opened, needed) = (opened as usize, needed as usize);
    if !report.count_at_least(at, opened, needed).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("conductors that it opens", "n", Quantity::count(opened), || {
        Origin::Nameplate(block.tag.clone())
    });
    working.given("conductors that are not solidly grounded", "n_live", Quantity::count(needed), || {
        Origin::Working("grounding of the system".to_owned())
    });
    let title = format!("{} leaves a live conductor closed", block.tag);
    let finding = DISCONNECT_POLES.finding(on, Severity::Correction, at, title);
    report.find(finding.against(Quantity::count(opened), Quantity::count(needed)).working(working));
}

/// The same device with as many poles as it takes, or in the other conductor.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let grounded = finding.aspect == "grounded";
    let more = |poles: u32, in_series: Option<u32>| (poles + 1).max(2 * in_series.unwrap_or(1));
    let moved = grounded.then_some(PolesIn::Ungrounded);
    let (equipment, poles): (Equipment, u32) = if let Some(it) = block.equipment.as_kind::<Breaker>() {
        let poles = if grounded { it.poles } else { more(it.poles, it.poles_in_series) };
        (Breaker { poles, poles_in: moved.or(it.poles_in), ..it.clone() }.into(), poles)
    } else if let Some(it) = block.equipment.as_kind::<Switch>() {
        let poles = if grounded { it.poles } else { more(it.poles, it.poles_in_series) };
        (Switch { poles, poles_in: moved.or(it.poles_in), ..it.clone() }.into(), poles)
    } else if let Some(it) = block.equipment.as_kind::<Fuse>() {
        let poles = if grounded { it.poles } else { Some(2) };
        (Fuse { poles, poles_in: moved.or(it.poles_in), ..it.clone() }.into(), 2)
    } else {
        return Vec::new();
    };
    let label = if grounded {
        format!("{} in the ungrounded conductor", block.tag)
    } else {
        format!("{} with {poles} poles", block.tag)
    };
    vec![with_equipment(block, equipment, label)]
}
