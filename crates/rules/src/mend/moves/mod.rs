//! What a designer would try against the findings of each rule, beside what the rule itself proposes. One sort of
//! edit is one file; which of them suit which rule is told here. Whether they work is found out elsewhere.

mod bond;
mod cells;
mod conductor;
mod demand;
mod device;
mod exchange;
mod facts;
mod insert;
mod modules;
mod set_points;
pub(super) mod support;

use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::remedy::Proposal;

/// Proposes edits against a finding.
pub(super) type Move = fn(&Circumstances<'_>, &Finding) -> Vec<Proposal>;

/// The moves against findings of a rule.
pub(super) fn against(rule: &str) -> &'static [Move] {
    MOVES.iter().find(|(id, _)| *id == rule).map_or(&[], |(_, moves)| moves)
}

/// What suits which rule, the least disturbing first.
pub(super) const MOVES: &[(&str, &[Move])] = &[
    ("string-cold-voltage", &[modules::fewer, exchange::controller]),
    ("pv-equipment-voltage", &[modules::fewer, device::exchanged, exchange::any]),
    ("module-system-voltage", &[modules::fewer, exchange::any]),
    ("conductor-voltage-rating", &[conductor::insulated_higher, modules::fewer]),
    ("pv-building-voltage", &[modules::fewer]),
    ("string-hot-voltage-tracker", &[modules::more, exchange::controller]),
    (
        "string-hot-voltage-battery",
        &[set_points::lower_charge, modules::more, cells::fewer, exchange::controller],
    ),
    ("string-voltage-above-tracking", &[modules::fewer, exchange::controller]),
    ("unequal-strings", &[modules::alike]),
    ("simple-controller-match", &[modules::fewer, modules::more, exchange::controller]),
    ("nominal-voltage", &[exchange::any, device::exchanged, cells::fewer, cells::more]),
    (
        "charge-voltage-above-equipment",
        &[set_points::lower_charge, cells::fewer, device::exchanged, exchange::any],
    ),
    ("low-cut-out-window", &[set_points::cut_out, cells::more, cells::fewer, exchange::any]),
    ("charger-reaches-voltage", &[set_points::lower_charge, cells::fewer, exchange::any]),
    ("charge-temperature-compensation", &[facts::from_stock]),
    ("battery-charge-current", &[set_points::chargers, cells::larger, cells::more_strings]),
    (
        "battery-discharge-current",
        &[set_points::higher_cut_out, cells::larger, cells::more_strings, exchange::smaller_inverter],
    ),
    ("parallel-battery-strings", &[conductor::equal_lengths, cells::one_string, facts::from_stock]),
    ("dwelling-battery-voltage", &[cells::fewer]),
    ("controller-input-short-circuit", &[exchange::controller, modules::fewer_strings]),
    ("controller-array-watts", &[exchange::controller, modules::fewer_strings]),
    ("conductor-continuous-ampacity", &[conductor::larger, conductor::ninety_degrees, conductor::doubled]),
    ("conductor-corrected-ampacity", &[conductor::larger, conductor::ninety_degrees, conductor::doubled]),
    ("terminal-temperature", &[conductor::larger]),
    ("small-conductor-limit", &[device::smaller, device::exchanged, conductor::larger]),
    ("parallel-conductors", &[conductor::single, conductor::larger]),
    ("conductor-type-place", &[conductor::another_insulation]),
    ("voltage-drop", &[conductor::larger, conductor::doubled]),
    ("conductor-short-circuit-heating", &[conductor::larger, device::exchanged, insert::overcurrent]),
    ("string-overcurrent-needed", &[insert::overcurrent, modules::fewer_strings]),
    ("string-overcurrent-size", &[device::exchanged, device::rerated, exchange::any]),
    ("module-series-fuse", &[device::smaller, device::exchanged, exchange::any, modules::fewer_strings]),
    ("overcurrent-minimum", &[device::exchanged, device::rerated, set_points::less_input, exchange::any]),
    ("overcurrent-protects-conductor", &[device::smaller, device::exchanged, conductor::larger]),
    ("overcurrent-dc-rated", &[device::exchanged, exchange::any]),
    ("overcurrent-standard-size", &[device::rerated, device::exchanged]),
    ("device-ambient", &[device::exchanged, device::rerated]),
    ("both-ends-overcurrent", &[insert::overcurrent, conductor::larger]),
    ("battery-fuse-distance", &[insert::overcurrent, conductor::shorter]),
    ("interrupt-rating", &[device::exchanged, exchange::any, insert::fuse_at_batteries]),
    ("assembly-short-circuit-rating", &[exchange::any, insert::fuse_at_batteries]),
    ("fault-clears", &[device::smaller, device::exchanged, conductor::larger, insert::overcurrent]),
    ("dc-bus-rating", &[exchange::any, device::smaller]),
    ("combiner-bus-rating", &[exchange::any]),
    ("both-ends-disconnect", &[device::switchable, insert::disconnect]),
    ("pv-system-disconnect", &[insert::disconnect]),
    ("equipment-disconnect-kind", &[device::switchable, device::exchanged, insert::disconnect]),
    ("battery-disconnect", &[device::switchable, insert::disconnect]),
    ("inverter-disconnect", &[insert::disconnect]),
    ("generator-disconnect", &[insert::disconnect]),
    ("disconnect-poles", &[device::exchanged]),
    ("disconnect-rating", &[device::exchanged]),
    ("polarity-sensitive-breaker", &[device::exchanged]),
    ("isolation-complete", &[device::switchable, insert::disconnect]),
    ("pv-ground-fault-protection", &[exchange::any]),
    ("pv-arc-fault", &[exchange::any]),
    ("equipment-grounding-size", &[conductor::grounded]),
    ("dc-grounding-electrode", &[conductor::larger, bond::electrode]),
    ("dc-system-grounding", &[bond::jumper]),
    ("neutral-bond-count", &[bond::generator_frame]),
    ("surge-protection", &[exchange::any]),
    ("inverter-output-overcurrent", &[device::exchanged, conductor::larger, insert::overcurrent]),
    ("ac-pass-through", &[device::smaller, device::exchanged, set_points::input_limit]),
    ("generator-overload", &[set_points::charge_limit, exchange::any]),
    ("generator-conductor", &[conductor::larger]),
    ("single-120-volt-supply", &[facts::neutrals_apart, exchange::any]),
    ("busbar-120-percent", &[exchange::any]),
    ("inverter-capacity", &[exchange::any]),
    ("ac-voltage-frequency", &[exchange::any, exchange::neighbors]),
    ("ac-shock-protection", &[exchange::any]),
    (
        "data-missing",
        &[
            facts::from_stock,
            conductor::grounded,
            conductor::another_insulation,
            bond::jumper,
            device::exchanged,
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A rule of the list that has not been written yet may have its moves already; a rule twice may not.
    #[test]
    fn every_rule_has_its_moves_once() {
        let mut ids: Vec<&str> = MOVES.iter().map(|(id, _)| *id).collect();
        ids.sort_unstable();
        let count = ids.len();
        ids.dedup();
        assert_eq!(ids.len(), count);
        let of_rules = MOVES.iter().filter(|(id, _)| crate::ALL.iter().any(|rule| rule.id == *id)).count();
        assert!(of_rules * 10 > count * 8, "{of_rules} of {count} ids are ids of rules");
    }
}
