//! A part of a surface that gives way in its own manner.

use geometry::Point3;
use waves::{Admittance, Finish, Patch};

use crate::rooms::{shoebox, solved, up_to};

/// Middles of squares of 0.1 m on the floor from x = 0, `columns` of them, each with its area.
fn on_floor(columns: usize) -> Vec<(Point3, f64)> {
    let middle = |at: usize| 0.05 + 0.1 * at as f64;
    (0..columns)
        .flat_map(|i| (0..30).map(move |j| (Point3::new(middle(i), middle(j), 0.0), 0.01)))
        .collect()
}

/// A wave that stands along 4 m of a box whose floor is lined from the wall to a decays, to first
/// order in β, by `δ = c β S/(2V) · (1 + sin(2πa/L)/(2πa/L))` with S the lined part.
#[test]
fn a_lined_part_damps_by_what_presses_on_it() {
    let room = shoebox(4.0, 3.0, 2.4);
    let modes = solved(&room, up_to(90.0), &[]);
    let beta = 1e-3;
    for columns in [10, 20, 30, 40] {
        let patched = modes.patched(&[Patch {
            surface: 0,
            points: on_floor(columns),
        }]);
        let mut surfaces = vec![Admittance::Rigid; room.surfaces()];
        surfaces.push(Admittance::Measured(vec![(100.0, beta, 0.0)]));
        let found_s = patched.decays(&Finish::new(surfaces))[0].t60_s;
        let phase = std::f64::consts::TAU * columns as f64 / 40.0;
        let pressed = 1.0 + phase.sin() / phase;
        let area_m2 = 0.3 * columns as f64;
        let rate = 343.0 * beta * area_m2 * pressed / (2.0 * 28.8);
        let expected_s = 1000_f64.ln() / rate;
        assert!(
            (found_s / expected_s - 1.0).abs() < 5e-3,
            "{columns}: {found_s} s, {expected_s} s by hand"
        );
    }
}

/// Lined all over by a patch is lined all over.
#[test]
fn a_patch_over_a_whole_surface_is_that_surface() {
    let room = shoebox(4.0, 3.0, 2.4);
    let modes = solved(&room, up_to(90.0), &[]);
    let patched = modes.patched(&[Patch {
        surface: 0,
        points: on_floor(40),
    }]);
    let lined = Admittance::diffuse(0.3);
    let mut surfaces = vec![Admittance::Rigid; room.surfaces()];
    surfaces[0] = lined.clone();
    let whole = modes.decays(&Finish::new(surfaces.clone()));
    surfaces[0] = Admittance::Rigid;
    surfaces.push(lined);
    for (one, other) in whole.iter().zip(patched.decays(&Finish::new(surfaces))) {
        assert!(
            (one.t60_s / other.t60_s - 1.0).abs() < 0.01,
            "{one:?} {other:?}"
        );
    }
}
