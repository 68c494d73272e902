//! Float functions that give the same bits on every machine. Everything that computes uses these and
//! not the methods of `f64`, whose last bit depends on the platform's mathematics library.

/// `base` raised to `exponent`.
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Square root.
pub fn sqrt(value: f64) -> f64 {
    libm::sqrt(value)
}

/// Cube root.
pub fn cbrt(value: f64) -> f64 {
    libm::cbrt(value)
}

/// Logarithm to base 10.
pub fn log10(value: f64) -> f64 {
    libm::log10(value)
}

/// Cosine of an angle in radians.
pub fn cos(radians: f64) -> f64 {
    libm::cos(radians)
}

/// Sine of an angle in radians.
pub fn sin(radians: f64) -> f64 {
    libm::sin(radians)
}

/// The angle in radians, 0 to π, of a cosine.
pub fn acos(cosine: f64) -> f64 {
    libm::acos(cosine)
}

/// Tangent of an angle in radians.
pub fn tan(radians: f64) -> f64 {
    libm::tan(radians)
}

/// The angle in radians, −π/2 to π/2, of a sine.
pub fn asin(sine: f64) -> f64 {
    libm::asin(sine)
}

/// The angle in radians, −π/2 to π/2, of a tangent.
pub fn atan(tangent: f64) -> f64 {
    libm::atan(tangent)
}

/// The angle in radians, −π to π, of the direction `(x, y)`.
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// e to the power of `exponent`.
pub fn exp(exponent: f64) -> f64 {
    libm::exp(exponent)
}

/// Natural logarithm.
pub fn ln(value: f64) -> f64 {
    libm::log(value)
}

/// The complementary error function.
pub fn erfc(value: f64) -> f64 {
    libm::erfc(value)
}
