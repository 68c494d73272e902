//! Conductors: every run gets the smallest size that carries its current after all corrections, that its devices
//! protect from both ends, and that loses no more voltage than a good design does.

use super::draft::Draft;
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Conductor, RunId, Side};
use lineside_core::units::{Amps, ConductorSize, Percent, UnitSystem};
use lineside_study::drops::{self, PathKind};
use lineside_study::{CircuitKind, Conditions, Drops, Ratings, Studies, ratings};

/// Sizes beyond which two conductors are laid in parallel.
const LARGEST: [ConductorSize; 2] = [ConductorSize::Kcmil(500), ConductorSize::Metric(2400)];
/// The least sizes that are laid at all.
const SMALLEST: [ConductorSize; 2] = [ConductorSize::Awg(12), ConductorSize::Metric(25)];
/// The least size on the array side, as leads of modules are.
const SMALLEST_ARRAY: [ConductorSize; 2] = [ConductorSize::Awg(10), ConductorSize::Metric(40)];
/// The least sizes that may be laid in parallel, and where two of them begin to be of use.
const PARALLEL: [ConductorSize; 2] = [ConductorSize::Awg(0), ConductorSize::Metric(500)];
/// Conductors to electrodes and jumpers, as rods ask for.
const EARTH: [ConductorSize; 2] = [ConductorSize::Awg(6), ConductorSize::Metric(160)];
/// Conductors in parallel at most.
const MOST_PARALLEL: u32 = 4;
/// Steps of size after which something is wrong.
const ROUNDS: usize = 200;

const fn of_system(pair: [ConductorSize; 2], system: UnitSystem) -> ConductorSize {
    let [us, si] = pair;
    match system {
        UnitSystem::Us => us,
        UnitSystem::Si => si,
    }
}

impl Draft<'_> {
    fn system(&self) -> UnitSystem {
        if self.project.rule_set.is_nec() { UnitSystem::Us } else { UnitSystem::Si }
    }

    /// Sizes of the tables from the smallest that is laid to the largest, by area.
    fn sizes(&self) -> Vec<ConductorSize> {
        let codes = self.terms.on.codes;
        let mut all: Vec<ConductorSize> = match self.system() {
            UnitSystem::Us => codes.nec.conductor_properties.sizes().collect(),
            UnitSystem::Si => codes.iec.resistance.sizes().collect(),
        };
        let least = of_system(SMALLEST, self.system()).area();
        let most = of_system(LARGEST, self.system()).area();
        all.retain(|size| size.area() >= least * 0.999 && size.area() <= most * 1.001);
        all.sort_by(|a, b| a.area().total_cmp(&b.area()));
        all.dedup();
        all
    }

    /// Finds the size of every conductor anew, for the devices that stand now.
    pub(super) fn size_conductors(&mut self) -> Result<(), Why> {
        let sizes = self.sizes();
        let studies = lineside_study::all(&Conditions::new(&self.project, self.terms.on.codes));
        self.start_small(&studies)?;
        for _ in 0..ROUNDS {
            let weak = {
                let on = Conditions::new(&self.project, self.terms.on.codes);
                let rated = ratings::study(&on, &studies.network, &studies.currents, &studies.protection);
                weak_runs(&on, &studies, &rated)
            };
            if weak.is_empty() {
                self.remember_sizes()?;
                return self.against_drop(&sizes, &studies);
            }
            for run in weak {
                self.enlarge(run, &sizes)?;
            }
        }
        Err(Why::NoConductor("the whole sheet".to_owned()))
    }

    fn start_small(&mut self, studies: &Studies) -> Result<(), Why> {
        let runs: Vec<(RunId, Conductor)> = self.with_conductors();
        for (run, conductor) in runs {
            let circuit = studies.currents.of(run).map_or(CircuitKind::None, |it| it.circuit);
            let usual = if circuit.is_pv() { SMALLEST_ARRAY } else { SMALLEST };
            let pair = if circuit == CircuitKind::None { EARTH } else { usual };
            let size = of_system(pair, self.system());
            let small = Conductor { size, parallel: 1, size_before_enlarging: None, ..conductor };
            self.lay(run, small)?;
        }
        Ok(())
    }

    pub(super) fn with_conductors(&self) -> Vec<(RunId, Conductor)> {
        let runs = self.project.circuit.runs();
        runs.filter_map(|run| Some((run.id, run.conductor.as_deref()?.clone()))).collect()
    }

    /// The next size of the tables.
    pub(super) fn enlarge_once(&mut self, run: RunId) -> Result<(), Why> {
        let sizes = self.sizes();
        self.enlarge(run, &sizes)
    }

    /// The next size; past the largest one conductor more in parallel.
    fn enlarge(&mut self, run: RunId, sizes: &[ConductorSize]) -> Result<(), Why> {
        let Some(old) = self.project.circuit.run(run) else { return Ok(()) };
        let (tag, Some(conductor)) = (old.tag.clone(), old.conductor.as_deref().cloned()) else {
            return Ok(());
        };
        let next = sizes.iter().find(|size| size.area() > conductor.size.area() * 1.0001).copied();
        let (size, parallel) = match next {
            Some(size) => (size, conductor.parallel),
            None if conductor.parallel < MOST_PARALLEL => {
                (of_system(PARALLEL, self.system()), conductor.parallel + 1)
            }
            None => return Err(Why::NoConductor(tag)),
        };
        self.lay(run, Conductor { size, parallel, ..conductor })
    }

    /// Remembers the sizes that the currents ask for, before any is enlarged against the loss of voltage.
    fn remember_sizes(&mut self) -> Result<(), Why> {
        if !self.project.rule_set.is_nec() {
            return Ok(());
        }
        for (run, conductor) in self.with_conductors() {
            let size_before_enlarging = Some(conductor.size);
            self.lay(run, Conductor { size_before_enlarging, ..conductor })?;
        }
        Ok(())
    }

    /// Enlarges what loses most of each path that loses too much, as far as the sizes go.
    fn against_drop(&mut self, sizes: &[ConductorSize], studies: &Studies) -> Result<(), Why> {
        let mut spent: Vec<RunId> = Vec::new();
        for _ in 0..ROUNDS {
            let worst = {
                let on = Conditions::new(&self.project, self.terms.on.codes);
                let rated = ratings::study(&on, &studies.network, &studies.currents, &studies.protection);
                let drops = drops::study(&on, &studies.network, &studies.zones, &studies.currents, &rated);
                lossy_runs(&on, &drops, &spent)
            };
            if worst.is_empty() {
                break;
            }
            for run in worst {
                let large =
                    self.project.circuit.run(run).and_then(|it| it.conductor.as_deref()).is_none_or(|it| {
                        it.size.area() >= of_system(LARGEST, self.system()).area() * 0.999 || it.parallel > 1
                    });
                if large {
                    spent.push(run);
                } else {
                    self.enlarge(run, sizes)?;
                }
            }
        }
        for (run, conductor) in self.with_conductors() {
            if conductor.size_before_enlarging == Some(conductor.size) {
                self.lay(run, Conductor { size_before_enlarging: None, ..conductor })?;
            }
        }
        Ok(())
    }
}

/// Runs whose conductors do not carry or are not protected.
fn weak_runs(on: &Conditions<'_>, studies: &Studies, rated: &Ratings) -> Vec<RunId> {
    let runs = on.project.circuit.runs().filter(|run| run.conductor.is_some());
    runs.map(|run| run.id).filter(|run| is_weak(on, studies, rated, *run)).collect()
}

fn is_weak(on: &Conditions<'_>, studies: &Studies, rated: &Ratings, run: RunId) -> bool {
    let Some(rating) = rated.of(run) else { return false };
    let current = studies.currents.of(run);
    if current.is_none_or(|it| matches!(it.circuit, CircuitKind::None)) {
        return false;
    }
    let Ok(ampacity) = &rating.ampacity else { return true };
    let slack = 1.0 + 1e-9;
    let continuous = current.and_then(|it| it.sized(on.number(FactorKey::Continuous)));
    let greatest = current.and_then(|it| it.greatest);
    let over = |needed: Option<Amps>, carries: Amps| needed.is_some_and(|needed| needed > carries * slack);
    let terminals = ampacity.terminal_total.unwrap_or(ampacity.corrected);
    if over(greatest, ampacity.ampacity) || over(continuous, terminals) {
        return true;
    }
    // A generator is sized for more than it gives, and its conductors for more than its current.
    if current.is_some_and(|it| it.circuit == CircuitKind::Generator) {
        let factor: f64 = on.number(FactorKey::GeneratorConductor);
        if over(greatest.map(|it| it * factor), ampacity.ampacity) {
            return true;
        }
    }
    let Some(largest) = rating.largest_device.as_ref().map(|it| it.value) else { return false };
    let unprotected = studies.protection.of(run).into_iter().any(|pole| {
        let device = studies.network.poles().get(pole).and_then(|it| it.pole.overcurrent);
        device.is_some_and(|device| device > largest * slack)
    });
    unprotected || Side::BOTH.into_iter().any(|side| persists(studies, run, side, ampacity.ampacity, largest))
}

/// Whether more can persist into a fault at one end than the conductors bear. Leads at batteries have no limit and are
/// judged by their length.
fn persists(studies: &Studies, run: RunId, side: Side, ampacity: Amps, largest: Amps) -> bool {
    let holding = studies.holding.at(run, side);
    let Some(current) = holding.current() else { return false };
    if holding.is_nothing() {
        return false;
    }
    let device_here = studies.protection.at(run, side).is_some_and(|device| !device.beyond_runs);
    let own = studies.currents.greatest(run);
    let is_own = holding.is_self_limited() && own.is_some_and(|own| current <= own);
    let limit = if holding.is_self_limited() { ampacity } else { largest };
    !device_here && !is_own && current > limit
}

/// The run that loses most on each path that loses too much, but for those that are as large as can be.
fn lossy_runs(on: &Conditions<'_>, drops: &Drops, spent: &[RunId]) -> Vec<RunId> {
    let mut found = Vec::new();
    for path in drops.all() {
        let limit: Percent = on.quantity(match path.kind {
            PathKind::StringsToController => FactorKey::DropStrings,
            PathKind::ControllerToBus => FactorKey::DropController,
            PathKind::BankToInverter => FactorKey::DropInverter,
            PathKind::BusToLoads => FactorKey::DropDcLoads,
            PathKind::AcSource => FactorKey::DropAcPanel,
        });
        if path.share <= limit {
            continue;
        }
        let legs = path.legs.iter().filter(|leg| !spent.contains(&leg.run));
        let worst = legs.max_by(|a, b| {
            (a.current * a.resistance).total_cmp(&(b.current * b.resistance)).then(b.run.cmp(&a.run))
        });
        found.extend(worst.map(|leg| leg.run));
    }
    found.sort_unstable();
    found.dedup();
    found
}
