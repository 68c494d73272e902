//! What the stock has for the battery bus and the panel: ratings of DC devices, the largest bar, the largest panels.

use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::utility::Utility;
use lineside_core::project::StockItem;
use lineside_core::units::Amps;

/// Ratings of the stock, smallest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Rails {
    devices: Vec<Amps>,
    fuses: Vec<Amps>,
    /// The largest bar with as many taps as any.
    pub bar: Amps,
    /// Its taps.
    pub taps: u32,
    /// The greatest DC short circuit that a device of the stock breaks.
    pub breaks: Amps,
    panels: Vec<(AcSystem, Amps)>,
    utilities: Vec<(AcSystem, Utility)>,
    /// Combiners with one bus and at least two ways.
    pub combiners: Vec<Combiner>,
}

fn sorted(ratings: impl Iterator<Item = Amps>) -> Vec<Amps> {
    let mut all: Vec<Amps> = ratings.collect();
    all.sort_by(Amps::total_cmp);
    all.dedup();
    all
}

/// The next rating; past the largest what is asked for.
fn next(ratings: &[Amps], least: Amps) -> Amps {
    ratings.iter().copied().find(|rating| *rating >= least).unwrap_or(least)
}

impl Rails {
    /// Of a stock.
    pub(crate) fn of(stock: &[StockItem]) -> Self {
        let breakers = || stock.iter().filter_map(|item| item.equipment.as_kind::<Breaker>());
        let direct = breakers().filter(|it| it.dc_voltage.is_some()).map(|it| it.rating);
        let fuses = stock.iter().filter_map(|item| item.equipment.as_kind::<Fuse>());
        let switched = fuses.filter(|it| it.mount == FuseMount::FusedSwitch && it.dc_voltage.is_some());
        let bars = || stock.iter().filter_map(|item| item.equipment.as_kind::<BusBar>());
        let bar = bars().map(|it| it.rating).max_by(Amps::total_cmp).unwrap_or_default();
        let taps = bars().filter(|it| it.rating >= bar).map(|it| it.taps).max().unwrap_or(0);
        let fused = stock.iter().filter_map(|item| item.equipment.as_kind::<Fuse>()?.interrupting_dc);
        let breaks = breakers().filter_map(|it| it.interrupting_dc).chain(fused);
        let utilities = stock.iter().filter_map(|item| item.equipment.as_kind::<Utility>());
        let panels = stock.iter().filter_map(|item| item.equipment.as_kind::<AcPanel>());
        let combiners = stock.iter().filter_map(|item| item.equipment.as_kind::<Combiner>());
        Self {
            devices: sorted(direct),
            fuses: sorted(switched.map(|it| it.rating)),
            bar,
            taps,
            breaks: breaks.max_by(Amps::total_cmp).unwrap_or_default(),
            utilities: utilities.map(|it| (it.ac_system, it.clone())).collect(),
            combiners: combiners.filter(|it| it.buses <= 1 && it.ways > 1).cloned().collect(),
            panels: panels.map(|it| (it.ac_system, it.bus_rating)).collect(),
        }
    }

    /// The rating of a DC device that carries a current.
    pub(crate) fn device(&self, least: Amps) -> Amps {
        next(&self.devices, least)
    }

    /// The rating of a fused switch that carries a current.
    pub(crate) fn fuse(&self, least: Amps) -> Amps {
        next(&self.fuses, least)
    }

    /// The rating of the largest panel of an AC system; nought when there is none.
    pub(crate) fn panel(&self, system: AcSystem) -> Amps {
        let all = self.panels.iter().filter(|(of, _)| *of == system).map(|(_, rating)| *rating);
        all.max_by(Amps::total_cmp).unwrap_or_default()
    }

    /// The largest service of an AC system.
    pub(crate) fn utility(&self, system: AcSystem) -> Option<&Utility> {
        let all = self.utilities.iter().filter(|(of, _)| *of == system).map(|(_, it)| it);
        all.max_by(|a, b| a.service_rating.total_cmp(&b.service_rating))
    }
}
