//! What is left of a rating in the heat and at height, by the nameplate.

use super::Given;
use lineside_core::units::{Celsius, Meters, Percent, PercentPerCelsius};

/// The figures of a nameplate.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Derating {
    pub full_output_to: Option<Celsius>,
    pub hot: Option<PercentPerCelsius>,
    pub full_output_below: Option<Meters>,
    pub altitude: Option<Percent>,
}

impl Derating {
    /// The share of the rating that is left at the site, in this ambient.
    pub(super) fn share(self, given: &Given<'_>) -> f64 {
        let heat = match (self.full_output_to, self.hot) {
            (Some(to), Some(change)) if given.state.ambient > to => {
                change.factor(given.state.ambient.above(to))
            }
            _ => 1.0,
        };
        let height = match (self.full_output_below, self.altitude, given.on.project.brief.site.elevation) {
            (Some(below), Some(lost), Some(site)) if site > below => {
                1.0 - lost.share() * ((site - below) / Meters::new(100.0))
            }
            _ => 1.0,
        };
        heat.clamp(0.0, 1.0) * height.clamp(0.0, 1.0)
    }
}
