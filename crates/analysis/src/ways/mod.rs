//! Which way does a cable take through the house as it is built?
//!
//! The construction that the survey found becomes a [`routing::House`]; the cheapest way by the
//! shop's weights becomes a [`Route`], its legs worked out anew from the measurements, so that
//! each carries its uncertainty. A fact of the construction that nobody knows widens the length
//! by what it may change, under its own name on the measure-again list.
//!
//! A cable within one space keeps to that space's walls and the voids above and below; one
//! between spaces may use every space that is joined to either, and pathways. What stands before
//! a wall (a chimney breast, a radiator) is not seen.

mod existing;
mod joint;
mod legs;
mod lengths;
mod plan;
mod told;

use std::rc::Rc;

use model::{Cable, Item, Space, SpaceKind, Way};
use routing::{Bars, End, Hazard, Medium, Reckoning, Times, Weights};
use units::Seconds;

use crate::{Analysis, Known, Means, Missing, Parts, Route};

pub use existing::{ExistingUse, ExistingUseCost, ExistingUses, WhyNot};
pub use legs::{Drilled, HoleAt, Passage, PathPiece, WallPart, Work, work_words};
pub use told::{DearStepTold, OtherWay, SharedHole, WayTold, WaysTogether, minutes};

use plan::Planned;

/// What a part of a way runs through, and what makes it dangerous.
pub use routing::{Hazard as WayHazard, Medium as WayMedium};

/// An unknown fact of the construction.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Doubt {
    pub what: String,
    pub at: String,
}

/// Both ends of a cable, ready for the search.
struct Ends<'a> {
    planned: Rc<Planned>,
    items: [&'a Item; 2],
    ends: [End; 2],
}

impl Analysis {
    /// A cable's way through the construction; `None` where nothing is known about what either
    /// of its rooms is built of, or an end is outdoors.
    pub(crate) fn route_through(
        &self,
        cable: &Cable,
        way: Option<Way>,
        items: [&Item; 2],
    ) -> Option<Known<Route>> {
        let mut homes = Vec::new();
        for item in items {
            let space = match self.room_of(item) {
                Ok(space) => space,
                Err(missing) => return Some(Err(missing)),
            };
            homes.push(space);
        }
        let is_outdoors = |space: &&Space| space.kind == Some(SpaceKind::Outdoor);
        let is_known = (homes.iter()).any(|space| !self.constructed(space).is_empty());
        if !is_known || homes.iter().any(is_outdoors) {
            return None;
        }
        Some(self.found_route(cable, way, items))
    }

    /// What is inside a space's walls.
    fn constructed(&self, space: &Space) -> &[model::Construction] {
        &self.with_parts(space, Parts::NONE).construction
    }

    fn found_route(&self, cable: &Cable, way: Option<Way>, items: [&Item; 2]) -> Known<Route> {
        let ends = self.ends(cable, items)?;
        let joined = ends.planned.joined(&ends.ends);
        let bars = self.bars(&ends.planned, cable, way);
        let weights = self.weights();
        let find = |share: f64| joined.cheapest(&weights, &bars, share);
        let best = find(Reckoning::HALFWAY).ok_or_else(|| self.no_way(cable, way))?;
        // If an unknown fact turns out well or badly, another way may be the cheapest.
        let mut span = best.length_m();
        let doubts = best.doubts();
        if !doubts.is_empty() {
            for other in [0.0, 1.0].into_iter().filter_map(find) {
                span = span.hull(other.length_m());
            }
        }
        let route = self.route_of(&ends, joined.graph(), &best)?;
        let doubt = doubts.first().map(|doubt| &ends.planned.doubts[*doubt]);
        Ok(match doubt {
            Some(doubt) => self.widened(route, span, doubt),
            None => route,
        })
    }

    /// Adds what an unknown fact may change.
    fn widened(&self, mut route: Route, span: routing::Span, doubt: &Doubt) -> Route {
        let value = route.length.value();
        let (low, high) = (span.low.min(value) - value, span.high.max(value) - value);
        if high - low < 1e-3 {
            return route;
        }
        // One source for all cables that rest on it, each with its own share.
        let source = self.assumed(&doubt.what, &doubt.at, 0.0, 1.0);
        route.length = route.length + source * (0.5 * (high - low)) + 0.5 * (high + low);
        if let Some(work) = &mut route.work {
            work.length_m = [value + low, value + high];
        }
        route
    }

    fn no_way(&self, cable: &Cable, way: Option<Way>) -> Missing {
        let by = match way {
            Some(Way::Overhead) => " overhead",
            Some(Way::Underfoot) => " underfoot",
            Some(Way::Direct) | None => "",
        };
        let out: Vec<&str> = cable.keeps_out_of.iter().map(|one| one.words()).collect();
        let mut kept: Vec<String> = Vec::new();
        if !out.is_empty() {
            kept.push(format!("keeps out of {}", out.join(", ")));
        }
        let round = cable.goes_round.iter().map(|one| self.round_words(one));
        kept.extend(round.map(|what| format!("goes round {what}")));
        let out = match kept.as_slice() {
            [] => String::new(),
            kept => format!(" that {}", kept.join(" and ")),
        };
        Missing::new(
            format!(
                "the legs of cable {}: no way{by}{out} was found through what the survey knows of the construction",
                cable.id
            ),
            format!("cable.{}.legs", cable.id),
            Means::Tape,
        )
    }

    /// What the crew may not or, by the cable's own way, does not use.
    fn bars(&self, planned: &Planned, cable: &Cable, way: Option<Way>) -> Bars {
        let mut bars = Bars::usual();
        for medium in told::media(&cable.keeps_out_of) {
            bars = bars.and_medium(medium);
        }
        let round = cable.goes_round.iter();
        (bars.obstacles).extend(round.filter_map(|round| self.obstacle_of(planned, round)));
        if self.rates().licensed == Some(true) {
            bars.hazards.retain(|hazard| *hazard != Hazard::RatedWall);
        }
        match way {
            Some(Way::Overhead) => {
                bars.voids = planned.voids_underfoot();
                bars = bars
                    .and_medium(Medium::Baseboard)
                    .and_medium(Medium::Doorway);
            }
            Some(Way::Underfoot) => bars.voids = planned.voids_overhead(),
            Some(Way::Direct) | None => {}
        }
        for conduit in planned.full_for(self, cable) {
            bars.obstacles.push(routing::Obstacle::Conduit(conduit));
        }
        bars
    }

    /// How long the shop's work takes: its own times, else the usual ones.
    pub fn way_times(&self) -> Times {
        let (rates, usual) = (self.rates(), Times::PRACTICE);
        let seconds = |own: &Option<model::Duration>, usual_s: f64| {
            own.as_ref().and_then(|own| own.value()).unwrap_or(usual_s)
        };
        Times {
            pull_s_per_m: seconds(&rates.pull_per_metre, usual.pull_s_per_m),
            baseboard_s_per_m: seconds(&rates.baseboard_per_metre, usual.baseboard_s_per_m),
            hole: Seconds(seconds(&rates.hole, usual.hole.0)),
            open: Seconds(seconds(&rates.open_board, usual.open.0)),
            ..usual
        }
    }

    /// What the shop avoids besides time.
    pub(crate) fn weights(&self) -> Weights {
        let usual = Weights::PRACTICE;
        let Some(avoid) = &self.rates().avoid else {
            return usual;
        };
        let seconds = |own: &Option<model::Duration>, usual_s: f64| {
            own.as_ref().and_then(|own| own.value()).unwrap_or(usual_s)
        };
        Weights {
            metre_s_per_m: seconds(&avoid.metre, usual.metre_s_per_m),
            hole: Seconds(seconds(&avoid.hole, usual.hole.0)),
            seen_s_per_m: seconds(&avoid.seen_metre, usual.seen_s_per_m),
            hazard: Seconds(seconds(&avoid.hazard, usual.hazard.0)),
        }
    }

    fn ends<'a>(&'a self, cable: &Cable, items: [&'a Item; 2]) -> Known<Ends<'a>> {
        let homes = [self.room_of(items[0])?, self.room_of(items[1])?];
        let planned = if homes[0].id == homes[1].id {
            self.planned_space(homes[0])?
        } else {
            self.planned_house(cable, homes)?
        };
        let ends = [0, 1].map(|side| self.way_end(&planned, homes[side], items[side]));
        let [a, b] = ends;
        Ok(Ends {
            planned,
            items,
            ends: [a?, b?],
        })
    }

    /// The graph of one space by itself.
    fn planned_space(&self, space: &Space) -> Known<Rc<Planned>> {
        let at = self.space_at(&space.id).expect("a space of this job");
        self.kept_of_space(
            "the construction of a space",
            space,
            Parts::OPENINGS,
            |_| Planned::new(self, &[at]).map(Rc::new),
        )
    }

    /// The graph of every space that is joined to either of two.
    fn planned_house(&self, cable: &Cable, homes: [&Space; 2]) -> Known<Rc<Planned>> {
        let at = homes.map(|space| self.space_at(&space.id).expect("a space of this job"));
        let together = self.spaces_together(at[0]);
        if !together.contains(&at[1]) {
            return Err(Missing::new(
                format!(
                    "the legs of cable {} from {} to {}, which the survey does not join",
                    cable.id,
                    homes[0].label(),
                    homes[1].label()
                ),
                format!("cable.{}.legs", cable.id),
                Means::Tape,
            ));
        }
        let first = self.shape_and(together[0], Parts::NONE);
        self.kept_of_space(
            "the construction of a house",
            first,
            Parts::OPENINGS,
            |_| Planned::new(self, &together).map(Rc::new),
        )
    }

    /// Every space that joins and pathways lead to from one, in the job's order.
    fn spaces_together(&self, from: usize) -> Vec<usize> {
        let mut pairs: Vec<[usize; 2]> = Vec::new();
        for (at, space) in self.job.space.iter().enumerate() {
            self.joined_space(&space.id);
            let other = space
                .joined
                .as_ref()
                .and_then(|joined| joined.to.split_once('.'));
            if let Some(other) = other.and_then(|(other, _)| self.space_at(other)) {
                pairs.push([at, other]);
            }
        }
        for pathway in self.job.pathway.iter() {
            let ends = [0, 1].map(|end| self.space_at(&pathway.ends[end].space));
            if let [Some(a), Some(b)] = ends {
                pairs.push([a, b]);
            }
        }
        let mut inside = vec![false; self.job.space.len()];
        inside[from] = true;
        let mut grows = true;
        while grows {
            grows = false;
            for [a, b] in &pairs {
                if inside[*a] != inside[*b] {
                    (inside[*a], inside[*b]) = (true, true);
                    grows = true;
                }
            }
        }
        (0..inside.len()).filter(|at| inside[*at]).collect()
    }

    /// An item's end in the frame of a plan.
    fn way_end(&self, planned: &Planned, space: &Space, item: &Item) -> Known<End> {
        let index = planned.index_of(self.space_at(&space.id).expect("a space of this job"));
        let point = self.item_point(item)?;
        let [x, y, z] = point.value();
        let at = planned.frames[index].point([x, y, z]);
        let above = planned.above[index].filter(|_| item.hung.is_some());
        let wall = match (&item.on, item.hung.is_some() && above.is_some()) {
            (Some(on), _) => space.wall(&on.wall),
            (None, true) => None,
            // Without a place of its own it sits behind the plate that it takes over.
            (None, false) => self.nearest_wall(space, &point.in_plan())?,
        };
        let wall = match wall {
            Some(wall) => {
                let (from_left, off) = self.shape(space).on_wall(wall, &point.in_plan())?;
                let is_far = off.value() > 1.0;
                let has_rug = is_far && self.has_rug(space);
                Some((
                    (planned.first_wall[index] + wall, from_left.value(), z),
                    has_rug,
                ))
            }
            None => None,
        };
        Ok(End {
            at,
            wall: wall.map(|wall| wall.0),
            above,
            has_rug: wall.is_some_and(|wall| wall.1),
            is_flush: item.on.is_some() && self.is_flush(item),
        })
    }

    fn has_rug(&self, space: &Space) -> bool {
        let space = self.with_parts(space, Parts::COVERINGS);
        space
            .coverings()
            .any(|covering| covering.over.as_deref() == Some("floor"))
    }
}
