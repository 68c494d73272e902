//! The site and its weather records, from the brief.

use super::{Sheet, Statement};
use crate::calendar::ByMonth;
use crate::plane::Horizon;
use crate::site::{Climate, Location, SiteFault, TimeZone, solar_zone};
use lineside_core::project::{Month, MonthlyMeans, WeatherSource};
use lineside_core::units::Percent;

impl Sheet<'_> {
    pub(super) fn location(&mut self) -> Option<Location> {
        let site = &self.on.project.brief.site;
        let (latitude, longitude, elevation) = (site.latitude, site.longitude, site.elevation);
        let given = [
            (latitude.is_some(), "latitude"),
            (longitude.is_some(), "longitude"),
            (elevation.is_some(), "elevation"),
        ];
        for (_, what) in given.into_iter().filter(|(there, _)| !there) {
            self.say(Statement::Site(SiteFault::Missing(what)));
        }
        let (latitude, longitude, elevation) = (latitude?, longitude?, elevation?);
        let offset = self.wishes.utc_offset.or(site.utc_offset).unwrap_or_else(|| {
            let zone = solar_zone(longitude);
            self.say(Statement::AssumedZone(zone));
            zone
        });
        match Location::new(latitude, longitude, elevation, offset, TimeZone::Checked) {
            Ok(location) => Some(location),
            Err(fault) => {
                self.say(Statement::Site(fault));
                None
            }
        }
    }

    pub(super) fn climate(&mut self) -> Option<Climate> {
        let defaults = &self.tables.defaults;
        let brief = &self.on.project.brief;
        let wind =
            Statement::Assumed { block: None, what: "wind at the modules", value: defaults.wind.into() };
        if let WeatherSource::StandIn(climate) = &brief.weather {
            self.say(Statement::StandInWeather(climate.clone()));
        }
        match Climate::of_brief(&self.on.project.brief, defaults) {
            Ok(climate) => {
                if brief.months.iter().any(|means| means.albedo.is_none()) {
                    self.or_default(brief.site.albedo, self.tables.defaults.albedo, None, "albedo");
                }
                if brief.months.iter().any(|means| means.wind.is_none()) {
                    self.say(wind);
                }
                Some(climate)
            }
            Err(faults) => {
                for fault in faults {
                    self.say(Statement::Site(fault));
                }
                None
            }
        }
    }

    /// A share of the sun that is lost, by month; where the records do not give it, the default, which is then told.
    pub(super) fn share_by_month(
        &mut self,
        of: fn(&MonthlyMeans) -> Option<Percent>,
        default: Percent,
        what: &'static str,
    ) -> ByMonth<Percent> {
        let given = |month: Month| {
            let means = self.on.project.brief.months.iter().find(|means| means.month == month);
            means.and_then(of)
        };
        let shares = ByMonth(Month::ALL.map(given));
        if shares.iter().any(|(_, share)| share.is_none()) {
            self.or_default(None, default, None, what);
        }
        shares.map(|share| share.unwrap_or(default))
    }

    /// The far horizon: as whoever asks wishes it, else as the brief gives it.
    pub(super) fn horizon(&self) -> Horizon {
        if self.wishes.horizon != Horizon::default() {
            return self.wishes.horizon.clone();
        }
        let points = self.on.project.brief.horizon.iter();
        Horizon::new(&points.map(|point| (point.azimuth, point.height)).collect::<Vec<_>>())
    }
}
