//! Limits that are a conductor size: the smallest that may be paralleled, the smallest grounding conductor.

use crate::cited::{Cited, Confidence};
use crate::factors::rule_sets_of;
use crate::table_error::TableError;
use crate::table_file::{TableFile, table_file};
use lineside_core::project::RuleSet;
use lineside_core::units::ConductorSize;

pub(crate) const FILE: TableFile = table_file!("common/sizes.csv");

/// Names of the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeKey {
    /// Smallest conductor that may be paralleled.
    ParallelSmallest,
    /// Largest conductor for which a terminal without a mark counts as one of a small circuit; NEC only.
    UnmarkedTerminalLargest,
    /// Smallest flexible cable between a battery and the box beside it; NEC only.
    FlexibleBatterySmallest,
    /// Smallest equipment-grounding conductor; NEC only.
    GroundingConductorSmallest,
    /// Bonding of PV frames; IEC only.
    FrameBondingSmallest,
    /// Conductor to an earth electrode; IEC only.
    EarthingConductorSmallest,
    /// Separate protective conductor with mechanical protection; IEC only.
    ProtectiveConductorProtected,
    /// Separate protective conductor without mechanical protection; IEC only.
    ProtectiveConductorUnprotected,
}

impl SizeKey {
    /// Every one.
    pub const ALL: [Self; 8] = [
        Self::ParallelSmallest,
        Self::UnmarkedTerminalLargest,
        Self::FlexibleBatterySmallest,
        Self::GroundingConductorSmallest,
        Self::FrameBondingSmallest,
        Self::EarthingConductorSmallest,
        Self::ProtectiveConductorProtected,
        Self::ProtectiveConductorUnprotected,
    ];
    /// As it stands in the file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::ParallelSmallest => "parallel_smallest",
            Self::UnmarkedTerminalLargest => "unmarked_terminal_largest",
            Self::FlexibleBatterySmallest => "flexible_battery_smallest",
            Self::GroundingConductorSmallest => "grounding_conductor_smallest",
            Self::FrameBondingSmallest => "frame_bonding_smallest",
            Self::EarthingConductorSmallest => "earthing_conductor_smallest",
            Self::ProtectiveConductorProtected => "protective_conductor_protected",
            Self::ProtectiveConductorUnprotected => "protective_conductor_unprotected",
        }
    }
}

#[derive(Clone, Debug)]
struct Limit {
    key: SizeKey,
    rule_sets: &'static [RuleSet],
    size: ConductorSize,
    clause: String,
    confidence: Confidence,
}

/// The limits of every rule set.
#[derive(Clone, Debug)]
pub struct SizeLimits {
    rows: Vec<Limit>,
}

impl SizeLimits {
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut rows: Vec<Limit> = Vec::new();
        for row in table.iter() {
            let written = row.filled("size")?;
            let limit = Limit {
                key: row.one_of("key", &SizeKey::ALL, SizeKey::key)?,
                rule_sets: rule_sets_of(row)?,
                size: ConductorSize::read(written)
                    .map_err(|fault| row.error("size", "a conductor size with its unit", &fault.0))?,
                clause: row.filled("clause")?.to_owned(),
                confidence: row.confidence("confidence")?,
            };
            let again = |one: &Limit| {
                one.key == limit.key && one.rule_sets.iter().any(|set| limit.rule_sets.contains(set))
            };
            if rows.iter().any(again) {
                return Err(row.error("rule_set", "each rule set once for a key", row.text("rule_set")?));
            }
            rows.push(limit);
        }
        Ok(Self { rows })
    }

    fn row(&self, rule_set: RuleSet, key: SizeKey) -> Option<&Limit> {
        self.rows.iter().find(|row| row.key == key && row.rule_sets.contains(&rule_set))
    }

    /// A limit, bare; `None` when the rule set has no such limit.
    pub fn size(&self, rule_set: RuleSet, key: SizeKey) -> Option<ConductorSize> {
        self.row(rule_set, key).map(|row| row.size)
    }

    /// A limit with its clause; `None` when the rule set has no such limit.
    pub fn find(&self, rule_set: RuleSet, key: SizeKey) -> Option<Cited<ConductorSize>> {
        self.row(rule_set, key).map(|row| Cited {
            value: row.size,
            source: row.clause.clone().into(),
            confidence: row.confidence,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limits() -> SizeLimits {
        SizeLimits::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn limits_of_each_rule_set() {
        let limits = limits();
        let found = limits.find(RuleSet::Nec2017, SizeKey::ParallelSmallest);
        let found = found.map(|limit| (limit.value, limit.source.into_owned()));
        assert_eq!(found, Some((ConductorSize::Awg(0), "310.10(H)(1)".to_owned())));
        let check = |rule_set, key, expected| assert_eq!(limits.size(rule_set, key), expected);
        check(RuleSet::Nec2023, SizeKey::ParallelSmallest, Some(ConductorSize::Awg(0)));
        check(RuleSet::Iec, SizeKey::ParallelSmallest, Some(ConductorSize::Metric(160)));
        check(RuleSet::Nec2023, SizeKey::UnmarkedTerminalLargest, Some(ConductorSize::Awg(1)));
        check(RuleSet::Iec, SizeKey::UnmarkedTerminalLargest, None);
        check(RuleSet::Iec, SizeKey::ProtectiveConductorProtected, Some(ConductorSize::Metric(25)));
    }

    #[test]
    fn every_key_has_a_row() {
        let limits = limits();
        for key in SizeKey::ALL {
            assert!(RuleSet::ALL.iter().any(|set| limits.size(*set, key).is_some()), "{}", key.key());
        }
    }
}
