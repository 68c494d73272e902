//! Charge controllers and PV inverters: what they can make of their arrays, hour by hour, and what they lose.
//!
//! A tracking controller keeps its arrays at their best points; a switching one keeps them at the battery's voltage.

use crate::array::{Array, ArrayHour, FixedVoltage, FixedVoltageHour, Laid};
use crate::converter::Converter;
use crate::hot_derating::HotDerating;
use crate::sun::Sky;
use crate::tables::Tables;
use crate::weather::Weather;
use lineside_codes::tables::LossLaw;
use lineside_core::units::{Amps, Volts, Watts};

/// How a controller works, and what it loses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Control {
    /// Keeps the arrays at their best points.
    Tracking(LossLaw),
    /// Switches the arrays onto the battery through a drop.
    Switching(Volts),
}

/// Controllers of one kind, each with the same part of the same arrays.
#[derive(Clone, Debug, PartialEq)]
pub struct Controller {
    /// How it works.
    pub control: Control,
    /// How many of them.
    pub count: u32,
    /// Charge current of one.
    pub current: Amps,
    /// How it falls in the heat.
    pub hot: Option<HotDerating>,
    /// Their arrays, all together.
    pub arrays: Vec<Array>,
}

/// Inverters that feed arrays straight into AC.
#[derive(Clone, Debug, PartialEq)]
pub struct PvInverter {
    /// Rated output of all of them.
    pub rated: Watts,
    /// What they lose.
    pub law: LossLaw,
    /// Their arrays, all together.
    pub arrays: Vec<Array>,
}

/// What arrays behind one converter do in an hour, W.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct SunHour {
    pub potential: f64,
    pub used: f64,
    pub limited: f64,
    pub wire_loss: f64,
    pub converter_loss: f64,
}

/// A controller under a sky.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    control: Control,
    converter: Converter,
    /// Greatest charge current of all of them, A.
    amps: f64,
    hot: Option<HotDerating>,
    arrays: Vec<Laid>,
}

/// A PV inverter under a sky.
#[derive(Clone, Debug)]
pub(crate) struct PlacedInverter {
    converter: Converter,
    rated_w: f64,
    arrays: Vec<Laid>,
}

impl Placed {
    pub(crate) fn under(sky: &Sky, controller: &Controller, nominal: Volts, tables: &Tables) -> Self {
        let amps = controller.current * f64::from(controller.count);
        let law = match controller.control {
            Control::Tracking(law) => law,
            Control::Switching(_) => LossLaw::of_shares([0.0; 3]),
        };
        Self {
            control: controller.control,
            converter: Converter::new(law, nominal * amps),
            amps: amps.value(),
            hot: controller.hot,
            arrays: controller.arrays.iter().map(|array| Laid::under(sky, array, tables)).collect(),
        }
    }

    pub(crate) fn year(&self, sky: &Sky, weather: &Weather, factor: f64) -> ControllerYear {
        let (kind, planes) = match self.control {
            Control::Tracking(_) => {
                let years = self.arrays.iter().map(|array| array.at_best(sky, weather, factor));
                let (arrays, planes): (Vec<_>, Vec<_>) = years.map(|year| (year.hours, year.plane)).unzip();
                let output_w = outputs(&self.converter, &arrays);
                (YearKind::Tracking { converter: self.converter, arrays, output_w }, planes)
            }
            Control::Switching(drop) => {
                let years = self.arrays.iter().map(|array| {
                    let year = array.at_fixed_voltage(sky, weather, factor);
                    ((array.fixed_voltage(), year.hours), year.plane)
                });
                let (arrays, planes) = years.unzip();
                (YearKind::Switching { drop: drop.value(), arrays }, planes)
            }
        };
        let amps =
            |hot: HotDerating| weather.hours().iter().map(|air| self.amps * hot.left(air.celsius)).collect();
        let hot_amps = self.hot.map_or_else(Vec::new, amps);
        ControllerYear { amps: self.amps, hot_amps, kind, planes }
    }

    pub(crate) fn arrays(&self) -> &[Laid] {
        &self.arrays
    }
}

/// Output of a converter for all of its arrays together, W.
fn outputs(converter: &Converter, arrays: &[Vec<ArrayHour>]) -> Vec<f64> {
    let mut inputs: Vec<f64> = vec![0.0; arrays.first().map_or(0, Vec::len)];
    for array in arrays {
        for (input, hour) in inputs.iter_mut().zip(array) {
            *input += hour.input_w;
        }
    }
    for input in &mut inputs {
        *input = converter.output_w(*input);
    }
    inputs
}

#[derive(Clone, Debug)]
enum YearKind {
    Tracking {
        converter: Converter,
        arrays: Vec<Vec<ArrayHour>>,
        /// Before any limit, W.
        output_w: Vec<f64>,
    },
    Switching {
        drop: f64,
        arrays: Vec<(FixedVoltage, Vec<FixedVoltageHour>)>,
    },
}

/// A controller over a year of weather.
#[derive(Clone, Debug)]
pub(crate) struct ControllerYear {
    amps: f64,
    /// The same in each hour, where heat counts.
    hot_amps: Vec<f64>,
    kind: YearKind,
    /// Sun on the plane of each array, W/m².
    pub(crate) planes: Vec<Vec<f64>>,
}

impl ControllerYear {
    /// Output before any limit, W, with the battery at a charging voltage.
    fn unlimited(&self, hour: usize, volts: f64) -> f64 {
        match &self.kind {
            YearKind::Tracking { output_w, .. } => output_w.get(hour).copied().unwrap_or(0.0),
            YearKind::Switching { drop, arrays } => {
                let currents = arrays
                    .iter()
                    .filter_map(|(array, hours)| Some(array.current(hours.get(hour)?, volts + drop)));
                currents.sum::<f64>() * volts
            }
        }
    }

    /// Output that can be had, W.
    pub(crate) fn available(&self, hour: usize, volts: f64) -> f64 {
        self.unlimited(hour, volts).min(self.limit(hour, volts))
    }

    fn limit(&self, hour: usize, volts: f64) -> f64 {
        self.hot_amps.get(hour).copied().unwrap_or(self.amps) * volts
    }

    /// What the arrays do when a part of the available output is used.
    pub(crate) fn books(&self, hour: usize, volts: f64, part: f64) -> SunHour {
        let unlimited = self.unlimited(hour, volts);
        let available = unlimited.min(self.limit(hour, volts));
        let output = available * part;
        let mut books = match &self.kind {
            YearKind::Tracking { converter, arrays, .. } => converted(converter, arrays, hour, output),
            YearKind::Switching { drop, arrays } => {
                let of_current = if unlimited > 0.0 { output / unlimited } else { 0.0 };
                switched(*drop, arrays, hour, volts, of_current)
            }
        };
        books.limited = unlimited - available;
        books
    }

    /// What a tracking controller would have had over what this one has, W; nothing for a tracking one.
    pub(crate) fn best_w(&self, hour: usize) -> Option<f64> {
        match &self.kind {
            YearKind::Tracking { .. } => None,
            YearKind::Switching { arrays, .. } => {
                Some(arrays.iter().filter_map(|(_, hours)| hours.get(hour)).map(|hour| hour.best_w).sum())
            }
        }
    }
}

/// Arrays behind a converter that gives so much.
fn converted(converter: &Converter, arrays: &[Vec<ArrayHour>], hour: usize, output: f64) -> SunHour {
    let hours = || arrays.iter().filter_map(|array| array.get(hour));
    let mut books = SunHour::default();
    let mut all = 0.0;
    for array in hours() {
        books.potential += array.potential_w;
        all += array.input_w;
    }
    if output <= 0.0 {
        return books;
    }
    let input = converter.input_w(output).min(all);
    let part = if all > 0.0 { input / all } else { 0.0 };
    for array in hours() {
        let given = array.given(array.input_w * part);
        books.used += given;
        books.wire_loss += given * given * array.resistance;
    }
    books.converter_loss = converter.loss_w(output);
    books
}

/// Arrays at the voltage of the battery, a part of whose current is used.
fn switched(
    drop: f64,
    arrays: &[(FixedVoltage, Vec<FixedVoltageHour>)],
    hour: usize,
    volts: f64,
    part: f64,
) -> SunHour {
    let mut books = SunHour::default();
    for (array, hours) in arrays {
        let Some(now) = hours.get(hour) else { continue };
        let current = array.current(now, volts + drop);
        books.potential += current * (volts + drop + current * array.ohm());
        let used = current * part;
        books.used += used * (volts + drop + used * array.ohm());
        books.wire_loss += used * used * array.ohm();
        books.converter_loss += used * drop;
    }
    books
}

impl PlacedInverter {
    pub(crate) fn under(sky: &Sky, inverter: &PvInverter, tables: &Tables) -> Self {
        Self {
            converter: Converter::new(inverter.law, inverter.rated),
            rated_w: inverter.rated.value(),
            arrays: inverter.arrays.iter().map(|array| Laid::under(sky, array, tables)).collect(),
        }
    }

    pub(crate) fn year(&self, sky: &Sky, weather: &Weather, factor: f64) -> PvInverterYear {
        let years = self.arrays.iter().map(|array| array.at_best(sky, weather, factor));
        let (arrays, planes): (Vec<_>, Vec<_>) = years.map(|year| (year.hours, year.plane)).unzip();
        let output_w = outputs(&self.converter, &arrays);
        PvInverterYear { converter: self.converter, rated_w: self.rated_w, arrays, output_w, planes }
    }
}

/// A PV inverter over a year of weather.
#[derive(Clone, Debug)]
pub(crate) struct PvInverterYear {
    converter: Converter,
    rated_w: f64,
    arrays: Vec<Vec<ArrayHour>>,
    output_w: Vec<f64>,
    /// Sun on the plane of each array, W/m².
    pub(crate) planes: Vec<Vec<f64>>,
}

impl PvInverterYear {
    fn unlimited(&self, hour: usize) -> f64 {
        self.output_w.get(hour).copied().unwrap_or(0.0)
    }
    /// Output that can be had, W.
    pub(crate) fn available(&self, hour: usize) -> f64 {
        self.unlimited(hour).min(self.rated_w)
    }
    /// What the arrays do when a part of the available output is used.
    pub(crate) fn books(&self, hour: usize, part: f64) -> SunHour {
        let unlimited = self.unlimited(hour);
        let available = unlimited.min(self.rated_w);
        let mut books = converted(&self.converter, &self.arrays, hour, available * part);
        books.limited = unlimited - available;
        books
    }
}
