//! `lineside [FILE]` opens the window.

use std::process::ExitCode;

fn main() -> ExitCode {
    let file = std::env::args_os().nth(1).map(Into::into);
    match lineside::window::open(file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("lineside: the window could not be opened: {error}");
            ExitCode::from(2)
        }
    }
}
