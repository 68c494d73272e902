//! Standard ratings of overcurrent devices: NEC 240.6(A) and the preferred currents of the IEC, with the
//! sizes that trade commonly offers.

use crate::cited::{Cited, Confidence};
use crate::edition::NecEdition;
use crate::table_error::TableError;
use crate::table_file::{Row, TableFile, table_file};
use lineside_core::project::RuleSet;
use lineside_core::units::Amps;

pub(crate) const NEC: TableFile = table_file!("nec/nec-240-6.csv");
pub(crate) const SERIES: TableFile = table_file!("common/dc-breaker-standard.csv");

/// Numbers that differ by less than one part in this many are the same rating.
const SAME: f64 = 1e-9;

/// Whether a device is a breaker or a fuse; their standard ratings differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DeviceType {
    /// Circuit breaker.
    Breaker,
    /// Fuse.
    Fuse,
}

/// A list of ratings in the file of series.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RatingSeries {
    /// Breakers of NEC 240.6(A), every edition.
    NecBreaker,
    /// Miniature breakers to IEC 60898-1.
    Iec60898,
    /// Fuses to IEC 60269-1 and gPV fuses to IEC 60269-6.
    Iec60269,
    /// Molded-case breakers to IEC 60947-2.
    Iec60947,
    /// DIN-rail DC breakers commonly offered; no standard.
    TradeDinRail,
    /// Panel DC breakers commonly offered; no standard.
    TradePanel,
}

impl RatingSeries {
    /// Every series.
    pub const ALL: [Self; 6] = [
        Self::NecBreaker,
        Self::Iec60898,
        Self::Iec60269,
        Self::Iec60947,
        Self::TradeDinRail,
        Self::TradePanel,
    ];
    const fn key(self) -> &'static str {
        match self {
            Self::NecBreaker => "nec-240-6-breaker",
            Self::Iec60898 => "iec-60898-1",
            Self::Iec60269 => "iec-60269-gpv",
            Self::Iec60947 => "iec-60947-2",
            Self::TradeDinRail => "stock-dc-din-rail",
            Self::TradePanel => "stock-dc-panel",
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Rating {
    amps: Amps,
    confidence: Confidence,
}

/// Ratings from small to large, and where they stand.
#[derive(Clone, Debug)]
struct List {
    source: &'static str,
    ratings: Vec<Rating>,
}

/// Every list of ratings.
#[derive(Clone, Debug)]
pub struct StandardRatings {
    nec_fuse: List,
    nec_breaker_2023: List,
    nec_breaker_before: List,
    iec_fuse: List,
    iec_breaker: List,
    series: [Vec<Amps>; RatingSeries::ALL.len()],
}

impl StandardRatings {
    pub(crate) fn parse(nec: &TableFile, series: &TableFile) -> Result<Self, TableError> {
        const NEC_SOURCE: &str = "240.6(A)";
        let mut found = Self {
            nec_fuse: List { source: NEC_SOURCE, ratings: Vec::new() },
            nec_breaker_2023: List { source: NEC_SOURCE, ratings: Vec::new() },
            nec_breaker_before: List { source: NEC_SOURCE, ratings: Vec::new() },
            iec_fuse: List { source: "IEC 60269-1", ratings: Vec::new() },
            iec_breaker: List { source: "IEC 60898-1 and 60947-2", ratings: Vec::new() },
            series: Default::default(),
        };
        for row in nec.read()?.iter() {
            let rating = rating(row)?;
            for (column, list) in [
                ("fuse", &mut found.nec_fuse),
                ("breaker_2023", &mut found.nec_breaker_2023),
                ("breaker_2020_2017", &mut found.nec_breaker_before),
            ] {
                if row.one_of(column, &[("1", Some(())), ("0", None)], |it| it.0)?.1.is_some() {
                    list.push(row, rating)?;
                }
            }
        }
        let mut iec_breakers = Vec::new();
        for row in series.read()?.iter() {
            let (rating, kind) = (rating(row)?, row.one_of("series", &RatingSeries::ALL, RatingSeries::key)?);
            if let Some(list) = found.series.get_mut(kind as usize) {
                if list.last().is_some_and(|last| *last >= rating.amps) {
                    return Err(row.error("ampere", "rising ratings", row.text("ampere")?));
                }
                list.push(rating.amps);
            }
            match kind {
                RatingSeries::Iec60269 => found.iec_fuse.push(row, rating)?,
                RatingSeries::Iec60898 | RatingSeries::Iec60947 => iec_breakers.push(rating),
                RatingSeries::NecBreaker | RatingSeries::TradeDinRail | RatingSeries::TradePanel => {}
            }
        }
        iec_breakers.sort_by(|a, b| a.amps.total_cmp(&b.amps));
        iec_breakers.dedup_by(|a, b| a.amps == b.amps);
        found.iec_breaker.ratings = iec_breakers;
        Ok(found)
    }

    /// The least standard rating that is not below a current; `None` above the largest.
    pub fn next_at_least(&self, current: Amps, device: DeviceType, rule_set: RuleSet) -> Option<Cited<Amps>> {
        let list = self.list(device, rule_set);
        // A current that is a standard rating but for the last bit must not be rounded up to the next.
        let least = current * (1.0 - SAME);
        let at = list.ratings.partition_point(|rating| rating.amps < least);
        list.ratings.get(at).map(|rating| Cited::new(rating.amps, list.source, rating.confidence))
    }

    /// The greatest standard rating that is not above a current; `None` below the smallest.
    pub fn next_at_most(&self, current: Amps, device: DeviceType, rule_set: RuleSet) -> Option<Cited<Amps>> {
        let list = self.list(device, rule_set);
        let greatest = current * (1.0 + SAME);
        let at = list.ratings.partition_point(|rating| rating.amps <= greatest).checked_sub(1)?;
        list.ratings.get(at).map(|rating| Cited::new(rating.amps, list.source, rating.confidence))
    }

    /// Whether a rating is a standard one of its kind of device.
    pub fn is_standard(&self, rating: Amps, device: DeviceType, rule_set: RuleSet) -> bool {
        self.next_at_least(rating, device, rule_set)
            .is_some_and(|found| (found.value / rating - 1.0).abs() <= SAME)
    }

    /// The ratings of a series, from small to large.
    pub fn series(&self, series: RatingSeries) -> &[Amps] {
        self.series.get(series as usize).map_or(&[], Vec::as_slice)
    }

    const fn list(&self, device: DeviceType, rule_set: RuleSet) -> &List {
        match (device, NecEdition::of(rule_set)) {
            (DeviceType::Fuse, Some(_)) => &self.nec_fuse,
            (DeviceType::Breaker, Some(NecEdition::Nec2023)) => &self.nec_breaker_2023,
            (DeviceType::Breaker, Some(NecEdition::Nec2017 | NecEdition::Nec2020)) => {
                &self.nec_breaker_before
            }
            (DeviceType::Fuse, None) => &self.iec_fuse,
            (DeviceType::Breaker, None) => &self.iec_breaker,
        }
    }
}

impl List {
    fn push(&mut self, row: Row<'_>, rating: Rating) -> Result<(), TableError> {
        if self.ratings.last().is_some_and(|last| last.amps >= rating.amps) {
            return Err(row.error("ampere", "rising ratings", row.text("ampere")?));
        }
        self.ratings.push(rating);
        Ok(())
    }
}

fn rating(row: Row<'_>) -> Result<Rating, TableError> {
    Ok(Rating { amps: row.quantity("ampere")?, confidence: row.confidence("confidence")? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use DeviceType::{Breaker, Fuse};
    use RuleSet::{Iec, Nec2017, Nec2020, Nec2023};

    fn ratings() -> StandardRatings {
        StandardRatings::parse(&NEC, &SERIES).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn the_next_one_up() {
        let ratings = ratings();
        let check = |current, device, rule_set, expected: Option<f64>| {
            let found = ratings.next_at_least(Amps::new(current), device, rule_set);
            assert_eq!(found.map(|found| found.value), expected.map(Amps::new), "{current}");
        };
        check(123.76, Breaker, Nec2023, Some(125.0));
        check(230.0, Breaker, Nec2023, Some(250.0));
        check(150.0, Breaker, Nec2023, Some(150.0));
        check(150.0 * (1.0 + 1e-12), Breaker, Nec2023, Some(150.0));
        check(9.0, Breaker, Nec2023, Some(10.0));
        check(9.0, Breaker, Nec2020, Some(15.0));
        check(9.0, Fuse, Nec2017, Some(10.0));
        check(600.5, Fuse, Nec2023, Some(601.0));
        check(600.5, Breaker, Nec2023, Some(700.0));
        check(6000.5, Breaker, Nec2023, None);
        check(117.5, Breaker, Iec, Some(125.0));
        check(30.08, Fuse, Iec, Some(32.0));
    }

    #[test]
    fn the_next_one_down() {
        let ratings = ratings();
        let check = |current, device, rule_set, expected: Option<f64>| {
            let found = ratings.next_at_most(Amps::new(current), device, rule_set);
            assert_eq!(found.map(|found| found.value), expected.map(Amps::new), "{current}");
        };
        check(230.0, Breaker, Nec2023, Some(225.0));
        check(225.0, Breaker, Nec2023, Some(225.0));
        check(0.5, Breaker, Nec2023, None);
        check(30.08, Fuse, Iec, Some(25.0));
    }

    #[test]
    fn what_is_standard() {
        let ratings = ratings();
        let check = |rating, device, rule_set, expected| {
            assert_eq!(ratings.is_standard(Amps::new(rating), device, rule_set), expected, "{rating}");
        };
        check(225.0, Breaker, Nec2023, true);
        check(65.0, Breaker, Nec2023, false);
        check(10.0, Breaker, Nec2023, true);
        check(10.0, Breaker, Nec2017, false);
        check(63.0, Breaker, Iec, true);
        check(60.0, Breaker, Iec, false);
    }

    #[test]
    fn lists_are_whole() {
        let ratings = ratings();
        // 240.6(A) lists 37 breaker ratings from 15 to 6000 A; 2023 adds 10 A.
        assert_eq!(ratings.nec_breaker_before.ratings.len(), 37);
        assert_eq!(ratings.nec_breaker_2023.ratings.len(), 38);
        let before: Vec<Amps> = ratings.nec_breaker_before.ratings.iter().map(|it| it.amps).collect();
        assert_eq!(ratings.series(RatingSeries::NecBreaker), before.as_slice());
        for series in RatingSeries::ALL {
            assert!(ratings.series(series).len() > 10, "{}", series.key());
        }
        for breaker in &ratings.nec_breaker_2023.ratings {
            assert!(ratings.is_standard(breaker.amps, Fuse, Nec2023), "{}", breaker.amps);
        }
    }
}
