//! What a limit is: a value that a rule still accepts, and one just beyond that it does not.

use lineside_acceptance::sound::{changed, sound_by};
use lineside_acceptance::{Sheet, Verdict};
use lineside_core::project::RuleSet;
use lineside_core::units::Unit;
use lineside_rules::{Compared, Rule, Severity};

/// One rule on both sides of its limit.
pub struct Limit {
    /// The rule.
    pub rule: &'static str,
    /// By which rule sets.
    pub sets: Sets,
    /// Draws the circuit with a value.
    pub draw: Draw,
    /// A value that is accepted.
    pub passes: &'static str,
    /// A value that is not.
    pub fails: &'static str,
    /// What turns.
    pub turns: Turns,
    /// The part and aspect of the finding, as in its id, where the rule speaks of several; empty for any.
    pub at: &'static str,
    /// How bad the finding is, where it is not as bad as the rule can be.
    pub severity: Option<Severity>,
}

/// What turns between the two values.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Turns {
    /// A measure, which must be near its limit on both sides.
    Measure,
    /// A fact, or a size of a series with large steps.
    Fact,
    /// The severity: the first value already is a finding, of the first one, the second a finding of the other.
    Grade(Severity, Severity),
}

/// How the circuit comes about.
pub enum Draw {
    /// The sound system with one field of a block.
    Field(&'static str, &'static str),
    /// The sound system with one field of a run.
    Run(&'static str, &'static str),
    /// The sound system with one fact of its shed.
    Shed(&'static str),
    /// By hand.
    Sheet(fn(RuleSet, &str) -> Sheet),
}

/// By which rule sets a limit stands where it does.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Sets {
    /// By every one in which the rule holds.
    All,
    /// By the editions of the NEC.
    Nec,
    /// By the editions from 2020.
    NecFrom2020,
    /// By the edition of 2017.
    Nec2017,
    /// By the IEC.
    Iec,
}

impl Sets {
    /// Whether a rule set is one of them.
    pub fn have(self, set: RuleSet) -> bool {
        match self {
            Self::All => true,
            Self::Nec => set.is_nec(),
            Self::NecFrom2020 => matches!(set, RuleSet::Nec2020 | RuleSet::Nec2023),
            Self::Nec2017 => set == RuleSet::Nec2017,
            Self::Iec => set == RuleSet::Iec,
        }
    }
}

/// How near to one a ratio of found and allowed must be: a limit that moves by a tenth then changes the outcome.
const NEAR: f64 = 0.09;

impl Limit {
    /// The same where nothing is measured.
    pub const fn by_fact(self) -> Self {
        Self { turns: Turns::Fact, ..self }
    }

    /// The same where the finding is there on both sides and becomes worse.
    pub const fn from(self, lesser: Severity, worse: Severity) -> Self {
        Self { turns: Turns::Grade(lesser, worse), ..self }
    }

    /// The same, of the findings at one part: `INV1#listing`.
    pub const fn at(self, at: &'static str) -> Self {
        Self { at, ..self }
    }

    /// The same, where the finding is of a lesser severity than the worst of the rule.
    pub const fn is(self, severity: Severity) -> Self {
        Self { severity: Some(severity), ..self }
    }

    /// The rule itself.
    pub fn of(&self) -> Option<&'static Rule> {
        lineside_rules::ALL.iter().copied().find(|rule| rule.id == self.rule)
    }

    /// The rule sets by which it is looked at.
    pub fn rule_sets(&self) -> impl Iterator<Item = RuleSet> + '_ {
        let holds = |set: &RuleSet| self.of().is_some_and(|rule| rule.clause(*set).is_some());
        RuleSet::ALL.into_iter().filter(move |set| self.sets.have(*set) && holds(set))
    }

    fn verdict(&self, set: RuleSet, value: &str) -> Verdict {
        let sheet = match self.draw {
            Draw::Field(tag, key) => changed(sound_by(set), |sheet| sheet.set(tag, key, value)),
            Draw::Run(tag, key) => changed(sound_by(set), |sheet| sheet.set_run(tag, key, value)),
            Draw::Shed(key) => changed(sound_by(set), |sheet| sheet.place("shed", &[(key, value)])),
            Draw::Sheet(draw) => draw(set, value),
        };
        sheet.check()
    }

    /// What is not as it must be, for each rule set.
    pub fn faults(&self) -> Vec<String> {
        self.rule_sets().filter_map(|set| self.fault(set)).collect()
    }

    /// The rule with the aspects of its findings beyond the limit.
    pub fn spoken(&self) -> Vec<(&'static str, &'static str)> {
        let beyond = self.rule_sets().map(|set| self.verdict(set, self.fails));
        let findings = beyond.flat_map(|verdict| verdict.checked.report.findings);
        findings.filter(|it| it.rule == self.rule).map(|it| (it.rule, it.aspect)).collect()
    }

    fn fault(&self, set: RuleSet) -> Option<String> {
        let (within, beyond) = (self.verdict(set, self.passes), self.verdict(set, self.fails));
        let worst = |verdict: &Verdict| {
            let findings = verdict.checked.report.findings.iter().filter(|it| it.rule == self.rule);
            let own = findings.filter(|it| it.id(&verdict.project.circuit).ends_with(self.at));
            own.map(|it| it.severity).min()
        };
        let right = match self.turns {
            Turns::Measure | Turns::Fact => {
                let expected = self.severity.or_else(|| self.of().map(|rule| rule.severity));
                worst(&within).is_none() && worst(&beyond) == expected
            }
            Turns::Grade(lesser, worse) => worst(&within) == Some(lesser) && worst(&beyond) == Some(worse),
        };
        let near = self.turns != Turns::Measure || self.is_near(&within, &beyond);
        (!right || !near).then(|| {
            let tell = |value: &str, verdict: &Verdict| {
                let lines = verdict.lines();
                let own: Vec<&str> = lines.lines().filter(|line| line.contains(self.rule)).collect();
                format!(
                    "  {value}: {}\n    compared: {}",
                    own.join("; "),
                    verdict.comparisons(self.rule).replace('\n', "; ")
                )
            };
            format!(
                "{} by {}{}\n{}\n{}",
                self.rule,
                set.label(),
                if right { ", too far from the limit" } else { "" },
                tell(self.passes, &within),
                tell(self.fails, &beyond)
            )
        })
    }

    /// Whether the comparison that turns is a near one on both sides; facts and counts have nothing between.
    fn is_near(&self, within: &Verdict, beyond: &Verdict) -> bool {
        let of_rule = |verdict: &Verdict| -> Vec<Compared> {
            verdict.checked.report.compared.iter().filter(|it| it.rule == self.rule).copied().collect()
        };
        let (before, after) = (of_rule(within), of_rule(beyond));
        let broken: Vec<&Compared> = after.iter().filter(|it| it.outcome.fails()).collect();
        let is_measured = |it: &&&Compared| it.found.unit != Unit::One && it.allowed.value != 0.0;
        let near = |it: &Compared| (it.found.value / it.allowed.value - 1.0).abs() <= NEAR;
        let measured: Vec<&&Compared> = broken.iter().filter(is_measured).collect();
        measured.is_empty()
            || measured.iter().any(|it| near(it)) && before.iter().any(|it| !it.outcome.fails() && near(it))
    }
}

/// A limit on one field of a block.
pub const fn field(
    rule: &'static str,
    sets: Sets,
    (tag, key): (&'static str, &'static str),
    passes: &'static str,
    fails: &'static str,
) -> Limit {
    Limit {
        rule,
        sets,
        draw: Draw::Field(tag, key),
        passes,
        fails,
        turns: Turns::Measure,
        at: "",
        severity: None,
    }
}

/// A limit on one field of a run.
pub const fn run(
    rule: &'static str,
    sets: Sets,
    (tag, key): (&'static str, &'static str),
    passes: &'static str,
    fails: &'static str,
) -> Limit {
    Limit {
        rule,
        sets,
        draw: Draw::Run(tag, key),
        passes,
        fails,
        turns: Turns::Measure,
        at: "",
        severity: None,
    }
}

/// A limit on one fact of the shed.
pub const fn shed(
    rule: &'static str,
    sets: Sets,
    key: &'static str,
    passes: &'static str,
    fails: &'static str,
) -> Limit {
    Limit { rule, sets, draw: Draw::Shed(key), passes, fails, turns: Turns::Measure, at: "", severity: None }
}

/// A limit on a circuit drawn by hand.
pub const fn drawn(
    rule: &'static str,
    sets: Sets,
    passes: &'static str,
    fails: &'static str,
    draw: fn(RuleSet, &str) -> Sheet,
) -> Limit {
    Limit {
        rule,
        sets,
        draw: Draw::Sheet(draw),
        passes,
        fails,
        turns: Turns::Measure,
        at: "",
        severity: None,
    }
}
