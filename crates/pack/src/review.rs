//! A review: every finding with its numbers, its clause and its remedies, as pages, as HTML or as plain text.
//!
//! What stands in it is given as words; here they are only set. The pages are display lists like those of sheets, so that one
//! writer makes both.

mod flow;
mod html;
mod plain;
mod set;

pub use html::html;
pub use plain::text;

use crate::pdf::{self, Page, PdfFault};
use lineside_drawing::sheet::Drawing;
use lineside_drawing::svg::Palette;

/// Paper, standing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216 A4, 210 × 297 mm.
    A4,
    /// ANSI Y14.1 A, 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// Width and height, mm.
    pub const fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// The shape before an entry; it tells severity without color.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Filled triangle.
    Danger,
    /// Filled square.
    Correction,
    /// Open circle.
    Advice,
    /// None.
    Nothing,
}

impl Sign {
    /// As a letter.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Danger => "▲",
            Self::Correction => "■",
            Self::Advice => "○",
            Self::Nothing => "",
        }
    }
}

/// One line of a working.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// What the number is.
    pub meaning: String,
    /// Its symbol and how it was computed.
    pub formula: String,
    /// The number with its unit.
    pub figure: String,
    /// Where it came from.
    pub origin: String,
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// How bad.
    pub sign: Sign,
    /// What is wrong.
    pub title: String,
    /// What stands beside it: found, allowed, where, clause, rule, the reason for which it was accepted.
    pub facts: Vec<(String, String)>,
    /// The numbers.
    pub working: Vec<Line>,
    /// What would clear it.
    pub remedies: Vec<String>,
}

/// Entries under a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub title: String,
    /// What is said of all of them; may be empty.
    pub remark: String,
    /// The entries.
    pub entries: Vec<Entry>,
}

/// A review.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Review {
    /// The project.
    pub title: String,
    /// What it is: which rule set, which revision.
    pub facts: Vec<(String, String)>,
    /// How many findings there are.
    pub summary: String,
    /// The findings.
    pub sections: Vec<Section>,
    /// What a reader must know.
    pub cautions: Vec<String>,
    /// Stands at the foot of each page.
    pub foot: String,
}

/// The pages, drawn.
pub fn pages(review: &Review, paper: Paper) -> Vec<Drawing> {
    flow::pages(set::lines(review, paper), review, paper)
}

/// Writes the pages as PDF. `language` is a tag such as `en`.
pub fn pdf(review: &Review, paper: Paper, language: &str) -> Result<Vec<u8>, PdfFault> {
    let drawings = pages(review, paper);
    let titles: Vec<String> =
        (1..=drawings.len()).map(|number| format!("Page {number} of {}", drawings.len())).collect();
    let pages: Vec<Page<'_>> =
        drawings.iter().zip(&titles).map(|(drawing, title)| Page { drawing, title }).collect();
    let title = format!("Review of {}", review.title);
    pdf::write(&pages, &Palette::PRINT, &title, language)
}
