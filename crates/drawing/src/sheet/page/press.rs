//! The press: prints lines and words of the page's furniture.

use crate::display_list::{Across, Along, Behind, Ends, Item, Shape, Subject, Text, Turned, Weight};
use crate::geometry::{Area, Point};
use crate::metrics;
use crate::pen::Pen;

/// Items of the furniture being gathered.
#[derive(Default)]
pub(super) struct Press {
    items: Vec<Item>,
}

/// How words of the furniture look.
#[derive(Clone, Copy)]
pub(super) struct Lettering {
    pub pen: Pen,
    pub height: f32,
    pub weight: Weight,
}

/// Captions and notes.
pub(super) const NOTE: Lettering = Lettering { pen: Pen::SoftText, height: 1.8, weight: Weight::Regular };
/// Ordinary words.
pub(super) const PLAIN: Lettering = Lettering { pen: Pen::Text, height: 1.8, weight: Weight::Regular };
/// What a field holds.
pub(super) const ENTRY: Lettering = Lettering { pen: Pen::Text, height: 2.5, weight: Weight::Regular };
/// Headings.
pub(super) const HEADING: Lettering = Lettering { pen: Pen::Text, height: 2.5, weight: Weight::Strong };

impl Press {
    pub(super) fn finish(self) -> Vec<Item> {
        self.items
    }
    pub(super) fn put(&mut self, pen: Pen, shape: Shape) {
        self.items.push(Item { subject: Subject::Sheet, pen, shape });
    }
    pub(super) fn line(&mut self, pen: Pen, from: Point, to: Point) {
        self.put(pen, Shape::Polyline { points: [from, to].into(), ends: Ends::Open });
    }
    pub(super) fn rectangle(&mut self, pen: Pen, area: Area) {
        self.put(pen, Shape::Polyline { points: area.corners().into(), ends: Ends::Joined });
    }
    /// Words whose anchor is on their baseline.
    pub(super) fn words(&mut self, lettering: Lettering, anchor: Point, along: Along, content: &str) {
        if content.is_empty() {
            return;
        }
        let text = Text {
            anchor,
            along,
            across: Across::Baseline,
            height: lettering.height,
            weight: lettering.weight,
            turned: Turned::Upright,
            behind: Behind::Clear,
            content: content.to_owned(),
        };
        self.put(lettering.pen, Shape::Text(text));
    }
    /// Words that begin at a point and are cut off, with an ellipsis, at a length.
    pub(super) fn fitted(&mut self, lettering: Lettering, at: Point, length: f32, content: &str) {
        self.words(lettering, at, Along::Start, &cut(lettering, length, content));
    }
    /// Words on as many lines as they need, two at most, about the height of a point; what is longer is cut off.
    pub(super) fn folded(&mut self, lettering: Lettering, at: Point, length: f32, content: &str) {
        self.fold(lettering, at, Along::Start, length, content);
    }
    /// The same, with lines that end at the point.
    pub(super) fn folded_end(&mut self, lettering: Lettering, at: Point, length: f32, content: &str) {
        self.fold(lettering, at, Along::End, length, content);
    }
    fn fold(&mut self, lettering: Lettering, at: Point, along: Along, length: f32, content: &str) {
        let long = |text: &str| metrics::length(text, lettering.weight, lettering.height);
        let mut breaks = content.char_indices().filter(|(_, letter)| *letter == ' ').map(|(place, _)| place);
        let first = breaks.rfind(|place| content.get(..*place).is_some_and(|it| long(it) <= length));
        let baseline = at.moved(0.0, lettering.height / 2.0);
        match first.and_then(|place| content.split_at_checked(place)) {
            Some((first, rest)) if long(content) > length => {
                let half = 0.7 * lettering.height;
                self.words(lettering, baseline.moved(0.0, -half), along, first);
                let rest = cut(lettering, length, rest.trim_start());
                self.words(lettering, baseline.moved(0.0, half), along, &rest);
            }
            _ => self.words(lettering, baseline, along, &cut(lettering, length, content)),
        }
    }
}

/// Words that are no longer than a length; an ellipsis stands for what was cut off.
fn cut(lettering: Lettering, length: f32, content: &str) -> String {
    let long = |text: &str| metrics::length(text, lettering.weight, lettering.height);
    if long(content) <= length {
        return content.to_owned();
    }
    let mut cut = content.to_owned();
    while cut.pop().is_some() && long(&cut) + long("…") > length {}
    format!("{}…", cut.trim_end())
}
