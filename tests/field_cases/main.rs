//! The 59 field cases: situations from the working life of people who design, install and inspect such systems. Each
//! departs from a system of which nothing is to be said, and must say what its case says, at that place, with those
//! figures, and nothing else; what clears it must leave nothing.
//!
//! Where a case belongs to a part of the product other than the circuit, its electrical part stands here:
//!
//! | case | what is left out | where it belongs |
//! |---|---|---|
//! | S06 | that the shorter string gives nothing at the working point of the longer one | flow |
//! | S12 | the 12.3 % that are lost in one hour | energy year |
//! | S16 | the advice to use 24 or 48 V | sizing |
//! | S38 | proposing 3 strings of 19 cells, or one of 38; unlike strings are found | sizing |
//! | S39 | leads on opposite ends of the row: a run stands for both poles | drawing |
//! | S46 | that generators come in whole kilowatts | sizing |
//! | S48 | the 3.0 kW that are pushed back | flow |
//!
//! These have no electrical part:
//!
//! | case | what it asks | where it belongs |
//! |---|---|---|
//! | S20 | 67.5 W and 450 mV in a joint of 3 mΩ at 150 A: a reading of each joint at load | test sheet |
//! | S40 | 22, 21 and 9 A in three strings: not within 15 % of their mean | test sheet |
//! | S55 | 24.3 kWh at 1.5 kW last 16.2 h and not 96 h | proposal and energy year |
//! | S56 | 3.0 sun hours in December are a third less than 4.5 on average | sizing |
//! | S58 | a generator that starts after 30 s below 46.0 V while a pump runs for 60 s | set points, replayed |
#![cfg(test)]

mod ac;
mod array_current;
mod array_voltage;
mod bank;
mod conductors;
mod devices;
mod energy;
mod flows;
mod switching;
mod told;

use lineside_acceptance::sound::{lead, nickel_iron, sound};
use told::told;

/// Cases without an electrical part, by the second table above.
const ELSEWHERE: &[u32] = &[20, 40, 55, 56, 58];

#[test]
fn nothing_is_to_be_said_of_the_systems_from_which_cases_depart() {
    told(&sound()).is_silent();
    told(&lead(24, "2.5 V")).is_silent();
    told(&lead(12, "2.5 V")).is_silent();
    told(&nickel_iron(38, ("38 V", "64 V"))).is_silent();
}

#[test]
fn every_case_is_here_or_has_a_place_elsewhere() {
    let files = [
        include_str!("ac.rs"),
        include_str!("array_current.rs"),
        include_str!("array_voltage.rs"),
        include_str!("bank.rs"),
        include_str!("conductors.rs"),
        include_str!("devices.rs"),
        include_str!("energy.rs"),
        include_str!("flows.rs"),
        include_str!("switching.rs"),
    ];
    for case in 1..=59 {
        let test = format!("fn s{case:02}()");
        let count = files.iter().filter(|file| file.contains(&test)).count();
        assert_eq!(count, usize::from(!ELSEWHERE.contains(&case)), "S{case:02}");
    }
}
