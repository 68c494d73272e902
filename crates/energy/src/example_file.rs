//! Reads the file of reference examples for the unit tests. The examples of whole years are in `tests/examples`.

use serde_json::Value;
use std::sync::LazyLock;

static FILE: LazyLock<Value> =
    LazyLock::new(|| serde_json::from_str(include_str!("../tests/energy-examples.json")).unwrap());

/// A component's examples.
pub(crate) fn component(name: &str) -> &'static Value {
    let found = &FILE["components"][name];
    assert!(!found.is_null(), "no component {name}");
    found
}

/// A list of examples; an empty one would prove nothing.
pub(crate) fn list(value: &Value) -> &[Value] {
    let list = value.as_array().unwrap();
    assert!(!list.is_empty());
    list
}

/// A number.
pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("expected a number, found {value}"))
}

/// Compares at the tolerance of components.
#[track_caller]
pub(crate) fn close(what: &str, found: f64, expected: f64) {
    let tolerance = number(&FILE["tolerance"]["component_relative"]) * expected.abs() + 1e-12;
    assert!((found - expected).abs() <= tolerance, "{what}: found {found}, expected {expected}");
}
