//! What the glass lets through against what it lets through square on [Martin & Ruiz, Sol. Energy Mater. Sol. Cells 70, 25
//! (2001), with the corrected coefficients for diffuse light].

use lineside_core::math::{cos, exp, sin};
use lineside_core::units::Degrees;
use std::f64::consts::PI;

/// Parts of the light that get through, compared with light square on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transmittance {
    /// Of the beam and the sky close around the sun.
    pub beam: f64,
    /// Of the rest of the sky.
    pub sky: f64,
    /// Of what the ground throws back.
    pub ground: f64,
}

/// For a cosine of the angle of incidence, a tilt, and the angular reflectance of the glass: 0.16 with anti-reflective
/// glass, 0.17 plain and clean.
pub fn transmittance(cos_incidence: f64, tilt: Degrees, reflectance: f64) -> Transmittance {
    let (sky, ground) = diffuse(tilt.value().to_radians(), reflectance);
    Transmittance { beam: Beam::new(reflectance).at(cos_incidence), sky, ground }
}

/// The beam's part, with what does not change from hour to hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Beam {
    reflectance: f64,
    square_on: f64,
}

impl Beam {
    pub(super) fn new(reflectance: f64) -> Self {
        Self { reflectance, square_on: 1.0 - exp(-1.0 / reflectance) }
    }
    pub(super) fn at(&self, cos_incidence: f64) -> f64 {
        (1.0 - exp(-cos_incidence / self.reflectance)) / self.square_on
    }
}

/// Of the sky and of the ground, for a tilt in radians.
pub(super) fn diffuse(tilt: f64, reflectance: f64) -> (f64, f64) {
    let (sine, cosine) = (sin(tilt), cos(tilt));
    let part = |t: f64| {
        let c1 = 4.0 / (3.0 * PI);
        let c2 = 0.5 * reflectance - 0.154;
        1.0 - exp(-(c1 * t + c2 * t * t) / reflectance)
    };
    let sky = part(sine + (PI - tilt - sine) / (1.0 + cosine));
    let ground = if cosine < 1.0 { part(sine + (tilt - sine) / (1.0 - cosine)) } else { 0.0 };
    (sky, ground)
}
