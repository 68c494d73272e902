//! A plot as a list of marks in points, with colors: what the screen, the SVG and the PNG are made from.

use egui::{Align2, Color32, Pos2, Rect, Vec2};
use std::sync::Arc;

/// A picture.
#[derive(Clone, Debug, Default)]
pub struct Picture {
    /// Its size, points.
    pub size: Vec2,
    /// Marks, the lowest first.
    pub marks: Vec<Mark>,
}

/// One mark.
#[derive(Clone, Debug)]
pub enum Mark {
    /// A line through points.
    Line {
        /// The points.
        points: Vec<Pos2>,
        /// Color.
        color: Color32,
        /// Width.
        width: f32,
        /// Pattern.
        dash: Dash,
    },
    /// What lies between two lines, each from left to right, with as many points.
    Band {
        /// The upper line.
        upper: Vec<Pos2>,
        /// The lower line.
        lower: Vec<Pos2>,
        /// Color.
        color: Color32,
    },
    /// A bar.
    Bar {
        /// Where.
        rect: Rect,
        /// Color.
        color: Color32,
        /// How it is filled.
        fill: Fill,
    },
    /// A dot.
    Dot {
        /// Its middle.
        at: Pos2,
        /// Its radius.
        radius: f32,
        /// Color.
        color: Color32,
        /// How it is filled.
        fill: Fill,
    },
    /// Colored cells, row by row from the top.
    Cells {
        /// Where all of them lie.
        rect: Rect,
        /// Cells in a row.
        columns: usize,
        /// Colors.
        colors: Arc<[Color32]>,
    },
    /// Words.
    Words(Words),
}

/// Words of a picture.
#[derive(Clone, Debug)]
pub struct Words {
    /// Where.
    pub at: Pos2,
    /// Which point of the words lies there.
    pub anchor: Align2,
    /// What they say.
    pub text: String,
    /// Points of the letters.
    pub size: f32,
    /// Whether they are of the heavier cut.
    pub cut: Cut,
    /// Color.
    pub color: Color32,
}

/// The cut of letters.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Cut {
    /// Ordinary.
    #[default]
    Regular,
    /// The heavier one.
    Strong,
}

impl Mark {
    /// Moves it.
    pub fn shift(&mut self, by: Vec2) {
        let all = |points: &mut [Pos2]| points.iter_mut().for_each(|point| *point += by);
        match self {
            Self::Line { points, .. } => all(points),
            Self::Band { upper, lower, .. } => {
                all(upper);
                all(lower);
            }
            Self::Bar { rect, .. } | Self::Cells { rect, .. } => *rect = rect.translate(by),
            Self::Dot { at, .. } => *at += by,
            Self::Words(words) => words.at += by,
        }
    }
}

/// The pattern of a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long dashes.
    Dashed,
    /// Dots.
    Dotted,
}

impl Dash {
    /// Lengths of dashes and gaps; nothing for an unbroken line.
    pub const fn lengths(self) -> Option<(f32, f32)> {
        match self {
            Self::Solid => None,
            Self::Dashed => Some((7.0, 4.0)),
            Self::Dotted => Some((2.0, 3.0)),
        }
    }
}

/// How a surface is filled. Series are told apart by it as well as by color.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fill {
    /// Wholly.
    #[default]
    Solid,
    /// An outline with a hint of the color in it.
    Hollow,
    /// Oblique strokes.
    Hatched,
}

/// Distance of oblique strokes.
pub const HATCH: f32 = 5.0;

/// The oblique strokes of a hatched bar, from its left or upper edge up to the right.
pub fn hatching(rect: Rect) -> Vec<[Pos2; 2]> {
    let mut strokes = Vec::new();
    let (width, height) = (rect.width(), rect.height());
    let mut along = HATCH;
    while along < width + height {
        // A stroke from the left or lower edge to the upper or right one, at 45°.
        let from = if along <= height {
            Pos2::new(rect.left(), rect.top() + along)
        } else {
            Pos2::new(rect.left() + along - height, rect.bottom())
        };
        let to = if along <= width {
            Pos2::new(rect.left() + along, rect.top())
        } else {
            Pos2::new(rect.right(), rect.top() + along - width)
        };
        strokes.push([from, to]);
        along += HATCH;
    }
    strokes
}

impl Picture {
    /// An empty one.
    pub const fn new(size: Vec2) -> Self {
        Self { size, marks: Vec::new() }
    }
    /// A line.
    pub fn line(&mut self, points: Vec<Pos2>, color: Color32, width: f32, dash: Dash) {
        self.marks.push(Mark::Line { points, color, width, dash });
    }
    /// A bar; none that has no extent.
    pub fn bar(&mut self, rect: Rect, color: Color32, fill: Fill) {
        if rect.width() > 0.0 && rect.height() > 0.0 {
            self.marks.push(Mark::Bar { rect, color, fill });
        }
    }
    /// Small words.
    pub fn words(&mut self, at: Pos2, anchor: Align2, text: impl Into<String>, color: Color32) {
        let words = Words {
            at,
            anchor,
            text: text.into(),
            size: crate::window::fonts::SMALL,
            cut: Cut::Regular,
            color,
        };
        self.marks.push(Mark::Words(words));
    }
    /// A key of series at a corner: the upper right one, going left. Each has its color, fill and words.
    pub fn key(&mut self, right_top: Pos2, series: &[(&str, Color32, KeyMark)], ink: Color32) {
        let mut x = right_top.x;
        for (name, color, mark) in series.iter().rev() {
            let width = words_width(name);
            self.words(Pos2::new(x, right_top.y), Align2::RIGHT_CENTER, *name, ink);
            x -= width + 6.0;
            let middle = Pos2::new(x - 8.0, right_top.y);
            match mark {
                KeyMark::Fill(fill) => {
                    let rect = Rect::from_center_size(middle, Vec2::new(14.0, 10.0));
                    self.bar(rect, *color, *fill);
                }
                KeyMark::Line(dash) => {
                    let ends = vec![middle - Vec2::new(8.0, 0.0), middle + Vec2::new(8.0, 0.0)];
                    self.line(ends, *color, 2.0, *dash);
                }
            }
            x -= 16.0 + 14.0;
        }
    }
}

/// What stands for a series in a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyMark {
    /// A surface.
    Fill(Fill),
    /// A line.
    Line(Dash),
}

/// How wide small words are.
pub fn words_width(text: &str) -> f32 {
    use lineside_drawing::display_list::Weight;
    use lineside_drawing::metrics::{CAPITAL_HEIGHT, length};
    length(text, Weight::Regular, crate::window::fonts::SMALL * CAPITAL_HEIGHT)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    #[test]
    fn strokes_stay_in_their_bar() {
        let rect = Rect::from_min_max(pos2(10.0, 20.0), pos2(22.0, 60.0));
        let strokes = hatching(rect);
        // (12 + 40) / 5 = 10.4
        assert_eq!(strokes.len(), 10);
        assert!(strokes.iter().flatten().all(|point| rect.expand(1e-3).contains(*point)));
        // All at 45°: as far up as to the right.
        assert!(strokes.iter().all(|[a, b]| ((b.x - a.x) - (a.y - b.y)).abs() < 1e-3));
        assert!(hatching(Rect::from_min_size(pos2(0.0, 0.0), Vec2::new(2.0, 2.0))).is_empty());
    }

    #[test]
    fn a_bar_without_extent_is_none() {
        let mut picture = Picture::new(Vec2::splat(10.0));
        picture.bar(
            Rect::from_min_size(pos2(1.0, 1.0), Vec2::new(4.0, 0.0)),
            Color32::default(),
            Fill::Solid,
        );
        assert!(picture.marks.is_empty());
        assert!(words_width("state of charge") > words_width("charge"));
    }
}
