//! `lineside draw FILE -o sheet.svg`: the sheet as a file, SVG, PDF or DXF by the ending of its name; several where one
//! is not enough.
//!
//! What is drawn is the `drawing` crate's, and how it looks is the window's `look.rs`, so that paper and screen
//! never differ.

use super::failure::Failure;
use super::options::{DrawOptions, Page, SheetCount, Symbols};
use super::shapes::Counts;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::engine::Derived;
use crate::window::areas::draft::sheet::look;
use lineside_core::edit::apply;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::Furniture;
use lineside_drawing::sheets::{Division, Sheet, sheets};
use lineside_drawing::svg::{self, Palette};
use lineside_drawing::symbols::Form;
use lineside_drawing::tidy;

use lineside_pack::{dxf, pdf};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

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
    // A stream takes one sheet; nobody measures the lettering of what goes into a pipe.
    let to_stream = input::is_stream(&options.output) || is_device(&options.output);
    let as_one = to_stream && options.sheet.is_none() && options.sheets == SheetCount::AsNeeded;
    let division = if as_one { Division::One } else { options.sheets.division() };
    let set = sheets(&loaded.project, &look, &routes, division);
    let chosen = chosen(&set, options.sheet)?;
    if to_stream && chosen.len() > 1 {
        return Err(Failure::SheetsToStream(set.len()));
    }
    let name = loaded.project.name();
    match format {
        Format::Pdf => {
            let bookmarks: Vec<String> = chosen.iter().map(|it| bookmark(it, name)).collect();
            let pages: Vec<pdf::Page<'_>> = chosen
                .iter()
                .zip(&bookmarks)
                .map(|((_, sheet), title)| pdf::Page { drawing: &sheet.drawing, title })
                .collect();
            let bytes = pdf::write(&pages, &Palette::PRINT, name, LANGUAGE).map_err(Failure::Pdf)?;
            write(&options.output, &bytes)?;
        }
        Format::Svg | Format::Dxf => write_files(&chosen, format, set.len(), options, name)?,
    }
    let left_out: usize = chosen.iter().map(|(_, sheet)| sheet.drawing.left_out.len()).sum();
    if left_out > 0 {
        let count = text::count(left_out);
        output::remark(&format!(
            "no room for the words of {count} blocks or runs; try --tidy, or move them apart"
        ));
    }
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}

/// Lays a circuit out anew.
fn lay_out(project: &mut Project) -> Result<(), Failure> {
    match tidy::sheet(project).map(|edit| apply(project, edit)) {
        Some(Err(refusal)) => Err(Failure::Tidy(refusal)),
        Some(Ok(_)) | None => Ok(()),
    }
}

/// A sheet of a set, with its number.
type Numbered<'a> = (usize, &'a Sheet);

/// The sheets that are to be written, with their numbers.
fn chosen(set: &[Sheet], wanted: Option<u16>) -> Result<Vec<Numbered<'_>>, Failure> {
    let numbered = (1..).zip(set);
    let Some(wanted) = wanted else { return Ok(numbered.collect()) };
    let one: Vec<Numbered<'_>> = numbered.filter(|(number, _)| *number == usize::from(wanted)).collect();
    if one.is_empty() { Err(Failure::NoSuchSheet { wanted, count: set.len() }) } else { Ok(one) }
}

/// What the bookmark of a page says.
fn bookmark((number, sheet): &Numbered<'_>, name: &str) -> String {
    if sheet.title.is_empty() { name.to_owned() } else { format!("{number} {}", sheet.title) }
}

/// Writes a file for each sheet and tells their names where there are several.
fn write_files(
    chosen: &[Numbered<'_>],
    format: Format,
    count: usize,
    options: &DrawOptions,
    name: &str,
) -> Result<(), Failure> {
    for (number, sheet) in chosen {
        let bytes = match format {
            Format::Dxf => dxf::write(&sheet.drawing),
            Format::Svg | Format::Pdf => svg::write(&sheet.drawing, &Palette::PRINT, name),
        };
        if count == 1 || options.sheet.is_some() {
            return write(&options.output, bytes.as_bytes());
        }
        let path = numbered(&options.output, *number);
        write(&path, bytes.as_bytes())?;
        output::print(&format!("{}  {}\n", path.display(), sheet.title))?;
    }
    Ok(())
}

/// The name of the file of a sheet: `cabin-2.svg` for `cabin.svg`.
fn numbered(path: &Path, number: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{number}.{ending}"))
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
