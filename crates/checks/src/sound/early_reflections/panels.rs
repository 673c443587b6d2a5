//! What is hung or laid where sound is sent back, and where there is room for it.

use acoustics::octave::OctaveBand;
use analysis::{Analysis, Parts, Reflection, WallRect};
use geometry::Surface;
use model::{Edit, Space};
use serde_json::json;

use super::Question;
use crate::before_wall::BeforeWall;
use crate::moves::{Round, written_length};
use crate::obstacles::{Thing, fixed_things, is_in_the_way};
use crate::{Caution, Known, Remedy};

/// What is offered for walls and ceiling, and for the floor.
const PANEL: Piece = Piece {
    finish: "porous_100_sigma10k",
    words: "a panel of 100 mm of porous absorber",
    sizes_m: &[[0.6, 1.2], [1.2, 0.6], [0.6, 0.6]],
};
const RUG: Piece = Piece {
    finish: "carpet_1.35_kg_m2",
    words: "a rug of carpet on a pad",
    sizes_m: &[[1.2, 1.8], [1.8, 1.2]],
};

/// How far a panel stands out from its wall or ceiling, m.
const PANEL_DEPTH_M: f64 = 0.1;
/// How far inside its piece a point is met at least, m.
const INSIDE_M: f64 = 0.05;
/// The gap to whatever is beside a piece, m: common practice, no source.
const GAP_M: f64 = 0.01;
/// The longest side of a piece that covers several points, m: common practice, no source.
const LONGEST_M: f64 = 2.4;
/// How finely a place is searched, m.
const STEP_M: f64 = 0.05;

/// Something that is hung or laid.
struct Piece {
    /// Its row in the table of finishes.
    finish: &'static str,
    words: &'static str,
    /// Sizes that are made, the first that has room first.
    sizes_m: &'static [[f64; 2]],
}

impl Piece {
    fn on(surface: Surface) -> &'static Self {
        match surface {
            Surface::Floor => &RUG,
            _ => &PANEL,
        }
    }

    fn alpha(&self, band: OctaveBand) -> Option<f64> {
        acoustics::finishes::finish(self.finish).ok()?.absorption[band.index()]
    }
}

/// A level and plumb rectangle on a surface: on a wall from its left end and up, on floor and
/// ceiling along the first wall and away from it, m.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Flat {
    middle: [f64; 2],
    half: [f64; 2],
}

impl Flat {
    fn around(points: &[[f64; 2]]) -> Self {
        let end = |axis: usize, of: fn(f64, f64) -> f64| {
            let values = points.iter().map(|point| point[axis]);
            values.reduce(of).unwrap_or(f64::NAN)
        };
        let (low, high) = (
            [0, 1].map(|axis| end(axis, f64::min)),
            [0, 1].map(|axis| end(axis, f64::max)),
        );
        Self {
            middle: [0, 1].map(|axis| (low[axis] + high[axis]) / 2.0),
            half: [0, 1].map(|axis| (high[axis] - low[axis]) / 2.0),
        }
    }

    fn of_wall(rect: &WallRect) -> Self {
        Self {
            middle: [rect.centre_left().value(), rect.centre_height().value()],
            half: [rect.width().value() / 2.0, rect.height().value() / 2.0],
        }
    }

    fn is_clear_of(&self, other: &Self) -> bool {
        (0..2).any(|axis| {
            let apart = (self.middle[axis] - other.middle[axis]).abs();
            apart >= self.half[axis] + other.half[axis] + GAP_M
        })
    }

    fn covers(&self, point: [f64; 2]) -> bool {
        (0..2).all(|axis| {
            (point[axis] - self.middle[axis]).abs() <= self.half[axis] - INSIDE_M + 1e-9
        })
    }

    fn corners(&self) -> [[f64; 2]; 4] {
        [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]
            .map(|sign| [0, 1].map(|axis| self.middle[axis] + sign[axis] * self.half[axis]))
    }
}

/// A piece at its place.
struct Hung {
    surface: Surface,
    flat: Flat,
    /// The points that it covers.
    points: Vec<[f64; 2]>,
    /// One of them in the room: the height of the surface.
    at: [f64; 3],
}

/// A surface with what is on it already.
struct Room<'a> {
    question: &'a Question<'a>,
    surface: Surface,
    taken: Vec<Flat>,
}

impl Question<'_> {
    /// A piece at one point of each reflection that is too strong, if pieces mend them all.
    pub(super) fn panels(&self, reflections: &[Reflection], most_db: f64) -> Option<Remedy> {
        let mut hung: Vec<Hung> = Vec::new();
        for reflection in reflections {
            if reflection.level_db <= most_db {
                break;
            }
            let stops = || reflection.surfaces.iter().zip(&reflection.points);
            let is_covered = |(surface, point): (&Surface, &[f64; 3])| {
                let flat = self.flat(*surface, *point);
                flat.is_some_and(|flat| {
                    (hung.iter()).any(|one| one.surface == *surface && one.flat.covers(flat))
                })
            };
            if stops().any(is_covered) {
                continue;
            }
            // Where what is there now sends back most comes first.
            let mut bare: Vec<(f64, Surface, [f64; 3])> = stops()
                .filter(|(surface, _)| !matches!(surface, Surface::Box(..)))
                .filter_map(|(surface, point)| {
                    let now = self.bare_alpha(*surface, *point, reflection.band)?;
                    Some((now, *surface, *point))
                })
                .collect();
            bare.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mended = bare.into_iter().any(|(now, surface, point)| {
                let alpha = Piece::on(surface).alpha(reflection.band);
                let gain = alpha.map(|alpha| 10.0 * ((1.0 - alpha) / (1.0 - now)).log10());
                let is_enough = gain.is_some_and(|gain| reflection.level_db + gain <= most_db);
                is_enough && self.hang(&mut hung, surface, point).is_some()
            });
            if !mended {
                return None;
            }
        }
        (!hung.is_empty()).then(|| self.remedy(&hung)).flatten()
    }

    /// What a point absorbs, where nothing with a place of its own is there already.
    fn bare_alpha(&self, surface: Surface, point: [f64; 3], band: OctaveBand) -> Option<f64> {
        let lining = (self.analysis)
            .lining_at(self.space, surface, point, band)
            .ok()?;
        (!lining.is_covered).then(|| lining.alpha.value())
    }

    /// One more piece that covers a point, or a larger one in place of one that is hung.
    fn hang(&self, hung: &mut Vec<Hung>, surface: Surface, at: [f64; 3]) -> Option<()> {
        let point = self.flat(surface, at)?;
        let room = Room::new(self, surface).ok()?;
        let beside = |hung: &[Hung], but: Option<usize>| -> Vec<Flat> {
            let others = hung.iter().enumerate().filter(|(index, one)| {
                one.surface == surface && but.is_none_or(|but| but != *index)
            });
            others.map(|(_, one)| one.flat).collect()
        };
        if let Some(flat) = room.place(&[point], &beside(hung, None)) {
            hung.push(Hung {
                surface,
                flat,
                points: vec![point],
                at,
            });
            return Some(());
        }
        let larger = (0..hung.len())
            .filter(|index| hung[*index].surface == surface)
            .find_map(|index| {
                let points = [&hung[index].points[..], &[point]].concat();
                let flat = room.place(&points, &beside(hung, Some(index)))?;
                Some((index, flat, points))
            });
        let (index, flat, points) = larger?;
        hung[index].flat = flat;
        hung[index].points = points;
        Some(())
    }

    /// The frame of a surface: where it is measured from, and its two directions in plan.
    fn frame(&self, surface: Surface) -> Option<[[f64; 2]; 3]> {
        let wall = match surface {
            Surface::Wall(wall) => wall,
            _ => 0,
        };
        self.analysis.shape(self.space).wall_frame_m(wall).ok()
    }

    /// A point of a surface in the surface's own measures.
    fn flat(&self, surface: Surface, point: [f64; 3]) -> Option<[f64; 2]> {
        let [left, along, inward] = self.frame(surface)?;
        let from = [point[0] - left[0], point[1] - left[1]];
        let by = |way: [f64; 2]| from[0] * way[0] + from[1] * way[1];
        Some(match surface {
            Surface::Wall(_) => [by(along), point[2]],
            _ => [by(along), by(inward)],
        })
    }

    /// The point of the room, of a ceiling at the height of `at`.
    fn point(&self, surface: Surface, [right, up]: [f64; 2], at: [f64; 3]) -> Option<[f64; 3]> {
        let [left, along, inward] = self.frame(surface)?;
        let plan = |off: f64| [0, 1].map(|i| left[i] + along[i] * right + inward[i] * off);
        Some(match surface {
            Surface::Wall(_) => {
                let [x, y] = plan(0.0);
                [x, y, up]
            }
            _ => {
                let [x, y] = plan(up);
                [x, y, at[2]]
            }
        })
    }

    fn remedy(&self, hung: &[Hung]) -> Option<Remedy> {
        let (analysis, space) = (self.analysis, self.space);
        let written = |length: f64| written_length(analysis, length, Round::Nearest);
        let mut edits: Vec<Edit> = Vec::new();
        let mut words = Vec::new();
        let mut is_high = false;
        for Hung {
            surface, flat, at, ..
        } in hung
        {
            let id = free_id(space, &edits);
            let piece = Piece::on(*surface);
            let size = (flat.half).map(|half| written_length(analysis, half * 2.0, Round::Down));
            let middle = self.point(*surface, flat.middle, *at)?;
            let mut table = json!({ "id": id, "finish": piece.finish, "size": size });
            match surface {
                Surface::Wall(wall) => {
                    let wall_id = &space.walls[*wall].id;
                    let [from_left, height] = flat.middle.map(written);
                    table["over"] = json!(wall_id);
                    table["on"] =
                        json!({ "wall": wall_id, "from_left": from_left, "height": height });
                    is_high = true;
                }
                _ => {
                    let [(one, off), (other, off_other)] = self.off_walls(middle)?;
                    let over = match surface {
                        Surface::Floor => "floor",
                        _ => "ceiling",
                    };
                    is_high |= over == "ceiling";
                    table["over"] = json!(over);
                    table["at"] =
                        json!({ "from": [one, written(off)], "and": [other, written(off_other)] });
                }
            }
            words.push(format!(
                "{}, {} by {}, with its middle on {}",
                piece.words,
                size[0],
                size[1],
                self.place_words(*surface, middle),
            ));
            if space.has_measured_reverberation() {
                table["planned"] = "to-come".into();
            }
            edits.push(Edit::set(
                format!("space.{}.covering.{id}", space.id),
                table,
            ));
        }
        let says = format!("Fit {}.", words.join("; and "));
        let remedy = Remedy::new(says, edits);
        Some(if is_high {
            remedy.caution(Caution::Ladder)
        } else {
            remedy
        })
    }
}

impl<'a> Room<'a> {
    /// Unknown where the outline of something that hangs there is not known.
    fn new(question: &'a Question<'a>, surface: Surface) -> Known<Self> {
        let analysis = question.analysis;
        let parts = Parts::FIXTURES.and(Parts::OPENINGS).and(Parts::COVERINGS);
        let space = analysis.with_parts(question.space, parts);
        let taken = match surface {
            Surface::Wall(wall) => on_wall(analysis, space, wall)?,
            Surface::Ceiling(_) => below_ceiling(question, space, surface)?,
            // What stands on a rug stands well.
            _ => Vec::new(),
        };
        let mut room = Self {
            question,
            surface,
            taken,
        };
        let over = match surface {
            Surface::Floor => "floor",
            Surface::Ceiling(_) => "ceiling",
            _ => return Ok(room),
        };
        for covering in (space.coverings()).filter(|one| one.over.as_deref() == Some(over)) {
            let corners = analysis.covering_corners(space, covering)?;
            room.taken
                .extend(corners.and_then(|corners| room.plan(&corners)));
        }
        Ok(room)
    }

    /// The least rectangle of the surface around points of the room.
    fn plan(&self, points: &[[f64; 3]]) -> Option<Flat> {
        around(self.question, self.surface, points)
    }

    /// The place nearest to the middle of these points at which a piece covers them all and is
    /// clear of everything.
    fn place(&self, points: &[[f64; 2]], beside: &[Flat]) -> Option<Flat> {
        let span = Flat::around(points);
        (Piece::on(self.surface).sizes_m.iter()).find_map(|size| {
            let half = [0, 1].map(|axis| (size[axis] / 2.0).max(span.half[axis] + INSIDE_M));
            if half.iter().any(|half| 2.0 * half > LONGEST_M) {
                return None;
            }
            // As far as the points stay inside.
            let play = [0, 1].map(|axis| half[axis] - INSIDE_M - span.half[axis]);
            let steps = |axis: usize| (play[axis] / STEP_M + 1e-9).floor() as i32;
            let mut shifts: Vec<[f64; 2]> = (-steps(0)..=steps(0))
                .flat_map(|right| {
                    (-steps(1)..=steps(1))
                        .map(move |up| [right, up].map(|by| f64::from(by) * STEP_M))
                })
                .collect();
            let far = |shift: &[f64; 2]| shift[0].hypot(shift[1]);
            shifts.sort_by(|a, b| far(a).total_cmp(&far(b)));
            let flats = shifts.into_iter().map(|shift| Flat {
                middle: [0, 1].map(|axis| span.middle[axis] + shift[axis]),
                half,
            });
            flats.into_iter().find(|flat| {
                let mut others = self.taken.iter().chain(beside);
                others.all(|other| flat.is_clear_of(other)) && self.holds(flat)
            })
        })
    }

    /// Whether a rectangle lies wholly on the surface.
    fn holds(&self, flat: &Flat) -> bool {
        let shape = self.question.analysis.shape(self.question.space);
        let corners = flat.corners();
        match self.surface {
            Surface::Wall(wall) => {
                let Ok(length) = shape.wall_length_m(wall) else {
                    return false;
                };
                corners.iter().all(|corner| {
                    let [right, up] = *corner;
                    let plan = self.question.point(self.surface, [right, 0.0], [0.0; 3]);
                    let top = plan.and_then(|[x, y, _]| {
                        let top = shape.ceiling_at(&analysis::Vector2::new(x, y)).ok()?;
                        Some(top.value())
                    });
                    (0.0..=length).contains(&right) && up >= 0.0 && top.is_some_and(|top| up <= top)
                })
            }
            _ => shape.outline().is_ok_and(|outline| {
                corners.iter().all(|corner| {
                    let point = self.question.point(self.surface, *corner, [0.0; 3]);
                    point.is_some_and(|[x, y, _]| crate::track::encloses(&outline, x, y))
                })
            }),
        }
    }
}

fn around(question: &Question<'_>, surface: Surface, points: &[[f64; 3]]) -> Option<Flat> {
    let flat = points.iter().map(|point| question.flat(surface, *point));
    Some(Flat::around(&flat.collect::<Option<Vec<_>>>()?))
}

/// Openings, fixtures, things and coverings on a wall, and what stands close before it.
fn on_wall(analysis: &Analysis, space: &Space, wall: usize) -> Known<Vec<Flat>> {
    let id = space.walls[wall].id.as_str();
    let mut taken = Vec::new();
    for opening in space.opening.iter().filter(|one| one.on.wall == id) {
        taken.push(Flat::of_wall(&analysis.opening_rect(space, opening)?));
    }
    for covering in space.coverings() {
        let on_it = covering.on.as_ref().is_some_and(|on| on.wall == id);
        if let Some(rect) = analysis.covering_rect(space, covering).filter(|_| on_it) {
            taken.push(Flat::of_wall(&rect?));
        }
    }
    // Sockets and plates as well: they are not covered.
    let fixtures = space.fixture.iter().map(Thing::Fixture);
    for thing in fixtures.chain(items(analysis, space)) {
        if thing.wall() == Some(id)
            && let Some(rect) = thing.wall_rect(analysis, space)
        {
            taken.push(Flat::of_wall(&rect?));
        }
    }
    for thing in fixed_things(space).chain(items(analysis, space)) {
        if thing.wall() == Some(id) {
            continue;
        }
        // What nobody measured is taken to stand clear.
        let Ok(body) = thing.body(analysis, space) else {
            continue;
        };
        let [near, far] = BeforeWall::faces_m(analysis, space, wall, &body)?;
        if near < PANEL_DEPTH_M && far > 0.0 {
            taken.push(Flat::of_wall(
                &BeforeWall::of(analysis, space, wall, &body)?.rect,
            ));
        }
    }
    Ok(taken)
}

/// What hangs from a ceiling or is let into it.
fn below_ceiling(question: &Question<'_>, space: &Space, surface: Surface) -> Known<Vec<Flat>> {
    let analysis = question.analysis;
    let mut taken = Vec::new();
    let hangs = |thing: &Thing<'_>| match thing {
        Thing::Fixture(fixture) => fixture.hung.is_some(),
        Thing::Item(item) => item.hung.is_some(),
        Thing::Soffit(_) => true,
    };
    let fixtures = space.fixture.iter().map(Thing::Fixture);
    let soffits = space.soffit.iter().map(Thing::Soffit);
    let all = fixtures.chain(soffits).chain(items(analysis, space));
    for thing in all.filter(hangs) {
        let body = thing.body(analysis, space)?;
        let [x, y, z] = body.centre.value();
        let [ax, ay] = body.along.value();
        let [length, _, depth] = body.size.each_ref().map(|side| side.value() / 2.0);
        let corners = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]].map(|[one, other]| {
            let (along, across) = (one * length, other * depth);
            [
                x + along * ax - across * ay,
                y + along * ay + across * ax,
                z,
            ]
        });
        taken.extend(around(question, surface, &corners));
    }
    Ok(taken)
}

fn items<'a>(analysis: &'a Analysis, space: &'a Space) -> impl Iterator<Item = Thing<'a>> {
    let items = analysis.items_in_where(space, "can be bumped into", is_in_the_way);
    items.map(Thing::Item)
}

fn free_id(space: &Space, edits: &[Edit]) -> String {
    let taken = |id: &str| {
        let at = format!("space.{}.covering.{id}", space.id);
        space.covering.iter().any(|covering| covering.id == id)
            || edits.iter().any(|edit| edit.at == at)
    };
    let mut numbered = (1..).map(|number| format!("reflection-panel-{number}"));
    numbered.find(|id| !taken(id)).expect("numbers do not end")
}

#[cfg(test)]
mod tests;
