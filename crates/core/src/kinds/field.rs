//! Fields: one description of every datum of a block, from which the nameplate panel, the file checks, the
//! schedules and `lineside stock` are made.
//!
//! The fields themselves are declared in each kind's file, with the macros of `declare.rs`.

use super::curve;
pub use super::curve::CurvePoint;
use crate::units::text::{self, UnitSystem};
use crate::units::{ConductorSize, Measure, Quantity, Unit, arithmetic};

/// What a field holds and between which limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A quantity in `unit`, from `low` to `high`.
    Quantity {
        /// The unit in which it is kept.
        unit: Unit,
        /// Smallest value that makes sense.
        low: f64,
        /// Greatest value that makes sense.
        high: f64,
    },
    /// A whole number from `low` to `high`.
    Whole {
        /// Smallest.
        low: u32,
        /// Greatest.
        high: u32,
    },
    /// One of a list.
    Choice(&'static [ChoiceName]),
    /// Free text.
    Text,
    /// A conductor size.
    Size,
    /// Points of a curve, rising in `x`.
    Curve {
        /// Unit along.
        x: Unit,
        /// Unit across.
        y: Unit,
    },
}

/// One entry of a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChoiceName {
    /// As it stands in a file.
    pub key: &'static str,
    /// As people read it.
    pub label: &'static str,
}

/// Whether a field must have a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Presence {
    /// Always there.
    Required,
    /// May be missing from the nameplate; a rule that needs it then cannot tell.
    Optional,
}

/// Whose a field is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// What the maker printed; shared by equal blocks, from stock.
    Nameplate,
    /// What the designer chose for this block.
    Setting,
}

/// One datum of a kind of block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// As it stands in a file.
    pub key: &'static str,
    /// As people read it.
    pub label: &'static str,
    /// What it means.
    pub help: &'static str,
    /// Whose it is.
    pub layer: Layer,
    /// Whether it must be there.
    pub presence: Presence,
    /// What it holds.
    pub shape: Shape,
}

/// The value of a field.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Not given.
    Absent,
    /// A quantity, in the unit of the field.
    Number(f64),
    /// A whole number.
    Whole(u32),
    /// The key of a choice.
    Choice(&'static str),
    /// A text.
    Text(String),
    /// A conductor size.
    Size(ConductorSize),
    /// Points of a curve.
    Curve(Vec<CurvePoint>),
}

/// Why a value does not fit a field.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ValueFault {
    /// Outside the limits.
    #[error("{label} must lie between {low} and {high}; {found} does not")]
    OutsideLimits {
        /// The field.
        label: &'static str,
        /// Smallest.
        low: String,
        /// Greatest.
        high: String,
        /// What was given.
        found: String,
    },
    /// A required field was left empty.
    #[error("{label} must have a value")]
    Missing {
        /// The field.
        label: &'static str,
    },
    /// Not readable as a value of this field.
    #[error("{label}: {reason}")]
    Unreadable {
        /// The field.
        label: &'static str,
        /// Why.
        reason: String,
    },
    /// The kind has no such field.
    #[error("there is no field “{0}” here")]
    NoSuchField(String),
}

/// A type that can stand in a field.
pub trait FieldType: Sized {
    /// What it holds. `limits` are those declared with the field.
    fn shape(limits: (f64, f64)) -> Shape;
    /// Out of the struct.
    fn to_value(&self) -> Value;
    /// Into the struct; `None` if the value has another shape.
    fn from_value(value: &Value) -> Option<Self>;
}

impl<T: Measure> FieldType for T {
    fn shape((low, high): (f64, f64)) -> Shape {
        Shape::Quantity { unit: T::UNIT, low, high }
    }
    fn to_value(&self) -> Value {
        Value::Number(self.value())
    }
    fn from_value(value: &Value) -> Option<Self> {
        if let Value::Number(number) = value { T::try_new(*number).ok() } else { None }
    }
}

impl FieldType for u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "limits of counts are small whole literals"
    )]
    fn shape((low, high): (f64, f64)) -> Shape {
        Shape::Whole { low: low as u32, high: high as u32 }
    }
    fn to_value(&self) -> Value {
        Value::Whole(*self)
    }
    fn from_value(value: &Value) -> Option<Self> {
        if let Value::Whole(whole) = value { Some(*whole) } else { None }
    }
}

impl FieldType for String {
    fn shape(_: (f64, f64)) -> Shape {
        Shape::Text
    }
    fn to_value(&self) -> Value {
        Value::Text(self.clone())
    }
    fn from_value(value: &Value) -> Option<Self> {
        if let Value::Text(text) = value { Some(text.clone()) } else { None }
    }
}

impl<T: FieldType> FieldType for Option<T> {
    fn shape(limits: (f64, f64)) -> Shape {
        T::shape(limits)
    }
    fn to_value(&self) -> Value {
        self.as_ref().map_or(Value::Absent, T::to_value)
    }
    fn from_value(value: &Value) -> Option<Self> {
        if *value == Value::Absent { Some(None) } else { T::from_value(value).map(Some) }
    }
}

impl Field {
    /// Reads what a person typed into this field.
    pub fn read(&self, typed: &str, system: UnitSystem) -> Result<Value, ValueFault> {
        let typed = typed.trim();
        if typed.is_empty() && !matches!(self.shape, Shape::Text) {
            return match self.presence {
                Presence::Optional => Ok(Value::Absent),
                Presence::Required => Err(ValueFault::Missing { label: self.label }),
            };
        }
        let unreadable = |reason: String| ValueFault::Unreadable { label: self.label, reason };
        let value = match self.shape {
            Shape::Quantity { unit, .. } => {
                let read = arithmetic::read(typed, unit, system);
                Value::Number(read.map_err(|fault| unreadable(fault.to_string()))?)
            }
            Shape::Whole { .. } => {
                Value::Whole(arithmetic::read_whole(typed).map_err(|fault| unreadable(fault.to_string()))?)
            }
            Shape::Choice(names) => Value::Choice(
                names
                    .iter()
                    .find(|name| name.key == typed || name.label == typed)
                    .ok_or_else(|| {
                        unreadable(format!("expected one of {}, found “{typed}”", list_of(names)))
                    })?
                    .key,
            ),
            Shape::Text => Value::Text(typed.to_owned()),
            Shape::Size => {
                Value::Size(ConductorSize::read(typed).map_err(|fault| unreadable(fault.to_string()))?)
            }
            Shape::Curve { x, y } => Value::Curve(curve::read(typed, (x, y), system).map_err(unreadable)?),
        };
        self.check(&value)?;
        Ok(value)
    }

    /// Whether a value lies within the limits of this field.
    pub fn check(&self, value: &Value) -> Result<(), ValueFault> {
        let outside = |low: String, high: String, found: String| {
            Err(ValueFault::OutsideLimits { label: self.label, low, high, found })
        };
        match (self.shape, value) {
            (_, Value::Absent) if self.presence == Presence::Required => {
                Err(ValueFault::Missing { label: self.label })
            }
            (Shape::Quantity { unit, low, high }, Value::Number(number))
                if !(low..=high).contains(number) =>
            {
                let say = |value| text::exact(Quantity { value, unit });
                outside(say(low), say(high), say(*number))
            }
            (Shape::Whole { low, high }, Value::Whole(whole)) if !(low..=high).contains(whole) => {
                outside(low.to_string(), high.to_string(), whole.to_string())
            }
            (Shape::Curve { x, y }, Value::Curve(points)) => curve::check(points, (x, y))
                .map_err(|reason| ValueFault::Unreadable { label: self.label, reason }),
            _ => Ok(()),
        }
    }

    /// How a value of this field is shown to people.
    pub fn show(&self, value: &Value, system: UnitSystem) -> String {
        match (self.shape, value) {
            (Shape::Quantity { unit, .. }, Value::Number(number)) => {
                text::plain(Quantity { value: *number, unit }, system)
            }
            (Shape::Choice(names), Value::Choice(key)) => {
                names.iter().find(|name| name.key == *key).map_or(*key, |name| name.label).to_owned()
            }
            (_, Value::Whole(whole)) => text::count(*whole as usize),
            (_, Value::Text(text)) => text.clone(),
            (_, Value::Size(size)) => size.to_string(),
            (Shape::Curve { x, y }, Value::Curve(points)) => curve::show(points, (x, y), system),
            (_, Value::Number(number)) => number.to_string(),
            (_, Value::Choice(key)) => (*key).to_owned(),
            (_, Value::Absent) => "not given".to_owned(),
            // A value of another shape is never shown by this field; nothing better can be said of it.
            (_, Value::Curve(_)) => "a curve".to_owned(),
        }
    }

    /// What stands in the entry box of this field: the value without loss of digits.
    pub fn entry(&self, value: &Value, system: UnitSystem) -> String {
        match (self.shape, value) {
            (_, Value::Absent) => String::new(),
            (Shape::Quantity { unit, .. }, Value::Number(number)) => {
                text::entry(Quantity { value: *number, unit }, system)
            }
            (Shape::Curve { x, y }, Value::Curve(points)) => curve::entry(points, (x, y), system),
            _ => self.show(value, system),
        }
    }
}

fn list_of(names: &[ChoiceName]) -> String {
    names.iter().map(|name| format!("“{}”", name.label)).collect::<Vec<_>>().join(", ")
}

/// A literal limit, whole or not.
pub trait Limit {
    /// As a float.
    fn limit(self) -> f64;
}
impl Limit for i32 {
    fn limit(self) -> f64 {
        f64::from(self)
    }
}
impl Limit for f64 {
    fn limit(self) -> f64 {
        self
    }
}

impl FieldType for ConductorSize {
    fn shape(_: (f64, f64)) -> Shape {
        Shape::Size
    }
    fn to_value(&self) -> Value {
        Value::Size(*self)
    }
    fn from_value(value: &Value) -> Option<Self> {
        if let Value::Size(size) = value { Some(*size) } else { None }
    }
}
