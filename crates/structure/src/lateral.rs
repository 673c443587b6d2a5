//! How hard can a screw be pushed sideways before wood or steel yields?
//!
//! The six yield modes of single shear, NDS 12.3.1; the least is the value.
//!
//! ```text
//! I_m   D l_m F_em/R_d                    I_s   D l_s F_es/R_d
//! II    k₁ D l_s F_es/R_d                 III_m k₂ D l_m F_em/((1+2R_e) R_d)
//! III_s k₃ D l_s F_em/((2+R_e) R_d)       IV    D²/R_d √(2 F_em F_yb/(3(1+R_e)))
//! k₁ = [√(R_e + 2R_e²(1+R_t+R_t²) + R_t²R_e³) − R_e(1+R_t)]/(1+R_e)
//! k₂ = −1 + √(2(1+R_e) + 2F_yb(1+2R_e)D²/(3F_em l_m²))
//! k₃ = −1 + √(2(1+R_e)/R_e + 2F_yb(2+R_e)D²/(3F_em l_s²))
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | D | diameter that bends: the root diameter of a lag | in |
//! | l_m, l_s | bearing length in the main and the side member | in |
//! | F_em, F_es | bearing strength of main and side member | psi |
//! | F_yb | bending yield strength of the fastener | psi |
//! | R_e, R_t | F_em/F_es, l_m/l_s | 1 |
//! | R_d | reduction: 4 K, 3.6 K, 3.2 K by mode, K = 1 + θ/360° (D ≥ 1/4 in); K_D = 10 D + 0.5, at least 2.2, below; K_D K for a nominal diameter ≥ 1/4 in with a thinner root | 1 |
//!
//! Bearing strength of wood: 11200 G along the grain, 6100 G^1.45/√D across
//! (16600 G^1.84 both ways below 1/4 in), with the nominal diameter; between
//! by Hankinson's formula. Constants from memory; values recomputed, table 12K
//! not seen.

use units::{Metres, Newtons, Radians};

use crate::quantity::{Pascals, newtons};
use crate::wood::within_tables;
use units::guard::positive;

/// Bearing strength of mild steel plate, 87 000 psi (NDS, from memory).
pub const STEEL_BEARING: Pascals = Pascals::from_psi(87_000.0);

/// Yield strength in bending of a lag screw by nominal diameter: 70, 60 and 45 ksi at 1/4, 5/16
/// and 3/8 in and above (NDS appendix I, from memory).
pub fn lag_bending_yield(nominal: Metres) -> Option<Pascals> {
    let d = nominal.inches();
    if !(0.236..=1.26).contains(&d) {
        return None;
    }
    let psi = if d < 0.30 {
        70_000.0
    } else if d < 0.36 {
        60_000.0
    } else {
        45_000.0
    };
    Some(Pascals::from_psi(psi))
}

/// Root diameter of a lag screw of 1/4, 5/16, 3/8, 7/16 or 1/2 in (NDS appendix L; 3/8 in
/// checked by its use in a worked value, the others from memory).
pub fn lag_root_diameter(nominal: Metres) -> Option<Metres> {
    let table = [
        (0.25, 0.173),
        (0.3125, 0.227),
        (0.375, 0.265),
        (0.4375, 0.328),
        (0.5, 0.371),
    ];
    let same = |nominal_in: f64| (nominal_in - nominal.inches()).abs() < 1e-3;
    table
        .iter()
        .find(|row| same(row.0))
        .map(|row| Metres::from_inches(row.1))
}

/// Wood that a fastener bears on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WoodBearing {
    /// Specific gravity.
    pub specific_gravity: f64,
    /// Nominal diameter of the fastener.
    pub diameter: Metres,
    /// Angle of the load from the grain, 0 along to π/2 across.
    pub grain_angle: Radians,
}

impl WoodBearing {
    /// Bearing strength F_e.
    pub fn strength(&self) -> Option<Pascals> {
        let g = within_tables(self.specific_gravity)?;
        let d = positive(self.diameter.inches())?;
        let theta = quarter_turn(self.grain_angle)?;
        if d < 0.25 - 1e-9 {
            return Some(Pascals::from_psi(16_600.0 * g.powf(1.84)));
        }
        let along = 11_200.0 * g;
        let across = 6_100.0 * g.powf(1.45) / d.sqrt();
        let (sin2, cos2) = (theta.sin().powi(2), theta.cos().powi(2));
        Some(Pascals::from_psi(
            along * across / (along * sin2 + across * cos2),
        ))
    }
}

fn quarter_turn(angle: Radians) -> Option<f64> {
    (-1e-9..=std::f64::consts::FRAC_PI_2 + 1e-9)
        .contains(&angle.0)
        .then_some(angle.0)
}

/// A member in single shear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Bearing length.
    pub length: Metres,
    /// Bearing strength.
    pub bearing: Pascals,
}

/// One fastener in single shear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SingleShear {
    /// Member that holds the point.
    pub main: Member,
    /// Member under the head.
    pub side: Member,
    /// Diameter that bends.
    pub diameter: Metres,
    /// Nominal diameter, which chooses the reduction.
    pub nominal: Metres,
    /// Bending yield strength.
    pub bending_yield: Pascals,
    /// Largest angle of the load from the grain of any member.
    pub grain_angle: Radians,
}

/// A way in which a connection yields.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YieldMode {
    /// Main member crushed.
    Im,
    /// Side member crushed.
    Is,
    /// Fastener turns in both.
    II,
    /// One hinge, in the main member.
    IIIm,
    /// One hinge, in the side member.
    IIIs,
    /// Two hinges.
    IV,
}

impl SingleShear {
    /// All six modes with their reference values, in the order of the code.
    pub fn modes(&self) -> Option<[(YieldMode, Newtons); 6]> {
        let d = positive(self.diameter.inches())?;
        let nominal = positive(self.nominal.inches())?;
        let (lm, ls) = (
            positive(self.main.length.inches())?,
            positive(self.side.length.inches())?,
        );
        let (fem, fes) = (
            positive(self.main.bearing.psi())?,
            positive(self.side.bearing.psi())?,
        );
        let fyb = positive(self.bending_yield.psi())?;
        let theta = quarter_turn(self.grain_angle)?;

        // A lag of 1/4 or 5/16 in has a root thinner than 1/4 in: K_D for its small diameter and
        // K_θ for its large thread both apply (footnote to table 12.3.1B).
        let k_theta = 1.0 + theta.to_degrees() / 360.0;
        let reduction = |large: f64| {
            let k_d = (10.0 * d + 0.5).max(2.2);
            match (d < 0.25 - 1e-9, nominal < 0.25 - 1e-9) {
                (true, true) => k_d,
                (true, false) => k_d * k_theta,
                (false, _) => large * k_theta,
            }
        };
        let (r1, r2, r3) = (reduction(4.0), reduction(3.6), reduction(3.2));
        let (re, rt) = (fem / fes, lm / ls);
        let k1 = ((re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re.powi(3)).sqrt()
            - re * (1.0 + rt))
            / (1.0 + re);
        let bend = |length: f64| 2.0 * fyb * d * d / (3.0 * fem * length * length);
        let k2 = -1.0 + (2.0 * (1.0 + re) + (1.0 + 2.0 * re) * bend(lm)).sqrt();
        let k3 = -1.0 + (2.0 * (1.0 + re) / re + (2.0 + re) * bend(ls)).sqrt();
        let modes = [
            (YieldMode::Im, d * lm * fem / r1),
            (YieldMode::Is, d * ls * fes / r1),
            (YieldMode::II, k1 * d * ls * fes / r2),
            (YieldMode::IIIm, k2 * d * lm * fem / ((1.0 + 2.0 * re) * r3)),
            (YieldMode::IIIs, k3 * d * ls * fem / ((2.0 + re) * r3)),
            (
                YieldMode::IV,
                d * d / r3 * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt(),
            ),
        ];
        modes
            .iter()
            .all(|mode| positive(mode.1).is_some())
            .then_some(())?;
        Some(modes.map(|(mode, lbf)| (mode, newtons(lbf))))
    }

    /// The least mode: reference value Z and how it yields.
    pub fn capacity(&self) -> Option<(YieldMode, Newtons)> {
        self.modes()?
            .into_iter()
            .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
    }
}

/// A screw that is pulled out and pushed sideways at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InclinedLoad {
    /// Withdrawal value W p.
    pub withdrawal: Newtons,
    /// Lateral value Z.
    pub lateral: Newtons,
    /// Angle of the load from the surface of the wood, 0 sideways to π/2 straight out.
    pub from_surface: Radians,
}

impl InclinedLoad {
    /// Value at the angle: `W p Z/(W p cos²α + Z sin²α)` (NDS 12.4.1, form from memory).
    pub fn capacity(&self) -> Option<Newtons> {
        let (wp, z) = (positive(self.withdrawal.0)?, positive(self.lateral.0)?);
        let alpha = quarter_turn(self.from_surface)?;
        let (sin2, cos2) = (alpha.sin().powi(2), alpha.cos().powi(2));
        Some(Newtons(wp * z / (wp * cos2 + z * sin2)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::pounds_force;

    /// A 3/8 in lag with 3 in of thread behind a 1/4 in steel plate.
    fn lag(specific_gravity: f64, grain_degrees: f64) -> SingleShear {
        let nominal = Metres::from_inches(0.375);
        let grain_angle = Radians::from_degrees(grain_degrees);
        let wood = WoodBearing {
            specific_gravity,
            diameter: nominal,
            grain_angle,
        };
        SingleShear {
            main: Member {
                length: Metres::from_inches(3.0),
                bearing: wood.strength().unwrap(),
            },
            side: Member {
                length: Metres::from_inches(0.25),
                bearing: STEEL_BEARING,
            },
            diameter: lag_root_diameter(nominal).unwrap(),
            nominal,
            bending_yield: lag_bending_yield(nominal).unwrap(),
            grain_angle,
        }
    }

    #[test]
    fn a_long_lag_behind_steel_yields_with_two_hinges() {
        let (mode, z) = lag(0.42, 0.0).capacity().unwrap();
        assert_eq!(mode, YieldMode::IV);
        assert!((pounds_force(z) - 253.923).abs() < 0.01);
    }

    #[test]
    fn a_short_lag_turns_before_it_bends() {
        let long = lag(0.42, 0.0);
        let main = Member {
            length: Metres::from_inches(0.5),
            ..long.main
        };
        let (mode, z) = SingleShear { main, ..long }.capacity().unwrap();
        assert!(
            matches!(mode, YieldMode::II | YieldMode::Im | YieldMode::IIIm),
            "{mode:?}"
        );
        assert!(z < long.capacity().unwrap().1);
    }

    #[test]
    fn modes_by_hand_for_equal_members() {
        // R_e = R_t = 1: k₁ = (√(1 + 2·3 + 1) − 2)/2 = (√8 − 2)/2.
        let member = Member {
            length: Metres::from_inches(2.0),
            bearing: Pascals::from_psi(5000.0),
        };
        let shear = SingleShear {
            main: member,
            side: member,
            diameter: Metres::from_inches(0.5),
            nominal: Metres::from_inches(0.5),
            bending_yield: Pascals::from_psi(45_000.0),
            grain_angle: Radians(0.0),
        };
        let modes = shear.modes().unwrap().map(|mode| pounds_force(mode.1));
        let near = |got: f64, want: f64| assert!((got - want).abs() < 1e-6, "{got} {want}");
        near(modes[0], 0.5 * 2.0 * 5000.0 / 4.0);
        near(modes[1], modes[0]);
        near(modes[2], (8_f64.sqrt() - 2.0) / 2.0 * 5000.0 / 3.6);
        // k₂ = k₃ = −1 + √(4 + 3·2·45000·0.25/(3·5000·4)) = −1 + √5.125.
        near(modes[3], (5.125_f64.sqrt() - 1.0) * 5000.0 / (3.0 * 3.2));
        near(modes[4], modes[3]);
        near(
            modes[5],
            0.25 / 3.2 * (2.0 * 5000.0 * 45_000.0 / 6.0_f64).sqrt(),
        );
    }

    #[test]
    fn across_the_grain_is_weaker_throughout() {
        let z = |degrees| lag(0.5, degrees).capacity().unwrap().1;
        for degrees in 1..=90 {
            assert!(z(f64::from(degrees)) < z(f64::from(degrees - 1)));
        }
    }

    #[test]
    fn inclined_ends_meet_withdrawal_and_lateral() {
        let load = |degrees: f64| InclinedLoad {
            withdrawal: Newtons(352.0),
            lateral: Newtons(200.0),
            from_surface: Radians::from_degrees(degrees),
        };
        assert!((load(0.0).capacity().unwrap().0 - 200.0).abs() < 1e-9);
        assert!((load(90.0).capacity().unwrap().0 - 352.0).abs() < 1e-9);
        assert_eq!(load(120.0).capacity(), None);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        let good = lag(0.42, 0.0);
        assert_eq!(
            SingleShear {
                diameter: Metres(0.0),
                ..good
            }
            .capacity(),
            None
        );
        assert_eq!(
            SingleShear {
                grain_angle: Radians(f64::NAN),
                ..good
            }
            .capacity(),
            None
        );
        assert_eq!(lag_root_diameter(Metres::from_inches(0.3)), None);
        assert_eq!(lag_bending_yield(Metres(0.001)), None);
    }
}
