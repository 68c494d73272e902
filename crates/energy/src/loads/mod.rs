//! Loads: from the table of a brief, or from a meter, to every hour of the year.

pub(crate) mod appliances;
mod day;
mod doubts;
mod metered_lines;
mod table;
mod year;

pub use appliances::Appliance;
pub use day::{DayProfile, day_profile, energy_of_day};
pub use doubts::{LoadDoubt, load_doubts};
pub use table::{Days, Load, LoadClass, Profile};
pub use year::{Deadline, Deferral, Loads, Metered};

pub(crate) use year::{LoadHour, LoadYear, Quota};
