//! Following what the pointer holds, at the start of each frame, so that everything painted in it agrees.

use super::action::{Action, Actions};
use super::app::App;
use super::areas::draft::sheet::{INTO_REACH, Target, lasso, look::potential_of, target};
use super::edits::wiring::{self, Landing};
use super::edits::{adding, fields, moving, places, words};
use super::held::{Choosing, Held};
use super::picker::Asked;
use super::selection::Selection;
use egui::{Context, Pos2};
use lineside_core::circuit::{BlockId, GridPoint, RunEnd, RunId, Side};
use lineside_core::edit::{Gesture, Stand};
use lineside_core::kinds::field::{Shape, Value};
use lineside_core::project::WordsOf;
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::placement;

/// Whether the pointer still holds on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Grip {
    Holds,
    LetsGo,
}

impl App {
    /// Follows the pointer with what it holds.
    pub(super) fn follow_held(&mut self, ctx: &Context) -> Actions {
        let mut actions = Actions::new();
        self.draw_lasso(ctx);
        let Some(held) = self.state.held.clone() else { return actions };
        let Some(at) = ctx.pointer_interact_pos().or_else(|| ctx.pointer_latest_pos()) else {
            self.let_go();
            return actions;
        };
        let down = ctx.input(|input| input.pointer.any_down());
        let grip = if down { Grip::Holds } else { Grip::LetsGo };
        let point = self.state.panels.sheet.point_beyond(at);
        match held {
            Held::Item(item) => self.follow_item(item, at, grip, &mut actions),
            Held::Blocks { chief, from, grip: taken_at, gesture } => {
                self.follow_blocks(&from, point, taken_at, gesture, ctx);
                if grip == Grip::LetsGo {
                    self.drop_block(chief, &from, point, gesture, ctx);
                }
            }
            Held::Place { moving, grip: taken_at, gesture } => {
                let (dx, dy) = steps(taken_at, point);
                self.make(places::move_by(&moving, dx, dy), Some(gesture), ctx);
            }
            Held::Corner { place, corner, gesture } => {
                let circuit = &self.document.project.circuit;
                let step = places::pull_corner(circuit, &place, corner, point.to_grid());
                self.make(step, Some(gesture), ctx);
            }
            Held::Words { of, corner, grip: taken_at, gesture } => {
                let corner = corner.moved(point.x - taken_at.x, point.y - taken_at.y);
                self.follow_words(of, corner, gesture, ctx);
            }
            Held::Piece { run, way, piece, grip: taken_at, gesture } => {
                let (x, y) = steps(taken_at, point);
                let circuit = &self.document.project.circuit;
                if let Some(step) = words::pull(circuit, run, &way, piece, GridPoint::new(x, y)) {
                    self.make(step, Some(gesture), ctx);
                }
            }
            Held::NewRun(from) => {
                if grip == Grip::LetsGo {
                    self.land_new(from, point, at, &mut actions);
                }
            }
            Held::RunEnd { run, side } => {
                if grip == Grip::LetsGo {
                    self.land_end(run, side, point, at, &mut actions);
                }
            }
            Held::Band { from, how } => {
                if grip == Grip::LetsGo {
                    actions.push(Action::Select(self.in_band(from, point, how)));
                }
            }
            Held::Lasso { line, how } => {
                if grip == Grip::LetsGo {
                    actions.push(Action::Select(self.in_lasso(&line, how)));
                }
            }
            Held::Template(template) => {
                if grip == Grip::LetsGo
                    && let Some(point) = self.state.panels.sheet.point_at(at)
                {
                    actions.push(Action::PlaceTemplate(template, Some(point.to_grid())));
                }
            }
            Held::Paper => {
                let by = ctx.input(|input| input.pointer.delta());
                self.state.panels.sheet.camera.pan(by);
            }
            Held::Number { owner, field, from, at: pressed, gesture } => {
                let number = Dragged { owner, field, from, gesture };
                self.follow_number(&number, pressed, at, ctx);
            }
        }
        if grip == Grip::LetsGo {
            self.state.held = None;
        }
        ctx.request_repaint();
        actions
    }

    /// Lets go of what is held and puts it back as it was. False when nothing was held.
    pub(super) fn let_go(&mut self) -> bool {
        let Some(held) = self.state.held.take() else { return false };
        match held {
            Held::Blocks { gesture, .. }
            | Held::Place { gesture, .. }
            | Held::Corner { gesture, .. }
            | Held::Words { gesture, .. }
            | Held::Piece { gesture, .. }
            | Held::Number { gesture, .. } => self.take_back(gesture),
            Held::Item(_)
            | Held::Template(_)
            | Held::NewRun(_)
            | Held::RunEnd { .. }
            | Held::Band { .. }
            | Held::Lasso { .. }
            | Held::Paper => {}
        }
        true
    }

    fn follow_item(&self, item: usize, at: Pos2, grip: Grip, actions: &mut Actions) {
        if grip == Grip::Holds {
            return;
        }
        let sheet = &self.state.panels.sheet;
        let (Some(point), Some(stock)) = (sheet.point_at(at), self.desk.engine.stock.get(item)) else {
            return;
        };
        let circuit = &self.document.project.circuit;
        match target(circuit, &sheet.drawn.routes, &stock.equipment, point, INTO_REACH) {
            Target::Free(middle) => actions.push(Action::Place { item, middle: Some(middle), into: None }),
            Target::Into(spot) => actions.push(Action::Place { item, middle: None, into: Some(spot) }),
            Target::Refused(why) => actions.push(Action::Say(why, Some(at))),
        }
    }

    fn follow_words(&mut self, of: WordsOf, corner: Point, gesture: Gesture, ctx: &Context) {
        if let Some(place) = self.state.panels.sheet.drawn.drawing.words_put(of, corner) {
            self.make(words::put(&self.document.project.circuit, of, place), Some(gesture), ctx);
        }
    }

    fn follow_blocks(
        &mut self,
        from: &[(BlockId, Stand)],
        point: Point,
        taken_at: Point,
        gesture: Gesture,
        ctx: &Context,
    ) {
        let (dx, dy) = steps(taken_at, point);
        if let Some(step) = moving::by(&self.document.project.circuit, from, dx, dy) {
            self.make(step, Some(gesture), ctx);
        }
    }

    /// A lone block that is let go on a run goes into it, in the same step as the drag.
    fn drop_block(
        &mut self,
        chief: BlockId,
        from: &[(BlockId, Stand)],
        point: Point,
        gesture: Gesture,
        ctx: &Context,
    ) {
        if from.len() != 1 {
            return;
        }
        let circuit = &self.document.project.circuit;
        let Some(block) = circuit.block(chief) else { return };
        let Some(routes) = self.state.panels.sheet.routes_without(circuit, block) else { return };
        if let Target::Into(spot) = target(circuit, routes, &block.equipment, point, INTO_REACH) {
            match adding::insert_block(&self.document.project, chief, spot) {
                Ok(step) => {
                    self.make(step, Some(gesture), ctx);
                }
                Err(refusal) => self.refuse(&refusal, ctx),
            }
        }
    }

    fn landing(&self, from: RunEnd, point: Point) -> Option<Landing> {
        let sheet = &self.state.panels.sheet;
        let to = sheet.drawn.terminal_near(point, sheet.reach().max(1.6))?;
        let circuit = &self.document.project.circuit;
        let derived = self.derivation.latest();
        (to != from).then(|| wiring::landing(circuit, from, to, |end| potential_of(derived, end)))
    }

    fn land_new(&self, from: RunEnd, point: Point, at: Pos2, actions: &mut Actions) {
        match self.landing(from, point) {
            Some(Landing::Fits(to) | Landing::Beside(to, _)) => actions.push(Action::DrawRun(from, to)),
            Some(Landing::Refused(why)) => actions.push(Action::Say(why, Some(at))),
            None => self.land_on_nothing(from, point, at, actions),
        }
    }

    /// A run that is let go on empty paper asks what is to stand there.
    fn land_on_nothing(&self, from: RunEnd, point: Point, at: Pos2, actions: &mut Actions) {
        /// Nearer than this to where it began, it was not pulled at all, mm.
        const PULLED: f32 = 8.0;
        let sheet = &self.state.panels.sheet;
        let began = sheet.drawn.terminal_at(from).unwrap_or(point);
        let far = (began.x - point.x).abs().max((began.y - point.y).abs()) > PULLED;
        if !far || sheet.point_at(at).is_none() {
            return;
        }
        let circuit = &self.document.project.circuit;
        match circuit.blocks().find(|block| placement::bounds(block).on_paper().contains(point)) {
            Some(block) => {
                actions.push(Action::Say(format!("let go on a terminal of {}", block.tag), Some(at)));
            }
            None => {
                actions.push(Action::Pick(Asked::Continue(from, Some(point.to_grid())), Some(at)));
            }
        }
    }

    /// The line of the lasso goes on to where the pointer is.
    fn draw_lasso(&mut self, ctx: &Context) {
        let Some(at) = ctx.pointer_latest_pos() else { return };
        let point = self.state.panels.sheet.point_beyond(at);
        if let Some(Held::Lasso { line, .. }) = &mut self.state.held {
            let far = |last: &Point| (last.x - point.x).abs().max((last.y - point.y).abs()) >= lasso::STEP;
            if line.last().is_none_or(far) {
                line.push(point);
            }
        }
    }

    fn in_lasso(&self, line: &[Point], how: Choosing) -> Selection {
        let circuit = &self.document.project.circuit;
        let mut selection =
            if how == Choosing::AsWell { self.state.selection.clone() } else { Selection::default() };
        let middle = |block| placement::bounds(block).on_paper().center();
        let held = circuit.blocks().filter(|block| lasso::holds(line, middle(block)));
        selection.blocks.extend(held.map(|block| block.id));
        selection
    }

    fn land_end(&self, run: RunId, side: Side, point: Point, at: Pos2, actions: &mut Actions) {
        let Some(run) = self.document.project.circuit.run(run) else { return };
        match self.landing(run.end(side.other()), point) {
            Some(Landing::Fits(on) | Landing::Beside(on, _)) if on != run.end(side) => {
                actions.push(Action::Make(wiring::reland(run, side, on), None));
            }
            Some(Landing::Refused(why)) if !why.contains(&format!("taken by {}", run.tag)) => {
                actions.push(Action::Say(why, Some(at)));
            }
            Some(Landing::Fits(_) | Landing::Beside(..) | Landing::Refused(_)) | None => {}
        }
    }

    fn in_band(&self, from: Point, to: Point, how: Choosing) -> Selection {
        let band = Area::of(&[from, to]);
        let circuit = &self.document.project.circuit;
        let mut selection =
            if how == Choosing::AsWell { self.state.selection.clone() } else { Selection::default() };
        selection.blocks.extend(
            circuit
                .blocks()
                .filter(|block| band.holds(placement::bounds(block).on_paper()))
                .map(|block| block.id),
        );
        let frame = |at: GridPoint, size: GridPoint| {
            Area::of(&[Point::on_grid(at), Point::on_grid(at.moved(size.x, size.y))])
        };
        selection.places.extend(
            circuit.places().filter(|place| band.holds(frame(place.at, place.size))).map(|place| place.id),
        );
        selection
    }

    fn follow_number(&mut self, number: &Dragged, pressed: Pos2, at: Pos2, ctx: &Context) {
        let steps = if ctx.input(|input| input.modifiers.shift) { Steps::Fine } else { Steps::Usual };
        let Some(value) = number.value(f64::from(at.x - pressed.x), steps) else { return };
        let project = &self.document.project;
        if number.owner.shared(project, number.field.key).as_ref() == Some(&value) {
            return;
        }
        match fields::set(project, &number.owner, number.field, &value) {
            Ok(step) => {
                self.make(step, Some(number.gesture), ctx);
            }
            Err(refusal) => self.refuse(&refusal, ctx),
        }
    }
}

/// How fine the steps of a dragged number are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Steps {
    Usual,
    Fine,
}

/// A number that is dragged by its label.
struct Dragged {
    owner: fields::Owner,
    field: &'static lineside_core::kinds::field::Field,
    from: f64,
    gesture: Gesture,
}

impl Dragged {
    /// The number after the pointer has moved that far, in steps of one or two digits of it and within the
    /// limits of the field.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to limits that are small whole numbers"
    )]
    fn value(&self, moved: f64, steps: Steps) -> Option<Value> {
        /// Points that the pointer moves for one step.
        const POINTS: f64 = 6.0;
        let by = (moved / POINTS).trunc();
        match self.field.shape {
            Shape::Whole { low, high } => {
                let value = (self.from + by).clamp(f64::from(low), f64::from(high));
                Some(Value::Whole(value.round() as u32))
            }
            Shape::Quantity { low, high, .. } => {
                let step = step_of(self.from) * if steps == Steps::Fine { 0.1 } else { 1.0 };
                let value = ((self.from / step).round() + by) * step;
                let value = if by == 0.0 { self.from } else { round_to(value, step) };
                Some(Value::Number(value.clamp(low, high)))
            }
            Shape::Choice(_) | Shape::Text | Shape::Size | Shape::Curve { .. } => None,
        }
    }
}

/// One, two or five hundredths of the power of ten above a number: 150 goes in steps of 1, 48 of 0.5.
fn step_of(number: f64) -> f64 {
    let size = number.abs().max(1e-6);
    let power = 10.0_f64.powf(size.log10().floor());
    let lead = size / power;
    let share = if lead < 2.0 {
        0.01
    } else if lead < 5.0 {
        0.02
    } else {
        0.05
    };
    power * share
}

/// Takes away the dust of multiplying: 0.1 × 3 is 0.3.
fn round_to(value: f64, step: f64) -> f64 {
    let digits = (2.0 - step.log10()).clamp(0.0, 12.0).ceil();
    let scale = 10.0_f64.powf(digits);
    (value * scale).round() / scale
}

/// Whole steps of the grid between two points.
fn steps(from: Point, to: Point) -> (i32, i32) {
    let moved = Point::new(to.x - from.x, to.y - from.y).to_grid();
    (moved.x, moved.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_suit_the_number() {
        assert!((step_of(150.0) - 1.0).abs() < 1e-12);
        assert!((step_of(48.0) - 0.2).abs() < 1e-12);
        assert!((step_of(60.0) - 0.5).abs() < 1e-12);
        assert!((step_of(3300.0) - 20.0).abs() < 1e-9);
        assert!(step_of(0.0) > 0.0);
        assert!((round_to(0.1 * 3.0, 0.1) - 0.3).abs() < 1e-15);
    }

    #[test]
    fn a_pointer_moves_by_whole_steps_of_the_grid() {
        // A step is 2.5 mm: 6 mm are two of them, and 1 mm is none.
        assert_eq!(steps(Point::new(0.0, 0.0), Point::new(6.0, -1.0)), (2, 0));
    }
}
