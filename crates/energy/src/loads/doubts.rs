//! What is doubtful about a load table: things that are easily forgotten, and figures that hardly can be meant.
//!
//! None of it stops anything; what cannot be at all is refused with the brief itself.

use super::appliances::Appliance;
use lineside_core::project::{BuildingUse, LoadCurrent, LoadItem, LoadPriority, Site};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Hours, Watts};

/// Something about a load table that a person should look at.
#[derive(Clone, Debug, PartialEq)]
pub enum LoadDoubt {
    /// The line uses nothing.
    UsesNothing(usize),
    /// A motor, by its name, whose start is not given.
    StartUnknown(usize),
    /// It starts with less than it runs with.
    StartBelowRunning(usize),
    /// Farther from the usual than such things are.
    Unusual {
        /// Which line.
        line: usize,
        /// Least and greatest power of such things.
        range: (Watts, Watts),
    },
    /// It is said to wait, and to run for most of the day.
    WaitsTooLong(usize),
    /// Several motors start in the same hour: if they start in the same second, the inverter sees this.
    StartsTogether {
        /// Which lines.
        lines: Vec<usize>,
        /// Everything that runs then, and all of their starts.
        power: Watts,
    },
    /// Nothing runs all day: standby is easily forgotten.
    NoStandby,
    /// A dwelling without a refrigerator.
    NoRefrigerator,
    /// A dwelling without a pump: water comes from somewhere.
    NoPump,
}

/// Words by which motors are known.
const MOTORS: [&str; 12] = [
    "pump",
    "compressor",
    "refrigerator",
    "freezer",
    "saw",
    "motor",
    "air conditioner",
    "washing machine",
    "fan",
    "cooler",
    "grinder",
    "mill",
];
/// Motors smaller than this start without anybody noticing.
const SMALL_MOTOR: Watts = Watts::new(100.0);
/// A start is one from this many times the running power on.
const START_TIMES: f64 = 2.0;
/// Loads that wait longer than this hardly find the sun.
const LONG_WAIT: Hours = Hours::new(10.0);
/// What runs as long as this runs all day.
const ALL_DAY: Hours = Hours::new(23.0);

fn is_motor(item: &LoadItem) -> bool {
    let name = item.name.to_lowercase();
    MOTORS.iter().any(|word| name.contains(word))
}

/// What is doubtful about the loads of a site.
pub fn load_doubts(loads: &[LoadItem], site: &Site, usual: &[Appliance]) -> Vec<LoadDoubt> {
    let mut doubts: Vec<LoadDoubt> =
        loads.iter().enumerate().flat_map(|(line, item)| of_line(line, item, usual)).collect();
    doubts.extend(starts_together(loads));
    if loads.is_empty() {
        return doubts;
    }
    if !loads.iter().any(|item| item.hours >= ALL_DAY) {
        doubts.push(LoadDoubt::NoStandby);
    }
    if site.building == Some(BuildingUse::Dwelling) {
        let named = |words: &[&str]| {
            loads.iter().any(|it| words.iter().any(|word| it.name.to_lowercase().contains(word)))
        };
        if !named(&["refrigerator", "fridge", "freezer"]) {
            doubts.push(LoadDoubt::NoRefrigerator);
        }
        if !named(&["pump", "water"]) {
            doubts.push(LoadDoubt::NoPump);
        }
    }
    doubts
}

fn of_line(line: usize, item: &LoadItem, usual: &[Appliance]) -> Vec<LoadDoubt> {
    let mut doubts = Vec::new();
    let used = item.power.value() * f64::from(item.quantity) * item.hours.value();
    if used <= 0.0 || item.days_per_week == 0 {
        doubts.push(LoadDoubt::UsesNothing(line));
    }
    match item.surge {
        Some(surge) if surge < item.power => doubts.push(LoadDoubt::StartBelowRunning(line)),
        None if is_motor(item) && item.power >= SMALL_MOTOR && item.current == LoadCurrent::Ac => {
            doubts.push(LoadDoubt::StartUnknown(line));
        }
        _ => {}
    }
    let same = usual.iter().find(|it| it.item.name.eq_ignore_ascii_case(item.name.trim()));
    if let Some(Appliance { range, .. }) = same
        && (item.power < range.0 || item.power > range.1)
    {
        doubts.push(LoadDoubt::Unusual { line, range: *range });
    }
    if item.priority == LoadPriority::CanWait && item.hours > LONG_WAIT {
        doubts.push(LoadDoubt::WaitsTooLong(line));
    }
    doubts
}

/// The hour of the day in which most motors start, when it is more than one.
fn starts_together(loads: &[LoadItem]) -> Option<LoadDoubt> {
    let starting = |hour: u32| -> Vec<usize> {
        let from = f64::from(hour);
        let here = |item: &LoadItem| {
            let at = |start: Hours| (from..from + 1.0).contains(&start.value().rem_euclid(24.0));
            let start = item.start.is_some_and(at);
            let jumps = item.surge.is_some_and(|surge| surge >= item.power * START_TIMES);
            start && jumps && item.current == LoadCurrent::Ac && item.quantity > 0
        };
        loads.iter().enumerate().filter(|(_, item)| here(item)).map(|(line, _)| line).collect()
    };
    let lines = (0..24).map(starting).max_by_key(Vec::len).filter(|lines| lines.len() > 1)?;
    let jump = |line: &usize| {
        let item = loads.get(*line)?;
        Some((item.surge.unwrap_or(item.power) - item.power).value() * f64::from(item.quantity))
    };
    let running: f64 = loads
        .iter()
        .filter(|item| item.current == LoadCurrent::Ac)
        .map(|item| item.power.value() * f64::from(item.quantity))
        .sum();
    let power = Watts::new(running + lines.iter().filter_map(jump).sum::<f64>());
    Some(LoadDoubt::StartsTogether { lines, power })
}

impl LoadDoubt {
    /// The line that it is about; `None` when about the table.
    pub fn line(&self) -> Option<usize> {
        match self {
            Self::UsesNothing(line)
            | Self::StartUnknown(line)
            | Self::StartBelowRunning(line)
            | Self::Unusual { line, .. }
            | Self::WaitsTooLong(line) => Some(*line),
            Self::StartsTogether { lines, .. } => lines.first().copied(),
            Self::NoStandby | Self::NoRefrigerator | Self::NoPump => None,
        }
    }

    /// The doubt as people read it.
    pub fn text(&self, loads: &[LoadItem], units: UnitSystem) -> String {
        let name =
            |line: &usize| loads.get(*line).map_or_else(String::new, |item| format!("“{}”", item.name));
        let watts = |watts: Watts| text::plain(watts.into(), units);
        match self {
            Self::UsesNothing(line) => format!("{} uses nothing: its power, number, hours or days are zero", name(line)),
            Self::StartUnknown(line) => format!(
                "{} has a motor: say what it draws while it starts, or the inverter may be too small for it",
                name(line)
            ),
            Self::StartBelowRunning(line) => {
                format!("{} is said to start with less than it runs with", name(line))
            }
            Self::Unusual { line, range } => {
                format!("{}: such things take {} to {}", name(line), watts(range.0), watts(range.1))
            }
            Self::WaitsTooLong(line) => {
                format!("{} is said to wait for the sun, and to run longer than the sun shines", name(line))
            }
            Self::StartsTogether { lines, power } => format!(
                "{} start in the same hour: if they start at once, and all else runs, the inverter sees {}",
                lines.iter().map(name).collect::<Vec<_>>().join(" and "),
                watts(*power)
            ),
            Self::NoStandby => "nothing runs all day: router, clocks and chargers on standby are easily forgotten. What \
                                inverter and controllers take by themselves is counted with the system, not here"
                .to_owned(),
            Self::NoRefrigerator => "a dwelling without a refrigerator: is it forgotten, or does it burn gas?".to_owned(),
            Self::NoPump => "a dwelling without a pump: is the water lifted by the system?".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Tables;

    fn item(name: &str) -> LoadItem {
        let tables = Tables::load().unwrap();
        tables.appliances.iter().find(|it| it.item.name == name).unwrap().item.clone()
    }

    fn doubts(loads: &[LoadItem], building: Option<BuildingUse>) -> Vec<LoadDoubt> {
        let site = Site { building, ..Site::UNKNOWN };
        load_doubts(loads, &site, &Tables::load().unwrap().appliances)
    }

    #[test]
    fn a_full_table_is_not_doubted() {
        let loads =
            [item("Refrigerator, efficient"), item("Well pump with soft start"), item("Internet router")];
        assert_eq!(doubts(&loads, Some(BuildingUse::Dwelling)), Vec::new());
        assert_eq!(
            doubts(&[], Some(BuildingUse::Dwelling)),
            Vec::new(),
            "an empty table is missing, not doubtful"
        );
    }

    #[test]
    fn forgotten_things() {
        let lamp = item("LED lamp");
        let found = doubts(std::slice::from_ref(&lamp), Some(BuildingUse::Dwelling));
        assert_eq!(found, [LoadDoubt::NoStandby, LoadDoubt::NoRefrigerator, LoadDoubt::NoPump]);
        assert_eq!(doubts(&[lamp], Some(BuildingUse::Other)), [LoadDoubt::NoStandby]);
        let pump = LoadItem { surge: None, ..item("Well pump, 1 hp") };
        assert!(doubts(&[pump], None).contains(&LoadDoubt::StartUnknown(0)));
    }

    #[test]
    fn figures_that_are_hardly_meant() {
        let router = item("Internet router");
        let thousand = LoadItem { power: Watts::new(1200.0), ..router.clone() };
        let range = (Watts::new(6.0), Watts::new(20.0));
        assert_eq!(doubts(&[thousand], None), [LoadDoubt::Unusual { line: 0, range }]);
        let none = LoadItem { quantity: 0, ..router.clone() };
        assert_eq!(doubts(&[none], None), [LoadDoubt::UsesNothing(0)]);
        let weak = LoadItem { surge: Some(Watts::new(1.0)), ..router.clone() };
        assert_eq!(doubts(&[weak], None), [LoadDoubt::StartBelowRunning(0)]);
        let waits = LoadItem { priority: LoadPriority::CanWait, ..router };
        assert_eq!(doubts(&[waits], None), [LoadDoubt::WaitsTooLong(0)]);
    }

    #[test]
    fn motors_that_start_together() {
        // The pump runs with 1300 W and starts with 6500 W, the compressor with 1800 and 9000; 12 W stay on:
        // 1300 + 1800 + 12 + 5200 + 7200 = 15,512 W.
        let compressor = LoadItem { start: Some(Hours::new(8.5)), ..item("Air compressor, 2 hp") };
        let loads = [item("Well pump, 1 hp"), compressor, item("Internet router")];
        let found = doubts(&loads, None);
        assert_eq!(found, [LoadDoubt::StartsTogether { lines: vec![0, 1], power: Watts::new(15_512.0) }]);
        let words = found[0].text(&loads, UnitSystem::Si);
        assert!(words.contains("“Well pump, 1 hp” and “Air compressor, 2 hp”"), "{words}");
        // In different hours they do not.
        let apart = LoadItem { start: Some(Hours::new(15.0)), ..loads[1].clone() };
        assert_eq!(doubts(&[loads[0].clone(), apart, loads[2].clone()], None), Vec::new());
    }
}
