//! Rooms that several tests solve.

use std::ops::ControlFlow;

use geometry::Point3;
use units::Hertz;
use waves::{Face, Modes, Room, Settings, Solver};

/// Corners of a plan turned by an angle about the origin.
pub fn turned(plan: &[[f64; 2]], angle_deg: f64) -> Vec<[f64; 2]> {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    plan.iter()
        .map(|[x, y]| [cos * x - sin * y, sin * x + cos * y])
        .collect()
}

pub fn rectangle(x: f64, y: f64) -> Vec<[f64; 2]> {
    vec![[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]]
}

/// A box on the origin; surfaces: floor, ceiling, y = 0, x = X, y = Y, x = 0.
pub fn shoebox(x: f64, y: f64, z: f64) -> Room {
    Room::prism(&rectangle(x, y), 0.0, z).expect("a box is closed")
}

/// A prism lying on its side: `section` (y, z), extruded along x, the whole turned in plan.
pub fn lying(section: &[[f64; 2]], length: f64, angle_deg: f64) -> Room {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    let at = |x: f64, p: [f64; 2]| [cos * x - sin * p[0], sin * x + cos * p[0], p[1]];
    let n = section.len();
    let mut faces = vec![
        Face {
            outline: section.iter().rev().map(|p| at(0.0, *p)).collect(),
            holes: vec![],
            surface: 0,
        },
        Face {
            outline: section.iter().map(|p| at(length, *p)).collect(),
            holes: vec![],
            surface: 1,
        },
    ];
    for i in 0..n {
        let (a, b) = (section[i], section[(i + 1) % n]);
        let outline = vec![at(0.0, a), at(0.0, b), at(length, b), at(length, a)];
        faces.push(Face {
            outline,
            holes: vec![],
            surface: 2 + i,
        });
    }
    Room::new(&faces).expect("a prism is closed")
}

pub fn solved(room: &Room, settings: Settings, ears: &[Point3]) -> Modes {
    Solver::new(room, settings)
        .and_then(|solver| solver.run(ears, &mut |_| ControlFlow::Continue(())))
        .expect("solvable")
}

/// Frequencies up to the top, without the one at 0 Hz.
pub fn frequencies(room: &Room, settings: Settings) -> Vec<f64> {
    solved(room, settings, &[])
        .modes()
        .iter()
        .skip(1)
        .map(|m| m.frequency_hz)
        .collect()
}

pub fn up_to(top_hz: f64) -> Settings {
    Settings::up_to(Hertz(top_hz))
}
