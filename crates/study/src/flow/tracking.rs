//! The voltage at which tracking controllers get the most from their island.
//!
//! All trackers of one island stand at one voltage. The power that they get is a concave function of it; where its slope
//! vanishes is found by false position between bounds, with the slope taken from the linearized island.

use super::direct::{self, Member};
use super::newton::{Device, Fit, GaveUp, Grid};
use super::voltages::Voltages;

/// What is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Search<'a> {
    /// Joints at which trackers take, each once.
    pub joints: &'a [usize],
    /// Lowest and highest voltage at which they work.
    pub bounds: (f64, f64),
    /// Where to begin.
    pub guess: f64,
}

/// Whether a bound kept the voltage from where the power is greatest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Bound {
    /// None did.
    #[default]
    Free,
    /// The lowest voltage.
    Lowest,
    /// The highest voltage.
    Highest,
}

const EVALUATIONS: usize = 60;
/// The power is flat at its greatest, so that this is far more than its last digit.
const EXACT: f64 = 1e-11;

/// Leaves the voltages at the best point. What each joint takes there is told by [`taken`].
pub(super) fn best(
    grid: &Grid,
    members: &mut [Member<'_>],
    volts: &mut Voltages<f64>,
    search: &Search<'_>,
) -> Result<(Fit, Bound), GaveUp> {
    let (low, high) = search.bounds;
    let mut at = search.guess.clamp(low, high);
    let mut bracket = Bracket::default();
    let mut found = evaluate(grid, members, volts, search.joints, at)?;
    for _ in 0..EVALUATIONS {
        let (fit, slope) = found;
        if slope > 0.0 && at >= high {
            return Ok((fit, Bound::Highest));
        }
        if slope < 0.0 && at <= low {
            return Ok((fit, Bound::Lowest));
        }
        let next = bracket.next(at, slope).clamp(low, high);
        if slope == 0.0 || (next - at).abs() <= EXACT * at {
            break;
        }
        at = next;
        found = evaluate(grid, members, volts, search.joints, at)?;
    }
    Ok((found.0, Bound::Free))
}

/// The current that a held joint takes, and how it changes with the voltage of the held joints when `response` tells how
/// the others follow.
pub(super) fn taken(
    grid: &Grid,
    members: &[Member<'_>],
    volts: &Voltages<f64>,
    joint: usize,
    response: Option<&Voltages<f64>>,
) -> (f64, f64) {
    let mut amps = grid.flowing_in(joint, volts);
    let mut slope = response.map_or(0.0, |response| grid.flowing_in(joint, response));
    for member in members.iter().filter(|member| member.joint == joint) {
        let (more, by) = member.inject(volts.point(member.obeys()));
        amps += more;
        slope += by;
    }
    (amps, slope)
}

/// Solves the island with the joints held, and gives the slope of the power that they take.
fn evaluate(
    grid: &Grid,
    members: &mut [Member<'_>],
    volts: &mut Voltages<f64>,
    joints: &[usize],
    at: f64,
) -> Result<(Fit, f64), GaveUp> {
    for joint in joints {
        volts.hold(*joint, at);
    }
    let fit = direct::solve(grid, members, volts)?;
    let rise = grid.response(members, volts, joints, 1.0)?;
    let response = Voltages { reference: 0.0, rise, held: Vec::new() };
    let slope = joints.iter().map(|joint| {
        let (amps, by) = taken(grid, members, volts, *joint, Some(&response));
        amps + at * by
    });
    Ok((fit, slope.sum()))
}

/// Where the slope was seen to rise and to fall.
#[derive(Clone, Copy, Debug, Default)]
struct Bracket {
    rises: Option<(f64, f64)>,
    falls: Option<(f64, f64)>,
    /// The slope that was seen last.
    last: f64,
    step: f64,
}

impl Bracket {
    /// Where to look next. False position; an end that stays twice running weighs half, so that the other cannot creep.
    fn next(&mut self, at: f64, slope: f64) -> f64 {
        let (here, there) =
            if slope > 0.0 { (&mut self.rises, &mut self.falls) } else { (&mut self.falls, &mut self.rises) };
        let again = slope * self.last > 0.0;
        *here = Some((at, slope));
        self.last = slope;
        let Some((other, other_slope)) = there else {
            // Only one side yet: towards the other, twice as far each time.
            self.step = if self.step == 0.0 { 0.01 } else { self.step * 2.0 };
            return at * (1.0 + self.step.min(0.5) * slope.signum());
        };
        if again {
            *other_slope *= 0.5;
        }
        (at * *other_slope - *other * slope) / (*other_slope - slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::cells::Cells;
    use crate::flow::direct::{Answer, Who};
    use crate::flow::modules::Modules;
    use crate::flow::newton::Tie;
    use lineside_codes::Codes;
    use lineside_core::kinds::battery_bank::BatteryBank;
    use lineside_core::kinds::strings::Strings;
    use lineside_core::project::Project;
    use lineside_core::testing::Bench;
    use lineside_core::units::{Celsius, Percent, WattsPerSquareMeter};

    fn modules(in_series: u32) -> Modules {
        let codes = Codes::load().unwrap();
        let mut bench = Bench::new();
        let mut strings = bench.stock("Module string, 400 W modules").as_kind::<Strings>().unwrap().clone();
        (strings.modules_in_series, strings.strings_in_parallel) = (in_series, 1);
        let id = bench.put("S1", None, strings.clone());
        let project = Project::default();
        let on = crate::Conditions::new(&project, &codes);
        let block = bench.project.circuit.block(id).unwrap();
        let (sun, ambient) = (WattsPerSquareMeter::new(1000.0), Celsius::new(25.0));
        Modules::of(&on, block, &strings, sun, ambient).unwrap()
    }
    fn member(joint: usize, modules: &Modules) -> Member<'_> {
        Member { who: Who::Strings(joint), joint, answer: Answer::Strings(modules) }
    }
    fn search(joints: &[usize], bounds: (f64, f64)) -> Search<'_> {
        Search { joints, bounds, guess: 80.0 }
    }

    #[test]
    fn without_a_wire_it_is_the_maximum_power_point() {
        let set = modules(3);
        let grid = Grid::new(1, Vec::new(), Vec::new());
        let mut volts = Voltages::flat(1, set.open_volts);
        let mut members = [member(0, &set)];
        let (_, bound) = best(&grid, &mut members, &mut volts, &search(&[0], (20.0, 140.0))).unwrap();
        assert_eq!(bound, Bound::Free);
        assert!((volts.at(0) / set.best_volts - 1.0).abs() < 1e-9);
        let amps = taken(&grid, &members, &volts, 0, None).0;
        assert!((amps * volts.at(0) / set.best_watts() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn behind_a_wire_no_other_voltage_gives_more() {
        let set = modules(3);
        let grid = Grid::new(2, vec![Tie { a: 0, b: 1, siemens: 1.0 / 0.4 }], Vec::new());
        let power = |at: f64| {
            let mut volts = Voltages::flat(2, set.open_volts);
            let mut members = [member(0, &set)];
            volts.hold(1, at);
            direct::solve(&grid, &mut members, &mut volts).unwrap();
            at * taken(&grid, &members, &volts, 1, None).0
        };
        let mut volts = Voltages::flat(2, set.open_volts);
        best(&grid, &mut [member(0, &set)], &mut volts, &search(&[1], (20.0, 140.0))).unwrap();
        let found = volts.at(1);
        for off in [1e-4, 1e-3, 0.1] {
            assert!(power(found) > power(found + off) && power(found) > power(found - off), "{off}");
        }
        // Less than the strings give by about the current squared times 0.4 Ω: 13.0 A.
        let lost = set.best_watts() - power(found);
        assert!((lost - 0.4 * 13.0 * 13.0).abs() < 2.0, "{lost}");
    }

    #[test]
    fn bounds_are_kept_and_told() {
        let set = modules(3);
        let grid = Grid::new(1, Vec::new(), Vec::new());
        let mut volts = Voltages::flat(1, set.open_volts);
        let mut at = |bounds| {
            let (_, bound) = best(&grid, &mut [member(0, &set)], &mut volts, &search(&[0], bounds)).unwrap();
            (bound, volts.at(0))
        };
        assert_eq!(at((90.0, 140.0)), (Bound::Lowest, 90.0));
        assert_eq!(at((20.0, 70.0)), (Bound::Highest, 70.0));
    }

    #[test]
    fn unlike_strings_meet_at_one_voltage_and_the_lower_ones_are_fed_backwards_at_rest() {
        let (four, three) = (modules(4), modules(3));
        let grid = Grid::new(1, Vec::new(), Vec::new());
        let mut members = [member(0, &four), member(0, &three)];
        let mut volts = Voltages::flat(1, four.open_volts);
        best(&grid, &mut members, &mut volts, &search(&[0], (20.0, 140.0))).unwrap();
        let at = volts.at(0);
        assert!(at > three.best_volts && at < four.best_volts, "{at}");
        // At rest the longer strings push current into the shorter ones.
        let mut volts = Voltages::flat(1, four.open_volts);
        direct::solve(&grid, &mut members, &mut volts).unwrap();
        let back = three.give(volts.at(0) - three.open_volts).0;
        assert!(back < -1.0 && (back + four.give(volts.at(0) - four.open_volts).0).abs() < 1e-9, "{back}");
    }

    #[test]
    fn a_battery_in_place_of_strings_ends_at_a_bound() {
        let codes = Codes::load().unwrap();
        let project = Project::default();
        let on = crate::Conditions::new(&project, &codes);
        let bank = Bench::new().stock("Nickel-iron cell, 600 Ah").as_kind::<BatteryBank>().unwrap().clone();
        let bank = BatteryBank { units_in_series: 1, ..bank };
        let cells = Cells::of(&on, &bank, Percent::new(50.0), Celsius::new(25.0)).unwrap();
        let grid = Grid::new(1, Vec::new(), Vec::new());
        let mut volts = Voltages::flat(1, cells.rest_volts);
        let mut members = [Member { who: Who::Cells(0), joint: 0, answer: Answer::Cells(&cells) }];
        let wanted = Search { joints: &[0], bounds: (1.2, 100.0), guess: 80.0 };
        let (_, bound) = best(&grid, &mut members, &mut volts, &wanted).unwrap();
        assert_eq!(bound, Bound::Lowest);
    }
}
