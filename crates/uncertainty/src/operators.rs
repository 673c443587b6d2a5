//! Arithmetic and elementary functions with their exact derivatives.

use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::Uncertain;

/// Implements an operator for every mix of owned, borrowed and plain numbers.
macro_rules! binary {
    ($trait:ident, $method:ident, |$a:ident, $b:ident| $value:expr, $da:expr, $db:expr) => {
        impl $trait<&Uncertain> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                let ($a, $b) = (self.value, other.value);
                Uncertain::combined($value, &[($da, self), ($db, other)])
            }
        }

        impl $trait<Uncertain> for Uncertain {
            type Output = Uncertain;
            fn $method(self, other: Uncertain) -> Uncertain {
                (&self).$method(&other)
            }
        }

        impl $trait<&Uncertain> for Uncertain {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                (&self).$method(other)
            }
        }

        impl $trait<Uncertain> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: Uncertain) -> Uncertain {
                self.$method(&other)
            }
        }

        impl $trait<f64> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: f64) -> Uncertain {
                self.$method(&Uncertain::exact(other))
            }
        }

        impl $trait<f64> for Uncertain {
            type Output = Uncertain;
            fn $method(self, other: f64) -> Uncertain {
                (&self).$method(&Uncertain::exact(other))
            }
        }

        impl $trait<&Uncertain> for f64 {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                (&Uncertain::exact(self)).$method(other)
            }
        }

        impl $trait<Uncertain> for f64 {
            type Output = Uncertain;
            fn $method(self, other: Uncertain) -> Uncertain {
                (&Uncertain::exact(self)).$method(&other)
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
        Uncertain::combined(-self.value, &[(-1.0, self)])
    }
}

impl Neg for Uncertain {
    type Output = Uncertain;
    fn neg(self) -> Uncertain {
        -&self
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
        numbers.fold(Uncertain::exact(0.0), |sum, number| sum + number)
    }
}

impl Uncertain {
    fn elementary(&self, value: f64, derivative: f64) -> Self {
        Self::combined(value, &[(derivative, self)])
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
        Self::combined(
            self.value.atan2(x.value),
            &[(x.value / square, self), (-self.value / square, x)],
        )
    }

    /// √(self² + other²); at the origin, where it has no slope, the slope is taken as one.
    pub fn hypot(&self, other: &Uncertain) -> Self {
        let length = self.value.hypot(other.value);
        if length == 0.0 {
            return Self::combined(0.0, &[(1.0, self), (1.0, other)]);
        }
        Self::combined(
            length,
            &[(self.value / length, self), (other.value / length, other)],
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
