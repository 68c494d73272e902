//! A list of points that keeps up to four of them in place: nearly every line of a drawing is that short, and
//! a sheet has tens of thousands.

use crate::geometry::Point;
use std::ops::{Deref, DerefMut};

/// How many points are kept in place.
const FEW: usize = 4;

/// The points of a line or a figure. It is read as a slice.
#[derive(Clone, Debug)]
pub struct Points(Kept);

#[derive(Clone, Debug)]
enum Kept {
    Few { count: u8, points: [Point; FEW] },
    Many(Vec<Point>),
}

impl Points {
    /// Of a slice.
    pub fn of(points: &[Point]) -> Self {
        let mut few = [Point::default(); FEW];
        match (few.get_mut(..points.len()), u8::try_from(points.len())) {
            (Some(slots), Ok(count)) => {
                slots.copy_from_slice(points);
                Self(Kept::Few { count, points: few })
            }
            _ => Self(Kept::Many(points.to_vec())),
        }
    }
}

impl Default for Points {
    fn default() -> Self {
        Self::of(&[])
    }
}

impl Deref for Points {
    type Target = [Point];
    fn deref(&self) -> &[Point] {
        match &self.0 {
            Kept::Few { count, points } => points.get(..usize::from(*count)).unwrap_or_default(),
            Kept::Many(points) => points,
        }
    }
}

impl DerefMut for Points {
    fn deref_mut(&mut self) -> &mut [Point] {
        match &mut self.0 {
            Kept::Few { count, points } => points.get_mut(..usize::from(*count)).unwrap_or_default(),
            Kept::Many(points) => points,
        }
    }
}

impl PartialEq for Points {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl From<Vec<Point>> for Points {
    fn from(points: Vec<Point>) -> Self {
        if points.len() <= FEW { Self::of(&points) } else { Self(Kept::Many(points)) }
    }
}

impl<const N: usize> From<[Point; N]> for Points {
    fn from(points: [Point; N]) -> Self {
        Self::of(&points)
    }
}

impl FromIterator<Point> for Points {
    fn from_iter<I: IntoIterator<Item = Point>>(points: I) -> Self {
        let mut few = [Point::default(); FEW];
        let mut rest = points.into_iter();
        for (count, slot) in (0_u8..).zip(&mut few) {
            match rest.next() {
                Some(point) => *slot = point,
                None => return Self(Kept::Few { count, points: few }),
            }
        }
        match rest.next() {
            None => Self::of(&few),
            Some(next) => {
                let mut many = few.to_vec();
                many.push(next);
                many.extend(rest);
                Self(Kept::Many(many))
            }
        }
    }
}

impl<'a> IntoIterator for &'a Points {
    type Item = &'a Point;
    type IntoIter = std::slice::Iter<'a, Point>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_and_many_are_the_same_list() {
        for count in 0..9_u8 {
            let list: Vec<Point> = (0..count).map(|n| Point::new(f32::from(n), -1.0)).collect();
            let points: Points = list.iter().copied().collect();
            assert_eq!(*points, *list);
            assert_eq!(points, Points::of(&list));
            assert_eq!(points, Points::from(list));
        }
    }
}
