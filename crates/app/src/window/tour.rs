//! The tour: five steps through the window on the demo project, each with a ring round what it is about. It can be left at
//! any time, and is under Help again.

use super::action::{Action, Actions};
use super::app::App;
use super::areas::Area;
use super::demo::Demo;
use super::dialogs::question::{heading, primary, secondary, words};
use super::document::Document;
use super::fonts;
use super::selection::{Selection, Thing};
use super::view::View;
use super::wear::Setting;
use crate::settings::Tour;
use egui::{self, Context, Frame, Id, LayerId, Order, Pos2, Rect, RichText, Stroke, StrokeKind, pos2, vec2};

/// A step of the tour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TourStep {
    /// The sheet.
    Sheet,
    /// Nameplate and ladder.
    Nameplate,
    /// Findings.
    Findings,
    /// The brief.
    Brief,
    /// The energy year.
    Year,
}

/// Width of the card.
const WIDTH: f32 = 380.0;
/// Room between the card and the edges.
const GAP: f32 = 22.0;
/// Height of the two rows above every area, and of the bar below.
const ROWS: (f32, f32) = (82.0, 26.0);

impl TourStep {
    /// Every step, in order.
    pub const ALL: [Self; 5] = [Self::Sheet, Self::Nameplate, Self::Findings, Self::Brief, Self::Year];

    const fn title(self) -> &'static str {
        match self {
            Self::Sheet => "The sheet",
            Self::Nameplate => "Nameplate and ladder",
            Self::Findings => "Findings",
            Self::Brief => "Brief",
            Self::Year => "Year",
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Sheet => {
                "This cabin is a demo: do with it what you like. Drag a block; its runs follow and the whole design is judged \
                 anew while it moves. New blocks come from the stock at the left: drop one on a run, and it goes into that \
                 run. Undo reaches back to the beginning."
            }
            Self::Nameplate => {
                "What is selected shows its nameplate here. Every number takes its unit and knows its limits. Below it is the \
                 ladder: the volts that really come about, on the coldest morning as on the hottest noon, beside what each \
                 block permits."
            }
            Self::Findings => {
                "What the rules find stands here: a triangle is a danger, a square is what a reviewer would reject, a circle \
                 is advice; each with its working, its clause and what would mend it. The cabin is in order. Set the modules \
                 in series of S1, at the right, to 5 and see what comes; then undo."
            }
            Self::Brief => {
                "A job begins here: loads, site, goals. The page Proposals searches the stock for whole systems that answer \
                 the brief, says why each is there, and opens one as a complete sheet."
            }
            Self::Year => {
                "The sheet hour by hour through a year of weather: what goes unmet and when, how far the reserve lasts, what \
                 the generator does. Point at a plot to read it out. The guide under Help tells the rest."
            }
        }
    }

    fn number(self) -> usize {
        Self::ALL.iter().position(|step| *step == self).unwrap_or(0)
    }

    fn next(self) -> Option<Self> {
        Self::ALL.get(self.number() + 1).copied()
    }

    fn before(self) -> Option<Self> {
        Self::ALL.get(self.number().checked_sub(1)?).copied()
    }

    const fn area(self) -> Area {
        match self {
            Self::Sheet | Self::Nameplate | Self::Findings => Area::Draft,
            Self::Brief => Area::Brief,
            Self::Year => Area::Year,
        }
    }

    /// What it is about, on the screen.
    fn ring(self, screen: Rect, sheet: Option<Rect>) -> Rect {
        let whole = Rect::from_min_max(
            screen.min + vec2(0.0, ROWS.0),
            pos2(screen.right(), screen.bottom() - ROWS.1),
        );
        let sheet = sheet.unwrap_or(whole);
        match self {
            Self::Sheet => sheet,
            Self::Nameplate => Rect::from_min_max(sheet.right_top(), pos2(whole.right(), sheet.bottom())),
            Self::Findings => Rect::from_min_max(pos2(whole.left(), sheet.bottom()), whole.max),
            Self::Brief | Self::Year => whole,
        }
    }

    /// Where the card stands: beside what it is about, never on it where that can be helped.
    fn place(self, ring: Rect, size: egui::Vec2) -> Pos2 {
        match self {
            Self::Sheet => ring.left_bottom() + vec2(GAP, -GAP - size.y),
            Self::Nameplate => ring.left_bottom() + vec2(-GAP - size.x, -GAP - size.y),
            Self::Findings => ring.left_top() + vec2(GAP, -GAP - size.y),
            Self::Brief | Self::Year => ring.right_bottom() - vec2(GAP, GAP) - size,
        }
    }
}

impl App {
    /// Greets who has never been here with the tour.
    pub fn greet(&mut self, ctx: &Context) {
        if self.settings.is_first_start() && self.document.file.is_none() && self.state.start.is_none() {
            self.go_to_tour(TourStep::Sheet);
            ctx.request_repaint();
        }
    }

    /// Opens the demo project and begins the tour.
    pub(super) fn begin_tour(&mut self) {
        self.show_document(Document::new(Demo::Cabin.project()));
        self.go_to_tour(TourStep::Sheet);
    }

    /// Goes to a step.
    pub(super) fn go_to_tour(&mut self, step: TourStep) {
        self.state.tour = Some(step);
        self.state.area = step.area();
        let tag = match step {
            TourStep::Nameplate => "C1",
            TourStep::Findings => "S1",
            TourStep::Sheet | TourStep::Brief | TourStep::Year => return,
        };
        if let Some(block) = self.document.project.circuit.block_by_tag(tag) {
            self.state.selection = Selection::only(Thing::Block(block.id));
        }
    }

    /// Leaves the tour.
    pub(super) fn end_tour(&mut self, ctx: &Context) {
        self.state.tour = None;
        self.set(Setting::Tour(Tour::Done), ctx);
    }
}

/// The ring and the card of a step.
pub fn tour_ui(ctx: &Context, view: &View<'_>, step: TourStep, sheet: Option<Rect>, actions: &mut Actions) {
    let screen = ctx.content_rect();
    let ring = step.ring(screen, sheet);
    let painter = ctx.layer_painter(LayerId::new(Order::Middle, Id::unique("tour ring")));
    painter.rect_stroke(ring.shrink(2.0), 4.0, Stroke::new(3.0, view.tokens.accent), StrokeKind::Inside);
    let id = Id::unique("tour");
    let size =
        egui::AreaState::load(ctx, id).and_then(|state| state.size).unwrap_or(vec2(WIDTH + 44.0, 210.0));
    egui::Area::new(id)
        .order(Order::Foreground)
        .fixed_pos(step.place(ring, size))
        .constrain_to(screen.shrink(8.0))
        .fade_in(false)
        .show(ctx, |ui| {
            let frame = Frame::popup(ui.style()).inner_margin(20).corner_radius(8.0);
            frame
                .stroke(Stroke::new(1.5, view.tokens.accent))
                .show(ui, |ui| card_ui(ui, view, step, actions));
        });
}

fn card_ui(ui: &mut egui::Ui, view: &View<'_>, step: TourStep, actions: &mut Actions) {
    ui.set_width(WIDTH.min(ui.ctx().content_rect().width() - 70.0));
    ui.spacing_mut().item_spacing.y = 8.0;
    ui.horizontal(|ui| {
        heading(ui, step.title());
        let count = format!("{} of {}", step.number() + 1, TourStep::ALL.len());
        ui.label(RichText::new(count).font(fonts::small()).color(view.tokens.soft_ink));
    });
    words(ui, step.words());
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let last = step.next().is_none();
        let next = primary(ui, view.tokens, if last { "Done" } else { "Next" });
        if ui.memory(|memory| memory.focused().is_none()) {
            next.request_focus();
        }
        if next.clicked() {
            actions.push(step.next().map_or(Action::EndTour, Action::Tour));
        }
        if let Some(before) = step.before()
            && secondary(ui, "Back").clicked()
        {
            actions.push(Action::Tour(before));
        }
        if !last && secondary(ui, "Leave the tour").clicked() {
            actions.push(Action::EndTour);
        }
    });
}
