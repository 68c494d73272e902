//! How often the neutral is bonded.

use crate::support::{BREAKER, GENERATOR, INVERTER, PANEL, SERVICE, Sheet, UTILITY};
use lineside_core::kinds::field::Value;
use lineside_study::BondKind;

/// A service panel with its main bonding jumper, an inverter behind it, a panel behind that.
fn home(bonding: &'static str) -> Sheet {
    let mut sheet = Sheet::new(&[("U1", UTILITY), ("QM", BREAKER), ("P2", PANEL)], &[]);
    sheet.put("P1", SERVICE, &[("bond", Value::Choice("bonded"))]);
    sheet.put("INV1", INVERTER, &[("neutral_bonding", Value::Choice(bonding))]);
    for (from, to) in
        [("U1.out", "P1.feed"), ("P1.tap1", "QM.line"), ("QM.load", "INV1.in1"), ("INV1.out", "P2.feed")]
    {
        sheet.join(from, to);
    }
    sheet
}

#[test]
fn a_bond_relay_beside_a_service_bond() {
    let sheet = home("while_inverting");
    // Utility present: the service bond alone. Lost: the neutral goes solid through the inverter, whose relay closes.
    assert_eq!(sheet.bonds(), (2, false, 2));
    let studied = sheet.studied();
    let case = studied.all().find_map(|(_, found)| found.neutrals.most.clone()).unwrap();
    assert!(case.live.is_empty());
    assert_eq!(case.inverting.len(), 1);
    let kinds: Vec<BondKind> = case.bonds.iter().map(|bond| bond.kind).collect();
    assert_eq!(kinds, [BondKind::Panel, BondKind::Relay]);

    assert_eq!(home("never").bonds(), (1, false, 2));
    assert_eq!(home("always").bonds(), (2, false, 2));
}

#[test]
fn an_inverter_alone_needs_a_bond_somewhere() {
    for (bonding, bond, expected) in [
        ("never", "separate", (0, true, 1)),
        ("while_inverting", "separate", (1, false, 1)),
        ("never", "bonded", (1, false, 1)),
        ("always", "bonded", (2, false, 1)),
    ] {
        let mut sheet = Sheet::new(&[], &[]);
        sheet.put("INV1", INVERTER, &[("neutral_bonding", Value::Choice(bonding))]);
        sheet.put("P1", PANEL, &[("bond", Value::Choice(bond))]);
        sheet.join("INV1.out", "P1.feed");
        assert_eq!(sheet.bonds(), expected, "{bonding}, {bond}");
    }
}

#[test]
fn a_jumper_of_its_own_counts() {
    let mut sheet = Sheet::new(&[], &[]);
    sheet.put("P1", PANEL, &[("bond", Value::Choice("separate"))]);
    sheet.put("INV2", INVERTER, &[("neutral_bonding", Value::Choice("never"))]);
    sheet.join("INV2.out", "P1.feed");
    assert_eq!(sheet.bonds(), (0, true, 1));
    sheet.put("E1", "Bonding jumper, AC neutral, 8 AWG", &[]);
    sheet.join("P1.bond", "E1.system");
    assert_eq!(sheet.bonds(), (1, false, 1));
}

/// A service and a generator on a transfer switch, with a panel behind it.
fn transfer(switched: &'static str, frame: &'static str, panel: &'static str, cord: &'static str) -> Sheet {
    let mut sheet = Sheet::new(&[("U1", UTILITY)], &[]);
    sheet.put("P1", SERVICE, &[("bond", Value::Choice("bonded"))]);
    sheet.put(
        "G1",
        GENERATOR,
        &[("frame_bond", Value::Choice(frame)), ("cord_connected", Value::Choice(cord))],
    );
    sheet.put("T1", "Transfer switch, manual, 60 A, 240 V", &[("switched_neutral", Value::Choice(switched))]);
    sheet.put("P2", PANEL, &[("bond", Value::Choice(panel))]);
    for (from, to) in
        [("U1.out", "P1.feed"), ("P1.tap1", "T1.normal"), ("G1.out", "T1.standby"), ("T1.load", "P2.feed")]
    {
        sheet.join(from, to);
    }
    sheet
}

#[test]
fn a_bonded_generator_behind_a_transfer_switch() {
    // Lines switched only: service bond and frame bond are joined over the neutral, whatever the position.
    assert_eq!(transfer("no", "bonded", "separate", "no").bonds().0, 2);
    // Either remedy: the frame bond lifted, or the neutral switched.
    let lifted = transfer("no", "floating", "separate", "no").bonds();
    assert_eq!((lifted.0, lifted.1), (1, false));
    let switched = transfer("yes", "bonded", "separate", "no").bonds();
    assert_eq!((switched.0, switched.1), (1, false));
    // Both is one too many: on the generator no bond is left.
    let both = transfer("yes", "floating", "separate", "no").bonds();
    assert_eq!((both.0, both.1), (1, true));
    // A set on a cord is there only while it runs; then it makes two.
    assert_eq!(transfer("no", "bonded", "separate", "yes").bonds().0, 2);
}

#[test]
fn a_supply_without_neutral_is_not_asked() {
    let mut sheet = Sheet::new(&[], &[]);
    sheet.put(
        "INV1",
        INVERTER,
        &[("neutral_bonding", Value::Choice("never")), ("ac_system", Value::Choice("single_240"))],
    );
    sheet.put("P1", PANEL, &[("bond", Value::Choice("separate"))]);
    sheet.join("INV1.out", "P1.feed");
    assert_eq!(sheet.bonds(), (0, false, 0));
}
