//! Required labels: which labels the system needs under the rule set, where each stands, and its values.
//!
//! Only kinds that the rule set asks for and whose occasion the circuit and the brief give are listed. Values are not
//! rounded here; `printing.rs` writes the lines. Whether they were made is the rules' matter.

mod alternating;
mod array;
mod iec;
mod printing;
mod storage;

use crate::conditions::Conditions;
use crate::missing::Missing;
use crate::places::Told;
use crate::{Network, NodeId, Studies, ways};
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{BlockId, Circuit, PlaceId, RunId};
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::project::{LabelKind, LabelPlace, LabelValues, MadeLabel};
use lineside_core::units::UnitSystem;
use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::sync::Arc;

pub use printing::lines;

/// Where a label stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// At a block.
    Block(BlockId),
    /// Along a run.
    Run(RunId),
    /// In a place.
    Place(PlaceId),
    /// At the site, where nothing on the sheet shows it.
    Site,
}

impl Spot {
    /// The spot by its name, as a project keeps it.
    pub fn named(self, circuit: &Circuit) -> LabelPlace {
        match self {
            Self::Block(id) => {
                LabelPlace::Block(circuit.block(id).map_or_else(String::new, |it| it.tag.clone()))
            }
            Self::Run(id) => LabelPlace::Run(circuit.run(id).map_or_else(String::new, |it| it.tag.clone())),
            Self::Place(id) => {
                LabelPlace::Place(circuit.place(id).map_or_else(String::new, |it| it.name.clone()))
            }
            Self::Site => LabelPlace::Site,
        }
    }

    /// The spot of that name; `None` when nothing has the name any more.
    pub fn of(place: &LabelPlace, circuit: &Circuit) -> Option<Self> {
        match place {
            LabelPlace::Block(tag) => circuit.block_by_tag(tag).map(|block| Self::Block(block.id)),
            LabelPlace::Run(tag) => circuit.run_by_tag(tag).map(|run| Self::Run(run.id)),
            LabelPlace::Place(name) => circuit.place_by_name(name).map(|place| Self::Place(place.id)),
            LabelPlace::Site => Some(Self::Site),
        }
    }
}

/// How much of a label the code insists on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// All of it.
    Full,
    /// Fault current, arc flash and date may be left out, as at one- and two-family dwellings.
    NameAndVoltages,
}

/// A label that the system needs.
#[derive(Clone, Debug, PartialEq)]
pub struct RequiredLabel {
    /// Its kind.
    pub kind: LabelKind,
    /// Where it stands.
    pub at: Spot,
    /// Its values, not rounded. One that is wanted and not known is named under `missing`.
    pub values: LabelValues,
    /// How much of it the code insists on.
    pub extent: Extent,
    /// The disconnects or sources that a directory lists.
    pub listed: Arc<[BlockId]>,
    /// What the project does not give, so that a value is open or may be another.
    pub missing: Vec<Missing>,
}

/// A label that may be needed: the project does not say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Undecided {
    /// Its kind.
    pub kind: LabelKind,
    /// What is not given.
    pub missing: Missing,
}

/// All labels that the system needs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RequiredLabels {
    /// In the order of the kinds, then of the places.
    pub all: Vec<RequiredLabel>,
    /// Those of which the project does not say whether they are needed.
    pub undecided: Vec<Undecided>,
}

impl RequiredLabels {
    /// The labels as they are made: values and lines as printed.
    pub fn made(&self, on: &Conditions<'_>, units: UnitSystem) -> Vec<MadeLabel> {
        let circuit = &on.project.circuit;
        let tag = |id: &BlockId| circuit.block(*id).map(|block| block.tag.clone());
        let one = |label: &RequiredLabel| MadeLabel {
            kind: label.kind,
            at: label.at.named(circuit),
            values: label.values.printed(),
            listed: label.listed.iter().filter_map(tag).collect(),
            lines: lines(on, label, units),
        };
        self.all.iter().map(one).collect()
    }
}

/// Finds the labels.
pub fn study(on: &Conditions<'_>, studies: &Studies) -> RequiredLabels {
    let mut survey = Survey {
        on: *on,
        studies,
        found: Vec::new(),
        undecided: BTreeSet::new(),
        pv_disconnects: BTreeSet::new(),
        storage_disconnects: BTreeSet::new(),
        service: OnceCell::new(),
        supplies: on
            .project
            .circuit
            .blocks()
            .filter(|block| is_supply(block.kind()))
            .map(|it| it.id)
            .collect(),
    };
    array::survey(&mut survey);
    storage::survey(&mut survey);
    if on.rule_set.is_nec() {
        alternating::survey(&mut survey);
    } else {
        iec::survey(&mut survey);
    }
    RequiredLabels { all: joined(survey.found), undecided: survey.undecided.into_iter().collect() }
}

const fn is_supply(kind: Kind) -> bool {
    matches!(kind, Kind::Utility | Kind::Generator)
}

/// What has been found so far.
struct Survey<'a> {
    on: Conditions<'a>,
    studies: &'a Studies,
    found: Vec<RequiredLabel>,
    undecided: BTreeSet<Undecided>,
    pv_disconnects: BTreeSet<BlockId>,
    storage_disconnects: BTreeSet<BlockId>,
    service: OnceCell<Spot>,
    /// Utilities and generators.
    supplies: Vec<BlockId>,
}

impl<'a> Survey<'a> {
    const fn network(&self) -> &'a Network {
        &self.studies.network
    }
    const fn circuit(&self) -> &'a Circuit {
        &self.on.project.circuit
    }

    /// Whether the rule set ever asks for a label of this kind.
    fn is_asked(&self, kind: LabelKind) -> bool {
        self.on.codes.common.labels.is_asked(kind, self.on.rule_set)
    }

    /// A label without values.
    fn plain(&mut self, kind: LabelKind, at: Spot) {
        self.valued(kind, at, LabelValues::NONE, Vec::new());
    }

    /// A directory.
    fn directory(&mut self, kind: LabelKind, at: Spot, listed: &Arc<[BlockId]>) {
        self.add(RequiredLabel { listed: Arc::clone(listed), ..blank(kind, at) });
    }

    /// A label with values.
    fn valued(&mut self, kind: LabelKind, at: Spot, values: LabelValues, missing: Vec<Missing>) {
        self.add(RequiredLabel { values, missing, ..blank(kind, at) });
    }

    /// A label, if the rule set ever asks for it.
    fn add(&mut self, label: RequiredLabel) {
        if self.is_asked(label.kind) {
            self.found.push(label);
        }
    }

    /// A label of which the project does not say whether it is needed.
    fn undecided(&mut self, kind: LabelKind, missing: Missing) {
        if self.is_asked(kind) {
            self.undecided.insert(Undecided { kind, missing });
        }
    }

    /// Whether the building is a dwelling; where that is not told, the kind is noted as undecided.
    fn is_dwelling(&mut self, kind: LabelKind) -> Told {
        let told = self.on.is_dwelling();
        if told == Told::Untold {
            self.undecided(kind, Missing::site("Building"));
        }
        told
    }

    /// The blocks of the first devices that open under load on the ways from a point; empty where some way has none.
    fn disconnects(&self, from: NodeId, current: CurrentKind) -> Vec<BlockId> {
        let network = self.network();
        let opens = |pole: &crate::network::PoleInBlock| ways::opens(pole, current, Disconnects::UnderLoad);
        let found = ways::from(self.circuit(), network, from, opens);
        if !found.open.is_empty() {
            return Vec::new();
        }
        let mut blocks: Vec<BlockId> =
            found.stops.iter().filter_map(|stop| Some(network.poles().get(stop.pole)?.block)).collect();
        blocks.sort_unstable();
        blocks.dedup();
        blocks
    }
}

fn blank(kind: LabelKind, at: Spot) -> RequiredLabel {
    RequiredLabel {
        kind,
        at,
        values: LabelValues::NONE,
        extent: Extent::Full,
        listed: Arc::default(),
        missing: Vec::new(),
    }
}

/// Each label once at its place, in order.
fn joined(mut found: Vec<RequiredLabel>) -> Vec<RequiredLabel> {
    found.sort_by_key(|label| (label.kind, label.at));
    found.dedup_by(|next, first| {
        let is_same = (next.kind, next.at) == (first.kind, first.at);
        if is_same {
            join(first, next);
        }
        is_same
    });
    found
}

/// Two labels at one place are one: the greater values stand, and what flows into a fault adds up.
fn join(joined: &mut RequiredLabel, b: &mut RequiredLabel) {
    let (x, y) = (joined.values, b.values);
    joined.values = LabelValues {
        highest_voltage: x.highest_voltage.max_of(y.highest_voltage),
        nominal_voltage: x.nominal_voltage.max_of(y.nominal_voltage),
        greatest_current: x.greatest_current.max_of(y.greatest_current),
        output_current: x.output_current.sum_of(y.output_current),
        fault_current: x.fault_current.sum_of(y.fault_current),
        bus_rating: x.bus_rating.max_of(y.bus_rating),
        chemistry: x.chemistry.or(y.chemistry),
        grounding: x.grounding.or(y.grounding),
        date: x.date.or(y.date),
    };
    if b.extent == Extent::Full {
        joined.extent = Extent::Full;
    }
    joined.missing.append(&mut b.missing);
    joined.missing.sort_unstable();
    joined.missing.dedup();
    if joined.listed.is_empty() {
        joined.listed = Arc::clone(&b.listed);
    }
}

/// Two values of which either may be open.
trait Meets: Sized {
    /// The greater one.
    fn max_of(self, other: Self) -> Self;
    /// Both together.
    fn sum_of(self, other: Self) -> Self;
}

impl<M: lineside_core::units::Measure + std::ops::Add<Output = M> + Copy> Meets for Option<M> {
    fn max_of(self, other: Self) -> Self {
        match (self, other) {
            (Some(a), Some(b)) => Some(if a.value() >= b.value() { a } else { b }),
            (a, b) => a.or(b),
        }
    }
    fn sum_of(self, other: Self) -> Self {
        match (self, other) {
            (Some(a), Some(b)) => Some(a + b),
            (a, b) => a.or(b),
        }
    }
}
