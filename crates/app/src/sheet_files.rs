//! The sheets of a project as the files that people hand on: SVG, PDF or DXF by the ending of a name, several where one is
//! not enough. For the command and for the window alike.
//!
//! What is drawn is the `drawing` crate's, how it is packed the `pack` crate's, and how it looks the window's
//! `look.rs`, so that paper and screen never differ. Nothing is written here.

use crate::engine::Derived;
use crate::window::areas::draft::sheet::look;
use lineside_core::project::Project;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::Look;
use lineside_drawing::sheets::{Division, Sheet, sheets};
use lineside_drawing::svg::{self, Palette};
use lineside_pack::dxf;
use lineside_pack::pdf::{self, PdfFault};
use std::path::{Path, PathBuf};

/// The language of what stands on a sheet.
const LANGUAGE: &str = "en";

/// What a sheet is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One drawing for screens and the web.
    Svg,
    /// Pages, all sheets in one file.
    Pdf,
    /// A drawing for drafting programs.
    Dxf,
}

impl Form {
    /// The form that the ending of a name asks for.
    pub fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_lowercase().as_str() {
            "svg" => Some(Self::Svg),
            "pdf" => Some(Self::Pdf),
            "dxf" => Some(Self::Dxf),
            _ => None,
        }
    }
}

/// The looks of a sheet that is handed on: as on the screen, without marks of findings.
pub fn look_of(project: &Project, derived: &Derived) -> Look {
    let (mut look, _) = look::of(project, derived);
    look.marks.clear();
    look
}

/// The sheets of a project.
pub fn set_of(project: &Project, look: &Look, division: Division) -> Vec<Sheet> {
    sheets(project, look, &Routes::new(&project.circuit), division)
}

/// A sheet of a set, with its number.
pub type Numbered<'a> = (usize, &'a Sheet);

/// The sheets with their numbers.
pub fn numbered(set: &[Sheet]) -> Vec<Numbered<'_>> {
    (1..).zip(set).collect()
}

/// How the files of several sheets are named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Naming {
    /// As was asked for.
    AsAsked,
    /// With the number of each sheet: `cabin-2.svg` for `cabin.svg`.
    Numbers,
}

/// A file that is to be written.
pub struct SheetFile {
    /// Where.
    pub path: PathBuf,
    /// The title of the sheet; empty where all sheets are in it or there is but one.
    pub title: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// The files of some sheets: one in all for PDF, else one for each.
pub fn files(
    chosen: &[Numbered<'_>],
    form: Form,
    (path, naming): (&Path, Naming),
    name: &str,
) -> Result<Vec<SheetFile>, PdfFault> {
    if form == Form::Pdf {
        let titles: Vec<String> = chosen.iter().map(|it| bookmark(it, name)).collect();
        let pages: Vec<pdf::Page<'_>> = chosen
            .iter()
            .zip(&titles)
            .map(|((_, sheet), title)| pdf::Page { drawing: &sheet.drawing, title })
            .collect();
        let bytes = pdf::write(&pages, &Palette::PRINT, name, LANGUAGE)?;
        return Ok(vec![SheetFile { path: path.to_owned(), title: String::new(), bytes }]);
    }
    let file = |(number, sheet): &Numbered<'_>| {
        let text = match form {
            Form::Dxf => dxf::write(&sheet.drawing),
            Form::Svg | Form::Pdf => svg::write(&sheet.drawing, &Palette::PRINT, name),
        };
        let path = match naming {
            Naming::AsAsked => path.to_owned(),
            Naming::Numbers => with_number(path, *number),
        };
        SheetFile { path, title: sheet.title.clone(), bytes: text.into_bytes() }
    };
    Ok(chosen.iter().map(file).collect())
}

/// What the bookmark of a page says.
fn bookmark((number, sheet): &Numbered<'_>, name: &str) -> String {
    if sheet.title.is_empty() { name.to_owned() } else { format!("{number} {}", sheet.title) }
}

/// The name of the file of a sheet: `cabin-2.svg` for `cabin.svg`.
fn with_number(path: &Path, number: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-{number}.{ending}"))
}
