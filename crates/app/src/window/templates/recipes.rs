//! Of what templates are made: items of stock, where each stands, and the runs between them, for each bank voltage in
//! the sizes of either system of units.

use super::Template;
use lineside_core::units::UnitSystem;

/// A block of a template.
pub(super) struct Part {
    /// Name of the item of stock.
    pub(super) item: &'static str,
    /// Upper left corner of its symbol, in steps from that of the template.
    pub(super) at: (i32, i32),
    /// Whether its line terminal is at the right.
    pub(super) looks_left: bool,
    /// What is set on it, by the keys of its fields.
    pub(super) settings: &'static [(&'static str, f64)],
}

/// A run of a template, between parts by their position.
pub(super) struct Wire {
    pub(super) from: (usize, &'static str),
    pub(super) to: (usize, &'static str),
    /// Sizes of the conductors and of the equipment-grounding conductor; `None` for a direct joint.
    pub(super) size: Option<(&'static str, &'static str)>,
    /// Length one way, m.
    pub(super) meters: f64,
}

/// A template for one bank voltage and system of units.
pub(super) struct Recipe {
    pub(super) parts: &'static [Part],
    pub(super) wires: &'static [Wire],
    /// Width and height, in steps.
    pub(super) size: (i32, i32),
}

/// The string that is taken where none is on the sheet.
pub(super) const STRING: &str = "Module string, 400 W modules";

const fn part(item: &'static str, x: i32, y: i32) -> Part {
    Part { item, at: (x, y), looks_left: false, settings: &[] }
}

const fn mirrored(item: &'static str, x: i32, y: i32) -> Part {
    Part { item, at: (x, y), looks_left: true, settings: &[] }
}

const fn wire(
    from: (usize, &'static str),
    to: (usize, &'static str),
    size: (&'static str, &'static str),
    meters: f64,
) -> Wire {
    Wire { from, to, size: Some(size), meters }
}

/// The recipe of a template for a bank of that nominal voltage.
pub(super) fn of(template: Template, units: UnitSystem, volts: f64) -> &'static Recipe {
    match (template, units) {
        (Template::StringWithItsWay, UnitSystem::Us) => &STRING_US,
        (Template::StringWithItsWay, UnitSystem::Si) => &STRING_SI,
        (Template::ControllerWithBreakers, UnitSystem::Us) => &CONTROLLER_US,
        (Template::ControllerWithBreakers, UnitSystem::Si) => &CONTROLLER_SI,
        (Template::InverterWithPairAndBypass, UnitSystem::Us) if volts < 18.0 => &INVERTER_US_12,
        (Template::InverterWithPairAndBypass, UnitSystem::Us) if volts < 36.0 => &INVERTER_US_24,
        (Template::InverterWithPairAndBypass, UnitSystem::Us) => &INVERTER_US_48,
        (Template::InverterWithPairAndBypass, UnitSystem::Si) if volts < 18.0 => &INVERTER_SI_12,
        (Template::InverterWithPairAndBypass, UnitSystem::Si) if volts < 36.0 => &INVERTER_SI_24,
        (Template::InverterWithPairAndBypass, UnitSystem::Si) => &INVERTER_SI_48,
    }
}

/// The combiner that is tried first.
pub(super) const COMBINER: &str = "Combiner, three ways, 25 A breakers, 150 V";

static STRING_US: Recipe = Recipe {
    parts: &[part(STRING, 0, 0), part(COMBINER, 24, 0)],
    wires: &[wire((0, "out"), (1, "way1"), ("10 AWG", "10 AWG"), 4.572)],
    size: (30, 8),
};
static STRING_SI: Recipe = Recipe {
    parts: &[part(STRING, 0, 0), part(COMBINER, 24, 0)],
    wires: &[wire((0, "out"), (1, "way1"), ("4 mm²", "4 mm²"), 4.5)],
    size: (30, 8),
};

const CONTROLLER: &str = "Tracking controller, 150 V in, 100 A out, with fault protection";
const TO_ARRAY: &str = "DC breaker, 70 A, 150 V";
const TO_BATTERY: &str = "Molded-case DC breaker, 125 A, 125 V, 25 kA";

static CONTROLLER_US: Recipe = Recipe {
    parts: &[part(TO_ARRAY, 0, 3), part(CONTROLLER, 12, 0), mirrored(TO_BATTERY, 28, 3)],
    wires: &[
        wire((0, "load"), (1, "pv"), ("4 AWG", "8 AWG"), 0.9144),
        wire((1, "battery"), (2, "load"), ("1 AWG", "6 AWG"), 1.2192),
    ],
    size: (32, 8),
};
static CONTROLLER_SI: Recipe = Recipe {
    parts: &[part(TO_ARRAY, 0, 3), part(CONTROLLER, 12, 0), mirrored(TO_BATTERY, 28, 3)],
    wires: &[
        wire((0, "load"), (1, "pv"), ("16 mm²", "16 mm²"), 0.9),
        wire((1, "battery"), (2, "load"), ("50 mm²", "25 mm²"), 1.2),
    ],
    size: (32, 8),
};

/// The bypass above; the input breaker, the inverter and the output breaker in a row below it. The inverter is set to take
/// no more than its breaker may carry for hours.
macro_rules! inverter {
    ($inverter:literal, $limit:literal, $breaker:literal, $bypass:literal, $size:literal, $ground:literal) => {
        Recipe {
            parts: &[
                part($bypass, 20, 0),
                part($breaker, 6, 16),
                Part { settings: &[("ac_input_limit", $limit)], ..part($inverter, 18, 13) },
                part($breaker, 38, 16),
            ],
            wires: &[
                wire((0, "to_inverter"), (1, "line"), ($size, $ground), 1.2),
                wire((1, "load"), (2, "in1"), ($size, $ground), 0.9),
                wire((2, "out"), (3, "line"), ($size, $ground), 0.9),
                wire((3, "load"), (0, "from_inverter"), ($size, $ground), 1.2),
            ],
            size: (44, 22),
        }
    };
}

static INVERTER_US_12: Recipe = inverter!(
    "Inverter-charger, 2 kW, 12 V, 120 V",
    24.0,
    "AC breaker, one-pole, 30 A, 120 V",
    "Bypass switch, 60 A, 240 V",
    "10 AWG",
    "10 AWG"
);
static INVERTER_US_24: Recipe = inverter!(
    "Inverter-charger, 4 kW, 24 V, split-phase",
    24.0,
    "AC breaker, two-pole, 30 A, 240 V",
    "Bypass switch, 60 A, 240 V",
    "10 AWG",
    "10 AWG"
);
static INVERTER_US_48: Recipe = inverter!(
    "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator",
    40.0,
    "AC breaker, two-pole, 50 A, 240 V",
    "Bypass switch, 60 A, 240 V",
    "6 AWG",
    "10 AWG"
);
static INVERTER_SI_12: Recipe = inverter!(
    "Inverter-charger, 1.6 kW, 12 V, 230 V",
    25.0,
    "Miniature AC breaker, two-pole, type C, 32 A, 230 V",
    "Bypass switch, neutral switched, 63 A, 230 V",
    "6 mm²",
    "6 mm²"
);
static INVERTER_SI_24: Recipe = inverter!(
    "Inverter-charger, 2.4 kW, 24 V, 230 V",
    25.0,
    "Miniature AC breaker, two-pole, type C, 32 A, 230 V",
    "Bypass switch, neutral switched, 63 A, 230 V",
    "6 mm²",
    "6 mm²"
);
static INVERTER_SI_48: Recipe = inverter!(
    "Inverter-charger, 4 kW, 48 V, 230 V",
    25.0,
    "Miniature AC breaker, two-pole, type C, 32 A, 230 V",
    "Bypass switch, neutral switched, 63 A, 230 V",
    "6 mm²",
    "6 mm²"
);
