//! The ceiling, for what is cut into it or hangs from it.

use analysis::{Known, Missing, Uncertain, Vector2};
use model::{FromWall, Hung, Kit, LoudspeakerForm};

use super::framing::{behind_board, joists};
use super::{Asked, Bar, Barrier, Surface, is_old_end, noted, old_end};
use crate::cables::ceiling_clear;
use crate::cut_out::{self, CutOut, is_cut_in};
use crate::in_ceiling::{Footprint, on_ceiling};

impl Asked<'_> {
    pub(super) fn ceiling(&self, needs: &mut Vec<Missing>) -> Known<Surface> {
        let Self {
            analysis,
            space,
            item,
            kit,
            ..
        } = *self;
        let shape = analysis.shape(space);
        let corners = shape.outline()?;
        let named = item.hung.as_ref();
        let walls = self.measured_from(named.map(|at| [at.from.0.as_str(), at.and.0.as_str()]))?;
        let [width, height, _] = analysis.item_size(item)?;
        // The face in plan, with its middle at the plan's origin.
        let own = Footprint {
            centre: Vector2::default(),
            along: shape.wall_frame(walls[0])?.1,
            half: [width / 2.0, &height / 2.0],
        };
        let mut barriers = self.walls_around(&own)?;
        let others = on_ceiling(analysis, space)
            .filter(|(thing, _)| thing.item_id() != Some(item.id.as_str()));
        for (thing, footprint) in others {
            let subject = thing.subject();
            if self.is_away(&subject.id) {
                continue;
            }
            match footprint {
                Ok(other) => barriers.push(self.kept_off(subject.label, &own, &other)),
                Err(missing) => needs.push(missing),
            }
        }
        let hung = Hung {
            from: corner(&space.walls[walls[0]].id),
            and: corner(&space.walls[walls[1]].id),
            drop: None,
        };
        let cut_out = CutOut {
            item,
            kit: Kit::Loudspeaker(kit),
            surface: cut_out::Surface::Ceiling(&hung),
        };
        if is_cut_in(cut_out.kit, cut_out.surface) {
            let behind = behind_board(analysis, space, &cut_out);
            noted(behind, needs, &mut barriers);
            let joists = joists(analysis, space, &cut_out, walls[0]);
            noted(joists, needs, &mut barriers);
        }
        let ends = (space.fixture.iter())
            .filter(|fixture| is_old_end(fixture) && fixture.hung.is_some())
            .filter_map(|fixture| {
                let point = analysis.fixture_point(space, fixture).ok()?;
                let [x, y, _] = point.value();
                Some(old_end(fixture, [x, y], [0.0; 2]))
            })
            .collect();
        let drop = named.and_then(|hung| analysis.number(hung.drop.as_ref()));
        let below_m = match (kit.form, &drop) {
            (Some(LoudspeakerForm::InCeiling), drop) => drop.as_ref().map_or(0.0, Uncertain::value),
            (_, Some(drop)) => drop.value() + height.value() / 2.0,
            _ => 0.0,
        };
        Ok(Surface {
            name: "ceiling".to_owned(),
            is_floor: false,
            ceiling: Some(shape.ceiling()?.clone()),
            outline: corners.iter().map(|corner| [corner.x, corner.y]).collect(),
            origin_m: [0.0; 3],
            along: own.along.value(),
            below_m,
            from: walls.map(|wall| space.walls[wall].id.clone()),
            half_m: own.half.each_ref().map(Uncertain::value),
            barriers,
            ends,
        })
    }

    fn walls_around(&self, own: &Footprint) -> Known<Vec<Barrier>> {
        let shape = self.analysis.shape(self.space);
        let gap_m = self.gap_overhead_m();
        let walls = self.space.walls.iter().enumerate();
        walls
            .filter(|(_, facts)| !facts.open)
            .map(|(wall, facts)| {
                let (left, along, inward) = shape.wall_frame(wall)?;
                let length_m = shape.wall_length(wall)?.value();
                let reach_along = own.reach(&along).value();
                let reach = own.reach(&inward).value() + gap_m;
                let ([x, y], [ax, ay], [ix, iy]) = (left.value(), along.value(), inward.value());
                let (off_a, off_i) = (x * ax + y * ay, x * ix + y * iy);
                Ok(Barrier {
                    check: ceiling_clear::CHECK.id,
                    label: format!("wall {}", facts.id),
                    bar: Bar::Sides(vec![
                        [ix, iy, reach + off_i],
                        [-ix, -iy, reach - off_i],
                        [ax, ay, length_m + reach_along + off_a],
                        [-ax, -ay, reach_along - off_a],
                    ]),
                })
            })
            .collect()
    }

    /// Two rectangles in plan are apart in the direction of a side of either.
    fn kept_off(&self, label: String, own: &Footprint, other: &Footprint) -> Barrier {
        let gap_m = self.gap_overhead_m();
        let mut sides = Vec::new();
        let [cx, cy] = other.centre.value();
        for one in [own, other] {
            let [ax, ay] = one.along.value();
            for way in [[ax, ay], [-ay, ax]] {
                let direction = Vector2::new(way[0], way[1]);
                let reach = own.reach(&direction).value() + other.reach(&direction).value() + gap_m;
                let middle = way[0] * cx + way[1] * cy;
                sides.push([way[0], way[1], reach + middle]);
                sides.push([-way[0], -way[1], reach - middle]);
            }
        }
        Barrier {
            check: ceiling_clear::CHECK.id,
            label,
            bar: Bar::Sides(sides),
        }
    }

    fn gap_overhead_m(&self) -> f64 {
        self.analysis.limit(&ceiling_clear::GAP_MIN).value
    }
}

/// A distance of nothing from a wall, to name a ceiling by.
fn corner(wall: &str) -> FromWall {
    FromWall(
        wall.to_owned(),
        model::Measured::read("0 m").expect("a length"),
    )
}
