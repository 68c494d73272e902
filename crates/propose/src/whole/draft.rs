//! The sheet while it is drawn: places, blocks, runs, and the slots whose devices are chosen once the currents are known.

use super::slot::{Job, Slot};
use super::why::Why;
use crate::combination::Combination;
use crate::parts::Shelf;
use crate::settings::Programmed;
use crate::terms::Terms;
use lineside_core::circuit::{
    Block, BlockId, Conductor, GridPoint, Orientation, Place, PlaceFacts, PlaceId, PlaceKind, Run, RunEnd,
    RunId, TerminalName,
};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::inverter::NeutralBonding;
use lineside_core::project::{Project, StockItem};
use lineside_core::units::Amps;

/// Where a run ends: a block and the name of its terminal.
pub(super) type At<'a> = (BlockId, &'a str);

/// A project that is being drawn.
pub(super) struct Draft<'a> {
    pub(super) terms: &'a Terms<'a>,
    pub(super) stock: &'a [StockItem],
    pub(super) project: Project,
    pub(super) slots: Vec<Slot>,
    /// What is drawn.
    pub(super) it: Combination,
    /// Its equipment with its settings.
    pub(super) set: Programmed,
    /// Names in the stock of what is drawn.
    pub(super) names: Names,
    column: i32,
}

/// Names in the stock of the equipment of a combination.
pub(super) struct Names {
    pub module: String,
    pub controller: String,
    pub battery: String,
    pub inverter: String,
    pub generator: Option<String>,
}

impl Names {
    fn of(shelf: &Shelf, it: &Combination) -> Option<Self> {
        Some(Self {
            module: shelf.modules.get(it.module)?.name.clone(),
            controller: shelf.controllers.get(it.controller)?.name.clone(),
            battery: shelf.batteries.get(it.battery)?.name.clone(),
            inverter: shelf.inverters.get(it.inverter)?.name.clone(),
            generator: it.generator.and_then(|at| Some(shelf.generators.get(at)?.name.clone())),
        })
    }
}

impl<'a> Draft<'a> {
    /// An empty sheet with title, brief and prices of the project that is answered.
    pub(super) fn new(terms: &'a Terms<'a>, it: &Combination, stock: &'a [StockItem]) -> Result<Self, Why> {
        let mut set = terms.programmed(it).ok_or(Why::NotOnShelf)?;
        // The neutral is bonded in a panel, for all sources; the relay in the inverter stays off.
        if set.inverter.neutral_bonding == NeutralBonding::WhileInverting {
            set.inverter.neutral_bonding = NeutralBonding::Never;
        }
        let names = Names::of(&terms.shelf, it).ok_or(Why::NotOnShelf)?;
        let given = terms.on.project;
        let project = Project {
            title: given.title.clone(),
            rule_set: terms.on.rule_set,
            units: given.units,
            brief: given.brief.clone(),
            price_book: given.price_book.clone(),
            stock: given.stock.clone(),
            ..Project::default()
        };
        Ok(Self { terms, stock, project, slots: Vec::new(), it: *it, set, names, column: 0 })
    }

    /// Makes an edit.
    pub(super) fn edit(&mut self, edit: Edit) -> Result<(), Why> {
        apply(&mut self.project, edit).map(drop).map_err(|refusal| Why::Refused(refusal.to_string()))
    }

    /// Adds a place.
    pub(super) fn place(
        &mut self,
        name: &str,
        within: Option<PlaceId>,
        facts: PlaceFacts,
    ) -> Result<PlaceId, Why> {
        let id = self.project.next_place_id().ok_or_else(no_ids)?;
        let kind = if within.is_some() { PlaceKind::Enclosure } else { PlaceKind::Location };
        let (at, size) = (GridPoint::new(0, 0), GridPoint::new(40, 20));
        let place = Place { id, name: name.to_owned(), kind, within, at, size, facts };
        self.edit(Edit::InsertPlace(Box::new(place)))?;
        Ok(id)
    }

    /// Puts a block on the sheet.
    pub(super) fn put(
        &mut self,
        tag: &str,
        place: PlaceId,
        stock: Option<&str>,
        equipment: impl Into<Equipment>,
    ) -> Result<BlockId, Why> {
        let id = self.project.next_block_id().ok_or_else(no_ids)?;
        self.column += 1;
        let block = Block {
            id,
            tag: tag.to_owned(),
            equipment: equipment.into(),
            stock: stock.map(str::to_owned),
            place: Some(place),
            at: GridPoint::new(self.column * 14, 4),
            orientation: Orientation::default(),
            note: String::new(),
        };
        self.edit(Edit::InsertBlock(Box::new(block)))?;
        Ok(id)
    }

    /// Puts the first item of the stock that does, by how well it does; what is wanted is told when none does.
    pub(super) fn put_stock(
        &mut self,
        tag: &str,
        place: PlaceId,
        what: &'static str,
        rank: impl Fn(&Equipment) -> Option<f64>,
    ) -> Result<BlockId, Why> {
        let item = best(self.stock, rank).ok_or(Why::NoSuch(what))?;
        let (name, equipment) = (item.name.clone(), item.equipment.clone());
        self.put(tag, place, Some(&name), equipment)
    }

    /// Puts a slot: a device that is chosen when what it must do is known.
    pub(super) fn slot(
        &mut self,
        tag: &str,
        place: PlaceId,
        job: Job,
        most: Option<Amps>,
    ) -> Result<BlockId, Why> {
        let first = super::pick::first_guess(self.stock, job).ok_or(Why::NoSuch(job.what))?;
        let (name, equipment) = (first.name.clone(), first.equipment.clone());
        let block = self.put(tag, place, Some(&name), equipment)?;
        self.slots.push(Slot { block, job, most });
        Ok(block)
    }

    /// Lays a run; `None` for a direct joint.
    pub(super) fn join(
        &mut self,
        from: At<'_>,
        to: At<'_>,
        conductor: Option<Conductor>,
    ) -> Result<RunId, Why> {
        let id = self.project.next_run_id().ok_or_else(no_ids)?;
        let end = |(block, terminal): At<'_>| {
            let name = TerminalName::read(terminal);
            name.map(|terminal| RunEnd { block, terminal })
                .ok_or_else(|| Why::Refused(format!("no terminal {terminal}")))
        };
        let (from, to) = (end(from)?, end(to)?);
        let run = Run {
            id,
            tag: self.project.next_tag("W"),
            from,
            to,
            conductor: conductor.map(Box::new),
            bends: Vec::new(),
            note: String::new(),
        };
        self.edit(Edit::InsertRun(Box::new(run)))?;
        Ok(id)
    }

    /// Gives a block other equipment.
    pub(super) fn equip(
        &mut self,
        block: BlockId,
        equipment: Equipment,
        stock: Option<String>,
    ) -> Result<(), Why> {
        self.edit(Edit::SetEquipment { block, equipment: Box::new(equipment), stock })
    }

    /// Gives a run another conductor.
    pub(super) fn lay(&mut self, run: RunId, conductor: Conductor) -> Result<(), Why> {
        let Some(old) = self.project.circuit.run(run) else { return Ok(()) };
        let run = Run { conductor: Some(Box::new(conductor)), ..old.clone() };
        self.edit(Edit::SetRun(Box::new(run)))
    }
}

fn no_ids() -> Why {
    Why::Refused("there are no ids left".to_owned())
}

/// The item with the least rank; of equals the first.
pub(super) fn best(stock: &[StockItem], rank: impl Fn(&Equipment) -> Option<f64>) -> Option<&StockItem> {
    let ranked = stock.iter().filter_map(|item| Some((rank(&item.equipment)?, item)));
    ranked.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, item)| item)
}
