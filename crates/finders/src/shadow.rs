//! From which places does a beam meet a thing?
//!
//! The beam from a lens L is the hull of L and the picture R. It comes nearer than r to a
//! convex body B where no plane parts them by r: the places L of all such beams make a
//! convex set, since L, the picture's points and the body's points lie on straight lines.
//! Its outline in the plane of the lens is found by cutting: at a corner that is still
//! outside the set, the plane that parts that beam from the body by r parts every other
//! allowed beam on its side as well, and what is beyond it is cut off. What is left holds
//! the whole set, and reaches beyond it by less than [`CUT_MIN_M`].

use checks::hanging::Solid;
use geometry::{Convex, Point3, UprightCylinder, Vec3};
use units::Metres;

use crate::half_plane::{Affine, HalfPlane, Point, area_m2};

/// Corners are cut off as long as more than this goes, m.
const CUT_MIN_M: f64 = 5e-5;
/// No outline of a rounded thing needs as many cuts.
const CUTS_MAX: usize = 400;

/// How the lens moves with the place that is looked for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LensAt {
    /// The lens in plan from the place.
    pub offset: Point,
    /// The lens' height.
    pub height: Affine,
}

impl LensAt {
    pub fn lens(self, place: Point) -> Point3 {
        let [x, y] = [place[0] + self.offset[0], place[1] + self.offset[1]];
        Point3::new(x, y, self.height.at(place))
    }
}

/// A body with what a beam is held against.
pub(crate) enum Met {
    Body(Convex),
    Person(UprightCylinder, [Point3; 2], f64),
}

impl Met {
    pub fn of(solid: &Solid) -> Option<Self> {
        match solid {
            Solid::Body(body) => Some(Self::Body(body.clone())),
            Solid::Person {
                foot_m: [x, y, z],
                radius_m,
                height_m,
            } => {
                let foot = Point3::new(*x, *y, *z);
                let body = UprightCylinder::new(foot, Metres(*radius_m), Metres(*height_m)).ok()?;
                Some(Self::Person(
                    body,
                    [foot, foot + Vec3::UP * *height_m],
                    *radius_m,
                ))
            }
        }
    }

    /// Distance from a beam, and the direction from the beam to it.
    pub fn clearance(&self, beam: &Convex) -> (f64, Vec3) {
        let clearance = match self {
            Self::Body(body) => beam.clearance(body),
            Self::Person(body, ..) => beam.clearance_to_cylinder(body),
        };
        (clearance.signed.0, clearance.away)
    }

    /// How near it comes along a direction.
    pub fn nearest(&self, n: Vec3) -> f64 {
        let along = |p: Point3| (p - Point3::default()).dot(n);
        match self {
            Self::Body(body) => (body.vertices().iter())
                .map(|vertex| along(*vertex))
                .fold(f64::INFINITY, f64::min),
            Self::Person(_, ends, radius) => {
                ends.map(along).into_iter().fold(f64::INFINITY, f64::min) - radius * n.x.hypot(n.y)
            }
        }
    }
}

/// The sides between which, within a convex outline, the beam comes nearer than `gap_m` to
/// a thing; nothing where it never does.
pub(crate) fn shadow(
    outline: &[Point],
    lens: LensAt,
    picture: [Point3; 4],
    met: &Met,
    gap_m: f64,
) -> Option<Vec<HalfPlane>> {
    let cut = |place: Point| -> Option<(HalfPlane, f64)> {
        let beam = Convex::pyramid(lens.lens(place), picture).ok()?;
        let (distance, n) = met.clearance(&beam);
        if distance <= gap_m {
            return None;
        }
        // The beam's nearest plane to the body, moved towards it until r is left between:
        // lenses beyond it may meet the body, lenses before it do not.
        let most = met.nearest(n) - gap_m;
        let reach = |p: Point3| (p - Point3::default()).dot(n);
        if picture.iter().any(|corner| reach(*corner) > most + 1e-9) {
            return None;
        }
        // n · L(place) as a sum over the plan.
        let along = Affine {
            slope: [
                n.x + n.z * lens.height.slope[0],
                n.y + n.z * lens.height.slope[1],
            ],
            at_origin: n.x * lens.offset[0] + n.y * lens.offset[1] + n.z * lens.height.at_origin,
        };
        let side = along.at_least(most);
        Some((side, -side.depth(place)))
    };
    cut_down(outline, cut)
}

/// What is left of a convex outline when every corner that is not in a convex set is cut
/// off: `cut` gives the side of a line that holds the set and how far outside of it a
/// corner is, or nothing for a corner in the set. Also the sides cut along.
pub(crate) fn cut_down(
    outline: &[Point],
    cut: impl Fn(Point) -> Option<(HalfPlane, f64)>,
) -> Option<Vec<HalfPlane>> {
    // Corners, and whether each is known to be as good as on the set's edge.
    let mut left: Vec<(Point, bool)> = outline.iter().map(|corner| (*corner, false)).collect();
    let mut sides = Vec::new();
    for _ in 0..CUTS_MAX {
        let next = left.iter().position(|(_, done)| !done);
        let Some(at) = next else { break };
        match cut(left[at].0) {
            Some((side, depth)) if depth > CUT_MIN_M => {
                left = side.clipped_marked(&left);
                let corners: Vec<Point> = left.iter().map(|(corner, _)| *corner).collect();
                if corners.len() < 3 || area_m2(&corners).abs() < 1e-10 {
                    return None;
                }
                sides.push(side);
            }
            _ => left[at].1 = true,
        }
    }
    Some(sides)
}

#[cfg(test)]
mod tests {
    //! Against the engine's own distance, asked at random places.

    use rand::{Rng, SeedableRng};
    use rand_chacha::ChaCha8Rng;

    use super::*;

    fn picture() -> [Point3; 4] {
        [[-0.8, 0.85], [0.8, 0.85], [0.8, 1.75], [-0.8, 1.75]].map(|[y, z]| Point3::new(0.0, y, z))
    }

    /// Lens 0.2 m nearer to the picture than the place, 2.1 m high, sinking with y.
    const LENS: LensAt = LensAt {
        offset: [-0.2, 0.0],
        height: Affine {
            slope: [0.0, -0.2],
            at_origin: 2.1,
        },
    };

    fn inside(sides: &[HalfPlane], p: Point) -> f64 {
        (sides.iter())
            .map(|side| side.depth(p))
            .fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn every_place_in_the_shadow_and_none_outside_it_meets_the_thing() {
        let outline = [[1.0, -2.0], [6.0, -2.0], [6.0, 2.0], [1.0, 2.0]];
        let lamp = geometry::OrientedBox::upright(
            Point3::new(1.5, 0.3, 1.9),
            [Metres(0.3), Metres(0.2), Metres(0.2)],
            units::Radians(0.4),
        )
        .unwrap();
        let person = Solid::Person {
            foot_m: [2.5, -0.9, 0.0],
            radius_m: 0.25,
            height_m: 1.7,
        };
        let mut random = ChaCha8Rng::seed_from_u64(7);
        for solid in [Solid::Body(Convex::from(&lamp)), person] {
            let met = Met::of(&solid).unwrap();
            let found = shadow(&outline, LENS, picture(), &met, 0.08).unwrap();
            for _ in 0..4000 {
                let place = [
                    random.random_range(1.0..6.0),
                    random.random_range(-2.0..2.0),
                ];
                let beam = Convex::pyramid(LENS.lens(place), picture()).unwrap();
                let is_met = met.clearance(&beam).0 < 0.08;
                let depth = inside(&found, place);
                assert!(
                    !is_met || depth > -1e-6,
                    "{place:?} is met, {depth} m outside"
                );
                assert!(
                    is_met || depth < 2e-4,
                    "{place:?} is free, {depth} m inside"
                );
            }
        }
    }

    #[test]
    fn a_thing_behind_the_picture_or_far_aside_shadows_nothing() {
        let outline = [[1.0, -1.0], [4.0, -1.0], [4.0, 1.0], [1.0, 1.0]];
        let far = Solid::Person {
            foot_m: [2.0, 5.0, 0.0],
            radius_m: 0.25,
            height_m: 2.0,
        };
        let far = Met::of(&far).unwrap();
        assert!(shadow(&outline, LENS, picture(), &far, 0.08).is_none());
    }
}
