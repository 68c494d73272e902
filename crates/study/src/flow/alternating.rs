//! An AC island: what holds its voltage, and what it gives to the loads.
//!
//! Currents are phasors, so that loads with a power factor draw what they draw; conductors have resistance only.

use super::newton::{Device, Fit, GaveUp, Grid};
use super::phasor::{Ac, AcSlope, Phasor};
use super::voltages::{Point, Voltages};

/// Which machine a device belongs to, by its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Who {
    /// The loads of a panel.
    Panel(usize),
    /// What an inverter takes at its AC input for its charger and itself.
    Input(usize),
    /// What an inverter adds at its output while it helps a source.
    Help(usize),
    /// An inverter that shares a bus with others.
    Inverter(usize),
}

/// How a device answers to the voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Answer {
    /// A constant power, reactive power with it; below a voltage it fades like an impedance.
    Draws { watts: f64, vars: f64, floor: f64 },
    /// A voltage behind a small resistance.
    Behind { volts: f64, siemens: f64 },
}

/// A device on an island.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Member {
    pub who: Who,
    pub joint: usize,
    pub answer: Answer,
}

impl Device<Ac> for Member {
    fn at(&self) -> usize {
        self.joint
    }
    fn obeys(&self) -> usize {
        self.joint
    }
    fn inject(&self, at: Point<Ac>) -> (Ac, AcSlope) {
        let volts = at.volts();
        match self.answer {
            Answer::Draws { watts, vars, floor } => draw(watts, vars, floor, volts),
            Answer::Behind { volts: source, siemens } => {
                (Ac::in_phase(source).minus(volts).times(siemens), Ac::siemens(-siemens))
            }
        }
    }
}

/// `I = −conj((P + jQ) / V)`, and its slopes by both parts of the voltage.
fn draw(watts: f64, vars: f64, floor: f64, volts: Ac) -> (Ac, AcSlope) {
    let square = volts.along * volts.along + volts.across * volts.across;
    let along = watts * volts.along + vars * volts.across;
    let across = watts * volts.across - vars * volts.along;
    if square < floor * floor || square <= 0.0 {
        let scale = if floor > 0.0 { 1.0 / (floor * floor) } else { 0.0 };
        let amps = Ac { along: -along * scale, across: -across * scale };
        let slope = AcSlope { aa: -watts * scale, ac: -vars * scale, ca: vars * scale, cc: -watts * scale };
        return (amps, slope);
    }
    let amps = Ac { along: -along / square, across: -across / square };
    let (a, c) = (2.0 * volts.along / square, 2.0 * volts.across / square);
    let slope = AcSlope {
        aa: -watts / square - a * amps.along,
        ac: -vars / square - c * amps.along,
        ca: vars / square - a * amps.across,
        cc: -watts / square - c * amps.across,
    };
    (amps, slope)
}

/// Power at a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Power {
    pub watts: f64,
    /// Lagging is positive.
    pub vars: f64,
}

impl Power {
    pub(super) fn of(volts: Ac, amps: Ac) -> Self {
        Self { watts: Ac::watts(volts, amps), vars: Ac::reactive(volts, amps) }
    }
    pub(super) fn volt_amperes(self) -> f64 {
        lineside_core::math::sqrt(self.watts * self.watts + self.vars * self.vars)
    }
}

/// Solves the island; a joint may be held.
pub(super) fn solve(grid: &Grid, members: &[Member], volts: &mut Voltages<Ac>) -> Result<Fit, GaveUp> {
    grid.solve(members, volts)
}

/// The current that the source gives which holds a joint: what all devices take, since nothing else brings any.
pub(super) fn given(members: &[Member], volts: &Voltages<Ac>) -> Ac {
    members.iter().fold(Ac::default(), |sum, member| sum.minus(member.inject(volts.point(member.joint)).0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flow::newton::Tie;

    fn panel(joint: usize, watts: f64, vars: f64) -> Member {
        Member { who: Who::Panel(0), joint, answer: Answer::Draws { watts, vars, floor: 60.0 } }
    }
    fn solved(members: &[Member], ohms: f64) -> Voltages<Ac> {
        let grid = Grid::new(2, vec![Tie { a: 0, b: 1, siemens: 1.0 / ohms }], Vec::new());
        let mut volts = Voltages::flat(2, Ac::in_phase(120.0));
        volts.hold(0, Ac::in_phase(120.0));
        let fit = solve(&grid, members, &mut volts).unwrap();
        assert!(fit.left_over <= 1e-11 * fit.largest, "{fit:?}");
        volts
    }

    #[test]
    fn a_load_in_phase() {
        // 1500 W through 0.2 Ω from 120 V: V = (120 + √(120² − 4 × 0.2 × 1500))/2 = (120 + √13200)/2 = 117.445626 V.
        let members = [panel(1, 1500.0, 0.0)];
        let volts = solved(&members, 0.2);
        assert!((volts.at(1).along - 117.445_626_465_380_28).abs() < 1e-9);
        assert!(volts.at(1).across.abs() < 1e-12);
        let power = Power::of(volts.at(0), given(&members, &volts));
        // 12.771868 A from 120 V.
        assert!((power.watts - 120.0 * 1500.0 / 117.445_626_465_380_28).abs() < 1e-8, "{power:?}");
        assert!(power.vars.abs() < 1e-9);
    }

    #[test]
    fn a_lagging_load() {
        // 1000 W and 1000 var: the source gives the same vars, and watts more by R |I|²; |I| = √2 × 1000 / |V|.
        let members = [panel(1, 1000.0, 1000.0)];
        let volts = solved(&members, 0.2);
        let amps = given(&members, &volts);
        let power = Power::of(volts.at(0), amps);
        let current = amps.magnitude();
        assert!((current - 2.0_f64.sqrt() * 1000.0 / volts.at(1).magnitude()).abs() < 1e-9);
        assert!((power.vars - 1000.0).abs() < 1e-8, "{power:?}");
        assert!((power.watts - 1000.0 - 0.2 * current * current).abs() < 1e-8, "{power:?}");
    }

    #[test]
    fn the_slopes_are_those_of_the_current() {
        let volts = Ac { along: 110.0, across: -7.0 };
        for floor in [60.0, 150.0] {
            let (amps, slope) = draw(900.0, 400.0, floor, volts);
            let step = 1e-5;
            let right = draw(900.0, 400.0, floor, Ac { along: volts.along + step, ..volts }).0;
            let up = draw(900.0, 400.0, floor, Ac { across: volts.across + step, ..volts }).0;
            let by_along = right.minus(amps).times(1.0 / step);
            let by_across = up.minus(amps).times(1.0 / step);
            for (found, expected) in [
                (slope.aa, by_along.along),
                (slope.ca, by_along.across),
                (slope.ac, by_across.along),
                (slope.cc, by_across.across),
            ] {
                assert!((found - expected).abs() < 1e-6, "{found} instead of {expected}");
            }
        }
    }

    #[test]
    fn inverters_share_a_load_by_their_ratings() {
        let grid = Grid::new(1, Vec::new(), Vec::new());
        let behind = |i, siemens| Member {
            who: Who::Inverter(i),
            joint: 0,
            answer: Answer::Behind { volts: 120.0, siemens },
        };
        let members = [behind(0, 400.0), behind(1, 200.0), panel(0, 3000.0, 0.0)];
        let mut volts = Voltages::flat(1, Ac::in_phase(120.0));
        solve(&grid, &members, &mut volts).unwrap();
        let amps = |member: &Member| member.inject(volts.point(0)).0.along;
        assert!((amps(&members[0]) - 2.0 * amps(&members[1])).abs() < 1e-9);
        assert!((volts.at(0).along * (amps(&members[0]) + amps(&members[1])) - 3000.0).abs() < 1e-6);
    }
}
