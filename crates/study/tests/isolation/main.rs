//! Isolation: what makes a block dead, in which order, and that it does, on worked and on any circuits.

#[cfg(test)]
mod any_circuit;
#[cfg(test)]
mod orders;
#[cfg(test)]
mod walk;
