//! Rule `pv-equipment-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::PoleDevice;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// Devices on the array side stand the cold voltage
    ///
    /// ## The harm
    /// A breaker, switch or fuse used above its DC voltage does not put out its arc.
    ///
    /// ## The formula
    /// The greatest voltage of the strings behind the device, as for the controller.
    ///
    /// ## The limit
    /// The device's DC voltage, for the poles and polarity used. Poles in series count only if the nameplate
    /// says so. An arrester's limit is its continuous voltage.
    ///
    /// ## What to do
    /// A device with the rating; fewer modules in series.
    PV_EQUIPMENT_VOLTAGE {
        id: "pv-equipment-voltage",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.7, 690.9(B), 690.13(D), 690.15",
            Nec2020: "NEC 2020 690.7, 690.9(B), 690.13(D), 690.15",
            Nec2017: "NEC 2017 690.7, 690.9(B), 690.13, 690.15",
            Iec: "IEC 62548-1 cl. 7.3, IEC 60269-6, IEC 60947-2, IEC 60947-3",
        ],
        check: check,
        remedies: no_remedies,
    }
}

/// A device in a PV zone, with the voltage that it must stand.
struct Standing {
    limit: Volts,
    strings: BlockId,
    voltage: Volts,
}

/// By block and what of it: a switch or combiner that serves several arrays is judged once, by the highest.
type Devices = BTreeMap<(BlockId, &'static str), Standing>;

const ARRESTER: &str = "arrester";
const INPUT_SWITCH: &str = "input-switch";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut devices = Devices::new();
    for zone in on.zones(ZoneKind::Pv) {
        let Some((strings, voltage)) = on.coldest_strings(zone) else { continue };
        let mut add = |block, what, limit| {
            let here = Standing { limit, strings, voltage };
            let known = devices.get(&(block, what)).is_some_and(|known| known.voltage >= voltage);
            if !known {
                devices.insert((block, what), here);
            }
        };
        poles(on, report, zone, &mut add);
        for (id, what, limit) in on.standing_limits(zone) {
            add(id, if what.is_empty() { "" } else { ARRESTER }, limit);
        }
    }
    for ((id, what), standing) in devices {
        judge(on, report, id, what, &standing);
    }
}

/// Connectors of strings go with their modules; of a controller the switch at its input counts.
fn poles(
    on: &Circumstances<'_>,
    report: &mut Report,
    zone: &Zone,
    add: &mut impl FnMut(BlockId, &'static str, Volts),
) {
    for pole in on.poles_in(zone).filter(|it| !it.is_relay() && it.pole.device != PoleDevice::Connector) {
        let in_controller = on.block(pole.block).is_some_and(|block| block.kind() == Kind::ChargeController);
        let (what, datum) =
            if in_controller { (INPUT_SWITCH, "Input switch voltage") } else { ("", "DC voltage") };
        match pole.pole.dc_voltage {
            Some(limit) => add(pole.block, what, limit),
            // An AC device is the matter of `overcurrent-dc-rated`.
            None if pole.pole.ac_voltage.is_some() => {}
            None => report.cannot_tell(Missing::block(pole.block, datum)),
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, id: BlockId, what: &'static str, standing: &Standing) {
    let Standing { limit, strings, voltage } = *standing;
    let at = Part::Block(id);
    let Some(block) = on.block(id) else { return };
    if !report.at_most(at, voltage, limit).fails() {
        return;
    }
    let name = match what {
        "" => block.tag.clone(),
        _ => format!("The {} of {}", what.replace('-', " "), block.tag),
    };
    let mut working = Working::new();
    on.cold_voltage_working(strings, &mut working);
    working.given("DC voltage of the device", "V_dc", limit.into(), || Origin::Nameplate(block.tag.clone()));
    let title = format!("{name} is not rated for the cold strings");
    report.find(
        PV_EQUIPMENT_VOLTAGE
            .finding(on, Severity::Danger, at, title)
            .aspect(what)
            .also(Part::Block(strings))
            .against(voltage, limit)
            .working(working),
    );
}
