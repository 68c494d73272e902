//! Lineside's studies: what a circuit does, electrically.
//!
//! Pure functions from a project and the tables of the codes to numbers. Verdicts are the `rules` crate's.
//! No study fails as a whole: it gives its numbers and tells what it could not find.

pub mod bank_voltage;
mod conditions;
pub mod currents;
mod missing;
pub mod network;
mod permitted;
pub mod string_voltage;
pub mod tally;
pub mod tree;
pub mod voltage_windows;
pub mod zones;

pub use conditions::Conditions;
pub use currents::{CircuitKind, Currents, RunCurrent};
pub use missing::{Missing, Owner};
pub use network::{LinkId, LinkKind, Network, NodeId};
pub use permitted::Permitted;
pub use tally::{InverterInputCurrent, Port, Tally, inverter_input_current};
pub use voltage_windows::{BankVoltages, ColdMethod, Level, StringVoltages, VoltageWindow, VoltageWindows};
pub use zones::{Zone, ZoneId, ZoneKind, Zones};

/// The results of every study.
#[derive(Clone, Debug, PartialEq)]
pub struct Studies {
    /// The wiring.
    pub network: Network,
    /// Its zones.
    pub zones: Zones,
    /// What voltages they see.
    pub windows: VoltageWindows,
    /// What currents the runs carry.
    pub currents: Currents,
}

/// Makes every study.
pub fn all(on: &Conditions<'_>) -> Studies {
    let network = network::expand(&on.project.circuit);
    let zones = zones::study(&network);
    let windows = voltage_windows::study(on, &network, &zones);
    let currents = currents::study(on, &network);
    Studies { network, zones, windows, currents }
}
