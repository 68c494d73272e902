//! Rule `pv-ground-fault-protection`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::grounding::GalvanicGroups;
use crate::places::Told;
use crate::proposals::{into_run, stock_of};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::pv_protection::support::{controllers_with, greatest_current};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId, Side};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::{DcGrounding, Fitted};
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Amps, Quantity, Volts, Watts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// A ground fault of the array is found and stopped
    ///
    /// ## The harm
    /// Nobody notices a first fault to ground; the second one burns.
    ///
    /// ## The limit
    /// NEC: circuits above 30 V or 8 A (2017: all) have listed detection that opens or stops the circuit and shows it.
    /// Exempt is a solidly grounded array of at most two strings, off buildings altogether. IEC: the insulation of the
    /// array is proved before each start and an alarm is given. The function may be built into the controller or be a
    /// device in its input.
    ///
    /// ## What to do
    /// A controller with the function; a separate device.
    PV_GROUND_FAULT_PROTECTION {
        id: "pv-ground-fault-protection",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.41(B), 690.42",
            Nec2020: "NEC 2020 690.41(B), 690.42",
            Nec2017: "NEC 2017 690.41(B), 690.42",
            Iec: "IEC 62548-1 cl. 6.4, IEC 62109-2",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut groups: Option<GalvanicGroups> = None;
    for (id, zone) in on.studies.zones.all().filter(|(_, zone)| zone.kind == ZoneKind::Pv) {
        let controllers = on.controllers_fed_by(zone);
        if controllers.is_empty() || zone.sources.is_empty() {
            continue;
        }
        let mut working = Working::new();
        let Some(need) = need(on, report, zone, controllers.first(), &mut working) else { continue };
        let separate = has_device(on, zone);
        for (block, controller) in controllers {
            let at = Part::Block(block.id);
            let fitted = if separate { Told::Yes } else { Told::from(controller.ground_fault_protection) };
            match fitted {
                Told::Yes => {
                    report.holds(at, || true);
                }
                Told::Untold => {
                    report.cannot_tell(Missing::block(block.id, "Ground-fault protection"));
                }
                Told::No => {
                    let groups = groups.get_or_insert_with(|| on.galvanic_groups());
                    if is_exempt(on, zone, groups.grounding(id)) {
                        continue;
                    }
                    report.holds(at, || false);
                    find(on, report, zone, block, controller, &need, working.clone());
                }
            }
        }
    }
}

/// What makes the function necessary: above what it lies.
enum Need {
    Volts(Volts, Volts),
    Amps(Amps, Amps),
    Always,
}

/// `None` when the circuit is small enough to go without.
fn need(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    first: Option<&(&Block, &ChargeController)>,
    working: &mut Working,
) -> Option<Need> {
    if !on.rule_set().is_nec() {
        return Some(Need::Always);
    }
    let at = Part::Block(first?.0.id);
    let most_volts: Volts = on.limit(FactorKey::GroundFaultVoltage);
    let most_amps: Amps = on.limit(FactorKey::GroundFaultCurrent);
    if let Some((strings, voltage)) = on.coldest_strings(zone)
        && report.at_most(at, voltage, most_volts).fails()
    {
        on.cold_voltage_working(strings, working);
        greatest_current(on, zone, working);
        return Some(Need::Volts(voltage, most_volts));
    }
    let current = greatest_current(on, zone, working);
    report.at_most(at, current, most_amps).fails().then_some(Need::Amps(current, most_amps))
}

/// Whether a device of its own stands in the input of the controllers.
fn has_device(on: &Circumstances<'_>, zone: &Zone) -> bool {
    on.poles_in(zone).any(|pole| {
        on.block(pole.block)
            .and_then(|block| block.equipment.as_kind::<GroundFaultDevice>())
            .is_some_and(|it| it.kind == GroundFaultType::DcInterrupter)
    })
}

/// Solidly grounded, two strings at most, off buildings.
fn is_exempt(on: &Circumstances<'_>, zone: &Zone, grounding: Option<DcGrounding>) -> bool {
    let strings: u32 = on.string_sets(zone).iter().map(|(_, it)| it.strings_in_parallel).sum();
    on.rule_set().is_nec()
        && strings <= 2
        && grounding == Some(DcGrounding::Solid)
        && on.pv_on_or_in_building(zone) == Told::No
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    block: &Block,
    controller: &ChargeController,
    need: &Need,
    mut working: Working,
) {
    working.given("ground-fault protection in the controller", "n", Quantity::count(0), || {
        Origin::Nameplate(block.tag.clone())
    });
    let title = format!("No ground-fault protection watches the array of {}", block.tag);
    let strings = on.strings_in(zone).into_iter().map(Part::Block);
    let finding = PV_GROUND_FAULT_PROTECTION
        .finding(on, Severity::Correction, Part::Block(block.id), title)
        .also_all(strings);
    let finding = match need {
        Need::Volts(found, most) => finding.against(*found, *most),
        Need::Amps(found, most) => finding.against(*found, *most),
        Need::Always => {
            let array: Watts = on.string_sets(zone).iter().map(|(_, it)| it.array_power()).sum();
            if let Some(least) = on.codes().iec.array_insulation.least(array) {
                working.given("insulation to be proved before the start", "R", least.value.into(), || {
                    Origin::Table(least.source.to_string())
                });
            }
            finding.against(words("none"), words("an insulation check with alarm"))
        }
    };
    debug_assert!(controller.ground_fault_protection == Some(Fitted::No));
    report.find(finding.working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let separate = match finding.at {
        Part::Block(id) => devices(on, id),
        Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => Vec::new(),
    };
    let built_in = controllers_with(on, finding, |it| {
        it.ground_fault_protection == Some(Fitted::Yes) && it.arc_fault_protection == Some(Fitted::Yes)
    });
    separate.into_iter().chain(built_in).collect()
}

/// Devices of the stock in the input of the controller.
fn devices(on: &Circumstances<'_>, controller: BlockId) -> Vec<Proposal> {
    let runs = on.circuit().runs_at(controller);
    let input = runs.into_iter().find_map(|run| {
        let side = [Side::From, Side::To].into_iter().find(|side| {
            let end = run.end(*side);
            end.block == controller && end.terminal.stem() == "pv"
        })?;
        Some((run, side))
    });
    let Some((run, side)) = input else { return Vec::new() };
    let fits = |equipment: &Equipment| {
        equipment.as_kind::<GroundFaultDevice>().is_some_and(|it| it.kind == GroundFaultType::DcInterrupter)
    };
    stock_of(on, Kind::GroundFaultDevice, fits)
        .into_iter()
        .filter_map(|item| {
            let label = format!("{} before {}", item.name, Part::Block(controller).name(on.circuit()));
            into_run(on, run, side, item, label)
        })
        .collect()
}
