//! Cells of the tables of the brief: a text that is judged as it is typed, and the edit that it makes.

use crate::window::action::{Action, Actions};
use crate::window::areas::draft::sheet::capital;
use crate::window::edits::Labeled;
use crate::window::entry::{self, Entries, Event, Look};
use crate::window::view::View;
use egui::{Align, Id, Layout, Rect, Response, Ui, UiBuilder};
use lineside_core::edit::Edit;
use lineside_core::project::{Brief, HorizonPoint};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Hours, Measure, Percent, arithmetic};

/// What cells look at and write to.
pub(super) struct Desk<'a, 'v> {
    pub view: &'a View<'v>,
    pub entries: &'a mut Entries,
    pub actions: &'a mut Actions,
}

/// How a cell is called and what stands in it.
pub(super) struct Cell<'a> {
    pub id: Id,
    /// For assistive technology.
    pub name: &'a str,
    /// The step of the history that a change makes.
    pub step: &'a str,
    pub shown: &'a str,
    pub hint: &'a str,
    pub align: Align,
}

/// The brief with a change, or why the change will not do. Faults that were there before do not stand in its way.
pub(super) fn changed(
    view: &View<'_>,
    change: impl FnOnce(&mut Brief) -> Result<(), String>,
) -> Result<Brief, String> {
    let before = &view.project().brief;
    let mut brief = before.clone();
    change(&mut brief)?;
    let old = before.faults();
    match brief.faults().into_iter().find(|fault| !old.contains(fault)) {
        Some(fault) => Err(format!("Expected {}, found {}.", fault.expected, fault.found)),
        None => Ok(brief),
    }
}

/// An edit of the brief.
pub(super) fn step(label: &str, brief: Brief) -> Labeled {
    Labeled::new(label, Edit::SetBrief(Box::new(brief)))
}

/// A cell in a rectangle. `change` puts the typed text into the brief.
pub(super) fn typed_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_, '_>,
    rect: Rect,
    cell: &Cell<'_>,
    change: impl FnOnce(&mut Brief, &str) -> Result<(), String>,
) -> Response {
    let layout = Layout::left_to_right(Align::Center);
    let mut child = ui.new_child(UiBuilder::new().id_salt(cell.id).max_rect(rect).layout(layout));
    let look = Look {
        name: cell.name,
        shown: cell.shown,
        hint: cell.hint,
        align: cell.align,
        width: rect.width() - 14.0,
    };
    let view = desk.view;
    let judge = |typed: &str| changed(view, |brief| change(brief, typed));
    let (event, response) = entry::entry_ui(&mut child, view.tokens, cell.id, &look, desk.entries, judge);
    match event {
        Event::Nothing => {}
        Event::Valid(brief) => desk.actions.push(Action::MakeInSpell(step(cell.step, brief))),
        Event::Ended(_) => desk.actions.push(Action::EndSpell),
        Event::Cancelled => desk.actions.push(Action::CancelSpell),
    }
    response
}

/// A quantity; a bare number is in the unit that people of the unit system read.
pub(super) fn read<M: Measure>(typed: &str, units: UnitSystem) -> Result<M, String> {
    let value = arithmetic::read(typed, M::UNIT, units).map_err(|fault| format!("{fault}."))?;
    M::try_new(value).map_err(|fault| fault.to_string())
}

/// A quantity that may be left out.
pub(super) fn read_optional<M: Measure>(typed: &str, units: UnitSystem) -> Result<Option<M>, String> {
    if typed.trim().is_empty() { Ok(None) } else { read(typed, units).map(Some) }
}

/// A whole number.
pub(super) fn whole(typed: &str) -> Result<u32, String> {
    arithmetic::read_whole(typed).map_err(|fault| format!("{}.", capital(&fault.to_string())))
}

/// A quantity as it is typed, without its unit.
pub(super) fn entry_of<M: Measure>(value: M, units: UnitSystem) -> String {
    text::entry(lineside_core::units::Quantity { value: value.value(), unit: M::UNIT }, units)
}

/// An hour of the day as a clock has it.
pub(super) fn clock(hours: Hours) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes of a day")]
    let minutes = (hours.value().clamp(0.0, 24.0) * 60.0).round() as u32;
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// An hour of the day, as `17:30`, `17.5` or `17.5 h`.
pub(super) fn read_clock(typed: &str) -> Result<Option<Hours>, String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let Some((hours, minutes)) = typed.split_once(':') else { return read(typed, UnitSystem::Si).map(Some) };
    let wrong = || format!("Expected an hour such as 17:30, found “{typed}”.");
    let (hours, minutes): (u32, u32) =
        (hours.trim().parse().map_err(|_| wrong())?, minutes.trim().parse().map_err(|_| wrong())?);
    if hours > 24 || minutes > 59 {
        return Err(wrong());
    }
    Ok(Some(Hours::new(f64::from(hours) + f64::from(minutes) / 60.0)))
}

/// Hours of a day: as many weights as a profile has.
const DAY: usize = 24;

/// Weights of the hours of a day, as they are typed.
pub(super) fn weights(profile: &[Percent]) -> String {
    let weights: Vec<String> = profile.iter().map(|weight| entry_of(*weight, UnitSystem::Si)).collect();
    weights.join(" ")
}

/// Weights of the hours of a day. None of a single word, which is a start.
pub(super) fn read_weights(typed: &str) -> Result<Vec<Percent>, String> {
    let words: Vec<&str> = typed.split([' ', ';', '\t']).filter(|word| !word.is_empty()).collect();
    let is_start = words.len() <= 1 || typed.contains(':') || words.get(1) == Some(&"h");
    if is_start {
        return Ok(Vec::new());
    }
    if words.len() != DAY {
        return Err(format!("Expected an hour such as 17:30, or 24 weights; found {} of them.", words.len()));
    }
    words.into_iter().map(|word| read(word, UnitSystem::Si)).collect()
}

/// Pairs of a direction and a height, as they are typed: `90: 5; 180: 12`.
pub(super) fn horizon(points: &[HorizonPoint]) -> String {
    let point = |it: &HorizonPoint| {
        format!("{}: {}", entry_of(it.azimuth, UnitSystem::Si), entry_of(it.height, UnitSystem::Si))
    };
    points.iter().map(point).collect::<Vec<_>>().join("; ")
}

/// Reads such pairs; nothing for a free horizon.
pub(super) fn read_horizon(typed: &str) -> Result<Vec<HorizonPoint>, String> {
    let pairs = typed.split(';').map(str::trim).filter(|pair| !pair.is_empty());
    pairs
        .map(|pair| {
            let (azimuth, height) = pair
                .split_once(':')
                .ok_or_else(|| format!("Expected direction: height, such as 180: 12; found “{pair}”."))?;
            Ok(HorizonPoint {
                azimuth: read(azimuth, UnitSystem::Si)?,
                height: read(height, UnitSystem::Si)?,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Watts;

    #[test]
    fn hours_of_the_day() {
        assert_eq!(read_clock("17:30"), Ok(Some(Hours::new(17.5))));
        assert_eq!(read_clock(" 6 "), Ok(Some(Hours::new(6.0))));
        assert_eq!(read_clock(""), Ok(None));
        assert!(read_clock("25:00").is_err() && read_clock("7:61").is_err() && read_clock("noon").is_err());
        assert_eq!((clock(Hours::new(17.5)), clock(Hours::new(0.0))), ("17:30".into(), "00:00".into()));
    }

    #[test]
    fn weights_of_a_day() {
        let typed = format!("1 {}2.5", "0 ".repeat(22));
        let read = read_weights(&typed).unwrap();
        assert_eq!((read.len(), weights(&read)), (24, typed));
        assert_eq!(read_weights("17:30"), Ok(Vec::new()));
        assert_eq!(read_weights("17.5 h"), Ok(Vec::new()));
        assert!(read_weights("1 2 3").is_err_and(|why| why.contains("found 3")));
    }

    #[test]
    fn a_far_horizon() {
        let typed = "90: 5; 180: 12.5";
        let read = read_horizon(typed).unwrap();
        assert_eq!((read.len(), horizon(&read)), (2, typed.to_owned()));
        assert_eq!(read_horizon(" "), Ok(Vec::new()));
        assert!(read_horizon("south").is_err());
    }

    #[test]
    fn figures_with_and_without_a_unit() {
        assert_eq!(read::<Watts>("1.2 kW", UnitSystem::Us), Ok(Watts::new(1200.0)));
        assert_eq!(read_optional::<Watts>("  ", UnitSystem::Us), Ok(None));
        assert!(read::<Watts>("much", UnitSystem::Us).is_err());
        assert_eq!((whole("3"), whole("3.5").is_err()), (Ok(3), true));
    }
}
