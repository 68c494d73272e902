//! The generator of the year.

use super::bus::Bus;
use super::{Sheet, Statement};
use crate::battery::Bank;
use crate::generator::{Generator as GeneratorOfYear, Starter};
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::{Meters, Percent};

impl Sheet<'_> {
    pub(super) fn generator(&mut self, bus: &Bus, bank: &Bank) -> Option<GeneratorOfYear> {
        let block = self.supply(bus, SourceKind::Generator)?;
        let it = self.find::<Generator>(block)?;
        let defaults = &self.tables.defaults;
        let cell = &bank.cell;
        let usual = Starter {
            quiet: self.on.project.brief.goals.quiet_hours,
            ..Starter::usual(cell.chemistry, cell.least_charge, defaults)
        };
        let starter = self.wishes.starter.unwrap_or_else(|| {
            let what = "charge at which it starts";
            self.say(Statement::Assumed { block: Some(block), what, value: usual.start_charge().into() });
            let what = "charge at which it stops";
            self.say(Statement::Assumed { block: Some(block), what, value: usual.stop.into() });
            usual
        });
        if it.remote_start == Some(Fitted::No) {
            self.say(Statement::StartedByHand(block));
        }
        let fuel = self.tables.fuel(it.fuel);
        if fuel.is_none() {
            self.say(Statement::UnknownFuel(block));
        }
        let height = self.on.project.brief.site.elevation.unwrap_or(Meters::ZERO);
        let mut found = GeneratorOfYear::new(it.power, fuel, starter, height, &self.tables.defaults);
        found.usable = it.usable_share.unwrap_or(Percent::new(100.0));
        found.input_limit = self.input_limit(bus);
        if let Some(load) = it.least_load {
            found.least_load = load;
        }
        if let (Some(from), Some(lost)) = (it.full_output_below, it.altitude_derating) {
            found.derating.full_below = from;
            found.derating.for_100_m = lost;
        }
        if let (Some(from), Some(change)) = (it.full_output_to, it.hot_derating) {
            found.derating.full_to = from;
            found.derating.per_kelvin = Percent::new(-change.value());
        }
        Some(found)
    }
}
