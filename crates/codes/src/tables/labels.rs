//! Labels: what must stand on each, where, and which clause asks for it. Which of them a system needs is the `study`
//! crate's to find.

use crate::cited::Confidence;
use crate::table_error::TableError;
use crate::table_file::{Row, Rows, TableFile, table_file};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::{LabelKind, RuleSet};

pub(crate) const FILE: TableFile = table_file!("common/labels.csv");

/// The table of labels.
#[derive(Clone, Debug)]
pub struct Labels {
    rows: Vec<LabelText>,
    /// For each kind and each rule set whether it is asked at all.
    asked: Vec<[bool; RuleSet::ALL.len()]>,
}

/// What one row says of a label.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelText {
    /// Its kind.
    pub kind: LabelKind,
    /// Where it stands, in words.
    pub place: String,
    /// Its lines, with the names of values in braces: `Highest DC voltage: {highest_voltage}`.
    pub wording: Vec<String>,
    /// When it is needed, in words.
    pub when: String,
    /// How sure the row is.
    pub confidence: Confidence,
    hazard: Hazard,
    /// In the order of [`RuleSet::ALL`]; empty where the rule set does not ask for it.
    clauses: [String; RuleSet::ALL.len()],
}

/// For which batteries a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Hazard {
    Any,
    Aqueous,
    Lithium,
}

impl Hazard {
    const ALL: [Self; 3] = [Self::Any, Self::Aqueous, Self::Lithium];

    const fn key(self) -> &'static str {
        match self {
            Self::Any => "",
            Self::Aqueous => "aqueous",
            Self::Lithium => "lithium",
        }
    }
    const fn of(chemistry: Chemistry) -> Self {
        match chemistry {
            Chemistry::LithiumIronPhosphate => Self::Lithium,
            Chemistry::NickelIron | Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel => {
                Self::Aqueous
            }
        }
    }
}

/// The names that may stand in braces.
const VALUES: [&str; 9] = [
    "highest_voltage",
    "nominal_voltage",
    "greatest_current",
    "output_current",
    "fault_current",
    "bus_rating",
    "grounding",
    "date",
    "listed",
];

impl LabelText {
    /// The clause of a rule set, as it is printed; `None` where that does not ask for the label.
    pub fn clause(&self, rule_set: RuleSet) -> Option<String> {
        let clause = self.clauses.get(position(rule_set)).filter(|clause| !clause.is_empty())?;
        Some(if rule_set.is_nec() { format!("{} {clause}", rule_set.label()) } else { clause.clone() })
    }

    fn is_asked(&self, rule_set: RuleSet) -> bool {
        self.clauses.get(position(rule_set)).is_some_and(|clause| !clause.is_empty())
    }
}

fn position(rule_set: RuleSet) -> usize {
    RuleSet::ALL.iter().position(|set| *set == rule_set).unwrap_or_default()
}

impl Labels {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let rows: Vec<LabelText> = table.iter().map(read).collect::<Result<_, _>>()?;
        let asked =
            LabelKind::ALL.iter().map(|kind| asked(&table, &rows, *kind)).collect::<Result<_, _>>()?;
        Ok(Self { rows, asked })
    }

    /// Whether a rule set ever asks for a label of this kind.
    pub fn is_asked(&self, kind: LabelKind, rule_set: RuleSet) -> bool {
        let of_kind = self.asked.get(kind as usize);
        of_kind.and_then(|sets| sets.get(position(rule_set))).copied().unwrap_or(false)
    }

    /// What a rule set asks of a label, which may hang on the chemistry of the battery.
    pub fn find(
        &self,
        kind: LabelKind,
        rule_set: RuleSet,
        chemistry: Option<Chemistry>,
    ) -> Option<&LabelText> {
        let hazard = chemistry.map(Hazard::of);
        let fits = |row: &&LabelText| {
            row.kind == kind
                && row.is_asked(rule_set)
                && (row.hazard == Hazard::Any || hazard.is_none_or(|hazard| row.hazard == hazard))
        };
        self.rows.iter().find(fits)
    }

    /// Every row, in the order of the file.
    pub fn all(&self) -> impl Iterator<Item = &LabelText> {
        self.rows.iter()
    }
}

fn read(row: Row<'_>) -> Result<LabelText, TableError> {
    let wording: Vec<String> = row.filled("wording")?.split('|').map(str::to_owned).collect();
    for line in &wording {
        for name in line.split('{').skip(1).map(|rest| rest.split('}').next().unwrap_or_default()) {
            if !VALUES.contains(&name) {
                return Err(row.error("wording", format!("one of {} in braces", VALUES.join(", ")), name));
            }
        }
    }
    let clauses: [String; RuleSet::ALL.len()] = [
        row.text("nec_2023")?.to_owned(),
        row.text("nec_2020")?.to_owned(),
        row.text("nec_2017")?.to_owned(),
        row.text("iec")?.to_owned(),
    ];
    if clauses.iter().all(String::is_empty) {
        return Err(row.error("nec_2023", "a clause of some rule set", ""));
    }
    Ok(LabelText {
        kind: row.one_of("label", LabelKind::ALL, LabelKind::key)?,
        place: row.filled("where")?.to_owned(),
        wording,
        when: row.filled("when")?.to_owned(),
        confidence: row.confidence("confidence")?,
        hazard: row.one_of("chemistry", &Hazard::ALL, Hazard::key)?,
        clauses,
    })
}

fn asked(table: &Rows, rows: &[LabelText], kind: LabelKind) -> Result<[bool; 4], TableError> {
    let of_kind = |set: RuleSet| rows.iter().any(|row| row.kind == kind && row.is_asked(set));
    let asked = RuleSet::ALL.map(of_kind);
    if asked.contains(&true) {
        Ok(asked)
    } else {
        Err(table.error(format!("a row “{}”", kind.key()), "none"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels() -> Labels {
        Labels::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn clauses_are_those_of_the_edition() {
        let labels = labels();
        let clause = |kind, set| labels.find(kind, set, None).and_then(|row| row.clause(set));
        let check = |kind, set, expected: Option<&str>| {
            assert_eq!(clause(kind, set).as_deref(), expected, "{kind:?} {set:?}");
        };
        check(LabelKind::PvVoltage, RuleSet::Nec2023, Some("NEC 2023 690.7(D)"));
        check(LabelKind::PvVoltage, RuleSet::Nec2020, Some("NEC 2020 690.53"));
        check(LabelKind::PvVoltage, RuleSet::Nec2017, None);
        check(LabelKind::PvPowerSource, RuleSet::Nec2017, Some("NEC 2017 690.53"));
        check(LabelKind::EssDisconnect, RuleSet::Nec2017, Some("NEC 2017 706.7(D)"));
        check(LabelKind::EssDisconnect, RuleSet::Nec2023, Some("NEC 2023 706.15(C)"));
        check(LabelKind::RapidShutdown, RuleSet::Nec2020, Some("NEC 2020 690.56(C)"));
        check(LabelKind::BatteryRoom, RuleSet::Iec, Some("IEC 62485-2 cl. 11"));
        check(LabelKind::EssDisconnect, RuleSet::Iec, None);
        assert!(!labels.is_asked(LabelKind::GeneratorDisconnect, RuleSet::Nec2020));
        assert!(labels.is_asked(LabelKind::GeneratorDisconnect, RuleSet::Nec2023));
    }

    #[test]
    fn a_lithium_battery_has_its_own_warning() {
        let labels = labels();
        let first = |chemistry| {
            let row = labels.find(LabelKind::BatteryHazard, RuleSet::Nec2023, Some(chemistry));
            row.and_then(|row| row.wording.first().cloned()).unwrap_or_default()
        };
        assert_eq!(first(Chemistry::NickelIron), "DANGER: BATTERY");
        assert_eq!(first(Chemistry::LithiumIronPhosphate), "DANGER: LITHIUM BATTERY");
    }

    #[test]
    fn a_mistake_in_the_file_is_told_with_its_place() {
        let head = "# source: a test\nlabel,chemistry,where,wording,when,nec_2017,nec_2020,nec_2023,iec,confidence\n";
        let fault = |row: &str| {
            let text: &'static str = Box::leak(format!("{head}{row}\n").into_boxed_str());
            let file = TableFile { name: "assets/codes/test.csv", text };
            Labels::parse(&file).map(|_| ()).unwrap_err().to_string()
        };
        assert!(fault("pv-voltage,,there,{volts},always,1,1,1,1,recalled").contains("highest_voltage"));
        assert!(fault("pv-voltage,,there,words,always,,,,,recalled").contains("a clause"));
        assert!(fault("pv-volts,,there,words,always,1,1,1,1,recalled").contains("pv-voltage"));
        assert!(fault("pv-voltage,,there,words,always,1,1,1,1,recalled").contains("“pv-disconnect”"));
    }
}
