//! Slots: devices of which only the job is known while the sheet is drawn.

use lineside_core::circuit::BlockId;
use lineside_core::kinds::Kind;
use lineside_core::units::Amps;

/// What a device has to do, apart from its figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Job {
    /// In words.
    pub what: &'static str,
    /// Kinds that may do it, the preferred first.
    pub kinds: &'static [Kind],
    /// Whether it must open on overcurrent.
    pub overcurrent: Overcurrent,
    /// Whether it stands on the array side.
    pub side: SideOf,
}

/// Whether a device must open on overcurrent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Overcurrent {
    /// It must.
    Needed,
    /// It need not.
    Free,
}

/// In which part of the system a device stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum SideOf {
    /// Between strings and controller.
    Array,
    /// On the battery bus.
    Battery,
    /// At a battery, where it must break whatever the battery gives.
    AtBattery,
    /// AC.
    Alternating,
}

/// The disconnect at the PV input of a controller, or after a combiner whose fuses are no disconnect.
pub(super) const ARRAY_DISCONNECT: Job = Job {
    what: "disconnect for the array",
    kinds: &[Kind::Breaker, Kind::Switch],
    overcurrent: Overcurrent::Free,
    side: SideOf::Array,
};
/// The same where strings without devices of their own meet behind it: a breaker there would have to protect them.
pub(super) const ARRAY_SWITCH: Job = Job {
    what: "switch for the array",
    kinds: &[Kind::Switch],
    overcurrent: Overcurrent::Free,
    side: SideOf::Array,
};
/// A breaker on the battery bus.
pub(super) const BUS_BREAKER: Job = Job {
    what: "DC breaker or fused switch",
    kinds: &[Kind::Breaker, Kind::Fuse],
    overcurrent: Overcurrent::Needed,
    side: SideOf::Battery,
};
/// The fused switch at a battery.
pub(super) const BATTERY_FUSE: Job = Job {
    what: "fused switch for a battery",
    kinds: &[Kind::Fuse, Kind::Breaker],
    overcurrent: Overcurrent::Needed,
    side: SideOf::AtBattery,
};
/// A breaker in an AC circuit.
pub(super) const AC_BREAKER: Job = Job {
    what: "AC breaker",
    kinds: &[Kind::Breaker],
    overcurrent: Overcurrent::Needed,
    side: SideOf::Alternating,
};

/// A device on the sheet that is chosen once the currents are known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    /// Its block.
    pub block: BlockId,
    /// What it does.
    pub job: Job,
    /// The largest that its neighbors allow, by their nameplates.
    pub most: Option<Amps>,
}
