//! The year: a system, a sky and weather in; books, outcome and, if wanted, every hour out.

mod hourly;
mod ledger;
mod many;
mod outcome;
mod prepared;
mod totals;

pub use hourly::{Hour, Hourly};
pub use many::{Better, Continue, ManyYears, ModelDoubt, Progress, Run, Spread, Unheard, quick_p90};
pub use outcome::{Closure, Outcome, Reserve};
pub use prepared::{Detail, Prepared, Year};
pub use totals::Totals;
