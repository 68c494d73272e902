//! Cases from the field.
#![cfg(test)]
mod ac;
mod array_current;
mod array_voltage;
mod bank;
mod bench;
mod conductors;
mod devices;
mod switching;
mod told;

use bench::{lead, nickel_iron, sound};
use told::told;

#[test]
fn nothing_is_to_be_said_of_the_systems_from_which_cases_depart() {
    told(&sound()).is_silent();
    told(&lead(24, "2.5 V")).is_silent();
    told(&lead(12, "2.5 V")).is_silent();
    told(&nickel_iron(38, ("38 V", "64 V"))).is_silent();
}
