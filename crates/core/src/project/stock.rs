//! Stock items: equipment that can be put on the sheet.

use crate::kinds::Equipment;
use serde::{Deserialize, Serialize};

/// One item of stock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockItem {
    /// A plain description: `Tracking controller, 150 V in, 60 A out`.
    pub name: String,
    /// Its nameplate, with the settings it comes with.
    pub equipment: Equipment,
}
