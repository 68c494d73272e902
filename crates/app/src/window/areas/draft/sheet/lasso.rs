//! The lasso: a line drawn by hand round what is to be selected.

use super::SheetState;
use crate::window::tokens::Tokens;
use egui::{Painter, Pos2, Shape, Stroke};
use lineside_drawing::geometry::Point;

/// The pointer must move so far before the line gets another point, mm.
pub const STEP: f32 = 1.0;

/// Whether a point lies within a line that is closed from its end to its beginning.
pub fn holds(line: &[Point], at: Point) -> bool {
    let next = line.iter().cycle().skip(1);
    // Every crossing of a ray to the right changes the side.
    line.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses = (a.y > at.y) != (b.y > at.y) && at.x < (b.x - a.x) * (at.y - a.y) / (b.y - a.y) + a.x;
        inside != crosses
    })
}

/// Paints the line, with a thin one that closes it.
pub(super) fn paint(painter: &Painter, tokens: &Tokens, state: &SheetState, line: &[Point]) {
    let points: Vec<Pos2> = line.iter().map(|point| state.camera.screen(*point)).collect();
    if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
        let thin = Stroke::new(1.0, tokens.accent);
        painter.extend(Shape::dashed_line(&[last, first], thin, 4.0, 4.0));
    }
    painter.line(points, Stroke::new(1.5, tokens.accent));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_within_the_line_is_told_from_what_does_not() {
        // A hook: a square of 10 with the upper right quarter cut out.
        let line = [(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (10.0, 5.0), (10.0, 10.0), (0.0, 10.0)]
            .map(|(x, y)| Point::new(x, y));
        assert!(holds(&line, Point::new(2.0, 2.0)) && holds(&line, Point::new(8.0, 8.0)));
        assert!(!holds(&line, Point::new(8.0, 2.0)) && !holds(&line, Point::new(-1.0, 5.0)));
        assert!(!holds(&[], Point::new(0.0, 0.0)));
    }
}
