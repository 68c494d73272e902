//! What protects people from the array side: ground faults, arcs, rapid shutdown.

mod pv_arc_fault;
mod pv_ground_fault_protection;
mod rapid_shutdown;
mod shutdown;
mod support;

pub(crate) use pv_arc_fault::PV_ARC_FAULT;
pub(crate) use pv_ground_fault_protection::PV_GROUND_FAULT_PROTECTION;
pub(crate) use rapid_shutdown::RAPID_SHUTDOWN;
