//! Where the nameplate of a block differs from the stock it came from, with the ways out: stock's values again, or a copy of the
//! project's own.

use crate::window::action::{Action, Actions};
use crate::window::edits::stocking::{self, Differing, Standing};
use crate::window::fonts;
use crate::window::view::View;
use egui::{Color32, Label, RichText, Role, Ui, WidgetInfo};
use lineside_core::circuit::Block;
use lineside_core::units::text;

/// Data that are listed before the rest is counted.
const LISTED: usize = 5;

/// What differs, if anything does.
pub fn copy_ui(ui: &mut Ui, view: &View<'_>, block: &Block, actions: &mut Actions) {
    let soft = view.tokens.soft_ink;
    let project = view.project();
    match stocking::standing(project, &view.engine.stock, block) {
        Standing::Same => return,
        Standing::Gone => {
            line(ui, "Stock has no item of this name; the project keeps its own nameplate.", soft);
            return;
        }
        Standing::Differs(found) => {
            line(ui, &format!("Differs from stock in {}.", counted(found.len())), view.tokens.correction);
            list_ui(ui, view, &found);
            ui.horizontal_wrapped(|ui| {
                take_ui(ui, view, block, actions);
                let keep = ui.button(RichText::new("Keep for this project").font(fonts::small()));
                let name = format!("Keep the nameplate of {} for this project", block.tag);
                keep.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
                if keep.clicked() {
                    actions.extend(stocking::keep_copy(project, block).map(|step| Action::Make(step, None)));
                }
                keep.on_hover_text("The project gets its own copy of the item, which stands in its file.");
            });
        }
        Standing::OwnCopy(found) => {
            let told = format!("This project's own copy; it differs from stock in {}.", counted(found.len()));
            line(ui, &told, soft);
            list_ui(ui, view, &found);
            take_ui(ui, view, block, actions);
        }
    }
    ui.add_space(4.0);
}

fn counted(count: usize) -> String {
    if count == 1 { "1 datum".to_owned() } else { format!("{} data", text::count(count)) }
}

fn line(ui: &mut Ui, words: &str, color: Color32) {
    ui.add(Label::new(RichText::new(words).font(fonts::small()).color(color)).wrap());
}

fn list_ui(ui: &mut Ui, view: &View<'_>, found: &[Differing]) {
    let units = view.units();
    for datum in found.iter().take(LISTED) {
        let (here, stock) = (datum.field.show(&datum.here, units), datum.field.show(&datum.stock, units));
        line(ui, &format!("{}: {here}, in stock {stock}", datum.field.label), view.tokens.soft_ink);
    }
    if found.len() > LISTED {
        line(ui, &format!("and {} more", text::count(found.len() - LISTED)), view.tokens.soft_ink);
    }
}

fn take_ui(ui: &mut Ui, view: &View<'_>, block: &Block, actions: &mut Actions) {
    let take = ui.button(RichText::new("Take stock's values").font(fonts::small()));
    let name = format!("Take stock's values for {}", block.tag);
    take.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if take.clicked() {
        actions.push(match stocking::take_stock(view.project(), &view.engine.stock, block) {
            Ok(step) => Action::Make(step, None),
            Err(refusal) => Action::Refuse(refusal),
        });
    }
    take.on_hover_text("What the maker printed comes from stock again; what was set for this block stays.");
}
