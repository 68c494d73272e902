//! Rule `charge-temperature-compensation`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Celsius, Quantity, Volts, VoltsPerCelsius};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{BankVoltages, Missing, Zone, ZoneKind, bank_voltage};

rule! {
    /// Charging follows the temperature where the cells want it, and only there
    ///
    /// ## The harm
    /// Lead and nickel-iron without compensation: never full in the cold, boiled dry in the heat. Lithium with
    /// compensation, or equalized: overcharge and fire. Lithium charged below freezing: it plates metal and is
    /// ruined, or fails later.
    ///
    /// ## The formula
    /// `V(T) = N × (v + k_T × (T − 25 °C))`.
    ///
    /// ## The limit
    /// Lead and nickel-iron: every charger has a battery temperature sensor, else a correction. Lithium: no
    /// compensation, no equalize above the charge voltage, never above the ceiling of the cell, and below the
    /// lowest charge temperature charging is blocked or the bank warms itself, else a danger. Sealed lead: no
    /// equalize above the charge voltage, else a danger.
    ///
    /// ## What to do
    /// Fit the sensor; set compensation and equalize off; a bank that blocks cold charging, or a warm place.
    CHARGE_TEMPERATURE_COMPENSATION {
        id: "charge-temperature-compensation",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.33(A)",
            Nec2020: "NEC 2020 706.33(A)",
            Nec2017: "NEC 2017 706.23(A)",
            Iec: "IEC 62485-2, IEC 62619",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Battery) {
        for (block, bank, voltages) in on.banks_in(zone) {
            let judge = Judge { on, block, bank, voltages };
            match bank.chemistry {
                Chemistry::LithiumIronPhosphate => {
                    judge.compensated(report);
                    judge.above_ceiling(report);
                    judge.equalized(report);
                    judge.cold(report);
                }
                Chemistry::AbsorbedGlassMat | Chemistry::Gel => {
                    judge.equalized(report);
                    judge.sensors(report, zone);
                }
                Chemistry::NickelIron | Chemistry::FloodedLead => judge.sensors(report, zone),
            }
        }
    }
}

struct Judge<'a> {
    on: &'a Circumstances<'a>,
    block: &'a Block,
    bank: &'a BatteryBank,
    voltages: &'a BankVoltages,
}

impl Judge<'_> {
    fn at(&self) -> Part {
        Part::Block(self.block.id)
    }

    fn cells(&self) -> f64 {
        f64::from(self.bank.cells())
    }

    fn danger(&self, aspect: &'static str, title: String) -> Finding {
        CHARGE_TEMPERATURE_COMPENSATION.finding(self.on, Severity::Danger, self.at(), title).aspect(aspect)
    }

    /// Cells and the volts of one.
    fn working(&self, meaning: &'static str, symbol: &'static str, per_cell: Volts) -> Working {
        let mut working = Working::new();
        working.given("cells in series", "N", Quantity::count(self.bank.cells() as usize), || {
            Origin::Setting(self.block.tag.clone())
        });
        working.given(meaning, symbol, per_cell.into(), || Origin::Setting(self.block.tag.clone()));
        working
    }

    /// The voltage that charging must never pass, of the whole bank.
    fn ceiling(&self) -> Option<Volts> {
        let row = self.on.codes().common.battery_windows.find(self.bank.chemistry)?;
        Some(row.value.ceiling? * self.cells())
    }

    /// The charge voltage at a temperature, with how it comes about.
    fn at_temperature(&self, compensation: VoltsPerCelsius, working: &mut Working) -> Volts {
        let base: Celsius = self.on.limit(FactorKey::CompensationBase);
        let coldest = self.voltages.coldest;
        working.given("temperature compensation per cell", "k_T", compensation.into(), || {
            Origin::Nameplate(self.block.tag.clone())
        });
        working.given("coldest battery", "T", coldest.into(), || {
            Origin::Working(format!("voltages of {}", self.block.tag))
        });
        let voltage = (self.bank.charge_volts() + compensation * coldest.above(base)) * self.cells();
        working.found(
            "charge voltage in the cold",
            "V(T)",
            || "N × (v + k_T × (T − 25 °C))".to_owned(),
            voltage.into(),
        );
        voltage
    }

    fn compensated(&self, report: &mut Report) {
        let compensation = self.bank.compensation.unwrap_or_default();
        if !report.holds(self.at(), || compensation == VoltsPerCelsius::ZERO).fails() {
            return;
        }
        let mut working = self.working("charge voltage per cell", "v", self.bank.charge_volts());
        let cold = self.at_temperature(compensation, &mut working);
        let title = format!("Charging of {} follows the temperature, which lithium must not", self.block.tag);
        let finding = self.danger("compensated", title);
        let finding = match self.ceiling() {
            Some(ceiling) if cold > ceiling => finding.against(cold, ceiling),
            _ => finding.against(compensation, VoltsPerCelsius::ZERO),
        };
        report.find(finding.working(working));
    }

    fn above_ceiling(&self, report: &mut Report) {
        let Some(ceiling) = self.ceiling() else { return };
        if report.at_most(self.at(), self.voltages.charge, ceiling).fails() {
            let working = self.working("charge voltage per cell", "v", self.bank.charge_volts());
            let title = format!("{} is charged above what its cells stand", self.block.tag);
            let finding = self.danger("ceiling", title).against(self.voltages.charge, ceiling);
            report.find(finding.working(working));
        }
    }

    fn equalized(&self, report: &mut Report) {
        let Some(equalize) = self.bank.equalize_volts() else {
            report.holds(self.at(), || true);
            return;
        };
        let (found, allowed) = (equalize * self.cells(), self.voltages.charge);
        if report.at_most(self.at(), found, allowed).fails() {
            let mut working = self.working("equalize voltage per cell", "v_eq", equalize);
            working.given("charge voltage", "V_charge", allowed.into(), || {
                Origin::Setting(self.block.tag.clone())
            });
            let what = self.bank.chemistry.label();
            let title = format!("{} is equalized, which {what} must not be", self.block.tag);
            report.find(self.danger("equalized", title).against(found, allowed).working(working));
        }
    }

    fn cold(&self, report: &mut Report) {
        let lowest = self.bank.charge_from.unwrap_or_else(|| self.on.limit(FactorKey::LithiumChargeColdest));
        let guards =
            [(self.bank.blocks_cold_charge, "Blocks charging when cold"), (self.bank.heater, "Heater")];
        if guards.iter().any(|(fitted, _)| *fitted == Some(Fitted::Yes)) {
            report.holds(self.at(), || true);
            return;
        }
        let coldest = self.voltages.coldest;
        if coldest < lowest && !self.voltages.missing.is_empty() {
            for missing in &self.voltages.missing {
                report.cannot_tell(*missing);
            }
        } else if !report.at_least(self.at(), coldest, lowest).fails() {
        } else if let Some((_, datum)) = guards.into_iter().find(|(fitted, _)| fitted.is_none()) {
            report.cannot_tell(Missing::block(self.block.id, datum));
        } else {
            let mut working = Working::new();
            working.given("lowest charge temperature", "T_chg", lowest.into(), || {
                if self.bank.charge_from.is_some() {
                    Origin::Nameplate(self.block.tag.clone())
                } else {
                    Origin::Table(self.on.on.clause(FactorKey::LithiumChargeColdest).to_owned())
                }
            });
            let title = format!("Nothing stops the charging of {} in the cold", self.block.tag);
            report.find(self.danger("cold", title).against(coldest, lowest).working(working));
        }
    }

    fn sensors(&self, report: &mut Report, zone: &Zone) {
        let (compensation, _) = bank_voltage::compensation(&self.on.on, self.bank);
        if compensation == VoltsPerCelsius::ZERO {
            return;
        }
        for (charger, sensor) in chargers(self.on, zone) {
            let Some(sensor) = sensor else {
                report.cannot_tell(Missing::block(charger.id, "Battery temperature sensor"));
                continue;
            };
            let at = Part::Block(charger.id);
            if !report.holds(at, || sensor == Fitted::Yes).fails() {
                continue;
            }
            let mut working = self.working("charge voltage per cell", "v", self.bank.charge_volts());
            let needed = self.at_temperature(compensation, &mut working);
            let title = format!("{} charges {} without knowing its temperature", charger.tag, self.block.tag);
            let finding = CHARGE_TEMPERATURE_COMPENSATION.finding(self.on, Severity::Correction, at, title);
            report.find(
                finding
                    .aspect("sensor")
                    .also(self.at())
                    .against(self.voltages.charge, needed)
                    .working(working),
            );
        }
    }
}

/// The chargers of a zone with whether they have a sensor.
fn chargers<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<(&'a Block, Option<Fitted>)> {
    let controllers =
        on.controllers_charging(zone).into_iter().map(|(block, it)| (block, it.temperature_sensor));
    let inverters = on.inverters_on(zone).into_iter().filter(|(_, it)| it.charge_current().is_some());
    controllers.chain(inverters.map(|(block, it)| (block, it.temperature_sensor))).collect()
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    if let Some(bank) = block.equipment.as_kind::<BatteryBank>() {
        return for_bank(block, bank, finding);
    }
    let label = format!("Fit the battery temperature sensor of {}", block.tag);
    let sensor = Some(Fitted::Yes);
    if let Some(it) = block.equipment.as_kind::<ChargeController>() {
        return vec![with_equipment(
            block,
            ChargeController { temperature_sensor: sensor, ..it.clone() },
            label,
        )];
    }
    block.equipment.as_kind::<Inverter>().map_or_else(Vec::new, |it| {
        vec![with_equipment(block, Inverter { temperature_sensor: sensor, ..it.clone() }, label)]
    })
}

fn for_bank(block: &Block, bank: &BatteryBank, finding: &Finding) -> Vec<Proposal> {
    let mut changed = bank.clone();
    let label = match finding.aspect {
        "compensated" => {
            changed.compensation = Some(VoltsPerCelsius::ZERO);
            format!("No temperature compensation for {}", block.tag)
        }
        "equalized" => {
            changed.equalize_voltage = None;
            changed.equalize_setting = None;
            format!("Never equalize {}", block.tag)
        }
        "cold" => {
            changed.blocks_cold_charge = Some(Fitted::Yes);
            format!("Battery management that blocks charging of {} when cold", block.tag)
        }
        _ => return Vec::new(),
    };
    vec![with_equipment(block, changed, label)]
}
