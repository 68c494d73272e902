//! Hand-worked cases of the rules, by topic: what must be found, what must stay silent, and the exact limit between.
#![cfg(test)]

mod ac;
mod battery_place;
mod disconnects;
mod grounding;
mod labels;
mod likeness;
mod pv_protection;
mod pv_voltage;
mod raceways;
mod short_circuits;
mod support;
#[path = "../../../study/tests/faults/by_hand.rs"]
mod systems;
