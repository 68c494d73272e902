//! Lineside's studies: what a circuit does, electrically.
//!
//! Pure functions from a project and the tables of the codes to numbers. Verdicts are the `rules` crate's.
//! No study fails as a whole: it gives its numbers and tells what it could not find.

pub mod ac_sources;
mod arrangements;
pub mod bank_voltage;
pub mod bus_flow;
mod conditions;
pub mod currents;
pub mod drops;
pub mod faults;
pub mod flow;
pub mod holding;
pub mod isolation;
pub mod liveness;
mod missing;
pub mod network;
pub mod parallel_sources;
pub mod parallel_strings;
mod permitted;
mod places;
pub mod protection;
pub mod ratings;
pub mod reach;
pub mod required_labels;
pub mod run_drops;
pub mod shutdown_subjects;
pub mod string_voltage;
pub mod tally;
pub mod tree;
pub mod voltage_windows;
pub mod ways;
pub mod zones;

pub use ac_sources::{AcSources, Bond, BondKind, Joined, JoinedBy, NeutralCase, Neutrals};
pub use bus_flow::{BusFlow, BusFlows, Direction, Feeder};
pub use conditions::Conditions;
pub use currents::{CircuitKind, Currents, RunCurrent};
pub use drops::{Drops, Leg, PathDrop, PathKind};
pub use faults::{
    Assumed, Assumption, FaultSource, Faults, PoleSide, Prospective, SmallestFault, SmallestFaults,
};
pub use holding::{Holding, HoldingCurrents};
pub use isolation::{Isolation, Reached, SwitchingOrder};
pub use liveness::Liveness;
pub use missing::{Missing, Owner};
pub use network::{LinkId, LinkKind, Network, NodeId};
pub use permitted::Permitted;
pub use places::Told;
pub use protection::Protection;
pub use ratings::{NotRated, Ratings, RunRating};
pub use reach::{Met, Reach};
pub use required_labels::{RequiredLabel, RequiredLabels, Spot};
pub use shutdown_subjects::ShutdownSubject;
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
    /// Which devices stand in series with the runs.
    pub protection: Protection,
    /// What the conductors may carry and resist.
    pub ratings: Ratings,
    /// What can persist into a fault at the ends of the runs.
    pub holding: HoldingCurrents,
    /// What is met behind the ends of field runs.
    pub reach: Reach,
    /// What voltage is lost on the way.
    pub drops: Drops,
    /// What the bus bars may have to carry.
    pub bus_flows: BusFlows,
    /// What a short circuit draws, everywhere and from every side.
    pub faults: Faults,
    /// The smallest faults, and the devices that must open on them.
    pub smallest_faults: SmallestFaults,
    /// Which blocks cannot be made dead.
    pub isolation: Isolation,
    /// Which AC sources can be joined, and how often neutrals are bonded.
    pub ac_sources: AcSources,
    /// What is live with every device as drawn.
    pub liveness: Liveness,
}

/// Makes every study.
pub fn all(on: &Conditions<'_>) -> Studies {
    let circuit = &on.project.circuit;
    let network = network::expand(circuit);
    let zones = zones::study(&network);
    let windows = voltage_windows::study(on, &network, &zones);
    let currents = currents::study(on, &network, &zones);
    let protection = protection::study(circuit, &network);
    let ratings = ratings::study(on, &network, &currents, &protection);
    let holding = holding::study(on, &network, &zones);
    let reach = reach::study(on, &network, |run| currents.greatest(run));
    let drops = drops::study(on, &network, &zones, &currents, &ratings);
    let bus_flows = bus_flow::study(on, &network, &zones, &currents, &holding);
    let faults = faults::study(on, &network, &zones, &ratings);
    let smallest_faults = faults::smallest_faults(on, &network, &zones, &ratings);
    let isolation = isolation::study(on, &network, &zones, &currents);
    let ac_sources = ac_sources::study(on, &network, &zones);
    let liveness = liveness::study(circuit, &network);
    Studies {
        network,
        zones,
        windows,
        currents,
        protection,
        ratings,
        holding,
        reach,
        drops,
        bus_flows,
        faults,
        smallest_faults,
        isolation,
        ac_sources,
        liveness,
    }
}
