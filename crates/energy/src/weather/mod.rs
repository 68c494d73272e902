//! The weather of one year, hour by hour: made from monthly means, or read from an hourly file.
//!
//! The sun above the air is in `sun`; what a tilted plane gets is in `plane`.

mod beam_and_diffuse;
mod clearness;
mod day_hours;
mod made;
mod temperature;

pub use beam_and_diffuse::diffuse_share;
pub(crate) use beam_and_diffuse::split;
pub use clearness::Clearness;
pub use made::{MadeMonth, MadeWeather, WeatherRemark, random, typical};

use lineside_core::units::{Celsius, Irradiation, MetersPerSecond, Percent, WattsPerSquareMeter};

/// The weather of one hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WeatherHour {
    /// On the level, W/m².
    pub(crate) horizontal: f64,
    /// Straight from the sun, across its rays, W/m².
    pub(crate) beam: f64,
    /// From the sky, on the level, W/m².
    pub(crate) diffuse: f64,
    pub(crate) celsius: f64,
    /// At the height of the modules, m/s.
    pub(crate) wind: f64,
    /// Share of one.
    pub(crate) albedo: f64,
}

impl WeatherHour {
    /// Sun on the level.
    pub fn horizontal(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.horizontal)
    }
    /// Straight from the sun, across its rays.
    pub fn beam(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.beam)
    }
    /// From the sky, on the level.
    pub fn diffuse(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.diffuse)
    }
    /// Temperature of the air.
    pub fn temperature(&self) -> Celsius {
        Celsius::new(self.celsius)
    }
    /// Wind at the height of the modules.
    pub fn wind(&self) -> MetersPerSecond {
        MetersPerSecond::new(self.wind)
    }
    /// Share of sunlight that the ground throws back.
    pub fn albedo(&self) -> Percent {
        Percent::from_share(self.albedo)
    }
}

/// The weather of one year.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weather {
    hours: Vec<WeatherHour>,
}

impl Weather {
    /// Every hour, in order.
    pub fn hours(&self) -> &[WeatherHour] {
        &self.hours
    }
    /// Sun on the level over the year.
    pub fn irradiation(&self) -> Irradiation {
        Irradiation::new(self.hours.iter().map(|hour| hour.horizontal).sum::<f64>() / 1000.0)
    }
    pub(crate) const fn of(hours: Vec<WeatherHour>) -> Self {
        Self { hours }
    }
}
