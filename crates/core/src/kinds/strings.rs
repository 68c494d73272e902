//! Strings: a set of identical series strings of PV modules in parallel.

use super::common::{ContinuousDuty, Polarity, Position};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Degrees, Kilograms, Meters, Percent, PercentPerCelsius, Volts, Watts};

choice! {
    /// Cell technology; the voltage table of the codes holds for crystalline silicon only.
    ModuleTechnology {
        /// Mono- or multicrystalline silicon.
        Crystalline = "crystalline", "crystalline silicon";
        /// Anything else.
        ThinFilm = "thin_film", "thin film";
    }
}

choice! {
    /// How the modules are mounted; it decides how hot the cells become.
    Mounting {
        /// Ground or pole mount, air all round.
        Ground = "ground", "ground or pole";
        /// Tilted rack on a roof.
        Rack = "rack", "tilted rack on a roof";
        /// Parallel to a roof, close to it.
        Roof = "roof", "parallel to the roof";
        /// Sun tracker.
        Tracker = "tracker", "tracker";
    }
}

choice! {
    /// How a string ends.
    StringEnds {
        /// Plug connectors, which can be opened without load.
        Connectors = "connectors", "connectors";
        /// Fixed leads.
        Leads = "leads", "fixed leads";
    }
}

equipment! {
    /// A set of identical series strings of modules.
    Strings
    nameplate {
        /// Power at standard test conditions.
        power: Watts, "Module power", 1 to 1000;
        /// Open-circuit voltage at 25 °C.
        open_circuit_voltage: Volts, "Open-circuit voltage", 1 to 200;
        /// Voltage at maximum power.
        max_power_voltage: Volts, "Maximum-power voltage", 1 to 200;
        /// Short-circuit current.
        short_circuit_current: Amps, "Short-circuit current", 0.1 to 30;
        /// Current at maximum power.
        max_power_current: Amps, "Maximum-power current", 0.1 to 30;
        /// Cell technology.
        technology: ModuleTechnology, "Technology";
    }
    optional {
        /// Change of open-circuit voltage with temperature.
        open_circuit_coefficient: PercentPerCelsius, "Coefficient of open-circuit voltage", -1 to 0;
        /// Change of maximum power with temperature.
        power_coefficient: PercentPerCelsius, "Coefficient of power", -1 to 0;
        /// Change of maximum-power voltage with temperature.
        voltage_coefficient: PercentPerCelsius, "Coefficient of maximum-power voltage", -1 to 0;
        /// Change of short-circuit current with temperature.
        short_circuit_coefficient: PercentPerCelsius, "Coefficient of short-circuit current", -0.2 to 0.5;
        /// Greatest overcurrent device in series with the module.
        series_fuse_rating: Amps, "Series fuse rating", 1 to 100;
        /// Greatest system voltage of the insulation.
        system_voltage: Volts, "System voltage", 50 to 2000;
        /// Nominal operating cell temperature.
        nominal_cell_temperature: Celsius, "Nominal cell temperature", 20 to 80;
        /// Bypass diodes in a module.
        bypass_diodes: u32, "Bypass diodes", 0 to 12;
        /// Rear response as a share of the front's.
        bifacial_share: Percent, "Bifacial share", 0 to 100;
        /// Short-circuit current with 135 W/m² on the rear.
        bifacial_short_circuit_current: Amps, "Bifacial short-circuit current", 0.1 to 40;
        /// Cells in series in a module.
        cells: u32, "Cells", 1 to 300;
        /// Long side.
        length: Meters, "Length", 0.1 to 4;
        /// Short side.
        width: Meters, "Width", 0.1 to 3;
        /// Mass of a module.
        mass: Kilograms, "Mass", 0.1 to 80;
        /// Efficiency lost at 200 W/m², as a share of that at 1000 W/m².
        low_light_loss: Percent, "Loss at 200 W/m²", 0 to 20;
        /// Power lost in the first year.
        first_year_loss: Percent, "First-year loss", 0 to 10;
        /// Power lost in each later year.
        yearly_loss: Percent, "Yearly loss", 0 to 5;
    }
    settings {
        /// Modules in series in each string.
        modules_in_series: u32, "Modules in series", 1 to 60;
        /// Identical strings in parallel on this terminal.
        strings_in_parallel: u32, "Strings in parallel", 1 to 100;
        /// How they are mounted.
        mounting: Mounting, "Mounting";
        /// Tilt from the horizontal.
        tilt: Degrees, "Tilt", 0 to 90;
        /// Direction in which they look, clockwise from north.
        azimuth: Degrees, "Azimuth", 0 to 360;
        /// How each string ends.
        ends: StringEnds, "String ends";
    }
    chosen {
        /// Cells above the ambient in full sun, when the nominal cell temperature is not given.
        cell_rise: crate::units::CelsiusSpan, "Cell rise above ambient", 5 to 60;
    }
}

impl Strings {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("out", Potential::Pv)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(1);
        match self.ends {
            StringEnds::Leads => inside.source(0, SourceKind::Strings),
            StringEnds::Connectors => {
                let module = inside.point();
                inside.source(module, SourceKind::Strings);
                inside.pole(module, 0, connector());
            }
        }
        inside
    }

    /// Modules in the whole set.
    pub fn modules(&self) -> u32 {
        self.modules_in_series.saturating_mul(self.strings_in_parallel)
    }
    /// Power of the whole set at standard test conditions.
    pub fn array_power(&self) -> Watts {
        self.power * f64::from(self.modules())
    }
    /// The short-circuit current that rules use: the bifacial one where the nameplate gives it.
    pub fn greatest_short_circuit_current(&self) -> Amps {
        self.bifacial_short_circuit_current
            .map_or(self.short_circuit_current, |both| both.max(self.short_circuit_current))
    }
    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.max_power_voltage >= self.open_circuit_voltage {
            found.push("maximum-power voltage is not below open-circuit voltage".to_owned());
        }
        if self.max_power_current >= self.short_circuit_current {
            found.push("maximum-power current is not below short-circuit current".to_owned());
        }
        let product = self.max_power_voltage * self.max_power_current;
        if (product / self.power - 1.0).abs() > 0.03 {
            found.push("power is not the product of maximum-power voltage and current within 3 %".to_owned());
        }
        found
    }
}

fn connector() -> Pole {
    Pole {
        device: PoleDevice::Connector,
        name: Some("connectors".to_owned()),
        overcurrent: None,
        carries: None,
        disconnects: Disconnects::WithoutLoad,
        dc_voltage: None,
        ac_voltage: None,
        interrupts_dc: None,
        interrupts_ac: None,
        polarity: Polarity::None,
        duty: ContinuousDuty::HundredPercent,
        terminal_temperature: None,
        position: Position::Closed,
        throw: None,
    }
}
