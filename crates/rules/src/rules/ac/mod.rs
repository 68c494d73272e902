//! The AC side.

mod ac_voltage_frequency;

pub(crate) use ac_voltage_frequency::AC_VOLTAGE_FREQUENCY;
