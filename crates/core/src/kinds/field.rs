//! Fields: one description of every datum of a block, from which the nameplate panel, the file checks, the
//! schedules and `lineside stock` are made.
//!
//! The fields themselves are declared in each kind's file with [`equipment!`]; choices with [`choice!`].

use crate::units::text::{self, UnitSystem};
use crate::units::{ConductorSize, Measure, Quantity, Unit};

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

/// One point of a curve on a nameplate.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Along.
    pub x: f64,
    /// Across.
    pub y: f64,
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
        match value {
            Value::Number(number) => T::try_new(*number).ok(),
            _ => None,
        }
    }
}

impl FieldType for u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "limits of counts are small whole literals")]
    fn shape((low, high): (f64, f64)) -> Shape {
        Shape::Whole { low: low as u32, high: high as u32 }
    }
    fn to_value(&self) -> Value {
        Value::Whole(*self)
    }
    fn from_value(value: &Value) -> Option<Self> {
        match value {
            Value::Whole(whole) => Some(*whole),
            _ => None,
        }
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
        match value {
            Value::Text(text) => Some(text.clone()),
            _ => None,
        }
    }
}

/// Share of load in percent against efficiency in percent.
impl FieldType for Vec<CurvePoint> {
    fn shape(_: (f64, f64)) -> Shape {
        Shape::Curve { x: Unit::Percent, y: Unit::Percent }
    }
    fn to_value(&self) -> Value {
        Value::Curve(self.clone())
    }
    fn from_value(value: &Value) -> Option<Self> {
        match value {
            Value::Curve(points) => Some(points.clone()),
            _ => None,
        }
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
        match value {
            Value::Absent => Some(None),
            _ => T::from_value(value).map(Some),
        }
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
                Value::Number(text::read(typed, unit, system).map_err(|fault| unreadable(fault.to_string()))?)
            }
            Shape::Whole { .. } => Value::Whole(
                typed.parse().map_err(|_| unreadable(format!("expected a whole number, found “{typed}”")))?,
            ),
            Shape::Choice(names) => Value::Choice(
                names
                    .iter()
                    .find(|name| name.key == typed || name.label == typed)
                    .ok_or_else(|| unreadable(format!("expected one of {}, found “{typed}”", list_of(names))))?
                    .key,
            ),
            Shape::Text => Value::Text(typed.to_owned()),
            Shape::Size => Value::Size(ConductorSize::read(typed).map_err(|fault| unreadable(fault.to_string()))?),
            Shape::Curve { .. } => Value::Curve(read_curve(typed).map_err(unreadable)?),
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
            (Shape::Curve { .. }, Value::Curve(points)) => check_curve(points)
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
            (_, Value::Curve(points)) => {
                points.iter().map(|point| format!("{} % at {} %", point.y, point.x)).collect::<Vec<_>>().join(", ")
            }
            (_, Value::Number(number)) => number.to_string(),
            (_, Value::Choice(key)) => (*key).to_owned(),
            (_, Value::Absent) => "not given".to_owned(),
        }
    }

    /// What stands in the entry box of this field: the value without loss of digits.
    pub fn entry(&self, value: &Value, system: UnitSystem) -> String {
        match (self.shape, value) {
            (_, Value::Absent) => String::new(),
            (Shape::Quantity { unit, .. }, Value::Number(number)) => {
                text::entry(Quantity { value: *number, unit }, system)
            }
            (Shape::Curve { .. }, Value::Curve(points)) => {
                points.iter().map(|point| format!("{}: {}", point.x, point.y)).collect::<Vec<_>>().join("; ")
            }
            _ => self.show(value, system),
        }
    }
}

fn list_of(names: &[ChoiceName]) -> String {
    names.iter().map(|name| format!("“{}”", name.label)).collect::<Vec<_>>().join(", ")
}

fn read_curve(typed: &str) -> Result<Vec<CurvePoint>, String> {
    typed
        .split(';')
        .map(str::trim)
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let parts = pair.split_once(':').and_then(|(x, y)| Some((x.trim().parse().ok()?, y.trim().parse().ok()?)));
            parts.map(|(x, y)| CurvePoint { x, y }).ok_or_else(|| {
                format!("expected points such as “10: 85; 50: 93; 100: 91”, found “{pair}”")
            })
        })
        .collect()
}

fn check_curve(points: &[CurvePoint]) -> Result<(), String> {
    let in_range = |value: f64| (0.0..=100.0).contains(&value);
    if let Some(point) = points.iter().find(|point| !in_range(point.x) || !in_range(point.y)) {
        return Err(format!("points are percents from 0 to 100; {}: {} is not", point.x, point.y));
    }
    if points.windows(2).any(|pair| matches!(pair, [a, b] if a.x >= b.x)) {
        return Err("points must stand in rising order of load".to_owned());
    }
    Ok(())
}

/// Declares an enumeration that can stand in a field: its keys in files and its labels for people.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident { $($(#[$item_doc:meta])* $item:ident = $key:literal, $label:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $($(#[$item_doc])* #[serde(rename = $key)] $item,)+
        }
        impl $name {
            /// Every one of them, in the order in which they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$item),+];
            const NAMES: &'static [$crate::kinds::field::ChoiceName] =
                &[$($crate::kinds::field::ChoiceName { key: $key, label: $label }),+];

            /// As it stands in a file.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$item => $key),+ }
            }
            /// As people read it.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$item => $label),+ }
            }
        }
        impl $crate::kinds::field::FieldType for $name {
            fn shape(_: (f64, f64)) -> $crate::kinds::field::Shape {
                $crate::kinds::field::Shape::Choice(Self::NAMES)
            }
            fn to_value(&self) -> $crate::kinds::field::Value {
                $crate::kinds::field::Value::Choice(self.key())
            }
            fn from_value(value: &$crate::kinds::field::Value) -> Option<Self> {
                match value {
                    $crate::kinds::field::Value::Choice(key) => {
                        Self::ALL.iter().copied().find(|item| item.key() == *key)
                    }
                    _ => None,
                }
            }
        }
    };
}

/// Declares the data of one kind of block. Four groups, in this order: what is always on the nameplate, what
/// may be missing from it, what the designer must set, and what he may set. A field is
/// `name: Type, "Label", low to high;` with its meaning as doc comment; limits only for numbers.
macro_rules! equipment {
    (
        $(#[$doc:meta])* $name:ident
        nameplate { $($(#[doc = $nd:literal])+ $n:ident: $nt:ty, $nl:literal $(, $nlow:literal to $nhigh:literal)?;)* }
        optional { $($(#[doc = $od:literal])+ $o:ident: $ot:ty, $ol:literal $(, $olow:literal to $ohigh:literal)?;)* }
        settings { $($(#[doc = $sd:literal])+ $s:ident: $st:ty, $sl:literal $(, $slow:literal to $shigh:literal)?;)* }
        chosen { $($(#[doc = $cd:literal])+ $c:ident: $ct:ty, $cl:literal $(, $clow:literal to $chigh:literal)?;)* }
    ) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $nd])+ pub $n: $nt,)*
            $($(#[doc = $od])+ #[serde(default, skip_serializing_if = "Option::is_none")] pub $o: Option<$ot>,)*
            $($(#[doc = $sd])+ pub $s: $st,)*
            $($(#[doc = $cd])+ #[serde(default, skip_serializing_if = "Option::is_none")] pub $c: Option<$ct>,)*
        }
        impl $name {
            /// Every field, in the order of the nameplate.
            pub fn fields() -> &'static [$crate::kinds::field::Field] {
                use $crate::kinds::field::{Field, FieldType, Layer, Presence};
                static FIELDS: std::sync::LazyLock<Vec<Field>> = std::sync::LazyLock::new(|| {
                    let field = |key, label, help: &'static [&'static str], layer, presence, shape| Field {
                        key, label, help: help.first().copied().unwrap_or_default().trim(), layer, presence, shape,
                    };
                    let _ = &field;
                    vec![
                        $(field(stringify!($n), $nl, &[$($nd),+], Layer::Nameplate, Presence::Required, <$nt as FieldType>::shape($crate::kinds::field::limits!($($nlow, $nhigh)?))),)*
                        $(field(stringify!($o), $ol, &[$($od),+], Layer::Nameplate, Presence::Optional, <$ot as FieldType>::shape($crate::kinds::field::limits!($($olow, $ohigh)?))),)*
                        $(field(stringify!($s), $sl, &[$($sd),+], Layer::Setting, Presence::Required, <$st as FieldType>::shape($crate::kinds::field::limits!($($slow, $shigh)?))),)*
                        $(field(stringify!($c), $cl, &[$($cd),+], Layer::Setting, Presence::Optional, <$ct as FieldType>::shape($crate::kinds::field::limits!($($clow, $chigh)?))),)*
                    ]
                });
                &FIELDS
            }
            /// The value of a field, by its key.
            pub fn get(&self, key: &str) -> Option<$crate::kinds::field::Value> {
                use $crate::kinds::field::FieldType;
                $(if key == stringify!($n) { return Some(self.$n.to_value()); })*
                $(if key == stringify!($o) { return Some(self.$o.to_value()); })*
                $(if key == stringify!($s) { return Some(self.$s.to_value()); })*
                $(if key == stringify!($c) { return Some(self.$c.to_value()); })*
                let _ = key;
                None
            }
            /// Sets a field, by its key. Refuses a value of another shape or outside the limits.
            pub fn set(&mut self, key: &str, value: &$crate::kinds::field::Value) -> Result<(), $crate::kinds::field::ValueFault> {
                use $crate::kinds::field::{FieldType, ValueFault};
                let field = Self::fields().iter().find(|field| field.key == key)
                    .ok_or_else(|| ValueFault::NoSuchField(key.to_owned()))?;
                field.check(value)?;
                let shape = || ValueFault::Unreadable { label: field.label, reason: "this is a value of another sort".to_owned() };
                $(if key == stringify!($n) { self.$n = FieldType::from_value(value).ok_or_else(shape)?; return Ok(()); })*
                $(if key == stringify!($o) { self.$o = FieldType::from_value(value).ok_or_else(shape)?; return Ok(()); })*
                $(if key == stringify!($s) { self.$s = FieldType::from_value(value).ok_or_else(shape)?; return Ok(()); })*
                $(if key == stringify!($c) { self.$c = FieldType::from_value(value).ok_or_else(shape)?; return Ok(()); })*
                let _ = shape;
                Ok(())
            }
        }
    };
}

/// The limits of a field as a pair; none given means none apply.
macro_rules! limits {
    () => {
        (f64::NEG_INFINITY, f64::INFINITY)
    };
    ($low:literal, $high:literal) => {
        ($low as f64, $high as f64)
    };
}

pub(crate) use {choice, equipment, limits};

impl FieldType for crate::units::ConductorSize {
    fn shape(_: (f64, f64)) -> Shape {
        Shape::Size
    }
    fn to_value(&self) -> Value {
        Value::Size(*self)
    }
    fn from_value(value: &Value) -> Option<Self> {
        match value {
            Value::Size(size) => Some(*size),
            _ => None,
        }
    }
}
