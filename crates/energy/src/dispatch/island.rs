//! An hour without an AC source.

use super::moment::{ChargerNow, Flows, InverterNow, Moment};
use crate::battery::DischargeLimit;

/// What flows while the system stands alone.
pub(super) fn flows(at: &Moment<'_>) -> Flows {
    let inverter = at.inverter.filter(|_| !at.latched);
    let demand = if inverter.is_some() { at.loads.ac() + at.overdue } else { 0.0 };
    let mut flows = Flows::default();
    let mut sun_left = 0.0;
    if inverter.is_some() {
        flows.sun_ac = at.sun_ac.min(demand);
        sun_left = at.sun_ac - flows.sun_ac;
    }
    let wanted = inverter.map_or(0.0, |it| (demand - flows.sun_ac).min(it.most));
    let inverter_need = inverter.map_or(0.0, |it| it.idle + it.law.input_w(wanted));
    let dc_loads = if at.latched { 0.0 } else { at.loads.dc };
    let need = dc_loads + at.fixed.standing + inverter_need;
    let hour = Hour { at, inverter, wanted, dc_loads, need };
    if at.sun_dc >= need {
        hour.surplus(&mut flows, sun_left);
    } else {
        hour.deficit(&mut flows, sun_left);
    }
    if inverter.is_none() {
        flows.curtailed += at.sun_ac;
    }
    let available = flows.sun_ac - flows.charger_in + flows.inverter_out;
    at.share_out(&mut flows, available);
    flows
}

struct Hour<'a> {
    at: &'a Moment<'a>,
    inverter: Option<InverterNow>,
    /// AC output that the loads want of the inverter.
    wanted: f64,
    dc_loads: f64,
    /// What the battery bus must give.
    need: f64,
}

impl Hour<'_> {
    /// The sun carries everything: the bank is charged, then what can wait is served, the rest is curtailed.
    fn surplus(&self, flows: &mut Flows, mut sun_left: f64) {
        let at = self.at;
        let most = at.most_charge(1.0);
        flows.most_charge = Some(most);
        let most_w = most.watts;
        let over = at.sun_dc - self.need;
        let from_dc = over.min(most_w);
        let mut rest = over - from_dc;
        flows.charge = from_dc;
        if sun_left > 0.0 {
            sun_left = self.charge_from_ac(flows, sun_left, most_w - from_dc);
        }
        let mut output = self.wanted;
        if at.opportunity > 0.0
            && let Some(inverter) = self.inverter
        {
            let from_ac = at.opportunity.min(sun_left);
            flows.sun_ac += from_ac;
            sun_left -= from_ac;
            let base = inverter.law.input_w(self.wanted);
            let further = (at.opportunity - from_ac)
                .min(inverter.most - self.wanted)
                .min(inverter.law.output_w(base + rest) - self.wanted)
                .max(0.0);
            output += further;
            rest = (rest - (inverter.law.input_w(output) - base)).max(0.0);
        }
        flows.sun_dc = at.sun_dc - rest;
        self.carry(flows, output);
        flows.dc_served = self.dc_loads;
        flows.standing = at.fixed.standing;
        flows.curtailed = rest + sun_left;
    }

    /// Charges from the AC side with what the sun leaves there; gives what is still left.
    fn charge_from_ac(&self, flows: &mut Flows, sun_left: f64, most: f64) -> f64 {
        let charger = self.at.charger();
        let output = most.min(charger.most).min(charger.output(sun_left)).max(0.0);
        self.charge_with(flows, &charger, output);
        flows.charge += output;
        sun_left - charger.input(output)
    }

    fn charge_with(&self, flows: &mut Flows, charger: &ChargerNow, output: f64) {
        flows.charger_out = output;
        flows.charger_in = charger.input(output);
        flows.sun_ac += flows.charger_in;
    }

    fn carry(&self, flows: &mut Flows, output: f64) {
        if let Some(inverter) = self.inverter {
            flows.inverter_out = output;
            flows.inverter_in = inverter.law.input_w(output);
            flows.idle_dc = inverter.idle;
        }
    }

    /// The bank helps; where it cannot, loads go short and it may latch.
    fn deficit(&self, flows: &mut Flows, mut sun_left: f64) {
        let at = self.at;
        let mut gap = self.need - at.sun_dc;
        if sun_left > 0.0 {
            let charger = at.charger();
            let most = at.most_charge(1.0);
            flows.most_charge = Some(most);
            let output = (gap + most.watts).min(charger.most).min(charger.output(sun_left)).max(0.0);
            self.charge_with(flows, &charger, output);
            sun_left -= flows.charger_in;
            gap -= output;
        }
        flows.curtailed = sun_left.max(0.0);
        let most = at.most_discharge();
        flows.most_discharge = Some(most);
        if gap <= most.watts {
            flows.discharge = gap.max(0.0);
            flows.charge = (-gap).max(0.0);
            flows.sun_dc = at.sun_dc;
            self.carry(flows, self.wanted);
            flows.dc_served = self.dc_loads;
            flows.standing = at.fixed.standing;
            return;
        }
        self.short(flows, most.watts);
        flows.ran_down = most.by != DischargeLimit::Rate;
    }

    /// There is not enough for everything: standing use first, then DC loads, then what the inverter can carry.
    fn short(&self, flows: &mut Flows, most_w: f64) {
        let at = self.at;
        let mut have = at.sun_dc + flows.charger_out + most_w;
        let mut left = self.serve_dc(flows, have);
        match self.inverter {
            Some(inverter) if left > inverter.idle => {
                self.carry(flows, self.wanted.min(inverter.law.output_w(left - inverter.idle)));
            }
            _ => {
                // The AC side falls away, and with it the sun that needs it.
                flows.curtailed += flows.sun_ac;
                flows.sun_ac = 0.0;
                (flows.charger_in, flows.charger_out) = (0.0, 0.0);
                have = at.sun_dc + most_w;
                left = self.serve_dc(flows, have);
            }
        }
        let _ = left;
        let used = flows.standing + flows.dc_served + flows.idle_dc + flows.inverter_in;
        let from_bank = used - at.sun_dc - flows.charger_out;
        flows.discharge = from_bank.clamp(0.0, most_w);
        let spare = (-from_bank).max(0.0);
        flows.charge = if spare > 0.0 { spare.min(at.most_charge(1.0).watts) } else { 0.0 };
        let rest = spare - flows.charge;
        flows.sun_dc = at.sun_dc - rest;
        flows.curtailed += rest;
    }

    /// Deals out to standing use and DC loads; gives what is left.
    fn serve_dc(&self, flows: &mut Flows, have: f64) -> f64 {
        flows.standing = self.at.fixed.standing.min(have);
        flows.dc_served = self.dc_loads.min(have - flows.standing);
        have - flows.standing - flows.dc_served
    }
}
