//! Is a raw number one a formula may be given?

/// The number when it is finite and above zero.
pub fn positive(x: f64) -> Option<f64> {
    (x.is_finite() && x > 0.0).then_some(x)
}

/// The number when it is finite and not below zero.
pub fn non_negative(x: f64) -> Option<f64> {
    (x.is_finite() && x >= 0.0).then_some(x)
}
