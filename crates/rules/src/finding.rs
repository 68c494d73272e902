//! What a rule reports: how bad, where, what was found, what is allowed, and the working.

use crate::rules::FOLLOWS_CHANGES;
use lineside_core::circuit::{BlockId, Circuit, PlaceId, RunId, Side};
use lineside_core::units::{Quantity, Unit, UnitSystem, text};
use lineside_core::working::Working;

/// How bad a finding is. The worst comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Can hurt somebody or destroy equipment.
    Danger,
    /// A reviewer would reject it.
    Correction,
    /// Legal, but a good designer would want to know.
    Advice,
}

impl Severity {
    /// All, worst first.
    pub const ALL: [Self; 3] = [Self::Danger, Self::Correction, Self::Advice];

    /// As it stands in JSON and on screen.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Correction => "correction",
            Self::Advice => "advice",
        }
    }
}

/// A part of the project that a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// A block.
    Block(BlockId),
    /// A run.
    Run(RunId),
    /// One end of a run.
    RunEnd(RunId, Side),
    /// A place.
    Place(PlaceId),
    /// The project as a whole: site or brief.
    Project,
}

impl Part {
    /// As files and commands write it: `C1`, `W3`, `W3.from`, a place's name, `project`.
    pub fn name(self, circuit: &Circuit) -> String {
        let run_tag = |id| circuit.run(id).map_or("?", |run| run.tag.as_str());
        match self {
            Self::Block(id) => circuit.block(id).map_or("?", |block| block.tag.as_str()).to_owned(),
            Self::Run(id) => run_tag(id).to_owned(),
            Self::RunEnd(id, side) => format!("{}.{}", run_tag(id), side.key()),
            Self::Place(id) => circuit.place(id).map_or("?", |place| place.name.as_str()).to_owned(),
            Self::Project => "project".to_owned(),
        }
    }
}

/// What was found or what is allowed: a quantity, or words where there is no number.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A quantity.
    Quantity(Quantity),
    /// Words.
    Words(String),
}

impl Amount {
    /// As people read it.
    pub fn show(&self, system: UnitSystem) -> String {
        match self {
            Self::Quantity(quantity) => text::figure(*quantity, system),
            Self::Words(words) => words.clone(),
        }
    }
}

impl<T: Into<Quantity>> From<T> for Amount {
    fn from(quantity: T) -> Self {
        Self::Quantity(quantity.into())
    }
}

/// Words in place of a number.
pub(crate) fn words(text: impl Into<String>) -> Amount {
    Amount::Words(text.into())
}

/// What a rule reports.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Id of the rule: `both-ends-disconnect`.
    pub rule: &'static str,
    /// How bad.
    pub severity: Severity,
    /// One sentence: what is wrong.
    pub title: String,
    /// The part where it is wrong; with the rule it names the finding.
    pub at: Part,
    /// A further distinction within the part, where one rule can speak twice of it: `equalize`.
    pub aspect: &'static str,
    /// Other parts that have to do with it.
    pub also: Vec<Part>,
    /// What was found.
    pub found: Amount,
    /// What is allowed.
    pub allowed: Amount,
    /// The clause that demands it, in the rule set in use; empty where it is engineering judgement.
    pub clause: &'static str,
    /// The numbers, line by line.
    pub working: Working,
}

impl Finding {
    /// Names the finding for good: rule and place, never a number in it.
    pub fn id(&self, circuit: &Circuit) -> String {
        let at = self.at.name(circuit);
        if self.aspect.is_empty() {
            format!("{}@{at}", self.rule)
        } else {
            format!("{}@{at}#{}", self.rule, self.aspect)
        }
    }

    /// The words before what was found and before what is allowed. What is printed is no limit, and what a count needs is none.
    pub fn words(&self) -> [&'static str; 2] {
        if self.rule != FOLLOWS_CHANGES {
            return ["found", "allowed"];
        }
        match &self.allowed {
            Amount::Quantity(quantity) if quantity.unit == Unit::One => ["made", "needed"],
            Amount::Quantity(_) => ["printed", "true"],
            Amount::Words(_) => ["found", "needed"],
        }
    }

    /// What was found and what is allowed, for columns headed so: with the words before them where they are others.
    pub fn cells(&self, system: UnitSystem) -> [String; 2] {
        let (found, allowed) = (self.found.show(system), self.allowed.show(system));
        match self.words() {
            ["found", "allowed"] => [found, allowed],
            [before, after] => [format!("{before} {found}"), format!("{after} {allowed}")],
        }
    }

    /// With what was found and what is allowed.
    #[must_use]
    pub fn against(mut self, found: impl Into<Amount>, allowed: impl Into<Amount>) -> Self {
        self.found = found.into();
        self.allowed = allowed.into();
        self
    }
    /// With another part that has to do with it.
    #[must_use]
    pub fn also(mut self, part: Part) -> Self {
        self.also.push(part);
        self
    }
    /// With further parts.
    #[must_use]
    pub fn also_all(mut self, parts: impl IntoIterator<Item = Part>) -> Self {
        self.also.extend(parts);
        self
    }
    /// With a distinction within its part.
    #[must_use]
    pub const fn aspect(mut self, aspect: &'static str) -> Self {
        self.aspect = aspect;
        self
    }
    /// With its numbers.
    #[must_use]
    pub fn working(mut self, working: Working) -> Self {
        self.working = working;
        self
    }

    /// Where it is, in words: `S1 → C1`.
    pub fn place_text(&self, circuit: &Circuit) -> String {
        let mut names = vec![self.at.name(circuit)];
        for part in &self.also {
            let name = part.name(circuit);
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(" → ")
    }

    /// Every part, the chief one first.
    pub fn parts(&self) -> impl Iterator<Item = Part> + '_ {
        std::iter::once(self.at).chain(self.also.iter().copied())
    }
}
