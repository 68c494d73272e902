//! Rule `live-parts-guarded`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::places::Told;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::common::Fitted;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};

rule! {
    /// Bare live parts of the battery bus are covered
    ///
    /// ## The harm
    /// A spanner across the terminals burns; above 60 V it also shocks.
    ///
    /// ## The formula
    /// The highest voltage of the bus, equalizing in the cold included, never the nominal one.
    ///
    /// ## The limit
    /// Above 60 V DC terminals, links and bars are guarded: covered, in an enclosure, or in a room that is locked to all
    /// but qualified people. From 50 V the general guard rule of the NEC applies as well; under the IEC it is advice.
    ///
    /// ## What to do
    /// Covers over terminals and links.
    LIVE_PARTS_GUARDED {
        id: "live-parts-guarded",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.27(A), 480.10(B)",
            Nec2020: "NEC 2020 110.27(A), 480.10(B)",
            Nec2017: "NEC 2017 110.27(A), 480.10(B)",
            Iec: "IEC 60364-4-41 cl. 414.4.5, IEC 62485-2 cl. 4",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let low: Volts = on.limit(FactorKey::LivePartsLowVoltage);
    for zone in on.zones(ZoneKind::Battery) {
        let Some((bank, _, voltages)) = on.highest_bank(zone) else { continue };
        let highest = voltages.highest;
        for id in zone.blocks(&on.studies.network) {
            let Some(block) = on.block(id) else { continue };
            let Some((covered, datum)) = cover(&block.equipment) else { continue };
            let at = Part::Block(id);
            if highest <= low {
                report.at_most(at, highest, low);
                continue;
            }
            match if is_guarded(on, id) { Told::Yes } else { covered.into() } {
                Told::Yes => {
                    report.holds(at, || true);
                }
                Told::Untold => report.cannot_tell(Missing::block(id, datum)),
                Told::No => find(on, report, block, bank.id, highest),
            }
        }
    }
}

/// Whether the bare parts of a block are covered, with the name of the field; `None` for blocks that have none.
fn cover(equipment: &Equipment) -> Option<(Option<Fitted>, &'static str)> {
    let bank = equipment.as_kind::<BatteryBank>().map(|it| (it.terminals_covered, "Terminals covered"));
    bank.or_else(|| Some((equipment.as_kind::<BusBar>()?.covered, "Covered")))
}

/// An enclosure or a locked room guards what is in it.
fn is_guarded(on: &Circumstances<'_>, block: BlockId) -> bool {
    let locked = on.fact(block, |facts| facts.locked).map(|(_, locked)| locked);
    on.is_enclosed(block) || locked == Some(Fitted::Yes)
}

fn find(on: &Circumstances<'_>, report: &mut Report, block: &Block, bank: BlockId, highest: Volts) {
    let at = Part::Block(block.id);
    let guarded: Volts = on.limit(FactorKey::LivePartsVoltage);
    let low: Volts = on.limit(FactorKey::LivePartsLowVoltage);
    let above = report.at_most(at, highest, guarded).fails();
    let (severity, key, limit) = match (above, on.rule_set().is_nec()) {
        (true, _) => (Severity::Correction, FactorKey::LivePartsVoltage, guarded),
        (false, true) => (Severity::Correction, FactorKey::LivePartsLowVoltage, low),
        (false, false) => (Severity::Advice, FactorKey::LivePartsLowVoltage, low),
    };
    if !above {
        report.at_most(at, highest, low);
    }
    let mut working = Working::new();
    on.bank_voltage_working(bank, &mut working);
    working.given("guarded above", "V_limit", limit.into(), || Origin::Table(on.on.clause(key).to_owned()));
    let title = format!("Live parts of {} lie bare", block.tag);
    let finding = LIVE_PARTS_GUARDED.finding(on, severity, at, title);
    let finding = if block.id == bank { finding } else { finding.also(Part::Block(bank)) };
    report.find(finding.against(highest, limit).working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let label = format!("Covers on {}", block.tag);
    if let Some(it) = block.equipment.as_kind::<BatteryBank>() {
        let covered = BatteryBank { terminals_covered: Some(Fitted::Yes), ..it.clone() };
        return vec![with_equipment(block, covered, label)];
    }
    let bar = block.equipment.as_kind::<BusBar>();
    let covered = bar.map(|it| BusBar { covered: Some(Fitted::Yes), ..it.clone() });
    covered.map(|covered| with_equipment(block, covered, label)).into_iter().collect()
}
