//! The limits that show on the full circuit: what the bank gives to the inverters, what their chargers reach, arcs on
//! buildings. The rules would object to a sheet that breaks them, and no device mends that.

use crate::combination::Combination;
use crate::limits::{Broken, Limit, least, most};
use crate::terms::{ModuleVolts, Terms};
use lineside_codes::FactorKey;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::project::{LoadCurrent, loads_at_once};
use lineside_core::units::{Amps, Percent, Quantity, Volts, Watts};
use lineside_study::faults::battery_string;

impl Terms<'_> {
    /// The DC current of inverters and DC loads at the low cut-out: for hours, and with the surge.
    pub(crate) fn taken(&self, bank: &BatteryBank, inverter: &Inverter, inverters: u32) -> (Amps, Amps) {
        let cut_out = self.cut_out(bank, inverter);
        let usual = || Percent::from_share(self.on.number(FactorKey::InverterEfficiency));
        let efficiency = inverter.rated_efficiency.unwrap_or_else(usual).share();
        let amps = |power: Watts| power * f64::from(inverters) / (cut_out * efficiency);
        let loads = self.dc_power() / cut_out;
        let surge = inverter.surge.unwrap_or(inverter.continuous);
        (amps(inverter.continuous) + loads, amps(surge) + loads)
    }

    /// All DC loads of the brief at once.
    pub(crate) fn dc_power(&self) -> Watts {
        let loads = loads_at_once(&self.on.project.brief.loads, LoadCurrent::Dc).into_iter();
        loads.map(|it| it.power * f64::from(it.quantity)).sum()
    }

    /// What the strings of a bank give.
    pub(crate) fn discharge_limits(
        &self,
        bank: &BatteryBank,
        inverter: &Inverter,
        it: &Combination,
    ) -> Vec<Broken> {
        let (steady, surge) = self.taken(bank, inverter, it.inverters);
        let strings = f64::from(it.bank_strings);
        let against = |taken: Amps, each: Option<Amps>| most(Limit::DischargeCurrent, taken, each? * strings);
        let surges = against(surge, bank.peak_current);
        let faults = self.bank_faults(bank, it.bank_strings);
        against(steady, bank.discharge_current).into_iter().chain(surges).chain(faults).collect()
    }

    /// What a short circuit of the bank gives: all strings into the bus, all but one into a string of their own, whose
    /// fuse has to break it.
    fn bank_faults(&self, bank: &BatteryBank, strings: u32) -> Vec<Broken> {
        let each = battery_string(&self.on, bank).short_circuit_current();
        let others = each * f64::from(strings.saturating_sub(1));
        let inner = bank.internal_fuse_interrupting.filter(|_| bank.internal_fuse_rating.is_some());
        let inner = inner.and_then(|breaks| most(Limit::BankFault, others, breaks));
        let all = most(Limit::BankFault, each * f64::from(strings), self.rails.breaks);
        inner.into_iter().chain(all).collect()
    }

    /// What the charger of an inverter has to reach.
    pub(crate) fn charger_limit(&self, bank: &BatteryBank, inverter: &Inverter) -> Option<Broken> {
        inverter.charger_current?;
        let charge = bank.charge_volts() * f64::from(bank.cells());
        most(Limit::ChargerVoltage, charge, inverter.highest_charge_setting?)
    }

    /// On a building an array that can hold an arc needs a controller that puts it out.
    pub(crate) fn arc_limit(
        &self,
        controller: &ChargeController,
        volts: ModuleVolts,
        modules: u32,
    ) -> Option<Broken> {
        if !self.on.rule_set.is_nec() || !self.array_is_on_building() {
            return None;
        }
        if controller.arc_fault_protection == Some(Fitted::Yes) {
            return None;
        }
        let from: Volts = self.on.quantity(FactorKey::ArcFaultVoltage);
        let below = from - Volts::new(1e-9);
        most(Limit::ArcFault, volts.cold * f64::from(modules), below)
    }

    /// The watts that the maker of a controller allows at its input.
    pub(crate) fn maker_allows(&self, controller: &ChargeController, bank: &BatteryBank) -> Watts {
        let oversize = controller.oversize_limit.map(Percent::share);
        let oversize = oversize.unwrap_or_else(|| self.on.number(FactorKey::ControllerOversize));
        let charge = bank.charge_volts() * f64::from(bank.cells());
        let plate = controller.array_watts(bank.voltage_class());
        plate.unwrap_or(charge * controller.output_current) * oversize
    }

    /// The rating of the breaker between a controller and the bus.
    pub(crate) fn feeder(&self, controller: &ChargeController) -> Amps {
        self.rails.device(controller.output_limit() * self.on.number(FactorKey::Continuous))
    }

    /// What the bar of the bus must carry: by the ratings of its devices, in the worst direction of every battery string.
    pub(crate) fn bus_limit(
        &self,
        bank: &BatteryBank,
        inverter: &Inverter,
        controller: Option<&ChargeController>,
        it: &Combination,
    ) -> Option<Broken> {
        let continuous = self.on.number(FactorKey::Continuous);
        let (steady, _) = self.taken(bank, inverter, 1);
        let dc = self.dc_power() / self.cut_out(bank, inverter);
        let one = self.rails.device((steady - dc) * continuous);
        let loads = if dc > Amps::ZERO { self.rails.device(dc * continuous) } else { Amps::ZERO };
        let inverters = one * f64::from(it.inverters);
        let charger = if inverter.charger_current.is_some() { inverters } else { Amps::ZERO };
        let feeders = controller.map_or(Amps::ZERO, |it_is| self.feeder(it_is) * f64::from(it.controllers));
        // A string by itself may have to carry the whole, up to what its maker says.
        let string = bank.circuit_current.or(bank.discharge_current);
        let all = steady * f64::from(it.inverters);
        let share = string.map_or(all, |most| if it.bank_strings > 1 { most } else { most.min(all) });
        let fuse = self.rails.fuse(share * continuous);
        let worst = (0..=it.bank_strings).map(|giving| {
            let taking = f64::from(it.bank_strings - giving);
            let in_flow = fuse * f64::from(giving) + feeders;
            let with_inverters = in_flow.min(fuse * taking + inverters + loads);
            let with_chargers = (in_flow + charger).min(fuse * taking + loads);
            with_inverters.max(with_chargers)
        });
        let worst = worst.max_by(Amps::total_cmp).unwrap_or_default();
        let controllers = controller.map_or(1, |_| it.controllers);
        let taps = it.bank_strings + controllers + it.inverters + u32::from(dc > Amps::ZERO);
        let count = |number: u32| Quantity::number(f64::from(number));
        most(Limit::BusRating, worst, self.rails.bar)
            .or_else(|| most(Limit::BusRating, count(taps), count(self.rails.taps)))
    }

    /// What a utility needs of the inverters, where the brief wants one.
    pub(crate) fn utility_limit(&self, inverter: &Inverter) -> Option<Broken> {
        if !self.has_utility() {
            return None;
        }
        let inlet = inverter.charger_current.is_some() && inverter.ac_inputs > 0;
        let service = self.rails.utility(inverter.ac_system).is_some();
        least(Limit::UtilityInlet, Quantity::count(usize::from(inlet && service)), Quantity::count(1))
    }

    /// The largest panel of the stock for the AC system, against what the inverters give.
    pub(crate) fn panel_limit(&self, inverter: &Inverter, inverters: u32) -> Option<Broken> {
        let largest = self.rails.panel(inverter.ac_system);
        let output =
            inverter.output_current() * (f64::from(inverters) * self.on.number(FactorKey::Continuous));
        most(Limit::PanelRating, output, largest)
    }
}
