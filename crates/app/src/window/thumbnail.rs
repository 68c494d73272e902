//! A small picture of a sheet, for the list of files opened last: painted aside, by the pens of the sheet itself.
//!
//! Where it is kept is `crate::thumbnails`'s.

use super::areas::draft::sheet::camera::Camera;
use super::brush::Brush;
use super::plot::png_file;
use super::tokens::{self, Tokens};
use crate::thumbnails::Thumbnails;
use egui::{ColorImage, Rect, Theme, Vec2};
use lineside_core::project::Project;
use lineside_drawing::display_list::Layer;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Look, sheet};
use std::path::PathBuf;
use std::thread::JoinHandle;

/// Its size in points.
pub const SIZE: Vec2 = Vec2::new(216.0, 128.0);

/// Makes and keeps the pictures of a project for both themes, on a thread of its own.
pub fn keep(thumbnails: &Thumbnails, project: &Project, of: PathBuf) -> JoinHandle<()> {
    let (thumbnails, project) = (thumbnails.clone(), project.clone());
    std::thread::spawn(move || {
        for theme in [Theme::Light, Theme::Dark] {
            thumbnails.keep(&of, theme, &picture(&project, Tokens::of(theme)));
        }
    })
}

/// The picture as PNG. Words would be too small to be read and are left out.
fn picture(project: &Project, tokens: &Tokens) -> Vec<u8> {
    let routes = Routes::new(&project.circuit);
    let drawing = sheet(project, &Look::default(), &routes);
    png_file::painted(SIZE, tokens.sheet, |painter, rect| {
        let mut camera = Camera::default();
        // The camera leaves a margin that is made for a window.
        camera.fit(Rect::from_center_size(rect.center(), SIZE + Vec2::splat(40.0)), drawing.bounds);
        let brush = Brush { camera: camera.to_screen(), tokens, painter };
        let groups = drawing.list.groups.iter();
        for group in groups.filter(|group| !matches!(group.layer, Layer::Words | Layer::Furniture)) {
            group.items.iter().for_each(|item| brush.item(item));
        }
    })
}

/// A picture as it comes from its file; `None` when it is damaged.
pub fn read(png: &[u8]) -> Option<ColorImage> {
    /// Larger ones are not ours.
    const MOST: u32 = 2_000;
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().ok()?;
    let info = reader.info();
    if info.width > MOST || info.height > MOST || info.color_type != png::ColorType::Rgba {
        return None;
    }
    let mut pixels = vec![0; reader.output_buffer_size()?];
    let frame = reader.next_frame(&mut pixels).ok()?;
    let size = [usize::try_from(frame.width).ok()?, usize::try_from(frame.height).ok()?];
    (pixels.len() == size.iter().product::<usize>() * 4).then(|| tokens::picture(size, &pixels))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::demo::Demo;

    #[test]
    fn a_picture_shows_the_sheet_and_is_read_again() {
        let image = read(&picture(&Demo::Hut.project(), &Tokens::DARK)).unwrap();
        assert_eq!(image.size, [432, 256]);
        let inked = image.pixels.iter().filter(|pixel| **pixel != Tokens::DARK.sheet).count();
        assert!(inked * 50 > image.pixels.len(), "{inked} of {}", image.pixels.len());
        assert!(read(b"no picture").is_none());
    }
}
