//! A number between two bounds: what an unknown fact leaves open.

use std::iter::Sum;
use std::ops::{Add, Mul};

/// The least and the most that a quantity can be, in the unit that its owner names.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Span {
    /// The least.
    pub low: f64,
    /// The most; not below `low`.
    pub high: f64,
}

impl Span {
    /// Nothing.
    pub const ZERO: Self = Self::exact(0.0);

    /// Known to be this.
    pub const fn exact(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// Between two numbers, in either order.
    pub fn between(a: f64, b: f64) -> Self {
        Self {
            low: a.min(b),
            high: a.max(b),
        }
    }

    /// Halfway.
    pub fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// How far the bounds are apart.
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// The least span that holds both.
    pub fn hull(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }
}

impl Add for Span {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            low: self.low + other.low,
            high: self.high + other.high,
        }
    }
}

impl Mul<f64> for Span {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self::between(self.low * factor, self.high * factor)
    }
}

impl Sum for Span {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}
