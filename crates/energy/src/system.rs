//! The system that a year is computed for: everything the hours need, complete and typed.
//!
//! It is built from a project in `from_project`, or by hand.

use crate::battery::Bank;
use crate::controller::{Controller, PvInverter};
use crate::generator::Generator;
use crate::inverter::{Charger, Inverter};
use crate::loads::Loads;
use crate::utility::Utility;
use lineside_core::units::{Percent, Watts};
use std::fmt;

/// A whole system on one battery bus and one AC bus.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// The bank.
    pub bank: Bank,
    /// Charge controllers with their arrays.
    pub controllers: Vec<Controller>,
    /// Inverters that feed arrays into AC.
    pub pv_inverters: Vec<PvInverter>,
    /// Inverters from the battery to AC.
    pub inverter: Option<Inverter>,
    /// Chargers from AC to the battery.
    pub charger: Option<Charger>,
    /// Generator.
    pub generator: Option<Generator>,
    /// Utility.
    pub utility: Option<Utility>,
    /// Loads.
    pub loads: Loads,
    /// Standing use on the battery bus: controllers, monitor, battery management.
    pub standing_use: Watts,
    /// Charge below which normal AC loads are shed; `None` for never.
    pub shed_below: Option<Percent>,
}

/// A system that cannot be computed.
#[derive(Clone, Debug, PartialEq)]
pub enum SystemFault {
    /// The bank has no cells or no capacity.
    EmptyBank,
    /// A figure is not one that can be.
    Impossible {
        /// What of the system.
        what: &'static str,
        /// The figure.
        value: f64,
    },
    /// A metered load has not one value for every hour.
    MeteredHours(usize),
}

impl fmt::Display for SystemFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EmptyBank => write!(
                f,
                "the bank has no cells or no capacity: a year needs a bank to fill and to draw from"
            ),
            Self::Impossible { what, value } => write!(f, "{what} cannot be {value}"),
            Self::MeteredHours(found) => {
                write!(
                    f,
                    "the metered load has {found} hours: expected one value for each of the 8760 hours of a year"
                )
            }
        }
    }
}

impl System {
    /// Every figure that would make the hours meaningless.
    pub fn faults(&self) -> Vec<SystemFault> {
        let mut faults = Vec::new();
        if self.bank.cells == 0 || self.bank.left().value() <= 0.0 {
            faults.push(SystemFault::EmptyBank);
        }
        let mut positive = |what, value: f64| {
            if value <= 0.0 || !value.is_finite() {
                faults.push(SystemFault::Impossible { what, value });
            }
        };
        positive("the nominal voltage of the bank", self.bank.nominal.value());
        positive("the discharge rate of the bank", self.bank.cell.discharge_rate);
        positive("the discharge resistance of the bank", self.bank.cell.resistance.1);
        positive("the charge resistance of the bank", self.bank.cell.resistance.0);
        if let Some(inverter) = &self.inverter {
            positive("the output of the inverter", inverter.apparent.value());
        }
        let modules = self.controllers.iter().flat_map(|it| &it.arrays);
        for array in modules.chain(self.pv_inverters.iter().flat_map(|it| &it.arrays)) {
            let module = &array.module;
            positive("the voltage of a module", module.max_power_voltage.value());
            positive("the current of a module", module.max_power_current.value());
            positive(
                "open-circuit over working voltage",
                (module.open_circuit_voltage - module.max_power_voltage).value(),
            );
            positive(
                "short-circuit over working current",
                (module.short_circuit_current - module.max_power_current).value(),
            );
        }
        if let Some(metered) = &self.loads.metered {
            for list in [&metered.ac, &metered.dc] {
                if list.len() != crate::HOURS && !list.is_empty() {
                    faults.push(SystemFault::MeteredHours(list.len()));
                }
            }
        }
        faults
    }

    /// Array power at standard test conditions.
    pub fn array_power(&self) -> Watts {
        let arrays = self.controllers.iter().flat_map(|it| &it.arrays);
        arrays
            .chain(self.pv_inverters.iter().flat_map(|it| &it.arrays))
            .map(crate::array::Array::rated_power)
            .sum()
    }
}
