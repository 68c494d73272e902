//! The lines of a label as they are printed: the wording of the table, its values rounded up.

use super::{Extent, RequiredLabel};
use crate::conditions::Conditions;
use lineside_core::circuit::BlockId;
use lineside_core::units::{Measure, Quantity, UnitSystem, text};

/// What is printed where a value is not known, to be filled in by hand.
const OPEN: &str = "________";

/// The lines to print. A value that is not known and that the code insists on leaves a gap to be filled in; one that it
/// does not insist on, or that this label does not have, takes its line with it.
pub fn lines(on: &Conditions<'_>, label: &RequiredLabel, units: UnitSystem) -> Vec<String> {
    let Some(row) = on.codes.common.labels.find(label.kind, on.rule_set, label.values.chemistry) else {
        return Vec::new();
    };
    let printer = Printer { on, label, units };
    row.wording.iter().flat_map(|line| printer.line(line)).collect()
}

struct Printer<'a> {
    on: &'a Conditions<'a>,
    label: &'a RequiredLabel,
    units: UnitSystem,
}

/// What a name in braces stands for.
enum Value {
    Known(String),
    /// Wanted, but not known.
    Open,
    /// Not on this label.
    Absent,
}

impl Printer<'_> {
    fn line(&self, line: &str) -> Vec<String> {
        if line == "{listed}" {
            return self.label.listed.iter().map(|id| self.entry(*id)).collect();
        }
        let Some((before, rest)) = line.split_once('{') else { return vec![line.to_owned()] };
        let (name, after) = rest.split_once('}').unwrap_or((rest, ""));
        match self.value(name) {
            Value::Known(value) => vec![format!("{before}{value}{after}")],
            Value::Open => vec![format!("{before}{OPEN}{after}")],
            Value::Absent => Vec::new(),
        }
    }

    /// A block with its place: `Q1 in Power shed`.
    fn entry(&self, id: BlockId) -> String {
        let circuit = &self.on.project.circuit;
        let tag = circuit.block(id).map_or("", |block| block.tag.as_str());
        match self.on.place_of(id) {
            Some(place) => format!("{tag} in {}", place.name),
            None => tag.to_owned(),
        }
    }

    fn value(&self, name: &str) -> Value {
        let values = self.label.values.printed();
        match name {
            "highest_voltage" => self.quantity(values.highest_voltage),
            "nominal_voltage" if self.label.kind == lineside_core::project::LabelKind::BatteryRoom => {
                values.nominal_voltage.map_or(Value::Absent, |it| self.known(it))
            }
            "nominal_voltage" => self.quantity(values.nominal_voltage),
            "greatest_current" => self.quantity(values.greatest_current),
            "output_current" => self.quantity(values.output_current),
            "fault_current" => self.quantity(values.fault_current),
            "bus_rating" => self.quantity(values.bus_rating),
            "grounding" => values.grounding.map_or(Value::Open, |it| Value::Known(it.label().to_owned())),
            "date" => values.date.map_or_else(|| self.open(), |date| Value::Known(date.to_string())),
            _ => Value::Absent,
        }
    }

    fn open(&self) -> Value {
        match self.label.extent {
            Extent::Full => Value::Open,
            Extent::NameAndVoltages => Value::Absent,
        }
    }

    fn quantity(&self, value: Option<impl Measure + Into<Quantity>>) -> Value {
        value.map_or(Value::Open, |it| self.known(it))
    }

    fn known(&self, value: impl Measure + Into<Quantity>) -> Value {
        Value::Known(text::plain(value.into(), self.units))
    }
}
