//! The nominal year: 8 760 hours of 2025 in local standard time, without leap day and daylight saving.
//!
//! Hour `i` covers `[h, h + 1)` of day `d`, with `d = i div 24`, `h = i mod 24`. The first of January is a Wednesday.

use lineside_core::project::Month;

/// Hours of the year.
pub const HOURS: usize = 8760;
/// Days of the year.
pub const DAYS: usize = 365;
/// The nominal year, for the place of the sun.
pub(crate) const NOMINAL_YEAR: i32 = 2025;

/// Days in each month.
/// One value for each month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ByMonth<T>(pub [T; 12]);

impl<T: Copy> ByMonth<T> {
    /// The same value in every month.
    pub const fn same(value: T) -> Self {
        Self([value; 12])
    }
    /// The value of a month.
    pub fn of(&self, month: Month) -> T {
        let [
            january,
            february,
            march,
            april,
            may,
            june,
            july,
            august,
            september,
            october,
            november,
            december,
        ] = self.0;
        match month {
            Month::January => january,
            Month::February => february,
            Month::March => march,
            Month::April => april,
            Month::May => may,
            Month::June => june,
            Month::July => july,
            Month::August => august,
            Month::September => september,
            Month::October => october,
            Month::November => november,
            Month::December => december,
        }
    }
    /// The value of a month, to be changed.
    pub fn of_mut(&mut self, month: Month) -> &mut T {
        let [
            january,
            february,
            march,
            april,
            may,
            june,
            july,
            august,
            september,
            october,
            november,
            december,
        ] = &mut self.0;
        match month {
            Month::January => january,
            Month::February => february,
            Month::March => march,
            Month::April => april,
            Month::May => may,
            Month::June => june,
            Month::July => july,
            Month::August => august,
            Month::September => september,
            Month::October => october,
            Month::November => november,
            Month::December => december,
        }
    }
    /// Another value for each.
    pub fn map<U>(self, change: impl FnMut(T) -> U) -> ByMonth<U> {
        ByMonth(self.0.map(change))
    }
    /// Months with their values, in order.
    pub fn iter(&self) -> impl Iterator<Item = (Month, T)> {
        Month::ALL.into_iter().zip(self.0)
    }
}

/// The months with their days in order: `(month, first day, days)`.
pub(crate) fn months() -> impl Iterator<Item = (Month, usize, usize)> {
    let mut first = 0;
    Month::ALL.into_iter().map(move |month| {
        let here = first;
        first += month.days();
        (month, here, month.days())
    })
}

/// The month of each day, in order.
pub(crate) fn month_of_days() -> impl Iterator<Item = Month> {
    months().flat_map(|(month, _, days)| std::iter::repeat_n(month, days))
}

/// The month of each hour, in order.
pub fn month_of_hours() -> impl Iterator<Item = Month> {
    month_of_days().flat_map(|month| std::iter::repeat_n(month, 24))
}

/// Weekday of a day, 0 for Monday.
pub(crate) const fn weekday(day: usize) -> usize {
    (day + 2) % 7
}

/// The first hour of a date of the nominal year; `None` for the leap day and what is no date.
pub(crate) fn hour_of(month: u32, day: u32) -> Option<usize> {
    let (_, first, days) = months().nth((month as usize).checked_sub(1)?)?;
    let day = (day as usize).checked_sub(1).filter(|day| *day < days)?;
    Some((first + day) * 24)
}

/// An hour of the nominal year as people name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// Month.
    pub month: Month,
    /// Day of the month, from one.
    pub day: usize,
    /// Hour of the day, from nought.
    pub hour: usize,
}

impl Moment {
    /// Of an hour of the year; hours beyond the year lie on its last day.
    pub fn of(hour: usize) -> Self {
        let day = (hour / 24).min(DAYS - 1);
        let found = months().find(|(_, first, days)| (*first..first + days).contains(&day));
        let (month, first, _) = found.unwrap_or((Month::December, DAYS - 31, 31));
        Self { month, day: day - first + 1, hour: hour % 24 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_have_their_day() {
        let moment = |hour| {
            let Moment { month, day, hour } = Moment::of(hour);
            (month, day, hour)
        };
        assert_eq!(moment(0), (Month::January, 1, 0));
        // 31 + 28 days of 24 hours are 1416: there March begins.
        assert_eq!(moment(1416), (Month::March, 1, 0));
        assert_eq!(moment(1415), (Month::February, 28, 23));
        assert_eq!(moment(8759), (Month::December, 31, 23));
        assert_eq!(moment(8760), (Month::December, 31, 0));
    }

    #[test]
    fn the_year_is_whole() {
        assert_eq!(month_of_days().count(), DAYS);
        assert_eq!(months().last(), Some((Month::December, 334, 31)));
        assert_eq!((weekday(0), weekday(5)), (2, 0));
        assert_eq!(hour_of(3, 1), Some(59 * 24));
        assert_eq!((hour_of(2, 29), hour_of(0, 1), hour_of(13, 1), hour_of(4, 0)), (None, None, None, None));
        let numbers = ByMonth(std::array::from_fn::<usize, 12, _>(|month| month));
        assert!(numbers.iter().enumerate().all(|(i, (month, value))| i == value && numbers.of(month) == i));
    }
}
