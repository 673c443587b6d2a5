//! Which raw numbers may enter a formula?

/// `x` when it is finite.
pub(crate) fn finite(x: f64) -> Option<f64> {
    x.is_finite().then_some(x)
}

/// `x` when it is finite and above zero.
pub(crate) fn positive(x: f64) -> Option<f64> {
    (x.is_finite() && x > 0.0).then_some(x)
}

/// `x` when it is finite and not below zero.
pub(crate) fn non_negative(x: f64) -> Option<f64> {
    (x.is_finite() && x >= 0.0).then_some(x)
}

/// `x` from 0 to 1.
pub(crate) fn fraction(x: f64) -> Option<f64> {
    (0.0..=1.0).contains(&x).then_some(x)
}
