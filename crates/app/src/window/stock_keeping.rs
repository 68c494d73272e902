//! Stock of one's own from the window's side: an item is kept, changed or taken out, a table is taken over; the shelf follows at
//! once.
//!
//! Where it is kept is `own_stock.rs`'s.

use super::app::App;
use super::derivation::Derivation;
use super::dialogs::{Dialog, Importing, ItemForm};
use super::selection::Thing;
use crate::own_stock::{self, OwnStockFault};
use egui::Context;
use lineside_core::kinds::Kind;
use lineside_core::project::StockItem;
use lineside_core::units::text;
use std::path::Path;
use std::sync::Arc;

/// Tables larger than this are no stock.
const MOST_BYTES: u64 = 16 * 1024 * 1024;

impl App {
    /// Opens the form for an item of one's own, or for a new one.
    pub(super) fn edit_own_item(&mut self, name: Option<&str>) {
        let units = self.document.project.units;
        let stock = &self.desk.engine.stock;
        let form = match name.and_then(|name| stock.iter().find(|item| item.name == name)) {
            Some(item) => {
                let mut form = ItemForm::of(&item.name, &item.equipment, units);
                form.replaces = Some(item.name.clone());
                form
            }
            None => ItemForm::new(Kind::Strings, stock),
        };
        self.state.dialogs.shown = Some(Dialog::OwnItem(Box::new(form)));
    }

    /// Opens the form for a new item with the nameplate of the selected block.
    pub(super) fn own_item_of_selection(&mut self) {
        let Some(Thing::Block(id)) = self.state.selection.single() else { return };
        let Some(block) = self.document.project.circuit.block(id) else { return };
        let form = ItemForm::of("", &block.equipment, self.document.project.units);
        self.state.dialogs.shown = Some(Dialog::OwnItem(Box::new(form)));
    }

    /// Keeps an item; the form comes back with the reason when that cannot be done.
    pub(super) fn keep_own_item(&mut self, item: StockItem, mut form: Box<ItemForm>, ctx: &Context) {
        let name = item.name.clone();
        let replaced = form.replaces.clone();
        let kept = self.change_own(ctx, |own| {
            match own.iter_mut().find(|other| Some(&other.name) == replaced.as_ref()) {
                Some(old) => *old = item,
                None => own.push(item),
            }
        });
        match kept {
            Ok(()) => self.tell(format!("{name} is kept in your own stock.")),
            Err(fault) => {
                form.fault = Some(format!("{fault}."));
                self.state.dialogs.shown = Some(Dialog::OwnItem(form));
            }
        }
    }

    /// Takes an item out.
    pub(super) fn remove_own_item(&mut self, name: &str, ctx: &Context) {
        match self.change_own(ctx, |own| own.retain(|item| item.name != name)) {
            Ok(()) => self.tell(format!("{name} is no longer in your own stock.")),
            Err(fault) => self.say(format!("{fault}."), None),
        }
    }

    /// Takes the items of a table over.
    pub(super) fn take_own_items(&mut self, items: Vec<StockItem>, ctx: &Context) {
        let count = items.len();
        match self.change_own(ctx, |own| own.extend(items)) {
            Ok(()) => self.tell(match count {
                1 => "1 item was taken into your own stock.".to_owned(),
                many => format!("{} items were taken into your own stock.", text::count(many)),
            }),
            Err(fault) => self.say(format!("{fault}."), None),
        }
    }

    /// Looks at a table of stock.
    pub(super) fn look_at_stock(&mut self, path: &Path, ctx: &Context) {
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
        let looked = match std::fs::metadata(path) {
            Ok(facts) if facts.len() > MOST_BYTES => Err("it is larger than 16 MB".to_owned()),
            Ok(_) => std::fs::read(path).map_err(|error| error.to_string()),
            Err(error) => Err(error.to_string()),
        };
        let importing =
            looked.and_then(|bytes| Importing::begin(name.clone(), bytes, &self.desk.engine.stock));
        match importing {
            Ok(importing) => self.state.dialogs.shown = Some(Dialog::ImportStock(Box::new(importing))),
            Err(why) => self.say(format!("{name} cannot be read: {why}."), None),
        }
        ctx.request_repaint();
    }

    /// Changes what is kept and lets everything follow. Others may have kept something meanwhile, so it is read again first.
    fn change_own(
        &mut self,
        ctx: &Context,
        change: impl FnOnce(&mut Vec<StockItem>),
    ) -> Result<(), OwnStockFault> {
        let path = self.desk.own_stock.clone().ok_or(OwnStockFault::NoPlace)?;
        let mut own = own_stock::read_at(&path)?;
        change(&mut own);
        own_stock::keep_at(&path, &own)?;
        let mut engine = (*self.desk.engine).clone();
        engine.take_own(own);
        self.desk.engine = Arc::new(engine);
        let changes = self.document.history.changes();
        self.derivation = Derivation::new(Arc::clone(&self.desk.engine), &self.document.project, changes);
        ctx.request_repaint();
        Ok(())
    }
}
