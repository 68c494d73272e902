//! The faces of the window, shipped in the binary; nothing is taken from the machine, so that text looks
//! the same everywhere.

use egui::{Context, FontData, FontDefinitions, FontFamily, FontId};
use std::sync::Arc;

/// Source Sans 3 Regular, under the Open Font License.
pub const REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3-Regular.ttf");
/// Source Sans 3 SemiBold, under the Open Font License.
pub const SEMIBOLD: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3-SemiBold.ttf");

/// Points of ordinary words.
pub const BODY: f32 = 15.0;
/// Points of the smallest words that matter.
pub const SMALL: f32 = 13.5;
/// Points of headings of panels.
pub const HEADING: f32 = 16.0;

/// The heavier cut, for tags, headings and chief results.
pub fn strong() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// Ordinary words.
pub fn body() -> FontId {
    FontId::proportional(BODY)
}

/// The smallest words that matter.
pub fn small() -> FontId {
    FontId::proportional(SMALL)
}

/// Installs the faces.
pub fn install(ctx: &Context) {
    let mut fonts = FontDefinitions::empty();
    fonts.font_data.insert("regular".to_owned(), Arc::new(FontData::from_static(REGULAR)));
    fonts.font_data.insert("semibold".to_owned(), Arc::new(FontData::from_static(SEMIBOLD)));
    fonts.families.insert(FontFamily::Proportional, vec!["regular".to_owned()]);
    fonts.families.insert(FontFamily::Monospace, vec!["regular".to_owned()]);
    fonts.families.insert(strong(), vec!["semibold".to_owned(), "regular".to_owned()]);
    ctx.set_fonts(fonts);
}
