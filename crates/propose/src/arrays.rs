//! The arrays of a search: every module on every controller, in every number, for one charge voltage.

use crate::combination::Combination;
use crate::limits::Limit;
use crate::search::Search;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::units::{Amps, Volts, Watts};
use rust_decimal::Decimal;

/// An array with its controllers, as far as a bank cares.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Array {
    pub cost: Decimal,
    pub power: Watts,
    pub current: Amps,
    /// What its breakers bring to the bus together.
    pub feeders: Amps,
    pub combination: Combination,
}

impl Search<'_, '_> {
    /// Every array for the charge voltage of a bank, cheapest first.
    pub(crate) fn prepare(&mut self, bank: &BatteryBank) -> u64 {
        let charge: Volts = self.terms.charge_volts(bank);
        let key = charge.value().to_bits();
        if self.arrays.contains_key(&key) {
            return key;
        }
        let mut all = Vec::new();
        for (controller, part) in self.terms.shelf.controllers.iter().enumerate() {
            if let Some(broken) = self.terms.controller_limits(&part.item, bank).first() {
                self.cut(broken.limit);
                continue;
            }
            for module in 0..self.terms.shelf.modules.len() {
                self.series(bank, module, controller, &mut all);
            }
        }
        self.arrays.insert(key, unbeaten(all));
        key
    }

    fn series(&mut self, bank: &BatteryBank, module: usize, controller: usize, into: &mut Vec<Array>) {
        let terms = self.terms;
        let shelf = &terms.shelf;
        let (Some(part), Some(volts), Some(takes)) =
            (shelf.modules.get(module), terms.volts.get(module), shelf.controllers.get(controller))
        else {
            return;
        };
        for modules in 1..=60 {
            let limits = terms.series_limits(&takes.item, &part.item, *volts, bank, modules);
            let cold = limits.iter().find(|broken| broken.limit != Limit::HotVoltage);
            if let Some(broken) = cold.or(limits.first()) {
                self.cut(broken.limit);
                // With one module more a cold string is only higher.
                if cold.is_some() {
                    break;
                }
                continue;
            }
            for strings in 1..=self.bounds.strings {
                let one = Combination { module, controller, modules, strings, ..Combination::FIRST };
                let cold = volts.cold * f64::from(modules);
                if let Some(broken) = terms.string_device_limit(&part.item, cold, strings) {
                    // One string more pushes back only more.
                    self.cut(broken.limit);
                    break;
                }
                if let Some(broken) = terms.parallel_limits(&takes.item, &part.item, bank, &one).first() {
                    // With one string more the current and the power are only higher.
                    self.cut(broken.limit);
                    break;
                }
                for controllers in 1..=self.bounds.controllers {
                    let combination = Combination { controllers, ..one };
                    if let Some(broken) = terms.space_limit(&part.item, &combination) {
                        // With one controller more the modules only need more.
                        self.cut(broken.limit);
                        break;
                    }
                    let power = terms.array_worth(&takes.item, &part.item, bank, &combination);
                    let current = terms.charge_current(&takes.item, &part.item, bank, &combination);
                    let feeders = terms.feeder(&takes.item) * f64::from(controllers);
                    let cost = terms.array_cost(&combination);
                    into.push(Array { cost, power, current, feeders, combination });
                }
            }
        }
    }
}

/// Cheapest first, without what a cheaper array of the same module beats: as much power with no more charge current
/// reaches every grade that the dearer one reaches.
fn unbeaten(mut all: Vec<Array>) -> Vec<Array> {
    all.sort_by_key(|array| (array.cost, array.combination));
    let mut kept: Vec<Array> = Vec::new();
    for array in all {
        let beaten = kept.iter().any(|it| {
            it.combination.module == array.combination.module
                && it.power >= array.power
                && it.current <= array.current
                && it.feeders <= array.feeders
                && it.combination.controllers <= array.combination.controllers
        });
        if !beaten {
            kept.push(array);
        }
    }
    kept
}
