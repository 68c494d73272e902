//! The tables, one file each: how a file of `assets/codes` is read and checked, and what can be asked of it.
//!
//! Factors are in [`crate::Factors`]; look-ups that need several tables are in [`crate::ampacity`],
//! [`crate::resistance`] and [`crate::overcurrent`].

pub(crate) mod ac_grounding_electrode;
pub(crate) mod ac_resistance;
pub(crate) mod array_insulation;
pub(crate) mod battery_gas;
pub(crate) mod battery_models;
pub(crate) mod battery_windows;
pub(crate) mod cold_voltage;
pub(crate) mod conductor_area;
pub(crate) mod conductor_properties;
pub(crate) mod dc_grounding_electrode;
pub(crate) mod equipment_grounding;
pub(crate) mod equipment_models;
pub(crate) mod iec_ambient;
pub(crate) mod iec_capacity;
pub(crate) mod iec_grouping;
pub(crate) mod iec_resistance;
pub(crate) mod iec_soil;
pub(crate) mod insulations;
pub(crate) mod labels;
pub(crate) mod nec_ambient;
pub(crate) mod nec_ampacity;
pub(crate) mod nec_bundling;
pub(crate) mod protective_conductor;
pub(crate) mod pv_cable;
pub(crate) mod raceway_area;
pub(crate) mod size_limits;
pub(crate) mod small_conductors;
pub(crate) mod standard_ratings;
pub(crate) mod working_space;

pub use ac_grounding_electrode::AcGroundingElectrode;
pub use ac_resistance::{AcResistance, ConduitMaterial};
pub use array_insulation::ArrayInsulation;
pub use battery_gas::{BatteryGas, ChargeMode, Gassing, GassingBattery};
pub use battery_models::BatteryModels;
pub use battery_windows::{AssumedFault, BatteryWindows, CellWindow};
pub use cold_voltage::ColdVoltage;
pub use conductor_area::ConductorArea;
pub use conductor_properties::ConductorProperties;
pub use dc_grounding_electrode::{DcElectrode, DcGroundingElectrode};
pub use equipment_grounding::EquipmentGrounding;
pub use equipment_models::{EquipmentModels, LossLaw};
pub use iec_ambient::{IecAmbient, Medium};
pub use iec_capacity::{CableInsulation, IecCapacity, LoadedConductors};
pub use iec_grouping::{Arrangement, IecGrouping};
pub use iec_resistance::IecResistance;
pub use iec_soil::{Burial, IecSoil, SoilResistivity};
pub use insulations::{
    InsulationFacts, InsulationFamily, InsulationStructure, Insulations, Moisture, Suitability, Sunlight,
};
pub use labels::{LabelText, Labels};
pub use nec_ambient::NecAmbient;
pub use nec_ampacity::{ConductorTemperature, Installation, NecAmpacity};
pub use nec_bundling::NecBundling;
pub use protective_conductor::ProtectiveConductor;
pub use pv_cable::{PvCable, PvCableLaying};
pub use raceway_area::{RacewayArea, RacewayKind, TradeSize};
pub use size_limits::{SizeKey, SizeLimits};
pub use small_conductors::SmallConductors;
pub use standard_ratings::{DeviceType, RatingSeries, StandardRatings};
pub use working_space::{WorkingCondition, WorkingSpace};
