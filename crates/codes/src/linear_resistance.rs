//! Resistance or reactance of a conductor for its length, in the unit in which its table is printed.

use lineside_core::units::{Meters, Ohms};

/// The length to which a table refers its resistances.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReferenceLength {
    /// 1000 ft: the tables of the NEC.
    ThousandFeet,
    /// 1 km: the tables of the IEC.
    Kilometer,
}

/// Ohms for the reference length of a table, one conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinearResistance {
    ohms: Ohms,
    per: ReferenceLength,
}

impl LinearResistance {
    /// So many ohms on a reference length.
    pub const fn new(ohms: Ohms, per: ReferenceLength) -> Self {
        Self { ohms, per }
    }
    /// The ohms on the reference length, as the table prints them.
    pub const fn ohms(self) -> Ohms {
        self.ohms
    }
    /// The reference length.
    pub const fn per(self) -> ReferenceLength {
        self.per
    }
    /// As written after the number: `Ω/kft`, `Ω/km`.
    pub const fn unit(self) -> &'static str {
        match self.per {
            ReferenceLength::ThousandFeet => "Ω/kft",
            ReferenceLength::Kilometer => "Ω/km",
        }
    }
    /// The resistance of a conductor of that length.
    pub fn over(self, length: Meters) -> Ohms {
        let share = match self.per {
            ReferenceLength::ThousandFeet => length.feet(),
            ReferenceLength::Kilometer => length.value(),
        };
        self.ohms * share / 1000.0
    }
    /// The same conductor when each ohm has become `factor` ohms.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { ohms: self.ohms * factor, per: self.per }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn over_a_length() {
        // 0.0608 Ω/kft × 14 ft / 1000 = 0.8512 mΩ; 5.09 Ω/km × 3 m / 1000 = 15.27 mΩ
        let check = |ohms, per, length, expected: f64| {
            let resistance = LinearResistance::new(Ohms::new(ohms), per).over(length);
            assert!((resistance.value() * 1e3 - expected).abs() < 1e-9, "{resistance}");
        };
        check(0.0608, ReferenceLength::ThousandFeet, Meters::from_feet(14.0), 0.8512);
        check(5.09, ReferenceLength::Kilometer, Meters::new(3.0), 15.27);
    }
}
