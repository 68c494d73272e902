//! Rule `low-cut-out-window`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, ZoneKind};

rule! {
    /// The inverter stops when the bank is empty, not before and not after
    ///
    /// ## The harm
    /// It stops early: capacity that was paid for can never be used. Or late: the bank is driven below what its
    /// maker allows. Or the battery management opens first: a dead bus that nothing restarts.
    ///
    /// ## The formula
    /// (a) `V_cut ≤ N × v_empty`, above is advice. (b) `V_cut ≥ N × v_lowest`, below is a correction. (c) the
    /// voltage at which the battery management opens, plus 0.5 V for each 48 V nominal, is not above `V_cut`,
    /// else a correction. (d) the cut-in voltage lies between cut-out and charge voltage, else it never restarts:
    /// correction.
    ///
    /// ## What to do
    /// Set the cut-out; another inverter; another number of cells.
    LOW_CUT_OUT_WINDOW {
        id: "low-cut-out-window",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.33, 480",
            Nec2020: "NEC 2020 706.33, 480",
            Nec2017: "NEC 2017 706.23, 480",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        let Some((bank, it, voltages)) = on.highest_bank(zone) else { continue };
        for (block, inverter) in on.inverters_on(zone) {
            let pair = Pair { on, block, inverter, bank, it, voltages };
            pair.early(report);
            pair.late(report);
            pair.management(report);
            pair.restart(report);
        }
    }
}

struct Pair<'a> {
    on: &'a Circumstances<'a>,
    block: &'a Block,
    inverter: &'a Inverter,
    bank: &'a Block,
    it: &'a BatteryBank,
    voltages: &'a BankVoltages,
}

impl Pair<'_> {
    fn at(&self) -> Part {
        Part::Block(self.block.id)
    }

    fn finding(
        &self,
        severity: Severity,
        aspect: &'static str,
        title: String,
        found: Volts,
        allowed: Volts,
    ) -> Finding {
        LOW_CUT_OUT_WINDOW
            .finding(self.on, severity, self.at(), title)
            .aspect(aspect)
            .also(Part::Block(self.bank.id))
            .against(found, allowed)
    }

    /// Cells, volts per cell and their product against the cut-out.
    fn working(&self, meaning: &'static str, symbol: &'static str, per_cell: Volts, whole: Volts) -> Working {
        let mut working = self.cut_out();
        working.given("cells in series", "N", Quantity::count(self.it.cells() as usize), || {
            Origin::Setting(self.bank.tag.clone())
        });
        working.given(meaning, symbol, per_cell.into(), || Origin::Nameplate(self.bank.tag.clone()));
        working.found("of the bank", "V", || format!("N × {symbol}"), whole.into());
        working
    }

    fn cut_out(&self) -> Working {
        let mut working = Working::new();
        working.given("low cut-out", "V_cut", self.inverter.low_cut_out_voltage().into(), || {
            if self.inverter.low_cut_out.is_some() {
                Origin::Setting(self.block.tag.clone())
            } else {
                Origin::Nameplate(self.block.tag.clone())
            }
        });
        working
    }

    fn early(&self, report: &mut Report) {
        let (cut, empty) = (self.inverter.low_cut_out_voltage(), self.voltages.empty);
        if report.at_most(self.at(), cut, empty).fails() {
            let title = format!("{} stops before {} is empty", self.block.tag, self.bank.tag);
            let working = self.working("end of discharge per cell", "v_empty", self.it.empty_volts(), empty);
            report.find(self.finding(Severity::Advice, "early", title, cut, empty).working(working));
        }
    }

    fn late(&self, report: &mut Report) {
        let (cut, lowest) = (self.inverter.low_cut_out_voltage(), self.voltages.lowest);
        if report.at_least(self.at(), cut, lowest).fails() {
            let title =
                format!("{} drives {} below its maker's end of discharge", self.block.tag, self.bank.tag);
            let working = self.working("lowest allowed per cell", "v_lowest", self.it.lowest_voltage, lowest);
            report.find(self.finding(Severity::Correction, "late", title, cut, lowest).working(working));
        }
    }

    fn management(&self, report: &mut Report) {
        let Some(opens) = self.it.management_low else { return };
        let per: Volts = self.on.limit(FactorKey::ManagementMarginPer);
        let margin = self.on.limit::<Volts>(FactorKey::ManagementMargin) * (self.voltages.class / per);
        let (cut, needed) = (self.inverter.low_cut_out_voltage(), opens + margin);
        if report.at_least(self.at(), cut, needed).fails() {
            let title = format!("The management of {} opens before {} stops", self.bank.tag, self.block.tag);
            let mut working = self.cut_out();
            working.given("management opens at", "V_open", opens.into(), || {
                Origin::Nameplate(self.bank.tag.clone())
            });
            working.given("margin", "m", margin.into(), || {
                Origin::Table(self.on.on.clause(FactorKey::ManagementMargin).to_owned())
            });
            working.found("cut-out needed", "V", || "V_open + m".to_owned(), needed.into());
            report
                .find(self.finding(Severity::Correction, "management", title, cut, needed).working(working));
        }
    }

    fn restart(&self, report: &mut Report) {
        let Some(cut_in) = self.inverter.cut_in else { return };
        let cut = self.inverter.low_cut_out_voltage();
        if report.at_most(self.at(), cut_in, self.voltages.charge).fails() {
            let title =
                format!("{} never starts again: its cut-in is above the charge voltage", self.block.tag);
            report.find(
                self.finding(Severity::Correction, "restart", title, cut_in, self.voltages.charge)
                    .working(self.cut_out()),
            );
        } else if report.at_least(self.at(), cut_in, cut).fails() {
            let title = format!("{} chatters: its cut-in is below its cut-out", self.block.tag);
            report.find(
                self.finding(Severity::Correction, "restart", title, cut_in, cut).working(self.cut_out()),
            );
        }
    }
}
