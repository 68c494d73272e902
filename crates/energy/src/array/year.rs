//! An array over a year: power at its best point, and what its conductors leave of it.

use super::cell_temperature::Cooling;
use super::module::{Figures, Module};
use super::wiring::{arrives, sent};
use crate::plane::{Plane, PlaneHour, PlaneSetting};
use crate::sun::Sky;
use crate::tables::{Defaults, Tables};
use crate::weather::{Weather, WeatherHour};
use lineside_core::math::exp;
use lineside_core::units::{Ohms, Percent, Watts, Years};

/// How modules stand and what they lose before their conductors.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The plane.
    pub plane: PlaneSetting,
    /// How the air cools the modules.
    pub cooling: Cooling,
    /// Power lost because modules differ.
    pub mismatch: Percent,
    /// Power lost in the first year.
    pub first_year_loss: Percent,
    /// Power lost in each later year.
    pub yearly_loss: Percent,
    /// Age of the modules.
    pub age: Years,
}

impl Setting {
    /// New modules in the open with the usual losses.
    pub fn new(plane: PlaneSetting, module: &Module, defaults: &Defaults) -> Self {
        Self {
            plane,
            cooling: Cooling::open(module.cell_temperature, defaults),
            mismatch: defaults.mismatch,
            first_year_loss: defaults.first_year_loss,
            yearly_loss: defaults.yearly_loss,
            age: Years::ZERO,
        }
    }

    /// What they leave.
    fn kept(&self) -> f64 {
        let aged = (1.0 - self.yearly_loss.share() * self.age.value()).max(0.0);
        (1.0 - self.mismatch.share()) * (1.0 - self.first_year_loss.share()) * aged
    }
}

/// Identical strings on one plane, and the conductors to their controller.
#[derive(Clone, Debug, PartialEq)]
pub struct Array {
    /// A module.
    pub module: Module,
    /// Modules in series.
    pub in_series: u32,
    /// Strings in parallel.
    pub in_parallel: u32,
    /// How they stand.
    pub setting: Setting,
    /// Resistance of the leads of one string, both ways.
    pub string_resistance: Ohms,
    /// Resistance of the common conductors, both ways.
    pub common_resistance: Ohms,
}

impl Array {
    /// Power at standard test conditions.
    pub fn rated_power(&self) -> Watts {
        self.module.power * f64::from(self.in_series) * f64::from(self.in_parallel)
    }
    fn resistance_ohm(&self) -> f64 {
        self.string_resistance.value() / f64::from(self.in_parallel.max(1)) + self.common_resistance.value()
    }
}

/// An array under a sky.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    plane: Plane,
    figures: Figures,
    cooling: Cooling,
    /// Modules, less what is lost before the conductors.
    working_modules: f64,
    /// Strings in parallel, less the same.
    working_strings: f64,
    in_series: f64,
    ohm: f64,
}

/// An array at its best point in one hour, W.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct ArrayHour {
    /// At the terminals of the modules.
    pub potential_w: f64,
    /// At the input of the controller.
    pub input_w: f64,
    /// Resistance of its conductors over the square of its voltage.
    pub resistance: f64,
}

impl ArrayHour {
    /// What the modules give when the controller takes a part of what it could have.
    pub(crate) fn given(&self, taken_w: f64) -> f64 {
        if self.input_w <= 0.0 {
            0.0
        } else if taken_w >= self.input_w {
            self.potential_w
        } else {
            sent(taken_w, self.resistance)
        }
    }
}

/// An array in one hour as a controller sees it that keeps it at the voltage of the battery.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct FixedVoltageHour {
    /// Short-circuit current, A.
    pub short_circuit_a: f64,
    /// Open-circuit voltage, V.
    pub open_circuit_v: f64,
    /// What a tracker would have had, W.
    pub best_w: f64,
}

/// Conductors of such an array, and its curve.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FixedVoltage {
    curve: (f64, f64),
    in_series: f64,
    ohm: f64,
}

impl FixedVoltage {
    pub(crate) const fn ohm(&self) -> f64 {
        self.ohm
    }

    /// Current at a voltage at the controller, A.
    pub(crate) fn current(&self, hour: &FixedVoltageHour, volts: f64) -> f64 {
        if hour.short_circuit_a <= 0.0 {
            return 0.0;
        }
        let (c1, c2) = self.curve;
        let at_modules = (volts + hour.short_circuit_a * self.ohm) / self.in_series;
        let bent = exp((at_modules / (c2 * hour.open_circuit_v)).min(300.0)) - 1.0;
        (hour.short_circuit_a * (1.0 - c1 * bent)).max(0.0)
    }
}

/// An array over a year of weather.
#[derive(Clone, Debug)]
pub(crate) struct Year<T> {
    pub hours: Vec<T>,
    /// Sun on its plane, W/m².
    pub plane: Vec<f64>,
}

impl Laid {
    pub(crate) fn under(sky: &Sky, array: &Array, tables: &Tables) -> Self {
        let kept = array.setting.kept();
        let strings = f64::from(array.in_parallel);
        Self {
            plane: Plane::under(sky, &array.setting.plane, tables),
            figures: Figures::of(&array.module),
            cooling: array.setting.cooling,
            working_modules: f64::from(array.in_series) * strings * kept,
            working_strings: strings * kept,
            in_series: f64::from(array.in_series.max(1)),
            ohm: array.resistance_ohm(),
        }
    }

    /// Temperature of the cells in each hour, from the sun on the plane.
    pub(crate) fn celsius<'a>(&'a self, plane: &'a [f64], weather: &'a Weather) -> impl Iterator<Item = f64> {
        let hours = plane.iter().zip(weather.hours());
        hours.map(|(sun, air)| self.cooling.celsius(*sun, air.celsius, air.wind))
    }

    /// At its best point in each hour; `factor` is doubt about the light.
    pub(crate) fn at_best(&self, sky: &Sky, weather: &Weather, factor: f64) -> Year<ArrayHour> {
        self.year(sky, weather, |plane, air| {
            let sun = plane.effective * factor;
            if sun <= 0.0 {
                return ArrayHour::default();
            }
            let celsius = self.cooling.celsius(plane.total, air.celsius, air.wind);
            let potential_w = self.working_modules * self.figures.power(sun, celsius);
            let volts = self.in_series * self.figures.voltage(celsius);
            let resistance = self.ohm / (volts * volts);
            ArrayHour { potential_w, input_w: arrives(potential_w, resistance), resistance }
        })
    }

    /// At the voltage of a battery in each hour.
    pub(crate) fn at_fixed_voltage(
        &self,
        sky: &Sky,
        weather: &Weather,
        factor: f64,
    ) -> Year<FixedVoltageHour> {
        self.year(sky, weather, |plane, air| {
            let sun = plane.effective * factor;
            let celsius = self.cooling.celsius(plane.total, air.celsius, air.wind);
            let (current, open_circuit_v) = self.figures.ends(sun, celsius);
            FixedVoltageHour {
                short_circuit_a: current * self.working_strings,
                open_circuit_v,
                best_w: self.working_modules * self.figures.power(sun, celsius),
            }
        })
    }

    fn year<T>(
        &self,
        sky: &Sky,
        weather: &Weather,
        of_hour: impl Fn(&PlaneHour, &WeatherHour) -> T,
    ) -> Year<T> {
        let count = weather.hours().len();
        let mut year = Year { hours: Vec::with_capacity(count), plane: Vec::with_capacity(count) };
        for (plane, air) in self.plane.hours(sky, weather).zip(weather.hours()) {
            year.hours.push(of_hour(&plane, air));
            year.plane.push(plane.total);
        }
        year
    }

    pub(crate) const fn fixed_voltage(&self) -> FixedVoltage {
        FixedVoltage { curve: self.figures.curve(), in_series: self.in_series, ohm: self.ohm }
    }
}
