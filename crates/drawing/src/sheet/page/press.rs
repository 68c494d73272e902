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
        let long = |text: &str| metrics::length(text, lettering.weight, lettering.height);
        if long(content) <= length {
            self.words(lettering, at, Along::Start, content);
            return;
        }
        let mut cut = content.to_owned();
        while cut.pop().is_some() && long(&cut) + long("…") > length {}
        self.words(lettering, at, Along::Start, &format!("{}…", cut.trim_end()));
    }
}
