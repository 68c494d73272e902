//! How the output of a converter falls in the heat. The outside air counts, for rooms follow it in summer.

use lineside_core::units::{Celsius, Percent, PercentPerCelsius};

/// How output falls in the heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotDerating {
    /// Temperature up to which there is full output.
    pub full_to: Celsius,
    /// Change with each degree above.
    pub change: PercentPerCelsius,
    /// It is never taken to fall below this.
    pub least: Percent,
}

impl HotDerating {
    /// What is left at an air temperature, as a share.
    pub(crate) fn left(&self, celsius: f64) -> f64 {
        let above = (celsius - self.full_to.value()).max(0.0);
        (1.0 + self.change.value() / 100.0 * above).max(self.least.share())
    }
}
