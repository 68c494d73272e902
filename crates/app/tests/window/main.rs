//! The window without a screen, used by the names that assistive technology reads.
#![expect(clippy::expect_used, clippy::panic, reason = "helpers of tests fail as tests do")]

#[path = "../support/mod.rs"]
mod support;

mod acceptance;
mod access;
mod brief;
mod comfort;
mod contrast;
mod editing;
mod files;
mod findings;
mod frame;
mod nameplate;
mod pasting;
mod pictures;
mod plate;
mod recovery;
mod remedies;
mod search;
mod sheet;
mod sizes;
mod stock;
mod tidy;
mod typing;
mod words;
mod year;
