//! The plane of an array over a year. How the sun stands to it is found once; each year's weather is laid over that.

use super::incidence::{Beam, diffuse};
use super::shading::{Horizon, NearShade, Rows};
use super::transposition::{Facing, SkyLight, SkyModel};
use crate::calendar::{ByMonth, month_of_hours};
use crate::sun::Sky;
use crate::tables::{Defaults, SkyBrightness, Tables};
use crate::weather::Weather;
use lineside_core::math::{cos, sin};
use lineside_core::project::Month;
use lineside_core::units::{Degrees, Percent, WattsPerSquareMeter};

/// How a plane stands and what takes light from it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneSetting {
    /// From the level.
    pub tilt: Degrees,
    /// Direction in which it looks, clockwise from north.
    pub azimuth: Degrees,
    /// Model of the sky.
    pub model: SkyModel,
    /// Angular reflectance of the glass.
    pub reflectance: f64,
    /// Sun lost to dirt.
    pub soiling: ByMonth<Percent>,
    /// Sun lost to lying snow.
    pub snow: ByMonth<Percent>,
    /// Far horizon.
    pub horizon: Horizon,
    /// Shade of things near by.
    pub near_shade: Option<NearShade>,
    /// Rows behind each other.
    pub rows: Option<Rows>,
}

impl PlaneSetting {
    /// A plane without shade, with the usual glass and dirt.
    pub fn new(tilt: Degrees, azimuth: Degrees, defaults: &Defaults) -> Self {
        Self {
            tilt,
            azimuth,
            model: SkyModel::default(),
            reflectance: defaults.reflectance.value(),
            soiling: ByMonth::same(defaults.soiling),
            snow: ByMonth::same(defaults.snow),
            horizon: Horizon::default(),
            near_shade: None,
            rows: None,
        }
    }
}

/// What a plane gets in one hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PlaneHour {
    /// All of it, W/m²: it warms the cells.
    pub(crate) total: f64,
    /// What reaches the cells, in light square on, W/m².
    pub(crate) effective: f64,
}

impl PlaneHour {
    /// All of it: it warms the cells.
    pub fn total(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.total)
    }
    /// What reaches the cells, in light square on.
    pub fn effective(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.effective)
    }
}

/// How the sun stands to a plane in one hour.
#[derive(Clone, Copy, Debug, Default)]
struct Stand {
    facing: Facing,
    /// Part of beam and circumsolar light that no shade takes.
    lit: f64,
    /// What the glass lets through of it.
    beam_through: f64,
}

/// A plane under a sky.
#[derive(Clone, Debug)]
pub struct Plane {
    stands: Vec<Stand>,
    brightness: Vec<SkyBrightness>,
    model: SkyModel,
    cos_tilt: f64,
    sin_tilt: f64,
    sky_in_sight: f64,
    sky_through: f64,
    ground_through: f64,
    /// What dirt and snow leave.
    clean: ByMonth<f64>,
}

impl Plane {
    /// Lays the plane under a sky.
    pub fn under(sky: &Sky, setting: &PlaneSetting, tables: &Tables) -> Self {
        let tilt = setting.tilt.value().to_radians();
        let beam = Beam::new(setting.reflectance);
        let (sky_through, ground_through) = diffuse(tilt, setting.reflectance);
        let stand = |(hour, (sun, month)): (usize, (&crate::sun::SunAt, Month))| {
            let turn_deg = sun.azimuth_deg - setting.azimuth.value();
            let zenith = sun.zenith_deg.to_radians();
            let facing = Facing::new(sun.cos_zenith, sin(zenith) * cos(turn_deg.to_radians()), tilt);
            let lit = if facing.toward > 0.0 { lit(setting, sun, hour % 24, month, turn_deg) } else { 0.0 };
            Stand { facing, lit, beam_through: beam.at(facing.toward) }
        };
        let mut clean = ByMonth::same(0.0);
        for (month, soiling) in setting.soiling.iter() {
            let snow = setting.snow.of(month);
            *clean.of_mut(month) = (1.0 - soiling.share()) * (1.0 - snow.share());
        }
        Self {
            stands: sky.hours().iter().zip(month_of_hours()).enumerate().map(stand).collect(),
            brightness: tables.brightness.clone(),
            model: setting.model,
            cos_tilt: cos(tilt),
            sin_tilt: sin(tilt),
            sky_in_sight: setting.horizon.sky_in_sight(),
            sky_through,
            ground_through,
            clean,
        }
    }

    /// What it gets in each hour of a year's weather.
    pub fn year(&self, sky: &Sky, weather: &Weather) -> Vec<PlaneHour> {
        self.hours(sky, weather).collect()
    }

    /// The same, hour by hour.
    pub(crate) fn hours<'a>(
        &'a self,
        sky: &'a Sky,
        weather: &'a Weather,
    ) -> impl Iterator<Item = PlaneHour> + 'a {
        let hours = sky.hours().iter().zip(weather.hours()).zip(&self.stands).zip(month_of_hours());
        let ground_seen = (1.0 - self.cos_tilt) / 2.0;
        hours.map(move |(((sun, weather), stand), month)| {
            if weather.horizontal <= 0.0 && weather.diffuse <= 0.0 && weather.beam <= 0.0 {
                return PlaneHour::default();
            }
            let light = SkyLight {
                zenith: sun.zenith_deg.to_radians(),
                air_mass: sun.air_mass,
                above_air: sun.beam_above_air,
                beam: weather.beam,
                diffuse: weather.diffuse,
            };
            let facing = &stand.facing;
            let parts = facing.sky(self.model, &self.brightness, &light, self.cos_tilt, self.sin_tilt);
            let direct = (weather.beam * facing.toward + parts.circumsolar) * stand.lit;
            let from_sky = parts.isotropic * self.sky_in_sight + parts.horizon;
            let ground = weather.horizontal * weather.albedo * ground_seen;
            let through =
                stand.beam_through * direct + self.sky_through * from_sky + self.ground_through * ground;
            PlaneHour {
                total: (direct + from_sky + ground).max(0.0),
                effective: (self.clean.of(month) * through).max(0.0),
            }
        })
    }
}

/// Part of the direct light that horizon, near shade and rows leave.
fn lit(setting: &PlaneSetting, sun: &crate::sun::SunAt, hour: usize, month: Month, turn_deg: f64) -> f64 {
    let elevation_deg = 90.0 - sun.zenith_deg;
    if elevation_deg < setting.horizon.height(sun.azimuth_deg) {
        return 0.0;
    }
    let near = setting.near_shade.as_ref().map_or(0.0, |shade| {
        let share = shade.shares.of(month).get(hour).copied().unwrap_or_default();
        (share * shade.gain.factor()).clamp(0.0, 1.0)
    });
    let rows = setting.rows.map_or(0.0, |rows| rows.shaded(elevation_deg, turn_deg, setting.tilt.value()));
    (1.0 - near) * (1.0 - rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::{Climate, Location, TimeZone};
    use crate::weather::typical;
    use lineside_core::units::{Celsius, Hours, Meters, SunHours};

    /// A level plane without glass effects gets what the level gets, whatever the model.
    #[test]
    fn the_level_gets_what_the_level_gets() {
        let tables = Tables::load().unwrap();
        let location = Location::new(
            Degrees::new(40.0),
            Degrees::new(-105.0),
            Meters::new(1600.0),
            Hours::new(-7.0),
            TimeZone::Checked,
        );
        let climate = Climate::new(
            ByMonth::same(SunHours::new(2.5)),
            ByMonth::same(Celsius::new(8.0)),
            &tables.defaults,
        );
        let sky = Sky::over(&tables, location.unwrap(), &climate.turbidity);
        let weather = typical(&sky, &climate, &tables.defaults, 5).weather;
        for model in [SkyModel::Perez, SkyModel::HayDavies, SkyModel::Isotropic] {
            let setting =
                PlaneSetting { model, ..PlaneSetting::new(Degrees::ZERO, Degrees::ZERO, &tables.defaults) };
            let plane = Plane::under(&sky, &setting, &tables).year(&sky, &weather);
            for ((found, weather), sun) in plane.iter().zip(weather.hours()).zip(sky.hours()) {
                // With the sun below 5° the circumsolar light is spread, in all three models' own ways.
                if sun.cos_zenith > LOW {
                    assert!((found.total - weather.horizontal).abs() < 1e-9, "{model:?}");
                }
            }
        }
    }
    const LOW: f64 = 0.0872;
}
