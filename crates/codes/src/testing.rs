//! What several tests of this crate start from.

use crate::ampacity::Conditions;
use crate::codes::Codes;
use crate::tables::{LoadedConductors, Moisture};
use lineside_core::circuit::{Coating, Conductor, Insulation, Metal, Raceway, Stranding};
use lineside_core::units::{Celsius, ConductorSize, Meters, Volts};

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
    Conductor {
        size,
        metal: Metal::Copper,
        insulation,
        voltage: Volts::new(600.0),
        stranding: Stranding::Coarse,
        coating: Coating::Plain,
        parallel: 1,
        length: Meters::new(3.0),
        raceway: Raceway::Enclosure,
        loaded_conductors: 2,
        method: None,
        ambient: None,
        above_roof: None,
        terminal_from: None,
        terminal_to: None,
        grounding_conductor: None,
        size_before_enlarging: None,
        raceway_name: None,
        raceway_size: None,
        ends: None,
        sunlight_marked: None,
    }
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
