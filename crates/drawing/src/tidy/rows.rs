//! What stands below the columns: batteries under their bus, grounding under what it grounds, and what no run
//! lands on.

use super::columns::Columns;
use super::flow::Band;
use super::item::Item;
use super::spread::{Wish, spread};
use crate::geometry::Facing;
use lineside_core::circuit::GridPoint;
use std::collections::BTreeMap;

/// Between what stands above and a row, steps.
const DOWN: i32 = 2;
/// From a terminal at a side to the upright that goes down from it, steps.
const OUT: i32 = 3;
/// How far to the right a row's item may give way so that it need not stand lower, steps.
const GIVE: i32 = 16;
/// A row of loose items is at least that long before the next begins, steps.
const SHELF: i32 = 80;

/// A link of an item to another: its own port, and the other item with its port.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub item: usize,
    pub port: usize,
    pub other: usize,
    pub other_port: usize,
    /// Room that the flag of the run wants along it, steps.
    pub flag: i32,
}

/// Where everything stands that has been placed, by the number of the item.
pub(super) type Stands = BTreeMap<usize, GridPoint>;

/// Places batteries and grounding below the columns.
pub(super) fn hang(items: &[Item], links: &[Link], columns: &Columns, stands: &mut Stands) {
    for band in [Band::Store, Band::Earth] {
        let mut row: Vec<usize> =
            columns.below.iter().copied().filter(|it| is_of(items, *it, band)).collect();
        row.sort_by_key(|it| items.get(*it).map(|item| item.key));
        if band == Band::Store {
            level(items, links, &row, Row::Below, stands);
        } else {
            for it in row {
                earth(items, links, it, stands);
            }
        }
    }
}

fn is_of(items: &[Item], it: usize, band: Band) -> bool {
    items.get(it).is_some_and(|item| item.band == band)
}

/// Where an item wants to stand by its links to what is placed already: its left side, how far left among those
/// that want the same, and the highest it may stand.
fn wanted(items: &[Item], links: &[Link], it: usize, stands: &Stands) -> Option<(i32, i32, i32)> {
    links.iter().filter(|link| link.item == it).find_map(|link| {
        let other = items.get(link.other)?.ports.get(link.other_port)?;
        let there = stands.get(&link.other)?;
        let own = items.get(it)?.ports.get(link.port)?;
        let (x, y) = (there.x + other.at.x, there.y + other.at.y);
        // Of two that leave at one side, the lower one keeps to the inside.
        let (line, order) = match other.facing {
            Facing::Left => (x - OUT, y),
            Facing::Right => (x + OUT, -y),
            Facing::Up | Facing::Down => (x, 0),
        };
        let left = match own.facing {
            Facing::Left => line + 2 - own.at.x,
            Facing::Right => line - 2 - own.at.x,
            Facing::Up | Facing::Down => line - own.at.x,
        };
        let lead = if own.facing == Facing::Up { 2 } else { 1 };
        Some((left, order, y + lead - own.at.y))
    })
}

/// The lowest edge of what stands above a stretch of the sheet.
fn floor(items: &[Item], stands: &Stands, from: i32, to: i32) -> Option<i32> {
    let below = stands.iter().filter_map(|(it, at)| {
        let item = items.get(*it)?;
        (at.x < to && from < at.x + item.size.x).then_some(at.y + item.size.y)
    });
    below.max()
}

/// The highest edge of what stands below a stretch of the sheet.
fn ceiling(items: &[Item], stands: &Stands, from: i32, to: i32) -> Option<i32> {
    let above = stands.iter().filter_map(|(it, at)| {
        let item = items.get(*it)?;
        (at.x < to && from < at.x + item.size.x).then_some(at.y)
    });
    above.min()
}

/// On which side of the columns a row stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Row {
    Above,
    Below,
}

/// Puts things that stand above or below the columns into one row, so that their near edges are level.
pub(super) fn level(items: &[Item], links: &[Link], row: &[usize], side: Row, stands: &mut Stands) {
    let mut wishes: Vec<(Option<i32>, i32, usize)> = row
        .iter()
        .map(|it| {
            let wish = wanted(items, links, *it, stands);
            (wish.map(|wish| wish.0), wish.map_or(0, |wish| wish.1), *it)
        })
        .collect();
    wishes.sort_by_key(|(at, order, it)| (at.is_none(), at.unwrap_or(0), *order, *it));
    let width = |it: usize| items.get(it).map_or(0, |item| item.size.x);
    let lengths: Vec<Wish> =
        wishes.iter().map(|(at, _, it)| Wish { at: *at, weight: 1, length: width(*it) + DOWN }).collect();
    let lefts = spread(&lengths);
    let placed: Vec<(usize, i32)> = wishes.iter().map(|wish| wish.2).zip(lefts).collect();
    let stretches = placed.iter().map(|(it, left)| (left - DOWN, left + width(*it) + DOWN));
    let edge = match side {
        Row::Below => stretches.filter_map(|(from, to)| floor(items, stands, from, to)).max(),
        Row::Above => stretches.filter_map(|(from, to)| ceiling(items, stands, from, to)).min(),
    };
    for (it, left) in placed {
        let height = items.get(it).map_or(0, |item| item.size.y);
        let top = match side {
            Row::Below => edge.map_or(0, |edge| edge + DOWN),
            Row::Above => edge.map_or(0, |edge| edge - DOWN - height),
        };
        stands.insert(it, GridPoint::new(left, top));
    }
}

/// Grounding stands as high as it can near what it grounds.
fn earth(items: &[Item], links: &[Link], it: usize, stands: &mut Stands) {
    let width = items.get(it).map_or(0, |item| item.size.x);
    let wish = wanted(items, links, it, stands);
    let (left, highest) = wish.map_or((0, i32::MIN), |wish| (wish.0, wish.2));
    let top = |left: i32| {
        let floor = floor(items, stands, left - 1, left + width + 1).map_or(0, |floor| floor + 1);
        floor.max(highest)
    };
    let best = (0..=GIVE).map(|give| (top(left + give) + give, left + give)).min();
    let left = best.map_or(left, |best| best.1);
    let at = GridPoint::new(left, top(left));
    stands.insert(it, at);
}

/// Puts what no run lands on into rows below everything.
pub(super) fn shelve(items: &[Item], loose: &[usize], stands: &mut Stands) {
    let sides = stands.iter().filter_map(|(it, at)| Some((at, items.get(*it)?.size)));
    let (mut left, mut right, mut bottom) = (i32::MAX, i32::MIN, i32::MIN);
    for (at, size) in sides {
        left = left.min(at.x);
        right = right.max(at.x + size.x);
        bottom = bottom.max(at.y + size.y);
    }
    let start = if left == i32::MAX { 0 } else { left };
    let end = right.max(start.saturating_add(SHELF));
    let (mut x, mut y) = (start, if bottom == i32::MIN { 0 } else { bottom + DOWN });
    let mut lowest = y;
    for it in loose {
        let Some(item) = items.get(*it) else { continue };
        if x > start && x + item.size.x > end {
            (x, y) = (start, lowest + DOWN);
        }
        stands.insert(*it, GridPoint::new(x, y));
        x += item.size.x + DOWN;
        lowest = lowest.max(y + item.size.y);
    }
}
