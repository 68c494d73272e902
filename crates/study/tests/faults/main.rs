//! Prospective short-circuit currents, by hand-worked systems, rings and properties.

#[cfg(test)]
mod by_hand;
mod rings;
#[cfg(test)]
mod smallest;
#[cfg(test)]
mod sources;
#[cfg(test)]
mod support;
#[cfg(test)]
mod systems;
