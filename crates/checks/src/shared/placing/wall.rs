//! One wall, for what is cut into it or hangs on it.

use std::rc::Rc;

use analysis::{Known, Missing, Reads, SpaceModel, Uncertain, Vector2, WallRect};
use geometry::Rect;
use model::{Fixture, FixtureKind, Kit, LoudspeakerForm, OnWall, Opening, OpeningKind, SpaceKind};

use super::framing::{UnderCeiling, bars_across, behind_board, blocks, framed};
use super::{Asked, Bar, Barrier, OldEnd, Surface, is_old_end, noted, old_end};
use crate::cables::on_wall_clear;
use crate::cut_out::{self, CutOut, is_cut_in};
use crate::neighbours::{Hanging, best, leaf, opening_subject, outlines};
use crate::obstacles::{Thing, is_picture};
use crate::picture::picture_clear;
use crate::plate::reuses;

/// The top of a wall without a ceiling, for what hangs on it outdoors.
const OUTDOOR_TOP_M: f64 = 3.0;

/// A wall, what is to hang on it somewhere, and what keeps it off so far.
struct OneWall<'a> {
    asked: &'a Asked<'a>,
    shape: &'a SpaceModel,
    name: &'a str,
    wall: usize,
    length_m: f64,
    /// Its left corner, and the directions along it and into the room.
    frame: (Vector2, Vector2, Vector2),
    /// The ceiling's line on it, from left to right.
    top: Vec<[f64; 2]>,
    /// What is to hang, with its middle at the wall's left end on the floor.
    hanging: Hanging<'a>,
    half_m: [f64; 2],
    gap_m: f64,
    barriers: Vec<Barrier>,
}

impl Asked<'_> {
    pub(super) fn wall(&self, wall: usize, needs: &mut Vec<Missing>) -> Known<Surface> {
        let mut one = OneWall::of(self, wall)?;
        one.ends_of_the_wall()?;
        for opening in &self.space.opening {
            one.opening(opening, needs)?;
        }
        one.things(needs);
        one.behind(needs)?;
        let ends = one.old_ends();
        let mut outline = vec![[0.0, 0.0], [one.length_m, 0.0]];
        outline.extend(one.top.iter().rev());
        let (left, along, inward) = &one.frame;
        let ([x, y], [ix, iy], off) = (left.value(), inward.value(), one.hanging.out.value());
        Ok(Surface {
            name: one.name.to_owned(),
            is_floor: false,
            ceiling: None,
            outline,
            origin_m: [x + ix * off, y + iy * off, 0.0],
            along: along.value(),
            below_m: 0.0,
            from: [String::new(), String::new()],
            half_m: one.half_m,
            barriers: one.barriers,
            ends,
        })
    }
}

impl<'a> OneWall<'a> {
    fn of(asked: &'a Asked<'a>, wall: usize) -> Known<Self> {
        let Asked {
            analysis,
            space,
            item,
            kit,
            ..
        } = *asked;
        let shape = analysis.shape(space);
        let [width, height, depth] = analysis.item_size(item)?;
        let width = match analysis.number(kit.bracket_width.as_ref()) {
            Some(bracket) => width.max(&bracket),
            None => width,
        };
        let out = match kit.form {
            Some(LoudspeakerForm::InWall) => Uncertain::exact(0.0),
            _ => depth,
        };
        let frame = shape.wall_frame(wall)?;
        let length_m = shape.wall_length(wall)?.value();
        let top = if space.kind == Some(SpaceKind::Outdoor) {
            vec![[0.0, OUTDOOR_TOP_M], [length_m, OUTDOOR_TOP_M]]
        } else {
            let top = shape.ceiling()?.wall_top(&shape.outline()?, wall);
            let top = top.unwrap_or_default();
            top.iter()
                .map(|point| [point.from_left_m, point.height_m])
                .collect()
        };
        Ok(Self {
            asked,
            shape,
            name: &space.walls[wall].id,
            wall,
            length_m,
            frame,
            top,
            half_m: [width.value() / 2.0, height.value() / 2.0],
            hanging: Hanging {
                item,
                outside: WallRect {
                    wall,
                    left: &width * -0.5,
                    right: &width * 0.5,
                    bottom: &height * -0.5,
                    top: &height * 0.5,
                    out: Some(out.clone()),
                },
                out,
                hides_sockets: false,
                reads: Reads::default(),
                asked_by: "loudspeaker-place",
            },
            gap_m: analysis.limit(&on_wall_clear::GAP_MIN).value,
            barriers: Vec::new(),
        })
    }

    fn bar(&mut self, label: String, bar: Bar) {
        self.barriers.push(Barrier {
            check: on_wall_clear::CHECK.id,
            label,
            bar,
        });
    }

    fn is_outdoor(&self) -> bool {
        self.asked.space.kind == Some(SpaceKind::Outdoor)
    }

    /// The wall under its ceiling, for something so wide.
    fn under_ceiling(&self, half_width: f64) -> Known<UnderCeiling<'a>> {
        let (left, along, inward) = &self.frame;
        Ok(UnderCeiling {
            ceiling: self.shape.ceiling()?,
            left: left.value(),
            along: along.value(),
            inward: inward.value(),
            half_width,
        })
    }

    /// Both ends, the floor and the ceiling.
    fn ends_of_the_wall(&mut self) -> Known<()> {
        let ([half_width, half_height], gap_m) = (self.half_m, self.gap_m);
        let (name, length_m) = (self.name, self.length_m);
        self.bar(
            format!("the left end of wall {name}"),
            Bar::Sides(vec![[1.0, 0.0, half_width + gap_m]]),
        );
        self.bar(
            format!("the right end of wall {name}"),
            Bar::Sides(vec![[-1.0, 0.0, half_width + gap_m - length_m]]),
        );
        self.bar(
            "the floor".to_owned(),
            Bar::Sides(vec![[0.0, 1.0, half_height + gap_m]]),
        );
        if !self.is_outdoor() {
            let near = self.under_ceiling(half_width)?;
            let folds: Vec<f64> = self.top.iter().map(|point| point[0]).collect();
            let out_m = self.hanging.out.value();
            for sides in near.lower_than(half_height + gap_m, out_m, &folds) {
                self.bar("the ceiling".to_owned(), Bar::Sides(sides));
            }
        }
        Ok(())
    }

    /// A hole in this wall, and what its door sweeps.
    fn opening(&mut self, opening: &Opening, needs: &mut Vec<Missing>) -> Known<()> {
        let Asked {
            analysis, space, ..
        } = *self.asked;
        let ([half_width, half_height], gap_m) = (self.half_m, self.gap_m);
        if opening.on.wall == self.name {
            match analysis.opening_rect(space, opening) {
                Ok(rect) => {
                    let hole = best(&rect);
                    // Within a recess it may hang, as far from its sides.
                    let within = (opening.kind == OpeningKind::Recess)
                        .then(|| shrunk(hole, [half_width + gap_m, half_height + gap_m]));
                    let near = Bar::Near {
                        rect: hole,
                        gap_m,
                        but: within.flatten(),
                    };
                    self.bar(opening_subject(opening, "").label, near);
                }
                Err(missing) => needs.push(missing),
            }
        }
        if let Some(leaf) = leaf(analysis, space, self.shape, &self.hanging, opening)? {
            let gap_of = leaf.gap_of;
            let of = move |[along, up]: [f64; 2]| {
                gap_of(Rect {
                    left_m: along - half_width,
                    right_m: along + half_width,
                    bottom_m: up - half_height,
                    top_m: up + half_height,
                })
            };
            let of = Rc::new(of);
            self.bar(leaf.subject.label, Bar::Clearance { of, gap_m });
        }
        Ok(())
    }

    /// What hangs there or stands before it.
    fn things(&mut self, needs: &mut Vec<Missing>) {
        let Asked {
            analysis,
            space,
            item,
            ..
        } = *self.asked;
        let own: Vec<&str> = (reuses(analysis, space).iter())
            .filter(|reuse| reuse.item.id == item.id)
            .map(|reuse| reuse.plate.id.as_str())
            .collect();
        for (thing, rect) in outlines(analysis, space, &self.hanging) {
            let is_own =
                matches!(thing, Thing::Fixture(fixture) if own.contains(&fixture.id.as_str()));
            if is_own || thing.item_id().is_some_and(|id| self.asked.is_away(id)) {
                continue;
            }
            let rect = match rect {
                Ok(rect) => best(&rect),
                Err(missing) => {
                    needs.push(missing);
                    continue;
                }
            };
            let picture = match thing {
                Thing::Item(other) => analysis.kit_of(other).filter(|kit| is_picture(*kit)),
                _ => None,
            };
            let (check, gap_m) = match picture {
                Some(_) => (
                    picture_clear::CHECK.id,
                    analysis.limit(&picture_clear::GAP_MIN).value,
                ),
                None => (on_wall_clear::CHECK.id, self.gap_m),
            };
            let but = match thing {
                Thing::Fixture(fixture) => hides(fixture, rect, self.half_m),
                // Behind a cloth that lets sound through.
                Thing::Item(screen) => match picture {
                    Some(Kit::Screen(kit)) if kit.sound_through == Some(true) => {
                        let lit = analysis.picture(screen).ok();
                        lit.and_then(|picture| shrunk(best(&picture.lit), self.half_m))
                    }
                    _ => None,
                },
                Thing::Soffit(_) => None,
            };
            self.barriers.push(Barrier {
                check,
                label: thing.subject().label,
                bar: Bar::Near { rect, gap_m, but },
            });
        }
    }

    /// Studs, blocks and what else is behind the board where it is cut in.
    fn behind(&mut self, needs: &mut Vec<Missing>) -> Known<()> {
        let Asked {
            analysis,
            space,
            item,
            kit,
            ..
        } = *self.asked;
        let on = OnWall {
            wall: self.name.to_owned(),
            from_left: None,
            height: None,
            to: None,
        };
        let cut_out = CutOut {
            item,
            kit: Kit::Loudspeaker(kit),
            surface: cut_out::Surface::Wall(&on),
        };
        if !is_cut_in(cut_out.kit, cut_out.surface) {
            return Ok(());
        }
        let [across, up] = cut_out.size(analysis)?.map(|size| size.value());
        let behind = behind_board(analysis, space, &cut_out);
        noted(behind, needs, &mut self.barriers);
        let studs = bars_across(analysis, space, &cut_out, across, self.length_m);
        let studs = studs.map(|bars| {
            (bars.into_iter())
                .map(|bar| framed(bar, [1.0, 0.0], 0.0))
                .collect()
        });
        noted(studs, needs, &mut self.barriers);
        if !self.is_outdoor() {
            let near = self.under_ceiling(0.0)?;
            let blocks = blocks(analysis, space, &cut_out, up, &near);
            noted(blocks, needs, &mut self.barriers);
        }
        Ok(())
    }

    /// Plates and ends of cables that are there already.
    fn old_ends(&self) -> Vec<OldEnd> {
        let Asked {
            analysis, space, ..
        } = *self.asked;
        (space.fixture.iter())
            .filter(|fixture| is_old_end(fixture))
            .filter(|fixture| fixture.on.as_ref().is_some_and(|on| on.wall == self.name))
            .filter_map(|fixture| {
                let point = analysis.fixture_point(space, fixture).ok()?;
                let (from_left, _) = self.shape.on_wall(self.wall, &point.in_plan()).ok()?;
                let size = analysis.fixture_size(space, fixture).ok();
                let half = size.map_or([0.0; 2], |[width, height, _]| {
                    [width.value() / 2.0, height.value() / 2.0]
                });
                Some(old_end(fixture, [from_left.value(), point.z.value()], half))
            })
            .collect()
    }
}

/// A rectangle less so much on every side; nothing if nothing is left.
fn shrunk(rect: Rect, by: [f64; 2]) -> Option<Rect> {
    let shrunk = Rect {
        left_m: rect.left_m + by[0],
        right_m: rect.right_m - by[0],
        bottom_m: rect.bottom_m + by[1],
        top_m: rect.top_m - by[1],
    };
    (shrunk.right_m > shrunk.left_m && shrunk.top_m > shrunk.bottom_m).then_some(shrunk)
}

/// Places at which the outside hides a plate, or hangs wholly on a chimney breast.
fn hides(fixture: &Fixture, rect: Rect, half_m: [f64; 2]) -> Option<Rect> {
    const FAR_M: f64 = 1e3;
    match fixture.kind {
        FixtureKind::Plate | FixtureKind::ConduitEnd => {
            let (middle_x, middle_y) = (
                (rect.left_m + rect.right_m) / 2.0,
                (rect.bottom_m + rect.top_m) / 2.0,
            );
            let room = [
                half_m[0] - (rect.right_m - rect.left_m) / 2.0,
                half_m[1] - (rect.top_m - rect.bottom_m) / 2.0,
            ];
            (room[0] > 0.0 && room[1] > 0.0).then_some(Rect {
                left_m: middle_x - room[0],
                right_m: middle_x + room[0],
                bottom_m: middle_y - room[1],
                top_m: middle_y + room[1],
            })
        }
        FixtureKind::ChimneyBreast => Some(Rect {
            left_m: rect.left_m + half_m[0],
            right_m: rect.right_m - half_m[0],
            bottom_m: -FAR_M,
            top_m: FAR_M,
        })
        .filter(|rect| rect.right_m > rect.left_m),
        _ => None,
    }
}
