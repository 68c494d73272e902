//! Rule `equipment-grounding-size`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::proposals::with_conductor;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::tables::SizeKey;
use lineside_codes::{Cited, FactorKey};
use lineside_core::circuit::{Conductor, Raceway, Run, Side};
use lineside_core::units::{Amps, CircularMils, ConductorSize, Quantity, UnitSystem};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{CircuitKind, Missing, Owner, Port, Tally};

rule! {
    /// Equipment-grounding conductors are large enough
    ///
    /// ## The harm
    /// A fault to metal does not open the device; frames stay live.
    ///
    /// ## The formula
    /// NEC: the size of the table for the overcurrent device ahead. PV circuits without a device: as if 1.25 times their
    /// greatest current were one. Other circuits whose conductors were enlarged beyond what ampacity needs: in proportion,
    /// `A_ground = A_table × A_installed / A_needed`. Never larger than the circuit's own conductors. IEC: the table by the
    /// size of the line, which a computation may undercut, on AC; frames of an array are bonded with 6 mm².
    ///
    /// ## The limit
    /// Metal raceways and metal-clad cable are grounding conductors themselves. The conductor is taken to be of the metal
    /// of its circuit.
    ///
    /// ## What to do
    /// The size.
    EQUIPMENT_GROUNDING_SIZE {
        id: "equipment-grounding-size",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 250.122, 250.122(B), 690.43, 690.45",
            Nec2020: "NEC 2020 250.122, 250.122(B), 690.43, 690.45",
            Nec2017: "NEC 2017 250.122, 250.122(B), 690.43, 690.45",
            Iec: "IEC 60364-5-54 cl. 543, IEC 60364-7-712 cl. 712.54",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let Some(current) = on.studies.currents.of(run.id) else { continue };
        if matches!(current.circuit, CircuitKind::None | CircuitKind::Utility) {
            continue;
        }
        let Some(size) = conductor.grounding_conductor else {
            absent(on, report, run, conductor);
            continue;
        };
        if on.rule_set().is_nec() {
            by_device(on, report, run, conductor, size, current.circuit);
        } else {
            by_line(on, report, run, conductor, size, current.circuit);
        }
    }
}

/// A field run in a raceway that does not ground must have one.
fn absent(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor) {
    let grounds = match conductor.raceway {
        Raceway::MetalConduit | Raceway::MetalClad | Raceway::Enclosure => true,
        Raceway::FreeAir
        | Raceway::PlasticConduit
        | Raceway::Tray
        | Raceway::BuriedConduit
        | Raceway::Buried => false,
    };
    if on.rule_set().is_nec() && !grounds && on.circuit().is_field_run(run) {
        report.cannot_tell(Missing { owner: Owner::Run(run.id), datum: "Equipment-grounding conductor" });
    }
}

fn by_device(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    conductor: &Conductor,
    size: ConductorSize,
    circuit: CircuitKind,
) {
    let mut working = Working::new();
    let Some(rating) = rating(on, run, circuit, &mut working) else { return };
    let nec = &on.codes().nec;
    let mils = |size| nec.conductor_properties.circular_mils(size).map(|found| found.value);
    let Some(table) = nec.equipment_grounding.conductor(rating, conductor.metal) else { return };
    let (Some(found), Some(by_table), Some(installed)) =
        (mils(size), mils(table.value), mils(conductor.size))
    else {
        return;
    };
    working.given("by the table", "A_table", by_table.into(), || {
        Origin::Table(format!("{}: {}", table.source, table.value))
    });
    let before = conductor.size_before_enlarging.filter(|_| !circuit.is_pv()).and_then(mils);
    let in_proportion = before.filter(|before| *before < installed).map_or(by_table, |before| {
        working.given("installed", "A_installed", installed.into(), || Origin::Setting(run.tag.clone()));
        working.given("needed by ampacity", "A_needed", before.into(), || Origin::Setting(run.tag.clone()));
        let enlarged = by_table * (installed / before);
        working.found(
            "in proportion",
            "A_ground",
            || "A_table × A_installed / A_needed".to_owned(),
            enlarged.into(),
        );
        enlarged
    });
    let needed = in_proportion.min(installed);
    judge(on, report, run, size, found, needed, working);
}

/// The rating by which the table is entered: that of the device ahead, of any in series else, of a PV circuit
/// without one what it would be.
fn rating(on: &Circumstances<'_>, run: &Run, circuit: CircuitKind, working: &mut Working) -> Option<Amps> {
    if let Some((rating, tag)) = device_ahead(on, run) {
        working.given("rating of the device ahead", "I_n", rating.into(), || Origin::Nameplate(tag));
        return Some(rating);
    }
    if circuit.is_pv() {
        let current = on.studies.currents.greatest(run.id)?;
        let factor = on.number(FactorKey::Continuous);
        working.given("greatest current", "I_max", current.into(), || {
            Origin::Working(format!("{} {}", circuit.label(), run.tag))
        });
        working.given("as if a device stood there", "k", Quantity::number(factor), || {
            Origin::Table(on.on.clause(FactorKey::Continuous).to_owned())
        });
        return Some(current * factor);
    }
    // Ways that branch before a device: what they let through together.
    let holds = Side::BOTH.into_iter().filter_map(|side| {
        let holding = on.studies.holding.at(run.id, side);
        holding.current().filter(|_| holding.devices > 0)
    });
    let most = holds.max_by(Amps::total_cmp)?;
    working.given("devices ahead let through", "I_n", most.into(), || {
        Origin::Working("greatest flow on the circuit".to_owned())
    });
    Some(most)
}

/// The larger of the devices that stand towards a source, else of any in series.
fn device_ahead(on: &Circumstances<'_>, run: &Run) -> Option<(Amps, String)> {
    let device = |side| {
        let found = on.studies.protection.at(run.id, side)?;
        let pole = on.studies.network.poles().get(found.pole)?;
        Some((pole.pole.overcurrent?, on.block(pole.block)?.tag.clone()))
    };
    let towards_source = |side: &Side| on.side_of(run, *side).is_some_and(has_source);
    let larger = |a: &(Amps, String), b: &(Amps, String)| a.0.total_cmp(&b.0);
    let ahead = Side::BOTH.into_iter().filter(towards_source).filter_map(device).max_by(larger);
    ahead.or_else(|| Side::BOTH.into_iter().filter_map(device).max_by(larger))
}

fn has_source(tally: &Tally) -> bool {
    let sources = [
        Port::Strings,
        Port::ControllerOutput,
        Port::DcConverter,
        Port::Charger,
        Port::Battery,
        Port::InverterOutput,
        Port::Generator,
        Port::Utility,
    ];
    sources.iter().any(|port| tally.count(*port) > 0)
}

/// IEC: by the size of the line on AC, by the least bonding of frames on the array side.
fn by_line(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    conductor: &Conductor,
    size: ConductorSize,
    circuit: CircuitKind,
) {
    let needed: Option<Cited<ConductorSize>> = if circuit.is_pv() {
        on.codes().common.sizes.find(on.rule_set(), SizeKey::FrameBondingSmallest)
    } else if circuit.is_ac() {
        on.codes().iec.protective_conductor.conductor(conductor.size)
    } else {
        None
    };
    let Some(needed) = needed else { return };
    let mut working = Working::new();
    working.given("line conductor", "S", conductor.size.area().into(), || {
        Origin::Setting(format!("{} {}", run.tag, conductor.size))
    });
    working.given("protective conductor", "S_PE", needed.value.area().into(), || {
        Origin::Table(format!("{}: {}", needed.source, needed.value))
    });
    judge(on, report, run, size, size.area(), needed.value.area(), working);
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    size: ConductorSize,
    found: CircularMils,
    needed: CircularMils,
    mut working: Working,
) {
    let at = Part::Run(run.id);
    if !report.at_least(at, found, needed).fails() {
        return;
    }
    working.given("installed to ground", "A_found", found.into(), || {
        Origin::Setting(format!("{} {size}", run.tag))
    });
    let title = format!("The equipment-grounding conductor of {} is too small", run.tag);
    let finding = EQUIPMENT_GROUNDING_SIZE.finding(on, Severity::Correction, at, title);
    report.find(finding.against(found, needed).working(working));
}

/// The next standard size that will do.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Run(id) = finding.at else { return Vec::new() };
    let Amount::Quantity(needed) = finding.allowed else { return Vec::new() };
    let Some(run) = on.run(id) else { return Vec::new() };
    let Some(conductor) = &run.conductor else { return Vec::new() };
    let nec = &on.codes().nec.conductor_properties;
    let sizes: Vec<ConductorSize> = match conductor.size.system() {
        UnitSystem::Us => nec.sizes().collect(),
        UnitSystem::Si => on.codes().iec.resistance.sizes().collect(),
    };
    let mils = |size: &ConductorSize| nec.circular_mils(*size).map_or(size.area(), |found| found.value);
    let fits = sizes.into_iter().filter(|size| mils(size).value() >= needed.value);
    let least = fits.min_by(|a, b| mils(a).total_cmp(&mils(b)));
    least
        .map(|size| {
            let changed = Conductor { grounding_conductor: Some(size), ..conductor.as_ref().clone() };
            with_conductor(run, changed, format!("{size} to ground {}", run.tag))
        })
        .into_iter()
        .collect()
}
