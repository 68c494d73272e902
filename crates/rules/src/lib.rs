//! Lineside's rules: what a design must hold under a code, and what is reported when it does not.
//!
//! One rule is one file under `rules/`. Rules read studies and tables; they compute no physics of their own
//! and never change the project.

mod finding;

pub use finding::{Amount, Finding, Part, Severity};
