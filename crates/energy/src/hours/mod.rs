//! What can be read off the hours of a year: how long things last, the worst week, the date of an hour.
//!
//! Only the hours are looked at; nothing of the system is computed anew.

mod duration;
mod week;

pub use duration::DurationCurve;
pub use week::{WEEK_DAYS, Week, worst_week};
