//! What `lineside stock` can be asked.

use super::{ProjectOptions, UnitOptions, kind_parser};
use clap::{Args, Subcommand};
use lineside_core::kinds::Kind;
use std::path::PathBuf;

const STOCK_ENDINGS: &str = "\
Examples:
  lineside stock
  lineside stock --kind inverter
  lineside stock \"Nickel-iron cell, 400 Ah\"
  lineside stock \"400 Ah\"                    any part of a name that fits one item only
  lineside stock fit cabin.lineside C1       what fits in the place of C1, best first
  lineside stock export -o stock.csv
  lineside stock import ours.csv --dry-run   what of a table could be taken, and why not the rest";

/// What `stock` can be asked.
#[derive(Debug, Args)]
#[command(after_help = STOCK_ENDINGS, args_conflicts_with_subcommands = true, disable_help_subcommand = true)]
pub struct StockOptions {
    /// What to do instead of listing.
    #[command(subcommand)]
    pub action: Option<StockAction>,
    /// Name of an item, or a part of it that fits one item only
    pub name: Option<String>,
    /// Only this kind of equipment
    #[arg(long, value_name = "KIND", value_parser = kind_parser(), ignore_case = true, hide_possible_values = true)]
    pub kind: Option<Kind>,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

/// What to do with stock as a table.
#[derive(Debug, Subcommand)]
pub enum StockAction {
    /// Write stock as CSV: a line for each item, a column for each datum
    Export(ExportOptions),
    /// Take items from CSV into your own stock, which stands beside the built-in one
    ///
    /// The columns equipment and name must be there; the others are called by the key or the label of a datum, with a
    /// unit in brackets where its values have none. Every row that is not taken is told with its reason.
    Import(ImportOptions),
    /// Rank the stock by how it fits where a block stands or into a run, with why the others do not
    ///
    /// Every item of the block's kind is tried in its place on a copy, with its runs and settings; the rules then say what
    /// goes and what comes. What fits stands first; among equals what costs less, where the price book knows, then what
    /// has most to spare at the limit that it comes nearest to.
    Fit(FitOptions),
}

const FIT_ENDINGS: &str = "\
Examples:
  lineside stock fit cabin.lineside C1                  controllers in the place of C1
  lineside stock fit cabin.lineside W3 --kind fuse      fuses in W3, where it begins
  lineside stock fit cabin.lineside W3.to               breakers in W3, where it ends

Exit codes: 0 something fits; 1 nothing does; 2 the file could not be used.";

/// What `stock fit` can be asked.
#[derive(Debug, Args)]
#[command(after_help = FIT_ENDINGS)]
pub struct FitOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Tag of the block in whose place items are tried, or of the run into which they would go
    pub tag: String,
    /// Which kind is tried in a run; breakers when it is not given
    #[arg(long, value_name = "KIND", value_parser = kind_parser(), ignore_case = true, hide_possible_values = true)]
    pub kind: Option<Kind>,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

/// What `stock export` can be asked.
#[derive(Debug, Args)]
pub struct ExportOptions {
    /// File to write, ending in .csv, or - for standard output
    #[arg(short, long, value_name = "OUT")]
    pub output: PathBuf,
    /// Only this kind of equipment
    #[arg(long, value_name = "KIND", value_parser = kind_parser(), ignore_case = true, hide_possible_values = true)]
    pub kind: Option<Kind>,
    /// Your own stock only
    #[arg(long)]
    pub own: bool,
}

/// What `stock import` can be asked.
#[derive(Debug, Args)]
pub struct ImportOptions {
    /// Table to read, or - for standard input
    pub file: PathBuf,
    /// Heading of the table and the column that it stands for, such as Voc=open_circuit_voltage
    #[arg(long, value_name = "THEIRS=OURS")]
    pub map: Vec<String>,
    /// Kind of every row, for a table that has no column equipment
    #[arg(long, value_name = "KIND", value_parser = kind_parser(), ignore_case = true, hide_possible_values = true)]
    pub kind: Option<Kind>,
    /// Only tell what would be taken
    #[arg(long)]
    pub dry_run: bool,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}
