//! A table of stock to be taken into one's own: which of its columns stands for what, what could be taken, and why the rest not.
//!
//! Reading the table is the core crate's; keeping the items is `window/stock_keeping.rs`'s.

use super::Stay;
use super::question::{buttons, heading, primary, secondary, wide, words};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::view::View;
use egui::{FontId, Label, RichText, ScrollArea, Ui};
use lineside_core::file::{ColumnName, StockTable, read_stock_table, stock_table_headings};
use lineside_core::kinds::Kind;
use lineside_core::project::StockItem;
use lineside_core::units::text;

const WIDTH: f32 = 640.0;
/// Width of the lists.
const LIST: f32 = 250.0;
/// Refused rows that are told before the rest is counted.
const TOLD: usize = 200;

/// A table that is being looked at.
#[derive(Debug)]
pub struct Importing {
    file: String,
    bytes: Vec<u8>,
    /// Headings, each with the column of ours for which it is taken.
    columns: Vec<(String, Option<&'static str>)>,
    kind: Option<Kind>,
    read: Result<StockTable, Vec<String>>,
}

impl Importing {
    /// Looks at a table; why not, when it is none.
    pub fn begin(file: String, bytes: Vec<u8>, stock: &[StockItem]) -> Result<Self, String> {
        let columns = stock_table_headings(&bytes).map_err(|fault| fault.to_string())?;
        let mut importing = Self { file, bytes, columns, kind: None, read: Err(Vec::new()) };
        importing.look(stock);
        Ok(importing)
    }

    /// Reads it again, after a column was given another meaning.
    fn look(&mut self, stock: &[StockItem]) {
        let names: Vec<ColumnName> = self
            .columns
            .iter()
            .map(|(theirs, ours)| ColumnName {
                theirs: theirs.clone(),
                ours: ours.unwrap_or_default().to_owned(),
            })
            .collect();
        self.read = read_stock_table(&self.bytes, &names, stock, self.kind)
            .map_err(|faults| faults.iter().map(ToString::to_string).collect());
    }
}

/// Columns that can be chosen: their keys, and what people call them.
fn choices(kind: Option<Kind>) -> Vec<(&'static str, &'static str)> {
    let mut all = vec![("name", "Name"), ("equipment", "Kind of equipment")];
    for of in Kind::ALL.iter().filter(|of| kind.is_none_or(|kind| kind == **of)) {
        for field in of.fields() {
            if !all.iter().any(|(key, _)| *key == field.key) {
                all.push((field.key, field.label));
            }
        }
    }
    all
}

pub(super) fn import_ui(
    ui: &mut Ui,
    view: &View<'_>,
    importing: &mut Importing,
    actions: &mut Actions,
) -> Stay {
    wide(ui, WIDTH);
    heading(ui, "Import stock");
    words(
        ui,
        &format!(
            "{}: say which of its columns stands for what. Nothing is kept before you take it.",
            importing.file
        ),
    );
    let mut changed = kind_ui(ui, view, importing);
    let room = (ui.ctx().content_rect().height() - 460.0).clamp(110.0, 300.0);
    ScrollArea::vertical().id_salt("columns").max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        let choices = choices(importing.kind);
        for (number, (heading, column)) in importing.columns.iter_mut().enumerate() {
            ui.horizontal(|ui| {
                let shown = column.and_then(|key| choices.iter().find(|(other, _)| *other == key));
                let shown = shown.map_or("not read", |(_, label)| label);
                let name = format!("Column {heading}");
                combo(ui, view.tokens, ("column", number), (&name, shown), LIST, |ui| {
                    if ui.selectable_label(column.is_none(), "not read").clicked() {
                        *column = None;
                        changed = true;
                    }
                    for (key, label) in &choices {
                        if ui.selectable_label(*column == Some(key), *label).clicked() {
                            *column = Some(key);
                            changed = true;
                        }
                    }
                });
                let text = if heading.is_empty() { "(no heading)" } else { heading.as_str() };
                ui.add(Label::new(RichText::new(format!("← {text}")).color(view.tokens.soft_ink)).truncate());
            });
        }
    });
    if changed {
        importing.look(&view.engine.stock);
    }
    report_ui(ui, view, importing);
    let items = importing.read.as_ref().map_or(&[][..], |table| &table.items);
    buttons(ui, |ui| {
        if !items.is_empty() {
            let take = match items.len() {
                1 => "Take 1 item".to_owned(),
                many => format!("Take {} items", text::count(many)),
            };
            if primary(ui, view.tokens, &take).clicked() {
                actions.push(Action::TakeOwnItems(items.to_vec()));
                return Stay::Close;
            }
        }
        if secondary(ui, "Cancel").clicked() { Stay::Close } else { Stay::Open }
    })
}

/// Of which kind every row is, where no column says it.
fn kind_ui(ui: &mut Ui, view: &View<'_>, importing: &mut Importing) -> bool {
    let mut changed = false;
    ui.horizontal(|ui| {
        let shown = importing.kind.map_or("as a column says", Kind::label);
        combo(ui, view.tokens, "kind of all rows", ("Kind of every row", shown), LIST, |ui| {
            if ui.selectable_label(importing.kind.is_none(), "as a column says").clicked() {
                importing.kind = None;
                changed = true;
            }
            for kind in Kind::ALL {
                if ui.selectable_label(importing.kind == Some(*kind), kind.label()).clicked() {
                    importing.kind = Some(*kind);
                    changed = true;
                }
            }
        });
        ui.label(RichText::new("kind of every row").color(view.tokens.soft_ink));
    });
    changed
}

/// What could be taken, and why the rest not.
fn report_ui(ui: &mut Ui, view: &View<'_>, importing: &Importing) {
    let counted = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{} {many}", text::count(count)),
    };
    let (told, refused): (String, Vec<String>) = match &importing.read {
        Ok(table) => {
            let items = counted(table.items.len(), "item can be taken", "items can be taken");
            let rows = counted(table.refused.len(), "row is refused", "rows are refused");
            (format!("{items}, {rows}."), table.refused.iter().map(ToString::to_string).collect())
        }
        Err(faults) => ("Nothing can be taken yet.".to_owned(), faults.clone()),
    };
    ui.label(RichText::new(told).font(FontId::new(fonts::BODY, fonts::strong())));
    ScrollArea::vertical().id_salt("refused").max_height(130.0).auto_shrink([false, true]).show(ui, |ui| {
        for reason in refused.iter().take(TOLD) {
            let text = RichText::new(reason).font(fonts::small()).color(view.tokens.correction);
            ui.add(Label::new(text).wrap());
        }
        if refused.len() > TOLD {
            ui.label(format!("and {} more", text::count(refused.len() - TOLD)));
        }
    });
}
