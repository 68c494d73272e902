//! Rule `string-hot-voltage-battery`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::units::{Percent, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, PathKind, ZoneKind};

rule! {
    /// Hot strings still charge the full bank
    ///
    /// ## The harm
    /// A step-down controller cannot push into a battery whose voltage is above the strings': the bank never
    /// finishes its charge or its equalize charge, sulfates or stays half full.
    ///
    /// ## The formula
    /// `V_mp,hot` as for the tracking range, less the drop of the PV run where it is more than 2 %.
    ///
    /// ## The limit
    /// Not below the highest bus voltage, equalize in the cold included, plus the headroom that the controller
    /// needs. Controllers that also step up are exempt.
    ///
    /// ## What to do
    /// One module more in series; a bank of lower voltage; a controller that steps up.
    STRING_HOT_VOLTAGE_BATTERY {
        id: "string-hot-voltage-battery",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.72, 706.33",
            Nec2020: "NEC 2020 690.72, 706.33",
            Nec2017: "NEC 2017 690.72, 706.23",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        let Some((strings, hot)) = on.hottest_strings(zone) else { continue };
        for (block, controller) in on.controllers_fed_by(zone) {
            if controller.kind != ControllerType::TrackingStepDown {
                continue;
            }
            if let Some((bank, voltages)) = on.bank_charged_by(block.id) {
                judge(on, report, block, controller, strings, hot, bank, voltages);
            }
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "one comparison with its parties")]
fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    controller: &ChargeController,
    strings: BlockId,
    hot: Volts,
    bank: &Block,
    voltages: &BankVoltages,
) {
    let neglected: Percent = on.limit(FactorKey::VoltageDropNeglected);
    let lost = on
        .studies
        .drops
        .to(block.id, PathKind::StringsToController)
        .filter(|path| path.share > neglected)
        .map_or(Volts::ZERO, |path| path.drop);
    let given = controller.headroom;
    let usual = on.limit::<Volts>(FactorKey::ConverterHeadroom)
        * (voltages.class / on.limit::<Volts>(FactorKey::ConverterHeadroomPer));
    let headroom = given.unwrap_or(usual);
    let (arrives, needed) = (hot - lost, voltages.highest + headroom);
    let at = Part::Block(block.id);
    if !report.at_least(at, arrives, needed).fails() {
        return;
    }
    let mut working = Working::new();
    on.hot_voltage_working(strings, &mut working);
    if lost > Volts::ZERO {
        working.given("drop on the way", "ΔV", lost.into(), || Origin::Working("voltage drop".to_owned()));
    }
    on.bank_voltage_working(bank.id, &mut working);
    working.given("headroom", "h", headroom.into(), || match given {
        Some(_) => Origin::Nameplate(block.tag.clone()),
        None => Origin::Assumed("usual for a step-down controller".to_owned()),
    });
    working.found("string voltage needed", "V_needed", || "V_bus,max + h".to_owned(), needed.into());
    let title = format!("Hot strings cannot finish the charge of {} through {}", bank.tag, block.tag);
    report.find(
        STRING_HOT_VOLTAGE_BATTERY
            .finding(on, Severity::Correction, at, title)
            .also(Part::Block(strings))
            .also(Part::Block(bank.id))
            .against(arrives, needed)
            .working(working),
    );
}
