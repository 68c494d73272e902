//! From the level to a tilted plane, by one of three models of the sky.

use crate::tables::{SkyBrightness, Tables};
use lineside_core::math::{cos, sin};
use lineside_core::units::{Degrees, Percent, WattsPerSquareMeter};

/// How bright which part of the sky is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SkyModel {
    /// Around the sun and at the horizon brighter than elsewhere [Perez & others 1990].
    #[default]
    Perez,
    /// Around the sun brighter than elsewhere [Hay & Davies 1980].
    HayDavies,
    /// Alike everywhere [Liu & Jordan 1960].
    Isotropic,
}

/// The sun and the plane it shines on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneSun {
    /// Of the sun, from straight above.
    pub zenith: Degrees,
    /// Of the sun, clockwise from north.
    pub azimuth: Degrees,
    /// Of the plane, from the level.
    pub tilt: Degrees,
    /// Direction in which the plane looks, clockwise from north.
    pub plane_azimuth: Degrees,
    /// Straight from the sun, across its rays.
    pub beam: WattsPerSquareMeter,
    /// From the sky, on the level.
    pub diffuse: WattsPerSquareMeter,
    /// Share of sunlight that the ground throws back.
    pub albedo: Percent,
    /// Above the air, across the rays.
    pub above_air: WattsPerSquareMeter,
}

/// What a plane gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnPlane {
    /// Straight from the sun.
    pub beam: WattsPerSquareMeter,
    /// From around the sun.
    pub circumsolar: WattsPerSquareMeter,
    /// From the whole of the sky alike.
    pub isotropic: WattsPerSquareMeter,
    /// From the brighter band at the horizon; less than nothing where it is darker.
    pub horizon: WattsPerSquareMeter,
    /// From the ground.
    pub ground: WattsPerSquareMeter,
    /// Cosine of the angle of incidence.
    pub cos_incidence: f64,
}

impl OnPlane {
    /// All of it.
    pub fn total(&self) -> WattsPerSquareMeter {
        self.beam + self.circumsolar + self.isotropic + self.horizon + self.ground
    }
}

/// What a plane gets at one moment.
pub fn transpose(tables: &Tables, model: SkyModel, at: &PlaneSun) -> OnPlane {
    let zenith = at.zenith.value().to_radians();
    let tilt = at.tilt.value().to_radians();
    let turn = (at.azimuth.value() - at.plane_azimuth.value()).to_radians();
    let facing = Facing::new(cos(zenith), sin(zenith) * cos(turn), tilt);
    let sky = SkyLight {
        zenith,
        air_mass: crate::sun::relative_air_mass(at.zenith.value()),
        above_air: at.above_air.value(),
        beam: at.beam.value(),
        diffuse: at.diffuse.value(),
    };
    let parts = facing.sky(model, &tables.brightness, &sky, cos(tilt), sin(tilt));
    let horizontal = sky.beam * cos(zenith).max(0.0) + sky.diffuse;
    let watts = WattsPerSquareMeter::new;
    OnPlane {
        beam: watts(sky.beam * facing.toward),
        circumsolar: watts(parts.circumsolar),
        isotropic: watts(parts.isotropic),
        horizon: watts(parts.horizon),
        ground: watts(horizontal * at.albedo.share() * (1.0 - cos(tilt)) / 2.0),
        cos_incidence: facing.cos_incidence,
    }
}

/// Cosine of 85°: below it the sun's height is not divided by.
const LOW_SUN: f64 = 0.087_155_742_747_658_17;
/// Weight of the zenith in the clearness of the sky, zenith in radians.
const ZENITH_WEIGHT: f64 = 1.041;

/// How the sun stands to a plane.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Facing {
    pub cos_incidence: f64,
    /// The part of the beam that hits the front; nothing while the sun is down.
    pub toward: f64,
    /// That over the part which hits the level.
    pub over_level: f64,
    sun_up: f64,
}

impl Facing {
    /// From the sun's height and its part towards the plane's azimuth.
    pub(super) fn new(cos_zenith: f64, sin_zenith_cos_turn: f64, tilt: f64) -> Self {
        let cos_incidence = cos_zenith * cos(tilt) + sin_zenith_cos_turn * sin(tilt);
        let toward = if cos_zenith > 0.0 { cos_incidence.max(0.0) } else { 0.0 };
        Self { cos_incidence, toward, over_level: toward / cos_zenith.max(LOW_SUN), sun_up: cos_zenith }
    }

    /// What the plane gets from the sky.
    pub(super) fn sky(
        &self,
        model: SkyModel,
        brightness: &[SkyBrightness],
        sky: &SkyLight,
        cos_tilt: f64,
        sin_tilt: f64,
    ) -> SkyParts {
        let seen = f64::midpoint(1.0, cos_tilt);
        let even = SkyParts { isotropic: sky.diffuse * seen, ..SkyParts::default() };
        if sky.diffuse <= 0.0 || self.sun_up <= 0.0 {
            return even;
        }
        match model {
            SkyModel::Isotropic => even,
            SkyModel::HayDavies => {
                let share = sky.beam / sky.above_air;
                SkyParts {
                    circumsolar: sky.diffuse * share * self.over_level,
                    isotropic: sky.diffuse * (1.0 - share) * seen,
                    horizon: 0.0,
                }
            }
            SkyModel::Perez => {
                let (around, band) = sky.brightening(brightness);
                let parts = SkyParts {
                    circumsolar: sky.diffuse * around * self.over_level,
                    isotropic: sky.diffuse * (1.0 - around) * seen,
                    horizon: sky.diffuse * band * sin_tilt,
                };
                let sum = parts.circumsolar + parts.isotropic + parts.horizon;
                if sum < 0.0 { SkyParts::default() } else { parts }
            }
        }
    }
}

/// The light of the sky at one moment, W/m², zenith in radians.
#[derive(Clone, Copy, Debug)]
pub(super) struct SkyLight {
    pub zenith: f64,
    pub air_mass: f64,
    pub above_air: f64,
    pub beam: f64,
    pub diffuse: f64,
}

impl SkyLight {
    /// F₁ and F₂: how much brighter it is around the sun and at the horizon.
    fn brightening(&self, rows: &[SkyBrightness]) -> (f64, f64) {
        let weight = ZENITH_WEIGHT * self.zenith * self.zenith * self.zenith;
        let clearness = ((self.diffuse + self.beam) / self.diffuse + weight) / (1.0 + weight);
        let depth = self.diffuse * self.air_mass / self.above_air;
        let row = rows.iter().rev().find(|row| clearness >= row.clearness).or(rows.first());
        let Some(row) = row else { return (0.0, 0.0) };
        let at =
            |[constant, by_depth, by_zenith]: [f64; 3]| constant + by_depth * depth + by_zenith * self.zenith;
        (at(row.circumsolar).max(0.0), at(row.horizon))
    }
}

/// What the plane gets from the sky, W/m².
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct SkyParts {
    pub circumsolar: f64,
    pub isotropic: f64,
    pub horizon: f64,
}
