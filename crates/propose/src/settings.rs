//! What is programmed: charge and equalize voltages, cut-outs, current limits. Sketch and full circuit get the same, so
//! that the year of one is the year of the other.

use crate::combination::Combination;
use crate::limits::with_units;
use crate::terms::Terms;
use lineside_codes::FactorKey;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Celsius, Percent, Volts};

/// The programmable equipment of a combination with its settings, one of each.
#[derive(Clone, Debug)]
pub(crate) struct Programmed {
    /// One string of the bank.
    pub bank: BatteryBank,
    /// Each controller.
    pub controller: ChargeController,
    /// Each inverter.
    pub inverter: Inverter,
    /// The generator.
    pub generator: Option<Generator>,
}

impl Terms<'_> {
    /// Equipment with its settings. `None` when the combination names no parts of the shelf.
    pub(crate) fn programmed(&self, it: &Combination) -> Option<Programmed> {
        let shelf = &self.shelf;
        let inverter = &shelf.inverters.get(it.inverter)?.item;
        let controller = &shelf.controllers.get(it.controller)?.item;
        let mut bank = with_units(&shelf.batteries.get(it.battery)?.item, it.units);
        bank.equalize_setting = self.equalize(&bank, controller, inverter);
        let generator = match it.generator {
            None => None,
            Some(at) => Some(shelf.generators.get(at)?.item.clone()),
        };
        let module = &shelf.modules.get(it.module)?.item;
        let limit = self.most_charge(&bank, it.bank_strings);
        let charge = bank.charge_volts() * f64::from(bank.cells());
        let array = module.power * f64::from(it.all_modules());
        let mut controller = controller.clone();
        let each = f64::from(it.controllers);
        let of_array = array / charge;
        let rated = controller.output_current;
        let share = rated.min(of_array * (1.0 / each)).min(limit * (1.0 / each));
        let share = if inverter.charger_current.is_some() { share } else { rated.min(limit * (1.0 / each)) };
        let share = whole_amps(share);
        controller.current_limit = (share < rated).then_some(share);
        let left = limit - share * each;
        let inverter = self.inverter_settings(&bank, inverter, it.inverters, left, generator.as_ref());
        Some(Programmed { bank, controller, inverter, generator })
    }

    /// Equalize voltage that every device of the bus bears in the cold; `None` to keep the nameplate's.
    fn equalize(
        &self,
        bank: &BatteryBank,
        controller: &ChargeController,
        inverter: &Inverter,
    ) -> Option<Volts> {
        let wished = bank.equalize_voltage?;
        let cells = f64::from(bank.cells());
        let charger = inverter.highest_charge_setting.filter(|_| inverter.charger_current.is_some());
        let set = [controller.highest_charge_setting, charger].into_iter().flatten();
        let warm = set.min_by(Volts::total_cmp).map(|most| (most / cells).cut_to(2));
        let cold = self.colder(bank, Celsius::STANDARD_TEST.above(self.cold_bank()).value());
        let stands = controller.max_output_voltage.into_iter().chain([inverter.highest_input_voltage]);
        let stands = stands.min_by(Volts::total_cmp).map(|most| ((most - cold * cells) / cells).cut_to(2));
        let least = [warm, stands].into_iter().flatten().fold(wished, Volts::min);
        let set = least.max(bank.charge_volts());
        (set < wished).then_some(set)
    }

    /// By how much a cell is charged higher when it is so many kelvin colder.
    fn colder(&self, bank: &BatteryBank, kelvin: f64) -> Volts {
        let usual = self.on.codes.common.battery_windows.find(bank.chemistry).map(|it| it.value.compensation);
        let change = bank.compensation.or(usual).unwrap_or_default();
        Volts::new((-change.value() * kelvin).max(0.0))
    }

    fn inverter_settings(
        &self,
        bank: &BatteryBank,
        inverter: &Inverter,
        inverters: u32,
        left: Amps,
        generator: Option<&Generator>,
    ) -> Inverter {
        let mut set = inverter.clone();
        let cells = f64::from(bank.cells());
        let cut_out = self.cut_out(bank, inverter);
        set.low_cut_out = Some(cut_out);
        let restores = self.factors.chemistry(bank.chemistry).map_or(0.0, |row| row.cut_in);
        let least = cut_out + Volts::new(0.5);
        let most = bank.charge_volts() * cells - Volts::new(0.1);
        set.cut_in = Some((Volts::new(restores) * cells).max(least).min(most).cut_to(2));
        if self.has_utility() {
            set.utility_priority = self.on.project.brief.goals.utility_priority;
        }
        let Some(rated) = inverter.charger_current else { return set };
        let number = f64::from(inverters.max(1));
        let share = whole_amps(left * (1.0 / number)).max(Amps::new(1.0));
        set.charge_limit = (share < rated).then_some(share);
        if let Some(generator) = generator {
            let site = &self.on.project.brief.site;
            let thin = generator.share_at_height(site.elevation.unwrap_or_default()).unwrap_or(1.0);
            let hot = site.design_high.and_then(|high| generator.share_in_heat(high)).unwrap_or(1.0);
            let usable = generator.usable_share.map_or(1.0, Percent::share);
            let watts = generator.power * (thin * hot * usable / number);
            let amps = watts / inverter.ac_system.current_voltage();
            let relay = inverter.transfer_relay.unwrap_or(amps);
            set.ac_input_limit = Some(whole_amps(amps.min(relay)));
        }
        set
    }

    /// The low cut-out: where the discharge of the bank ends, as far as its management and the inverter let it.
    pub(crate) fn cut_out(&self, bank: &BatteryBank, inverter: &Inverter) -> Volts {
        let empty = bank.empty_volts() * f64::from(bank.cells());
        let per: Volts = self.on.quantity(FactorKey::ManagementMarginPer);
        let margin: Volts = self.on.quantity(FactorKey::ManagementMargin);
        let managed = bank.management_low.map(|low| low + margin * (bank.voltage_class() / per));
        let least = managed.unwrap_or_default().max(inverter.lowest_input_voltage);
        empty.max(least)
    }
}

/// Settings are whole amperes; below two they keep tenths.
fn whole_amps(current: Amps) -> Amps {
    current.cut_to(i32::from(current.value() < 2.0))
}
