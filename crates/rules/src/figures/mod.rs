//! Figures of a design apart from its findings, each with its working: what a run carries, may carry, loses and would
//! see in a short circuit; what voltages strings and banks reach. Nothing is judged here, and the numbers are those of
//! the studies.

mod ladder;

pub use ladder::{of_level, of_permitted};

use crate::circumstances::Circumstances;
use crate::rules::conductors::support::{ampacity_working, current_working, sized_working};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId, Run, RunId, Side};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::units::{Amps, Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{PathDrop, Port};
use std::borrow::Cow;

/// A figure and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is, in words; within one list no two are alike.
    pub name: Cow<'static, str>,
    /// The figure.
    pub value: Quantity,
    /// Line by line.
    pub working: Working,
}

/// Figures of a run, in the order in which a designer asks for them. What is not known is left out.
pub fn of_run(on: &Circumstances<'_>, id: RunId) -> Vec<Figure> {
    let Some(run) = on.run(id) else { return Vec::new() };
    let mut figures = Vec::new();
    figures.extend(greatest(on, run));
    figures.extend(to_be_carried(on, run));
    figures.extend(ampacity(on, run));
    figures.extend(lost(on, run));
    figures.extend(Side::BOTH.into_iter().filter_map(|side| short_circuit(on, run, side)));
    figures
}

/// Figures of a set of strings or a bank: the voltages that it reaches. Empty for any other block.
pub fn of_block(on: &Circumstances<'_>, id: BlockId) -> Vec<Figure> {
    let Some(block) = on.block(id) else { return Vec::new() };
    if let Some(bank) = block.equipment.as_kind::<BatteryBank>() {
        return of_bank(on, block, bank);
    }
    of_strings(on, id)
}

fn greatest(on: &Circumstances<'_>, run: &Run) -> Option<Figure> {
    let current = on.studies.currents.of(run.id)?;
    let value = current.greatest?;
    let forward = current.forward == current.greatest;
    let (giver, taker) =
        if forward { (&current.from_side, &current.to_side) } else { (&current.to_side, &current.from_side) };
    let end = |side: Side| on.circuit().end_name(run.end(side));
    let (before, behind) = if forward { (Side::From, Side::To) } else { (Side::To, Side::From) };
    let mut working = Working::new();
    for (tally, side) in [(giver, before), (taker, behind)] {
        for port in Port::ALL.into_iter().filter(|port| tally.amps(*port) > Amps::ZERO) {
            let from = || Origin::Working(format!("beyond {}", end(side)));
            working.given(port.label(), "I", tally.amps(port).into(), from);
        }
    }
    let formula = || "what the one side can give and the other take".to_owned();
    working.found("greatest continuous current", "I_max", formula, value.into());
    Some(Figure { name: "Greatest current".into(), value: value.into(), working })
}

fn to_be_carried(on: &Circumstances<'_>, run: &Run) -> Option<Figure> {
    let factor = on.number(FactorKey::Continuous);
    let value = on.studies.currents.of(run.id)?.sized(factor)?;
    let mut working = Working::new();
    current_working(on, run, &mut working);
    sized_working(on, run, factor, "to be carried", "I", &mut working);
    Some(Figure { name: "To be carried".into(), value: value.into(), working })
}

fn ampacity(on: &Circumstances<'_>, run: &Run) -> Option<Figure> {
    let ampacity = on.studies.ratings.of(run.id)?.ampacity.as_ref().ok()?;
    let mut working = Working::new();
    ampacity_working(on, run, ampacity, &mut working);
    Some(Figure { name: "Ampacity".into(), value: ampacity.ampacity.into(), working })
}

/// What is lost in the run itself, as a share of the way on which most is lost in it.
fn lost(on: &Circumstances<'_>, run: &Run) -> Option<Figure> {
    let loss = |path: &PathDrop| {
        let leg = path.legs.iter().find(|leg| leg.run == run.id)?;
        let volts = leg.current * leg.resistance;
        (path.drop > Volts::ZERO).then(|| (*leg, volts, path.of, path.share * (volts / path.drop)))
    };
    let worst = on.studies.drops.all().iter().filter_map(loss).max_by(|a, b| a.3.total_cmp(&b.3));
    let (leg, volts, of, share) = worst?;
    let mut working = Working::new();
    let tag = || Origin::Working(run.tag.clone());
    working.given("current", "I", leg.current.into(), tag);
    working.given("resistance of both poles, warm", "R", leg.resistance.into(), tag);
    working.found("lost in this run", "ΔV", || "I × R".to_owned(), volts.into());
    working.given("of", "V", of.into(), || Origin::Working("nominal or maximum-power voltage".to_owned()));
    working.found("share", "%", || "100 × ΔV / V".to_owned(), share.into());
    Some(Figure { name: "Voltage drop".into(), value: share.into(), working })
}

fn short_circuit(on: &Circumstances<'_>, run: &Run, side: Side) -> Option<Figure> {
    let network = &on.studies.network;
    let fault = on.studies.faults.run_side(network, run.id, side);
    let near = network.run_end(run.id, side)?;
    if fault.total().value() <= 0.0 {
        return None;
    }
    let mut working = Working::new();
    on.fault_working(&fault, near, &mut working);
    let tag = on.block(run.end(side).block).map_or("", |block| block.tag.as_str());
    Some(Figure { name: format!("Short circuit from {tag}").into(), value: fault.total().into(), working })
}

fn of_strings(on: &Circumstances<'_>, id: BlockId) -> Vec<Figure> {
    let Some(found) = on.studies.windows.strings(id) else { return Vec::new() };
    let figure = |name: &'static str, value: Option<Volts>, tell: &dyn Fn(&mut Working)| {
        let mut working = Working::new();
        tell(&mut working);
        Some(Figure { name: name.into(), value: value?.into(), working })
    };
    let cold = figure("Cold, open", found.cold_open_circuit, &|working| on.cold_voltage_working(id, working));
    let hot = figure("Hot, working", found.hot_max_power, &|working| on.hot_voltage_working(id, working));
    [cold, hot].into_iter().flatten().collect()
}

fn of_bank(on: &Circumstances<'_>, block: &Block, bank: &BatteryBank) -> Vec<Figure> {
    let Some(found) = on.studies.windows.bank(block.id) else { return Vec::new() };
    let cells = Quantity::count(bank.cells() as usize);
    let plain = |name: &'static str, per_cell: Volts, whole: Volts| {
        let mut working = Working::new();
        let tag = || Origin::Setting(block.tag.clone());
        working.given("cells in series", "n", cells, tag);
        working.given("per cell", "V_cell", per_cell.into(), tag);
        working.found("of the bank", "V", || "n × V_cell".to_owned(), whole.into());
        Figure { name: name.into(), value: whole.into(), working }
    };
    let mut figures = vec![
        plain("Empty", bank.empty_volts(), found.empty),
        plain("At rest, full", bank.full_rest_voltage, found.open_circuit),
        plain("Charge", bank.charge_volts(), found.charge),
    ];
    if let (Some(per_cell), Some(whole)) = (bank.equalize_volts(), found.equalize) {
        figures.push(plain("Equalize", per_cell, whole));
    }
    let mut working = Working::new();
    on.bank_voltage_working(block.id, &mut working);
    figures.push(Figure { name: "Highest, cold".into(), value: found.highest.into(), working });
    figures
}
