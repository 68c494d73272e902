//! What can be asked for on the command line, with the help texts.
//!
//! What the commands do is in the file of each; what went wrong is told by `failure.rs`.

mod brief;
mod drawing;
mod stock;
mod walk;
mod year;

pub use brief::BriefOptions;
pub use drawing::{DrawOptions, Page, SheetCount, Symbols};
pub use stock::{ExportOptions, FitOptions, ImportOptions, StockAction, StockOptions};
pub use walk::WalkOptions;
pub use year::{Doubt, YearOptions};

use clap::builder::PossibleValuesParser;
use clap::builder::TypedValueParser;
use clap::{Args, Parser, Subcommand};
use lineside_core::kinds::Kind;
use lineside_core::project::RuleSet;
use lineside_core::units::UnitSystem;
use lineside_rules::Severity;
use std::path::PathBuf;

const ENDINGS: &str = "\
Examples:
  lineside                                    open the demo project in the window
  lineside cabin.lineside                     open a project in the window
  lineside check cabin.lineside               check it without a window
  lineside check cabin.lineside --json        the same for another program to read
  lineside check cabin.lineside -o review.pdf the review to print
  lineside labels cabin.lineside              the labels that it needs
  lineside draw cabin.lineside -o cabin.svg   write its sheet
  lineside brief cabin.lineside               what it must serve, and what is missing
  lineside year cabin.lineside                its energy year
  lineside propose cabin.lineside             whole systems for its brief
  lineside rules string-cold-voltage          what a rule demands, and why

A FILE written as - is read from standard input. A file that is called like a command is opened as ./check.

Exit codes: 0 clean; 1 the project has dangers or corrections; 2 the input could not be used. A sheet that draw has
written is a success, whatever its findings.

Lineside does not replace a reviewer: the adopted code with its local changes, the instructions of the
equipment and a licensed professional come first.";

/// Designs battery-based solar systems and checks them while they are drawn.
///
/// With no command the window opens. The commands do their work without a window and without a display.
#[derive(Debug, Parser)]
#[command(name = "lineside", version, after_help = ENDINGS, args_conflicts_with_subcommands = true)]
#[command(disable_help_subcommand = true, subcommand_value_name = "COMMAND")]
pub struct CommandLine {
    /// Project to open in the window; the files opened last, or a demo, when none is named
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// What to do instead.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What to do without a window.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// List what breaks a rule, worst first
    ///
    /// ▲ danger: can hurt somebody or destroy equipment. ■ correction: a reviewer would reject it. ○ advice:
    /// legal, but a good designer would want to know.
    Check(CheckOptions),
    /// Print voltages, currents, ratings, losses, short circuits, switching orders and flows
    ///
    /// A zone is everything that one voltage joins: what lies between converters. Currents are the greatest
    /// continuous ones by the rule set. Flows are those of the project's operating cases.
    Study(StudyOptions),
    /// List the labels that the system needs, with their lines and where to put them up
    ///
    /// Voltages and currents are printed in whole units, rounded up. With --make the project is written in which they
    /// have been made, so that check tells when one is out of date.
    Labels(LabelsOptions),
    /// Write the sheet as SVG, PDF or DXF
    Draw(DrawOptions),
    /// Tell how the power flows, case by case, in plain words; write the page that a customer takes home
    ///
    /// The cases are made from the circuit: sun high, bank full, a cloud, evening, bank low, supply lost, bypass, array
    /// locked off, emergency. The project's own cases follow. Every figure is computed.
    Walk(WalkOptions),
    /// Show what the brief asks for and what it lacks; take over loads and weather from files
    ///
    /// Loads come as CSV or as a spreadsheet writes them, weather as TMY3, EPW or our own CSV, or a generic climate
    /// stands in until there are records. With -o the changed project is written; without it nothing changes.
    Brief(BriefOptions),
    /// Compute the energy year hour by hour, and how it is spread over random years
    ///
    /// Loads, site and weather records come from the brief, everything else from the sheet. What neither says is
    /// assumed and told. Made weather meets the monthly records exactly; the same seed gives the same bytes.
    Year(YearOptions),
    /// Search the stock for whole systems that answer the brief
    ///
    /// Every combination of bank, array, controllers, inverters and generator is tried; what is left goes through the
    /// typical year, and the candidates that nothing beats in price, unmet share, generator hours and cost over their
    /// life are listed. The sheet is not needed; where it has strings or a panel, their lie and voltage are taken.
    Propose(ProposeOptions),
    /// List the built-in equipment, or show one item with all its data
    Stock(StockOptions),
    /// List the rules, or explain one: the harm, the reason, the clauses, what to do
    Rules(RulesOptions),
}

/// Which project, and by which code.
#[derive(Debug, Args)]
pub struct ProjectOptions {
    /// Project file, or - for standard input
    pub file: PathBuf,
    /// Rule set to check by; the project's own when not given
    #[arg(long = "rules", value_name = "SET", value_parser = rule_set_parser(), ignore_case = true)]
    pub rule_set: Option<RuleSet>,
}

/// Which units are written.
#[derive(Debug, Args)]
pub struct UnitOptions {
    /// Units in which lengths, temperatures and masses are written
    #[arg(long, value_name = "SYSTEM", value_parser = units_parser())]
    pub units: Option<UnitSystem>,
}

const CHECK_ENDINGS: &str = "\
Examples:
  lineside check cabin.lineside
  lineside check cabin.lineside --working           with the numbers behind each finding
  lineside check cabin.lineside --severity danger   dangers only
  lineside check cabin.lineside --rules iec         by another code than the project's own
  lineside check - --json < cabin.lineside
  lineside check cabin.lineside -o review.pdf       the review on paper, with workings and remedies
  lineside check cabin.lineside --fix -o mended.lineside    mend it and list what was done

Exit codes: 0 clean or advice only; 1 dangers or corrections, listed or not; 2 the file could not be used.
With --fix they tell of the mended project.";

/// What `check` can be asked.
#[derive(Debug, Args)]
#[command(after_help = CHECK_ENDINGS)]
pub struct CheckOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// List only findings that are at least so severe
    #[arg(long, value_name = "SEVERITY", value_parser = severity_parser())]
    pub severity: Option<Severity>,
    /// Print the numbers behind each finding, line by line
    #[arg(long)]
    pub working: bool,
    /// Mend the dangers and corrections that can be mended, and list what was done; every step has been tried
    #[arg(long, requires = "output", conflicts_with_all = ["working", "severity"])]
    pub fix: bool,
    /// With --fix: file for the mended project, ending in .lineside; the project's own file stays as it is
    ///
    /// Without --fix: file for the review, ending in .pdf, .html or .txt, with every finding, its numbers, clause and
    /// remedies, and accepted advice with its reasons
    #[arg(short, long, value_name = "OUT")]
    pub output: Option<PathBuf>,
    /// Print JSON, always with the numbers; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

const STUDY_ENDINGS: &str = "\
Examples:
  lineside study cabin.lineside
  lineside study cabin.lineside --units si
  lineside study cabin.lineside --json

Exit codes: 0 clean or advice only; 1 the project has dangers or corrections; 2 the file could not be used.";

/// What `study` can be asked.
#[derive(Debug, Args)]
#[command(after_help = STUDY_ENDINGS)]
pub struct StudyOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

const LABELS_ENDINGS: &str = "\
Examples:
  lineside labels cabin.lineside
  lineside labels cabin.lineside --json
  lineside labels cabin.lineside --make -o labeled.lineside    and note that they have been made

Exit codes: 0 clean or advice only; 1 the project has dangers or corrections; 2 the file could not be used.";

/// What `labels` can be asked.
#[derive(Debug, Args)]
#[command(after_help = LABELS_ENDINGS)]
pub struct LabelsOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// Make the labels: the project is written with their list
    #[arg(long, requires = "output")]
    pub make: bool,
    /// File for that project, ending in .lineside; the project's own file stays as it is
    #[arg(short, long, value_name = "LABELED", requires = "make")]
    pub output: Option<PathBuf>,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

const PROPOSE_ENDINGS: &str = "\
Examples:
  lineside propose cabin.lineside
  lineside propose cabin.lineside --top 3
  lineside propose cabin.lineside --json
  lineside propose cabin.lineside --top 3 -o candidates    and the whole circuit of each as a project file

Every candidate that is listed can be drawn with all its devices, conductors, bonds and enclosures, without a danger or a
correction under the rule set. Files that are there are left alone unless --replace is given; then nothing is written.

Exit codes: 0 there are candidates; 1 none answers the brief; 2 the brief lacks what the search needs.";

/// What `propose` can be asked.
#[derive(Debug, Args)]
#[command(after_help = PROPOSE_ENDINGS)]
pub struct ProposeOptions {
    /// Which project, and by which code.
    #[command(flatten)]
    pub project: ProjectOptions,
    /// Units.
    #[command(flatten)]
    pub units: UnitOptions,
    /// How many candidates are shown, cheapest first
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub top: usize,
    /// Seed of the made weather
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
    /// Folder to write the whole circuit of each candidate to that is shown
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Replace files of candidates that are there already
    #[arg(long, requires = "output")]
    pub replace: bool,
}

const RULES_ENDINGS: &str = "\
Examples:
  lineside rules
  lineside rules --rules iec
  lineside rules string-cold-voltage";

/// What `rules` can be asked.
#[derive(Debug, Args)]
#[command(after_help = RULES_ENDINGS)]
pub struct RulesOptions {
    /// Id of a rule, as it stands in the list
    pub id: Option<String>,
    /// Only rules of this rule set
    #[arg(long = "rules", value_name = "SET", value_parser = rule_set_parser(), ignore_case = true)]
    pub rule_set: Option<RuleSet>,
    /// Print JSON; docs/json.md describes it
    #[arg(long)]
    pub json: bool,
}

/// Listed before parsing so that a mistyped word is answered with the words that would do.
const UNLISTED: &str = "none of the listed words";

fn rule_set_parser() -> impl TypedValueParser<Value = RuleSet> {
    PossibleValuesParser::new(RuleSet::ALL.map(RuleSet::key))
        .try_map(|key| RuleSet::from_key(&key.to_lowercase()).ok_or(UNLISTED))
}

fn severity_parser() -> impl TypedValueParser<Value = Severity> {
    PossibleValuesParser::new(Severity::ALL.map(Severity::key))
        .try_map(|key| Severity::ALL.into_iter().find(|severity| severity.key() == key).ok_or(UNLISTED))
}

fn kind_parser() -> impl TypedValueParser<Value = Kind> {
    let keys: Vec<&str> = Kind::ALL.iter().map(|kind| kind.key()).collect();
    PossibleValuesParser::new(keys).try_map(|key| Kind::from_key(&key.to_lowercase()).ok_or(UNLISTED))
}

fn units_parser() -> impl TypedValueParser<Value = UnitSystem> {
    PossibleValuesParser::new(["us", "si"])
        .map(|key| if key == "us" { UnitSystem::Us } else { UnitSystem::Si })
}
