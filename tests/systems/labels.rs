//! The labels of the systems: what is printed on them, in whole units, rounded up.

use crate::{system_a, system_b};
use lineside_acceptance::{Verdict, near};
use lineside_core::project::{LabelKind, LabelValues};
use lineside_core::units::{Amps, Volts};
use lineside_study::required_labels::{self, RequiredLabel, Spot};

fn label(verdict: &Verdict, kind: LabelKind, tag: &str) -> RequiredLabel {
    let required = required_labels::study(&verdict.conditions(), verdict.studies());
    let at = Spot::Block(verdict.block(tag));
    let found = required.all.iter().find(|label| label.kind == kind && label.at == at);
    found.unwrap_or_else(|| panic!("no {kind:?} at {tag} in {required:#?}")).clone()
}

#[test]
fn the_cabin() {
    let verdict = system_a::sheet().check();
    // 3 × 37.2 × (1 + 0.0027 × 56)
    let array = label(&verdict, LabelKind::PvVoltage, "Q1");
    assert!(near(array.values.highest_voltage.unwrap().value(), "128.47"));
    assert_eq!(array.values.printed().highest_voltage, Some(Volts::new(129.0)));
    // 40 × 1.2 V nominal, 40 × 1.65 V, 56 V / (40 × 0.5 mΩ + 39 × 0.05 mΩ)
    let storage = label(&verdict, LabelKind::EssDisconnect, "QB");
    assert!(near(storage.values.highest_voltage.unwrap().value(), "66.00"));
    assert!(near(storage.values.fault_current.unwrap().value(), "2551.25"));
    let printed = LabelValues {
        highest_voltage: Some(Volts::new(66.0)),
        nominal_voltage: Some(Volts::new(48.0)),
        fault_current: Some(Amps::new(2552.0)),
        ..LabelValues::NONE
    };
    assert_eq!(storage.values.printed(), printed);
}

#[test]
fn the_home_before_and_after_its_remedy() {
    let mut sheet = system_b::sheet();
    let volts = |verdict: &Verdict| {
        let array = label(verdict, LabelKind::PvVoltage, "C2");
        array.values.printed().highest_voltage
    };
    // 12 × 38.9 V × (1 + 0.0025 × 49) = 523.98 V, and 11 of them 480.32 V
    assert_eq!(volts(&sheet.check()), Some(Volts::new(524.0)));
    sheet.set("S2", "modules_in_series", "11");
    assert_eq!(volts(&sheet.check()), Some(Volts::new(481.0)));
}
