//! Voids in which a cable runs along joists freely and across them by holes: joist bays, attic,
//! crawl space, the inside of a soffit.
//!
//! Length: `|Δ along| + |Δ across| + |Δ up|`, on the surface of a sloped roof where there is one.
//! Holes: the joists whose centre lies between both places.

use geometry::{Ceiling, Point2, Point3, Vec2};

use crate::graph::{Holes, Obstacle};
use crate::medium::{Hazard, Medium};
use crate::weights::Times;
use units::Metres;

/// One void.
#[derive(Clone, Debug)]
pub struct Void {
    /// What it is.
    pub medium: Medium,
    /// Unit direction in which joists run, and cables square to it.
    pub along: Vec2,
    /// A point that joists are counted from.
    pub origin: Point2,
    /// What has to be drilled to go across; nothing where cables lie on or hang under the joists.
    pub joists: Option<Joists>,
    /// The sloped surface that it lies on.
    pub surface: Option<Ceiling>,
    /// Height of a level void, m.
    pub height_m: f64,
    /// What makes it dangerous.
    pub hazard: Option<Hazard>,
    /// Time for each metre, s/m.
    pub time_s_per_m: f64,
    /// Time for each hole, s.
    pub hole_s: f64,
}

/// Joists or rafters to be drilled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Joists {
    /// Centre of one of them, square to their direction from the void's origin, m.
    pub first_m: Option<f64>,
    /// Centre to centre, m.
    pub spacing_m: f64,
    /// Whether nobody knows which way they run.
    pub either_way: bool,
    /// The unknown fact, by the caller's number.
    pub doubt: Option<usize>,
}

/// The way from one place in a void to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Along the joists, m.
    pub along_m: f64,
    /// Square to them, m.
    pub across_m: f64,
    /// Whether the part along comes first.
    pub along_first: bool,
    /// Where it turns.
    pub corner: Point3,
    /// What is drilled.
    pub holes: Option<Holes>,
}

impl Void {
    /// Without joists to drill or slopes.
    pub fn open(medium: Medium, along: Vec2, height: Metres, times: &Times) -> Self {
        Self {
            medium,
            along,
            origin: Point2::default(),
            joists: None,
            surface: None,
            height_m: height.0,
            hazard: None,
            time_s_per_m: times.along(medium, Metres(1.0)).0,
            hole_s: times.hole.0,
        }
    }

    /// Height above a point in plan, m.
    pub fn height_at(&self, plan: Point2) -> f64 {
        match &self.surface {
            Some(surface) => surface.height_at(plan).0,
            None => self.height_m,
        }
    }

    pub(crate) fn least_s_per_m(&self) -> f64 {
        self.time_s_per_m
    }

    /// The way from one place to another; `void` is this void's own number.
    pub fn crossing(&self, void: usize, from: Point3, to: Point3) -> Crossing {
        self.crossing_from(self.crossing_in_plan(void, from, to), from, to)
    }

    /// As [`Void::crossing`], level: neither part is longer.
    pub(crate) fn crossing_in_plan(&self, void: usize, from: Point3, to: Point3) -> Crossing {
        let [a, b] = [from, to].map(Point3::on_plan);
        let along_m = (b - a).dot(self.along);
        Crossing {
            along_m: along_m.abs(),
            across_m: self.along.cross(b - a).abs(),
            along_first: true,
            corner: (a + self.along * along_m).at_height(from.z),
            holes: self.holes(void, a, b),
        }
    }

    /// As [`Void::crossing`], from the way in plan.
    pub(crate) fn crossing_from(&self, in_plan: Crossing, from: Point3, to: Point3) -> Crossing {
        let Some(surface) = &self.surface else {
            return Crossing {
                across_m: in_plan.across_m + (to.z - from.z).abs(),
                ..in_plan
            };
        };
        let [a, b] = [from, to].map(Point3::on_plan);
        let turn_after_along = in_plan.corner.on_plan();
        let turn_after_across = b - self.along * (b - a).dot(self.along);
        let first = [
            on_surface(surface, a, turn_after_along),
            on_surface(surface, turn_after_along, b),
        ];
        let second = [
            on_surface(surface, turn_after_across, b),
            on_surface(surface, a, turn_after_across),
        ];
        let along_first = first[0] + first[1] <= second[0] + second[1] + 1e-12;
        let (corner, lengths) = match along_first {
            true => (turn_after_along, first),
            false => (turn_after_across, second),
        };
        Crossing {
            along_m: lengths[0],
            across_m: lengths[1],
            along_first,
            corner: corner.at_height(self.height_at(corner)),
            ..in_plan
        }
    }

    fn holes(&self, void: usize, from: Point2, to: Point2) -> Option<Holes> {
        let joists = self.joists.as_ref()?;
        let place = |point: Point2| self.along.cross(point - self.origin);
        let (first, sure, most) = joists.between(place(from), place(to));
        let (mut sure, mut most) = (sure, most);
        if joists.either_way {
            let along = |point: Point2| (point - self.origin).dot(self.along);
            let (_, other_sure, other_most) = joists.between(along(from), along(to));
            (sure, most) = (sure.min(other_sure), most.max(other_most));
        }
        // Cables that cross within half a metre of each other share their holes.
        let lane = (((from - self.origin).dot(self.along)).max((to - self.origin).dot(self.along))
            / 0.5)
            .round() as i32;
        (most > 0).then_some(Holes {
            obstacle: Obstacle::Joists(void),
            first,
            lane,
            sure,
            most,
            each_s: self.hole_s,
        })
    }
}

impl Joists {
    fn between(&self, a: f64, b: f64) -> (i32, u32, u32) {
        between(self.first_m, self.spacing_m, a, b)
    }
}

/// Nothing is framed closer than this, m; a spacing below it is a slip of the pen.
const SPACING_MIN_M: f64 = 0.05;

/// A spacing as far as it can be one.
pub(crate) fn real_spacing(spacing_m: f64) -> f64 {
    match spacing_m.is_finite() {
        true => spacing_m.max(SPACING_MIN_M),
        false => f64::MAX,
    }
}

/// The first member of a regular row between two places, and how many there are at least and
/// at most; a row whose start is unknown may have one more.
pub(crate) fn between(first_m: Option<f64>, spacing_m: f64, a: f64, b: f64) -> (i32, u32, u32) {
    let (low, high) = (a.min(b), a.max(b));
    let spacing_m = real_spacing(spacing_m);
    match first_m {
        Some(first_m) => {
            let index = |place: f64| (place - first_m) / spacing_m;
            // A place on a member's very centre counts as before it, so that parts add up.
            let (from, to) = (index(low).floor(), index(high).floor());
            let count = (to - from) as u32;
            ((from as i32).saturating_add(1), count, count)
        }
        None => {
            let count = (high - low) / spacing_m;
            let index = ((low / spacing_m).floor() as i32).saturating_add(1);
            (index, count.floor() as u32, count.ceil() as u32)
        }
    }
}

/// Length on a sloped surface above a straight line in plan, m.
fn on_surface(surface: &Ceiling, a: Point2, b: Point2) -> f64 {
    let step = b - a;
    let plan_m = step.length();
    if plan_m < 1e-12 {
        return 0.0;
    }
    let planes = surface.planes();
    let [above_a, above_b] = [a, b].map(|point| surface.surface_above(point));
    if above_a == above_b {
        // A plane that is an envelope's at both ends of a line is so between them.
        let [from, to] = [a, b].map(|point| planes[above_a].height_at(point).0);
        return plan_m.hypot(to - from);
    }
    let mut creases = Vec::new();
    for (index, one) in planes.iter().enumerate() {
        for other in &planes[index + 1..] {
            let gap = |point: Point2| one.height_at(point).0 - other.height_at(point).0;
            let (at_a, at_b) = (gap(a), gap(b));
            if at_a * at_b < 0.0 {
                creases.push(at_a / (at_a - at_b));
            }
        }
    }
    creases.sort_by(f64::total_cmp);
    let height = |part: f64| surface.height_at(a.towards(b, part)).0;
    let (mut length_m, mut from) = (0.0, (0.0, height(0.0)));
    for part in creases.into_iter().chain([1.0]) {
        let to = (part, height(part));
        length_m += (plan_m * (to.0 - from.0)).hypot(to.1 - from.1);
        from = to;
    }
    length_m
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joists(first_m: Option<f64>) -> Void {
        Void {
            joists: Some(Joists {
                first_m,
                spacing_m: 0.4,
                either_way: false,
                doubt: None,
            }),
            ..Void::open(
                Medium::JoistBay,
                Vec2::new(1.0, 0.0),
                Metres(2.4),
                &Times::PRACTICE,
            )
        }
    }

    fn holes(void: &Void, from: [f64; 2], to: [f64; 2]) -> [u32; 2] {
        let point = |[x, y]: [f64; 2]| Point3::new(x, y, 2.4);
        let crossing = void.crossing(0, point(from), point(to));
        crossing
            .holes
            .map_or([0, 0], |holes| [holes.sure, holes.most])
    }

    #[test]
    fn joists_between_are_drilled_and_those_along_are_not() {
        let void = joists(Some(0.2));
        assert_eq!(holes(&void, [0.0, 0.1], [5.0, 0.1]), [0, 0]);
        // Joists at 0.2, 0.6, 1.0 and 1.4 m; 1.5 m is past the fourth.
        assert_eq!(holes(&void, [0.0, 0.1], [0.0, 1.5]), [4, 4]);
        assert_eq!(holes(&void, [0.0, 1.5], [3.0, 0.1]), [4, 4]);
    }

    #[test]
    fn an_unknown_start_leaves_one_joist_open() {
        let void = joists(None);
        // 1.4 m at 0.4 m: three or four.
        assert_eq!(holes(&void, [0.0, 0.1], [0.0, 1.5]), [3, 4]);
        let mut either = void;
        either.joists.as_mut().unwrap().either_way = true;
        // 2 m along is five at most if they run the other way.
        assert_eq!(holes(&either, [0.0, 0.1], [1.9, 1.5]), [3, 5]);
    }

    /// Two slopes of 3:4 over 4 m each: 5 m up, 5 m down.
    fn gable() -> Void {
        let planes = vec![
            geometry::Plane {
                slope_x: 0.75,
                slope_y: 0.0,
                height_m: 2.0,
            },
            geometry::Plane {
                slope_x: -0.75,
                slope_y: 0.0,
                height_m: 8.0,
            },
        ];
        let surface = Ceiling::new(planes, geometry::Join::Lower).unwrap();
        Void {
            surface: Some(surface),
            ..joists(Some(0.2))
        }
    }

    #[test]
    fn over_a_ridge_the_slope_is_measured() {
        let crossing = gable().crossing(0, Point3::new(0.0, 0.1, 2.0), Point3::new(8.0, 0.1, 2.0));
        assert!((crossing.along_m - 10.0).abs() < 1e-9);
        assert_eq!(crossing.holes, None);
    }

    #[test]
    fn on_one_slope_the_line_is_straight() {
        // 4 m in plan at 3:4 are 5 m; square to the slope nothing is added.
        let surface = gable().surface.unwrap();
        let [a, b] = [0.0, 4.0].map(|x| Point2::new(x, 0.3));
        assert!((on_surface(&surface, a, b) - 5.0).abs() < 1e-12);
        let beside = Point2::new(0.0, 2.3);
        assert!((on_surface(&surface, a, beside) - 2.0).abs() < 1e-12);
        // Behind the ridge a part of it is on the other slope.
        let over = Point2::new(5.0, 0.3);
        assert!((on_surface(&surface, a, over) - 6.25).abs() < 1e-12);
    }

    #[test]
    fn no_part_is_longer_in_plan() {
        for void in [gable(), joists(None)] {
            for step in 0..200 {
                let place = |by: f64| {
                    let turn = f64::from(step) * by;
                    Point3::new(8.0 * turn.sin().abs(), 3.0 * turn.cos(), 2.0 + turn.sin())
                };
                let (from, to) = (place(0.7), place(1.3));
                let (in_plan, it) = (
                    void.crossing_in_plan(0, from, to),
                    void.crossing(0, from, to),
                );
                assert!(in_plan.along_m <= it.along_m + 1e-12);
                assert!(in_plan.across_m <= it.across_m + 1e-12);
                assert_eq!(in_plan.holes, it.holes);
            }
        }
    }
}
