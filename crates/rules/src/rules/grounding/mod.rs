//! Grounding conductors, electrodes and surge arresters.

mod dc_grounding_electrode;
mod equipment_grounding_size;
mod surge_protection;

pub(crate) use dc_grounding_electrode::DC_GROUNDING_ELECTRODE;
pub(crate) use equipment_grounding_size::EQUIPMENT_GROUNDING_SIZE;
pub(crate) use surge_protection::SURGE_PROTECTION;
