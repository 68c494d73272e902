//! Which marks stand as one.

use super::Cluster;
use crate::window::areas::draft::sheet::look::Marked;
use egui::{Pos2, Rect, Vec2, vec2};
use lineside_core::units::text;
use std::collections::BTreeMap;

/// How far marks that are nearer than their size overlap before they stand as one, as a share of their size.
const OVERLAP: f32 = 0.85;
/// How often clusters are put together with those on which they lie; what then still touches is left so.
const ROUNDS: usize = 6;

/// Puts marks together that would lie on one another, directly or by way of others.
pub(super) fn gathered(marks: &[(Pos2, &Marked)], size: f32) -> Vec<Cluster> {
    let near = size * OVERLAP;
    let mut groups = Groups::new(marks.len());
    let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (index, (at, _)) in marks.iter().enumerate() {
        let (column, row) = cell(*at, near);
        for beside in (-1..=1).flat_map(|x| (-1..=1).map(move |y| (column + x, row + y))) {
            for other in cells.get(&beside).into_iter().flatten() {
                let there = marks.get(*other).map_or(*at, |(there, _)| *there);
                if (there.x - at.x).abs() < near && (there.y - at.y).abs() < near {
                    groups.join(index, *other);
                }
            }
        }
        cells.entry((column, row)).or_default().push(index);
    }
    let mut found = of_groups(marks, &mut groups, size);
    // A figure with its count is wider than the marks were.
    for _ in 0..ROUNDS {
        let overlapping = overlaps(&found);
        if overlapping.is_empty() {
            break;
        }
        for (a, b) in overlapping {
            groups.join(a, b);
        }
        found = of_groups(marks, &mut groups, size);
    }
    found.into_iter().map(|(_, cluster)| cluster).collect()
}

/// The clusters with the heads of their groups.
fn of_groups(marks: &[(Pos2, &Marked)], groups: &mut Groups, size: f32) -> Vec<(usize, Cluster)> {
    let mut together: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for index in 0..marks.len() {
        together.entry(groups.head(index)).or_default().push(index);
    }
    let pick = |(head, indices): (usize, Vec<usize>)| {
        let members: Vec<&(Pos2, &Marked)> = indices.iter().filter_map(|index| marks.get(*index)).collect();
        Some((head, cluster(&members, size)?))
    };
    together.into_iter().filter_map(pick).collect()
}

/// Heads of groups whose figures lie on one another. Two single marks may touch.
fn overlaps(found: &[(usize, Cluster)]) -> Vec<(usize, usize)> {
    let mut rects: Vec<(usize, Rect)> = found
        .iter()
        .map(|(head, cluster)| {
            let is_single = cluster.findings.len() < 2;
            let by = if is_single { cluster.size * (1.0 - OVERLAP) } else { 0.0 };
            (*head, cluster.rect().shrink(by))
        })
        .collect();
    rects.sort_by(|(_, a), (_, b)| a.left().total_cmp(&b.left()));
    let mut pairs = Vec::new();
    for (index, (head, rect)) in rects.iter().enumerate() {
        let after = rects.iter().skip(index + 1).take_while(|(_, other)| other.left() < rect.right());
        pairs.extend(after.filter(|(_, other)| rect.intersects(*other)).map(|(other, _)| (*head, *other)));
    }
    pairs
}

/// The square of a grid in which a point lies.
#[expect(clippy::cast_possible_truncation, reason = "the screen is small")]
fn cell(at: Pos2, side: f32) -> (i64, i64) {
    ((at.x / side).floor() as i64, (at.y / side).floor() as i64)
}

/// Room for the count beside a figure.
pub(super) fn count_width(findings: &[String], size: f32) -> f32 {
    let figures = text::count(findings.len()).chars().count();
    6.0 + 0.62 * size.max(11.0) * figures as f32
}

fn cluster(members: &[&(Pos2, &Marked)], size: f32) -> Option<Cluster> {
    let mut worst_first: Vec<&(Pos2, &Marked)> = members.to_vec();
    worst_first.sort_by_key(|(_, marked)| marked.severity);
    let (_, first) = worst_first.first()?;
    let count = members.len() as f32;
    let sum = members.iter().fold(Vec2::ZERO, |sum, (at, _)| sum + at.to_vec2());
    let findings: Vec<String> =
        worst_first.iter().flat_map(|(_, marked)| marked.findings.iter().cloned()).collect();
    // Figure and count together stand about the middle.
    let aside = if members.len() > 1 { count_width(&findings, size) / 2.0 } else { 0.0 };
    let center = (sum / count).to_pos2() - vec2(aside, 0.0);
    Some(Cluster { center, size, severity: first.severity, title: first.title.clone(), findings })
}

/// Which marks belong together: each points to another of its group, the head to itself.
struct Groups(Vec<usize>);

impl Groups {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }
    fn head(&mut self, of: usize) -> usize {
        let mut at = of;
        while let Some(next) = self.0.get(at).copied().filter(|next| *next != at) {
            // Pointing past the next keeps the ways short.
            let beyond = self.0.get(next).copied().unwrap_or(next);
            if let Some(slot) = self.0.get_mut(at) {
                *slot = beyond;
            }
            at = beyond;
        }
        at
    }
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.head(a), self.head(b));
        if let Some(slot) = self.0.get_mut(a.max(b)) {
            *slot = a.min(b);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;
    use lineside_rules::Severity;

    fn marked(severity: Severity, id: &str) -> Marked {
        Marked { severity, findings: vec![id.to_owned()], title: id.to_owned() }
    }

    #[test]
    fn marks_that_would_lie_on_one_another_stand_as_one_with_the_worst_first() {
        let (a, b) = (marked(Severity::Advice, "a"), marked(Severity::Danger, "b"));
        let (c, d) = (marked(Severity::Correction, "c"), marked(Severity::Advice, "d"));
        // Figures of 10 points stand as one within 8.5: a with b, b with c, and d alone.
        let marks =
            [(pos2(0.0, 0.0), &a), (pos2(8.0, 0.0), &b), (pos2(15.0, 3.0), &c), (pos2(30.0, 0.0), &d)];
        let found = gathered(&marks, 10.0);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].findings, ["b", "c", "a"]);
        assert_eq!((found[0].severity, found[0].title.as_str()), (Severity::Danger, "b"));
        // The middle of 0, 8 and 15, and of 0, 0 and 3; half of the room for one figure, 6 + 0.62 × 11, to the left.
        assert!((found[0].center - pos2(23.0 / 3.0 - 6.41, 1.0)).length() < 1e-4);
        assert_eq!(found[1].findings, ["d"]);
        assert_eq!(found[0].name(), "Danger: b, and 2 more");
        assert_eq!(found[1].name(), "Advice: d");
    }

    #[test]
    fn many_marks_are_gathered_once_each() {
        let all: Vec<Marked> =
            (0..600).map(|number| marked(Severity::Correction, &number.to_string())).collect();
        // A line of marks 4 points apart is one cluster; two lines far apart are two.
        let place = |number: usize| pos2((number % 300) as f32 * 4.0, (number / 300) as f32 * 100.0);
        let marks: Vec<(Pos2, &Marked)> =
            all.iter().enumerate().map(|(number, marked)| (place(number), marked)).collect();
        let found = gathered(&marks, 10.0);
        assert_eq!(found.len(), 2);
        assert_eq!(found.iter().map(|it| it.findings.len()).sum::<usize>(), 600);
    }
}
