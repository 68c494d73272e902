//! What `lineside brief` can be asked.

use super::UnitOptions;
use clap::Args;
use std::path::PathBuf;

const BRIEF_ENDINGS: &str = "\
Examples:
  lineside brief cabin.lineside
  lineside brief cabin.lineside --loads loads.csv --weather site.epw -o new.lineside
  lineside brief cabin.lineside --climate maritime -o new.lineside

A load table has the columns name, watts and hours, and as wanted quantity, days, start, surge, power factor, current
(AC or DC), waits (yes or no) and months (such as Nov-Feb). A year of metered hours (month, day, hour, ac, dc in
watts) becomes a line for each month. Rows that cannot be read are listed and left out.
Exit codes: 0 the brief is complete; 1 something is missing or was refused; 2 the input could not be used.";

/// What `brief` can be asked.
#[derive(Debug, Args)]
#[command(after_help = BRIEF_ENDINGS)]
pub struct BriefOptions {
    /// Project file, or - for standard input
    pub file: PathBuf,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Load table that takes the place of the brief's
    #[arg(long, value_name = "TABLE")]
    pub loads: Option<PathBuf>,
    /// Hourly weather file whose months take the place of the brief's
    #[arg(long, value_name = "HOURS", conflicts_with = "climate")]
    pub weather: Option<PathBuf>,
    /// Generic climate that stands in for weather records
    #[arg(long, value_name = "NAME")]
    pub climate: Option<String>,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
    /// Project file to write, with the changed brief
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
}
