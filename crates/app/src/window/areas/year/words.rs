//! Figures and moments of the year in words, and the months across a plot.

use crate::window::plot::{Frame, Picture};
use crate::window::tokens::Tokens;
use lineside_core::project::Month;
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Hours, Quantity, Years};
use lineside_energy::Moment;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

/// A figure with its unit.
pub(super) fn figure(quantity: impl Into<Quantity>, units: UnitSystem) -> String {
    text::figure(quantity.into(), units)
}

/// Hours of the year, in whole hours.
pub(super) fn whole_hours(hours: Hours) -> String {
    let hours: Quantity = hours.into();
    text::figure(Quantity { value: hours.value.round(), unit: hours.unit }, UnitSystem::Si).replace(".00", "")
}

/// To a tenth, and without it where it is whole.
fn to_a_tenth(value: f64) -> String {
    text::plain(Quantity::number((value * 10.0).round() / 10.0), UnitSystem::Si)
}

/// Hours as days: `2.5 days`.
pub(super) fn days(hours: Hours) -> String {
    format!("{} days", to_a_tenth(hours.value() / 24.0))
}

/// `17.7 years`.
pub(super) fn years(years: Years) -> String {
    format!("{} years", to_a_tenth(years.value()))
}

/// A figure on a scale, as short as it can be.
pub(super) fn tick(quantity: impl Into<Quantity>, units: UnitSystem) -> String {
    text::plain(quantity.into(), units)
}

/// `14 December, 19:00`.
pub(super) fn moment(hour: usize) -> String {
    let at = Moment::of(hour);
    format!("{} {}, {:02}:00", at.day, at.month.name(), at.hour)
}

/// `14 December`.
pub(super) fn date(day: usize) -> String {
    let at = Moment::of(day * 24);
    format!("{} {}", at.day, at.month.name())
}

/// The first three letters of a month.
pub(super) fn short(month: Month) -> &'static str {
    month.name().get(..3).unwrap_or_default()
}

/// Money, in whole units of its currency from a hundred on.
pub(super) fn money(amount: Decimal, currency: &str) -> String {
    let value = amount.to_f64().unwrap_or_default();
    let sign = if value < 0.0 { "−" } else { "" };
    if value.abs() < 100.0 {
        return format!("{sign}{:.2} {currency}", value.abs());
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and not below nought")]
    let whole = value.abs().round() as usize;
    format!("{sign}{} {currency}", text::count(whole))
}

/// The months under a plot whose scale goes by days of the year.
pub(super) fn month_ticks(frame: &Frame, picture: &mut Picture, tokens: &Tokens) {
    let mut first = 0.0;
    let by_day = f64::from(frame.rect.width()) / (frame.x.to - frame.x.from);
    for month in Month::ALL {
        let middle = first + month.days() as f64 / 2.0;
        if (frame.x.from..frame.x.to).contains(&middle) {
            let (word, narrow) = (short(month), by_day * 30.0 < 26.0);
            let word = if narrow { word.get(..1).unwrap_or_default() } else { word };
            frame.under(picture, frame.at_x(middle), word, tokens.soft_ink);
        }
        first += month.days() as f64;
    }
}

/// A cell of a table for machines: the plain minus sign, as many digits as matter.
pub(super) fn cell(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_and_money_in_words() {
        assert_eq!((moment(0), date(364)), ("1 January, 00:00".to_owned(), "31 December".to_owned()));
        assert_eq!(money("12345.6".parse().unwrap(), "USD"), "12,346 USD");
        assert_eq!(money("0.4".parse().unwrap(), "EUR"), "0.40 EUR");
        assert_eq!(money("-250".parse().unwrap(), "USD"), "−250 USD");
        assert_eq!(
            (cell(2.5), cell(-0.25), cell(3.0)),
            ("2.5".to_owned(), "-0.25".to_owned(), "3".to_owned())
        );
        assert_eq!(
            (whole_hours(Hours::new(61.0)), whole_hours(Hours::new(1234.4))),
            ("61 h".into(), "1,234 h".into())
        );
        assert_eq!(short(Month::September), "Sep");
        assert_eq!(
            (days(Hours::new(60.0)), years(Years::new(17.71))),
            ("2.5 days".into(), "17.7 years".into())
        );
        assert_eq!(years(Years::new(20.0)), "20 years");
    }
}
