//! A sentence at the pointer: why something was refused, or what would become of it.

use super::tokens::Tokens;
use egui::{Area, Context, Frame, Id, Label, Margin, Order, Pos2, RichText, Stroke, vec2};

/// How a sentence is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// It tells what would happen.
    Tells,
    /// It tells why nothing will.
    Refuses,
}

/// Shows a sentence beside a point of the screen.
pub fn notice_ui(ctx: &Context, tokens: &Tokens, salt: &str, text: &str, at: Pos2, tone: Tone) {
    let (edge, ink) = match tone {
        Tone::Tells => (tokens.line, tokens.ink),
        Tone::Refuses => (tokens.danger, tokens.danger),
    };
    Area::new(Id::unique(("notice", salt)))
        .order(Order::Tooltip)
        .fixed_pos(at + vec2(16.0, 18.0))
        .constrain_to(ctx.content_rect().shrink(8.0))
        .interactable(false)
        .fade_in(false)
        .show(ctx, |ui| {
            Frame::popup(ui.style())
                .stroke(Stroke::new(1.0, edge))
                .inner_margin(Margin::symmetric(10, 6))
                .show(ui, |ui| {
                    ui.set_max_width(340.0);
                    ui.add(Label::new(RichText::new(text).color(ink)).wrap());
                });
        });
}
