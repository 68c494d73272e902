//! The reader of sums: numbers, their units, four operations and parentheses, by recursive descent.
//!
//! Which dimension a result has is watched at every operation.

use super::{EntryFault, finite};
use crate::units::text::{self, UnitSystem};
use crate::units::unit::Unit;
use crate::units::writing::{Writing, also_read, kept};

/// The most parentheses and signs within one another.
const DEEPEST: usize = 32;

/// A number in the course of reckoning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Value {
    /// Without a unit.
    Plain(f64),
    /// In the kept unit of the field.
    Of(f64),
}

pub(super) struct Reader<'a> {
    rest: &'a str,
    unit: Unit,
    /// The operation or parenthesis that was read last, for messages.
    last: Option<char>,
    depth: usize,
}

impl<'a> Reader<'a> {
    pub(super) const fn new(text: &'a str, unit: Unit) -> Self {
        Self { rest: text, unit, last: None, depth: 0 }
    }

    const fn symbol(&self) -> &'static str {
        let symbol = kept(self.unit).symbol;
        if symbol.is_empty() { "plain numbers" } else { symbol }
    }

    pub(super) fn whole_sum(&mut self) -> Result<Value, EntryFault> {
        let value = self.sum()?;
        self.skip_spaces();
        match self.rest.chars().next() {
            None => Ok(value),
            Some(_) => Err(EntryFault::Unexpected { found: self.word() }),
        }
    }

    fn sum(&mut self) -> Result<Value, EntryFault> {
        let mut value = self.product()?;
        while let Some(operation) = self.operation(&['+', '-']) {
            let other = self.product()?;
            let sign: f64 = if operation == '+' { 1.0 } else { -1.0 };
            value = match (value, other) {
                (Value::Plain(a), Value::Plain(b)) => Value::Plain(a + sign * b),
                (Value::Of(_), Value::Of(_)) if self.unit == Unit::Celsius => {
                    return Err(EntryFault::Temperature);
                }
                (Value::Of(a), Value::Of(b)) => Value::Of(a + sign * b),
                (Value::Plain(_), Value::Of(_)) | (Value::Of(_), Value::Plain(_)) => {
                    return Err(EntryFault::Mixed { unit: self.symbol() });
                }
            };
        }
        Ok(value)
    }

    fn product(&mut self) -> Result<Value, EntryFault> {
        let mut value = self.factor()?;
        while let Some(operation) = self.operation(&['*', '/', 'x']) {
            let other = self.factor()?;
            value = if operation == '/' { self.divide(value, other)? } else { self.multiply(value, other)? };
        }
        Ok(value)
    }

    fn multiply(&self, value: Value, by: Value) -> Result<Value, EntryFault> {
        match (value, by) {
            (Value::Plain(a), Value::Plain(b)) => Ok(Value::Plain(a * b)),
            _ if self.unit == Unit::Celsius => Err(EntryFault::Temperature),
            (Value::Plain(a), Value::Of(b)) | (Value::Of(a), Value::Plain(b)) => Ok(Value::Of(a * b)),
            (Value::Of(_), Value::Of(_)) => Err(self.wrong(&format!("{0} × {0}", self.symbol()))),
        }
    }

    fn divide(&self, value: Value, by: Value) -> Result<Value, EntryFault> {
        if matches!(by, Value::Plain(0.0) | Value::Of(0.0)) {
            return Err(EntryFault::DividesByZero);
        }
        match (value, by) {
            (Value::Plain(a), Value::Plain(b)) => Ok(Value::Plain(a / b)),
            _ if self.unit == Unit::Celsius => Err(EntryFault::Temperature),
            (Value::Of(a), Value::Plain(b)) => Ok(Value::Of(a / b)),
            (Value::Of(_), Value::Of(_)) => Err(self.wrong(&format!("{0} ÷ {0}", self.symbol()))),
            (Value::Plain(_), Value::Of(_)) => Err(self.wrong(&format!("a number ÷ {}", self.symbol()))),
        }
    }

    fn wrong(&self, what: &str) -> EntryFault {
        EntryFault::WrongDimension { what: what.to_owned(), unit: self.symbol() }
    }

    fn factor(&mut self) -> Result<Value, EntryFault> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(EntryFault::TooLong);
        }
        let value = match self.operation(&['+', '-', '(']) {
            Some('-') => match self.factor()? {
                Value::Plain(number) => Ok(Value::Plain(-number)),
                Value::Of(_) if self.unit == Unit::Celsius => Err(EntryFault::Temperature),
                Value::Of(number) => Ok(Value::Of(-number)),
            },
            Some('(') => {
                let value = self.sum()?;
                self.operation(&[')']).ok_or(EntryFault::Unclosed)?;
                self.with_unit(value)
            }
            Some(_) => self.factor(),
            None => {
                let number = self.number()?;
                self.with_unit(Value::Plain(number))
            }
        };
        self.depth -= 1;
        value
    }

    /// Takes one of these signs, if one comes next. An `x` is a sign only where no word follows.
    fn operation(&mut self, signs: &[char]) -> Option<char> {
        self.skip_spaces();
        let sign = self.rest.chars().next().filter(|c| signs.contains(c))?;
        let after = self.rest.get(sign.len_utf8()..)?;
        if sign == 'x' && after.starts_with(char::is_alphabetic) {
            return None;
        }
        self.rest = after;
        self.last = Some(sign);
        Some(sign)
    }

    fn skip_spaces(&mut self) {
        self.rest = self.rest.trim_start();
    }

    fn number(&mut self) -> Result<f64, EntryFault> {
        let bytes = self.rest.as_bytes();
        let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
        let end = (0..=bytes.len())
            .find(|&at| {
                let exponent = |here: usize| {
                    matches!(bytes.get(here), Some(b'e' | b'E'))
                        && here > 0
                        && (digit(here + 1)
                            || (matches!(bytes.get(here + 1), Some(b'-' | b'+')) && digit(here + 2)))
                };
                let sign = matches!(bytes.get(at), Some(b'-' | b'+')) && at > 0 && exponent(at - 1);
                !(digit(at) || matches!(bytes.get(at), Some(b'.' | b',')) || exponent(at) || sign)
            })
            .unwrap_or(bytes.len());
        let (digits, rest) = self.rest.split_at_checked(end).unwrap_or((self.rest, ""));
        if digits.is_empty() {
            return Err(self.number_missing());
        }
        let number: f64 = digits.replace(',', "").parse().map_err(|_| self.number_missing())?;
        self.rest = rest;
        finite(number)
    }

    fn number_missing(&self) -> EntryFault {
        let place = match (self.last, self.rest.is_empty()) {
            (_, false) => format!("at “{}”", self.word()),
            (Some(last), true) => format!("after “{last}”"),
            (None, true) => "here".to_owned(),
        };
        EntryFault::NumberMissing { place }
    }

    /// The unit that follows, if one does.
    fn with_unit(&mut self, value: Value) -> Result<Value, EntryFault> {
        self.skip_spaces();
        let begins_word = self.rest.starts_with(|c: char| c.is_alphabetic() || matches!(c, '°' | '%'));
        let times = self.rest.strip_prefix('x').is_some_and(|rest| !rest.starts_with(char::is_alphabetic));
        if !begins_word || times {
            return Ok(value);
        }
        let Some((writing, length)) = self.writing() else {
            let known = text::read(&format!("1 {}", self.word()), self.unit, UnitSystem::Si);
            return Err(known
                .err()
                .map_or_else(|| EntryFault::Unexpected { found: self.word() }, Into::into));
        };
        self.rest = self.rest.get(length..).unwrap_or_default();
        match value {
            Value::Plain(number) => Ok(Value::Of((number - writing.offset) / writing.scale)),
            Value::Of(_) => Err(self.wrong(&format!("{0} of {0}", self.symbol()))),
        }
    }

    /// The longest unit of the field with which the rest begins, and its length in bytes.
    fn writing(&self) -> Option<(Writing, usize)> {
        let all = || std::iter::once(kept(self.unit)).chain(also_read(self.unit).iter().copied());
        let ends = |length: usize| {
            let after = self.rest.get(length..).and_then(|rest| rest.chars().next());
            after.is_none_or(|c| !c.is_alphanumeric() && !matches!(c, '°' | '%' | '²' | '³'))
        };
        let begins = |symbol: &str, exactly: bool| {
            let head = self.rest.get(..symbol.len()).unwrap_or_default();
            !symbol.is_empty()
                && ends(symbol.len())
                && if exactly { head == symbol } else { head.eq_ignore_ascii_case(symbol) }
        };
        let longest = |exactly: bool| {
            all()
                .flat_map(|writing| {
                    [(writing, writing.symbol), (writing, writing.symbol.trim_start_matches('°'))]
                })
                .filter(|(_, symbol)| begins(symbol, exactly))
                .map(|(writing, symbol)| (writing, symbol.len()))
                .max_by_key(|(_, length)| *length)
        };
        longest(true).or_else(|| longest(false))
    }

    /// What stands next, up to a space or a sign.
    fn word(&self) -> String {
        let rest = self.rest.trim_start();
        let first = rest.chars().next().map_or(0, char::len_utf8);
        let end = rest
            .char_indices()
            .skip(1)
            .find(|(_, c)| c.is_whitespace() || matches!(c, '+' | '-' | '*' | '/' | '(' | ')'))
            .map_or(rest.len(), |(at, _)| at);
        rest.get(..end.max(first)).unwrap_or_default().to_owned()
    }
}
