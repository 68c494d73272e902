//! Where results go: standard output for results, standard error for remarks.
//!
//! A reader that has had enough is no fault: `lineside check … | head` ends quietly.

use super::failure::Failure;
use serde::Serialize;
use std::io::{self, ErrorKind, Write};

/// Writes text for people. Control characters from a project, which could move the cursor of a terminal, are
/// shown as what they are: unreadable.
pub fn print(text: &str) -> Result<(), Failure> {
    deliver(visible(text).as_bytes())
}

/// Writes a result for other programs.
pub fn print_json(shape: &impl Serialize) -> Result<(), Failure> {
    let mut bytes = serde_json::to_vec_pretty(shape).map_err(|error| Failure::Output(error.to_string()))?;
    bytes.push(b'\n');
    deliver(&bytes)
}

/// Writes bytes as they are.
pub fn deliver(bytes: &[u8]) -> Result<(), Failure> {
    let mut output = io::stdout().lock();
    match output.write_all(bytes).and_then(|()| output.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Failure::Output(error.to_string())),
    }
}

/// Writes a remark. When nobody can read it, there is nobody to tell.
pub fn remark(text: &str) {
    let mut output = io::stderr().lock();
    let _ = writeln!(output, "lineside: {}", visible(text));
}

fn visible(text: &str) -> String {
    text.chars().map(|c| if c.is_control() && c != '\n' { '\u{FFFD}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_do_not_reach_the_terminal() {
        assert_eq!(visible("S1 \u{1b}[2J\r→ C1\n"), "S1 \u{FFFD}[2J\u{FFFD}→ C1\n");
    }
}
