//! What every converter does at the moment of the search: the powers that couple the islands.

use crate::flow::alternating::Power;
use crate::flow::direct::Mode;
use crate::flow::tracking::Bound;

/// How much a controller takes from its strings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) enum Draw {
    /// All that they give.
    #[default]
    All,
    /// So many watts.
    Watts(f64),
}

/// Why a controller gets nothing from its strings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::flow) enum Starved {
    /// Their voltage is too low for it.
    Low,
    /// Their open-circuit voltage is above what it starts at.
    High,
    /// They give less than it loses.
    Little,
}

/// A charge controller.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct ControllerNow {
    /// What its strings would give, when that was looked for.
    pub available_watts: f64,
    /// The current that goes with it.
    pub available_amps: f64,
    pub bound: Bound,
    pub starved: Option<Starved>,
    pub draw: Draw,
    pub in_volts: f64,
    pub in_amps: f64,
    pub out_volts: f64,
    /// The output voltage by which its lowest input voltage is reckoned.
    pub over: Approach,
    pub out_amps: f64,
    /// `None` when it is not there to give.
    pub mode: Option<Mode>,
    pub is_power_limited: bool,
}

/// A number that is assumed, and comes to be what follows from it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct Approach {
    /// What is assumed.
    pub assumed: f64,
    /// The last assumption, and by how much what followed from it was greater.
    last: Option<(f64, f64)>,
    /// The greatest assumption from which more followed, and the least from which less did.
    between: (Option<f64>, Option<f64>),
}

impl Approach {
    pub(super) fn at(assumed: f64) -> Self {
        Self { assumed, ..Self::default() }
    }
    /// Takes in what followed. At first it is assumed in turn; then the secant through the last two tells where both
    /// would be the same, though not farther away than a few times what they differ by. Once it is known to lie between
    /// two assumptions it stays between them, and goes to the middle where the secant leads out or gains too little, as
    /// it does at a bend.
    pub(super) fn follow(&mut self, followed: f64) {
        let off = followed - self.assumed;
        if !off.is_finite() || off.abs() <= 1e-13 * followed.abs() {
            return;
        }
        let (low, high) = &mut self.between;
        if off > 0.0 {
            *low = Some(self.assumed);
            // Other powers have changed since then.
            *high = high.filter(|high| *high > self.assumed);
        } else {
            *high = Some(self.assumed);
            *low = low.filter(|low| *low < self.assumed);
        }
        let secant = self.last.map(|(assumed, was_off)| -off * (self.assumed - assumed) / (off - was_off));
        let gains = self.last.is_none_or(|(_, was_off)| off.abs() <= 0.5 * was_off.abs());
        let reach = 4.0 * off.abs();
        let step = secant.filter(|step| step.is_finite()).map_or(off, |step| step.clamp(-reach, reach));
        let next = self.assumed + step;
        self.last = Some((self.assumed, off));
        self.assumed = match self.between {
            (Some(low), Some(high)) if !gains || next <= low || next >= high => low + 0.5 * (high - low),
            _ => next,
        };
    }
}

/// A DC-to-DC converter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct ConverterNow {
    pub out_watts: f64,
    pub out_amps: f64,
    pub in_volts: f64,
    pub mode: Option<Mode>,
}

/// An inverter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct InverterNow {
    /// The input through which it passes.
    pub passes: Option<usize>,
    /// Whether it makes AC by itself.
    pub inverts: bool,
    /// What it makes while it inverts.
    pub output: Power,
    /// What it takes from the battery to make AC, and for itself where the source has nothing left for that.
    pub dc_watts: f64,
    /// What goes through its relay.
    pub through_watts: f64,
    /// What it adds to a source that is too small.
    pub help_watts: f64,
    /// What it takes for itself from the AC input that it passes through.
    pub idle_watts: f64,
    /// What its charger may take from the AC input; what is lost on the way there depends on it.
    pub room: Option<Approach>,
    /// What its charger gives.
    pub charge_watts: f64,
    pub charge_amps: f64,
    pub charge_mode: Option<Mode>,
    /// The voltage that the charger holds or would hold.
    pub set_volts: Option<f64>,
    pub dc_volts: f64,
    pub in_volts: f64,
}

/// Numbers by which an island is known again, to see whether anything changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Fingerprint {
    numbers: Vec<f64>,
}

/// Numbers that differ by less, as a share, are the same.
const SAME: f64 = 1e-11;
/// So are numbers that differ by less than this share of the greatest power of all: what a small charger may take is the
/// difference of two great powers.
const SAME_OF_GREATEST: f64 = 2e-12;

impl Fingerprint {
    pub(super) fn push(&mut self, number: f64) {
        self.numbers.push(number);
    }
    pub(super) fn is_like(&self, other: &Self, greatest_watts: f64) -> bool {
        self.numbers.len() == other.numbers.len()
            && self.numbers.iter().zip(&other.numbers).all(|(a, b)| {
                let size = a.abs().max(b.abs()).max(1.0);
                a.total_cmp(b).is_eq()
                    || (a - b).abs() <= (SAME * size).max(SAME_OF_GREATEST * greatest_watts)
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_approach_comes_to_rest_where_going_in_circles_would_not() {
        // What follows from x is 60 − 1.4 (x − 50), or a curve; assumed as it follows it would swing ever farther.
        for follows in [
            // A bend: level, then steeply down.
            |x: f64| if x < 50.2 { 55.0 } else { 55.0 - 400.0 * (x - 50.2) },
            |x: f64| 60.0 - 1.4 * (x - 50.0),
            |x: f64| 130.0 - x * x / 60.0,
            |x: f64| 55.0 + 0.3 * (x - 50.0),
        ] {
            let mut approach = Approach::at(50.0);
            for _ in 0..40 {
                approach.follow(follows(approach.assumed));
            }
            assert!((follows(approach.assumed) - approach.assumed).abs() < 1e-10, "{approach:?}");
        }
    }
}
