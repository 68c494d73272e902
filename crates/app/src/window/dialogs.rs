//! Questions that stand over the window: losing work, a file that cannot be read or saved, a path to type, a
//! run's other end, the table of keys, and what this program is.

mod file;
mod help;
mod import_stock;
mod own_item;
pub mod question;
mod recover;
mod rule_sets;
mod run;
mod settings;

pub use import_stock::Importing;
pub use own_item::ItemForm;
pub use rule_sets::Comparing;

use super::action::Actions;
use super::ask::{Asking, Purpose};
use super::demo::Demo;
use super::exports::Writing;
use super::plot::export::Export;
use super::view::View;
use crate::disk::{OpenError, SaveError};
use crate::journal::LostWork;
use egui::{Context, Frame, Id, Key, Modal, ScrollArea};
use lineside_core::circuit::RunEnd;
use std::path::PathBuf;

/// What is to be done once it is settled what becomes of the work at hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Intent {
    /// Begin an empty project.
    New,
    /// Ask for a file and open it.
    Open,
    /// Open this file.
    OpenFile(PathBuf),
    /// Read the document's own file again.
    Reload,
    /// Close the project.
    Close,
    /// Open a demo project.
    Demo(Demo),
    /// Take the tour, on a demo project.
    Tour,
    /// Close the window.
    Quit,
}

/// A question or a piece of news.
#[derive(Debug)]
pub enum Dialog {
    /// There is unsaved work.
    Unsaved(Intent),
    /// A file could not be opened.
    CannotOpen(PathBuf, OpenError),
    /// Lost work was found.
    LostWork(Vec<LostWork>),
    /// The file could not be saved.
    CannotSave(SaveError),
    /// A path is to be typed, for the machine has no dialog of its own.
    TypePath(Purpose, file::TypedPath),
    /// The other end of a run is to be chosen.
    Run(run::Choosing),
    /// The rule sets, compared.
    RuleSets(Comparing),
    /// The settings.
    Settings,
    /// An item of one's own stock.
    OwnItem(Box<ItemForm>),
    /// A table of stock to be taken over.
    ImportStock(Box<Importing>),
    /// The table of keys.
    Keys,
    /// What this program is.
    About,
}

/// What a person answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reply {
    /// Save, then go on.
    Save(Intent),
    /// Go on and lose what is unsaved.
    Discard(Intent),
    /// Save over what is there.
    Overwrite,
    /// Save under another name.
    SaveAs,
    /// Open or save at a typed path.
    Path(Purpose, PathBuf),
}

/// What is to become of lost work.
#[derive(Debug)]
pub enum LostWorkReply {
    /// It is opened.
    Open(LostWork),
    /// It is thrown away.
    Discard(LostWork),
}

/// The questions that are open.
#[derive(Default)]
pub struct Dialogs {
    /// The one that is shown.
    pub shown: Option<Dialog>,
    /// A file dialog of the machine that is open.
    pub asking: Option<Asking>,
    /// What is to be done once the project is saved.
    pub then: Option<Intent>,
    /// What a person answered, to be carried out.
    pub reply: Option<Reply>,
    /// A plot that waits for the name of its file.
    pub export: Option<Box<Export>>,
    /// Plots that are being written.
    pub writing: Vec<Writing>,
    /// What is to become of lost work.
    pub lost_work: Option<LostWorkReply>,
    /// Whether the window may close without another question.
    pub may_close: bool,
}

impl Dialogs {
    /// Whether a question stands over the window.
    pub const fn is_open(&self) -> bool {
        self.shown.is_some()
    }
    /// Asks for a path in the window itself.
    pub fn type_path(&mut self, purpose: Purpose, suggestion: String) {
        self.shown = Some(Dialog::TypePath(purpose, file::TypedPath::new(suggestion)));
    }
    /// Asks for the other end of a run.
    pub fn choose_run_end(&mut self, from: Option<RunEnd>) {
        self.shown = Some(Dialog::Run(run::Choosing::new(from)));
    }
}

/// Whether a dialog stays open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stay {
    Open,
    Close,
}

/// Shows the question that is open.
pub fn dialogs_ui(ctx: &Context, view: &View<'_>, dialogs: &mut Dialogs, actions: &mut Actions) {
    let Some(mut dialog) = dialogs.shown.take() else { return };
    let tokens = view.tokens;
    let frame = Frame::popup(&ctx.global_style()).inner_margin(22).corner_radius(8.0);
    let modal = Modal::new(Id::unique("question")).backdrop_color(tokens.veil).frame(frame).show(ctx, |ui| {
        ui.spacing_mut().item_spacing.y = 8.0;
        let room = ctx.content_rect().height() - 64.0;
        ScrollArea::vertical()
            .max_height(room)
            .min_scrolled_height(room)
            .show(ui, |ui| match &mut dialog {
                Dialog::Unsaved(intent) => question::unsaved_ui(ui, view, intent, &mut dialogs.reply),
                Dialog::CannotOpen(path, error) => {
                    file::cannot_open_ui(ui, view, path, error, &mut dialogs.reply)
                }
                Dialog::LostWork(lost) => recover::recover_ui(ui, view, lost, &mut dialogs.lost_work),
                Dialog::CannotSave(error) => file::cannot_save_ui(ui, view, error, &mut dialogs.reply),
                Dialog::TypePath(purpose, typed) => {
                    file::type_path_ui(ui, view, *purpose, typed, &mut dialogs.reply)
                }
                Dialog::Run(choosing) => run::choose_ui(ui, view, choosing, actions),
                Dialog::RuleSets(comparing) => rule_sets::compare_ui(ui, view, comparing, actions),
                Dialog::Settings => settings::settings_ui(ui, view, actions),
                Dialog::OwnItem(form) => own_item::item_ui(ui, view, form, actions),
                Dialog::ImportStock(importing) => import_stock::import_ui(ui, view, importing, actions),
                Dialog::Keys => help::keys_ui(ui, view),
                Dialog::About => help::about_ui(ui, view),
            })
            .inner
    });
    let escaped = ctx.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Escape));
    if modal.inner == Stay::Close || escaped || modal.should_close() {
        ctx.request_repaint();
    } else {
        dialogs.shown = Some(dialog);
    }
}
