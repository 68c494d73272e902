//! Goes through the hours of a year: state in, flows out, books kept by whoever listens.

use super::moment::{Fixed, Flows, InverterNow, Moment};
use super::state::{Source, State, Supplies};
use super::{connected, island};
use crate::battery::{BatteryHour, Charged, Discharged, Store};
use crate::controller::{ControllerYear, PvInverterYear};
use crate::converter::Converter;
use crate::generator::{Generator, Seen, in_window};
use crate::inverter::Inverter;
use crate::loads::{Deadline, Deferral, LoadHour, LoadYear, Quota};
use crate::utility::{Presence, Utility};
use crate::weather::Weather;

/// Everything the hours of a year need.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pass<'a> {
    pub store: &'a Store,
    pub battery: &'a [BatteryHour],
    /// Charge from which loads are taken up again, as a share.
    pub restart: f64,
    pub controllers: &'a [ControllerYear],
    pub pv_inverters: &'a [PvInverterYear],
    pub inverter: Option<&'a Inverter>,
    pub charger: Option<(Converter, f64)>,
    pub generator: Option<&'a Generator>,
    pub utility: Option<&'a Utility>,
    /// For each hour whether the utility is there; empty without one.
    pub presence: &'a [Presence],
    pub loads: &'a LoadYear,
    pub deferral: &'a Deferral,
    pub standing: f64,
    /// Charge below which normal loads are shed, as a share.
    pub shed_below: f64,
    pub weather: &'a Weather,
}

/// One hour, done.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Booked<'a> {
    pub hour: usize,
    pub flows: &'a Flows,
    pub charged: &'a Charged,
    pub discharged: &'a Discharged,
    pub source: Source,
    /// Charge after self-discharge, Ah.
    pub q: f64,
    /// Stored before and after self-discharge, and at the end of the hour, Wh.
    pub energy: [f64; 3],
    /// Voltage at which the bank is charged, V.
    pub volts: f64,
    /// Parts of the sun that could be had which were used: battery bus, AC side.
    pub sun_parts: [f64; 2],
    /// Quota of a day that began, and what of the day before was never served, Wh.
    pub quota: f64,
    pub expired: f64,
}

/// Whoever keeps books of the hours.
pub(crate) trait Books {
    fn book(&mut self, hour: &Booked<'_>);
}

/// Keeps none.
pub(crate) struct Silent;

impl Books for Silent {
    #[inline]
    fn book(&mut self, _: &Booked<'_>) {}
}

/// Goes through the year from a state and gives the state at its end.
pub(crate) fn run(pass: &Pass<'_>, mut state: State, books: &mut impl Books) -> State {
    let fixed = Fixed { store: pass.store, charger: pass.charger, standing: pass.standing };
    let hours = pass.battery.iter().zip(pass.weather.hours()).zip(&pass.loads.hours).enumerate();
    let supplies = Supplies { generator: pass.generator, utility: pass.utility };
    let mut quotas = pass.loads.quotas.iter();
    let mut today = Quota::default();
    let mut stored = pass.store.energy(state.q);
    for (hour, ((battery, air), loads)) in hours {
        let of_day = hour % 24;
        let (mut fresh, mut expired) = (0.0, 0.0);
        if of_day == 0 {
            expired = state.quota;
            today = quotas.next().copied().unwrap_or_default();
            fresh = today.energy;
            state.quota = fresh;
        }
        let rest = pass.store.at_rest(state.q * battery.kept);
        let charge = rest.q / pass.store.capacity;
        state.latched = state.latched && charge < pass.restart;
        let volts = pass.store.charging_voltage(&rest);
        let mut loads = *loads;
        let overdue = pass.overdue(&today, state.quota, of_day);
        let demand = loads.ac() + overdue;
        let seen = Seen {
            charge,
            volts: pass.store.discharging_voltage(&rest) - battery.discharge_ohm * state.last_discharge_a,
            hour: of_day,
            demand_w: demand,
        };
        let presence = pass.presence.get(hour).copied().unwrap_or(Presence::Away);
        let source = supplies.choose(&mut state, presence, &seen);
        let terms = supplies.terms(source, air.celsius);
        if terms.is_none() && charge < pass.shed_below {
            loads.shed();
        }
        let sun_dc: f64 = pass.controllers.iter().map(|it| it.available(hour, volts)).sum();
        let sun_ac: f64 = pass.pv_inverters.iter().map(|it| it.available(hour)).sum();
        let moment = Moment {
            fixed: &fixed,
            battery,
            rest,
            latched: state.latched,
            sun_dc,
            sun_ac,
            loads,
            overdue,
            opportunity: pass.opportunity(&today, state.quota, overdue, charge, of_day),
            inverter: pass.inverter_now(&loads, demand, air.celsius),
            volts,
        };
        let flows = match &terms {
            Some(terms) => connected::flows(&moment, terms),
            None => island::flows(&moment),
        };
        let (charged, discharged) = moment.move_charge(&flows);
        let discharges = flows.discharge > 0.0;
        let after = if discharges { discharged.energy } else { charged.energy };
        state.q = if discharges { discharged.q } else { charged.q };
        state.last_discharge_a = discharged.amps;
        state.latched = state.latched || flows.ran_down;
        state.quota = (state.quota - flows.waited).max(0.0);
        books.book(&Booked {
            hour,
            flows: &flows,
            charged: &charged,
            discharged: &discharged,
            source,
            q: rest.q,
            energy: [stored, rest.energy, after],
            volts,
            sun_parts: [part(flows.sun_dc, sun_dc), part(flows.sun_ac, sun_ac)],
            quota: fresh,
            expired,
        });
        stored = after;
    }
    state
}

/// A part of a whole; of nothing it is nothing.
fn part(used: f64, available: f64) -> f64 {
    if available > 0.0 { used / available } else { 0.0 }
}

impl Moment<'_> {
    /// Moves the charge of the bank.
    fn move_charge(&self, flows: &Flows) -> (Charged, Discharged) {
        let (store, rest) = (self.fixed.store, &self.rest);
        let still = (
            Charged { q: rest.q, energy: rest.energy, ..Charged::default() },
            Discharged { q: rest.q, energy: rest.energy, ..Discharged::default() },
        );
        if flows.discharge > 0.0 {
            let most = flows.most_discharge.unwrap_or_else(|| self.most_discharge());
            (still.0, store.discharge(self.battery, rest, flows.discharge, &most))
        } else if flows.charge > 0.0 {
            let most = flows.most_charge.unwrap_or_else(|| self.most_charge(1.0));
            (store.charge(self.battery, rest, flows.charge, &most), still.1)
        } else {
            still
        }
    }
}

impl Pass<'_> {
    /// What had to wait and must run in this hour, W.
    fn overdue(&self, today: &Quota, left: f64, of_day: usize) -> f64 {
        match self.deferral.deadline {
            Deadline::MustRunFrom(from) if of_day as f64 >= from.value() => today.power.min(left),
            Deadline::MustRunFrom(_) | Deadline::None => 0.0,
        }
    }

    /// What may run if there is surplus, W.
    fn opportunity(&self, today: &Quota, left: f64, overdue: f64, charge: f64, of_day: usize) -> f64 {
        let open = left > 0.0
            && overdue <= 0.0
            && charge >= self.deferral.charge.share()
            && in_window(of_day, (self.deferral.from, self.deferral.to));
        if open { today.power.min(left) } else { 0.0 }
    }

    /// The inverter at the power factor of the loads that do not wait.
    fn inverter_now(&self, loads: &LoadHour, demand: f64, celsius: f64) -> Option<InverterNow> {
        let inverter = self.inverter?;
        let factor = loads.power_factor();
        Some(InverterNow {
            law: inverter.inverting(factor),
            most: inverter.limit_w(factor, celsius),
            idle: inverter.idle_w(demand),
        })
    }
}
