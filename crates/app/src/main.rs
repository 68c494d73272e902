//! `lineside`: the window, or a command without one. Exit codes are decided here and nowhere else.

use lineside::commands::{self, Verdict};
use std::process::ExitCode;

/// The project has dangers or corrections.
const OBJECTIONS: u8 = 1;
/// The input could not be used.
const UNUSABLE: u8 = 2;

fn main() -> ExitCode {
    match commands::run(std::env::args_os()) {
        Ok(Verdict::Clean) => ExitCode::SUCCESS,
        Ok(Verdict::Objections) => ExitCode::from(OBJECTIONS),
        Err(failure) => {
            commands::remark(&failure.to_string());
            ExitCode::from(UNUSABLE)
        }
    }
}
