//! The newtypes that keep a length from being added to an angle.

use std::ops::{Add, Mul, Neg, Sub};

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
    )*};
}

quantities! {
    /// Length, m.
    Metres;
    /// Area, m².
    SquareMetres;
    /// Volume, m³.
    CubicMetres;
    /// Plane angle, rad.
    Radians;
    /// Frequency, Hz.
    Hertz;
    /// Time, s.
    Seconds;
    /// Level or level difference, dB; the name beside it says the reference.
    Decibels;
    /// Illuminance, lx.
    Lux;
    /// Luminous flux, lm.
    Lumens;
    /// Luminance, cd/m².
    CandelasPerSquareMetre;
    /// Power, W.
    Watts;
    /// Voltage, V.
    Volts;
    /// Current, A.
    Amperes;
    /// Resistance or impedance, Ω.
    Ohms;
    /// Force, N.
    Newtons;
    /// Moment of a force, N m.
    NewtonMetres;
    /// Mass, kg.
    Kilograms;
    /// Temperature difference, K.
    Kelvin;
    /// Temperature, °C.
    Celsius;
    /// Data rate, bit/s.
    BitsPerSecond;
    /// Speed, m/s.
    MetresPerSecond;
}

impl Radians {
    /// An angle given in degrees.
    pub fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// The angle in degrees.
    pub fn degrees(self) -> f64 {
        self.0.to_degrees()
    }
}

impl Metres {
    /// A length given in inches (exactly 25.4 mm each).
    pub fn from_inches(inches: f64) -> Self {
        Self(inches * 0.0254)
    }

    /// The length in inches.
    pub fn inches(self) -> f64 {
        self.0 / 0.0254
    }
}
