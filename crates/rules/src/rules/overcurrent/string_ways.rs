//! What the string rules share: each set of strings with its device, its conductor and its neighbors.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, RunId, Side};
use lineside_core::kinds::strings::Strings;
use lineside_core::units::Amps;
use lineside_study::Zone;
use lineside_study::network::PoleInBlock;

/// A set of strings on its way to the controller.
pub(super) struct StringWay<'a> {
    /// The block.
    pub block: &'a Block,
    /// Its nameplate and arrangement.
    pub strings: &'a Strings,
    /// The overcurrent device in series with the set.
    pub device: Option<&'a PoleInBlock>,
    /// The run that leaves it.
    pub conductor: Option<RunId>,
    /// Short-circuit current of every other string on the same input, those of the own set included.
    pub others: Amps,
    /// What the controller lets flow back.
    pub backfeed: Amps,
}

impl StringWay<'_> {
    /// Whether each string has a device to itself.
    pub fn has_own_device(&self) -> bool {
        self.device.is_some() && self.strings.strings_in_parallel <= 1
    }
}

/// Every set of strings in a zone.
pub(super) fn string_ways<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<StringWay<'a>> {
    let sets = on.string_sets(zone);
    let whole: Amps = sets
        .iter()
        .map(|(_, it)| it.greatest_short_circuit_current() * f64::from(it.strings_in_parallel))
        .sum();
    let backfeed: Amps = on.controllers_fed_by(zone).iter().filter_map(|(_, it)| it.backfeed_current).sum();
    sets.into_iter()
        .map(|(block, strings)| {
            let run = on.circuit().runs_at(block.id).first().copied();
            let side = run.map(|run| if run.from.block == block.id { Side::To } else { Side::From });
            let device = run
                .zip(side)
                .and_then(|(run, side)| on.studies.protection.at(run.id, side))
                .and_then(|device| on.studies.network.poles().get(device.pole));
            StringWay {
                block,
                strings,
                device,
                conductor: run.filter(|run| run.conductor.is_some()).map(|run| run.id),
                others: whole - strings.greatest_short_circuit_current(),
                backfeed,
            }
        })
        .collect()
}
