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
