//! How long a conductor stands a short circuit before its insulation is damaged.

use crate::conditions::Conditions;
use lineside_codes::FactorKey;
use lineside_codes::tables::InsulationStructure;
use lineside_core::circuit::{Conductor, Metal};
use lineside_core::math;
use lineside_core::units::{Amps, Celsius, ConductorSize, Measure, Quantity, Seconds};
use lineside_core::working::{Listener, Origin};

/// The time for which a current may flow through the conductors of a pole. NEC: ICEA P-32-382,
/// `(I / A)² t = c log10((T2 + τ) / (T1 + τ))`, A in circular mils. IEC 60364-4-43 cl. 434.5.2: `I² t = k² S²`, S in mm².
/// `None` where the size is not of the code's system or no current flows.
pub fn withstand_time(
    on: &Conditions<'_>,
    conductor: &Conductor,
    current: Amps,
    listener: &mut impl Listener,
) -> Option<Seconds> {
    if current <= Amps::ZERO {
        return None;
    }
    let structure = on.codes.common.insulations.find(conductor.insulation)?.structure;
    let conductors = f64::from(conductor.parallel.max(1));
    listener.given("short-circuit current", "I", current.into(), || Origin::Working("faults".to_owned()));
    let time = if on.rule_set.is_nec() {
        nec(on, conductor, structure, current.value() / conductors, listener)
    } else {
        iec(on, conductor, structure, current.value() / conductors, listener)
    };
    Seconds::try_new(time?).ok()
}

fn nec(
    on: &Conditions<'_>,
    conductor: &Conductor,
    structure: InsulationStructure,
    amps_each: f64,
    listener: &mut impl Listener,
) -> Option<f64> {
    let area = on.codes.nec.conductor_properties.circular_mils(conductor.size)?;
    listener.given("area of a conductor", "A", area.value.into(), || Origin::Table(area.source.to_string()));
    let (constant, offset) = match conductor.metal {
        Metal::Copper => (FactorKey::ShortCircuitCopper, FactorKey::ShortCircuitCopperOffset),
        Metal::Aluminum => (FactorKey::ShortCircuitAluminum, FactorKey::ShortCircuitAluminumOffset),
    };
    let end = match structure {
        InsulationStructure::Thermoplastic => FactorKey::ShortCircuitThermoplastic,
        InsulationStructure::Thermoset => FactorKey::ShortCircuitThermoset,
    };
    let table = |key| Origin::Table(on.clause(key).to_owned());
    let (start, end_at): (Celsius, Celsius) = (on.quantity(FactorKey::ShortCircuitStart), on.quantity(end));
    listener
        .given("conductor when the fault begins", "T1", start.into(), || table(FactorKey::ShortCircuitStart));
    listener.given("greatest that the insulation stands", "T2", end_at.into(), || table(end));
    let (c, tau) = (on.number(constant), on.number(offset));
    let heat = c * math::log10((end_at.value() + tau) / (start.value() + tau));
    let share = area.value.value() / amps_each;
    let time = share * share * heat;
    listener.found(
        "stands it for",
        "t",
        || format!("(n A / I)² × {c} × log10((T2 + {tau}) / (T1 + {tau}))"),
        Seconds::new(time).into(),
    );
    Some(time)
}

fn iec(
    on: &Conditions<'_>,
    conductor: &Conductor,
    structure: InsulationStructure,
    amps_each: f64,
    listener: &mut impl Listener,
) -> Option<f64> {
    let ConductorSize::Metric(tenths) = conductor.size else { return None };
    let key = match (conductor.metal, structure) {
        (Metal::Copper, InsulationStructure::Thermoplastic) => FactorKey::WithstandCopperThermoplastic,
        (Metal::Copper, InsulationStructure::Thermoset) => FactorKey::WithstandCopperThermoset,
        (Metal::Aluminum, InsulationStructure::Thermoplastic) => FactorKey::WithstandAluminumThermoplastic,
        (Metal::Aluminum, InsulationStructure::Thermoset) => FactorKey::WithstandAluminumThermoset,
    };
    let k = on.number(key);
    let area = f64::from(tenths) / 10.0;
    listener.given("area of a conductor, mm²", "S", Quantity::number(area), || {
        Origin::Setting("run".to_owned())
    });
    listener.given("constant of metal and insulation", "k", Quantity::number(k), || {
        Origin::Table(on.clause(key).to_owned())
    });
    let share = k * area / amps_each;
    let time = share * share;
    listener.found("stands it for", "t", || "(n k S / I)²".to_owned(), Seconds::new(time).into());
    Some(time)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_codes::Codes;
    use lineside_core::circuit::Insulation;
    use lineside_core::project::{Project, RuleSet};
    use lineside_core::testing::copper;
    use lineside_core::units::Meters;
    use lineside_core::working::Silent;

    fn time(rule_set: RuleSet, size: &str, insulation: Insulation, amps: f64) -> Option<f64> {
        let (project, codes) = (Project::default(), Codes::load().unwrap());
        let on = Conditions::new(&project, &codes).under(rule_set);
        let conductor = Conductor { insulation, ..copper(size, Meters::new(1.0)) };
        withstand_time(&on, &conductor, Amps::new(amps), &mut Silent).map(Seconds::value)
    }

    fn check(found: Option<f64>, expected: f64) {
        let found = found.unwrap();
        assert!((found / expected - 1.0).abs() < 1e-3, "{found} instead of {expected}");
    }

    #[test]
    fn hand_worked() {
        // 211600² × 0.0297 × log10(384 / 309) / 20216.10² = 0.307 s (4/0, thermoplastic, 20.2 kA)
        check(time(RuleSet::Nec2023, "4/0", Insulation::Thwn2, 20_216.10), 0.3072);
        // log10(484 / 309) = 0.19489 instead of 0.09438: thermoset to 250 °C
        check(time(RuleSet::Nec2023, "4/0", Insulation::Xhhw2, 20_216.10), 0.3072 * 0.19489 / 0.09438);
        // 115² × 25² / 2727.97² = 8265625 / 7441820.3 = 1.1107 s; 115² × 4² = 211600: 0.02843 s
        check(time(RuleSet::Iec, "25 mm²", Insulation::Pvc70, 2727.97), 1.1107);
        check(time(RuleSet::Iec, "4 mm²", Insulation::Pvc70, 2727.97), 0.02843);
        // 143² × 25² / 2727.97² = 12780625 / 7441820.3
        check(time(RuleSet::Iec, "25 mm²", Insulation::Xlpe90, 2727.97), 1.7174);
    }

    #[test]
    fn foreign_sizes_and_no_current_have_no_time() {
        assert_eq!(time(RuleSet::Iec, "4/0", Insulation::Pvc70, 1000.0), None);
        assert_eq!(time(RuleSet::Nec2023, "25 mm²", Insulation::Thwn2, 1000.0), None);
        assert_eq!(time(RuleSet::Nec2023, "4/0", Insulation::Thwn2, 0.0), None);
    }
}
