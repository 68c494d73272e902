//! Rule `conductor-type-place`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::proposals::with_conductor;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_codes::tables::{InsulationFacts, Suitability, Sunlight};
use lineside_core::circuit::{BlockId, Conductor, Insulation, Raceway, Run, Stranding, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::strings::Mounting;
use lineside_core::units::{Amps, Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{CircuitKind, Missing, Owner};

rule! {
    /// Insulation and raceway fit sun, water and buildings
    ///
    /// ## The harm
    /// Sun and water eat the wrong insulation; a PV circuit that burns inside a building has nothing around it.
    ///
    /// ## The limit
    /// Open in the array: USE-2 or PV wire (IEC: PV cable). Open in other places outdoors: insulation that withstands
    /// sunlight by its type or by its mark. In the ground and in raceways outdoors: insulation rated for wet places.
    /// Inside buildings: no USE-2; PV circuits above 30 V or 8 A in metal raceway, MC cable or an enclosure (NEC). What
    /// comes from outdoors open or in the ground counts as ending at the wall. Open PV circuits above 30 V where
    /// anybody can reach them are guarded or in raceway (NEC); a place counts so where it is told that it is not
    /// locked. On trackers: fine strands.
    /// Bare steel and bare copper near battery acid or lye cannot be told from the project and are not judged.
    ///
    /// ## What to do
    /// The right type; metal raceway indoors.
    CONDUCTOR_TYPE_PLACE {
        id: "conductor-type-place",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.31(A), (C), (D), 300.9, 310.10(C), (D), 338.12(B)",
            Nec2020: "NEC 2020 690.31(A), (C), (D), 300.9, 310.10(C), (D), 338.12(B)",
            Nec2017: "NEC 2017 690.31(A), (C), (G), 300.9, 310.10(C), (D), 338.12(B)",
            Iec: "IEC 62548-1 cl. 7.3, IEC 60364-7-712 cl. 712.521",
        ],
        check: check,
        remedies: remedies,
    }
}

/// A run with all that decides how it may be laid.
struct Laid<'a> {
    run: &'a Run,
    conductor: &'a Conductor,
    facts: &'a InsulationFacts,
    circuit: CircuitKind,
    current: Option<Amps>,
    outdoors: bool,
    inside: bool,
    wholly_inside: bool,
}

impl Laid<'_> {
    const fn is_open(&self) -> bool {
        matches!(self.conductor.raceway, Raceway::FreeAir | Raceway::Tray)
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let Some(current) = on.studies.currents.of(run.id) else { continue };
        let Some(facts) = on.codes().common.insulations.find(conductor.insulation) else { continue };
        // Grounding conductors may be bare.
        if current.circuit == CircuitKind::None {
            continue;
        }
        let ends = run.ends().map(|(_, end)| around(on, end.block));
        let any = |wanted: fn(Surroundings) -> bool| ends.into_iter().flatten().any(wanted);
        let (outdoors, inside) = (any(|it| !it.is_inside()), any(Surroundings::is_inside));
        let wholly_inside = ends.iter().all(|end| end.is_some_and(Surroundings::is_inside));
        let (circuit, current) = (current.circuit, current.greatest);
        let laid = Laid { run, conductor, facts, circuit, current, outdoors, inside, wholly_inside };
        in_the_sun(on, report, &laid);
        in_the_wet(on, report, &laid);
        inside_type(on, report, &laid);
        on_trackers(on, report, &laid);
        if circuit.is_pv() && on.rule_set().is_nec() {
            in_metal(on, report, &laid);
            out_of_reach(on, report, &laid);
        }
    }
}

/// Where an end is. Modules stand in no room, whatever place they were put into.
fn around(on: &Circumstances<'_>, block: BlockId) -> Option<Surroundings> {
    let modules = on.block(block).is_some_and(|block| matches!(block.equipment, Equipment::Strings(_)));
    on.surroundings(block).filter(|it| !(modules && it.is_inside()))
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    laid: &Laid<'_>,
    (aspect, wrong): (&'static str, &str),
    (found, allowed): (Amount, Amount),
    working: Working,
) {
    let title = format!("{} {wrong}", laid.run.tag);
    let finding = CONDUCTOR_TYPE_PLACE.finding(on, Severity::Correction, Part::Run(laid.run.id), title);
    report.find(finding.aspect(aspect).against(found, allowed).working(working));
}

fn insulation(laid: &Laid<'_>, allowed: &str) -> (Amount, Amount) {
    (words(laid.conductor.insulation.label()), words(allowed))
}

fn in_the_sun(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    if !(laid.is_open() && laid.outdoors) {
        return;
    }
    let by_type = laid.facts.sunlight == Sunlight::Resistant;
    let (stands_it, allowed) = match (laid.circuit.is_pv(), laid.facts.sunlight) {
        (true, _) if on.rule_set().is_nec() => (by_type, "USE-2 or PV wire"),
        (true, _) => (by_type, "PV cable"),
        (false, Sunlight::WhenMarked) => {
            let Some(marked) = laid.conductor.sunlight_marked else {
                let owner = Owner::Run(laid.run.id);
                report.cannot_tell(Missing { owner, datum: "Marked for sunlight" });
                return;
            };
            (marked == Fitted::Yes, "marked as resistant to sunlight")
        }
        (false, Sunlight::Resistant | Sunlight::NotResistant) => (by_type, "resistant to sunlight"),
    };
    if report.holds(Part::Run(laid.run.id), || stands_it).fails() {
        let wrong = ("sunlight", "lies in the sun with insulation that is not for it");
        find(on, report, laid, wrong, insulation(laid, allowed), Working::new());
    }
}

fn in_the_wet(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    let wet = match laid.conductor.raceway {
        Raceway::BuriedConduit | Raceway::Buried => true,
        Raceway::PlasticConduit | Raceway::MetalConduit | Raceway::MetalClad | Raceway::Tray => laid.outdoors,
        Raceway::FreeAir | Raceway::Enclosure => false,
    };
    if wet && report.holds(Part::Run(laid.run.id), || laid.facts.wet.is_some()).fails() {
        let wrong = ("wet", "lies in the wet with insulation that is not for it");
        find(on, report, laid, wrong, insulation(laid, "rated for wet places"), Working::new());
    }
}

/// Insulation that is no building wire anywhere is the matter of `flexible-cable`.
fn inside_type(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    if !laid.inside || laid.facts.building_wire == Suitability::Unsuitable {
        return;
    }
    if report.holds(Part::Run(laid.run.id), || laid.facts.indoors == Suitability::Suitable).fails() {
        let wrong = ("inside", "runs inside a building with insulation that is not for it");
        find(on, report, laid, wrong, insulation(laid, "insulation for inside of buildings"), Working::new());
    }
}

fn on_trackers(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    let moves =
        laid.run.ends().iter().filter_map(|(_, end)| on.block(end.block)).any(
            |block| matches!(&block.equipment, Equipment::Strings(it) if it.mounting == Mounting::Tracker),
        );
    if !(moves && laid.is_open()) {
        return;
    }
    let strands = laid.conductor.stranding;
    if report.holds(Part::Run(laid.run.id), || strands == Stranding::Fine).fails() {
        let wrong = ("tracker", "moves with a tracker and has no fine strands");
        let amounts = (words(strands.label()), words(Stranding::Fine.label()));
        find(on, report, laid, wrong, amounts, Working::new());
    }
}

/// Voltage or current of a PV circuit against that above which it runs in metal; each is compared.
fn in_metal(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    // Open conductors and what lies in the ground may change to metal at the wall; a conduit goes on through it.
    let bare = match laid.conductor.raceway {
        Raceway::FreeAir | Raceway::Tray => laid.wholly_inside,
        Raceway::PlasticConduit => true,
        Raceway::MetalConduit
        | Raceway::MetalClad
        | Raceway::Enclosure
        | Raceway::BuriedConduit
        | Raceway::Buried => false,
    };
    if !laid.inside {
        return;
    }
    let at = Part::Run(laid.run.id);
    if !bare {
        report.holds(at, || true);
        return;
    }
    let Some(voltage) = greatest_voltage(on, laid.run) else { return };
    let most: Volts = on.limit(FactorKey::PvWiringVoltage);
    let too_high = report.at_most(at, voltage, most).fails();
    let most_amps: Amps = on.limit(FactorKey::PvWiringCurrent);
    let too_much = laid.current.filter(|current| report.at_most(at, *current, most_amps).fails());
    let (key, found, allowed): (_, Quantity, Quantity) = match too_much {
        _ if too_high => (FactorKey::PvWiringVoltage, voltage.into(), most.into()),
        Some(current) => (FactorKey::PvWiringCurrent, current.into(), most_amps.into()),
        None => return,
    };
    let mut working = Working::new();
    working.given("greatest of the circuit", "X", found, || Origin::Working(laid.run.tag.clone()));
    working
        .given("without metal around it", "X_most", allowed, || Origin::Table(on.on.clause(key).to_owned()));
    let wrong = ("metal", "runs inside a building without metal around it");
    find(on, report, laid, wrong, (found.into(), allowed.into()), working);
}

fn greatest_voltage(on: &Circumstances<'_>, run: &Run) -> Option<Volts> {
    on.window_of_run(run)?.highest()
}

fn out_of_reach(on: &Circumstances<'_>, report: &mut Report, laid: &Laid<'_>) {
    let reached = laid.run.ends().iter().any(|(_, end)| {
        let high = on.surroundings(end.block) == Some(Surroundings::Roof);
        !high && on.fact(end.block, |facts| facts.locked).is_some_and(|(_, locked)| locked == Fitted::No)
    });
    if !(reached && laid.is_open()) {
        return;
    }
    let Some(voltage) = greatest_voltage(on, laid.run) else { return };
    let most: Volts = on.limit(FactorKey::PvAccessibleVoltage);
    if report.at_most(Part::Run(laid.run.id), voltage, most).fails() {
        let mut working = Working::new();
        working.given("greatest where anybody can reach it", "V_most", most.into(), || {
            Origin::Table(on.on.clause(FactorKey::PvAccessibleVoltage).to_owned())
        });
        let wrong = ("reach", "lies open where anybody can reach it");
        find(on, report, laid, wrong, (voltage.into(), most.into()), working);
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Run(id) = finding.at else { return Vec::new() };
    let Some(run) = on.run(id) else { return Vec::new() };
    let Some(old) = run.conductor.as_deref().cloned() else { return Vec::new() };
    let nec = on.rule_set().is_nec();
    let (sun, dry) =
        if nec { (Insulation::PvWire, Insulation::Thwn2) } else { (Insulation::PvCable, Insulation::Xlpe90) };
    let (new, what) = match finding.aspect {
        "sunlight" => (Conductor { insulation: sun, ..old }, sun.label()),
        "wet" | "inside" => (Conductor { insulation: dry, ..old }, dry.label()),
        "tracker" => (Conductor { stranding: Stranding::Fine, ..old }, Stranding::Fine.label()),
        _ => (Conductor { raceway: Raceway::MetalConduit, ..old }, Raceway::MetalConduit.label()),
    };
    vec![with_conductor(run, new, format!("{what} for {}", run.tag))]
}
