//! The reference examples of the energy year, value by value at the tolerances that their file states.
//!
//! `energy-examples.json` was computed by an independent implementation of the same published methods.
#![cfg(test)]

mod planes_and_arrays;
mod reference;
mod sky_and_weather;
mod system;
mod years;
