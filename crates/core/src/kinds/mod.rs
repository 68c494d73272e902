//! The kinds of block: THE list, and what every kind can do.
//!
//! To add a kind: write its file with `equipment!`, `terminals` and `inside`, add one line to the list below,
//! and stock items in `assets/stock`. Symbols are in the `drawing` crate.

pub mod ac_panel;
pub mod battery_bank;
pub mod breaker;
pub mod bus_bar;
pub mod charge_controller;
pub mod combiner;
pub mod common;
pub mod curve;
pub mod datasheet;
pub mod dc_converter;
pub mod dc_load;
pub(crate) mod declare;
pub mod field;
pub mod fuse;
pub mod generator;
pub mod ground_fault_device;
pub mod grounding;
pub mod inside;
pub mod inverter;
pub mod junction;
pub mod meter;
pub mod rapid_shutdown;
pub mod strings;
pub mod surge_arrester;
pub mod switch;
pub mod transfer_switch;
pub mod utility;

use crate::circuit::Terminal;
use field::{Field, Value, ValueFault};
use inside::Inside;
use serde::{Deserialize, Serialize};

macro_rules! kinds {
    ($($(#[doc = $doc:literal])+ $kind:ident = $key:literal, $label:literal, $plural:literal, $tag:literal, $type:ty;)+) => {
        /// A kind of block.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Kind { $($(#[doc = $doc])+ $kind,)+ }

        impl Kind {
            /// Every kind, in the order of the stock shelf.
            pub const ALL: &'static [Self] = &[$(Self::$kind),+];
            /// As it stands in files and commands.
            pub const fn key(self) -> &'static str { match self { $(Self::$kind => $key),+ } }
            /// As people read it.
            pub const fn label(self) -> &'static str { match self { $(Self::$kind => $label),+ } }
            /// Heading of a list of them.
            pub const fn plural(self) -> &'static str { match self { $(Self::$kind => $plural),+ } }
            /// Letters with which tags of this kind begin.
            pub const fn tag_letters(self) -> &'static str { match self { $(Self::$kind => $tag),+ } }
            /// What it is for.
            pub const fn explanation(self) -> &'static str { match self { $(Self::$kind => concat!($($doc),+)),+ } }
            /// Its fields.
            pub fn fields(self) -> &'static [Field] { match self { $(Self::$kind => <$type>::fields()),+ } }
        }

        /// What a block is: its nameplate and its settings.
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        pub enum Equipment { $($(#[doc = $doc])+ #[serde(rename = $key)] $kind(Box<$type>),)+ }

        impl Equipment {
            /// Which kind it is.
            pub const fn kind(&self) -> Kind { match self { $(Self::$kind(_) => Kind::$kind),+ } }
            /// Its terminals, in a fixed order.
            pub fn terminals(&self) -> Vec<Terminal> { match self { $(Self::$kind(it) => it.terminals()),+ } }
            /// Its electrical inside.
            pub fn inside(&self) -> Inside { match self { $(Self::$kind(it) => it.inside()),+ } }
            /// The value of a field, by its key.
            pub fn get(&self, key: &str) -> Option<Value> { match self { $(Self::$kind(it) => it.get(key)),+ } }
            /// Sets a field, by its key.
            pub fn set(&mut self, key: &str, value: &Value) -> Result<(), ValueFault> {
                match self { $(Self::$kind(it) => it.set(key, value)),+ }
            }
        }

        $(impl From<$type> for Equipment {
            fn from(it: $type) -> Self { Self::$kind(Box::new(it)) }
        }
        impl OfKind for $type {
            fn of(equipment: &Equipment) -> Option<&Self> {
                if let Equipment::$kind(it) = equipment { Some(it) } else { None }
            }
        })+
    };
}

kinds! {
    /// Identical series strings of PV modules, joined in parallel.
    Strings = "strings", "strings", "Strings", "S", strings::Strings;
    /// Gathers strings, each through its own breaker or fuse.
    Combiner = "combiner", "combiner", "Combiners", "CB", combiner::Combiner;
    /// Takes the strings' power and charges the battery.
    ChargeController = "charge_controller", "charge controller", "Charge controllers", "C", charge_controller::ChargeController;
    /// Stores energy.
    BatteryBank = "battery_bank", "battery bank", "Batteries", "B", battery_bank::BatteryBank;
    /// Makes AC from the battery; with a charger it also takes AC to charge.
    Inverter = "inverter", "inverter", "Inverters", "INV", inverter::Inverter;
    /// Opens a circuit by hand or by itself on overcurrent.
    Breaker = "breaker", "breaker", "Breakers", "Q", breaker::Breaker;
    /// Opens a circuit on overcurrent, once.
    Fuse = "fuse", "fuse", "Fuses", "F", fuse::Fuse;
    /// Opens a circuit by hand.
    Switch = "switch", "switch", "Switches", "Q", switch::Switch;
    /// Joins many conductors at one potential.
    BusBar = "bus_bar", "bus bar", "Bus bars", "BUS", bus_bar::BusBar;
    /// Joins a few conductors without a device.
    Junction = "junction", "junction", "Junctions", "X", junction::Junction;
    /// Feeds loads of another DC voltage.
    DcConverter = "dc_converter", "DC converter", "DC converters", "C", dc_converter::DcConverter;
    /// Loads on the battery bus.
    DcLoad = "dc_load", "DC load", "DC loads", "L", dc_load::DcLoad;
    /// Engine-driven AC supply.
    Generator = "generator", "generator", "Generators", "G", generator::Generator;
    /// Service of an electric utility.
    Utility = "utility", "utility service", "Utility services", "U", utility::Utility;
    /// AC bus with its loads.
    AcPanel = "ac_panel", "AC panel", "AC panels", "P", ac_panel::AcPanel;
    /// Two positions, interlocked: transfer between supplies, or bypass round an inverter.
    TransferSwitch = "transfer_switch", "transfer switch", "Transfer and bypass", "Q", transfer_switch::TransferSwitch;
    /// Measures current or energy.
    Meter = "meter", "meter", "Shunts and meters", "R", meter::Meter;
    /// Leads surges to earth.
    SurgeArrester = "surge_arrester", "surge arrester", "Surge arresters", "F", surge_arrester::SurgeArrester;
    /// Opens a circuit when current strays to earth.
    GroundFaultDevice = "ground_fault_device", "ground-fault device", "Ground-fault devices", "F", ground_fault_device::GroundFaultDevice;
    /// Starts rapid shutdown.
    ShutdownInitiator = "shutdown_initiator", "rapid-shutdown initiator", "Rapid-shutdown initiators", "Q", rapid_shutdown::ShutdownInitiator;
    /// Makes strings safe when rapid shutdown is started.
    ShutdownReceiver = "shutdown_receiver", "rapid-shutdown receivers", "Rapid-shutdown receivers", "K", rapid_shutdown::ShutdownReceiver;
    /// Joins the system to earth.
    Electrode = "electrode", "earth electrode", "Earth electrodes", "E", grounding::Electrode;
    /// Bonds a system conductor to equipment ground.
    BondingJumper = "bonding_jumper", "bonding jumper", "Bonding jumpers", "E", grounding::BondingJumper;
}

/// The data of one kind, as it is found in an [`Equipment`].
pub trait OfKind {
    /// The data, when the equipment is of this kind.
    fn of(equipment: &Equipment) -> Option<&Self>;
}

impl Kind {
    /// The kind of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.key() == key)
    }
}

impl Equipment {
    /// The data of a kind, when it is of that kind: `equipment.as_kind::<Inverter>()`.
    pub fn as_kind<T: OfKind>(&self) -> Option<&T> {
        T::of(self)
    }

    /// The AC system of its output or bus, when it has one.
    pub fn ac_system(&self) -> Option<common::AcSystem> {
        let inverter = self.as_kind::<inverter::Inverter>().map(|it| it.ac_system);
        let generator = self.as_kind::<generator::Generator>().map(|it| it.ac_system);
        let utility = self.as_kind::<utility::Utility>().map(|it| it.ac_system);
        let panel = self.as_kind::<ac_panel::AcPanel>().map(|it| it.ac_system);
        inverter.or(generator).or(utility).or(panel)
    }

    /// Temperature rating of its terminals, when the nameplate gives one.
    pub fn terminal_temperature(&self) -> Option<crate::units::Celsius> {
        if let Value::Number(celsius) = self.get("terminal_temperature")? {
            Some(crate::units::Celsius::new(celsius))
        } else {
            None
        }
    }

    /// For which conductors its terminals are marked, when the nameplate tells.
    pub fn terminal_marking(&self) -> Option<common::TerminalMarking> {
        field::FieldType::from_value(&self.get("terminal_marking")?)
    }

    /// Where the nameplate contradicts itself, in plain words; empty when it does not.
    pub fn contradictions(&self) -> Vec<String> {
        match self {
            Self::Strings(it) => it.contradictions(),
            Self::Combiner(it) => it.contradictions(),
            Self::Breaker(it) => it.contradictions(),
            Self::Fuse(it) => it.contradictions(),
            Self::Switch(it) => it.contradictions(),
            Self::ChargeController(it) => it.contradictions(),
            Self::BatteryBank(it) => it.contradictions(),
            Self::Inverter(it) => it.contradictions(),
            Self::AcPanel(it) => it.contradictions(),
            Self::DcLoad(it) => it.contradictions(),
            Self::DcConverter(it) => it.contradictions(),
            Self::Generator(it) => it.contradictions(),
            Self::BusBar(_)
            | Self::Junction(_)
            | Self::Utility(_)
            | Self::TransferSwitch(_)
            | Self::Meter(_)
            | Self::SurgeArrester(_)
            | Self::GroundFaultDevice(_)
            | Self::ShutdownInitiator(_)
            | Self::ShutdownReceiver(_)
            | Self::Electrode(_)
            | Self::BondingJumper(_) => Vec::new(),
        }
    }

    /// Every value outside its limits, with the key of its field.
    pub fn faults(&self) -> Vec<(&'static str, ValueFault)> {
        self.kind()
            .fields()
            .iter()
            .filter_map(|field| {
                let value = self.get(field.key)?;
                field.check(&value).err().map(|fault| (field.key, fault))
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use field::Shape;

    #[test]
    fn every_number_has_limits_and_every_field_a_meaning() {
        for kind in Kind::ALL {
            for field in kind.fields() {
                if let Shape::Quantity { low, high, .. } = field.shape {
                    assert!(
                        low.is_finite() && low < high && high.is_finite(),
                        "{} {}",
                        kind.key(),
                        field.key
                    );
                }
                assert!(!field.help.is_empty() && !field.label.is_empty(), "{} {}", kind.key(), field.key);
            }
        }
    }

    #[test]
    fn keys_and_labels_differ() {
        let mut keys: Vec<_> = Kind::ALL.iter().map(|kind| kind.key()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Kind::ALL.len());
        assert!(Kind::ALL.iter().all(|kind| Kind::from_key(kind.key()) == Some(*kind)));
    }
}
