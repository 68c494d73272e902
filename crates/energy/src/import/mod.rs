//! Files that users bring: hourly weather in open layouts, and loads as a meter saw them.
//!
//! What cannot be read is refused with line and column; nothing is filled in but short gaps, and those are told.

mod epw;
mod gaps;
mod hourly_file;
mod into_brief;
mod load_table;
mod metered;
mod own;
#[cfg(test)]
mod tests;
mod tmy3;

pub use hourly_file::{FileRemark, HourlyFile, Layout, Station};
pub use lineside_core::table::ImportFault;
pub use load_table::{LoadTable, load_table};
pub use metered::metered_loads;

use lineside_core::table::Text;

/// Reads an hourly weather file in whichever of the three layouts it is written: TMY3 CSV, EPW, or our own CSV with the
/// columns `month,day,hour,ghi,ta`, hours counted 0 to 23 from their beginning.
pub fn weather(bytes: &[u8]) -> Result<HourlyFile, Vec<ImportFault>> {
    let text = Text::new(bytes).map_err(|fault| vec![fault])?;
    if text.line(1).starts_with("LOCATION") {
        epw::read(&text)
    } else if text.line(2).contains("Date (MM/DD/YYYY)") {
        tmy3::read(&text)
    } else if text.line(1).to_lowercase().contains("month") {
        own::read(&text)
    } else {
        Err(vec![ImportFault::new(
            1,
            "",
            "a TMY3 file (column names in line 2), an EPW file (“LOCATION” in line 1) or the columns \
             month,day,hour,ghi,ta",
            text.line(1),
        )])
    }
}
