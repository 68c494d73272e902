//! The title block of the drawing set, after ISO 7200, and the firm behind it.

use serde::{Deserialize, Serialize};

/// Who, what and where. Dates are with the revisions.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct TitleBlock {
    /// The customer's system, as the sheet's title.
    pub system: String,
    /// The customer.
    pub customer: String,
    /// Address of the site.
    pub site_address: String,
    /// Parcel or permit number.
    pub parcel: String,
    /// The firm.
    pub firm: String,
    /// Its license number.
    pub license: String,
    /// Its address.
    pub firm_address: String,
    /// Its telephone.
    pub telephone: String,
    /// Number of the drawing set.
    pub drawing_number: String,
    /// Who drew it.
    pub drawn_by: String,
    /// Who checked it.
    pub checked_by: String,
    /// Who approved it.
    pub approved_by: String,
}
