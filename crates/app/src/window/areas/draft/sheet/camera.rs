//! The camera over the sheet: from millimeters on paper to points on the screen, and back.

use egui::emath::TSTransform;
use egui::{Pos2, Rect, Vec2, pos2};
use lineside_drawing::geometry::{Area, Point};

/// Points on the screen for a millimeter on paper at 100 %.
pub const FULL: f32 = 4.0;
/// Room round what is fitted into the view, in points.
const ROOM: f32 = 28.0;
/// Fitting never goes closer than this.
const CLOSEST_FIT: f32 = 1.6;

/// The camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    to_screen: TSTransform,
}

impl Default for Camera {
    fn default() -> Self {
        Self { to_screen: TSTransform::new(Vec2::splat(40.0), FULL) }
    }
}

impl Camera {
    const FARTHEST: f32 = 0.04 * FULL;
    const NEAREST: f32 = 8.0 * FULL;

    /// From paper to screen.
    pub const fn to_screen(&self) -> TSTransform {
        self.to_screen
    }
    /// Points for a millimeter.
    pub const fn scale(&self) -> f32 {
        self.to_screen.scaling
    }
    /// Percent of the true scale.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the scale is kept within limits"
    )]
    pub fn percent(&self) -> u32 {
        (self.scale() / FULL * 100.0).round() as u32
    }
    /// A point on paper, on the screen.
    pub fn screen(&self, point: Point) -> Pos2 {
        self.to_screen * pos2(point.x, point.y)
    }
    /// A rectangle on paper, on the screen.
    pub fn screen_area(&self, area: Area) -> Rect {
        Rect::from_min_max(
            self.screen(Point::new(area.left, area.top)),
            self.screen(Point::new(area.right, area.bottom)),
        )
    }
    /// A point on the screen, on paper.
    pub fn sheet(&self, at: Pos2) -> Point {
        let point = self.to_screen.inverse() * at;
        Point::new(point.x, point.y)
    }
    /// Moves the paper with the pointer.
    pub fn pan(&mut self, by: Vec2) {
        if by.is_finite() {
            self.to_screen.translation += by;
        }
    }
    /// Goes nearer or farther; what is at that point of the screen stays there.
    pub fn zoom_about(&mut self, at: Pos2, factor: f32) {
        if !factor.is_finite() || factor <= 0.0 {
            return;
        }
        let fixed = self.to_screen.inverse() * at;
        self.to_screen.scaling = (self.to_screen.scaling * factor).clamp(Self::FARTHEST, Self::NEAREST);
        self.to_screen.translation += at - self.to_screen * fixed;
    }
    /// Goes to the true scale.
    pub fn zoom_full(&mut self, at: Pos2) {
        let factor = FULL / self.scale();
        self.zoom_about(at, factor);
    }
    /// Brings an area of the paper into the middle of the view, as large as it fits.
    pub fn fit(&mut self, view: Rect, area: Area) {
        let size = Vec2::new(area.width().max(1.0), area.height().max(1.0));
        if area.is_nothing() || !view.is_positive() || !size.is_finite() {
            return;
        }
        let room = (view.size() - Vec2::splat(2.0 * ROOM)).max(Vec2::splat(20.0));
        let scale = (room / size).min_elem().clamp(Self::FARTHEST, CLOSEST_FIT * FULL);
        let center = area.center();
        self.to_screen =
            TSTransform::new(view.center().to_vec2() - scale * Vec2::new(center.x, center.y), scale);
    }
    /// Moves the paper just so far that an area of it is in view; goes farther if it does not fit.
    pub fn reveal(&mut self, view: Rect, area: Area) {
        if area.is_nothing() || !view.is_positive() {
            return;
        }
        let inner = view.shrink(ROOM.min(view.width() / 4.0).min(view.height() / 4.0));
        let on_screen = self.screen_area(area);
        if on_screen.width() > inner.width() || on_screen.height() > inner.height() {
            self.fit(view, area);
            return;
        }
        let short = |low: f32, high: f32, from: f32, to: f32| {
            if low < from { from - low } else { (to - high).min(0.0) }
        };
        self.pan(Vec2::new(
            short(on_screen.left(), on_screen.right(), inner.left(), inner.right()),
            short(on_screen.top(), on_screen.bottom(), inner.top(), inner.bottom()),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Point, b: Point) -> bool {
        (a.x - b.x).abs() < 1e-3 && (a.y - b.y).abs() < 1e-3
    }

    #[test]
    fn what_is_under_the_pointer_stays_there() {
        let mut camera = Camera::default();
        let pointer = pos2(300.0, 200.0);
        let before = camera.sheet(pointer);
        for factor in [1.7, 0.2, 3.0] {
            camera.zoom_about(pointer, factor);
            assert!(near(camera.sheet(pointer), before));
        }
    }

    #[test]
    fn no_wheel_leads_out_of_sight_or_to_nonsense() {
        let mut camera = Camera::default();
        for factor in [1e9, 0.0, -1.0, f32::NAN, f32::INFINITY, 1e-9] {
            camera.zoom_about(pos2(10.0, 10.0), factor);
            assert!((4..=800).contains(&camera.percent()), "{factor}: {}", camera.percent());
        }
        camera.pan(Vec2::splat(f32::NAN));
        assert!(camera.screen(Point::default()).is_finite());
    }

    #[test]
    fn fitting_puts_the_whole_area_in_view() {
        let mut camera = Camera::default();
        let view = Rect::from_min_size(pos2(200.0, 80.0), Vec2::new(800.0, 500.0));
        let area = Area { left: 0.0, top: 0.0, right: 420.0, bottom: 200.0 };
        camera.fit(view, area);
        assert!(view.contains_rect(camera.screen_area(area)));
        let before = camera;
        camera.fit(view, Area::NOTHING);
        assert_eq!(camera, before);
    }

    #[test]
    fn revealing_moves_no_more_than_needed() {
        let mut camera = Camera::default();
        let view = Rect::from_min_size(pos2(0.0, 0.0), Vec2::new(800.0, 500.0));
        let inside = Area { left: 50.0, top: 20.0, right: 60.0, bottom: 30.0 };
        let before = camera;
        camera.reveal(view, inside);
        assert_eq!(camera, before);
        let outside = Area { left: 900.0, top: 20.0, right: 910.0, bottom: 30.0 };
        camera.reveal(view, outside);
        assert!(view.contains_rect(camera.screen_area(outside)));
        assert!((camera.scale() - before.scale()).abs() < f32::EPSILON);
    }
}
