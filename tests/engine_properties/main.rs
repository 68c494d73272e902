//! What holds of studies and rules whatever is drawn.
#![cfg(test)]

mod drawn;
mod projects;
mod trees;
mod wires;
