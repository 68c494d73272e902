//! A value from a standard together with where it stands and how sure it is.
//!
//! The tables that give such values are in [`crate::tables`].

use std::borrow::Cow;

/// How well a number of the tables was checked. Ordered from the least to the most sure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Confidence {
    /// Engineering judgment: no clause demands it.
    Engineering,
    /// What is commonly offered in trade, no standard.
    Trade,
    /// Recalled with good certainty; to be confirmed in the adopted text.
    Recalled,
    /// One public statement agrees.
    VerifiedOnce,
    /// Two or more independent public statements agree, or it follows from physics.
    Verified,
}

impl Confidence {
    /// Every one, from the least to the most sure.
    pub const ALL: [Self; 5] =
        [Self::Engineering, Self::Trade, Self::Recalled, Self::VerifiedOnce, Self::Verified];

    /// As it stands in the table files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Engineering => "engineering",
            Self::Trade => "trade",
            Self::Recalled => "recalled",
            Self::VerifiedOnce => "verified-1",
            Self::Verified => "verified-2",
        }
    }
    /// What to tell people beside the number; empty when there is nothing to warn of.
    pub const fn remark(self) -> &'static str {
        match self {
            Self::Engineering => "engineering judgment",
            Self::Trade => "common in trade, no standard",
            Self::Recalled => "confirm in the adopted text",
            Self::VerifiedOnce | Self::Verified => "",
        }
    }
}

/// A value with the place in the standard where it stands: `Table 310.16, 75 °C`.
#[derive(Clone, Debug, PartialEq)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// Table or clause, short, for workings.
    pub source: Cow<'static, str>,
    /// How sure it is.
    pub confidence: Confidence,
}

impl<T> Cited<T> {
    /// A value from a table whose citation is known beforehand.
    pub const fn new(value: T, source: &'static str, confidence: Confidence) -> Self {
        Self { value, source: Cow::Borrowed(source), confidence }
    }
    /// The same citation for another value that follows from this one.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Cited<U> {
        Cited { value: change(self.value), source: self.source, confidence: self.confidence }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_less_sure_is_the_lesser() {
        assert_eq!(Confidence::Verified.min(Confidence::Recalled), Confidence::Recalled);
        assert!(Confidence::ALL.is_sorted());
    }

    #[test]
    fn a_citation_follows_its_value() {
        let doubled = Cited::new(55.0, "Table 310.17, 90 °C", Confidence::Verified).map(|amps| amps * 2.0);
        assert_eq!(doubled, Cited::new(110.0, "Table 310.17, 90 °C", Confidence::Verified));
    }
}
