//! The ladder: a volt scale with each device's permitted window as a bar, and across them all the band that
//! the zone will really see.

mod zones;

use super::figures::with_circumstances;
use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::marks::{self, Openness};
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Align2, Color32, FontId, Galley, Painter, Rect, RichText, Role, Sense, Shape, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};
use lineside_core::circuit::Circuit;
use lineside_core::units::{Measure, Quantity, Unit, UnitSystem, Volts, text};
use lineside_rules::Circumstances;
use lineside_rules::figures::{Figure, of_level, of_permitted};
use lineside_study::{Level, Permitted, VoltageWindow, ZoneId, ZoneKind};
use std::sync::Arc;
use zones::windows_of_selection;

/// Room for a rung, at most and at least.
const ROW: std::ops::RangeInclusive<f32> = 13.0..=24.0;
const HEAD: f32 = 50.0;
const SCALE: f32 = 30.0;
/// Room for the heading alone.
const HEADING: f32 = 42.0;
/// In panels lower than this, the data need the room that an open ladder would take.
const LOW: f32 = 470.0;

impl LadderState {
    /// Whether the scale is shown, in a panel of a height.
    pub fn openness(&self, available: f32) -> Openness {
        self.fold.unwrap_or(if available < LOW { Openness::Closed } else { Openness::Open })
    }
}

/// What the ladder remembers.
#[derive(Default)]
pub struct LadderState {
    /// The kind of zone that was chosen, for blocks that stand in several; none again when a finding is shown.
    pub chosen: Option<ZoneKind>,
    /// Whether it was folded or opened by hand; else it is folded where the data would have no room.
    pub fold: Option<Openness>,
}

/// A ladder to be drawn.
pub struct Ladder {
    zone: ZoneId,
    kind: ZoneKind,
    /// The kinds of zone between which a person may choose.
    kinds: Vec<ZoneKind>,
    levels: Vec<Level>,
    rungs: Vec<Rung>,
}

/// One device's window.
#[derive(Clone, Debug, PartialEq)]
pub struct Rung {
    name: String,
    /// The figure that tells of it, by its name.
    figure: String,
    lowest: Option<Volts>,
    highest: Option<Volts>,
    absolute: Option<Volts>,
}

impl Ladder {
    /// Room that it needs within what there is: rungs are set closer where there are many.
    pub fn height(&self, available: f32, openness: Openness) -> f32 {
        if openness == Openness::Closed {
            return HEADING;
        }
        let rungs = self.rungs.len() as f32;
        let share = (available * 0.46 - HEAD - SCALE - 16.0) / rungs.max(1.0);
        HEAD + SCALE + 16.0 + rungs * share.clamp(*ROW.start(), *ROW.end())
    }
}

/// Every number of the ladders of what is selected, with its working.
pub fn figures_of_selection(view: &View<'_>, on: &Circumstances<'_>) -> Vec<Figure> {
    let circuit = &view.project().circuit;
    let windows = windows_of_selection(view);
    let of_window = |window: &&VoltageWindow| {
        let levels = window.levels.iter().filter_map(|level| of_level(on, window, level));
        let limits = window.permitted.iter().filter_map(|it| of_permitted(circuit, it));
        levels.chain(limits).collect::<Vec<_>>()
    };
    windows.iter().flat_map(of_window).collect()
}

/// The ladder of the zone in which the selected terminal, block or run lies; `None` when there is nothing to
/// show.
pub fn of_selection(view: &View<'_>, state: &LadderState) -> Option<Ladder> {
    let circuit = &view.project().circuit;
    let windows = windows_of_selection(view);
    let chosen = windows.iter().find(|window| Some(window.kind) == state.chosen).or(windows.first())?;
    let mut kinds: Vec<ZoneKind> = windows.iter().map(|window| window.kind).collect();
    kinds.dedup();
    Some(of_window(circuit, chosen, kinds))
}

fn of_window(circuit: &Circuit, window: &VoltageWindow, kinds: Vec<ZoneKind>) -> Ladder {
    let mut rungs: Vec<Rung> = Vec::new();
    for permitted in &window.permitted {
        let rung = rung_of(circuit, permitted);
        // Like devices of one block, such as the ways of a combiner, share a rung.
        if let Some(rung) = rung.filter(|rung| !rungs.iter().any(|it| it.is_like(rung))) {
            rungs.push(rung);
        }
    }
    Ladder { zone: window.zone, kind: window.kind, kinds, levels: window.levels.clone(), rungs }
}

impl Rung {
    fn is_like(&self, other: &Self) -> bool {
        let limits = |it: &Self| (it.lowest, it.highest, it.absolute);
        self.name == other.name && limits(self) == limits(other)
    }
}

fn rung_of(circuit: &Circuit, permitted: &Permitted) -> Option<Rung> {
    let figure = of_permitted(circuit, permitted)?.name.into_owned();
    let tag = circuit.block(permitted.block).map_or("?", |block| block.tag.as_str());
    let what = permitted.what.trim_end_matches(|c: char| c.is_ascii_digit()).trim();
    let Permitted { lowest, highest, absolute, .. } = *permitted;
    Some(Rung { name: format!("{tag} {what}").trim().to_owned(), figure, lowest, highest, absolute })
}

/// The heading, which folds and opens it.
fn fold_ui(ui: &mut Ui, tokens: &Tokens, openness: Openness) -> egui::Response {
    let font = FontId::new(fonts::HEADING, fonts::strong());
    let name = ui.painter().layout_no_wrap("Ladder".to_owned(), font, tokens.ink);
    let (rect, response) = ui.allocate_exact_size(vec2(name.size().x + 16.0, 24.0), Sense::click());
    let (said, tip) = match openness {
        Openness::Open => ("Fold the ladder", "Leaves the room to the data above."),
        Openness::Closed => {
            ("Open the ladder", "Shows the voltages of the zone and what each device permits.")
        }
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, said));
    let ink = if response.hovered() || response.has_focus() { tokens.accent } else { tokens.ink };
    marks::chevron(ui.painter(), pos2(rect.left() + 5.0, rect.center().y), openness, ink);
    let at = pos2(rect.left() + 14.0, rect.center().y - name.size().y / 2.0);
    ui.painter().galley(at, name, tokens.ink);
    response.on_hover_text(tip)
}

/// Draws it; only its heading when it is folded. Where it stands alone it cannot be folded.
pub fn ladder_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut LadderState,
    (ladder, openness): (&Ladder, Option<Openness>),
    actions: &mut Actions,
) {
    let tokens = view.tokens;
    ui.horizontal(|ui| {
        match openness {
            Some(openness) => {
                if fold_ui(ui, tokens, openness).clicked() {
                    state.fold = Some(openness.other());
                    ui.ctx().request_repaint();
                }
            }
            None => {
                ui.heading("Ladder");
            }
        }
        for kind in &ladder.kinds {
            let chosen = *kind == ladder.kind;
            let color = if chosen { tokens.ink } else { tokens.accent };
            let text = RichText::new(kind.label()).color(color);
            if chosen {
                ui.label(text);
            } else if ui.link(text).on_hover_text("Shows the ladder of this zone.").clicked() {
                state.chosen = Some(*kind);
                ui.ctx().request_repaint();
            }
        }
    });
    if openness == Some(Openness::Closed) {
        return;
    }
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, said(ladder, view.units())));
    let painter = ui.painter_at(rect);
    let Some(scale) = Scale::of(ladder, rect) else { return };
    let ends = band(&painter, tokens, ladder, &scale, view.units());
    let mut before = String::new();
    for (place, level) in ends {
        let said = format!("{} {}", level.cause, volts(level.voltage, view.units()));
        // Where the band is no wider than one voltage, both its ends say the same.
        if said == before {
            continue;
        }
        before.clone_from(&said);
        if is_asked(ui, view, place, (0, &said)) {
            actions.extend(level_figure(view, ladder, &level).map(Action::ShowFigure));
        }
    }
    for (i, rung) in ladder.rungs.iter().enumerate() {
        let place = scale.row_of(i);
        if is_asked(ui, view, place, (i + 1, &rung.figure)) {
            actions.push(Action::ShowFigure(rung.figure.clone()));
        }
        rung_ui(&painter, tokens, rung, i, ladder, &scale);
    }
    ticks(&painter, tokens, ladder, &scale);
}

/// A number of the ladder: whether somebody asks how it came about.
fn is_asked(ui: &Ui, view: &View<'_>, place: Rect, (row, said): (usize, &str)) -> bool {
    let response = ui.interact(place, ui.scope_id().with((row, said)), Sense::click());
    let is_open = view.figure.is_some_and(|open| said.eq_ignore_ascii_case(open));
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_open, said));
    if response.has_focus() {
        let stroke = Stroke::new(1.0, view.tokens.accent);
        ui.painter().rect_stroke(place, 3.0, stroke, StrokeKind::Outside);
    }
    response.on_hover_text("Shows how this came about.").clicked()
}

/// The figure of a level, by its name.
fn level_figure(view: &View<'_>, ladder: &Ladder, level: &Level) -> Option<String> {
    with_circumstances(view, |on| {
        let window = on.studies.windows.of(ladder.zone)?;
        Some(of_level(on, window, level)?.name.into_owned())
    })
}

/// Where volts lie on the screen.
struct Scale {
    rect: Rect,
    bars: Rect,
    /// Height of a rung.
    row: f32,
    low: f64,
    high: f64,
}

impl Scale {
    fn of(ladder: &Ladder, rect: Rect) -> Option<Self> {
        let (first, last) = (ladder.levels.first()?.voltage.value(), ladder.levels.last()?.voltage.value());
        let limits =
            ladder.rungs.iter().flat_map(|rung| [rung.lowest, rung.highest, rung.absolute]).flatten();
        // A limit far away says no more than that it is far away; the scale is for what is near.
        let near = limits.map(Measure::value).filter(|volts| *volts > first * 0.6 && *volts < last * 1.35);
        let (low, high) = near.fold((first, last), |(low, high), volts| (low.min(volts), high.max(volts)));
        let margin = ((high - low) * 0.08).max(last * 0.02);
        let bars = Rect::from_min_max(
            pos2(rect.left() + rect.width() * 0.33, rect.top() + 20.0),
            pos2(rect.right() - 4.0, rect.bottom() - SCALE),
        );
        let row = bars.height() / ladder.rungs.len().max(1) as f32;
        Some(Self { rect, bars, row, low: (low - margin).max(0.0), high: high + margin })
    }

    /// The room of a rung, its name included.
    fn row_of(&self, index: usize) -> Rect {
        let top = self.bars.top() + index as f32 * self.row;
        Rect::from_x_y_ranges(self.rect.left()..=self.bars.right(), top..=top + self.row)
    }

    #[expect(clippy::cast_possible_truncation, reason = "a share of the width of the screen")]
    fn x(&self, volts: f64) -> f32 {
        let share = ((volts - self.low) / (self.high - self.low)).clamp(0.0, 1.0) as f32;
        self.bars.left() + share * self.bars.width()
    }
}

/// Draws what the zone will see. Gives back where the numbers of its two ends stand.
fn band(
    painter: &Painter,
    tokens: &Tokens,
    ladder: &Ladder,
    scale: &Scale,
    units: UnitSystem,
) -> Vec<(Rect, Level)> {
    let (Some(first), Some(last)) = (ladder.levels.first(), ladder.levels.last()) else { return Vec::new() };
    let (left, right) = (scale.x(first.voltage.value()), scale.x(last.voltage.value()));
    let rect = Rect::from_x_y_ranges(left..=right, scale.bars.top() - 4.0..=scale.bars.bottom() + 4.0);
    painter.rect_filled(rect, 0.0, tokens.accent_ground);
    for x in [left, right] {
        let line = [pos2(x, rect.top()), pos2(x, rect.bottom())];
        painter.extend(Shape::dashed_line(&line, Stroke::new(1.2, tokens.accent), 4.0, 3.0));
    }
    let label = |level: &Level| format!("{} {}", volts(level.voltage, units), level.cause);
    let galley =
        |text: String| -> Arc<Galley> { painter.layout_no_wrap(text, fonts::small(), tokens.accent) };
    let (low, high) = (galley(label(first)), galley(label(last)));
    let y = rect.top() - low.size().y;
    let low_x = left.min(right - high.size().x - low.size().x - 8.0).max(scale.rect.left());
    let high_x =
        (right - high.size().x).max(low_x + low.size().x + 8.0).min(scale.rect.right() - high.size().x);
    let places = [(low_x, low.size(), first), (high_x, high.size(), last)];
    painter.galley(pos2(low_x, y), low, tokens.accent);
    painter.galley(pos2(high_x, y), high, tokens.accent);
    places.map(|(x, size, level)| (Rect::from_min_size(pos2(x, y), size), *level)).to_vec()
}

fn volts(volts: Volts, units: UnitSystem) -> String {
    text::figure(Quantity { value: volts.value(), unit: Unit::Volt }, units)
}

fn rung_ui(painter: &Painter, tokens: &Tokens, rung: &Rung, index: usize, ladder: &Ladder, scale: &Scale) {
    let middle = scale.bars.top() + (index as f32 + 0.5) * scale.row;
    let half = (scale.row * 0.3).min(7.0);
    let font = FontId::proportional(fonts::SMALL);
    let mut job = egui::text::LayoutJob::simple_singleline(rung.name.clone(), font, tokens.ink);
    job.wrap.max_width = scale.bars.left() - scale.rect.left() - 8.0;
    job.wrap.max_rows = 1;
    let name = painter.layout_job(job);
    painter.galley(pos2(scale.rect.left(), middle - name.size().y / 2.0), name, tokens.ink);
    let from = scale.x(rung.lowest.map_or(scale.low, Measure::value));
    let upper = rung.highest.or(rung.absolute);
    let to = scale.x(upper.map_or(scale.high, Measure::value));
    let bar = |from: f32, to: f32| Rect::from_x_y_ranges(from..=to.max(from), middle - half..=middle + half);
    let (Some(first), Some(last)) = (ladder.levels.first(), ladder.levels.last()) else { return };
    let (seen_from, seen_to) = (scale.x(first.voltage.value()), scale.x(last.voltage.value()));
    let red = |from: f32, to: f32| {
        if to - from > 0.5 {
            painter.rect_filled(bar(from, to), 0.0, tokens.danger);
        }
    };
    red(seen_from, seen_to.min(from));
    red(seen_from.max(to), seen_to);
    painter.rect(bar(from, to), 3.0, tokens.card, Stroke::new(1.3, tokens.ink), StrokeKind::Inside);
    if let (Some(absolute), Some(_)) = (rung.absolute, rung.highest)
        && rung.absolute != rung.highest
        && absolute.value() < scale.high
    {
        let x = scale.x(absolute.value());
        painter.vline(x, middle - half - 2.0..=middle + half + 2.0, Stroke::new(2.0, tokens.ink));
    }
}

fn ticks(painter: &Painter, tokens: &Tokens, ladder: &Ladder, scale: &Scale) {
    let step = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0]
        .into_iter()
        .find(|step| (scale.high - scale.low) / step <= 5.0)
        .unwrap_or(1000.0);
    let mut at = (scale.low / step).ceil() * step;
    let color: Color32 = tokens.soft_ink;
    let y = scale.bars.bottom() + 6.0;
    while at <= scale.high && !ladder.rungs.is_empty() {
        let x = scale.x(at);
        painter.vline(x, y..=y + 4.0, Stroke::new(1.0, tokens.line));
        painter.text(pos2(x, y + 4.0), Align2::CENTER_TOP, format!("{at}"), fonts::small(), color);
        at += step;
    }
    let corner = pos2(scale.rect.left(), y + 4.0);
    painter.text(corner + vec2(0.0, 0.0), Align2::LEFT_TOP, "volts", fonts::small(), color);
}

/// The ladder in words, for those who do not see it.
fn said(ladder: &Ladder, units: UnitSystem) -> String {
    let say = |limit: Option<Volts>| limit.map_or_else(|| "no limit".to_owned(), |limit| volts(limit, units));
    let levels: Vec<String> = ladder
        .levels
        .iter()
        .map(|level| format!("{} {}", level.cause, volts(level.voltage, units)))
        .collect();
    let rungs: Vec<String> = ladder
        .rungs
        .iter()
        .map(|rung| format!("{}: {} to {}", rung.name, say(rung.lowest), say(rung.highest.or(rung.absolute))))
        .collect();
    format!(
        "Ladder of the {}. It sees: {}. Permitted: {}.",
        ladder.kind.label(),
        levels.join(", "),
        rungs.join("; ")
    )
}
