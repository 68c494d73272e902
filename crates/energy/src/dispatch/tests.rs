//! Single hours: worked by hand, and the two identities for arbitrary ones.

use super::connected::{self, Connected};
use super::island;
use super::moment::{Fixed, Flows, InverterNow, Moment};
use crate::battery::{Bank, BatteryHour, Cell, Resting, Store};
use crate::converter::Converter;
use crate::inverter::Inverter;
use crate::loads::LoadHour;
use crate::tables::Tables;
use crate::weather::{Weather, WeatherHour};
use lineside_codes::Codes;
use lineside_codes::tables::LossLaw;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{AmpHours, Percent, VoltAmps, Watts};
use proptest::prelude::*;
use std::sync::LazyLock;

struct Rig {
    store: Store,
    battery: BatteryHour,
}

/// 16 lithium cells of 100 Ah at 20 °C.
static RIG: LazyLock<Rig> = LazyLock::new(|| {
    let (codes, tables) = (Codes::load().unwrap(), Tables::load().unwrap());
    let cell = Cell::usual(&codes, Chemistry::LithiumIronPhosphate).unwrap();
    let bank = Bank::new(cell, 16, AmpHours::new(100.0), &tables.defaults);
    let warm = Weather::of(vec![WeatherHour { celsius: 20.0, ..WeatherHour::default() }; 24]);
    Rig { store: Store::new(&bank), battery: BatteryHour::year(&bank, &warm)[0] }
});

/// An inverter without loss in proportion, so that sums can be done by hand: 5 % of the square at 2000 VA, 20 W idle.
fn inverter() -> InverterNow {
    let it = Inverter {
        apparent: VoltAmps::new(2000.0),
        continuous: Watts::new(2000.0),
        idle: Watts::new(20.0),
        search: None,
        law: LossLaw::of_shares([0.0, 0.0, 0.05]),
        at_altitude: Percent::new(100.0),
        hot: None,
    };
    InverterNow { law: it.inverting(1.0), most: 2000.0, idle: 20.0 }
}

fn moment<'a>(fixed: &'a Fixed<'a>, charge: f64) -> Moment<'a> {
    let rest: Resting = RIG.store.at_rest(charge * 100.0);
    Moment {
        fixed,
        battery: &RIG.battery,
        volts: RIG.store.charging_voltage(&rest),
        rest,
        latched: false,
        sun_dc: 0.0,
        sun_ac: 0.0,
        loads: LoadHour::default(),
        overdue: 0.0,
        opportunity: 0.0,
        inverter: Some(inverter()),
    }
}

fn fixed(charger_amps: f64) -> Fixed<'static> {
    let converter = Converter::new(LossLaw::of_shares([0.0, 0.10, 0.0]), Watts::new(1000.0));
    let charger = (charger_amps > 0.0).then_some((converter, charger_amps));
    Fixed { store: &RIG.store, charger, standing: 5.0 }
}

fn loads(critical: f64, normal: f64, dc: f64) -> LoadHour {
    LoadHour { critical, normal, reactive: 0.0, dc }
}

#[track_caller]
fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "found {found}, expected {expected}");
}

/// Both identities: what comes in goes out, on the battery bus and on the AC side.
fn balances(f: &Flows) -> (f64, f64) {
    let dc = f.sun_dc + f.charger_out + f.discharge
        - f.inverter_in
        - f.idle_dc
        - f.charge
        - f.dc_served
        - f.standing;
    let ac = f.sun_ac + f.inverter_out + f.source
        - (f.critical + f.normal + f.waited)
        - f.charger_in
        - f.export
        - f.idle_ac;
    (dc, ac)
}

#[test]
fn the_sun_carries_everything_and_charges() {
    let fixed = fixed(0.0);
    let at = Moment { sun_dc: 1000.0, loads: loads(100.0, 300.0, 50.0), ..moment(&fixed, 0.5) };
    let f = island::flows(&at);
    // 400 W AC take 400 + 0.05 × 400²/2000 = 404 W and 20 W idle; with 50 + 5 W DC: 479 W. The rest charges.
    near(f.inverter_in, 404.0);
    near(f.charge, 1000.0 - 479.0);
    near(f.curtailed, 0.0);
    assert_eq!((f.critical, f.normal, f.dc_served, f.standing), (100.0, 300.0, 50.0, 5.0));
}

#[test]
fn surplus_serves_what_can_wait_only_when_the_bank_takes_no_more() {
    let fixed = fixed(0.0);
    // Full: nothing charges. 1000 − 20 − 5 = 975 W are left; 500 W wait and take 500 + 0.05 × 500²/2000 = 506.25 W.
    let at = Moment { sun_dc: 1000.0, opportunity: 500.0, ..moment(&fixed, 1.0) };
    let f = island::flows(&at);
    near(f.waited, 500.0);
    near(f.curtailed, 975.0 - 506.25);
    near(f.charge, 0.0);
    let half_full = Moment { sun_dc: 1000.0, opportunity: 500.0, ..moment(&fixed, 0.5) };
    near(island::flows(&half_full).waited, 0.0);
}

#[test]
fn loads_go_short_in_their_order_when_the_bank_is_low() {
    let fixed = fixed(0.0);
    // Above the floor of 20 % 2 Ah may be taken, some 103 W.
    let at = Moment { loads: loads(100.0, 300.0, 30.0), ..moment(&fixed, 0.22) };
    let f = island::flows(&at);
    assert!(f.ran_down);
    near(f.standing, 5.0);
    near(f.dc_served, 30.0);
    let left = f.discharge - 35.0 - 20.0;
    // What is left beyond the idle draw carries AC: critical loads only get something.
    assert!(f.critical > 0.0 && f.critical < 100.0 && f.normal == 0.0, "{f:?}");
    near(f.critical + 0.05 * f.critical * f.critical / 2000.0, left);
    // Too little for the idle draw: the AC side falls away.
    let lower = Moment { loads: loads(100.0, 0.0, 30.0), ..moment(&fixed, 0.21) };
    let f = island::flows(&lower);
    assert_eq!((f.critical, f.idle_dc, f.inverter_in), (0.0, 0.0, 0.0));
    // The rate binds before the floor: short, but not run down.
    let greedy = Moment { loads: loads(2000.0, 0.0, 3000.0), ..moment(&fixed, 0.9) };
    let f = island::flows(&greedy);
    assert!(!f.ran_down && f.critical < 2000.0);
}

#[test]
fn a_latched_bank_serves_nothing_but_standing_use() {
    let fixed = fixed(0.0);
    let at = Moment { latched: true, sun_dc: 200.0, loads: loads(100.0, 0.0, 30.0), ..moment(&fixed, 0.22) };
    let f = island::flows(&at);
    assert_eq!((f.critical, f.dc_served, f.standing), (0.0, 0.0, 5.0));
    near(f.charge, 195.0);
}

#[test]
fn sun_on_the_ac_side_serves_charges_and_is_curtailed() {
    let fixed = fixed(100.0);
    // 600 W of sun, 200 W of load: 400 W are left for the charger, which gives 400/1.1 W; idle and standing use take 25 W.
    let at = Moment { sun_ac: 600.0, loads: loads(200.0, 0.0, 0.0), ..moment(&fixed, 0.5) };
    let f = island::flows(&at);
    near(f.charger_out, 400.0 / 1.1);
    near(f.charge, 400.0 / 1.1 - 25.0);
    near(f.critical, 200.0);
    let none = Moment { sun_ac: 600.0, inverter: None, ..moment(&fixed, 0.5) };
    near(island::flows(&none).curtailed, 600.0);
}

fn generator(most: f64) -> Connected {
    Connected { most, charge_to: 1.0, sun_ac: false, interactive: false, export: 0.0 }
}

#[test]
fn a_source_carries_loads_and_charges() {
    let fixed = fixed(20.0);
    let at = Moment { loads: loads(500.0, 0.0, 100.0), ..moment(&fixed, 0.5) };
    let f = connected::flows(&at, &generator(5000.0));
    // The charger gives 20 A at the charging voltage; DC loads and standing use take 105 W of it.
    let charger = 20.0 * at.volts;
    near(f.charger_out, charger);
    near(f.charge, charger - 105.0);
    near(f.source, 520.0 + 1.1 * charger);
    near(f.idle_ac, 20.0);
}

#[test]
fn a_small_source_is_helped_by_the_bank() {
    let fixed = fixed(20.0);
    let at = Moment { loads: loads(1500.0, 0.0, 0.0), ..moment(&fixed, 0.9) };
    let f = connected::flows(&at, &generator(1000.0));
    // 1520 W are wanted, 520 W come from the bank: 520 + 0.05 × 520²/2000 = 526.76 W and 5 W standing use.
    near(f.source, 1000.0);
    near(f.inverter_out, 520.0);
    near(f.discharge, 526.76 + 5.0);
    near(f.critical, 1500.0);
    near(f.charger_out, 0.0);
}

#[test]
fn an_interactive_system_offsets_and_exports_up_to_its_limit() {
    let fixed = fixed(20.0);
    let utility =
        Connected { most: f64::INFINITY, charge_to: 0.8, sun_ac: true, interactive: true, export: 100.0 };
    let at = Moment { sun_dc: 1500.0, loads: loads(300.0, 0.0, 0.0), ..moment(&fixed, 1.0) };
    let f = connected::flows(&at, &utility);
    // Load and idle take 320 W, export 100 W: the inverter passes 420 W on, the rest of the sun is curtailed.
    near(f.inverter_out, 420.0);
    near(f.export, 100.0);
    near(f.source, 0.0);
    near(f.curtailed, 1495.0 - (420.0 + 0.05 * 420.0 * 420.0 / 2000.0));
    // Below its mark the utility charges, above it does not.
    let night = Moment { ..moment(&fixed, 0.5) };
    assert!(connected::flows(&night, &utility).charge > 0.0);
    let high = Moment { ..moment(&fixed, 0.9) };
    near(connected::flows(&high, &utility).charge, 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    /// Nothing is made and nothing is lost on either bus, whatever the hour.
    #[test]
    fn both_buses_balance(
        charge in 0.0..1.0_f64,
        sun in (0.0..3000.0_f64, 0.0..3000.0_f64),
        load in (0.0..2500.0_f64, 0.0..2500.0_f64, 0.0..500.0_f64),
        later in (0.0..800.0_f64, 0.0..800.0_f64),
        charger_amps in 0.0..60.0_f64,
        state in 0..4_u8,
        source in (0.0..4000.0_f64, 0.3..1.0_f64, 0.0..1000.0_f64, 0..6_u8),
    ) {
        let fixed = fixed(if charger_amps < 10.0 { 0.0 } else { charger_amps });
        let at = Moment {
            sun_dc: sun.0,
            sun_ac: if sun.1 < 1500.0 { 0.0 } else { sun.1 },
            loads: loads(load.0, load.1, load.2),
            overdue: if later.0 < 400.0 { 0.0 } else { later.0 },
            opportunity: if later.0 < 400.0 { later.1 } else { 0.0 },
            latched: state == 1,
            inverter: (state != 2).then(inverter),
            ..moment(&fixed, charge)
        };
        let terms = Connected {
            most: if source.3 == 5 { f64::INFINITY } else { source.0 },
            charge_to: source.1,
            sun_ac: source.3 % 2 == 0,
            interactive: source.3 >= 3,
            export: if source.3 >= 3 { source.2 } else { 0.0 },
        };
        for f in [island::flows(&at), connected::flows(&at, &terms)] {
            let (dc, ac) = balances(&f);
            prop_assert!(dc.abs() < 1e-8 && ac.abs() < 1e-8, "{dc} {ac} {f:?}");
            for flow in [
                f.sun_dc, f.sun_ac, f.charger_in, f.charger_out, f.inverter_in, f.inverter_out, f.charge, f.discharge,
                f.dc_served, f.standing, f.critical, f.normal, f.waited, f.source, f.export, f.curtailed,
            ] {
                prop_assert!(flow >= -1e-9 && flow.is_finite(), "{f:?}");
            }
            prop_assert!(f.charge <= at.most_charge(1.0).watts + 1e-9);
            prop_assert!(f.discharge <= at.most_discharge().watts + 1e-9);
            prop_assert!(f.sun_dc <= at.sun_dc + 1e-9 && f.sun_ac <= at.sun_ac + 1e-9);
            prop_assert!(f.critical <= at.loads.critical + 1e-9 && f.normal <= at.loads.normal + 1e-9);
            let sun = at.sun_dc + at.sun_ac - f.sun_dc - f.sun_ac - f.curtailed;
            prop_assert!(sun.abs() < 1e-8, "sun {sun} {f:?}");
        }
        prop_assert!(connected::flows(&at, &terms).source <= terms.most + 1e-8);
    }
}
