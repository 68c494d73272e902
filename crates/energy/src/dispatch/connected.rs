//! An hour with the utility or a generator on the AC side. Loads hang on the source; the inverter helps only a source that
//! is too small, or passes sun on.

use super::moment::{Flows, InverterNow, Moment};

/// The source of an hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Connected {
    /// Greatest power that it gives.
    pub most: f64,
    /// Charge up to which it charges the bank, as a share.
    pub charge_to: f64,
    /// Whether sun on the AC side goes on beside it.
    pub sun_ac: bool,
    /// Whether sun of the battery bus may go to the AC side.
    pub interactive: bool,
    /// Greatest export.
    pub export: f64,
}

/// What flows while a source is connected.
pub(super) fn flows(at: &Moment<'_>, source: &Connected) -> Flows {
    let idle = at.inverter.map_or(0.0, |it| it.idle);
    let demand = at.loads.ac() + at.overdue + idle;
    let sun_ac = if source.sun_ac { at.sun_ac } else { 0.0 };
    let used_ac = sun_ac.min(demand);
    let hour = Hour { at, source, dc: at.loads.dc + at.fixed.standing, demand, used_ac };
    let mut flows = Flows { sun_ac: used_ac, ..Flows::default() };
    let help = hour.help();
    let served = demand.min(used_ac + source.most + help.0);
    let charged = hour.charge(&mut flows, help, served, sun_ac - used_ac);
    hour.settle(&mut flows, served, idle, &charged);
    flows.curtailed += at.sun_ac - sun_ac;
    flows
}

struct Hour<'a> {
    at: &'a Moment<'a>,
    source: &'a Connected,
    /// DC loads and standing use.
    dc: f64,
    /// AC loads and idle draw.
    demand: f64,
    used_ac: f64,
}

/// What is left after the bank's share was settled.
struct Charged {
    /// Sun of the battery bus that nobody takes.
    rest: f64,
    /// Sun of the AC side that nobody has taken yet.
    sun_left: f64,
}

impl Hour<'_> {
    /// Output of the inverter that a small source needs, and its input.
    fn help(&self) -> (f64, f64) {
        let Some(inverter) = self.at.inverter else { return (0.0, 0.0) };
        let output = (self.demand - self.used_ac - self.source.most).min(inverter.most).max(0.0);
        if output <= 0.0 {
            return (0.0, 0.0);
        }
        let input = inverter.law.input_w(output);
        let have = (self.at.sun_dc + self.at.most_discharge().watts - self.dc).max(0.0);
        if input > have { (inverter.law.output_w(have), have) } else { (output, input) }
    }

    /// Sun charges first, then serves the AC side, then the charger fills up from the source.
    fn charge(&self, flows: &mut Flows, help: (f64, f64), served: f64, sun_left: f64) -> Charged {
        let at = self.at;
        let helps = help.0 > 0.0;
        (flows.inverter_out, flows.inverter_in) = help;
        let over = at.sun_dc - self.dc - help.1;
        let most = at.most_charge(1.0);
        flows.most_charge = Some(most);
        let charge = most.watts;
        let top = if at.rest.q >= self.source.charge_to * at.fixed.store.capacity {
            0.0
        } else if self.source.charge_to >= 1.0 {
            charge
        } else {
            at.most_charge(self.source.charge_to).watts
        };
        let from_sun = over.clamp(0.0, charge);
        let mut rest = over.max(0.0) - from_sun;
        if self.source.interactive
            && rest > 0.0
            && !helps
            && let Some(inverter) = at.inverter
        {
            rest -= self.pass_on(flows, &inverter, rest, served);
        }
        let wish = if helps { 0.0 } else { (top - from_sun + (-over).max(0.0)).max(0.0) };
        let charger = at.charger();
        let source_left = self.source.most - (served - self.used_ac - flows.inverter_out) + sun_left;
        let mut output = wish.min(charger.most).min(charger.output(source_left.max(0.0))).max(0.0);
        let mut sun_left = sun_left;
        let from_ac_sun = sun_left.min(charger.input(output));
        flows.sun_ac += from_ac_sun;
        sun_left -= from_ac_sun;
        if sun_left > 0.0 && over >= 0.0 && !helps {
            let more = (charge - from_sun - output)
                .min(charger.most - output)
                .min(charger.output(charger.input(output) + sun_left) - output)
                .max(0.0);
            let taken = charger.input(output + more) - charger.input(output);
            output += more;
            flows.sun_ac += taken;
            sun_left = (sun_left - taken).max(0.0);
        }
        flows.charger_out = output;
        flows.charger_in = charger.input(output);
        Charged { rest, sun_left }
    }

    /// Serves the AC side and the utility with sun that the bank cannot take; gives what of it was used.
    fn pass_on(&self, flows: &mut Flows, inverter: &InverterNow, rest: f64, served: f64) -> f64 {
        let output = inverter
            .law
            .output_w(rest)
            .min(inverter.most)
            .min(served - self.used_ac + self.source.export)
            .max(0.0);
        flows.inverter_out = output;
        flows.inverter_in = inverter.law.input_w(output);
        flows.inverter_in.min(rest)
    }

    /// The bank takes or gives the difference on its bus; the source gives or takes it on the AC side.
    fn settle(&self, flows: &mut Flows, served: f64, idle: f64, charged: &Charged) {
        let at = self.at;
        flows.sun_dc = at.sun_dc - charged.rest;
        flows.dc_served = at.loads.dc;
        flows.standing = at.fixed.standing;
        let balance = flows.sun_dc + flows.charger_out - self.dc - flows.inverter_in;
        if balance >= 0.0 {
            flows.charge = balance;
        } else {
            let most = at.most_discharge();
            flows.most_discharge = Some(most);
            flows.discharge = (-balance).min(most.watts);
            let missing = -balance - flows.discharge;
            flows.dc_served = (at.loads.dc - missing).max(0.0);
            let still = missing - (at.loads.dc - flows.dc_served);
            flows.standing = (at.fixed.standing - still).max(0.0);
        }
        let from_source = served + flows.charger_in - flows.sun_ac - flows.inverter_out;
        flows.source = from_source.max(0.0);
        flows.export = (-from_source).max(0.0);
        let room = (self.source.export - flows.export).max(0.0);
        let further = charged.sun_left.min(room);
        flows.export += further;
        flows.sun_ac += further;
        flows.curtailed = charged.rest + charged.sun_left - further;
        flows.idle_ac = idle.min(served);
        at.share_out(flows, served - flows.idle_ac);
    }
}
