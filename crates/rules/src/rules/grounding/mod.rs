//! Grounding conductors, electrodes and surge arresters.

mod dc_grounding_electrode;
mod dc_system_grounding;
mod equipment_grounding_size;
mod neutral_bond_count;
mod surge_protection;

pub(crate) use dc_grounding_electrode::DC_GROUNDING_ELECTRODE;
pub(crate) use dc_system_grounding::DC_SYSTEM_GROUNDING;
pub(crate) use equipment_grounding_size::EQUIPMENT_GROUNDING_SIZE;
pub(crate) use neutral_bond_count::NEUTRAL_BOND_COUNT;
pub(crate) use surge_protection::SURGE_PROTECTION;
