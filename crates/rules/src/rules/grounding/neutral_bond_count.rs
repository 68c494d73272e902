//! Rule `neutral-bond-count`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::ac_panel::{AcPanel, PanelBond};
use lineside_core::kinds::generator::{FrameBond, Generator};
use lineside_core::kinds::inverter::{Inverter, NeutralBonding};
use lineside_core::kinds::transfer_switch::{SwitchedNeutral, TransferSwitch};
use lineside_core::units::Quantity;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Bond, BondKind, NeutralCase, Neutrals, ZoneId};

rule! {
    /// The neutral is bonded exactly once, whatever supplies it
    ///
    /// ## The harm
    /// No bond: a fault to metal never clears. Two bonds: neutral current flows on frames, residual-current devices trip
    /// or are blind.
    ///
    /// ## The formula
    /// For every operating case, that is each position of the transfer switches with each choice of utilities and
    /// generators live, the connected neutral is followed and its connections to equipment ground are counted: main bonding
    /// jumpers of panels, jumpers of their own, frames of generators, relays of inverters while they invert. An inverter
    /// carries the neutral through; a transfer switch parts it only if it says so; a set on cord and plug is there only
    /// while it runs.
    ///
    /// ## The limit
    /// Exactly one in each case. None: danger. Two or more: correction.
    ///
    /// ## What to do
    /// Lift the extra bond; switch the neutral; set the bond relay of the inverter to fit.
    NEUTRAL_BOND_COUNT {
        id: "neutral-bond-count",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 250.24(A)(5), 250.30(A), 250.34, 250.142, 445.11, 702.11",
            Nec2020: "NEC 2020 250.24(A)(5), 250.30(A), 250.34, 250.142, 445.11, 702.11",
            Nec2017: "NEC 2017 250.24(A)(5), 250.30(A), 250.34, 250.142, 445.11, 702.11",
            Iec: "IEC 60364-5-55 cl. 551.4, IEC 60364-1 cl. 312",
        ],
        check: check,
        remedies: remedies,
    }
}

const NONE: &str = "none";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (zone, found) in on.studies.ac_sources.all() {
        let neutrals = &found.neutrals;
        if let Some(case) = &neutrals.unbonded {
            unbonded(on, report, zone, case);
        }
        if let Some(case) = &neutrals.most {
            bonded(on, report, neutrals, case);
        }
    }
}

fn unbonded(on: &Circumstances<'_>, report: &mut Report, zone: ZoneId, case: &NeutralCase) {
    let supply = case.inverting.first().or(case.live.first()).copied();
    let zone = on.studies.zones.get(zone);
    let first = || zone.and_then(|zone| zone.blocks(&on.studies.network).first().copied());
    let Some(block) = supply.or_else(first) else { return };
    let at = Part::Block(block);
    report.count_at_least(at, 0, 1);
    let title = format!("The neutral is nowhere bonded {}", when(on, case));
    let finding = NEUTRAL_BOND_COUNT.finding(on, Severity::Danger, at, title).aspect(NONE);
    report.find(finding.against(Quantity::count(0), Quantity::count(1)).working(working(on, case)));
}

fn bonded(on: &Circumstances<'_>, report: &mut Report, neutrals: &Neutrals, case: &NeutralCase) {
    // The extra bond is the one that is easiest to lift: bonds come in that order.
    let Some(Bond { block, .. }) = case.bonds.last() else { return };
    let at = Part::Block(*block);
    if !report.count_at_most(at, case.bonds.len(), 1).fails() {
        return;
    }
    debug_assert!(neutrals.cases > 0);
    let title = format!("The neutral is bonded {} times {}", case.bonds.len(), when(on, case));
    let finding = NEUTRAL_BOND_COUNT.finding(on, Severity::Correction, at, title);
    let others = case.bonds.iter().rev().skip(1).map(|bond| Part::Block(bond.block));
    let found = Quantity::count(case.bonds.len());
    report.find(finding.also_all(others).against(found, Quantity::count(1)).working(working(on, case)));
}

/// `while INV1 inverts, U1 and G1 off`.
fn when(on: &Circumstances<'_>, case: &NeutralCase) -> String {
    let names = |blocks: &[BlockId]| {
        let names: Vec<String> = blocks.iter().map(|id| Part::Block(*id).name(on.circuit())).collect();
        names.join(" and ")
    };
    let supply = match (case.live.is_empty(), case.inverting.is_empty()) {
        (true, false) if case.inverting.len() == 1 => format!("while {} inverts", names(&case.inverting)),
        (true, _) => format!("while {} invert", names(&case.inverting)),
        (false, true) => format!("on {}", names(&case.live)),
        (false, false) => format!("on {} with {} inverting", names(&case.live), names(&case.inverting)),
    };
    if case.thrown.is_empty() { supply } else { format!("{supply}, {} thrown", names(&case.thrown)) }
}

fn working(on: &Circumstances<'_>, case: &NeutralCase) -> Working {
    let mut working = Working::new();
    for bond in &case.bonds {
        let meaning = match bond.kind {
            BondKind::Panel => "main bonding jumper",
            BondKind::Jumper => "bonding jumper",
            BondKind::Frame => "neutral bonded to the frame",
            BondKind::Relay => "bond relay, closed while it inverts",
            BondKind::Inverter => "bonded in the inverter for good",
        };
        let tag = Part::Block(bond.block).name(on.circuit());
        working.given(meaning, "1", Quantity::count(1), || Origin::Setting(tag));
    }
    let total = Quantity::count(case.bonds.len());
    working.found("bonds of the connected neutral", "n", || "Σ 1".to_owned(), total);
    working
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let blocks = || {
        finding.parts().filter_map(|part| match part {
            Part::Block(id) => on.block(id),
            Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
        })
    };
    if finding.aspect == NONE {
        return bonded_somewhere(on, blocks().next());
    }
    let lifted = blocks().filter_map(lifted);
    let switches = on.circuit().blocks().filter_map(|block| {
        let switch = block.equipment.as_kind::<TransferSwitch>()?;
        let switched = TransferSwitch { switched_neutral: SwitchedNeutral::Yes, ..switch.clone() };
        let solid = switch.switched_neutral == SwitchedNeutral::No;
        solid.then(|| with_equipment(block, switched, format!("Neutral switched in {}", block.tag)))
    });
    lifted.chain(switches).collect()
}

fn lifted(block: &Block) -> Option<Proposal> {
    if let Some(inverter) = block.equipment.as_kind::<Inverter>() {
        let off = Inverter { neutral_bonding: NeutralBonding::Never, ..inverter.clone() };
        return Some(with_equipment(block, off, format!("Bond relay of {} off", block.tag)));
    }
    if let Some(generator) = block.equipment.as_kind::<Generator>() {
        let off = Generator { frame_bond: FrameBond::Floating, ..generator.clone() };
        return Some(with_equipment(block, off, format!("Frame bond of {} lifted", block.tag)));
    }
    let panel = block.equipment.as_kind::<AcPanel>()?;
    let off = AcPanel { bond: PanelBond::Separate, ..panel.clone() };
    Some(with_equipment(block, off, format!("Neutral of {} kept apart", block.tag)))
}

/// The relay of the inverter, else the jumper of a panel.
fn bonded_somewhere(on: &Circumstances<'_>, supply: Option<&Block>) -> Vec<Proposal> {
    let relay = supply.and_then(|block| {
        let inverter = block.equipment.as_kind::<Inverter>()?;
        let with = Inverter { neutral_bonding: NeutralBonding::WhileInverting, ..inverter.clone() };
        Some(with_equipment(block, with, format!("Bond relay of {} on", block.tag)))
    });
    let panels = on.circuit().blocks().filter_map(|block| {
        let panel = block.equipment.as_kind::<AcPanel>()?;
        let with = AcPanel { bond: PanelBond::Bonded, ..panel.clone() };
        let separate = panel.bond == PanelBond::Separate;
        separate.then(|| with_equipment(block, with, format!("Main bonding jumper in {}", block.tag)))
    });
    panels.chain(relay).collect()
}
