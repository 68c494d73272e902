//! A combination as a bare circuit: its equipment joined directly, for the year. Devices, conductors, bonds and
//! enclosures are not on it, so it is no sheet to build from.

use crate::combination::Combination;
use crate::terms::Terms;
use lineside_core::circuit::{
    Block, BlockId, GridPoint, Orientation, Place, PlaceFacts, PlaceKind, Run, RunEnd, Surroundings,
    TerminalName,
};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::Project;
use lineside_core::units::Celsius;

/// Builds up a project; `None` as soon as something does not fit.
struct Drawing {
    project: Project,
    column: i32,
}

impl Drawing {
    fn put(&mut self, tag: String, name: &str, equipment: impl Into<Equipment>) -> Option<BlockId> {
        let id = self.project.next_block_id()?;
        self.column += 1;
        let block = Block {
            id,
            tag,
            equipment: equipment.into(),
            stock: Some(name.to_owned()),
            place: self.project.circuit.places().next().map(|place| place.id),
            at: GridPoint::new(self.column * 12, 4),
            orientation: Orientation::default(),
            note: String::new(),
        };
        apply(&mut self.project, Edit::InsertBlock(Box::new(block))).ok()?;
        Some(id)
    }

    fn join(&mut self, from: (BlockId, &str), to: (BlockId, &str)) -> Option<()> {
        let id = self.project.next_run_id()?;
        let end = |(block, terminal): (BlockId, &str)| {
            Some(RunEnd { block, terminal: TerminalName::read(terminal)? })
        };
        let tag = self.project.next_tag("W");
        let (from, to) = (end(from)?, end(to)?);
        let run = Run { id, tag, from, to, conductor: None, bends: Vec::new(), note: String::new() };
        apply(&mut self.project, Edit::InsertRun(Box::new(run))).ok().map(|_| ())
    }
}

/// The bare circuit of a combination, with the brief of the search. `None` when it names no parts of the shelf.
pub fn sketch(terms: &Terms<'_>, it: &Combination) -> Option<Project> {
    let shelf = &terms.shelf;
    let (inverter, battery) = (shelf.inverters.get(it.inverter)?, shelf.batteries.get(it.battery)?);
    let (module, controller) = (shelf.modules.get(it.module)?, shelf.controllers.get(it.controller)?);
    let given = terms.on.project;
    let mut drawing = Drawing {
        project: Project {
            rule_set: terms.on.rule_set,
            units: given.units,
            brief: given.brief.clone(),
            price_book: given.price_book.clone(),
            ..Project::default()
        },
        column: 0,
    };
    let room = Place {
        id: drawing.project.next_place_id()?,
        name: "Battery room".to_owned(),
        kind: PlaceKind::Location,
        within: None,
        at: GridPoint::new(0, 0),
        size: GridPoint::new(400, 40),
        facts: PlaceFacts {
            surroundings: Some(Surroundings::Indoors),
            coldest: Some(terms.cold_bank()),
            hottest: Some(Celsius::new(30.0)),
            ..PlaceFacts::unknown()
        },
    };
    apply(&mut drawing.project, Edit::InsertPlace(Box::new(room))).ok()?;
    let set = terms.programmed(it)?;
    let bank = BatteryBank { strings_in_parallel: it.bank_strings, ..set.bank };
    let bank = drawing.put("B1".to_owned(), &battery.name, bank)?;
    for number in 1..=it.controllers {
        let strings =
            Strings { modules_in_series: it.modules, strings_in_parallel: it.strings, ..module.item.clone() };
        let strings = drawing.put(format!("S{number}"), &module.name, strings)?;
        let id = drawing.put(format!("C{number}"), &controller.name, set.controller.clone())?;
        drawing.join((strings, "out"), (id, "pv"))?;
        drawing.join((id, "battery"), (bank, "out"))?;
    }
    let mut inlets = Vec::new();
    for number in 1..=it.inverters {
        let id = drawing.put(format!("INV{number}"), &inverter.name, set.inverter.clone())?;
        drawing.join((bank, "out"), (id, "dc"))?;
        inlets.push(id);
    }
    let two = inverter.item.ac_inputs > 1;
    if terms.has_utility() {
        let utility = terms.rails.utility(inverter.item.ac_system)?.clone();
        let id = drawing.put("U1".to_owned(), "Utility", utility)?;
        for block in &inlets {
            drawing.join((id, "out"), (*block, "in1"))?;
        }
    }
    if let Some(at) = it.generator {
        let part = shelf.generators.get(at)?;
        let id = drawing.put("G1".to_owned(), &part.name, part.item.clone())?;
        // The utility has the first inlet; where there is no second, they share it.
        let inlet = if two && terms.has_utility() { "in2" } else { "in1" };
        for block in &inlets {
            drawing.join((id, "out"), (*block, inlet))?;
        }
    }
    Some(drawing.project)
}
