//! What of the stock fits where the selected block stands, or into the selected run: best first, with why the others do not.
//! The stock is tried on a thread aside, so that no frame waits for it.

use super::nameplate::combo::combo;
use super::sheet::Proposed;
use crate::engine::{Engine, derive};
use crate::window::action::{Action, Actions};
use crate::window::edits::Labeled;
use crate::window::fonts;
use crate::window::marks;
use crate::window::selection::Thing;
use crate::window::tokens::Tokens;
use crate::window::view::{Freshness, View};
use egui::{
    Button, Context, Frame, Label, Margin, Painter, Pos2, RichText, Role, ScrollArea, Stroke, Ui, WidgetInfo,
    vec2,
};
use lineside_core::circuit::Side;
use lineside_core::kinds::Kind;
use lineside_core::project::Project;
use lineside_core::units::{UnitSystem, text};
use lineside_rules::Severity;
use lineside_rules::mend::Subject;
use lineside_rules::mend::fit::{Fit, Fitness, Spot, Standing, fits};
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// Of which state of the project, where, and of which kind.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Asked {
    changes: u64,
    spot: Spot,
    kind: Kind,
    units: UnitSystem,
}

/// Whether the shelf shows what fits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shows {
    /// The whole stock by kind.
    #[default]
    Stock,
    /// What fits what is selected.
    Fits,
}

/// What the shelf remembers of it.
#[derive(Debug)]
pub struct Fitting {
    /// What the shelf shows.
    pub shows: Shows,
    side: Side,
    kind: Kind,
    found: Option<(Asked, Vec<Fit>)>,
    coming: Option<Coming>,
    pointed: Option<Proposed>,
}

impl Default for Fitting {
    fn default() -> Self {
        Self {
            shows: Shows::Stock,
            side: Side::From,
            kind: Kind::Breaker,
            found: None,
            coming: None,
            pointed: None,
        }
    }
}

/// A search that is under way.
#[derive(Debug)]
struct Coming {
    asked: Asked,
    found: Receiver<Vec<Fit>>,
    stop: Arc<AtomicBool>,
}

/// Kinds that can lie in a run.
const IN_RUNS: [Kind; 3] = [Kind::Breaker, Kind::Fuse, Kind::Switch];

/// What is selected, as a place in which stock can be tried: its name, where, and of which kind.
fn target(view: &View<'_>, fitting: &Fitting) -> Option<(String, Spot, Kind)> {
    let circuit = &view.project().circuit;
    match view.selection.single()? {
        Thing::Block(id) => {
            let block = circuit.block(id)?;
            Some((block.tag.clone(), Spot::Block(id), block.kind()))
        }
        Thing::Terminal(end) => {
            let block = circuit.block(end.block)?;
            Some((block.tag.clone(), Spot::Block(end.block), block.kind()))
        }
        Thing::Run(id) => Some((circuit.run(id)?.tag.clone(), Spot::Run(id, fitting.side), fitting.kind)),
        Thing::Place(_) => None,
    }
}

impl Fitting {
    /// The item that is pointed at in this frame; to be shown as a ghost.
    pub fn take_pointed(&mut self) -> Option<Proposed> {
        self.pointed.take()
    }

    /// The ranking, unless it is still being made; what became outdated is stopped and asked anew.
    fn of(&mut self, view: &View<'_>, wanted: Asked, ctx: &Context) -> Option<&[Fit]> {
        if let Some(coming) = self.coming.take() {
            match coming.found.try_recv() {
                Ok(found) => self.found = Some((coming.asked, found)),
                Err(TryRecvError::Empty) => {
                    if coming.asked != wanted {
                        coming.stop.store(true, Ordering::Relaxed);
                    }
                    self.coming = Some(coming);
                }
                // The thread could not do its work; asking again would not help.
                Err(TryRecvError::Disconnected) => self.found = Some((coming.asked, Vec::new())),
            }
        }
        let known = self.found.as_ref().is_some_and(|(asked, _)| *asked == wanted);
        if !known && self.coming.is_none() && view.freshness == Freshness::Fresh {
            self.coming = Some(look(view.project(), view.engine, wanted, ctx));
        }
        self.found.as_ref().filter(|_| known).map(|(_, found)| found.as_slice())
    }
}

/// Tries the stock on a thread of its own, for a copy of the project as it stands.
fn look(project: &Project, engine: &Arc<Engine>, asked: Asked, ctx: &Context) -> Coming {
    let (send, found) = channel();
    let stop = Arc::new(AtomicBool::new(false));
    let (project, engine, ctx, stopped) =
        (project.clone(), Arc::clone(engine), ctx.clone(), Arc::clone(&stop));
    std::thread::spawn(move || {
        let derived = derive(&project, &engine, asked.changes);
        let subject = Subject {
            project: &project,
            codes: &engine.codes,
            stock: &engine.stock,
            checked: &derived.checked,
        };
        let all = fits(&subject, asked.spot, asked.kind, asked.units, |_| {
            if stopped.load(Ordering::Relaxed) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        if send.send(all).is_ok() {
            ctx.request_repaint();
        }
    });
    Coming { asked, found, stop }
}

/// The line that turns from the whole stock to what fits what is selected. Gives back what the shelf shows.
pub fn choice_ui(ui: &mut Ui, view: &View<'_>, fitting: &mut Fitting) -> Shows {
    let Some((name, ..)) = target(view, fitting) else {
        fitting.pointed = None;
        return Shows::Stock;
    };
    let chosen = fitting.shows == Shows::Fits;
    let button = Button::new(format!("What fits {name}")).selected(chosen);
    let tip = "Tries every item of stock there, on a copy, and ranks them: best first, with why the others do not fit.";
    if ui.add(button).on_hover_text(tip).clicked() {
        fitting.shows = if chosen { Shows::Stock } else { Shows::Fits };
    }
    fitting.shows
}

/// The ranking.
pub fn fitting_ui(ui: &mut Ui, view: &View<'_>, fitting: &mut Fitting, actions: &mut Actions) {
    // The panel keeps its width whatever stands in it.
    ui.set_min_width(ui.available_width());
    if matches!(target(view, fitting), Some((_, Spot::Run(..), _))) {
        run_ui(ui, view, fitting);
    }
    let Some((name, spot, kind)) = target(view, fitting) else { return };
    let wanted = Asked { changes: view.document.history.changes(), spot, kind, units: view.units() };
    let ctx = ui.ctx().clone();
    let mut pointed = None;
    let soft = |text: String| {
        Label::new(RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink)).wrap()
    };
    match fitting.of(view, wanted, &ctx) {
        None => {
            ui.add(soft(format!("{} are being tried…", kind.plural())));
        }
        Some(found) => {
            let fit = found.iter().filter(|fit| fit.fitness == Fitness::Fits).count();
            ui.add(soft(format!(
                "{} of {} fit, best first. Point at one to see it on the sheet.",
                text::count(fit),
                text::count(found.len())
            )));
            ScrollArea::vertical().id_salt("what fits").auto_shrink(false).show(ui, |ui| {
                ui.set_max_width(ui.available_width() - 6.0);
                for fit in found {
                    if let Some(proposed) = fit_ui(ui, view, &name, fit, actions) {
                        pointed = Some(proposed);
                    }
                }
                ui.add_space(12.0);
            });
        }
    }
    fitting.pointed = pointed;
}

/// Of which kind a device would be put into a run, and at which end.
fn run_ui(ui: &mut Ui, view: &View<'_>, fitting: &mut Fitting) {
    let width = ui.available_width() - 6.0;
    combo(ui, view.tokens, "kind in a run", ("Kind to try in the run", fitting.kind.plural()), width, |ui| {
        for kind in IN_RUNS {
            if ui.selectable_label(fitting.kind == kind, kind.plural()).clicked() {
                fitting.kind = kind;
            }
        }
    });
    let words = |side: Side| if side == Side::From { "where it begins" } else { "where it ends" };
    combo(ui, view.tokens, "end of a run", ("End of the run to try", words(fitting.side)), width, |ui| {
        for side in [Side::From, Side::To] {
            if ui.selectable_label(fitting.side == side, words(side)).clicked() {
                fitting.side = side;
            }
        }
    });
}

/// One item, with its verdict in words. Gives back what is to be shown of it on the sheet.
fn fit_ui(ui: &mut Ui, view: &View<'_>, place: &str, fit: &Fit, actions: &mut Actions) -> Option<Proposed> {
    let tokens = view.tokens;
    let here = fit.now == Standing::Here;
    let edge = if here { tokens.accent } else { tokens.line };
    let frame = Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(4.0)
        .inner_margin(Margin { left: 8, right: 6, top: 5, bottom: 6 })
        .outer_margin(Margin { left: 0, right: 0, top: 2, bottom: 2 });
    let shown = frame.show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 3.0);
        ui.set_width(ui.available_width());
        ui.horizontal_top(|ui| {
            let (rect, mark) = ui.allocate_exact_size(vec2(14.0, 18.0), egui::Sense::hover());
            verdict(ui.painter(), tokens, fit.fitness, rect.center());
            let words = format!("{}: {}", fit.item, word(fit.fitness));
            mark.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
            ui.add(Label::new(RichText::new(&fit.item).font(fonts::small())).wrap());
        });
        let cost = fit.cost.as_ref().map(|cost| format!("{} {} more. ", cost.amount, cost.currency));
        let why = format!("{}{}", cost.unwrap_or_default(), fit.why);
        ui.add(Label::new(RichText::new(why).font(fonts::small()).color(tokens.soft_ink)).wrap());
        if here {
            ui.label(RichText::new("stands there now").font(fonts::small()).color(tokens.accent));
            return false;
        }
        let Some(edit) = &fit.edit else { return false };
        let take = ui.button(RichText::new("Take it").font(fonts::small()));
        let name = format!("Take {} for {place}", fit.item);
        take.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        if take.clicked() {
            let label = format!("take {} for {place}", fit.item);
            actions.push(Action::Make(Labeled::new(label, edit.clone()), None));
        }
        take.has_focus()
    });
    let pointed = shown.inner || ui.rect_contains_pointer(shown.response.rect);
    let edit = fit.edit.as_ref().filter(|_| pointed && !here)?;
    Some(Proposed { label: format!("{} for {place}", fit.item), effect: effect(fit), edit: edit.clone() })
}

fn effect(fit: &Fit) -> String {
    let counted = |count: usize, none: &str, one: &str, many: &str| match count {
        0 => none.to_owned(),
        1 => format!("1 {one}"),
        count => format!("{} {many}", text::count(count)),
    };
    let goes = counted(fit.goes.len(), "No finding goes", "finding goes", "findings go");
    format!("{goes}, {}", counted(fit.comes.len(), "none comes", "comes", "come"))
}

const fn word(fitness: Fitness) -> &'static str {
    match fitness {
        Fitness::Fits => "fits",
        Fitness::Corrections => "does not fit, a correction comes or stays",
        Fitness::Dangers => "does not fit, a danger comes or stays",
        Fitness::Refused => "cannot stand there",
    }
}

/// A tick, the shape of the worst finding, or a cross.
fn verdict(painter: &Painter, tokens: &Tokens, fitness: Fitness, at: Pos2) {
    match fitness {
        Fitness::Fits => {
            let points = vec![at + vec2(-5.0, 0.0), at + vec2(-1.5, 4.0), at + vec2(5.5, -4.5)];
            painter.line(points, Stroke::new(2.0, tokens.battery));
        }
        Fitness::Corrections => marks::severity(painter, tokens, Severity::Correction, at, 11.0),
        Fitness::Dangers => marks::severity(painter, tokens, Severity::Danger, at, 11.0),
        Fitness::Refused => {
            let stroke = Stroke::new(1.6, tokens.soft_ink);
            painter.line_segment([at + vec2(-4.0, -4.0), at + vec2(4.0, 4.0)], stroke);
            painter.line_segment([at + vec2(-4.0, 4.0), at + vec2(4.0, -4.0)], stroke);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::edits::adding;
    use lineside_core::stock;

    #[test]
    fn the_kinds_that_are_tried_in_runs_lie_in_runs() {
        let items = stock::built_in().unwrap();
        for kind in IN_RUNS {
            let some = items.iter().filter(|item| item.equipment.kind() == kind);
            assert!(
                some.into_iter().any(|item| adding::through(&item.equipment).is_some()),
                "{}",
                kind.key()
            );
        }
    }
}
