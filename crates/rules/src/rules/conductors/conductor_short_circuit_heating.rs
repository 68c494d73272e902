//! Rule `conductor-short-circuit-heating`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::larger_conductor;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Conductor, Run, Side};
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::TripClass;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::units::{Amps, Seconds};
use lineside_core::working::{Listener, Origin, Silent, Working};
use lineside_study::faults::{clearing_devices, withstand_time};
use lineside_study::network::PoleInBlock;
use lineside_study::{PoleSide, ZoneKind};

rule! {
    /// A short circuit does not melt the insulation before the device opens
    ///
    /// ## The harm
    /// The fault melts the insulation before the device opens.
    ///
    /// ## The formula
    /// IEC: `I² t ≤ k² S²`. NEC (ICEA P-32-382): `(I / A)² t = 0.0297 × log10((T2 + 234) / (T1 + 234))` for copper, A in circular
    /// mils, T1 75 °C, T2 150 °C for thermoplastic and 250 °C for thermoset insulation. I is what comes from one end of the
    /// run, close to that end; t the time of the device that clears it: as its nameplate gives it, else by its class.
    ///
    /// ## The limit
    /// The conductor stands the current for longer than the device takes at the latest. Below what the quickest device
    /// of the class takes it is a danger. Between the two it is one where the device does not protect the conductor
    /// against overload either; where it does, the codes hold listed devices for enough, and on DC the rule advises to
    /// look up the time. Sources that limit their own current need no check, nor do leads ahead of the first device.
    ///
    /// ## What to do
    /// A current-limiting fuse; a larger conductor.
    CONDUCTOR_SHORT_CIRCUIT_HEATING {
        id: "conductor-short-circuit-heating",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.10, 240.4",
            Nec2020: "NEC 2020 110.10, 240.4",
            Nec2017: "NEC 2017 110.10, 240.4",
            Iec: "IEC 60364-4-43 cl. 434.5.2",
        ],
        check: check,
        remedies: remedies,
    }
}

const CONFIRM: &str = "confirm";

/// What clears a short circuit, and how soon.
#[derive(Clone, Copy)]
struct Clearing<'a> {
    device: &'a PoleInBlock,
    latest: Seconds,
    soonest: Seconds,
    /// The clause or nameplate of the latest time.
    from: TimeFrom,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum TimeFrom {
    Nameplate,
    Class(FactorKey),
}

/// How one end of a run comes out.
struct EndOfRun<'a> {
    side: Side,
    current: Amps,
    stands: Seconds,
    clearing: Clearing<'a>,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let ends = Side::BOTH.into_iter().filter_map(|side| at_end(on, run, conductor, side));
        let share = |end: &EndOfRun<'_>| end.stands / end.clearing.latest;
        if let Some(worst) = ends.min_by(|a, b| share(a).total_cmp(&share(b))) {
            judge(on, report, run, conductor, &worst);
        }
    }
}

/// What flows in at one end and what clears it; `None` where nothing needs looking at.
fn at_end<'a>(on: &Circumstances<'a>, run: &Run, conductor: &Conductor, side: Side) -> Option<EndOfRun<'a>> {
    let fault = on.studies.faults.run_side(&on.studies.network, run.id, side);
    if fault.limits_itself() {
        return None;
    }
    let clearing = slowest(on, run, side)?;
    let stands = withstand_time(&on.on, conductor, fault.total(), &mut Silent)?;
    Some(EndOfRun { side, current: fault.total(), stands, clearing })
}

/// The slowest of the devices that must open before this end is dark.
fn slowest<'a>(on: &Circumstances<'a>, run: &Run, side: Side) -> Option<Clearing<'a>> {
    let (network, faults) = (&on.studies.network, &on.studies.faults);
    let poles = match on.studies.protection.at(run.id, side) {
        Some(device) => vec![device.pole],
        None => clearing_devices(network, faults, run.id, side).poles,
    };
    let clearings = poles.into_iter().filter_map(|index| {
        let device = network.poles().get(index)?;
        let through = |side| faults.through_pole(device.link, side).total();
        clearing(on, device, through(PoleSide::Line).max(through(PoleSide::Load)))
    });
    clearings.max_by(|a, b| a.latest.total_cmp(&b.latest))
}

/// How soon a device opens at a current. Below what surely opens it, its overload curve decides, which is
/// another rule's matter.
fn clearing<'a>(on: &Circumstances<'a>, device: &'a PoleInBlock, current: Amps) -> Option<Clearing<'a>> {
    let times = current / device.pole.overcurrent?;
    let block = on.block(device.block)?;
    let breaker = block.equipment.as_kind::<Breaker>();
    let fuse = block.equipment.as_kind::<Fuse>();
    let limiting = fuse.is_some_and(Fuse::is_current_limiting);
    let soonest: Seconds =
        on.limit(if limiting { FactorKey::ClearingSoonestLimiting } else { FactorKey::ClearingSoonest });
    let given = breaker.and_then(|it| it.clearing_time).or(fuse.and_then(|it| it.clearing_time));
    if times >= on.number(FactorKey::ShortCircuitOpens) {
        if let Some(time) = given {
            return Some(Clearing { device, latest: time, soonest: time, from: TimeFrom::Nameplate });
        }
        let key = if limiting {
            FactorKey::ClearingLimitingFuse
        } else if breaker.is_some_and(|it| it.trip == TripClass::InverseTime) {
            FactorKey::ClearingMoldedCase
        } else {
            FactorKey::ClearingDevice
        };
        return Some(Clearing { device, latest: on.limit(key), soonest, from: TimeFrom::Class(key) });
    }
    let key = FactorKey::FaultClearsTime;
    let opens = times >= on.number(FactorKey::FaultClears);
    opens.then(|| Clearing { device, latest: on.limit(key), soonest, from: TimeFrom::Class(key) })
}

fn judge(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor, end: &EndOfRun<'_>) {
    let at = Part::Run(run.id);
    let clearing = &end.clearing;
    let Some(block) = on.block(clearing.device.block) else { return };
    if end.stands >= clearing.latest {
        report.at_least(at, end.stands, clearing.latest);
        return;
    }
    let surely_melts = end.stands < clearing.soonest;
    let protects = clearing
        .device
        .pole
        .overcurrent
        .zip(on.studies.ratings.largest_device(run.id))
        .is_some_and(|(rating, largest)| rating <= largest);
    let mut working = Working::new();
    let stands = withstand_time(&on.on, conductor, end.current, &mut working);
    working.given("device opens at the latest after", "t_off", clearing.latest.into(), || {
        match clearing.from {
            TimeFrom::Nameplate => Origin::Nameplate(block.tag.clone()),
            TimeFrom::Class(key) => Origin::Table(on.on.clause(key).to_owned()),
        }
    });
    let stands = stands.unwrap_or(end.stands);
    let of = format!("{} from {}", run.tag, on.circuit().end_name(run.end(end.side)));
    if surely_melts || !protects {
        report.at_least(at, end.stands, clearing.latest);
        let title = format!("A short circuit melts the insulation of {of} before {} opens", block.tag);
        let finding = CONDUCTOR_SHORT_CIRCUIT_HEATING.finding(on, Severity::Danger, at, title);
        let finding = finding.also(Part::Block(block.id));
        report.find(finding.against(stands, clearing.latest).working(working));
    } else if is_dc(on, run) {
        let title = format!("{of} stands a short circuit only if {} opens very soon", block.tag);
        let finding = CONDUCTOR_SHORT_CIRCUIT_HEATING.finding(on, Severity::Advice, at, title);
        let finding = finding.aspect(CONFIRM).also(Part::Block(block.id));
        report.find(finding.against(stands, clearing.latest).working(working));
    }
}

fn is_dc(on: &Circumstances<'_>, run: &Run) -> bool {
    let node = on.studies.network.at(run.from);
    node.and_then(|node| on.studies.zones.kind_of(node)) != Some(ZoneKind::Ac)
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
