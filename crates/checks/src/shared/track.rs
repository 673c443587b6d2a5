//! Lines along which a loudspeaker or a seat can be moved by changing one number of the
//! job, and the nearest better place on each.

use analysis::{Analysis, SeatPlace, Vector3, item_label};
use geometry::{Ceiling, Point2};
use model::{Edit, FromWall, InPlan, Item, OnWall, Seat, Space};

use crate::moves::{Round, hung_together, written_length};
use crate::seats_apart::OtherSeats;
use crate::{Caution, Remedy};

/// How finely a line is searched, m; a place is then narrowed down by halving.
const SEARCH_STEP_M: f64 = 0.02;
/// Farther than this a loudspeaker is not moved but planned anew, m.
const FARTHEST_M: f64 = 3.0;
/// Farther than this a seat is in another row, m.
const SEAT_FARTHEST_M: f64 = 1.0;
/// Places above this are reached from a ladder, m.
const OUT_OF_REACH_M: f64 = 2.0;
/// What is nearer to a corner, floor or ceiling than this can't be fitted, m.
const EDGE_M: f64 = 0.05;

/// A line of places, one for each value of a length of the job.
pub(crate) struct Track {
    name: String,
    path: String,
    now_m: f64,
    farthest_m: f64,
    range_m: [f64; 2],
    from: [f64; 3],
    step: [f64; 3],
    /// What hangs keeps its distance from this.
    ceiling: Option<Ceiling>,
    /// What may not be left, in plan.
    outline: Vec<Point2>,
    /// Of a seat: the others, which it may not come onto.
    others: OtherSeats,
    /// Of a seat: its middle in plan off its ear.
    middle: [f64; 2],
    words: Words,
    cautions: Vec<Caution>,
    /// What hangs on the same mount, as lengths of the job that change by as much.
    along: Vec<(String, f64)>,
    /// Words for where its height is meant, on an arm that pulls down.
    parked: &'static str,
}

enum Words {
    AlongWall(String),
    Height,
    FromWall(String),
}

/// A remedy and how far it moves the thing, m.
pub(crate) struct Move {
    pub remedy: Remedy,
    pub by_m: f64,
}

impl Track {
    /// The lines of a loudspeaker that sounds from `at`.
    pub fn of_item(analysis: &Analysis, item: &Item, at: &Vector3) -> Vec<Self> {
        let Ok(space) = analysis.space_of(item) else {
            return Vec::new();
        };
        let cut_in = analysis.item_size(item).is_ok() && item.on.is_some() || item.hung.is_some();
        let mut cautions = Vec::new();
        if at.z.value() > OUT_OF_REACH_M {
            cautions.push(Caution::Ladder);
        }
        if cut_in {
            cautions.push(Caution::Drilling);
        }
        let name = named_together(analysis, item);
        let path = format!("item.{}", item.id);
        let tracks = if item.on.is_some() {
            on_wall(analysis, space, item, at)
        } else if let Some(stands) = &item.at {
            let at_path = format!("{path}.at");
            in_plan(
                analysis,
                space,
                [&stands.from, &stands.and],
                &at_path,
                at.value(),
                None,
            )
        } else if let Some(hung) = &item.hung {
            let ceiling = analysis.shape(space).ceiling().ok().cloned();
            let at_path = format!("{path}.hung");
            in_plan(
                analysis,
                space,
                [&hung.from, &hung.and],
                &at_path,
                at.value(),
                ceiling,
            )
        } else {
            None
        };
        let named = tracks.unwrap_or_default().into_iter().map(|track| Self {
            name: name.clone(),
            cautions: cautions.clone(),
            ..track
        });
        named.collect()
    }

    /// The lines of a seat; places are those of its ear.
    pub fn of_seat(
        analysis: &Analysis,
        space: &Space,
        seat: &Seat,
        place: &SeatPlace,
    ) -> Vec<Self> {
        let Some(InPlan { from, and, .. }) = &seat.at else {
            return Vec::new();
        };
        let path = format!("space.{}.seat.{}.at", space.id, seat.id);
        let (plan, ear) = (place.plan.value(), place.ear.value());
        let tracks = in_plan(analysis, space, [from, and], &path, ear, None);
        let named = tracks.unwrap_or_default().into_iter().map(|track| Self {
            name: format!("seat {}", seat.id),
            farthest_m: SEAT_FARTHEST_M,
            others: OtherSeats::of(analysis, space, seat, plan),
            middle: [plan[0] - ear[0], plan[1] - ear[1]],
            ..track
        });
        named.collect()
    }

    /// Whether it goes straight up and down.
    pub fn is_vertical(&self) -> bool {
        matches!(self.words, Words::Height)
    }

    /// The nearest place on the line that is `good`, as a remedy.
    pub fn nearest(&self, analysis: &Analysis, good: impl Fn([f64; 3]) -> bool) -> Option<Move> {
        let steps = (self.farthest_m / SEARCH_STEP_M) as u32;
        let holds = |value: f64| self.reaches(value) && good(self.point(value));
        let (bad, found) = (1..=steps).find_map(|step| {
            [1.0, -1.0].into_iter().find_map(|sign| {
                let value = self.now_m + sign * f64::from(step) * SEARCH_STEP_M;
                holds(value).then_some((value - sign * SEARCH_STEP_M, value))
            })
        })?;
        let (mut bad, mut found) = (bad, found);
        for _ in 0..12 {
            let middle = 0.5 * (bad + found);
            if holds(middle) {
                found = middle;
            } else {
                bad = middle;
            }
        }
        let outwards = found > self.now_m;
        let round = if outwards { Round::Up } else { Round::Down };
        let text = written_length(analysis, found, round);
        let by_m = (found - self.now_m).abs();
        let by = written_length(analysis, by_m, Round::Up);
        let name = &self.name;
        let says = match (&self.words, outwards) {
            (Words::AlongWall(wall), _) => format!(
                "Move {name} {by} to the {} along wall {wall}, to {text} from its left corner.",
                if outwards { "right" } else { "left" }
            ),
            (Words::Height, _) => format!(
                "{} {name} by {by}, to {text} above the floor{}.",
                if outwards { "Raise" } else { "Lower" },
                self.parked,
            ),
            (Words::FromWall(wall), true) => {
                format!("Move {name} {by} away from wall {wall}, to {text} from it.")
            }
            (Words::FromWall(wall), false) => {
                format!("Move {name} {by} towards wall {wall}, to {text} from it.")
            }
        };
        let along = (self.along.iter()).map(|(path, now_m)| {
            let moved = written_length(analysis, now_m + found - self.now_m, round);
            Edit::set(path, moved)
        });
        let edits = std::iter::once(Edit::set(&self.path, text)).chain(along);
        let remedy = Remedy::new(says, edits.collect());
        let remedy =
            (self.cautions.iter()).fold(remedy, |remedy, caution| remedy.caution(*caution));
        Some(Move { remedy, by_m })
    }

    fn reaches(&self, value: f64) -> bool {
        let [low, high] = self.range_m;
        (low..=high).contains(&value)
            && (self.outline.is_empty() || {
                let [x, y, _] = self.point(value);
                encloses(&self.outline, x, y)
                    && (self.others).leave_room_at([x + self.middle[0], y + self.middle[1]])
            })
    }

    fn point(&self, value: f64) -> [f64; 3] {
        let by = value - self.now_m;
        let [x, y, z] = [0, 1, 2].map(|i| self.from[i] + by * self.step[i]);
        let follows = self.ceiling.as_ref().map_or(0.0, |ceiling| {
            let height = |x, y| ceiling.height_at(Point2::new(x, y)).0;
            height(x, y) - height(self.from[0], self.from[1])
        });
        [x, y, z + follows]
    }
}

/// A thing's name, with what moves along with it as it hangs on the same mount.
fn named_together(analysis: &Analysis, item: &Item) -> String {
    let label = item_label(item).to_owned();
    let others: Vec<&str> = match item.on {
        Some(_) => hung_together(analysis, item)
            .skip(1)
            .map(item_label)
            .collect(),
        None => Vec::new(),
    };
    match others.as_slice() {
        [] => label,
        others => format!("{label} together with {}", others.join(" and ")),
    }
}

fn on_wall(analysis: &Analysis, space: &Space, item: &Item, at: &Vector3) -> Option<Vec<Track>> {
    let on = item.on.as_ref()?;
    let shape = analysis.shape(space);
    let wall = space.wall(&on.wall)?;
    let (_, along, _) = shape.wall_frame(wall).ok()?;
    let [x, y] = along.value();
    let length = shape.wall_length(wall).ok()?.value();
    let from = at.value();
    let others: Vec<&Item> = hung_together(analysis, item).skip(1).collect();
    let places: Vec<&OnWall> = (others.iter())
        .map(|other| other.on.as_ref().filter(|there| there.wall == on.wall))
        .collect::<Option<_>>()?;
    let along = |field: &str, of: fn(&OnWall) -> Option<f64>| {
        (others.iter().zip(&places))
            .map(|(other, place)| Some((format!("item.{}.on.{field}", other.id), of(place)?)))
            .collect::<Option<Vec<_>>>()
    };
    let left_of = |on: &OnWall| on.from_left.as_ref()?.value();
    let height_of = |on: &OnWall| on.height.as_ref()?.value();
    let pulled_down_m = analysis.pulled_down_m(item);
    let track = |path: String, now_m, range_m, step, words, along| Track {
        name: String::new(),
        along,
        parked: match pulled_down_m > 0.0 {
            true => " while parked",
            false => "",
        },
        path,
        now_m,
        farthest_m: FARTHEST_M,
        range_m,
        from,
        step,
        ceiling: None,
        outline: Vec::new(),
        others: OtherSeats::default(),
        middle: [0.0; 2],
        words,
        cautions: Vec::new(),
    };
    let ceiling = shape.ceiling_at(&at.in_plan()).ok();
    let top = ceiling.map_or(f64::INFINITY, |height| height.value());
    let from_left = left_of(on)?;
    let height = height_of(on)?;
    let path = format!("item.{}.on", item.id);
    Some(vec![
        track(
            format!("{path}.from_left"),
            from_left,
            [EDGE_M, length - EDGE_M],
            [x, y, 0.0],
            Words::AlongWall(on.wall.clone()),
            along("from_left", left_of)?,
        ),
        track(
            format!("{path}.height"),
            height,
            [EDGE_M + pulled_down_m, top - EDGE_M],
            [0.0, 0.0, 1.0],
            Words::Height,
            along("height", height_of)?,
        ),
    ])
}

/// Both distances from walls of a thing in plan.
fn in_plan(
    analysis: &Analysis,
    space: &Space,
    walls: [&FromWall; 2],
    path: &str,
    from: [f64; 3],
    ceiling: Option<Ceiling>,
) -> Option<Vec<Track>> {
    let shape = analysis.shape(space);
    let outline = shape.outline().ok()?;
    let frame = |wall: &str| {
        let (_, along, inward) = shape.wall_frame(space.wall(wall)?).ok()?;
        Some((along.value(), inward.value()))
    };
    let track = |field: &str, own: &FromWall, other: &FromWall| {
        let (_, inward) = frame(&own.0)?;
        let (along, _) = frame(&other.0)?;
        // The other distance stays: the thing slides along the other wall.
        let share = along[0] * inward[0] + along[1] * inward[1];
        Some(Track {
            name: String::new(),
            path: format!("{path}.{field}.1"),
            now_m: own.1.value()?,
            farthest_m: FARTHEST_M,
            range_m: [EDGE_M, f64::INFINITY],
            from,
            step: [along[0] / share, along[1] / share, 0.0],
            ceiling: ceiling.clone(),
            outline: outline.clone(),
            others: OtherSeats::default(),
            middle: [0.0; 2],
            words: Words::FromWall(own.0.clone()),
            cautions: Vec::new(),
            along: Vec::new(),
            parked: "",
        })
    };
    let [a, b] = walls;
    Some(vec![track("from", a, b)?, track("and", b, a)?])
}

/// Even–odd rule.
pub(crate) fn encloses(outline: &[Point2], x: f64, y: f64) -> bool {
    let mut inside = false;
    for (i, a) in outline.iter().enumerate() {
        let b = &outline[(i + 1) % outline.len()];
        if (a.y > y) != (b.y > y) && x < a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// The shortest of several moves, and the next that goes another way.
pub(crate) fn shortest(moves: impl IntoIterator<Item = Option<Move>>) -> Vec<Remedy> {
    let mut moves: Vec<Move> = moves.into_iter().flatten().collect();
    moves.sort_by(|a, b| a.by_m.total_cmp(&b.by_m));
    moves
        .into_iter()
        .map(|found| found.remedy)
        .take(2)
        .collect()
}
