//! Which published values does this crate reproduce?
//!
//! Each entry names the place and how well the value is known: `confirmed` was
//! read at the place, `computed` follows from the formula named, `from memory`
//! is recalled and not seen again.

use units::{Kilograms, Metres, NewtonMetres, Newtons, Radians, Reference};

use crate::anchor::Reduction;
use crate::arm::{Load, Pivot, WallPlate, moment};
use crate::lateral::{
    InclinedLoad, Member, STEEL_BEARING, SingleShear, WoodBearing, lag_bending_yield,
    lag_root_diameter,
};
use crate::lifting::{LADDER_FOOT_PART, Lift, ladder_foot};
use crate::quantity::{newtons, pounds_force};
use crate::vesa::{HolePattern, pattern};
use crate::withdrawal::{Grain, Screw, withdrawal_capacity};

/// The values, in the order of the modules they test.
pub fn references() -> Vec<Reference> {
    vec![
        Reference {
            cite: "NDS 12.2-1, table 12.2A: lag 1/4 in, G 0.42 (confirmed in a public permit file)",
            computed: || lag_lb_per_in(0.25, 0.42),
            expected: 173.221,
            tolerance: 0.5,
            unit: "lbf/in",
        },
        Reference {
            cite: "NDS 12.2-1, table 12.2A: lag 3/8 in, G 0.50 (confirmed in a public permit file)",
            computed: || lag_lb_per_in(0.375, 0.50),
            expected: 304.966,
            tolerance: 0.5,
            unit: "lbf/in",
        },
        Reference {
            cite: "NDS 12.2-1, table 12.2A: lag 5/16 in, G 0.55 (confirmed in a public permit file)",
            computed: || lag_lb_per_in(0.3125, 0.55),
            expected: 306.87,
            tolerance: 0.5,
            unit: "lbf/in",
        },
        Reference {
            cite: "NDS 12.2-2, 2850 G^2 D: wood screw no. 10, G 0.42 (computed)",
            computed: || wood_screw_lb_per_in(0.190, 0.42),
            expected: 95.5206,
            tolerance: 0.5,
            unit: "lbf/in",
        },
        Reference {
            cite: "NDS 12.2-2, 2850 G^2 D: wood screw no. 12, G 0.50 (computed)",
            computed: || wood_screw_lb_per_in(0.216, 0.50),
            expected: 153.9,
            tolerance: 0.5,
            unit: "lbf/in",
        },
        Reference {
            cite: "W p: lag 5/16 in, G 0.42, 1 1/2 in of thread, tip not counted (computed)",
            computed: || lag_pull().map_or(f64::NAN, pounds_force),
            expected: 307.167,
            tolerance: 1.0,
            unit: "lbf",
        },
        Reference {
            cite: "W p: the same in newtons (computed)",
            computed: || lag_pull().map_or(f64::NAN, |pull| pull.0),
            expected: 1366.35,
            tolerance: 5.0,
            unit: "N",
        },
        Reference {
            cite: "NDS 12.3.1: lag 3/8 in, 3 in of thread, steel 1/4 in, G 0.42, along the grain (computed)",
            computed: || lateral_lbf(0.42, 0.0),
            expected: 253.923,
            tolerance: 3.0,
            unit: "lbf",
        },
        Reference {
            cite: "NDS 12.3.1: lag 3/8 in, 3 in of thread, steel 1/4 in, G 0.42, across the grain (computed)",
            computed: || lateral_lbf(0.42, 90.0),
            expected: 159.239,
            tolerance: 3.0,
            unit: "lbf",
        },
        Reference {
            cite: "NDS 12.3.1: lag 3/8 in, 3 in of thread, steel 1/4 in, G 0.50, along the grain (computed)",
            computed: || lateral_lbf(0.50, 0.0),
            expected: 275.709,
            tolerance: 3.0,
            unit: "lbf",
        },
        Reference {
            cite: "NDS 12.3.1: lag 3/8 in, 3 in of thread, steel 1/4 in, G 0.50, across the grain (computed)",
            computed: || lateral_lbf(0.50, 90.0),
            expected: 179.882,
            tolerance: 3.0,
            unit: "lbf",
        },
        Reference {
            cite: "sum m g x: 30 kg at 0.60 m and 8 kg at 0.30 m (computed)",
            computed: || arm_moment().map_or(f64::NAN, |m| m.0),
            expected: 200.056,
            tolerance: 0.1,
            unit: "N m",
        },
        Reference {
            cite: "M/s: the same, rows 0.30 m apart, pivot at the lower row (computed)",
            computed: || top_row_n(Pivot::LowerRow),
            expected: 666.852,
            tolerance: 0.5,
            unit: "N",
        },
        Reference {
            cite: "M/(s+e): the same, heel of the plate 0.05 m lower (computed)",
            computed: || top_row_n(Pivot::Heel(Metres(0.05))),
            expected: 571.588,
            tolerance: 0.5,
            unit: "N",
        },
        Reference {
            cite: "sum m g/n: shear on each of 4 fixings (computed)",
            computed: || {
                plate(Pivot::LowerRow)
                    .fixing_load(&ARM, 1.0)
                    .map_or(f64::NAN, |load| load.shear.0)
            },
            expected: 93.1632,
            tolerance: 0.1,
            unit: "N",
        },
        Reference {
            cite: "NDS 12.4.1: W p 352 lb, Z 200 lb, 45 degrees from the surface (computed)",
            computed: || inclined_lbf(),
            expected: 255.072,
            tolerance: 0.5,
            unit: "lbf",
        },
        Reference {
            cite: "two makers' tables, straight line: c 2.5 in, c_cr 3.75, c_min 1.25, 0.25 at c_min (confirmed)",
            computed: || anchor_factor(),
            expected: 0.625,
            tolerance: 0.001,
            unit: "1",
        },
        Reference {
            cite: "OSHA 1926.1053(b)(5)(i), 4 to 1: foot of a 12 ft ladder (from memory)",
            computed: || {
                ladder_foot(Metres(12.0 * 0.3048), LADDER_FOOT_PART)
                    .map_or(f64::NAN, |foot| foot.0 / 0.3048)
            },
            expected: 3.0,
            tolerance: 0.01,
            unit: "ft",
        },
        Reference {
            cite: "NIOSH 94-110: H 16, V 30, D 20 in, no twist, FM 1, CM 1 (computed)",
            computed: || lift_limit_lb(),
            expected: 29.0062,
            tolerance: 0.1,
            unit: "lb",
        },
        Reference {
            cite: "VESA MIS-D 100 x 100: largest mass (confirmed on encyclopedic pages)",
            computed: || vesa_kg(100.0, 100.0),
            expected: 14.0,
            tolerance: 0.001,
            unit: "kg",
        },
        Reference {
            cite: "VESA MIS-E 200 x 100: largest mass, 50 lb (confirmed on encyclopedic pages)",
            computed: || vesa_kg(200.0, 100.0),
            expected: 22.7,
            tolerance: 0.05,
            unit: "kg",
        },
    ]
}

fn screw(diameter_in: f64, specific_gravity: f64) -> Screw {
    Screw {
        diameter: Metres::from_inches(diameter_in),
        specific_gravity,
        grain: Grain::Side,
    }
}

fn lag_lb_per_in(diameter_in: f64, specific_gravity: f64) -> f64 {
    let value = screw(diameter_in, specific_gravity).lag_withdrawal();
    value.map_or(f64::NAN, |w| w.pounds_per_inch())
}

fn wood_screw_lb_per_in(diameter_in: f64, specific_gravity: f64) -> f64 {
    let value = screw(diameter_in, specific_gravity).wood_screw_withdrawal();
    value.map_or(f64::NAN, |w| w.pounds_per_inch())
}

fn lag_pull() -> Option<Newtons> {
    withdrawal_capacity(
        screw(0.3125, 0.42).lag_withdrawal()?,
        Metres::from_inches(1.5),
    )
}

fn lateral_lbf(specific_gravity: f64, grain_degrees: f64) -> f64 {
    let nominal = Metres::from_inches(0.375);
    let grain_angle = Radians::from_degrees(grain_degrees);
    let value = || {
        let wood = WoodBearing {
            specific_gravity,
            diameter: nominal,
            grain_angle,
        };
        let shear = SingleShear {
            main: Member {
                length: Metres::from_inches(3.0),
                bearing: wood.strength()?,
            },
            side: Member {
                length: Metres::from_inches(0.25),
                bearing: STEEL_BEARING,
            },
            diameter: lag_root_diameter(nominal)?,
            nominal,
            bending_yield: lag_bending_yield(nominal)?,
            grain_angle,
        };
        Some(pounds_force(shear.capacity()?.1))
    };
    value().unwrap_or(f64::NAN)
}

const ARM: [Load; 2] = [
    Load {
        mass: Kilograms(30.0),
        reach: Metres(0.60),
    },
    Load {
        mass: Kilograms(8.0),
        reach: Metres(0.30),
    },
];

fn arm_moment() -> Option<NewtonMetres> {
    moment(&ARM)
}

fn plate(pivot: Pivot) -> WallPlate {
    WallPlate {
        rows_apart: Metres(0.30),
        top_row: 2,
        fixings: 4,
        pivot,
    }
}

fn top_row_n(pivot: Pivot) -> f64 {
    let tension = arm_moment().and_then(|m| plate(pivot).top_row_tension(m));
    tension.map_or(f64::NAN, |t| t.0)
}

fn inclined_lbf() -> f64 {
    let load = InclinedLoad {
        withdrawal: newtons(352.0),
        lateral: newtons(200.0),
        from_surface: Radians::from_degrees(45.0),
    };
    load.capacity().map_or(f64::NAN, pounds_force)
}

fn anchor_factor() -> f64 {
    let rule = Reduction {
        critical: Metres::from_inches(3.75),
        least: Metres::from_inches(1.25),
        factor_at_least: 0.25,
    };
    rule.factor(Metres::from_inches(2.5)).unwrap_or(f64::NAN)
}

fn lift_limit_lb() -> f64 {
    let lift = Lift {
        horizontal: Metres::from_inches(16.0),
        vertical: Metres::from_inches(30.0),
        travel: Metres::from_inches(20.0),
        twist: Radians(0.0),
        frequency: 1.0,
        coupling: 1.0,
    };
    lift.weight_limit()
        .map_or(f64::NAN, |limit| limit.0 / 0.453_592_37)
}

fn vesa_kg(width_mm: f64, height_mm: f64) -> f64 {
    let holes = HolePattern {
        width: Metres(width_mm * 1e-3),
        height: Metres(height_mm * 1e-3),
    };
    pattern(holes).map_or(f64::NAN, |pattern| pattern.mass_max.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reference_is_met() {
        let references = references();
        assert!(references.len() >= 15);
        for r in references {
            let got = (r.computed)();
            let off = (got - r.expected).abs();
            // Written so that a missing answer (not a number) fails too.
            assert!(
                off <= r.tolerance,
                "{}: {got} {}, expected {} ± {}",
                r.cite,
                r.unit,
                r.expected,
                r.tolerance
            );
            let marked = ["(confirmed", "(computed", "(from memory"]
                .iter()
                .any(|mark| r.cite.contains(mark));
            assert!(marked, "{} has no mark", r.cite);
        }
    }
}
