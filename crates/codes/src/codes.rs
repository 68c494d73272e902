//! All tables together, read once and passed in.

use crate::factor_key::FactorKey;
use crate::factors::{self, Factor, Factors};
use crate::table_error::TableError;
use crate::tables::{
    AcGroundingElectrode, AcResistance, ArrayInsulation, BatteryGas, BatteryModels, BatteryWindows,
    ColdVoltage, ConductorArea, ConductorProperties, DcGroundingElectrode, EquipmentGrounding,
    EquipmentModels, IecAmbient, IecCapacity, IecGrouping, IecResistance, IecSoil, Insulations, Labels,
    NecAmbient, NecAmpacity, NecBundling, ProtectiveConductor, PvCable, RacewayArea, SizeLimits,
    SmallConductors, StandardRatings, WorkingSpace, ac_grounding_electrode, ac_resistance, array_insulation,
    battery_gas, battery_models, battery_windows, cold_voltage, conductor_area, conductor_properties,
    dc_grounding_electrode, equipment_grounding, equipment_models, iec_ambient, iec_capacity, iec_grouping,
    iec_resistance, iec_soil, insulations, labels, nec_ambient, nec_ampacity, nec_bundling,
    protective_conductor, pv_cable, raceway_area, size_limits, small_conductors, standard_ratings,
    working_space,
};
use lineside_core::project::RuleSet;
use lineside_core::units::Measure;

/// Tables of the NEC.
#[derive(Clone, Debug)]
pub struct NecTables {
    /// Ampacities, 310.16 and 310.17.
    pub ampacity: NecAmpacity,
    /// Ambient correction, 310.15(B)(1).
    pub ambient: NecAmbient,
    /// Bundling, 310.15(C)(1).
    pub bundling: NecBundling,
    /// Small conductors, 240.4(D).
    pub small_conductors: SmallConductors,
    /// Equipment-grounding conductors, 250.122.
    pub equipment_grounding: EquipmentGrounding,
    /// Grounding electrode conductors of AC systems, 250.66.
    pub ac_grounding_electrode: AcGroundingElectrode,
    /// Grounding electrode conductors of DC systems, 250.166.
    pub dc_grounding_electrode: DcGroundingElectrode,
    /// Working space, 110.26(A)(1).
    pub working_space: WorkingSpace,
    /// Raceway areas, Chapter 9 Table 4.
    pub raceway_area: RacewayArea,
    /// Conductor areas, Chapter 9 Table 5.
    pub conductor_area: ConductorArea,
    /// Circular mils and DC resistance, Chapter 9 Table 8.
    pub conductor_properties: ConductorProperties,
    /// AC resistance, Chapter 9 Table 9.
    pub ac_resistance: AcResistance,
}

/// Tables of the IEC.
#[derive(Clone, Debug)]
pub struct IecTables {
    /// Current-carrying capacities, 60364-5-52.
    pub capacity: IecCapacity,
    /// Ambient correction, 60364-5-52.
    pub ambient: IecAmbient,
    /// Grouping, 60364-5-52.
    pub grouping: IecGrouping,
    /// Soil, 60364-5-52.
    pub soil: IecSoil,
    /// PV cable, 62930.
    pub pv_cable: PvCable,
    /// Protective conductors, 60364-5-54.
    pub protective_conductor: ProtectiveConductor,
    /// Conductor resistance, 60228.
    pub resistance: IecResistance,
    /// Insulation resistance of arrays, 62109-2.
    pub array_insulation: ArrayInsulation,
}

/// Tables that serve every rule set.
#[derive(Clone, Debug)]
pub struct CommonTables {
    /// Factors and limits.
    pub factors: Factors,
    /// Limits that are a conductor size.
    pub sizes: SizeLimits,
    /// Standard ratings of overcurrent devices.
    pub ratings: StandardRatings,
    /// Open-circuit voltage in the cold, 690.7(A).
    pub cold_voltage: ColdVoltage,
    /// What insulations are good for.
    pub insulations: Insulations,
    /// What stands on labels.
    pub labels: Labels,
    /// Gassing currents, 62485-2.
    pub battery_gas: BatteryGas,
    /// Voltages per cell by chemistry.
    pub battery_windows: BatteryWindows,
    /// How cells behave by chemistry.
    pub battery_models: BatteryModels,
    /// How converters and modules behave.
    pub equipment_models: EquipmentModels,
}

/// Every table of every rule set.
#[derive(Clone, Debug)]
pub struct Codes {
    /// Tables of the NEC.
    pub nec: NecTables,
    /// Tables of the IEC.
    pub iec: IecTables,
    /// Tables that serve every rule set.
    pub common: CommonTables,
}

impl Codes {
    /// Reads and checks the tables that are built into the program. An error is a mistake in one of those
    /// files, which a test would have found.
    pub fn load() -> Result<Self, TableError> {
        Ok(Self { nec: NecTables::load()?, iec: IecTables::load()?, common: CommonTables::load()? })
    }

    /// The factor under a key that the rule set uses, with its clause.
    pub fn factor(&self, rule_set: RuleSet, key: FactorKey) -> &Factor {
        self.common.factors.get(rule_set, key)
    }

    /// A pure number under a key that the rule set uses.
    pub fn number(&self, rule_set: RuleSet, key: FactorKey) -> f64 {
        self.common.factors.number(rule_set, key)
    }

    /// A quantity under a key that the rule set uses.
    pub fn quantity<M: Measure + Default>(&self, rule_set: RuleSet, key: FactorKey) -> M {
        self.common.factors.quantity(rule_set, key)
    }
}

impl NecTables {
    fn load() -> Result<Self, TableError> {
        Ok(Self {
            ampacity: NecAmpacity::parse(&nec_ampacity::RACEWAY, &nec_ampacity::FREE_AIR)?,
            ambient: NecAmbient::parse(&nec_ambient::FILE)?,
            bundling: NecBundling::parse(&nec_bundling::FILE)?,
            small_conductors: SmallConductors::parse(&small_conductors::FILE)?,
            equipment_grounding: EquipmentGrounding::parse(&equipment_grounding::FILE)?,
            ac_grounding_electrode: AcGroundingElectrode::parse(&ac_grounding_electrode::FILE)?,
            dc_grounding_electrode: DcGroundingElectrode::parse(&dc_grounding_electrode::FILE)?,
            working_space: WorkingSpace::parse(&working_space::FILE)?,
            raceway_area: RacewayArea::parse(&raceway_area::FILE)?,
            conductor_area: ConductorArea::parse(&conductor_area::FILE)?,
            conductor_properties: ConductorProperties::parse(&conductor_properties::FILE)?,
            ac_resistance: AcResistance::parse(&ac_resistance::FILE)?,
        })
    }
}

impl IecTables {
    fn load() -> Result<Self, TableError> {
        Ok(Self {
            capacity: IecCapacity::parse(&iec_capacity::FILE)?,
            ambient: IecAmbient::parse(&iec_ambient::FILE)?,
            grouping: IecGrouping::parse(&iec_grouping::FILE)?,
            soil: IecSoil::parse(&iec_soil::FILE)?,
            pv_cable: PvCable::parse(&pv_cable::AMPACITY, &pv_cable::AMBIENT)?,
            protective_conductor: ProtectiveConductor::parse(&protective_conductor::FILE)?,
            resistance: IecResistance::parse(&iec_resistance::FILE)?,
            array_insulation: ArrayInsulation::parse(&array_insulation::FILE)?,
        })
    }
}

impl CommonTables {
    fn load() -> Result<Self, TableError> {
        Ok(Self {
            factors: Factors::parse(&factors::FILE)?,
            sizes: SizeLimits::parse(&size_limits::FILE)?,
            ratings: StandardRatings::parse(&standard_ratings::NEC, &standard_ratings::SERIES)?,
            cold_voltage: ColdVoltage::parse(&cold_voltage::FILE)?,
            insulations: Insulations::parse(&insulations::FILE)?,
            labels: Labels::parse(&labels::FILE)?,
            battery_gas: BatteryGas::parse(&battery_gas::FILE)?,
            battery_windows: BatteryWindows::parse(&battery_windows::FILE)?,
            battery_models: BatteryModels::parse(&battery_models::FILE)?,
            equipment_models: EquipmentModels::parse(&equipment_models::FILE)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Volts;

    #[test]
    fn the_built_in_tables_load() {
        let codes = Codes::load().unwrap_or_else(|fault| panic!("{fault}"));
        assert!((codes.number(RuleSet::Nec2023, FactorKey::Continuous) - 1.25).abs() < 1e-12);
        assert_eq!(codes.quantity::<Volts>(RuleSet::Nec2017, FactorKey::ArcFaultVoltage), Volts::new(80.0));
        assert_eq!(codes.factor(RuleSet::Iec, FactorKey::Continuous).clause, "IEC 60364-4-43 cl. 433.1");
    }
}
