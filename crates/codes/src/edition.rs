//! The editions of the NEC, for look-ups that only an NEC rule set can make.

use lineside_core::project::RuleSet;

/// An edition of NFPA 70.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NecEdition {
    /// 2017.
    Nec2017,
    /// 2020.
    Nec2020,
    /// 2023.
    Nec2023,
}

impl NecEdition {
    /// Every edition, oldest first.
    pub const ALL: [Self; 3] = [Self::Nec2017, Self::Nec2020, Self::Nec2023];

    /// The edition of a rule set; `None` when it is not of the NEC.
    pub const fn of(rule_set: RuleSet) -> Option<Self> {
        match rule_set {
            RuleSet::Nec2023 => Some(Self::Nec2023),
            RuleSet::Nec2020 => Some(Self::Nec2020),
            RuleSet::Nec2017 => Some(Self::Nec2017),
            RuleSet::Iec => None,
        }
    }
    /// The rule set of this edition.
    pub const fn rule_set(self) -> RuleSet {
        match self {
            Self::Nec2023 => RuleSet::Nec2023,
            Self::Nec2020 => RuleSet::Nec2020,
            Self::Nec2017 => RuleSet::Nec2017,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn editions_and_rule_sets_belong_together() {
        for edition in NecEdition::ALL {
            assert_eq!(NecEdition::of(edition.rule_set()), Some(edition));
        }
        assert_eq!(NecEdition::of(RuleSet::Iec), None);
    }
}
