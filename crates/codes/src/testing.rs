//! What several tests of this crate start from.

use crate::ampacity::Conditions;
use crate::codes::Codes;
use crate::tables::{LoadedConductors, Moisture};
use lineside_core::circuit::{Conductor, Insulation, Raceway};
use lineside_core::units::{Celsius, ConductorSize, Meters};

/// The built-in tables.
pub(crate) fn codes() -> Codes {
    Codes::load().unwrap_or_else(|fault| panic!("{fault}"))
}

/// Two copper conductors of that size, 3 m long in an enclosure: THWN-2, or PVC for a metric size.
pub(crate) fn conductor(size: &str) -> Conductor {
    let size = ConductorSize::read(size).unwrap_or_else(|fault| panic!("{fault}"));
    let insulation = match size {
        ConductorSize::Awg(_) | ConductorSize::Kcmil(_) => Insulation::Thwn2,
        ConductorSize::Metric(_) => Insulation::Pvc70,
    };
    Conductor { raceway: Raceway::Enclosure, ..Conductor::copper(size, insulation, Meters::new(3.0)) }
}

/// Dry, two loaded conductors, terminals of 75 °C at both ends.
pub(crate) fn conditions(ambient: f64) -> Conditions {
    Conditions {
        ambient: Celsius::new(ambient),
        moisture: Moisture::Dry,
        terminals: [Some(Celsius::new(75.0)); 2],
        circuit_rating: None,
        loaded: LoadedConductors::Two,
        soil: None,
    }
}
