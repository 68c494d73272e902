//! Faults of many kinds, as they are made on site and at the desk. Each gives the edit that makes it, or nothing where
//! the circuit has no place for it.

use crate::dice::Dice;
use lineside_core::circuit::{Block, Conductor, Insulation, Run, RunEnd};
use lineside_core::edit::{Edit, remove_block_with_runs};
use lineside_core::kinds::field::Value;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{Celsius, CelsiusSpan, ConductorSize, Meters, Volts};

/// What a fault is given.
pub struct Scene<'a> {
    /// The circuit as it stands.
    pub project: &'a Project,
    /// The built-in stock.
    pub stock: &'a [StockItem],
}

type Fault = fn(&mut Dice, &Scene<'_>) -> Option<Edit>;

/// Every kind of fault, by name.
pub const ALL: &[(&str, Fault)] = &[
    ("more modules in series", |dice, on| {
        let more = u32::try_from(dice.below(3)).ok()? + 1;
        all_of(on, Kind::Strings, |it| bump(it, "modules_in_series", |now| now + more))
    }),
    ("fewer modules in series", |_, on| {
        all_of(on, Kind::Strings, |it| bump(it, "modules_in_series", |now| now.saturating_sub(1).max(1)))
    }),
    ("more modules in one set", |dice, on| {
        one_of(dice, on, &[Kind::Strings], |it| bump(it, "modules_in_series", |now| now + 1))
    }),
    ("more strings in parallel", |dice, on| {
        one_of(dice, on, &[Kind::Strings], |it| bump(it, "strings_in_parallel", |now| now + 1))
    }),
    ("a colder site", |dice, on| {
        let mut brief = on.project.brief.clone();
        let colder = CelsiusSpan::new(-dice.between(12.0, 25.0).round());
        brief.site.record_low = Some(brief.site.record_low?.warmer_by(colder));
        Some(Edit::SetBrief(Box::new(brief)))
    }),
    ("thin conductors", |dice, on| {
        let steps = dice.below(4) + 1;
        conductor(dice, on, move |it| it.size = thinner(it.size, steps))
    }),
    ("a long run", |dice, on| {
        let times = dice.between(2.0, 5.0);
        conductor(dice, on, move |it| it.length = it.length * times)
    }),
    ("poor insulation", |dice, on| conductor(dice, on, |it| it.insulation = Insulation::Tw)),
    ("welding cable", |dice, on| conductor(dice, on, |it| it.insulation = Insulation::Welding)),
    ("insulation for little voltage", |dice, on| conductor(dice, on, |it| it.voltage = Volts::new(50.0))),
    ("a full raceway", |dice, on| conductor(dice, on, |it| it.loaded_conductors = 12)),
    ("a hot place for a run", |dice, on| conductor(dice, on, |it| it.ambient = Some(Celsius::new(58.0)))),
    ("no grounding conductor", |dice, on| conductor(dice, on, |it| it.grounding_conductor = None)),
    ("a thin grounding conductor", |dice, on| {
        conductor(dice, on, |it| it.grounding_conductor = it.grounding_conductor.map(|size| thinner(size, 2)))
    }),
    ("a device too large", |dice, on| {
        let times = dice.between(1.4, 2.6);
        one_of(dice, on, DEVICES, |it| scale(it, "rating", times))
    }),
    ("a device too small", |dice, on| {
        let times = dice.between(0.4, 0.7);
        one_of(dice, on, DEVICES, |it| scale(it, "rating", times))
    }),
    ("combiner ways too large", |dice, on| {
        one_of(dice, on, &[Kind::Combiner], |it| scale(it, "device_rating", 2.0))
    }),
    ("a device for little voltage", |dice, on| {
        one_of(dice, on, DEVICES, |it| set(it, "dc_voltage", &Value::Number(32.0)))
    }),
    ("a device that breaks little", |dice, on| {
        one_of(dice, on, DEVICES, |it| set(it, "interrupting_dc", &Value::Number(300.0)))
    }),
    ("an AC device on DC", |dice, on| {
        one_of(dice, on, &[Kind::Breaker], |it| {
            let mut changed = set(it, "dc_voltage", &Value::Absent)?;
            changed.set("interrupting_dc", &Value::Absent).ok()?;
            changed.set("ac_voltage", &Value::Number(240.0)).ok()?;
            Some(changed)
        })
    }),
    ("a breaker that minds the direction", |dice, on| {
        one_of(dice, on, &[Kind::Breaker], |it| set(it, "polarity", &Value::Choice("sensitive")))
    }),
    ("a fuse without its switch", |dice, on| {
        one_of(dice, on, &[Kind::Fuse], |it| set(it, "mount", &Value::Choice("bolt_down")))
    }),
    ("a figure missing from a device", |dice, on| {
        let key = *dice.pick(&["dc_voltage", "interrupting_dc", "terminal_temperature", "pv_listed"])?;
        one_of(dice, on, DEVICES, move |it| set(it, key, &Value::Absent))
    }),
    ("a figure missing from equipment", |dice, on| {
        let (kind, key) = *dice.pick(&[
            (Kind::ChargeController, "input_short_circuit_current"),
            (Kind::ChargeController, "max_output_voltage"),
            (Kind::BatteryBank, "charge_current"),
            (Kind::BatteryBank, "unit_resistance"),
            (Kind::Strings, "series_fuse_rating"),
            (Kind::Strings, "system_voltage"),
            (Kind::BusBar, "voltage"),
        ])?;
        one_of(dice, on, &[kind], move |it| set(it, key, &Value::Absent))
    }),
    ("a device taken out", |dice, on| taken_out(dice, on)),
    ("more cells in series", |dice, on| {
        let more = u32::try_from(dice.below(4)).ok()? + 1;
        one_of(dice, on, &[Kind::BatteryBank], move |it| bump(it, "units_in_series", |now| now + more))
    }),
    ("fewer cells in series", |dice, on| {
        one_of(dice, on, &[Kind::BatteryBank], |it| {
            bump(it, "units_in_series", |now| now.saturating_sub(3).max(1))
        })
    }),
    ("a high equalize voltage", |dice, on| {
        let times = dice.between(1.03, 1.15);
        one_of(dice, on, &[Kind::BatteryBank], move |it| {
            let Value::Number(now) = it.get("charge_voltage")? else { return None };
            set(it, "equalize_setting", &Value::Number((now * times * 100.0).round() / 100.0))
        })
    }),
    ("small cells", |dice, on| {
        one_of(dice, on, &[Kind::BatteryBank], |it| {
            let mut changed = it.clone();
            for key in ["charge_current", "discharge_current"] {
                let Value::Number(now) = it.get(key)? else { return None };
                changed.set(key, &Value::Number(now * 0.4)).ok()?;
            }
            Some(changed)
        })
    }),
    ("another inverter", |dice, on| swapped(dice, on, Kind::Inverter)),
    ("another controller", |dice, on| swapped(dice, on, Kind::ChargeController)),
    ("another bus bar", |dice, on| swapped(dice, on, Kind::BusBar)),
    ("a bus bar too small", |dice, on| one_of(dice, on, &[Kind::BusBar], |it| scale(it, "rating", 0.35))),
    ("a cut-out too low", |dice, on| {
        one_of(dice, on, &[Kind::Inverter], |it| {
            let Value::Number(least) = it.get("lowest_input_voltage")? else { return None };
            set(it, "low_cut_out", &Value::Number(least))
        })
    }),
    ("no sensor at the battery", |dice, on| {
        one_of(dice, on, &[Kind::ChargeController], |it| set(it, "temperature_sensor", &Value::Choice("no")))
    }),
    ("no fault protection", |dice, on| {
        one_of(dice, on, &[Kind::ChargeController], |it| {
            let mut changed = set(it, "ground_fault_protection", &Value::Choice("no"))?;
            changed.set("arc_fault_protection", &Value::Choice("no")).ok()?;
            Some(changed)
        })
    }),
    ("small vents", |dice, on| place(dice, on, "vent_opening", 60.0)),
    ("a spark near the vents", |dice, on| place(dice, on, "spark_distance", 0.1)),
    ("little room to work", |dice, on| place(dice, on, "working_depth", 0.4)),
    ("an extra neutral bond", |dice, on| {
        one_of(dice, on, &[Kind::AcPanel], |it| set(it, "bond", &Value::Choice("bonded")))
    }),
    ("no neutral bond", |dice, on| {
        one_of(dice, on, &[Kind::AcPanel], |it| set(it, "bond", &Value::Choice("separate")))
    }),
    ("no DC bond", |dice, on| {
        let jumpers = of_kind(on, &[Kind::BondingJumper]);
        Some(remove_block_with_runs(&on.project.circuit, dice.pick(&jumpers)?.id))
    }),
    ("a plug-in breaker", |dice, on| {
        one_of(dice, on, &[Kind::Breaker], |it| set(it, "plug_in", &Value::Choice("yes")))
    }),
    ("no interlock", |dice, on| {
        one_of(dice, on, &[Kind::Breaker], |it| set(it, "interlock", &Value::Absent))
    }),
    ("a large charger", |dice, on| {
        one_of(dice, on, &[Kind::Inverter], |it| {
            let mut changed = set(it, "charge_limit", &Value::Absent).unwrap_or_else(|| it.clone());
            let Value::Number(now) = it.get("charger_current")? else { return None };
            changed.set("charger_current", &Value::Number(now * 1.8)).ok()?;
            Some(changed)
        })
    }),
    ("a battery far from its fuse", |_, on| {
        let circuit = &on.project.circuit;
        let at_bank = |run: &&Run| {
            [run.from, run.to].into_iter().any(|end: RunEnd| {
                circuit.block(end.block).is_some_and(|block| block.kind() == Kind::BatteryBank)
            })
        };
        let mut run = circuit.runs().filter(|run| run.conductor.is_some()).find(at_bank)?.clone();
        run.conductor.as_mut()?.length = Meters::new(6.0);
        Some(Edit::SetRun(Box::new(run)))
    }),
];

const DEVICES: &[Kind] = &[Kind::Breaker, Kind::Fuse, Kind::Switch];

fn of_kind<'a>(on: &Scene<'a>, kinds: &[Kind]) -> Vec<&'a Block> {
    on.project.circuit.blocks().filter(|block| kinds.contains(&block.kind())).collect()
}

fn edit_of(block: &Block, equipment: Equipment) -> Edit {
    Edit::SetEquipment { block: block.id, equipment: Box::new(equipment), stock: block.stock.clone() }
}

fn one_of(
    dice: &mut Dice,
    on: &Scene<'_>,
    kinds: &[Kind],
    change: impl Fn(&Equipment) -> Option<Equipment>,
) -> Option<Edit> {
    let blocks = of_kind(on, kinds);
    let block = dice.pick(&blocks)?;
    Some(edit_of(block, change(&block.equipment)?))
}

fn all_of(on: &Scene<'_>, kind: Kind, change: impl Fn(&Equipment) -> Option<Equipment>) -> Option<Edit> {
    let blocks = of_kind(on, &[kind]);
    let edits: Option<Vec<Edit>> =
        blocks.iter().map(|block| Some(edit_of(block, change(&block.equipment)?))).collect();
    edits.filter(|edits| !edits.is_empty()).map(Edit::Batch)
}

fn set(equipment: &Equipment, key: &str, value: &Value) -> Option<Equipment> {
    let mut changed = equipment.clone();
    changed.set(key, value).ok()?;
    (changed != *equipment).then_some(changed)
}

fn bump(equipment: &Equipment, key: &str, to: impl Fn(u32) -> u32) -> Option<Equipment> {
    let Value::Whole(now) = equipment.get(key)? else { return None };
    set(equipment, key, &Value::Whole(to(now)))
}

fn scale(equipment: &Equipment, key: &str, times: f64) -> Option<Equipment> {
    let Value::Number(now) = equipment.get(key)? else { return None };
    set(equipment, key, &Value::Number((now * times / 5.0).round().max(1.0) * 5.0))
}

fn conductor(dice: &mut Dice, on: &Scene<'_>, change: impl Fn(&mut Conductor)) -> Option<Edit> {
    let runs: Vec<&Run> = on.project.circuit.runs().filter(|run| run.conductor.is_some()).collect();
    let mut run = (*dice.pick(&runs)?).clone();
    change(run.conductor.as_mut()?);
    Some(Edit::SetRun(Box::new(run)))
}

/// The size so many steps below.
fn thinner(size: ConductorSize, steps: usize) -> ConductorSize {
    let us = [
        "14",
        "12",
        "10",
        "8",
        "6",
        "4",
        "3",
        "2",
        "1",
        "1/0",
        "2/0",
        "3/0",
        "4/0",
        "250 kcmil",
        "350 kcmil",
    ];
    let si = ["1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120"];
    let read = |text: &str| ConductorSize::read(text).ok();
    let all: Vec<ConductorSize> = us
        .iter()
        .filter_map(|text| read(text))
        .chain(si.iter().filter_map(|text| read(&format!("{text} mm²"))))
        .filter(|other| other.system() == size.system())
        .collect();
    let at = all.iter().filter(|other| other.area().value() < size.area().value()).count();
    all.get(at.saturating_sub(steps)).copied().unwrap_or(size)
}

fn place(dice: &mut Dice, on: &Scene<'_>, key: &str, value: f64) -> Option<Edit> {
    let with: Vec<_> = on
        .project
        .circuit
        .places()
        .filter(|place| !matches!(place.facts.get(key), None | Some(Value::Absent)))
        .collect();
    let mut place = (*dice.pick(&with)?).clone();
    place.facts.set(key, &Value::Number(value)).ok()?;
    Some(Edit::SetPlace(Box::new(place)))
}

fn swapped(dice: &mut Dice, on: &Scene<'_>, kind: Kind) -> Option<Edit> {
    let blocks = of_kind(on, &[kind]);
    let block = dice.pick(&blocks)?;
    let same_sort = |item: &&StockItem| {
        item.equipment.kind() == kind && item.equipment.ac_system() == block.equipment.ac_system()
    };
    let items: Vec<&StockItem> = on.stock.iter().filter(same_sort).collect();
    let item = dice.pick(&items)?;
    Some(Edit::SetEquipment {
        block: block.id,
        equipment: Box::new(item.equipment.clone()),
        stock: Some(item.name.clone()),
    })
}

/// A device of two runs gone, its neighbors joined by what joined it.
fn taken_out(dice: &mut Dice, on: &Scene<'_>) -> Option<Edit> {
    let circuit = &on.project.circuit;
    let devices: Vec<&Block> =
        of_kind(on, DEVICES).into_iter().filter(|block| circuit.runs_at(block.id).len() == 2).collect();
    let block = dice.pick(&devices)?;
    let runs = circuit.runs_at(block.id);
    let [a, b] = runs.as_slice() else { return None };
    let far = |run: &Run| if run.from.block == block.id { run.to } else { run.from };
    let (kept, gone) = if a.conductor.is_some() { (a, b) } else { (b, a) };
    let joined = Run { from: far(kept), to: far(gone), bends: Vec::new(), ..(*kept).clone() };
    Some(Edit::Batch(vec![
        Edit::RemoveRun(gone.id),
        Edit::SetRun(Box::new(joined)),
        Edit::RemoveBlock(block.id),
    ]))
}
