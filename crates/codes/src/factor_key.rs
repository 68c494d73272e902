//! The keys of the table of factors: every number of a rule that is not a table of its own.
//!
//! Their values are rows of `assets/codes/common/factors.csv`; how these are read is in [`crate::factors`].

use crate::declare_keys::factor_keys;
use lineside_core::project::RuleSet;

const ALL: &[RuleSet] = &RuleSet::ALL;
const NEC: &[RuleSet] = &[RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017];
const NEC_FROM_2020: &[RuleSet] = &[RuleSet::Nec2023, RuleSet::Nec2020];
const NEC_2017: &[RuleSet] = &[RuleSet::Nec2017];
const IEC: &[RuleSet] = &[RuleSet::Iec];

factor_keys! {
    /// PV current over short-circuit current, for irradiance above 1000 W/m²; K_I in the IEC.
    PvCurrent = "pv_current", ALL, One;
    /// Rating over current that flows three hours or more.
    Continuous = "continuous", ALL, One;
    /// PV power from which a licensed engineer may document another method.
    PvEngineeredPower = "pv_engineered_power", NEC, Watt;
    /// Least share of the ordinary PV current that the engineered method may give.
    PvEngineeredShare = "pv_engineered_share", NEC, One;
    /// Irradiance of the standard test conditions.
    StandardIrradiance = "standard_irradiance", ALL, WattPerSquareMeter;
    /// Rear irradiance of the bifacial nameplate values.
    BifacialRearIrradiance = "bifacial_rear_irradiance", ALL, WattPerSquareMeter;
    /// Coefficient of the maximum-power voltage when the nameplate gives none.
    PowerCoefficient = "power_coefficient", ALL, PercentPerCelsius;
    /// 1000 W/m² over the 800 W/m² of the nominal cell temperature.
    NominalCellScale = "nominal_cell_scale", ALL, One;
    /// Ambient of the nominal cell temperature.
    NominalCellAmbient = "nominal_cell_ambient", ALL, Celsius;
    /// Cells above ambient in full sun: ground or pole mount with free air.
    CellRiseGround = "cell_rise_ground", ALL, CelsiusSpan;
    /// Cells above ambient in full sun: tilted rack on a roof.
    CellRiseRack = "cell_rise_rack", ALL, CelsiusSpan;
    /// Cells above ambient in full sun: parallel to a roof.
    CellRiseRoof = "cell_rise_roof", ALL, CelsiusSpan;
    /// Cells above ambient in full sun: tracker with free air.
    CellRiseTracker = "cell_rise_tracker", ALL, CelsiusSpan;
    /// Headroom of a step-down controller over the battery.
    ConverterHeadroom = "converter_headroom", ALL, Volt;
    /// Nominal battery voltage to which that headroom belongs.
    ConverterHeadroomPer = "converter_headroom_per", ALL, Volt;
    /// How far the coldest battery outdoors stays above the record low.
    BatteryOutdoorRise = "battery_outdoor_rise", ALL, CelsiusSpan;
    /// Coldest battery indoors.
    BatteryIndoorColdest = "battery_indoor_coldest", ALL, Celsius;
    /// Hottest battery indoors.
    BatteryIndoorHottest = "battery_indoor_hottest", ALL, Celsius;
    /// Efficiency of an inverter at rated output when the nameplate gives none.
    InverterEfficiency = "inverter_efficiency", ALL, One;
    /// Efficiency of a charger when the nameplate gives none.
    ChargerEfficiency = "charger_efficiency", ALL, One;
    /// Base of the temperature compensation.
    CompensationBase = "compensation_base", ALL, Celsius;
    /// Added to the ambient of raceway or cable close above a roof in the sun; XHHW-2 excepted.
    RoofAdder = "roof_adder", NEC, CelsiusSpan;
    /// Height above the roof below which the roof adder applies.
    RoofHeight = "roof_height", NEC, Millimeter;
    /// Length of raceway to which bundling does not count and the fill of a nipple is allowed.
    NippleLength = "nipple_length", NEC, Meter;
    /// Rating of a terminal without a mark in a small circuit.
    UnmarkedTerminalSmall = "unmarked_terminal_small", ALL, Celsius;
    /// Rating of a terminal without a mark in a large circuit.
    UnmarkedTerminalLarge = "unmarked_terminal_large", ALL, Celsius;
    /// Circuit rating to which an unmarked terminal counts as one of a small circuit.
    UnmarkedTerminalCurrent = "unmarked_terminal_current", NEC, Amp;
    /// Temperature for which the table of resistances holds.
    ResistanceBase = "resistance_base", ALL, Celsius;
    /// Change of the resistance of copper per kelvin from the base.
    ResistanceCopper = "resistance_copper", ALL, One;
    /// Change of the resistance of aluminum per kelvin from the base.
    ResistanceAluminum = "resistance_aluminum", ALL, One;
    /// Conductor temperature for voltage drop and the smallest fault.
    WarmConductor = "warm_conductor", ALL, Celsius;
    /// Conductor temperature for the largest fault.
    ColdConductor = "cold_conductor", ALL, Celsius;
    /// Share of the battery's resistance that counts in a fault.
    BatteryResistance = "battery_resistance", ALL, One;
    /// Fault current of an inverter output over its rated current when not listed.
    InverterFault = "inverter_fault", ALL, One;
    /// How long the fault current of an inverter output lasts.
    InverterFaultTime = "inverter_fault_time", ALL, Second;
    /// Available fault current when the utility has not said.
    UtilityFault = "utility_fault", ALL, Amp;
    /// Subtransient reactance of a generator when the nameplate gives none.
    GeneratorReactance = "generator_reactance", ALL, One;
    /// Fault current below which an assembly without a short-circuit rating is advice only.
    AssemblyUnmarked = "assembly_unmarked", ALL, Amp;
    /// Resistance of an old and empty battery over that of a new one.
    OldBatteryResistance = "old_battery_resistance", ALL, One;
    /// Fault current over device rating at which the device surely opens.
    FaultClears = "fault_clears", ALL, One;
    /// Time within which it then opens.
    FaultClearsTime = "fault_clears_time", ALL, Second;
    /// Current that persists over ampacity above which it is a danger.
    PersistingOverload = "persisting_overload", ALL, One;
    /// Clearing time below which the let-through of the device counts.
    LetThroughTime = "let_through_time", ALL, Second;
    /// Time in which an ordinary breaker or fuse opens at the latest on a short circuit.
    ClearingDevice = "clearing_device", ALL, Second;
    /// Time in which a molded-case breaker opens at the latest on a short circuit.
    ClearingMoldedCase = "clearing_molded_case", ALL, Second;
    /// Time in which a current-limiting fuse opens at the latest on a short circuit.
    ClearingLimitingFuse = "clearing_limiting_fuse", ALL, Second;
    /// Time in which a device without current limiting opens at the soonest.
    ClearingSoonest = "clearing_soonest", ALL, Second;
    /// Time in which a current-limiting fuse opens at the soonest.
    ClearingSoonestLimiting = "clearing_soonest_limiting", ALL, Second;
    /// Fault current over device rating from which those times hold.
    ShortCircuitOpens = "short_circuit_opens", ALL, One;
    /// Interrupting rating of an AC breaker without a mark.
    UnmarkedBreaker = "unmarked_breaker", NEC, Amp;
    /// Interrupting rating of an AC fuse without a mark.
    UnmarkedFuse = "unmarked_fuse", NEC, Amp;
    /// Constant of the short-circuit heating formula for copper, area in cmil.
    ShortCircuitCopper = "short_circuit_copper", NEC, One;
    /// Inferred temperature of zero resistance of copper, below 0 °C.
    ShortCircuitCopperOffset = "short_circuit_copper_offset", NEC, One;
    /// Constant of the short-circuit heating formula for aluminum, area in cmil.
    ShortCircuitAluminum = "short_circuit_aluminum", NEC, One;
    /// Inferred temperature of zero resistance of aluminum, below 0 °C.
    ShortCircuitAluminumOffset = "short_circuit_aluminum_offset", NEC, One;
    /// Conductor temperature when the fault begins.
    ShortCircuitStart = "short_circuit_start", NEC, Celsius;
    /// Greatest temperature of thermoplastic insulation after a fault.
    ShortCircuitThermoplastic = "short_circuit_thermoplastic", NEC, Celsius;
    /// Greatest temperature of thermoset insulation after a fault.
    ShortCircuitThermoset = "short_circuit_thermoset", NEC, Celsius;
    /// Withstand constant k of copper in PVC.
    WithstandCopperThermoplastic = "withstand_copper_thermoplastic", IEC, One;
    /// Withstand constant k of copper in XLPE or EPR.
    WithstandCopperThermoset = "withstand_copper_thermoset", IEC, One;
    /// Withstand constant k of aluminum in PVC.
    WithstandAluminumThermoplastic = "withstand_aluminum_thermoplastic", IEC, One;
    /// Withstand constant k of aluminum in XLPE or EPR.
    WithstandAluminumThermoset = "withstand_aluminum_thermoset", IEC, One;
    /// Coldest temperature of the voltage table.
    VoltageTableColdest = "voltage_table_coldest", ALL, Celsius;
    /// Factor on the open-circuit voltage where neither coefficient nor temperature is known.
    VoltageUnknown = "voltage_unknown", IEC, One;
    /// Greatest voltage of PV DC circuits of one- and two-family dwellings.
    PvVoltageDwelling = "pv_voltage_dwelling", ALL, Volt;
    /// Greatest voltage of PV DC circuits on or in other buildings.
    PvVoltageBuilding = "pv_voltage_building", ALL, Volt;
    /// Greatest voltage of PV DC circuits off buildings with the extra wiring rules.
    PvVoltageOffBuildings = "pv_voltage_off_buildings", ALL, Volt;
    /// Voltage of aged modules over that of new ones.
    StringAging = "string_aging", ALL, One;
    /// Drop of the PV run below which the hot string voltage is not corrected.
    VoltageDropNeglected = "voltage_drop_neglected", ALL, Percent;
    /// Difference of string voltages on one input.
    UnequalVoltage = "unequal_voltage", ALL, Percent;
    /// Difference of tilt or azimuth on one input.
    UnequalAngle = "unequal_angle", ALL, Degree;
    /// Difference of maximum-power currents in series.
    UnequalCurrent = "unequal_current", ALL, Percent;
    /// Headroom of a switching controller over the highest bus voltage.
    SwitchingControllerHeadroom = "switching_controller_headroom", ALL, Volt;
    /// String voltage over bus voltage above which too much is lost.
    SwitchingControllerRatio = "switching_controller_ratio", ALL, One;
    /// Tolerance of a charger's set point when the nameplate gives none.
    ChargerTolerance = "charger_tolerance", ALL, Percent;
    /// Margin below which that tolerance is printed.
    ChargerToleranceMargin = "charger_tolerance_margin", ALL, Percent;
    /// How far below the inverter's cut-out battery management must open.
    ManagementMargin = "management_margin", ALL, Volt;
    /// Nominal battery voltage to which that margin belongs.
    ManagementMarginPer = "management_margin_per", ALL, Volt;
    /// Cell temperature below which lithium must not be charged.
    LithiumChargeColdest = "lithium_charge_coldest", ALL, Celsius;
    /// Amperes per ampere-hour that still stir a flooded cell.
    FloodedChargeLeast = "flooded_charge_least", ALL, One;
    /// Difference of capacity of parallel battery strings.
    ParallelCapacity = "parallel_capacity", ALL, Percent;
    /// Difference of cable length of parallel battery strings.
    ParallelCableLength = "parallel_cable_length", ALL, Percent;
    /// Parallel strings of lead batteries above which it is advice.
    ParallelLeadStrings = "parallel_lead_strings", ALL, One;
    /// Greatest battery voltage in one- and two-family dwellings.
    DwellingBatteryVoltage = "dwelling_battery_voltage", NEC, Volt;
    /// DC voltage to which no basic protection is needed in the dry.
    ExtraLowVoltageDry = "extra_low_voltage_dry", IEC, Volt;
    /// DC voltage to which extra-low voltage with basic protection reaches.
    ExtraLowVoltage = "extra_low_voltage", IEC, Volt;
    /// Array watts over controller watts that a maker allows when he does not say.
    ControllerOversize = "controller_oversize", ALL, One;
    /// Voltage above which PV DC circuits run in metal inside buildings.
    PvWiringVoltage = "pv_wiring_voltage", NEC, Volt;
    /// Current above which PV DC circuits run in metal inside buildings.
    PvWiringCurrent = "pv_wiring_current", NEC, Amp;
    /// Voltage above which readily accessible PV conductors are guarded or in raceway.
    PvAccessibleVoltage = "pv_accessible_voltage", NEC, Volt;
    /// Raceway fill by one conductor.
    RacewayFillOne = "raceway_fill_one", ALL, Percent;
    /// Raceway fill by two conductors.
    RacewayFillTwo = "raceway_fill_two", ALL, Percent;
    /// Raceway fill by more than two conductors.
    RacewayFillMore = "raceway_fill_more", ALL, Percent;
    /// Fill of a nipple.
    RacewayFillNipple = "raceway_fill_nipple", ALL, Percent;
    /// Voltage drop from strings to controller.
    DropStrings = "drop_strings", ALL, Percent;
    /// Voltage drop from controller to bus.
    DropController = "drop_controller", ALL, Percent;
    /// Voltage drop from bank to inverter.
    DropInverter = "drop_inverter", ALL, Percent;
    /// Voltage drop from bank to inverter above which the inverter cuts out early.
    DropInverterGreatest = "drop_inverter_greatest", ALL, Percent;
    /// Voltage drop from bus to DC loads.
    DropDcLoads = "drop_dc_loads", ALL, Percent;
    /// Voltage drop from an AC source to the panel.
    DropAcPanel = "drop_ac_panel", ALL, Percent;
    /// Voltage drop from an AC source to the farthest outlet.
    DropAcOutlet = "drop_ac_outlet", ALL, Percent;
    /// String device over short-circuit current: greater than this.
    StringDeviceLeast = "string_device_least", IEC, One;
    /// String device over short-circuit current: less than this.
    StringDeviceGreatest = "string_device_greatest", IEC, One;
    /// String device over K_I times short-circuit current, on buildings: at least this.
    StringDeviceLeastBuilding = "string_device_least_building", IEC, One;
    /// Greatest reverse current over the module's series fuse rating.
    ReverseCurrent = "reverse_current", IEC, One;
    /// Rating to which the next standard size up is allowed.
    RoundUpGreatest = "round_up_greatest", NEC, Amp;
    /// Greatest conventional operating current of a device over ampacity.
    OverloadReach = "overload_reach", IEC, One;
    /// Conventional tripping current over rating of a breaker.
    OperatingBreaker = "operating_breaker", IEC, One;
    /// Conventional fusing current over rating of a gG fuse of 16 A and more.
    OperatingGg = "operating_gg", IEC, One;
    /// Rating from which that holds.
    OperatingGgFrom = "operating_gg_from", IEC, Amp;
    /// Conventional fusing current over rating of a gG fuse above 4 A and below 16 A.
    OperatingGgSmall = "operating_gg_small", IEC, One;
    /// Rating above which that holds.
    OperatingGgSmallAbove = "operating_gg_small_above", IEC, Amp;
    /// Conventional fusing current over rating of a gG fuse to 4 A.
    OperatingGgSmallest = "operating_gg_smallest", IEC, One;
    /// Conventional fusing current over rating of a gPV fuse.
    OperatingGpv = "operating_gpv", IEC, One;
    /// Ambient above which a device needs the maker's factor.
    DeviceAmbient = "device_ambient", ALL, Celsius;
    /// How far the inside of a combiner in the sun is above ambient.
    CombinerRise = "combiner_rise", ALL, CelsiusSpan;
    /// Length to which a PV run may have its device at one end only.
    OneEndLength = "one_end_length", NEC, Meter;
    /// Greatest length from a battery terminal to its first overcurrent device.
    BatteryLead = "battery_lead", ALL, Meter;
    /// Current density of a bare copper bar without rating, A/mm².
    BarCopper = "bar_copper", ALL, One;
    /// Current density of a bare aluminum bar without rating, A/mm².
    BarAluminum = "bar_aluminum", ALL, One;
    /// Current to which an isolating device without load-break rating will do.
    IsolatingDeviceCurrent = "isolating_device_current", ALL, Amp;
    /// Greatest distance from equipment to its disconnect.
    InSightDistance = "in_sight_distance", ALL, Meter;
    /// Voltage of live parts above which a door needs a tool or a lock.
    GuardedDoorVoltage = "guarded_door_voltage", NEC_FROM_2020, Volt;
    /// Greatest number of switches or breaker sets that shut off the PV system.
    DisconnectsMost = "disconnects_most", NEC, One;
    /// Battery voltage above which a disconnecting means is needed.
    BatteryDisconnectVoltage = "battery_disconnect_voltage", NEC, Volt;
    /// Energy above which a storage system falls under Article 706.
    StorageEnergy = "storage_energy", NEC_FROM_2020, WattHour;
    /// DC voltage above which a storage system falls under Article 706.
    StorageVoltage = "storage_voltage", NEC_2017, Volt;
    /// Battery voltage above which a bank can be split for service.
    BankSplitVoltage = "bank_split_voltage", NEC, Volt;
    /// Voltage above which PV DC circuits need ground-fault protection.
    GroundFaultVoltage = "ground_fault_voltage", NEC, Volt;
    /// Current above which PV DC circuits need ground-fault protection.
    GroundFaultCurrent = "ground_fault_current", NEC, Amp;
    /// Voltage from which PV DC circuits need arc-fault protection.
    ArcFaultVoltage = "arc_fault_voltage", NEC, Volt;
    /// Distance of the rapid-shutdown boundary from the array.
    RapidShutdownBoundary = "rapid_shutdown_boundary", NEC, Meter;
    /// Length inside a building, from the point of entry, that counts as within the boundary.
    RapidShutdownEntry = "rapid_shutdown_entry", NEC, Meter;
    /// Greatest voltage outside the boundary after rapid shutdown.
    RapidShutdownOutside = "rapid_shutdown_outside", NEC, Volt;
    /// Greatest voltage inside the boundary after rapid shutdown.
    RapidShutdownInside = "rapid_shutdown_inside", NEC, Volt;
    /// Time within which the voltage has fallen after rapid shutdown.
    RapidShutdownTime = "rapid_shutdown_time", NEC, Second;
    /// Distance to grounded metal of arrays without exposed conductive parts.
    RapidShutdownClearance = "rapid_shutdown_clearance", NEC, Meter;
    /// Voltage above which two-wire DC systems are grounded.
    DcGroundingFrom = "dc_grounding_from", NEC, Volt;
    /// Voltage to which two-wire DC systems are grounded.
    DcGroundingTo = "dc_grounding_to", NEC, Volt;
    /// Critical route length in m times flash density, of a house.
    SurgeHouse = "surge_house", ALL, One;
    /// Critical route length in m times flash density, of a field.
    SurgeField = "surge_field", ALL, One;
    /// Critical route length in m times flash density, of another building.
    SurgeOther = "surge_other", ALL, One;
    /// Route above which surge arresters stand at both ends.
    SurgeBothEnds = "surge_both_ends", ALL, Meter;
    /// Air in m³ per cell and ampere-hour of gassing current.
    VentilationAir = "ventilation_air", ALL, One;
    /// Discharge time of the capacity to which the gassing current of lead belongs.
    GassingHours = "gassing_hours", ALL, Hour;
    /// Area of inlet and of outlet with natural draft, cm² per m³/h of air.
    VentilationOpening = "ventilation_opening", ALL, One;
    /// Hydrogen of one cell per ampere of charge, cfm/A.
    HydrogenFlow = "hydrogen_flow", ALL, One;
    /// Greatest share of hydrogen that the air may hold.
    HydrogenShare = "hydrogen_share", ALL, One;
    /// Share of hydrogen from which air explodes.
    HydrogenExplosive = "hydrogen_explosive", ALL, Percent;
    /// Air by floor area instead of by hydrogen, cfm/ft².
    FloorAir = "floor_air", ALL, One;
    /// Spark-free distance over the cube roots of cells at a vent, mA/Ah and Ah.
    SparkDistance = "spark_distance", ALL, Millimeter;
    /// Temperature above which a surface counts as a spark.
    HotSurface = "hot_surface", ALL, Celsius;
    /// Width of the working space, unless the equipment is wider.
    WorkingWidth = "working_width", NEC, Meter;
    /// Height of the working space, unless the equipment is higher.
    WorkingHeight = "working_height", NEC, Meter;
    /// Width of the gangway before a battery.
    WorkingGangway = "working_gangway", IEC, Meter;
    /// Air between cells and a wall.
    CellAirGap = "cell_air_gap", NEC, Millimeter;
    /// DC voltage to which the authority may accept less working space.
    WorkingLowVoltage = "working_low_voltage", NEC, Volt;
    /// Voltage above which bare live parts are guarded.
    LivePartsVoltage = "live_parts_voltage", ALL, Volt;
    /// Voltage from which guarding is advised or the general guard rule applies.
    LivePartsLowVoltage = "live_parts_low_voltage", ALL, Volt;
    /// Greatest energy of one lithium unit.
    LithiumUnit = "lithium_unit", ALL, WattHour;
    /// Greatest energy of a lithium group in a utility room, basement or store.
    LithiumGroupInside = "lithium_group_inside", ALL, WattHour;
    /// Greatest energy of a lithium group in a garage, outdoors or on an outside wall.
    LithiumGroupOutside = "lithium_group_outside", ALL, WattHour;
    /// Distance between lithium units and from doors and windows.
    LithiumSpacing = "lithium_spacing", ALL, Meter;
    /// Share of the nameplate that a generator gives for hours.
    GeneratorUsable = "generator_usable", ALL, One;
    /// Share of a generator's power lost per step of altitude.
    GeneratorAltitudeLoss = "generator_altitude_loss", ALL, Percent;
    /// Step of altitude of that loss; also the altitude to which nothing is lost.
    GeneratorAltitudeStep = "generator_altitude_step", ALL, Meter;
    /// Share of a generator's power lost per step of temperature.
    GeneratorHeatLoss = "generator_heat_loss", ALL, Percent;
    /// Step of temperature of that loss.
    GeneratorHeatStep = "generator_heat_step", ALL, CelsiusSpan;
    /// Temperature to which a generator loses nothing.
    GeneratorHeatFree = "generator_heat_free", ALL, Celsius;
    /// Power factor of simple chargers.
    ChargerPowerFactor = "charger_power_factor", ALL, One;
    /// Ampacity from a generator to its first device over its nameplate current.
    GeneratorConductor = "generator_conductor", ALL, One;
    /// Sum of sources at opposite ends of a bus over its rating.
    BusbarShare = "busbar_share", NEC, One;
    /// Voltage that an inverter accepts from a source unless set otherwise.
    AcVoltageWindow = "ac_voltage_window", ALL, Percent;
    /// Frequency that an inverter accepts from a source unless set otherwise.
    AcFrequencyWindow = "ac_frequency_window", ALL, Percent;
    /// Rating of the residual-current device of socket circuits.
    ResidualCurrent = "residual_current", IEC, Amp;
    /// Rating to which socket circuits need it.
    SocketCurrent = "socket_current", IEC, Amp;
    /// Disconnection time of 230 V final circuits.
    DisconnectionTime = "disconnection_time", IEC, Second;
    /// Instantaneous tripping current over rating, breaker type B.
    TripTypeB = "trip_type_b", IEC, One;
    /// Instantaneous tripping current over rating, breaker type C.
    TripTypeC = "trip_type_c", IEC, One;
    /// Instantaneous tripping current over rating, breaker type D.
    TripTypeD = "trip_type_d", IEC, One;
    /// Distance between labels on a PV raceway.
    PvLabelSpacing = "pv_label_spacing", NEC, Meter;
    /// DC voltage above which conductors or batteries carry their marks.
    DcIdentificationVoltage = "dc_identification_voltage", ALL, Volt;
}
