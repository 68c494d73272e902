//! Rule `charger-reaches-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::with_stock;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::Block;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// Every charger can be set as high as the bank needs
    ///
    /// ## The harm
    /// A charger whose highest setting lies below what the cells need never finishes a charge: lead sulphates,
    /// nickel-iron stays half full, and the energy that was paid for is not there.
    ///
    /// ## The formula
    /// `N × max(v_charge, v_equalize)`; sealed lead and lithium, which are never equalized: `N × v_charge`.
    ///
    /// ## The limit
    /// Not above the highest charge voltage that can be set on each controller and each inverter with a charger.
    ///
    /// ## What to do
    /// A charger with custom settings; fewer cells; leave the equalizing to the charger that can do it.
    CHARGER_REACHES_VOLTAGE {
        id: "charger-reaches-voltage",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.33, 110.3(B)",
            Nec2020: "NEC 2020 706.33, 110.3(B)",
            Nec2017: "NEC 2017 706.23, 110.3(B)",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let Some((bank, it, _)) = on.highest_bank(zone) else { continue };
        for (charger, highest) in chargers(on, zone) {
            match highest {
                Some(highest) => judge(on, report, bank, it, charger, highest),
                None => report.cannot_tell(Missing::block(charger.id, "Highest charge setting")),
            }
        }
    }
}

/// The chargers of a zone with the highest voltage that can be set on them.
fn chargers<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<(&'a Block, Option<Volts>)> {
    let controllers =
        on.controllers_charging(zone).into_iter().map(|(block, it)| (block, it.highest_charge_setting));
    let inverters = on.inverters_on(zone).into_iter().filter(|(_, it)| it.charge_current().is_some());
    controllers.chain(inverters.map(|(block, it)| (block, it.highest_charge_setting))).collect()
}

/// What the cells need, each.
fn needed_per_cell(bank: &BatteryBank) -> Volts {
    match bank.chemistry {
        Chemistry::NickelIron | Chemistry::FloodedLead => bank.highest_volts(),
        Chemistry::LithiumIronPhosphate | Chemistry::AbsorbedGlassMat | Chemistry::Gel => bank.charge_volts(),
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    bank: &Block,
    it: &BatteryBank,
    charger: &Block,
    highest: Volts,
) {
    let per_cell = needed_per_cell(it);
    let needed = per_cell * f64::from(it.cells());
    let at = Part::Block(charger.id);
    if !report.at_least(at, highest, needed).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("cells in series", "N", Quantity::count(it.cells() as usize), || {
        Origin::Setting(bank.tag.clone())
    });
    working.given("charge or equalize voltage per cell", "v", per_cell.into(), || {
        Origin::Setting(bank.tag.clone())
    });
    working.found("needed by the bank", "V", || "N × v".to_owned(), needed.into());
    working.given("highest charge setting", "V_set,max", highest.into(), || {
        Origin::Nameplate(charger.tag.clone())
    });
    let title = format!("{} cannot be set as high as {} needs", charger.tag, bank.tag);
    let finding = CHARGER_REACHES_VOLTAGE.finding(on, Severity::Correction, at, title);
    report.find(finding.also(Part::Block(bank.id)).against(highest, needed).working(working));
}

/// A charger of the stock that reaches it; then a bank with one unit less.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(charger) = on.block(id) else { return Vec::new() };
    crate::proposals::stock_of(on, charger.kind(), |item| reaches(charger, item))
        .into_iter()
        .map(|item| {
            let label = format!("{} as {}", item.name, charger.tag);
            with_stock(charger, item, label)
        })
        .collect()
}

/// Whether a stock item is the same sort of charger, gives at least as much, and can be set higher.
fn reaches(charger: &Block, item: &Equipment) -> bool {
    if let (Some(old), Some(new)) =
        (charger.equipment.as_kind::<ChargeController>(), item.as_kind::<ChargeController>())
    {
        return new.kind == old.kind
            && new.output_current >= old.output_current
            && new.highest_charge_setting > old.highest_charge_setting;
    }
    if let (Some(old), Some(new)) = (charger.equipment.as_kind::<Inverter>(), item.as_kind::<Inverter>()) {
        return new.ac_system == old.ac_system
            && new.ac_inputs >= old.ac_inputs
            && new.continuous >= old.continuous
            && new.highest_charge_setting > old.highest_charge_setting;
    }
    false
}
