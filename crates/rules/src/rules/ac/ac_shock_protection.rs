//! Rule `ac-shock-protection`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::ac::support::{Panel, panels_of, panels_of_inverters};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::common::{Fitted, Separation};
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType, ResidualType};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;

rule! {
    /// Outlets shut off on a fault on inverter supply too
    ///
    /// ## The harm
    /// An inverter gives too little fault current to open a breaker in time.
    ///
    /// ## The limit
    /// IEC: a residual-current device of 30 mA at most stands between inverter and outlets or in the board, or the fault
    /// current of the inverter trips the largest final breaker at once: five times its rating for type B. Behind an inverter
    /// that joins both its sides, the device also notices smooth direct current (type B), unless the inverter watches for
    /// it. NEC: outlets have ground-fault interrupters where 210.8 asks for them, so a panel without them is advice; test
    /// them on inverter supply.
    ///
    /// ## What to do
    /// A residual-current device; smaller final breakers.
    AC_SHOCK_PROTECTION {
        id: "ac-shock-protection",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 210.8",
            Nec2020: "NEC 2020 210.8",
            Nec2017: "NEC 2017 210.8",
            Iec: "IEC 60364-4-41 cl. 411.3.2 and 411.3.3, IEC 60364-5-55 cl. 551.4, IEC 60364-7-712 cl. 712.531",
        ],
        check: check,
        remedies: remedies,
    }
}

const DIRECT: &str = "direct";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (panel, inverters) in panels_of_inverters(on) {
        if on.rule_set().is_nec() {
            outlets(on, report, panel);
        } else {
            for inverter in inverters {
                judge(on, report, panel, inverter);
            }
        }
    }
}

fn outlets(on: &Circumstances<'_>, report: &mut Report, (block, panel): Panel<'_>) {
    let at = Part::Block(block.id);
    match Told::from(panel.residual_current) {
        Told::Untold => {}
        Told::Yes => {
            report.holds(at, || true);
        }
        Told::No => {
            report.holds(at, || false);
            let title = format!("The outlets of {} have no ground-fault interrupters", block.tag);
            let finding = AC_SHOCK_PROTECTION.finding(on, Severity::Advice, at, title);
            report.find(finding.against(words("none"), words("interrupters where 210.8 asks for them")));
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, panel: Panel<'_>, (inverter, it): (&Block, &Inverter)) {
    let (block, board) = panel;
    let devices = devices_on(on, inverter, block.id);
    if let Some(device) = devices.first() {
        let at = Part::Block(device.0.id);
        report.at_most(at, device.1.trip_current, on.limit(FactorKey::ResidualCurrent));
        direct_current(on, report, device, (inverter, it));
        return;
    }
    if board.residual_current == Some(Fitted::Yes) {
        report.holds(Part::Block(block.id), || true);
        return;
    }
    by_breaker(on, report, panel, (inverter, it));
}

type Device<'a> = (&'a Block, &'a GroundFaultDevice);

/// Sensitive devices without which the panel is not reached from the inverter.
fn devices_on<'a>(on: &Circumstances<'a>, inverter: &Block, panel: BlockId) -> Vec<Device<'a>> {
    let most: Amps = on.limit(FactorKey::ResidualCurrent);
    let of = |block| {
        let block: &'a Block = on.block(block)?;
        let device = block.equipment.as_kind::<GroundFaultDevice>()?;
        let sensitive = device.kind == GroundFaultType::ResidualCurrent && device.trip_current <= most;
        sensitive.then_some((block, device))
    };
    let past = panels_of(on, inverter.id, |pole| of(pole.block).is_some());
    if past.iter().any(|(block, _)| block.id == panel) {
        return Vec::new();
    }
    on.circuit().blocks().filter_map(|block| of(block.id)).collect()
}

/// A device behind an inverter that joins both its sides notices direct current.
fn direct_current(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, device): &Device<'_>,
    (inverter, it): (&Block, &Inverter),
) {
    if it.separation == Separation::Galvanic || it.ground_fault_protection == Some(Fitted::Yes) {
        return;
    }
    let at = Part::Block(block.id);
    match device.residual_type {
        Some(ResidualType::TypeB) => {
            report.holds(at, || true);
        }
        None => report.cannot_tell(Missing::block(block.id, "Residual currents")),
        Some(ResidualType::TypeAc | ResidualType::TypeA | ResidualType::TypeF) => {
            report.holds(at, || false);
            let title = format!("{} does not notice direct current from {}", block.tag, inverter.tag);
            let finding = AC_SHOCK_PROTECTION.finding(on, Severity::Correction, at, title).aspect(DIRECT);
            let found = device.residual_type.map_or("", ResidualType::label);
            report.find(
                finding
                    .also(Part::Block(inverter.id))
                    .against(words(found), words(ResidualType::TypeB.label())),
            );
        }
    }
}

/// Without a residual-current device the inverter must trip the largest final breaker.
fn by_breaker(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, board): Panel<'_>,
    (inverter, it): (&Block, &Inverter),
) {
    let Some(breaker) = board.largest_branch_breaker else {
        let datum = if board.residual_current.is_none() {
            "Residual-current protection"
        } else {
            "Largest final breaker"
        };
        report.cannot_tell(Missing::block(block.id, datum));
        return;
    };
    let mut working = Working::new();
    let fault = fault_current(on, inverter, it, &mut working);
    let factor = on.number(FactorKey::TripTypeB);
    working.given("largest final breaker", "I_n", breaker.into(), || Origin::Setting(block.tag.clone()));
    working.given("it trips at once at", "k_B", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::TripTypeB).to_owned())
    });
    let needed = breaker * factor;
    working.found("fault current needed", "I_trip", || "k_B × I_n".to_owned(), needed.into());
    let at = Part::Block(block.id);
    if report.at_least(at, fault, needed).fails() {
        let title = format!("A fault on {} is not shut off in time on inverter supply", block.tag);
        let finding = AC_SHOCK_PROTECTION.finding(on, Severity::Correction, at, title);
        report.find(finding.also(Part::Block(inverter.id)).against(fault, needed).working(working));
    }
}

/// What the output gives into a fault: as the nameplate says, else so many times its current.
fn fault_current(on: &Circumstances<'_>, block: &Block, inverter: &Inverter, working: &mut Working) -> Amps {
    if let Some(fault) = inverter.output_fault_current {
        working.given("fault current of the output", "I_k", fault.into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        return fault;
    }
    let factor = on.number(FactorKey::InverterFault);
    working.given("output current", "S / V", inverter.output_current().into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    working.given("fault current over it", "k_f", Quantity::number(factor), || {
        Origin::Table(on.on.clause(FactorKey::InverterFault).to_owned())
    });
    let fault = inverter.output_current() * factor;
    working.found("fault current of the output", "I_k", || "k_f × S / V".to_owned(), fault.into());
    fault
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    if let Some(device) = block.equipment.as_kind::<GroundFaultDevice>() {
        let changed = GroundFaultDevice { residual_type: Some(ResidualType::TypeB), ..device.clone() };
        let label = format!("A device that notices direct current as {}", block.tag);
        return vec![with_equipment(block, changed, label)];
    }
    let Some(panel) = block.equipment.as_kind::<AcPanel>() else { return Vec::new() };
    let changed = AcPanel { residual_current: Some(Fitted::Yes), ..panel.clone() };
    vec![with_equipment(block, changed, format!("Residual-current devices in {}", block.tag))]
}
