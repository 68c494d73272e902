//! The project file: text ↔ [`Project`](crate::project::Project). The program's rim moves the bytes.
//!
//! The text is RON, one entry for each block and run, in a stable order, so that people can read it and
//! line-based version control can merge it. `docs/file-format.md` describes it.

mod error;
mod migrate;
mod read;
mod read_circuit;
mod read_words;
pub(crate) mod scan;
mod stock;
mod stock_table;
mod v1;
mod write;

pub use error::{ReadError, ReadFault};
pub use read::{read, read_bytes};
pub use stock::read_stock;
pub use stock_table::{
    ColumnName, StockTable, TableFault, read_stock_table, stock_table_headings, write_stock_table,
};
pub use write::{WriteError, write, write_stock};

/// Version of the files that this program writes.
pub const NEWEST_VERSION: u32 = 1;

/// Largest file that is taken for a project: a hundred times the largest sheet that is drawn.
pub const SIZE_LIMIT: usize = 64 * 1024 * 1024;

/// How RON is read and written here: optional values stand without `Some`.
pub(crate) fn ron_options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}
