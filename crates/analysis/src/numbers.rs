//! Constants and small conversions that every question shares.

/// Coverage factor of every ± that is read and printed: 95 % (JCGM 100:2008 §6.2.1, 6.3.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// An angle in degrees as radians.
pub(crate) fn degrees(angle: f64) -> f64 {
    angle.to_radians()
}
