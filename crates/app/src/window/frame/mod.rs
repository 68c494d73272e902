//! What stands round every area: menu row, area strip, status bar.

pub mod menu;
pub mod status;
pub mod strip;
