//! Equipment exchanged for another item of stock of the same kind that serves the same purpose: controllers,
//! inverters, bus bars, combiners, panels and the like. Devices are in `device.rs`, batteries in `cells.rs`.

use super::support::{blocks, exchange};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::proposals::stock_of;
use crate::remedy::Proposal;
use lineside_core::circuit::Block;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::dc_load::DcLoad;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::transfer_switch::TransferSwitch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;

/// Stock items that are proposed for one block.
const CHOICE: usize = 10;

/// Another controller for the same current.
pub(super) fn controller(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_kind(on, finding, |kind| kind == Kind::ChargeController)
}

/// Another item for any block that the finding names.
pub(super) fn any(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    of_kind(on, finding, |kind| {
        !matches!(
            kind,
            Kind::Breaker | Kind::Fuse | Kind::Switch | Kind::BatteryBank | Kind::Strings | Kind::Utility
        )
    })
}

/// Another item for the blocks with an AC system that are joined to those of the finding.
pub(super) fn neighbors(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let named: Vec<_> = blocks(on, finding).into_iter().map(|block| block.id).collect();
    let others = on.circuit().blocks().filter(|block| !named.contains(&block.id));
    others.filter(|block| block.kind() == Kind::Generator).flat_map(|block| proposals(on, block)).collect()
}

/// A smaller inverter that still carries the largest load.
pub(super) fn smaller_inverter(on: &Circumstances<'_>, _: &Finding) -> Vec<Proposal> {
    let inverters =
        on.circuit().blocks().filter_map(|block| Some((block, block.equipment.as_kind::<Inverter>()?)));
    let mut all = Vec::new();
    for (block, now) in inverters {
        let mut items = stock_of(on, Kind::Inverter, |it| {
            it.as_kind::<Inverter>().is_some_and(|it| {
                it.ac_system == now.ac_system
                    && it.ac_inputs >= now.ac_inputs
                    && it.continuous < now.continuous
            })
        });
        items.sort_by(|a, b| size(&b.equipment).total_cmp(&size(&a.equipment)));
        all.extend(items.iter().take(CHOICE).map(|item| exchange(block, item)));
    }
    all
}

fn of_kind(on: &Circumstances<'_>, finding: &Finding, wanted: impl Fn(Kind) -> bool) -> Vec<Proposal> {
    let named = blocks(on, finding).into_iter().filter(|block| wanted(block.kind()));
    named.flat_map(|block| proposals(on, block)).collect()
}

/// Stock that serves the purpose of a block, nearest in size first.
fn proposals(on: &Circumstances<'_>, block: &Block) -> Vec<Proposal> {
    let mut items = stock_of(on, block.kind(), |it| {
        serves(&block.equipment, it) && !differs_by_nothing(&block.equipment, it)
    });
    items.sort_by(|a, b| {
        let distance = |item: &StockItem| distance(&block.equipment, &item.equipment);
        distance(a).total_cmp(&distance(b))
    });
    items.iter().take(CHOICE).map(|item| exchange(block, item)).collect()
}

fn differs_by_nothing(old: &Equipment, new: &Equipment) -> bool {
    old == new
}

/// Whether an item can do what a block is there for.
fn serves(old: &Equipment, new: &Equipment) -> bool {
    match (old, new) {
        (Equipment::ChargeController(old), Equipment::ChargeController(new)) => controls(old, new),
        (Equipment::Inverter(old), Equipment::Inverter(new)) => inverts(old, new),
        (Equipment::BusBar(old), Equipment::BusBar(new)) => joins(old, new),
        (Equipment::Combiner(old), Equipment::Combiner(new)) => gathers(old, new),
        (Equipment::AcPanel(old), Equipment::AcPanel(new)) => feeds(old, new),
        (Equipment::Generator(old), Equipment::Generator(new)) => generates(old, new),
        (Equipment::TransferSwitch(old), Equipment::TransferSwitch(new)) => transfers(old, new),
        (Equipment::DcLoad(old), Equipment::DcLoad(new)) => loads(old, new),
        (old, new) => old.kind() == new.kind() && old.terminals().len() <= new.terminals().len(),
    }
}

fn controls(old: &ChargeController, new: &ChargeController) -> bool {
    new.output_current >= old.output_current
}
fn inverts(old: &Inverter, new: &Inverter) -> bool {
    new.ac_system == old.ac_system
        && new.ac_inputs >= old.ac_inputs
        && new.continuous >= old.continuous
        && (old.charger_current.is_none() || new.charger_current.is_some())
}
fn joins(old: &BusBar, new: &BusBar) -> bool {
    new.rating >= old.rating && new.taps >= old.taps
}
fn gathers(old: &Combiner, new: &Combiner) -> bool {
    new.ways >= old.ways && new.buses == old.buses
}
fn feeds(old: &AcPanel, new: &AcPanel) -> bool {
    new.ac_system == old.ac_system && new.taps >= old.taps
}
fn generates(old: &Generator, new: &Generator) -> bool {
    new.power * 2.0 >= old.power
}
fn transfers(old: &TransferSwitch, new: &TransferSwitch) -> bool {
    new.arrangement == old.arrangement && new.rating >= old.rating
}
fn loads(old: &DcLoad, new: &DcLoad) -> bool {
    new.current >= old.current
}

/// Figures by which items of one kind are laid side by side: what they give, and at what voltage.
const SIZES: [&str; 6] = ["output_current", "continuous", "power", "rating", "bus_rating", "current"];
const VOLTAGES: [&str; 4] = ["max_input_voltage", "highest_input_voltage", "voltage", "max_voltage"];

fn figure(equipment: &Equipment, keys: &[&str]) -> Option<f64> {
    keys.iter().find_map(|key| match equipment.get(key) {
        Some(Value::Number(number)) if number > 0.0 => Some(number),
        _ => None,
    })
}

fn size(equipment: &Equipment) -> f64 {
    figure(equipment, &SIZES).unwrap_or_default()
}

/// How far two items are apart in size and voltage, by ratio.
fn distance(a: &Equipment, b: &Equipment) -> f64 {
    let apart = |keys: &[&str]| match (figure(a, keys), figure(b, keys)) {
        (Some(a), Some(b)) => (a / b).max(b / a),
        _ => 1.0,
    };
    apart(&SIZES) * apart(&VOLTAGES)
}
