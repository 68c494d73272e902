//! What each terminal of a zone permits, from the nameplates.

use crate::conditions::Conditions;
use crate::network::Network;
use crate::zones::{Zone, ZoneKind};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::units::Volts;

/// The window of one terminal or device in a zone. A limit that the nameplate lacks is `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct Permitted {
    /// The block.
    pub block: BlockId,
    /// What of it: `PV input`, `way 3`; empty when it is the block itself.
    pub what: String,
    /// Below it stops working.
    pub lowest: Option<Volts>,
    /// Above it stops working.
    pub highest: Option<Volts>,
    /// Above it is destroyed, or may not be used.
    pub absolute: Option<Volts>,
}

/// The permitted windows of everything in a zone, in the order of blocks.
pub fn in_zone(on: &Conditions<'_>, network: &Network, zone: &Zone) -> Vec<Permitted> {
    let mut found = Vec::new();
    for id in zone.blocks(network) {
        let Some(block) = on.project.circuit.block(id) else { continue };
        of_equipment(block, zone.kind, &mut found);
    }
    for pole in zone.poles.iter().filter_map(|i| network.poles().get(*i)).filter(|pole| !pole.is_relay()) {
        let limit = match zone.kind {
            ZoneKind::Pv | ZoneKind::Battery => pole.pole.dc_voltage,
            ZoneKind::Ac => pole.pole.ac_voltage,
            ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => None,
        };
        let what = pole.pole.name.clone().unwrap_or_default();
        found.extend(limit.map(|limit| Permitted {
            block: pole.block,
            what,
            lowest: None,
            highest: None,
            absolute: Some(limit),
        }));
    }
    found.sort_by_key(|permitted| permitted.block);
    found
}

fn of_equipment(block: &Block, zone: ZoneKind, found: &mut Vec<Permitted>) {
    let mut add = |what: &str, lowest, highest, absolute: Option<Volts>| {
        found.push(Permitted { block: block.id, what: what.to_owned(), lowest, highest, absolute });
    };
    match (&block.equipment, zone) {
        (Equipment::ChargeController(it), ZoneKind::Pv) => {
            let highest = it.operating_input_voltage.or(Some(it.max_input_voltage));
            add("PV input", it.tracking_low, highest, Some(it.max_input_voltage));
        }
        (Equipment::ChargeController(it), ZoneKind::Battery) => {
            add("output", it.min_output_voltage, it.max_output_voltage, it.max_output_voltage);
        }
        (Equipment::Inverter(it), ZoneKind::Battery) => {
            let absolute = it.absolute_input_voltage.or(Some(it.highest_input_voltage));
            add("DC input", Some(it.low_cut_out_voltage()), Some(it.highest_input_voltage), absolute);
        }
        (Equipment::DcLoad(it), ZoneKind::Battery) => add("", it.min_voltage, it.max_voltage, it.max_voltage),
        (Equipment::DcConverter(it), ZoneKind::Battery) => {
            add("input", Some(it.min_input_voltage), Some(it.max_input_voltage), Some(it.max_input_voltage));
        }
        (Equipment::BatteryBank(it), ZoneKind::Battery) => {
            add("", it.management_low, it.management_high, None);
        }
        (Equipment::BusBar(it), _) => add("", None, None, it.voltage),
        (Equipment::Junction(it), _) => add("", None, None, it.voltage),
        (Equipment::Meter(it), _) => add("", None, None, it.voltage),
        (Equipment::SurgeArrester(it), _) => add("", None, None, Some(it.continuous_voltage)),
        (Equipment::Combiner(it), ZoneKind::Pv) => {
            if let Some(voltage) = it.arrester_voltage {
                add("arrester", None, None, Some(voltage));
            }
        }
        (Equipment::Strings(it), ZoneKind::Pv) => add("modules", None, None, it.system_voltage),
        _ => {}
    }
}
