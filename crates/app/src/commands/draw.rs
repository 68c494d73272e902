//! `lineside draw FILE -o sheet.svg`: the sheet as a file, SVG, PDF or DXF by the ending of its name; several where one
//! is not enough.
//!
//! What is in the files is `sheet_files.rs`'s, so that the command and the window never differ.

use super::failure::Failure;
use super::options::{DrawOptions, Page, SheetCount, Symbols};
use super::shapes::Counts;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::engine::Derived;
use crate::sheet_files::{self, Naming, Numbered};
use crate::window::areas::draft::sheet::look;
use lineside_core::edit::apply;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_drawing::sheet::Furniture;
use lineside_drawing::sheets::{Division, Sheet};
use lineside_drawing::symbols::Form;
use lineside_drawing::tidy;
use std::fs;
use std::io::Write;
use std::path::Path;

/// Draws a project and writes the sheet. What is found does not change how it ends: the sheet is written.
pub fn run(options: &DrawOptions) -> Result<Verdict, Failure> {
    let form = form_of(&options.output)?;
    let mut loaded = input::load(&options.project.file)?;
    if options.tidy {
        lay_out(&mut loaded.project)?;
    }
    let checked = super::checked(&loaded, &options.project)?;
    let counts = Counts::of(&checked.report);
    let derived = Derived::of(&loaded.project, checked, 0);
    let mut look = if options.findings {
        look::of(&loaded.project, &derived).0
    } else {
        sheet_files::look_of(&loaded.project, &derived)
    };
    look.form = match options.symbols {
        Symbols::Iec => Form::I,
        Symbols::Ieee => Form::A,
    };
    look.furniture = if options.bare { Furniture::Without } else { Furniture::With };
    look.paper = options.page.map(Page::size);
    // A stream takes one sheet; nobody measures the lettering of what goes into a pipe.
    let to_stream = input::is_stream(&options.output) || is_device(&options.output);
    let as_one = to_stream && options.sheet.is_none() && options.sheets == SheetCount::AsNeeded;
    let division = if as_one { Division::One } else { options.sheets.division() };
    let set = sheet_files::set_of(&loaded.project, &look, division);
    let chosen = chosen(&set, options.sheet)?;
    if to_stream && chosen.len() > 1 {
        return Err(Failure::SheetsToStream(set.len()));
    }
    let is_one = set.len() == 1 || options.sheet.is_some();
    let naming = if is_one { Naming::AsAsked } else { Naming::Numbers };
    let name = loaded.project.name();
    let files = sheet_files::files(&chosen, form, (&options.output, naming), name).map_err(Failure::Pdf)?;
    for file in &files {
        write(&file.path, &file.bytes)?;
        if files.len() > 1 {
            output::print(&format!("{}  {}\n", file.path.display(), file.title))?;
        } else if !to_stream {
            output::remark(&written(&file.path, chosen.len()));
        }
    }
    let left_out: usize = chosen.iter().map(|(_, sheet)| sheet.drawing.left_out.len()).sum();
    if left_out > 0 {
        let count = text::count(left_out);
        output::remark(&format!(
            "no room for the words of {count} blocks or runs; try --tidy, or move them apart"
        ));
    }
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::Clean)
}

/// That a file was written, and with how many sheets.
fn written(path: &Path, sheets: usize) -> String {
    let path = path.display();
    if sheets == 1 {
        format!("sheet written to {path}")
    } else {
        format!("{} sheets written to {path}", text::count(sheets))
    }
}

/// Lays a circuit out anew.
fn lay_out(project: &mut Project) -> Result<(), Failure> {
    match tidy::sheet(project).map(|edit| apply(project, edit)) {
        Some(Err(refusal)) => Err(Failure::Tidy(refusal)),
        Some(Ok(_)) | None => Ok(()),
    }
}

/// The sheets that are to be written, with their numbers.
fn chosen(set: &[Sheet], wanted: Option<u16>) -> Result<Vec<Numbered<'_>>, Failure> {
    let all = sheet_files::numbered(set);
    let Some(wanted) = wanted else { return Ok(all) };
    let one: Vec<Numbered<'_>> =
        all.into_iter().filter(|(number, _)| *number == usize::from(wanted)).collect();
    if one.is_empty() { Err(Failure::NoSuchSheet { wanted, count: set.len() }) } else { Ok(one) }
}

/// The form that a name asks for. Refuses names under which a sheet would be mistaken for something else, before any
/// work is done.
fn form_of(path: &Path) -> Result<sheet_files::Form, Failure> {
    if let Some(form) = sheet_files::Form::of(path) {
        return Ok(form);
    }
    let is_project = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("lineside"));
    if input::is_stream(path) || is_device(path) {
        Ok(sheet_files::Form::Svg)
    } else if is_project {
        Err(Failure::SheetOverProject(path.to_owned()))
    } else {
        Err(Failure::SheetEnding(path.to_owned()))
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
