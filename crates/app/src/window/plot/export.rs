//! Plots as files: PNG, SVG, CSV.

use super::picture::Picture;
use super::{png_file, svg_file};
use egui::Color32;

/// The kind of a file that a plot is written to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A picture of dots.
    Png,
    /// A drawing that stays sharp.
    Svg,
    /// The figures, as a table.
    Csv,
}

impl FileKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Png, Self::Svg, Self::Csv];
    /// The ending of its name.
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Png => "png",
            Self::Svg => "svg",
            Self::Csv => "csv",
        }
    }
    /// As menus name it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Png => "Picture, PNG…",
            Self::Svg => "Drawing, SVG…",
            Self::Csv => "Figures, CSV…",
        }
    }
}

/// What is written.
#[derive(Clone, Debug)]
pub enum Content {
    /// A picture, the ground that it lies on, and its title.
    Picture(Picture, Color32, String),
    /// A text as it stands.
    Text(String),
}

/// A file to be written.
#[derive(Clone, Debug)]
pub struct Export {
    /// The name to offer.
    pub name: String,
    /// Its kind.
    pub kind: FileKind,
    /// What is written.
    pub content: Content,
}

impl Export {
    /// The bytes of the file. Takes some milliseconds for a picture: not for a frame.
    pub fn bytes(&self) -> Vec<u8> {
        match (&self.content, self.kind) {
            (Content::Text(text), _) => text.clone().into_bytes(),
            (Content::Picture(picture, ground, _), FileKind::Png) => png_file::write(picture, *ground),
            (Content::Picture(picture, ground, title), FileKind::Svg | FileKind::Csv) => {
                svg_file::write(picture, *ground, title).into_bytes()
            }
        }
    }
}

/// A name for a file, from words: small letters with hyphens.
pub fn file_name(words: &str, kind: FileKind) -> String {
    let mut name = String::new();
    for letter in words.chars().flat_map(char::to_lowercase) {
        if letter.is_alphanumeric() {
            name.push(letter);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    format!("{}.{}", name.trim_end_matches('-'), kind.ending())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain() {
        assert_eq!(file_name("Juniper Ridge: Worst week!", FileKind::Svg), "juniper-ridge-worst-week.svg");
        assert_eq!(file_name("  ", FileKind::Csv), ".csv");
    }
}
