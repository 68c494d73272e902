//! Hand-worked cases of the rules, by topic: what must be found, what must stay silent, and the exact limit between.
#![cfg(test)]

mod battery_place;
mod disconnects;
mod pv_protection;
mod support;
