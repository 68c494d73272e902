//! Propose: whole systems from stock that answer the brief, as they are found; why not others; and one of them opened.

mod ask_why;
mod scatter;
mod seek;
mod table;

use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::plot::{Extent, PlotState, plot_card};
use crate::window::view::View;
use egui::{Context, FontId, Label, ProgressBar, RichText, Role, ScrollArea, Stroke, Ui, WidgetInfo, vec2};
use lineside_core::units::{Measure, text};
use lineside_propose::{Proposals, Shelf};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use scatter::{Against, Scatter};
use seek::{Ask, Seeker, Shown, Told};

/// What the page remembers.
#[derive(Default)]
pub struct ProposeState {
    seeker: Option<Seeker>,
    /// The state of the project that was searched for.
    changes: u64,
    stage: Option<(String, Option<f32>)>,
    /// Why nothing can be searched.
    reasons: Vec<String>,
    shelf: Option<Box<Shelf>>,
    /// The candidates: while it runs, whatever has had its year; in the end, those that nothing beats.
    shown: Vec<Shown>,
    done: Option<Box<Proposals>>,
    chosen: Option<usize>,
    why: ask_why::AskWhy,
    /// What stands in the way of opening a candidate.
    cannot_open: Option<String>,
    plot: PlotState,
    against: Against,
}

/// Money in whole units of its currency.
fn sum(amount: Decimal, currency: &str) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and not below nought")]
    let whole = amount.to_f64().unwrap_or_default().max(0.0).round() as usize;
    format!("{} {currency}", text::count(whole))
}

impl ProposeState {
    /// Whether the search is under way.
    pub const fn is_running(&self) -> bool {
        self.stage.is_some()
    }

    fn begin(&mut self, view: &View<'_>, ctx: &Context) {
        let changes = view.document.history.changes();
        let seeker = Seeker::begin(view.project(), view.engine, ctx);
        *self = Self {
            seeker: Some(seeker),
            changes,
            stage: Some(("Beginning".to_owned(), None)),
            against: self.against,
            ..Self::default()
        };
    }

    fn take_news(&mut self, actions: &mut Actions) {
        let news = self.seeker.as_ref().map_or_else(Vec::new, Seeker::news);
        for told in news {
            match told {
                Told::NoSearch(reasons) => {
                    self.reasons = reasons;
                    self.stage = None;
                }
                Told::Shelf(shelf) => self.shelf = Some(shelf),
                Told::Stage(words, share) => self.stage = Some((words, share)),
                Told::Early(shown) => self.add(*shown),
                Told::Done(found, shown) => {
                    self.shown = shown;
                    self.done = Some(found);
                    self.stage = None;
                    self.chosen = (!self.shown.is_empty()).then_some(0);
                    self.why.follow(self.shown.first());
                }
                Told::Stopped => self.stage = None,
                Told::Broken(combination, words) => self.why.answered(combination, words),
                Told::Opened(opened) => match *opened {
                    Ok(project) => actions.push(Action::OpenProposal(Box::new(project))),
                    Err(why) => self.cannot_open = Some(why),
                },
            }
        }
    }

    /// Keeps the list by cost; a candidate that is told twice stands once.
    fn add(&mut self, shown: Shown) {
        let key = |it: &Shown| (it.candidate.cost, it.candidate.combination);
        if let Err(place) = self.shown.binary_search_by_key(&key(&shown), key) {
            self.shown.insert(place, shown);
        }
    }
}

/// The page.
pub(super) fn propose_ui(ui: &mut Ui, view: &View<'_>, state: &mut ProposeState, actions: &mut Actions) {
    state.take_news(actions);
    bar_ui(ui, view, state);
    let book = &view.project().price_book.currency;
    let currency = if book.is_empty() { "USD" } else { book.as_str() };
    if !state.reasons.is_empty() {
        reasons_ui(ui, view, &state.reasons);
        return;
    }
    if state.shown.is_empty() {
        nothing_ui(ui, view, state);
        return;
    }
    ScrollArea::vertical().auto_shrink(false).id_salt("proposals").show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 12.0);
        let size = vec2(ui.available_width(), scatter::SIZE.y);
        against_ui(ui, view, &mut state.against);
        let goals = &view.project().brief.goals;
        let allowed = match state.against {
            Against::Unmet => goals.unmet_share.map(Measure::value),
            Against::Generator => goals.generator_hours.map(Measure::value),
            Against::Life => None,
        };
        let (shown, chosen, units, against) = (&state.shown, state.chosen, view.units(), state.against);
        let plot = Scatter { shown, chosen, against, allowed, currency, units };
        let (place, response, _) = plot_card(ui, view, &mut state.plot, &plot, (size, Extent::Only), actions);
        if response.clicked() && place.is_some() {
            state.chosen = place;
            state.why.follow(place.and_then(|place| state.shown.get(place)));
        }
        ui.add_space(6.0);
        table::table_ui(ui, view, state, currency);
        ui.add_space(20.0);
    });
}

fn against_ui(ui: &mut Ui, view: &View<'_>, against: &mut Against) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Cost against").color(view.tokens.soft_ink));
        combo(ui, view.tokens, "against", ("Cost against", against.words()), 170.0, |ui| {
            for choice in Against::ALL {
                if ui.selectable_label(*against == choice, choice.words()).clicked() {
                    *against = choice;
                }
            }
        });
    });
}

fn bar_ui(ui: &mut Ui, view: &View<'_>, state: &mut ProposeState) {
    let soft = |text: String| RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink);
    let stale = state.seeker.is_some() && state.changes != view.document.history.changes();
    ui.horizontal(|ui| {
        if let Some((words, share)) = &state.stage {
            if let Some(share) = share {
                let bar = ProgressBar::new(*share).desired_width(160.0).desired_height(10.0);
                let bar = ui.add(bar.fill(view.tokens.accent));
                bar.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, words));
            }
            ui.label(soft(words.clone()));
            if ui.button("Stop").clicked()
                && let Some(seeker) = &state.seeker
            {
                seeker.stop();
            }
            return;
        }
        let text = RichText::new("Propose systems").color(view.tokens.on_accent).family(fonts::strong());
        let button = egui::Button::new(text).fill(view.tokens.accent).min_size(vec2(150.0, 28.0));
        let button = ui.add(button);
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Propose systems"));
        if button.clicked() {
            state.begin(view, ui.ctx());
        }
        if stale {
            ui.label(soft("The brief or the sheet has changed since these were found.".to_owned()));
        } else if let Some(found) = &state.done {
            let years = text::count(found.years);
            ui.label(soft(format!(
                "{years} systems were gone through for a year; these are beaten by none."
            )));
        }
    });
    ui.add_space(6.0);
}

fn reasons_ui(ui: &mut Ui, view: &View<'_>, reasons: &[String]) {
    ui.label(RichText::new("Nothing can be proposed yet").font(FontId::new(fonts::HEADING, fonts::strong())));
    for reason in reasons {
        ui.add_space(3.0);
        ui.add(Label::new(RichText::new(format!("– {reason}")).color(view.tokens.ink)).wrap());
    }
}

fn nothing_ui(ui: &mut Ui, view: &View<'_>, state: &ProposeState) {
    let words = match &state.done {
        None if state.is_running() => "The first candidates come in a moment.",
        None => {
            "Every combination of battery, array, controllers, inverters and generator from the stock is weighed against \
             the brief. What nothing beats is listed here, each with the reason; one of them opens as a complete sheet."
        }
        Some(found) if found.nearest.is_some() => {
            "No system keeps what the brief allows. The nearest leaves more unmet or runs the generator longer."
        }
        Some(_) => "No system of the stock answers this brief. These limits stood in the way:",
    };
    ui.add(Label::new(RichText::new(words).color(view.tokens.soft_ink)).wrap());
    let Some(found) = &state.done else { return };
    if let Some(nearest) = &found.nearest {
        let unmet = text::figure(nearest.unmet().into(), view.units());
        let words = format!("{}: {unmet} unmet", seek::called(nearest, view.units()));
        ui.add(Label::new(words).wrap());
    }
    for cut in found.found.cuts.iter().take(8) {
        ui.add(Label::new(format!("– {}", cut.limit.text())).wrap());
    }
}

/// What is known of the chosen candidate: its parts, its merits, opening it, and why not another.
pub(super) fn side_ui(ui: &mut Ui, view: &View<'_>, state: &mut ProposeState) {
    let tokens = view.tokens;
    ScrollArea::vertical().auto_shrink(false).id_salt("candidate").show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        let Some(it) = state.chosen.and_then(|chosen| state.shown.get(chosen)) else {
            let words = "Choose a candidate to see what it is made of.";
            ui.add(Label::new(RichText::new(words).color(tokens.soft_ink)).wrap());
            return;
        };
        let title = RichText::new(seek::called(&it.candidate, view.units()));
        ui.add(Label::new(title.font(FontId::new(fonts::HEADING, fonts::strong()))).wrap());
        let merits: Vec<&str> = it.candidate.merits.iter().map(|it| it.text()).collect();
        if !merits.is_empty() {
            ui.add(Label::new(RichText::new(merits.join(", ")).color(tokens.accent)).wrap());
        }
        for part in &it.parts {
            ui.add_space(3.0);
            ui.add(Label::new(RichText::new(seek::line(part)).font(fonts::small())).wrap());
        }
        ui.add_space(8.0);
        let combination = it.candidate.combination;
        if state.done.is_some()
            && ui.button("Open as a complete sheet").clicked()
            && let Some(seeker) = &state.seeker
        {
            seeker.ask(Ask::Open(combination));
            state.cannot_open = None;
        }
        if let Some(why) = &state.cannot_open {
            ui.add(
                Label::new(RichText::new(format!("It cannot be drawn: {why}.")).color(tokens.danger)).wrap(),
            );
        }
        let (from, to) = (ui.min_rect().left(), ui.max_rect().right());
        ui.add_space(10.0);
        ui.painter().hline(from..=to, ui.cursor().top(), Stroke::new(1.0, tokens.line));
        ui.add_space(8.0);
        if let (Some(shelf), Some(seeker), true) = (&state.shelf, &state.seeker, state.done.is_some()) {
            state.why.ui(ui, view, shelf, |combination| seeker.ask(Ask::WhyNot(combination)));
        }
    });
}
