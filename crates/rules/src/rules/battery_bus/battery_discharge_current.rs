//! Rule `battery-discharge-current`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::Block;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::inside::SinkKind;
use lineside_core::units::{Amps, Watts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Missing, Zone, ZoneKind, inverter_input_current};

rule! {
    /// The bank can give what inverters and loads take
    ///
    /// ## The harm
    /// The battery management opens under load: a blackout, or hot opening again and again.
    ///
    /// ## The formula
    /// The inverters' DC current at their low cut-out plus the DC loads; for a surge `P_surge / (η × V_low)`.
    ///
    /// ## The limit
    /// The strings' greatest discharge current together; for the surge their peak current, where it is given.
    ///
    /// ## What to do
    /// More strings; a smaller inverter; soft starters.
    BATTERY_DISCHARGE_CURRENT {
        id: "battery-discharge-current",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.30, 110.3(B)",
            Nec2020: "NEC 2020 706.30, 110.3(B)",
            Nec2017: "NEC 2017 706.20, 110.3(B)",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let banks = on.banks_in(zone);
        let Some((first, _, _)) = banks.first().copied() else { continue };
        let mut working = Working::new();
        let (steady, surge) = taken(on, zone, &mut working);
        if steady <= Amps::ZERO {
            continue;
        }
        let at = Part::Block(first.id);
        let Some(allowed) = together(report, &banks, |bank| bank.discharge_current) else { continue };
        if report.at_most(at, steady, allowed).fails() {
            let mut working = working.clone();
            working.given("all strings together", "n × I_max", allowed.into(), || {
                Origin::Nameplate(first.tag.clone())
            });
            let title = format!("Inverters and loads take more than {} gives", first.tag);
            let finding = BATTERY_DISCHARGE_CURRENT.finding(on, Severity::Correction, at, title);
            report.find(finding.against(steady, allowed).working(working));
            continue;
        }
        let peaks: Option<Amps> = banks
            .iter()
            .map(|(_, bank, _)| bank.peak_current.map(|peak| peak * f64::from(bank.strings_in_parallel)))
            .sum();
        if let Some(peak) = peaks
            && report.at_most(at, surge, peak).fails()
        {
            working.found(
                "with the surge",
                "I_surge",
                || "Σ P_surge / (η × V_low) + Σ I_load".to_owned(),
                surge.into(),
            );
            working.given("peak of all strings", "n × I_peak", peak.into(), || {
                Origin::Nameplate(first.tag.clone())
            });
            let title = format!("The inverters' surge is more than {} gives", first.tag);
            let finding =
                BATTERY_DISCHARGE_CURRENT.finding(on, Severity::Correction, at, title).aspect("surge");
            report.find(finding.against(surge, peak).working(working));
        }
    }
}

/// Steady current and current with the surge of every inverter.
fn taken(on: &Circumstances<'_>, zone: &Zone, working: &mut Working) -> (Amps, Amps) {
    let (mut steady, mut surge) = (Amps::ZERO, Amps::ZERO);
    for (block, inverter) in on.inverters_on(zone) {
        let Some(input) = inverter_input_current(&on.on, block.id) else { continue };
        working.given("inverter output", "P", input.power.into(), || Origin::Nameplate(block.tag.clone()));
        working.given("efficiency", "η", input.efficiency.into(), || match inverter.rated_efficiency {
            Some(_) => Origin::Nameplate(block.tag.clone()),
            None => Origin::Assumed("usual at rated output".to_owned()),
        });
        working.given("low cut-out", "V_low", input.voltage.into(), || Origin::Setting(block.tag.clone()));
        working.found("its DC current", "I", || "P / (η × V_low)".to_owned(), input.current.into());
        steady += input.current;
        let peak: Watts = inverter.surge.unwrap_or(inverter.continuous);
        surge += peak / (input.voltage * input.efficiency.share());
    }
    for id in on.with_sink(zone, SinkKind::DcLoads) {
        let current = match on.block(id).map(|block| &block.equipment) {
            Some(Equipment::DcLoad(load)) => load.current,
            Some(Equipment::DcConverter(it)) => it.input_current(),
            _ => continue,
        };
        steady += current;
        surge += current;
    }
    working.found("taken together", "I", || "Σ P / (η × V_low) + Σ I_load".to_owned(), steady.into());
    (steady, surge)
}

fn together(
    report: &mut Report,
    banks: &[(&Block, &BatteryBank, &BankVoltages)],
    limit: fn(&BatteryBank) -> Option<Amps>,
) -> Option<Amps> {
    let mut all = Amps::ZERO;
    for (block, bank, _) in banks {
        let Some(each) = limit(bank) else {
            report.cannot_tell(Missing::block(block.id, "Greatest discharge current"));
            return None;
        };
        all += each * f64::from(bank.strings_in_parallel);
    }
    Some(all)
}
