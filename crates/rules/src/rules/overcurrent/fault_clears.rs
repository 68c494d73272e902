//! Rule `fault-clears`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::larger_conductor;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Run, Side};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Assumption, Missing, SmallestFault};

rule! {
    /// Even the smallest fault opens a device
    ///
    /// ## The harm
    /// A far or weak fault draws too little to open the device and smoulders.
    ///
    /// ## The formula
    /// The smallest fault at each end of each run of the battery bus: `I_min = N × v_eod / (1.5 × R_B + Σ R)`, the battery
    /// old and empty, conductors warm, chargers and sun absent; through each device as the network splits it.
    ///
    /// ## The limit
    /// Between each battery and the fault at least one device sees five times its rating, which opens it within
    /// about 5 s, or the current that its curve gives for 5 s. Circuits of the array never meet this: overcurrent devices
    /// do not clear their faults, ground-fault and arc-fault protection do.
    ///
    /// ## What to do
    /// A larger wire; a smaller device; a device nearer to the fault.
    FAULT_CLEARS {
        id: "fault-clears",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 250.4(A)(5), 110.10",
            Nec2020: "NEC 2020 250.4(A)(5), 110.10",
            Nec2017: "NEC 2017 250.4(A)(5), 110.10",
            Iec: "IEC 60364-4-41 cl. 411.3.2, IEC 60364-4-43 cl. 434.5",
        ],
        check: check,
        remedies: larger,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (id, side, fault) in on.studies.smallest_faults.all() {
        if let Some(run) = on.run(id) {
            judge(on, report, run, side, fault);
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, run: &Run, side: Side, fault: &SmallestFault) {
    // An estimate is on the side of too much current: what fails with it fails, what passes is not proven.
    if fault.current >= fault.needed && fault.assumed.has(Assumption::BatteryResistance) {
        report.cannot_tell(Missing::block(fault.battery, "Resistance of a unit"));
        return;
    }
    let at = Part::RunEnd(run.id, side);
    if !report.at_least(at, fault.current, fault.needed).fails() {
        return;
    }
    let device = on.studies.network.poles().get(fault.device).and_then(|pole| on.block(pole.block));
    let Some(device) = device else { return };
    let end = on.circuit().end_name(run.end(side));
    let title = format!("A fault at {end} may not open {}", device.tag);
    let finding = FAULT_CLEARS.finding(on, Severity::Correction, at, title).also(Part::Block(device.id));
    report.find(finding.against(fault.current, fault.needed).working(working(on, fault, &device.tag)));
}

fn working(on: &Circumstances<'_>, fault: &SmallestFault, device: &str) -> Working {
    let mut working = Working::new();
    let block = on.block(fault.battery);
    if let Some((block, bank)) = block.and_then(|it| Some((it, it.equipment.as_kind::<BatteryBank>()?))) {
        let string = lineside_study::faults::battery_string(&on.on, bank);
        let empty: Volts = bank.empty_volts() * f64::from(bank.cells());
        let plate = || Origin::Nameplate(block.tag.clone());
        working.given("battery, empty", "N × v_eod", empty.into(), plate);
        working.given("ohmic resistance of a string", "R_B", string.plain_resistance.into(), plate);
        let older = on.number(FactorKey::OldBatteryResistance);
        working.given("for age and emptiness", "k", Quantity::number(older), || {
            Origin::Table(on.on.clause(FactorKey::OldBatteryResistance).to_owned())
        });
    }
    working.found(
        "smallest fault through the device",
        "I_min",
        || "N × v_eod / (k × R_B + Σ R warm), as the network splits it".to_owned(),
        fault.current.into(),
    );
    working.given("opens the device within 5 s", "I_5s", fault.needed.into(), || {
        Origin::Nameplate(device.to_owned())
    });
    working
}

fn larger(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
