//! Ratings: what the conductors of every run may carry and resist, from the tables of the code.

use crate::conditions::Conditions;
use crate::currents::{CircuitKind, Currents};
use crate::network::Network;
use crate::protection::Protection;
use lineside_codes::ampacity::{self, Ampacity, CannotTell};
use lineside_codes::overcurrent::{CircuitUse, largest_device};
use lineside_codes::resistance::{self, CurrentKind, RunResistance};
use lineside_codes::tables::{DeviceType, LoadedConductors, Moisture};
use lineside_codes::{Cited, FactorKey};
use lineside_core::circuit::{
    Block, Conductor, IdMap, Place, Raceway, Run, RunEnd, RunId, Side, Surroundings,
};
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::inside::PoleDevice;
use lineside_core::units::{Amps, Celsius, Ohms};
use lineside_core::working::Origin;

/// What the conductors of one run may carry and resist.
#[derive(Clone, Debug, PartialEq)]
pub struct RunRating {
    /// What they may carry; an error when the tables or the project do not tell.
    pub ampacity: Result<Ampacity, NotRated>,
    /// The largest overcurrent device that may protect them.
    pub largest_device: Option<Cited<Amps>>,
    /// Resistance at working temperature.
    pub warm: Option<RunResistance>,
    /// Resistance at 20 °C.
    pub cold: Option<RunResistance>,
    /// Terminal temperature rating at both ends; `None` where nothing is marked.
    pub terminals: [Option<Celsius>; 2],
    /// Where the ambient came from.
    pub ambient_from: Origin,
}

/// Why an ampacity is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotRated {
    /// The ambient is given neither with the run, nor its places, nor the site.
    NoAmbient,
    /// The tables do not tell.
    Table(CannotTell),
}

/// Ratings of all runs that have conductors.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ratings {
    runs: IdMap<RunId, RunRating>,
}

impl Ratings {
    /// Of a run.
    pub fn of(&self, run: RunId) -> Option<&RunRating> {
        self.runs.get(run)
    }
    /// What a run may carry, when it is known.
    pub fn ampacity(&self, run: RunId) -> Option<Amps> {
        Some(self.of(run)?.ampacity.as_ref().ok()?.ampacity)
    }
    /// The largest device that may protect a run.
    pub fn largest_device(&self, run: RunId) -> Option<Amps> {
        Some(self.of(run)?.largest_device.as_ref()?.value)
    }
    /// Resistance of both poles at working temperature.
    pub fn warm_resistance(&self, run: RunId) -> Option<Ohms> {
        Some(self.of(run)?.warm.as_ref()?.both_ways)
    }
    /// Resistance of both poles at 20 °C.
    pub fn cold_resistance(&self, run: RunId) -> Option<Ohms> {
        Some(self.of(run)?.cold.as_ref()?.both_ways)
    }
}

/// Rates every run that has conductors.
pub fn study(
    on: &Conditions<'_>,
    network: &Network,
    currents: &Currents,
    protection: &Protection,
) -> Ratings {
    let mut ratings = Ratings::default();
    for run in on.project.circuit.runs() {
        if let Some(conductor) = &run.conductor {
            ratings.runs.insert(run.id, rate(on, network, currents, protection, run, conductor));
        }
    }
    ratings
}

fn rate(
    on: &Conditions<'_>,
    network: &Network,
    currents: &Currents,
    protection: &Protection,
    run: &Run,
    conductor: &Conductor,
) -> RunRating {
    let current = currents.of(run.id);
    let circuit = current.map_or(CircuitKind::None, |current| current.circuit);
    let devices = protection.of(run.id);
    let device = devices.iter().filter_map(|pole| network.poles().get(*pole)).min_by(|a, b| {
        let rating = |pole: &crate::network::PoleInBlock| pole.pole.overcurrent.unwrap_or_default();
        rating(a).total_cmp(&rating(b))
    });
    let terminals = [terminal(on, run, conductor, Side::From), terminal(on, run, conductor, Side::To)];
    let sized_for =
        current.and_then(|current| current.greatest).map(|amps| amps * on.number(FactorKey::Continuous));
    let circuit_rating = device.and_then(|pole| pole.pole.overcurrent).or(sized_for);
    let (ambient, ambient_from) = ambient(on, run, conductor);
    let ampacity = match ambient {
        None => Err(NotRated::NoAmbient),
        Some(ambient) => {
            let conditions = ampacity::Conditions {
                ambient,
                moisture: moisture(on, run, conductor),
                terminals,
                circuit_rating,
                loaded: loaded(on, run),
                soil: None,
            };
            ampacity::ampacity(on.codes, on.rule_set, conductor, &conditions).map_err(NotRated::Table)
        }
    };
    let device_type = match device.map(|pole| pole.pole.device) {
        Some(PoleDevice::Fuse) => DeviceType::Fuse,
        _ => DeviceType::Breaker,
    };
    let used = if circuit == CircuitKind::Battery { CircuitUse::StorageOutput } else { CircuitUse::Ordinary };
    let largest_device = ampacity
        .as_ref()
        .ok()
        .map(|found| largest_device(on.codes, on.rule_set, conductor, found.ampacity, device_type, used));
    let kind = if circuit.is_ac() { CurrentKind::Alternating } else { CurrentKind::Direct };
    RunRating {
        ampacity,
        largest_device,
        warm: resistance::warm(on.codes, on.rule_set, conductor, kind).ok(),
        cold: resistance::cold(on.codes, on.rule_set, conductor).ok(),
        terminals,
        ambient_from,
    }
}

/// Temperature rating of the terminal at one end: as given with the run, else the block's.
fn terminal(on: &Conditions<'_>, run: &Run, conductor: &Conductor, side: Side) -> Option<Celsius> {
    let given = match side {
        Side::From => conductor.terminal_from,
        Side::To => conductor.terminal_to,
    };
    given.or_else(|| block_at(on, run.end(side))?.equipment.terminal_temperature())
}

fn block_at<'a>(on: &Conditions<'a>, end: RunEnd) -> Option<&'a Block> {
    on.project.circuit.block(end.block)
}

/// Hottest ambient along the run: as given with it, else the hotter of what is known at its two ends. At an end whose
/// place does not tell it is as hot as the site's design high.
fn ambient(on: &Conditions<'_>, run: &Run, conductor: &Conductor) -> (Option<Celsius>, Origin) {
    if let Some(ambient) = conductor.ambient {
        return (Some(ambient), Origin::Setting(run.tag.clone()));
    }
    let at_end = |end: RunEnd| {
        let told = places_at(on, end).filter_map(|place| Some((place.facts.hottest?, &place.name)));
        let hottest = told.max_by(|a, b| a.0.total_cmp(&b.0));
        hottest.map_or_else(
            || (on.project.brief.site.design_high, Origin::Brief),
            |(hottest, name)| (Some(hottest), Origin::Place(name.clone())),
        )
    };
    let (from, to) = (at_end(run.from), at_end(run.to));
    match (from.0, to.0) {
        (Some(a), Some(b)) if b > a => to,
        (None, Some(_)) => to,
        _ => from,
    }
}

/// The places of both ends, enclosures and the locations around them.
fn places<'a>(on: &Conditions<'a>, run: &Run) -> impl Iterator<Item = &'a Place> + use<'a> {
    places_at(on, run.from).chain(places_at(on, run.to))
}

/// The place of an end, and the location around it.
fn places_at<'a>(on: &Conditions<'a>, end: RunEnd) -> impl Iterator<Item = &'a Place> + use<'a> {
    let circuit = &on.project.circuit;
    let place = circuit.block(end.block).and_then(|block| block.place);
    place
        .into_iter()
        .flat_map(|place| [place, circuit.location_of(place)])
        .filter_map(|place| circuit.place(place))
}

/// In the ground, and in raceways outdoors, conductors count as wet.
fn moisture(on: &Conditions<'_>, run: &Run, conductor: &Conductor) -> Moisture {
    let outdoors = places(on, run).any(|place| {
        matches!(
            place.facts.surroundings,
            Some(Surroundings::Ground | Surroundings::Roof | Surroundings::OutsideWall)
        )
    });
    let wet = match conductor.raceway {
        Raceway::BuriedConduit | Raceway::Buried => true,
        Raceway::PlasticConduit | Raceway::MetalConduit | Raceway::Tray | Raceway::MetalClad => outdoors,
        Raceway::FreeAir | Raceway::Enclosure => false,
    };
    if wet { Moisture::Wet } else { Moisture::Dry }
}

/// Three loaded conductors only in three-phase AC.
fn loaded(on: &Conditions<'_>, run: &Run) -> LoadedConductors {
    let systems = [run.from, run.to].into_iter().filter_map(|end| block_at(on, end)?.equipment.ac_system());
    let three = systems.into_iter().any(|system| matches!(system, AcSystem::Three208 | AcSystem::Three400));
    if three { LoadedConductors::Three } else { LoadedConductors::Two }
}
