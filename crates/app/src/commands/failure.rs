//! Why a command could not do its work, in words for the person who typed it: what was wrong, where, what was
//! expected, what to do, and the path last.
//!
//! The exit code that goes with it is decided in `main.rs`.

use crate::disk::{OpenError, SaveError};
use crate::own_stock::OwnStockFault;
use lineside_core::edit::Refusal;
use lineside_core::file::ReadError;
use lineside_core::units::text;
use lineside_pack::pdf::PdfFault;
use std::path::PathBuf;

/// Why a command could not do its work.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The command line was not understood.
    #[error("{}", .0.trim_end())]
    Usage(String),
    /// There is no such file; `instead` is a command that was perhaps meant.
    #[error("there is no such file; {}: {}", missing_advice(.instead.as_ref()), .path.display())]
    Missing {
        /// Which file.
        path: PathBuf,
        /// The command that it resembles.
        instead: Option<&'static str>,
    },
    /// It may not be read.
    #[error(
        "the file may not be read; ask whoever owns it, or copy it to a folder of your own: {}",
        .0.display()
    )]
    Forbidden(PathBuf),
    /// It is a folder.
    #[error("a project is a file, and this is a folder; name the .lineside file in it: {}", .0.display())]
    Folder(PathBuf),
    /// What stands in it is no project.
    #[error("{}", content(.error, .name))]
    Content {
        /// What is wrong.
        error: ReadError,
        /// The file, as it was named.
        name: String,
    },
    /// The system could not read it.
    #[error("the file could not be read ({reason}): {name}")]
    Unreadable {
        /// In the system's words.
        reason: String,
        /// The file, as it was named.
        name: String,
    },
    /// The window wants a file.
    #[error("the window opens files only, not standard input; save the project in a file and name it")]
    WindowFromStandardInput,
    /// The window could not be opened.
    #[error("the window could not be opened ({0}); the commands work without one: see lineside --help")]
    Window(String),
    /// A sheet would take the place of a project.
    #[error(
        "the sheet would take the place of a project file; give it a name that ends in .svg: {}",
        .0.display()
    )]
    SheetOverProject(PathBuf),
    /// Several sheets, but room for one.
    #[error("{0} sheets cannot go to standard output; choose one with --sheet, or write to a file")]
    SheetsToStream(usize),
    /// A number beyond the last.
    #[error("there is no sheet {wanted}; the drawing has {count}")]
    NoSuchSheet {
        /// As asked.
        wanted: u16,
        /// How many there are.
        count: usize,
    },
    /// Sheets are only written as SVG.
    #[error("a sheet is written as SVG, PDF or DXF; give it a name that ends in .svg, .pdf or .dxf: {}", .0.display())]
    SheetEnding(PathBuf),
    /// A page to take home under a name that is none of a page.
    #[error("{}: the page is HTML; expected a name that ends in .html", .0.display())]
    WalkEnding(PathBuf),
    /// The sheet could not be made a PDF.
    #[error("the sheet was not written: {0}")]
    Pdf(PdfFault),
    /// A review under a name that tells no form for it.
    #[error("a review is written as PDF, HTML or text; give it a name that ends in .pdf, .html or .txt, or mend the project with --fix: {}", .0.display())]
    ReviewEnding(PathBuf),
    /// The review could not be set on pages.
    #[error("the review was not written: {0}")]
    ReviewPages(PdfFault),
    /// The review could not be written.
    #[error("the review was not written: {0}")]
    Review(SaveError),
    /// The sheet could not be written.
    #[error("the sheet was not written: {0}")]
    Sheet(#[from] SaveError),
    /// The sheet could not be written to something that is no file.
    #[error("the sheet could not be written ({reason}): {}", path.display())]
    SheetStream {
        /// In the system's words.
        reason: String,
        /// Where to.
        path: PathBuf,
    },
    /// The project lacks what a year needs.
    #[error("there is no year, because something is missing:{}\nin {name}", listed(reasons))]
    NoYear {
        /// What is missing, a sentence each.
        reasons: Vec<String>,
        /// The file, as it was named.
        name: String,
    },
    /// The brief lacks what a search needs.
    #[error("nothing can be proposed, because something is missing:{}\nin {name}", listed(reasons))]
    NoSearch {
        /// What is missing, a sentence each.
        reasons: Vec<String>,
        /// The file, as it was named.
        name: String,
    },
    /// A table that goes with a project could not be read.
    #[error("it was not read because of {}:{}\nin {name}", faults(reasons.len()), listed(reasons))]
    Import {
        /// What is wrong, a sentence each.
        reasons: Vec<String>,
        /// The file, as it was named.
        name: String,
    },
    /// There is no such generic climate at the site.
    #[error("no such climate stands in at this site: {asked}; there {}", climates(here))]
    NoClimate {
        /// What was asked for.
        asked: String,
        /// Those that are found there.
        here: Vec<String>,
    },
    /// A changed brief could not be made.
    #[error("the brief was left as it was: {0}")]
    Brief(Refusal),
    /// The project with the changed brief could not be written.
    #[error("the project was not written: {0}")]
    Briefed(SaveError),
    /// One's own stock.
    #[error(transparent)]
    OwnStock(#[from] OwnStockFault),
    /// Hours are only written as CSV.
    #[error("the table is written as CSV; give it a name that ends in .csv: {}", .0.display())]
    TableEnding(PathBuf),
    /// The hours could not be written.
    #[error("the table was not written: {0}")]
    Table(SaveError),
    /// A mended project has a name of its own.
    #[error("the written project would take the place of the one that was read; give it another name: {}", .0.display())]
    MendedOverProject(PathBuf),
    /// A mended project is a project file.
    #[error("the written project is a project file; give it a name that ends in .lineside: {}", .0.display())]
    MendedEnding(PathBuf),
    /// The mended project could not be written.
    #[error("the project was not written: {0}")]
    Mended(SaveError),
    /// A file of that name is there already.
    #[error("a file of that name is there already, and nothing was written; name another folder, or give --replace: {}", .0.display())]
    ProposalThere(PathBuf),
    /// The folder for the candidates could not be made.
    #[error("the folder for the candidates could not be made ({reason}): {}", path.display())]
    ProposalFolder {
        /// In the system's words.
        reason: String,
        /// Where.
        path: PathBuf,
    },
    /// A candidate could not be written.
    #[error("the candidate was not written: {0}")]
    Proposal(SaveError),
    /// The circuit could not be laid out anew.
    #[error("the circuit could not be laid out ({0}); draw it without --tidy")]
    Tidy(Refusal),
    /// No item of stock has such a name.
    #[error("no item of stock is called so, in whole or in part; lineside stock lists them all: “{0}”")]
    NoItem(String),
    /// Several items of stock have such a name.
    #[error("the name fits {}; say which: “{asked}”{}", several(names.len()), listed(names))]
    SeveralItems {
        /// What was asked for.
        asked: String,
        /// The items that fit.
        names: Vec<String>,
    },
    /// There is no such rule.
    #[error(
        "there is no such rule; {}lineside rules lists them all: “{id}”",
        instead.map_or_else(String::new, |id| format!("perhaps {id} was meant; "))
    )]
    NoRule {
        /// What was asked for.
        id: String,
        /// The rule whose id is nearest.
        instead: Option<&'static str>,
    },
    /// The output could not be written.
    #[error("the output could not be written completely: {0}")]
    Output(String),
    /// A table or a stock item in the program could not be read; its tests read all of them.
    #[error("the program is damaged, please install it again: {0}")]
    Damaged(String),
}

impl Failure {
    /// A file that could not be opened.
    pub fn opening(error: OpenError, path: PathBuf) -> Self {
        let name = path.display().to_string();
        match error {
            OpenError::Missing(_) => Self::Missing { path, instead: None },
            OpenError::Forbidden(_) => Self::Forbidden(path),
            OpenError::NotAFile(_) => Self::Folder(path),
            OpenError::Content(error) => Self::Content { error, name },
            OpenError::System { reason, .. } => Self::Unreadable { reason, name },
        }
    }
}

fn missing_advice(instead: Option<&&str>) -> String {
    match instead {
        Some(command) => format!("perhaps the command lineside {command} was meant"),
        None => "check the name and the folder".to_owned(),
    }
}

/// Every fault of a file, a line for each, and the file last.
fn content(error: &ReadError, name: &str) -> String {
    match error {
        ReadError::Faults(faults) => {
            let lines: Vec<String> = faults.iter().map(|fault| format!("  {fault}")).collect();
            let lines = lines.join("\n");
            let count = match faults.len() {
                1 => "this fault".to_owned(),
                many => format!("these {} faults", text::count(many)),
            };
            format!("the project was not read because of {count}:\n{lines}\nin {name}")
        }
        ReadError::TooLarge { found, limit } => format!(
            "the file is too large for a project: {} bytes, where at most {} are expected; \
             it is probably another kind of file: {name}",
            text::count(*found),
            text::count(*limit)
        ),
        ReadError::Empty | ReadError::NotText { .. } | ReadError::Newer { .. } => format!("{error}: {name}"),
    }
}

fn faults(count: usize) -> String {
    if count == 1 { "this".to_owned() } else { format!("these {} faults", text::count(count)) }
}

fn climates(here: &[String]) -> String {
    if here.is_empty() {
        return "its latitude, longitude and elevation must be given first".to_owned();
    }
    format!("{} {}", if here.len() == 1 { "is" } else { "are" }, here.join(", "))
}

fn several(count: usize) -> String {
    format!("{} items of stock", text::count(count))
}

fn listed(names: &[String]) -> String {
    names.iter().flat_map(|name| ["\n  ", name]).collect()
}
