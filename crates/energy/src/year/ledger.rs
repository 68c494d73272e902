//! The books of a year: what flowed in each month, whether they close, and what the outcome needs of each hour.

use super::hourly::{Hour, Hourly};
use super::prepared::Detail;
use super::totals::Totals;
use crate::calendar::{DAYS, HOURS};
use crate::dispatch::{Booked, Books, Pass, Source};
use lineside_core::project::Month;
use lineside_core::units::{
    AmpHours, Celsius, Hours, Irradiation, Percent, WattHours, Watts, WattsPerSquareMeter,
};

/// Residuals of the two buses and of the bank in the worst hour, as shares of what flowed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Residuals {
    pub dc: f64,
    pub ac: f64,
    pub bank: f64,
}

/// Keeps the books of a year.
pub(super) struct Ledger<'a> {
    pass: &'a Pass<'a>,
    /// Power of each array over that of all.
    weights: &'a [f64],
    /// Temperature of the cells of the first array; empty when hours are not kept.
    cells: &'a [f64],
    /// Months that are done.
    pub months: Vec<Totals>,
    current: Totals,
    hours_left: usize,
    pub residuals: Residuals,
    /// Charge of each hour, as a share.
    pub charges: Vec<f64>,
    /// Lowest charge of each month that is done, as a share.
    pub lowest: Vec<f64>,
    lowest_now: f64,
    /// Stored energy at six in the morning of each day, Wh.
    pub at_six: Vec<f64>,
    gap: usize,
    /// Hours of the longest time without everything served, and the hour at which it ended.
    pub longest_gap: (usize, usize),
    pub hours: Option<Hourly>,
}

/// Power below which a load does not count as short, W.
const SHORT: f64 = 1e-6;
const RESERVE_HOUR: usize = 6;

impl<'a> Ledger<'a> {
    pub(super) fn new(pass: &'a Pass<'a>, weights: &'a [f64], cells: &'a [f64], detail: Detail) -> Self {
        Self {
            pass,
            weights,
            cells,
            months: Vec::with_capacity(12),
            current: Totals::default(),
            hours_left: hours_of_month(0),
            residuals: Residuals::default(),
            charges: Vec::with_capacity(HOURS),
            lowest: Vec::with_capacity(12),
            lowest_now: 1.0,
            at_six: Vec::with_capacity(DAYS),
            gap: 0,
            longest_gap: (0, 0),
            hours: (detail == Detail::Hourly).then(|| Vec::with_capacity(HOURS)),
        }
    }

    fn sun(&mut self, booked: &Booked<'_>) -> f64 {
        let [part_dc, part_ac] = booked.sun_parts;
        let totals = &mut self.current;
        let mut potential = 0.0;
        for controller in self.pass.controllers {
            let sun = controller.books(booked.hour, booked.volts, part_dc);
            potential += sun.potential;
            totals.sun_used += WattHours::new(sun.used);
            totals.sun_limited += WattHours::new(sun.limited);
            totals.wire_loss += WattHours::new(sun.wire_loss);
            totals.controller_loss += WattHours::new(sun.converter_loss);
            if let Some(best) = controller.best_w(booked.hour) {
                totals.tracking_missed += WattHours::new((best - sun.potential).max(0.0));
            }
        }
        for inverter in self.pass.pv_inverters {
            let sun = inverter.books(booked.hour, part_ac);
            potential += sun.potential;
            totals.sun_used += WattHours::new(sun.used);
            totals.sun_limited += WattHours::new(sun.limited);
            totals.wire_loss += WattHours::new(sun.wire_loss);
            totals.pv_inverter_loss += WattHours::new(sun.converter_loss);
        }
        totals.sun_potential += WattHours::new(potential);
        potential
    }

    fn planes(&mut self, booked: &Booked<'_>) -> f64 {
        let of_controllers = self.pass.controllers.iter().flat_map(|it| &it.planes);
        let planes = of_controllers.chain(self.pass.pv_inverters.iter().flat_map(|it| &it.planes));
        let of_hour = planes.filter_map(|plane| plane.get(booked.hour)).zip(self.weights);
        let mean: f64 = of_hour.map(|(plane, weight)| plane * weight).sum();
        self.current.plane_sun += Irradiation::new(mean / 1000.0);
        mean
    }

    /// Loads of the hour; gives what went short, W.
    fn loads(&mut self, booked: &Booked<'_>) -> f64 {
        let flows = booked.flows;
        let loads = self.pass.loads.hours.get(booked.hour).copied().unwrap_or_default();
        let totals = &mut self.current;
        let (critical, normal) = (loads.critical - flows.critical, loads.normal - flows.normal);
        let dc = loads.dc - flows.dc_served;
        totals.ac_demand += WattHours::new(loads.ac());
        totals.ac_served += WattHours::new(flows.critical + flows.normal);
        totals.dc_demand += WattHours::new(loads.dc);
        totals.dc_served += WattHours::new(flows.dc_served);
        totals.waiting_demand += WattHours::new(booked.quota);
        totals.waiting_served += WattHours::new(flows.waited);
        totals.unmet_waiting += WattHours::new(booked.expired);
        totals.standing += WattHours::new(flows.standing);
        totals.unmet_critical += WattHours::new(critical);
        totals.unmet_normal += WattHours::new(normal);
        totals.unmet_dc += WattHours::new(dc);
        let unmet = critical + normal + dc;
        if unmet > SHORT {
            totals.unmet_hours += Hours::new(1.0);
            self.gap += 1;
            if self.gap > self.longest_gap.0 {
                self.longest_gap = (self.gap, booked.hour);
            }
        } else {
            self.gap = 0;
        }
        unmet
    }

    fn supplies(&mut self, booked: &Booked<'_>) {
        let flows = booked.flows;
        let totals = &mut self.current;
        totals.export += WattHours::new(flows.export);
        let Some(generator) = self.pass.generator.filter(|_| booked.source.is_generator()) else {
            totals.import += WattHours::new(flows.source);
            return;
        };
        let mut hours = 1.0;
        if booked.source == Source::GeneratorStarts {
            totals.generator_starts += 1;
            hours += generator.cool_down_h();
        }
        totals.generator += WattHours::new(flows.source);
        totals.generator_hours += Hours::new(hours);
        totals.fuel += generator.fuel_l(hours, flows.source);
        if generator.starter.is_quiet(booked.hour % 24) {
            totals.noise_hours += Hours::new(1.0);
        }
        if flows.source < generator.least_load.share() * generator.rated.value() {
            totals.low_load_hours += Hours::new(1.0);
        }
    }

    fn bank(&mut self, booked: &Booked<'_>) {
        let (charged, discharged) = (booked.charged, booked.discharged);
        let [before, rested, _] = booked.energy;
        let totals = &mut self.current;
        totals.charge += WattHours::new(charged.power);
        totals.discharge += WattHours::new(discharged.power);
        totals.charged += AmpHours::new(charged.amps);
        totals.discharged += AmpHours::new(discharged.amps);
        totals.gassing += AmpHours::new(charged.gassing);
        totals.battery_loss += WattHours::new(charged.loss + discharged.loss);
        totals.self_discharge += WattHours::new(before - rested);
        let charge = booked.q / self.pass.store.capacity;
        self.charges.push(charge);
        self.lowest_now = self.lowest_now.min(charge);
        if booked.hour % 24 == RESERVE_HOUR {
            self.at_six.push(before);
        }
    }

    fn converters(&mut self, booked: &Booked<'_>) {
        let flows = booked.flows;
        let inverter = flows.inverter_in - flows.inverter_out + flows.idle_dc + flows.idle_ac;
        self.current.inverter_loss += WattHours::new(inverter);
        self.current.charger_loss += WattHours::new(flows.charger_in - flows.charger_out);
        self.current.curtailed += WattHours::new(flows.curtailed);
    }

    fn close(&mut self, booked: &Booked<'_>) {
        let f = booked.flows;
        let dc_in = f.sun_dc + f.charger_out + f.discharge;
        let dc_out = f.inverter_in + f.idle_dc + f.charge + f.dc_served + f.standing;
        let ac_in = f.sun_ac + f.inverter_out + f.source;
        let ac_out = f.critical + f.normal + f.waited + f.charger_in + f.export + f.idle_ac;
        let [_, before, after] = booked.energy;
        let stored = after - before;
        let bank = f.charge - f.discharge - booked.charged.loss - booked.discharged.loss - stored;
        let share = |difference: f64, flow: f64| difference.abs() / flow.max(1.0);
        let residuals = &mut self.residuals;
        residuals.dc = residuals.dc.max(share(dc_in - dc_out, dc_in));
        residuals.ac = residuals.ac.max(share(ac_in - ac_out, ac_in));
        residuals.bank = residuals.bank.max(share(bank, f.charge + f.discharge));
    }

    fn keep_hour(&mut self, booked: &Booked<'_>, plane: f64, potential: f64, unmet: f64) {
        let Some(hours) = &mut self.hours else { return };
        let flows = booked.flows;
        let loads = self.pass.loads.hours.get(booked.hour).copied().unwrap_or_default();
        let air = self.pass.weather.hours().get(booked.hour).copied().unwrap_or_default();
        let battery = self.pass.battery.get(booked.hour).map_or(0.0, |hour| hour.celsius);
        let from_generator = booked.source.is_generator();
        let source = |is_it: bool| Watts::new(if is_it { flows.source } else { 0.0 });
        hours.push(Hour {
            level_sun: air.horizontal(),
            plane_sun: WattsPerSquareMeter::new(plane),
            cells: Celsius::new(self.cells.get(booked.hour).copied().unwrap_or(air.celsius)),
            sun_potential: Watts::new(potential),
            controllers: Watts::new(flows.sun_dc),
            pv_inverters: Watts::new(flows.sun_ac),
            ac_demand: Watts::new(loads.ac()),
            ac_served: Watts::new(flows.critical + flows.normal),
            waiting_served: Watts::new(flows.waited),
            dc_served: Watts::new(flows.dc_served),
            charge: Watts::new(booked.charged.power),
            discharge: Watts::new(booked.discharged.power),
            state_of_charge: Percent::from_share(booked.q / self.pass.store.capacity),
            battery: Celsius::new(battery),
            generator: source(from_generator),
            import: source(!from_generator),
            export: Watts::new(flows.export),
            unmet: Watts::new(unmet),
            curtailed: Watts::new(flows.curtailed),
            stopped_by: flows.most_discharge.filter(|_| unmet > SHORT).map(|most| most.by),
        });
    }

    /// What is left of the last day's quota goes unmet with the year.
    pub(super) fn end(&mut self, left: f64) {
        if let Some(last) = self.months.last_mut() {
            last.unmet_waiting += WattHours::new(left);
        }
    }
}

fn hours_of_month(number: usize) -> usize {
    Month::ALL.get(number).map_or(0, |month| month.days() * 24)
}

impl Books for Ledger<'_> {
    fn book(&mut self, booked: &Booked<'_>) {
        let air = self.pass.weather.hours().get(booked.hour).copied().unwrap_or_default();
        self.current.level_sun += Irradiation::new(air.horizontal / 1000.0);
        let plane = self.planes(booked);
        let potential = self.sun(booked);
        let unmet = self.loads(booked);
        self.supplies(booked);
        self.bank(booked);
        self.converters(booked);
        self.close(booked);
        self.keep_hour(booked, plane, potential, unmet);
        self.hours_left = self.hours_left.saturating_sub(1);
        if self.hours_left == 0 {
            self.months.push(std::mem::take(&mut self.current));
            self.lowest.push(self.lowest_now);
            self.lowest_now = 1.0;
            self.hours_left = hours_of_month(self.months.len());
        }
    }
}
