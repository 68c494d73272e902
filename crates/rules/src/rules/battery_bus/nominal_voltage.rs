//! Rule `nominal-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::{Outcome, Report};
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::BlockId;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Permitted, ZoneKind};

rule! {
    /// Devices on the battery bus are of its voltage class
    ///
    /// ## The harm
    /// A 24 V device on a 48 V bus burns; a 48 V device on a 24 V bus never starts.
    ///
    /// ## The formula
    /// The bank's nominal voltage: cells times 1.2, 3.2 or 2.0 V.
    ///
    /// ## The limit
    /// It lies within the window that each device permits.
    ///
    /// ## What to do
    /// A device of the right class.
    NOMINAL_VOLTAGE {
        id: "nominal-voltage",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B), 110.4",
            Nec2020: "NEC 2020 110.3(B), 110.4",
            Nec2017: "NEC 2017 110.3(B), 110.4",
            Iec: "IEC 60364-5-51 cl. 512.1.1",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let Some((bank, it, voltages)) = on.highest_bank(zone) else { continue };
        let Some(window) = on.window_of(zone) else { continue };
        let mut working = Working::new();
        working.given("cells in series", "N", Quantity::count(it.cells() as usize), || {
            Origin::Setting(bank.tag.clone())
        });
        working.given("nominal per cell", "v", it.chemistry.nominal_cell_voltage().into(), || {
            Origin::Working(it.chemistry.label().to_owned())
        });
        working.found("nominal voltage of the bank", "V_nom", || "N × v".to_owned(), voltages.nominal.into());
        for of_block in window.permitted.chunk_by(|a, b| a.block == b.block) {
            for permitted in of_block.iter().filter(|it| it.block != bank.id) {
                if judge(on, report, bank.id, voltages.nominal, permitted, &working) == Outcome::Fails {
                    break;
                }
            }
        }
    }
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    bank: BlockId,
    nominal: Volts,
    permitted: &Permitted,
    common: &Working,
) -> Outcome {
    let Some(block) = on.block(permitted.block) else { return Outcome::Passes };
    let at = Part::Block(block.id);
    let broken = if let Some(lowest) = permitted.lowest
        && report.at_least(at, nominal, lowest).fails()
    {
        Some((lowest, "lowest voltage of the device", "V_low", "is for a higher voltage than the bank's"))
    } else if let Some(highest) = permitted.absolute.or(permitted.highest)
        && report.at_most(at, nominal, highest).fails()
    {
        Some((highest, "highest voltage of the device", "V_high", "is for a lower voltage than the bank's"))
    } else {
        None
    };
    let Some((limit, meaning, symbol, what)) = broken else { return Outcome::Passes };
    let mut working = common.clone();
    working.given(meaning, symbol, limit.into(), || Origin::Nameplate(block.tag.clone()));
    let title = format!("{} {what}", block.tag);
    report.find(
        NOMINAL_VOLTAGE
            .finding(on, Severity::Danger, at, title)
            .also(Part::Block(bank))
            .against(nominal, limit)
            .working(working),
    );
    Outcome::Fails
}
