//! Sun, clear sky, clearness and made weather.

use crate::reference::{FILE, close, component, list, number, sky, tables, tolerance, twelve, whole, within};
use lineside_core::units::{Celsius, Degrees, Hours, Meters, Seconds, WattsPerSquareMeter};
use lineside_energy::site::{Location, TimeZone};
use lineside_energy::sun::{Instant, clear_sky, position};
use lineside_energy::weather::{Clearness, MadeWeather, diffuse_share, random, typical};

#[test]
fn solar_position() {
    let tables = tables();
    for case in list(component("solar_position")) {
        let local: Vec<u32> = list(&case["local"]).iter().map(whole).collect();
        let [hours, minutes, seconds] = [3, 4, 5].map(|part| f64::from(local[part]));
        let location = Location::new(
            Degrees::new(number(&case["lat"])),
            Degrees::new(number(&case["lon"])),
            Meters::new(number(&case["elev"])),
            Hours::new(number(&case["tz"])),
            TimeZone::Checked,
        );
        let at = Instant {
            year: i32::try_from(local[0]).unwrap(),
            month: local[1],
            day: local[2],
            time: Seconds::new(hours * 3600.0 + minutes * 60.0 + seconds),
            pressure_mbar: number(&case["pressure_mbar"]),
            temperature: Celsius::new(number(&case["temp_c"])),
            delta_t: Seconds::new(number(&case["delta_t"])),
        };
        let found = position(&tables, &location.unwrap(), &at);
        close("zenith", found.zenith.value(), number(&case["zenith"]));
        close("zenith without air", found.zenith_without_air.value(), number(&case["zenith_geometric"]));
        close("azimuth", found.azimuth.value(), number(&case["azimuth"]));
        close("distance", found.distance_au, number(&case["sun_earth_au"]));
    }
}

#[test]
fn diffuse_shares() {
    for case in list(component("erbs_diffuse_fraction")) {
        close("diffuse share", diffuse_share(number(&case["kt"])), number(&case["kd"]));
    }
}

#[test]
fn clear_skies() {
    for case in list(component("clear_sky")) {
        let found = clear_sky(
            Degrees::new(number(&case["zenith"])),
            Meters::new(number(&case["elev"])),
            number(&case["linke"]),
            WattsPerSquareMeter::new(number(&case["i0n"])),
        );
        close("on the level", found.horizontal.value(), number(&case["ghi"]));
        close("beam", found.beam.value(), number(&case["dni"]));
    }
}

#[test]
fn daily_clearness() {
    for case in list(component("daily_clearness")) {
        let spread = Clearness::around(number(&case["kt_bar"]));
        let Clearness::Spread { lowest, highest, x } = spread else { panic!("expected a spread") };
        close("highest", highest, number(&case["kt_max"]));
        close("x", x, number(&case["x"]));
        close("gamma", x / (highest - lowest), number(&case["gamma"]));
        for (share, expected) in case["quantiles"].as_object().unwrap() {
            close("quantile", spread.quantile(share.parse().unwrap()), number(expected));
        }
    }
}

/// The case whose site stands under a letter.
fn case_of_site(letter: &str) -> &'static str {
    match letter {
        "A" => "A-lfp",
        "B" => "B-nife",
        "C" => "C-fla",
        other => panic!("no site {other}"),
    }
}

fn energy_of_month(made: &MadeWeather, first_day: usize, days: usize) -> f64 {
    let hours = &made.weather.hours()[first_day * 24..(first_day + days) * 24];
    hours.iter().map(|hour| hour.horizontal().value()).sum::<f64>() / 1000.0
}

#[test]
fn typical_weather() {
    let tables = tables();
    for case in list(component("weather")) {
        let (sky, climate) = sky(&tables, case_of_site(case["site"].as_str().unwrap()));
        let seed = case["seed"].as_u64().unwrap();
        let made = typical(&sky, &climate, &tables.defaults, seed);
        for (found, expected) in made.clearness_of_day.iter().zip(list(&case["kt_day_first10"])) {
            close("clearness of a day", *found, number(expected));
        }
        let months = made.months.iter().zip(twelve(&case["month_factor"])).zip(twelve(&case["kt_bar"]));
        for (((_, found), factor), clearness) in months {
            close("factor", found.factor, factor);
            close("clearness", found.clearness, clearness);
        }
        // The fifteenth of January.
        let day = &made.weather.hours()[14 * 24..15 * 24];
        for ((hour, sun), celsius) in day.iter().zip(list(&case["ghi_day15"])).zip(list(&case["ta_day15"])) {
            close("sun on the level", hour.horizontal().value(), number(sun));
            close("air", hour.temperature().value(), number(celsius));
        }
        let mut first = 0;
        let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        for (days, expected) in days.into_iter().zip(twelve(&case["ghi_monthly_kwh"])) {
            let found = energy_of_month(&made, first, days);
            within("sun of a month", found, expected, 1e-12 * expected);
            first += days;
        }
        let most = made.weather.hours().iter().map(|hour| hour.horizontal().value()).fold(0.0, f64::max);
        close("most sun", most, number(&case["ghi_max"]));
    }
}

#[test]
fn random_weather() {
    let tables = tables();
    let (sky, climate) = sky(&tables, "B-nife");
    for case in list(&FILE["monte_carlo_B_lfp"]) {
        let year = whole(&case["year"]);
        let made = random(&sky, &climate, &tables.defaults, 22, year);
        let expected = number(&case["ghi_kwh"]);
        let found = made.weather.irradiation().value();
        within("sun of the year", found, expected, tolerance("annual_energy_relative") * expected);
    }
}
