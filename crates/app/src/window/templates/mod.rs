//! Templates: groups of blocks that belong together, put on the sheet wired and sized as one step.
//!
//! Of what each is made is in `recipes.rs`; here they are built. That they raise no danger of themselves is tested in
//! whole systems.

mod recipes;

use super::edits::room::room_for;
use super::edits::{Fresh, Labeled, place_at, wiring};
use lineside_core::circuit::{
    Block, BlockId, Conductor, GridPoint, Insulation, Method, Mirror, Orientation, Raceway, Run, RunEnd,
    TerminalName,
};
use lineside_core::edit::{Edit, Refusal, apply};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::{ConductorSize, Meters, UnitSystem};
use lineside_drawing::route::Routes;
use lineside_drawing::symbols;
use recipes::{Part, Recipe, Wire};

/// A group of blocks that belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Template {
    /// A string on a way of a combiner.
    StringWithItsWay,
    /// A charge controller between its two breakers.
    ControllerWithBreakers,
    /// An inverter with a breaker at its AC input and output, and a bypass round them.
    InverterWithPairAndBypass,
}

impl Template {
    /// Every template.
    pub const ALL: [Self; 3] =
        [Self::StringWithItsWay, Self::ControllerWithBreakers, Self::InverterWithPairAndBypass];

    /// As people read it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::StringWithItsWay => "String with its way",
            Self::ControllerWithBreakers => "Controller with both its breakers",
            Self::InverterWithPairAndBypass => "Inverter with its AC pair and bypass",
        }
    }

    /// Of what it is made, in one sentence.
    pub const fn explanation(self) -> &'static str {
        match self {
            Self::StringWithItsWay => {
                "A string like those on the sheet, on the next free way of a combiner, or with a combiner of its own."
            }
            Self::ControllerWithBreakers => {
                "A charge controller with a breaker to the array and one to the battery bus."
            }
            Self::InverterWithPairAndBypass => {
                "An inverter-charger for the bank on the sheet, a breaker at its AC input and output, and a bypass switch."
            }
        }
    }
}

/// A template ready to be put on the sheet: the step, and its blocks.
pub type Placed = (Labeled, Vec<BlockId>);

/// Puts a template on the sheet with its middle at a point. `dangers` counts what a rule would call dangerous at some
/// blocks of a project; where there is a choice, the part with the fewest is taken. Says why it cannot be.
pub fn place(
    project: &Project,
    stock: &[StockItem],
    template: Template,
    middle: GridPoint,
    dangers: impl Fn(&Project, &[BlockId]) -> usize,
) -> Result<Placed, String> {
    let name = template.name().to_lowercase();
    if template == Template::StringWithItsWay
        && let Some(way) = free_way(project)
    {
        return string_on(project, stock, way, &name);
    }
    let recipe = recipes::of(template, project.units, bus_volts(project));
    let placed = build(project, stock, recipe, middle, &name)?;
    let of_strings = template == Template::StringWithItsWay;
    Ok(if of_strings { suited(project, stock, placed, dangers) } else { placed })
}

/// Takes strings like the newest on the sheet, and the first combiner that is not dangerous with them: the model that is
/// on the sheet, or the next in stock.
fn suited(
    project: &Project,
    stock: &[StockItem],
    placed: Placed,
    dangers: impl Fn(&Project, &[BlockId]) -> usize,
) -> Placed {
    let (step, ids) = placed;
    let newest = |is: fn(&Equipment) -> bool| {
        let blocks = project.circuit.blocks().filter(|block| is(&block.equipment));
        blocks.max_by_key(|block| block.id).map(|block| (block.equipment.clone(), block.stock.clone()))
    };
    let set = |index: usize, (equipment, stock): (Equipment, Option<String>)| {
        let block = ids.get(index).copied()?;
        Some(Edit::SetEquipment { block, equipment: Box::new(equipment), stock })
    };
    let strings = newest(|it| it.as_kind::<Strings>().is_some()).and_then(|like| set(0, like));
    let has_way = |equipment: &Equipment| {
        equipment.as_kind::<Combiner>().is_some()
            && equipment.terminals().iter().any(|it| it.name.to_string() == "way1")
    };
    let on_sheet = newest(|it| it.as_kind::<Combiner>().is_some());
    let in_stock = stock.iter().filter(|item| item.equipment.as_kind::<Combiner>().is_some());
    let in_stock = in_stock.map(|item| (item.equipment.clone(), Some(item.name.clone())));
    let usual = from_stock(stock, recipes::COMBINER).ok();
    let choices = usual.into_iter().chain(on_sheet).chain(in_stock).filter(|(it, _)| has_way(it));
    let mut best: Option<(usize, Edit)> = None;
    for choice in choices {
        let changes = strings.clone().into_iter().chain(set(1, choice));
        let edit = Edit::Batch(std::iter::once(step.edit.clone()).chain(changes).collect());
        let mut trial = project.clone();
        if apply(&mut trial, edit.clone()).is_err() {
            continue;
        }
        let count = dangers(&trial, &ids);
        if best.as_ref().is_none_or(|(least, _)| count < *least) {
            best = Some((count, edit));
        }
        if count == 0 {
            break;
        }
    }
    let edit = best.map_or(step.edit, |(_, edit)| edit);
    (Labeled::new(step.label, edit), ids)
}

/// Where the middle of a template goes, so that it lies on nothing: as near to a point as there is room.
pub fn room(project: &Project, routes: &Routes, template: Template, near: GridPoint) -> GridPoint {
    room_for(&project.circuit, routes, size(project, template), near)
}

/// The blocks that a template would put on the sheet, as they would stand.
pub fn blocks(project: &Project, stock: &[StockItem], template: Template, middle: GridPoint) -> Vec<Block> {
    fn inserted(edit: Edit, into: &mut Vec<Block>) {
        if let Edit::InsertBlock(block) = edit {
            into.push(*block);
        } else if let Edit::Batch(edits) = edit {
            for edit in edits {
                inserted(edit, into);
            }
        }
    }
    let mut found = Vec::new();
    // Which of several models is taken does not show.
    if let Ok((step, _)) = place(project, stock, template, middle, |_, _| 0) {
        inserted(step.edit, &mut found);
    }
    found
}

/// Width and height of a template as it would be put on the sheet, in steps.
fn size(project: &Project, template: Template) -> GridPoint {
    let (width, height) = recipes::of(template, project.units, bus_volts(project)).size;
    GridPoint::new(width, height)
}

/// The nominal voltage of the bank on the sheet; 48 V where there is none.
fn bus_volts(project: &Project) -> f64 {
    const USUAL: f64 = 48.0;
    let mut banks = project.circuit.blocks().filter_map(|block| block.equipment.as_kind::<BatteryBank>());
    banks.next().map_or(USUAL, |bank| bank.voltage_class().value())
}

fn build(
    project: &Project,
    stock: &[StockItem],
    recipe: &Recipe,
    middle: GridPoint,
    name: &str,
) -> Result<Placed, String> {
    let mut fresh = Fresh::new(project);
    let corner = middle.moved(-recipe.size.0 / 2, -recipe.size.1 / 2);
    let mut edits = Vec::new();
    let mut ids = Vec::new();
    for part in recipe.parts {
        let block = block_of(project, stock, part, corner, &mut fresh)?;
        ids.push(block.id);
        edits.push(Edit::InsertBlock(Box::new(block)));
    }
    for wire in recipe.wires {
        let run = run_of(project, wire, &ids, &mut fresh)?;
        edits.push(Edit::InsertRun(Box::new(run)));
    }
    Ok((Labeled::new(format!("add {name}"), Edit::Batch(edits)), ids))
}

fn no_ids() -> String {
    Refusal::NoIdsLeft.to_string()
}

fn block_of(
    project: &Project,
    stock: &[StockItem],
    part: &Part,
    corner: GridPoint,
    fresh: &mut Fresh<'_>,
) -> Result<Block, String> {
    let item = stock
        .iter()
        .find(|item| item.name == part.item)
        .ok_or_else(|| format!("the stock has no “{}”, of which this template is made", part.item))?;
    let mut equipment = item.equipment.clone();
    for (key, value) in part.settings {
        equipment.set(key, &Value::Number(*value)).map_err(|fault| fault.to_string())?;
    }
    let at = corner.moved(part.at.0, part.at.1);
    let size = symbols::outline(&item.equipment).size;
    let mirror = if part.looks_left { Mirror::None.flipped() } else { Mirror::None };
    Ok(Block {
        id: fresh.block().ok_or_else(no_ids)?,
        tag: fresh.tag(item.equipment.kind().tag_letters()),
        equipment,
        stock: Some(item.name.clone()),
        place: place_at(&project.circuit, at.moved(size.x / 2, size.y / 2)),
        at,
        orientation: Orientation { mirror, ..Orientation::default() },
        note: String::new(),
    })
}

fn run_of(project: &Project, wire: &Wire, ids: &[BlockId], fresh: &mut Fresh<'_>) -> Result<Run, String> {
    let end = |(index, terminal): (usize, &str)| {
        let block = ids.get(index).copied()?;
        Some(RunEnd { block, terminal: TerminalName::read(terminal)? })
    };
    let (Some(from), Some(to)) = (end(wire.from), end(wire.to)) else {
        return Err("a run of this template has no end".to_owned());
    };
    let conductor = wire.size.map(|size| conductor_of(size, wire.meters, project.units)).transpose()?;
    Ok(Run {
        id: fresh.run().ok_or_else(no_ids)?,
        tag: fresh.tag("W"),
        from,
        to,
        conductor: conductor.map(Box::new),
        bends: Vec::new(),
        note: String::new(),
    })
}

/// Conductors inside an enclosure, with an equipment-grounding conductor under the NEC.
fn conductor_of((size, ground): (&str, &str), meters: f64, units: UnitSystem) -> Result<Conductor, String> {
    let read = |text: &str| ConductorSize::read(text).map_err(|fault| fault.to_string());
    let mut conductor = wiring::usual_conductor(units);
    conductor.size = read(size)?;
    conductor.length = length_of(meters, units);
    conductor.raceway = Raceway::Enclosure;
    conductor.method = (units == UnitSystem::Si).then_some(Method::B1);
    conductor.grounding_conductor = Some(read(ground)?);
    Ok(conductor)
}

/// Whole feet where people measure in feet.
fn length_of(meters: f64, units: UnitSystem) -> Meters {
    let foot = Meters::from_feet(1.0).value();
    match units {
        UnitSystem::Us => Meters::from_feet((meters / foot).round()),
        UnitSystem::Si => Meters::new(meters),
    }
}

/// The first free way of a combiner on the sheet.
fn free_way(project: &Project) -> Option<RunEnd> {
    let circuit = &project.circuit;
    let combiners = circuit.blocks().filter(|block| block.equipment.as_kind::<Combiner>().is_some());
    combiners
        .flat_map(|block| {
            let terminals = block.equipment.terminals().into_iter();
            terminals.map(|terminal| RunEnd { block: block.id, terminal: terminal.name })
        })
        .find(|end| end.terminal.stem() == "way" && circuit.runs_on(*end).is_empty())
}

/// Strings like the newest on the same combiner, or on the sheet, or from stock; below the lowest of them.
fn string_on(project: &Project, stock: &[StockItem], way: RunEnd, name: &str) -> Result<Placed, String> {
    let circuit = &project.circuit;
    let is_string = |block: &&Block| block.equipment.as_kind::<Strings>().is_some();
    let beside = circuit
        .runs_at(way.block)
        .into_iter()
        .flat_map(|run| [run.from.block, run.to.block])
        .filter_map(|id| circuit.block(id))
        .filter(is_string)
        .max_by_key(|block| block.at.y);
    let like = beside.or_else(|| circuit.blocks().filter(is_string).max_by_key(|block| block.id));
    let combiner = circuit.block(way.block).ok_or("the combiner is not there any more")?;
    let (equipment, item) = match like {
        Some(block) => (block.equipment.clone(), block.stock.clone()),
        None => from_stock(stock, recipes::STRING)?,
    };
    let size = symbols::outline(&equipment).size;
    let at = beside.map_or_else(
        || combiner.at.moved(-size.x - 14, 0),
        |block| below(project, GridPoint::new(block.at.x, block.at.y), size),
    );
    let mut fresh = Fresh::new(project);
    let id = fresh.block().ok_or_else(no_ids)?;
    let block = Block {
        id,
        tag: fresh.tag(equipment.kind().tag_letters()),
        place: place_at(circuit, at.moved(size.x / 2, size.y / 2)),
        equipment,
        stock: item,
        at,
        orientation: Orientation::default(),
        note: String::new(),
    };
    let like_run = beside.and_then(|block| circuit.runs_at(block.id).into_iter().next());
    let conductor = match like_run.and_then(|run| run.conductor.clone()) {
        Some(conductor) => conductor,
        None => Box::new(string_leads(project.units)?),
    };
    let from = RunEnd { block: id, terminal: TerminalName::plain("out") };
    let run = Run {
        id: fresh.run().ok_or_else(no_ids)?,
        tag: fresh.tag("W"),
        from,
        to: way,
        conductor: Some(conductor),
        bends: Vec::new(),
        note: String::new(),
    };
    let edits = vec![Edit::InsertBlock(Box::new(block)), Edit::InsertRun(Box::new(run))];
    Ok((Labeled::new(format!("add {name}"), Edit::Batch(edits)), vec![id]))
}

fn from_stock(stock: &[StockItem], name: &str) -> Result<(Equipment, Option<String>), String> {
    let item = stock.iter().find(|item| item.name == name);
    let item = item.ok_or_else(|| format!("the stock has no “{name}”, of which this template is made"))?;
    Ok((item.equipment.clone(), Some(item.name.clone())))
}

/// The first spot below a block where nothing stands.
fn below(project: &Project, from: GridPoint, size: GridPoint) -> GridPoint {
    /// Room between one string and the next, in steps.
    const ROOM: i32 = 3;
    let step = size.y + ROOM;
    let free = |at: &GridPoint| {
        let area = lineside_drawing::geometry::GridArea { min: *at, max: at.moved(size.x, size.y) };
        project.circuit.blocks().all(|block| !lineside_drawing::placement::bounds(block).touches(area))
    };
    (1..60).map(|n| from.moved(0, n * step)).find(free).unwrap_or_else(|| from.moved(0, step))
}

/// The leads of a string to its combiner, in free air.
fn string_leads(units: UnitSystem) -> Result<Conductor, String> {
    let (size, insulation) = match units {
        UnitSystem::Us => ("10 AWG", Insulation::PvWire),
        UnitSystem::Si => ("4 mm²", Insulation::PvCable),
    };
    let size = ConductorSize::read(size).map_err(|fault| fault.to_string())?;
    let grounding_conductor = Some(size);
    let leads = Conductor::copper(size, insulation, length_of(4.5, units));
    Ok(Conductor { grounding_conductor, voltage: lineside_core::units::Volts::new(1000.0), ..leads })
}

#[cfg(test)]
mod tests;
