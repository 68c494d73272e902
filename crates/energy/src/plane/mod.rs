//! What a tilted plane gets of the sun: beam, sky and ground, less what glass, dirt, snow and shade take.

mod incidence;
mod shading;
mod transposition;
mod year;

pub use incidence::{Transmittance, transmittance};
pub use shading::{Horizon, NearShade, Rows, ShadeGain, row_spacing};
pub use transposition::{OnPlane, PlaneSun, SkyModel, transpose};
pub use year::{Plane, PlaneHour, PlaneSetting};
