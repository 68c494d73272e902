//! Ampacity by the NEC: 310.15, 310.16, 310.17 and 110.14(C).

use super::{Ampacity, CannotTell, Conditions, MissingDatum, lesser};
use crate::by_size::compare_sizes;
use crate::cited::Cited;
use crate::codes::Codes;
use crate::edition::NecEdition;
use crate::factor_key::FactorKey;
use crate::tables::insulations::InsulationFamily;
use crate::tables::nec_ampacity::table_name;
use crate::tables::{ConductorTemperature, Installation, Moisture, SizeKey, nec_ambient};
use lineside_core::circuit::{Conductor, Insulation, Raceway};
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, Celsius, CelsiusSpan, Meters, Millimeters, UnitSystem};
use std::cmp::Ordering;

/// A length that was given in inches must not miss a limit in inches by its last bit.
const SAME: f64 = 1e-9;

/// See [`super::ampacity`].
pub(super) fn ampacity(
    codes: &Codes,
    edition: NecEdition,
    conductor: &Conductor,
    conditions: &Conditions,
) -> Result<Ampacity, CannotTell> {
    let rule_set = edition.rule_set();
    if conductor.size.system() != UnitSystem::Us {
        return Err(CannotTell::ForeignSize { size: conductor.size, rule_set });
    }
    let column = insulation_column(codes, rule_set, conductor, conditions.moisture)?;
    let laid = installation(conductor.raceway);
    let insulation = table_ampacity(codes, edition, conductor, column, laid)?;

    let roof_adder = roof_adder(codes, rule_set, conductor);
    let ambient =
        roof_adder.as_ref().map_or(conditions.ambient, |adder| conditions.ambient.warmer_by(adder.value));
    let ambient_factor = codes
        .nec
        .ambient
        .factor(edition, ambient, column)
        .ok_or(CannotTell::TooHot { table: nec_ambient::source(edition), ambient })?;
    let bundling_factor = bundling_factor(codes, edition, conductor);
    let count = f64::from(conductor.parallel);
    let corrected = insulation.value * ambient_factor.value * bundling_factor.value * count;

    let rating = terminal_rating(codes, rule_set, conductor, conditions)?;
    let too_cool = CannotTell::TerminalTooCool { table: table_name(edition, Installation::Raceway), rating };
    let terminal_column = ConductorTemperature::not_above(rating).ok_or(too_cool)?;
    let terminal = table_ampacity(codes, edition, conductor, terminal_column, Installation::Raceway)?;
    let terminal_total = Some(terminal.value * count);

    Ok(Ampacity {
        insulation,
        ambient,
        roof_adder,
        ambient_factor,
        bundling_factor,
        soil_factor: None,
        parallel: conductor.parallel,
        corrected,
        terminal_rating: Some(rating),
        terminal: Some(terminal),
        terminal_total,
        ampacity: lesser(corrected, terminal_total),
    })
}

/// Column of the insulation: its wet rating where it is wet.
fn insulation_column(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    moisture: Moisture,
) -> Result<ConductorTemperature, CannotTell> {
    let insulation = conductor.insulation;
    let foreign = CannotTell::ForeignInsulation { insulation, rule_set };
    let facts = codes.common.insulations.find(insulation).ok_or(foreign)?;
    if facts.family != InsulationFamily::Nec {
        return Err(foreign);
    }
    let moisture = match conductor.raceway {
        Raceway::BuriedConduit | Raceway::Buried => Moisture::Wet,
        Raceway::FreeAir
        | Raceway::PlasticConduit
        | Raceway::MetalConduit
        | Raceway::MetalClad
        | Raceway::Tray
        | Raceway::Enclosure => moisture,
    };
    let rating = facts.temperature(moisture).ok_or(CannotTell::NotRated(insulation))?;
    ConductorTemperature::not_above(rating).ok_or(CannotTell::NotRated(insulation))
}

/// Only single conductors in free air have the higher table.
const fn installation(raceway: Raceway) -> Installation {
    match raceway {
        Raceway::FreeAir => Installation::FreeAir,
        Raceway::PlasticConduit
        | Raceway::MetalConduit
        | Raceway::MetalClad
        | Raceway::Tray
        | Raceway::BuriedConduit
        | Raceway::Buried
        | Raceway::Enclosure => Installation::Raceway,
    }
}

fn table_ampacity(
    codes: &Codes,
    edition: NecEdition,
    conductor: &Conductor,
    column: ConductorTemperature,
    laid: Installation,
) -> Result<Cited<Amps>, CannotTell> {
    let (size, metal) = (conductor.size, conductor.metal);
    codes.nec.ampacity.find(edition, size, metal, column, laid).ok_or(CannotTell::NoRow {
        table: table_name(edition, laid),
        size,
        metal,
    })
}

/// What a sunny roof adds, below the height of the clause and for every insulation but XHHW-2.
fn roof_adder(codes: &Codes, rule_set: RuleSet, conductor: &Conductor) -> Option<Cited<CelsiusSpan>> {
    let height = conductor.above_roof?;
    let limit: Millimeters = codes.quantity(rule_set, FactorKey::RoofHeight);
    if height >= limit * (1.0 - SAME) || conductor.insulation == Insulation::Xhhw2 {
        return None;
    }
    let adder = codes.factor(rule_set, FactorKey::RoofAdder);
    Some(Cited {
        value: codes.quantity(rule_set, FactorKey::RoofAdder),
        source: adder.clause.clone().into(),
        confidence: adder.confidence,
    })
}

/// See [`super::is_nipple`].
pub(super) fn is_nipple(codes: &Codes, edition: NecEdition, length: Meters) -> bool {
    length <= codes.quantity::<Meters>(edition.rule_set(), FactorKey::NippleLength) * (1.0 + SAME)
}

/// Factor for the conductors beside it; a nipple counts as no bundle.
fn bundling_factor(codes: &Codes, edition: NecEdition, conductor: &Conductor) -> Cited<f64> {
    let counted = if is_nipple(codes, edition, conductor.length) { 1 } else { conductor.loaded_conductors };
    codes.nec.bundling.factor(edition, counted)
}

/// The lower rating of both ends. What is not marked counts as 60 °C in circuits to 100 A and on conductors to
/// 1 AWG, else as 75 °C (110.14(C)).
fn terminal_rating(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    conditions: &Conditions,
) -> Result<Celsius, CannotTell> {
    let [from, to] = conditions.terminals;
    if let (Some(from), Some(to)) = (from, to) {
        return Ok(from.min(to));
    }
    let unmarked = unmarked_rating(codes, rule_set, conductor, conditions.circuit_rating)?;
    Ok(from.unwrap_or(unmarked).min(to.unwrap_or(unmarked)))
}

fn unmarked_rating(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    circuit_rating: Option<Amps>,
) -> Result<Celsius, CannotTell> {
    let small = || codes.quantity(rule_set, FactorKey::UnmarkedTerminalSmall);
    let largest = codes.common.sizes.size(rule_set, SizeKey::UnmarkedTerminalLargest);
    let is_large =
        largest.is_some_and(|largest| compare_sizes(conductor.size, largest) == Some(Ordering::Greater));
    if !is_large {
        return Ok(small());
    }
    let rating = circuit_rating.ok_or(CannotTell::Missing(MissingDatum::CircuitRating))?;
    if rating <= codes.quantity(rule_set, FactorKey::UnmarkedTerminalCurrent) {
        Ok(small())
    } else {
        Ok(codes.quantity(rule_set, FactorKey::UnmarkedTerminalLarge))
    }
}
