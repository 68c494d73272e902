//! The columns of a layout: what power comes to later stands farther right; within a column, order and height
//! follow the runs, so that they go straight and cross little.

use super::flow::Band;
use super::item::{Item, Key};
use super::rows::{Link, Stands};
use super::spread::{Wish, spread};
use crate::geometry::Facing;
use lineside_core::circuit::{GridPoint, RunEnd};
use std::collections::{BTreeMap, BTreeSet};

/// Between one column and the next at least, steps.
const GAP: i32 = 2;
/// Height of the lane that a run keeps free through a column, steps.
const LANE: i32 = 2;
/// From a terminal at the top or the bottom of an item to the level line that goes on from it, steps.
const TURN: i32 = 4;
/// Sweeps over all columns; more of them change little.
const SWEEPS: usize = 5;

/// A run that leaves the layout at one of its sides.
#[derive(Clone, Copy, Debug)]
pub(super) struct Exit {
    pub item: usize,
    pub port: usize,
    /// On which side it leaves.
    pub side: Facing,
    /// To what it leads.
    pub to: RunEnd,
}

/// The columns.
#[derive(Debug, Default)]
pub(super) struct Columns {
    /// Items that stand below the columns, not in them.
    pub below: Vec<usize>,
    /// Items that stand above the columns.
    pub above: Vec<usize>,
    vertices: Vec<Vertex>,
    /// The vertices of each column, from the top.
    of_column: Vec<Vec<usize>>,
    /// Where each exit leaves: the vertex and the line within it.
    leaving: Vec<Option<(usize, i32)>>,
}

/// An item in a column, or the lane of a run that passes through one.
#[derive(Debug)]
struct Vertex {
    item: Option<usize>,
    key: Key,
    band: Band,
    height: i32,
    column: usize,
    y: i32,
    /// Where it stood before as seen from what it leads to outside, which decides the order of what nothing else
    /// does.
    hint: Option<i32>,
    ties: Vec<Tie>,
}

impl Vertex {
    /// How much it matters that it is level with what it is tied to: the way from the array to the loads first.
    fn weight(&self) -> i32 {
        match (self.band, self.item) {
            (Band::Main, Some(_)) => 3,
            (_, Some(_)) => 2,
            (_, None) => 1,
        }
    }
}

/// What holds a vertex level with another: lines of the two, from their tops.
#[derive(Clone, Copy, Debug)]
struct Tie {
    other: usize,
    own_line: i32,
    other_line: i32,
}

/// The line on which a run goes on from a port: beyond the item where the port looks up or down.
fn line(item: &Item, port: usize) -> i32 {
    match item.ports.get(port) {
        None => 0,
        Some(port) => match port.facing {
            Facing::Left | Facing::Right => port.at.y,
            Facing::Up => -TURN / 2,
            Facing::Down => item.size.y + TURN / 2,
        },
    }
}

impl Columns {
    /// Sorts items into columns and gives each its height on the sheet.
    pub(super) fn new(items: &[Item], links: &[Link], exits: &[Exit]) -> Self {
        let joined: BTreeSet<usize> =
            links.iter().map(|link| link.item).chain(exits.iter().map(|exit| exit.item)).collect();
        let linked = |it: usize| joined.contains(&it);
        let is_row = |item: &Item| matches!(item.band, Band::Store | Band::Earth);
        let mut main: Vec<usize> = Vec::new();
        let mut columns = Self::default();
        for (it, item) in items.iter().enumerate() {
            if is_row(item) {
                if linked(it) {
                    columns.below.push(it);
                }
            } else if linked(it) && item.is_supply() {
                columns.above.push(it);
            } else if linked(it) {
                main.push(it);
            }
        }
        main.sort_by_key(|it| items.get(*it).map(|item| item.key));
        let ranks = ranked(&main, links);
        for it in &main {
            let Some(item) = items.get(*it) else { continue };
            columns.vertices.push(Vertex {
                item: Some(*it),
                key: item.key,
                band: item.band,
                height: item.size.y,
                column: ranks.get(it).copied().unwrap_or(0),
                y: 0,
                hint: item.hint,
                ties: Vec::new(),
            });
        }
        columns.tie(items, links, &main);
        columns.lead_out(items, exits, &main);
        let count = columns.vertices.iter().map(|vertex| vertex.column + 1).max().unwrap_or(0);
        columns.of_column = vec![Vec::new(); count];
        for (number, vertex) in columns.vertices.iter().enumerate() {
            if let Some(column) = columns.of_column.get_mut(vertex.column) {
                column.push(number);
            }
        }
        columns.sweep();
        columns
    }

    /// Ties items that a run joins, with a lane through every column between them.
    fn tie(&mut self, items: &[Item], links: &[Link], main: &[usize]) {
        let slots: BTreeMap<usize, usize> = main.iter().enumerate().map(|(slot, it)| (*it, slot)).collect();
        for link in links {
            let (Some(from), Some(to)) = (slots.get(&link.item), slots.get(&link.other)) else { continue };
            let (Some(item), Some(other)) = (items.get(link.item), items.get(link.other)) else { continue };
            let columns = [from, to].map(|slot| self.vertices.get(*slot).map_or(0, |it| it.column));
            let [start, end] = columns;
            // Each run stands in the list once for either end.
            if start > end || start == end && from > to {
                continue;
            }
            let last = self.lanes(*from, line(item, link.port), start + 1..end, item.key, item.band);
            self.join(last, (*to, line(other, link.other_port)));
        }
    }

    /// Adds a lane in each of some columns, from left to right or the other way, and gives back the last.
    fn lanes(
        &mut self,
        from: usize,
        line: i32,
        columns: impl IntoIterator<Item = usize>,
        key: Key,
        band: Band,
    ) -> (usize, i32) {
        let mut last = (from, line);
        for column in columns.into_iter().take(MOST_COLUMNS) {
            let lane = self.vertices.len();
            self.vertices.push(Vertex {
                item: None,
                key,
                band,
                height: LANE,
                column,
                y: 0,
                hint: None,
                ties: Vec::new(),
            });
            self.join(last, (lane, LANE / 2));
            last = (lane, LANE / 2);
        }
        last
    }

    fn join(&mut self, one: (usize, i32), other: (usize, i32)) {
        for (own, there) in [(one, other), (other, one)] {
            if let Some(vertex) = self.vertices.get_mut(own.0) {
                vertex.ties.push(Tie { other: there.0, own_line: own.1, other_line: there.1 });
            }
        }
    }

    /// Keeps a lane free to the side for every run that leaves the layout.
    fn lead_out(&mut self, items: &[Item], exits: &[Exit], main: &[usize]) {
        let count = self.vertices.iter().map(|vertex| vertex.column + 1).max().unwrap_or(0);
        for exit in exits {
            let slot = main.iter().position(|it| *it == exit.item);
            let found = slot.filter(|_| exit.side.is_level()).and_then(|slot| {
                let item = items.get(exit.item)?;
                let column = self.vertices.get(slot)?.column;
                let start = line(item, exit.port);
                Some(if exit.side == Facing::Left {
                    self.lanes(slot, start, (0..column).rev(), item.key, item.band)
                } else {
                    self.lanes(slot, start, column + 1..count, item.key, item.band)
                })
            });
            self.leaving.push(found);
        }
    }

    /// Finds the heights: outwards from the item with the most runs, then to and fro, and outwards again, so that
    /// what hangs on one thing only is level with it.
    fn sweep(&mut self) {
        let root = self.vertices.iter().enumerate().max_by(|(_, one), (_, other)| {
            one.ties.len().cmp(&other.ties.len()).then(other.key.cmp(&one.key))
        });
        let Some(start) = root.map(|(_, root)| root.column) else { return };
        let count = self.of_column.len();
        for sweep in 0..SWEEPS {
            let inward = sweep % 2 == 1;
            let mut order: Vec<(usize, Look)> = vec![(start, Look::Both)];
            if sweep == 0 {
                order = vec![(start, Look::Nowhere)];
            }
            order.extend((start + 1..count).map(|column| (column, Look::Left)));
            order.extend((0..start).rev().map(|column| (column, Look::Right)));
            if inward {
                order.reverse();
                for (_, look) in &mut order {
                    *look = Look::Both;
                }
            }
            for (column, look) in order {
                self.level(column, look);
            }
        }
    }

    /// Sorts one column and gives its vertices their heights, by what they are tied to.
    fn level(&mut self, column: usize, look: Look) {
        let Some(mut members) = self.of_column.get(column).cloned() else { return };
        let mut wishes: BTreeMap<usize, Option<i32>> = BTreeMap::new();
        for member in &members {
            wishes.insert(*member, self.wish(*member, look));
        }
        members.sort_by_key(|member| {
            let wish = wishes.get(member).copied().flatten();
            let vertex = self.vertices.get(*member);
            let middle = wish.map(|at| 2 * at + vertex.map_or(0, |vertex| vertex.height));
            (vertex.map(|it| it.band), middle.is_none(), middle, vertex.map(|it| (it.hint, it.key)), *member)
        });
        let lengths: Vec<Wish> = members
            .iter()
            .map(|member| Wish {
                at: wishes.get(member).copied().flatten(),
                weight: self.vertices.get(*member).map_or(1, Vertex::weight),
                length: self.vertices.get(*member).map_or(0, |vertex| vertex.height),
            })
            .collect();
        for (member, y) in members.iter().zip(spread(&lengths)) {
            if let Some(vertex) = self.vertices.get_mut(*member) {
                vertex.y = y;
            }
        }
        if let Some(column) = self.of_column.get_mut(column) {
            *column = members;
        }
    }

    /// Where a vertex wants to begin: the middle one of what its ties on a side ask for, else of all.
    fn wish(&self, vertex: usize, look: Look) -> Option<i32> {
        let vertex = self.vertices.get(vertex)?;
        let asked = |seen: &dyn Fn(usize) -> bool| {
            let mut asked: Vec<i32> = vertex
                .ties
                .iter()
                .filter_map(|tie| {
                    let other = self.vertices.get(tie.other)?;
                    seen(other.column).then_some(other.y + tie.other_line - tie.own_line)
                })
                .collect();
            asked.sort_unstable();
            asked.get(asked.len().saturating_sub(1) / 2).copied()
        };
        match look {
            Look::Nowhere => None,
            Look::Both => asked(&|column| column != vertex.column),
            Look::Left => {
                asked(&|column| column < vertex.column).or(Some(vertex.y).filter(|_| !vertex.ties.is_empty()))
            }
            Look::Right => {
                asked(&|column| column > vertex.column).or(Some(vertex.y).filter(|_| !vertex.ties.is_empty()))
            }
        }
    }

    /// The items' places, with room between columns for runs that bend there and for flags; and the heights at
    /// which the exits leave.
    pub(super) fn stands(&self, items: &[Item], links: &[Link]) -> Stands {
        let width = |column: &Vec<usize>| {
            let items = column.iter().filter_map(|it| items.get(self.vertices.get(*it)?.item?));
            items.map(|item| item.size.x).max().unwrap_or(0)
        };
        let mut stands = Stands::new();
        let mut x = 0;
        for (number, column) in self.of_column.iter().enumerate() {
            for vertex in column.iter().filter_map(|it| self.vertices.get(*it)) {
                if let Some(it) = vertex.item {
                    stands.insert(it, GridPoint::new(x, vertex.y));
                }
            }
            x += width(column) + self.corridor(number, items, links);
        }
        stands
    }

    /// Room behind a column, steps: a lane for each run that bends there, and length enough for flags.
    fn corridor(&self, column: usize, items: &[Item], links: &[Link]) -> i32 {
        let columns: BTreeMap<usize, usize> =
            self.vertices.iter().filter_map(|vertex| Some((vertex.item?, vertex.column))).collect();
        let mut lanes = 0;
        for vertex in self.of_column.get(column).into_iter().flatten().filter_map(|it| self.vertices.get(*it))
        {
            for tie in &vertex.ties {
                let other = self.vertices.get(tie.other);
                let bends = other.is_some_and(|other| {
                    other.column > column && other.y + tie.other_line != vertex.y + tie.own_line
                });
                lanes += i32::from(bends);
            }
        }
        let mut flag = 0;
        for link in links {
            let (from, to) = (columns.get(&link.item), columns.get(&link.other));
            let facing =
                items.get(link.item).and_then(|item| item.ports.get(link.port)).map(|port| port.facing);
            match (from, to) {
                (Some(from), Some(to)) if *from <= column && *to > column => flag = flag.max(link.flag),
                // A run to what stands below goes down beside its item.
                (Some(from), None) if facing == Some(Facing::Right) && *from == column => lanes += 1,
                (Some(from), None) if facing == Some(Facing::Left) && *from == column + 1 => lanes += 1,
                _ => {}
            }
        }
        (GAP + 2 * lanes.min(MOST_LANES)).max(flag)
    }

    /// The height at which an exit leaves, by its number.
    pub(super) fn leaving(&self, exit: usize) -> Option<i32> {
        let (vertex, line) = (*self.leaving.get(exit)?)?;
        Some(self.vertices.get(vertex)?.y + line)
    }
}

/// Lanes beyond which a corridor grows no wider.
const MOST_LANES: i32 = 12;

/// Columns through which a lane is kept free at most.
const MOST_COLUMNS: usize = 48;

/// On which side a column looks for what it is to be level with.
#[derive(Clone, Copy)]
enum Look {
    Nowhere,
    Left,
    Right,
    Both,
}

/// The column of each item: one behind the last that feeds it; what nothing feeds stands just before what it
/// feeds.
fn ranked(main: &[usize], links: &[Link]) -> BTreeMap<usize, usize> {
    let order: BTreeMap<usize, usize> = main.iter().enumerate().map(|(slot, it)| (*it, slot)).collect();
    let mut before: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut behind: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for link in links {
        let (Some(from), Some(to)) = (order.get(&link.item), order.get(&link.other)) else { continue };
        if from < to {
            before.entry(link.other).or_default().push(link.item);
            behind.entry(link.item).or_default().push(link.other);
        }
    }
    let mut ranks: BTreeMap<usize, usize> = BTreeMap::new();
    for it in main {
        let fed = before.get(it).into_iter().flatten().filter_map(|from| ranks.get(from)).max();
        ranks.insert(*it, fed.map_or(0, |rank| rank + 1));
    }
    for it in main.iter().rev().filter(|it| !before.contains_key(it)) {
        let next = behind.get(it).into_iter().flatten().filter_map(|to| ranks.get(to)).min();
        if let Some(next) = next.copied() {
            ranks.insert(*it, next.saturating_sub(1));
        }
    }
    ranks
}
