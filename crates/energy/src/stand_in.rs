//! Generic climates that stand in for weather records of a site until somebody brings them.
//!
//! A climate gives the clearness of the sky and the temperature of each month; the sun above the air follows from the
//! latitude. What they give is marked in the brief as a stand-in, and every year that is computed from it says so. The
//! lowest and highest temperatures on record are never stood in for: voltages and conductors depend on them.

use crate::calendar::ByMonth;
use crate::csv_table::{Row, Table};
use crate::site::{Location, TimeZone, solar_zone};
use crate::sun::Sky;
use crate::tables::Tables;
use lineside_codes::TableError;
use lineside_core::project::{Brief, Month, MonthlyMeans};
use lineside_core::units::{Celsius, Degrees, SunHours};

/// How the air cools with height, °C/m (the mean of the standard atmosphere, ISO 2533).
const LAPSE: f64 = 0.0065;
/// Turbidity of the air: it does not touch the sun above the air, which is all that is read of the sky here.
const ANY_TURBIDITY: f64 = 3.0;

/// A generic climate.
#[derive(Clone, Debug, PartialEq)]
pub struct GenericClimate {
    /// As it stands in files and commands.
    pub key: String,
    /// As people read it.
    pub label: String,
    /// Latitudes, without their sign, at which such a climate is found.
    pub latitudes: (Degrees, Degrees),
    reference: f64,
    per_degree: f64,
    /// Sun on the level over sun above the air, by month of the northern half of the earth.
    clearness: ByMonth<f64>,
    /// At sea level and the reference latitude, °C.
    temperature: ByMonth<f64>,
}

/// A stand-in was asked for at a latitude where no such climate is found.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("“{label}” is a climate of latitudes {from}° to {to}°; the site lies at {at:.1}°")]
pub struct OtherLatitude {
    label: String,
    from: f64,
    to: f64,
    at: f64,
}

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

pub(crate) fn read(table: &Table) -> Result<Vec<GenericClimate>, TableError> {
    let mut climates: Vec<GenericClimate> = Vec::new();
    for row in table.rows() {
        let key = row.text("climate")?;
        if climates.last().is_none_or(|last| last.key != key) {
            climates.push(GenericClimate {
                key: key.to_owned(),
                label: row.text("label")?.to_owned(),
                latitudes: (
                    Degrees::new(row.number("from_latitude")?),
                    Degrees::new(row.number("to_latitude")?),
                ),
                reference: row.number("reference_latitude")?,
                per_degree: row.number("per_degree")?,
                clearness: ByMonth::same(f64::NAN),
                temperature: ByMonth::same(f64::NAN),
            });
        }
        let Some(climate) = climates.last_mut() else { continue };
        let figures = by_month(row)?;
        match row.text("figure")? {
            "clearness" => climate.clearness = figures,
            "temperature" => climate.temperature = figures,
            other => return Err(row.error("figure", "clearness or temperature", other)),
        }
    }
    let is_given = |figures: &ByMonth<f64>| figures.iter().all(|(_, value)| value.is_finite());
    match climates.iter().find(|it| !is_given(&it.clearness) || !is_given(&it.temperature)) {
        Some(climate) => Err(table.error("clearness and temperature of each climate", &climate.key)),
        None => Ok(climates),
    }
}

fn by_month(row: Row<'_>) -> Result<ByMonth<f64>, TableError> {
    let mut figures = ByMonth::same(0.0);
    for (month, column) in Month::ALL.into_iter().zip(MONTHS) {
        *figures.of_mut(month) = row.number(column)?;
    }
    Ok(figures)
}

/// The month half a year away.
fn opposite(month: Month) -> Month {
    Month::ALL.get((month.number() + 5) % 12).copied().unwrap_or(month)
}

impl GenericClimate {
    /// Whether such a climate is found at a latitude.
    pub fn is_found_at(&self, latitude: Degrees) -> bool {
        (self.latitudes.0..=self.latitudes.1).contains(&latitude.abs())
    }

    /// Monthly sun and temperature at a place. South of the equator the months are half a year apart.
    pub fn months_at(&self, location: Location, tables: &Tables) -> Result<Vec<MonthlyMeans>, OtherLatitude> {
        let latitude = location.latitude();
        if !self.is_found_at(latitude) {
            let (from, to) = (self.latitudes.0.value(), self.latitudes.1.value());
            return Err(OtherLatitude { label: self.label.clone(), from, to, at: latitude.value() });
        }
        let sky = Sky::over(tables, location, &ByMonth::same(ANY_TURBIDITY));
        let cooler = self.per_degree * (latitude.value().abs() - self.reference)
            - LAPSE * location.elevation().value();
        let means = |month: Month| {
            let of = if latitude.value() < 0.0 { opposite(month) } else { month };
            let sun = self.clearness.of(of) * sky.above_air(month).value();
            MonthlyMeans::new(
                month,
                SunHours::new((sun * 100.0).round() / 100.0),
                Celsius::new(((self.temperature.of(of) + cooler) * 10.0).round() / 10.0),
            )
        };
        Ok(Month::ALL.map(means).to_vec())
    }
}

/// The generic climates that are found at the site; none when the brief does not say where it is.
pub fn climates_at<'a>(brief: &Brief, tables: &'a Tables) -> Vec<(Location, &'a GenericClimate)> {
    let site = &brief.site;
    let (Some(latitude), Some(longitude), Some(elevation)) = (site.latitude, site.longitude, site.elevation)
    else {
        return Vec::new();
    };
    let offset = site.utc_offset.unwrap_or_else(|| solar_zone(longitude));
    let Ok(location) = Location::new(latitude, longitude, elevation, offset, TimeZone::Confirmed) else {
        return Vec::new();
    };
    let found = tables.climates.iter().filter(|climate| climate.is_found_at(latitude));
    found.map(|climate| (location, climate)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::{TimeZone, solar_zone};
    use lineside_core::units::Meters;

    fn months(climate: &str, latitude: f64, elevation: f64) -> Result<Vec<MonthlyMeans>, OtherLatitude> {
        let tables = Tables::load().unwrap();
        let longitude = Degrees::new(0.0);
        let at = Location::new(
            Degrees::new(latitude),
            longitude,
            Meters::new(elevation),
            solar_zone(longitude),
            TimeZone::Checked,
        );
        let climate = tables.climates.iter().find(|it| it.key == climate).unwrap();
        climate.months_at(at.unwrap(), &tables)
    }

    #[test]
    fn sun_is_clearness_of_the_sun_above_the_air() {
        // Above the air at 45° north, Duffie & Beckman's table of monthly means: 12.2 MJ/m² in January (3.39 kWh),
        // 41.7 in June (11.58 kWh); the clearness of a humid interior is 0.43 and 0.50.
        let months = months("humid_interior", 45.0, 0.0).unwrap();
        assert!((months[0].sun.value() - 0.43 * 3.39).abs() < 0.03, "{}", months[0].sun);
        assert!((months[5].sun.value() - 0.50 * 11.58).abs() < 0.06, "{}", months[5].sun);
        // At the reference latitude and the sea the temperature is the table's.
        assert_eq!(months[0].temperature, Celsius::new(-7.0));
    }

    #[test]
    fn height_latitude_and_hemisphere() {
        // 2 degrees poleward of 45° at 0.9 °C each, and 1000 m at 6.5 °C/km: 21.0 − 1.8 − 6.5 = 12.7 °C in July.
        let north = months("humid_interior", 47.0, 1000.0).unwrap();
        assert_eq!(north[6].temperature, Celsius::new(12.7));
        let south = months("humid_interior", -47.0, 1000.0).unwrap();
        assert_eq!(south[0].temperature, north[6].temperature);
        // The earth is nearest the sun in January: the southern summer is a little brighter than the northern.
        assert!(south[0].sun > north[6].sun && south[6].sun < north[6].sun);
    }

    #[test]
    fn every_climate_is_found_somewhere_and_every_latitude_has_one() {
        let tables = Tables::load().unwrap();
        for latitude in 0..=90 {
            let at = Degrees::new(f64::from(latitude));
            assert!(tables.climates.iter().any(|it| it.is_found_at(at)), "{latitude}");
        }
        for climate in &tables.climates {
            let latitude = climate.latitudes.1.value();
            let months = months(&climate.key, latitude, 100.0).unwrap();
            assert!(
                months.iter().all(|it| it.sun.value() >= 0.0 && it.sun.value() < 11.0),
                "{}",
                climate.key
            );
        }
        let wrong = months("polar", 20.0, 0.0).unwrap_err().to_string();
        assert!(wrong.contains("64° to 90°") && wrong.contains("20.0°"), "{wrong}");
    }
}
