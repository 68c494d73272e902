//! The page that stands where no project is open: files opened last, a new one, the demo projects, the tour.
//!
//! Where files are remembered is `crate::settings`'s; opening them is `files.rs`'s.

use super::action::{Action, Actions};
use super::command::Command;
use super::demo::Demo;
use super::dialogs::question::primary;
use super::fonts;
use super::frame::status::CAUTION;
use super::keys;
use super::thumbnail;
use super::view::View;
use crate::settings::Settings;
use crate::thumbnails::Thumbnails;
use egui::{
    Align2, Button, CentralPanel, Context, FontId, Frame, Image, Label, Margin, Painter, Rect, RichText,
    Role, ScrollArea, Sense, Stroke, StrokeKind, TextureHandle, TextureOptions, Theme, Ui, Vec2, WidgetInfo,
    vec2,
};
use std::path::PathBuf;

/// Whether there is a project in the window.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// There is.
    #[default]
    Open,
    /// There is none.
    Nothing,
}

impl Standing {
    /// Whether there is one.
    pub fn has_project(self) -> bool {
        self == Self::Open
    }
}

/// Height of what stands under the picture of a card.
const WORDS: f32 = 52.0;
/// Room between cards.
const GAP: f32 = 14.0;
/// Width of the column of what can be begun.
const BEGIN: f32 = 290.0;

struct Card {
    path: PathBuf,
    is_there: bool,
    light: Option<TextureHandle>,
    dark: Option<TextureHandle>,
}

/// The page.
pub struct StartPage {
    cards: Vec<Card>,
}

impl StartPage {
    /// With the files opened last, as they are on the disk now.
    pub fn new(settings: &Settings, thumbnails: &Thumbnails, ctx: &Context) -> Self {
        let card = |path: &PathBuf| {
            let texture = |theme| {
                let image = thumbnail::read(&thumbnails.read(path, theme)?)?;
                Some(ctx.load_texture(path.display().to_string(), image, TextureOptions::LINEAR))
            };
            let (light, dark) = (texture(Theme::Light), texture(Theme::Dark));
            Card { path: path.clone(), is_there: path.is_file(), light, dark }
        };
        Self { cards: settings.recent.iter().map(card).collect() }
    }
}

/// The page.
pub fn start_ui(ui: &mut Ui, view: &View<'_>, page: &StartPage, actions: &mut Actions) {
    let frame = Frame::new().fill(view.tokens.panel).inner_margin(Margin::symmetric(16, 0));
    CentralPanel::no_frame().frame(frame).show(ui, |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            let whole = ui.available_width();
            let card = thumbnail::SIZE.x + GAP;
            let beside = whole >= BEGIN + 2.0 * card;
            let columns = ((whole - BEGIN - 40.0) / card).floor().clamp(2.0, 3.0);
            let width = if beside { BEGIN + 40.0 + columns * card } else { whole.min(2.0 * card) };
            let margin = ((whole - width) / 2.0).max(0.0);
            ui.add_space(if ui.available_height() > 600.0 { 54.0 } else { 16.0 });
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = 0.0;
                ui.add_space(margin);
                ui.vertical(|ui| {
                    ui.set_width(if beside { BEGIN } else { width });
                    begin_ui(ui, view, actions);
                    if !beside {
                        ui.add_space(24.0);
                        recent_ui(ui, view, page, actions);
                    }
                });
                if beside {
                    ui.add_space(40.0);
                    ui.vertical(|ui| {
                        ui.set_width(columns * card);
                        recent_ui(ui, view, page, actions);
                    });
                }
            });
            ui.add_space(20.0);
        });
    });
}

fn soft(view: &View<'_>, text: &str) -> RichText {
    RichText::new(text).color(view.tokens.soft_ink)
}

fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(FontId::new(fonts::HEADING, fonts::strong())));
}

/// What can be begun.
fn begin_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    ui.spacing_mut().item_spacing = vec2(8.0, 6.0);
    ui.label(RichText::new("Lineside").font(FontId::new(30.0, fonts::strong())));
    ui.add(Label::new(soft(view, "A workbench for designers of battery-based solar systems.")).wrap());
    ui.add_space(14.0);
    ui.horizontal(|ui| {
        for command in [Command::New, Command::Open] {
            let keys = command.shortcuts().first().map(|it| keys::text(ui.ctx(), *it)).unwrap_or_default();
            let tip = format!("{}  {keys}", command.tip());
            let button = if command == Command::New {
                primary(ui, view.tokens, "New project")
            } else {
                ui.add(Button::new("Open…").min_size(vec2(96.0, 32.0)))
            };
            if button.on_hover_text(tip).clicked() {
                actions.push(Action::Do(command));
            }
        }
    });
    ui.add_space(18.0);
    title(ui, "To learn and to practice");
    for demo in Demo::ALL {
        if line(ui, view, demo.name(), demo.about()) {
            actions.push(Action::OpenDemo(demo));
        }
    }
    ui.add_space(12.0);
    title(ui, "To find one's way");
    for command in [Command::Tour, Command::Guide, Command::Keys] {
        if line(ui, view, command.name(), command.tip()) {
            actions.push(Action::Do(command));
        }
    }
    ui.add_space(16.0);
    ui.add(Label::new(soft(view, CAUTION).font(fonts::small())).wrap());
}

/// A line that can be clicked: what it is, and a few words on it below.
fn line(ui: &mut Ui, view: &View<'_>, name: &str, about: &str) -> bool {
    let tokens = view.tokens;
    let about =
        ui.painter().layout(about.to_owned(), fonts::small(), tokens.soft_ink, ui.available_width() - 16.0);
    let size = vec2(ui.available_width(), 28.0 + about.size().y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    ground(ui.painter(), view, rect, &response);
    let at = rect.min + vec2(8.0, 3.0);
    let strong = FontId::new(fonts::BODY, fonts::strong());
    ui.painter().text(at, Align2::LEFT_TOP, name, strong, tokens.ink);
    ui.painter().galley(at + vec2(0.0, 20.0), about, tokens.soft_ink);
    response.clicked()
}

fn ground(painter: &Painter, view: &View<'_>, rect: Rect, response: &egui::Response) {
    if response.hovered() {
        painter.rect_filled(rect, 4.0, view.tokens.card);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.0, view.tokens.accent);
        painter.rect_stroke(rect.shrink(0.5), 4.0, edge, StrokeKind::Inside);
    }
}

fn recent_ui(ui: &mut Ui, view: &View<'_>, page: &StartPage, actions: &mut Actions) {
    title(ui, "Opened last");
    ui.add_space(4.0);
    if page.cards.is_empty() {
        let words = "Projects that you open or save stand here, each with a small picture of its sheet.";
        ui.add(Label::new(soft(view, words)).wrap());
    }
    let card = thumbnail::SIZE.x + GAP;
    let columns =
        [3_u8, 2].into_iter().find(|columns| ui.available_width() >= f32::from(*columns) * card).unwrap_or(1);
    for row in page.cards.chunks(columns.into()) {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            for card in row {
                card_ui(ui, view, card, actions);
            }
        });
        ui.add_space(GAP - 6.0);
    }
    ui.add_space(8.0);
    let words = "Or drop a project on the window.";
    ui.add(Label::new(soft(view, words).font(fonts::small())).wrap());
}

fn card_ui(ui: &mut Ui, view: &View<'_>, card: &Card, actions: &mut Actions) {
    let tokens = view.tokens;
    let name = card.path.file_name().unwrap_or(card.path.as_os_str()).to_string_lossy().into_owned();
    let folder = card.path.parent().map(|folder| folder.display().to_string()).unwrap_or_default();
    let size = thumbnail::SIZE + vec2(0.0, WORDS);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let told = if card.is_there { "" } else { ", which is not there any more" };
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Open {name} in {folder}{told}")));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 5.0, tokens.card);
    let picture = Rect::from_min_size(rect.min, thumbnail::SIZE);
    painter.rect_filled(picture, 5.0, tokens.sheet);
    let texture = if ui.ctx().theme() == Theme::Dark { &card.dark } else { &card.light };
    match texture {
        Some(texture) if card.is_there => {
            Image::new((texture.id(), picture.size())).paint_at(ui, picture);
        }
        _ => {
            let words = if card.is_there { "no picture yet" } else { "not there any more" };
            painter.text(picture.center(), Align2::CENTER_CENTER, words, fonts::small(), tokens.soft_ink);
        }
    }
    painter.hline(rect.x_range(), picture.bottom(), Stroke::new(1.0, tokens.line));
    words_of(&painter, view, rect, &name, &folder);
    let chosen = response.hovered() || response.has_focus();
    let edge = if chosen { Stroke::new(1.5, tokens.accent) } else { Stroke::new(1.0, tokens.line) };
    painter.rect_stroke(rect, 5.0, edge, StrokeKind::Inside);
    forget_ui(ui, view, rect, &card.path, &name, actions);
    if response.on_hover_text(card.path.display().to_string()).clicked() {
        actions.push(Action::OpenRecent(card.path.clone()));
    }
}

fn words_of(painter: &Painter, view: &View<'_>, rect: Rect, name: &str, folder: &str) {
    let cut = |text: &str, font: FontId, color| {
        let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color);
        job.wrap.max_width = rect.width() - 44.0;
        job.wrap.max_rows = 1;
        job.wrap.break_anywhere = true;
        painter.layout_job(job)
    };
    let at = rect.left_bottom() + vec2(10.0, -WORDS);
    let strong = cut(name, FontId::new(fonts::BODY, fonts::strong()), view.tokens.ink);
    painter.galley(at + vec2(0.0, 6.0), strong, view.tokens.ink);
    painter.galley(
        at + vec2(0.0, 27.0),
        cut(folder, fonts::small(), view.tokens.soft_ink),
        view.tokens.soft_ink,
    );
}

/// A small cross that takes a file from the list.
fn forget_ui(ui: &Ui, view: &View<'_>, card: Rect, path: &PathBuf, name: &str, actions: &mut Actions) {
    let rect = Rect::from_center_size(card.right_bottom() - vec2(20.0, WORDS / 2.0), Vec2::splat(26.0));
    let response = ui.interact(rect, ui.scope_id().with(("forget", path)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Take {name} from the list")));
    let chosen = response.hovered() || response.has_focus();
    let stroke = Stroke::new(1.5, if chosen { view.tokens.accent } else { view.tokens.soft_ink });
    for corner in [vec2(4.0, 4.0), vec2(4.0, -4.0)] {
        ui.painter().line_segment([rect.center() - corner, rect.center() + corner], stroke);
    }
    if response.on_hover_text("Take it from the list. The file stays.").clicked() {
        actions.push(Action::ForgetRecent(path.clone()));
    }
}
