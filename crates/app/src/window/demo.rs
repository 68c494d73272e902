//! The demo project with which the window begins when no file is given.

use lineside_core::file;
use lineside_core::project::Project;

const CABIN: &str = include_str!("../../../../assets/demos/cabin.lineside");

/// The demo project, or an empty one should it not read; a test reads it.
pub fn project() -> Project {
    file::read(CABIN).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demo_reads() {
        assert!(file::read(CABIN).is_ok());
        assert!(project().circuit.block_count() > 10);
    }
}
