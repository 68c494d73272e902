//! Rule `dc-grounding-electrode`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::grounding::GalvanicGroups;
use crate::proposals::with_conductor;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::tables::{DcElectrode, SizeKey};
use lineside_codes::{Cited, compare_sizes};
use lineside_core::circuit::{BlockId, Conductor, Run, RunEnd, Side, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper, Electrode, ElectrodeType};
use lineside_core::units::{CircularMils, ConductorSize};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{LinkKind, ZoneId};
use std::cmp::Ordering;
use std::collections::BTreeMap;

rule! {
    /// Conductors to earth electrodes are large enough
    ///
    /// ## The harm
    /// The conductor to the electrode burns off when it is needed.
    ///
    /// ## The limit
    /// From the bonding jumper of a DC system: not smaller than the largest conductor of the system nor than 8 AWG copper; no
    /// more than 3/0 AWG is needed, to rods alone no more than 6 AWG, to a concrete-encased electrode no more than 4 AWG.
    /// From an AC panel: the table by its largest supply conductor, with the same ends for rods and concrete. IEC: 6 mm²
    /// copper.
    ///
    /// ## What to do
    /// The size.
    DC_GROUNDING_ELECTRODE {
        id: "dc-grounding-electrode",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 250.166, 690.47, 250.66",
            Nec2020: "NEC 2020 250.166, 690.47, 250.66",
            Nec2017: "NEC 2017 250.166, 690.47, 250.66",
            Iec: "IEC 60364-5-54 cl. 542.3",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut largest: Option<(GalvanicGroups, BTreeMap<ZoneId, Largest>)> = None;
    for block in on.circuit().blocks() {
        let Some(electrode) = block.equipment.as_kind::<Electrode>() else { continue };
        for run in on.circuit().runs_at(block.id) {
            let Some(conductor) = run.conductor.as_deref() else { continue };
            let other = if run.from.block == block.id { run.to.block } else { run.from.block };
            if !on.rule_set().is_nec() {
                by_least(on, report, run, conductor);
                continue;
            }
            let supply = match system_of(on, other) {
                Some(BondedSystem::DcNegative) => {
                    let (groups, sizes) = largest.get_or_insert_with(|| largest_conductors(on));
                    let zone = on.bonded_zone(other, TerminalName::plain("system"));
                    zone.and_then(|zone| sizes.get(&groups.group(zone)).cloned())
                }
                Some(BondedSystem::AcNeutral) => supply_of(on, other),
                None => None,
            };
            if let Some(supply) = supply {
                judge(on, report, run, conductor, electrode, system_of(on, other), &supply);
            }
        }
    }
}

/// Which system a block joins to earth.
fn system_of(on: &Circumstances<'_>, block: BlockId) -> Option<BondedSystem> {
    let block = on.block(block)?;
    match block.equipment.as_kind::<BondingJumper>() {
        Some(jumper) => Some(jumper.system),
        None => matches!(block.kind(), Kind::AcPanel | Kind::Utility).then_some(BondedSystem::AcNeutral),
    }
}

/// The largest conductor of a system, and the run in which it lies.
#[derive(Clone)]
struct Largest {
    conductor: Conductor,
    tag: String,
}

impl Largest {
    fn or_larger(&mut self, run: &Run, conductor: &Conductor) {
        if compare_sizes(self.conductor.size, conductor.size) == Some(Ordering::Less) {
            *self = Self { conductor: conductor.clone(), tag: run.tag.clone() };
        }
    }
}

/// The largest conductor of every galvanic group.
fn largest_conductors(on: &Circumstances<'_>) -> (GalvanicGroups, BTreeMap<ZoneId, Largest>) {
    let groups = on.galvanic_groups();
    let mut found: BTreeMap<ZoneId, Largest> = BTreeMap::new();
    let network = &on.studies.network;
    for (_, link) in network.links() {
        let LinkKind::Run(id) = link.kind else { continue };
        let (Some(run), Some(zone)) = (on.run(id), on.studies.zones.of(link.a)) else { continue };
        let Some(conductor) = run.conductor.as_deref() else { continue };
        found
            .entry(groups.group(zone))
            .or_insert_with(|| Largest { conductor: conductor.clone(), tag: run.tag.clone() })
            .or_larger(run, conductor);
    }
    (groups, found)
}

/// The largest conductor that supplies a panel or leaves a service, or that of the block on which an AC jumper lands.
fn supply_of(on: &Circumstances<'_>, block: BlockId) -> Option<Largest> {
    let jumper = RunEnd { block, terminal: TerminalName::plain("system") };
    let bonded = on
        .circuit()
        .runs_on(jumper)
        .into_iter()
        .next()
        .map_or(block, |run| if run.from.block == block { run.to.block } else { run.from.block });
    let mut found: Option<Largest> = None;
    for run in on.circuit().runs_at(bonded) {
        let supplies = Side::BOTH.into_iter().any(|side| {
            let end = run.end(side);
            end.block == bonded && matches!(end.terminal.stem(), "feed" | "out")
        });
        let Some(conductor) = run.conductor.as_deref().filter(|_| supplies) else { continue };
        found
            .get_or_insert_with(|| Largest { conductor: conductor.clone(), tag: run.tag.clone() })
            .or_larger(run, conductor);
    }
    found
}

fn judge(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    conductor: &Conductor,
    electrode: &Electrode,
    system: Option<BondedSystem>,
    supply: &Largest,
) {
    // A ring in the ground limits the size by its own, which the sheet does not tell.
    let kind = match electrode.kind {
        ElectrodeType::Rods => DcElectrode::Rods,
        ElectrodeType::ConcreteEncased => DcElectrode::ConcreteEncased,
        ElectrodeType::BuildingSteel | ElectrodeType::WaterPipe => DcElectrode::General,
        ElectrodeType::Ring => return,
    };
    let nec = &on.codes().nec;
    let from = if system == Some(BondedSystem::AcNeutral) {
        let table = nec.ac_grounding_electrode.conductor(
            supply.conductor.size,
            supply.conductor.metal,
            conductor.metal,
        );
        table.map(|found| (found.value, found.source.into_owned()))
    } else {
        Some((supply.conductor.size, format!("{} {}", supply.tag, supply.conductor.size)))
    };
    let Some((largest, origin)) = from else { return };
    let Some(needed) = nec.dc_grounding_electrode.conductor(largest, conductor.metal, kind) else { return };
    compare(on, report, run, conductor, &needed, |working, mils| {
        if let Some(mils) = mils(largest) {
            working.given("by the system's conductors", "A", mils.into(), || Origin::Working(origin));
        }
    });
}

fn by_least(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor) {
    let least = on.codes().common.sizes.find(on.rule_set(), SizeKey::EarthingConductorSmallest);
    if let Some(least) = least {
        compare(on, report, run, conductor, &least, |_, _| {});
    }
}

type Mils<'a> = &'a dyn Fn(ConductorSize) -> Option<CircularMils>;

fn compare(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    conductor: &Conductor,
    needed: &Cited<ConductorSize>,
    tell: impl FnOnce(&mut Working, Mils<'_>),
) {
    let nec = &on.codes().nec.conductor_properties;
    let mils = |size: ConductorSize| {
        let of_table = nec.circular_mils(size).map(|found| found.value);
        of_table.or(Some(size.area()))
    };
    let (Some(found), Some(least)) = (mils(conductor.size), mils(needed.value)) else { return };
    let at = Part::Run(run.id);
    if !report.at_least(at, found, least).fails() {
        return;
    }
    let mut working = Working::new();
    tell(&mut working, &mils);
    working.given("needed", "A_min", least.into(), || {
        Origin::Table(format!("{}: {}", needed.source, needed.value))
    });
    working.given("installed", "A_found", found.into(), || {
        Origin::Setting(format!("{} {}", run.tag, conductor.size))
    });
    let title = format!("{} to the electrode is too small", run.tag);
    let finding = DC_GROUNDING_ELECTRODE.finding(on, Severity::Correction, at, title);
    report.find(finding.against(found, least).working(working));
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Run(id) = finding.at else { return Vec::new() };
    let Amount::Quantity(needed) = finding.allowed else { return Vec::new() };
    let Some(run) = on.run(id) else { return Vec::new() };
    let Some(conductor) = &run.conductor else { return Vec::new() };
    let nec = &on.codes().nec.conductor_properties;
    let mils = |size: &ConductorSize| nec.circular_mils(*size).map_or(size.area(), |found| found.value);
    let all = nec.sizes().chain(on.codes().iec.resistance.sizes());
    let fits =
        all.filter(|size| size.system() == conductor.size.system() && mils(size).value() >= needed.value);
    let least = fits.min_by(|a, b| mils(a).total_cmp(&mils(b)));
    least
        .map(|size| {
            let changed = Conductor { size, ..conductor.as_ref().clone() };
            with_conductor(run, changed, format!("{size} for {}", run.tag))
        })
        .into_iter()
        .collect()
}
