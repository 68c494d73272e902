//! Inverter and charger: what they take for what they give, and where they end.

use crate::converter::Converter;
use crate::hot_derating::HotDerating;
use lineside_codes::tables::LossLaw;
use lineside_core::math::sqrt;
use lineside_core::units::{Amps, Percent, VoltAmps, Volts, Watts};

/// Waiting for a load with less power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Search {
    /// What it takes while it waits.
    pub draw: Watts,
    /// AC demand below which it waits.
    pub below: Watts,
}

/// The inverters of one AC bus together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inverter {
    /// Rated apparent output.
    pub apparent: VoltAmps,
    /// Continuous output.
    pub continuous: Watts,
    /// What it takes with no load.
    pub idle: Watts,
    /// Search mode, when it is on.
    pub search: Option<Search>,
    /// Loss in proportion to the apparent output; the standing part is `idle`.
    pub law: LossLaw,
    /// What is left of the output at the height of the site.
    pub at_altitude: Percent,
    /// How output falls in the heat.
    pub hot: Option<HotDerating>,
}

impl Inverter {
    /// Input for an active output and a power factor, idle draw apart: `P + k₁S + k₂S²/S_r`.
    pub fn input(&self, output: Watts, power_factor: Percent) -> Watts {
        Watts::new(self.inverting(power_factor.share()).input_w(output.value()))
    }
    /// Output for an input beyond the idle draw.
    pub fn output(&self, input: Watts, power_factor: Percent) -> Watts {
        Watts::new(self.inverting(power_factor.share()).output_w(input.value()))
    }

    pub(crate) fn inverting(&self, power_factor: f64) -> Inverting {
        let [_, k1, k2] = self.law.shares();
        Inverting {
            by_power: k1 / power_factor,
            by_square: k2 / (power_factor * power_factor * self.apparent.value()),
        }
    }

    /// Greatest output at a power factor, W.
    pub(crate) fn limit_w(&self, power_factor: f64, celsius: f64) -> f64 {
        let hot = self.hot.map_or(1.0, |hot| hot.left(celsius));
        self.continuous.value().min(power_factor * self.apparent.value()) * self.at_altitude.share() * hot
    }

    /// What it takes by itself while the AC demand is so much.
    pub(crate) fn idle_w(&self, demand_w: f64) -> f64 {
        match self.search {
            Some(search) if demand_w < search.below.value() => search.draw.value(),
            _ => self.idle.value(),
        }
    }
}

/// An inverter at one power factor.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Inverting {
    by_power: f64,
    by_square: f64,
}

impl Inverting {
    pub(crate) fn loss_w(&self, output: f64) -> f64 {
        output * (self.by_power + self.by_square * output)
    }
    pub(crate) fn input_w(&self, output: f64) -> f64 {
        output + self.loss_w(output)
    }
    pub(crate) fn output_w(&self, input: f64) -> f64 {
        if input <= 0.0 {
            return 0.0;
        }
        let b = 1.0 + self.by_power;
        2.0 * input / (b + sqrt(b * b + 4.0 * self.by_square * input))
    }
}

/// The chargers of one bus together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charger {
    /// Charge current.
    pub current: Amps,
    /// What it loses; the rating is the current times the nominal voltage of the bank.
    pub law: LossLaw,
}

impl Charger {
    pub(crate) fn converter(&self, nominal: Volts) -> Converter {
        Converter::new(self.law, nominal * self.current)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::{Celsius, PercentPerCelsius};

    fn inverter() -> Inverter {
        Inverter {
            apparent: VoltAmps::new(4000.0),
            continuous: Watts::new(3600.0),
            idle: Watts::new(25.0),
            search: Some(Search { draw: Watts::new(5.0), below: Watts::new(20.0) }),
            law: LossLaw::of_shares([0.0, 0.015, 0.05]),
            at_altitude: Percent::new(100.0),
            hot: None,
        }
    }

    #[test]
    fn input_and_output() {
        // 1600 W at 0.8: S = 2000; 1600 + 0.015 × 2000 + 0.05 × 2000²/4000 = 1680.
        let (watts, factor) = (Watts::new(1600.0), Percent::new(80.0));
        assert!((inverter().input(watts, factor).value() - 1680.0).abs() < 1e-9);
        assert!((inverter().output(Watts::new(1680.0), factor).value() - 1600.0).abs() < 1e-9);
        assert_eq!(inverter().output(Watts::ZERO, factor), Watts::ZERO);
    }

    #[test]
    fn limits_and_idle() {
        // 0.8 × 4000 = 3200 W bind at a power factor of 0.8, 3600 W at 1.
        assert!((inverter().limit_w(0.8, 60.0) - 3200.0).abs() < 1e-9);
        assert!((inverter().limit_w(1.0, 60.0) - 3600.0).abs() < 1e-9);
        let hot = HotDerating {
            full_to: Celsius::new(40.0),
            change: PercentPerCelsius::new(-1.0),
            least: Percent::new(50.0),
        };
        let hot = Inverter { hot: Some(hot), ..inverter() };
        assert!(
            (hot.limit_w(1.0, 45.0) - 3420.0).abs() < 1e-9 && (hot.limit_w(1.0, 140.0) - 1800.0).abs() < 1e-9
        );
        assert_eq!((inverter().idle_w(19.0), inverter().idle_w(20.0)), (5.0, 25.0));
    }
}
