//! What `draw` can be asked.

use super::ProjectOptions;
use clap::{Args, ValueEnum};
use lineside_drawing::sheet::PaperSize;
use lineside_drawing::sheets::Division;
use std::path::PathBuf;

const DRAW_ENDINGS: &str = "\
Examples:
  lineside draw cabin.lineside -o cabin.svg
  lineside draw cabin.lineside -o cabin.svg --findings
  lineside draw cabin.lineside -o cabin.pdf --tidy --page a2
  lineside draw cabin.lineside -o cabin.dxf
  lineside draw cabin.lineside -o cabin.pdf --sheets by-place   a page for each place
  lineside draw - -o - < cabin.lineside > cabin.svg

Where one sheet would make the lettering smaller than 1.8 mm, the drawing is cut by places into several, and every run that
goes from one to another has a flag on both. A PDF has a page for each; SVG and DXF have a file for each, whose names end
in the number of the sheet, and are listed. On standard output goes a single sheet.

The sheet is written whether or not the project is clean, and an older sheet of that name is replaced.
Exit codes: 0 written, whatever the project has of findings; 2 not written.";

/// What `draw` can be asked.
#[derive(Debug, Args)]
#[command(after_help = DRAW_ENDINGS)]
pub struct DrawOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// File to write, ending in .svg, .pdf or .dxf, or - for SVG on standard output
    #[arg(short, long, value_name = "SHEET")]
    pub output: PathBuf,
    /// Mark the findings on the sheet
    #[arg(long)]
    pub findings: bool,
    /// Standard by which the symbols are drawn
    #[arg(long, value_enum, value_name = "STANDARD", default_value_t = Symbols::Iec)]
    pub symbols: Symbols,
    /// Lay the circuit out anew before it is drawn; the project's file stays as it is
    #[arg(long)]
    pub tidy: bool,
    /// Paper; the usual one for the project's units when it is not given
    #[arg(long, value_enum, value_name = "PAPER", conflicts_with = "bare")]
    pub page: Option<Page>,
    /// Draw the circuit alone, without frame, title block, key and cautions
    #[arg(long)]
    pub bare: bool,
    /// Into how many sheets the drawing is cut
    #[arg(long, value_enum, value_name = "HOW", default_value_t = SheetCount::AsNeeded, conflicts_with = "bare")]
    pub sheets: SheetCount,
    /// Write this sheet of the set alone
    #[arg(long, value_name = "NUMBER", conflicts_with = "bare", value_parser = clap::value_parser!(u16).range(1..))]
    pub sheet: Option<u16>,
}

/// Into how many sheets a drawing is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetCount {
    /// One if its lettering can be read, else as few as it takes
    AsNeeded,
    /// One, however small
    One,
    /// One for each place
    ByPlace,
}

impl SheetCount {
    /// As the drawing knows it.
    pub const fn division(self) -> Division {
        match self {
            Self::AsNeeded => Division::AsNeeded,
            Self::One => Division::One,
            Self::ByPlace => Division::ByPlace,
        }
    }
}

/// Paper for a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Page {
    /// 420 × 297 mm
    A3,
    /// 594 × 420 mm
    A2,
    /// 841 × 594 mm
    A1,
    /// 1189 × 841 mm
    A0,
    /// 17 × 11 in
    AnsiB,
    /// 22 × 17 in
    AnsiC,
    /// 34 × 22 in
    AnsiD,
    /// 44 × 34 in
    AnsiE,
}

impl Page {
    /// As the drawing knows it.
    pub const fn size(self) -> PaperSize {
        match self {
            Self::A3 => PaperSize::A3,
            Self::A2 => PaperSize::A2,
            Self::A1 => PaperSize::A1,
            Self::A0 => PaperSize::A0,
            Self::AnsiB => PaperSize::AnsiB,
            Self::AnsiC => PaperSize::AnsiC,
            Self::AnsiD => PaperSize::AnsiD,
            Self::AnsiE => PaperSize::AnsiE,
        }
    }
}

/// By which standard symbols are drawn, where the two differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Symbols {
    /// IEC 60617
    Iec,
    /// IEEE 315
    Ieee,
}
