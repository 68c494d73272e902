//! The place where the battery stands: air, sparks, room, covers, fire.

mod battery_spark_distance;
mod battery_ventilation;
mod gassing;
mod lithium_location;
mod live_parts_guarded;
mod working_space;

pub(crate) use battery_spark_distance::BATTERY_SPARK_DISTANCE;
pub(crate) use battery_ventilation::BATTERY_VENTILATION;
pub(crate) use lithium_location::LITHIUM_LOCATION;
pub(crate) use live_parts_guarded::LIVE_PARTS_GUARDED;
pub(crate) use working_space::WORKING_SPACE;
