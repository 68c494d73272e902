//! The shapes that several commands print as JSON: quantities, parts, workings. `docs/json.md` describes them.
//!
//! Fields stand in the order in which they are printed. Numbers are in the unit beside them; the text is what
//! a person would read, in the units of the project.

use lineside_core::circuit::Circuit;
use lineside_core::units::{Quantity, UnitSystem, text};
use lineside_core::working::{Line, Origin, Working};
use lineside_rules::{Amount, Part, Report, Severity};
use serde::Serialize;

/// Version of everything that the commands print as JSON. It grows when a field changes its meaning or goes;
/// a field that is added leaves it as it is.
pub const VERSION: u32 = 1;

/// A quantity, or words in its place.
#[derive(Debug, Serialize)]
pub struct Figure {
    /// The number in `unit`; `None` when there are only words.
    value: Option<f64>,
    /// Symbol of the unit; empty for a pure number, `None` when there are only words.
    unit: Option<&'static str>,
    /// As people read it.
    text: String,
}

impl Figure {
    /// Of a quantity.
    pub fn of(quantity: impl Into<Quantity>, units: UnitSystem) -> Self {
        let quantity = quantity.into();
        Self {
            value: Some(quantity.value),
            // What is kept is written in SI units.
            unit: Some(text::symbol(quantity.unit, UnitSystem::Si)),
            text: text::figure(quantity, units),
        }
    }
    /// Of a rating as it stands on a nameplate.
    pub fn rating(quantity: impl Into<Quantity>, units: UnitSystem) -> Self {
        let quantity = quantity.into();
        Self { text: text::plain(quantity, units), ..Self::of(quantity, units) }
    }
    /// As people read it.
    pub fn text(&self) -> &str {
        &self.text
    }
    /// Of what was found or is allowed.
    pub fn amount(amount: &Amount, units: UnitSystem) -> Self {
        match amount {
            Amount::Quantity(quantity) => Self::of(*quantity, units),
            Amount::Words(words) => Self { value: None, unit: None, text: words.clone() },
        }
    }
}

/// A part of a project.
#[derive(Debug, Serialize)]
pub struct PartName {
    /// What it is.
    kind: &'static str,
    /// What it is called.
    name: String,
}

impl PartName {
    /// Of a part.
    pub fn of(part: Part, circuit: &Circuit) -> Self {
        let kind = match part {
            Part::Block(_) => "block",
            Part::Run(_) => "run",
            Part::RunEnd(..) => "run_end",
            Part::Place(_) => "place",
            Part::Project => "project",
        };
        Self { kind, name: part.name(circuit) }
    }
}

/// One line of a working.
#[derive(Debug, Serialize)]
pub struct WorkingLine {
    meaning: String,
    symbol: String,
    /// Empty for what was given.
    formula: String,
    #[serde(flatten)]
    figure: Figure,
    /// Where it came from, as people read it; empty for what was computed.
    origin: String,
    origin_kind: &'static str,
}

/// The lines of a working.
pub fn working(working: &Working, units: UnitSystem) -> Vec<WorkingLine> {
    working.lines.iter().map(|line| working_line(line, units)).collect()
}

fn working_line(line: &Line, units: UnitSystem) -> WorkingLine {
    let origin_kind = match line.origin {
        Origin::Nameplate(_) => "nameplate",
        Origin::Setting(_) => "setting",
        Origin::Brief => "brief",
        Origin::Place(_) => "place",
        Origin::Table(_) => "table",
        Origin::Working(_) => "working",
        Origin::Assumed(_) => "assumed",
        Origin::Computed => "computed",
    };
    WorkingLine {
        meaning: line.meaning.to_string(),
        symbol: line.symbol.to_string(),
        formula: line.formula.to_string(),
        figure: Figure::of(line.value, units),
        origin: line.origin.to_string(),
        origin_kind,
    }
}

/// How many findings there are of each severity.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Counts {
    danger: usize,
    correction: usize,
    advice: usize,
}

impl Counts {
    /// Of a report.
    pub fn of(report: &Report) -> Self {
        let count = |severity| report.findings.iter().filter(|finding| finding.severity == severity).count();
        Self {
            danger: count(Severity::Danger),
            correction: count(Severity::Correction),
            advice: count(Severity::Advice),
        }
    }
    /// Of one severity.
    pub const fn get(self, severity: Severity) -> usize {
        match severity {
            Severity::Danger => self.danger,
            Severity::Correction => self.correction,
            Severity::Advice => self.advice,
        }
    }
    /// Whether a reviewer would have something to say.
    pub const fn objects(self) -> bool {
        self.danger + self.correction > 0
    }
}

/// What every result begins with.
#[derive(Debug, Serialize)]
pub struct Head {
    /// Which command printed it.
    lineside: &'static str,
    version: u32,
}

impl Head {
    /// Of a command.
    pub const fn of(command: &'static str) -> Self {
        Self { lineside: command, version: VERSION }
    }
}
