//! Rule `overcurrent-dc-rated`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::Block;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::inside::{Pole, PoleDevice};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};
use std::collections::BTreeSet;

rule! {
    /// Devices on DC are made for DC
    ///
    /// ## The harm
    /// AC devices cannot break DC: the arc burns the box.
    ///
    /// ## The limit
    /// Every overcurrent device and switch on DC is marked for DC; on the array side it is listed for PV; ratings of
    /// several poles hold only with the poles wired as marked. The volts themselves are compared by the rules for
    /// cold strings and for the bus.
    ///
    /// ## What to do
    /// A DC device of the class.
    OVERCURRENT_DC_RATED {
        id: "overcurrent-dc-rated",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(B), 706.31(C), 110.3(B)",
            Nec2020: "NEC 2020 690.9(B), 706.31(C), 110.3(B)",
            Nec2017: "NEC 2017 690.9(B), 706.21(C), 110.3(B)",
            Iec: "IEC 60947-2, IEC 60947-3, IEC 60269-6",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// Each device once, however many of its poles stand in however many zones.
fn check(on: &Circumstances<'_>, report: &mut Report) {
    let (mut seen, mut seen_in_pv) = (BTreeSet::new(), BTreeSet::new());
    for kind in [ZoneKind::Pv, ZoneKind::Battery] {
        for pole in on.zones(kind).flat_map(|zone| on.poles_in(zone)) {
            let device =
                matches!(pole.pole.device, PoleDevice::Breaker | PoleDevice::Fuse | PoleDevice::Switch);
            let Some(block) = on.block(pole.block).filter(|_| device) else { continue };
            if seen.insert(block.id) {
                marked_for_dc(on, report, block, &pole.pole);
            }
            if kind == ZoneKind::Pv && seen_in_pv.insert(block.id) {
                listed_for_pv(on, report, block, &pole.pole);
            }
        }
    }
}

fn marked_for_dc(on: &Circumstances<'_>, report: &mut Report, block: &Block, pole: &Pole) {
    if pole.dc_voltage.is_none() && pole.ac_voltage.is_none() {
        report.cannot_tell(Missing::block(block.id, "DC voltage"));
        return;
    }
    let at = Part::Block(block.id);
    if report.holds(at, || pole.dc_voltage.is_some()).fails() {
        let mut working = Working::new();
        working.given("DC voltages on the nameplate", "n", lineside_core::units::Quantity::count(0), || {
            Origin::Nameplate(block.tag.clone())
        });
        let title = format!("{} is an AC device on DC", block.tag);
        let finding = OVERCURRENT_DC_RATED.finding(on, Severity::Danger, at, title);
        report.find(finding.against(words("AC marking only"), words("marked for DC")).working(working));
    }
}

/// Blocks whose nameplate has a word on PV listing say so; the others are part of listed equipment.
fn listed_for_pv(on: &Circumstances<'_>, report: &mut Report, block: &Block, pole: &Pole) {
    let at = Part::Block(block.id);
    let Some(listed) = block.equipment.get("pv_listed") else { return };
    if listed == Value::Absent {
        // What is marked for AC alone is found above, and not asked for more.
        if pole.dc_voltage.is_none() && pole.ac_voltage.is_some() {
            return;
        }
        report.cannot_tell(Missing::block(block.id, "Listed for PV"));
    } else if report.holds(at, || listed == Value::Choice(Fitted::Yes.key())).fails() {
        let title = format!("{} is not listed for PV circuits", block.tag);
        let finding = OVERCURRENT_DC_RATED.finding(on, Severity::Danger, at, title).aspect("pv");
        report.find(finding.against(words("not listed for PV"), words("listed for PV")));
    }
}
