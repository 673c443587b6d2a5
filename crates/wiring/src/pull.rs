//! How hard does a cable pull, and how tightly may it bend?
//!
//! ```text
//! straight  T = T₀ + g m (μ L_h + h)      bend  T = T₀ e^(μθ)      sidewall  T/R
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | T₀, T | tension before and after the piece | N |
//! | m | mass of the cable per length | kg/m |
//! | L_h, h | level length, rise (a fall is negative) | m |
//! | μ | friction between cable and pipe | 1 |
//! | θ, R | angle and inside radius of the bend | rad, m |
//!
//! The bend formula neglects the weight of the cable inside the bend, as is
//! usual. Friction spreads by ±25 %, and it sits in an exponent.

use units::{Metres, Newtons, Radians};

use units::guard::{non_negative, positive};

/// Standard gravity, m/s².
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Largest pull on one 4-pair cable, 25 lbf rounded down.
pub const FOUR_PAIR_TENSION_MAX: Newtons = Newtons(110.0);
/// Where [`FOUR_PAIR_TENSION_MAX`] stands.
pub const FOUR_PAIR_TENSION_CITE: &str = "ANSI/TIA-568.0 (from memory)";
/// Largest pull per conductor area on a power cable, lbf per circular mil: `0.008 n A`.
pub const POWER_CABLE_LBF_PER_CMIL: f64 = 0.008;
/// Low end of the sidewall limit, 300 lbf/ft, in N/m (confirmed on public pages; some allow 500 lbf/ft).
pub const SIDEWALL_MAX_N_PER_M: f64 = 300.0 * 4.448_221_615_260_5 / 0.3048;

/// Friction of a cable in a pipe with its usual spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Which pair of surfaces.
    pub what: &'static str,
    /// Low end.
    pub low: f64,
    /// High end; plan with this one.
    pub high: f64,
}

/// Usual friction values (from memory).
pub const FRICTIONS: [Friction; 3] = [
    Friction {
        what: "lubricated",
        low: 0.15,
        high: 0.25,
    },
    Friction {
        what: "PVC jacket in PVC pipe, dry",
        low: 0.35,
        high: 0.5,
    },
    Friction {
        what: "PVC jacket in EMT, dry",
        low: 0.4,
        high: 0.4,
    },
];

/// One piece of a pull, in the order the cable passes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// A straight with its level length and its rise; a fall is a negative rise.
    Straight {
        /// Level length.
        level: Metres,
        /// Height gained.
        rise: Metres,
    },
    /// A bend.
    Bend {
        /// Angle turned, 0 to 2π.
        angle: Radians,
        /// Inside radius.
        radius: Metres,
    },
}

/// What is pulled, and against what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cable {
    /// Mass per length, kg/m.
    pub mass_kg_per_m: f64,
    /// Friction, 1.
    pub friction: f64,
    /// Back tension at the feed.
    pub feed: Newtons,
}

/// What a pull comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Tension at the far end.
    pub tension: Newtons,
    /// Highest tension anywhere on the way.
    pub tension_max: Newtons,
    /// Highest force per length against the inside of a bend, N/m; 0 without bends.
    pub sidewall_max_n_per_m: f64,
}

/// Tension after a bend over tension before: `e^(μθ)`, the capstan equation; `None` when it overflows.
pub fn bend_ratio(friction: f64, angle: Radians) -> Option<f64> {
    positive((non_negative(friction)? * non_negative(angle.0)?).exp())
}

/// Tension along a pull; a fall that would push leaves the cable slack, not negative.
pub fn pull(cable: &Cable, pieces: &[Piece]) -> Option<Pull> {
    let weight_n_per_m = non_negative(cable.mass_kg_per_m)? * GRAVITY_M_S2;
    let mu = non_negative(cable.friction)?;
    let mut t = non_negative(cable.feed.0)?;
    let (mut t_max, mut sidewall_max) = (t, 0.0_f64);
    for piece in pieces {
        match *piece {
            Piece::Straight { level, rise } => {
                let h = rise.0.is_finite().then_some(rise.0)?;
                t = (t + weight_n_per_m * (mu * non_negative(level.0)? + h)).max(0.0);
            }
            Piece::Bend { angle, radius } => {
                t *= bend_ratio(mu, angle)?;
                sidewall_max = sidewall_max.max(t / positive(radius.0)?);
            }
        }
        t_max = t_max.max(t);
    }
    non_negative(t)?;
    Some(Pull {
        tension: Newtons(t),
        tension_max: Newtons(t_max),
        sidewall_max_n_per_m: sidewall_max,
    })
}

/// How a kind of cable may bend.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BendRule {
    /// Kind of cable.
    pub kind: &'static str,
    /// Least inside radius over outside diameter once fixed.
    pub fixed: f64,
    /// The same while it is being pulled.
    pub pulled: f64,
    /// Where the rule stands and how well it is known.
    pub cite: &'static str,
}

/// Bend rules by kind of cable; the cable's own sheet comes first.
pub const BEND_RULES: [BendRule; 4] = [
    BendRule {
        kind: "4-pair, unscreened",
        fixed: 4.0,
        pulled: 4.0,
        cite: "ANSI/TIA-568 (from memory)",
    },
    BendRule {
        kind: "4-pair, screened",
        fixed: 8.0,
        pulled: 8.0,
        cite: "ANSI/TIA-568 (from memory)",
    },
    BendRule {
        kind: "coax",
        fixed: 10.0,
        pulled: 10.0,
        cite: "common practice (from memory)",
    },
    BendRule {
        kind: "fibre, inside",
        fixed: 10.0,
        pulled: 15.0,
        cite: "ANSI/TIA-568 (from memory)",
    },
];

/// Least bend radius of a fixed inside fibre of 2 or 4 strands (ANSI/TIA-568, from memory).
pub const SMALL_FIBRE_RADIUS_FIXED_MIN: Metres = Metres(0.025);
/// The same under load.
pub const SMALL_FIBRE_RADIUS_PULLED_MIN: Metres = Metres(0.050);

/// Least inside bend radius: `multiple` times the outside diameter.
pub fn bend_radius_min(outside_diameter: Metres, multiple: f64) -> Option<Metres> {
    Some(Metres(positive(outside_diameter.0)? * positive(multiple)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const CABLE: Cable = Cable {
        mass_kg_per_m: 0.06,
        friction: 0.4,
        feed: Newtons(0.0),
    };

    #[test]
    fn order_of_pieces_matters() {
        let bend = Piece::Bend {
            angle: Radians::from_degrees(90.0),
            radius: Metres(0.15),
        };
        let straight = Piece::Straight {
            level: Metres(20.0),
            rise: Metres(0.0),
        };
        let early = pull(&CABLE, &[bend, straight]).unwrap();
        let late = pull(&CABLE, &[straight, bend]).unwrap();
        // A bend near the feed has nothing to multiply.
        assert!((early.tension.0 - 4.707192).abs() < 1e-6);
        assert!(late.tension.0 > 1.8 * early.tension.0);
        assert!((late.sidewall_max_n_per_m - late.tension.0 / 0.15).abs() < 1e-9);
    }

    #[test]
    fn a_long_fall_leaves_the_cable_slack() {
        let fall = Piece::Straight {
            level: Metres(0.0),
            rise: Metres(-10.0),
        };
        assert_eq!(pull(&CABLE, &[fall]).unwrap().tension, Newtons(0.0));
        let rise = Piece::Straight {
            level: Metres(0.0),
            rise: Metres(10.0),
        };
        assert!((pull(&CABLE, &[rise]).unwrap().tension.0 - 0.6 * GRAVITY_M_S2).abs() < 1e-12);
    }

    #[test]
    fn nonsense_gives_no_answer() {
        let endless = Piece::Bend {
            angle: Radians(1e6),
            radius: Metres(0.1),
        };
        assert_eq!(
            pull(
                &Cable {
                    feed: Newtons(1.0),
                    ..CABLE
                },
                &[endless]
            ),
            None
        );
        assert_eq!(bend_ratio(f64::NAN, Radians(1.0)), None);
        assert_eq!(bend_radius_min(Metres(0.0), 4.0), None);
    }
}
