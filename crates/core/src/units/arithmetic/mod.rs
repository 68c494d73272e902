//! Reading what people type into a field: a number with its unit, or a short sum of such numbers.
//!
//! `3*46.2 V`, `60 ft + 2 m` and `(2+1)*5 A` are read here; a number alone is read by [`text::read`], so that what a
//! file may hold stays as narrow as it is. Sums are only entered, never kept: the field holds their result.

mod reader;
#[cfg(test)]
mod tests;

use super::text::{self, ReadFault, UnitSystem};
use super::unit::Unit;
use super::writing::{into_kept, shown, without_dust};
use reader::{Reader, Value};

/// The longest text that is read, in characters.
const LONGEST: usize = 200;

/// Why a text is neither a quantity nor a sum that makes one.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EntryFault {
    /// A number that cannot be read, or a unit that is not one of this quantity.
    #[error(transparent)]
    Number(#[from] ReadFault),
    /// Something is divided by zero.
    #[error("nothing can be divided by zero")]
    DividesByZero,
    /// The result is beyond every number.
    #[error("the result is too large to be a number")]
    TooLarge,
    /// A plain number beside a value with a unit.
    #[error("a number without a unit cannot be added to a value in {unit}; write the unit to both")]
    Mixed {
        /// The unit of the field.
        unit: &'static str,
    },
    /// The result would have another dimension than the field.
    #[error("{what} is not a value in {unit}")]
    WrongDimension {
        /// What was made: `V × V`.
        what: String,
        /// The unit of the field.
        unit: &'static str,
    },
    /// A temperature has no zero to multiply from.
    #[error(
        "temperatures with their units cannot be added or multiplied; reckon with plain numbers, such as 20+5"
    )]
    Temperature,
    /// The sum ends, or goes on, where a number should stand.
    #[error("expected a number {place}")]
    NumberMissing {
        /// Where: `after “*”`.
        place: String,
    },
    /// Something that has no place in a sum.
    #[error("expected +, −, * or /, found “{found}”")]
    Unexpected {
        /// What.
        found: String,
    },
    /// A parenthesis without its other half.
    #[error("a parenthesis is not closed")]
    Unclosed,
    /// A comma that does not part thousands.
    #[error(
        "“{found}” could be two numbers; write a point before decimals and commas only between thousands"
    )]
    Comma {
        /// The digits.
        found: String,
    },
    /// A count that is not whole.
    #[error("expected a whole number, found {found}")]
    NotWhole {
        /// The result.
        found: String,
    },
    /// Longer, or more deeply nested, than anybody writes.
    #[error("that is too long a sum to be read")]
    TooLong,
}

/// Reads a quantity, or a sum that makes one. Without any unit the result is in the unit that people of `system` read.
///
/// ```
/// use lineside_core::units::{Unit, UnitSystem, arithmetic};
/// assert_eq!(arithmetic::read("3*46.2 V", Unit::Volt, UnitSystem::Us), Ok(138.6));
/// assert_eq!(arithmetic::read("(2+1)*5 A", Unit::Amp, UnitSystem::Us), Ok(15.0));
/// assert!(arithmetic::read("3 V * 2 V", Unit::Volt, UnitSystem::Us).is_err());
/// ```
pub fn read(typed: &str, unit: Unit, system: UnitSystem) -> Result<f64, EntryFault> {
    let tidy = tidied(typed)?;
    let alone = match text::read(typed, unit, system) {
        Ok(value) => return Ok(value),
        Err(fault) => fault,
    };
    if !is_sum(&tidy) {
        return Err(alone.into());
    }
    match Reader::new(&tidy, unit).whole_sum() {
        Ok(Value::Plain(number)) => finite(into_kept(number, shown(unit, system))),
        Ok(Value::Of(number)) => finite(without_dust(number)),
        // `sixty-one` was not meant as a sum.
        Err(EntryFault::NumberMissing { .. }) if !tidy.contains(|c: char| c.is_ascii_digit()) => {
            Err(alone.into())
        }
        Err(fault) => Err(fault),
    }
}

/// Reads a count, or a sum that makes one.
pub fn read_whole(typed: &str) -> Result<u32, EntryFault> {
    let not_whole = |found: &str| EntryFault::NotWhole { found: format!("“{}”", found.trim()) };
    let tidy = tidied(typed)?;
    if let Ok(whole) = tidy.replace(',', "").parse() {
        return Ok(whole);
    }
    if !is_sum(&tidy) {
        return Err(not_whole(typed));
    }
    let Value::Plain(number) = Reader::new(&tidy, Unit::One).whole_sum()? else {
        return Err(not_whole(typed));
    };
    let number = without_dust(number);
    let fits = number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and within the limits"
    )]
    if fits { Ok(number as u32) } else { Err(not_whole(&format!("{number}"))) }
}

fn finite(value: f64) -> Result<f64, EntryFault> {
    if value.is_finite() { Ok(value) } else { Err(EntryFault::TooLarge) }
}

/// One sign for each operation, whatever was typed for it.
fn tidied(typed: &str) -> Result<String, EntryFault> {
    if typed.chars().count() > LONGEST {
        return Err(EntryFault::TooLong);
    }
    let tidy: String = typed
        .trim()
        .chars()
        .map(|c| match c {
            '\u{2212}' | '\u{2013}' => '-',
            '×' | '·' => '*',
            '÷' => '/',
            other => other,
        })
        .collect();
    match stray_comma(&tidy) {
        Some(found) => Err(EntryFault::Comma { found }),
        None => Ok(tidy),
    }
}

/// Whether there is something to reckon: an operation that is not the sign of the first number.
fn is_sum(tidy: &str) -> bool {
    tidy.starts_with('(') || tidy.chars().skip(1).any(|c| matches!(c, '+' | '-' | '*' | '/' | '(' | 'x'))
}

/// Digits with a comma that does not part thousands: `1,5` would be read as 15.
fn stray_comma(tidy: &str) -> Option<String> {
    let is_digit = |c: char| c.is_ascii_digit() || matches!(c, ',' | '.');
    tidy.split(|c| !is_digit(c)).filter(|digits| digits.contains(',')).find_map(|digits| {
        let whole = digits.split('.').next().unwrap_or_default();
        let mut groups = whole.split(',');
        let first = groups.next().is_some_and(|first| (1..=3).contains(&first.len()));
        let well = first && groups.all(|group| group.len() == 3) && !digits.contains(".,");
        let after_point = digits.split_once('.').is_some_and(|(_, rest)| rest.contains(','));
        (!well || after_point).then(|| digits.to_owned())
    })
}
