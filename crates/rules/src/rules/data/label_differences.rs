//! How the labels that were made differ from those that are needed, value by value as they are printed. The verdict is
//! the rule's.

use crate::circumstances::Circumstances;
use crate::finding::Part;
use crate::report::Report;
use lineside_core::circuit::{BlockId, Circuit};
use lineside_core::project::{LabelKind, LabelPlace, LabelValues, MadeLabel};
use lineside_core::units::{Measure, Quantity};
use lineside_study::required_labels::{Extent, RequiredLabel, RequiredLabels, Spot};
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// One label that is not as it must be.
pub(super) struct Difference {
    pub(super) kind: LabelKind,
    pub(super) at: Part,
    pub(super) how: How,
}

/// In which way.
pub(super) enum How {
    /// It was not made.
    Missing,
    /// Other values are printed on it.
    Stale(Vec<Unlike>),
    /// Nothing asks for it any more.
    NotNeeded,
}

/// One value that differs.
pub(super) enum Unlike {
    /// A number.
    Value { meaning: &'static str, printed: Option<Quantity>, now: Quantity, rounded: Quantity },
    /// Words.
    Words { printed: String, now: String },
}

/// What is said of a difference.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Verdict {
    /// Of one label.
    pub(super) of_one: &'static str,
    /// Of several, after their number.
    pub(super) of_several: &'static str,
}

impl Verdict {
    const STALE: Self = Self { of_one: "is out of date", of_several: "out of date" };
    const MISSING: Self = Self { of_one: "is missing", of_several: "missing" };
    const NOT_NEEDED: Self = Self { of_one: "is no longer needed", of_several: "no longer needed" };
}

impl How {
    pub(super) const ALL_VERDICTS: &'static [Verdict] =
        &[Verdict::STALE, Verdict::MISSING, Verdict::NOT_NEEDED];

    pub(super) const fn verdict(&self) -> Verdict {
        match self {
            Self::Stale(_) => Verdict::STALE,
            Self::Missing => Verdict::MISSING,
            Self::NotNeeded => Verdict::NOT_NEEDED,
        }
    }
    /// Wrong numbers are told before what is missing, that before what is too much.
    pub(super) const fn weight(&self) -> u8 {
        match self {
            Self::Stale(_) => 2,
            Self::Missing => 1,
            Self::NotNeeded => 0,
        }
    }
}

/// Where a label stands, as findings name it.
pub(super) const fn part(spot: Spot) -> Part {
    match spot {
        Spot::Block(id) => Part::Block(id),
        Spot::Run(id) => Part::Run(id),
        Spot::Place(id) => Part::Place(id),
        Spot::Site => Part::Project,
    }
}

/// All differences, those of one kind together. Every value that was compared is noted.
pub(super) fn differences(
    on: &Circumstances<'_>,
    report: &mut Report,
    required: &RequiredLabels,
) -> Vec<Difference> {
    let names = Names::of(on.circuit());
    let mut made: BTreeMap<(LabelKind, Spot), &MadeLabel> = BTreeMap::new();
    let mut found = Vec::new();
    let mut directory = Directory::default();
    for label in &on.project().labels {
        let spot = names.spot(&label.at);
        let once = spot.filter(|spot| !made.contains_key(&(label.kind, *spot)));
        if let Some(spot) = once {
            made.insert((label.kind, spot), label);
        } else {
            let at = spot.map_or(Part::Project, part);
            found.push(Difference { kind: label.kind, at, how: How::NotNeeded });
        }
    }
    for label in &required.all {
        let at = part(label.at);
        let is_there = made.remove(&(label.kind, label.at));
        report.holds(at, || is_there.is_some());
        match is_there {
            None => found.push(Difference { kind: label.kind, at, how: How::Missing }),
            Some(it) => {
                let unlike = compare(on, report, &mut directory, label, it);
                if !unlike.is_empty() {
                    found.push(Difference { kind: label.kind, at, how: How::Stale(unlike) });
                }
            }
        }
    }
    for (kind, spot) in made.keys() {
        report.holds(part(*spot), || false);
        found.push(Difference { kind: *kind, at: part(*spot), how: How::NotNeeded });
    }
    found.sort_by_key(|it| (it.kind, it.at));
    found
}

/// The blocks, runs and places by their names. They are only looked up, never gone through.
struct Names<'a> {
    blocks: HashMap<&'a str, Spot>,
    runs: HashMap<&'a str, Spot>,
    places: HashMap<&'a str, Spot>,
}

impl<'a> Names<'a> {
    fn of(circuit: &'a Circuit) -> Self {
        Self {
            blocks: circuit.blocks().map(|it| (it.tag.as_str(), Spot::Block(it.id))).collect(),
            runs: circuit.runs().map(|it| (it.tag.as_str(), Spot::Run(it.id))).collect(),
            places: circuit.places().map(|it| (it.name.as_str(), Spot::Place(it.id))).collect(),
        }
    }

    fn spot(&self, place: &LabelPlace) -> Option<Spot> {
        match place {
            LabelPlace::Block(tag) => self.blocks.get(tag.as_str()).copied(),
            LabelPlace::Run(tag) => self.runs.get(tag.as_str()).copied(),
            LabelPlace::Place(name) => self.places.get(name.as_str()).copied(),
            LabelPlace::Site => Some(Spot::Site),
        }
    }
}

/// The tags of the directory that was looked at last: one list stands at many places.
#[derive(Default)]
struct Directory<'a> {
    of: Arc<[BlockId]>,
    tags: Vec<&'a str>,
}

impl<'a> Directory<'a> {
    fn lists(&mut self, on: &Circumstances<'a>, listed: &Arc<[BlockId]>) -> &[&'a str] {
        if !Arc::ptr_eq(&self.of, listed) {
            self.of = Arc::clone(listed);
            self.tags.clear();
            self.tags.extend(listed.iter().map(|id| on.block(*id).map_or("", |block| block.tag.as_str())));
        }
        &self.tags
    }
}

/// Holds each value of a label that was made against the one that is found.
fn compare<'a>(
    on: &Circumstances<'a>,
    report: &mut Report,
    directory: &mut Directory<'a>,
    needed: &RequiredLabel,
    made: &MadeLabel,
) -> Vec<Unlike> {
    let (now, printed) = (&needed.values, &made.values);
    let mut comparing = Comparing {
        report,
        at: part(needed.at),
        now,
        rounded: now.printed(),
        printed,
        printed_rounded: printed.printed(),
        unlike: Vec::new(),
    };
    comparing.value("highest voltage", |it| it.highest_voltage);
    comparing.value("nominal voltage", |it| it.nominal_voltage);
    comparing.value("greatest current", |it| it.greatest_current);
    comparing.value("rated output current", |it| it.output_current);
    let is_optional = needed.extent == Extent::NameAndVoltages;
    if !(is_optional && printed.fault_current.is_none()) {
        comparing.value("available fault current", |it| it.fault_current);
    }
    comparing.value("rating of the bus", |it| it.bus_rating);
    if now.chemistry != printed.chemistry {
        let name = |it: &LabelValues| it.chemistry.map_or("no chemistry", |it| it.label()).to_owned();
        comparing.unlike.push(Unlike::Words { printed: name(printed), now: name(now) });
    }
    if now.grounding.is_some() && now.grounding != printed.grounding {
        let name = |it: &LabelValues| it.grounding.map_or("no grounding", |it| it.label()).to_owned();
        comparing.unlike.push(Unlike::Words { printed: name(printed), now: name(now) });
    }
    if !directory.lists(on, &needed.listed).iter().eq(&made.listed) {
        let now = directory.tags.join(", ");
        comparing.unlike.push(Unlike::Words { printed: made.listed.join(", "), now });
    }
    comparing.unlike
}

struct Comparing<'r> {
    report: &'r mut Report,
    at: Part,
    /// What is found, and the same rounded up.
    now: &'r LabelValues,
    rounded: LabelValues,
    /// What is printed, and the same rounded up.
    printed: &'r LabelValues,
    printed_rounded: LabelValues,
    unlike: Vec<Unlike>,
}

impl Comparing<'_> {
    /// Compares one value as it is printed. What is not known is not compared.
    fn value<M: Measure + Into<Quantity>>(
        &mut self,
        meaning: &'static str,
        get: impl Fn(&LabelValues) -> Option<M>,
    ) {
        let (Some(now), Some(rounded)) = (get(self.now), get(&self.rounded)) else { return };
        let printed = get(self.printed);
        if let (Some(printed), Some(printed_rounded)) = (printed, get(&self.printed_rounded)) {
            let agree = || printed_rounded.value().total_cmp(&rounded.value()).is_eq();
            if !self.report.agrees(self.at, printed, now, agree).fails() {
                return;
            }
        }
        let printed = printed.map(Into::into);
        self.unlike.push(Unlike::Value { meaning, printed, now: now.into(), rounded: rounded.into() });
    }
}
