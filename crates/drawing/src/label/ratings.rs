//! The rating lines of each kind of block, at most four, in this order: what, volts, amps or watts,
//! interrupting rating.

use super::words::{Lines, count, figure, kiloamps, words};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::{Fitted, LoadBreak, Position};
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::kinds::dc_load::DcLoad;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::ground_fault_device::GroundFaultDevice;
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper, Electrode};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::meter::Meter;
use lineside_core::kinds::rapid_shutdown::{ShutdownInitiator, ShutdownReceiver};
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::surge_arrester::SurgeArrester;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::transfer_switch::{TransferArrangement, TransferPosition, TransferSwitch};
use lineside_core::kinds::utility::Utility;
use lineside_core::units::{Amps, Volts};

/// Writes the lines of a piece of equipment.
pub(super) fn write(equipment: &Equipment, to: &mut Lines<'_>) {
    match equipment {
        Equipment::Strings(it) => strings(it, to),
        Equipment::Combiner(it) => combiner(it, to),
        Equipment::ChargeController(it) => charge_controller(it, to),
        Equipment::BatteryBank(it) => battery_bank(it, to),
        Equipment::Inverter(it) => inverter(it, to),
        Equipment::Breaker(it) => breaker(it, to),
        Equipment::Fuse(it) => fuse(it, to),
        Equipment::Switch(it) => switch(it, to),
        Equipment::BusBar(it) => bus_bar(it, to),
        Equipment::Junction(it) => to.line(&[figure(it.rating)]),
        Equipment::DcConverter(it) => dc_converter(it, to),
        Equipment::DcLoad(it) => dc_load(it, to),
        Equipment::Generator(it) => generator(it, to),
        Equipment::Utility(it) => utility(it, to),
        Equipment::AcPanel(it) => ac_panel(it, to),
        Equipment::TransferSwitch(it) => transfer_switch(it, to),
        Equipment::Meter(it) => meter(it, to),
        Equipment::SurgeArrester(it) => surge_arrester(it, to),
        Equipment::GroundFaultDevice(it) => ground_fault_device(it, to),
        Equipment::ShutdownInitiator(it) => initiator(it, to),
        Equipment::ShutdownReceiver(it) => receiver(it, to),
        Equipment::Electrode(it) => electrode(it, to),
        Equipment::BondingJumper(it) => bonding_jumper(it, to),
    }
}

fn strings(it: &Strings, to: &mut Lines<'_>) {
    let strings = if it.strings_in_parallel == 1 { " string × " } else { " strings × " };
    to.line(&[count(it.strings_in_parallel), words(strings), count(it.modules_in_series)]);
    to.line(&[figure(it.array_power())]);
    to.line(&[words("tilt "), figure(it.tilt), words(", azimuth "), figure(it.azimuth)]);
}

fn combiner(it: &Combiner, to: &mut Lines<'_>) {
    to.line(&[count(it.ways), words(" × "), figure(it.device_rating), words(" "), words(it.device.label())]);
    voltages(it.dc_voltage, None, to);
    if it.buses > 1 {
        to.line(&[count(it.buses), words(" buses, "), figure(it.bus_rating), words(" each")]);
    } else {
        to.line(&[words("bus "), figure(it.bus_rating)]);
    }
    interrupts(it.interrupting_rating, None, to);
}

fn charge_controller(it: &ChargeController, to: &mut Lines<'_>) {
    to.line(&[words(it.kind.label())]);
    to.line(&[figure(it.max_input_voltage), words(" in, "), figure(it.output_limit()), words(" out")]);
}

fn battery_bank(it: &BatteryBank, to: &mut Lines<'_>) {
    to.line(&[words(it.chemistry.label())]);
    if it.strings_in_parallel > 1 {
        to.line(&[count(it.strings_in_parallel), words(" strings in parallel")]);
    }
    to.line(&[
        count(it.units_in_series),
        words(" × "),
        figure(it.capacity),
        words(", "),
        figure(it.nominal_voltage()),
    ]);
}

fn inverter(it: &Inverter, to: &mut Lines<'_>) {
    to.line(&[figure(it.continuous), words(", "), words(it.ac_system.label())]);
    to.line(&[
        figure(it.lowest_input_voltage),
        words(" to "),
        figure(it.highest_input_voltage),
        words(" dc"),
    ]);
    if let Some(relay) = it.transfer_relay {
        to.line(&[words("transfer relay "), figure(relay)]);
    }
}

fn breaker(it: &Breaker, to: &mut Lines<'_>) {
    poles(it.rating, it.poles, to);
    voltages(it.dc_voltage, it.ac_voltage, to);
    interrupts(it.interrupting_dc, it.interrupting_ac, to);
    state(it.position, to);
}

fn fuse(it: &Fuse, to: &mut Lines<'_>) {
    to.line(&[words(it.class.label()), words(" "), figure(it.rating)]);
    voltages(it.dc_voltage, it.ac_voltage, to);
    interrupts(it.interrupting_dc, it.interrupting_ac, to);
    state(it.position, to);
}

fn switch(it: &Switch, to: &mut Lines<'_>) {
    poles(it.rating, it.poles, to);
    voltages(it.dc_voltage, it.ac_voltage, to);
    if it.load_break == LoadBreak::No {
        to.line(&[words("NON-LOAD-BREAK")]);
    }
    state(it.position, to);
}

fn bus_bar(it: &BusBar, to: &mut Lines<'_>) {
    to.line(&[figure(it.rating)]);
    if let Some(voltage) = it.voltage {
        to.line(&[figure(voltage)]);
    }
}

fn dc_converter(it: &DcConverter, to: &mut Lines<'_>) {
    to.line(&[figure(it.output_voltage), words(", "), figure(it.output_current), words(" out")]);
    to.line(&[figure(it.min_input_voltage), words(" to "), figure(it.max_input_voltage), words(" in")]);
}

fn dc_load(it: &DcLoad, to: &mut Lines<'_>) {
    to.line(&[words("DC loads, "), figure(it.current)]);
    if let (Some(low), Some(high)) = (it.min_voltage, it.max_voltage) {
        to.line(&[figure(low), words(" to "), figure(high)]);
    }
}

fn generator(it: &Generator, to: &mut Lines<'_>) {
    to.line(&[figure(it.power), words(", "), words(it.ac_system.label())]);
    to.line(&[words(it.fuel.label())]);
}

fn utility(it: &Utility, to: &mut Lines<'_>) {
    to.line(&[words(it.ac_system.label()), words(", "), figure(it.service_rating)]);
    if let Some(current) = it.fault_current {
        to.line(&[words("fault current "), kiloamps(current)]);
    }
}

fn ac_panel(it: &AcPanel, to: &mut Lines<'_>) {
    to.line(&[words(it.ac_system.label()), words(", bus "), figure(it.bus_rating)]);
    if let Some(main) = it.main_rating {
        to.line(&[words("main "), figure(main)]);
    }
    if let Some(load) = it.connected_load {
        to.line(&[words("load "), figure(load)]);
    }
}

fn transfer_switch(it: &TransferSwitch, to: &mut Lines<'_>) {
    let what = match (it.arrangement, it.automatic) {
        (TransferArrangement::Bypass, _) => "bypass, ",
        (TransferArrangement::Transfer, Fitted::Yes) => "automatic transfer, ",
        (TransferArrangement::Transfer, Fitted::No) => "manual transfer, ",
    };
    to.line(&[words(what), figure(it.rating)]);
    voltages(None, it.ac_voltage, to);
    if it.position == TransferPosition::Alternate {
        to.line(&[words("normally in "), words(it.position.label())]);
    }
}

fn meter(it: &Meter, to: &mut Lines<'_>) {
    match it.resistance {
        Some(resistance) => to.line(&[figure(it.rating), words(", "), figure(resistance)]),
        None => to.line(&[figure(it.rating)]),
    }
}

fn surge_arrester(it: &SurgeArrester, to: &mut Lines<'_>) {
    to.line(&[figure(it.continuous_voltage), words(" "), words(it.current.label())]);
}

fn ground_fault_device(it: &GroundFaultDevice, to: &mut Lines<'_>) {
    to.line(&[figure(it.rating), words(", opens at "), figure(it.trip_current)]);
    voltages(it.dc_voltage, it.ac_voltage, to);
    interrupts(it.interrupting, None, to);
    state(it.position, to);
}

fn initiator(it: &ShutdownInitiator, to: &mut Lines<'_>) {
    to.line(&[words("rapid shutdown")]);
    to.line(&[words("within "), figure(it.time)]);
    if it.position == Position::Open {
        to.line(&[words("drawn thrown")]);
    }
}

fn receiver(it: &ShutdownReceiver, to: &mut Lines<'_>) {
    to.line(&[words(it.reach.label()), words(", "), figure(it.rating)]);
}

fn electrode(it: &Electrode, to: &mut Lines<'_>) {
    to.line(&[words(it.kind.label())]);
    if let Some(resistance) = it.resistance {
        to.line(&[figure(resistance)]);
    }
}

fn bonding_jumper(it: &BondingJumper, to: &mut Lines<'_>) {
    to.line(&[words(match it.system {
        BondedSystem::DcNegative => "DC BOND",
        BondedSystem::AcNeutral => "N–E BOND",
    })]);
}

fn poles(rating: Amps, poles: u32, to: &mut Lines<'_>) {
    to.line(&[figure(rating), words(" "), count(poles), words("P")]);
}

fn voltages(dc: Option<Volts>, ac: Option<Volts>, to: &mut Lines<'_>) {
    match (dc, ac) {
        (Some(dc), Some(ac)) => to.line(&[figure(dc), words(" dc, "), figure(ac), words(" ac")]),
        (Some(dc), None) => to.line(&[figure(dc), words(" dc")]),
        (None, Some(ac)) => to.line(&[figure(ac), words(" ac")]),
        (None, None) => {}
    }
}

fn interrupts(dc: Option<Amps>, ac: Option<Amps>, to: &mut Lines<'_>) {
    match (dc, ac) {
        (Some(dc), Some(ac)) if dc != ac => {
            to.line(&[kiloamps(dc), words(" dc, "), kiloamps(ac), words(" ac")]);
        }
        (Some(amps), _) | (None, Some(amps)) => to.line(&[kiloamps(amps)]),
        (None, None) => {}
    }
}

fn state(position: Position, to: &mut Lines<'_>) {
    match position {
        Position::Open => to.line(&[words("normally open")]),
        Position::Closed => {}
    }
}
