//! Sums as people type them, and everything that is refused.

use super::*;
use UnitSystem::{Si, Us};

fn reads(typed: &str, unit: Unit, system: UnitSystem, expected: f64) {
    match read(typed, unit, system) {
        Ok(value) => assert!((value - expected).abs() < 1e-9, "{typed}: {value}, not {expected}"),
        Err(fault) => panic!("{typed}: {fault}"),
    }
}

fn says(typed: &str, unit: Unit) -> String {
    match read(typed, unit, Us) {
        Ok(value) => panic!("{typed} was read as {value}"),
        Err(fault) => fault.to_string(),
    }
}

#[test]
fn sums() {
    // 3 × 46.2 = 138.6
    for typed in ["3*46.2 V", "3 × 46.2V", "3x46.2 V", "46.2 V x 3", "3*(46.2) V", "3*46.2", "1*(3*46.2 V)"]
    {
        reads(typed, Unit::Volt, Us, 138.6);
    }
    // (2 + 1) × 5 = 15
    reads("(2+1)*5 A", Unit::Amp, Us, 15.0);
    // 60 ft × 0.3048 = 18.288 m; and 2 m more are 20.288 m
    reads("60 ft", Unit::Meter, Si, 18.288);
    reads("60 ft + 2 m", Unit::Meter, Si, 20.288);
    // Without units the result is in feet: (40 + 20) × 0.3048 = 18.288 m
    reads("40+20", Unit::Meter, Us, 18.288);
    reads("(40+20) ft", Unit::Meter, Si, 18.288);
    // Products go before sums, and both from left to right.
    reads("100 − 2*20 + 5", Unit::Amp, Us, 65.0);
    reads("100 A ÷ 5 / 2", Unit::Amp, Us, 10.0);
    // 1,200 W + 0.3 kW = 1500 W; 2 × −5 = −10; 1e3 ÷ 4 = 250
    reads("1,200 W + 0.3 kW", Unit::Watt, Us, 1500.0);
    reads("2 * -5 %", Unit::Percent, Us, -10.0);
    reads("1e3/4", Unit::Watt, Us, 250.0);
    reads("-(2+3) %", Unit::Percent, Us, -5.0);
    // A unit with a stroke is one unit: 2 × 5 mV/°C = 0.01 V/°C
    reads("2*5 mV/°C", Unit::VoltPerCelsius, Us, 0.01);
    // No dust: 0.1 + 0.2 is kept as 0.3.
    assert_eq!(read("0.1 A + 0.2 A", Unit::Amp, Us), Ok(0.3));
}

#[test]
fn a_number_alone_is_read_as_before() {
    for (typed, unit) in
        [("150 V", Unit::Volt), ("-31", Unit::Celsius), ("5 mV/K", Unit::VoltPerCelsius), ("1e2", Unit::Amp)]
    {
        assert_eq!(read(typed, unit, Us).ok(), text::read(typed, unit, Us).ok(), "{typed}");
    }
    assert_eq!(
        says("sixty", Unit::Amp),
        text::read("sixty", Unit::Amp, Us).map_or_else(|fault| fault.to_string(), |_| String::new())
    );
    assert!(says("sixty-one", Unit::Amp).contains("expected a number such as"));
}

#[test]
fn plain_temperatures_are_reckoned_and_others_refused() {
    // 20 + 5 = 25 °C; (68 + 9) °F = 77 °F = 25 °C
    reads("20+5", Unit::Celsius, Si, 25.0);
    reads("68+9", Unit::Celsius, Us, 25.0);
    reads("(68+9) °F", Unit::Celsius, Si, 25.0);
    for typed in ["20 °C + 5 °C", "2*20 °C", "-(20 °C)", "20 °C/2"] {
        assert!(says(typed, Unit::Celsius).contains("temperatures with their units"), "{typed}");
    }
}

#[test]
fn what_is_wrong_is_said() {
    assert!(says("3*46.2 V", Unit::Amp).contains("the unit “V”"));
    assert_eq!(says("3 V * 2 V", Unit::Volt), "V × V is not a value in V");
    assert_eq!(says("6 V / 2 V", Unit::Volt), "V ÷ V is not a value in V");
    assert_eq!(says("6 / 2 V", Unit::Volt), "a number ÷ V is not a value in V");
    assert_eq!(says("(3 V) V", Unit::Volt), "V of V is not a value in V");
    assert!(says("3 + 2 V", Unit::Volt).contains("write the unit to both"));
    assert_eq!(says("12 V/0", Unit::Volt), "nothing can be divided by zero");
    assert_eq!(says("12/(2-2)", Unit::Volt), "nothing can be divided by zero");
    assert_eq!(says("1e300*1e300", Unit::Volt), "the result is too large to be a number");
    assert_eq!(says("1e308*1e308 V - 1e308*1e308 V", Unit::Volt), "the result is too large to be a number");
    assert_eq!(says("3*", Unit::Volt), "expected a number after “*”");
    assert_eq!(says("(3", Unit::Volt), "a parenthesis is not closed");
    assert_eq!(says("3)*2", Unit::Volt), "expected +, −, * or /, found “)”");
    assert_eq!(says("3*two", Unit::Volt), "expected a number at “two”");
    assert_eq!(
        says("1,5 V", Unit::Volt),
        "“1,5” could be two numbers; write a point before decimals and commas only between thousands"
    );
    assert!(says("12,34,567 V", Unit::Volt).contains("commas"));
    assert!(says(&"(".repeat(120), Unit::Volt).contains("too long"));
    assert!(says(&"1+".repeat(120), Unit::Volt).contains("too long"));
}

#[test]
fn counts() {
    assert_eq!(read_whole("12"), Ok(12));
    assert_eq!(read_whole("1,200"), Ok(1200));
    // 3 × (2 + 2) = 12; 7 ÷ 2 = 3.5
    assert_eq!(read_whole("3*(2+2)"), Ok(12));
    let says = |typed: &str| read_whole(typed).map_err(|fault| fault.to_string());
    assert_eq!(says("7/2"), Err("expected a whole number, found “3.5”".to_owned()));
    assert_eq!(says("2-5"), Err("expected a whole number, found “-3”".to_owned()));
    assert_eq!(says("many"), Err("expected a whole number, found “many”".to_owned()));
    assert_eq!(says("1/0"), Err("nothing can be divided by zero".to_owned()));
    assert!(says("1e9*1e9").is_err());
}

proptest::proptest! {
    #[test]
    fn nothing_that_is_typed_makes_it_panic(typed in "[-0-9.,eE+*/x()×÷ VAm°%Ωft]{0,40}|.{0,60}") {
        for unit in [Unit::Volt, Unit::Celsius, Unit::Meter, Unit::PercentPerCelsius, Unit::One] {
            for system in [Us, Si] {
                if let Ok(value) = read(&typed, unit, system) {
                    proptest::prop_assert!(value.is_finite());
                }
            }
        }
        let _ = read_whole(&typed);
    }

    #[test]
    fn sums_of_whole_amperes_are_what_they_are(a in 0_u32..1000, b in 0_u32..1000, c in 1_u32..100) {
        let expected = f64::from(a) + f64::from(b) * f64::from(c);
        proptest::prop_assert_eq!(read(&format!("{a} A + {b} A * {c}"), Unit::Amp, Us), Ok(expected));
        proptest::prop_assert_eq!(read(&format!("{a}+{b}*{c} A"), Unit::Amp, Us).is_err(), true);
    }
}
