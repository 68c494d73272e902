//! Reads the file of examples and compares with it.

use lineside_core::units::{
    Celsius, CelsiusSpan, Degrees, Hours, Meters, MetersPerSecond, Percent, SunHours,
};
use lineside_energy::site::{Climate, Location, TimeZone};
use lineside_energy::sun::Sky;
use lineside_energy::{ByMonth, Tables};
use serde_json::Value;
use std::sync::LazyLock;

/// The whole file.
pub static FILE: LazyLock<Value> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../energy-examples.json")).unwrap_or_else(|fault| panic!("{fault}"))
});

/// A component's examples.
pub fn component(name: &str) -> &'static Value {
    let found = &FILE["components"][name];
    assert!(!found.is_null(), "no component {name}");
    found
}

/// A list of examples; an empty one would prove nothing.
pub fn list(value: &Value) -> &[Value] {
    let list = value.as_array().map_or(&[][..], Vec::as_slice);
    assert!(!list.is_empty(), "expected a list, found {value}");
    list
}

/// A number.
pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("expected a number, found {value}"))
}

/// A whole number.
pub fn whole(value: &Value) -> u32 {
    let number = value.as_u64().and_then(|number| u32::try_from(number).ok());
    number.unwrap_or_else(|| panic!("expected a whole number, found {value}"))
}

/// Twelve numbers.
pub fn twelve(value: &Value) -> [f64; 12] {
    let numbers: Vec<f64> = list(value).iter().map(number).collect();
    numbers.try_into().unwrap_or_else(|_| panic!("expected twelve numbers, found {value}"))
}

/// The tolerance under a name.
pub fn tolerance(name: &str) -> f64 {
    number(&FILE["tolerance"][name])
}

/// Compares at the relative tolerance of components.
#[track_caller]
pub fn close(what: &str, found: f64, expected: f64) {
    within(what, found, expected, tolerance("component_relative") * expected.abs());
}

/// Compares at an absolute tolerance; figures of the file carry ten digits.
#[track_caller]
pub fn within(what: &str, found: f64, expected: f64, tolerance: f64) {
    let digits = expected.abs() * 1e-9 + 1e-12;
    assert!((found - expected).abs() <= tolerance + digits, "{what}: found {found}, expected {expected}");
}

/// The site of a case.
pub fn site(site: &Value) -> (Location, Climate) {
    let at = |key: &str| number(&site[key]);
    let location = Location::new(
        Degrees::new(at("lat")),
        Degrees::new(at("lon")),
        Meters::new(at("elev")),
        Hours::new(at("tz")),
        TimeZone::Checked,
    );
    let climate = Climate {
        sun: ByMonth(twelve(&site["ghi_kwh_m2_day"]).map(SunHours::new)),
        temperature: ByMonth(twelve(&site["t_mean"]).map(Celsius::new)),
        range: Some(ByMonth(twelve(&site["t_range"]).map(CelsiusSpan::new))),
        wind: ByMonth(twelve(&site["wind"]).map(MetersPerSecond::new)),
        albedo: ByMonth(twelve(&site["albedo"]).map(Percent::from_share)),
        turbidity: ByMonth(twelve(&site["linke"])),
    };
    (location.unwrap_or_else(|fault| panic!("{fault}")), climate)
}

/// The case of an id.
pub fn case(id: &str) -> &'static Value {
    let cases = list(&FILE["cases"]);
    cases.iter().find(|case| case["id"] == id).unwrap_or_else(|| panic!("no case {id}"))
}

/// The sky and the climate of a case.
pub fn sky(tables: &Tables, id: &str) -> (Sky, Climate) {
    let (location, climate) = site(&case(id)["input"]["site"]);
    (Sky::over(tables, location, &climate.turbidity), climate)
}

/// The tables.
pub fn tables() -> Tables {
    Tables::load().unwrap_or_else(|fault| panic!("{fault}"))
}
