//! Symbols of formulas with their subscripts: `V_bus,max` as V with a small “bus,max” at its foot.

use super::fonts;
use egui::text::{LayoutJob, TextFormat};
use egui::{Align, Color32, FontId, Galley, Pos2, Ui, pos2};
use std::sync::Arc;

/// A piece of a formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Piece<'a> {
    Plain(&'a str),
    Foot(&'a str),
}

/// Cuts a formula into what stands on the line and what stands at its foot.
fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('_') {
        let (before, after) = rest.split_at(at);
        let after = after.strip_prefix('_').unwrap_or(after);
        let end = after
            .char_indices()
            .find(|(i, c)| !(c.is_alphanumeric() || (*c == ',' && continues(after, *i))))
            .map_or(after.len(), |(i, _)| i);
        let (foot, next) = after.split_at(end);
        found.push(Piece::Plain(before));
        found.push(Piece::Foot(foot));
        rest = next;
    }
    found.push(Piece::Plain(rest));
    found.retain(|piece| !matches!(piece, Piece::Plain("") | Piece::Foot("")));
    found
}

/// A comma belongs to a subscript only when a letter follows at once.
fn continues(text: &str, comma: usize) -> bool {
    text.get(comma + 1..).and_then(|rest| rest.chars().next()).is_some_and(char::is_alphanumeric)
}

/// A formula on one line, cut off where there is no room.
pub fn layout(ui: &Ui, text: &str, font: &FontId, color: Color32, room: f32) -> Arc<Galley> {
    let mut job = LayoutJob::default();
    let foot = FontId::new((font.size * 0.76).max(fonts::SMALL * 0.76), font.family.clone());
    for piece in pieces(text) {
        let (words, font, valign) = match piece {
            Piece::Plain(words) => (words, font.clone(), Align::Center),
            Piece::Foot(words) => (words, foot.clone(), Align::BOTTOM),
        };
        job.append(words, 0.0, TextFormat { font_id: font, color, valign, ..TextFormat::default() });
    }
    job.wrap.max_rows = 1;
    job.wrap.max_width = room.max(12.0);
    job.wrap.break_anywhere = true;
    ui.painter().layout_job(job)
}

/// How wide a symbol is.
pub fn width(ui: &Ui, text: &str, font: &FontId) -> f32 {
    layout(ui, text, font, Color32::TRANSPARENT, f32::INFINITY).size().x
}

/// Paints a symbol with the middle of its line at a point.
pub fn paint(ui: &Ui, left_middle: Pos2, text: &str, font: &FontId, color: Color32) {
    let galley = layout(ui, text, font, color, f32::INFINITY);
    let at = pos2(left_middle.x, left_middle.y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, color);
}

/// A formula where no subscripts can be set: without the marks for them.
pub fn plain(text: &str) -> String {
    pieces(text)
        .into_iter()
        .map(|piece| match piece {
            Piece::Plain(words) => words.to_owned(),
            Piece::Foot(words) => format!(" {words}"),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn subscripts_end_where_the_word_ends() {
        use Piece::{Foot, Plain};
        assert_eq!(pieces("V_bus,max"), [Plain("V"), Foot("bus,max")]);
        assert_eq!(pieces("n × V_oc × (1 + β)"), [Plain("n × V"), Foot("oc"), Plain(" × (1 + β)")]);
        assert_eq!(pieces("max(I_a, I_b)"), [Plain("max(I"), Foot("a"), Plain(", I"), Foot("b"), Plain(")")]);
        assert_eq!(pieces("plain"), [Plain("plain")]);
        assert_eq!(pieces(""), []);
        assert_eq!(plain("V_oc"), "V oc");
    }
}
