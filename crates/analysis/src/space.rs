//! The shape of one space: adjusted corners, ceiling planes, solid, volume.

use std::cell::OnceCell;
use std::fmt;

use geometry::{
    Ceiling, CeilingError, HangingBox, HipPitch, Join, Plan, PlanRect, Point2, Solid, SolidError,
    Surface, Vec2,
};
use model::{CeilingJoin, CeilingShape, FromWall, Length, Space, SpaceKind};
use uncertainty::{Uncertain, Vector2, Vector3, through_many};
use units::Metres;

use crate::closure::{Closure, FailedClosure, close};
use crate::{Analysis, Known, Means, Missing};

/// The shape of one space.
pub struct SpaceModel {
    closure: Known<Closure>,
    failed_closure: Option<Box<FailedClosure>>,
    corners: Vec<Vector2>,
    frames: Vec<WallFrame>,
    planes: Result<CeilingPlanes, Unbuilt>,
    solid: OnceCell<Result<Solid, Unbuilt>>,
    measures: OnceCell<Known<Measures>>,
    boxes: Known<Vec<HangingBox>>,
    name: String,
    id: String,
}

/// Measurements that are all there and make no room.
#[derive(Clone, Debug, PartialEq)]
pub enum ShapeFault {
    /// The ceiling's own measures contradict each other.
    Ceiling(CeilingError),
    /// Walls, ceiling and soffits enclose no air.
    Solid(SolidError),
}

/// Why a part of the shape is not there.
enum Unbuilt {
    Missing(Missing),
    Fault(ShapeFault),
}

impl From<Missing> for Unbuilt {
    fn from(missing: Missing) -> Self {
        Self::Missing(missing)
    }
}

/// A wall's left end, unit vector to its right end, and unit vector into the room.
type WallFrame = (Vector2, Vector2, Vector2);

struct CeilingPlanes {
    /// Each plane's slope along x, slope along y, height at the origin.
    planes: Vec<[Uncertain; 3]>,
    join: Join,
    best: Ceiling,
}

/// Volume and exposed areas.
struct Measures {
    volume: Uncertain,
    areas: Vec<(Surface, Uncertain)>,
}

impl SpaceModel {
    pub(crate) fn new(analysis: &Analysis, space: &Space) -> Self {
        let (closure, failed_closure, corners) = match close(analysis, space) {
            Ok((closure, corners)) => (Ok(closure), None, corners),
            Err(open) => (Err(open.missing), open.failed, Vec::new()),
        };
        let mut model = Self {
            closure,
            failed_closure,
            frames: frames(&corners),
            corners,
            planes: Err(Missing::new("", "", Means::OutsideModel).into()),
            solid: OnceCell::new(),
            measures: OnceCell::new(),
            boxes: Ok(Vec::new()),
            name: space.label().to_owned(),
            id: space.id.clone(),
        };
        model.planes = model.ceiling_planes(analysis, space);
        model.boxes = model.soffits(analysis, space);
        model
    }

    /// How well the walls close; missing when walls are not measured or cannot close.
    pub fn closure(&self) -> Known<&Closure> {
        self.closure.as_ref().map_err(Clone::clone)
    }

    /// Walls that are all measured and enclose no room, with what would explain it.
    pub fn failed_closure(&self) -> Option<&FailedClosure> {
        self.failed_closure.as_deref()
    }

    /// Why ceiling and soffits make no room, where nothing is missing.
    pub fn shape_fault(&self) -> Option<&ShapeFault> {
        match (&self.planes, self.built()) {
            (Err(Unbuilt::Fault(fault)), _) | (_, Err(Unbuilt::Fault(fault))) => Some(fault),
            _ => None,
        }
    }

    /// Corner `i` is the left end of wall `i`.
    pub fn corners(&self) -> Known<&[Vector2]> {
        self.closure()?;
        Ok(&self.corners)
    }

    /// Best estimates of the corners.
    pub fn outline(&self) -> Known<Vec<Point2>> {
        Ok(self
            .corners()?
            .iter()
            .map(|corner| Point2::new(corner.x.value(), corner.y.value()))
            .collect())
    }

    /// A wall's left end, unit vector to its right end, and unit vector into the room.
    pub fn wall_frame(&self, wall: usize) -> Known<(Vector2, Vector2, Vector2)> {
        self.frame(wall).cloned()
    }

    fn frame(&self, wall: usize) -> Known<&WallFrame> {
        self.closure()?;
        Ok(&self.frames[wall])
    }

    /// As [`SpaceModel::wall_frame`], by best estimates alone.
    pub fn wall_frame_m(&self, wall: usize) -> Known<[[f64; 2]; 3]> {
        let (left, along, inward) = self.frame(wall)?;
        Ok([left, along, inward].map(Vector2::value))
    }

    /// As [`SpaceModel::wall_length`], the best estimate alone, m.
    pub fn wall_length_m(&self, wall: usize) -> Known<f64> {
        let corners = self.corners()?;
        let [from, to] = [wall, (wall + 1) % corners.len()].map(|at| corners[at].value());
        Ok((to[0] - from[0]).hypot(to[1] - from[1]))
    }

    /// A wall's length after the adjustment.
    pub fn wall_length(&self, wall: usize) -> Known<Uncertain> {
        let corners = self.corners()?;
        Ok((&corners[(wall + 1) % corners.len()] - &corners[wall]).norm())
    }

    /// A point on a wall, `off` it into the room.
    pub fn point_on_wall(
        &self,
        wall: usize,
        from_left: &Uncertain,
        height: &Uncertain,
        off: &Uncertain,
    ) -> Known<Vector3> {
        let (left, along, inward) = self.frame(wall)?;
        let plan = &(left + &along.scaled(from_left)) + &inward.scaled(off);
        Ok(plan.at_height(height.clone()))
    }

    /// Distance along a wall from its left end, and distance off it, of a point in plan.
    pub fn on_wall(&self, wall: usize, point: &Vector2) -> Known<(Uncertain, Uncertain)> {
        let (left, along, inward) = self.frame(wall)?;
        let offset = point - left;
        Ok((offset.dot(along), offset.dot(inward)))
    }

    /// The point at given distances from two walls.
    pub fn point_from_walls(
        &self,
        walls: [usize; 2],
        distances: [&Uncertain; 2],
    ) -> Known<Vector2> {
        let (a, a_along, a_inward) = self.frame(walls[0])?;
        let (b, b_along, b_inward) = self.frame(walls[1])?;
        let a = a + &a_inward.scaled(distances[0]);
        let b = b + &b_inward.scaled(distances[1]);
        let turn = a_along.cross(b_along);
        if turn.value().abs() < 0.05 {
            return Err(Missing::new(
                format!(
                    "distances from two walls of {} that are not parallel",
                    self.name
                ),
                format!("space.{}", self.id),
                Means::Tape,
            ));
        }
        let t = (&b - &a).cross(b_along) / turn;
        Ok(&a + &a_along.scaled(&t))
    }

    /// The ceiling's height above the floor at a point in plan, soffits aside.
    pub fn ceiling_at(&self, point: &Vector2) -> Known<Uncertain> {
        let ceiling = self.planes()?;
        let height =
            |plane: &[Uncertain; 3]| &plane[0] * &point.x + &plane[1] * &point.y + &plane[2];
        let heights = ceiling.planes.iter().map(height);
        let best = match ceiling.join {
            Join::Lower => heights.reduce(|a, b| a.min(&b)),
            Join::Upper => heights.reduce(|a, b| a.max(&b)),
        };
        best.ok_or_else(|| self.ask_ceiling())
    }

    /// How far a point in plan is, along a unit direction, from where the ceiling has come
    /// down to a height, m; nothing where it never does.
    pub fn ceiling_comes_down(
        &self,
        from: &Vector2,
        towards: &Vector2,
        height: &Uncertain,
    ) -> Known<Option<Uncertain>> {
        let ceiling = self.planes()?;
        let distances = ceiling.planes.iter().map(|[slope_x, slope_y, level]| {
            let fall = -(slope_x * &towards.x + slope_y * &towards.y);
            let above = slope_x * &from.x + slope_y * &from.y + level - height;
            (fall.value() > 1e-6).then(|| above / fall)
        });
        Ok(match ceiling.join {
            Join::Lower => distances.flatten().reduce(|a, b| a.min(&b)),
            // The highest plane is the ceiling: every one has to come down.
            Join::Upper => {
                let distances: Option<Vec<Uncertain>> = distances.collect();
                distances.and_then(|all| all.into_iter().reduce(|a, b| a.max(&b)))
            }
        })
    }

    /// A plane of the ceiling: its slope along x, along y, and its height at the origin.
    pub fn ceiling_plane(&self, plane: usize) -> Known<&[Uncertain; 3]> {
        let planes = &self.planes()?.planes;
        planes.get(plane).ok_or_else(|| self.ask_ceiling())
    }

    /// The ceiling's best estimate.
    pub fn ceiling(&self) -> Known<&Ceiling> {
        Ok(&self.planes()?.best)
    }

    /// Whether the ceiling is level everywhere.
    pub fn has_level_ceiling(&self) -> Known<bool> {
        let planes = self.ceiling()?.planes();
        Ok(planes.len() == 1 && planes[0].slope_x.abs() < 1e-9 && planes[0].slope_y.abs() < 1e-9)
    }

    /// Soffits and beams, best estimates.
    pub fn boxes(&self) -> Known<&[HangingBox]> {
        Ok(self.boxes.as_ref().map_err(Clone::clone)?)
    }

    /// The watertight solid of the room's air.
    pub fn solid(&self) -> Known<&Solid> {
        (self.built().as_ref()).map_err(|unbuilt| self.why_unbuilt(unbuilt))
    }

    fn built(&self) -> &Result<Solid, Unbuilt> {
        self.solid.get_or_init(|| {
            let plan = Plan::new(self.outline()?)
                .map_err(|error| self.does_not_close(&error.to_string()))?;
            let ceiling = self.ceiling()?.clone();
            let boxes = self.boxes()?.to_vec();
            Solid::new(plan, ceiling, boxes)
                .map_err(|error| Unbuilt::Fault(ShapeFault::Solid(error)))
        })
    }

    fn planes(&self) -> Known<&CeilingPlanes> {
        (self.planes.as_ref()).map_err(|unbuilt| self.why_unbuilt(unbuilt))
    }

    fn why_unbuilt(&self, unbuilt: &Unbuilt) -> Missing {
        match unbuilt {
            Unbuilt::Missing(missing) => missing.clone(),
            Unbuilt::Fault(ShapeFault::Ceiling(error)) => self.does_not_close(&error.to_string()),
            Unbuilt::Fault(ShapeFault::Solid(error)) => self.does_not_close(&error.to_string()),
        }
    }

    /// Volume of the air, m³.
    pub fn volume(&self) -> Known<Uncertain> {
        Ok(self.measures()?.volume.clone())
    }

    /// Exposed area of each surface, m².
    pub fn areas(&self) -> Known<&[(Surface, Uncertain)]> {
        Ok(&self.measures()?.areas)
    }

    fn measures(&self) -> Known<&Measures> {
        self.measures
            .get_or_init(|| self.measure())
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Differentiates the solid's volume and areas over corners and ceiling planes.
    fn measure(&self) -> Known<Measures> {
        let solid = self.solid()?;
        let surfaces: Vec<Surface> = solid
            .areas()
            .into_iter()
            .map(|(surface, _)| surface)
            .collect();
        let ceiling = self.planes()?;
        let boxes = self.boxes()?;
        let corners = self.corners()?;
        let mut inputs: Vec<&Uncertain> = corners
            .iter()
            .flat_map(|corner| [&corner.x, &corner.y])
            .collect();
        inputs.extend(ceiling.planes.iter().flatten());
        let count = corners.len();
        let results = through_many(&inputs, |x| {
            let outline = x[..2 * count]
                .chunks(2)
                .map(|c| Point2::new(c[0], c[1]))
                .collect();
            let planes = x[2 * count..]
                .chunks(3)
                .map(|c| geometry::Plane {
                    slope_x: c[0],
                    slope_y: c[1],
                    height_m: c[2],
                })
                .collect();
            let moved = Plan::new(outline).ok().and_then(|plan| {
                Solid::new(
                    plan,
                    Ceiling::new(planes, ceiling.join).ok()?,
                    boxes.to_vec(),
                )
                .ok()
            });
            // A step of a thousandth of a tolerance cannot open a solid that is closed,
            // unless it stands on the very edge of it; then the slope there is taken as zero.
            let solid = moved.as_ref().unwrap_or(solid);
            std::iter::once(solid.volume().0)
                .chain(surfaces.iter().map(|surface| solid.area(*surface).0))
                .collect()
        });
        let mut results = results.into_iter();
        let volume = results.next().expect("the first result is the volume");
        Ok(Measures {
            volume,
            areas: surfaces.into_iter().zip(results).collect(),
        })
    }

    fn does_not_close(&self, why: &str) -> Missing {
        Missing::new(
            format!("a shape of {} that closes: {why}", self.name),
            format!("space.{}", self.id),
            Means::Tape,
        )
    }

    fn ask_ceiling(&self) -> Missing {
        Missing::new(
            format!("the ceiling of {}", self.name),
            format!("space.{}.ceiling", self.id),
            Means::Tape,
        )
    }

    fn soffits(&self, analysis: &Analysis, space: &Space) -> Known<Vec<HangingBox>> {
        let mut boxes = Vec::new();
        for soffit in &space.soffit {
            let at = format!("space.{}.soffit.{}", space.id, soffit.id);
            let ask = |what: &str| {
                Missing::new(
                    format!("the {what} of soffit {}", soffit.id),
                    at.clone(),
                    Means::Tape,
                )
            };
            let wall = space.wall(&soffit.from.0).ok_or_else(|| ask("wall"))?;
            let near = self.corner_from(analysis, space, &soffit.from, &soffit.and, &at)?;
            let value = |length: &Length, what: &str| length.value().ok_or_else(|| ask(what));
            let (length, depth) = (
                value(&soffit.size[0], "length")?,
                value(&soffit.size[1], "depth")?,
            );
            let underside = value(&soffit.underside, "underside")?;
            let (_, along, inward) = self.wall_frame(wall)?;
            // The corner is the one nearest to both walls; the box runs away from the second.
            let other = space.wall(&soffit.and.0).ok_or_else(|| ask("wall"))?;
            let (_, _, away) = self.wall_frame(other)?;
            let sign = if along.dot(&away).value() >= 0.0 {
                1.0
            } else {
                -1.0
            };
            let [ax, ay] = along.value();
            let [ix, iy] = inward.value();
            let [x, y] = near.value();
            let centre = Point2::new(
                x + sign * ax * length / 2.0 + ix * depth / 2.0,
                y + sign * ay * length / 2.0 + iy * depth / 2.0,
            );
            let rect = PlanRect {
                centre,
                along: Vec2::new(ax, ay),
                length_m: length,
                width_m: depth,
            };
            boxes.push(HangingBox {
                rect,
                underside_m: underside,
            });
        }
        Ok(boxes)
    }

    /// The point that a fact states by distances from two walls.
    pub fn corner_from(
        &self,
        analysis: &Analysis,
        space: &Space,
        from: &FromWall,
        and: &FromWall,
        at: impl fmt::Display,
    ) -> Known<Vector2> {
        let wall = |name: &str| {
            space.wall(name).ok_or_else(|| {
                let at = at.to_string();
                let thing = analysis.thing_at(&at);
                let what = format!("a wall called {name}, from which {thing} is measured");
                Missing::new(what, at, Means::Decide)
            })
        };
        let distance = |from: &FromWall, which: &str| {
            analysis.number(Some(&from.1)).ok_or_else(|| {
                let at = at.to_string();
                let what = format!(
                    "the distance of {} from wall {}",
                    analysis.thing_at(&at),
                    from.0
                );
                Missing::new(what, format!("{at}.{which}.1"), Means::Tape)
            })
        };
        let walls = [wall(&from.0)?, wall(&and.0)?];
        let distances = [&distance(from, "from")?, &distance(and, "and")?];
        self.point_from_walls(walls, distances).map_err(|missing| {
            let at = at.to_string();
            let what = format!("{} for {}", missing.what, analysis.thing_at(&at));
            Missing {
                what,
                at,
                ..missing
            }
        })
    }

    fn ceiling_planes(&self, analysis: &Analysis, space: &Space) -> Result<CeilingPlanes, Unbuilt> {
        let ceiling = match &space.ceiling {
            Some(ceiling) if space.kind != Some(SpaceKind::Outdoor) => ceiling,
            _ if space.kind == Some(SpaceKind::Outdoor) => {
                return Err(Missing::new(
                    format!("a ceiling: {} is open to the sky", space.label()),
                    format!("space.{}.ceiling", space.id),
                    Means::OutsideModel,
                )
                .into());
            }
            _ => return Err(self.ask_ceiling().into()),
        };
        let corners = self.corners()?;
        let ask = |what: &str, field: &str, means: Means| {
            Missing::new(
                format!("the ceiling's {what} in {}", space.label()),
                format!("space.{}.ceiling.{field}", space.id),
                means,
            )
        };
        // Which wall it is needs eyes, not a tape.
        let which = |what: &str, field: &str| ask(what, field, Means::Look);
        let number = |fact: &Option<Length>, what: &str, field: &str| {
            let number = analysis.number(fact.as_ref());
            number.ok_or_else(|| ask(what, field, Means::Tape))
        };
        let mut heights: Vec<Uncertain> = Vec::new();
        // What the engine needs besides corners and heights: all of it plain indices.
        type Build = Box<dyn Fn(&Plan, &[f64]) -> Result<Ceiling, geometry::CeilingError>>;
        let build: Build = match ceiling.shape {
            CeilingShape::Flat => {
                heights.push(number(&ceiling.height, "height", "height")?);
                Box::new(|_, h| Ceiling::flat(Metres(h[0])))
            }
            CeilingShape::Shed => {
                let low = ceiling
                    .low
                    .as_deref()
                    .and_then(|wall| space.wall(wall))
                    .ok_or_else(|| which("low wall", "low"))?;
                heights.push(number(&ceiling.eaves, "height at the low wall", "eaves")?);
                heights.push(number(&ceiling.top, "height at the far corner", "top")?);
                Box::new(move |plan, h| Ceiling::shed(plan, low, Metres(h[0]), Metres(h[1])))
            }
            CeilingShape::Gable => {
                let ridge = ceiling
                    .ridge
                    .as_ref()
                    .and_then(|[a, b]| Some([space.wall(a)?, space.wall(b)?]));
                let ridge = ridge.ok_or_else(|| which("ridge walls", "ridge"))?;
                heights.push(number(&ceiling.eaves, "eaves height", "eaves")?);
                heights.push(number(&ceiling.top, "ridge height", "top")?);
                // Measured from the first wall's left corner, seen from inside; the engine
                // counts sideways from that wall's middle, to the right along the ridge, which
                // is to the left of somebody who faces the wall.
                let shift = match analysis.number(ceiling.ridge_from_left.as_ref()) {
                    Some(from_left) => self.wall_length(ridge[0])? / 2.0 - from_left,
                    None => Uncertain::exact(0.0),
                };
                heights.push(shift);
                Box::new(move |plan, h| {
                    Ceiling::gable(plan, ridge, Metres(h[2]), Metres(h[0]), Metres(h[1]))
                })
            }
            CeilingShape::Hip => {
                heights.push(number(&ceiling.eaves, "eaves height", "eaves")?);
                heights.push(number(&ceiling.top, "top height", "top")?);
                Box::new(|plan, h| Ceiling::hip(plan, Metres(h[0]), HipPitch::Top(Metres(h[1]))))
            }
            CeilingShape::Planes => {
                for (index, plane) in ceiling.planes.iter().enumerate() {
                    for (number, point) in plane.through.iter().enumerate() {
                        let field = format!("planes.{index}.through.{number}");
                        let at = format_args!("space.{}.ceiling.{field}", space.id);
                        let plan =
                            self.corner_from(analysis, space, &point.from, &point.and, at)?;
                        let height = analysis.number(Some(&point.height)).ok_or_else(|| {
                            let what =
                                format!("height at point {} of plane {}", number + 1, index + 1);
                            ask(&what, &format!("{field}.height"), Means::Tape)
                        })?;
                        heights.extend([plan.x, plan.y, height]);
                    }
                }
                if heights.is_empty() {
                    return Err(ask("planes", "planes", Means::Tape).into());
                }
                let join = match ceiling.join {
                    Some(CeilingJoin::Highest) => Join::Upper,
                    _ => Join::Lower,
                };
                Box::new(move |_, h| {
                    let point = |c: &[f64]| geometry::Point3::new(c[0], c[1], c[2]);
                    let points: Vec<[geometry::Point3; 3]> = h
                        .chunks(9)
                        .map(|c| [point(&c[..3]), point(&c[3..6]), point(&c[6..])])
                        .collect();
                    Ceiling::through(&points, join)
                })
            }
        };
        let count = corners.len();
        let mut inputs: Vec<&Uncertain> = corners
            .iter()
            .flat_map(|corner| [&corner.x, &corner.y])
            .collect();
        inputs.extend(&heights);
        let plan =
            Plan::new(self.outline()?).map_err(|error| self.does_not_close(&error.to_string()))?;
        let measured: Vec<f64> = heights.iter().map(Uncertain::value).collect();
        let best =
            build(&plan, &measured).map_err(|error| Unbuilt::Fault(ShapeFault::Ceiling(error)))?;
        let flat = |ceiling: &Ceiling| -> Vec<f64> {
            ceiling
                .planes()
                .iter()
                .flat_map(|plane| [plane.slope_x, plane.slope_y, plane.height_m])
                .collect()
        };
        let coefficients = through_many(&inputs, |x| {
            let outline = x[..2 * count]
                .chunks(2)
                .map(|c| Point2::new(c[0], c[1]))
                .collect();
            let moved = Plan::new(outline)
                .ok()
                .and_then(|plan| build(&plan, &x[2 * count..]).ok());
            flat(moved.as_ref().unwrap_or(&best))
        });
        let mut planes = Vec::new();
        let mut coefficients = coefficients.into_iter();
        while let (Some(a), Some(b), Some(c)) = (
            coefficients.next(),
            coefficients.next(),
            coefficients.next(),
        ) {
            planes.push([a, b, c]);
        }
        Ok(CeilingPlanes {
            planes,
            join: best.join(),
            best,
        })
    }
}

fn frames(corners: &[Vector2]) -> Vec<WallFrame> {
    let frame = |(wall, left): (usize, &Vector2)| {
        let along = (&corners[(wall + 1) % corners.len()] - left).unit();
        let inward = along.turned_right();
        (left.clone(), along, inward)
    };
    corners.iter().enumerate().map(frame).collect()
}
