//! Rule `pv-building-voltage`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::places::Told;
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::units::Volts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// PV circuits of a building are within the voltage that the code lets in
    ///
    /// ## The harm
    /// Voltage above what the code lets into the building.
    ///
    /// ## The formula
    /// The open-circuit voltage of the coldest strings, as in `string-cold-voltage`.
    ///
    /// ## The limit
    /// NEC: 600 V on or in one- and two-family dwellings, 1000 V on or in other buildings, 1500 V off buildings with
    /// the extra wiring rules. IEC: 1000 V on buildings, 1500 V off them.
    ///
    /// ## What to do
    /// Shorter strings.
    PV_BUILDING_VOLTAGE {
        id: "pv-building-voltage",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.7, 690.31(G)",
            Nec2020: "NEC 2020 690.7",
            Nec2017: "NEC 2017 690.7",
            Iec: "IEC 62548-1 cl. 7.2",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        judge(on, report, zone);
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, zone: &Zone) {
    let Some((strings, voltage)) = on.coldest_strings(zone) else { return };
    let at = Part::Block(strings);
    let key = match (on.pv_on_or_in_building(zone), on.is_dwelling()) {
        (Told::No, _) => FactorKey::PvVoltageOffBuildings,
        (Told::Yes, Told::Yes) => FactorKey::PvVoltageDwelling,
        (Told::Yes, Told::No) => FactorKey::PvVoltageBuilding,
        (place, building) => {
            // The least of all limits that may hold; within it nothing needs to be asked.
            let least: Volts = on.limit(FactorKey::PvVoltageDwelling);
            if voltage <= least {
                report.at_most(at, voltage, least);
            } else if place == Told::Untold {
                report.cannot_tell(Missing::site("Array on a building"));
            } else if building == Told::Untold {
                report.cannot_tell(Missing::site("Building"));
            }
            return;
        }
    };
    let allowed: Volts = on.limit(key);
    if !report.at_most(at, voltage, allowed).fails() {
        return;
    }
    let mut working = Working::new();
    on.cold_voltage_working(strings, &mut working);
    working.given("greatest voltage there", "V_limit", allowed.into(), || {
        Origin::Table(on.on.clause(key).to_owned())
    });
    let tag = on.block(strings).map_or("?", |block| block.tag.as_str());
    let title = format!("The cold voltage of {tag} is above what is allowed where its circuits run");
    let finding = PV_BUILDING_VOLTAGE.finding(on, Severity::Correction, at, title);
    report.find(finding.against(voltage, allowed).working(working));
}
