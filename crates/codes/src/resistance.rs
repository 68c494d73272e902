//! Resistance of the conductors of a run, warm and cold, by rule set.
//!
//! The tables are in [`crate::tables`]; what drops or flows through it is the `study` crate's.

use crate::ampacity::CannotTell;
use crate::cited::Cited;
use crate::codes::Codes;
use crate::edition::NecEdition;
use crate::factor_key::FactorKey;
use crate::linear_resistance::LinearResistance;
use crate::tables::{ConduitMaterial, ac_resistance, conductor_properties};
use lineside_core::circuit::{Conductor, Metal, Raceway};
use lineside_core::project::RuleSet;
use lineside_core::units::{Celsius, Ohms, UnitSystem};

/// Whether a run carries direct or alternating current.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CurrentKind {
    /// DC.
    Direct,
    /// AC, 60 Hz in the tables of the NEC.
    Alternating,
}

/// Resistance of a run and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct RunResistance {
    /// Of one conductor for its length, as the table prints it.
    pub table: Cited<LinearResistance>,
    /// The conductor temperature for which the result holds.
    pub temperature: Celsius,
    /// From the table's temperature to that: `1 + α × (T − base)`.
    pub temperature_factor: f64,
    /// Conductors in parallel for each pole.
    pub parallel: u32,
    /// Of one pole, once along the run.
    pub one_way: Ohms,
    /// Of both poles, there and back.
    pub both_ways: Ohms,
}

/// Reactance of an AC run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunReactance {
    /// Of one conductor for its length, as the table prints it.
    pub table: Cited<LinearResistance>,
    /// Of one conductor, once along the run; conductors in parallel share it.
    pub one_way: Ohms,
    /// There and back.
    pub both_ways: Ohms,
}

/// Resistance at working temperature, 75 °C by the NEC and 70 °C by the IEC: for voltage drop and for the
/// smallest fault. AC takes Chapter 9 Table 9 in the NEC; the IEC's AC resistance is taken as its DC's.
pub fn warm(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    current: CurrentKind,
) -> Result<RunResistance, CannotTell> {
    let temperature = codes.quantity(rule_set, FactorKey::WarmConductor);
    match (current, NecEdition::of(rule_set)) {
        (CurrentKind::Alternating, Some(_)) => alternating(codes, rule_set, conductor, temperature),
        (CurrentKind::Direct, Some(_)) | (_, None) => direct(codes, rule_set, conductor, temperature),
    }
}

/// DC resistance at 20 °C: for the largest fault, of DC and AC runs alike.
pub fn cold(codes: &Codes, rule_set: RuleSet, conductor: &Conductor) -> Result<RunResistance, CannotTell> {
    direct(codes, rule_set, conductor, codes.quantity(rule_set, FactorKey::ColdConductor))
}

/// DC resistance at any conductor temperature.
pub fn direct(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    temperature: Celsius,
) -> Result<RunResistance, CannotTell> {
    check_size(rule_set, conductor)?;
    let Conductor { size, metal, stranding, coating, .. } = *conductor;
    let (table, found) = if rule_set.is_nec() {
        let properties = &codes.nec.conductor_properties;
        (conductor_properties::SOURCE, properties.dc_resistance(size, metal, stranding, coating))
    } else {
        ("IEC 60228", codes.iec.resistance.dc_resistance(size, metal, stranding, coating))
    };
    let found = found.ok_or(CannotTell::NoRow { table, size, metal })?;
    let base = codes.quantity(rule_set, FactorKey::ResistanceBase);
    let coefficient = codes.number(rule_set, coefficient_key(metal));
    let factor = 1.0 + coefficient * temperature.above(base).value();
    Ok(of_run(conductor, found, temperature, factor))
}

/// Reactance of an AC run at 60 Hz. The IEC's tables have none: `NoTable`.
pub fn reactance(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
) -> Result<RunReactance, CannotTell> {
    if !rule_set.is_nec() {
        return Err(CannotTell::NoTable { table: "reactance of IEC cables" });
    }
    check_size(rule_set, conductor)?;
    let found = codes.nec.ac_resistance.reactance(conductor.size, conduit_material(conductor.raceway));
    let table = found.ok_or(CannotTell::NoRow {
        table: ac_resistance::SOURCE,
        size: conductor.size,
        metal: conductor.metal,
    })?;
    let one_way = table.value.over(conductor.length) / f64::from(conductor.parallel.max(1));
    Ok(RunReactance { table, one_way, both_ways: one_way * 2.0 })
}

/// Table 9 is printed for 75 °C and for nothing else.
fn alternating(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    temperature: Celsius,
) -> Result<RunResistance, CannotTell> {
    check_size(rule_set, conductor)?;
    let (size, metal) = (conductor.size, conductor.metal);
    let found = codes.nec.ac_resistance.resistance(size, metal, conduit_material(conductor.raceway));
    let found = found.ok_or(CannotTell::NoRow { table: ac_resistance::SOURCE, size, metal })?;
    Ok(of_run(conductor, found, temperature, 1.0))
}

fn of_run(
    conductor: &Conductor,
    table: Cited<LinearResistance>,
    temperature: Celsius,
    temperature_factor: f64,
) -> RunResistance {
    let parallel = conductor.parallel.max(1);
    let one_way = table.value.scaled(temperature_factor).over(conductor.length) / f64::from(parallel);
    RunResistance { table, temperature, temperature_factor, parallel, one_way, both_ways: one_way * 2.0 }
}

fn check_size(rule_set: RuleSet, conductor: &Conductor) -> Result<(), CannotTell> {
    let wanted = if rule_set.is_nec() { UnitSystem::Us } else { UnitSystem::Si };
    if conductor.size.system() == wanted {
        Ok(())
    } else {
        Err(CannotTell::ForeignSize { size: conductor.size, rule_set })
    }
}

const fn coefficient_key(metal: Metal) -> FactorKey {
    match metal {
        Metal::Copper => FactorKey::ResistanceCopper,
        Metal::Aluminum => FactorKey::ResistanceAluminum,
    }
}

/// What surrounds the conductors. The armor of metal-clad cable may be aluminum or steel; aluminum gives the
/// greater resistance.
const fn conduit_material(raceway: Raceway) -> ConduitMaterial {
    match raceway {
        Raceway::MetalConduit => ConduitMaterial::Steel,
        Raceway::MetalClad => ConduitMaterial::Aluminum,
        Raceway::FreeAir
        | Raceway::PlasticConduit
        | Raceway::Tray
        | Raceway::BuriedConduit
        | Raceway::Buried
        | Raceway::Enclosure => ConduitMaterial::Plastic,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{codes, conductor};
    use lineside_core::circuit::Stranding;
    use lineside_core::units::Meters;

    const NEC: RuleSet = RuleSet::Nec2023;

    fn milliohms(found: Result<RunResistance, CannotTell>) -> f64 {
        found.map_or_else(|why| panic!("{why}"), |found| found.both_ways.value() * 1e3)
    }

    #[test]
    fn warm_and_cold() {
        // 14 ft of 4/0, there and back: 0.0608 × 28 / 1000 = 1.7024 mΩ at 75 °C;
        // 0.0608 × (1 + 0.00323 × (20 − 75)) = 0.0500 Ω/kft, 1.4000 mΩ at 20 °C.
        let codes = codes();
        let cable = Conductor { length: Meters::from_feet(14.0), ..conductor("4/0") };
        assert!((milliohms(warm(&codes, NEC, &cable, CurrentKind::Direct)) - 1.7024).abs() < 1e-9);
        assert!((milliohms(cold(&codes, NEC, &cable)) - 1.7024 * 0.82235).abs() < 1e-9);
        // Aluminum by the IEC at 70 °C: 0.868 × (1 + 0.00403 × 50) × 6 / 1000 = 6.2574 mΩ for 3 m of 35 mm²
        let aluminum = Conductor { metal: Metal::Aluminum, ..conductor("35 mm²") };
        let found = milliohms(warm(&codes, RuleSet::Iec, &aluminum, CurrentKind::Alternating));
        assert!((found - 6.257_412).abs() < 1e-9);
    }

    #[test]
    fn conductors_in_parallel_share() {
        let codes = codes();
        let one = warm(&codes, NEC, &conductor("1/0"), CurrentKind::Direct);
        let two = Conductor { parallel: 2, ..conductor("1/0") };
        let two = warm(&codes, NEC, &two, CurrentKind::Direct);
        assert!((milliohms(one) - 2.0 * milliohms(two)).abs() < 1e-12);
    }

    #[test]
    fn alternating_current_minds_the_conduit() {
        // 1/0 copper: 0.12 Ω/kft in plastic and steel, 0.13 in aluminum; reactance 0.044 and 0.055.
        let codes = codes();
        let laid = |raceway| Conductor { raceway, length: Meters::from_feet(500.0), ..conductor("1/0") };
        let ohms = |raceway| milliohms(warm(&codes, NEC, &laid(raceway), CurrentKind::Alternating));
        assert!((ohms(Raceway::PlasticConduit) - 120.0).abs() < 1e-9);
        assert!((ohms(Raceway::MetalClad) - 130.0).abs() < 1e-9);
        let reactive = |raceway| {
            reactance(&codes, NEC, &laid(raceway)).map_or(0.0, |found| found.both_ways.value() * 1e3)
        };
        assert!((reactive(Raceway::PlasticConduit) - 44.0).abs() < 1e-9);
        assert!((reactive(Raceway::MetalConduit) - 55.0).abs() < 1e-9);
    }

    #[test]
    fn what_the_tables_do_not_hold() {
        let codes = codes();
        let direct = CurrentKind::Direct;
        assert!(matches!(
            warm(&codes, NEC, &conductor("25 mm²"), direct),
            Err(CannotTell::ForeignSize { .. })
        ));
        assert!(matches!(cold(&codes, RuleSet::Iec, &conductor("4")), Err(CannotTell::ForeignSize { .. })));
        let solid = Conductor { stranding: Stranding::Solid, ..conductor("4/0") };
        assert!(matches!(warm(&codes, NEC, &solid, direct), Err(CannotTell::NoRow { .. })));
        let large = conductor("700");
        assert!(matches!(
            warm(&codes, NEC, &large, CurrentKind::Alternating),
            Err(CannotTell::NoRow { table: "Chapter 9 Table 9", .. })
        ));
        let metric = conductor("25 mm²");
        assert!(matches!(reactance(&codes, RuleSet::Iec, &metric), Err(CannotTell::NoTable { .. })));
    }
}
