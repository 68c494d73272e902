//! The largest overcurrent device that a conductor allows.
//!
//! Its ampacity is in [`crate::ampacity`]. Whether a device is needed, and whether the one that is there will
//! do, is the `rules` crate's.

use crate::cited::{Cited, Confidence};
use crate::codes::Codes;
use crate::factor_key::FactorKey;
use crate::tables::DeviceType;
use lineside_core::circuit::Conductor;
use lineside_core::project::RuleSet;
use lineside_core::units::Amps;

/// What a circuit is for, as far as it decides whether a device may be rounded up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CircuitUse {
    /// Any circuit that is not one of the others.
    Ordinary,
    /// Output of an energy storage system: never rounded up (706.30(B)).
    StorageOutput,
    /// A branch circuit with several receptacles: never rounded up (240.4(B)(1)).
    SeveralReceptacles,
}

/// The largest rating of a device that protects a conductor of that ampacity.
///
/// NEC: the ampacity, or, where that is no standard rating and the use allows, the next standard rating up to
/// 800 A (240.4(B), (C)); small conductors by 240.4(D). IEC: the ampacity (60364-4-43 clause 433.1); its second
/// condition, on the device's operating current, is the rules' to judge.
pub fn largest_device(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    ampacity: Amps,
    device: DeviceType,
    circuit: CircuitUse,
) -> Cited<Amps> {
    if !rule_set.is_nec() {
        return Cited::new(ampacity, "IEC 60364-4-43 cl. 433.1", Confidence::Verified);
    }
    let by_ampacity = match circuit {
        CircuitUse::Ordinary => rounded_up(codes, rule_set, ampacity, device),
        CircuitUse::StorageOutput => Cited::new(ampacity, storage_clause(rule_set), Confidence::Recalled),
        CircuitUse::SeveralReceptacles => Cited::new(ampacity, "240.4(B)(1)", Confidence::Verified),
    };
    match codes.nec.small_conductors.greatest_device(conductor.size, conductor.metal) {
        Some(small) if small.value < by_ampacity.value => small,
        _ => by_ampacity,
    }
}

const fn storage_clause(rule_set: RuleSet) -> &'static str {
    match rule_set {
        RuleSet::Nec2017 => "706.20(B)",
        RuleSet::Nec2020 | RuleSet::Nec2023 | RuleSet::Iec => "706.30(B)",
    }
}

fn rounded_up(codes: &Codes, rule_set: RuleSet, ampacity: Amps, device: DeviceType) -> Cited<Amps> {
    let greatest: Amps = codes.quantity(rule_set, FactorKey::RoundUpGreatest);
    match codes.common.ratings.next_at_least(ampacity, device, rule_set) {
        Some(next) if next.value <= greatest => Cited::new(next.value, "240.4(B)", next.confidence),
        _ => Cited::new(ampacity, "240.4(C)", Confidence::Verified),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{codes, conductor};

    fn largest(size: &str, ampacity: f64, circuit: CircuitUse) -> (f64, String) {
        let conductor = conductor(size);
        let found = largest_device(
            &codes(),
            RuleSet::Nec2023,
            &conductor,
            Amps::new(ampacity),
            DeviceType::Breaker,
            circuit,
        );
        (found.value.value(), found.source.into_owned())
    }

    #[test]
    fn the_next_standard_size_where_it_is_allowed() {
        let check = |size, ampacity, circuit, expected: (f64, &str)| {
            let (device, clause) = largest(size, ampacity, circuit);
            assert_eq!((device, clause.as_str()), expected, "{size} {ampacity}");
        };
        check("4/0", 230.0, CircuitUse::Ordinary, (250.0, "240.4(B)"));
        check("4/0", 230.0, CircuitUse::StorageOutput, (230.0, "706.30(B)"));
        check("4/0", 230.0, CircuitUse::SeveralReceptacles, (230.0, "240.4(B)(1)"));
        check("1/0", 150.0, CircuitUse::Ordinary, (150.0, "240.4(B)"));
        check("10", 35.0, CircuitUse::Ordinary, (30.0, "240.4(D)"));
        check("10", 18.56, CircuitUse::Ordinary, (20.0, "240.4(B)"));
        check("12", 28.8, CircuitUse::Ordinary, (20.0, "240.4(D)"));
        check("500", 760.0, CircuitUse::Ordinary, (800.0, "240.4(B)"));
        check("500", 820.0, CircuitUse::Ordinary, (820.0, "240.4(C)"));
    }

    #[test]
    fn the_iec_never_rounds_up() {
        let conductor = conductor("25 mm²");
        let found = largest_device(
            &codes(),
            RuleSet::Iec,
            &conductor,
            Amps::new(94.94),
            DeviceType::Fuse,
            CircuitUse::Ordinary,
        );
        assert_eq!(found.value, Amps::new(94.94));
    }
}
