//! The factors and limits of the rules, by rule set.
//!
//! Which there are is listed in [`crate::factor_key`]. Limits that are a conductor size are in
//! [`crate::tables::SizeLimits`].

use crate::cited::Confidence;
use crate::factor_key::FactorKey;
use crate::table_error::TableError;
use crate::table_file::{Row, TableFile, table_file};
use lineside_core::project::RuleSet;
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Measure, Quantity, Unit};

pub(crate) const FILE: TableFile = table_file!("common/factors.csv");

/// Units that pure numbers of the table may have, because no quantity of the program has them.
const OTHER_UNITS: [&str; 10] =
    ["", "1/K", "1/h", "A/mm²", "A·s^½/mm²", "m·km⁻²·a⁻¹", "m³/Ah", "cm²·h/m³", "cfm/A", "cfm/ft²"];

/// A factor or limit with the place where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    /// The value, in the unit of its key.
    pub value: Quantity,
    /// Unit of a pure number that has one, such as `cfm/A`; otherwise as written in the file.
    pub unit: String,
    /// The clause that sets it.
    pub clause: String,
    /// How sure it is.
    pub confidence: Confidence,
    /// What it means or how it is printed in the standard.
    pub note: String,
}

/// The factors of every rule set.
#[derive(Clone, Debug)]
pub struct Factors {
    rows: Vec<Factor>,
    /// By key, then by rule set in the order of [`RuleSet::ALL`]: the place in `rows`.
    places: Vec<[Option<usize>; RuleSet::ALL.len()]>,
    /// What [`Self::get`] gives when a program asks for what no rule set has.
    none: Factor,
}

impl Factors {
    /// Reads and checks the file.
    pub(crate) fn parse(file: &TableFile) -> Result<Self, TableError> {
        let table = file.read()?;
        let mut rows = Vec::new();
        let mut places = vec![[None; RuleSet::ALL.len()]; FactorKey::ALL.len()];
        for row in table.iter() {
            let key = row.one_of("key", FactorKey::ALL, FactorKey::key)?;
            for rule_set in rule_sets_of(row)? {
                let place = places
                    .get_mut(key as usize)
                    .and_then(|sets| sets.get_mut(*rule_set as usize))
                    .ok_or_else(|| row.error("key", "a known key", key.key()))?;
                if place.replace(rows.len()).is_some() {
                    return Err(row.error("rule_set", "each rule set once for a key", rule_set.key()));
                }
                if !key.rule_sets().contains(rule_set) {
                    return Err(row.error("rule_set", "a rule set that uses this key", rule_set.key()));
                }
            }
            rows.push(factor_of(row, key)?);
        }
        for (key, sets) in FactorKey::ALL.iter().zip(&places) {
            let missing = RuleSet::ALL
                .iter()
                .zip(sets)
                .find(|(rule_set, place)| place.is_none() && key.rule_sets().contains(rule_set));
            if let Some((rule_set, _)) = missing {
                return Err(table.error(format!("a row of “{}” for {}", key.key(), rule_set.key()), "none"));
            }
        }
        let none = Factor {
            value: Quantity::number(0.0),
            unit: String::new(),
            clause: "not used by this rule set".to_owned(),
            confidence: Confidence::Engineering,
            note: String::new(),
        };
        Ok(Self { rows, places, none })
    }

    /// The factor under a key, if the rule set uses it.
    pub fn find(&self, rule_set: RuleSet, key: FactorKey) -> Option<&Factor> {
        let place = self.places.get(key as usize)?.get(rule_set as usize).copied().flatten()?;
        self.rows.get(place)
    }

    /// The factor under a key that the rule set uses.
    ///
    /// To ask for any other is a mistake in the program. A release then answers with the value of another
    /// rule set, clause included, so that what is printed shows it.
    pub fn get(&self, rule_set: RuleSet, key: FactorKey) -> &Factor {
        debug_assert!(key.rule_sets().contains(&rule_set), "{} has no factor {}", rule_set.key(), key.key());
        self.find(rule_set, key)
            .or_else(|| RuleSet::ALL.iter().find_map(|other| self.find(*other, key)))
            .unwrap_or(&self.none)
    }

    /// A pure number under a key that the rule set uses.
    pub fn number(&self, rule_set: RuleSet, key: FactorKey) -> f64 {
        debug_assert_eq!(key.unit(), Unit::One, "{} has a unit", key.key());
        self.get(rule_set, key).value.value
    }

    /// A quantity under a key that the rule set uses; its type must be that of the key's unit.
    pub fn quantity<M: Measure + Default>(&self, rule_set: RuleSet, key: FactorKey) -> M {
        debug_assert_eq!(key.unit(), M::UNIT, "{} has another unit", key.key());
        M::try_new(self.get(rule_set, key).value.value).unwrap_or_default()
    }

    /// Every row of the table, in the order of the file.
    pub fn rows(&self) -> &[Factor] {
        &self.rows
    }
}

/// The rule sets that a row speaks of: one, `nec` for all its editions, or `all`.
pub(crate) fn rule_sets_of(row: Row<'_>) -> Result<&'static [RuleSet], TableError> {
    const ALL: &[RuleSet] = &RuleSet::ALL;
    const GROUPS: [(&str, &[RuleSet]); 6] = [
        ("all", ALL),
        ("nec", &[RuleSet::Nec2023, RuleSet::Nec2020, RuleSet::Nec2017]),
        ("nec-2023", &[RuleSet::Nec2023]),
        ("nec-2020", &[RuleSet::Nec2020]),
        ("nec-2017", &[RuleSet::Nec2017]),
        ("iec", &[RuleSet::Iec]),
    ];
    row.one_of("rule_set", &GROUPS, |(name, _)| name).map(|(_, rule_sets)| rule_sets)
}

fn factor_of(row: Row<'_>, key: FactorKey) -> Result<Factor, TableError> {
    let number = row.number("value")?;
    let written = row.text("unit")?;
    let value = if key.unit() == Unit::One {
        row.one_of("unit", &OTHER_UNITS, |unit| unit)?;
        number
    } else {
        text::read(&format!("{number} {written}"), key.unit(), UnitSystem::Si)
            .map_err(|fault| row.error("unit", "a unit of this quantity", &fault.to_string()))?
    };
    Ok(Factor {
        value: Quantity { value, unit: key.unit() },
        unit: written.to_owned(),
        clause: row.filled("clause")?.to_owned(),
        confidence: row.confidence("confidence")?,
        note: row.filled("note")?.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::{Amps, Celsius, Meters, Millimeters, Volts};

    fn factors() -> Factors {
        Factors::parse(&FILE).unwrap_or_else(|fault| panic!("{fault}"))
    }

    #[test]
    fn every_key_has_a_row_in_every_rule_set_that_uses_it() {
        let factors = factors();
        for key in FactorKey::ALL {
            for rule_set in RuleSet::ALL {
                let there = factors.find(rule_set, *key).is_some();
                let used = key.rule_sets().contains(&rule_set);
                assert_eq!(there, used, "{} in {}", key.key(), rule_set.key());
            }
        }
    }

    #[test]
    fn every_row_is_reached_by_a_key() {
        let factors = factors();
        let mut reached: Vec<usize> = factors.places.iter().flatten().copied().flatten().collect();
        reached.sort_unstable();
        reached.dedup();
        assert_eq!(reached.len(), factors.rows().len());
        assert!(factors.rows().len() > FactorKey::ALL.len());
    }

    #[test]
    fn keys_are_unlike_each_other() {
        let mut keys: Vec<_> = FactorKey::ALL.iter().map(|key| key.key()).collect();
        keys.sort_unstable();
        assert!(keys.windows(2).all(|pair| pair[0] != pair[1]));
    }

    #[test]
    fn units_come_out_as_kept() {
        let factors = factors();
        // 0.875 in × 25.4 mm/in = 22.225 mm; 24 in = 0.6096 m; 10 ft = 3.048 m; 10 kA = 10000 A
        let check = |value: f64, expected: f64| assert!((value - expected).abs() < 1e-9, "{value}");
        let nec = RuleSet::Nec2023;
        check(factors.quantity::<Millimeters>(nec, FactorKey::RoofHeight).value(), 22.225);
        check(factors.quantity::<Meters>(nec, FactorKey::NippleLength).value(), 0.6096);
        check(factors.quantity::<Meters>(nec, FactorKey::InSightDistance).value(), 3.048);
        check(factors.quantity::<Amps>(nec, FactorKey::UtilityFault).value(), 10_000.0);
        check(factors.quantity::<Amps>(RuleSet::Iec, FactorKey::ResidualCurrent).value(), 0.03);
        check(factors.quantity::<Celsius>(RuleSet::Iec, FactorKey::WarmConductor).value(), 70.0);
    }

    #[test]
    fn editions_differ_where_they_do() {
        let factors = factors();
        let clause = |rule_set, key| factors.get(rule_set, key).clause.as_str();
        assert_eq!(clause(RuleSet::Nec2017, FactorKey::RoofAdder), "310.15(B)(3)(c)");
        assert_eq!(clause(RuleSet::Nec2023, FactorKey::RoofAdder), "310.15(B)(2)");
        assert_eq!(clause(RuleSet::Nec2017, FactorKey::BatteryLead), "706.21(F) and 240.21(H)");
        let threshold = |rule_set| factors.quantity::<Volts>(rule_set, FactorKey::GroundFaultVoltage);
        assert_eq!(threshold(RuleSet::Nec2017), Volts::ZERO);
        assert_eq!(threshold(RuleSet::Nec2020), Volts::new(30.0));
        let iec = |key| factors.find(RuleSet::Iec, key).map(|factor| factor.value.value);
        assert_eq!(iec(FactorKey::Continuous), Some(1.0));
        assert_eq!(iec(FactorKey::BatteryResistance), Some(0.9));
        assert_eq!(iec(FactorKey::ArcFaultVoltage), None);
    }

    #[test]
    fn what_belongs_together_agrees() {
        let factors = factors();
        // 1000 A/in² over 645.16 mm²/in² = 1.550 A/mm², 700 A/in² = 1.085 A/mm²
        let nec = RuleSet::Nec2023;
        let per_square_inch = |key| factors.number(nec, key) * 645.16;
        assert!((per_square_inch(FactorKey::BarCopper) - 1000.0).abs() < 0.5);
        assert!((per_square_inch(FactorKey::BarAluminum) - 700.0).abs() < 0.5);
        // IEC 62485-2: 24 × 0.42e-3 m³/Ah × 5 = 0.0504
        let air = factors.number(nec, FactorKey::VentilationAir);
        assert!((air - 24.0 * 0.42e-3 * 5.0).abs() < 0.001);
        // 0.42e-3 m³/h per ampere is 0.42e-3 / 1.699 = 0.000247 cfm at 0 °C, 0.000269 at 25 °C
        let hydrogen = factors.number(nec, FactorKey::HydrogenFlow);
        assert!((hydrogen * 1.699 / 0.42e-3 - 298.15 / 273.15).abs() < 0.01);
    }

    #[test]
    fn disorder_is_refused() {
        let says = |rows: &str| {
            let text = format!("# source: a test\nrule_set,key,value,unit,clause,confidence,note\n{rows}\n");
            Factors::parse(&TableFile { name: "assets/codes/test.csv", text: text.leak() }).map(|_| ())
        };
        let column = |rows| says(rows).map_err(|fault| fault.column).err().unwrap_or_default();
        assert_eq!(column("iec,round_up_greatest,800,A,240.4,recalled,x"), "rule_set");
        assert_eq!(column("nec-1999,round_up_greatest,800,A,240.4,recalled,x"), "rule_set");
        assert_eq!(column("nec,no_such_key,800,A,240.4,recalled,x"), "key");
        assert_eq!(column("nec,round_up_greatest,800,V,240.4,recalled,x"), "unit");
        assert_eq!(column("nec,round_up_greatest,,A,240.4,recalled,x"), "value");
        assert_eq!(column("nec,round_up_greatest,800,A,,recalled,x"), "clause");
        let twice = "nec,round_up_greatest,800,A,a,recalled,x\nnec-2017,round_up_greatest,800,A,a,recalled,x";
        assert_eq!(column(twice), "rule_set");
        let missing = says("nec,round_up_greatest,800,A,240.4,recalled,x").map_err(|fault| fault.to_string());
        assert!(missing.is_err_and(|fault| fault.contains("a row of “pv_current” for nec-2023")));
    }
}
