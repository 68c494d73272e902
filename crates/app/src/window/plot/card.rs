//! The card of a plot: its title, enlarging, and the menu that saves it to a file.

use super::export::{Content, Export, FileKind, file_name};
use super::picture::{Cut, Mark, Picture, Words};
use super::widget::{Look, Plot, PlotState, WHOLE, plot_ui};
use crate::window::action::{Action, Actions};
use crate::window::areas::room;
use crate::window::fonts;
use crate::window::marks::{self, Openness};
use crate::window::style;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Align, Align2, Button, FontId, Frame, Layout, Margin, Popup, Response, RichText, Role, Stroke, Ui, Vec2,
    WidgetInfo, pos2, vec2,
};

/// Size of exported pictures, points.
const EXPORTED: Vec2 = vec2(900.0, 400.0);

/// Whether a plot fills the area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// It stands among the others.
    Among,
    /// It fills the area.
    Alone,
    /// It stands where it stands and is never enlarged.
    Only,
}

/// A card with title, what belongs in its head, and the plot. Gives what [`plot_ui`] gives, and whether the extent is to
/// change.
pub fn plot_card(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut PlotState,
    plot: &dyn Plot,
    (size, extent): (Vec2, Extent),
    actions: &mut Actions,
) -> (Option<usize>, Response, Toggle) {
    let tokens = view.tokens;
    let frame = Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(6.0)
        .inner_margin(Margin::symmetric(12, 8));
    let inner = size - vec2(26.0, 18.0);
    frame
        .show(ui, |ui| {
            ui.set_width(inner.x);
            ui.spacing_mut().item_spacing.y = 2.0;
            let toggle = head(ui, view, state, plot, extent, actions);
            let left = inner.y - HEAD - 4.0;
            let (response, place) = plot_ui(ui, view, state, plot, vec2(inner.x, left.max(60.0)));
            (place, response, toggle)
        })
        .inner
}

/// Whether a person wants a plot enlarged or set back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toggle {
    /// It stays as it is.
    No,
    /// It changes.
    Yes,
}

/// Room for the title.
const HEAD: f32 = 26.0;
const SHOW_ALL: &str = "Show all";
/// With room for the sign that a list opens.
const SAVE: &str = "Save     ";

fn head(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut PlotState,
    plot: &dyn Plot,
    extent: Extent,
    actions: &mut Actions,
) -> Toggle {
    let mut toggle = Toggle::No;
    ui.allocate_ui_with_layout(
        vec2(ui.available_width(), HEAD),
        Layout::left_to_right(Align::Center),
        |ui| {
            ui.label(RichText::new(plot.title()).font(FontId::new(fonts::HEADING, fonts::strong())));
            style::quiet(ui.style_mut());
            ui.spacing_mut().item_spacing.x = 2.0;
            let word = if extent == Extent::Alone { "Back" } else { "Enlarge" };
            let mut words = vec![SAVE];
            words.extend((extent != Extent::Only).then_some(word));
            words.extend(state.is_zoomed().then_some(SHOW_ALL));
            let width = words.iter().map(|word| room::button_width(ui, word, fonts::small())).sum();
            room::at_right(ui, width, |ui| {
                if state.is_zoomed() && named(ui, SHOW_ALL, plot).clicked() {
                    state.zoom = WHOLE;
                }
                if extent != Extent::Only && named(ui, word, plot).clicked() {
                    toggle = Toggle::Yes;
                }
                save_menu(ui, view, plot, actions);
            });
        },
    );
    toggle
}

/// A quiet button whose name says of which plot it is.
fn named(ui: &mut Ui, word: &str, plot: &dyn Plot) -> Response {
    let button = ui.add(Button::new(RichText::new(word).font(fonts::small())));
    let name = format!("{word}: {}", plot.title());
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    button
}

fn save_menu(ui: &mut Ui, view: &View<'_>, plot: &dyn Plot, actions: &mut Actions) {
    let button = ui.add(Button::new(RichText::new(SAVE).font(fonts::small())));
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Save: {}", plot.title())));
    let at = button.rect.right_center() - vec2(14.0, 0.0);
    marks::chevron(ui.painter(), at, Openness::Open, view.tokens.soft_ink);
    Popup::menu(&button).show(|ui| {
        for kind in FileKind::ALL {
            if ui.button(kind.label()).clicked() {
                actions.push(Action::Export(Box::new(export(view, plot, kind))));
                ui.close();
            }
        }
    });
}

fn export(view: &View<'_>, plot: &dyn Plot, kind: FileKind) -> Export {
    let system = &view.project().title.system;
    let title =
        if system.is_empty() { plot.title().to_owned() } else { format!("{system}: {}", plot.title()) };
    let content = match kind {
        FileKind::Csv => Content::Text(plot.table()),
        FileKind::Png | FileKind::Svg => {
            // Pictures go into letters and quotes: ink on paper, whatever the window wears.
            let tokens = &Tokens::LIGHT;
            let look = Look { tokens, units: view.units(), size: EXPORTED, zoom: WHOLE };
            Content::Picture(titled(plot, &look, &title), tokens.card, title.clone())
        }
    };
    Export { name: file_name(&title, kind), kind, content }
}

/// Room for the title of an exported picture, and round it.
const TITLE: f32 = 34.0;
const ROUND: f32 = 12.0;

fn titled(plot: &dyn Plot, look: &Look<'_>, title: &str) -> Picture {
    let mut picture = plot.draw(look);
    for mark in &mut picture.marks {
        mark.shift(vec2(ROUND, TITLE));
    }
    picture.size += vec2(2.0 * ROUND, TITLE + ROUND);
    picture.marks.push(Mark::Words(Words {
        at: pos2(ROUND + 12.0, TITLE / 2.0 + 4.0),
        anchor: Align2::LEFT_CENTER,
        text: title.to_owned(),
        size: fonts::HEADING,
        cut: Cut::Strong,
        color: look.tokens.ink,
    }));
    picture
}
