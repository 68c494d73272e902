//! Rule `battery-spark-distance`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::with_facts;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::battery_place::gassing;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Place, PlaceFacts, PlaceId};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::inside::{Disconnects, PoleDevice};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::math::cbrt;
use lineside_core::units::{Amps, Meters, Millimeters, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner};
use std::collections::BTreeSet;

rule! {
    /// Nothing sparks in the gas of a battery
    ///
    /// ## The harm
    /// A relay or breaker that arcs in the gas over a vent sets it off.
    ///
    /// ## The formula
    /// `d = 28.8 × (N × I_gas × C)^(1/3)` mm, a straight line from the vent, with `N` the cells at one vent opening, `I_gas` the
    /// gassing current in mA/Ah and `C` the capacity. The gassing current is the one that rules the ventilation.
    ///
    /// ## The limit
    /// No device that sparks or gets hotter than 300 °C is nearer. Breakers, switches, plug connectors, relays and
    /// converters spark; a fuse in its body does not. The distance given for the place counts; where none is given, one is
    /// asked for if something on the sheet sparks there. The NEC wants no arcing device over vented cells and gives no
    /// distance; this one stands in for it.
    ///
    /// ## What to do
    /// Move the device, or part it from the battery by a wall to the ceiling.
    BATTERY_SPARK_DISTANCE {
        id: "battery-spark-distance",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "",
            Nec2020: "",
            Nec2017: "",
            Iec: "IEC 62485-2 cl. 7.7",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut sparking: Option<BTreeSet<PlaceId>> = None;
    for block in on.circuit().blocks() {
        let Equipment::BatteryBank(bank) = &block.equipment else { continue };
        if bank.chemistry == Chemistry::LithiumIronPhosphate {
            continue;
        }
        if let Some((place, distance)) = on.fact(block.id, |facts| facts.spark_distance) {
            judge(on, report, block, bank, place, distance);
            continue;
        }
        let Some(location) = on.location(block.id) else {
            report.cannot_tell(Missing::block(block.id, "Place"));
            continue;
        };
        if sparking.get_or_insert_with(|| locations_with_sparks(on)).contains(&location.id) {
            report.cannot_tell(Missing {
                owner: Owner::Place(location.id),
                datum: "From vent to nearest spark",
            });
        }
    }
}

/// The locations in which something on the sheet sparks or gets hot.
fn locations_with_sparks(on: &Circumstances<'_>) -> BTreeSet<PlaceId> {
    let poles = on
        .studies
        .network
        .poles()
        .iter()
        .filter(|it| it.pole.device != PoleDevice::Fuse || it.pole.disconnects == Disconnects::UnderLoad);
    let hot = on.circuit().blocks().filter(|block| {
        matches!(
            block.kind(),
            Kind::ChargeController | Kind::Inverter | Kind::DcConverter | Kind::Generator | Kind::AcPanel
        )
    });
    poles
        .map(|it| it.block)
        .chain(hot.map(|block| block.id))
        .filter(|id| on.block(*id).is_some_and(|block| block.kind() != Kind::BatteryBank))
        .filter_map(|id| on.circuit().location_of_block(id))
        .collect()
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    bank: &BatteryBank,
    place: &Place,
    distance: Meters,
) {
    let gas = gassing::of_string(on, block, bank);
    let mut working = gas.working;
    let needed = needed(on, block, bank, gas.least, &mut working);
    let at = Part::Block(block.id);
    if report.at_least(at, distance, needed).fails() {
        working.given("from the vent to the nearest spark", "d_found", distance.into(), || {
            Origin::Place(place.name.clone())
        });
        let title = format!("Something sparks too near to the vents of {}", block.tag);
        let finding = BATTERY_SPARK_DISTANCE.finding(on, Severity::Danger, at, title);
        report.find(finding.also(Part::Place(place.id)).against(distance, needed).working(working));
    } else if distance < self::needed(on, block, bank, gas.most, &mut Working::new()) {
        report.cannot_tell(Missing::block(block.id, "Equalize current"));
    }
}

fn needed(
    on: &Circumstances<'_>,
    block: &Block,
    bank: &BatteryBank,
    current: Amps,
    working: &mut Working,
) -> Meters {
    let capacity = gassing::capacity(on, bank);
    let specific = current / capacity;
    let vents = bank.cells_per_vent.unwrap_or(1);
    working.given("cells at one vent", "N", Quantity::count(vents as usize), || match bank.cells_per_vent {
        Some(_) => Origin::Nameplate(block.tag.clone()),
        None => Origin::Assumed("one cell at each vent".to_owned()),
    });
    working.found("gassing current", "I_gas", || "I / C".to_owned(), specific.into());
    working.given("capacity", "C", capacity.into(), || Origin::Nameplate(block.tag.clone()));
    let factor: Millimeters = on.limit(FactorKey::SparkDistance);
    working.given("factor", "k", factor.into(), || {
        Origin::Table(on.on.clause(FactorKey::SparkDistance).to_owned())
    });
    let distance =
        Meters::from(factor * cbrt(f64::from(vents)) * cbrt(specific.value()) * cbrt(capacity.value()));
    working.found("free of sparks to", "d", || "k × (N × I_gas × C)^(1/3)".to_owned(), distance.into());
    distance
}

/// The device stands farther away: a change on the wall, which the sheet takes as another distance.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Amount::Quantity(needed) = finding.allowed else { return Vec::new() };
    let place = finding.parts().find_map(|part| match part {
        Part::Place(id) => on.circuit().place(id),
        Part::Block(_) | Part::Run(_) | Part::RunEnd(..) | Part::Project => None,
    });
    let Some(place) = place else { return Vec::new() };
    let distance = rounded_up(Meters::new(needed.value));
    let facts = PlaceFacts { spark_distance: Some(distance), ..place.facts.clone() };
    vec![with_facts(
        place,
        facts,
        format!("What sparks in {} at least {distance} from the vents", place.name),
    )]
}

/// To a tenth of a meter, never down.
fn rounded_up(length: Meters) -> Meters {
    -(-length).cut_to(1)
}
