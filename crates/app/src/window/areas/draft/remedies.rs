//! The remedies of the finding that is looked at: what each changes, costs and clears, and a button that applies it as
//! one step. They are found on a thread aside, one finding at a time, so that no frame waits for them.

use super::sheet::Proposed;
use crate::engine::{Engine, derive};
use crate::window::action::{Action, Actions};
use crate::window::edits::Labeled;
use crate::window::fonts;
use crate::window::view::{Freshness, View};
use egui::{
    Align, Button, Context, FontId, Label, Layout, RichText, Role, ScrollArea, Shape, Stroke, Ui, WidgetInfo,
    vec2,
};
use lineside_core::project::Project;
use lineside_core::units::{UnitSystem, text};
use lineside_rules::Finding;
use lineside_rules::mend::{ProvenRemedy, Subject, remedies};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

/// Lines of what changes that are shown of one remedy before the rest is counted.
const SHOWN: usize = 6;

/// Of which state of the project, and of which finding.
type Asked = (u64, String);

/// The remedies that were found last, and those that are being looked for.
#[derive(Debug, Default)]
pub struct Remedies {
    found: Option<(Asked, Vec<ProvenRemedy>)>,
    coming: Option<(Asked, Receiver<Vec<ProvenRemedy>>)>,
    pointed: Option<Proposed>,
}

impl Remedies {
    /// The remedy that is pointed at in this frame, or whose button has the keyboard; to be shown as a ghost.
    pub fn take_pointed(&mut self) -> Option<Proposed> {
        self.pointed.take()
    }

    /// Notes the one that is pointed at.
    pub fn point(&mut self, pointed: Option<Proposed>) {
        self.pointed = pointed;
    }

    /// Asks for the remedies of a finding, unless they are known; `None` while they are being looked for. No more than
    /// one thread is at work: what became outdated meanwhile is asked anew when it is done.
    pub fn of(&mut self, view: &View<'_>, finding: &Finding, ctx: &Context) -> Option<&[ProvenRemedy]> {
        self.collect();
        if view.freshness == Freshness::Stale {
            return None;
        }
        let wanted = (view.derived.changes, finding.id(&view.project().circuit));
        let known = self.found.as_ref().is_some_and(|(asked, _)| *asked == wanted);
        if !known && self.coming.is_none() {
            let coming = look(view.project(), view.engine, wanted.clone(), view.units(), ctx);
            self.coming = Some((wanted, coming));
        }
        self.found.as_ref().filter(|_| known).map(|(_, remedies)| remedies.as_slice())
    }

    fn collect(&mut self) {
        let Some((asked, coming)) = self.coming.take() else { return };
        match coming.try_recv() {
            Ok(remedies) => self.found = Some((asked, remedies)),
            Err(std::sync::mpsc::TryRecvError::Empty) => self.coming = Some((asked, coming)),
            // The thread could not do its work; asking again would not help, so there are none.
            Err(std::sync::mpsc::TryRecvError::Disconnected) => self.found = Some((asked, Vec::new())),
        }
    }
}

/// Looks for the remedies of one finding on a thread of its own, for a copy of the project as it stands.
fn look(
    project: &Project,
    engine: &Arc<Engine>,
    (changes, id): Asked,
    units: UnitSystem,
    ctx: &Context,
) -> Receiver<Vec<ProvenRemedy>> {
    let (send, coming) = channel();
    let (project, engine, ctx) = (project.clone(), Arc::clone(engine), ctx.clone());
    std::thread::spawn(move || {
        let derived = derive(&project, &engine, changes);
        let subject = Subject {
            project: &project,
            codes: &engine.codes,
            stock: &engine.stock,
            checked: &derived.checked,
        };
        let finding = derived.findings().iter().find(|it| it.id(&project.circuit) == id);
        let found = finding.map_or_else(Vec::new, |finding| remedies(&subject, finding, units));
        if send.send(found).is_ok() {
            ctx.request_repaint();
        }
    });
    coming
}

/// The list, with what each remedy does and a button for it.
///
/// Gives back the one that is pointed at.
pub fn remedies_ui(
    ui: &mut Ui,
    view: &View<'_>,
    found: Option<&[ProvenRemedy]>,
    actions: &mut Actions,
) -> Option<Proposed> {
    let soft = |text: &str| Label::new(RichText::new(text).color(view.tokens.soft_ink)).wrap();
    let Some(found) = found else {
        ui.add(soft("Edits are being tried on a copy…"));
        return None;
    };
    if found.is_empty() {
        ui.add(soft(
            "No edit that was tried clears this finding without a worse one coming. \
             The working and the words of the rule say what it would take.",
        ));
        return None;
    }
    let mut pointed = None;
    ScrollArea::vertical().id_salt("remedies").auto_shrink(false).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        ui.add(soft(
            "Each was tried on a copy: the finding goes, and nothing worse comes. \
             Point at one to see it on the sheet.",
        ));
        for remedy in found {
            if remedy_ui(ui, view, remedy, actions) == Pointed::At {
                let (label, edit) = (remedy.label.clone(), remedy.edit.clone());
                pointed = Some(Proposed { label, effect: counted(remedy), edit });
            }
        }
        ui.add_space(8.0);
    });
    pointed
}

/// Whether something is pointed at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pointed {
    At,
    Away,
}

/// How many findings go and come.
fn counted(remedy: &ProvenRemedy) -> String {
    let said = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{} {many}", text::count(count)),
    };
    let goes = said(remedy.goes.len().max(1), "finding goes", "findings go");
    if remedy.comes.is_empty() {
        format!("{goes}, none comes")
    } else {
        format!("{goes}, {}", said(remedy.comes.len(), "advice comes", "pieces of advice come"))
    }
}

fn remedy_ui(ui: &mut Ui, view: &View<'_>, remedy: &ProvenRemedy, actions: &mut Actions) -> Pointed {
    let tokens = view.tokens;
    ui.add_space(6.0);
    let ground = ui.painter().add(Shape::Noop);
    let shown = ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        let apply = Button::new(RichText::new("Apply").color(tokens.accent).family(fonts::strong()))
            .stroke(Stroke::new(1.0, tokens.accent))
            .min_size(vec2(76.0, 28.0));
        let response = ui.add(apply);
        let name = format!("Apply: {}", remedy.label);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        if response.clicked() {
            actions.push(Action::Make(Labeled::new(remedy.label.clone(), remedy.edit.clone()), None));
        }
        ui.with_layout(Layout::top_down(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let strong = FontId::new(fonts::BODY, fonts::strong());
            ui.add(Label::new(RichText::new(&remedy.label).font(strong)).wrap());
            for line in remedy.changes.iter().take(SHOWN) {
                ui.add(Label::new(RichText::new(line).font(fonts::small())).wrap());
            }
            let rest = remedy.changes.len().saturating_sub(SHOWN);
            if rest > 0 {
                let more = format!("{} more changes", text::count(rest));
                ui.add(Label::new(RichText::new(more).font(fonts::small()).color(tokens.soft_ink)));
            }
            let said = RichText::new(effect(view, remedy)).font(fonts::small()).color(tokens.soft_ink);
            ui.add(Label::new(said).wrap());
        });
        response.has_focus()
    });
    let rect = shown.response.rect.expand2(vec2(6.0, 4.0));
    let pointed = if shown.inner || ui.rect_contains_pointer(rect) { Pointed::At } else { Pointed::Away };
    if pointed == Pointed::At {
        ui.painter().set(ground, Shape::rect_filled(rect, 4.0, tokens.panel));
    }
    let (from, to) = (ui.min_rect().left(), ui.max_rect().right());
    ui.add_space(4.0);
    ui.painter().hline(from..=to, ui.cursor().top(), Stroke::new(1.0, tokens.line));
    pointed
}

/// What goes, what comes, what it costs.
fn effect(view: &View<'_>, remedy: &ProvenRemedy) -> String {
    let circuit = &view.project().circuit;
    let title = |id: &String| {
        let found = view.derived.findings().iter().find(|finding| finding.id(circuit) == *id);
        found.map_or_else(|| id.clone(), |finding| finding.title.clone())
    };
    let clears = match remedy.goes.len() {
        0 | 1 => "Clears this finding".to_owned(),
        count => {
            let titles: Vec<String> = remedy.goes.iter().map(title).collect();
            format!("Clears {} findings: {}", text::count(count), titles.join("; "))
        }
    };
    let comes = (!remedy.comes.is_empty()).then(|| format!("Advice comes: {}", remedy.comes.join(", ")));
    let costs = remedy.cost.as_ref().map(|cost| format!("Costs {} {} more", cost.amount, cost.currency));
    [Some(clears), comes, costs].into_iter().flatten().collect::<Vec<_>>().join(". ")
}
