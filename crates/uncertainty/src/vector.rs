//! Points and directions whose coordinates are uncertain.

use std::ops::{Add, Sub};

use crate::Uncertain;

/// A point or direction in plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Vector2 {
    /// First coordinate.
    pub x: Uncertain,
    /// Second coordinate.
    pub y: Uncertain,
}

/// A point or direction in space.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Vector3 {
    /// First coordinate.
    pub x: Uncertain,
    /// Second coordinate.
    pub y: Uncertain,
    /// Third coordinate, up.
    pub z: Uncertain,
}

impl Vector2 {
    /// From its coordinates.
    pub fn new(x: impl Into<Uncertain>, y: impl Into<Uncertain>) -> Self {
        Self {
            x: x.into(),
            y: y.into(),
        }
    }

    /// Best estimate.
    pub fn value(&self) -> [f64; 2] {
        [self.x.value(), self.y.value()]
    }

    /// Length.
    pub fn norm(&self) -> Uncertain {
        self.x.hypot(&self.y)
    }

    /// Scalar product.
    pub fn dot(&self, other: &Self) -> Uncertain {
        &self.x * &other.x + &self.y * &other.y
    }

    /// z of the vector product: positive where `other` lies anticlockwise of `self`.
    pub fn cross(&self, other: &Self) -> Uncertain {
        &self.x * &other.y - &self.y * &other.x
    }

    /// Multiplied by a number.
    pub fn scaled(&self, factor: &Uncertain) -> Self {
        Self {
            x: &self.x * factor,
            y: &self.y * factor,
        }
    }

    /// The same direction with length one.
    pub fn unit(&self) -> Self {
        let norm = self.norm();
        Self {
            x: &self.x / &norm,
            y: &self.y / &norm,
        }
    }

    /// Turned a quarter anticlockwise.
    pub fn turned_left(&self) -> Self {
        Self {
            x: -&self.y,
            y: self.x.clone(),
        }
    }

    /// Turned a quarter clockwise.
    pub fn turned_right(&self) -> Self {
        Self {
            x: self.y.clone(),
            y: -&self.x,
        }
    }

    /// Raised to a height.
    pub fn at_height(&self, z: impl Into<Uncertain>) -> Vector3 {
        Vector3 {
            x: self.x.clone(),
            y: self.y.clone(),
            z: z.into(),
        }
    }
}

impl Vector3 {
    /// From its coordinates.
    pub fn new(x: impl Into<Uncertain>, y: impl Into<Uncertain>, z: impl Into<Uncertain>) -> Self {
        Self {
            x: x.into(),
            y: y.into(),
            z: z.into(),
        }
    }

    /// Best estimate.
    pub fn value(&self) -> [f64; 3] {
        [self.x.value(), self.y.value(), self.z.value()]
    }

    /// Length.
    pub fn norm(&self) -> Uncertain {
        self.dot(self).sqrt()
    }

    /// Scalar product.
    pub fn dot(&self, other: &Self) -> Uncertain {
        &self.x * &other.x + &self.y * &other.y + &self.z * &other.z
    }

    /// Multiplied by a number.
    pub fn scaled(&self, factor: &Uncertain) -> Self {
        Self {
            x: &self.x * factor,
            y: &self.y * factor,
            z: &self.z * factor,
        }
    }

    /// Seen from above.
    pub fn in_plan(&self) -> Vector2 {
        Vector2 {
            x: self.x.clone(),
            y: self.y.clone(),
        }
    }
}

macro_rules! componentwise {
    ($type:ident, $($field:ident),+) => {
        impl Add for &$type {
            type Output = $type;
            fn add(self, other: &$type) -> $type {
                $type { $($field: &self.$field + &other.$field),+ }
            }
        }

        impl Sub for &$type {
            type Output = $type;
            fn sub(self, other: &$type) -> $type {
                $type { $($field: &self.$field - &other.$field),+ }
            }
        }
    };
}

componentwise!(Vector2, x, y);
componentwise!(Vector3, x, y, z);
