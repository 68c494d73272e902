//! The search itself: every combination of the shelf, cut by proofs, one kept for every grade of bank and array.
//!
//! A *grade* says by how much bank and array pass what is needed. Of all combinations of one chemistry, with or without
//! a generator, that reach the same grades the cheapest is kept (of equal ones the first), and of those kept the ones
//! that another beats or equals in price and both grades are dropped. A test compares this with going through every
//! combination one by one.

use crate::arrays::Array;
use crate::combination::Combination;
use crate::early::Early;
use crate::limits::{Limit, with_units};
use crate::proven::RANDOM_YEARS;
use crate::terms::Terms;
use crate::watch::{News, Watch};
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::Watts;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;

/// By how much bank and array pass what is needed: places in [`SearchBounds::steps`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Grade {
    /// Of the bank.
    pub bank: usize,
    /// Of the array.
    pub array: usize,
}

/// How far the search goes.
#[derive(Clone, Debug, PartialEq)]
pub struct SearchBounds {
    /// Rising multiples of the need, from one, that count as grades; what lies between counts as the lower.
    pub steps: Vec<f64>,
    /// Controllers at most.
    pub controllers: u32,
    /// Strings at one controller at most.
    pub strings: u32,
    /// Inverters at most.
    pub inverters: u32,
    /// Random years of each candidate in the end; none for nought.
    pub random_years: u32,
}

impl Default for SearchBounds {
    fn default() -> Self {
        Self {
            steps: vec![1.0, 1.25, 1.5, 2.0],
            controllers: 6,
            strings: 12,
            inverters: 3,
            random_years: RANDOM_YEARS,
        }
    }
}

/// A combination that was kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// Which.
    pub combination: Combination,
    /// Its grades.
    pub grade: Grade,
    /// Of which chemistry.
    pub chemistry: Chemistry,
    /// What its equipment costs.
    pub cost: Decimal,
}

/// Branches that were cut for one reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The limit; every combination of such a branch breaks it.
    pub limit: Limit,
    /// How many branches.
    pub branches: u64,
}

/// What a search found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// What was kept, by chemistry and generator, then by grade.
    pub kept: Vec<Kept>,
    /// What was cut, by limit.
    pub cuts: Vec<Cut>,
    /// Branches that were cut because everything in them is dearer than one kept of the same grades.
    pub dearer: u64,
}

/// What one field of the search holds: chemistry, whether there is a generator, grade.
pub(crate) type Field = (Chemistry, bool, Grade);

pub(crate) struct Search<'a, 't> {
    pub(crate) terms: &'a Terms<'t>,
    pub(crate) bounds: &'a SearchBounds,
    pub(crate) best: BTreeMap<Field, (Decimal, Combination)>,
    cuts: BTreeMap<Limit, u64>,
    dearer: u64,
    /// Arrays for a charge voltage, cheapest first, none beaten by a cheaper one of the same module.
    pub(crate) arrays: BTreeMap<u64, Vec<Array>>,
}

impl Terms<'_> {
    /// The highest grade that a share of the need reaches; `None` below the need.
    fn step(bounds: &SearchBounds, share: f64) -> Option<usize> {
        bounds.steps.iter().rposition(|step| share >= *step)
    }

    /// The grades of a combination; `None` when bank or array are too small.
    pub fn grade(&self, bounds: &SearchBounds, it: &Combination) -> Option<Grade> {
        let battery = self.shelf.batteries.get(it.battery)?;
        let module = self.shelf.modules.get(it.module)?;
        let bank = with_units(&battery.item, it.units);
        let bank_share = self.capacity(&bank, it.bank_strings) / self.capacity_needed(&bank, it);
        let controller = self.shelf.controllers.get(it.controller)?;
        let array = self.array_worth(&controller.item, &module.item, &bank, it);
        let array_share = array / self.array_needed(&module.item, &bank, it);
        Some(Grade { bank: Self::step(bounds, bank_share)?, array: Self::step(bounds, array_share)? })
    }

    /// Goes through every combination.
    pub fn search(&self, bounds: &SearchBounds) -> Found {
        self.search_watched(bounds, &AtomicBool::new(false)).unwrap_or_default()
    }

    /// The same, telling how it goes. `None` when the watcher cancels.
    pub fn search_watched(&self, bounds: &SearchBounds, watch: &dyn Watch) -> Option<Found> {
        let (best, cuts, arrays) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
        let mut search = Search { terms: self, bounds, best, cuts, dearer: 0, arrays };
        search.inverters(watch)?;
        let kept = search.best.iter().map(|((chemistry, _, grade), (cost, combination))| Kept {
            combination: *combination,
            grade: *grade,
            chemistry: *chemistry,
            cost: *cost,
        });
        let kept = undominated(&kept.collect::<Vec<_>>());
        let cuts = search.cuts.iter().map(|(limit, branches)| Cut { limit: *limit, branches: *branches });
        Some(Found { kept, cuts: cuts.collect(), dearer: search.dearer })
    }
}

/// Drops what another of the same chemistry, with or without a generator alike, beats or equals in everything.
pub(crate) fn undominated(all: &[Kept]) -> Vec<Kept> {
    let group = |it: &Kept| (it.chemistry, it.combination.generator.is_some());
    let beats = |a: &Kept, b: &Kept| {
        group(a) == group(b)
            && a.cost <= b.cost
            && a.grade.bank >= b.grade.bank
            && a.grade.array >= b.grade.array
            && (a.cost, a.grade) != (b.cost, b.grade)
    };
    all.iter().filter(|one| !all.iter().any(|other| beats(other, one))).copied().collect()
}

impl Search<'_, '_> {
    pub(crate) fn cut(&mut self, limit: Limit) {
        *self.cuts.entry(limit).or_insert(0) += 1;
    }

    fn inverters(&mut self, watch: &dyn Watch) -> Option<()> {
        let of = self.terms.shelf.inverters.len();
        let mut early = Early::Awaited(None);
        for (at, part) in self.terms.shelf.inverters.iter().enumerate() {
            for units in 1..=self.bounds.inverters {
                let limits = self.terms.inverter_limits(&part.item, units).into_iter();
                let limits = limits.chain(self.terms.panel_limit(&part.item, units));
                let mut limits = limits.chain(self.terms.utility_limit(&part.item));
                if let Some(broken) = limits.next() {
                    self.cut(broken.limit);
                    continue;
                }
                let engines = (0..self.terms.shelf.generators.len()).map(Some);
                for generator in std::iter::once(None).chain(engines) {
                    if let Some(broken) = self.terms.generator_limits(generator, &part.item).first() {
                        self.cut(broken.limit);
                        continue;
                    }
                    let with =
                        Combination { inverter: at, inverters: units, generator, ..Combination::FIRST };
                    early = self.batteries(&part.item, with, early, watch)?;
                }
            }
            watch.told(News::Searched { done: at + 1, of });
        }
        Some(())
    }

    /// Every bank for these inverters and this generator. `None` when the watcher cancels.
    fn batteries(
        &mut self,
        inverter: &Inverter,
        with: Combination,
        mut early: Early,
        watch: &dyn Watch,
    ) -> Option<Early> {
        for (battery, part) in self.terms.shelf.batteries.iter().enumerate() {
            for units in 1..=most_units(&part.item) {
                let bank = with_units(&part.item, units);
                if let Some(broken) = self.terms.bank_limits(&bank, inverter).first() {
                    self.cut(broken.limit);
                    continue;
                }
                let base = Combination { battery, units, ..with };
                self.bank(&bank, inverter, base);
            }
            if watch.is_cancelled() {
                return None;
            }
            early = self.early(early, watch);
        }
        Some(early)
    }

    fn bank(&mut self, bank: &BatteryBank, inverter: &Inverter, base: Combination) {
        let needed = self.terms.capacity_needed(bank, &base);
        let key = self.prepare(bank);
        for bank_strings in 1..=self.terms.most_strings(bank) {
            let some = Combination { bank_strings, ..base };
            let limits = self.terms.discharge_limits(bank, inverter, &some).into_iter();
            let mut limits = limits.chain(self.terms.bus_limit(bank, inverter, None, &some));
            if let Some(broken) = limits.next() {
                self.cut(broken.limit);
                continue;
            }
            let share = self.terms.capacity(bank, bank_strings) / needed;
            match Terms::step(self.bounds, share) {
                None => self.cut(Limit::BankCapacity),
                Some(step) => self.arrays_for(bank, inverter, some, step, key),
            }
        }
    }

    fn arrays_for(
        &mut self,
        bank: &BatteryBank,
        inverter: &Inverter,
        base: Combination,
        bank_step: usize,
        key: u64,
    ) {
        let terms = self.terms;
        let most = terms.most_charge(bank, base.bank_strings);
        let without = terms.cost(&base) - terms.array_cost(&base);
        let needs: Vec<Watts> =
            terms.shelf.modules.iter().map(|module| terms.array_needed(&module.item, bank, &base)).collect();
        for array_step in 0..self.bounds.steps.len() {
            let field =
                (bank.chemistry, base.generator.is_some(), Grade { bank: bank_step, array: array_step });
            let best = self.best.get(&field).copied();
            let arrays = self.arrays.get(&key).map_or(&[][..], Vec::as_slice);
            let (mut found, mut fast, mut dear, mut crowded) = (None, false, false, false);
            for array in arrays {
                let cost = without + array.cost;
                if best.is_some_and(|(least, _)| cost > least) || terms.budget_limit(cost).is_some() {
                    dear = true;
                    break;
                }
                let needed = needs.get(array.combination.module).copied().unwrap_or_default();
                // The share is formed as in `grade`, so that both fall on the same side of a step.
                if Terms::step(self.bounds, array.power / needed) != Some(array_step) {
                    continue;
                }
                if array.current > most {
                    fast = true;
                    continue;
                }
                if crowds(terms, bank, inverter, &with_array(base, array.combination)) {
                    crowded = true;
                    continue;
                }
                found = Some((cost, with_array(base, array.combination)));
                break;
            }
            match found {
                Some(found) if best.is_none_or(|best| found < best) => {
                    self.best.insert(field, found);
                }
                Some(_) => self.dearer += 1,
                None if dear && best.is_some() => self.dearer += 1,
                None if dear => self.cut(Limit::Budget),
                None if fast => self.cut(Limit::ChargeCurrent),
                None if crowded => self.cut(Limit::BusRating),
                None => self.cut(Limit::ArrayPower),
            }
        }
    }
}

/// Units in series beyond which no bank of 48 V is reached.
pub(crate) fn most_units(battery: &BatteryBank) -> u32 {
    let unit = battery.chemistry.nominal_cell_voltage().value() * f64::from(battery.cells_per_unit);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count below a hundred")]
    let units = (54.0 / unit.max(0.5)) as u32;
    units
}

/// Whether no bar of the stock takes all the controllers too.
fn crowds(terms: &Terms<'_>, bank: &BatteryBank, inverter: &Inverter, it: &Combination) -> bool {
    let controller = terms.shelf.controllers.get(it.controller).map(|part| &part.item);
    terms.bus_limit(bank, inverter, controller, it).is_some()
}

const fn with_array(base: Combination, array: Combination) -> Combination {
    Combination {
        module: array.module,
        controller: array.controller,
        modules: array.modules,
        strings: array.strings,
        controllers: array.controllers,
        ..base
    }
}
