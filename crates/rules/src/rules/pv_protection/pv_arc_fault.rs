//! Rule `pv-arc-fault`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::places::Told;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::pv_protection::support::controllers_with;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId, Raceway, Run, Side, Surroundings};
use lineside_core::kinds::common::Fitted;
use lineside_core::project::RuleSet;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{LinkKind, Missing, Zone, ZoneKind};

rule! {
    /// An arc on the array side is found and put out
    ///
    /// ## The harm
    /// At 80 V and more a loose connector arcs and starts a fire that no fuse sees.
    ///
    /// ## The formula
    /// The cold voltage of the strings: 80 V and more need the function.
    ///
    /// ## The limit
    /// NEC: listed PV arc-fault protection. Exempt are circuits off buildings that are in the ground, in metal raceway, in
    /// metal-clad cable or in a metal box; from 2020 also those on or in a detached structure that carries or houses nothing
    /// but PV equipment. Every run of the array side must be exempt, not only the longest. IEC: recommended for arrays
    /// on buildings, so there it is advice.
    ///
    /// ## What to do
    /// A controller with the function; strings that stay below 80 V in the cold.
    PV_ARC_FAULT {
        id: "pv-arc-fault",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.11",
            Nec2020: "NEC 2020 690.11",
            Nec2017: "NEC 2017 690.11",
            Iec: "IEC 62548-1, IEC 63027",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let from = arc_voltage(on);
    for zone in on.zones(ZoneKind::Pv) {
        let Some((strings, voltage)) = on.coldest_strings(zone) else { continue };
        for (block, controller) in on.controllers_fed_by(zone) {
            let at = Part::Block(block.id);
            if voltage < from {
                report.at_most(at, voltage, from);
                continue;
            }
            match Told::from(controller.arc_fault_protection) {
                Told::Yes => {
                    report.holds(at, || true);
                }
                fitted @ (Told::No | Told::Untold) => match is_exempt(on, zone) {
                    Told::Yes => {}
                    Told::Untold => report.cannot_tell(Missing::site("Array on a building")),
                    Told::No if fitted == Told::Untold => {
                        report.cannot_tell(Missing::block(block.id, "Arc-fault protection"));
                    }
                    Told::No => {
                        report.holds(at, || false);
                        find(on, report, block, strings, voltage, from);
                    }
                },
            }
        }
    }
}

/// The voltage from which an arc holds. The IEC takes over the NEC's.
fn arc_voltage(on: &Circumstances<'_>) -> Volts {
    let rule_set = if on.rule_set().is_nec() { on.rule_set() } else { RuleSet::Nec2023 };
    on.codes().quantity(rule_set, FactorKey::ArcFaultVoltage)
}

/// Whether the circuits of an array side need no protection.
fn is_exempt(on: &Circumstances<'_>, zone: &Zone) -> Told {
    if !on.rule_set().is_nec() {
        let on_building = on.strings_in(zone).into_iter().map(|strings| on.array_on_building(strings));
        return on_building.fold(Told::Yes, |exempt, it| match (exempt, it) {
            (Told::No, _) | (_, Told::Yes) => Told::No,
            (_, Told::Untold) | (Told::Untold, _) => Told::Untold,
            (Told::Yes, Told::No) => Told::Yes,
        });
    }
    let mut untold = false;
    for strings in on.strings_in(zone) {
        match on.array_on_building(strings) {
            Told::Yes if !on.array_on_pv_structure() => return Told::No,
            Told::Untold => untold = true,
            Told::Yes | Told::No => {}
        }
    }
    for run in runs_of(on, zone) {
        match run_is_exempt(on, run) {
            Told::No => return Told::No,
            Told::Untold => untold = true,
            Told::Yes => {}
        }
    }
    if untold { Told::Untold } else { Told::Yes }
}

fn runs_of<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<&'a Run> {
    let network = &on.studies.network;
    let links = zone.nodes.iter().flat_map(|node| network.links_at(*node));
    let mut ids: Vec<_> = links
        .filter_map(|(_, link)| match link.kind {
            LinkKind::Run(run) => Some(run),
            LinkKind::Solid | LinkKind::Pole(_) | LinkKind::Converter => None,
        })
        .collect();
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter().filter_map(|id| on.run(id)).collect()
}

fn run_is_exempt(on: &Circumstances<'_>, run: &Run) -> Told {
    let Some(conductor) = &run.conductor else { return Told::Yes };
    let enclosed = match conductor.raceway {
        Raceway::MetalConduit
        | Raceway::MetalClad
        | Raceway::Enclosure
        | Raceway::Buried
        | Raceway::BuriedConduit => true,
        Raceway::FreeAir | Raceway::PlasticConduit | Raceway::Tray => false,
    };
    let ends = Side::BOTH.map(|side| structure(on, run.end(side).block));
    if ends.contains(&Structure::Building) {
        return Told::No;
    }
    let pv_only = on.rule_set() != RuleSet::Nec2017;
    let on_pv_structure = ends.iter().all(|end| matches!(end, Structure::Pv | Structure::Open));
    // Between two structures a run is on neither, so that only its raceway exempts it.
    let stays = !on.circuit().is_field_run(run);
    match (enclosed, ends.contains(&Structure::Untold)) {
        (_, true) => Told::Untold,
        (true, _) => Told::Yes,
        (false, _) if pv_only && on_pv_structure && stays => Told::Yes,
        (false, _) => Told::No,
    }
}

/// On or in what a block stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Structure {
    /// A building that is used for something else.
    Building,
    /// A building for nothing but PV equipment.
    Pv,
    /// The ground, or a frame on it.
    Open,
    Untold,
}

fn structure(on: &Circumstances<'_>, block: BlockId) -> Structure {
    match on.surroundings(block) {
        None => Structure::Untold,
        Some(Surroundings::Ground) => Structure::Open,
        Some(Surroundings::EquipmentShed) => Structure::Pv,
        Some(Surroundings::Roof) if on.array_on_pv_structure() => Structure::Pv,
        Some(
            Surroundings::Roof
            | Surroundings::OutsideWall
            | Surroundings::Indoors
            | Surroundings::UtilityRoom
            | Surroundings::Garage,
        ) => Structure::Building,
    }
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    strings: BlockId,
    voltage: Volts,
    from: Volts,
) {
    let severity = if on.rule_set().is_nec() { Severity::Correction } else { Severity::Advice };
    let mut working = Working::new();
    on.cold_voltage_working(strings, &mut working);
    working.given("an arc holds from", "V_arc", from.into(), || {
        Origin::Table(on.codes().factor(RuleSet::Nec2023, FactorKey::ArcFaultVoltage).clause.clone())
    });
    let title = format!("Nothing puts out an arc on the array side of {}", block.tag);
    let finding = PV_ARC_FAULT.finding(on, severity, Part::Block(block.id), title);
    report.find(finding.also(Part::Block(strings)).against(voltage, from).working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    controllers_with(on, finding, |it| {
        it.arc_fault_protection == Some(Fitted::Yes) && it.ground_fault_protection == Some(Fitted::Yes)
    })
}
