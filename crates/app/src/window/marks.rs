//! Small shapes that no face has: severities, chevrons, ticks. Severity is told by shape first, then by color.

use super::areas::year::YearStanding;
use super::tokens::Tokens;
use egui::{Color32, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};
use lineside_rules::Severity;

/// Paints the shape of a severity in a square of that size about a point.
pub fn severity(painter: &Painter, tokens: &Tokens, severity: Severity, center: Pos2, size: f32) {
    let color = tokens.severity(severity);
    let r = size / 2.0;
    match severity {
        Severity::Danger => {
            let (x, y) = (center.x, center.y);
            let points = vec![pos2(x, y - r), pos2(x + r * 1.1, y + r * 0.9), pos2(x - r * 1.1, y + r * 0.9)];
            painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
        }
        Severity::Correction => {
            painter.rect_filled(Rect::from_center_size(center, Vec2::splat(size * 0.86)), 0.0, color);
        }
        Severity::Advice => {
            painter.circle_stroke(center, r * 0.86, Stroke::new((size / 7.0).max(1.5), color));
        }
    }
}

/// Paints how the year stands: a tick when it is up to date, a ring when it is not, three dots while it runs, a square when
/// the sheet cannot be run. Nothing while it has not been looked at.
pub fn standing(painter: &Painter, tokens: &Tokens, standing: YearStanding, center: Pos2) {
    match standing {
        YearStanding::Unseen => {}
        YearStanding::Done => {
            let points = vec![center + vec2(-5.0, 0.0), center + vec2(-1.5, 4.0), center + vec2(5.5, -4.5)];
            painter.line(points, Stroke::new(2.0, tokens.battery));
        }
        YearStanding::Stale => {
            painter.circle_stroke(center, 4.2, Stroke::new(1.6, tokens.soft_ink));
        }
        YearStanding::Running => {
            for x in [-5.0, 0.0, 5.0] {
                painter.circle_filled(center + vec2(x, 0.0), 1.5, tokens.soft_ink);
            }
        }
        YearStanding::CannotRun => {
            painter.rect_filled(Rect::from_center_size(center, Vec2::splat(9.0)), 0.0, tokens.correction);
        }
    }
}

/// A chevron that points right when closed and down when open.
pub fn chevron(painter: &Painter, center: Pos2, openness: Openness, color: Color32) {
    let (a, b, c) = match openness {
        Openness::Closed => (vec2(-2.0, -4.0), vec2(2.5, 0.0), vec2(-2.0, 4.0)),
        Openness::Open => (vec2(-4.0, -2.0), vec2(0.0, 2.5), vec2(4.0, -2.0)),
    };
    painter.line(vec![center + a, center + b, center + c], Stroke::new(1.5, color));
}

/// Whether a group shows what is in it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Openness {
    /// It does not.
    #[default]
    Closed,
    /// It does.
    Open,
}

impl Openness {
    /// What a click makes of it.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Closed => Self::Open,
            Self::Open => Self::Closed,
        }
    }
}

/// A severity and how many findings have it, as one label: `2 dangers`.
pub fn count(ui: &mut Ui, tokens: &Tokens, severity_of: Severity, count: usize) -> Response {
    let text = count.to_string();
    let font = super::fonts::body();
    let galley = ui.painter().layout_no_wrap(text, font, tokens.ink);
    let (rect, response) =
        ui.allocate_exact_size(vec2(17.0 + galley.size().x, galley.size().y), Sense::hover());
    severity(ui.painter(), tokens, severity_of, pos2(rect.left() + 6.0, rect.center().y + 0.5), 11.0);
    ui.painter().galley(
        pos2(rect.left() + 17.0, rect.center().y - galley.size().y / 2.0),
        galley,
        tokens.ink,
    );
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Label, true, words(severity_of, count)));
    response.on_hover_text(words(severity_of, count))
}

/// `2 dangers`, `1 correction`, `no advice`.
pub fn words(severity: Severity, count: usize) -> String {
    let (one, many) = match severity {
        Severity::Danger => ("danger", "dangers"),
        Severity::Correction => ("correction", "corrections"),
        Severity::Advice => ("advice", "advice"),
    };
    match count {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    }
}
