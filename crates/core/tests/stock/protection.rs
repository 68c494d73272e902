//! Breakers, fuses, switches, bus bars and the small things round them, and DC loads and converters.

use crate::{each, near, same};
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::common::{Fitted, LoadBreak, Polarity, Separation, TripClass};
use lineside_core::kinds::curve::ShareAtTemperature;
use lineside_core::kinds::fuse::{Fuse, FuseClass, FuseMount};
use lineside_core::kinds::ground_fault_device::GroundFaultType;
use lineside_core::kinds::meter::MeterType;
use lineside_core::kinds::surge_arrester::ArresterCurrent;
use lineside_core::units::Amps;

/// NEC 240.6(A), as far as the stock goes.
const NEC: &[f64] = &[
    10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0,
    175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0,
];
/// IEC 60898-1 for miniature breakers.
const MINIATURE: &[f64] = &[6.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0];
/// IEC 60059, for molded-case breakers, and what is sold beside both series for DC.
const OTHER_DC: &[f64] = &[32.0, 63.0, 160.0];

/// What the trade's classes of DC device interrupt at their voltage.
const DC_CLASSES: &[(f64, &[f64])] = &[
    (80.0, &[10_000.0]),
    (125.0, &[10_000.0, 25_000.0]),
    (150.0, &[10_000.0]),
    (250.0, &[20_000.0]),
    (300.0, &[10_000.0]),
];

fn has(list: &[f64], value: Amps) -> bool {
    list.contains(&value.value())
}

#[test]
fn breaker_ratings_are_of_a_series() {
    for (name, it) in each!(Breaker) {
        let miniature = matches!(it.trip, TripClass::TypeB | TripClass::TypeC | TripClass::TypeD);
        let known = if miniature {
            has(MINIATURE, it.rating)
        } else if it.dc_voltage.is_some() {
            has(NEC, it.rating) || has(OTHER_DC, it.rating)
        } else {
            has(NEC, it.rating)
        };
        assert!(known, "{name}");
    }
}

#[test]
fn breakers_interrupt_what_their_class_does() {
    for (name, it) in each!(Breaker) {
        // A voltage without an interrupting rating says nothing, and the other way round.
        assert_eq!(it.dc_voltage.is_some(), it.interrupting_dc.is_some(), "{name}");
        assert_eq!(it.ac_voltage.is_some(), it.interrupting_ac.is_some(), "{name}");
        if let (Some(volts), Some(amps)) = (it.dc_voltage, it.interrupting_dc) {
            let class = DC_CLASSES.iter().find(|(class, _)| same(volts.value(), *class));
            assert!(class.is_some_and(|(_, ratings)| has(ratings, amps)), "{name}");
            // Above 150 V one gap is not enough: two poles share the arc.
            assert_eq!(volts.value() > 150.0, it.poles == 2, "{name}");
        }
        if let Some(amps) = it.interrupting_ac {
            assert!((6000.0..=25_000.0).contains(&amps.value()), "{name}");
        }
    }
}

#[test]
fn only_breakers_for_the_array_mind_the_direction() {
    let mut sensitive = 0;
    for (name, it) in each!(Breaker) {
        if it.polarity == Polarity::Sensitive {
            // Magnets that blow the arc one way: made for PV, and marked line and load.
            assert_eq!((it.pv_listed, it.marked_line_load), (Some(Fitted::Yes), Some(Fitted::Yes)), "{name}");
            sensitive += 1;
        }
        assert!(it.polarity == Polarity::None || it.ac_voltage.is_none(), "{name}: AC has no direction");
    }
    assert!(sensitive >= 4);
    // For every sensitive rating at 150 V up to 30 A there is one without: a battery circuit needs it.
    let all = each!(Breaker);
    let at = |amps: f64, polarity| {
        all.iter().any(|(_, it)| {
            same(it.rating.value(), amps)
                && it.polarity == polarity
                && it.dc_voltage.is_some_and(|volts| same(volts.value(), 150.0))
        })
    };
    assert!(
        [15.0, 20.0, 25.0, 30.0]
            .iter()
            .all(|amps| at(*amps, Polarity::Sensitive) && at(*amps, Polarity::None))
    );
}

#[test]
fn warm_boxes_take_from_a_breaker() {
    let falls = |curve: &Option<ShareAtTemperature>| {
        curve.as_ref().is_some_and(|curve| {
            let points = &curve.0;
            points.windows(2).all(|pair| pair[1].y <= pair[0].y)
                && points.last().is_some_and(|last| (70.0..95.0).contains(&last.y))
        })
    };
    for (name, it) in each!(Breaker) {
        // Bimetal opens early in the heat; hydraulic-magnetic ones only because their terminals must stay cool.
        assert!(falls(&it.rating_by_temperature), "{name}");
        let last = it.rating_by_temperature.as_ref().unwrap().0.last().unwrap().y;
        assert_eq!(last > 80.0, it.trip == TripClass::HydraulicMagnetic, "{name}");
    }
}

#[test]
fn the_usual_breakers_are_there() {
    let all = each!(Breaker);
    let dc = |amps: f64, volts: f64| {
        all.iter().any(|(_, it)| {
            same(it.rating.value(), amps) && it.dc_voltage.is_some_and(|it| same(it.value(), volts))
        })
    };
    for (amps, volts) in [
        (20.0, 80.0),
        (80.0, 125.0),
        (225.0, 125.0),
        (25.0, 150.0),
        (70.0, 150.0),
        (400.0, 125.0),
        (20.0, 300.0),
    ] {
        assert!(dc(amps, volts), "{amps} A, {volts} V DC");
    }
    for amps in [15.0, 20.0, 30.0, 50.0, 60.0, 100.0, 200.0] {
        let there = all.iter().any(|(_, it)| {
            same(it.rating.value(), amps)
                && it.poles == 2
                && it.ac_voltage.is_some_and(|it| same(it.value(), 240.0))
        });
        assert!(there, "{amps} A, 240 V AC");
    }
    assert!(
        all.iter().any(|(_, it)| it.plug_in == Some(Fitted::No) && it.ac_voltage.is_some()),
        "one to feed back through"
    );
}

#[test]
fn fuses_interrupt_what_their_class_does() {
    for (name, it) in each!(Fuse) {
        let (volts, amps) = (it.dc_voltage.unwrap().value(), it.interrupting_dc.unwrap().value());
        let fits = match it.class {
            FuseClass::Strip => [(32.0, 2000.0), (58.0, 2500.0)].contains(&(volts, amps)),
            FuseClass::Gpv => same(volts, 1000.0) && amps >= 20_000.0,
            // The element melts in a thousandth of a second, long before the current has risen.
            FuseClass::ClassT => [125.0, 160.0].contains(&volts) && [20_000.0, 50_000.0].contains(&amps),
            FuseClass::Gg => same(volts, 250.0) && amps >= 20_000.0,
            FuseClass::ClassJ | FuseClass::Other => false,
        };
        assert!(fits, "{name}: {volts} V, {amps} A");
        assert_eq!(
            it.class == FuseClass::Strip,
            !it.is_current_limiting() && it.class != FuseClass::Gg,
            "{name}"
        );
    }
}

#[test]
fn fuse_ratings_and_mounts_fit_their_class() {
    const GPV: &[f64] = &[10.0, 15.0, 20.0, 25.0, 30.0];
    const GG: &[f64] = &[40.0, 63.0, 80.0, 100.0];
    for (name, it) in each!(Fuse) {
        let known = match it.class {
            FuseClass::Gpv => has(GPV, it.rating),
            FuseClass::Gg => has(GG, it.rating),
            FuseClass::ClassT | FuseClass::ClassJ | FuseClass::Strip | FuseClass::Other => {
                has(NEC, it.rating) && it.rating.value() >= 60.0
            }
        };
        assert!(known, "{name}");
        let mount = match it.class {
            FuseClass::Gpv | FuseClass::Gg => it.mount == FuseMount::TouchSafeHolder,
            FuseClass::Strip => it.mount == FuseMount::BoltDown,
            FuseClass::ClassT | FuseClass::ClassJ | FuseClass::Other => {
                it.mount != FuseMount::TouchSafeHolder
            }
        };
        assert!(mount, "{name}");
        assert_eq!(
            it.lockable.is_some(),
            it.mount == FuseMount::FusedSwitch,
            "{name}: only a handle can be locked"
        );
    }
}

#[test]
fn lithium_banks_find_their_first_device() {
    let fuses = each!(Fuse);
    let switched = |it: &Fuse, least: f64| {
        it.mount == FuseMount::FusedSwitch
            && it.class == FuseClass::ClassT
            && it.interrupting_dc.unwrap().value() >= least
    };
    for amps in [100.0, 150.0, 200.0, 250.0, 300.0, 400.0] {
        for least in [20_000.0, 50_000.0] {
            let there = fuses.iter().any(|(_, it)| same(it.rating.value(), amps) && switched(it, least));
            assert!(there, "fused switch, {amps} A, {least} A");
        }
    }
    let strips: Vec<&Fuse> =
        fuses.iter().map(|(_, it)| &**it).filter(|it| it.class == FuseClass::Strip).collect();
    assert!(
        strips.iter().any(|it| it.dc_voltage.unwrap().value() < 66.0),
        "strip fuses stop below 40 nickel-iron cells"
    );
}

#[test]
fn switches_break_what_they_say() {
    for (name, it) in each!(Switch) {
        // Each is made for DC or for AC, so that nobody takes an AC switch for the array.
        assert!(it.dc_voltage.is_some() != it.ac_voltage.is_some(), "{name}");
        // Above 150 V DC one gap is not enough.
        assert!(it.dc_voltage.is_none_or(|volts| volts.value() <= 150.0) || it.poles >= 2, "{name}");
        assert!(it.ac_voltage.is_none() || it.poles >= 2, "{name}: both lines open together");
        // A switch that carries a lock may be the disconnect out of sight; then it must open under load.
        assert!(it.lockable == Some(Fitted::No) || it.load_break == LoadBreak::Yes, "{name}");
        assert_eq!(it.polarity, Polarity::None, "{name}");
        assert_eq!(it.pv_listed.is_some(), it.dc_voltage.is_some(), "{name}");
    }
    let all = each!(Switch);
    for (amps, volts, circuits) in [(30.0, 600.0, 1), (30.0, 600.0, 2), (32.0, 1000.0, 1), (60.0, 150.0, 1)] {
        let there = all.iter().any(|(_, it)| {
            same(it.rating.value(), amps)
                && it.circuits == circuits
                && it.dc_voltage.is_some_and(|it| same(it.value(), volts))
        });
        assert!(there, "{amps} A, {volts} V DC, {circuits}");
    }
    for amps in [60.0, 100.0, 200.0] {
        assert!(
            all.iter().any(|(_, it)| same(it.rating.value(), amps) && it.ac_voltage.is_some()),
            "{amps} A AC"
        );
    }
    assert!(
        all.iter().any(|(_, it)| it.load_break == LoadBreak::No),
        "one that may not be opened under load"
    );
}

#[test]
fn bus_bars_have_room_and_are_braced() {
    let bars = each!(BusBar);
    for (name, it) in &bars {
        assert!((6..=12).contains(&it.taps) && (100.0..=600.0).contains(&it.rating.value()), "{name}");
        // Forces between bars grow with the square of the current; small bars are braced for less.
        let braced = it.short_circuit_rating.unwrap().value();
        assert!((5000.0..=50_000.0).contains(&braced) && braced >= 10.0 * it.rating.value(), "{name}");
        // Covers are asked for above 60 V; a bar for 60 V and less carries them too.
        assert!(it.covered == Some(Fitted::Yes) || name.contains("bare"), "{name}");
    }
    let at_least = |amps: f64, volts: f64, braced: f64| {
        let fits = |it: &BusBar| {
            it.rating.value() >= amps
                && it.voltage.unwrap().value() >= volts
                && it.short_circuit_rating.unwrap().value() >= braced
        };
        bars.iter().any(|(_, it)| fits(it))
    };
    // 40 nickel-iron cells equalize at 66 V; three lithium packs give 20 kA.
    assert!(at_least(400.0, 66.0, 10_000.0) && at_least(600.0, 58.4, 25_000.0));
    assert!(
        bars.iter().any(|(_, it)| it.voltage.unwrap().value() < 66.0),
        "one that nickel-iron overcharges"
    );
}

#[test]
fn joints_are_rated_for_the_circuits_they_join() {
    for (name, it) in each!(Junction) {
        // Branch connectors sit in the array, splice boxes behind it: insulation of 600 V and more.
        assert!(it.voltage.unwrap().value() >= 600.0 && it.rating.value() >= 30.0, "{name}");
    }
}

#[test]
fn shunts_show_fifty_millivolts() {
    for (name, it) in each!(Meter) {
        assert_eq!(it.resistance.is_some(), it.kind == MeterType::Shunt, "{name}");
        if let Some(resistance) = it.resistance {
            let shown = it.rating * resistance;
            assert!(near(shown.value(), 0.050, 0.001), "{name}: {shown}");
            // Higher than the equalize voltage of 40 nickel-iron cells.
            assert!(it.voltage.unwrap().value() > 66.0, "{name}");
        }
    }
}

#[test]
fn arresters_conduct_above_their_continuous_voltage() {
    let all = each!(SurgeArrester);
    for (name, it) in &all {
        // Varistors limit at three to six times what they bear for good.
        let ratio = it.protection_voltage.unwrap() / it.continuous_voltage;
        assert!((3.0..7.0).contains(&ratio), "{name}: {ratio}");
        assert!(it.discharge_current.unwrap().value() >= 5000.0, "{name}");
    }
    for (current, volts) in [
        (ArresterCurrent::Dc, 150.0),
        (ArresterCurrent::Dc, 600.0),
        (ArresterCurrent::Dc, 1000.0),
        (ArresterCurrent::Ac, 275.0),
    ] {
        assert!(
            all.iter().any(|(_, it)| it.current == current && same(it.continuous_voltage.value(), volts)),
            "{volts} V"
        );
    }
}

#[test]
fn ground_fault_devices_open_before_harm() {
    for (name, it) in each!(GroundFaultDevice) {
        let trip = it.trip_current.value();
        match it.kind {
            // 30 mA is below what makes a heart fibrillate; every one here protects persons.
            GroundFaultType::ResidualCurrent => {
                assert!(trip <= 0.030 && it.ac_voltage.is_some() && it.residual_type.is_some(), "{name}");
            }
            // Fire protection: up to 1 A for circuits to 25 kW.
            GroundFaultType::DcInterrupter => {
                assert!((0.3..=1.0).contains(&trip) && it.dc_voltage.is_some(), "{name}");
            }
        }
        assert_eq!(it.breaker_rating.is_some(), it.interrupting.is_some(), "{name}");
        assert!(it.breaker_rating.is_none_or(|rating| rating == it.rating), "{name}");
        assert_eq!(it.poles, Some(2), "{name}: both conductors open");
    }
}

#[test]
fn electrodes_and_jumpers_are_of_a_usual_size() {
    for (name, it) in each!(Electrode) {
        // NEC 250.53 asks for a second rod above 25 Ω.
        assert!((1.0..=25.0).contains(&it.resistance.unwrap().value()), "{name}");
    }
    for (name, it) in each!(BondingJumper) {
        assert!(it.size.is_some(), "{name}");
    }
}

#[test]
fn dc_converters_fit_the_bank_they_hang_on() {
    for (name, it) in each!(DcConverter) {
        let efficiency = it.efficiency.unwrap().share();
        // One stage loses 8 to 13 %; what comes out cannot be more than what goes in.
        assert!((0.85..0.95).contains(&efficiency), "{name}");
        assert!(
            it.input_current().value()
                > it.output_current.value() * it.output_voltage.value() / it.max_input_voltage.value(),
            "{name}"
        );
        assert!(it.min_input_voltage > it.output_voltage, "{name}: all of them step down");
        let idle = it.own_consumption.unwrap() / (it.output_voltage * it.output_current);
        assert!(idle < 0.01, "{name}");
    }
    let all = each!(DcConverter);
    // 40 cells: 40 V when empty to the last, 66 V while equalizing, 68.4 V in a room of 10 °C.
    let wide = all
        .iter()
        .filter(|(_, it)| it.min_input_voltage.value() <= 40.0 && it.max_input_voltage.value() >= 68.4);
    assert!(wide.count() >= 2);
    assert!(all.iter().any(|(_, it)| it.separation == Some(Separation::Galvanic)));
}

#[test]
fn dc_loads_have_a_window_round_their_class() {
    let loads = each!(DcLoad);
    for (name, it) in &loads {
        let (low, high) = (it.min_voltage.unwrap().value(), it.max_voltage.unwrap().value());
        // Lithium of one class from 3.00 to 3.55 V per cell must fit, or the load is good for nothing.
        let fits = [4.0, 8.0, 16.0].iter().any(|cells| low <= cells * 3.0 && high >= cells * 3.55);
        assert!(fits, "{name}");
    }
    for cells in [4.0, 8.0, 16.0] {
        assert!(loads.iter().any(|(_, it)| it.max_voltage.unwrap().value() >= cells * 3.55
            && it.min_voltage.unwrap().value() <= cells * 3.0));
    }
    assert!(
        loads.iter().any(|(_, it)| it.max_voltage.unwrap().value() >= 68.4),
        "one for nickel-iron of 48 V"
    );
}
