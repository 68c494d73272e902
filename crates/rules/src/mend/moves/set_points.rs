//! Programmed values: charge and equalize voltages within the range of the chemistry, limits of chargers, cut-outs
//! and AC limits of inverters.

use super::support::{allowed_over_found, banks, blocks, set_all, with_field, zones};
use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding};
use crate::remedy::Proposal;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Amps, Measure, Volts};
use lineside_study::ZoneKind;

/// Lower equalize and charge voltages, down to the least that still charges the chemistry.
pub(super) fn lower_charge(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    banks(on, finding).into_iter().flat_map(|block| lower_charge_of(on, block)).collect()
}

fn lower_charge_of(on: &Circumstances<'_>, block: &Block) -> Vec<Proposal> {
    let Some(bank) = block.equipment.as_kind::<BatteryBank>() else { return Vec::new() };
    let range = on.codes().common.battery_windows.find(bank.chemistry).and_then(|it| it.value.charge_range);
    let Some((least, _)) = range else { return Vec::new() };
    let charge = bank.charge_volts();
    let both = |volts: Volts| {
        let value = Value::Number(volts.value());
        let mut equipment = block.equipment.clone();
        equipment.set("charge_setting", &value).ok()?;
        if bank.equalize_volts().is_some() {
            equipment.set("equalize_setting", &value).ok()?;
        }
        let what = if bank.equalize_volts().is_some() { "Charge and equalize" } else { "Charge" };
        let label = format!("{what} {} at {volts} per cell, if its maker accepts that", block.tag);
        (equipment != block.equipment).then_some((label, equipment))
    };
    let equalize_only = bank.equalize_volts().filter(|it| *it > charge).and_then(|_| {
        let equipment = with_field(block, "equalize_setting", &Value::Number(charge.value()))?;
        Some((format!("Equalize {} at {charge} per cell, if its maker accepts that", block.tag), equipment))
    });
    let middle = ((charge + least) / 2.0).cut_to(2);
    let lower =
        [middle, least].into_iter().filter(|volts| *volts >= least && *volts < charge).filter_map(both);
    let all = equalize_only.into_iter().chain(lower);
    all.filter_map(|(label, equipment)| set_all(label, [(block.id, equipment, block.stock.clone())]))
        .collect()
}

/// Limits on all chargers of a bus, each in the share that it has now.
pub(super) fn chargers(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Some(share) = allowed_over_found(finding).filter(|share| *share < 1.0) else { return Vec::new() };
    let mut changed: Vec<(BlockId, Equipment, Option<String>)> = Vec::new();
    let mut words = Vec::new();
    for (block, key, now) in chargers_of(on, finding) {
        let limit = (now * share).cut_to(0);
        let limit = if limit < Amps::new(1.0) { (now * share).cut_to(1) } else { limit };
        if let Some(equipment) = with_field(block, key, &Value::Number(limit.value())) {
            words.push(format!("{} at {limit}", block.tag));
            changed.push((block.id, equipment, block.stock.clone()));
        }
    }
    let label = format!("Charge current limit of {}", words.join(", "));
    set_all(label, changed).into_iter().collect()
}

/// The chargers on the battery zones of a finding: block, key of the limit, and what they give now.
fn chargers_of<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<(&'a Block, &'static str, Amps)> {
    let mut all: Vec<(&Block, &'static str, Amps)> = Vec::new();
    for zone in zones(on, finding, ZoneKind::Battery) {
        for (block, it) in on.controllers_charging(zone) {
            let now = it.current_limit.map_or(it.output_current, |limit| limit.min(it.output_current));
            all.push((block, "current_limit", now));
        }
        for (block, it) in on.inverters_on(zone) {
            let Some(most) = it.charger_current else { continue };
            all.push((block, "charge_limit", it.charge_limit.map_or(most, |limit| limit.min(most))));
        }
    }
    all.sort_by_key(|it| it.0.id);
    all.dedup_by_key(|it| it.0.id);
    all
}

/// The cut-out where the finding allows it, or where the bank is empty.
pub(super) fn cut_out(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let allowed = match &finding.allowed {
        Amount::Quantity(allowed) => Volts::try_new(allowed.value).ok(),
        Amount::Words(_) => None,
    };
    let empty = empty_of(on, finding);
    let wanted: Vec<Volts> = allowed.into_iter().chain(empty).collect();
    let inverters = inverters(on, finding);
    inverters.iter().flat_map(|block| wanted.iter().flat_map(|volts| cut_outs(block, *volts))).collect()
}

/// A higher cut-out, so that the inverter takes less current from an empty bank.
pub(super) fn higher_cut_out(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let empty = empty_of(on, finding);
    let zones = zones(on, finding, ZoneKind::Battery).into_iter();
    let inverters: Vec<_> = zones.flat_map(|zone| on.inverters_on(zone)).collect();
    let lower = |it: &Inverter, volts: Volts| it.low_cut_out_voltage() < volts;
    inverters
        .into_iter()
        .flat_map(|(block, it)| {
            let volts = empty.filter(|volts| lower(it, *volts));
            volts.into_iter().flat_map(|volts| cut_outs(block, volts))
        })
        .collect()
}

/// Cut-out alone, and cut-out with a cut-in that stays above it.
fn cut_outs(block: &Block, volts: Volts) -> Vec<Proposal> {
    let volts = volts.cut_to(1);
    let label = format!("Low cut-out of {} at {volts}", block.tag);
    let alone = with_field(block, "low_cut_out", &Value::Number(volts.value()));
    let alone = alone.and_then(|it| set_all(label, [(block.id, it, block.stock.clone())]));
    alone.into_iter().collect()
}

fn empty_of(on: &Circumstances<'_>, finding: &Finding) -> Option<Volts> {
    let banks = banks(on, finding).into_iter();
    let mut empty = banks
        .filter_map(|block| block.equipment.as_kind::<BatteryBank>())
        .map(|it| it.empty_volts() * f64::from(it.cells()));
    empty.next()
}

fn inverters<'a>(on: &Circumstances<'a>, finding: &Finding) -> Vec<&'a Block> {
    blocks(on, finding).into_iter().filter(|block| block.kind() == Kind::Inverter).collect()
}

/// A lower limit of what an inverter takes from an AC source.
pub(super) fn input_limit(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Amount::Quantity(allowed) = &finding.allowed else { return Vec::new() };
    let Ok(limit) = Amps::try_new(allowed.value) else { return Vec::new() };
    let inverters = inverters(on, finding).into_iter();
    inverters
        .filter_map(|block| {
            let limit = limit.cut_to(0);
            let equipment = with_field(block, "ac_input_limit", &Value::Number(limit.value()))?;
            let label = format!("AC input limit of {} at {limit}", block.tag);
            set_all(label, [(block.id, equipment, block.stock.clone())])
        })
        .collect()
}

/// An AC input limit by which a device that stands already is large enough.
pub(super) fn less_input(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let (Amount::Quantity(found), Amount::Quantity(needed)) = (&finding.found, &finding.allowed) else {
        return Vec::new();
    };
    let share = if needed.value > 0.0 { found.value / needed.value } else { 1.0 };
    let all = on.circuit().blocks().filter_map(|block| Some((block, block.equipment.as_kind::<Inverter>()?)));
    all.filter(|(_, it)| it.ac_inputs > 0 && share < 1.0)
        .filter_map(|(block, it): (&Block, &Inverter)| {
            let limit = (it.ac_input_limit.or(it.transfer_relay)? * share).cut_to(0);
            let equipment = with_field(block, "ac_input_limit", &Value::Number(limit.value()))?;
            let label = format!("AC input limit of {} at {limit}", block.tag);
            set_all(label, [(block.id, equipment, block.stock.clone())])
        })
        .collect()
}

/// Less charge current from the AC side, in the share by which a source is overloaded.
pub(super) fn charge_limit(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Some(share) = allowed_over_found(finding).filter(|share| *share < 1.0) else { return Vec::new() };
    let all = on.circuit().blocks().filter_map(|block| Some((block, block.equipment.as_kind::<Inverter>()?)));
    all.filter_map(|(block, it): (&Block, &Inverter)| {
        let now = it.charge_limit.or(it.charger_current)?;
        let limit = (now * (share / 2.0)).cut_to(0);
        let equipment = with_field(block, "charge_limit", &Value::Number(limit.value()))?;
        let label = format!("Charge current limit of {} at {limit}", block.tag);
        set_all(label, [(block.id, equipment, block.stock.clone())])
    })
    .collect()
}
