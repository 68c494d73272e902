//! What `walk` can be asked.

use super::{ProjectOptions, UnitOptions};
use clap::Args;
use std::path::PathBuf;

const WALK_ENDINGS: &str = "\
Examples:
  lineside walk home.lineside                  what happens in each step, in plain words
  lineside walk home.lineside --technician     with volts and amperes
  lineside walk home.lineside -o walk.html     the page to take home";

/// What `walk` can be asked.
#[derive(Debug, Args)]
#[command(after_help = WALK_ENDINGS)]
pub struct WalkOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Tell volts and amperes of every converter, bank and supply too
    #[arg(long)]
    pub technician: bool,
    /// File for the page, ending in .html: one file that works without a network, on a phone and on paper
    #[arg(short, long, value_name = "PAGE")]
    pub output: Option<PathBuf>,
}
