//! The labels that a system needs: their shape in JSON and their tables. `docs/json.md` describes it.
//!
//! What is needed is found in `lineside_study::required_labels`.

use super::shapes::{Figure, PartName};
use super::table::{Table, words};
use lineside_core::project::LabelKind;
use lineside_core::units::{Measure, Quantity, UnitSystem};
use lineside_rules::Part;
use lineside_study::required_labels::{Extent, RequiredLabel, RequiredLabels, Spot, lines};
use lineside_study::{Conditions, Missing};
use serde::Serialize;

/// Every label that is needed, and those of which the project does not say it.
#[derive(Serialize)]
pub struct LabelsShape {
    needed: Vec<LabelShape>,
    undecided: Vec<UndecidedShape>,
}

#[derive(Serialize)]
struct LabelShape {
    label: &'static str,
    #[serde(skip)]
    name: &'static str,
    at: PartName,
    #[serde(skip)]
    at_text: String,
    stands: String,
    location: Option<String>,
    lines: Vec<String>,
    values: Vec<ValueShape>,
    may_omit_fault_data: bool,
    listed: Vec<String>,
    when: String,
    clause: String,
    remark: &'static str,
    missing: Vec<DatumShape>,
}

#[derive(Serialize)]
struct ValueShape {
    value: &'static str,
    found: Figure,
    printed: Figure,
}

#[derive(Serialize)]
struct DatumShape {
    owner: String,
    datum: &'static str,
}

#[derive(Serialize)]
struct UndecidedShape {
    label: &'static str,
    #[serde(skip)]
    name: &'static str,
    owner: String,
    datum: &'static str,
}

/// Gathers the labels of a project.
pub fn gather(on: &Conditions<'_>, required: &RequiredLabels, units: UnitSystem) -> LabelsShape {
    let gathering = Gathering { on, units };
    LabelsShape {
        needed: required.all.iter().map(|label| gathering.label(label)).collect(),
        undecided: required
            .undecided
            .iter()
            .map(|it| UndecidedShape {
                label: it.kind.key(),
                name: it.kind.label(),
                owner: it.missing.owner_name(&on.project.circuit),
                datum: it.missing.datum,
            })
            .collect(),
    }
}

struct Gathering<'a> {
    on: &'a Conditions<'a>,
    units: UnitSystem,
}

impl Gathering<'_> {
    fn label(&self, label: &RequiredLabel) -> LabelShape {
        let circuit = &self.on.project.circuit;
        let row = self.on.codes.common.labels.find(label.kind, self.on.rule_set, label.values.chemistry);
        let part = match label.at {
            Spot::Block(id) => Part::Block(id),
            Spot::Run(id) => Part::Run(id),
            Spot::Place(id) => Part::Place(id),
            Spot::Site => Part::Project,
        };
        let location = match label.at {
            Spot::Block(id) => self.on.place_of(id).map(|place| place.name.clone()),
            Spot::Run(_) | Spot::Place(_) | Spot::Site => None,
        };
        LabelShape {
            label: label.kind.key(),
            name: label.kind.label(),
            at: PartName::of(part, circuit),
            at_text: place_text(label.at, part.name(circuit)),
            stands: row.map(|row| row.place.clone()).unwrap_or_default(),
            location,
            lines: lines(self.on, label, self.units),
            values: self.values(label),
            may_omit_fault_data: label.extent == Extent::NameAndVoltages
                && label.kind == LabelKind::EssDisconnect,
            listed: label
                .listed
                .iter()
                .filter_map(|id| circuit.block(*id).map(|block| block.tag.clone()))
                .collect(),
            when: row.map(|row| row.when.clone()).unwrap_or_default(),
            clause: row.and_then(|row| row.clause(self.on.rule_set)).unwrap_or_default(),
            remark: row.map_or("", |row| row.confidence.remark()),
            missing: label.missing.iter().map(|missing| self.datum(*missing)).collect(),
        }
    }

    fn datum(&self, missing: Missing) -> DatumShape {
        DatumShape { owner: missing.owner_name(&self.on.project.circuit), datum: missing.datum }
    }

    fn values(&self, label: &RequiredLabel) -> Vec<ValueShape> {
        let (now, up) = (&label.values, label.values.printed());
        [
            self.value("highest_voltage", now.highest_voltage, up.highest_voltage),
            self.value("nominal_voltage", now.nominal_voltage, up.nominal_voltage),
            self.value("greatest_current", now.greatest_current, up.greatest_current),
            self.value("output_current", now.output_current, up.output_current),
            self.value("fault_current", now.fault_current, up.fault_current),
            self.value("bus_rating", now.bus_rating, up.bus_rating),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn value<M: Measure + Into<Quantity>>(
        &self,
        value: &'static str,
        found: Option<M>,
        printed: Option<M>,
    ) -> Option<ValueShape> {
        Some(ValueShape {
            value,
            found: Figure::of(found?, self.units),
            printed: Figure::rating(printed?, self.units),
        })
    }
}

fn place_text(at: Spot, name: String) -> String {
    match at {
        Spot::Site => "the site".to_owned(),
        Spot::Block(_) | Spot::Run(_) | Spot::Place(_) => name,
    }
}

/// What to print, and where to put it up.
pub fn needed(shape: &LabelsShape) -> Table {
    let mut table =
        Table::new(&[words("label", 24), words("at", 22), words("lines", 62), words("clause", 26)]);
    for it in &shape.needed {
        let at = match &it.location {
            Some(location) => format!("{}, {location}", it.at_text),
            None => it.at_text.clone(),
        };
        table.row([it.name.to_owned(), at, it.lines.join(" / "), it.clause.clone()]);
    }
    table
}

/// Where each kind stands, by the code.
pub fn kinds(shape: &LabelsShape) -> Table {
    let mut table = Table::new(&[words("label", 24), words("stands at", 60), words("when", 40)]);
    for of_kind in shape.needed.chunk_by(|a, b| a.label == b.label) {
        if let Some(it) = of_kind.first() {
            let remark = if it.remark.is_empty() { String::new() } else { format!(" ({})", it.remark) };
            table.row([it.name.to_owned(), it.stands.clone(), format!("{}{remark}", it.when)]);
        }
    }
    table
}

/// What is open because the project does not say it.
pub fn open(shape: &LabelsShape) -> Table {
    let mut table = Table::new(&[words("label", 24), words("at", 22), words("because it is not given", 60)]);
    for it in &shape.needed {
        for missing in &it.missing {
            let what = format!("{} of {}", missing.datum, missing.owner);
            table.row([it.name.to_owned(), it.at_text.clone(), what]);
        }
    }
    for it in &shape.undecided {
        let what = format!("{} of {}; it may be needed", it.datum, it.owner);
        table.row([it.name.to_owned(), "?".to_owned(), what]);
    }
    table
}
