//! Markers of findings on the screen: those that would lie on one another stand as one, with the shape of the worst and how many
//! findings are behind them. A click on several findings opens the list of them.
//!
//! Where a mark stands on the sheet is the drawing crate's; how near marks are depends on the view and is found here.

use super::SheetState;
use super::drawn::Drawn;
use super::look::Marked;
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::findings::fitting;
use crate::window::brush::Brush;
use crate::window::fonts;
use crate::window::marks;
use crate::window::view::View;
use egui::emath::TSTransform;
use egui::{
    Id, Popup, PopupCloseBehavior, Pos2, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, Vec2,
    WidgetInfo, pos2, vec2,
};
use lineside_core::units::text;
use lineside_drawing::display_list::Subject;
use lineside_rules::{Finding, Severity};
use std::collections::BTreeMap;

/// Side of a mark on paper, mm.
const MARK_MM: f32 = 3.2;
/// Marks are at least this large on the screen, and no larger than that.
const SIZE: (f32, f32) = (10.0, 30.0);
/// How far marks that are nearer than their size overlap before they stand as one, as a share of their size.
const OVERLAP: f32 = 0.85;
/// How often clusters are put together with those on which they lie; what then still touches is left so.
const ROUNDS: usize = 6;
/// Findings that a list shows before it scrolls.
const LONG: f32 = 230.0;

/// Marks that stand as one.
#[derive(Clone, Debug, PartialEq)]
pub struct Cluster {
    /// Where its figure stands on the screen.
    pub center: Pos2,
    /// Side of the figure, in points.
    pub size: f32,
    /// The worst of its findings.
    pub severity: Severity,
    /// Ids of its findings, worst first.
    pub findings: Vec<String>,
    /// The title of the first.
    pub title: String,
}

impl Cluster {
    /// What it covers, its count included.
    pub fn rect(&self) -> Rect {
        let figure = Rect::from_center_size(self.center, Vec2::splat(self.size));
        if self.findings.len() < 2 {
            return figure.expand(1.0);
        }
        let count =
            6.0 + 0.62 * self.size.max(11.0) * text::count(self.findings.len()).chars().count() as f32;
        Rect::from_min_max(figure.min - vec2(2.0, 2.0), figure.max + vec2(count, 2.0))
    }

    /// What it is called: `Danger: …`, or how many findings are there.
    pub fn name(&self) -> String {
        let severity = match self.severity {
            Severity::Danger => "Danger",
            Severity::Correction => "Correction",
            Severity::Advice => "Advice",
        };
        match self.findings.len() {
            0 | 1 => format!("{severity}: {}", self.title),
            many => format!("{severity}: {}, and {} more", self.title, text::count(many - 1)),
        }
    }
}

/// The clusters of a view, and the list of findings that is open.
#[derive(Default)]
pub struct Clusters {
    of: Option<(u64, TSTransform)>,
    all: Vec<Cluster>,
    open: Option<Open>,
}

/// A list of findings that is open at a marker.
#[derive(Clone, Debug)]
struct Open {
    findings: Vec<String>,
    at: Pos2,
    age: Age,
}

/// How far an open list has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Age {
    /// Asked for in this frame.
    New,
    /// To be shown for the first time.
    Fresh,
    /// It has been seen.
    Shown,
}

impl Clusters {
    /// Brings them up to date with the drawing and the view.
    pub fn follow(&mut self, drawn: &Drawn, camera: TSTransform) {
        let key = (drawn.revision, camera);
        if self.of != Some(key) {
            self.of = Some(key);
            self.all = gathered(&marks_of(drawn, camera), size(camera));
            self.open = None;
        }
    }

    /// Whether a list is open.
    pub const fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Every one of them.
    pub fn all(&self) -> &[Cluster] {
        &self.all
    }

    /// The one at a point of the screen.
    pub fn at(&self, point: Pos2) -> Option<&Cluster> {
        let near = self.all.iter().filter(|it| it.rect().expand(3.0).contains(point));
        near.min_by(|a, b| a.center.distance_sq(point).total_cmp(&b.center.distance_sq(point)))
    }

    /// Shows a finding, or opens the list of several.
    pub fn pick(&mut self, cluster: &Cluster, actions: &mut Actions) {
        match cluster.findings.as_slice() {
            [one] => actions.push(Action::ShowFinding(one.clone())),
            many => {
                let at = cluster.rect().left_bottom() + vec2(0.0, 4.0);
                self.open = Some(Open { findings: many.to_vec(), at, age: Age::New });
            }
        }
    }
}

/// Side of a figure on the screen.
fn size(camera: TSTransform) -> f32 {
    (MARK_MM * camera.scaling).clamp(SIZE.0, SIZE.1)
}

/// Each mark with the middle of its figure on the screen.
fn marks_of(drawn: &Drawn, camera: TSTransform) -> Vec<(Pos2, &Marked)> {
    let places = drawn.drawing.areas.iter().filter_map(|area| match area.subject {
        Subject::Mark(index) => Some((index, area.bounds().center())),
        Subject::Sheet | Subject::Place(_) | Subject::Run(_) | Subject::Block(_) | Subject::Terminal(_) => {
            None
        }
    });
    let marks = places.filter_map(|(index, at)| Some((camera * pos2(at.x, at.y), drawn.marked.get(index)?)));
    marks.collect()
}

/// Puts marks together that would lie on one another, directly or by way of others.
fn gathered(marks: &[(Pos2, &Marked)], size: f32) -> Vec<Cluster> {
    let near = size * OVERLAP;
    let mut groups = Groups::new(marks.len());
    let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (index, (at, _)) in marks.iter().enumerate() {
        let (column, row) = cell(*at, near);
        for beside in (-1..=1).flat_map(|x| (-1..=1).map(move |y| (column + x, row + y))) {
            for other in cells.get(&beside).into_iter().flatten() {
                let there = marks.get(*other).map_or(*at, |(there, _)| *there);
                if (there.x - at.x).abs() < near && (there.y - at.y).abs() < near {
                    groups.join(index, *other);
                }
            }
        }
        cells.entry((column, row)).or_default().push(index);
    }
    let mut found = of_groups(marks, &mut groups, size);
    // A figure with its count is wider than the marks were.
    for _ in 0..ROUNDS {
        let overlapping = overlaps(&found);
        if overlapping.is_empty() {
            break;
        }
        for (a, b) in overlapping {
            groups.join(a, b);
        }
        found = of_groups(marks, &mut groups, size);
    }
    found.into_iter().map(|(_, cluster)| cluster).collect()
}

/// The clusters with the heads of their groups.
fn of_groups(marks: &[(Pos2, &Marked)], groups: &mut Groups, size: f32) -> Vec<(usize, Cluster)> {
    let mut together: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for index in 0..marks.len() {
        together.entry(groups.head(index)).or_default().push(index);
    }
    let pick = |(head, indices): (usize, Vec<usize>)| {
        let members: Vec<&(Pos2, &Marked)> = indices.iter().filter_map(|index| marks.get(*index)).collect();
        Some((head, cluster(&members, size)?))
    };
    together.into_iter().filter_map(pick).collect()
}

/// Heads of groups whose figures lie on one another. Two single marks may touch.
fn overlaps(found: &[(usize, Cluster)]) -> Vec<(usize, usize)> {
    let mut rects: Vec<(usize, Rect)> = found
        .iter()
        .map(|(head, cluster)| {
            let is_single = cluster.findings.len() < 2;
            let by = if is_single { cluster.size * (1.0 - OVERLAP) } else { 0.0 };
            (*head, cluster.rect().shrink(by))
        })
        .collect();
    rects.sort_by(|(_, a), (_, b)| a.left().total_cmp(&b.left()));
    let mut pairs = Vec::new();
    for (index, (head, rect)) in rects.iter().enumerate() {
        let after = rects.iter().skip(index + 1).take_while(|(_, other)| other.left() < rect.right());
        pairs.extend(after.filter(|(_, other)| rect.intersects(*other)).map(|(other, _)| (*head, *other)));
    }
    pairs
}

/// The square of a grid in which a point lies.
#[expect(clippy::cast_possible_truncation, reason = "the screen is small")]
fn cell(at: Pos2, side: f32) -> (i64, i64) {
    ((at.x / side).floor() as i64, (at.y / side).floor() as i64)
}

/// Room for the count beside a figure.
fn count_width(findings: &[String], size: f32) -> f32 {
    let figures = text::count(findings.len()).chars().count();
    6.0 + 0.62 * size.max(11.0) * figures as f32
}

fn cluster(members: &[&(Pos2, &Marked)], size: f32) -> Option<Cluster> {
    let mut worst_first: Vec<&(Pos2, &Marked)> = members.to_vec();
    worst_first.sort_by_key(|(_, marked)| marked.severity);
    let (_, first) = worst_first.first()?;
    let count = members.len() as f32;
    let sum = members.iter().fold(Vec2::ZERO, |sum, (at, _)| sum + at.to_vec2());
    let findings: Vec<String> =
        worst_first.iter().flat_map(|(_, marked)| marked.findings.iter().cloned()).collect();
    // Figure and count together stand about the middle.
    let aside = if members.len() > 1 { count_width(&findings, size) / 2.0 } else { 0.0 };
    let center = (sum / count).to_pos2() - vec2(aside, 0.0);
    Some(Cluster { center, size, severity: first.severity, title: first.title.clone(), findings })
}

/// Which marks belong together: each points to another of its group, the head to itself.
struct Groups(Vec<usize>);

impl Groups {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }
    fn head(&mut self, of: usize) -> usize {
        let mut at = of;
        while let Some(next) = self.0.get(at).copied().filter(|next| *next != at) {
            // Pointing past the next keeps the ways short.
            let beyond = self.0.get(next).copied().unwrap_or(next);
            if let Some(slot) = self.0.get_mut(at) {
                *slot = beyond;
            }
            at = beyond;
        }
        at
    }
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.head(a), self.head(b));
        if let Some(slot) = self.0.get_mut(a.max(b)) {
            *slot = a.min(b);
        }
    }
}

/// Paints the markers.
pub fn paint_ui(brush: &Brush<'_>, clusters: &Clusters, view: Rect) {
    for cluster in clusters.all() {
        let rect = cluster.rect();
        if !view.intersects(rect) {
            continue;
        }
        let tokens = brush.tokens;
        if cluster.findings.len() > 1 {
            let edge = Stroke::new(1.0, tokens.severity(cluster.severity));
            brush.painter.rect(rect, 3.0, tokens.card, edge, StrokeKind::Inside);
            let size = (cluster.size * 0.95).clamp(11.0, 20.0);
            brush.painter.text(
                pos2(cluster.center.x + cluster.size * 0.5 + 3.0, cluster.center.y),
                egui::Align2::LEFT_CENTER,
                text::count(cluster.findings.len()),
                egui::FontId::new(size, fonts::strong()),
                tokens.ink,
            );
        } else if cluster.severity == Severity::Advice {
            brush.painter.circle_filled(cluster.center, cluster.size * 0.45, tokens.sheet);
        }
        let figure = if cluster.findings.len() > 1 { cluster.size * 0.86 } else { cluster.size };
        marks::severity(brush.painter, tokens, cluster.severity, cluster.center, figure);
    }
}

/// The list of findings that is open at a marker.
pub fn list_ui(ui: &Ui, view: &View<'_>, state: &mut SheetState, actions: &mut Actions) {
    let Some(mut open) = state.clusters.open.take() else { return };
    let findings: Vec<&Finding> = {
        let circuit = &view.project().circuit;
        let all: Vec<(String, &Finding)> = view.derived.open().map(|it| (it.id(circuit), it)).collect();
        let find = |id: &String| all.iter().find(|(other, _)| other == id).map(|(_, finding)| *finding);
        open.findings.iter().filter_map(find).collect()
    };
    if findings.is_empty() {
        return;
    }
    if open.age == Age::New {
        // The click that opens it would close it again.
        open.age = Age::Fresh;
        state.clusters.open = Some(open);
        ui.ctx().request_repaint();
        return;
    }
    let (mut chosen, mut stays) = (None, true);
    let id = Id::unique("findings of a marker");
    Popup::new(id, ui.ctx().clone(), open.at, ui.layer_id())
        .open_bool(&mut stays)
        .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
        .width(346.0)
        .show(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ScrollArea::vertical().max_height(LONG).auto_shrink([false, true]).show(ui, |ui| {
                for (index, finding) in findings.iter().enumerate() {
                    let row = row_ui(ui, view, finding);
                    if open.age == Age::Fresh && index == 0 {
                        row.request_focus();
                    }
                    if row.clicked() {
                        chosen = Some(finding.id(&view.project().circuit));
                    }
                }
            });
        });
    open.age = Age::Shown;
    if let Some(id) = chosen {
        actions.push(Action::ShowFinding(id));
    } else if stays {
        state.clusters.open = Some(open);
    }
}

fn row_ui(ui: &mut Ui, view: &View<'_>, finding: &Finding) -> egui::Response {
    let tokens = view.tokens;
    let place = finding.place_text(&view.project().circuit);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 27.0), Sense::click());
    let name = format!("Open {}: {}, {place}", finding.severity.key(), finding.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, tokens.accent_ground);
    }
    let middle = rect.center().y;
    marks::severity(ui.painter(), tokens, finding.severity, pos2(rect.left() + 11.0, middle), 12.0);
    let title = fitting(ui, &finding.title, fonts::body(), tokens.ink, rect.width() - 30.0);
    ui.painter().galley(pos2(rect.left() + 24.0, middle - title.size().y / 2.0), title, tokens.ink);
    response.on_hover_text(format!("{}\n{place}", finding.title))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(severity: Severity, id: &str) -> Marked {
        Marked { severity, findings: vec![id.to_owned()], title: id.to_owned() }
    }

    #[test]
    fn marks_that_would_lie_on_one_another_stand_as_one_with_the_worst_first() {
        let (a, b) = (marked(Severity::Advice, "a"), marked(Severity::Danger, "b"));
        let (c, d) = (marked(Severity::Correction, "c"), marked(Severity::Advice, "d"));
        // Figures of 10 points stand as one within 8.5: a with b, b with c, and d alone.
        let marks =
            [(pos2(0.0, 0.0), &a), (pos2(8.0, 0.0), &b), (pos2(15.0, 3.0), &c), (pos2(30.0, 0.0), &d)];
        let found = gathered(&marks, 10.0);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].findings, ["b", "c", "a"]);
        assert_eq!((found[0].severity, found[0].title.as_str()), (Severity::Danger, "b"));
        // The middle of 0, 8 and 15, and of 0, 0 and 3; half of the room for one figure, 6 + 0.62 × 11, to the left.
        assert!((found[0].center - pos2(23.0 / 3.0 - 6.41, 1.0)).length() < 1e-4);
        assert_eq!(found[1].findings, ["d"]);
        assert_eq!(found[0].name(), "Danger: b, and 2 more");
        assert_eq!(found[1].name(), "Advice: d");
    }

    #[test]
    fn many_marks_are_gathered_once_each() {
        let all: Vec<Marked> =
            (0..600).map(|number| marked(Severity::Correction, &number.to_string())).collect();
        // A line of marks 4 points apart is one cluster; two lines far apart are two.
        let place = |number: usize| pos2((number % 300) as f32 * 4.0, (number / 300) as f32 * 100.0);
        let marks: Vec<(Pos2, &Marked)> =
            all.iter().enumerate().map(|(number, marked)| (place(number), marked)).collect();
        let found = gathered(&marks, 10.0);
        assert_eq!(found.len(), 2);
        assert_eq!(found.iter().map(|it| it.findings.len()).sum::<usize>(), 600);
    }
}
