//! A curve of straight lines, level beyond its ends, and its integral from nothing.

use lineside_core::kinds::field::CurvePoint;

#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    from: f64,
    value: f64,
    slope: f64,
    /// Integral from 0 to `from`.
    before: f64,
}

/// Straight lines between points.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Curve {
    pieces: Vec<Piece>,
    /// For each equal part between the ends of the curve the piece in which the part begins.
    parts: [u8; PARTS],
    start: f64,
    parts_per_unit: f64,
}

const PARTS: usize = 64;

/// A curve at one place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub value: f64,
    pub slope: f64,
    /// From 0, for curves that begin there.
    pub integral: f64,
    /// Where the straight piece begins.
    pub from: f64,
}

impl Curve {
    /// From points in rising order; `along` and `across` scale them.
    pub(super) fn new(points: &[CurvePoint], along: f64, across: f64) -> Self {
        let points: Vec<(f64, f64)> = points.iter().map(|p| (p.x * along, p.y * across)).collect();
        let (first, last) = (points.first().copied(), points.last().copied());
        let (first, last) = first.zip(last).unwrap_or_default();
        let mut pieces = Vec::with_capacity(points.len() + 1);
        let mut before = 0.0;
        if first.0 > 0.0 {
            pieces.push(Piece { from: 0.0, value: first.1, slope: 0.0, before });
            before = first.0 * first.1;
        }
        for pair in points.windows(2) {
            let [a, b] = pair else { continue };
            let slope = (b.1 - a.1) / (b.0 - a.0);
            pieces.push(Piece { from: a.0, value: a.1, slope, before });
            before += (b.0 - a.0) * (a.1 + b.1) / 2.0;
        }
        pieces.push(Piece { from: last.0, value: last.1, slope: 0.0, before });
        let start = pieces.first().map_or(0.0, |piece| piece.from);
        let parts_per_unit = if last.0 > start { PARTS as f64 / (last.0 - start) } else { 0.0 };
        let parts = std::array::from_fn(|part| {
            let begins = start + part as f64 / parts_per_unit.max(f64::MIN_POSITIVE);
            let at = pieces.iter().rposition(|piece| piece.from <= begins).unwrap_or(0);
            u8::try_from(at).unwrap_or(0)
        });
        Self { pieces, parts, start, parts_per_unit }
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a cast holds at its bounds")]
    fn piece(&self, x: f64) -> &Piece {
        const NOTHING: &Piece = &Piece { from: 0.0, value: 0.0, slope: 0.0, before: 0.0 };
        let part = ((x - self.start) * self.parts_per_unit) as usize;
        let first = self.parts.get(part.min(PARTS - 1)).copied().unwrap_or(0);
        let mut found = NOTHING;
        for piece in self.pieces.get(usize::from(first)..).unwrap_or_default() {
            if piece.from > x {
                break;
            }
            found = piece;
        }
        found
    }

    /// Value at `x`.
    pub(super) fn at(&self, x: f64) -> f64 {
        match self.pieces.first() {
            Some(first) if x <= first.from => first.value,
            _ => {
                let piece = self.piece(x);
                piece.value + piece.slope * (x - piece.from)
            }
        }
    }

    /// Value, slope and integral at `x`, for curves that begin at 0.
    pub(super) fn place(&self, x: f64) -> Place {
        let piece = self.piece(x.max(0.0));
        let along = x - piece.from;
        let rise = piece.slope * along;
        Place {
            value: piece.value + rise,
            slope: piece.slope,
            integral: piece.before + along * (piece.value + 0.5 * rise),
            from: piece.from,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_and_integral() {
        let points = [(0.0, 2.0), (50.0, 4.0), (100.0, 4.0)].map(|(x, y)| CurvePoint { x, y });
        let curve = Curve::new(&points, 0.01, 1.0);
        assert_eq!((curve.at(-1.0), curve.at(0.25), curve.at(2.0)), (2.0, 3.0, 4.0));
        // To 0.5: 0.5 × 3 = 1.5; to 0.75: 1 more.
        assert!((curve.place(0.5).integral - 1.5).abs() < 1e-15);
        assert!((curve.place(0.75).integral - 2.5).abs() < 1e-15);
        assert!((curve.place(0.25).integral - 0.625).abs() < 1e-15);
        let late = Curve::new(&[CurvePoint { x: 20.0, y: 5.0 }], 0.01, 1.0);
        assert!((late.place(0.5).integral - 2.5).abs() < 1e-15);
        let cold = [(-20.0, 40.0), (25.0, 100.0)].map(|(x, y)| CurvePoint { x, y });
        let cold = Curve::new(&cold, 1.0, 0.01);
        assert!((cold.at(-20.0) - 0.4).abs() < 1e-15 && (cold.at(2.5) - 0.7).abs() < 1e-15);
        assert!((cold.at(-40.0) - 0.4).abs() < 1e-15);
    }
}
