//! Rule `lithium-location`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Place, Surroundings};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::common::Fitted;
use lineside_core::units::{Meters, Quantity, WattHours};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner};

rule! {
    /// Lithium packs stand where a fire does least harm
    ///
    /// ## The harm
    /// Fire spreads from pack to pack, to the ways out and to bedrooms.
    ///
    /// ## The limit
    /// The local fire code comes first. Not in rooms where people live. A unit has 20 kWh at most; a group 40 kWh in a
    /// utility room, basement or store, 80 kWh in a garage, outdoors or on an outside wall. 3 ft (0.9 m) between units and
    /// from doors and windows. Smoke or heat is detected; vehicles are kept off.
    ///
    /// ## What to do
    /// Move the packs; split the group.
    LITHIUM_LOCATION {
        id: "lithium-location",
        severity: Advice,
        status: Stable,
        clauses: [
            Nec2023: "NFPA 855, IRC R328",
            Nec2020: "NFPA 855, IRC R328",
            Nec2017: "NFPA 855, IRC R328",
            Iec: "IEC 62619, IEC 62485-5",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        if let Some(bank) = lithium(block) {
            unit(on, report, block, bank);
            if on.location(block.id).is_none() {
                report.cannot_tell(Missing::block(block.id, "Place"));
            }
        }
    }
    for (id, blocks) in on.by_location(|block| lithium(block).is_some()) {
        let Some(place) = on.circuit().place(id) else { continue };
        group(on, report, place, &blocks);
        around(on, report, place, &blocks);
    }
}

fn lithium(block: &Block) -> Option<&BatteryBank> {
    block.equipment.as_kind::<BatteryBank>().filter(|it| it.chemistry == Chemistry::LithiumIronPhosphate)
}

/// Energy of one unit.
fn unit(on: &Circumstances<'_>, report: &mut Report, block: &Block, bank: &BatteryBank) {
    let at = Part::Block(block.id);
    let limit: WattHours = on.limit(FactorKey::LithiumUnit);
    let voltage = bank.chemistry.nominal_cell_voltage() * f64::from(bank.cells_per_unit);
    let energy = bank.capacity * voltage;
    if report.at_most(at, energy, limit).fails() {
        let mut working = Working::new();
        working
            .given("nominal voltage of a unit", "V", voltage.into(), || Origin::Nameplate(block.tag.clone()));
        working.given("its capacity", "C", bank.capacity.into(), || Origin::Nameplate(block.tag.clone()));
        working.found("its energy", "E", || "V × C".to_owned(), energy.into());
        let title = format!("One unit of {} holds more energy than the fire codes like", block.tag);
        let finding = LITHIUM_LOCATION.finding(on, Severity::Advice, at, title).aspect("unit");
        report.find(finding.against(energy, limit).working(working));
    }
}

/// Energy of all packs in one location, by what it is.
fn group(on: &Circumstances<'_>, report: &mut Report, place: &Place, blocks: &[&Block]) {
    let at = Part::Place(place.id);
    let key = match place.facts.surroundings {
        None => {
            report.cannot_tell(Missing { owner: Owner::Place(place.id), datum: "Surroundings" });
            return;
        }
        Some(Surroundings::Indoors) => {
            report.holds(at, || false);
            let title = format!("Lithium packs stand in {}, where people live", place.name);
            let finding = with(on, place, blocks, title).aspect("living");
            report.find(finding.against(words("a room where people live"), words("another room")));
            return;
        }
        Some(Surroundings::UtilityRoom) => FactorKey::LithiumGroupInside,
        Some(
            Surroundings::Garage
            | Surroundings::EquipmentShed
            | Surroundings::Ground
            | Surroundings::Roof
            | Surroundings::OutsideWall,
        ) => FactorKey::LithiumGroupOutside,
    };
    let limit: WattHours = on.limit(key);
    let mut working = Working::new();
    let mut energy = WattHours::ZERO;
    for (block, bank) in blocks.iter().filter_map(|block| Some((block, lithium(block)?))) {
        working.given("nominal energy", "E", bank.nominal_energy().into(), || {
            Origin::Nameplate(block.tag.clone())
        });
        energy += bank.nominal_energy();
    }
    working.found("of the group", "Σ E", || "sum of all packs here".to_owned(), energy.into());
    working.given("limit for such a place", "E_max", limit.into(), || {
        Origin::Table(on.on.clause(key).to_owned())
    });
    if report.at_most(at, energy, limit).fails() {
        let title = format!("The packs in {} together hold more energy than the fire codes like", place.name);
        let finding = with(on, place, blocks, title).aspect("group");
        report.find(finding.against(energy, limit).working(working));
    }
}

/// Detectors, distances and vehicles.
fn around(on: &Circumstances<'_>, report: &mut Report, place: &Place, blocks: &[&Block]) {
    let at = Part::Place(place.id);
    let open_air = matches!(
        place.facts.surroundings,
        Some(Surroundings::Ground | Surroundings::Roof | Surroundings::OutsideWall)
    );
    match Told::from(place.facts.smoke_detection) {
        Told::No if !open_air => {
            report.holds(at, || false);
            let title = format!("Nothing in {} detects smoke or heat", place.name);
            let finding = with(on, place, blocks, title).aspect("detector");
            report.find(finding.against(words("none"), words("a smoke or heat detector")));
        }
        Told::Untold if !open_air => {
            let owner = Owner::Place(place.id);
            report.cannot_tell(Missing { owner, datum: "Smoke or heat detector" });
        }

        Told::Yes | Told::No | Told::Untold => {}
    }
    if let Some(spacing) = place.facts.unit_spacing {
        let limit: Meters = on.limit(FactorKey::LithiumSpacing);
        if report.at_least(at, spacing, limit).fails() {
            let title = format!("Packs in {} stand too near to each other, to doors or windows", place.name);
            let finding = with(on, place, blocks, title).aspect("spacing");
            report.find(finding.against(spacing, limit));
        }
    }
    if place.facts.surroundings == Some(Surroundings::Garage)
        && place.facts.vehicle_barrier == Some(Fitted::No)
    {
        report.holds(at, || false);
        let title = format!("Vehicles can run into the packs in {}", place.name);
        let finding = with(on, place, blocks, title).aspect("vehicles");
        report.find(finding.against(words("no guard"), words("a guard against vehicles")));
    }
}

fn with(on: &Circumstances<'_>, place: &Place, blocks: &[&Block], title: String) -> Finding {
    let mut working = Working::new();
    working.given("packs here", "n", Quantity::count(blocks.len()), || Origin::Place(place.name.clone()));
    LITHIUM_LOCATION
        .finding(on, Severity::Advice, Part::Place(place.id), title)
        .also_all(blocks.iter().map(|block| Part::Block(block.id)))
        .working(working)
}
