//! `lineside draw FILE -o sheet.svg`: the sheet as a file, SVG, PDF or DXF by the ending of its name.
//!
//! What is drawn is the `drawing` crate's, and how it looks is the window's `look.rs`, so that paper and screen
//! never differ.

use super::failure::Failure;
use super::options::{DrawOptions, Page, Symbols};
use super::shapes::Counts;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::engine::Derived;
use crate::window::areas::draft::sheet::look;
use lineside_core::edit::apply;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Furniture, sheet};
use lineside_drawing::svg::{self, Palette};
use lineside_drawing::symbols::Form;
use lineside_drawing::tidy;

use lineside_pack::{dxf, pdf};
use std::fs;
use std::io::Write;
use std::path::Path;

/// Draws a project and writes the sheet.
pub fn run(options: &DrawOptions) -> Result<Verdict, Failure> {
    let format = format_of(&options.output)?;
    let mut loaded = input::load(&options.project.file)?;
    if options.tidy {
        lay_out(&mut loaded.project)?;
    }
    let checked = super::checked(&loaded, &options.project)?;
    let counts = Counts::of(&checked.report);
    let derived = Derived::of(&loaded.project, checked, 0);
    let (mut look, _) = look::of(&loaded.project, &derived);
    if !options.findings {
        look.marks.clear();
    }
    look.form = match options.symbols {
        Symbols::Iec => Form::I,
        Symbols::Ieee => Form::A,
    };
    look.furniture = if options.bare { Furniture::Without } else { Furniture::With };
    look.paper = options.page.map(Page::size);
    let routes = Routes::new(&loaded.project.circuit);
    let drawing = sheet(&loaded.project, &look, &routes);
    let name = loaded.project.name();
    let bytes = match format {
        Format::Svg => svg::write(&drawing, &Palette::PRINT, name).into_bytes(),
        Format::Pdf => {
            let page = pdf::Page { drawing: &drawing, title: name };
            pdf::write(&[page], &Palette::PRINT, name, LANGUAGE).map_err(Failure::Pdf)?
        }
        Format::Dxf => dxf::write(&drawing).into_bytes(),
    };
    write(&options.output, &bytes)?;
    if !drawing.left_out.is_empty() {
        let count = text::count(drawing.left_out.len());
        eprintln!(
            "lineside: no room for the words of {count} blocks or runs; try --tidy, or move them apart"
        );
    }
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}

/// Lays a circuit out anew.
fn lay_out(project: &mut Project) -> Result<(), Failure> {
    match tidy::tidy(&project.circuit, project.units).map(|edit| apply(project, edit)) {
        Some(Err(refusal)) => Err(Failure::Tidy(refusal)),
        Some(Ok(_)) | None => Ok(()),
    }
}

/// What a sheet is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Svg,
    Pdf,
    Dxf,
}

/// The language of what stands on a sheet.
const LANGUAGE: &str = "en";

/// The format that a name asks for. Refuses names under which a sheet would be mistaken for something else, before any
/// work is done.
fn format_of(path: &Path) -> Result<Format, Failure> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("svg") => Ok(Format::Svg),
        Some("pdf") => Ok(Format::Pdf),
        Some("dxf") => Ok(Format::Dxf),
        _ if input::is_stream(path) || is_device(path) => Ok(Format::Svg),
        Some("lineside") => Err(Failure::SheetOverProject(path.to_owned())),
        _ => Err(Failure::SheetEnding(path.to_owned())),
    }
}

/// Whether something stands there that is neither file nor folder, such as a pipe; it is written to, not
/// replaced.
fn is_device(path: &Path) -> bool {
    fs::metadata(path).is_ok_and(|facts| !facts.is_file() && !facts.is_dir())
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if input::is_stream(path) {
        return output::deliver(bytes);
    }
    if is_device(path) {
        let written = fs::OpenOptions::new().write(true).open(path).and_then(|mut to| to.write_all(bytes));
        return written
            .map_err(|error| Failure::SheetStream { reason: error.to_string(), path: path.to_owned() });
    }
    disk::save(path, bytes, None, Conflict::Overwrite)?;
    Ok(())
}
