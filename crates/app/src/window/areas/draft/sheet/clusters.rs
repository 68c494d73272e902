//! Markers of findings on the screen: those that would lie on one another stand as one, with the shape of the worst and how many
//! findings are behind them. A click on several findings opens the list of them.
//!
//! Where a mark stands on the sheet is the drawing crate's; how near marks are depends on the view and is found here.

mod gather;

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

/// Side of a mark on paper, mm.
const MARK_MM: f32 = 3.2;
/// Marks are at least this large on the screen, and no larger than that.
const SIZE: (f32, f32) = (10.0, 30.0);
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
            self.all = gather::gathered(&marks_of(drawn, camera), size(camera));
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
