//! How long a way's steps are, from the measurements.

use geometry::Vec2;
use routing::{FromLeft, Graph, Level, Medium, NodeId, Part, Spot, Step};
use uncertainty::{Uncertain, Vector2, Vector3};

use super::{Ends, Planned};
use crate::route::{on_ceiling, straight};
use crate::{Analysis, Known};

/// A place from the measurements, and the space in whose frame it is.
type Place = (usize, Vector3);

/// The places of one way, each worked out once: a step begins where the one before it ends.
#[derive(Default)]
pub(super) struct Places(Vec<(NodeId, Place)>);

impl Places {
    fn of(&mut self, node: NodeId, place: impl FnOnce() -> Known<Place>) -> Known<Place> {
        if let Some((_, known)) = self.0.iter().find(|known| known.0 == node) {
            return Ok(known.clone());
        }
        let place = place()?;
        self.0.push((node, place.clone()));
        Ok(place)
    }
}

impl Analysis {
    /// A step's length from the measurements; that of the search where it was stated.
    pub(super) fn step_length(
        &self,
        ends: &Ends<'_>,
        graph: &Graph,
        step: &Step,
        places: &mut Places,
    ) -> Known<Uncertain> {
        if matches!(step.by.medium, Medium::Conduit | Medium::Closet) {
            let conduit = (step.nodes.iter()).find_map(|node| match graph.node(*node).spot {
                Spot::Mouth { conduit, .. } => Some(ends.planned.conduits[conduit]),
                _ => None,
            });
            let stated = conduit.and_then(|at| self.number(self.job.pathway[at].length.as_ref()));
            return Ok(stated.unwrap_or_else(|| step.by.length_m.middle().into()));
        }
        let [(home, a), (other, b)] = {
            let [a, b] = step.nodes;
            let mut place = |node| places.of(node, || self.place(ends, graph, node));
            [place(a)?, place(b)?]
        };
        let planned = &ends.planned;
        let space = |index: usize| &*self.job.space[planned.spaces[index]];
        if let Some(void) = step.void
            && let Some(surface) = &graph.void(void).surface
            && home == other
            && !surface.planes().is_empty()
        {
            let direction = planned.frames[home].back_direction(graph.void(void).along);
            let (from, to) = (a.in_plan(), b.in_plan());
            let is_first = step.points[0] == graph.node(step.nodes[0]).at;
            let corner = self.corner((step, is_first), planned, home, (&from, &to), direction);
            let shape = self.shape(space(home));
            return match is_first {
                true => on_ceiling(shape, &from, &corner),
                false => on_ceiling(shape, &corner, &to),
            };
        }
        let (a, b, along) = match home == other {
            true => {
                let along = step.void.map(|void| graph.void(void).along);
                (
                    a,
                    b,
                    along.map(|along| planned.frames[home].back_direction(along)),
                )
            }
            false => (
                self.in_house(space(home), &a)?.1,
                self.in_house(space(other), &b)?.1,
                step.void.map(|void| graph.void(void).along),
            ),
        };
        let between = &b - &a;
        let Some(along) = along else {
            let plan = between.in_plan();
            let [x, y, z] = between.value();
            // Sideways and up in one bay is told and laid square.
            let square_m = x.hypot(y) + z.abs();
            return Ok(match (step.by.length_m.middle() - square_m).abs() < 1e-6 {
                true => length_of(&plan) + between.z.abs(),
                false => straight(&between),
            });
        };
        let plan = between.in_plan();
        Ok(match step.part {
            Part::Along => (&plan.x * along.x + &plan.y * along.y).abs(),
            _ => (&plan.y * along.x - &plan.x * along.y).abs() + between.z.abs(),
        })
    }

    /// Where a way under a roof turns, between two places in plan.
    fn corner(
        &self,
        (step, is_first): (&Step, bool),
        planned: &Planned,
        home: usize,
        (from, to): (&Vector2, &Vector2),
        along: Vec2,
    ) -> Vector2 {
        let between = to - from;
        let part = &between.x * along.x + &between.y * along.y;
        let by = Vector2::new(&part * along.x, &part * along.y);
        // Along first, or across first: the search has chosen.
        let turn = match is_first {
            true => step.points[1],
            false => step.points[0],
        };
        let turn = planned.frames[home].back(turn);
        let first = from + &by;
        let [x, y] = first.value();
        match (x - turn[0]).hypot(y - turn[1]) < 1e-6 {
            true => first,
            false => to - &by,
        }
    }

    /// A place of the graph.
    fn place(&self, ends: &Ends<'_>, graph: &Graph, node: NodeId) -> Known<Place> {
        let planned = &ends.planned;
        let node = graph.node(node);
        let home_of_end = |end: usize| -> Known<usize> {
            let space = self.room_of(ends.items[end])?;
            Ok(planned.index_of(self.space_at(&space.id).expect("a space of this job")))
        };
        match node.spot {
            Spot::End(end) => Ok((home_of_end(end)?, self.item_point(ends.items[end])?)),
            Spot::Above(end) => {
                let home = home_of_end(end)?;
                let plan = self.item_point(ends.items[end])?.in_plan();
                let shape = self.space_model(planned.spaces[home]);
                Ok((home, plan.at_height(shape.ceiling_at(&plan)?)))
            }
            Spot::Wall {
                wall,
                from_left,
                level,
            } => {
                let (home, own) = planned.walls[wall];
                let shape = self.space_model(planned.spaces[home]);
                let from_left = match from_left {
                    FromLeft::Chosen(from_left_m) => Uncertain::exact(from_left_m),
                    FromLeft::OfEnd(end) if home_of_end(end)? == home => {
                        let plan = self.item_point(ends.items[end])?.in_plan();
                        shape.on_wall(own, &plan)?.0
                    }
                    FromLeft::OfEnd(_) | FromLeft::Corner => {
                        let foot = planned.graph.house().walls[wall].foot_of(node.at.on_plan());
                        Uncertain::exact(foot)
                    }
                };
                let nothing = Uncertain::exact(0.0);
                let foot = shape.point_on_wall(own, &from_left, &nothing, &nothing)?;
                let height = match level {
                    Level::Floor => nothing,
                    Level::Top => shape.ceiling_at(&foot.in_plan())?,
                    Level::Block(block) => self
                        .block_height(planned, wall, block)
                        .unwrap_or_else(|| planned.frames[home].back(node.at)[2].into()),
                    Level::Chosen(height_m) => height_m.into(),
                    Level::OfEnd(end) => self.item_point(ends.items[end])?.z,
                };
                Ok((home, foot.in_plan().at_height(height)))
            }
            Spot::Mouth { conduit, mouth } => {
                let end = &self.job.pathway[planned.conduits[conduit]].ends[mouth];
                let at = self.space_at(&end.space).expect("a space of this job");
                let home = planned.index_of(at);
                let [x, y, z] = planned.frames[home].back(node.at);
                Ok((home, Vector3::new(x, y, z)))
            }
            Spot::Other => Ok((0, Vector3::new(node.at.x, node.at.y, node.at.z))),
        }
    }
}

fn length_of(plan: &Vector2) -> Uncertain {
    let [x, y] = plan.value();
    match x.hypot(y) < 1e-9 {
        true => Uncertain::exact(0.0),
        false => plan.norm(),
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use uncertainty::Vector3;

    use super::Places;

    #[test]
    fn each_place_is_worked_out_once() {
        let (mut places, calls) = (Places::default(), Cell::new(0));
        for node in [4, 7, 7, 4, 9] {
            let place = places.of(node, || {
                calls.set(calls.get() + 1);
                Ok((node, Vector3::new(node as f64, 0.0, 1.0)))
            });
            let (home, at) = place.expect("it is known");
            assert_eq!((home, at.value()), (node, [node as f64, 0.0, 1.0]));
        }
        assert_eq!(calls.get(), 3);
    }
}
