//! The numbers of the ladder, each with its working: the voltages that a zone will see, and what each device permits.

use super::{Figure, of_bank, of_strings};
use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, Circuit};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Level, Permitted, VoltageWindow};

/// The figure of a level of a zone. `None` when nothing in the zone brings it about.
pub fn of_level(on: &Circumstances<'_>, window: &VoltageWindow, level: &Level) -> Option<Figure> {
    let zone = on.studies.zones.get(window.zone)?;
    zone.blocks(&on.studies.network).into_iter().find_map(|id| {
        let block = on.block(id)?;
        let figure = figures_of(on, block).into_iter().find(|it| is_it(it, level))?;
        Some(Figure { name: format!("{} of {}", level.cause, block.tag).into(), ..figure })
    })
}

fn is_it(figure: &Figure, level: &Level) -> bool {
    figure.name.eq_ignore_ascii_case(level.cause) && figure.value == level.voltage.into()
}

/// Every voltage that a block brings about in its zone, under the names that levels have.
fn figures_of(on: &Circumstances<'_>, block: &Block) -> Vec<Figure> {
    if let Some(bank) = block.equipment.as_kind::<BatteryBank>() {
        return of_bank(on, block, bank);
    }
    if let Some(strings) = block.equipment.as_kind::<Strings>() {
        let mut figures = of_strings(on, block.id);
        figures.extend(at_standard_conditions(on, block, strings));
        return figures;
    }
    block.equipment.ac_system().map_or_else(Vec::new, |system| {
        let mut working = Working::new();
        let value: Quantity = system.line_voltage().into();
        working.given("nominal voltage", "V", value, || Origin::Nameplate(block.tag.clone()));
        vec![Figure { name: "Nominal".into(), value, working }]
    })
}

fn at_standard_conditions(on: &Circumstances<'_>, block: &Block, strings: &Strings) -> Vec<Figure> {
    let Some(found) = on.studies.windows.strings(block.id) else { return Vec::new() };
    let plain = |name: &'static str, of_module: Volts, whole: Volts| {
        let mut working = Working::new();
        let count = Quantity::count(strings.modules_in_series as usize);
        working.given("modules in series", "n", count, || Origin::Setting(block.tag.clone()));
        working.given("of one module", "V_module", of_module.into(), || Origin::Nameplate(block.tag.clone()));
        working.found("of the string", "V", || "n × V_module".to_owned(), whole.into());
        Figure { name: name.into(), value: whole.into(), working }
    };
    vec![
        plain("Working at 25 °C", strings.max_power_voltage, found.max_power),
        plain("Open at 25 °C", strings.open_circuit_voltage, found.open_circuit),
    ]
}

/// The figure of what a device permits. `None` when it permits anything.
pub fn of_permitted(circuit: &Circuit, permitted: &Permitted) -> Option<Figure> {
    let block = circuit.block(permitted.block)?;
    let value = permitted.highest.or(permitted.absolute).or(permitted.lowest)?;
    let mut working = Working::new();
    for (meaning, symbol, limit) in [
        ("below it stops working", "V_low", permitted.lowest),
        ("above it stops working", "V_high", permitted.highest),
        ("above it is destroyed, or may not be used", "V_max", permitted.absolute),
    ] {
        if let Some(limit) = limit {
            working.given(meaning, symbol, limit.into(), || Origin::Nameplate(block.tag.clone()));
        }
    }
    let name = format!("permitted at {} {}", block.tag, permitted.what).trim().to_owned();
    Some(Figure { name: name.into(), value: value.into(), working })
}
