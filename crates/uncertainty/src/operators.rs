//! Arithmetic and elementary functions with their exact derivatives.

use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::Uncertain;
use crate::budget::Budget;

/// Implements an operator for every mix of owned, borrowed and plain numbers. A plain
/// number shares no source, so an owned budget is weighted where it stands.
macro_rules! binary {
    ($trait:ident, $method:ident, |$a:ident, $b:ident| $value:expr, $da:expr, $db:expr) => {
        impl $trait<&Uncertain> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                let ($a, $b) = (self.value, other.value);
                Uncertain::of_two($value, ($da, self), ($db, other))
            }
        }

        impl $trait<Uncertain> for Uncertain {
            type Output = Uncertain;
            fn $method(self, other: Uncertain) -> Uncertain {
                if other.budget.is_empty() {
                    return self.$method(other.value);
                }
                if self.budget.is_empty() {
                    return self.value.$method(other);
                }
                (&self).$method(&other)
            }
        }

        impl $trait<&Uncertain> for Uncertain {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                if other.budget.is_empty() {
                    return self.$method(other.value);
                }
                (&self).$method(other)
            }
        }

        impl $trait<Uncertain> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: Uncertain) -> Uncertain {
                if self.budget.is_empty() {
                    return self.value.$method(other);
                }
                self.$method(&other)
            }
        }

        impl $trait<f64> for &Uncertain {
            type Output = Uncertain;
            #[allow(unused_variables, reason = "a slope may need only one of the two")]
            fn $method(self, other: f64) -> Uncertain {
                let ($a, $b) = (self.value, other);
                self.elementary($value, $da)
            }
        }

        impl $trait<f64> for Uncertain {
            type Output = Uncertain;
            #[allow(unused_variables, reason = "a slope may need only one of the two")]
            fn $method(self, other: f64) -> Uncertain {
                let ($a, $b) = (self.value, other);
                self.weighted($value, $da)
            }
        }

        impl $trait<&Uncertain> for f64 {
            type Output = Uncertain;
            #[allow(unused_variables, reason = "a slope may need only one of the two")]
            fn $method(self, other: &Uncertain) -> Uncertain {
                let ($a, $b) = (self, other.value);
                other.elementary($value, $db)
            }
        }

        impl $trait<Uncertain> for f64 {
            type Output = Uncertain;
            #[allow(unused_variables, reason = "a slope may need only one of the two")]
            fn $method(self, other: Uncertain) -> Uncertain {
                let ($a, $b) = (self, other.value);
                other.weighted($value, $db)
            }
        }
    };
}

binary!(Add, add, |a, b| a + b, 1.0, 1.0);
binary!(Sub, sub, |a, b| a - b, 1.0, -1.0);
binary!(Mul, mul, |a, b| a * b, b, a);
binary!(Div, div, |a, b| a / b, 1.0 / b, -a / (b * b));

impl Neg for &Uncertain {
    type Output = Uncertain;
    fn neg(self) -> Uncertain {
        self.elementary(-self.value, -1.0)
    }
}

impl Neg for Uncertain {
    type Output = Uncertain;
    fn neg(self) -> Uncertain {
        let value = -self.value;
        self.weighted(value, -1.0)
    }
}

impl PartialOrd for Uncertain {
    /// Compares best estimates.
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        self.value.partial_cmp(&other.value)
    }
}

impl std::iter::Sum for Uncertain {
    fn sum<I: Iterator<Item = Uncertain>>(numbers: I) -> Uncertain {
        let numbers: Vec<Uncertain> = numbers.collect();
        let value = numbers.iter().fold(0.0, |sum, number| sum + number.value);
        let parts: Vec<(f64, &Uncertain)> = numbers.iter().map(|number| (1.0, number)).collect();
        Uncertain::combined(value, &parts)
    }
}

impl Uncertain {
    fn elementary(&self, value: f64, derivative: f64) -> Self {
        Self {
            value,
            budget: self.budget.weighted(derivative),
        }
    }

    /// As [`Uncertain::elementary`] in the same budget.
    fn weighted(self, value: f64, derivative: f64) -> Self {
        Self {
            value,
            budget: self.budget.into_weighted(derivative),
        }
    }

    fn of_two(value: f64, left: (f64, &Self), right: (f64, &Self)) -> Self {
        let ((a, one), (b, other)) = (left, right);
        if a == 0.0 || one.budget.is_empty() {
            return other.elementary(value, b);
        }
        if b == 0.0 || other.budget.is_empty() {
            return one.elementary(value, a);
        }
        Self {
            value,
            budget: Budget::sum(a, &one.budget, b, &other.budget),
        }
    }

    /// Square root.
    pub fn sqrt(&self) -> Self {
        let root = self.value.sqrt();
        self.elementary(root, 0.5 / root)
    }

    /// Square.
    pub fn square(&self) -> Self {
        self * self
    }

    /// Whole power.
    pub fn powi(&self, exponent: i32) -> Self {
        self.elementary(
            self.value.powi(exponent),
            f64::from(exponent) * self.value.powi(exponent - 1),
        )
    }

    /// Real power of a positive number.
    pub fn powf(&self, exponent: f64) -> Self {
        self.elementary(
            self.value.powf(exponent),
            exponent * self.value.powf(exponent - 1.0),
        )
    }

    /// e to this power.
    pub fn exp(&self) -> Self {
        self.elementary(self.value.exp(), self.value.exp())
    }

    /// Natural logarithm.
    pub fn ln(&self) -> Self {
        self.elementary(self.value.ln(), 1.0 / self.value)
    }

    /// Logarithm to base ten.
    pub fn log10(&self) -> Self {
        self.elementary(
            self.value.log10(),
            1.0 / (self.value * std::f64::consts::LN_10),
        )
    }

    /// Sine of an angle in radians.
    pub fn sin(&self) -> Self {
        self.elementary(self.value.sin(), self.value.cos())
    }

    /// Cosine of an angle in radians.
    pub fn cos(&self) -> Self {
        self.elementary(self.value.cos(), -self.value.sin())
    }

    /// Tangent of an angle in radians.
    pub fn tan(&self) -> Self {
        self.elementary(self.value.tan(), 1.0 + self.value.tan().powi(2))
    }

    /// Arc sine, rad; the argument is held within [−1, 1].
    pub fn asin(&self) -> Self {
        let x = self.value.clamp(-1.0, 1.0);
        self.elementary(x.asin(), 1.0 / (1.0 - x * x).sqrt().max(1e-9))
    }

    /// Arc cosine, rad; the argument is held within [−1, 1].
    pub fn acos(&self) -> Self {
        let x = self.value.clamp(-1.0, 1.0);
        self.elementary(x.acos(), -1.0 / (1.0 - x * x).sqrt().max(1e-9))
    }

    /// Arc tangent, rad.
    pub fn atan(&self) -> Self {
        self.elementary(self.value.atan(), 1.0 / (1.0 + self.value * self.value))
    }

    /// Angle of the point (x, self) from the x axis, rad.
    pub fn atan2(&self, x: &Uncertain) -> Self {
        let square = (self.value * self.value + x.value * x.value).max(f64::MIN_POSITIVE);
        Self::of_two(
            self.value.atan2(x.value),
            (x.value / square, self),
            (-self.value / square, x),
        )
    }

    /// √(self² + other²); at the origin, where it has no slope, the slope is taken as one.
    pub fn hypot(&self, other: &Uncertain) -> Self {
        let length = self.value.hypot(other.value);
        if length == 0.0 {
            return Self::of_two(0.0, (1.0, self), (1.0, other));
        }
        Self::of_two(
            length,
            (self.value / length, self),
            (other.value / length, other),
        )
    }

    /// Magnitude.
    pub fn abs(&self) -> Self {
        if self.value < 0.0 {
            -self
        } else {
            self.clone()
        }
    }

    /// The smaller by best estimate, with its own budget.
    pub fn min(&self, other: &Uncertain) -> Self {
        if other.value < self.value {
            other.clone()
        } else {
            self.clone()
        }
    }

    /// The larger by best estimate, with its own budget.
    pub fn max(&self, other: &Uncertain) -> Self {
        if other.value > self.value {
            other.clone()
        } else {
            self.clone()
        }
    }
}
