//! How widgets look: egui's style made from the tokens and the faces.
//!
//! Colors are in `tokens.rs`, faces in `fonts.rs`.

use super::fonts;
use super::tokens::Tokens;
use egui::{
    Context, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke, Style, TextStyle, Theme, Vec2,
    Visuals, style, vec2,
};

/// Height of a row that can be clicked.
pub const ROW: f32 = 26.0;

/// Installs both themes.
pub fn install(ctx: &Context) {
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| apply(style, theme));
    }
    ctx.options_mut(|options| {
        options.zoom_with_keyboard = false;
        options.fallback_theme = Theme::Light;
    });
}

fn apply(style: &mut Style, theme: Theme) {
    let tokens = Tokens::of(theme);
    for (name, font) in &mut style.text_styles {
        *font = match name {
            TextStyle::Heading => FontId::new(fonts::HEADING, fonts::strong()),
            TextStyle::Small => fonts::small(),
            TextStyle::Body | TextStyle::Button | TextStyle::Name(_) => fonts::body(),
            TextStyle::Monospace => FontId::new(fonts::BODY, FontFamily::Monospace),
        };
    }
    style.visuals = visuals(tokens, theme);
    style.animation_time = 0.0;
    style.scroll_animation = style::ScrollAnimation::none();
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.35;
    style.compact_menu_style = false;
    spacing(&mut style.spacing);
}

fn spacing(spacing: &mut style::Spacing) {
    spacing.item_spacing = vec2(8.0, 5.0);
    spacing.button_padding = vec2(9.0, 3.0);
    spacing.interact_size = vec2(24.0, ROW);
    spacing.window_margin = Margin::same(16);
    spacing.menu_margin = Margin::same(6);
    spacing.indent = 16.0;
    spacing.combo_width = 60.0;
    spacing.tooltip_width = 320.0;
    spacing.scroll =
        style::ScrollStyle { bar_width: 8.0, floating_width: 4.0, ..style::ScrollStyle::floating() };
}

fn visuals(tokens: &Tokens, theme: Theme) -> Visuals {
    let base = if theme == Theme::Dark { Visuals::dark() } else { Visuals::light() };
    let shadow = Shadow { offset: [0, 4], blur: 14, spread: 0, color: tokens.shadow };
    let mut visuals = Visuals {
        override_text_color: None,
        weak_text_color: Some(tokens.soft_ink),
        hyperlink_color: tokens.accent,
        faint_bg_color: tokens.panel,
        extreme_bg_color: tokens.card,
        text_edit_bg_color: Some(tokens.card),
        code_bg_color: tokens.panel,
        warn_fg_color: tokens.correction,
        error_fg_color: tokens.danger,
        window_corner_radius: CornerRadius::same(6),
        menu_corner_radius: CornerRadius::same(5),
        window_fill: tokens.card,
        window_stroke: Stroke::new(1.0, tokens.line),
        panel_fill: tokens.panel,
        window_shadow: shadow,
        popup_shadow: shadow,
        button_frame: true,
        ..base
    };
    visuals.selection.bg_fill = tokens.accent_ground;
    visuals.selection.stroke = Stroke::new(1.0, tokens.accent);
    visuals.text_cursor.stroke = Stroke::new(1.5, tokens.accent);
    visuals.text_cursor.blink = false;
    let round = CornerRadius::same(4);
    let state = |fill, edge, ink| style::WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, edge),
        fg_stroke: Stroke::new(1.0, ink),
        corner_radius: round,
        expansion: 0.0,
    };
    visuals.widgets.noninteractive = state(tokens.panel, tokens.line, tokens.ink);
    visuals.widgets.inactive = state(tokens.card, tokens.line, tokens.ink);
    visuals.widgets.hovered = state(tokens.card, tokens.soft_ink, tokens.ink);
    visuals.widgets.active = state(tokens.accent_ground, tokens.accent, tokens.ink);
    visuals.widgets.open = state(tokens.card, tokens.soft_ink, tokens.ink);
    visuals
}

/// A button without a frame, for menus and strips: quiet until the pointer is on it.
pub fn quiet(style: &mut Style) {
    for state in [&mut style.visuals.widgets.inactive, &mut style.visuals.widgets.noninteractive] {
        state.bg_stroke = Stroke::NONE;
        state.weak_bg_fill = egui::Color32::TRANSPARENT;
    }
    style.visuals.widgets.hovered.bg_stroke = Stroke::NONE;
    style.visuals.widgets.open.bg_stroke = Stroke::NONE;
    style.spacing.button_padding = Vec2::new(8.0, 3.0);
}
