//! The AC side.

mod ac_pass_through;
mod ac_shock_protection;
mod ac_voltage_frequency;
mod backfed_breaker;
mod busbar_120_percent;
mod generator_conductor;
mod generator_overload;
mod inverter_capacity;
mod inverter_output_overcurrent;
mod single_120_volt_supply;
mod source_interlock;
mod support;
mod transfer_equipment;

pub(crate) use ac_pass_through::AC_PASS_THROUGH;
pub(crate) use ac_shock_protection::AC_SHOCK_PROTECTION;
pub(crate) use ac_voltage_frequency::AC_VOLTAGE_FREQUENCY;
pub(crate) use backfed_breaker::BACKFED_BREAKER;
pub(crate) use busbar_120_percent::BUSBAR_120_PERCENT;
pub(crate) use generator_conductor::GENERATOR_CONDUCTOR;
pub(crate) use generator_overload::GENERATOR_OVERLOAD;
pub(crate) use inverter_capacity::INVERTER_CAPACITY;
pub(crate) use inverter_output_overcurrent::INVERTER_OUTPUT_OVERCURRENT;
pub(crate) use single_120_volt_supply::SINGLE_120_VOLT_SUPPLY;
pub(crate) use source_interlock::SOURCE_INTERLOCK;
pub(crate) use transfer_equipment::TRANSFER_EQUIPMENT;
