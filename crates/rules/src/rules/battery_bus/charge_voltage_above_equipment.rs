//! Rule `charge-voltage-above-equipment`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::edit::Edit;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Permitted, ZoneKind};

rule! {
    /// Charging does not lift the bus above what stands on it
    ///
    /// ## The harm
    /// The charger lifts the bus above what an inverter, load or breaker survives: inverters trip or die, DC
    /// loads burn out. It is the usual accident of nickel-iron banks, whose window is the widest of all.
    ///
    /// ## The formula
    /// `V_bus,max = N × max(v_charge, v_equalize) + N × k_T × (T_min − 25 °C)`, never below the first term, and
    /// never above a ceiling that every charger on the bus has been set to.
    ///
    /// ## The limit
    /// Above what destroys a device, or what a breaker is rated for: danger. Above what it works at: correction,
    /// since it shuts off every time the bank is properly charged.
    ///
    /// ## What to do
    /// Equipment with the wider window; fewer cells (then look at the low end again); a lower equalize voltage
    /// that the cell maker accepts; a written order to disconnect the device while equalizing.
    CHARGE_VOLTAGE_ABOVE_EQUIPMENT {
        id: "charge-voltage-above-equipment",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B), 110.4, 706.9, 706.33(C)(2)",
            Nec2020: "NEC 2020 110.3(B), 110.4, 706.9, 706.33(C)(2)",
            Nec2017: "NEC 2017 110.3(B), 110.4, 706.23",
            Iec: "IEC 60364-5-51 cl. 512.1.1, IEC 62109-1",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let Some((bank, _, voltages)) = on.highest_bank(zone) else { continue };
        let Some(window) = on.window_of(zone) else { continue };
        for missing in &voltages.missing {
            report.cannot_tell(*missing);
        }
        for of_block in window.permitted.chunk_by(|a, b| a.block == b.block) {
            let weakest = of_block.iter().min_by(|a, b| limit_of(a).total_cmp(&limit_of(b)));
            if let Some(weakest) = weakest.filter(|it| !is_bank(on, it.block)) {
                judge(on, report, bank, voltages, weakest);
            }
        }
    }
}

fn is_bank(on: &Circumstances<'_>, id: BlockId) -> bool {
    on.block(id).is_some_and(|block| block.kind() == Kind::BatteryBank)
}

/// The lowest upper limit of a permitted window; beyond every voltage when it has none.
fn limit_of(permitted: &Permitted) -> Volts {
    permitted.absolute.or(permitted.highest).unwrap_or(Volts::new(f64::MAX))
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    bank: &Block,
    voltages: &BankVoltages,
    permitted: &Permitted,
) {
    let Some(block) = on.block(permitted.block) else { return };
    let (at, highest) = (Part::Block(block.id), voltages.highest);
    let survives = permitted.absolute.filter(|limit| report.at_most(at, highest, *limit).fails());
    let works = permitted.highest.filter(|limit| report.at_most(at, highest, *limit).fails());
    let (severity, limit, meaning) = match (survives, works) {
        (Some(limit), _) => (Severity::Danger, limit, "voltage that it survives"),
        (None, Some(limit)) => (Severity::Correction, limit, "voltage at which it works"),
        (None, None) => return,
    };
    let name = &block.tag;
    let title = match severity {
        Severity::Danger => format!("The bank rises above what {name} survives"),
        Severity::Correction | Severity::Advice => format!("The bank rises above what {name} works at"),
    };
    let mut working = Working::new();
    on.bank_voltage_working(bank.id, &mut working);
    if voltages.charge > limit {
        working.given("reached in normal charge already", "V_charge", voltages.charge.into(), || {
            Origin::Computed
        });
    }
    working.given(meaning, "V_limit", limit.into(), || Origin::Nameplate(block.tag.clone()));
    report.find(
        CHARGE_VOLTAGE_ABOVE_EQUIPMENT
            .finding(on, severity, at, title)
            .also(Part::Block(bank.id))
            .against(highest, limit)
            .working(working),
    );
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let bank = finding.parts().find_map(|part| match part {
        Part::Block(id) => match on.block(id)? {
            block @ Block { equipment: Equipment::BatteryBank(it), .. } => Some((block, it.as_ref())),
            _ => None,
        },
        Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    });
    let Some((block, bank)) = bank else { return Vec::new() };
    let crate::finding::Amount::Quantity(limit) = &finding.allowed else { return Vec::new() };
    [lower_equalize(on, block, bank, Volts::new(limit.value)), fewer_cells(block, bank)]
        .into_iter()
        .flatten()
        .collect()
}

/// Equalize at what the limit leaves per cell, if that is still a charge.
fn lower_equalize(
    on: &Circumstances<'_>,
    block: &Block,
    bank: &BatteryBank,
    limit: Volts,
) -> Option<Proposal> {
    bank.equalize_volts()?;
    let voltages = on.studies.windows.bank(block.id)?;
    let cold_part = voltages.highest - bank.highest_volts() * f64::from(bank.cells());
    let per_cell = ((limit - cold_part) / f64::from(bank.cells())).cut_to(2);
    if per_cell < bank.charge_volts() {
        return None;
    }
    let mut equipment = bank.clone();
    equipment.equalize_setting = Some(per_cell);
    Some(proposal(
        block,
        equipment,
        format!("Equalize {} at {per_cell} per cell, if its maker accepts that", block.tag),
    ))
}

fn fewer_cells(block: &Block, bank: &BatteryBank) -> Option<Proposal> {
    let fewer = bank.units_in_series.checked_sub(2).filter(|units| *units > 0 && bank.cells_per_unit == 1)?;
    let mut equipment = bank.clone();
    equipment.units_in_series = fewer;
    Some(proposal(block, equipment, format!("{fewer} cells in {}", block.tag)))
}

fn proposal(block: &Block, equipment: BatteryBank, label: String) -> Proposal {
    let edit = Edit::SetEquipment {
        block: block.id,
        equipment: Box::new(equipment.into()),
        stock: block.stock.clone(),
    };
    Proposal { label, edit }
}
