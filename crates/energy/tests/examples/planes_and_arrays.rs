//! Transposition, glass, cell temperature, modules, conductors and converters.

use crate::reference::{case, close, component, list, number, tables, within};
use lineside_codes::tables::LossLaw;
use lineside_core::circuit::Metal;
use lineside_core::units::{
    Amps, Celsius, Degrees, Meters, MetersPerSecond, Ohms, Percent, PercentPerCelsius, Volts, Watts,
    WattsPerSquareMeter,
};
use lineside_energy::Converter;
use lineside_energy::array::{Cooling, Module, ModuleModel, SingleDiode, cell_temperature, loop_resistance};
use lineside_energy::plane::{PlaneSun, SkyModel, transmittance, transpose};
use serde_json::Value;

fn check_sky(model: SkyModel, sun: &PlaneSun, expected: &Value) {
    let found = transpose(&tables(), model, sun);
    let at = |key: &str| number(&expected[key]);
    close("beam", found.beam.value(), at("beam"));
    close("circumsolar", found.circumsolar.value(), at("circumsolar"));
    close("isotropic", found.isotropic.value(), at("isotropic"));
    close("horizon", found.horizon.value(), at("horizon"));
    close("ground", found.ground.value(), at("ground"));
    close("total", found.total().value(), at("total"));
}

#[test]
fn transposition() {
    for case in list(component("transposition")) {
        let at = |key: &str| number(&case[key]);
        let sun = PlaneSun {
            zenith: Degrees::new(at("zenith")),
            azimuth: Degrees::new(at("azimuth")),
            tilt: Degrees::new(at("tilt")),
            plane_azimuth: Degrees::new(at("plane_azimuth")),
            beam: WattsPerSquareMeter::new(at("dni")),
            diffuse: WattsPerSquareMeter::new(at("dhi")),
            albedo: Percent::from_share(at("albedo")),
            above_air: WattsPerSquareMeter::new(at("i0n")),
        };
        check_sky(SkyModel::Perez, &sun, &case["perez"]);
        check_sky(SkyModel::HayDavies, &sun, &case["haydavies"]);
        check_sky(SkyModel::Isotropic, &sun, &case["isotropic"]);
        let cosine = transpose(&tables(), SkyModel::Isotropic, &sun).cos_incidence;
        close("cosine of incidence", cosine, at("cos_aoi"));
        let through = transmittance(cosine, sun.tilt, 0.16);
        close("beam through glass", through.beam, at("iam_beam"));
        close("sky through glass", through.sky, at("iam_sky"));
        close("ground through glass", through.ground, at("iam_ground"));
    }
}

#[test]
fn cell_temperatures() {
    let defaults = tables().defaults;
    for case in list(component("cell_temperature")) {
        let at = |key: &str| number(&case[key]);
        let cooling = Cooling::open(Celsius::new(at("noct")), &defaults);
        let found = cell_temperature(
            cooling,
            WattsPerSquareMeter::new(at("poa")),
            Celsius::new(at("ta")),
            MetersPerSecond::new(at("wind")),
        );
        close("cell", found.value(), at("tc"));
    }
}

/// A module of the file.
pub fn module(module: &Value) -> Module {
    let at = |key: &str| number(&module[key]);
    Module {
        power: Watts::new(at("pmax")),
        open_circuit_voltage: Volts::new(at("voc")),
        max_power_voltage: Volts::new(at("vmp")),
        short_circuit_current: Amps::new(at("isc")),
        max_power_current: Amps::new(at("imp")),
        power_coefficient: PercentPerCelsius::new(at("gamma") * 100.0),
        current_coefficient: PercentPerCelsius::new(at("alpha_isc") * 100.0),
        voltage_coefficient: PercentPerCelsius::new(at("beta_voc") * 100.0),
        cell_temperature: Celsius::new(at("noct")),
        low_light_loss: Percent::from_share(at("lowlight_200")),
        model: ModuleModel::Nameplate,
    }
}

#[test]
fn module_power() {
    let module = module(&case("B-nife")["input"]["system"]["arrays"][0]["module"]);
    for case in list(component("module_power")) {
        assert_eq!(case["module"], "MOD400");
        let sun = WattsPerSquareMeter::new(number(&case["geff"]));
        let found = module.power(sun, Celsius::new(number(&case["tc"])));
        close("power", found.value(), number(&case["power"]));
    }
}

#[test]
fn single_diode() {
    let reference = &component("single_diode")["reference"];
    let at = |key: &str| number(&reference[key]);
    let diode = SingleDiode {
        light_current: Amps::new(at("IL")),
        saturation_current: Amps::new(at("Io")),
        series_resistance: Ohms::new(at("Rs")),
        shunt_resistance: Ohms::new(at("Rsh")),
        ideality: Volts::new(at("a")),
        current_by_kelvin: Amps::new(at("alpha_isc_A")),
    };
    for point in list(&component("single_diode")["points"]) {
        let at = |key: &str| number(&point[key]);
        let found = diode.at(WattsPerSquareMeter::new(at("g")), Celsius::new(at("tc")));
        close("short circuit", found.short_circuit_current.value(), at("isc"));
        close("open circuit", found.open_circuit_voltage.value(), at("voc"));
        close("best voltage", found.max_power_voltage.value(), at("vmp"));
        close("best current", found.max_power_current.value(), at("imp"));
        close("best power", found.max_power.value(), at("pmp"));
    }
}

#[test]
fn conductors() {
    for case in list(component("conductor")) {
        let at = |key: &str| number(&case[key]);
        let metal = if case["metal"] == "cu" { Metal::Copper } else { Metal::Aluminum };
        let found = loop_resistance(
            Ohms::new(at("ohm_per_km_75")),
            Meters::new(at("length_m")),
            Celsius::new(at("temp_c")),
            metal,
        );
        close("both ways", found.value(), at("loop_ohm"));
    }
}

#[test]
fn converters() {
    for case in list(component("converter")) {
        let at = |key: &str| number(&case[key]);
        let law = LossLaw::of_shares([at("c0"), at("c1"), at("c2")]);
        let converter = Converter::new(law, Watts::new(at("pn")));
        let (output, input) = (Watts::new(at("out")), Watts::new(at("input")));
        close("input", converter.input(output).value(), input.value());
        within("output", converter.output(input).value(), output.value(), 1e-9 * output.value());
    }
}
