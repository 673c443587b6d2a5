//! Which way does a cable run, and how long is it?
//!
//! Legs that were measured on site replace everything else. Where something is known of what
//! the rooms are built of, the way through the construction is searched ([`crate::ways`]).
//! Where nothing is, cables run square to the house: up the wall to the ceiling, along, across
//! and down again, or the other way round under the floor. A thing that stands away from the
//! walls gets its wire from the nearest one; under a slope the run follows the ceiling, over a
//! ridge if one lies between.

#[cfg(test)]
mod tests;

use model::{Cable, Item, Space, SpaceKind, Way};
use uncertainty::{Uncertain, Vector2, Vector3};
use units::Dimension;

use crate::settled::SettledAt;
use crate::ways::{Passage, PathPiece, Work};
use crate::{Analysis, Known, Limit, Means, Missing, Source, SpaceModel, item_label};

/// Spare cable at each end of a run, to pull out and end again.
pub static SERVICE_LOOP: Limit = Limit {
    name: "service_loop",
    meaning: "spare cable left at each end of a run",
    dimension: Dimension::Length,
    value: 0.3,
    source: Source::CommonPractice,
    regional: &[],
};

/// What is added to a run because no cable lies straight.
pub static CABLE_SLACK: Limit = Limit {
    name: "cable_slack",
    meaning: "slack of a cable as a share of its run",
    dimension: Dimension::Ratio,
    value: 0.10,
    source: Source::CommonPractice,
    regional: &[],
};

/// Legs shorter than this are what rounding leaves of nothing, m.
const ROUNDING_M: f64 = 1e-9;

/// A cable's way from end to end, without slack and loops.
#[derive(Clone, Debug)]
pub struct Route {
    /// From the cable's first end to its second; legs of no length are left out.
    pub legs: Vec<RouteLeg>,
    /// All legs together, m.
    pub length: Uncertain,
    /// Its corners, piece by piece, where it was found in the construction.
    pub path: Vec<PathPiece>,
    /// What it takes, where it was found in the construction.
    pub work: Option<Work>,
}

/// One straight part of a route.
#[derive(Clone, Debug)]
pub struct RouteLeg {
    /// Where it goes.
    pub along: LegKind,
    /// Length, m.
    pub length: Uncertain,
}

/// Where a leg goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LegKind {
    /// From a thing that stands or hangs free to the nearest wall, by the wall's name.
    ToWall(String),
    /// From the nearest wall to such a thing.
    FromWall(String),
    /// Upwards.
    Rise,
    /// Downwards.
    Drop,
    /// Along the first wall of the space that the house is drawn from.
    Along,
    /// Square to that.
    Across,
    /// From one floor's or ceiling's level to another's.
    Level,
    /// Straight from end to end.
    Straight,
    /// Inside a cupboard, by its name.
    Inside(String),
    /// Through the construction.
    Through(Passage),
    /// As somebody measured and described it.
    Stated(String),
}

impl LegKind {
    /// Words for a cable list.
    pub fn words(&self) -> String {
        match self {
            Self::ToWall(wall) => format!("to wall {wall}"),
            Self::FromWall(wall) => format!("from wall {wall}"),
            Self::Rise => "up".to_owned(),
            Self::Drop => "down".to_owned(),
            Self::Along => "along".to_owned(),
            Self::Across => "across".to_owned(),
            Self::Level => "between levels".to_owned(),
            Self::Straight => "straight".to_owned(),
            Self::Inside(cupboard) => format!("inside {cupboard}"),
            Self::Through(passage) => passage.words.clone(),
            Self::Stated(words) => words.clone(),
        }
    }
}

/// An end of a cable, and where its vertical leg stands.
struct End<'a> {
    space: &'a Space,
    foot: Vector3,
    /// The nearest wall of a thing that stands or hangs free, and the distance to it.
    wall: Option<(&'a str, Uncertain)>,
}

impl Analysis {
    /// A cable's route by its own way; computed on first ask and kept.
    pub fn route(&self, cable: &Cable) -> Known<&Route> {
        let index = self.cable_at(&cable.id).expect("a cable of this job");
        let route = self.kept(
            |answers| answers.routes.get(index),
            || {
                self.note_run_of_cable(index);
                if cable.legs.is_empty() {
                    self.route_any(cable, cable.way)
                } else {
                    self.stated_route(cable)
                }
            },
        );
        route.as_ref().map_err(Clone::clone)
    }

    /// The route that a cable would have by another way, stated legs aside.
    pub fn route_by(&self, cable: &Cable, way: Way) -> Known<Route> {
        self.route_any(cable, Some(way))
    }

    /// The route of a new cable in place of one that lies in the house already: as the job routes
    /// it once nothing is said of the old one any more.
    pub fn route_anew(&self, cable: &Cable) -> Known<Route> {
        if cable.existing.is_none() || !cable.legs.is_empty() {
            return self.route(cable).cloned();
        }
        // It is searched for through the whole room, and several checks ask.
        self.kept_of_cable("the way of a new cable", cable, || {
            let new = Cable {
                existing: None,
                ..cable.clone()
            };
            self.route_any(&new, new.way)
        })
    }

    /// By a way, or the cheapest; square to the house where its construction is unknown.
    fn route_any(&self, cable: &Cable, way: Option<Way>) -> Known<Route> {
        let from = self.holder_of_end(cable, &cable.from, "from")?;
        let to = self.holder_of_end(cable, &cable.to, "to")?;
        if from.id == to.id {
            return self.route_inside(cable, from);
        }
        // An old cable lies where it lies, not where a new one would go.
        if way != Some(Way::Direct)
            && cable.existing.is_none()
            && let Some(found) = self.route_through(cable, way, [from, to])
        {
            return found;
        }
        let way = way.unwrap_or(Way::Overhead);
        let legs = match way {
            Way::Direct => self.direct(cable, from, to)?,
            Way::Overhead | Way::Underfoot => self.square(cable, way, from, to)?,
        };
        Ok(Route::of(legs))
    }

    /// Length of cable to cut: the route, its slack, and a loop at each end.
    pub fn cut_length(&self, cable: &Cable) -> Known<Uncertain> {
        self.cut(cable).map(|(length, _)| length.clone())
    }

    /// As [`Analysis::cut_length`], with its standard uncertainty, m: a house has many cuts,
    /// and a spool is asked whether it holds them all whenever one of them changes.
    pub fn cut(&self, cable: &Cable) -> Known<(&Uncertain, f64)> {
        let index = self.cable_at(&cable.id).expect("a cable of this job");
        let cut = self.kept_settled(
            SettledAt::Cut(index),
            |answers| answers.cuts.get(index),
            || {
                self.note_run_of_cable(index);
                let length = self.cut_length_of(cable, self.route(cable)?);
                let spread_m = length.standard_uncertainty();
                Ok((length, spread_m))
            },
        );
        let cut = cut.as_ref().map_err(Missing::clone)?;
        Ok((&cut.0, cut.1))
    }

    /// Length of cable to cut for a route.
    pub fn cut_length_of(&self, cable: &Cable, route: &Route) -> Uncertain {
        &route.length * (1.0 + self.slack(cable)) + self.service_loop(cable) * 2.0
    }

    /// The loop left at each end of a cable, m: its own, else this house's.
    pub fn service_loop(&self, cable: &Cable) -> Uncertain {
        self.number(cable.service_loop.as_ref())
            .unwrap_or_else(|| self.limit(&SERVICE_LOOP).value.into())
    }

    /// A cable's slack as a share of its route: its own, else this house's.
    pub fn slack(&self, cable: &Cable) -> Uncertain {
        self.number(cable.slack.as_ref())
            .unwrap_or_else(|| self.limit(&CABLE_SLACK).value.into())
    }

    /// Length of cable that the signal passes: the ready-made or existing cable's own,
    /// else what is cut for the route.
    pub fn run_length(&self, cable: &Cable) -> Known<Uncertain> {
        match self.number(cable.length.as_ref()) {
            Some(length) => Ok(length),
            None => self.cut_length(cable),
        }
    }

    /// The item at an end of a cable: `item` or `item.port`.
    pub fn item_at_end(&self, end: &str) -> Option<&Item> {
        self.item(item_of_end(end))
    }

    /// The space whose findings speak of a cable: its far end's, else its near end's.
    pub fn space_of_cable(&self, cable: &Cable) -> Option<&Space> {
        let space = |end: &str| self.space_of(self.item_at_end(end)?).ok();
        space(&cable.to).or_else(|| space(&cable.from))
    }

    /// The item that holds the thing at a cable's end, or the thing itself.
    fn holder_of_end(&self, cable: &Cable, end: &str, which: &str) -> Known<&Item> {
        let outermost = self
            .item(item_of_end(end))
            .and_then(|item| self.holders(item).last());
        outermost.ok_or_else(|| {
            Missing::new(
                format!("what cable {} ends at", cable.id),
                format!("cable.{}.{which}", cable.id),
                Means::Decide,
            )
        })
    }

    fn stated_route(&self, cable: &Cable) -> Known<Route> {
        let leg = |(index, leg): (usize, &model::Leg)| {
            let length = self.number(Some(&leg.length)).ok_or_else(|| {
                Missing::new(
                    format!("the length of cable {} {}", cable.id, leg.along),
                    format!("cable.{}.legs.{index}.length", cable.id),
                    Means::Tape,
                )
            })?;
            Ok(RouteLeg {
                along: LegKind::Stated(leg.along.clone()),
                length,
            })
        };
        let legs: Known<Vec<RouteLeg>> = cable.legs.iter().enumerate().map(leg).collect();
        Ok(Route::of(legs?))
    }

    /// From shelf to shelf: nobody says which, so half the cupboard's height, give or take half.
    fn route_inside(&self, cable: &Cable, cupboard: &Item) -> Known<Route> {
        let [_, height, _] = self.item_size(cupboard)?;
        let half = height.value() / 2.0;
        let what = format!(
            "the way of cable {} inside {}, taken as half its height",
            cable.id,
            item_label(cupboard)
        );
        let length = self.assumed(&what, &format!("cable.{}.legs", cable.id), half, half);
        Ok(Route::of(vec![RouteLeg {
            along: LegKind::Inside(item_label(cupboard).to_owned()),
            length,
        }]))
    }

    fn direct(&self, cable: &Cable, from: &Item, to: &Item) -> Known<Vec<RouteLeg>> {
        let (a, b) = (self.item_point(from)?, self.item_point(to)?);
        let [a, b] =
            self.in_one_frame(cable, [(self.room_of(from)?, a), (self.room_of(to)?, b)])?;
        Ok(vec![RouteLeg {
            along: LegKind::Straight,
            length: straight(&(&b - &a)),
        }])
    }

    fn square(&self, cable: &Cable, way: Way, from: &Item, to: &Item) -> Known<Vec<RouteLeg>> {
        let ends = [self.end(from, way)?, self.end(to, way)?];
        let mut runs = Vec::new();
        for end in &ends {
            let height = match way {
                Way::Overhead => self.height_overhead(cable, end)?,
                Way::Underfoot | Way::Direct => Uncertain::exact(0.0),
            };
            runs.push(height);
        }
        let vertical = |end: &End<'_>, run: &Uncertain, outwards: bool| {
            let rise = run - &end.foot.z;
            RouteLeg {
                along: if (rise.value() >= 0.0) == outwards {
                    LegKind::Rise
                } else {
                    LegKind::Drop
                },
                length: rise.abs(),
            }
        };
        let off_wall = |end: &End<'_>, along: fn(String) -> LegKind| {
            end.wall.as_ref().map(|(wall, length)| RouteLeg {
                along: along((*wall).to_owned()),
                length: length.clone(),
            })
        };
        let mut legs = Vec::from_iter(off_wall(&ends[0], LegKind::ToWall));
        legs.push(vertical(&ends[0], &runs[0], true));
        legs.extend(self.level_legs(cable, way, &ends, &runs)?);
        legs.push(vertical(&ends[1], &runs[1], false));
        legs.extend(off_wall(&ends[1], LegKind::FromWall));
        Ok(legs)
    }

    /// The ceiling's height above an end.
    fn height_overhead(&self, cable: &Cable, end: &End<'_>) -> Known<Uncertain> {
        if end.space.kind == Some(SpaceKind::Outdoor) {
            let what = format!(
                "the legs of cable {}: {} has no ceiling to run above",
                cable.id,
                end.space.label()
            );
            let at = format!("cable.{}.legs", cable.id);
            return Err(Missing::new(what, at, Means::Tape));
        }
        self.shape(end.space).ceiling_at(&end.foot.in_plan())
    }

    /// The part of a square route between its two vertical legs.
    fn level_legs(
        &self,
        cable: &Cable,
        way: Way,
        ends: &[End<'_>; 2],
        runs: &[Uncertain],
    ) -> Known<Vec<RouteLeg>> {
        let tops = [0, 1].map(|index| {
            let end = &ends[index];
            let plan = end.foot.in_plan();
            (end.space, plan.at_height(runs[index].clone()))
        });
        let shape = self.shape(ends[0].space);
        if ends[0].space.id == ends[1].space.id
            && way == Way::Overhead
            && !shape.has_level_ceiling()?
        {
            return under_slopes(shape, &tops[0].1.in_plan(), &tops[1].1.in_plan());
        }
        let [a, b] = self.in_one_frame(cable, tops)?;
        let between = &b - &a;
        let leg = |along, part: Uncertain| RouteLeg {
            along,
            length: part.abs(),
        };
        Ok(vec![
            leg(LegKind::Along, between.x),
            leg(LegKind::Across, between.y),
            leg(LegKind::Level, between.z),
        ])
    }

    /// Two points in a frame that both spaces share.
    fn in_one_frame(&self, cable: &Cable, points: [(&Space, Vector3); 2]) -> Known<[Vector3; 2]> {
        let [(here, a), (there, b)] = points;
        if here.id == there.id {
            return Ok([a, b]);
        }
        let ((root, a), (other_root, b)) = (self.in_house(here, &a)?, self.in_house(there, &b)?);
        if root == other_root {
            return Ok([a, b]);
        }
        Err(Missing::new(
            format!(
                "the legs of cable {} from {} to {}, which the survey does not join",
                cable.id,
                here.label(),
                there.label()
            ),
            format!("cable.{}.legs", cable.id),
            Means::Tape,
        ))
    }

    /// Where an end's vertical leg stands: at the thing on a wall; overhead, at the wall
    /// nearest to what stands; underfoot, at the wall nearest to what hangs.
    fn end(&self, item: &Item, way: Way) -> Known<End<'_>> {
        let space = self.room_of(item)?;
        let point = self.item_point(item)?;
        let needs_wall = match way {
            Way::Overhead => item.on.is_none() && item.at.is_some(),
            Way::Underfoot => item.on.is_none() && item.at.is_none() && item.hung.is_some(),
            Way::Direct => false,
        };
        let wall = if needs_wall {
            self.nearest_wall(space, &point.in_plan())?
        } else {
            None
        };
        let Some(wall) = wall else {
            return Ok(End {
                space,
                foot: point,
                wall: None,
            });
        };
        let shape = self.shape(space);
        let (_, off) = shape.on_wall(wall, &point.in_plan())?;
        let (_, _, inward) = shape.wall_frame(wall)?;
        let foot = &point.in_plan() - &inward.scaled(&off);
        Ok(End {
            space,
            foot: foot.at_height(point.z),
            wall: Some((space.walls[wall].id.as_str(), off)),
        })
    }

    /// The wall that a point of a space is nearest to, of those that it is square to.
    pub(crate) fn nearest_wall(&self, space: &Space, point: &Vector2) -> Known<Option<usize>> {
        let corners = self.shape(space).outline()?;
        let [x, y] = point.value();
        let off = |wall: usize| {
            let (a, b) = (corners[wall], corners[(wall + 1) % corners.len()]);
            let (ux, uy) = (b.x - a.x, b.y - a.y);
            let length = ux.hypot(uy);
            let along = ((x - a.x) * ux + (y - a.y) * uy) / length;
            let off = ((x - a.x) * uy - (y - a.y) * ux) / length;
            (!space.walls[wall].open && (0.0..=length).contains(&along) && off >= 0.0)
                .then_some((wall, off))
        };
        let nearest = (0..corners.len()).filter_map(off);
        Ok(nearest
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(wall, _)| wall))
    }
}

impl Route {
    fn of(mut legs: Vec<RouteLeg>) -> Self {
        legs.retain(|leg| leg.length.value() > ROUNDING_M);
        let length = legs.iter().map(|leg| leg.length.clone()).sum();
        Self {
            legs,
            length,
            path: Vec::new(),
            work: None,
        }
    }
}

fn item_of_end(end: &str) -> &str {
    end.split('.').next().unwrap_or_default()
}

/// Length of a vector; zero, which has no direction, is exact.
pub(crate) fn straight(vector: &Vector3) -> Uncertain {
    let [x, y, z] = vector.value();
    if x.hypot(y).hypot(z) < ROUNDING_M {
        Uncertain::exact(0.0)
    } else {
        vector.norm()
    }
}

/// Along one axis and then the other, on the ceiling's own surface; the shorter order.
fn under_slopes(shape: &SpaceModel, a: &Vector2, b: &Vector2) -> Known<Vec<RouteLeg>> {
    let leg = |along, from: &Vector2, to: &Vector2| -> Known<RouteLeg> {
        Ok(RouteLeg {
            along,
            length: on_ceiling(shape, from, to)?,
        })
    };
    let first = Vector2::new(b.x.clone(), a.y.clone());
    let along_first = vec![
        leg(LegKind::Along, a, &first)?,
        leg(LegKind::Across, &first, b)?,
    ];
    let second = Vector2::new(a.x.clone(), b.y.clone());
    let across_first = vec![
        leg(LegKind::Across, a, &second)?,
        leg(LegKind::Along, &second, b)?,
    ];
    let length = |legs: &[RouteLeg]| legs.iter().map(|leg| leg.length.value()).sum::<f64>();
    Ok(if length(&along_first) <= length(&across_first) {
        along_first
    } else {
        across_first
    })
}

/// Length on the ceiling's surface above a straight line in plan. Creases are where two
/// planes are of one height; a crease that the ceiling does not have splits a straight
/// part in two and changes nothing.
pub(crate) fn on_ceiling(shape: &SpaceModel, a: &Vector2, b: &Vector2) -> Known<Uncertain> {
    let step = b - a;
    let [dx, dy] = step.value();
    if dx.hypot(dy) < ROUNDING_M {
        return Ok(Uncertain::exact(0.0));
    }
    let planes = shape.ceiling()?.planes();
    let height = |plane: &geometry::Plane, [x, y]: [f64; 2]| {
        plane.slope_x * x + plane.slope_y * y + plane.height_m
    };
    let mut parts = vec![0.0, 1.0];
    for (index, one) in planes.iter().enumerate() {
        for other in &planes[index + 1..] {
            let gap = |point: &Vector2| height(one, point.value()) - height(other, point.value());
            let (at_a, at_b) = (gap(a), gap(b));
            if at_a * at_b < 0.0 {
                parts.push(at_a / (at_a - at_b));
            }
        }
    }
    parts.sort_by(f64::total_cmp);
    let plan_length = step.norm();
    let height_at = |part: f64| shape.ceiling_at(&(a + &step.scaled(&part.into())));
    let mut length = Uncertain::exact(0.0);
    for pair in parts.windows(2) {
        let level = &plan_length * (pair[1] - pair[0]);
        length = length + level.hypot(&(height_at(pair[1])? - height_at(pair[0])?));
    }
    Ok(length)
}
