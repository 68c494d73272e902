//! Capacity by the IEC: 60364-5-52, and IEC 62930 for PV cable.

use super::{Ampacity, CannotTell, Conditions, MissingDatum, lesser};
use crate::cited::Cited;
use crate::codes::Codes;
use crate::factor_key::FactorKey;
use crate::tables::{Arrangement, Burial, CableInsulation, Medium, PvCableLaying, SoilResistivity, pv_cable};
use lineside_core::circuit::{Conductor, Insulation, Metal, Method};
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, Celsius, UnitSystem};

const CAPACITIES: &str = "IEC 60364-5-52 annex B";
const AMBIENT: &str = "IEC 60364-5-52 Tables B.52.14 and B.52.15";
const GROUND_GROUPS: &str = "IEC 60364-5-52 Tables B.52.18 and B.52.19 (groups in the ground)";
const LARGER_GROUPS: &str = "IEC 60364-5-52 Table B.52.17 for so many circuits";
const DRIER_SOIL: &str = "IEC 60364-5-52 Table B.52.16 for so dry a soil";

/// See [`super::ampacity`].
pub(super) fn ampacity(
    codes: &Codes,
    conductor: &Conductor,
    conditions: &Conditions,
) -> Result<Ampacity, CannotTell> {
    if conductor.size.system() != UnitSystem::Si {
        return Err(CannotTell::ForeignSize { size: conductor.size, rule_set: RuleSet::Iec });
    }
    let insulation = match conductor.insulation {
        Insulation::Pvc70 => Some(CableInsulation::Pvc70),
        Insulation::Xlpe90 => Some(CableInsulation::Xlpe90),
        Insulation::PvCable => None,
        insulation @ (Insulation::Thhn
        | Insulation::Thwn2
        | Insulation::Xhhw2
        | Insulation::Rhw2
        | Insulation::Rhw
        | Insulation::Use2
        | Insulation::PvWire
        | Insulation::Thw
        | Insulation::Tw
        | Insulation::Welding) => {
            return Err(CannotTell::ForeignInsulation { insulation, rule_set: RuleSet::Iec });
        }
    };
    let method = conductor.method.ok_or(CannotTell::Missing(MissingDatum::Method))?;
    match insulation {
        Some(insulation) => cable(codes, conductor, conditions, insulation, method),
        None => ampacity_of_pv_cable(codes, conductor, conditions, method),
    }
}

fn cable(
    codes: &Codes,
    conductor: &Conductor,
    conditions: &Conditions,
    insulation: CableInsulation,
    method: Method,
) -> Result<Ampacity, CannotTell> {
    let burial = burial(method);
    let bundling_factor = grouping(codes, conductor, conditions, burial)?;
    let soil_factor = soil(codes, conditions.soil, burial)?;
    let rest = bundling_factor.value * soil_factor.as_ref().map_or(1.0, |soil| soil.value);

    let (capacity, ambient_factor) = column(codes, conductor, conditions, insulation, method)?;
    let corrected = total(conductor, &capacity, &ambient_factor, rest);

    // The conductor may be hotter than its terminals bear: then the column of 70 °C holds.
    let rating = terminal_rating(codes, conditions);
    let terminal = if rating >= insulation.celsius() {
        None
    } else if rating >= CableInsulation::Pvc70.celsius() {
        Some(column(codes, conductor, conditions, CableInsulation::Pvc70, method)?)
    } else {
        return Err(CannotTell::TerminalTooCool { table: CAPACITIES, rating });
    };
    let terminal_total =
        terminal.as_ref().map(|(capacity, ambient)| total(conductor, capacity, ambient, rest));

    Ok(Ampacity {
        insulation: capacity,
        ambient: conditions.ambient,
        roof_adder: None,
        ambient_factor,
        bundling_factor,
        soil_factor,
        parallel: conductor.parallel,
        corrected,
        terminal_rating: terminal.is_some().then_some(rating),
        terminal: terminal.map(|(capacity, _)| capacity),
        terminal_total,
        ampacity: lesser(corrected, terminal_total),
    })
}

/// PV cable has its own base of 60 °C ambient and 120 °C conductor. Its standard has no column for cooler
/// terminals, so that they set no limit here.
fn ampacity_of_pv_cable(
    codes: &Codes,
    conductor: &Conductor,
    conditions: &Conditions,
    method: Method,
) -> Result<Ampacity, CannotTell> {
    let laying = match method {
        Method::Free => PvCableLaying::FreeAir,
        Method::Surface if conductor.loaded_conductors < 2 => PvCableLaying::OnSurface,
        Method::Surface => PvCableLaying::TwoOnSurface,
        Method::A1
        | Method::A2
        | Method::B1
        | Method::B2
        | Method::C
        | Method::D1
        | Method::D2
        | Method::E
        | Method::F => {
            return Err(CannotTell::NoTable { table: "IEC 62930 for conduit, trays and the ground" });
        }
    };
    let no_row = CannotTell::NoRow { table: pv_cable::SOURCE, size: conductor.size, metal: conductor.metal };
    if conductor.metal != Metal::Copper {
        return Err(no_row);
    }
    let capacity = codes.iec.pv_cable.ampacity(conductor.size, laying).ok_or(no_row)?;
    let ambient = conditions.ambient;
    let too_hot = CannotTell::TooHot { table: pv_cable::SOURCE, ambient };
    let ambient_factor = codes.iec.pv_cable.ambient_factor(ambient).ok_or(too_hot)?;
    let bundling_factor = grouping(codes, conductor, conditions, None)?;
    let corrected = total(conductor, &capacity, &ambient_factor, bundling_factor.value);
    Ok(Ampacity {
        insulation: capacity,
        ambient,
        roof_adder: None,
        ambient_factor,
        bundling_factor,
        soil_factor: None,
        parallel: conductor.parallel,
        corrected,
        terminal_rating: None,
        terminal: None,
        terminal_total: None,
        ampacity: corrected,
    })
}

/// Capacity and ambient factor of a column of the tables.
fn column(
    codes: &Codes,
    conductor: &Conductor,
    conditions: &Conditions,
    insulation: CableInsulation,
    method: Method,
) -> Result<(Cited<Amps>, Cited<f64>), CannotTell> {
    let (size, metal, ambient) = (conductor.size, conductor.metal, conditions.ambient);
    let capacity = codes
        .iec
        .capacity
        .find(size, metal, insulation, method, conditions.loaded)
        .ok_or(CannotTell::NoRow { table: CAPACITIES, size, metal })?;
    let medium = if burial(method).is_some() { Medium::Ground } else { Medium::Air };
    let factor = codes.iec.ambient.factor(medium, ambient, insulation);
    Ok((capacity, factor.ok_or(CannotTell::TooHot { table: AMBIENT, ambient })?))
}

fn total(conductor: &Conductor, capacity: &Cited<Amps>, ambient: &Cited<f64>, rest: f64) -> Amps {
    capacity.value * ambient.value * rest * f64::from(conductor.parallel)
}

const fn burial(method: Method) -> Option<Burial> {
    match method {
        Method::D1 => Some(Burial::Duct),
        Method::D2 => Some(Burial::Direct),
        Method::A1
        | Method::A2
        | Method::B1
        | Method::B2
        | Method::C
        | Method::E
        | Method::F
        | Method::Surface
        | Method::Free => None,
    }
}

/// Factor for the circuits beside it. How they lie is not known, so that they count as bunched; groups in the
/// ground have tables that are not here.
fn grouping(
    codes: &Codes,
    conductor: &Conductor,
    conditions: &Conditions,
    burial: Option<Burial>,
) -> Result<Cited<f64>, CannotTell> {
    let circuits = conductor.loaded_conductors.div_ceil(conditions.loaded.count()).max(1);
    if circuits > 1 && burial.is_some() {
        return Err(CannotTell::NoTable { table: GROUND_GROUPS });
    }
    codes
        .iec
        .grouping
        .factor(Arrangement::Bunched, circuits)
        .ok_or(CannotTell::NoTable { table: LARGER_GROUPS })
}

fn soil(
    codes: &Codes,
    soil: Option<SoilResistivity>,
    burial: Option<Burial>,
) -> Result<Option<Cited<f64>>, CannotTell> {
    let (Some(soil), Some(burial)) = (soil, burial) else { return Ok(None) };
    let factor = codes.iec.soil.factor(soil, burial);
    factor.map(Some).ok_or(CannotTell::NoTable { table: DRIER_SOIL })
}

/// The lower rating of both ends; what is not marked counts as 70 °C.
fn terminal_rating(codes: &Codes, conditions: &Conditions) -> Celsius {
    let unmarked: Celsius = codes.quantity(RuleSet::Iec, FactorKey::UnmarkedTerminalLarge);
    let [from, to] = conditions.terminals;
    from.unwrap_or(unmarked).min(to.unwrap_or(unmarked))
}
