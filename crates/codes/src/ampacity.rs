//! What the conductors of a run may carry, by rule set, step by step.
//!
//! The NEC's way is in `ampacity/nec.rs`, the IEC's in `ampacity/iec.rs`; the tables are in
//! [`crate::tables`]. Which current flows, and whether that is too much, is not decided here.

mod iec;
mod nec;

use crate::cited::Cited;
use crate::codes::Codes;
use crate::edition::NecEdition;
use crate::tables::{LoadedConductors, Moisture, SoilResistivity};
use lineside_core::circuit::{Conductor, Insulation, Metal};
use lineside_core::project::RuleSet;
use lineside_core::units::{Amps, Celsius, CelsiusSpan, ConductorSize, Meters};

/// What the ampacity of a run depends on besides its conductors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Hottest ambient along the run, before any adder: of the air, or of the ground for buried methods.
    pub ambient: Celsius,
    /// Whether the run lies in a wet place. Conductors in the ground count as wet in any case.
    pub moisture: Moisture,
    /// Temperature rating of the terminals at both ends; `None` where nothing is marked.
    pub terminals: [Option<Celsius>; 2],
    /// Rating of the circuit: of its overcurrent device, else the current for which it is sized. Needed only
    /// where an NEC terminal has no mark and the conductor is larger than 1 AWG.
    pub circuit_rating: Option<Amps>,
    /// Loaded conductors of one circuit.
    pub loaded: LoadedConductors,
    /// Thermal resistivity of the soil; `None` leaves the base of the IEC tables, 2.5 K·m/W.
    pub soil: Option<SoilResistivity>,
}

/// What the conductors of a run may carry, and how that came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Ampacity {
    /// Of one conductor by its insulation, before corrections.
    pub insulation: Cited<Amps>,
    /// The ambient with which the correction was made, a roof's adder included.
    pub ambient: Celsius,
    /// What a sunny roof added to the ambient; `None` when nothing.
    pub roof_adder: Option<Cited<CelsiusSpan>>,
    /// Correction for the ambient.
    pub ambient_factor: Cited<f64>,
    /// Correction for other conductors beside it.
    pub bundling_factor: Cited<f64>,
    /// Correction for the soil; `None` when it does not lie in the ground or no soil was given.
    pub soil_factor: Option<Cited<f64>>,
    /// Conductors in parallel for each pole.
    pub parallel: u32,
    /// Of the whole run after corrections: `insulation × ambient × bundling × soil × parallel`.
    pub corrected: Amps,
    /// Rating that counts of the terminals, the lower of both ends; `None` when terminals set no limit.
    pub terminal_rating: Option<Celsius>,
    /// Of one conductor by the column of its terminals; `None` when terminals set no limit.
    pub terminal: Option<Cited<Amps>>,
    /// Of the whole run by its terminals: NEC without corrections, IEC with those of the cooler column.
    pub terminal_total: Option<Amps>,
    /// What the run may carry: the lesser of `corrected` and `terminal_total`.
    pub ampacity: Amps,
}

/// A datum without which an ampacity cannot be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MissingDatum {
    /// The method of installation of IEC 60364-5-52.
    Method,
    /// The circuit's rating, by which an unmarked terminal is judged.
    CircuitRating,
}

impl MissingDatum {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Method => "method of installation",
            Self::CircuitRating => "circuit rating, by which an unmarked terminal is judged",
        }
    }
}

/// Why something cannot be told of a conductor. Never a guess in its place.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CannotTell {
    /// A datum is missing.
    #[error("the {} is not given", .0.label())]
    Missing(MissingDatum),
    /// A size of the other system of sizes.
    #[error("{size} has no row in the tables of {}", .rule_set.label())]
    ForeignSize {
        /// The size.
        size: ConductorSize,
        /// The rule set.
        rule_set: RuleSet,
    },
    /// An insulation that the rule set's tables do not know.
    #[error("{} has no row in the tables of {}", .insulation.label(), .rule_set.label())]
    ForeignInsulation {
        /// The insulation.
        insulation: Insulation,
        /// The rule set.
        rule_set: RuleSet,
    },
    /// No row or an empty cell: the conductor is not permitted or not listed.
    #[error("{table} has no row for {size} {}", .metal.key())]
    NoRow {
        /// The table.
        table: &'static str,
        /// The size.
        size: ConductorSize,
        /// The metal.
        metal: Metal,
    },
    /// The insulation is not rated for the place.
    #[error("{} is not rated for such a place", .0.label())]
    NotRated(Insulation),
    /// The ambient is beyond what the insulation may bear.
    #[error("{table} permits no current at {ambient}")]
    TooHot {
        /// The table.
        table: &'static str,
        /// The ambient.
        ambient: Celsius,
    },
    /// A terminal is rated below the coolest column of the tables.
    #[error("{table} has no column for a terminal of {rating}")]
    TerminalTooCool {
        /// The table.
        table: &'static str,
        /// The rating.
        rating: Celsius,
    },
    /// The tables do not cover the way in which it is laid.
    #[error("{table} is not among the tables")]
    NoTable {
        /// The table that would be needed.
        table: &'static str,
    },
}

/// What the conductors of a run may carry.
///
/// NEC: 310.16 or 310.17 by the insulation, ambient with the roof's adder, bundling, then the terminals'
/// column of 310.16 (110.14(C)). IEC: 60364-5-52 by method, or IEC 62930 for PV cable, with ambient, grouping
/// and soil, then the 70 °C columns where the terminals bear no more.
pub fn ampacity(
    codes: &Codes,
    rule_set: RuleSet,
    conductor: &Conductor,
    conditions: &Conditions,
) -> Result<Ampacity, CannotTell> {
    match NecEdition::of(rule_set) {
        Some(edition) => nec::ampacity(codes, edition, conductor, conditions),
        None => iec::ampacity(codes, conductor, conditions),
    }
}

/// Whether a raceway of that length is a nipple, in which bundling does not count and which may be filled further. The
/// IEC knows none.
pub fn is_nipple(codes: &Codes, rule_set: RuleSet, length: Meters) -> bool {
    NecEdition::of(rule_set).is_some_and(|edition| nec::is_nipple(codes, edition, length))
}

/// The lesser of what corrections and terminals leave.
fn lesser(corrected: Amps, terminal_total: Option<Amps>) -> Amps {
    terminal_total.map_or(corrected, |terminal| corrected.min(terminal))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{codes, conditions, conductor};
    use lineside_core::circuit::{Method, Raceway};
    use lineside_core::units::Millimeters;

    fn nec(conductor: &Conductor, conditions: &Conditions) -> Result<Ampacity, CannotTell> {
        ampacity(&codes(), RuleSet::Nec2023, conductor, conditions)
    }

    fn iec(conductor: &Conductor, conditions: &Conditions) -> Result<Ampacity, CannotTell> {
        ampacity(&codes(), RuleSet::Iec, conductor, conditions)
    }

    fn amps(found: Result<Ampacity, CannotTell>) -> f64 {
        found.map_or_else(|why| panic!("{why}"), |found| found.ampacity.value())
    }

    #[test]
    fn terminals_without_a_mark() {
        let unmarked = |size, circuit_rating: Option<f64>| {
            let circuit_rating = circuit_rating.map(Amps::new);
            let terminals = [Some(Celsius::new(75.0)), None];
            let conditions = Conditions { terminals, circuit_rating, ..conditions(30.0) };
            nec(&conductor(size), &conditions).map(|found| found.terminal_total.map(Amps::value))
        };
        // 4 AWG: the 60 °C column, 70 A. 1/0: 60 °C to 100 A, 125 A; above it 75 °C, 150 A.
        assert_eq!(unmarked("4", None), Ok(Some(70.0)));
        assert_eq!(unmarked("1/0", Some(100.0)), Ok(Some(125.0)));
        assert_eq!(unmarked("1/0", Some(110.0)), Ok(Some(150.0)));
        assert_eq!(unmarked("1/0", None), Err(CannotTell::Missing(MissingDatum::CircuitRating)));
    }

    #[test]
    fn parallel_conductors_add_up() {
        // Two 1/0 with four conductors in a raceway: 170 × 0.96 × 0.80 × 2 = 261.12, terminals 2 × 150.
        let two = Conductor { parallel: 2, loaded_conductors: 4, ..conductor("1/0") };
        let found = nec(&two, &conditions(35.0)).unwrap_or_else(|why| panic!("{why}"));
        assert!((found.corrected.value() - 261.12).abs() < 1e-9);
        assert_eq!(found.terminal_total, Some(Amps::new(300.0)));
        assert_eq!(found.ampacity, found.corrected);
    }

    #[test]
    fn a_roof_heats_what_lies_close_above_it() {
        let above = |inches: f64, insulation| {
            let above_roof = Some(Millimeters::new(inches * 25.4));
            nec(&Conductor { above_roof, insulation, ..conductor("10") }, &conditions(36.0))
                .map(|found| found.ambient.value())
        };
        assert_eq!(above(0.75, Insulation::Thwn2), Ok(69.0));
        assert_eq!(above(0.875, Insulation::Thwn2), Ok(36.0));
        assert_eq!(above(0.75, Insulation::Xhhw2), Ok(36.0));
    }

    #[test]
    fn a_nipple_is_no_bundle() {
        let factor = |inches: f64| {
            let length = Meters::from_feet(inches / 12.0);
            nec(&Conductor { length, loaded_conductors: 6, ..conductor("10") }, &conditions(30.0))
                .map(|found| found.bundling_factor.value)
        };
        assert_eq!(factor(24.0), Ok(1.0));
        assert_eq!(factor(25.0), Ok(0.80));
    }

    #[test]
    fn water_takes_its_share() {
        // THHN/THWN is 90 °C dry, 75 °C wet: 10 AWG 40 A or 35 A, at 40 °C × 0.91 or × 0.88.
        let corrected = |raceway, moisture| {
            let thhn = Conductor { insulation: Insulation::Thhn, raceway, ..conductor("10") };
            nec(&thhn, &Conditions { moisture, ..conditions(40.0) }).map(|found| found.corrected.value())
        };
        let near = |found: Result<f64, CannotTell>, expected: f64| {
            assert!(found.is_ok_and(|found| (found - expected).abs() < 1e-9), "{expected}");
        };
        near(corrected(Raceway::PlasticConduit, Moisture::Dry), 40.0 * 0.91);
        near(corrected(Raceway::PlasticConduit, Moisture::Wet), 35.0 * 0.88);
        near(corrected(Raceway::BuriedConduit, Moisture::Dry), 35.0 * 0.88);
    }

    #[test]
    fn what_the_nec_tables_do_not_hold() {
        let at = |conductor: &Conductor, ambient| nec(conductor, &conditions(ambient)).err();
        let metric = conductor("25 mm²");
        let foreign = CannotTell::ForeignSize { size: metric.size, rule_set: RuleSet::Nec2023 };
        assert_eq!(at(&metric, 30.0), Some(foreign));
        let welding = Conductor { insulation: Insulation::Welding, ..conductor("4/0") };
        assert_eq!(at(&welding, 30.0), Some(CannotTell::NotRated(Insulation::Welding)));
        let pvc = Conductor { insulation: Insulation::Pvc70, ..conductor("4") };
        assert!(matches!(at(&pvc, 30.0), Some(CannotTell::ForeignInsulation { .. })));
        let hot = at(&conductor("4"), 86.0).map(|why| why.to_string());
        assert_eq!(hot.as_deref(), Some("Table 310.15(B)(1)(1) permits no current at 86 °C"));
        let aluminum = Conductor { metal: Metal::Aluminum, ..conductor("14") };
        let no_row = at(&aluminum, 30.0).map(|why| why.to_string());
        assert_eq!(no_row.as_deref(), Some("Table 310.16 has no row for 14 AWG aluminum"));
    }

    #[test]
    fn cooler_terminals_hold_xlpe_down_to_the_70_degree_column() {
        let xlpe =
            Conductor { insulation: Insulation::Xlpe90, method: Some(Method::B1), ..conductor("25 mm²") };
        let at = |terminals| iec(&xlpe, &Conditions { terminals, ..conditions(35.0) });
        // 133 × 0.96 = 127.68 by itself; PVC 101 × 0.94 = 94.94 where the terminals bear 70 °C.
        let unmarked = at([None; 2]).unwrap_or_else(|why| panic!("{why}"));
        assert!((unmarked.corrected.value() - 127.68).abs() < 1e-9);
        assert!((unmarked.ampacity.value() - 94.94).abs() < 1e-9);
        assert_eq!(unmarked.terminal_rating, Some(Celsius::new(70.0)));
        let ninety = at([Some(Celsius::new(90.0)); 2]);
        assert!((amps(ninety) - 127.68).abs() < 1e-9);
        let sixty = at([Some(Celsius::new(60.0)); 2]);
        assert!(matches!(sixty, Err(CannotTell::TerminalTooCool { .. })));
    }

    #[test]
    fn circuits_together_and_circuits_in_the_ground() {
        let laid = |method, loaded_conductors| Conductor {
            method: Some(method),
            loaded_conductors,
            ..conductor("25 mm²")
        };
        // Two circuits bunched: 101 × 1.00 × 0.80 = 80.8. One in a duct at 20 °C: 99. Three loaded: 89.
        assert!((amps(iec(&laid(Method::B1, 4), &conditions(30.0))) - 80.8).abs() < 1e-9);
        assert!((amps(iec(&laid(Method::D1, 2), &conditions(20.0))) - 99.0).abs() < 1e-9);
        let three = Conditions { loaded: LoadedConductors::Three, ..conditions(30.0) };
        assert!((amps(iec(&laid(Method::B1, 3), &three)) - 89.0).abs() < 1e-9);
        // In soil of 1.0 K·m/W the duct carries 1.18 times as much.
        let soil = Conditions { soil: SoilResistivity::new(1.0), ..conditions(20.0) };
        assert!((amps(iec(&laid(Method::D1, 2), &soil)) - 99.0 * 1.18).abs() < 1e-9);
        let group = iec(&laid(Method::D1, 4), &conditions(20.0));
        assert!(matches!(group, Err(CannotTell::NoTable { .. })));
    }

    #[test]
    fn what_the_iec_tables_do_not_hold() {
        let at = |conductor: &Conductor| iec(conductor, &conditions(30.0)).err();
        assert_eq!(at(&conductor("25 mm²")), Some(CannotTell::Missing(MissingDatum::Method)));
        let american = Conductor { method: Some(Method::B1), ..conductor("4") };
        let foreign = CannotTell::ForeignSize { size: american.size, rule_set: RuleSet::Iec };
        assert_eq!(at(&american), Some(foreign));
        let aluminum = Conductor { method: Some(Method::B1), metal: Metal::Aluminum, ..conductor("25 mm²") };
        assert!(matches!(at(&aluminum), Some(CannotTell::NoRow { .. })));
        let in_conduit =
            Conductor { method: Some(Method::B1), insulation: Insulation::PvCable, ..conductor("4 mm²") };
        assert!(matches!(at(&in_conduit), Some(CannotTell::NoTable { .. })));
        let hot = Conductor { method: Some(Method::B1), ..conductor("4 mm²") };
        assert!(matches!(iec(&hot, &conditions(61.0)), Err(CannotTell::TooHot { .. })));
    }

    #[test]
    fn a_colder_place_and_a_larger_conductor_never_carry_less() {
        let codes = codes();
        let mut last = 0.0;
        for size in codes.nec.conductor_properties.sizes().skip(2) {
            let conductor = Conductor { size, ..conductor("4") };
            let at = |ambient| {
                ampacity(&codes, RuleSet::Nec2020, &conductor, &conditions(ambient))
                    .map_or(0.0, |found| found.ampacity.value())
            };
            assert!(at(30.0) > last, "{size}");
            last = at(30.0);
            let falling: Vec<f64> = (-40..95).map(|ambient| at(f64::from(ambient))).collect();
            assert!(falling.windows(2).all(|pair| pair[0] >= pair[1]), "{size}");
        }
    }
}
