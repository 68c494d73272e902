//! What the program makes of a nameplate: currents from apparent power, and the devices inside a pack.

use crate::{each, near};
use lineside_core::kinds::inside::{Disconnects, JoinKind, Pole, PoleDevice};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::stock;

fn item(name: &str) -> StockItem {
    stock::find(&crate::items(), name).unwrap_or_else(|| panic!("no “{name}”")).clone()
}

fn only_pole(equipment: &Equipment) -> Pole {
    let joins = equipment.inside().joins;
    assert_eq!(joins.len(), 1);
    match &joins[0].what {
        JoinKind::Pole(pole) => (**pole).clone(),
        JoinKind::Solid | JoinKind::Converter => panic!("a pole"),
    }
}

#[test]
fn output_currents_come_from_apparent_power() {
    // 5,000 VA / 230 V = 21.739 A, though only 4,000 W.
    let (_, inverter) =
        each!(Inverter).into_iter().find(|(name, _)| name == "Inverter-charger, 4 kW, 48 V, 230 V").unwrap();
    assert!(near(inverter.output_current().value(), 21.739, 1e-4));
    // 4,000 W / 120 V = 33.333 A where the nameplate gives watts alone.
    let (_, plain) =
        each!(Inverter).into_iter().find(|(name, _)| name == "Inverter-charger, 4 kW, 48 V, 120 V").unwrap();
    assert!(near(plain.output_current().value(), 33.333, 1e-4));
    // 15,000 VA / (√3 × 400 V) = 15,000 / 692.82 = 21.651 A for each line of a 12 kW set.
    let (_, set) = each!(Generator)
        .into_iter()
        .find(|(name, _)| name == "Generator, 12 kW, three-phase 400 V, diesel")
        .unwrap();
    assert!(near(set.rated_current().value(), 21.651, 1e-4));
}

#[test]
fn apparent_power_below_the_watts_is_a_contradiction() {
    for name in ["Inverter-charger, 4 kW, 48 V, 230 V", "Generator, 12 kW, three-phase 400 V, diesel"] {
        let mut it = item(name).equipment;
        let field = it.kind().fields().iter().find(|field| field.key == "apparent_output").unwrap();
        let value = field.read("3.9 kVA", lineside_core::units::text::UnitSystem::Us).unwrap();
        it.set("apparent_output", &value).unwrap();
        assert_eq!(it.contradictions().len(), 1, "{name}: {:?}", it.contradictions());
    }
}

#[test]
fn a_wall_pack_can_be_switched_off_under_load_and_a_rack_pack_cannot() {
    let pole_of = |name: &str| {
        let pole = only_pole(&item(name).equipment);
        assert_eq!(pole.device, PoleDevice::Fuse, "{name}");
        pole.disconnects
    };
    assert_eq!(pole_of("Lithium iron phosphate wall pack, 51.2 V, 100 Ah"), Disconnects::UnderLoad);
    assert_eq!(pole_of("Lithium iron phosphate rack pack, 51.2 V, 100 Ah"), Disconnects::No);
}

#[test]
fn a_disconnect_without_a_fuse_is_a_switch() {
    let Equipment::BatteryBank(mut pack) = item("Lithium iron phosphate wall pack, 51.2 V, 200 Ah").equipment
    else {
        panic!("a battery")
    };
    pack.internal_fuse_rating = None;
    let discharge = pack.discharge_current;
    let equipment = Equipment::from(*pack);
    assert_eq!(equipment.kind(), Kind::BatteryBank);
    let pole = only_pole(&equipment);
    assert_eq!((pole.device, pole.overcurrent, pole.carries), (PoleDevice::Switch, None, discharge));
}
