//! The light between a projector's lens and its picture, and how far things are from it.

use std::f64::consts::TAU;

use analysis::{
    Analysis, Body, Known, Means, Missing, ProjectorPlace, Uncertain, Vector3, item_label,
};
use geometry::{Convex, Point3, UprightCylinder};
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

    /// Signed distance from the beam with these numbers, m.
    fn distance(&self, beam: &Convex, x: &[f64]) -> f64 {
        let distance = match self {
            Self::Box(_) => oriented_box([x[0], x[1], x[2]], [x[3], x[4]], [x[5], x[6], x[7]])
                .map(|body| beam.clearance(&Convex::from(&body))),
            Self::Person(_) => {
                let foot = Point3::new(x[0], x[1], x[2]);
                UprightCylinder::new(foot, Metres(PERSON_RADIUS_M), Metres(x[3].max(1e-3)))
                    .ok()
                    .map(|person| beam.clearance_to_cylinder(&person))
            }
        };
        distance.map_or(f64::INFINITY, |clearance| clearance.signed.0)
    }
}

/// The beam of one projector.
pub(crate) struct Beam<'a> {
    analysis: &'a Analysis,
    /// Lens; picture's middle, direction to the right, width, height.
    inputs: [Uncertain; 10],
    now: Convex,
    lens_radius: Uncertain,
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
        Ok(Self {
            analysis,
            inputs,
            now,
            lens_radius: diameter / 2.0,
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

    /// The gap by best estimates, m.
    pub fn gap_value(&self, shape: &Shape) -> f64 {
        let inputs = self.inputs.iter().chain(shape.inputs());
        let at: Vec<f64> = inputs.map(Uncertain::value).collect();
        let (_, thing) = at.split_at(self.inputs.len());
        let distance = (self.analysis)
            .remembered_value(shape.function(), &at, || shape.distance(&self.now, thing));
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
        let distance = through_many(inputs, |x| {
            let (beam, thing) = x.split_at(self.inputs.len());
            let is_moved = !beam
                .iter()
                .copied()
                .eq(self.inputs.iter().map(Uncertain::value));
            // A step of a thousandth of a tolerance leaves a pyramid a pyramid.
            let moved = is_moved.then(|| pyramid(beam)).flatten();
            vec![shape.distance(moved.as_ref().unwrap_or(&self.now), thing)]
        });
        distance.into_iter().next().unwrap_or_default()
    }

    /// The gap with the lens moved, m.
    pub fn gap_with_lens_moved(&self, shape: &Shape, by: [f64; 3]) -> f64 {
        let mut at = self.inputs.each_ref().map(Uncertain::value);
        (0..3).for_each(|k| at[k] += by[k]);
        let thing: Vec<f64> = shape.inputs().iter().map(Uncertain::value).collect();
        let distance = pyramid(&at).map_or(f64::NEG_INFINITY, |beam| shape.distance(&beam, &thing));
        distance - self.lens_radius.value()
    }

    /// The gap with the thing moved, m.
    pub fn gap_with_thing_moved(&self, shape: &Shape, by: [f64; 3]) -> f64 {
        let mut at: Vec<f64> = shape.inputs().iter().map(Uncertain::value).collect();
        (0..3).for_each(|k| at[k] += by[k]);
        shape.distance(&self.now, &at) - self.lens_radius.value()
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
