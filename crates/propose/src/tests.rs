//! The search against brute force, by hand-worked limits, and the years of what it keeps.

use super::*;
use crate::limits::with_units;
use crate::search::{most_units, undominated};
use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::kinds::Kind;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::project::{ChemistryWish, Project, RuleSet, StockItem, SupplyWish};
use lineside_core::stock;
use lineside_core::units::{Percent, Quantity};
use lineside_energy::Tables;
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

/// The tables, and the cabin with its brief.
struct Ground {
    codes: Codes,
    tables: Tables,
    factors: Factors,
    project: Project,
}

fn ground() -> Ground {
    let mut project = file::read(include_str!("../../../assets/demos/cabin.lineside")).unwrap();
    project.brief.goals.chemistry = ChemistryWish::Open;
    project.brief.goals.generator = SupplyWish::Open;
    Ground {
        codes: Codes::load().unwrap(),
        tables: Tables::load().unwrap(),
        factors: Factors::load().unwrap(),
        project,
    }
}

/// The named equipment, and every device, bar and panel of the built-in stock beside it.
fn stock_of(names: &[&str]) -> Vec<StockItem> {
    let all = stock::built_in().unwrap();
    let named = names.iter().map(|name| stock::find(&all, name).unwrap_or_else(|| panic!("{name}")).clone());
    let mut found: Vec<StockItem> = named.collect();
    let searched =
        [Kind::Strings, Kind::ChargeController, Kind::BatteryBank, Kind::Inverter, Kind::Generator];
    found.extend(all.iter().filter(|item| !searched.contains(&item.equipment.kind())).cloned());
    found
}

const SMALL: [&str; 9] = [
    "Nickel-iron cell, 600 Ah",
    "Lithium iron phosphate rack pack, 51.2 V, 100 Ah",
    "Module string, 400 W modules",
    "Module string, 250 W modules with 60 cells",
    "Tracking controller, 150 V in, 60 A out",
    "Tracking controller, 250 V in, 60 A out",
    "Wide-window inverter-charger, 4 kW, 48 V, 120 V",
    "Inverter-charger, 4 kW, 48 V, 120 V",
    "Portable inverter generator, 2 kW, 120 V, gasoline",
];

impl Ground {
    fn terms<'a>(&'a self, stock: &'a [StockItem]) -> Terms<'a> {
        Terms::new(&self.project, &self.codes, &self.tables, &self.factors, stock, 1)
            .unwrap_or_else(|fault| panic!("{:?}", fault.reasons))
    }
}

/// Every combination within the bounds, one by one, by `why_not` alone.
fn brute_force(terms: &Terms<'_>, bounds: &SearchBounds) -> Vec<Kept> {
    let shelf = &terms.shelf;
    let mut best: BTreeMap<(Chemistry, bool, Grade), (Decimal, Combination)> = BTreeMap::new();
    let generators = || std::iter::once(None).chain((0..shelf.generators.len()).map(Some));
    for inverter in 0..shelf.inverters.len() {
        for (inverters, generator) in (1..=bounds.inverters).flat_map(|n| generators().map(move |g| (n, g))) {
            for (battery, part) in shelf.batteries.iter().enumerate() {
                for (units, bank_strings) in
                    (1..=most_units(&part.item)).flat_map(|n| (1..=8).map(move |s| (n, s)))
                {
                    let base = Combination {
                        inverter,
                        inverters,
                        generator,
                        battery,
                        units,
                        bank_strings,
                        module: 0,
                        controller: 0,
                        modules: 1,
                        strings: 1,
                        controllers: 1,
                    };
                    let bank = with_units(&part.item, units);
                    // Limits that no array can mend; without them the test would take minutes.
                    if !terms.bank_limits(&bank, &shelf.inverters[inverter].item).is_empty() {
                        continue;
                    }
                    for it in arrays(terms, bounds, base) {
                        if !terms.why_not(&it).is_empty() {
                            continue;
                        }
                        let grade = terms.grade(bounds, &it).unwrap();
                        let found = (terms.cost(&it), it);
                        let field =
                            best.entry((part.item.chemistry, generator.is_some(), grade)).or_insert(found);
                        *field = found.min(*field);
                    }
                }
            }
        }
    }
    let kept = best.into_iter().map(|((chemistry, _, grade), (cost, combination))| Kept {
        combination,
        grade,
        chemistry,
        cost,
    });
    undominated(&kept.collect::<Vec<_>>())
}

fn arrays(terms: &Terms<'_>, bounds: &SearchBounds, base: Combination) -> Vec<Combination> {
    let mut all = Vec::new();
    for module in 0..terms.shelf.modules.len() {
        for controller in 0..terms.shelf.controllers.len() {
            for modules in 1..=8 {
                for strings in 1..=bounds.strings {
                    for controllers in 1..=bounds.controllers {
                        all.push(Combination { module, controller, modules, strings, controllers, ..base });
                    }
                }
            }
        }
    }
    all
}

#[test]
fn the_search_finds_what_brute_force_finds() {
    let mut ground = ground();
    let bounds = SearchBounds { controllers: 3, strings: 4, inverters: 1, ..SearchBounds::default() };
    for (budget, wish) in [(None, ChemistryWish::Open), (Some("30000"), ChemistryWish::LithiumIronPhosphate)]
    {
        ground.project.brief.goals.budget = budget.map(|sum| sum.parse().unwrap());
        ground.project.brief.goals.chemistry = wish;
        let stock = stock_of(&SMALL);
        let terms = ground.terms(&stock);
        let (found, expected) = (terms.search(&bounds), brute_force(&terms, &bounds));
        assert!(expected.len() > 3, "{expected:?}");
        assert_eq!(found.kept, expected);
    }
}

/// A hut on 24 V, where switching controllers stand beside a tracking one and modules of 36 cells beside larger ones.
#[test]
fn the_search_finds_what_brute_force_finds_at_24_volts() {
    let mut ground = ground();
    ground.project = file::read(include_str!("../../../assets/demos/hut.lineside")).unwrap();
    for load in &mut ground.project.brief.loads {
        load.hours = load.hours * 0.2;
    }
    let bounds = SearchBounds { controllers: 4, strings: 5, inverters: 1, ..SearchBounds::default() };
    let stock = stock_of(&[
        "Flooded lead-acid battery, 6 V, 370 Ah",
        "Module string, 160 W modules with 36 cells",
        "Module string, 330 W modules with 72 cells",
        "Switching controller, 12 and 24 V, 20 A",
        "Switching controller, 12 and 24 V, 30 A",
        "Tracking controller, 150 V in, 60 A out",
        "Wide-window inverter, 1.5 kW, 24 V to 230 V",
    ]);
    let terms = ground.terms(&stock);
    let (found, expected) = (terms.search(&bounds), brute_force(&terms, &bounds));
    assert!(!expected.is_empty());
    assert_eq!(found.kept, expected);
    let switched =
        |kept: &Kept| terms.shelf.controllers[kept.combination.controller].name.starts_with("Switching");
    assert!(expected.iter().any(switched), "{expected:?}");
}

#[test]
fn what_is_kept_breaks_no_limit_and_what_is_spoiled_says_why() {
    let ground = ground();
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    let found = terms.search(&SearchBounds::default());
    for kept in &found.kept {
        assert_eq!(terms.why_not(&kept.combination), [], "{kept:?}");
        assert_eq!(terms.cost(&kept.combination), kept.cost);
    }
    let kept = found.kept.iter().find(|it| it.chemistry == Chemistry::NickelIron).unwrap().combination;
    let breaks =
        |it: Combination| terms.why_not(&it).into_iter().map(|broken| broken.limit).collect::<Vec<_>>();
    assert_eq!(breaks(Combination { module: 99, ..kept }), [Limit::NoSuchPart]);
    assert_eq!(breaks(Combination { units: 0, ..kept }), [Limit::NoSuchPart]);
    assert!(breaks(Combination { modules: 9, ..kept }).contains(&Limit::ColdVoltage));
    assert!(breaks(Combination { modules: 1, ..kept }).contains(&Limit::HotVoltage));
    assert!(breaks(Combination { bank_strings: 3, ..kept }).contains(&Limit::BankStrings));
    assert!(breaks(Combination { inverters: 9, ..kept }).contains(&Limit::InverterCount));
    assert!(breaks(Combination { units: 30, ..kept }).contains(&Limit::BankVoltage));
}

/// Six 400 W modules of 37.2 V in series on 250 V, by −31 °C: 6 × 37.2 × (1 + 0.0027 × 56) = 256.948 V. A nickel-iron
/// bank of 40 cells at 10 °C is charged to 40 × (1.60 + 0.004 × 15) = 66.4 V, less than the 70 V of the wide inverter
/// and more than the 62 V of the other.
#[test]
fn limits_by_hand() {
    let ground = ground();
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    let at = |names: Vec<&str>, name: &str| names.iter().position(|it| it.contains(name)).unwrap();
    let it = Combination {
        inverter: at(terms.shelf.inverters.iter().map(|it| it.name.as_str()).collect(), "Wide"),
        inverters: 1,
        generator: None,
        battery: at(terms.shelf.batteries.iter().map(|it| it.name.as_str()).collect(), "Nickel"),
        units: 40,
        bank_strings: 1,
        module: at(terms.shelf.modules.iter().map(|it| it.name.as_str()).collect(), "400 W"),
        controller: at(terms.shelf.controllers.iter().map(|it| it.name.as_str()).collect(), "250 V"),
        modules: 6,
        strings: 1,
        controllers: 2,
    };
    let broken = terms.why_not(&it);
    let cold = broken.iter().find(|it| it.limit == Limit::ColdVoltage).unwrap();
    assert!((cold.found.value - 256.947_84).abs() < 1e-3, "{cold:?}");
    assert_eq!(cold.allowed, Quantity::from(terms.shelf.controllers[it.controller].item.max_input_voltage));
    assert!(broken.iter().all(|it| it.limit != Limit::HighCutOut), "{broken:?}");
    let five = terms.why_not(&Combination { modules: 5, ..it });
    assert!(five.iter().all(|it| it.limit != Limit::ColdVoltage), "{five:?}");
    let other = terms.why_not(&Combination { inverter: 1 - it.inverter, ..it });
    let high = other.iter().find(|it| it.limit == Limit::HighCutOut).unwrap();
    assert!((high.found.value - 66.4).abs() < 1e-9 && (high.allowed.value - 62.0).abs() < 1e-9, "{high:?}");
}

#[test]
fn threads_change_nothing_and_years_keep_what_the_brief_allows() {
    let mut ground = ground();
    ground.project.brief.goals.unmet_share = Some(Percent::new(2.0));
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    let bounds = SearchBounds { controllers: 3, strings: 4, inverters: 1, ..SearchBounds::default() };
    let run = |threads| {
        propose(&terms, &bounds, NonZeroUsize::new(threads).unwrap(), &AtomicBool::new(false)).unwrap()
    };
    let (one, three) = (run(1), run(3));
    assert_eq!(one, three);
    assert_eq!(one.years, one.found.kept.len(), "every combination that is kept has a year");
    assert!(!one.candidates.is_empty() && one.nearest.is_none());
    assert!(one.candidates.is_sorted_by_key(|it| it.cost));
    assert!(one.candidates[0].merits.contains(&Merit::CheapestNow));
    for it in &one.candidates {
        assert!(it.unmet() <= Percent::new(2.0) && it.outcome.closure.worst() < 1e-9);
        assert!(it.generator_hours().value() <= 150.0 && it.life_cost.is_some_and(|cost| cost > it.cost));
        let modules = f64::from(it.combination.all_modules());
        let watts = terms.shelf.modules[it.combination.module].item.power.value() * modules;
        assert!((it.array.value() - watts).abs() < 1e-6, "the year has the whole array");
    }
    assert_eq!(propose(&terms, &bounds, NonZeroUsize::MIN, &AtomicBool::new(true)), None);
}

#[test]
fn no_candidate_says_what_stood_in_the_way() {
    let mut ground = ground();
    for load in &mut ground.project.brief.loads {
        load.power = load.power * 100.0;
    }
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    let found = terms.search(&SearchBounds::default());
    assert_eq!(found.kept, []);
    assert!(found.cuts.iter().any(|cut| cut.limit == Limit::InverterPower && cut.branches > 0));
    ground.project.brief.loads.clear();
    ground.project.brief.site.record_low = None;
    ground.project.brief.months.clear();
    let fault =
        Terms::new(&ground.project, &ground.codes, &ground.tables, &ground.factors, &[], 1).err().unwrap();
    for words in ["no loads", "record low", "July"] {
        assert!(fault.reasons.iter().any(|it| it.contains(words)), "{words}: {:?}", fault.reasons);
    }
}

#[test]
fn prices_come_from_the_book_first() {
    let mut ground = ground();
    let price = |item: &str, cost: &str| lineside_core::project::Price {
        item: item.to_owned(),
        unit: "each".to_owned(),
        cost: cost.parse().unwrap(),
        price: None,
        date: None,
        supplier: String::new(),
    };
    ground.project.price_book.prices = vec![price(SMALL[0], "512.50")];
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    let cell = &terms.shelf.batteries[0];
    assert_eq!((cell.price, cell.from_book), ("512.50".parse().unwrap(), true));
    // 100 Ah × 3.2 V × 16 = 5.12 kWh at 450 $.
    let pack = &terms.shelf.batteries[1];
    assert_eq!((pack.price, pack.from_book), ("2304".parse().unwrap(), false));
    // 24 modules of 400 W: (152 + 160) each; 4 strings × 2 of 60; two controllers of 60 A × 8.
    let at = |name: &str| terms.shelf.controllers.iter().position(|it| it.name == name).unwrap();
    let it = Combination {
        inverter: 0,
        inverters: 1,
        generator: None,
        battery: 0,
        units: 1,
        bank_strings: 1,
        module: terms.shelf.modules.iter().position(|it| it.name == SMALL[2]).unwrap(),
        controller: at(SMALL[4]),
        modules: 3,
        strings: 4,
        controllers: 2,
    };
    assert_eq!(terms.array_cost(&it), "8928".parse().unwrap());
    assert_eq!(terms.cost(&it), "11640.50".parse().unwrap());
    let lines = terms.parts_of(&it);
    assert_eq!(lines.iter().map(|line| line.count).collect::<Vec<_>>(), [24, 2, 1, 1]);
    // Beside euros no typical dollars: only what the book names stays on the shelf.
    ground.project.price_book.currency = "EUR".to_owned();
    let stock = stock_of(&SMALL);
    let terms = ground.terms(&stock);
    assert_eq!((terms.shelf.batteries.len(), terms.shelf.modules.len()), (1, 0));
    assert!(terms.left_out.iter().any(|it| it.contains("US$")));
}

#[test]
fn every_rule_set_has_candidates_for_its_demo() {
    let mut ground = ground();
    let stock = stock::built_in().unwrap();
    for set in RuleSet::ALL {
        let text = match set {
            RuleSet::Iec => include_str!("../../../assets/demos/hut.lineside"),
            RuleSet::Nec2017 | RuleSet::Nec2020 | RuleSet::Nec2023 => {
                include_str!("../../../assets/demos/home.lineside")
            }
        };
        ground.project = file::read(text).unwrap();
        ground.project.rule_set = set;
        let terms = ground.terms(&stock);
        let found = terms.search(&SearchBounds::default());
        assert!(!found.kept.is_empty(), "{set:?}: {:?}", found.cuts);
        for kept in &found.kept {
            assert_eq!(terms.why_not(&kept.combination), [], "{set:?}");
        }
    }
}
