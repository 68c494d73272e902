//! What the string rules share: each set of strings with its device, its conductor and its neighbors.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, BlockId, RunId, Side};
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
    /// Short-circuit current of the other sets on the same input, beyond the device of this one.
    pub beyond: Amps,
    /// What the controller lets flow back.
    pub backfeed: Amps,
}

impl StringWay<'_> {
    /// Whether anything can push current back through the device of the set. A breaker through which nothing can
    /// is a disconnect and no protection of the modules.
    pub fn is_pushed_back(&self) -> bool {
        self.beyond > Amps::ZERO || self.backfeed > Amps::ZERO
    }
    /// Whether each string has a device to itself.
    pub fn has_own_device(&self) -> bool {
        self.device.is_some() && self.strings.strings_in_parallel <= 1
    }
}

/// Every set of strings in a zone.
pub(super) fn string_ways<'a>(on: &Circumstances<'a>, zone: &Zone) -> Vec<StringWay<'a>> {
    let sets = on.string_sets(zone);
    let of_set = |it: &Strings| it.greatest_short_circuit_current() * f64::from(it.strings_in_parallel);
    let sums: Vec<(BlockId, Amps)> = sets.iter().map(|(block, it)| (block.id, of_set(it))).collect();
    let whole: Amps = sums.iter().map(|(_, amps)| *amps).sum();
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
                beyond: sums.iter().filter(|(id, _)| *id != block.id).map(|(_, amps)| *amps).sum(),
                backfeed,
            }
        })
        .collect()
}
