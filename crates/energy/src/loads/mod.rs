//! Loads: from the table of a brief, or from a meter, to every hour of the year.

pub(crate) mod appliances;
mod doubts;
mod table;
mod year;

pub use appliances::Appliance;
pub use doubts::{LoadDoubt, load_doubts};
pub use table::{Days, Load, LoadClass, Profile};
pub use year::{Deadline, Deferral, Loads, Metered};

pub(crate) use year::{LoadHour, LoadYear, Quota};
