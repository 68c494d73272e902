//! Rule `raceway-fill`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::ampacity::is_nipple;
use lineside_codes::tables::{RacewayKind, TradeSize};
use lineside_codes::{Cited, FactorKey};
use lineside_core::circuit::{Conductor, Raceway, RacewaySize, Run, Side};
use lineside_core::edit::Edit;
use lineside_core::units::{ConductorSize, Meters, Percent, Quantity, SquareCentimeters};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner, ZoneKind};

rule! {
    /// Conductors fill no more of a raceway than they may
    ///
    /// ## The harm
    /// Insulation is torn when the conductors are pulled, and they heat each other.
    ///
    /// ## The formula
    /// The areas of all conductors with their insulation, grounding conductors as drawn included, over the area
    /// inside the raceway. Metal counts as EMT, plastic as PVC schedule 40. Runs with the same raceway name lie in one
    /// raceway; conductors in parallel that do not count as its loaded conductors lie in others.
    ///
    /// ## The limit
    /// 53 % with one conductor, 31 % with two, 40 % with more, 60 % in a nipple of no more than 24 in. IEC: 40 % by
    /// custom. A raceway without a trade size is not judged.
    ///
    /// ## What to do
    /// The next trade size; split the conductors between two raceways.
    RACEWAY_FILL {
        id: "raceway-fill",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 Chapter 9 Tables 1, 4 and 5",
            Nec2020: "NEC 2020 Chapter 9 Tables 1, 4 and 5",
            Nec2017: "NEC 2017 Chapter 9 Tables 1, 4 and 5",
            Iec: "IEC 60364-5-52 cl. 522.8",
        ],
        check: check,
        remedies: remedies,
    }
}

/// A raceway, the runs in it and its trade size.
struct Laid<'a> {
    kind: RacewayKind,
    name: Option<&'a str>,
    size: TradeSize,
    runs: Vec<(&'a Run, &'a Conductor)>,
}

/// A raceway before its size is known.
type Named<'a> = (RacewayKind, Option<&'a str>, Vec<(&'a Run, &'a Conductor)>);

/// Equal conductors of one run.
struct Lot<'a> {
    run: &'a Run,
    size: ConductorSize,
    number: u32,
    area: Cited<SquareCentimeters>,
}

/// How many conductors of a run there are for each of those in parallel, and how many of them carry its current.
#[derive(Clone, Copy)]
struct Wires {
    all: u32,
    loaded: u32,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for raceway in raceways(on) {
        judge(on, report, &raceway);
    }
}

fn raceways<'a>(on: &Circumstances<'a>) -> Vec<Laid<'a>> {
    let mut found: Vec<Named<'_>> = Vec::new();
    for (run, conductor) in on.conductors() {
        let Some(kind) = kind_of(conductor.raceway) else { continue };
        let name = conductor.raceway_name.as_deref();
        match found.iter_mut().find(|it| name.is_some() && (it.0, it.1) == (kind, name)) {
            Some((_, _, runs)) => runs.push((run, conductor)),
            None => found.push((kind, name, vec![(run, conductor)])),
        }
    }
    found
        .into_iter()
        .filter_map(|(kind, name, runs)| {
            let sizes = runs.iter().filter_map(|(_, conductor)| conductor.raceway_size);
            Some(Laid { kind, name, size: sizes.min()?.into(), runs })
        })
        .collect()
}

const fn kind_of(raceway: Raceway) -> Option<RacewayKind> {
    match raceway {
        Raceway::MetalConduit => Some(RacewayKind::Emt),
        Raceway::PlasticConduit | Raceway::BuriedConduit => Some(RacewayKind::PvcSchedule40),
        Raceway::FreeAir | Raceway::MetalClad | Raceway::Tray | Raceway::Buried | Raceway::Enclosure => None,
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, raceway: &Laid<'_>) {
    let Some(inside) = on.codes().nec.raceway_area.area(raceway.kind, raceway.size) else { return };
    let Some(lots) = contents(on, report, raceway) else { return };
    let Some((first, _)) = raceway.runs.first() else { return };
    let number: u32 = lots.iter().map(|lot| lot.number).sum();
    let filled: SquareCentimeters = lots
        .iter()
        .fold(SquareCentimeters::default(), |sum, lot| sum + lot.area.value * f64::from(lot.number));
    let key = limit_for(on, raceway, number);
    let share: Percent = on.limit(key);
    let allowed = inside.value * share.share();
    let at = Part::Run(first.id);
    if !report.at_most(at, filled, allowed).fails() {
        return;
    }
    let mut working = Working::new();
    for lot in &lots {
        working.given("conductors", "n", Quantity::count(lot.number as usize), || {
            Origin::Setting(lot.run.tag.clone())
        });
        working.given("area of each", "A_n", lot.area.value.into(), || {
            Origin::Table(format!("{}: {}", lot.area.source, lot.size))
        });
    }
    working.found("of all conductors", "A", || "Σ n × A_n".to_owned(), filled.into());
    working.given("inside of the raceway", "A_in", inside.value.into(), || {
        let (kind, size) = (raceway.kind.label(), raceway.size.label());
        Origin::Table(format!("{}: {kind}, {size} in", inside.source))
    });
    working.given("may be filled", "f", share.into(), || Origin::Table(on.on.clause(key).to_owned()));
    working.found("allowed", "A_max", || "f × A_in".to_owned(), allowed.into());
    let of = raceway.name.map_or_else(|| first.tag.clone(), ToOwned::to_owned);
    let finding =
        RACEWAY_FILL.finding(on, Severity::Correction, at, format!("The raceway of {of} is too full"));
    let others = raceway.runs.iter().skip(1).map(|(run, _)| Part::Run(run.id));
    report.find(finding.also_all(others).against(filled, allowed).working(working));
}

fn limit_for(on: &Circumstances<'_>, raceway: &Laid<'_>, number: u32) -> FactorKey {
    // The raceway is no longer than the shortest run in it.
    let shortest = raceway.runs.iter().map(|(_, it)| it.length).min_by(Meters::total_cmp);
    let is_nipple = shortest.is_some_and(|length| is_nipple(on.codes(), on.rule_set(), length));
    match number {
        _ if is_nipple => FactorKey::RacewayFillNipple,
        0 | 1 => FactorKey::RacewayFillOne,
        2 => FactorKey::RacewayFillTwo,
        _ => FactorKey::RacewayFillMore,
    }
}

/// Every conductor in the raceway; `None`, with what is missing told, where that cannot be known.
fn contents<'a>(on: &Circumstances<'_>, report: &mut Report, raceway: &Laid<'a>) -> Option<Vec<Lot<'a>>> {
    let mut lots = Vec::new();
    let (mut loaded, mut told, mut complete) = (0, 0, true);
    for (run, conductor) in &raceway.runs {
        let mut wants = |datum| report.cannot_tell(Missing { owner: Owner::Run(run.id), datum });
        let Some(wires) = wires(on, run) else {
            wants("AC system of the circuit");
            complete = false;
            continue;
        };
        let sets = sets_here(conductor, wires);
        loaded += wires.loaded * sets;
        // What a grounding conductor says of loaded conductors says nothing: it is none.
        if wires.loaded > 0 {
            told = told.max(conductor.loaded_conductors);
        }
        let grounding = conductor.grounding_conductor.map(|size| (size, sets));
        for (size, number) in [(conductor.size, wires.all * sets)].into_iter().chain(grounding) {
            if let Some(area) = on.codes().nec.conductor_area.area(size, conductor.insulation) {
                lots.push(Lot { run, size, number, area });
            } else {
                wants("Area of the conductor with its insulation");
                complete = false;
            }
        }
    }
    if let Some((first, _)) = raceway.runs.first()
        && told > loaded
        && complete
    {
        let owner = Owner::Run(first.id);
        report.cannot_tell(Missing { owner, datum: "What else lies in the raceway" });
        complete = false;
    }
    complete.then_some(lots)
}

/// Of the sets in parallel those that lie in this raceway: as many as its loaded conductors leave room for.
fn sets_here(conductor: &Conductor, wires: Wires) -> u32 {
    let sets = conductor.parallel.max(1);
    conductor.loaded_conductors.checked_div(wires.loaded).map_or(sets, |room| room.clamp(1, sets))
}

fn wires(on: &Circumstances<'_>, run: &Run) -> Option<Wires> {
    let network = &on.studies.network;
    let zone = on.studies.zones.get(on.studies.zones.of(network.run_end(run.id, Side::From)?)?)?;
    let (all, loaded) = match zone.kind {
        ZoneKind::Pv | ZoneKind::Battery => (2, 2),
        ZoneKind::Earth => (1, 0),
        ZoneKind::Ac => {
            let system = on.ac_system_of(zone)?;
            (system.lines() + u32::from(system.has_neutral()), system.loaded_conductors())
        }
        ZoneKind::Unknown | ZoneKind::Mixed => return None,
    };
    Some(Wires { all, loaded })
}

/// The smallest trade size of the same raceway that holds what is in it, for every run that lies there.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Some(raceway) = raceways(on)
        .into_iter()
        .find(|it| it.runs.first().is_some_and(|(run, _)| Part::Run(run.id) == finding.at))
    else {
        return Vec::new();
    };
    let larger = RacewaySize::ALL.iter().copied().filter(|size| TradeSize::from(*size) > raceway.size);
    larger.map(|size| resized(&raceway, size)).collect()
}

fn resized(raceway: &Laid<'_>, size: RacewaySize) -> Proposal {
    let edits = raceway.runs.iter().map(|(run, conductor)| {
        let conductor = Conductor { raceway_size: Some(size), ..(*conductor).clone() };
        Edit::SetRun(Box::new(Run { conductor: Some(Box::new(conductor)), ..(*run).clone() }))
    });
    Proposal {
        label: format!("{} in, {}", size.label(), raceway.kind.label()),
        edit: Edit::Batch(edits.collect()),
    }
}
