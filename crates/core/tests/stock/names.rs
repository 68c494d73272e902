//! Stock names are plain descriptions: nothing in them looks like a maker's range or a code.

use crate::items;

/// Abbreviations and symbols of the trade that may stand in capitals.
const TRADE_CAPITALS: &[&str] =
    &["AC", "DC", "PV", "AWG", "V", "A", "W", "Ah", "T", "B", "C", "kA", "kW", "kVA", "mA", "mV"];

/// Words of advertising, of makers' ranges and of ordering codes.
const FORBIDDEN_WORDS: &[&str] = &[
    "pro",
    "plus",
    "max",
    "mini",
    "ultra",
    "elite",
    "smart",
    "eco",
    "power",
    "premium",
    "series",
    "model",
    "mark",
    "generation",
    "version",
    "edition",
    "brand",
    "number",
    "type-no",
];

/// Voltages by which banks, units and AC systems are called.
const NOMINAL_VOLTS: &[f64] = &[2.0, 6.0, 12.0, 12.8, 24.0, 25.6, 48.0, 51.2, 120.0, 230.0, 240.0, 400.0];

/// The words of a name without the punctuation round them.
fn words(name: &str) -> impl Iterator<Item = &str> {
    name.split_whitespace().map(|word| word.trim_end_matches(','))
}

fn is_number(word: &str) -> bool {
    word.parse::<f64>().is_ok()
}

#[test]
fn names_are_unique_and_short_enough_for_the_shelf() {
    let mut names: Vec<String> = items().into_iter().map(|item| item.name).collect();
    assert!(names.iter().all(|name| name.chars().count() <= 80 && name.trim() == name));
    assert!(names.iter().all(|name| name.starts_with(char::is_uppercase)));
    names.sort_unstable();
    let doubled: Vec<_> = names.windows(2).filter(|pair| pair[0] == pair[1]).collect();
    assert!(doubled.is_empty(), "{doubled:?}");
}

#[test]
fn no_word_mixes_letters_and_digits() {
    // “48V”, “10x38”, “LFP100” and the like are how catalogs write; a description keeps number and unit apart.
    for item in items() {
        for word in words(&item.name) {
            let digits = word.chars().any(|c| c.is_ascii_digit());
            assert!(!(digits && word.chars().any(char::is_alphabetic)), "“{word}” in “{}”", item.name);
        }
    }
}

#[test]
fn no_numbers_stand_in_pairs() {
    // “150/60” and “150-60” are a maker's way to name a controller. A conductor of 2/0 AWG is a trade size.
    for item in items() {
        let all: Vec<_> = words(&item.name).collect();
        for (i, word) in all.iter().enumerate() {
            let pair = word.contains(|c: char| c.is_ascii_digit()) && !is_number(word);
            let conductor = word.ends_with("/0") && all.get(i + 1) == Some(&"AWG");
            assert!(!pair || conductor, "“{word}” in “{}”", item.name);
        }
    }
}

#[test]
fn every_number_says_of_what() {
    // A number that stands alone, at the end or before a comma, would be a code.
    for item in items() {
        let all: Vec<_> = item.name.split_whitespace().collect();
        for (i, word) in all.iter().enumerate() {
            if is_number(word.trim_end_matches(',')) {
                let next = all.get(i + 1).is_some_and(|next| !is_number(next.trim_end_matches(',')));
                assert!(next && !word.ends_with(','), "“{word}” in “{}”", item.name);
            }
        }
    }
}

#[test]
fn capitals_are_those_of_the_trade() {
    for item in items() {
        for word in words(&item.name).skip(1).filter(|word| word.contains(char::is_uppercase)) {
            let whole = word
                .split('-')
                .all(|part| !part.contains(char::is_uppercase) || TRADE_CAPITALS.contains(&part));
            assert!(whole || word == "Class", "“{word}” in “{}”", item.name);
        }
    }
}

#[test]
fn no_word_of_advertising_or_ordering() {
    for item in items() {
        for word in words(&item.name) {
            assert!(!FORBIDDEN_WORDS.contains(&word.to_lowercase().as_str()), "“{word}” in “{}”", item.name);
        }
    }
}

#[test]
fn ratings_in_a_name_are_those_of_the_nameplate() {
    // Whoever picks “60 A, 150 V” from the shelf must get just that. Every number with a unit in the name of a
    // breaker, fuse, switch, cell or controller is a value of its nameplate.
    for item in items() {
        let values: Vec<f64> = item
            .equipment
            .kind()
            .fields()
            .iter()
            .filter_map(|field| match item.equipment.get(field.key) {
                Some(lineside_core::kinds::field::Value::Number(number)) => Some(number),
                Some(lineside_core::kinds::field::Value::Whole(whole)) => Some(f64::from(whole)),
                _ => None,
            })
            .collect();
        let all: Vec<_> = words(&item.name).collect();
        for pair in all.windows(2).filter(|pair| is_number(pair[0])) {
            let number = pair[0].parse::<f64>().unwrap();
            let scale = match pair[1] {
                "kW" | "kA" | "kVA" => 1000.0,
                "mA" => 0.001,
                "A" | "V" | "W" | "Ah" | "taps" | "s" | "cells" => 1.0,
                _ => continue,
            };
            // “48 V” may also name the class of a bank, “230 V” that of an AC system.
            let class = pair[1] == "V" && NOMINAL_VOLTS.contains(&number);
            let want = number * scale;
            let found = values.iter().any(|value| (value - want).abs() <= 1e-9 * want);
            assert!(found || class, "“{} {}” in “{}”", pair[0], pair[1], item.name);
        }
    }
}
