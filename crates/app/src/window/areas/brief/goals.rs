//! What the customer wants: reserve, what may go unmet, chemistry, supplies, money.

use super::BriefState;
use super::cells::{Cell, Desk, changed, clock, entry_of, read_clock, read_optional, step, typed_ui, whole};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::entry;
use crate::window::fonts;
use crate::window::view::View;
use egui::{Align, Align2, Id, Rect, ScrollArea, Sense, Stroke, Ui, vec2};
use lineside_core::kinds::inverter::UtilityPriority;
use lineside_core::project::{ChemistryWish, Goals, OutagePattern, SupplyWish};
use lineside_core::units::Hours;
use lineside_core::units::text::UnitSystem;

/// A goal that is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goal {
    Reserve,
    Unmet,
    GeneratorHours,
    QuietFrom,
    QuietTo,
    Outages,
    OutageMean,
    OutageLongest,
    Budget,
    Growth,
    Life,
}

const HOURS_OF_DAY: f64 = 24.0;

impl Goal {
    /// Its label, and what it means.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Reserve => ("Days of reserve", "Days without sun that the bank must bridge."),
            Self::Unmet => ("Unmet share allowed, %", "Share of the year’s energy that may go unmet, %."),
            Self::GeneratorHours => ("Generator, hours a year", "Hours that a generator may run in a year."),
            Self::QuietFrom => ("Quiet from", "Hour of the day at which quiet begins, such as 22:00."),
            Self::QuietTo => ("Quiet until", "Hour of the day at which quiet ends."),
            Self::Outages => ("Outages a year", "How often the utility fails in a year."),
            Self::OutageMean => ("Mean outage, hours", "How long an outage lasts on average, hours."),
            Self::OutageLongest => {
                ("Longest outage, hours", "The longest that the system must bridge, hours.")
            }
            Self::Budget => ("Budget", "In the currency of the price book; US$ when it has none."),
            Self::Growth => ("Growth of the loads, %", "Over the design life, %."),
            Self::Life => ("Design life, years", "Years for which the system is designed."),
        }
    }

    fn shown(self, goals: &Goals, units: UnitSystem) -> String {
        let outages = goals.outages;
        match self {
            Self::Reserve => goals.reserve.map(|hours| entry_of(hours * (1.0 / HOURS_OF_DAY), units)),
            Self::Unmet => goals.unmet_share.map(|share| entry_of(share, units)),
            Self::GeneratorHours => goals.generator_hours.map(|hours| entry_of(hours, units)),
            Self::QuietFrom => goals.quiet_hours.map(|(from, _)| clock(from)),
            Self::QuietTo => goals.quiet_hours.map(|(_, to)| clock(to)),
            Self::Outages => outages.map(|it| it.per_year.to_string()),
            Self::OutageMean => outages.map(|it| entry_of(it.mean, units)),
            Self::OutageLongest => outages.and_then(|it| it.longest).map(|hours| entry_of(hours, units)),
            Self::Budget => goals.budget.map(|budget| budget.to_string()),
            Self::Growth => goals.growth.map(|growth| entry_of(growth, units)),
            Self::Life => goals.design_life_years.map(|years| years.to_string()),
        }
        .unwrap_or_default()
    }

    fn set(self, goals: &mut Goals, typed: &str, units: UnitSystem) -> Result<(), String> {
        let typed = typed.trim();
        let count = |typed: &str| if typed.is_empty() { Ok(None) } else { whole(typed).map(Some) };
        match self {
            Self::Reserve => goals.reserve = days(typed)?,
            Self::Unmet => goals.unmet_share = read_optional(typed, units)?,
            Self::GeneratorHours => goals.generator_hours = read_optional(typed, units)?,
            Self::QuietFrom => goals.quiet_hours = quiet(read_clock(typed)?, goals.quiet_hours, End::From),
            Self::QuietTo => goals.quiet_hours = quiet(read_clock(typed)?, goals.quiet_hours, End::To),
            Self::Outages => match count(typed)? {
                None => goals.outages = None,
                Some(per_year) => {
                    let before = goals.outages;
                    goals.outages = Some(OutagePattern {
                        per_year,
                        mean: before.map_or(Hours::new(1.0), |it| it.mean),
                        longest: before.and_then(|it| it.longest),
                    });
                }
            },
            Self::OutageMean | Self::OutageLongest => outage(self, goals, typed, units)?,
            Self::Budget if typed.is_empty() => goals.budget = None,
            Self::Budget => {
                let budget = typed.replace(',', "").parse();
                goals.budget =
                    Some(budget.map_err(|_| format!("Expected a sum such as 25,000, found “{typed}”."))?);
            }
            Self::Growth => goals.growth = read_optional(typed, units)?,
            Self::Life => goals.design_life_years = count(typed)?,
        }
        Ok(())
    }
}

/// Days, or hours when that is what is typed: `3`, `3 d`, `72 h`.
fn days(typed: &str) -> Result<Option<Hours>, String> {
    if typed.is_empty() {
        return Ok(None);
    }
    let bare = typed.chars().all(|it| it.is_ascii_digit() || matches!(it, '.' | ','));
    let hours: Option<Hours> = read_optional(typed, UnitSystem::Si)?;
    Ok(hours.map(|hours| if bare { hours * HOURS_OF_DAY } else { hours }))
}

/// Which end of a time.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    From,
    To,
}

/// Quiet hours with one end changed; the other is that of a usual night until it is given.
fn quiet(typed: Option<Hours>, before: Option<(Hours, Hours)>, end: End) -> Option<(Hours, Hours)> {
    let (from, to) = before.unwrap_or((Hours::new(22.0), Hours::new(7.0)));
    typed.map(|hour| if end == End::From { (hour, to) } else { (from, hour) })
}

fn outage(goal: Goal, goals: &mut Goals, typed: &str, units: UnitSystem) -> Result<(), String> {
    let Some(outages) = &mut goals.outages else {
        return Err("Give the outages a year first.".to_owned());
    };
    let hours: Option<Hours> = read_optional(typed, units)?;
    match (goal, hours) {
        (Goal::OutageLongest, hours) => outages.longest = hours,
        (_, Some(hours)) => outages.mean = hours,
        (_, None) => return Err("Expected hours, found nothing.".to_owned()),
    }
    Ok(())
}

const LABEL: f32 = 0.56;
const ROW: f32 = 27.0;

/// A row: a label at the left, and where its value stands.
fn row(ui: &mut Ui, view: &View<'_>, (label, tip): (&str, &str)) -> Rect {
    let width = ui.available_width();
    let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
    let tokens = view.tokens;
    ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, label, fonts::body(), tokens.soft_ink);
    let mut left = rect;
    left.set_right(rect.left() + width * LABEL);
    ui.interact(left, Id::unique(("goal label", label)), Sense::hover()).on_hover_text(tip);
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
    Rect::from_x_y_ranges(left.right()..=rect.right(), rect.y_range())
}

fn goal_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, goal: Goal, actions: &mut Actions) {
    let (label, tip) = goal.words();
    let place = row(ui, view, (label, tip));
    let units = view.units();
    let id = Id::unique(("goal", label));
    let shown = goal.shown(&view.project().brief.goals, units);
    let cell = Cell {
        id,
        name: label,
        step: &label.to_lowercase(),
        shown: &shown,
        hint: "not given",
        align: Align::Max,
    };
    let mut desk = Desk { view, entries: &mut state.entries, actions };
    typed_ui(ui, &mut desk, place, &cell, |brief, typed| goal.set(&mut brief.goals, typed, units))
        .on_hover_text(tip);
    entry::fault_ui(ui, view.tokens, id, &state.entries);
}

fn wish_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    view: &View<'_>,
    (label, tip): (&'static str, &str),
    (now, choices): (T, &[(T, &str)]),
    set: impl Fn(&mut Goals, T),
    actions: &mut Actions,
) {
    let place = row(ui, view, (label, tip));
    let shown = choices.iter().find(|(it, _)| *it == now).map_or("", |(_, word)| word);
    let layout = egui::Layout::right_to_left(Align::Center);
    let mut child = ui.new_child(egui::UiBuilder::new().id_salt(label).max_rect(place).layout(layout));
    combo(&mut child, view.tokens, ("wish", label), (label, shown), place.width(), |ui| {
        for (choice, word) in choices {
            if ui.selectable_label(*choice == now, *word).clicked() {
                let brief = changed(view, |brief| {
                    set(&mut brief.goals, *choice);
                    Ok(())
                });
                if let Ok(brief) = brief {
                    actions.push(Action::Make(step(&label.to_lowercase(), brief), None));
                }
            }
        }
    });
}

const SUPPLY: [(SupplyWish, &str); 3] = [
    (SupplyWish::Open, "may be proposed"),
    (SupplyWish::Wanted, "there or wanted"),
    (SupplyWish::Excluded, "not wanted"),
];

const PRIORITY: [(Option<UtilityPriority>, &str); 3] = [
    (None, "not said"),
    (Some(UtilityPriority::SunFirst), "sun and bank go first"),
    (Some(UtilityPriority::UtilityFirst), "utility goes first"),
];

const CHEMISTRY: [(ChemistryWish, &str); 4] = [
    (ChemistryWish::Open, "whatever serves best"),
    (ChemistryWish::NickelIron, "nickel-iron"),
    (ChemistryWish::LithiumIronPhosphate, "lithium iron phosphate"),
    (ChemistryWish::Lead, "lead-acid"),
];

pub(super) fn goals_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    let goals = &view.project().brief.goals;
    ScrollArea::vertical().auto_shrink(false).id_salt("goals").show(ui, |ui| {
        ui.set_max_width(560.0_f32.min(ui.available_width() - 12.0));
        ui.spacing_mut().item_spacing.y = 0.0;
        for goal in [Goal::Reserve, Goal::Unmet] {
            goal_ui(ui, view, state, goal, actions);
        }
        let words = ("Battery", "Which chemistry the customer wants.");
        wish_ui(ui, view, words, (goals.chemistry, &CHEMISTRY), |goals, it| goals.chemistry = it, actions);
        let words = ("Generator", "Whether a generator is there, wanted, or not.");
        wish_ui(ui, view, words, (goals.generator, &SUPPLY), |goals, it| goals.generator = it, actions);
        for goal in [Goal::GeneratorHours, Goal::QuietFrom, Goal::QuietTo] {
            goal_ui(ui, view, state, goal, actions);
        }
        let words = ("Utility", "Whether a utility service is there, wanted, or not.");
        wish_ui(ui, view, words, (goals.utility, &SUPPLY), |goals, it| goals.utility = it, actions);
        let words = ("Utility priority", "Which goes first while the utility is there.");
        let set = |goals: &mut Goals, it| goals.utility_priority = it;
        wish_ui(ui, view, words, (goals.utility_priority, &PRIORITY), set, actions);
        let rest =
            [Goal::Outages, Goal::OutageMean, Goal::OutageLongest, Goal::Budget, Goal::Growth, Goal::Life];
        for goal in rest {
            goal_ui(ui, view, state, goal, actions);
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Percent;

    #[test]
    fn reserve_is_typed_in_days_or_hours() {
        assert_eq!(days("3"), Ok(Some(Hours::new(72.0))));
        assert_eq!(days("36 h"), Ok(Some(Hours::new(36.0))));
        assert_eq!(days("2 d"), Ok(Some(Hours::new(48.0))));
        assert_eq!(days(""), Ok(None));
    }

    #[test]
    fn goals_are_set_and_shown_as_typed() {
        let mut goals = Goals::default();
        let si = UnitSystem::Si;
        for (goal, typed) in [
            (Goal::Reserve, "2.5"),
            (Goal::Unmet, "1"),
            (Goal::QuietFrom, "21:30"),
            (Goal::Outages, "12"),
            (Goal::OutageMean, "4"),
            (Goal::Life, "25"),
            (Goal::Budget, "32500"),
        ] {
            assert_eq!(goal.set(&mut goals, typed, si), Ok(()), "{goal:?}");
            assert_eq!(goal.shown(&goals, si), typed, "{goal:?}");
        }
        assert_eq!(goals.unmet_share, Some(Percent::new(1.0)));
        // The end of a night that nobody gave is seven o'clock.
        assert_eq!(Goal::QuietTo.shown(&goals, si), "07:00");
        assert!(Goal::Budget.set(&mut goals, "much", si).is_err());
        assert_eq!(Goal::Outages.set(&mut goals, "", si), Ok(()));
        assert!(Goal::OutageMean.set(&mut goals, "4", si).is_err(), "there is no pattern to change");
    }
}
