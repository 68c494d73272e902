//! An edit that somebody thinks of making, as a ghost on the sheet: what would come, change and go, over the sheet as it is,
//! with what would become of the findings. Nothing is changed.
//!
//! Remedies and items of stock are proposed by pointing at them; the edit that is shown is the one that would be made.

use super::{SheetState, area_of, labels};
use crate::window::brush::Brush;
use crate::window::fonts;
use crate::window::selection::Thing;
use crate::window::view::View;
use egui::{
    Align2, Area, Color32, Context, Frame, Id, Label, Margin, Order, Painter, Pos2, Rect, RichText, Shape,
    Stroke, StrokeKind, Ui, vec2,
};
use lineside_core::circuit::{BlockId, Circuit, PlaceId, RunId};
use lineside_core::edit::{Edit, apply};
use lineside_drawing::display_list::{Layer, Subject};
use lineside_drawing::geometry::Point;
use lineside_drawing::pen::Pen;
use lineside_drawing::sheet::{Changed, Drawing};
use std::collections::BTreeSet;

/// An edit that is pointed at.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposed {
    /// What it does, as people read it.
    pub label: String,
    /// What becomes of the findings.
    pub effect: String,
    /// The edit.
    pub edit: Edit,
}

/// What differs on the sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Difference {
    /// Blocks that come.
    pub new_blocks: BTreeSet<BlockId>,
    /// Blocks with another nameplate, setting, tag or stand.
    pub changed_blocks: BTreeSet<BlockId>,
    /// Blocks that go.
    pub gone_blocks: BTreeSet<BlockId>,
    /// Runs that come.
    pub new_runs: BTreeSet<RunId>,
    /// Runs with other ends or conductors.
    pub changed_runs: BTreeSet<RunId>,
    /// Runs that go.
    pub gone_runs: BTreeSet<RunId>,
    /// Places that come or change.
    pub places: BTreeSet<PlaceId>,
}

impl Difference {
    /// Between two circuits.
    pub fn between(before: &Circuit, after: &Circuit) -> Self {
        let mut found = Self::default();
        for block in after.blocks() {
            match before.block(block.id) {
                None => found.new_blocks.insert(block.id),
                Some(old) if old != block => found.changed_blocks.insert(block.id),
                Some(_) => false,
            };
        }
        for run in after.runs() {
            match before.run(run.id) {
                None => found.new_runs.insert(run.id),
                Some(old) if old != run => found.changed_runs.insert(run.id),
                Some(_) => false,
            };
        }
        let gone = before.blocks().map(|block| block.id).filter(|id| after.block(*id).is_none());
        found.gone_blocks = gone.collect();
        let gone = before.runs().map(|run| run.id).filter(|id| after.run(*id).is_none());
        found.gone_runs = gone.collect();
        let places = after.places().filter(|place| before.place(place.id) != Some(*place));
        found.places = places.map(|place| place.id).collect();
        found
    }

    /// How much comes, changes and goes: `2 blocks and 1 run come, 1 block changes`.
    pub fn words(&self) -> String {
        let counted = |count: usize, one: &str, many: &str| match count {
            0 => None,
            1 => Some(format!("1 {one}")),
            count => Some(format!("{count} {many}")),
        };
        let of = |blocks: usize, runs: usize, places: usize, one: &str, many: &str| {
            let parts: Vec<String> = [
                counted(blocks, "block", "blocks"),
                counted(runs, "run", "runs"),
                counted(places, "place", "places"),
            ]
            .into_iter()
            .flatten()
            .collect();
            let verb = if blocks + runs + places == 1 { one } else { many };
            (!parts.is_empty()).then(|| format!("{} {verb}", parts.join(" and ")))
        };
        let all = [
            of(self.new_blocks.len(), self.new_runs.len(), 0, "comes", "come"),
            of(self.changed_blocks.len(), self.changed_runs.len(), self.places.len(), "changes", "change"),
            of(self.gone_blocks.len(), self.gone_runs.len(), 0, "goes", "go"),
        ];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

/// The ghost that was made last.
#[derive(Default)]
pub struct Ghost {
    /// Of which drawing and which edit.
    of: Option<(u64, Proposed)>,
    drawing: Drawing,
    difference: Difference,
}

impl Ghost {
    /// Makes the ghost, unless it is the one that was made last.
    fn follow(&mut self, view: &View<'_>, drawn: &super::drawn::Drawn, proposed: &Proposed) {
        let known = |(revision, edit): &(u64, Proposed)| *revision == drawn.revision && edit == proposed;
        if self.of.as_ref().is_some_and(known) {
            return;
        }
        self.of = Some((drawn.revision, proposed.clone()));
        self.difference = Difference::default();
        let before = view.project();
        let mut after = before.clone();
        if apply(&mut after, proposed.edit.clone()).is_err() {
            // It was tried before it was offered; if the sheet has changed since, it is asked for anew.
            return;
        }
        self.difference = Difference::between(&before.circuit, &after.circuit);
        let difference = &self.difference;
        let mut routes = drawn.routes.clone();
        routes.refresh(&after.circuit);
        let blocks = [&difference.new_blocks, &difference.changed_blocks, &difference.gone_blocks];
        let runs = [&difference.new_runs, &difference.changed_runs, &difference.gone_runs];
        let changed = Changed {
            blocks: blocks.into_iter().flatten().copied().collect(),
            runs: runs.into_iter().flatten().copied().collect(),
        };
        self.drawing = drawn.drawing.clone();
        self.drawing.refresh(&after, drawn.look(), &routes, &changed);
    }
}

impl SheetState {
    /// Shows an edit as a ghost from the next frame on, or none.
    pub fn propose(&mut self, proposed: Option<Proposed>, ctx: &Context) {
        if self.proposed != proposed {
            ctx.request_repaint();
        }
        self.proposed = proposed;
    }
}

/// Paints what the edit that is pointed at would change, and says it.
pub fn proposed_ui(ui: &Ui, brush: &Brush<'_>, view: &View<'_>, state: &mut SheetState, rect: Rect) {
    let Some(proposed) = state.proposed.clone().filter(|_| view.held.is_none()) else { return };
    let mut ghost = std::mem::take(&mut state.ghost);
    ghost.follow(view, &state.drawn, &proposed);
    // What stays is paler, so that what changes stands out.
    brush.painter.rect_filled(rect, 0.0, brush.tokens.sheet.gamma_multiply(0.62));
    paint(brush, view, state, &ghost);
    caption(ui, view, &proposed, &ghost.difference, rect);
    state.ghost = ghost;
}

fn paint(brush: &Brush<'_>, view: &View<'_>, state: &SheetState, ghost: &Ghost) {
    let tokens = brush.tokens;
    let difference = &ghost.difference;
    let afar = labels::are_needed(state.camera.scale());
    // The words that change do not show through.
    for group in state.drawn.drawing.list.groups.iter().filter(|group| group.layer == Layer::Words) {
        let changes = match group.subject {
            Subject::Block(id) => difference.changed_blocks.contains(&id),
            Subject::Run(id) => difference.changed_runs.contains(&id),
            Subject::Sheet | Subject::Place(_) | Subject::Terminal(_) | Subject::Mark(_) => false,
        };
        if changes && !afar {
            brush.painter.rect_filled(brush.area(group.bounds), 0.0, tokens.sheet);
        }
    }
    for group in &ghost.drawing.list.groups {
        let color = match group.subject {
            Subject::Block(id) if difference.new_blocks.contains(&id) => tokens.pen(Pen::Added),
            Subject::Block(id) if difference.changed_blocks.contains(&id) => tokens.accent,
            Subject::Run(id) if difference.new_runs.contains(&id) => tokens.pen(Pen::Added),
            Subject::Run(id) if difference.changed_runs.contains(&id) => tokens.accent,
            Subject::Place(id) if difference.places.contains(&id) => tokens.accent,
            Subject::Sheet
            | Subject::Place(_)
            | Subject::Run(_)
            | Subject::Block(_)
            | Subject::Terminal(_)
            | Subject::Mark(_) => continue,
        };
        if group.layer == Layer::Marks || afar && group.layer == Layer::Words {
            continue;
        }
        for item in &group.items {
            let color = if item.pen == Pen::Paper { tokens.sheet } else { color };
            brush.shape(&item.shape, item.pen, color);
        }
        if let (Subject::Block(_), Layer::Symbols) = (group.subject, group.layer) {
            frame(brush.painter, brush.area(group.bounds).expand(6.0), color);
        }
    }
    let gone = tokens.pen(Pen::Removed);
    for id in &difference.gone_blocks {
        let rect = brush.area(area_of(view.project(), &state.drawn, Thing::Block(*id)));
        let stroke = Stroke::new(1.5, gone);
        brush.painter.rect_stroke(rect, 0.0, stroke, StrokeKind::Middle);
        brush.painter.line_segment([rect.left_top(), rect.right_bottom()], stroke);
        brush.painter.line_segment([rect.left_bottom(), rect.right_top()], stroke);
    }
    for id in &difference.gone_runs {
        let way: Vec<Pos2> = state.drawn.route(*id).into_iter().map(|at: Point| brush.point(at)).collect();
        brush.painter.extend(Shape::dashed_line(&way, Stroke::new(2.0, gone), 4.0, 4.0));
    }
}

fn frame(painter: &Painter, rect: Rect, color: Color32) {
    let corners =
        [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    painter.extend(Shape::dashed_line(&corners, Stroke::new(1.5, color), 6.0, 4.0));
}

/// What would be done, at the upper edge of the sheet.
fn caption(ui: &Ui, view: &View<'_>, proposed: &Proposed, difference: &Difference, rect: Rect) {
    let tokens = view.tokens;
    Area::new(Id::unique("what is proposed"))
        .order(Order::Middle)
        .pivot(Align2::CENTER_TOP)
        .fixed_pos(rect.center_top() + vec2(0.0, 12.0))
        .interactable(false)
        .fade_in(false)
        .show(ui.ctx(), |ui| {
            Frame::popup(ui.style())
                .stroke(Stroke::new(1.0, tokens.accent))
                .inner_margin(Margin::symmetric(12, 8))
                .show(ui, |ui| {
                    ui.set_max_width((rect.width() - 60.0).clamp(200.0, 520.0));
                    ui.spacing_mut().item_spacing.y = 2.0;
                    let heading = format!("Preview: {}", proposed.label);
                    ui.add(Label::new(RichText::new(heading).family(fonts::strong())).wrap());
                    let words = difference.words();
                    let on_sheet = if words.is_empty() {
                        "Nothing changes on the sheet itself.".to_owned()
                    } else {
                        format!("{words}.")
                    };
                    let text = format!("{on_sheet} {}. Nothing has been changed yet.", proposed.effect);
                    ui.add(
                        Label::new(RichText::new(text).font(fonts::small()).color(tokens.soft_ink)).wrap(),
                    );
                });
        });
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::file;
    use lineside_core::project::Project;

    fn cabin() -> Project {
        file::read(include_str!("../../../../../../../assets/demos/cabin.lineside")).unwrap()
    }

    #[test]
    fn what_comes_changes_and_goes_is_told_apart() {
        let before = cabin();
        let mut after = before.clone();
        let (one, other) = {
            let mut blocks = before.circuit.blocks();
            (blocks.next().unwrap().clone(), blocks.next().unwrap().clone())
        };
        let runs = before.circuit.runs_at(one.id).len();
        apply(&mut after, lineside_core::edit::remove_block_with_runs(&before.circuit, one.id)).unwrap();
        apply(&mut after, Edit::SetBlockNote(other.id, "seen".to_owned())).unwrap();
        let id = after.next_block_id().unwrap();
        let new = lineside_core::circuit::Block { id, tag: "Z9".to_owned(), ..one.clone() };
        apply(&mut after, Edit::InsertBlock(Box::new(new))).unwrap();
        let found = Difference::between(&before.circuit, &after.circuit);
        assert_eq!(found.gone_blocks, BTreeSet::from([one.id]));
        assert_eq!(found.gone_runs.len(), runs);
        assert_eq!(found.changed_blocks, BTreeSet::from([other.id]));
        assert_eq!(found.new_blocks, BTreeSet::from([id]));
        assert!(found.places.is_empty() && found.changed_runs.is_empty() && found.new_runs.is_empty());
        let words = found.words();
        assert!(words.starts_with("1 block comes, 1 block changes, 1 block"), "{words}");
        assert_eq!(Difference::between(&before.circuit, &before.circuit).words(), "");
    }
}
