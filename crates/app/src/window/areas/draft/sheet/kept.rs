//! What was painted of the sheet in the frame before, kept as long as nothing of it has changed.
//!
//! Lines and areas are kept as one mesh, words as their shapes; most frames only move the pointer.

use egui::epaint::tessellator::Tessellator;
use egui::layers::PaintList;
use egui::{Color32, Context, Id, LayerId, Mesh, Order, Painter, Rect, Shape, emath::TSTransform};
use lineside_core::circuit::BlockId;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Everything on which the picture depends.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    /// Counts the states of the drawing.
    pub revision: u64,
    /// The view of the sheet.
    pub camera: TSTransform,
    /// Where on the screen.
    pub rect: Rect,
    /// The theme, by its paper.
    pub paper: Color32,
    /// Words keep clear of the frames of what is selected.
    pub selected: BTreeSet<BlockId>,
}

/// The picture.
#[derive(Default)]
pub struct Kept {
    key: Option<(Key, f32)>,
    /// How full the glyphs' texture was; when it gets emptier, the glyphs of kept words lie elsewhere.
    fill: f32,
    lines: Arc<Mesh>,
    words: Vec<Shape>,
}

impl Kept {
    /// Paints what is kept, made anew when it has changed.
    pub fn paint(&mut self, painter: &Painter, key: Key, make: impl FnOnce(&Painter)) {
        let ctx = painter.ctx();
        let fill = fill_of(ctx);
        let key = Some((key, ctx.pixels_per_point()));
        if self.key != key || fill < self.fill {
            self.key = key;
            self.make(ctx, painter.clip_rect(), make);
        }
        // What was made may have needed new glyphs.
        self.fill = fill_of(ctx);
        painter.add(Shape::Mesh(Arc::clone(&self.lines)));
        painter.extend(self.words.iter().cloned());
    }

    fn make(&mut self, ctx: &Context, clip: Rect, make: impl FnOnce(&Painter)) {
        let layer = LayerId::new(Order::Background, Id::unique("the sheet, before it is shown"));
        make(&Painter::new(ctx.clone(), layer, clip));
        let painted: PaintList = ctx.graphics_mut(|layers| std::mem::take(layers.entry(layer)));
        let mut options = ctx.options(|options| options.tessellation_options);
        // Its discs lie in the texture of the glyphs, which may change.
        options.prerasterized_discs = false;
        let mut tessellator = Tessellator::new(ctx.pixels_per_point(), options, [1, 1], Vec::new());
        tessellator.set_clip_rect(clip);
        let mut lines = Mesh::default();
        self.words.clear();
        for entry in painted.all_entries() {
            if matches!(entry.shape, Shape::Text(_)) {
                self.words.push(entry.shape.clone());
            } else {
                tessellator.tessellate_shape(entry.shape.clone(), &mut lines);
            }
        }
        lines.vertices.shrink_to_fit();
        lines.indices.shrink_to_fit();
        self.lines = Arc::new(lines);
    }
}

/// How full the texture of the glyphs is.
#[expect(clippy::redundant_closure_for_method_calls, reason = "the method is bound to one lifetime")]
fn fill_of(ctx: &Context) -> f32 {
    ctx.fonts(|fonts| fonts.font_atlas_fill_ratio())
}
