//! The limits: what breaks a combination, with what was found and what is allowed. The search and whoever asks
//! `why_not` go by the same functions.

use crate::combination::Combination;
use crate::need::Need;
use crate::parts::{money, prices_are_usual};
use crate::switching::switches;
use crate::terms::Terms;
use lineside_codes::FactorKey;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::{ChargeController, InputRatingBasis};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::{BuildingUse, SupplyWish};
use lineside_core::units::{AmpHours, Amps, Quantity, Volts};
use rust_decimal::Decimal;

macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident = $text:literal;)+) => {
        /// Something that a combination can break.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Limit { $($(#[$doc])* $name,)+ }
        impl Limit {
            /// Every limit.
            pub const ALL: &[Self] = &[$(Self::$name),+];
            /// As people read it.
            pub const fn text(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }
        }
    };
}

limits! {
    /// No part of the shelf stands at one of its places, or there are none of it.
    NoSuchPart = "there is no such part on the shelf, or none of it is taken";
    /// Inverters that may run together.
    InverterCount = "so many inverters may not run together";
    /// Watts of the inverters.
    InverterPower = "the inverters cannot carry the loads";
    /// Volt-amperes of the inverters.
    InverterApparent = "the inverters cannot carry the volt-amperes of the loads";
    /// Surge of the inverters.
    InverterSurge = "the inverters cannot start the largest load beside the others";
    /// Voltage class of the bank.
    BankVoltage = "the bank is of no usual voltage";
    /// Charge voltage against the inverter.
    HighCutOut = "charging passes the voltage at which the inverter cuts out";
    /// End of discharge against the inverter.
    LowCutOut = "the inverter cuts out before the bank is empty";
    /// Battery voltage in dwellings.
    DwellingBattery = "the battery voltage is above what dwellings allow";
    /// Strings of the bank.
    BankStrings = "the bank has more parallel strings than it may";
    /// Capacity of the bank.
    BankCapacity = "the bank does not bridge the reserve";
    /// Cold string against the controller.
    ColdVoltage = "cold strings pass the greatest input voltage of the controller";
    /// Cold string against the module.
    ModuleSystemVoltage = "cold strings pass the system voltage of the modules";
    /// Cold string in a dwelling.
    DwellingVoltage = "cold strings pass the voltage that dwellings allow";
    /// Hot string against the bank.
    HotVoltage = "hot strings do not reach the charge voltage";
    /// Short-circuit current of the strings.
    InputCurrent = "the strings give more current than the input of the controller takes";
    /// Devices of strings in parallel.
    StringDevice = "the stock has no combiner whose devices protect so many strings of such modules";
    /// Watts of the array at one controller.
    ControllerPower = "the array is larger than the controller can make use of";
    /// Charge voltage against the controller.
    ControllerVoltage = "the controller does not reach or stand the charge voltage";
    /// Discharge current of the bank.
    DischargeCurrent = "the inverters and DC loads take more than the bank gives";
    /// Charge voltage against the charger of the inverter.
    ChargerVoltage = "the charger of the inverter does not reach the charge voltage";
    /// Arcs on buildings.
    ArcFault = "nothing puts out an arc in an array of such a voltage on a building";
    /// Bars for the battery bus.
    BusRating = "no bus bar of the stock carries so many strings, controllers and inverters";
    /// Short circuit of the bank.
    BankFault = "a short circuit of the bank is more than its own fuses or the devices of the stock break";
    /// Panels for the loads.
    PanelRating = "the stock has no AC panel for so much";
    /// Voltage of the array above a switching controller's bank.
    SwitchingVoltage = "most of the strings' voltage would be lost in a switching controller";
    /// Charge current of the bank.
    ChargeCurrent = "the array charges the bank faster than it may be";
    /// Power of the array.
    ArrayPower = "the array does not give the energy of the worst month";
    /// Power of the generator.
    GeneratorPower = "the generator cannot carry the largest hour of the loads";
    /// AC system of the generator.
    GeneratorSystem = "the generator gives another voltage than the inverters";
    /// Inlet of the inverter for the generator.
    GeneratorInlet = "the inverters have no charger or no AC input for the generator";
    /// Inlet of the inverter for the utility.
    UtilityInlet = "the inverters have no charger or no AC input for the utility, or the stock no such service";
    /// Wish of the brief.
    GeneratorWanted = "the brief wants a generator";
    /// Place for modules.
    Space = "the modules need more space than there is";
    /// Budget.
    Budget = "it costs more than the budget";
}

/// A limit that a combination breaks.
#[derive(Clone, Debug, PartialEq)]
pub struct Broken {
    /// Which.
    pub limit: Limit,
    /// What the combination has.
    pub found: Quantity,
    /// What is allowed or needed.
    pub allowed: Quantity,
}

pub(crate) fn most(limit: Limit, found: impl Into<Quantity>, allowed: impl Into<Quantity>) -> Option<Broken> {
    let (found, allowed) = (found.into(), allowed.into());
    (found.value > allowed.value).then_some(Broken { limit, found, allowed })
}

pub(crate) fn least(limit: Limit, found: impl Into<Quantity>, needed: impl Into<Quantity>) -> Option<Broken> {
    let (found, allowed) = (found.into(), needed.into());
    (found.value < allowed.value).then_some(Broken { limit, found, allowed })
}

fn count(value: u32) -> Quantity {
    Quantity::count(value as usize)
}

impl Terms<'_> {
    /// Every limit that a combination breaks; none when it can be built.
    pub fn why_not(&self, it: &Combination) -> Vec<Broken> {
        let shelf = &self.shelf;
        let counts = [it.inverters, it.units, it.bank_strings, it.modules, it.strings, it.controllers];
        let generator = it.generator.map(|at| shelf.generators.get(at));
        let (Some(inverter), Some(battery), Some(module), Some(controller), Some(volts), true, true) = (
            shelf.inverters.get(it.inverter),
            shelf.batteries.get(it.battery),
            shelf.modules.get(it.module),
            shelf.controllers.get(it.controller),
            self.volts.get(it.module),
            counts.iter().all(|count| *count > 0),
            generator.is_none_or(|found| found.is_some()),
        ) else {
            return vec![Broken { limit: Limit::NoSuchPart, found: count(0), allowed: count(1) }];
        };
        let bank = with_units(&battery.item, it.units);
        let mut broken = self.inverter_limits(&inverter.item, it.inverters);
        broken.extend(self.generator_limits(it.generator, &inverter.item));
        broken.extend(self.bank_limits(&bank, &inverter.item));
        broken.extend(self.strings_limit(&bank, it.bank_strings));
        broken.extend(self.discharge_limits(&bank, &inverter.item, it));
        broken.extend(self.panel_limit(&inverter.item, it.inverters));
        broken.extend(self.utility_limit(&inverter.item));
        broken.extend(self.bus_limit(&bank, &inverter.item, Some(&controller.item), it));
        let short = (self.capacity(&bank, it.bank_strings), self.capacity_needed(&bank, it));
        broken.extend(least(Limit::BankCapacity, short.0, short.1));
        broken.extend(self.controller_limits(&controller.item, &bank));
        broken.extend(self.series_limits(&controller.item, &module.item, *volts, &bank, it.modules));
        broken.extend(self.parallel_limits(&controller.item, &module.item, &bank, it));
        let cold = volts.cold * f64::from(it.modules);
        broken.extend(self.string_device_limit(&module.item, cold, it.strings));
        broken.extend(self.space_limit(&module.item, it));
        let array = self.array_worth(&controller.item, &module.item, &bank, it);
        let current = self.charge_current(&controller.item, &module.item, &bank, it);
        broken.extend(most(Limit::ChargeCurrent, current, self.most_charge(&bank, it.bank_strings)));
        broken.extend(least(Limit::ArrayPower, array, self.array_needed(&module.item, &bank, it)));
        broken.extend(self.budget_limit(self.cost(it)));
        broken
    }

    pub(crate) fn inverter_limits(&self, it: &Inverter, units: u32) -> Vec<Broken> {
        let number = f64::from(units);
        let Need { connected, apparent, surge, largest_hour, .. } = &self.need;
        let (margin, together) = (self.factors.value("running_margin"), self.factors.value("coincidence"));
        let watts = (*largest_hour * margin).max(*connected * together);
        let high = self.at_altitude(it);
        [
            most(Limit::InverterCount, count(units), count(it.parallel_units.unwrap_or(1))),
            least(Limit::InverterPower, it.continuous * (number * high), watts),
            least(
                Limit::InverterApparent,
                it.rated_apparent_output() * (number * high),
                *apparent * together,
            ),
            least(Limit::InverterSurge, it.surge.unwrap_or(it.continuous) * (number * high), *surge),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn at_altitude(&self, it: &Inverter) -> f64 {
        let (Some(below), Some(lost)) = (it.full_output_below, it.altitude_derating) else { return 1.0 };
        let height = self.on.project.brief.site.elevation.unwrap_or_default();
        (1.0 - lost.share() * ((height - below).value() / 100.0).max(0.0)).max(0.1)
    }

    pub(crate) fn generator_limits(&self, at: Option<usize>, inverter: &Inverter) -> Vec<Broken> {
        let goals = &self.on.project.brief.goals;
        let Some(part) = at.and_then(|at| self.shelf.generators.get(at)) else {
            let wanted = goals.generator == SupplyWish::Wanted;
            return least(Limit::GeneratorWanted, count(0), count(u32::from(wanted))).into_iter().collect();
        };
        let it = &part.item;
        let inlet = inverter.charger_current.is_some() && inverter.ac_inputs > 0;
        let same = u32::from(it.ac_system == inverter.ac_system);
        [
            least(Limit::GeneratorSystem, count(same), count(1)),
            least(Limit::GeneratorInlet, count(u32::from(inlet)), count(1)),
            least(Limit::GeneratorPower, it.power * self.engine_at_altitude(it), self.need.largest_hour),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn engine_at_altitude(&self, it: &lineside_core::kinds::generator::Generator) -> f64 {
        let height = self.on.project.brief.site.elevation.unwrap_or_default();
        let (Some(below), Some(lost)) = (it.full_output_below, it.altitude_derating) else { return 1.0 };
        (1.0 - lost.share() * ((height - below).value() / 100.0).max(0.0)).max(0.1)
    }

    /// Charge voltage of a bank in the cold.
    pub(crate) fn charge_volts(&self, bank: &BatteryBank) -> Volts {
        let usual = self.on.codes.common.battery_windows.find(bank.chemistry).map(|it| it.value.compensation);
        let change = bank.compensation.or(usual).unwrap_or_default();
        let colder = self.cold_bank().above(lineside_core::units::Celsius::STANDARD_TEST);
        (bank.charge_volts() + change * colder).max(bank.charge_volts()) * f64::from(bank.cells())
    }

    pub(crate) fn bank_limits(&self, bank: &BatteryBank, inverter: &Inverter) -> Vec<Broken> {
        let class = bank.voltage_class();
        let usual = [12.0, 24.0, 48.0].map(Volts::new).contains(&class);
        let charge = self.charge_volts(bank);
        let empty = bank.empty_volts() * f64::from(bank.cells());
        let dwelling =
            self.on.project.brief.site.building == Some(BuildingUse::Dwelling) && self.on.rule_set.is_nec();
        [
            least(Limit::BankVoltage, count(u32::from(usual)), count(1)),
            most(Limit::HighCutOut, charge, inverter.highest_input_voltage),
            least(Limit::LowCutOut, empty, inverter.lowest_input_voltage),
            if dwelling { most(Limit::DwellingBattery, charge, self.dwelling_battery()) } else { None },
            self.charger_limit(bank, inverter),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    /// Only the NEC knows it.
    fn dwelling_battery(&self) -> Volts {
        self.on.quantity(FactorKey::DwellingBatteryVoltage)
    }

    pub(crate) fn most_strings(&self, bank: &BatteryBank) -> u32 {
        let usual = self.factors.chemistry(bank.chemistry).map_or(1, |row| row.strings);
        bank.parallel_limit.unwrap_or(usual).min(16)
    }

    pub(crate) fn strings_limit(&self, bank: &BatteryBank, strings: u32) -> Option<Broken> {
        most(Limit::BankStrings, count(strings), count(self.most_strings(bank)))
    }

    pub(crate) fn capacity(&self, bank: &BatteryBank, strings: u32) -> AmpHours {
        bank.capacity * f64::from(strings)
    }

    pub(crate) fn controller_limits(&self, it: &ChargeController, bank: &BatteryBank) -> Vec<Broken> {
        let charge = self.charge_volts(bank);
        let reaches = it.highest_charge_setting.or(it.max_output_voltage);
        let stands = it.max_output_voltage;
        let most_of = |allowed: Option<Volts>| most(Limit::ControllerVoltage, charge, allowed?);
        let lowest = it.min_output_voltage.and_then(|low| least(Limit::ControllerVoltage, charge, low));
        most_of(reaches).or_else(|| most_of(stands)).or(lowest).into_iter().collect()
    }

    pub(crate) fn series_limits(
        &self,
        controller: &ChargeController,
        module: &Strings,
        volts: crate::terms::ModuleVolts,
        bank: &BatteryBank,
        modules: u32,
    ) -> Vec<Broken> {
        let number = f64::from(modules);
        let cold = volts.cold * number;
        let headroom = self.headroom(controller);
        let dwelling = self.on.project.brief.site.building == Some(BuildingUse::Dwelling);
        let allowed: Volts = self.on.quantity(FactorKey::PvVoltageDwelling);
        [
            most(Limit::ColdVoltage, cold, controller.max_input_voltage),
            module.system_voltage.and_then(|system| most(Limit::ModuleSystemVoltage, cold, system)),
            if dwelling { most(Limit::DwellingVoltage, cold, allowed) } else { None },
            self.arc_limit(controller, volts, modules),
            self.switching_limit(controller, volts, bank, modules),
            least(Limit::HotVoltage, volts.hot * number, self.charge_volts(bank) + headroom),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    pub(crate) fn parallel_limits(
        &self,
        controller: &ChargeController,
        module: &Strings,
        bank: &BatteryBank,
        it: &Combination,
    ) -> Vec<Broken> {
        let basis = match controller.input_rating_basis {
            Some(InputRatingBasis::StandardTest) => 1.0,
            Some(InputRatingBasis::Greatest) | None => self.on.number(FactorKey::PvCurrent),
        };
        let current = module.greatest_short_circuit_current() * (basis * f64::from(it.strings));
        let array = module.power * f64::from(it.modules * it.strings);
        let over = controller.oversize_limit.map_or(f64::INFINITY, lineside_core::units::Percent::share);
        let over = over.min(self.factors.value("oversize"));
        let passes = self.charge_volts(bank) * controller.output_limit() * over;
        let passes = passes.min(self.maker_allows(controller, bank));
        let all = controller.output_limit();
        let input = if switches(controller) {
            // What goes in comes out: there is no conversion that could limit it.
            Some(controller.input_short_circuit_current.map_or(all, |input| input.min(all)))
        } else {
            controller.input_short_circuit_current
        };
        let input = input.and_then(|allowed| most(Limit::InputCurrent, current, allowed));
        [input, most(Limit::ControllerPower, array, passes)].into_iter().flatten().collect()
    }

    /// The current with which a bank may be charged.
    pub(crate) fn most_charge(&self, bank: &BatteryBank, strings: u32) -> Amps {
        let usual = self.factors.chemistry(bank.chemistry).map_or(0.0, |row| row.most_charge);
        let string = bank.charge_current.unwrap_or(Amps::new(usual * bank.capacity.value()));
        string * f64::from(strings)
    }

    pub(crate) fn budget_limit(&self, cost: Decimal) -> Option<Broken> {
        let budget = self.on.project.brief.goals.budget?;
        let number = |sum: Decimal| Quantity::number(f64::try_from(sum).unwrap_or(f64::MAX));
        (cost > budget).then(|| Broken { limit: Limit::Budget, found: number(cost), allowed: number(budget) })
    }

    /// What the equipment of a combination costs: the work, conductors and devices come on top.
    pub fn cost(&self, it: &Combination) -> Decimal {
        let shelf = &self.shelf;
        let price = |found: Option<Decimal>, number: u32| found.unwrap_or_default() * Decimal::from(number);
        let generator = it.generator.and_then(|at| shelf.generators.get(at)).map(|part| part.price);
        price(shelf.inverters.get(it.inverter).map(|part| part.price), it.inverters)
            + price(generator, 1)
            + price(shelf.batteries.get(it.battery).map(|part| part.price), it.units * it.bank_strings)
            + self.array_cost(it)
    }

    /// The array with its mounting and its controllers.
    pub(crate) fn array_cost(&self, it: &Combination) -> Decimal {
        let Some(module) = self.shelf.modules.get(it.module) else { return Decimal::ZERO };
        let usual = prices_are_usual(&self.on.project.price_book);
        let price = |name| if usual { self.factors.value(name) } else { 0.0 };
        let mounting = money(module.item.power.value() * price("mounting_price"));
        let strings = it.strings * it.controllers;
        let controller = self.shelf.controllers.get(it.controller).map(|part| part.price);
        (module.price + mounting) * Decimal::from(it.all_modules())
            + money(price("string_price")) * Decimal::from(strings)
            + controller.unwrap_or_default() * Decimal::from(it.controllers)
    }
}

/// A battery with so many units in series. What its management opens at is told for one string.
pub(crate) fn with_units(battery: &BatteryBank, units: u32) -> BatteryBank {
    let longer = f64::from(units) / f64::from(battery.units_in_series.max(1));
    BatteryBank {
        units_in_series: units,
        strings_in_parallel: 1,
        management_low: battery.management_low.map(|volts| volts * longer),
        management_high: battery.management_high.map(|volts| volts * longer),
        ..battery.clone()
    }
}
