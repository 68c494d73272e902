//! The macros by which kinds declare their choices and their fields.
//!
//! What a field is and can do is in `field.rs`.

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
                let $crate::kinds::field::Value::Choice(key) = value else { return None };
                Self::ALL.iter().copied().find(|item| item.key() == *key)
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
                        $(field(stringify!($n), $nl, &[$($nd),+], Layer::Nameplate, Presence::Required, <$nt as FieldType>::shape($crate::kinds::declare::limits!($($nlow, $nhigh)?))),)*
                        $(field(stringify!($o), $ol, &[$($od),+], Layer::Nameplate, Presence::Optional, <$ot as FieldType>::shape($crate::kinds::declare::limits!($($olow, $ohigh)?))),)*
                        $(field(stringify!($s), $sl, &[$($sd),+], Layer::Setting, Presence::Required, <$st as FieldType>::shape($crate::kinds::declare::limits!($($slow, $shigh)?))),)*
                        $(field(stringify!($c), $cl, &[$($cd),+], Layer::Setting, Presence::Optional, <$ct as FieldType>::shape($crate::kinds::declare::limits!($($clow, $chigh)?))),)*
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
        ($crate::kinds::field::Limit::limit($low), $crate::kinds::field::Limit::limit($high))
    };
}

pub(crate) use {choice, equipment, limits};
