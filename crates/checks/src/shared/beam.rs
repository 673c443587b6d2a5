//! The light between a projector's lens and its picture, and how far things are from it.

use std::f64::consts::TAU;

use analysis::{
    Analysis, Body, Known, Means, Missing, ProjectorPlace, Uncertain, Vector3, item_label,
};
use geometry::{Convex, Point3, UprightCylinder, Vec2, Vec3};
use optics::beam::Pyramid;
use optics::shadow::Shadow;
use optics::size::Sides;
use optics::{Picture, PictureSize, Pose};
use uncertainty::through_many;
use units::{Metres, Radians};

use crate::obstacles::oriented_box;

/// Half the width of a person's shoulders, m (from memory, body size tables).
pub(crate) const PERSON_RADIUS_M: f64 = 0.25;
/// Front lens of a home projector, m, and its 95 % interval: common practice, no source.
const LENS_DIAMETER_M: f64 = 0.060;
const LENS_DIAMETER_TOLERANCE_M: f64 = 0.030;

/// Corners that stand for somebody's round outline where a shadow is drawn.
const ROUND: u32 = 32;

/// What a thing is to the beam, and the numbers that place it.
#[derive(Clone)]
pub(crate) enum Shape {
    /// Middle, direction in plan, size along, up and across.
    Box([Uncertain; 8]),
    /// Middle of the foot, height.
    Person([Uncertain; 4]),
}

/// A shape by best estimates.
#[derive(Clone, Debug)]
pub enum Solid {
    /// A box.
    Body(Convex),
    /// Somebody who stands or sits.
    Person {
        /// Middle of the foot, m.
        foot_m: [f64; 3],
        /// Half the width of the shoulders, m.
        radius_m: f64,
        /// From foot to crown, m.
        height_m: f64,
    },
}

impl Shape {
    /// By best estimates; nothing for numbers that make no body.
    pub fn solid(&self) -> Option<Solid> {
        let x: Vec<f64> = self.inputs().iter().map(Uncertain::value).collect();
        match self {
            Self::Box(_) => oriented_box([x[0], x[1], x[2]], [x[3], x[4]], [x[5], x[6], x[7]])
                .map(|body| Solid::Body(Convex::from(&body))),
            Self::Person(_) => Some(Solid::Person {
                foot_m: [x[0], x[1], x[2]],
                radius_m: PERSON_RADIUS_M,
                height_m: x[3].max(1e-3),
            }),
        }
    }

    pub fn of(body: &Body) -> Self {
        let [length, height, width] = body.size.clone();
        let Vector3 { x, y, z } = body.centre.clone();
        let along = body.along.clone();
        Self::Box([x, y, z, along.x, along.y, length, height, width])
    }

    fn inputs(&self) -> &[Uncertain] {
        match self {
            Self::Box(numbers) => numbers,
            Self::Person(numbers) => numbers,
        }
    }

    /// The name of the function that gives its distance from a beam.
    fn function(&self) -> &'static str {
        match self {
            Self::Box(_) => "beam to box",
            Self::Person(_) => "beam to person",
        }
    }

    /// What it is with these numbers; nothing for numbers that make no body.
    fn at(&self, x: &[f64]) -> Option<Engine> {
        match self {
            Self::Box(_) => oriented_box([x[0], x[1], x[2]], [x[3], x[4]], [x[5], x[6], x[7]])
                .map(|body| Engine::Box(Convex::from(&body))),
            Self::Person(_) => {
                let foot = Point3::new(x[0], x[1], x[2]);
                UprightCylinder::new(foot, Metres(PERSON_RADIUS_M), Metres(x[3].max(1e-3)))
                    .ok()
                    .map(Engine::Person)
            }
        }
    }

    /// How far it is at least along a direction, from the frame's origin, by best estimates, m.
    fn least_along(&self) -> impl Fn(Vec3) -> f64 + use<> {
        let (middle, half, radius_m) = match self {
            Self::Box(numbers) => {
                let [x, y, z, ax, ay, length, height, width] =
                    numbers.each_ref().map(Uncertain::value);
                let along = Vec2::new(ax, ay).unit().unwrap_or(Vec2::new(1.0, 0.0));
                let side = |way: Vec2, size: f64| Vec3::new(way.x, way.y, 0.0) * size;
                let [length, height, width] = [length, height, width].map(|side| side.max(1e-3));
                let half = [
                    side(along, length / 2.0),
                    side(along.left(), width / 2.0),
                    Vec3::UP * (height / 2.0),
                ];
                (Vec3::new(x, y, z), half, 0.0)
            }
            Self::Person(numbers) => {
                let [x, y, foot, height] = numbers.each_ref().map(Uncertain::value);
                let up = Vec3::UP * (height.max(1e-3) / 2.0);
                let middle = Vec3::new(x, y, foot) + up;
                (
                    middle,
                    [up, Vec3::default(), Vec3::default()],
                    PERSON_RADIUS_M,
                )
            }
        };
        move |n| {
            let reach: f64 = half.iter().map(|half| half.dot(n).abs()).sum();
            middle.dot(n) - reach - radius_m * Vec2::new(n.x, n.y).length()
        }
    }
}

/// A thing as the engines know it.
enum Engine {
    Box(Convex),
    Person(UprightCylinder),
}

impl Engine {
    /// Signed distance from a beam, m.
    fn distance(&self, beam: &Convex) -> f64 {
        let clearance = match self {
            Self::Box(body) => beam.clearance(body),
            Self::Person(person) => beam.clearance_to_cylinder(person),
        };
        clearance.signed.0
    }
}

/// Signed distance of a beam from a thing, m; nothing is as far as can be.
fn distance(thing: Option<&Engine>, beam: &Convex) -> f64 {
    thing.map_or(f64::INFINITY, |thing| thing.distance(beam))
}

/// More than all rounding of a distance, m.
const ROUNDING_M: f64 = 1e-6;

/// The beam of one projector.
pub(crate) struct Beam<'a> {
    analysis: &'a Analysis,
    /// Lens; picture's middle, direction to the right, width, height.
    inputs: [Uncertain; 10],
    now: Convex,
    near: Near,
    lens_radius: Uncertain,
}

/// A beam's faces by best estimates: whether a thing may be near.
#[derive(Clone)]
pub(crate) struct Near {
    /// Outward directions, and how far the beam reaches along them, m.
    faces: Vec<(Vec3, f64)>,
    lens_radius_m: f64,
}

impl Near {
    /// What the gap is at least by best estimates, as the beam's faces alone tell it, m: much
    /// sooner known than [`Beam::gap_value`], and never more.
    pub fn gap_at_least(&self, shape: &Shape) -> f64 {
        let least_along = shape.least_along();
        let apart = (self.faces.iter())
            .map(|(n, reach)| least_along(*n) - reach)
            .fold(f64::NEG_INFINITY, f64::max);
        // Of bodies that overlap by their faces, more is not known.
        let apart = if apart > 0.0 {
            apart
        } else {
            f64::NEG_INFINITY
        };
        apart - self.lens_radius_m - ROUNDING_M
    }
}

impl<'a> Beam<'a> {
    pub fn new(analysis: &'a Analysis, projector: &ProjectorPlace<'_>) -> Known<Self> {
        let (lens, picture) = (&projector.lens.at, &projector.picture);
        let inputs = [
            lens.x.clone(),
            lens.y.clone(),
            lens.z.clone(),
            picture.centre.x.clone(),
            picture.centre.y.clone(),
            picture.centre.z.clone(),
            picture.face.right.x.clone(),
            picture.face.right.y.clone(),
            picture.width(),
            picture.height(),
        ];
        let at = inputs.each_ref().map(Uncertain::value);
        let now = pyramid(&at)
            .filter(|_| projector.lens.distance.value() > 0.0)
            .ok_or_else(|| {
                Missing::new(
                    format!(
                        "a place for {} before {}",
                        item_label(projector.item),
                        item_label(projector.screen)
                    ),
                    format!("item.{}", projector.item.id),
                    Means::Decide,
                )
            })?;
        let kit = projector.kit;
        let diameter = analysis
            .number(kit.lens_diameter.as_ref())
            .unwrap_or_else(|| {
                let id = &kit.common.id;
                analysis.assumed(
                    &format!("the front lens of {id}, taken as usual for a home projector"),
                    &format!("kit.projector.{id}.lens_diameter"),
                    LENS_DIAMETER_M,
                    LENS_DIAMETER_TOLERANCE_M,
                )
            });
        let lens_radius = diameter / 2.0;
        Ok(Self {
            analysis,
            inputs,
            near: Near {
                faces: now.faces().collect(),
                lens_radius_m: lens_radius.value(),
            },
            now,
            lens_radius,
        })
    }

    /// Half the width of the front lens, m.
    pub fn lens_radius_m(&self) -> f64 {
        self.lens_radius.value()
    }

    /// The part of the picture that a thing darkens, where it is wholly before the lens.
    pub fn shadow(&self, shape: &Shape) -> Option<Shadow> {
        let x = self.inputs.each_ref().map(Uncertain::value);
        let sides = Sides {
            width: Metres(x[8]),
            height: Metres(x[9]),
        };
        // Out of the picture, a quarter turn from the way to its right.
        let facing = Radians((-x[6]).atan2(x[7]));
        let pose = Pose {
            centre_m: [x[3], x[4], x[5]],
            facing,
            tilt: Radians(0.0),
        };
        let picture = Picture::new(PictureSize::from_sides(sides)?, pose)?;
        let beam = Pyramid::new([x[0], x[1], x[2]], picture)?;
        let corners: Vec<[f64; 3]> = match shape.solid()? {
            Solid::Body(body) => body.vertices().iter().map(|p| [p.x, p.y, p.z]).collect(),
            Solid::Person {
                foot_m: [x, y, z],
                radius_m,
                height_m,
            } => (0..ROUND)
                .flat_map(|corner| {
                    let angle = TAU * f64::from(corner) / f64::from(ROUND);
                    let (sine, cosine) = angle.sin_cos();
                    [0.0, height_m].map(|up| [x + radius_m * cosine, y + radius_m * sine, z + up])
                })
                .collect(),
        };
        beam.shadow(&corners)
    }

    /// As [`Near::gap_at_least`].
    pub fn gap_at_least(&self, shape: &Shape) -> f64 {
        self.near.gap_at_least(shape)
    }

    /// What tells which things are near it.
    pub fn near(&self) -> Near {
        self.near.clone()
    }

    /// Of shapes the one with the least gap by best estimates, the first of equal ones, with
    /// that gap, m.
    pub fn nearest<'s>(&self, shapes: &'s [Shape]) -> Option<(f64, &'s Shape)> {
        let mut nearest: Option<(f64, &Shape)> = None;
        for shape in shapes {
            if nearest.is_some_and(|(least, _)| self.gap_at_least(shape) > least) {
                continue;
            }
            let gap = self.gap_value(shape);
            if nearest.is_none_or(|(least, _)| gap.total_cmp(&least).is_lt()) {
                nearest = Some((gap, shape));
            }
        }
        nearest
    }

    /// The gap by best estimates, m.
    pub fn gap_value(&self, shape: &Shape) -> f64 {
        let inputs = self.inputs.iter().chain(shape.inputs());
        let at: Vec<f64> = inputs.map(Uncertain::value).collect();
        let (_, thing) = at.split_at(self.inputs.len());
        let distance = (self.analysis).remembered_value(shape.function(), &at, || {
            distance(shape.at(thing).as_ref(), &self.now)
        });
        distance - self.lens_radius.value()
    }

    /// The gap, m.
    pub fn gap(&self, shape: &Shape) -> Uncertain {
        let inputs: Vec<&Uncertain> = self.inputs.iter().chain(shape.inputs()).collect();
        let distance = || self.distance(shape, &inputs);
        let distance = (self.analysis).remembered(shape.function(), &inputs, distance);
        distance - &self.lens_radius
    }

    fn distance(&self, shape: &Shape, inputs: &[&Uncertain]) -> Uncertain {
        let still: Vec<f64> = inputs.iter().map(|input| input.value()).collect();
        let (beam_still, thing_still) = still.split_at(self.inputs.len());
        let thing_now = shape.at(thing_still);
        let nearby = match &thing_now {
            Some(Engine::Box(body)) => self.now.nearby(body),
            _ => None,
        };
        let distance = through_many(inputs, |x| {
            let (beam, thing) = x.split_at(self.inputs.len());
            // A step of a thousandth of a tolerance leaves a pyramid a pyramid.
            let moved = (beam != beam_still).then(|| pyramid(beam)).flatten();
            let beam = moved.as_ref().unwrap_or(&self.now);
            let moved = (thing != thing_still).then(|| shape.at(thing));
            let thing = moved.as_ref().unwrap_or(&thing_now).as_ref();
            let quick = match (&nearby, thing) {
                (Some(nearby), Some(Engine::Box(body))) => nearby.distance(beam, body),
                _ => None,
            };
            vec![quick.map_or_else(|| distance(thing, beam), |quick| quick.0)]
        });
        distance.into_iter().next().unwrap_or_default()
    }

    /// The gap with the lens moved, m.
    pub fn gap_with_lens_moved(&self, shape: &Shape, by: [f64; 3]) -> f64 {
        let mut at = self.inputs.each_ref().map(Uncertain::value);
        (0..3).for_each(|k| at[k] += by[k]);
        let thing: Vec<f64> = shape.inputs().iter().map(Uncertain::value).collect();
        let distance = pyramid(&at).map_or(f64::NEG_INFINITY, |beam| {
            distance(shape.at(&thing).as_ref(), &beam)
        });
        distance - self.lens_radius.value()
    }

    /// The gap with the thing moved, m.
    pub fn gap_with_thing_moved(&self, shape: &Shape, by: [f64; 3]) -> f64 {
        let mut at: Vec<f64> = shape.inputs().iter().map(Uncertain::value).collect();
        (0..3).for_each(|k| at[k] += by[k]);
        distance(shape.at(&at).as_ref(), &self.now) - self.lens_radius.value()
    }
}

fn pyramid(x: &[f64]) -> Option<Convex> {
    let corner = |across: f64, up: f64| {
        Point3::new(
            x[3] + x[6] * across * x[8] / 2.0,
            x[4] + x[7] * across * x[8] / 2.0,
            x[5] + up * x[9] / 2.0,
        )
    };
    let corners = [
        corner(-1.0, -1.0),
        corner(1.0, -1.0),
        corner(1.0, 1.0),
        corner(-1.0, 1.0),
    ];
    Convex::pyramid(Point3::new(x[0], x[1], x[2]), corners).ok()
}

#[cfg(test)]
mod tests {
    //! What the beam's faces tell is never more than the gap.

    use analysis::Analysis;

    use super::*;
    use crate::testing::{ROOM, job};

    #[test]
    fn faces_tell_at_most_the_gap() {
        let analysis = Analysis::new(job(&format!(
            r#"{ROOM}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "5 m"], and = ["north", "2 m"], drop = "100 mm" }}
"#
        )));
        let space = &analysis.job().space[0];
        let (item, kit) = analysis.projectors_in(space).next().expect("one");
        let projector = analysis.projector(item, kit).expect("its place is known");
        let beam = Beam::new(&analysis, &projector).expect("it shines");
        let exact = Uncertain::exact;
        let mut shapes = Vec::new();
        for place in 0..400 {
            let step = |every: u32, of: u32| f64::from(place / every % of) / f64::from(of);
            let (x, y, z) = (6.0 * step(1, 10), 4.0 * step(10, 8), 2.4 * step(80, 5));
            let (sine, cosine) = f64::from(place).sin_cos();
            shapes.push(Shape::Box(
                [x, y, z, cosine, sine, 0.4, 0.2, 0.1 * f64::from(place % 9)].map(exact),
            ));
            shapes.push(Shape::Person([x, y, 0.0, z].map(exact)));
        }
        let mut clear = 0;
        for shape in &shapes {
            let gap = beam.gap_value(shape);
            let least = beam.gap_at_least(shape);
            assert!(least <= gap, "{least} {gap}");
            clear += usize::from(least > 0.2);
        }
        assert!(clear > 100, "{clear}");
        for few in shapes.chunks(7) {
            let plain = (few.iter().map(|shape| beam.gap_value(shape)).enumerate())
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let (least, shape) = beam.nearest(few).expect("some");
            let (at, gap) = plain.expect("some");
            assert!(std::ptr::eq(shape, &few[at]));
            assert_eq!(least, gap);
        }
    }
}
