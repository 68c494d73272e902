//! The window: a workbench for drawing a system and seeing it checked while one draws.
//!
//! `app.rs` owns the state and says what happens in a frame; each panel is one file; panels look at a `View`
//! and push `Action`s. Colors are in `tokens.rs` only. Nothing electrical is computed in here.

pub mod action;
pub mod app;
mod apply;
pub mod areas;
mod arrange;
pub mod ask;
pub mod brush;
pub mod command;
pub mod demo;
pub mod derivation;
pub mod dialogs;
pub mod document;
mod dropped;
pub mod edits;
pub mod entry;
mod exports;
mod files;
mod follow;
pub mod fonts;
pub mod frame;
pub mod fuzzy;
pub mod guide;
pub mod held;
mod hindrance;
pub mod history_list;
mod intakes;
mod keys;
pub mod marks;
pub mod notice;
mod nudge;
mod obey;
pub mod picker;
pub mod plot;
mod recent;
mod recovery;
mod reveal;
pub mod selection;
pub mod start;
mod stock_keeping;
pub mod style;
pub mod symbols;
pub mod templates;
mod thumbnail;
pub mod tokens;
pub mod tour;
pub mod view;
pub mod wear;

pub use app::{App, Start};

use crate::engine::{Damaged, Engine};
use egui::ViewportBuilder;
use std::path::PathBuf;
use std::sync::Arc;

/// Why the window could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// The tables or the stock in the binary could not be read.
    #[error(transparent)]
    Damaged(#[from] Damaged),
    /// The machine has no screen, or none that will do.
    #[error("{0}")]
    Screen(String),
}

/// Opens the window and stays until it is closed.
pub fn open(file: Option<PathBuf>) -> Result<(), OpenError> {
    let (engine, told) = Engine::of_this_person()?;
    if let Some(told) = told {
        crate::commands::remark(&told);
    }
    let engine = Arc::new(engine);
    let options = eframe::NativeOptions {
        viewport: ViewportBuilder::default()
            .with_title("Lineside")
            .with_app_id("lineside")
            .with_inner_size([1440.0, 900.0])
            .with_min_inner_size([900.0, 560.0]),
        system_font_fallback: false,
        ..eframe::NativeOptions::default()
    };
    eframe::run_native(
        "lineside",
        options,
        Box::new(move |creation| {
            let mut app = App::new(&creation.egui_ctx, Start::of_this_person(file, engine));
            app.greet(&creation.egui_ctx);
            Ok(Box::new(app))
        }),
    )
    .map_err(|error| OpenError::Screen(error.to_string()))
}
