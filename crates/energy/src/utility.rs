//! Utility: when it is there, when the system takes from it, and what it takes back.

use crate::calendar::{HOURS, weekday};
use crate::random::{Purpose, Stream};
use lineside_core::math::ln;
use lineside_core::units::{Hours, Percent, Watts};

/// When the system is connected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Connection {
    /// Whenever the utility is there: the bank is for outages.
    Backup,
    /// Only once the bank is low, until it is well charged.
    SolarFirst {
        /// Connects at or below it.
        connect: Percent,
        /// Disconnects at or above it.
        disconnect: Percent,
    },
}

/// Whether sun that the bank does not need goes to the AC side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SunToUtility {
    /// It stays on the DC side.
    Off,
    /// It serves loads, and the utility takes so much of the rest.
    Interactive {
        /// Greatest export.
        export: Watts,
    },
}

/// Outages that come by chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RandomOutages {
    /// How many a year.
    pub per_year: f64,
    /// How long on average.
    pub mean: Hours,
}

/// Hours of the week.
pub const WEEK_HOURS: usize = 168;

/// Whether the utility is there in an hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Presence {
    There,
    Away,
}

/// A utility service.
#[derive(Clone, Debug, PartialEq)]
pub struct Utility {
    /// When the system is connected.
    pub connection: Connection,
    /// Whether sun goes to the AC side.
    pub sun: SunToUtility,
    /// Greatest power drawn; `None` for as much as is wanted.
    pub limit: Option<Watts>,
    /// Charge up to which it charges the bank.
    pub charge_to: Percent,
    /// Hours of the week in which it is there, Monday at midnight first; `None` for always.
    pub week: Option<Box<[bool; WEEK_HOURS]>>,
    /// Outages that are known: first hour of the year and how many hours.
    pub outages: Vec<(usize, usize)>,
    /// Outages by chance.
    pub random: Option<RandomOutages>,
    /// Whether a generator goes before it.
    pub order: SupplyOrder,
}

/// Which AC supply goes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SupplyOrder {
    /// The utility; the generator stays off while it is there.
    #[default]
    UtilityFirst,
    /// The generator, whenever its starter wants it.
    GeneratorFirst,
}

impl Utility {
    /// A service that is always there, for outages only, without export.
    pub const fn backup() -> Self {
        Self {
            connection: Connection::Backup,
            sun: SunToUtility::Off,
            limit: None,
            charge_to: Percent::new(100.0),
            week: None,
            outages: Vec::new(),
            random: None,
            order: SupplyOrder::UtilityFirst,
        }
    }

    /// For each hour of a year whether it is there.
    pub(crate) fn presence(&self, seed: u64, year: u32) -> Vec<Presence> {
        let mut present: Vec<Presence> = (0..HOURS)
            .map(|hour| {
                let of_week = weekday(hour / 24) * 24 + hour % 24;
                let of_week = self.week.as_ref().and_then(|week| week.get(of_week)).copied();
                if of_week == Some(false) { Presence::Away } else { Presence::There }
            })
            .collect();
        for (first, hours) in &self.outages {
            for hour in present.iter_mut().skip(*first).take(*hours) {
                *hour = Presence::Away;
            }
        }
        if let Some(random) = &self.random {
            random.strike(Stream::new(seed, year, Purpose::Outages), &mut present);
        }
        present
    }

    pub(crate) fn limit_w(&self) -> f64 {
        self.limit.map_or(f64::INFINITY, Watts::value)
    }
    pub(crate) const fn export_w(&self) -> f64 {
        match self.sun {
            SunToUtility::Off => 0.0,
            SunToUtility::Interactive { export } => export.value(),
        }
    }
    pub(crate) const fn is_interactive(&self) -> bool {
        matches!(self.sun, SunToUtility::Interactive { .. })
    }
}

impl RandomOutages {
    /// One number is drawn for every hour, and a further one for the length of each outage.
    fn strike(&self, stream: Stream, present: &mut [Presence]) {
        let chance = self.per_year / HOURS as f64;
        let mut drawn = 0;
        let mut draw = || {
            drawn += 1;
            stream.uniform(drawn - 1)
        };
        let mut left = 0.0;
        for hour in present {
            let strikes = draw() < chance;
            if left <= 0.0 && strikes {
                left = (-self.mean.value() * ln(draw()) + 0.5).floor().max(1.0);
            }
            if left > 0.0 {
                *hour = Presence::Away;
                left -= 1.0;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_week_begins_on_monday() {
        let mut week = Box::new([true; WEEK_HOURS]);
        week[5] = false;
        let utility = Utility { week: Some(week), outages: vec![(10, 3), (8759, 40)], ..Utility::backup() };
        let present = utility.presence(1, 0).into_iter().map(|it| it == Presence::There).collect::<Vec<_>>();
        // The first of January is a Wednesday, so the first Monday is day 5.
        assert!(!present[5 * 24 + 5] && present[5] && !present[10] && !present[12] && present[13]);
        assert!(!present[8759]);
    }

    #[test]
    fn random_outages_have_their_number_and_length() {
        let random = RandomOutages { per_year: 100.0, mean: Hours::new(6.0) };
        let utility = Utility { random: Some(random), ..Utility::backup() };
        let mut away = 0;
        for year in 1..=40 {
            away += utility.presence(9, year).iter().filter(|it| **it == Presence::Away).count();
        }
        // About 100 × 6 h a year, less what would fall into another outage: 600/(1 + 600/8760) = 561.
        let mean = away as f64 / 40.0;
        assert!((mean - 561.0).abs() < 40.0, "{mean}");
        assert_eq!(utility.presence(9, 3), utility.presence(9, 3));
    }
}
