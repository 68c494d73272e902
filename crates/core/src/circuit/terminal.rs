//! Terminals: the points of a block where a run may land, and their names.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// The name of a terminal within its block: `pv`, `way3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TerminalName {
    stem: &'static str,
    /// 0 when the name has no number.
    number: u8,
}

/// Every stem that a terminal may have, so that names from a file can be told from nonsense.
const STEMS: &[&str] = &[
    "in",
    "out",
    "line",
    "load",
    "way",
    "tap",
    "pv",
    "battery",
    "dc",
    "ac",
    "feed",
    "source",
    "inverter_in",
    "inverter_out",
    "normal",
    "standby",
    "to_inverter",
    "from_inverter",
    "system",
    "earth",
    "bond",
    "across",
    "end",
    "pole",
];

impl TerminalName {
    /// A name without a number. `stem` must be one that the kinds of block use.
    pub const fn plain(stem: &'static str) -> Self {
        Self { stem, number: 0 }
    }
    /// A name with a number, counted from 1.
    pub const fn numbered(stem: &'static str, number: u8) -> Self {
        Self { stem, number }
    }
    /// The word without its number.
    pub const fn stem(self) -> &'static str {
        self.stem
    }
    /// The number, from 1; `None` when the name has none.
    pub fn number(self) -> Option<u8> {
        (self.number > 0).then_some(self.number)
    }
    /// Reads a name as it stands in a file. `None` if no kind of block has such a terminal.
    pub fn read(text: &str) -> Option<Self> {
        let stem_end = text.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let (stem, digits) = text.split_at(stem_end);
        let stem = STEMS.iter().copied().find(|known| *known == stem)?;
        let number = if digits.is_empty() {
            0
        } else {
            digits.parse().ok().filter(|n| *n > 0 && !digits.starts_with('0'))?
        };
        Some(Self { stem, number })
    }
    /// Whether the stem is one of the known ones; a test asks this of every kind.
    pub fn is_known(self) -> bool {
        STEMS.contains(&self.stem)
    }
}

impl fmt::Display for TerminalName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.stem)?;
        if self.number > 0 { write!(f, "{}", self.number) } else { Ok(()) }
    }
}

impl Serialize for TerminalName {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for TerminalName {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        Self::read(&text).ok_or_else(|| serde::de::Error::custom(format!("no block has a terminal “{text}”")))
    }
}

/// What kind of circuit a terminal belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Potential {
    /// The array side.
    Pv,
    /// The battery bus.
    Battery,
    /// Alternating current.
    Ac,
    /// Equipment ground and earth.
    Earth,
    /// Whatever lands on it: breakers, fuses, switches, bars.
    Any,
}

impl Potential {
    /// Whether the two may be joined by a run.
    pub fn fits(self, other: Self) -> bool {
        self == other
            || (self == Self::Any && other != Self::Earth)
            || (other == Self::Any && self != Self::Earth)
    }
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Pv => "array side",
            Self::Battery => "battery bus",
            Self::Ac => "AC",
            Self::Earth => "earth",
            Self::Any => "any circuit",
        }
    }
}

/// A terminal of a kind of block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminal {
    /// Its name within the block.
    pub name: TerminalName,
    /// What may land on it.
    pub potential: Potential,
}

impl Terminal {
    /// A terminal with a plain name.
    pub const fn new(stem: &'static str, potential: Potential) -> Self {
        Self { name: TerminalName::plain(stem), potential }
    }
    /// A terminal with a numbered name.
    pub const fn numbered(stem: &'static str, number: u8, potential: Potential) -> Self {
        Self { name: TerminalName::numbered(stem, number), potential }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_and_written() {
        for name in ["pv", "way3", "tap12", "inverter_out"] {
            assert_eq!(TerminalName::read(name).map(|n| n.to_string()).as_deref(), Some(name));
        }
        for wrong in ["", "3", "way0", "way03", "way999", "wey1", "pv ", "ünlikely7"] {
            assert_eq!(TerminalName::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn what_may_be_joined() {
        assert!(Potential::Pv.fits(Potential::Pv) && Potential::Any.fits(Potential::Ac));
        assert!(!Potential::Pv.fits(Potential::Ac) && !Potential::Any.fits(Potential::Earth));
        assert!(Potential::Earth.fits(Potential::Earth));
    }
}
