//! Shade: the far horizon, things near by, and rows behind rows.

use crate::calendar::ByMonth;
use lineside_core::math::{cos, sin, tan};
use lineside_core::units::{Degrees, Meters, Percent};

/// The far horizon: heights by azimuth, straight between them and round through north.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Horizon {
    /// Azimuth and height in degrees, in rising order of azimuth.
    points: Vec<(f64, f64)>,
}

impl Horizon {
    /// From points in any order. Azimuths are taken round the circle; of two at one azimuth the higher counts.
    pub fn new(points: &[(Degrees, Degrees)]) -> Self {
        let mut points: Vec<(f64, f64)> = points
            .iter()
            .map(|(azimuth, height)| (azimuth.value().rem_euclid(360.0), height.value().clamp(0.0, 90.0)))
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
        points.dedup_by(|later, earlier| later.0 <= earlier.0);
        Self { points }
    }

    /// Height at an azimuth, degrees.
    pub(super) fn height(&self, azimuth_deg: f64) -> f64 {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else { return 0.0 };
        let at = azimuth_deg.rem_euclid(360.0);
        let next = self.points.iter().position(|(azimuth, _)| *azimuth >= at);
        let (before, after) = match next {
            Some(0) => ((last.0 - 360.0, last.1), *first),
            None => (*last, (first.0 + 360.0, first.1)),
            Some(next) => match (self.points.get(next - 1), self.points.get(next)) {
                (Some(before), Some(after)) => (*before, *after),
                _ => (*last, *first),
            },
        };
        if after.0 <= before.0 {
            return before.1;
        }
        before.1 + (after.1 - before.1) * (at - before.0) / (after.0 - before.0)
    }

    /// The part of an even sky that stays in sight.
    pub(super) fn sky_in_sight(&self) -> f64 {
        if self.points.is_empty() {
            return 1.0;
        }
        let of_azimuth = |n: u32| {
            let cosine = cos(self.height(f64::from(n) + 0.5).to_radians());
            cosine * cosine
        };
        (0..360).map(of_azimuth).sum::<f64>() / 360.0
    }
}

/// How much more than its share of the area shade takes of the power.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum ShadeGain {
    /// Shade that falls evenly, or electronics at each module.
    #[default]
    Even,
    /// One string partly shaded.
    OneString,
    /// Several strings on one input.
    SeveralStrings,
}

impl ShadeGain {
    /// By what the shaded share is multiplied; engineering judgment.
    pub(super) const fn factor(self) -> f64 {
        match self {
            Self::Even => 1.0,
            Self::OneString => 2.0,
            Self::SeveralStrings => 3.0,
        }
    }
}

/// Shaded share of the beam by month and hour of the day, from a survey of the site.
#[derive(Clone, Debug, PartialEq)]
pub struct NearShade {
    /// For each month 24 shares of one.
    pub shares: ByMonth<[f64; 24]>,
    /// How much of the power it takes.
    pub gain: ShadeGain,
}

/// Rows of modules behind each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rows {
    /// How many.
    pub count: u32,
    /// Slanted height of one.
    pub slant: Meters,
    /// From the front edge of one to the front edge of the next, on level ground.
    pub pitch: Meters,
    /// How much of the power their shade takes.
    pub gain: ShadeGain,
}

impl Rows {
    /// Share of the beam that the rows take from each other, with the sun at a height and to the side of where they
    /// look: the lower part of each row but the first.
    pub(super) fn shaded(&self, elevation_deg: f64, turn_deg: f64, tilt_deg: f64) -> f64 {
        let ahead = cos(turn_deg.to_radians());
        if self.count < 2 || elevation_deg <= 0.0 || ahead <= 0.0 || self.slant <= Meters::ZERO {
            return 0.0;
        }
        // Height of the sun in the plane across the rows: tan e / cos Δaz. A ray over the upper edge of one row meets
        // the next at s = 1 − (pitch/slant) × tan e′ / (sin β + cos β tan e′) of its slant.
        let steep = tan(elevation_deg.to_radians()) / ahead;
        let tilt = tilt_deg.to_radians();
        let reach = steep / (sin(tilt) + cos(tilt) * steep);
        let share = (1.0 - self.pitch / self.slant * reach).clamp(0.0, 1.0);
        let behind = f64::from(self.count - 1) / f64::from(self.count);
        (share * behind * self.gain.factor()).min(1.0)
    }
}

/// Clear space between rows on level ground so that none shades the next: `L sin β / tan e × cos Δaz`, `e` the height of
/// the sun and `Δaz` its azimuth less the rows'.
pub fn row_spacing(slant: Meters, tilt: Degrees, elevation: Degrees, turn: Degrees) -> Meters {
    slant
        * (sin(tilt.value().to_radians()) / tan(elevation.value().to_radians()))
        * cos(turn.value().to_radians())
}

impl NearShade {
    /// A survey's percentages.
    pub fn from_percent(shares: ByMonth<[Percent; 24]>, gain: ShadeGain) -> Self {
        Self { shares: shares.map(|day| day.map(|share| share.share().clamp(0.0, 1.0))), gain }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn horizon(points: &[(f64, f64)]) -> Horizon {
        let points: Vec<_> = points.iter().map(|(a, h)| (Degrees::new(*a), Degrees::new(*h))).collect();
        Horizon::new(&points)
    }

    #[test]
    fn the_horizon_runs_round_through_north() {
        let horizon = horizon(&[(300.0, 10.0), (60.0, 12.0)]);
        assert!((horizon.height(180.0) - 11.0).abs() < 1e-12);
        assert!((horizon.height(0.0) - 11.0).abs() < 1e-12);
        assert!((horizon.height(330.0) - 10.5).abs() < 1e-12);
        assert!(Horizon::default().height(77.0).abs() < 1e-15);
        // One point is a level horizon: cos² 30° = 0.75 of the sky is left.
        assert!(
            (Horizon::new(&[(Degrees::new(9.0), Degrees::new(30.0))]).sky_in_sight() - 0.75).abs() < 1e-12
        );
    }

    #[test]
    fn rows_at_the_clear_spacing_do_not_shade() {
        // 2 m at 30° and a sun 20° high straight ahead: 2 × 0.5 / 0.36397 = 2.7475 m clear, and 2 cos 30° = 1.7321 m
        // of row make a pitch of 4.4796 m.
        let (slant, tilt) = (Meters::new(2.0), Degrees::new(30.0));
        let clear = row_spacing(slant, tilt, Degrees::new(20.0), Degrees::ZERO);
        assert!((clear.value() - 2.7475).abs() < 1e-3);
        let pitch = Meters::new(clear.value() + 1.732_050_8);
        let rows = Rows { count: 3, slant, pitch, gain: ShadeGain::Even };
        assert!(rows.shaded(20.0, 0.0, 30.0).abs() < 1e-6);
        assert!(rows.shaded(25.0, 0.0, 30.0).abs() < 1e-15);
        // At half that pitch, half of the slant is in shade, on two rows of three.
        let close = Rows { pitch: pitch * 0.5, ..rows };
        assert!((close.shaded(20.0, 0.0, 30.0) - 0.5 * 2.0 / 3.0).abs() < 1e-6);
        assert!(close.shaded(20.0, 120.0, 30.0).abs() < 1e-15);
    }
}
