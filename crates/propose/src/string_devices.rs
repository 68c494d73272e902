//! Devices for strings in parallel: which combiners of the stock protect the modules, and where none is needed.

use crate::limits::{Broken, Limit, most};
use crate::terms::Terms;
use lineside_codes::FactorKey;
use lineside_core::kinds::combiner::Combiner;
use lineside_core::kinds::common::{ContinuousDuty, Polarity};
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Amps, Volts};

/// Strings that may lie together on one lead: neither is pushed back by more than one other.
const PAIR: u32 = 2;

impl Terms<'_> {
    /// Whether the devices of a combiner suit strings of a module: not so small that they open in bright sun, nor so large
    /// that they do not protect the modules, and made for the voltage of the cold strings.
    pub(crate) fn suits_strings(&self, module: &Strings, cold: Volts) -> impl Fn(&Combiner) -> bool + use<> {
        let on = &self.on;
        let rated = module.series_fuse_rating.unwrap_or(Amps::new(f64::MAX));
        let short = module.greatest_short_circuit_current();
        let (least, least_of_full, most) = if on.rule_set.is_nec() {
            let greatest = short * on.number(FactorKey::PvCurrent);
            (greatest * on.number(FactorKey::Continuous), greatest, rated)
        } else {
            let (low, high) =
                (on.number(FactorKey::StringDeviceLeast), on.number(FactorKey::StringDeviceGreatest));
            (short * low, short * low, rated.min(short * high))
        };
        move |it| {
            let enough = match it.duty {
                ContinuousDuty::EightyPercent => least,
                ContinuousDuty::HundredPercent => least_of_full,
            };
            it.polarity == Polarity::None
                && it.dc_voltage.is_some_and(|stands| stands >= cold)
                && it.device_rating >= enough
                && it.device_rating <= most
        }
    }

    /// More than two strings at one controller need a combiner whose devices protect them, unless what all the others push
    /// back through one is within its series fuse rating.
    pub(crate) fn string_device_limit(&self, module: &Strings, cold: Volts, strings: u32) -> Option<Broken> {
        let rated = module.series_fuse_rating?;
        if strings <= PAIR {
            return None;
        }
        let suits = self.suits_strings(module, cold);
        if self.rails.combiners.iter().any(suits) {
            return None;
        }
        let factor = if self.on.rule_set.is_nec() { self.on.number(FactorKey::PvCurrent) } else { 1.0 };
        let pushed = module.greatest_short_circuit_current() * (factor * f64::from(strings - 1));
        most(Limit::StringDevice, pushed, rated)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sizing_examples::{Ground, TROPICS, cell, inverter, load, module, project};
    use lineside_core::kinds::battery_bank::Chemistry;
    use lineside_core::project::SupplyWish;
    use lineside_core::stock;

    /// 1.25 × 9.1 A = 11.375 A comes back from each other string. Under the NEC a way of 15 A carries 1.56 × 9.1 = 14.2 A.
    #[test]
    fn strings_that_nothing_protects_stay_in_pairs() {
        let combiner = |volts: f64, rating: f64| {
            let all = stock::built_in().unwrap();
            let found = all.into_iter().find_map(|item| {
                let it = item.equipment.as_kind::<Combiner>()?;
                let fits = it.buses <= 1 && it.ways > 2 && it.duty == ContinuousDuty::EightyPercent;
                fits.then(|| (item.clone(), it.clone()))
            });
            let (mut item, mut it) = found.unwrap();
            (it.dc_voltage, it.device_rating) = (Some(Volts::new(volts)), Amps::new(rating));
            item.equipment = it.into();
            item
        };
        let limit = |combiners: Vec<lineside_core::project::StockItem>, rated: f64, strings: u32| {
            let mut stock = vec![
                module(160.0, 22.5, 9.1, 18.6, -0.39, -0.30),
                cell("2 V cell", Chemistry::AbsorbedGlassMat, 6, 260.0),
                inverter(300.0, 300.0, 600.0, 4.0, 10.5, 16.0),
            ];
            stock.extend(combiners);
            let brief = project(&TROPICS, vec![load(50.0, 5.0, 7, None)], 3.0, SupplyWish::Excluded);
            let ground = Ground::new(brief, stock);
            let terms = ground.terms();
            let mut part = terms.shelf.modules[0].item.clone();
            part.series_fuse_rating = Some(Amps::new(rated));
            terms.string_device_limit(&part, Volts::new(150.0), strings)
        };
        assert!(limit(Vec::new(), 15.0, 2).is_none(), "two push back 11.4 A through one");
        // Two others push back 22.75 A: more than 15 A, within 25 A.
        let broken = limit(Vec::new(), 15.0, 3).unwrap();
        assert_eq!(broken.limit, Limit::StringDevice);
        assert!((broken.found.value - 22.75).abs() < 1e-9 && (broken.allowed.value - 15.0).abs() < 1e-9);
        assert!(limit(Vec::new(), 25.0, 3).is_none() && limit(Vec::new(), 25.0, 4).is_some());
        // A combiner with ways of 15 A for 150 V protects them; one for less, or with 20 A, does not.
        assert!(limit(vec![combiner(150.0, 15.0)], 15.0, 3).is_none());
        assert!(limit(vec![combiner(125.0, 15.0)], 15.0, 3).is_some());
        assert!(limit(vec![combiner(150.0, 20.0)], 15.0, 3).is_some());
        assert!(limit(vec![combiner(150.0, 12.0)], 15.0, 3).is_some(), "it opens in bright sun");
    }
}
