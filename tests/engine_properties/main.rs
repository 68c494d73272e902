//! What holds of studies and rules whatever is drawn.
#![cfg(test)]

mod arbitrary;
mod drawn;
mod projects;
mod scaling;
mod trees;
mod wires;
