//! The workbench: the window and what it needs of the machine.
//!
//! Nothing electrical is computed here; the engine crates below do that.

pub mod commands;
pub mod comparison;
pub mod disk;
pub mod energy_year;
pub mod engine;
pub mod hours_table;
pub mod journal;
pub mod own_stock;
pub mod review;
pub mod settings;
pub mod sheet_files;
pub mod thumbnails;
pub mod window;
