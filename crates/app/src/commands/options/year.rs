//! What `lineside year` can be asked.

use super::{ProjectOptions, UnitOptions};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

const YEAR_ENDINGS: &str = "\
Examples:
  lineside year cabin.lineside
  lineside year cabin.lineside --years 200 --doubt model   with doubt about the model
  lineside year cabin.lineside --csv hours.csv             every hour of the typical year
  lineside year cabin.lineside --weather site.epw          the hours of a file in place of made ones
  lineside year cabin.lineside --json

P50 is met in half of the random years, P90 is met or bettered in nine years of ten.
Exit codes: 0 clean or advice only; 1 the project has dangers or corrections; 2 there is no year, and why.";

/// What `year` can be asked.
#[derive(Debug, Args)]
#[command(after_help = YEAR_ENDINGS)]
pub struct YearOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Hourly weather file (TMY3, EPW or our own CSV) in place of the made typical year
    #[arg(long, value_name = "HOURS")]
    pub weather: Option<PathBuf>,
    /// Metered loads (month,day,hour,ac,dc in watts) in place of the brief's table
    #[arg(long, value_name = "METERED")]
    pub loads: Option<PathBuf>,
    /// Random years to go through besides the typical one; 0 for none
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u32).range(0..=10_000))]
    pub years: u32,
    /// Seed of the made weather
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// By what random years differ
    #[arg(long, value_enum, value_name = "WHAT", default_value_t = Doubt::Weather)]
    pub doubt: Doubt,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
    /// File to write every hour of the typical year to, ending in .csv, or - for standard output
    #[arg(long, value_name = "OUT", conflicts_with = "json")]
    pub csv: Option<PathBuf>,
}

/// By what random years differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Doubt {
    /// Weather alone
    Weather,
    /// Weather, and what is not known about the model
    Model,
}
