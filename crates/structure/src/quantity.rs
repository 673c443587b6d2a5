//! Quantities that timber design needs beside those of `units`.

use units::{Metres, Newtons};

/// One pound-force, N.
pub const LBF_N: f64 = 4.448_221_615_260_5;
/// One inch, m.
pub(crate) const INCH_M: f64 = 0.0254;
/// Standard gravity, m/s².
pub const GRAVITY_M_S2: f64 = 9.80665;

/// Force per length, N/m.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct NewtonsPerMetre(pub f64);

impl NewtonsPerMetre {
    /// A force per length given in lbf/in.
    pub fn from_pounds_per_inch(lb_per_in: f64) -> Self {
        Self(lb_per_in * LBF_N / INCH_M)
    }

    /// In lbf/in, the unit of the NDS tables.
    pub fn pounds_per_inch(self) -> f64 {
        self.0 * INCH_M / LBF_N
    }

    /// The force over this length.
    pub fn over(self, length: Metres) -> Newtons {
        Newtons(self.0 * length.0)
    }
}

/// Stress, Pa.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Pascals(pub f64);

impl Pascals {
    /// A stress given in psi.
    pub const fn from_psi(psi: f64) -> Self {
        Self(psi * LBF_N / (INCH_M * INCH_M))
    }

    /// In psi.
    pub fn psi(self) -> f64 {
        self.0 * INCH_M * INCH_M / LBF_N
    }
}

/// A force in lbf.
pub fn pounds_force(force: Newtons) -> f64 {
    force.0 / LBF_N
}

/// A force given in lbf.
pub fn newtons(lbf: f64) -> Newtons {
    Newtons(lbf * LBF_N)
}
