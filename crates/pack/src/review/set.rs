//! Setting a review in lines: words broken to the width of the page, numbers of a working in columns.

use super::{Entry, Line, Paper, Review, Section, Sign};
use lineside_drawing::display_list::{
    Across, Along, Behind, Ends, Item, Shape, Subject, Text, Turned, Weight,
};
use lineside_drawing::geometry::Point;
use lineside_drawing::metrics::{CAPITAL_HEIGHT, length};
use lineside_drawing::pen::Pen;

/// At the left and the right of the page, mm.
pub(super) const MARGIN: f32 = 18.0;
/// Between a figure and what it belongs to, mm.
const GAP: f32 = 3.0;
/// How far the text of an entry is set in, mm.
const INDENT: f32 = 6.0;
/// Width of the names of facts, mm.
const FACT: f32 = 20.0;

/// Whether a page may end after a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Break {
    /// It may.
    May,
    /// What comes next belongs to it.
    Not,
}

/// One line of the page, with its upper left corner as origin.
pub(super) struct Set {
    /// How high it is, mm.
    pub height: f32,
    /// Whether a page may end after it.
    pub after: Break,
    /// What is drawn.
    pub items: Vec<Item>,
}

/// How letters look.
#[derive(Clone, Copy)]
struct Style {
    /// Height of the capitals, mm.
    height: f32,
    weight: Weight,
    pen: Pen,
}

const TITLE: Style = Style { height: 4.2, weight: Weight::Strong, pen: Pen::Text };
const HEADING: Style = Style { height: 2.8, weight: Weight::Strong, pen: Pen::Text };
const STRONG: Style = Style { height: 2.1, weight: Weight::Strong, pen: Pen::Text };
const BODY: Style = Style { height: 1.9, weight: Weight::Regular, pen: Pen::Text };
const SOFT: Style = Style { height: 1.9, weight: Weight::Regular, pen: Pen::SoftText };
const SMALL: Style = Style { height: 1.65, weight: Weight::Regular, pen: Pen::SoftText };

impl Style {
    /// From one line to the next, mm.
    fn pitch(self) -> f32 {
        self.height / CAPITAL_HEIGHT * 1.28
    }
    /// Where its letters stand, from the top of the line, mm.
    fn baseline(self) -> f32 {
        self.pitch() * 0.78
    }
}

/// A whole review.
pub(super) fn lines(review: &Review, paper: Paper) -> Vec<Set> {
    let width = paper.size().0 - 2.0 * MARGIN;
    let mut page = Setter { width, lines: Vec::new() };
    page.words(TITLE, 0.0, &format!("Review of {}", review.title), Break::Not);
    page.space(1.5);
    for (name, value) in &review.facts {
        page.fact(0.0, name, value, Break::Not);
    }
    page.space(1.0);
    page.words(STRONG, 0.0, &review.summary, Break::May);
    page.rule();
    for section in &review.sections {
        page.section(section);
    }
    page.space(3.0);
    page.words(HEADING, 0.0, "Cautions", Break::Not);
    for caution in &review.cautions {
        page.words(BODY, 0.0, caution, Break::May);
        page.space(0.8);
    }
    page.lines
}

/// The foot of a page.
pub(super) fn foot(words: &str, number: &str, paper: Paper) -> Vec<Item> {
    let (width, height) = paper.size();
    let at = height - 11.0;
    let room = width - 2.0 * MARGIN - 30.0;
    let words = broken(words, SMALL, room).into_iter().next().unwrap_or_default();
    vec![
        item(
            Pen::Thin,
            Shape::Polyline {
                points: [Point::new(MARGIN, at - 4.0), Point::new(width - MARGIN, at - 4.0)].into(),
                ends: Ends::Open,
            },
        ),
        words_at(SMALL, Point::new(MARGIN, at), Along::Start, words),
        words_at(SMALL, Point::new(width - MARGIN, at), Along::End, number.to_owned()),
    ]
}

struct Setter {
    width: f32,
    lines: Vec<Set>,
}

impl Setter {
    fn put(&mut self, height: f32, after: Break, items: Vec<Item>) {
        self.lines.push(Set { height, after, items });
    }

    fn space(&mut self, height: f32) {
        let after = self.lines.last().map_or(Break::May, |line| line.after);
        self.put(height, after, Vec::new());
    }

    fn rule(&mut self) {
        let points = [Point::new(MARGIN, 1.5), Point::new(MARGIN + self.width, 1.5)].into();
        self.put(3.0, Break::May, vec![item(Pen::Thin, Shape::Polyline { points, ends: Ends::Open })]);
    }

    /// Words from a distance off the margin, in as many lines as they take.
    fn words(&mut self, style: Style, from: f32, words: &str, after: Break) {
        for line in broken(words, style, self.width - from) {
            let at = Point::new(MARGIN + from, style.baseline());
            self.put(style.pitch(), after, vec![words_at(style, at, Along::Start, line)]);
        }
    }

    /// A name at the left and what is said of it beside it.
    fn fact(&mut self, from: f32, name: &str, value: &str, after: Break) {
        let room = self.width - from - FACT - GAP;
        for (number, line) in broken(value, BODY, room).into_iter().enumerate() {
            let mut items = Vec::new();
            if number == 0 {
                let at = Point::new(MARGIN + from, BODY.baseline());
                items.push(words_at(SOFT, at, Along::Start, name.to_owned()));
            }
            let at = Point::new(MARGIN + from + FACT + GAP, BODY.baseline());
            items.push(words_at(BODY, at, Along::Start, line));
            self.put(BODY.pitch(), after, items);
        }
    }

    fn section(&mut self, section: &Section) {
        self.space(2.0);
        self.words(HEADING, 0.0, &section.title, Break::Not);
        if !section.remark.is_empty() {
            self.words(SOFT, 0.0, &section.remark, Break::Not);
        }
        self.space(1.0);
        for entry in &section.entries {
            self.entry(entry);
        }
    }

    fn entry(&mut self, entry: &Entry) {
        self.space(1.2);
        let from = if entry.sign == Sign::Nothing { 0.0 } else { INDENT };
        let pen = match entry.sign {
            Sign::Danger => Pen::Danger,
            Sign::Correction => Pen::Correction,
            Sign::Advice => Pen::Advice,
            Sign::Nothing => Pen::Text,
        };
        let first = self.lines.len();
        self.words(Style { pen, ..STRONG }, from, &entry.title, Break::Not);
        if let Some(line) = self.lines.get_mut(first) {
            line.items.extend(figure(entry.sign, pen, STRONG.baseline() - STRONG.height / 2.0));
        }
        for (name, value) in &entry.facts {
            self.fact(INDENT, name, value, Break::Not);
        }
        if !entry.working.is_empty() {
            self.space(0.8);
            self.working(&entry.working);
        }
        if !entry.remedies.is_empty() {
            self.space(0.8);
        }
        for (number, remedy) in entry.remedies.iter().enumerate() {
            let name = if number == 0 { "remedies" } else { "" };
            self.fact(INDENT, name, remedy, Break::Not);
        }
        if let Some(line) = self.lines.last_mut() {
            line.after = Break::May;
        }
        self.space(1.0);
    }

    /// The numbers, in four columns; the figures stand under each other at their right.
    fn working(&mut self, lines: &[Line]) {
        let width = self.width - INDENT;
        let (formula, figure, origin) = (width * 0.34, width * 0.74, width * 0.77);
        for line in lines {
            let columns = [
                (0.0, broken(&line.meaning, SMALL, formula - GAP)),
                (formula, broken(&line.formula, SMALL, figure - formula - 18.0)),
                (origin, broken(&line.origin, SMALL, width - origin)),
            ];
            let rows = columns.iter().map(|(_, column)| column.len()).max().unwrap_or(0).max(1);
            for row in 0..rows {
                let y = SMALL.baseline();
                let left = MARGIN + INDENT;
                let mut items: Vec<Item> = columns
                    .iter()
                    .filter_map(|(x, column)| {
                        let words = column.get(row)?.clone();
                        Some(words_at(SMALL, Point::new(left + x, y), Along::Start, words))
                    })
                    .collect();
                if row == 0 {
                    let ink = Style { pen: Pen::Text, ..SMALL };
                    items.push(words_at(ink, Point::new(left + figure, y), Along::End, line.figure.clone()));
                }
                self.put(SMALL.pitch(), Break::Not, items);
            }
        }
    }
}

fn item(pen: Pen, shape: Shape) -> Item {
    Item { subject: Subject::Sheet, pen, shape }
}

fn words_at(style: Style, anchor: Point, along: Along, content: String) -> Item {
    let text = Text {
        anchor,
        along,
        across: Across::Baseline,
        height: style.height,
        weight: style.weight,
        turned: Turned::Upright,
        behind: Behind::Clear,
        content,
    };
    item(style.pen, Shape::Text(text))
}

/// The shape of a severity, at the left of a line.
fn figure(sign: Sign, pen: Pen, middle: f32) -> Option<Item> {
    let (x, r) = (MARGIN + 2.0, 1.3);
    let shape = match sign {
        Sign::Danger => Shape::Polygon {
            points: [
                Point::new(x, middle - r),
                Point::new(x + r * 1.1, middle + r * 0.9),
                Point::new(x - r * 1.1, middle + r * 0.9),
            ]
            .into(),
        },
        Sign::Correction => Shape::Polygon {
            points: [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
                .map(|(dx, dy)| Point::new(x + dx * r * 0.88, middle + dy * r * 0.88))
                .into(),
        },
        Sign::Advice => Shape::Circle { center: Point::new(x, middle), radius: r * 0.86 },
        Sign::Nothing => return None,
    };
    Some(item(pen, shape))
}

/// Words in lines that are no longer than the room; a word that is too long alone is cut.
fn broken(words: &str, style: Style, room: f32) -> Vec<String> {
    let fits = |text: &str| length(text, style.weight, style.height) <= room;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            if !fits(&line) && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(letter);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_to_the_room_and_none_is_lost() {
        let words = "Cold strings destroy the input of C1 of-a-very-long-word-that-fits-nowhere-at-all";
        let lines = broken(words, BODY, 30.0);
        assert!(lines.len() > 2);
        assert!(lines.iter().all(|line| length(line, BODY.weight, BODY.height) <= 30.0), "{lines:?}");
        let letters = |text: &str| text.chars().filter(|letter| !letter.is_whitespace()).collect::<String>();
        assert_eq!(letters(&lines.concat()), letters(words));
        assert!(broken("  ", BODY, 30.0).is_empty());
    }
}
