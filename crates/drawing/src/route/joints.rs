//! Junction dots: where runs that share a terminal part from each other.

use super::Routes;
use lineside_core::circuit::{GridPoint, RunEnd, RunId};

/// A dot on a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Joint {
    /// Where.
    pub at: GridPoint,
    /// The run with the lowest id of those that meet there.
    pub run: RunId,
    /// The terminal that they share.
    pub end: RunEnd,
}

impl Routes {
    /// Every joint of runs, in the order of terminals. Runs that only cross have none.
    pub fn joints(&self) -> Vec<Joint> {
        let mut joints = Vec::new();
        for (end, runs) in self.landings.iter().filter(|(_, runs)| runs.len() > 1) {
            let ways: Vec<(RunId, Vec<GridPoint>)> =
                runs.iter().filter_map(|run| Some((*run, self.path_from(*run, *end)?))).collect();
            let first = joints.len();
            for (later, (_, way)) in ways.iter().enumerate() {
                for (run, other) in ways.iter().take(later) {
                    let Some(at) = parting(way, other) else { continue };
                    if !joints.iter().skip(first).any(|joint: &Joint| joint.at == at) {
                        joints.push(Joint { at, run: *run, end: *end });
                    }
                }
            }
        }
        joints
    }

    /// The corners of a run beginning at one of its ends.
    fn path_from(&self, run: RunId, end: RunEnd) -> Option<Vec<GridPoint>> {
        let route = self.of_runs.get(&run).filter(|route| !route.points.is_empty())?;
        let mut points = route.points.clone();
        if route.from != end {
            points.reverse();
        }
        Some(points)
    }
}

/// The last point that two ways from the same terminal have in common.
fn parting(one: &[GridPoint], other: &[GridPoint]) -> Option<GridPoint> {
    let mut common = *one.first()?;
    if other.first() != Some(&common) {
        return None;
    }
    for (a, b) in one.iter().zip(other).skip(1) {
        if a == b {
            common = *a;
            continue;
        }
        let step = |to: GridPoint| ((to.x - common.x).signum(), (to.y - common.y).signum());
        if step(*a) == step(*b) {
            let near = |to: &GridPoint| to.x.abs_diff(common.x) + to.y.abs_diff(common.y);
            common = if near(a) < near(b) { *a } else { *b };
        }
        return Some(common);
    }
    Some(common)
}
