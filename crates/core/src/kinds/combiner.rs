//! Combiner: ways, each with a breaker or fuse, gathered on one or more buses.

use super::common::{ContinuousDuty, Fitted, Polarity, Position, TerminalMarking};
use super::curve::ShareAtTemperature;
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

choice! {
    /// What stands in each way.
    WayDevice {
        /// A breaker.
        Breaker = "breaker", "breakers";
        /// A fuse in a touch-safe holder, which isolates without load.
        FuseHolder = "fuse_holder", "fuses in touch-safe holders";
    }
}

equipment! {
    /// A combiner box.
    Combiner
    nameplate {
        /// Ways, one for each string.
        ways: u32, "Ways", 1 to 24;
        /// Separate buses; the ways are shared out evenly in their order.
        buses: u32, "Buses", 1 to 4;
        /// Rating of each bus and its output terminal.
        bus_rating: Amps, "Bus rating", 1 to 1000;
        /// What stands in each way.
        device: WayDevice, "Device in each way";
        /// Rating of each way's device.
        device_rating: Amps, "Rating of each way", 1 to 100;
        /// Whether the devices mind the direction of current.
        polarity: Polarity, "Direction of current";
        /// Whether the devices may carry their rating for hours.
        duty: ContinuousDuty, "Continuous duty";
    }
    optional {
        /// Greatest DC voltage of the ways' devices.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// DC interrupting rating of the ways' devices.
        interrupting_rating: Amps, "Interrupting rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Short-circuit rating of the assembly.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Continuous operating voltage of a built-in surge arrester.
        arrester_voltage: Volts, "Arrester continuous voltage", 10 to 2000;
        /// Whether the devices are listed for PV.
        pv_listed: Fitted, "Listed for PV";
        /// Share of the rating that is left in warm surroundings.
        rating_by_temperature: ShareAtTemperature, "Rating by temperature";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {}
}

impl Combiner {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        let way = |number| Terminal::numbered("way", number, Potential::Pv);
        let out = |number| Terminal::numbered("out", number, Potential::Pv);
        let ways = (1..=small(self.ways)).map(way);
        if self.buses <= 1 {
            ways.chain([Terminal::new("out", Potential::Pv)]).collect()
        } else {
            ways.chain((1..=small(self.buses)).map(out)).collect()
        }
    }

    pub(super) fn inside(&self) -> Inside {
        let ways = usize::from(small(self.ways));
        let buses = usize::from(small(self.buses)).max(1);
        let mut inside = Inside::with_terminals(ways + buses);
        for way in 0..ways {
            let bus = ways + self.bus_of_way(way);
            inside.pole(way, bus, self.way_pole(way));
        }
        inside
    }

    /// The bus, counted from 0, on which a way, counted from 0, lands.
    pub fn bus_of_way(&self, way: usize) -> usize {
        let buses = self.buses.max(1) as usize;
        let each = (self.ways as usize).div_ceil(buses).max(1);
        (way / each).min(buses - 1)
    }

    fn way_pole(&self, way: usize) -> Pole {
        let (device, disconnects) = match self.device {
            WayDevice::Breaker => (PoleDevice::Breaker, Disconnects::UnderLoad),
            WayDevice::FuseHolder => (PoleDevice::Fuse, Disconnects::WithoutLoad),
        };
        Pole {
            device,
            name: Some(format!("way {}", way + 1)),
            overcurrent: Some(self.device_rating),
            carries: None,
            disconnects,
            dc_voltage: self.dc_voltage,
            ac_voltage: None,
            interrupts_dc: self.interrupting_rating,
            interrupts_ac: None,
            polarity: self.polarity,
            duty: self.duty,
            terminal_temperature: self.terminal_temperature,
            position: Position::Closed,
            throw: None,
        }
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.buses > self.ways {
            found.push("more buses than ways".to_owned());
        }
        if self.device_rating > self.bus_rating {
            found.push("one way's device is rated above the bus".to_owned());
        }
        found
    }
}

/// Counts of terminals are limited by their fields far below 255; a wild value from elsewhere is cut.
pub(super) fn small(count: u32) -> u8 {
    u8::try_from(count).unwrap_or(u8::MAX)
}
