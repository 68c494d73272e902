//! The price book that travels with a project. Money is decimal, never a float.

use jiff::civil::Date;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// Price of one item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// Stock name, or the name of a line of the firm's own.
    pub item: String,
    /// What one of it is: each, ft, m, hour.
    pub unit: String,
    /// What it costs the firm.
    pub cost: Decimal,
    /// What it sells for, when not cost with markup.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<Decimal>,
    /// Day of the price.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// Who sells it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub supplier: String,
}

/// What things cost and sell for.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct PriceBook {
    /// ISO 4217 code.
    pub currency: String,
    /// Markup on cost, in percent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub markup_percent: Option<Decimal>,
    /// Prices.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub prices: Vec<Price>,
}
