//! Where runs leave a sheet: flags in a column at its left and at its right, each on the side to which its run leads and
//! as near as can be to the height at which it starts.

use super::part::{Exit, Part};
use crate::geometry::STEP_MM;
use crate::geometry::{Facing, GridArea};
use crate::placement;
use crate::sheet::exits::length;
use lineside_core::circuit::{Circuit, GridPoint, Run, RunId, Side};

/// From one flag down to the next, steps: as near as runs may lie side by side.
const PITCH: i32 = 2;
/// How far a run goes out of a terminal that looks up or down before it turns, steps.
const TURN: i32 = 3;
/// Between what stands on the sheet and the flags, steps: at least, and at most where many runs need room to turn.
const GAP: (i32, i32) = (8, 14);

/// A run that leaves the sheet.
struct Leaving<'a> {
    run: &'a Run,
    /// The end that is on another sheet.
    far: Side,
    /// At which height its flag would best stand.
    height: i32,
}

/// Places the exits of a part. `onward` tells where a run goes on.
pub(super) fn place(circuit: &Circuit, part: &mut Part, onward: impl Fn(&Run, Side) -> String) {
    let blocks = part.blocks.iter().filter_map(|id| circuit.block(*id)).map(placement::bounds);
    let Some(bounds) = blocks.chain(part.frames.values().copied()).reduce(GridArea::union) else { return };
    let mut sides: [Vec<Leaving<'_>>; 2] = [Vec::new(), Vec::new()];
    for run in circuit.runs() {
        let far = match (part.blocks.contains(&run.from.block), part.blocks.contains(&run.to.block)) {
            (true, false) => Side::To,
            (false, true) => Side::From,
            (true, true) | (false, false) => continue,
        };
        let Some((right, height)) = heading(circuit, run, far, bounds) else { continue };
        if let Some(side) = sides.get_mut(usize::from(right)) {
            side.push(Leaving { run, far, height });
        }
    }
    let [left, right] = sides;
    column(left, bounds.min.x, Facing::Right, &onward, part);
    column(right, bounds.max.x, Facing::Left, &onward, part);
}

/// Whether a run leaves at the right, and at which height it would do so best.
fn heading(circuit: &Circuit, run: &Run, far: Side, bounds: GridArea) -> Option<(bool, i32)> {
    let near = run.end(far.other());
    let (at, facing) = placement::terminal_at(circuit.block(near.block)?, near.terminal)?;
    let there = placement::bounds(circuit.block(run.end(far).block)?);
    let right = match facing {
        _ if there.min.x >= bounds.max.x => true,
        _ if there.max.x <= bounds.min.x => false,
        Facing::Right => true,
        Facing::Left => false,
        Facing::Up | Facing::Down => bounds.max.x - at.x <= at.x - bounds.min.x,
    };
    Some((right, at.y + TURN * facing.step().1))
}

/// Places the flags of one side under each other.
fn column(
    mut leaving: Vec<Leaving<'_>>,
    edge: i32,
    facing: Facing,
    onward: impl Fn(&Run, Side) -> String,
    part: &mut Part,
) {
    leaving.sort_by_key(|it| (it.height, it.run.id));
    let count = i32::try_from(leaving.len()).unwrap_or(i32::MAX);
    let gap = (GAP.0 + count / 2).min(GAP.1);
    let x = edge - facing.step().0 * gap;
    let heights = spread(&leaving.iter().map(|it| it.height).collect::<Vec<_>>());
    for (it, y) in leaving.into_iter().zip(heights) {
        let onward = onward(it.run, it.far);
        let long = length(&it.run.tag, &onward);
        let exit =
            Exit { at: GridPoint::new(x, y), facing, tag: it.run.tag.clone(), onward, length: steps(long) };
        part.exits.insert((it.run.id, it.far), exit);
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates")]
fn steps(millimeters: f32) -> i32 {
    (millimeters / STEP_MM).ceil() as i32
}

/// Heights at least one pitch apart, in order, as near as can be to the wanted ones: those that are in each other's way
/// share the way off equally.
fn spread(wanted: &[i32]) -> Vec<i32> {
    // Sum and count of the wanted heights of each heap, less what stands above each in it.
    let mut heaps: Vec<(i64, i64)> = Vec::new();
    for (place, height) in (0_i64..).zip(wanted) {
        let mut heap = (i64::from(*height) - place * i64::from(PITCH), 1_i64);
        while let Some(above) = heaps.last().copied().filter(|above| above.0 * heap.1 > heap.0 * above.1) {
            heaps.pop();
            heap = (heap.0 + above.0, heap.1 + above.1);
        }
        heaps.push(heap);
    }
    let starts = heaps.into_iter().flat_map(|(sum, count)| {
        let start = sum.div_euclid(count);
        (0..count).map(move |_| start)
    });
    (0_i64..)
        .zip(starts)
        .map(|(place, start)| i32::try_from(start + place * i64::from(PITCH)).unwrap_or_default())
        .collect()
}

/// The exit of a run on another part.
pub(super) fn matching(part: &Part, run: RunId, far: Side) -> Option<&Exit> {
    part.exits.get(&(run, far.other()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two that want 10 and one that wants 11, two steps apart: less 0, 2 and 4 they want 10, 8 and 7, whose mean is
    /// 25 / 3, rounded down 8: 8, 10 and 12. The one that wants 30 stays there.
    #[test]
    fn flags_share_the_way_that_they_are_off() {
        assert_eq!(spread(&[10, 10, 11, 30]), [8, 10, 12, 30]);
        assert_eq!(spread(&[-5]), [-5]);
        assert_eq!(spread(&[]), Vec::<i32>::new());
    }
}
