//! The voltages of a set of strings: cold and open, hot and working.

use crate::conditions::Conditions;
use crate::missing::Missing;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::strings::{ModuleTechnology, Mounting, Strings};
use lineside_core::units::{Celsius, CelsiusSpan, PercentPerCelsius, Quantity, Volts};
use lineside_core::working::{Listener, Origin};

/// By which method of NEC 690.7(A) the cold voltage was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ColdMethod {
    /// Method 1: the module's coefficient.
    Coefficient,
    /// Method 2: the table for crystalline silicon.
    Table,
    /// The IEC's factor where neither the coefficient nor the record low is known.
    Blanket,
    /// Neither the coefficient nor a table row applies.
    Unknown,
}

/// Voltages of one string of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct StringVoltages {
    /// Open circuit at 25 °C.
    pub open_circuit: Volts,
    /// Open circuit at the record low; `None` when something is missing that the rule set has no factor for.
    pub cold_open_circuit: Option<Volts>,
    /// How that was found.
    pub method: ColdMethod,
    /// Open circuit at the record low by the table, for comparison.
    pub cold_by_table: Option<Volts>,
    /// What it is at least at the record low, by the coldest row of the table, where that does not reach down to it.
    pub cold_at_least: Option<Volts>,
    /// Maximum power at 25 °C.
    pub max_power: Volts,
    /// Maximum power on the hottest cells.
    pub hot_max_power: Option<Volts>,
    /// Temperature of those cells.
    pub hot_cell: Option<Celsius>,
    /// Maximum power at the record low.
    pub cold_max_power: Option<Volts>,
    /// What was not given.
    pub missing: Vec<Missing>,
}

/// Finds the voltages of a set of strings, telling each step to the listener.
pub fn study(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    listener: &mut impl Listener,
) -> StringVoltages {
    let in_series = f64::from(strings.modules_in_series);
    let mut missing = Vec::new();
    let site = &on.project.brief.site;
    if site.record_low.is_none() {
        missing.push(Missing::site("Record low"));
    }
    if site.design_high.is_none() {
        missing.push(Missing::site("2 % design high"));
    }
    let cold = site.record_low.map(|low| cold_open_circuit(on, block, strings, low, listener));
    let (cold_open_circuit, method) = match cold {
        Some(Ok((voltage, method))) => (Some(voltage), method),
        Some(Err(datum)) => {
            missing.push(datum);
            (None, ColdMethod::Unknown)
        }
        None => match cold_without_data(on, block, strings, listener) {
            Some(voltage) => (Some(voltage), ColdMethod::Blanket),
            None => (None, ColdMethod::Unknown),
        },
    };
    let cold_by_table = site.record_low.and_then(|low| by_table(on, strings, low));
    let coldest: Celsius = on.quantity(FactorKey::VoltageTableColdest);
    let beyond_the_table = cold_open_circuit.is_none() && site.record_low.is_some_and(|low| low < coldest);
    let cold_at_least = if beyond_the_table { by_table(on, strings, coldest) } else { None };
    let hot = site.design_high.map(|high| hot(on, block, strings, high, listener));
    let cold_max_power = site.record_low.map(|low| {
        let factor = working_coefficient(on, strings).0.factor(low.above(Celsius::STANDARD_TEST));
        strings.max_power_voltage * in_series * factor
    });
    StringVoltages {
        open_circuit: strings.open_circuit_voltage * in_series,
        cold_open_circuit,
        method,
        cold_by_table,
        cold_at_least,
        max_power: strings.max_power_voltage * in_series,
        hot_max_power: hot.map(|(_, voltage)| voltage),
        hot_cell: hot.map(|(cell, _)| cell),
        cold_max_power,
        missing,
    }
}

/// Greatest open-circuit voltage at the record low, by coefficient where the nameplate gives it, else by
/// Table 690.7(A). A record low above 25 °C does not lower it.
pub fn cold_open_circuit(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    low: Celsius,
    listener: &mut impl Listener,
) -> Result<(Volts, ColdMethod), Missing> {
    let plate = || Origin::Nameplate(block.tag.clone());
    let in_series = f64::from(strings.modules_in_series);
    let series = Quantity::count(strings.modules_in_series as usize);
    listener.given("modules in series", "n", series, || Origin::Setting(block.tag.clone()));
    listener.given("open-circuit voltage at 25 °C", "V_oc", strings.open_circuit_voltage.into(), plate);
    listener.given("record low", "T_low", low.into(), || Origin::Brief);
    if let Some(coefficient) = strings.open_circuit_coefficient {
        listener.given("coefficient of open-circuit voltage", "β", coefficient.into(), plate);
        let factor = coefficient.factor(low.above(Celsius::STANDARD_TEST)).max(1.0);
        let voltage = strings.open_circuit_voltage * in_series * factor;
        listener.found(
            "cold open-circuit voltage",
            "V_max",
            || "n × V_oc × (1 + β/100 × (T_low − 25 °C))".to_owned(),
            voltage.into(),
        );
        return Ok((voltage, ColdMethod::Coefficient));
    }
    if strings.technology != ModuleTechnology::Crystalline {
        return Err(Missing::block(block.id, "Coefficient of open-circuit voltage"));
    }
    let Some(factor) = on.codes.common.cold_voltage.factor(on.rule_set, low) else {
        return Err(Missing::block(block.id, "Coefficient of open-circuit voltage"));
    };
    listener.given("table factor", "k", Quantity::number(factor.value), || {
        Origin::Table(factor.source.to_string())
    });
    let voltage = strings.open_circuit_voltage * in_series * factor.value;
    listener.found("cold open-circuit voltage", "V_max", || "n × V_oc × k".to_owned(), voltage.into());
    Ok((voltage, ColdMethod::Table))
}

/// Greatest open-circuit voltage where neither the coefficient nor the record low is known: by IEC 60364-7-712 so many
/// times that at 25 °C. The NEC has no such factor.
pub fn cold_without_data(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    listener: &mut impl Listener,
) -> Option<Volts> {
    if on.rule_set.is_nec() || strings.open_circuit_coefficient.is_some() {
        return None;
    }
    let series = Quantity::count(strings.modules_in_series as usize);
    listener.given("modules in series", "n", series, || Origin::Setting(block.tag.clone()));
    listener.given("open-circuit voltage at 25 °C", "V_oc", strings.open_circuit_voltage.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    let factor = on.number(FactorKey::VoltageUnknown);
    listener.given("neither record low nor coefficient known", "k", Quantity::number(factor), || {
        Origin::Table(on.clause(FactorKey::VoltageUnknown).to_owned())
    });
    let voltage = strings.open_circuit_voltage * f64::from(strings.modules_in_series) * factor;
    listener.found("cold open-circuit voltage", "V_max", || "n × V_oc × k".to_owned(), voltage.into());
    Some(voltage)
}

fn by_table(on: &Conditions<'_>, strings: &Strings, low: Celsius) -> Option<Volts> {
    if strings.technology != ModuleTechnology::Crystalline {
        return None;
    }
    let factor = on.codes.common.cold_voltage.factor(on.rule_set, low)?;
    Some(strings.open_circuit_voltage * f64::from(strings.modules_in_series) * factor.value)
}

/// Hottest cell and working voltage of a string on the hottest day.
pub fn hot(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    high: Celsius,
    listener: &mut impl Listener,
) -> (Celsius, Volts) {
    let cell = hot_cell(on, block, strings, high, listener);
    (cell, hot_max_power(on, block, strings, cell, listener))
}

/// Temperature of the cells in full sun on the hottest day: by the nominal cell temperature where it is
/// given (`1.25 × (NOCT − 20)` above ambient), else by how the modules are mounted.
fn hot_cell(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    high: Celsius,
    listener: &mut impl Listener,
) -> Celsius {
    listener.given("2 % design high", "T_hot", high.into(), || Origin::Brief);
    let (rise, origin) = if let Some(rise) = strings.cell_rise {
        (rise, Origin::Setting(block.tag.clone()))
    } else if let Some(nominal) = strings.nominal_cell_temperature {
        let base = on.quantity(FactorKey::NominalCellAmbient);
        (nominal.above(base) * on.number(FactorKey::NominalCellScale), Origin::Nameplate(block.tag.clone()))
    } else {
        let key = match strings.mounting {
            Mounting::Ground => FactorKey::CellRiseGround,
            Mounting::Tracker => FactorKey::CellRiseTracker,
            Mounting::Rack => FactorKey::CellRiseRack,
            Mounting::Roof => FactorKey::CellRiseRoof,
        };
        (on.quantity::<CelsiusSpan>(key), Origin::Assumed(format!("mounting {}", strings.mounting.label())))
    };
    listener.given("cell above ambient in full sun", "ΔT", rise.into(), || origin);
    let cell = high.warmer_by(rise);
    listener.found("hottest cell", "T_cell", || "T_hot + ΔT".to_owned(), cell.into());
    cell
}

fn hot_max_power(
    on: &Conditions<'_>,
    block: &Block,
    strings: &Strings,
    cell: Celsius,
    listener: &mut impl Listener,
) -> Volts {
    let (coefficient, origin) = working_coefficient(on, strings);
    let series = Quantity::count(strings.modules_in_series as usize);
    listener.given("modules in series", "n", series, || Origin::Setting(block.tag.clone()));
    listener.given("maximum-power voltage at 25 °C", "V_mp", strings.max_power_voltage.into(), || {
        Origin::Nameplate(block.tag.clone())
    });
    listener.given("its coefficient", "γ", coefficient.into(), || {
        origin.map_or_else(|| Origin::Nameplate(block.tag.clone()), |why| Origin::Assumed(why.to_owned()))
    });
    let factor = coefficient.factor(cell.above(Celsius::STANDARD_TEST));
    let voltage = strings.max_power_voltage * f64::from(strings.modules_in_series) * factor;
    listener.found(
        "hot working voltage",
        "V_mp,hot",
        || "n × V_mp × (1 + γ/100 × (T_cell − 25 °C))".to_owned(),
        voltage.into(),
    );
    voltage
}

/// The coefficient of the maximum-power voltage; that of power if only that is given, because the coefficient
/// of current is close to zero; else a usual value, with the reason.
pub fn working_coefficient(
    on: &Conditions<'_>,
    strings: &Strings,
) -> (PercentPerCelsius, Option<&'static str>) {
    if let Some(coefficient) = strings.voltage_coefficient.or(strings.power_coefficient) {
        return (coefficient, None);
    }
    let usual = on.quantity(FactorKey::PowerCoefficient);
    (usual, Some("usual for crystalline silicon"))
}
