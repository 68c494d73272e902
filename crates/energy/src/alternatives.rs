//! The same system with a bank of another chemistry that can give the same energy: what a comparison of chemistries is
//! made of.
//!
//! Everything but the bank stays as it stands on the sheet. Whether the equipment suits the voltages of the other chemistry
//! is not asked here; that is the rules' work on a sheet that has it.

use crate::battery::{Bank, Cell, Store};
use crate::system::System;
use crate::tables::Defaults;
use lineside_codes::Codes;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{AmpHours, WattHours};

/// Volts in whose multiples banks are named.
const CLASS: f64 = 12.0;

/// Usual cells in series for each 12 V of the name of a bank.
const fn cells_of_class(chemistry: Chemistry) -> f64 {
    match chemistry {
        Chemistry::NickelIron => 10.0,
        Chemistry::LithiumIronPhosphate => 4.0,
        Chemistry::FloodedLead | Chemistry::AbsorbedGlassMat | Chemistry::Gel => 6.0,
    }
}

impl Bank {
    /// Energy at rest between full and the charge below which it is not drawn.
    pub fn usable(&self) -> WattHours {
        if self.left() <= AmpHours::ZERO {
            return WattHours::ZERO;
        }
        let store = Store::new(self);
        WattHours::new(store.energy(store.capacity) - store.energy(store.floor))
    }
    /// Energy by its name: capacity times nominal voltage.
    pub fn rated(&self) -> WattHours {
        self.capacity * self.nominal
    }

    /// A new bank of the usual cells of another chemistry in the same room, whose usable energy is the same. Set points are
    /// those of its own chemistry. `None` for a bank that gives nothing.
    pub fn in_chemistry(&self, chemistry: Chemistry, codes: &Codes, defaults: &Defaults) -> Option<Self> {
        let cell = Cell::usual(codes, chemistry)?;
        let classes = (self.nominal.value() / CLASS).round().max(1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few hundred cells at most"
        )]
        let cells = (classes * cells_of_class(chemistry)).min(1e4) as u32;
        let mut bank = Self::new(cell, cells, AmpHours::new(1.0), defaults);
        // Stored energy goes in proportion to the capacity.
        let of_one = bank.usable().value();
        let wanted = self.usable().value() / of_one;
        if of_one <= 0.0 || !(wanted > 0.0 && wanted.is_finite()) {
            return None;
        }
        bank.capacity = AmpHours::new(wanted);
        bank.nominal = self.nominal;
        bank.cable = self.cable;
        bank.room = self.room;
        bank.inertia = self.inertia;
        Some(bank)
    }
}

impl System {
    /// This system with the bank of another chemistry that can give the same energy.
    pub fn in_chemistry(&self, chemistry: Chemistry, codes: &Codes, defaults: &Defaults) -> Option<Self> {
        let bank = self.bank.in_chemistry(chemistry, codes, defaults)?;
        Some(Self { bank, ..self.clone() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bank(chemistry: Chemistry, cells: u32, capacity: f64) -> (Bank, Codes, Defaults) {
        let codes = Codes::load().unwrap();
        let defaults = crate::Tables::load().unwrap().defaults;
        let cell = Cell::usual(&codes, chemistry).unwrap();
        (Bank::new(cell, cells, AmpHours::new(capacity), &defaults), codes, defaults)
    }

    #[test]
    fn a_bank_of_another_chemistry_gives_the_same_energy() {
        let (lead, codes, defaults) = bank(Chemistry::FloodedLead, 24, 400.0);
        for (chemistry, cells) in [
            // 48 V are four times 12 V: 40 nickel-iron cells, 16 of lithium, 24 of lead.
            (Chemistry::NickelIron, 40),
            (Chemistry::LithiumIronPhosphate, 16),
            (Chemistry::AbsorbedGlassMat, 24),
        ] {
            let other = lead.in_chemistry(chemistry, &codes, &defaults).unwrap();
            assert_eq!((other.cells, other.nominal), (cells, lead.nominal));
            assert!((other.usable().value() / lead.usable().value() - 1.0).abs() < 1e-12, "{chemistry:?}");
        }
        // Lead is drawn to half, lithium to a tenth or two: the same use takes less of it by name.
        let lithium = lead.in_chemistry(Chemistry::LithiumIronPhosphate, &codes, &defaults).unwrap();
        assert!(lithium.capacity < lead.capacity);
    }

    #[test]
    fn usable_energy_lies_under_the_curve_of_resting_voltages() {
        let (mut bank, codes, defaults) = bank(Chemistry::LithiumIronPhosphate, 16, 100.0);
        let points = [(0.0, 3.0), (100.0, 3.4)];
        bank.cell.rest_voltages =
            points.map(|(x, y)| lineside_core::kinds::field::CurvePoint { x, y }).to_vec();
        bank.cell.least_charge = lineside_core::units::Percent::new(50.0);
        // Mean of 3.2 and 3.4 V over the upper 50 Ah of 16 cells: 3.3 × 50 × 16 = 2640 Wh
        assert!((bank.usable().value() - 2640.0).abs() < 1e-9);
        // 16 cells of 3.2 V, 100 Ah
        assert!((bank.rated().value() - 5120.0).abs() < 1e-9);
        bank.capacity = AmpHours::ZERO;
        assert_eq!(bank.in_chemistry(Chemistry::Gel, &codes, &defaults), None);
    }
}
