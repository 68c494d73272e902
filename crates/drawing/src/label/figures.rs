//! Figures as they stand on the sheet. A sheet says the same few figures many times, so each is written out
//! once and kept.

use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Quantity, Unit};

/// Writes quantities in one system of units.
pub(crate) struct Figures {
    units: UnitSystem,
    kept: Vec<Option<Kept>>,
}

struct Kept {
    bits: u64,
    unit: Unit,
    text: String,
}

/// Slots of the table of figures; a power of two. Figures that share a slot take turns in it.
const SLOTS: usize = 256;

impl Figures {
    pub(crate) fn new(units: UnitSystem) -> Self {
        Self { units, kept: std::iter::repeat_with(|| None).take(SLOTS).collect() }
    }

    /// Appends a rating as on a nameplate.
    pub(crate) fn write(&mut self, out: &mut String, quantity: impl Into<Quantity>) {
        let quantity = quantity.into();
        let bits = quantity.value.to_bits();
        // The high bits of the number and its unit choose the slot: nameplate figures differ there.
        let mixed = (bits >> 40) ^ (bits >> 52) ^ ((quantity.unit as u64) << 3);
        let slot = usize::try_from(mixed).unwrap_or(0) & (SLOTS - 1);
        let Some(entry) = self.kept.get_mut(slot) else { return };
        match entry {
            Some(kept) if kept.bits == bits && kept.unit == quantity.unit => out.push_str(&kept.text),
            _ => {
                let text = text::plain(quantity, self.units);
                out.push_str(&text);
                *entry = Some(Kept { bits, unit: quantity.unit, text });
            }
        }
    }
}
