//! The sun over a site: where it stands, what comes down above the air and under a clear sky.
//!
//! What clouds leave of it is in `weather`, what a tilted plane gets in `plane`.

mod air;
mod clear_sky;
mod geocentric;
mod position;
mod sky;

pub use clear_sky::{ClearSky, clear_sky};
pub use position::{Instant, SunPosition, position};
pub use sky::{Sky, SunAt};

pub(crate) use air::relative_air_mass;
