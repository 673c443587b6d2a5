//! Which patches make up a room's surfaces?
//!
//! Flat convex facets are cut along lines parallel to their own sides, at the edges of the
//! rectangles that matter (windows, a picture) and then evenly, so that no patch is longer
//! than asked for and each lies wholly inside or outside each rectangle.

use geometry::{Point3, Solid, Surface, Vec3};

/// A flat convex part of a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Facet {
    /// Its corners in turn.
    pub corners: Vec<Point3>,
    /// Unit normal into the room.
    pub normal: Vec3,
    /// The surface that it is part of.
    pub surface: Surface,
}

/// A rectangle on a wall that is to have its own patches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Corners in turn.
    pub corners: [Point3; 4],
    /// The surface that it lies on.
    pub surface: Surface,
}

/// A flat convex piece of a surface, small enough to be lit evenly.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// Corners in turn.
    pub corners: Vec<Point3>,
    /// Unit normal into the room.
    pub normal: Vec3,
    /// Its middle.
    pub centre: Point3,
    /// Area, m².
    pub area_m2: f64,
    /// The facet that it is part of.
    pub facet: usize,
    /// The surface that it is part of.
    pub surface: Surface,
    /// The spot that it lies in, by its place in the list.
    pub spot: Option<usize>,
}

/// Cuts nearer to each other than this are one, m.
const MERGED_M: f64 = 0.01;

/// Smaller patches carry no light worth counting, m².
const LEAST_M2: f64 = 1e-6;

/// A room's flat convex facets, seen from inside.
pub fn facets(solid: &Solid) -> Vec<Facet> {
    let mut facets = Vec::new();
    for face in solid.faces() {
        let inward = -face.normal;
        let at = |indices: &[usize]| -> Vec<Point3> {
            indices.iter().map(|i| solid.vertices()[*i]).collect()
        };
        let outline = without_straight_corners(&at(&face.loops[0]));
        let whole =
            face.loops.len() == 1 && outline.len() <= 12 && is_convex(&outline, face.normal);
        let pieces = if whole {
            vec![outline]
        } else {
            face.triangles.iter().map(|t| at(t)).collect()
        };
        facets.extend(pieces.into_iter().map(|corners| Facet {
            corners,
            normal: inward,
            surface: face.surface,
        }));
    }
    facets
}

fn without_straight_corners(corners: &[Point3]) -> Vec<Point3> {
    let n = corners.len();
    let turns = |k: usize| {
        let (a, b, c) = (corners[(k + n - 1) % n], corners[k], corners[(k + 1) % n]);
        let (into, out) = (b - a, c - b);
        into.cross(out).length() > 1e-9 * (into.length() * out.length()).max(1e-12)
    };
    (0..n).filter(|k| turns(*k)).map(|k| corners[k]).collect()
}

/// Whether corners that run anticlockwise about `normal` never turn the other way.
fn is_convex(corners: &[Point3], normal: Vec3) -> bool {
    let n = corners.len();
    n >= 3
        && (0..n).all(|k| {
            let (a, b, c) = (corners[k], corners[(k + 1) % n], corners[(k + 2) % n]);
            (b - a).cross(c - b).dot(normal) > -1e-9
        })
}

/// Cuts facets into patches no longer than `size_m`.
pub fn patches(facets: &[Facet], spots: &[Spot], size_m: f64) -> Vec<Patch> {
    let mut patches = Vec::new();
    for (index, facet) in facets.iter().enumerate() {
        let Some(frame) = Frame::of(facet) else {
            continue;
        };
        let on_it: Vec<(usize, [[f64; 2]; 2])> = spots
            .iter()
            .enumerate()
            .filter(|(_, spot)| spot.surface == facet.surface)
            .map(|(k, spot)| (k, frame.extent(&spot.corners)))
            .collect();
        let outline: Vec<[f64; 2]> = facet.corners.iter().map(|c| frame.flat(*c)).collect();
        let whole = frame.extent(&facet.corners);
        let cuts = |axis: usize| {
            let edges = on_it.iter().flat_map(|(_, extent)| extent[axis]);
            cuts(whole[axis], edges, size_m)
        };
        let (across, up) = (cuts(0), cuts(1));
        for u in across.windows(2) {
            let column = kept(&kept(&outline, 0, u[0], 1.0), 0, u[1], -1.0);
            for v in up.windows(2) {
                let cell = kept(&kept(&column, 1, v[0], 1.0), 1, v[1], -1.0);
                let Some((middle, area_m2)) = middle(&cell) else {
                    continue;
                };
                let inside = |[[left, right], [low, high]]: [[f64; 2]; 2]| {
                    (left..=right).contains(&middle[0]) && (low..=high).contains(&middle[1])
                };
                patches.push(Patch {
                    corners: cell.iter().map(|p| frame.lifted(*p)).collect(),
                    normal: facet.normal,
                    centre: frame.lifted(middle),
                    area_m2,
                    facet: index,
                    surface: facet.surface,
                    spot: on_it
                        .iter()
                        .find(|(_, extent)| inside(*extent))
                        .map(|(k, _)| *k),
                });
            }
        }
    }
    patches
}

/// A facet's own axes.
struct Frame {
    origin: Point3,
    across: Vec3,
    up: Vec3,
}

impl Frame {
    fn of(facet: &Facet) -> Option<Self> {
        let corners = &facet.corners;
        // Walls: level and upright. Others: along the longest side.
        let level = Vec3::UP
            .cross(facet.normal)
            .unit()
            .filter(|_| facet.normal.z.abs() < 0.999);
        let sides = (0..corners.len()).map(|k| corners[(k + 1) % corners.len()] - corners[k]);
        let longest = sides
            .max_by(|a, b| a.length().total_cmp(&b.length()))?
            .unit();
        let across = level.or(longest)?;
        Some(Self {
            origin: corners[0],
            across,
            up: facet.normal.cross(across),
        })
    }

    fn flat(&self, point: Point3) -> [f64; 2] {
        let from = point - self.origin;
        [from.dot(self.across), from.dot(self.up)]
    }

    fn lifted(&self, [u, v]: [f64; 2]) -> Point3 {
        self.origin + self.across * u + self.up * v
    }

    fn extent(&self, corners: &[Point3]) -> [[f64; 2]; 2] {
        let mut extent = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
        for corner in corners {
            for (axis, x) in self.flat(*corner).into_iter().enumerate() {
                extent[axis] = [extent[axis][0].min(x), extent[axis][1].max(x)];
            }
        }
        extent
    }
}

/// Where a side is cut: at its ends, at edges between them, and evenly.
fn cuts([low, high]: [f64; 2], edges: impl Iterator<Item = f64>, size_m: f64) -> Vec<f64> {
    let mut fixed: Vec<f64> = edges
        .filter(|e| *e > low + MERGED_M && *e < high - MERGED_M)
        .chain([low, high])
        .collect();
    fixed.sort_by(f64::total_cmp);
    let mut cuts = vec![low];
    for next in fixed.into_iter().skip(1) {
        let from = *cuts.last().expect("the low end is a cut");
        if next - from < MERGED_M && next < high {
            continue;
        }
        let parts = ((next - from) / size_m).ceil().clamp(1.0, 200.0);
        cuts.extend((1..=parts as usize).map(|k| from + (next - from) * k as f64 / parts));
    }
    cuts
}

/// The part of a convex polygon on one side of a line square to an axis.
fn kept(polygon: &[[f64; 2]], axis: usize, at: f64, side: f64) -> Vec<[f64; 2]> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    let inside = |p: &[f64; 2]| (p[axis] - at) * side;
    for (k, a) in polygon.iter().enumerate() {
        let b = &polygon[(k + 1) % polygon.len()];
        let (from, to) = (inside(a), inside(b));
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

/// Centroid and area of a convex polygon; nothing for a sliver.
fn middle(polygon: &[[f64; 2]]) -> Option<([f64; 2], f64)> {
    let (mut twice, mut x, mut y) = (0.0, 0.0, 0.0);
    let [ox, oy] = *polygon.first()?;
    for (k, a) in polygon.iter().enumerate() {
        let b = &polygon[(k + 1) % polygon.len()];
        let (ax, ay, bx, by) = (a[0] - ox, a[1] - oy, b[0] - ox, b[1] - oy);
        let cross = ax * by - bx * ay;
        twice += cross;
        x += (ax + bx) * cross;
        y += (ay + by) * cross;
    }
    let area = twice.abs() / 2.0;
    (area > LEAST_M2).then(|| ([ox + x / (3.0 * twice), oy + y / (3.0 * twice)], area))
}

#[cfg(test)]
pub(crate) mod tests {
    use geometry::{Ceiling, Plan, Point2};
    use units::Metres;

    use super::*;

    /// A room of a plan's corners, clockwise seen from above, with a flat ceiling.
    pub(crate) fn room(corners: &[(f64, f64)], height: f64) -> Solid {
        let corners = corners.iter().map(|(x, y)| Point2::new(*x, *y)).collect();
        let plan = Plan::new(corners).unwrap();
        Solid::new(plan, Ceiling::flat(Metres(height)).unwrap(), vec![]).unwrap()
    }

    /// 6 m by 4 m by 2.4 m; wall 0 is on x = 0 and runs along y.
    pub(crate) fn den() -> Solid {
        room(&[(0.0, 0.0), (0.0, 4.0), (6.0, 4.0), (6.0, 0.0)], 2.4)
    }

    pub(crate) fn on_first_wall(from_left: f64, bottom: f64, width: f64, height: f64) -> Spot {
        let at = |y: f64, z: f64| Point3::new(0.0, from_left + y, bottom + z);
        Spot {
            corners: [
                at(0.0, 0.0),
                at(width, 0.0),
                at(width, height),
                at(0.0, height),
            ],
            surface: Surface::Wall(0),
        }
    }

    fn area(patches: &[Patch], picks: impl Fn(&Patch) -> bool) -> f64 {
        patches.iter().filter(|p| picks(p)).map(|p| p.area_m2).sum()
    }

    #[test]
    fn patches_cover_every_surface_once() {
        for solid in [
            den(),
            room(
                &[
                    (0.0, 0.0),
                    (0.0, 5.0),
                    (4.0, 5.0),
                    (4.0, 2.0),
                    (7.0, 2.0),
                    (7.0, 0.0),
                ],
                2.6,
            ),
        ] {
            let facets = facets(&solid);
            let patches = patches(&facets, &[], 0.9);
            for (surface, whole) in solid.areas() {
                let found = area(&patches, |p| p.surface == surface);
                assert!((found - whole.0).abs() < 1e-9, "{surface:?} {found}");
            }
            for patch in &patches {
                assert!(solid.contains(patch.centre + patch.normal * 1e-3));
            }
        }
    }

    #[test]
    fn spots_have_their_own_patches() {
        let spots = [
            on_first_wall(0.5, 0.8, 1.2, 1.0),
            on_first_wall(2.2, 0.6, 1.6, 0.9),
        ];
        let patches = patches(&facets(&den()), &spots, 0.7);
        assert!((area(&patches, |p| p.spot == Some(0)) - 1.2).abs() < 1e-9);
        assert!((area(&patches, |p| p.spot == Some(1)) - 1.44).abs() < 1e-9);
        assert!((area(&patches, |p| p.surface == Surface::Wall(0)) - 9.6).abs() < 1e-9);
    }

    #[test]
    fn a_gables_slope_is_cut_too() {
        let corners = [(0.0, 0.0), (0.0, 6.5), (5.0, 6.5), (5.0, 0.0)];
        let plan = Plan::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec()).unwrap();
        let roof = Ceiling::gable(&plan, [3, 1], Metres(0.0), Metres(1.9), Metres(3.2)).unwrap();
        let solid = Solid::new(plan, roof, vec![]).unwrap();
        let patches = patches(&facets(&solid), &[], 0.8);
        let whole: f64 = solid.areas().iter().map(|(_, area)| area.0).sum();
        assert!((area(&patches, |_| true) - whole).abs() < 1e-9);
    }
}
