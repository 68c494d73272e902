//! Generator: what it can give where it stands, what it burns, and when it is started and stopped.

use crate::tables::{Defaults, FuelUse};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{Celsius, Hours, Liters, Meters, Percent, Volts, Watts};

/// What starts and stops a generator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Starter {
    /// Starts at or below it.
    pub start: StartLevel,
    /// Stops at or above this charge.
    pub stop: Percent,
    /// How long the bank must have been low.
    pub delay: Hours,
    /// Shortest run.
    pub least_run: Hours,
    /// Longest run.
    pub longest_run: Hours,
    /// From this hour of the day to that it stays quiet, but in an emergency; may run over midnight.
    pub quiet: Option<(Hours, Hours)>,
    /// Starts at or below this charge whatever the hour.
    pub emergency: Percent,
    /// Days without a run after which it is exercised, and the hour of the day for it.
    pub exercise: Option<(u32, Hours)>,
    /// Starts when the AC demand is greater.
    pub load_start: Option<Watts>,
}

/// By what a low bank is told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StartLevel {
    /// By its charge.
    Charge(Percent),
    /// By its voltage under the load of the hour before; delays under an hour act at once.
    Voltage(Volts),
}

/// Charge that an emergency start stands above the floor of the bank.
const EMERGENCY_ABOVE_FLOOR: Percent = Percent::new(1.0);

impl Starter {
    /// The usual settings for a chemistry.
    pub fn usual(chemistry: Chemistry, floor: Percent, defaults: &Defaults) -> Self {
        let lead = matches!(chemistry, Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel);
        let (start, stop) = if lead {
            (defaults.generator_start_lead, defaults.generator_stop_lead)
        } else {
            (defaults.generator_start, defaults.generator_stop)
        };
        Self {
            start: StartLevel::Charge(start),
            stop,
            delay: Hours::ZERO,
            least_run: defaults.generator_least_run,
            longest_run: defaults.generator_longest_run,
            quiet: None,
            emergency: floor + EMERGENCY_ABOVE_FLOOR,
            exercise: None,
            load_start: None,
        }
    }
}

/// A generator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Generator {
    /// Rated output.
    pub rated: Watts,
    /// What it burns; `None` when that is not known.
    pub fuel: Option<FuelUse>,
    /// What starts and stops it.
    pub starter: Starter,
    /// Height above the sea where it stands.
    pub elevation: Meters,
    /// Part of the output that can be used for hours.
    pub usable: Percent,
    /// What height and heat take.
    pub derating: EngineDerating,
    /// Greatest power that the inputs behind it take; `None` for as much as it gives.
    pub input_limit: Option<Watts>,
    /// Load below which it should not run for long.
    pub least_load: Percent,
    /// Minutes of warm-up and of cool-down.
    pub minutes: (f64, f64),
    /// Whether sun on the AC side goes on while it runs.
    pub with_sun: WithSun,
}

/// What height and heat take of the output of an engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EngineDerating {
    /// Height up to which it gives its full output.
    pub full_below: Meters,
    /// Output lost for each 100 m above that.
    pub for_100_m: Percent,
    /// Temperature up to which it gives its full output.
    pub full_to: Celsius,
    /// Output lost for each degree above that.
    pub per_kelvin: Percent,
}

/// Whether AC-coupled sun goes on while a generator runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum WithSun {
    /// It is switched off.
    #[default]
    Off,
    /// Both are made to run in parallel.
    Parallel,
}

/// Steps of height and heat in which makers state the loss of output.
const ALTITUDE_STEP_M: f64 = 300.0;
const HEAT_STEP_K: f64 = 5.6;

impl Generator {
    /// A generator of the usual behavior.
    pub fn new(
        rated: Watts,
        fuel: Option<FuelUse>,
        starter: Starter,
        elevation: Meters,
        defaults: &Defaults,
    ) -> Self {
        Self {
            rated,
            fuel,
            starter,
            elevation,
            usable: Percent::new(100.0),
            derating: EngineDerating {
                full_below: Meters::ZERO,
                for_100_m: defaults.generator_altitude * (100.0 / ALTITUDE_STEP_M),
                full_to: Celsius::STANDARD_TEST,
                per_kelvin: defaults.generator_heat * (1.0 / HEAT_STEP_K),
            },
            input_limit: None,
            least_load: defaults.generator_least_load,
            minutes: (defaults.generator_warm_up.value(), defaults.generator_cool_down.value()),
            with_sun: WithSun::Off,
        }
    }

    /// What it can give at its height and an air temperature.
    pub fn greatest_output(&self, air: Celsius) -> Watts {
        Watts::new(self.most_w(air.value()))
    }

    pub(crate) fn most_w(&self, air: f64) -> f64 {
        let derating = &self.derating;
        let above = ((self.elevation - derating.full_below).value() / 100.0).max(0.0);
        let height = 1.0 - derating.for_100_m.share() * above;
        let heat = 1.0 - derating.per_kelvin.share() * (air - derating.full_to.value()).max(0.0);
        self.rated.value() * self.usable.share() * height.max(0.0) * heat.max(0.0)
    }

    /// What it gives in the hour in which it starts.
    pub(crate) fn warm_share(&self) -> f64 {
        1.0 - self.minutes.0 / 60.0
    }
    /// Hours of cool-down that follow each run.
    pub(crate) fn cool_down_h(&self) -> f64 {
        self.minutes.1 / 60.0
    }

    /// Fuel for hours of running and energy delivered.
    pub(crate) fn fuel_l(&self, hours: f64, energy_wh: f64) -> Liters {
        let liters = self.fuel.map_or(0.0, |fuel| {
            fuel.standing * self.rated.value() / 1000.0 * hours + fuel.running * energy_wh / 1000.0
        });
        Liters::new(liters)
    }
}

/// What the starter remembers from hour to hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Running {
    pub on: bool,
    pub run_h: f64,
    since_last_h: f64,
    low_h: f64,
}

/// What the starter sees at the start of an hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen {
    pub charge: f64,
    /// Voltage under the load of the hour before.
    pub volts: f64,
    pub hour: usize,
    /// AC demand that must run, W.
    pub demand_w: f64,
}

/// What happens in the hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Act {
    Rests,
    Starts,
    Runs,
}

/// Whether an hour of the day lies in a window that may run over midnight.
pub(crate) fn in_window(hour: usize, (from, to): (Hours, Hours)) -> bool {
    let (hour, from, to) = (hour as f64, from.value(), to.value());
    if from <= to { hour >= from && hour < to } else { hour >= from || hour < to }
}

impl Starter {
    pub(crate) fn is_quiet(&self, hour: usize) -> bool {
        self.quiet.is_some_and(|window| in_window(hour, window))
    }

    /// The charge at which it starts; the emergency's where it goes by voltage.
    pub(crate) const fn start_charge(&self) -> Percent {
        match self.start {
            StartLevel::Charge(charge) => charge,
            StartLevel::Voltage(_) => self.emergency,
        }
    }

    /// Decides at the start of an hour.
    pub(crate) fn decide(&self, state: &mut Running, seen: &Seen) -> Act {
        let is_low = match self.start {
            StartLevel::Charge(level) => seen.charge <= level.share(),
            StartLevel::Voltage(level) => seen.volts <= level.value(),
        };
        state.low_h = if is_low { state.low_h + 1.0 } else { 0.0 };
        let quiet = self.is_quiet(seen.hour);
        let emergency = seen.charge <= self.emergency.share();
        if state.on {
            let enough = seen.charge >= self.stop.share()
                || state.run_h >= self.longest_run.value()
                || (quiet && !emergency);
            if enough && state.run_h >= self.least_run.value() {
                state.rest();
                return Act::Rests;
            }
            state.run_h += 1.0;
            return Act::Runs;
        }
        // With delays under an hour the first low hour is enough.
        let waited = state.low_h > self.delay.value().floor();
        let exercise = self.exercise.is_some_and(|(days, at)| {
            state.since_last_h >= 24.0 * f64::from(days) && in_window(seen.hour, (at, at + Hours::new(1.0)))
        });
        let wanted = (!quiet && (waited || exercise))
            || emergency
            || self.load_start.is_some_and(|most| seen.demand_w > most.value());
        if wanted {
            *state = Running { on: true, run_h: 1.0, since_last_h: 0.0, low_h: state.low_h };
            Act::Starts
        } else {
            state.rest();
            Act::Rests
        }
    }
}

impl Running {
    /// An hour without it.
    pub(crate) fn rest(&mut self) {
        self.on = false;
        self.run_h = 0.0;
        self.since_last_h += 1.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example_file::{close, component, list, number};
    use crate::tables::Tables;

    fn starter() -> Starter {
        let defaults = Tables::load().unwrap().defaults;
        Starter {
            quiet: Some((Hours::new(22.0), Hours::new(7.0))),
            ..Starter::usual(Chemistry::NickelIron, Percent::new(20.0), &defaults)
        }
    }

    #[test]
    fn reference_outputs() {
        let defaults = Tables::load().unwrap().defaults;
        for case in list(component("generator_derate")) {
            let at = |key: &str| number(&case[key]);
            let rated = Watts::new(at("kw") * 1000.0);
            let generator = Generator::new(rated, None, starter(), Meters::new(at("elev")), &defaults);
            close("output", generator.greatest_output(Celsius::new(at("ta"))).value(), at("p_max"));
        }
    }

    #[test]
    fn it_starts_low_and_stops_high_and_keeps_quiet() {
        let starter = starter();
        let mut state = Running::default();
        let mut at =
            |charge, hour| starter.decide(&mut state, &Seen { charge, volts: 0.0, hour, demand_w: 0.0 });
        assert_eq!(at(0.5, 8), Act::Rests);
        assert_eq!(at(0.3, 9), Act::Starts);
        assert_eq!(at(0.6, 10), Act::Runs);
        assert_eq!(at(0.85, 11), Act::Rests);
        assert_eq!(at(0.3, 23), Act::Rests, "quiet");
        assert_eq!(at(0.21, 23), Act::Starts, "an emergency");
        assert_eq!(at(0.21, 0), Act::Runs);
        assert_eq!(at(0.5, 1), Act::Rests, "quiet again");
    }

    #[test]
    fn it_can_start_by_voltage_or_load_and_is_exercised() {
        let by_volts = Starter { start: StartLevel::Voltage(Volts::new(48.0)), ..starter() };
        let mut state = Running::default();
        let mut at = |starter: &Starter, volts, hour, demand_w| {
            starter.decide(&mut state, &Seen { charge: 0.6, volts, hour, demand_w })
        };
        assert_eq!(at(&by_volts, 48.1, 10, 0.0), Act::Rests);
        assert_eq!(at(&by_volts, 47.9, 10, 0.0), Act::Starts);
        let by_load = Starter { load_start: Some(Watts::new(2000.0)), stop: Percent::new(50.0), ..starter() };
        assert_eq!(at(&by_load, 50.0, 11, 0.0), Act::Rests);
        assert_eq!(at(&by_load, 50.0, 11, 2001.0), Act::Starts);
        assert_eq!(at(&by_load, 50.0, 12, 0.0), Act::Rests);
        let exercised =
            Starter { exercise: Some((2, Hours::new(9.0))), stop: Percent::new(50.0), ..starter() };
        let runs = (13..13 + 72).filter(|hour| at(&exercised, 50.0, hour % 24, 0.0) == Act::Starts).count();
        assert_eq!(runs, 1, "at nine o’clock two days without a run have passed once");
    }

    #[test]
    fn windows_run_over_midnight() {
        let night = (Hours::new(22.0), Hours::new(7.0));
        assert!(in_window(23, night) && in_window(0, night) && in_window(6, night));
        assert!(!in_window(7, night) && !in_window(21, night));
    }
}
