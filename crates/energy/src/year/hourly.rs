//! Every hour of a year, for plots and files.

use crate::battery::DischargeLimit;
use lineside_core::units::{Celsius, Percent, Watts, WattsPerSquareMeter};

/// One hour of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hour {
    /// Sun on the level.
    pub level_sun: WattsPerSquareMeter,
    /// Sun on the plane of the first array.
    pub plane_sun: WattsPerSquareMeter,
    /// Cells of the first array.
    pub cells: Celsius,
    /// What the modules could have given.
    pub sun_potential: Watts,
    /// Used output of the controllers.
    pub controllers: Watts,
    /// Used output of the PV inverters.
    pub pv_inverters: Watts,
    /// AC loads that could not wait.
    pub ac_demand: Watts,
    /// What they got.
    pub ac_served: Watts,
    /// What loads got that could wait.
    pub waiting_served: Watts,
    /// What DC loads got.
    pub dc_served: Watts,
    /// Into the bank.
    pub charge: Watts,
    /// Out of the bank.
    pub discharge: Watts,
    /// Charge of the bank after self-discharge, before anything else flows.
    pub state_of_charge: Percent,
    /// Temperature of the bank.
    pub battery: Celsius,
    /// From the generator.
    pub generator: Watts,
    /// From the utility.
    pub import: Watts,
    /// To the utility.
    pub export: Watts,
    /// Loads that went short and could not wait.
    pub unmet: Watts,
    /// Sun that nobody could take.
    pub curtailed: Watts,
    /// What kept the bank from giving more, when loads went short.
    pub stopped_by: Option<DischargeLimit>,
}

/// Every hour of a year, in order.
pub type Hourly = Vec<Hour>;
