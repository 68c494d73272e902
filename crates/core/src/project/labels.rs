//! Labels as they were made: their kinds, where each stands, and what is printed on it.
//!
//! Which labels a system needs is the `study` crate's to find; what must stand on them is in the tables of the codes.

use crate::kinds::battery_bank::Chemistry;
use crate::kinds::common::DcGrounding;
use crate::kinds::declare::choice;
use crate::units::{Amps, Volts};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

choice! {
    /// The kinds of label, in the order in which they are listed.
    LabelKind {
        /// This is the PV disconnect.
        PvDisconnect = "pv-disconnect", "PV disconnect";
        /// Highest voltage of the PV circuits.
        PvVoltage = "pv-voltage", "PV voltage";
        /// Voltage and currents of the PV power source.
        PvPowerSource = "pv-power-source", "PV power source";
        /// What runs in a raceway, cable tray or box.
        PvRaceway = "pv-raceway", "PV raceway";
        /// Not to be opened under load.
        IsolatingDevice = "isolating-device", "isolating device";
        /// Both sides may be live.
        EquipmentDisconnect = "equipment-disconnect", "equipment disconnect";
        /// That there is rapid shutdown, and how it is started.
        RapidShutdown = "rapid-shutdown", "rapid shutdown";
        /// AC current and voltage of a source that runs in parallel with the utility.
        Interconnection = "interconnection", "interconnection";
        /// Polarity of the PV output at the battery.
        PvPolarity = "pv-polarity", "PV polarity";
        /// This is the disconnect of the energy storage, with its voltages and what it can give into a fault.
        EssDisconnect = "ess-disconnect", "storage disconnect";
        /// What the emergency shutdown does.
        EssEmergency = "ess-emergency", "storage emergency shutdown";
        /// The disconnect of standby batteries.
        BatteryDisconnect = "battery-disconnect", "battery disconnect";
        /// Where the disconnects of a building without a utility are.
        DirectoryStandalone = "directory-standalone", "directory of a stand-alone system";
        /// All sources and their disconnects.
        DirectorySources = "directory-sources", "directory of sources";
        /// Kind and place of the standby source.
        StandbySign = "standby-sign", "sign of the standby source";
        /// The shared grounding connection.
        NeutralWarning = "neutral-warning", "warning of the shared grounding connection";
        /// A single 120 V supply.
        Single120 = "single-120", "single 120 V supply";
        /// The breaker of a source that must stay where it is.
        DoNotRelocate = "do-not-relocate", "do not relocate";
        /// The sum of the breakers of a panel.
        SumOfBreakers = "sum-of-breakers", "sum of breakers";
        /// Where the disconnect of a generator is.
        GeneratorDisconnect = "generator-disconnect", "generator disconnect";
        /// How a DC system stands to ground.
        DcSystemGrounding = "dc-system-grounding", "DC system grounding";
        /// Which conductor of a DC feeder has which polarity.
        DcIdentification = "dc-identification", "DC identification";
        /// Available fault current at the service.
        FaultCurrent = "fault-current", "available fault current";
        /// Arc-flash hazard of a panel.
        ArcFlash = "arc-flash", "arc flash";
        /// Hazards of the battery.
        BatteryHazard = "battery-hazard", "battery hazard";
        /// PV junction boxes and DC isolators of the IEC.
        ArrayDc = "array-dc", "PV array DC";
        /// That a PV system and a battery are on site, of the IEC.
        SourcesOnSite = "sources-on-site", "sources on site";
        /// The battery room of the IEC.
        BatteryRoom = "battery-room", "battery room";
        /// The single-line diagram that is kept on site, of the IEC.
        SiteDiagram = "site-diagram", "single-line diagram on site";
        /// The shutdown procedure of the IEC.
        ShutdownProcedure = "shutdown-procedure", "shutdown procedure";
    }
}

/// Where a label stands.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LabelPlace {
    /// At a block, by its tag.
    Block(String),
    /// Along a run, by its tag.
    Run(String),
    /// In a place, by its name.
    Place(String),
    /// At the site, where nothing on the sheet shows it.
    #[default]
    Site,
}

/// The values on a label. Only those that its kind has are given; voltages and currents are rounded up when they are
/// printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LabelValues {
    /// Highest DC voltage that can come about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_voltage: Option<Volts>,
    /// Nominal voltage: of the battery, or of an AC source.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nominal_voltage: Option<Volts>,
    /// Greatest current of the circuit, or rated current of an AC source.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub greatest_current: Option<Amps>,
    /// Rated output current of the charge controllers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub output_current: Option<Amps>,
    /// Available fault current.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fault_current: Option<Amps>,
    /// Rating of the bus.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bus_rating: Option<Amps>,
    /// Chemistry of the battery.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<Chemistry>,
    /// How the DC system stands to ground.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grounding: Option<DcGrounding>,
    /// Day of the calculation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
}

impl LabelValues {
    /// No value at all.
    pub const NONE: Self = Self {
        highest_voltage: None,
        nominal_voltage: None,
        greatest_current: None,
        output_current: None,
        fault_current: None,
        bus_rating: None,
        chemistry: None,
        grounding: None,
        date: None,
    };

    fn is_none(&self) -> bool {
        *self == Self::NONE
    }
}

/// One label as it was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MadeLabel {
    /// Its kind.
    #[serde(with = "kind_by_key")]
    pub kind: LabelKind,
    /// Where it stands.
    #[serde(default)]
    pub at: LabelPlace,
    /// The values that were printed.
    #[serde(default, skip_serializing_if = "LabelValues::is_none")]
    pub values: LabelValues,
    /// Tags of the blocks that a directory lists.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub listed: Vec<String>,
    /// The printed text, line by line. The firm may put the code's own words here; only the values are compared.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<String>,
}

/// Kinds stand in files by their keys, in quotes, as rule sets do.
mod kind_by_key {
    use super::LabelKind;
    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
    pub(super) fn serialize<S: Serializer>(kind: &LabelKind, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(kind.key())
    }
    pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<LabelKind, D::Error> {
        let key = String::deserialize(from)?;
        LabelKind::ALL.iter().copied().find(|kind| kind.key() == key).ok_or_else(|| {
            let keys: Vec<&str> = LabelKind::ALL.iter().map(|kind| kind.key()).collect();
            D::Error::custom(format!("“{key}” is no kind of label; one of {}", keys.join(", ")))
        })
    }
}

/// A whole number of units, upward. The dust of a computation does not make another unit: 66 V stay 66 V.
fn up(value: f64) -> f64 {
    (value - value.abs() * DUST).ceil()
}

const DUST: f64 = 1e-9;

impl LabelValues {
    /// As they are printed: voltages and currents in whole units, rounded up.
    #[must_use]
    pub fn printed(&self) -> Self {
        let volts = |value: Option<Volts>| value.map(|it| Volts::new(up(it.value())));
        let amps = |value: Option<Amps>| value.map(|it| Amps::new(up(it.value())));
        Self {
            highest_voltage: volts(self.highest_voltage),
            nominal_voltage: volts(self.nominal_voltage),
            greatest_current: amps(self.greatest_current),
            output_current: amps(self.output_current),
            fault_current: amps(self.fault_current),
            bus_rating: amps(self.bus_rating),
            ..*self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn voltages_and_currents_are_printed_upward() {
        let values = LabelValues {
            highest_voltage: Some(Volts::new(128.47)),
            nominal_voltage: Some(Volts::new(66.000_000_000_001)),
            fault_current: Some(Amps::new(2551.25)),
            ..LabelValues::NONE
        };
        let printed = values.printed();
        assert_eq!(printed.highest_voltage, Some(Volts::new(129.0)));
        assert_eq!(printed.nominal_voltage, Some(Volts::new(66.0)), "only the dust of a computation");
        assert_eq!(printed.fault_current, Some(Amps::new(2552.0)));
        assert_eq!(printed.printed(), printed);
    }
}
