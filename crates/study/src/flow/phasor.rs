//! What stands at a point of a circuit: one number in DC, a phasor in AC. The solver is written once for both.

/// A voltage or a current.
pub(super) trait Phasor: Copy + Default {
    /// How a current changes with a voltage.
    type Slope: Copy + Default;

    /// The sum.
    fn plus(self, other: Self) -> Self;
    /// The difference.
    fn minus(self, other: Self) -> Self;
    /// So many times as much.
    fn times(self, factor: f64) -> Self;
    /// Greatest part, without its sign.
    fn size(self) -> f64;
    /// Watts that a current carries at a voltage.
    fn watts(volts: Self, amps: Self) -> f64;

    /// The slope of a plain conductance.
    fn siemens(siemens: f64) -> Self::Slope;
    /// The sum of two slopes.
    fn slopes(a: Self::Slope, b: Self::Slope) -> Self::Slope;
    /// The slope the other way.
    fn against(a: Self::Slope) -> Self::Slope;
    /// One after the other.
    fn product(a: Self::Slope, b: Self::Slope) -> Self::Slope;
    /// What undoes it; `None` when nothing does.
    fn inverse(a: Self::Slope) -> Option<Self::Slope>;
    /// Whether it drives a current along, as a conductance does, whatever the voltage.
    fn is_positive(a: Self::Slope) -> bool;
    /// Greatest part of it, without its sign.
    fn steepness(a: Self::Slope) -> f64;
    /// The slope at work.
    fn apply(slope: Self::Slope, to: Self) -> Self;
}

impl Phasor for f64 {
    type Slope = f64;

    fn plus(self, other: Self) -> Self {
        self + other
    }
    fn minus(self, other: Self) -> Self {
        self - other
    }
    fn times(self, factor: f64) -> Self {
        self * factor
    }
    fn size(self) -> f64 {
        self.abs()
    }
    fn watts(volts: Self, amps: Self) -> f64 {
        volts * amps
    }
    fn siemens(siemens: f64) -> f64 {
        siemens
    }
    fn slopes(a: f64, b: f64) -> f64 {
        a + b
    }
    fn against(a: f64) -> f64 {
        -a
    }
    fn product(a: f64, b: f64) -> f64 {
        a * b
    }
    fn inverse(a: f64) -> Option<f64> {
        let inverse = 1.0 / a;
        (inverse.is_finite() && inverse != 0.0).then_some(inverse)
    }
    fn is_positive(a: f64) -> bool {
        a > 0.0
    }
    fn steepness(a: f64) -> f64 {
        a.abs()
    }
    fn apply(slope: f64, to: Self) -> Self {
        slope * to
    }
}

/// An AC voltage or current: the part in phase with the source, and the part a quarter turn ahead.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Ac {
    /// In phase.
    pub along: f64,
    /// A quarter turn ahead.
    pub across: f64,
}

/// How both parts of an AC current change with both parts of a voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct AcSlope {
    /// Along by along.
    pub aa: f64,
    /// Along by across.
    pub ac: f64,
    /// Across by along.
    pub ca: f64,
    /// Across by across.
    pub cc: f64,
}

impl Ac {
    /// In phase with the source.
    pub(super) const fn in_phase(value: f64) -> Self {
        Self { along: value, across: 0.0 }
    }
    /// Effective value.
    pub(super) fn magnitude(self) -> f64 {
        hypotenuse(self.along, self.across)
    }
    /// Volt-amperes reactive that a current carries at a voltage; lagging counts as positive.
    pub(super) fn reactive(volts: Self, amps: Self) -> f64 {
        volts.across * amps.along - volts.along * amps.across
    }
}

fn hypotenuse(a: f64, b: f64) -> f64 {
    lineside_core::math::sqrt(a * a + b * b)
}

impl Phasor for Ac {
    type Slope = AcSlope;

    fn plus(self, other: Self) -> Self {
        Self { along: self.along + other.along, across: self.across + other.across }
    }
    fn minus(self, other: Self) -> Self {
        Self { along: self.along - other.along, across: self.across - other.across }
    }
    fn times(self, factor: f64) -> Self {
        Self { along: self.along * factor, across: self.across * factor }
    }
    fn size(self) -> f64 {
        self.along.abs().max(self.across.abs())
    }
    fn watts(volts: Self, amps: Self) -> f64 {
        volts.along * amps.along + volts.across * amps.across
    }
    fn siemens(siemens: f64) -> AcSlope {
        AcSlope { aa: siemens, ac: 0.0, ca: 0.0, cc: siemens }
    }
    fn slopes(a: AcSlope, b: AcSlope) -> AcSlope {
        AcSlope { aa: a.aa + b.aa, ac: a.ac + b.ac, ca: a.ca + b.ca, cc: a.cc + b.cc }
    }
    fn against(a: AcSlope) -> AcSlope {
        AcSlope { aa: -a.aa, ac: -a.ac, ca: -a.ca, cc: -a.cc }
    }
    fn product(a: AcSlope, b: AcSlope) -> AcSlope {
        AcSlope {
            aa: a.aa * b.aa + a.ac * b.ca,
            ac: a.aa * b.ac + a.ac * b.cc,
            ca: a.ca * b.aa + a.cc * b.ca,
            cc: a.ca * b.ac + a.cc * b.cc,
        }
    }
    fn inverse(a: AcSlope) -> Option<AcSlope> {
        let scale = 1.0 / (a.aa * a.cc - a.ac * a.ca);
        (scale.is_finite() && scale != 0.0).then_some(AcSlope {
            aa: a.cc * scale,
            ac: -a.ac * scale,
            ca: -a.ca * scale,
            cc: a.aa * scale,
        })
    }
    fn is_positive(a: AcSlope) -> bool {
        a.aa > 0.0 && a.aa * a.cc > a.ac * a.ca
    }
    fn steepness(a: AcSlope) -> f64 {
        a.aa.abs().max(a.ac.abs()).max(a.ca.abs()).max(a.cc.abs())
    }
    fn apply(slope: AcSlope, to: Self) -> Self {
        Self {
            along: slope.aa * to.along + slope.ac * to.across,
            across: slope.ca * to.along + slope.cc * to.across,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_inverse_undoes() {
        let slope = AcSlope { aa: 3.0, ac: 1.0, ca: -2.0, cc: 4.0 };
        let undone = Ac::product(slope, Ac::inverse(slope).unwrap());
        // Determinant 3 × 4 + 2 × 1 = 14.
        for (found, expected) in [(undone.aa, 1.0), (undone.ac, 0.0), (undone.ca, 0.0), (undone.cc, 1.0)] {
            assert!((found - expected).abs() < 1e-15);
        }
        assert_eq!(Ac::inverse(AcSlope { aa: 1.0, ac: 2.0, ca: 2.0, cc: 4.0 }), None);
        assert_eq!(f64::inverse(0.0), None);
    }

    #[test]
    fn watts_and_lagging_volt_amperes() {
        // 10 A that lag 30° behind 120 V: 120 × 10 × cos 30° = 1039.23 W and 120 × 10 × sin 30° = 600 var.
        let volts = Ac::in_phase(120.0);
        let amps = Ac { along: 8.660_254_037_844_386, across: -5.0 };
        assert!((Ac::watts(volts, amps) - 1_039.230_484_541_326_4).abs() < 1e-9);
        assert!((Ac::reactive(volts, amps) - 600.0).abs() < 1e-12);
        assert!((amps.magnitude() - 10.0).abs() < 1e-12);
    }
}
