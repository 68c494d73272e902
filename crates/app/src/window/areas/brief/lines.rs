//! Lines of the load table as values: new ones, repeated ones, their months in words.

use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::{Hours, Watts};

/// A new line.
pub(super) fn new() -> LoadItem {
    LoadItem {
        name: String::new(),
        power: Watts::new(10.0),
        quantity: 1,
        hours: Hours::new(1.0),
        days_per_week: 7,
        start: None,
        profile: Vec::new(),
        surge: None,
        power_factor: None,
        current: LoadCurrent::Ac,
        priority: LoadPriority::MustRun,
        months: Vec::new(),
    }
}

/// How a line is called in the history.
pub(super) fn called(item: &LoadItem, line: usize) -> String {
    if item.name.is_empty() { format!("load {}", line + 1) } else { item.name.clone() }
}

/// Puts a second one under a line.
pub(super) fn repeat(loads: &mut Vec<LoadItem>, line: usize) {
    if let Some(item) = loads.get(line).cloned() {
        loads.insert(line + 1, item);
    }
}

/// Lets a load run in a month or not. None at all would be no load, so then it runs in all of them.
pub(super) fn toggle(months: &mut Vec<Month>, month: Month) {
    if months.is_empty() {
        *months = Month::ALL.to_vec();
    }
    match months.iter().position(|it| *it == month) {
        Some(at) => {
            months.remove(at);
        }
        None => months.push(month),
    }
    months.sort_unstable();
    if months.len() == Month::ALL.len() {
        months.clear();
    }
}

/// Months in words: `all`, `Jun`, `Jun–Sep`, `Nov–Feb`, `5 months`.
pub(super) fn months(months: &[Month]) -> String {
    if months.is_empty() || months.len() == Month::ALL.len() {
        return "all".to_owned();
    }
    let short = |month: Month| month.name().get(..3).unwrap_or_default();
    let runs = |month: Month| months.contains(&month);
    // Where the months begin: one that runs while the one before does not.
    let begins: Vec<Month> = Month::ALL
        .into_iter()
        .filter(|month| {
            let before = Month::ALL.get((month.number() + 10) % 12).copied();
            runs(*month) && !before.is_some_and(runs)
        })
        .collect();
    match begins.as_slice() {
        [first] => {
            let last = Month::ALL.get((first.number() + months.len() + 10) % 12).copied().unwrap_or(*first);
            if last == *first {
                short(*first).to_owned()
            } else {
                format!("{}–{}", short(*first), short(last))
            }
        }
        _ => format!("{} months", months.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Month::{April, August, December, February, January, July, June, November, September};

    #[test]
    fn months_in_words() {
        assert_eq!(months(&[]), "all");
        assert_eq!(months(&[June]), "Jun");
        assert_eq!(months(&[June, July, August, September]), "Jun–Sep");
        assert_eq!(months(&[January, February, November, December]), "Nov–Feb");
        assert_eq!(months(&[January, April, June]), "3 months");
    }

    #[test]
    fn months_are_toggled() {
        let mut chosen = Vec::new();
        toggle(&mut chosen, June);
        assert_eq!((chosen.len(), chosen.contains(&June)), (11, false));
        toggle(&mut chosen, June);
        assert!(chosen.is_empty(), "all of them are written as none");
        let mut one = vec![June];
        toggle(&mut one, June);
        assert!(one.is_empty());
    }

    #[test]
    fn a_line_is_repeated_below_itself() {
        let mut loads = vec![new(), LoadItem { name: "pump".to_owned(), ..new() }];
        repeat(&mut loads, 1);
        repeat(&mut loads, 7);
        assert_eq!(loads.iter().map(|it| it.name.as_str()).collect::<Vec<_>>(), ["", "pump", "pump"]);
        assert_eq!((called(&loads[0], 0), called(&loads[1], 1)), ("load 1".to_owned(), "pump".to_owned()));
    }
}
