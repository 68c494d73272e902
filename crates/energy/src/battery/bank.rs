//! A bank: cells in series, the capacity of all strings, its cables and its room.

use super::cell::Cell;
use crate::tables::Defaults;
use lineside_core::units::{AmpHours, Amps, Celsius, CelsiusSpan, Hours, Ohms, Percent, Volts};

/// Where a bank stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Room {
    /// In a room that is never colder nor warmer than this.
    Indoors {
        /// Coldest.
        lowest: Celsius,
        /// Warmest.
        highest: Celsius,
    },
    /// In a box outdoors, warmer than the air by this.
    Outdoors {
        /// Above the air.
        above_air: CelsiusSpan,
    },
}

impl Room {
    /// A room of the usual limits.
    pub const fn usual(defaults: &Defaults) -> Self {
        Self::Indoors { lowest: defaults.room_lowest, highest: defaults.room_highest }
    }

    pub(super) fn celsius(&self, air: f64) -> f64 {
        match self {
            Self::Indoors { lowest, highest } => air.max(lowest.value()).min(highest.value()),
            Self::Outdoors { above_air } => air + above_air.value(),
        }
    }
}

/// A battery bank.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// A cell.
    pub cell: Cell,
    /// Cells in series.
    pub cells: u32,
    /// Capacity of all strings together at the rated time.
    pub capacity: AmpHours,
    /// What is left of the capacity.
    pub health: Percent,
    /// Nominal voltage, by which ratings of controllers and chargers are taken.
    pub nominal: Volts,
    /// Resistance of its cables, both poles.
    pub cable: Ohms,
    /// Voltage that charging never passes, as programmed.
    pub ceiling: Option<Volts>,
    /// Greatest charge current of the whole bank, when the maker gives one.
    pub charge_current: Option<Amps>,
    /// Greatest discharge current of the whole bank, when the maker gives one.
    pub discharge_current: Option<Amps>,
    /// Where it stands.
    pub room: Room,
    /// Time constant of its temperature.
    pub inertia: Hours,
}

impl Bank {
    /// A new bank indoors without cables.
    pub fn new(cell: Cell, cells: u32, capacity: AmpHours, defaults: &Defaults) -> Self {
        let nominal = cell.chemistry.nominal_cell_voltage() * f64::from(cells);
        Self {
            cell,
            cells,
            capacity,
            health: Percent::new(100.0),
            nominal,
            cable: Ohms::ZERO,
            ceiling: None,
            charge_current: None,
            discharge_current: None,
            room: Room::usual(defaults),
            inertia: defaults.battery_inertia,
        }
    }

    /// Capacity that is left.
    pub fn left(&self) -> AmpHours {
        self.capacity * self.health.share()
    }
}
