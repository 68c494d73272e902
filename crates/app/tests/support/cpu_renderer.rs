//! Renders a window under test on the processor, with the painter that pictures are exported by.

use egui::TexturesDelta;
use lineside::window::plot::raster::{Canvas, Textures};

/// The renderer.
#[derive(Default)]
pub struct CpuRenderer {
    textures: Textures,
}

impl egui_kittest::TestRenderer for CpuRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        self.textures.take(delta);
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "pixels of a window")]
    fn render(&mut self, ctx: &egui::Context, output: &egui::FullOutput) -> Result<image::RgbaImage, String> {
        let scale = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * scale;
        let (width, height) = (size.x.round() as usize, size.y.round() as usize);
        let mut canvas = Canvas::new(width, height);
        canvas.paint_all(&ctx.tessellate(output.shapes.clone(), scale), &self.textures, scale);
        image::RgbaImage::from_raw(width as u32, height as u32, canvas.bytes())
            .ok_or_else(|| "the picture has no size".to_owned())
    }
}
