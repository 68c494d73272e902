//! The usual shapes of a run: one bend, or two with the middle piece where there is room for it.

use super::Landing;
use super::search::{Search, Way, after, simplified, turns_back};
use lineside_core::circuit::GridPoint;

/// How many places for the middle piece are tried on each side.
const PLACES: i32 = 8;

/// The cheapest of the usual shapes that go straight for `stub` steps at both ends, even if it goes through a
/// block; `None` if none fits the ends at all.
pub(super) fn best(search: &mut Search<'_>, from: Landing, to: Landing, stub: i32) -> Option<Way> {
    let (start, end) = (after(from, stub + from.further), after(to, stub + to.further));
    let mut best: Option<Way> = None;
    let mut offer = |search: &mut Search<'_>, middle: &[GridPoint]| -> bool {
        let mut points = Vec::with_capacity(6);
        points.push(from.at);
        points.push(start);
        points.extend_from_slice(middle);
        points.push(end);
        points.push(to.at);
        // A stub that was passed over by turning back shows before the straight points are taken out.
        if turns_back(&points) {
            return false;
        }
        let way = search.weigh(simplified(&points));
        let clean = way.faults == 0 && way.cost == plain_cost(&way.points);
        if best.as_ref().is_none_or(|best| way.cost < best.cost) {
            best = Some(way);
        }
        clean
    };
    let one_bend = [GridPoint::new(end.x, start.y), GridPoint::new(start.x, end.y)];
    // Terminals that face across each other are joined by one bend; others get their turn halfway.
    let across = from.facing.is_level() != to.facing.is_level();
    if across && one_bend.iter().any(|middle| offer(search, &[*middle])) {
        return best;
    }
    // Level, upright, level; and upright, level, upright. The terminals tell which is the natural one.
    let mut level_first = from.facing.is_level();
    for _ in 0..2 {
        let (low, high) = if level_first {
            (start.x.min(end.x), start.x.max(end.x))
        } else {
            (start.y.min(end.y), start.y.max(end.y))
        };
        for place in places(low, high) {
            let middle = if level_first {
                [GridPoint::new(place, start.y), GridPoint::new(place, end.y)]
            } else {
                [GridPoint::new(start.x, place), GridPoint::new(end.x, place)]
            };
            if offer(search, &middle) {
                return best;
            }
        }
        level_first = !level_first;
    }
    best
}

/// Length and bends alone.
fn plain_cost(points: &[GridPoint]) -> i32 {
    let bends = i32::try_from(points.len().saturating_sub(2)).unwrap_or(0);
    let length: i32 = points
        .windows(2)
        .map(|pair| match pair {
            [a, b] => super::search::distance(*a, *b),
            _ => 0,
        })
        .fold(0, i32::saturating_add);
    length.saturating_add(bends * super::cost::BEND)
}

/// Where a middle piece may lie: halfway first, then to both sides of it by two steps, then beyond the ends.
fn places(low: i32, high: i32) -> impl Iterator<Item = i32> {
    let half = low + (high - low) / 2;
    let inside = (0..=2 * PLACES).map(move |n| {
        let away = 2 * ((n + 1) / 2);
        if n % 2 == 0 { half + away } else { half - away }
    });
    let narrow = (half - 1..=half + 1).filter(move |_| high - low < 6);
    let outside = (0..PLACES).flat_map(move |n| {
        let away = (2 * n - 1).max(0);
        [high + away, low - away]
    });
    inside.chain(narrow).filter(move |place| (low..=high).contains(place)).chain(outside)
}
