//! Paints a picture without a screen and writes it as PNG.

use super::paint::paint;
use super::picture::Picture;
use super::raster::{Canvas, Textures};
use crate::window::fonts;
use egui::{Color32, Context, LayerId, Painter, RawInput, Rect, Vec2};

/// Dots for each point: twice as fine as an ordinary screen.
const FINENESS: f32 = 2.0;

/// The file; empty if the machine has not the memory for it.
pub fn write(picture: &Picture, ground: Color32) -> Vec<u8> {
    painted(picture.size, ground, |painter, rect| paint(painter, rect.min, picture))
}

/// A file of that size, in points, on which something is painted.
pub fn painted(size: Vec2, ground: Color32, draw: impl Fn(&Painter, Rect)) -> Vec<u8> {
    let ctx = Context::default();
    fonts::install(&ctx);
    let rect = Rect::from_min_size(egui::Pos2::ZERO, size);
    let mut textures = Textures::default();
    let mut shapes = Vec::new();
    // Faces come into force with the second pass.
    for _ in 0..2 {
        let mut input = RawInput { screen_rect: Some(rect), ..RawInput::default() };
        input.viewports.entry(input.viewport_id).or_default().native_pixels_per_point = Some(FINENESS);
        let mut output = ctx.run_pass(input, |ctx| {
            let painter = ctx.layer_painter(LayerId::background());
            painter.rect_filled(rect, 0.0, ground);
            draw(&painter, rect);
        });
        textures.take(&mut output.textures_delta);
        shapes = std::mem::take(&mut output.shapes);
        output.drop_without_applying_deltas();
    }
    let mut canvas = Canvas::new(dots(size.x), dots(size.y));
    canvas.paint_all(&ctx.tessellate(shapes, FINENESS), &textures, FINENESS);
    encoded(&canvas).unwrap_or_default()
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few thousand dots")]
fn dots(points: f32) -> usize {
    (points * FINENESS).round().max(1.0) as usize
}

fn encoded(canvas: &Canvas) -> Result<Vec<u8>, png::EncodingError> {
    let (width, height) = canvas.size();
    let mut bytes = Vec::new();
    let side = |dots: usize| u32::try_from(dots).unwrap_or(u32::MAX);
    let mut encoder = png::Encoder::new(&mut bytes, side(width), side(height));
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&canvas.bytes())?;
    writer.finish()?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::plot::picture::Fill;
    use crate::window::tokens::Tokens;
    use egui::{Align2, pos2};

    #[test]
    fn the_picture_is_in_the_file() {
        let mut picture = Picture::new(Vec2::new(60.0, 20.0));
        let bar = Rect::from_min_size(pos2(10.0, 5.0), Vec2::new(10.0, 10.0));
        picture.bar(bar, Tokens::LIGHT.danger, Fill::Solid);
        picture.words(pos2(30.0, 10.0), Align2::LEFT_CENTER, "W", Tokens::LIGHT.ink);
        let bytes = write(&picture, Tokens::LIGHT.sheet);
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((info.width, info.height), (120, 40));
        let at = |x: usize, y: usize| &pixels[(y * 120 + x) * 4..(y * 120 + x) * 4 + 4];
        assert_eq!((at(30, 20), at(2, 2)), (&[0xB3, 0x26, 0x1E, 255][..], &[0xF7, 0xF3, 0xEA, 255][..]));
        // The letter is somewhere in the right half.
        assert!((60..120).any(|x| (0..40).any(|y| at(x, y)[0] < 120)));
    }
}
