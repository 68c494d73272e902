//! A DC island: its devices, and its voltages for given limits and demands.
//!
//! A source that is regulated is in one of three modes: it holds its voltage, it gives all that its limits allow, or it
//! gives nothing. The modes are explicit; they are tried, checked and changed until none wants to change.

use super::cells::Cells;
use super::modules::Modules;
use super::newton::{Device, Fit, GaveUp, Grid};
use super::voltages::{Point, Voltages};

/// Which machine a device belongs to, by its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Who {
    /// A set of strings.
    Strings(usize),
    /// A battery string.
    Cells(usize),
    /// The input of a controller.
    ControllerIn(usize),
    /// The output of a controller.
    ControllerOut(usize),
    /// What a controller takes for itself.
    ControllerOwn(usize),
    /// The input of a DC converter.
    ConverterIn(usize),
    /// The output of a DC converter.
    ConverterOut(usize),
    /// The DC input of an inverter.
    Inverter(usize),
    /// The charger of an inverter.
    Charger(usize),
    /// DC loads.
    Load(usize),
}

/// What a regulated source does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Mode {
    /// It holds its voltage.
    #[default]
    Holding,
    /// It gives what its limits allow, below its voltage.
    Limited,
    /// The voltage stands above its own.
    Idle,
}

/// A source that raises the voltage to a set value as far as its limits allow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Regulated {
    /// The voltage.
    pub set: f64,
    /// The joint at which it measures.
    pub senses: usize,
    /// The current at which its voltage has drooped in full.
    pub rated: f64,
    /// Greatest current.
    pub amps: f64,
    /// Greatest power.
    pub watts: f64,
    /// What it does.
    pub mode: Mode,
}

/// How a device answers to the voltage.
#[derive(Clone, Copy, Debug)]
pub(super) enum Answer<'a> {
    /// A set of strings.
    Strings(&'a Modules),
    /// A battery string.
    Cells(&'a Cells),
    /// A constant power; below a voltage it fades like a resistance, so that there is always an answer.
    Draws { watts: f64, floor: f64 },
    /// A regulated source.
    Regulated(Regulated),
}

/// A device on an island.
#[derive(Clone, Copy, Debug)]
pub(super) struct Member<'a> {
    pub who: Who,
    pub joint: usize,
    pub answer: Answer<'a>,
}

/// A regulated source lets its voltage fall by this share from no current to its full current, so that several of them
/// share a load in proportion to their ratings.
const DROOP: f64 = 1e-5;

impl Regulated {
    fn ohms(&self) -> f64 {
        self.set * DROOP / self.rated
    }
    /// The current that its limits allow at the voltage of its own joint.
    pub(super) fn limit(&self, volts: f64) -> f64 {
        if volts > 0.0 { self.amps.min(self.watts / volts) } else { self.amps }
    }
    /// Whether the power and not the current limits it.
    pub(super) fn is_power_limited(&self, volts: f64) -> bool {
        volts > 0.0 && self.watts / volts < self.amps
    }
    /// The mode that fits what was found, voltage where it measures and current.
    fn fitting(&self, sensed: f64, amps: f64, at: f64) -> Mode {
        match self.mode {
            Mode::Holding if amps > self.limit(at) * (1.0 + 1e-9) => Mode::Limited,
            Mode::Holding if amps < -1e-9 * self.rated => Mode::Idle,
            Mode::Limited if sensed > self.set => Mode::Holding,
            Mode::Idle if sensed < self.set => Mode::Holding,
            Mode::Holding | Mode::Limited | Mode::Idle => self.mode,
        }
    }
}

impl Device<f64> for Member<'_> {
    fn at(&self) -> usize {
        self.joint
    }
    fn obeys(&self) -> usize {
        match &self.answer {
            Answer::Regulated(it) if it.mode == Mode::Holding => it.senses,
            Answer::Regulated(_) | Answer::Strings(_) | Answer::Cells(_) | Answer::Draws { .. } => self.joint,
        }
    }
    fn inject(&self, at: Point<f64>) -> (f64, f64) {
        let volts = at.volts();
        match &self.answer {
            Answer::Strings(modules) => modules.give(at.above(modules.open_volts)),
            Answer::Cells(cells) => cells.give(at.above(cells.rest_volts)),
            Answer::Draws { watts, floor } => draw(*watts, *floor, volts),
            Answer::Regulated(it) => match it.mode {
                Mode::Holding => (-at.above(it.set) / it.ohms(), -1.0 / it.ohms()),
                Mode::Limited if it.is_power_limited(volts) => {
                    (it.watts / volts, -it.watts / (volts * volts))
                }
                Mode::Limited => (it.amps, 0.0),
                Mode::Idle => (0.0, 0.0),
            },
        }
    }
}

fn draw(watts: f64, floor: f64, volts: f64) -> (f64, f64) {
    if volts >= floor && volts > 0.0 {
        (-watts / volts, watts / (volts * volts))
    } else {
        let siemens = if floor > 0.0 { watts / (floor * floor) } else { 0.0 };
        (-siemens * volts, -siemens)
    }
}

/// The current that a device gives at the voltages found; negative when it takes.
pub(super) fn amps(member: &Member<'_>, volts: &Voltages<f64>) -> f64 {
    member.inject(volts.point(member.obeys())).0
}

/// Finds the voltages, and the modes of the regulated sources.
pub(super) fn solve(
    grid: &Grid,
    members: &mut [Member<'_>],
    volts: &mut Voltages<f64>,
) -> Result<Fit, GaveUp> {
    let regulated = members.iter().filter(|it| matches!(it.answer, Answer::Regulated(_))).count();
    // At first all change at once; then one at a time, which cannot go round in circles for long.
    let together = 8 + regulated;
    for round in 0..together + 4 * regulated + 8 {
        let before = volts.clone();
        let found = grid.solve(members, volts);
        let at_once = if round < together { usize::MAX } else { 1 };
        let changed = change_modes(members, volts, at_once);
        match found {
            Ok(fit) if changed == 0 => return Ok(fit),
            Ok(_) => {}
            // A source at its limit can drive the voltage past its own, with no state to stay in: it holds instead.
            Err(GaveUp) if changed > 0 => *volts = before,
            Err(GaveUp) => return Err(GaveUp),
        }
    }
    Err(GaveUp)
}

/// Changes the modes that do not fit. Sources that would have to take current rest first: what the others must give is
/// known only without them.
fn change_modes(members: &mut [Member<'_>], volts: &Voltages<f64>, at_once: usize) -> usize {
    let mut wanted: Vec<(usize, Mode)> = Vec::new();
    for (i, member) in members.iter().enumerate() {
        if let Answer::Regulated(it) = &member.answer {
            let mode = it.fitting(volts.at(it.senses), amps(member, volts), volts.at(member.joint));
            if mode != it.mode {
                wanted.push((i, mode));
            }
        }
    }
    if wanted.iter().any(|(_, mode)| *mode == Mode::Idle) {
        wanted.retain(|(_, mode)| *mode == Mode::Idle);
    }
    wanted.truncate(at_once);
    for (i, mode) in &wanted {
        if let Some(Member { answer: Answer::Regulated(it), .. }) = members.get_mut(*i) {
            it.mode = *mode;
        }
    }
    wanted.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::newton::Tie;

    fn regulated(joint: usize, set: f64, amps: f64, watts: f64) -> Member<'static> {
        let answer = Answer::Regulated(Regulated {
            set,
            senses: joint,
            rated: amps,
            amps,
            watts,
            mode: Mode::Holding,
        });
        Member { who: Who::ControllerOut(joint), joint, answer }
    }
    fn load(joint: usize, watts: f64, floor: f64) -> Member<'static> {
        Member { who: Who::Load(joint), joint, answer: Answer::Draws { watts, floor } }
    }
    fn grid(ohms: f64) -> Grid {
        Grid::new(2, vec![Tie { a: 0, b: 1, siemens: 1.0 / ohms }], Vec::new())
    }
    fn mode(member: &Member<'_>) -> Mode {
        match member.answer {
            Answer::Regulated(it) => it.mode,
            Answer::Strings(_) | Answer::Cells(_) | Answer::Draws { .. } => panic!("not regulated"),
        }
    }

    #[test]
    fn a_source_holds_its_voltage_within_its_droop() {
        // 24 V held at 0.1 Ω from a load of 100 W: V² − 24 V + 10 = 0, V = 12 + √134 = 23.575837.
        let mut members = [regulated(0, 24.0, 20.0, 1e9), load(1, 100.0, 10.0)];
        let mut volts = Voltages::flat(2, 24.0);
        solve(&grid(0.1), &mut members, &mut volts).unwrap();
        assert_eq!(mode(&members[0]), Mode::Holding);
        assert!((volts.at(0) - 24.0).abs() < 24.0 * DROOP);
        assert!((volts.at(1) - 23.575_836_902_790_225).abs() < 3e-4);
    }

    #[test]
    fn a_source_at_its_limit_lets_the_voltage_fall_and_the_load_fade() {
        // 3 A and no more: 100 W cannot be had above 10 V, where the load becomes 1 Ω: 3 V.
        let mut members = [regulated(0, 24.0, 3.0, 1e9), load(1, 100.0, 10.0)];
        let mut volts = Voltages::flat(2, 24.0);
        solve(&grid(0.1), &mut members, &mut volts).unwrap();
        assert_eq!(mode(&members[0]), Mode::Limited);
        assert!((volts.at(1) - 3.0).abs() < 1e-9, "{}", volts.at(1));
    }

    #[test]
    fn a_source_that_can_give_more_than_a_steady_load_takes_holds() {
        // Begun at its limit of 60 A, it would drive a load of 1440 W past any voltage.
        let mut members = [regulated(0, 48.0, 60.0, 1e9), load(1, 1440.0, 10.0)];
        if let Answer::Regulated(it) = &mut members[0].answer {
            it.mode = Mode::Limited;
        }
        let mut volts = Voltages::flat(2, 48.0);
        solve(&grid(0.01), &mut members, &mut volts).unwrap();
        assert_eq!(mode(&members[0]), Mode::Holding);
    }

    #[test]
    fn two_sources_share_by_their_ratings_and_a_higher_one_goes_first() {
        let share = |first: f64| {
            let mut members =
                [regulated(0, first, 60.0, 1e9), regulated(1, 48.0, 30.0, 1e9), load(2, 1440.0, 10.0)];
            for (member, senses) in members.iter_mut().zip([2, 2]) {
                if let Answer::Regulated(it) = &mut member.answer {
                    it.senses = senses;
                }
            }
            let ties = vec![Tie { a: 0, b: 2, siemens: 1e4 }, Tie { a: 1, b: 2, siemens: 1e4 }];
            let sensed = Grid::new(3, ties, vec![(0, 2), (1, 2)]);
            let mut volts = Voltages::flat(3, 48.0);
            solve(&sensed, &mut members, &mut volts).unwrap();
            (amps(&members[0], &volts), amps(&members[1], &volts))
        };
        let (a, b) = share(48.0);
        // 30 A in proportion to 60 and 30 A: 20 and 10 A.
        assert!((a - 20.0).abs() < 1e-3 && (b - 10.0).abs() < 1e-3, "{a} {b}");
        let (a, b) = share(48.1);
        assert!((a - 1440.0 / 48.1).abs() < 1e-2 && b.abs() < 1e-9, "{a} {b}");
    }
}
