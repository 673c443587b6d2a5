//! Points and vectors of the plan and of the space, in metres.

use std::ops::{Add, Mul, Neg, Sub};

/// A place on the plan, m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point2 {
    /// First plan coordinate, m.
    pub x: f64,
    /// Second plan coordinate, m.
    pub y: f64,
}

/// A displacement on the plan, m, or a direction of length 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vec2 {
    /// Along the first plan axis.
    pub x: f64,
    /// Along the second plan axis.
    pub y: f64,
}

/// A place in the space, m; z is the height above the finished floor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point3 {
    /// First plan coordinate, m.
    pub x: f64,
    /// Second plan coordinate, m.
    pub y: f64,
    /// Height above the finished floor, m.
    pub z: f64,
}

/// A displacement in the space, m, or a direction of length 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vec3 {
    /// Along the first plan axis.
    pub x: f64,
    /// Along the second plan axis.
    pub y: f64,
    /// Upwards.
    pub z: f64,
}

impl Point2 {
    /// The place with these coordinates, m.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The place above this one at height `z`, m.
    pub const fn at_height(self, z: f64) -> Point3 {
        Point3::new(self.x, self.y, z)
    }

    /// Distance to another place, m.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The place a share `t` of the way to `other` (0 here, 1 there).
    pub fn towards(self, other: Self, t: f64) -> Self {
        self + (other - self) * t
    }

    /// Are both coordinates finite?
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl Vec2 {
    /// The vector with these components.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The unit vector at an angle, rad, anticlockwise from the x axis.
    pub fn from_angle(angle_rad: f64) -> Self {
        Self::new(angle_rad.cos(), angle_rad.sin())
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The z component of the vector product: positive when `other` is to the left.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The same direction with length 1; `None` for a vector without direction.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }

    /// Turned a quarter turn to the right (clockwise seen from above).
    pub const fn right(self) -> Self {
        Self::new(self.y, -self.x)
    }

    /// Turned a quarter turn to the left (anticlockwise seen from above).
    pub const fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }
}

impl Point3 {
    /// The place with these coordinates, m.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// The place on the plan under this one.
    pub const fn on_plan(self) -> Point2 {
        Point2::new(self.x, self.y)
    }

    /// Distance to another place, m.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The place a share `t` of the way to `other` (0 here, 1 there).
    pub fn towards(self, other: Self, t: f64) -> Self {
        self + (other - self) * t
    }

    /// Are all coordinates finite?
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

impl Vec3 {
    /// Straight up, length 1.
    pub const UP: Self = Self::new(0.0, 0.0, 1.0);

    /// The vector with these components.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector product.
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1; `None` for a vector without direction.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }

    /// Are all components finite?
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }
}

macro_rules! affine {
    ($point:ident, $vector:ident, $($c:ident),+) => {
        impl Add<$vector> for $point {
            type Output = $point;
            fn add(self, v: $vector) -> $point {
                $point { $($c: self.$c + v.$c),+ }
            }
        }

        impl Sub<$vector> for $point {
            type Output = $point;
            fn sub(self, v: $vector) -> $point {
                $point { $($c: self.$c - v.$c),+ }
            }
        }

        impl Sub for $point {
            type Output = $vector;
            fn sub(self, other: $point) -> $vector {
                $vector { $($c: self.$c - other.$c),+ }
            }
        }

        impl Add for $vector {
            type Output = $vector;
            fn add(self, v: $vector) -> $vector {
                $vector { $($c: self.$c + v.$c),+ }
            }
        }

        impl Sub for $vector {
            type Output = $vector;
            fn sub(self, v: $vector) -> $vector {
                $vector { $($c: self.$c - v.$c),+ }
            }
        }

        impl Mul<f64> for $vector {
            type Output = $vector;
            fn mul(self, factor: f64) -> $vector {
                $vector { $($c: self.$c * factor),+ }
            }
        }

        impl Neg for $vector {
            type Output = $vector;
            fn neg(self) -> $vector {
                $vector { $($c: -self.$c),+ }
            }
        }
    };
}

affine!(Point2, Vec2, x, y);
affine!(Point3, Vec3, x, y, z);
