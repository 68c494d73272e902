//! Switching controllers: they join the strings to the bank, so that a module gives its current at the voltage of the bank,
//! and what it could give above that voltage is lost.

use crate::combination::Combination;
use crate::limits::{Broken, Limit, most};
use crate::terms::{ModuleVolts, Terms};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Amps, Volts, Watts};

/// Whether a controller joins its strings to the bank.
pub(crate) fn switches(controller: &ChargeController) -> bool {
    controller.kind == ControllerType::Switching
}

impl Terms<'_> {
    /// How far hot strings must stand above the charge voltage.
    pub(crate) fn headroom(&self, controller: &ChargeController) -> Volts {
        let usual = if switches(controller) { "switching_headroom" } else { "tracking_headroom" };
        let usual = Volts::new(self.factors.value(usual));
        controller.headroom.map_or(usual, |given| given.max(usual))
    }

    /// Strings so far above the bank's voltage that most of their power would be lost.
    pub(crate) fn switching_limit(
        &self,
        controller: &ChargeController,
        volts: ModuleVolts,
        bank: &BatteryBank,
        modules: u32,
    ) -> Option<Broken> {
        let allowed = self.charge_volts(bank) * self.factors.value("switching_most");
        switches(controller)
            .then(|| most(Limit::SwitchingVoltage, volts.hot * f64::from(modules), allowed))
            .flatten()
    }

    /// What an array is worth beside the energy that is needed: all its power behind a tracking controller; behind a
    /// switching one its current at the voltage that the bank has while it is charged, on the mean.
    pub(crate) fn array_worth(
        &self,
        controller: &ChargeController,
        module: &Strings,
        bank: &BatteryBank,
        it: &Combination,
    ) -> Watts {
        if !switches(controller) {
            return module.power * f64::from(it.all_modules());
        }
        let mean = self.charge_volts(bank) * self.factors.value("switching_share");
        (mean * module.max_power_current * f64::from(it.strings * it.controllers))
            .min(module.power * f64::from(it.all_modules()))
    }

    /// The current with which an array charges a bank at most.
    pub(crate) fn charge_current(
        &self,
        controller: &ChargeController,
        module: &Strings,
        bank: &BatteryBank,
        it: &Combination,
    ) -> Amps {
        let gives = if switches(controller) {
            module.max_power_current * f64::from(it.strings * it.controllers)
        } else {
            let array = module.power * f64::from(it.all_modules());
            array * self.factors.value("charge_share") / self.charge_volts(bank)
        };
        gives.min(controller.output_limit() * f64::from(it.controllers))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::with_units;
    use crate::sizing_examples::{BASE, Ground, TROPICS, cell, inverter, load, module, near, project};
    use lineside_core::kinds::battery_bank::Chemistry;
    use lineside_core::project::{StockItem, SupplyWish};
    use lineside_core::stock;

    fn built_in(name: &str) -> StockItem {
        stock::find(&stock::built_in().unwrap(), name).unwrap().clone()
    }

    #[test]
    fn a_small_cabin_at_12_volts() {
        let stock = vec![
            module(160.0, 22.5, 9.1, 18.6, -0.39, -0.30),
            module(400.0, 37.1, 13.65, 31.2, -0.34, -0.26),
            built_in("Switching controller, 12 and 24 V, 20 A"),
            built_in("Switching controller, 12 and 24 V, 30 A"),
            cell("2 V cell", Chemistry::AbsorbedGlassMat, 6, 260.0),
            inverter(300.0, 300.0, 600.0, 4.0, 10.5, 16.0),
        ];
        let ground =
            Ground::new(project(&TROPICS, vec![load(50.0, 5.0, 7, None)], 3.0, SupplyWish::Excluded), stock);
        let terms = ground.terms();
        let bank = with_units(&terms.shelf.batteries[0].item, 1);
        let (small, right) = (&terms.shelf.controllers[0].item, &terms.shelf.controllers[1].item);
        let two = Combination { strings: 2, ..BASE };
        let parallel =
            |controller| terms.parallel_limits(controller, &terms.shelf.modules[0].item, &bank, &two);
        // 1.25 × 2 × 9.1 = 22.75 A: more than 20 A, less than 30 A.
        assert!(parallel(small).iter().any(|broken| broken.limit == Limit::InputCurrent));
        assert!(parallel(right).is_empty());
        // One module of 36 cells in series is right for 12 V; of 72 cells most of the voltage would be lost.
        let series = |modules, at: usize| {
            let found =
                terms.series_limits(right, &terms.shelf.modules[at].item, terms.volts[at], &bank, modules);
            found.iter().any(|broken| broken.limit == Limit::SwitchingVoltage)
        };
        assert!(!series(1, 0) && series(2, 0) && series(1, 1));
        // Each module gives its 160/18.6 = 8.60 A, whatever the voltage.
        let current = terms.charge_current(right, &terms.shelf.modules[0].item, &bank, &two);
        near(current.value(), 17.2, 0.001);
        // Worth: 17.2 A at 0.80 of the charge voltage, less than the 320 W on the plates.
        let worth = terms.array_worth(right, &terms.shelf.modules[0].item, &bank, &two).value();
        near(worth, 17.2 * 0.80 * terms.charge_volts(&bank).value(), 0.001);
        assert!(worth < 320.0);
    }

    #[test]
    fn modules_need_no_more_space_than_there_is() {
        let stock = vec![
            module(400.0, 37.1, 13.65, 31.2, -0.34, -0.26),
            built_in("Switching controller, 12 and 24 V, 30 A"),
            cell("2 V cell", Chemistry::AbsorbedGlassMat, 6, 260.0),
            inverter(300.0, 300.0, 600.0, 4.0, 10.5, 16.0),
        ];
        let mut project = project(&TROPICS, vec![load(50.0, 5.0, 7, None)], 3.0, SupplyWish::Excluded);
        project.brief.site.array_space = Some(lineside_core::units::SquareMeters::new(8.0));
        let ground = Ground::new(project, stock);
        let terms = ground.terms();
        let mut part = terms.shelf.modules[0].item.clone();
        part.length = Some(lineside_core::units::Meters::new(2.0));
        part.width = Some(lineside_core::units::Meters::new(1.0));
        // Each takes 2 m²: four lie on 8 m², five do not.
        let limit = |strings| terms.space_limit(&part, &Combination { strings, ..BASE });
        assert!(limit(4).is_none() && limit(5).is_some_and(|broken| broken.limit == Limit::Space));
    }
}
