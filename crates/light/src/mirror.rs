//! Which part of a window or lamp shade does a panel mirror to an eye, and does it the sun?
//!
//! Seen from the eye's own mirror image behind the panel, the panel is a hole: whatever shows
//! through the hole is what the panel mirrors. A flat outline before the panel is therefore
//! projected onto the panel from that image and cut at the panel's edges. Law of reflection,
//! no source needed. Valid for flat panels; a matt finish spreads the same light wider and
//! fainter.

use crate::domain::finite;
use crate::glare::{Panel, Point, along, dot, shifted};

/// What a panel mirrors of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Mirrored {
    /// Outline on the panel: across to the right and up from its middle, m.
    pub outline_m: Vec<[f64; 2]>,
    /// Its share of the panel's area.
    pub share: f64,
    /// The middle of it on the panel, m.
    pub at_m: Point,
    /// The direction, after the mirror, to what shows there; unit length.
    pub towards: Point,
}

impl Panel {
    /// The part of a flat convex outline that the panel mirrors to an eye; nothing when eye
    /// or outline are behind the panel, the outline has fewer than three corners, or none of
    /// it falls on the panel. `None` inside is no glare; the outer `None` is a number that is
    /// not finite.
    pub fn mirrored(&self, eye_m: Point, outline_m: &[Point]) -> Option<Option<Mirrored>> {
        let before = |point: Point| finite(dot(along(self.centre, point), self.normal));
        let eye = before(eye_m)?;
        let heights: Vec<f64> = outline_m
            .iter()
            .map(|p| before(*p))
            .collect::<Option<_>>()?;
        if eye <= 0.0 || outline_m.len() < 3 {
            return Some(None);
        }
        let image = shifted(eye_m, self.normal, -2.0 * eye);
        let front = kept_before(outline_m, &heights);
        let flat: Vec<[f64; 2]> = front
            .iter()
            .map(|(point, height)| {
                let on_panel = shifted(image, along(image, *point), eye / (eye + height));
                let from_centre = along(self.centre, on_panel);
                [dot(from_centre, self.across), dot(from_centre, self.up)]
            })
            .collect();
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        let edges = [(0, -w, 1.0), (0, w, -1.0), (1, -h, 1.0), (1, h, -1.0)];
        let cut = edges
            .into_iter()
            .fold(flat, |outline, edge| kept(&outline, edge));
        let Some((middle, area)) = middle(&cut) else {
            return Some(None);
        };
        let at_m = shifted(
            shifted(self.centre, self.across, middle[0]),
            self.up,
            middle[1],
        );
        let ray = along(image, at_m);
        let length = dot(ray, ray).sqrt();
        Some(Some(Mirrored {
            share: area / (self.width * self.height),
            outline_m: cut,
            at_m,
            towards: ray.map(|c| c / length),
        }))
    }

    /// Where the panel mirrors the sun, or anything as far, to an eye: the point of the
    /// panel's plane, and how far outside the panel it is (zero or below on it). Nothing when
    /// eye or sun are behind the panel; the outer `None` is a number that is not finite.
    pub fn mirrored_sun(&self, eye_m: Point, to_sun: Point) -> Option<Option<(Point, f64)>> {
        let eye = finite(dot(along(self.centre, eye_m), self.normal))?;
        let rise = finite(dot(to_sun, self.normal))?;
        if eye <= 0.0 || rise <= 1e-9 {
            return Some(None);
        }
        let image = shifted(eye_m, self.normal, -2.0 * eye);
        let point = shifted(image, to_sun, eye / rise);
        let from_centre = along(self.centre, point);
        let sideways = dot(from_centre, self.across).abs() - self.width / 2.0;
        let upwards = dot(from_centre, self.up).abs() - self.height / 2.0;
        Some(Some((point, finite(sideways.max(upwards))?)))
    }
}

/// The part of an outline before the panel, with its distance from the panel's plane.
fn kept_before(outline: &[Point], heights: &[f64]) -> Vec<(Point, f64)> {
    // What touches the panel's plane is seen along it and mirrors nothing.
    const LEAST_M: f64 = 1e-6;
    let n = outline.len();
    let mut kept = Vec::with_capacity(n + 1);
    for k in 0..n {
        let next = (k + 1) % n;
        let (from, to) = (heights[k] - LEAST_M, heights[next] - LEAST_M);
        if from >= 0.0 {
            kept.push((outline[k], heights[k]));
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            let share = from / (from - to);
            kept.push((
                shifted(outline[k], along(outline[k], outline[next]), share),
                LEAST_M,
            ));
        }
    }
    kept
}

fn kept(outline: &[[f64; 2]], (axis, at, side): (usize, f64, f64)) -> Vec<[f64; 2]> {
    let n = outline.len();
    let mut kept = Vec::with_capacity(n + 1);
    for (k, a) in outline.iter().enumerate() {
        let b = &outline[(k + 1) % n];
        let (from, to) = ((a[axis] - at) * side, (b[axis] - at) * side);
        if from >= 0.0 {
            kept.push(*a);
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            let share = from / (from - to);
            kept.push([a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]);
        }
    }
    kept
}

/// Centroid and area; nothing for less than a square millimetre.
fn middle(outline: &[[f64; 2]]) -> Option<([f64; 2], f64)> {
    let [ox, oy] = *outline.first()?;
    let (mut twice, mut x, mut y) = (0.0, 0.0, 0.0);
    for (k, a) in outline.iter().enumerate() {
        let b = &outline[(k + 1) % outline.len()];
        let (ax, ay, bx, by) = (a[0] - ox, a[1] - oy, b[0] - ox, b[1] - oy);
        let cross = ax * by - bx * ay;
        twice += cross;
        x += (ax + bx) * cross;
        y += (ay + by) * cross;
    }
    let area = twice.abs() / 2.0;
    (area > 1e-6).then(|| ([ox + x / (3.0 * twice), oy + y / (3.0 * twice)], area))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use units::Metres;

    use super::*;
    use crate::glare::{Glare, PanelPlace, Sight};

    fn panel() -> Panel {
        Panel::new(PanelPlace {
            centre_m: [0.0, 0.0, 1.1],
            across: [0.0, 1.0, 0.0],
            up: [0.0, 0.0, 1.0],
            width: Metres(1.6),
            height: Metres(0.9),
        })
        .unwrap()
    }

    fn window(y: f64, size: f64) -> [Point; 4] {
        [
            [5.0, y, 0.9],
            [5.0, y + size, 0.9],
            [5.0, y + size, 0.9 + size],
            [5.0, y, 0.9 + size],
        ]
    }

    #[test]
    fn a_window_behind_the_sofa_shows_where_the_hand_calculation_says() {
        // Eye 3 m before the panel, window 5 m: the image is scaled by 3/(3 + 5) about the eye.
        let found = panel()
            .mirrored([3.0, 0.0, 1.1], &window(-0.5, 1.0))
            .unwrap()
            .unwrap();
        assert!((found.share - (0.375 * 0.375) / (1.6 * 0.9)).abs() < 1e-9);
        // Across −0.1875 to 0.1875; up (0.9 − 1.1)·0.375 to (1.9 − 1.1)·0.375.
        let lowest = found
            .outline_m
            .iter()
            .map(|p| p[1])
            .fold(f64::INFINITY, f64::min);
        assert!((lowest + 0.075).abs() < 1e-9);
        assert!(found.at_m[1].abs() < 1e-9 && (found.at_m[2] - (1.1 + 0.1125)).abs() < 1e-9);
        // Back through the mirror the ray goes to the window's middle.
        let way = (5.0 - found.at_m[0]) / found.towards[0];
        assert!((found.at_m[2] + way * found.towards[2] - 1.4).abs() < 1e-9);
    }

    #[test]
    fn the_panels_edge_cuts_what_it_mirrors() {
        // From −0.5 to 10: far beyond the right edge.
        let found = panel()
            .mirrored([3.0, 0.0, 1.1], &window(-0.5, 10.5))
            .unwrap()
            .unwrap();
        let right = found
            .outline_m
            .iter()
            .map(|p| p[0])
            .fold(f64::NEG_INFINITY, f64::max);
        assert!((right - 0.8).abs() < 1e-12);
        assert!(
            panel()
                .mirrored([3.0, 0.0, 1.1], &window(6.0, 1.0))
                .unwrap()
                .is_none()
        );
        assert!(
            panel()
                .mirrored([-3.0, 0.0, 1.1], &window(-0.5, 1.0))
                .unwrap()
                .is_none()
        );
    }

    #[test]
    fn the_sun_shows_where_angles_in_and_out_are_equal() {
        let down = 20_f64.to_radians();
        // Sun straight before the panel, 20° up; the eye 3 m away sees it 3·tan 20° above itself.
        let to_sun = [down.cos(), 0.0, down.sin()];
        let (point, outside) = panel()
            .mirrored_sun([3.0, 0.0, 1.1], to_sun)
            .unwrap()
            .unwrap();
        assert!((point[2] - 1.1 - 3.0 * down.tan()).abs() < 1e-9);
        assert!((outside - (3.0 * down.tan() - 0.45)).abs() < 1e-9);
        assert!(
            panel()
                .mirrored_sun([3.0, 0.0, 1.1], [-1.0, 0.0, 0.0])
                .unwrap()
                .is_none()
        );
    }

    #[test]
    fn numbers_that_are_none_are_refused() {
        assert!(
            panel()
                .mirrored([f64::NAN, 0.0, 0.0], &window(0.0, 1.0))
                .is_none()
        );
        assert!(
            panel()
                .mirrored([3.0, 0.0, 1.1], &[[f64::NAN; 3]; 3])
                .is_none()
        );
        assert!(
            panel()
                .mirrored_sun([3.0, 0.0, 1.1], [f64::NAN; 3])
                .is_none()
        );
        assert!(panel().mirrored([3.0, 0.0, 1.1], &[]).unwrap().is_none());
    }

    proptest! {
        #[test]
        fn corners_are_where_single_lamps_would_show(ey in -1.0..1.0f64, y in -0.6..0.2f64, size in 0.2..0.6f64) {
            let eye = [3.0, ey, 1.1];
            let corners = window(y, size);
            let found = panel().mirrored(eye, &corners).unwrap();
            for lamp_m in corners {
                let Some(Glare::At { point_m, outside }) = panel().glare(Sight { eye_m: eye, lamp_m }) else {
                    return Err(TestCaseError::fail("all is before the panel"));
                };
                if outside.0 < -1e-9 {
                    let outline = &found.as_ref().unwrap().outline_m;
                    let near = outline.iter().any(|p| (p[0] - point_m[1]).abs() < 1e-9 && (p[1] - (point_m[2] - 1.1)).abs() < 1e-9);
                    prop_assert!(near);
                }
            }
        }
    }
}
