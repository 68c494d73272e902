//! Draws the contact sheet of all symbols, the sheets of the tests and the demos as pictures, to be looked at:
//! `cargo run -p lineside-drawing --example look -- FOLDER`.

#[path = "../tests/support/mod.rs"]
mod support;

use lineside_core::project::Project;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Detail, Furniture, Look, PaperSize, inks_by_terminals, sheet};
use lineside_drawing::svg::{self, Palette};
use std::path::{Path, PathBuf};
use support::Outcome;

fn main() -> Outcome<()> {
    let folder = std::env::args().nth(1).ok_or("name a folder for the pictures")?;
    let folder = PathBuf::from(&folder);
    let cabin = support::cabin()?;
    let contact = support::contact_sheet()?;
    let look = Look { marks: support::cabin_marks(&cabin), ..inked(&cabin) };
    let page = Look { furniture: Furniture::With, ..look.clone() };
    let bare = Look { detail: Detail::NoText, ..Look::default() };
    picture(&folder, "contact", &contact, &bare)?;
    picture(&folder, "cabin", &cabin, &look)?;
    picture(&folder, "page", &cabin, &page)?;
    for (name, text) in support::DEMOS {
        let mut project = lineside_core::file::read(text)?;
        picture(&folder, &format!("demo-{name}"), &project, &inked(&project))?;
        if let Some(edit) = lineside_drawing::tidy::tidy(&project.circuit, project.units) {
            lineside_core::edit::apply(&mut project, edit)?;
        }
        picture(&folder, &format!("tidy-{name}"), &project, &inked(&project))?;
        let page = Look { furniture: Furniture::With, paper: Some(PaperSize::A2), ..inked(&project) };
        picture(&folder, &format!("page-{name}"), &project, &page)?;
    }
    Ok(())
}

fn inked(project: &Project) -> Look {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    Look { inks, bars, ..Look::default() }
}

fn picture(folder: &Path, name: &str, project: &Project, look: &Look) -> Outcome<()> {
    let drawing = sheet(project, look, &Routes::new(&project.circuit));
    let text = svg::write(&drawing, &Palette::SHEET, name);
    std::fs::write(folder.join(format!("{name}.svg")), &text)?;
    render(&text, &folder.join(format!("{name}.png")))
}

/// Pixels in a millimeter.
const SCALE: f32 = 6.0;

fn render(text: &str, to: &Path) -> Outcome<()> {
    use resvg::{tiny_skia, usvg};
    let mut options = usvg::Options::default();
    let fonts = options.fontdb_mut();
    fonts.load_font_data(include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf").to_vec());
    fonts.load_font_data(include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf").to_vec());
    let tree = usvg::Tree::from_str(text, &options)?;
    // usvg counts 96 pixels in an inch.
    let scale = SCALE * 25.4 / 96.0;
    let size = tree.size().to_int_size().scale_by(scale).ok_or("an empty picture")?;
    let mut picture = tiny_skia::Pixmap::new(size.width(), size.height()).ok_or("too large a picture")?;
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut picture.as_mut());
    picture.save_png(to)?;
    Ok(())
}
