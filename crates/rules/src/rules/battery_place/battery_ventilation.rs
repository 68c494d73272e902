//! Rule `battery-ventilation`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::{with_equipment, with_facts};
use crate::remedy::Proposal;
use crate::report::{Report, reaches};
use crate::rule::rule;
use crate::rules::battery_place::gassing;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Place, PlaceFacts, PlaceId, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::units::{Amps, CubicMetersPerHour, Percent, Quantity, SquareCentimeters};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner};
use std::collections::BTreeMap;

rule! {
    /// The air of the battery room carries the hydrogen away
    ///
    /// ## The harm
    /// Batteries give off hydrogen while they are charged. From 4 % in the air it explodes.
    ///
    /// ## The formula
    /// `Q = 0.05 × N × I` m³/h, with `N` the cells of all strings and `I` the current that makes gas in one string, in A.
    /// Lead: the larger of the table's gassing current times the capacity and the current while equalizing. Nickel-iron:
    /// the whole current at the end of charge, else all chargers together. With natural draft, inlet and outlet each
    /// need `A ≥ 28 × Q` cm². The NEC gives no size for openings: both rule sets use this one, and the working also has
    /// the air that keeps hydrogen below 1 %, `0.000269 × N × I / 0.01` cfm.
    ///
    /// ## The limit
    /// Openings, or a fan whose flow is proved and which stops the charger when it fails, not below the need. Lithium
    /// iron phosphate gives off nothing in service; its heat and fault gas are a matter of the maker and the fire code.
    ///
    /// ## What to do
    /// Larger openings, low and high, on opposite sides; a fan; a lower current while equalizing; a sealed box that is
    /// vented to the outside.
    BATTERY_VENTILATION {
        id: "battery-ventilation",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 480.10(A), 706.20(A)",
            Nec2020: "NEC 2020 480.10(A), 706.20(A)",
            Nec2017: "NEC 2017 480.10(A), 706.10(A)",
            Iec: "IEC 62485-2 cl. 7.2 and 7.3",
        ],
        check: check,
        remedies: remedies,
    }
}

/// What one room needs.
struct Room<'a> {
    place: &'a Place,
    banks: Vec<&'a Block>,
    least: CubicMetersPerHour,
    most: CubicMetersPerHour,
    working: Working,
}

impl<'a> Room<'a> {
    const fn empty(place: &'a Place) -> Self {
        let zero = CubicMetersPerHour::ZERO;
        Self { place, banks: Vec::new(), least: zero, most: zero, working: Working::new() }
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for room in rooms(on, report) {
        judge(on, report, room);
    }
}

/// The rooms with batteries that gas: the enclosure whose openings are known, else the location.
fn rooms<'a>(on: &Circumstances<'a>, report: &mut Report) -> Vec<Room<'a>> {
    let mut rooms: BTreeMap<PlaceId, Room<'a>> = BTreeMap::new();
    for block in on.circuit().blocks() {
        let Equipment::BatteryBank(bank) = &block.equipment else { continue };
        if bank.chemistry == Chemistry::LithiumIronPhosphate {
            report.at_most(Part::Block(block.id), CubicMetersPerHour::ZERO, CubicMetersPerHour::ZERO);
            continue;
        }
        let vented = on.fact(block.id, |facts| vents(facts).then_some(())).map(|(place, ())| place);
        let Some(place) = vented.or_else(|| on.location(block.id)) else {
            report.cannot_tell(Missing::block(block.id, "Place"));
            continue;
        };
        let room = rooms.entry(place.id).or_insert_with(|| Room::empty(place));
        add(on, room, block, bank);
    }
    rooms.into_values().collect()
}

const fn vents(facts: &PlaceFacts) -> bool {
    facts.vent_opening.is_some() || facts.vent_fan.is_some()
}

fn add<'a>(on: &Circumstances<'a>, room: &mut Room<'a>, block: &'a Block, bank: &BatteryBank) {
    let gas = gassing::of_string(on, block, bank);
    room.working.append(gas.working);
    let cells = gassing::cells(block, bank, &mut room.working);
    let air = on.number(FactorKey::VentilationAir);
    room.working.given("air for each cell and ampere", "k", Quantity::number(air), || {
        Origin::Table(on.on.clause(FactorKey::VentilationAir).to_owned())
    });
    let flow = |amps: Amps| CubicMetersPerHour::new(air * cells * amps.value());
    room.working.found("air that this bank needs", "Q", || "k × N × I".to_owned(), flow(gas.least).into());
    let hydrogen = on.number(FactorKey::HydrogenFlow) * cells * gas.least.value();
    let by_share = hydrogen / on.number(FactorKey::HydrogenShare);
    room.working.found(
        "air that keeps hydrogen below 1 %, in cfm",
        "Q_1%",
        || "0.000269 × N × I / 0.01".to_owned(),
        Quantity::number(by_share),
    );
    room.least += flow(gas.least);
    room.most += flow(gas.most);
    room.banks.push(block);
}

fn judge(on: &Circumstances<'_>, report: &mut Report, mut room: Room<'_>) {
    let facts = &room.place.facts;
    if !vents(facts) && in_the_open(on, &room) {
        return;
    }
    let per_flow = on.number(FactorKey::VentilationOpening);
    let opening = |flow: CubicMetersPerHour| SquareCentimeters::new(per_flow * flow.value());
    let at = Part::Place(room.place.id);
    match (facts.vent_opening, facts.vent_fan) {
        (None, None) => report.cannot_tell(missing(room.place, "Each vent opening")),
        (None, Some(fan)) => {
            if report.at_least(at, fan, room.least).fails() {
                let title = format!("The fan of {} moves too little air for its batteries", room.place.name);
                let needed = room.least;
                find(on, report, &room, title, fan.into(), needed.into());
            } else if !reaches(fan, room.most) {
                unsure(report, &room);
            }
        }
        (Some(_), Some(fan)) if reaches(fan, room.least) => {
            report.at_least(at, fan, room.least);
            if !reaches(fan, room.most) {
                unsure(report, &room);
            }
        }
        (Some(area), _) => {
            room.working.given("opening for each m³/h", "a", Quantity::number(per_flow), || {
                Origin::Table(on.on.clause(FactorKey::VentilationOpening).to_owned())
            });
            let needed = opening(room.least);
            room.working.found("each of two openings", "A", || "a × Q".to_owned(), needed.into());
            let enough_for_all = reaches(area, opening(room.most));
            if report.at_least(at, area, needed).fails() {
                let title = format!("The openings of {} are too small for its batteries", room.place.name);
                find(on, report, &room, title, area.into(), needed.into());
            } else if !enough_for_all {
                unsure(report, &room);
            }
        }
    }
}

/// Whether every bank stands under the open sky.
fn in_the_open(on: &Circumstances<'_>, room: &Room<'_>) -> bool {
    room.banks.iter().all(|block| {
        !on.is_enclosed(block.id)
            && on.surroundings(block.id).is_some_and(|it| match it {
                Surroundings::Ground | Surroundings::Roof | Surroundings::OutsideWall => true,
                Surroundings::Indoors
                | Surroundings::UtilityRoom
                | Surroundings::Garage
                | Surroundings::EquipmentShed => false,
            })
    })
}

const fn missing(place: &Place, datum: &'static str) -> Missing {
    Missing { owner: Owner::Place(place.id), datum }
}

/// What is enough for the certain part may be too little for the current while equalizing, when that is not given.
fn unsure(report: &mut Report, room: &Room<'_>) {
    if let Some(bank) = room.banks.first() {
        report.cannot_tell(Missing::block(bank.id, "Equalize current"));
    }
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    room: &Room<'_>,
    title: String,
    found: Amount,
    needed: Amount,
) {
    let mut working = room.working.clone();
    let explosive: Percent = on.limit(FactorKey::HydrogenExplosive);
    working.given("hydrogen in air explodes from", "c", explosive.into(), || {
        Origin::Table(on.on.clause(FactorKey::HydrogenExplosive).to_owned())
    });
    let banks = room.banks.iter().map(|block| Part::Block(block.id));
    let finding = BATTERY_VENTILATION.finding(on, Severity::Danger, Part::Place(room.place.id), title);
    report.find(finding.also_all(banks).against(found, needed).working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Place(id) = finding.at else { return Vec::new() };
    let Some(place) = on.circuit().place(id) else { return Vec::new() };
    let mut room = Room::empty(place);
    for block in finding.parts().filter_map(|part| bank_of(on, part)) {
        if let Equipment::BatteryBank(bank) = &block.equipment {
            add(on, &mut room, block, bank);
        }
    }
    let per_flow = on.number(FactorKey::VentilationOpening);
    let area = SquareCentimeters::new((per_flow * room.most.value()).ceil());
    let openings = PlaceFacts { vent_opening: Some(area), ..place.facts.clone() };
    let flow = CubicMetersPerHour::new(room.most.value().ceil());
    let fan = PlaceFacts { vent_fan: Some(flow), ..place.facts.clone() };
    let mut proposals = vec![
        with_facts(place, openings, format!("Two openings of {area} in {}", place.name)),
        with_facts(place, fan, format!("A fan of {flow} in {}, proved by a flow switch", place.name)),
    ];
    proposals.extend(lower_current(on, &room));
    proposals
}

fn bank_of<'a>(on: &Circumstances<'a>, part: Part) -> Option<&'a Block> {
    match part {
        Part::Block(id) => on.block(id),
        Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    }
}

/// The current at the end of charge that the openings allow, for a room with one bank.
fn lower_current(on: &Circumstances<'_>, room: &Room<'_>) -> Option<Proposal> {
    let [block] = room.banks.as_slice() else { return None };
    let Equipment::BatteryBank(bank) = &block.equipment else { return None };
    let area = room.place.facts.vent_opening?;
    let cells = f64::from(bank.cells()) * f64::from(bank.strings_in_parallel);
    let per_ampere = on.number(FactorKey::VentilationOpening) * on.number(FactorKey::VentilationAir) * cells;
    let most = Amps::new(area.value() / per_ampere).cut_to(2);
    bank.equalize_current.filter(|now| *now > most)?;
    let mut changed = bank.as_ref().clone();
    changed.equalize_current = Some(most);
    Some(with_equipment(block, changed, format!("End the charge of {} with {most} at most", block.tag)))
}
