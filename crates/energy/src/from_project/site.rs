//! The site and its weather records, from the brief.

use super::{Sheet, Statement};
use crate::site::{Climate, Location, SiteFault, TimeZone, solar_zone};

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
        let offset = self.wishes.utc_offset.unwrap_or_else(|| {
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
        let wind =
            Statement::Assumed { block: None, what: "wind at the modules", value: defaults.wind.into() };
        match Climate::of_brief(&self.on.project.brief, defaults) {
            Ok(climate) => {
                self.or_default(
                    self.on.project.brief.site.albedo,
                    self.tables.defaults.albedo,
                    None,
                    "albedo",
                );
                self.say(wind);
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
}
