//! What an hourly weather file gives a brief: monthly records, and the place where the brief lacks it.

use super::hourly_file::HourlyFile;
use crate::calendar::{ByMonth, month_of_hours};
use lineside_core::project::{Brief, Month, MonthlyMeans, WeatherSource};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Celsius, CelsiusSpan};

impl HourlyFile {
    /// Puts the months of the file into a brief, and its place where the brief has none. `name` is how the file is
    /// called. Returns what a person should know of it, a sentence each.
    pub fn fill(&self, brief: &mut Brief, name: &str, units: UnitSystem) -> Vec<String> {
        let monthly = self.monthly();
        let ranges = self.daily_ranges();
        brief.months = Month::ALL
            .into_iter()
            .map(|month| {
                let kept = brief.months.iter().find(|it| it.month == month);
                let (sun, temperature) = monthly.of(month);
                MonthlyMeans {
                    daily_range: Some(ranges.of(month)),
                    dirt: kept.and_then(|it| it.dirt),
                    snow: kept.and_then(|it| it.snow),
                    ..MonthlyMeans::new(month, sun, temperature)
                }
            })
            .collect();
        brief.weather = WeatherSource::Records(name.to_owned());
        let mut said: Vec<String> = self.remarks.iter().map(ToString::to_string).collect();
        let site = &mut brief.site;
        if let Some(station) = &self.station {
            site.latitude.get_or_insert(station.latitude);
            site.longitude.get_or_insert(station.longitude);
            site.elevation.get_or_insert(station.elevation);
            site.utc_offset.get_or_insert(station.utc_offset);
        }
        let plain = |celsius: Celsius| text::plain(celsius.into(), units);
        let (coldest, hottest) = self.extremes();
        if site.record_low.is_none_or(|low| low > coldest) {
            said.push(format!(
                "the coldest hour of the file has {}; the lowest on record is lower, and must be given for itself",
                plain(coldest)
            ));
        }
        if site.design_high.is_none() {
            said.push(format!(
                "the hottest hour of the file has {}; the 2 % design high must be given for itself",
                plain(hottest)
            ));
        }
        said
    }

    /// The coldest and the hottest hour.
    fn extremes(&self) -> (Celsius, Celsius) {
        let mut air = self.temperatures();
        let first = air.next().unwrap_or_default();
        let (low, high) = air.fold((first, first), |(low, high), it| (low.min(it), high.max(it)));
        (Celsius::new(low), Celsius::new(high))
    }

    /// Mean difference between the warmest and the coldest hour of a day, by month.
    fn daily_ranges(&self) -> ByMonth<CelsiusSpan> {
        let air: Vec<f64> = self.temperatures().collect();
        let mut sums = ByMonth::same((0.0, 0.0));
        for (hours, month) in air.chunks(24).zip(month_of_hours().step_by(24)) {
            let low = hours.iter().copied().fold(f64::INFINITY, f64::min);
            let high = hours.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let sum = sums.of_mut(month);
            *sum = (sum.0 + high - low, sum.1 + 1.0);
        }
        sums.map(|(sum, days)| CelsiusSpan::new(sum / f64::max(days, 1.0)))
    }
}
