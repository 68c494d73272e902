//! The stock that one person keeps beside the built-in one: in the platform's place, a stock file like those of the
//! program.
//!
//! Reading and writing its text is the core crate's.

use crate::disk::{self, Conflict, SaveError};
use lineside_core::file::{ReadError, WriteError, read_stock, write_stock};
use lineside_core::project::StockItem;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Why the own stock could not be read or kept.
#[derive(Debug, thiserror::Error)]
pub enum OwnStockFault {
    /// There is no folder for it.
    #[error("this system names no folder in which settings are kept, so there is no stock of your own")]
    NoPlace,
    /// It cannot be read.
    #[error("your own stock could not be read ({reason}); it was left alone: {}", path.display())]
    Unread {
        /// Why.
        reason: String,
        /// Where it is.
        path: PathBuf,
    },
    /// It cannot be written as text.
    #[error(transparent)]
    Text(#[from] WriteError),
    /// It cannot be saved.
    #[error("your own stock was not changed: {0}")]
    Unsaved(#[from] SaveError),
}

/// Where it is kept.
pub fn place() -> Result<PathBuf, OwnStockFault> {
    use etcetera::BaseStrategy;
    let folders = etcetera::choose_base_strategy().map_err(|_| OwnStockFault::NoPlace)?;
    Ok(folders.config_dir().join("lineside").join("stock.ron"))
}

/// The items of this person; none when nothing was ever kept.
pub fn of_this_person() -> Result<Vec<StockItem>, OwnStockFault> {
    place().map_or_else(|_| Ok(Vec::new()), |path| read_at(&path))
}

/// The items that are kept in a file; none when there is none.
pub fn read_at(path: &Path) -> Result<Vec<StockItem>, OwnStockFault> {
    let unread = |reason: String| OwnStockFault::Unread { reason, path: path.to_owned() };
    let text = match fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(unread(error.to_string())),
    };
    read_stock(&text).map_err(|error| {
        unread(match error {
            ReadError::Faults(faults) => {
                faults.first().map_or_else(|| "it is damaged".to_owned(), ToString::to_string)
            }
            other @ (ReadError::TooLarge { .. }
            | ReadError::Empty
            | ReadError::NotText { .. }
            | ReadError::Newer { .. }) => other.to_string(),
        })
    })
}

/// Keeps these items in the place of those that were kept. The ones before stay beside them as the last good copy.
pub fn keep(items: &[StockItem]) -> Result<PathBuf, OwnStockFault> {
    let path = place()?;
    keep_at(&path, items)?;
    Ok(path)
}

/// The same in a file.
pub fn keep_at(path: &Path, items: &[StockItem]) -> Result<(), OwnStockFault> {
    let text = write_stock(items)?;
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)
            .map_err(|error| OwnStockFault::Unread { reason: error.to_string(), path: path.to_owned() })?;
    }
    disk::save(path, text.as_bytes(), None, Conflict::Overwrite)?;
    Ok(())
}
