//! How high is the ceiling, above every point of the plan and along every wall?
//!
//! A ceiling is the lower or the upper envelope of a few planes:
//! z(x, y) = min or max over *i* of (aᵢ x + bᵢ y + cᵢ). The lower envelope gives
//! flat, shed, gable and hip ceilings; the upper one valleys.
//! Planes are never vertical. Boxes that hang from it belong to the solid.

use thiserror::Error;
use units::{Metres, Radians};

use crate::plan::{self, Plan, PlanError, Wall};
use crate::{Point2, Point3, Vec2};

/// A sloping plane over the plan: height = `slope_x` x + `slope_y` y + `height_m`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Rise per metre along x.
    pub slope_x: f64,
    /// Rise per metre along y.
    pub slope_y: f64,
    /// Height at the plan's origin, m.
    pub height_m: f64,
}

impl Plane {
    /// The level plane at this height.
    pub const fn level(height_m: f64) -> Self {
        Self {
            slope_x: 0.0,
            slope_y: 0.0,
            height_m,
        }
    }

    /// The plane through this place that rises by `slope` per metre along `uphill` (length 1).
    fn rising(at: Point2, height_m: f64, uphill: Vec2, slope: f64) -> Self {
        let (slope_x, slope_y) = (uphill.x * slope, uphill.y * slope);
        Self {
            slope_x,
            slope_y,
            height_m: height_m - slope_x * at.x - slope_y * at.y,
        }
    }

    /// Height above the plan point, m.
    pub fn height_at(&self, point: Point2) -> Metres {
        Metres(self.at(point))
    }

    pub(crate) fn at(&self, point: Point2) -> f64 {
        self.slope_x * point.x + self.slope_y * point.y + self.height_m
    }

    /// Steepest rise per metre of plan.
    pub fn slope(&self) -> f64 {
        self.slope_x.hypot(self.slope_y)
    }

    /// Angle to the level.
    pub fn pitch(&self) -> Radians {
        Radians(self.slope().atan())
    }
}

/// Which envelope of the planes is the ceiling.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub enum Join {
    /// The lowest plane counts: flat, shed, gable, hip.
    Lower,
    /// The highest plane counts: valley, butterfly.
    Upper,
}

/// The ceiling of a room.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    planes: Vec<Plane>,
    join: Join,
}

/// How a hip ceiling's rise is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HipPitch {
    /// Every plane rises at this angle to the level.
    Angle(Radians),
    /// The ridge or peak is at this height.
    Top(Metres),
}

/// Height of something along a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WallPoint {
    /// Distance from the wall's left end, m.
    pub from_left_m: f64,
    /// Height above the floor, m.
    pub height_m: f64,
}

/// Why a ceiling is refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum CeilingError {
    /// A measure is infinite or not a number.
    #[error("the ceiling's {what} is not a finite number")]
    NotFinite {
        /// The measure.
        what: &'static str,
    },
    /// A height below the floor.
    #[error("the ceiling's {what} is {height_m:.3} m: it must be above the floor")]
    BelowFloor {
        /// The measure.
        what: &'static str,
        /// Its value, m.
        height_m: f64,
    },
    /// The high measure is below the low one.
    #[error("the ceiling's {high} ({high_m:.3} m) is {under_m:.3} m below its {low}; are they swapped?", under_m = low_m - high_m)]
    Inverted {
        /// The measure that should be lower.
        low: &'static str,
        /// Its value, m.
        low_m: f64,
        /// The measure that should be higher.
        high: &'static str,
        /// Its value, m.
        high_m: f64,
    },
    /// The two ends of a ridge are one place.
    #[error("a ridge runs from one wall to another, not from wall #{wall} to itself")]
    NoRidge {
        /// The wall named for both ends.
        wall: usize,
    },
    /// No part of the room lies on one side of the ridge.
    #[error(
        "no corner is more than 1 mm {side} of the ridge from wall #{from} to wall #{to}; the farthest is {reach_mm:.1} mm; use a shed ceiling or move the ridge"
    )]
    RidgeAtEdge {
        /// Wall where the ridge starts.
        from: usize,
        /// Wall where it ends.
        to: usize,
        /// `"left"` or `"right"`, looking from the first wall to the second.
        side: &'static str,
        /// How far the room reaches on that side, mm.
        reach_mm: f64,
    },
    /// A hip ceiling over a plan with an inward corner.
    #[error(
        "a hip ceiling needs a convex plan; corner #{corner} turns inwards by {excess_degrees:.1}°: give the planes by three points each"
    )]
    PlanNotConvex {
        /// The corner.
        corner: usize,
        /// Its inside angle over 180°, degrees.
        excess_degrees: f64,
    },
    /// An angle that no ceiling plane has.
    #[error("the ceiling's slope is {degrees:.1}°: it must be at least 0° and under 85°")]
    Slope {
        /// The angle, degrees.
        degrees: f64,
    },
    /// No planes given.
    #[error("a ceiling needs at least one plane")]
    NoPlanes,
    /// Three points that do not fix a sloping plane.
    #[error(
        "the three points of ceiling plane #{plane} are within {width_mm:.1} mm of one line seen from above; spread them by at least 10 mm"
    )]
    PointsInLine {
        /// The plane.
        plane: usize,
        /// The least width of their triangle on the plan, mm.
        width_mm: f64,
    },
    /// A flat middle part in an upper envelope.
    #[error("only a ceiling of lowest planes can be cut off at a height")]
    CapOnUpper,
    /// A question about the plan that has no answer.
    #[error(transparent)]
    Plan(#[from] PlanError),
}

impl Ceiling {
    /// A ceiling of given planes.
    pub fn new(planes: Vec<Plane>, join: Join) -> Result<Self, CeilingError> {
        if planes.is_empty() {
            return Err(CeilingError::NoPlanes);
        }
        if planes
            .iter()
            .any(|p| !(p.slope_x + p.slope_y + p.height_m).is_finite())
        {
            return Err(CeilingError::NotFinite { what: "plane" });
        }
        Ok(Self { planes, join })
    }

    /// A level ceiling.
    pub fn flat(height: Metres) -> Result<Self, CeilingError> {
        above_floor("height", height)?;
        Self::new(vec![Plane::level(height.0)], Join::Lower)
    }

    /// One plane that rises from `low_wall` to the corner farthest from it.
    pub fn shed(
        plan: &Plan,
        low_wall: usize,
        low: Metres,
        high: Metres,
    ) -> Result<Self, CeilingError> {
        rising_from(
            "height at the low wall",
            low,
            "height at the far corner",
            high,
        )?;
        let wall = plan::wall(plan, low_wall)?;
        let reach = plan
            .iter()
            .map(|&p| wall.distance_off(p).0)
            .fold(0.0, f64::max);
        let slope = (high.0 - low.0) / reach;
        Self::new(
            vec![Plane::rising(wall.left, low.0, wall.inward, slope)],
            Join::Lower,
        )
    }

    /// Two planes that fall from a ridge between the middles of two walls (the
    /// gable ends), each to the eaves height at its outermost corner.
    ///
    /// `ridge_shift` moves the ridge sideways, positive to the right looking from
    /// the first wall to the second. Plane 0 is on the left, plane 1 on the right.
    pub fn gable(
        plan: &Plan,
        ridge: [usize; 2],
        ridge_shift: Metres,
        eaves: Metres,
        top: Metres,
    ) -> Result<Self, CeilingError> {
        rising_from("eaves height", eaves, "top height", top)?;
        finite("ridge shift", ridge_shift)?;
        let [from, to] = ridge;
        let middle = |wall: Wall| wall.left + wall.along * (wall.length_m / 2.0);
        let start = middle(plan::wall(plan, from)?);
        let end = middle(plan::wall(plan, to)?);
        let along = (end - start).unit().filter(|_| start.distance(end) > 1e-3);
        let right = along.ok_or(CeilingError::NoRidge { wall: from })?.right();
        let start = start + right * ridge_shift.0;
        let plane = |side: &'static str, outward: Vec2| {
            let reach = plan
                .iter()
                .map(|&p| (p - start).dot(outward))
                .fold(0.0, f64::max);
            if reach < 1e-3 {
                return Err(CeilingError::RidgeAtEdge {
                    from,
                    to,
                    side,
                    reach_mm: reach * 1e3,
                });
            }
            Ok(Plane::rising(
                start,
                top.0,
                outward,
                -(top.0 - eaves.0) / reach,
            ))
        };
        Self::new(
            vec![plane("left", -right)?, plane("right", right)?],
            Join::Lower,
        )
    }

    /// One plane per wall, each rising inward from the eaves at the same angle.
    ///
    /// The plan must be convex. Plane *i* rises from wall *i*.
    pub fn hip(plan: &Plan, eaves: Metres, pitch: HipPitch) -> Result<Self, CeilingError> {
        above_floor("eaves height", eaves)?;
        if let Some((corner, excess_degrees)) = plan::reflex_corner(plan) {
            return Err(CeilingError::PlanNotConvex {
                corner,
                excess_degrees,
            });
        }
        let walls: Vec<Wall> = (0..plan.len())
            .map(|i| plan::wall(plan, i))
            .collect::<Result<_, _>>()?;
        let slope = match pitch {
            HipPitch::Angle(Radians(angle)) => {
                let degrees = angle.to_degrees();
                if !(0.0..85.0).contains(&degrees) {
                    return Err(CeilingError::Slope { degrees });
                }
                angle.tan()
            }
            HipPitch::Top(top) => {
                rising_from("eaves height", eaves, "top height", top)?;
                (top.0 - eaves.0) / inradius(&walls)
            }
        };
        let planes = walls
            .iter()
            .map(|w| Plane::rising(w.left, eaves.0, w.inward, slope));
        Self::new(planes.collect(), Join::Lower)
    }

    /// Planes through three measured points each.
    pub fn through(points: &[[Point3; 3]], join: Join) -> Result<Self, CeilingError> {
        let plane = |(index, &[a, b, c]): (usize, &[Point3; 3])| {
            if !(a.is_finite() && b.is_finite() && c.is_finite()) {
                return Err(CeilingError::NotFinite {
                    what: "measured point",
                });
            }
            let (u, v) = (b - a, c - a);
            let (u2, v2) = (Vec2::new(u.x, u.y), Vec2::new(v.x, v.y));
            let doubled = u2.cross(v2);
            let longest = u2.length().max(v2.length()).max((v2 - u2).length());
            let width_m = if longest > 0.0 {
                doubled.abs() / longest
            } else {
                0.0
            };
            if width_m < 0.01 {
                return Err(CeilingError::PointsInLine {
                    plane: index,
                    width_mm: width_m * 1e3,
                });
            }
            let slope_x = (u.z * v.y - v.z * u.y) / doubled;
            let slope_y = (v.z * u.x - u.z * v.x) / doubled;
            Ok(Plane {
                slope_x,
                slope_y,
                height_m: a.z - slope_x * a.x - slope_y * a.y,
            })
        };
        let planes = points
            .iter()
            .enumerate()
            .map(plane)
            .collect::<Result<_, _>>()?;
        Self::new(planes, join)
    }

    /// The same ceiling cut off flat at a height, as by collar ties; the flat part
    /// is the last plane.
    pub fn cut_off_at(mut self, height: Metres) -> Result<Self, CeilingError> {
        above_floor("flat height", height)?;
        if self.join == Join::Upper {
            return Err(CeilingError::CapOnUpper);
        }
        self.planes.push(Plane::level(height.0));
        Ok(self)
    }

    /// The planes, in the order that [`Ceiling::surface_above`] counts.
    pub fn planes(&self) -> &[Plane] {
        &self.planes
    }

    /// Which envelope of the planes it is.
    pub fn join(&self) -> Join {
        self.join
    }

    /// Height above a point of the plan, m.
    pub fn height_at(&self, point: Point2) -> Metres {
        Metres(self.planes[self.surface_above(point)].at(point))
    }

    /// The plane above a point of the plan; the first one where several meet.
    pub fn surface_above(&self, point: Point2) -> usize {
        let mut best = 0;
        for (i, plane) in self.planes.iter().enumerate().skip(1) {
            if self.wins(plane.at(point), self.planes[best].at(point)) {
                best = i;
            }
        }
        best
    }

    /// Does height `z` displace `other` from the envelope?
    pub(crate) fn wins(&self, z: f64, other: f64) -> bool {
        match self.join {
            Join::Lower => z < other,
            Join::Upper => z > other,
        }
    }

    /// The ceiling's outline on a wall, from its left end to its right end, with
    /// every break point between; straight pieces join them.
    pub fn wall_top(&self, corners: &[Point2], wall: usize) -> Result<Vec<WallPoint>, PlanError> {
        let wall = plan::wall(corners, wall)?;
        let point = |s: f64| wall.left + wall.along * s;
        let mut breaks = vec![0.0, wall.length_m];
        for (i, p) in self.planes.iter().enumerate() {
            for q in &self.planes[i + 1..] {
                let at_left = p.at(wall.left) - q.at(wall.left);
                let slope =
                    (p.slope_x - q.slope_x) * wall.along.x + (p.slope_y - q.slope_y) * wall.along.y;
                let s = -at_left / slope;
                if s > 0.0 && s < wall.length_m {
                    breaks.push(s);
                }
            }
        }
        breaks.sort_by(f64::total_cmp);
        let mut top: Vec<WallPoint> = Vec::with_capacity(breaks.len());
        for s in breaks {
            let next = WallPoint {
                from_left_m: s,
                height_m: self.height_at(point(s)).0,
            };
            // A crossing of planes that others hide, or a repeated one, bends nothing.
            while let [.., before, last] = top[..] {
                let run = next.from_left_m - before.from_left_m;
                let share = (last.from_left_m - before.from_left_m) / run;
                let straight = before.height_m + share * (next.height_m - before.height_m);
                if (straight - last.height_m).abs() > 1e-9 && last.from_left_m < s - 1e-9 {
                    break;
                }
                top.pop();
            }
            top.push(next);
        }
        Ok(top)
    }
}

/// Radius of the largest circle inside a convex plan: the greatest of all least
/// distances from the walls is reached where three of them are equally far.
fn inradius(walls: &[Wall]) -> f64 {
    let mut best = 0.0_f64;
    let off = |w: &Wall| -(w.left - Point2::default()).dot(w.inward);
    for (i, a) in walls.iter().enumerate() {
        for (j, b) in walls.iter().enumerate().skip(i + 1) {
            for c in &walls[j + 1..] {
                // nₐ·x + dₐ = n_b·x + d_b = n_c·x + d_c, solved by Cramer's rule.
                let (u, v) = (b.inward - a.inward, c.inward - a.inward);
                let (du, dv) = (off(a) - off(b), off(a) - off(c));
                let determinant = u.cross(v);
                if determinant.abs() < 1e-9 {
                    continue;
                }
                let x = (du * v.y - dv * u.y) / determinant;
                let y = (u.x * dv - v.x * du) / determinant;
                let centre = Point2::new(x, y);
                let least = walls.iter().map(|w| w.distance_off(centre).0);
                best = best.max(least.fold(f64::INFINITY, f64::min));
            }
        }
    }
    best
}

fn finite(what: &'static str, length: Metres) -> Result<(), CeilingError> {
    if length.0.is_finite() {
        Ok(())
    } else {
        Err(CeilingError::NotFinite { what })
    }
}

fn above_floor(what: &'static str, height: Metres) -> Result<(), CeilingError> {
    finite(what, height)?;
    if height.0 < 0.0 {
        return Err(CeilingError::BelowFloor {
            what,
            height_m: height.0,
        });
    }
    Ok(())
}

/// A low measure at or above the floor, and a high one that is not below it.
fn rising_from(
    low: &'static str,
    low_at: Metres,
    high: &'static str,
    high_at: Metres,
) -> Result<(), CeilingError> {
    above_floor(low, low_at)?;
    finite(high, high_at)?;
    if high_at.0 < low_at.0 {
        return Err(CeilingError::Inverted {
            low,
            low_m: low_at.0,
            high,
            high_m: high_at.0,
        });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
