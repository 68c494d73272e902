//! The current that one side pushes into a short circuit, as a current source beside an admittance (Norton).
//!
//! Sides add up at a node and are weakened by the runs in between; which sources there are is in `sources.rs`.

use crate::tree::Sum;
use lineside_core::math;
use lineside_core::units::{Amps, Ohms};

/// A sort of source that feeds a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultSource {
    /// Battery strings, full and at rest.
    Battery,
    /// Strings of modules.
    Strings,
    /// What a controller lets flow back out of its PV input.
    Leakage,
    /// Battery sides of controllers.
    Controller,
    /// Outputs of DC converters.
    DcConverter,
    /// Chargers of inverters.
    Charger,
    /// AC outputs of inverters.
    InverterOutput,
    /// Generators.
    Generator,
    /// Utility services.
    Utility,
}

const SOURCES: usize = 9;

impl FaultSource {
    /// Every sort, in the order of a working.
    pub const ALL: [Self; SOURCES] = [
        Self::Battery,
        Self::Strings,
        Self::Leakage,
        Self::Controller,
        Self::DcConverter,
        Self::Charger,
        Self::InverterOutput,
        Self::Generator,
        Self::Utility,
    ];

    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Battery => "batteries",
            Self::Strings => "strings",
            Self::Leakage => "leakage of controllers",
            Self::Controller => "controllers",
            Self::DcConverter => "DC converters",
            Self::Charger => "chargers",
            Self::InverterOutput => "inverters",
            Self::Generator => "generators",
            Self::Utility => "utility",
        }
    }
    /// As it stands in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Battery => "battery",
            Self::Strings => "strings",
            Self::Leakage => "leakage",
            Self::Controller => "controller",
            Self::DcConverter => "dc_converter",
            Self::Charger => "charger",
            Self::InverterOutput => "inverter_output",
            Self::Generator => "generator",
            Self::Utility => "utility",
        }
    }
    /// Whether it keeps its current whatever the resistance on the way.
    pub const fn limits_itself(self) -> bool {
        !matches!(self, Self::Battery | Self::Utility | Self::Generator)
    }
}

/// Something that was not given and had to be assumed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assumption {
    /// The resistance of a battery, from its chemistry and capacity.
    BatteryResistance,
    /// The fault current of a utility.
    UtilityFault,
    /// The fault current of an inverter's output.
    InverterFault,
    /// The subtransient reactance of a generator.
    GeneratorReactance,
    /// The resistance of a run, taken as nothing because the tables do not tell.
    RunResistance,
}

impl Assumption {
    const ALL: [Self; 5] = [
        Self::BatteryResistance,
        Self::UtilityFault,
        Self::InverterFault,
        Self::GeneratorReactance,
        Self::RunResistance,
    ];

    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::BatteryResistance => "battery resistance estimated from chemistry and capacity",
            Self::UtilityFault => "fault current of the utility assumed",
            Self::InverterFault => "fault current of the inverter taken from its rating",
            Self::GeneratorReactance => "subtransient reactance of the generator assumed",
            Self::RunResistance => "a run without known resistance taken as none",
        }
    }
    /// As it stands in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::BatteryResistance => "battery_resistance",
            Self::UtilityFault => "utility_fault",
            Self::InverterFault => "inverter_fault",
            Self::GeneratorReactance => "generator_reactance",
            Self::RunResistance => "run_resistance",
        }
    }
}

/// What was assumed on the way to a number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Assumed(u8);

impl Assumed {
    /// Nothing but this.
    pub const fn only(what: Assumption) -> Self {
        Self(1 << what as u8)
    }
    /// Whether this was assumed.
    pub const fn has(self, what: Assumption) -> bool {
        self.0 & (1 << what as u8) != 0
    }
    /// Everything that was assumed.
    pub fn all(self) -> impl Iterator<Item = Assumption> {
        Assumption::ALL.into_iter().filter(move |what| self.has(*what))
    }
    /// Both together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

/// The prospective short-circuit current from one side, or at a node from all sides, by source.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Prospective {
    /// Amperes into the fault, by source.
    amps: [f64; SOURCES],
    /// Admittance beside the current: real part, siemens.
    conductance: f64,
    /// And the negative of its imaginary part.
    susceptance: f64,
    assumed: Assumed,
}

impl Sum for Prospective {
    fn add(&mut self, other: &Self) {
        for (mine, theirs) in self.amps.iter_mut().zip(other.amps) {
            *mine += theirs;
        }
        self.conductance += other.conductance;
        self.susceptance += other.susceptance;
        self.assumed = self.assumed.and(other.assumed);
    }
}

impl Prospective {
    /// A source that keeps its current.
    pub(super) fn constant(source: FaultSource, amps: Amps, assumed: Assumed) -> Self {
        let mut side = Self { assumed, ..Self::default() };
        side.put(source, amps);
        side
    }
    /// A source with a voltage behind a resistance, by its short-circuit current and its conductance.
    pub(super) fn behind_resistance(source: FaultSource, amps: Amps, siemens: f64, assumed: Assumed) -> Self {
        let mut side = Self { conductance: siemens, assumed, ..Self::default() };
        side.put(source, amps);
        side
    }
    /// A source behind a reactance, by its short-circuit current and its susceptance.
    pub(super) fn behind_reactance(source: FaultSource, amps: Amps, siemens: f64, assumed: Assumed) -> Self {
        let mut side = Self { susceptance: siemens, assumed, ..Self::default() };
        side.put(source, amps);
        side
    }

    fn put(&mut self, source: FaultSource, amps: Amps) {
        if let Some(slot) = self.amps.get_mut(source as usize) {
            *slot += amps.value();
        }
    }

    /// From a sort of source.
    pub fn from(&self, source: FaultSource) -> Amps {
        Amps::new(self.amps.get(source as usize).copied().unwrap_or_default())
    }
    /// All sources together. Constant currents are added to the others as they are, whatever their phase.
    pub fn total(&self) -> Amps {
        Amps::new(self.amps.iter().sum())
    }
    /// The sources that give something, with what they give.
    pub fn sources(&self) -> impl Iterator<Item = (FaultSource, Amps)> + '_ {
        FaultSource::ALL
            .into_iter()
            .map(|source| (source, self.from(source)))
            .filter(|(_, amps)| *amps > Amps::ZERO)
    }
    /// Whether nothing flows.
    pub fn is_nothing(&self) -> bool {
        self.amps.iter().all(|amps| *amps <= 0.0)
    }
    /// Whether every part of it comes from sources that cannot give more.
    pub fn limits_itself(&self) -> bool {
        self.sources().all(|(source, _)| source.limits_itself())
    }
    /// Resistance of the batteries with everything on the way, as seen from the fault; `None` without any, and
    /// where a reactance takes part.
    pub fn resistance(&self) -> Option<Ohms> {
        (self.conductance > 0.0 && self.susceptance <= 0.0).then(|| Ohms::new(1.0 / self.conductance))
    }
    /// What was assumed.
    pub fn assumed(&self) -> Assumed {
        self.assumed
    }

    /// The same with something more assumed.
    #[must_use]
    pub(super) const fn assuming(mut self, what: Assumption) -> Self {
        self.assumed = self.assumed.and(Assumed::only(what));
        self
    }

    /// What is left of it beyond a resistance: `I / (1 + Y R)` beside `Y / (1 + Y R)`.
    #[must_use]
    pub(super) fn through(mut self, resistance: Ohms) -> Self {
        let ohms = resistance.value();
        if ohms <= 0.0 {
            return self;
        }
        let (g, b) = (self.conductance, self.susceptance);
        let (real, imaginary) = (1.0 + g * ohms, b * ohms);
        let square = real * real + imaginary * imaginary;
        let size = if imaginary > 0.0 { math::sqrt(square) } else { real };
        for amps in &mut self.amps {
            *amps /= size;
        }
        self.conductance = (g * real + b * imaginary) / square;
        self.susceptance = b / square;
        self
    }

    pub(super) const fn admittance(&self) -> (f64, f64) {
        (self.conductance, self.susceptance)
    }
    /// Adds a share of another's currents, and an admittance, as the elimination of a node asks for it.
    pub(super) fn take(&mut self, share: f64, other: &Self, (conductance, susceptance): (f64, f64)) {
        for (mine, theirs) in self.amps.iter_mut().zip(other.amps) {
            *mine += theirs * share;
        }
        self.conductance += conductance;
        self.susceptance += susceptance;
        self.assumed = self.assumed.and(other.assumed);
    }
    /// The greater of two.
    #[must_use]
    pub(super) fn or_greater(self, other: Self) -> Self {
        if other.total() > self.total() { other } else { self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(amps: Amps, expected: f64) {
        assert!((amps.value() - expected).abs() < 0.005, "{amps:?} instead of {expected}");
    }

    #[test]
    fn a_battery_behind_its_cables_with_a_charger() {
        let nothing = Assumed::default();
        // 56 V behind 21.95 mΩ: 2551.25 A; with 0.200 + 1.200 mΩ on the way 56 / 0.02335 = 2398.29 A
        let battery = Prospective::behind_resistance(
            FaultSource::Battery,
            Amps::new(56.0 / 0.02195),
            1.0 / 0.02195,
            nothing,
        );
        near(battery.total(), 2551.25);
        let at_bus = battery.through(Ohms::new(0.0014));
        near(at_bus.total(), 2398.29);
        assert!((at_bus.resistance().unwrap().value() - 0.02335).abs() < 1e-9);
        // 120 A at the bus split between the fault, 1.605 mΩ away, and the battery, 23.35 mΩ:
        // 120 × 23.35 / 24.955 = 112.28
        let mut both = at_bus;
        both.add(&Prospective::constant(FaultSource::Controller, Amps::new(120.0), nothing));
        let far = both.through(Ohms::new(0.001_605));
        near(far.from(FaultSource::Controller), 112.28);
        near(far.from(FaultSource::Battery), 56.0 / 0.024_955);
        assert!(!far.limits_itself() && !far.is_nothing());
    }

    #[test]
    fn a_constant_current_is_not_weakened_by_itself() {
        let strings = Prospective::constant(FaultSource::Strings, Amps::new(17.0), Assumed::default());
        let far = strings.through(Ohms::new(5.0));
        near(far.total(), 17.0);
        assert!(far.limits_itself() && far.resistance().is_none());
    }

    #[test]
    fn a_reactance_and_a_resistance_stand_at_right_angles() {
        // 240 V with 10 kA is 24 mΩ of reactance; with 18 mΩ of conductors sqrt(24² + 18²) = 30 mΩ: 8 kA
        let utility = Prospective::behind_reactance(
            FaultSource::Utility,
            Amps::new(10_000.0),
            10_000.0 / 240.0,
            Assumed::only(Assumption::UtilityFault),
        );
        let far = utility.through(Ohms::new(0.018));
        near(far.total(), 8000.0);
        assert!(far.assumed().has(Assumption::UtilityFault) && !far.assumed().has(Assumption::RunResistance));
        // In two steps it is the same: another 14 mΩ makes sqrt(24² + 32²) = 40 mΩ, 6 kA
        near(far.through(Ohms::new(0.014)).total(), 6000.0);
    }
}
