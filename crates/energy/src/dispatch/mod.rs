//! Who gives and who takes in one hour: the order of supplies, loads and bank.
//!
//! Two identities hold in every hour. On the battery bus: sun + charger + discharge = inverter input + idle + charge + DC
//! loads + standing use. On the AC side: sun + inverter output + source = loads + charger input + export + idle.

mod connected;
mod hours;
mod island;
mod moment;
mod state;
#[cfg(test)]
mod tests;

pub(crate) use hours::{Booked, Books, Pass, Silent, run};
pub(crate) use state::{Source, State};
