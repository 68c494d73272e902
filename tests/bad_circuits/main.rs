//! Circuits that nobody should draw, and that somebody will: each comes out of every study and every rule with a finding
//! or a plain statement, in numbers that are numbers, and in time. What each must say stands in the files of the tests;
//! what all must hold is in `survey.rs`.

#[cfg(test)]
mod crowds;
#[cfg(test)]
mod numbers;
#[cfg(test)]
mod shapes;
#[cfg(test)]
mod survey;
