//! Does anybody have to look up too far?

use analysis::{
    Analysis, Known, Limit, LimitValue, Parts, Picture, SeatPlace, Source, Uncertain, Vector3,
    item_label,
};
use model::{Edit, Seat, Space};
use optics::Pose;
use optics::display::{RestingEye, best_height};
use units::{Dimension, Metres, Radians};

use crate::moves::{Round, least_change, raised_together, text_of, to_spare, written_length};
use crate::seats_apart::{SEAT_APART_MIN, moved_seat};
use crate::seeing::{Watched, headroom, moved, not_before, room_behind};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "vertical-angle",
    area: Area::Picture,
    proves: "From each seat the picture's centre and its top edge stand no higher above the eyes than is comfortable.",
    matters: "A picture that hangs too high, as over a mantel, gives everybody a stiff neck within one film.",
    formula: "α = atan(Δz / d) − p: Δz, height of the picture's centre, or of its top edge, over the eye, m; d, distance to it in plan, m; p, how far above level the eyes look at rest: zero upright, about half the recline of a seat that leans back, as measured on a bed. A seat that leans back by θ has its eyes R sin θ farther back and R (1 − cos θ) lower, R = 0.76 m from hip to eye. Who looks up at rest must not look down at the centre by more than its own limit. The angle nearer to its own limit decides. A display on an arm that pulls down is judged parked and pulled down, and the better position for all seats together counts.",
    source: Source::FromMemory {
        work: "SMPTE EG 18 for the top edge; the centre's limit is common practice, no source",
    },
    when_it_fails: "Hang the picture lower, move the seat back, or fit an arm that pulls the display down.",
    limits: &[&CENTRE_MAX, &TOP_MAX, &BELOW_MAX, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "eye 1.10 m, picture's centre 1.90 m high and 3.05 m away: atan(Δz / d) = 14.6973° (computed)",
            computed: || angle_deg(optics::Picture::vertical_angle_to_centre, 1.9, 1.24),
            expected: 14.6973,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
        Published {
            cite: "the same eye, top edge 2.52 m high: atan(Δz / d) = 24.9655° (computed)",
            computed: || angle_deg(optics::Picture::vertical_angle_to_top, 1.9, 1.24),
            expected: 24.9655,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
        Published {
            cite: "a seat that leans back 20° takes 0.05 m off the eye's height (from memory, ISO 7250-1 eye heights)",
            computed: || analysis::EYE_OVER_HIP_M * (1.0 - 20f64.to_radians().cos()),
            expected: 0.05,
            tolerance: 0.005, // Printed to one digit.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static BELOW_MAX: Limit = Limit {
    name: "vertical_angle_below_rest_max",
    meaning: "the greatest angle from where the eyes of somebody who leans back or lies look at rest down to the picture's centre",
    dimension: Dimension::Angle,
    value: 15.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

static CENTRE_MAX: Limit = Limit {
    name: "vertical_angle_centre_max",
    meaning: "the greatest angle up to the picture's centre",
    dimension: Dimension::Angle,
    value: 15.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

static TOP_MAX: Limit = Limit {
    name: "vertical_angle_top_max",
    meaning: "the greatest angle up to the picture's top edge",
    dimension: Dimension::Angle,
    value: 35.0 * std::f64::consts::PI / 180.0,
    source: Source::FromMemory {
        work: "SMPTE EG 18",
    },
    regional: &[],
};

type Angle = fn(optics::Picture, optics::Point) -> Option<Radians>;

/// Seen from 3.05 m square before the picture, eyes 1.10 m high, °.
fn angle_deg(angle: Angle, centre_m: f64, height_m: f64) -> f64 {
    let pose = Pose {
        centre_m: [0.0, 0.0, centre_m],
        facing: Radians(0.0),
        tilt: Radians(0.0),
    };
    optics::PictureSize::from_height(Metres(height_m), optics::Aspect::TELEVISION)
        .and_then(|size| optics::Picture::new(size, pose))
        .and_then(|picture| angle(picture, [3.05, 0.0, 1.1]))
        .map_or(f64::NAN, |angle| angle.0.to_degrees())
}

/// Both angles as one eye sees them, from where it looks at rest.
struct Seen {
    centre: Uncertain,
    top: Uncertain,
    /// The centre below rest; of no concern to who sits upright.
    below: Option<Uncertain>,
}

impl Seen {
    fn from(
        watched: &Watched,
        picture: &Picture,
        eye: &Vector3,
        pitch: &Uncertain,
    ) -> Option<Self> {
        watched.angle(picture, eye, |picture, eye| {
            // Both angles exist beside the picture too, where nobody watches it.
            picture
                .distance_in_front(eye)
                .filter(|distance| distance.0 > 0.0)?;
            picture.horizontal_angle(eye)
        })?;
        let angle = |of: Angle| watched.angle(picture, eye, of);
        let centre = angle(optics::Picture::vertical_angle_to_centre)? - pitch;
        Some(Self {
            below: (pitch.value() > 0.0).then(|| -&centre),
            top: angle(optics::Picture::vertical_angle_to_top)? - pitch,
            centre,
        })
    }

    /// Each angle with its limit.
    fn each<'a>(&'a self, limits: &'a [LimitValue; 3]) -> Vec<(&'a Uncertain, &'a LimitValue)> {
        let mut each = vec![(&self.centre, &limits[0]), (&self.top, &limits[1])];
        each.extend(self.below.as_ref().map(|below| (below, &limits[2])));
        each
    }

    fn spare(&self, limits: &[LimitValue; 3]) -> f64 {
        let spare =
            |(angle, limit): (&Uncertain, &LimitValue)| to_spare(&(limit.value - angle), 0.0);
        (self.each(limits).into_iter().map(spare)).fold(f64::INFINITY, f64::min)
    }
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let watched = match Watched::of(analysis, space) {
        None => return Vec::new(),
        Some(Err(missing)) => {
            return vec![CHECK.about(space, Subject::space(space), || Err(missing))];
        }
        Some(Ok(watched)) => watched,
    };
    let limits = [&CENTRE_MAX, &TOP_MAX, &BELOW_MAX].map(|limit| analysis.limit(limit));
    let seats: Vec<(&Seat, Known<SeatPlace>)> = analysis.seats_in(space).collect();
    // Everybody watches in the same position: the one whose worst seat is best off.
    let worst = |picture: &Picture| {
        seats
            .iter()
            .filter_map(|(_, place)| place.as_ref().ok())
            .filter_map(|place| Seen::from(&watched, picture, &place.eye, &place.pitch))
            .map(|seen| seen.spare(&limits))
            .fold(f64::INFINITY, f64::min)
    };
    let (picture, position) = match &watched.lowered {
        Some(lowered) if worst(lowered) >= worst(&watched.parked) => (lowered, watched.position()),
        Some(_) => (&watched.parked, ", parked,"),
        None => (&watched.parked, ""),
    };
    let question = Question {
        analysis,
        space,
        watched: &watched,
        picture,
        position,
        limits,
    };
    seats
        .into_iter()
        .map(|(seat, place)| {
            CHECK.about(space, Subject::seat(seat), || {
                question.decide(seat, &place?)
            })
        })
        .collect()
}

/// One position of the picture, asked about for every seat.
struct Question<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    watched: &'a Watched<'a>,
    picture: &'a Picture,
    position: &'static str,
    limits: [LimitValue; 3],
}

impl Question<'_> {
    fn decide(&self, seat: &Seat, place: &SeatPlace) -> Known<Outcome> {
        let Self {
            analysis, limits, ..
        } = self;
        let seen = Seen::from(self.watched, self.picture, &place.eye, &place.pitch)
            .ok_or_else(|| not_before(self.space, seat))?;
        let margin = |(angle, limit): &(&Uncertain, &LimitValue)| limit.value - angle.value();
        let (value, limit) = (seen.each(limits).into_iter())
            .min_by(|a, b| margin(a).total_cmp(&margin(b)))
            .expect("there is the centre's angle");
        let outcome = Outcome::at_most(value.clone(), limit, Dimension::Angle);
        if analysis.is_trial() {
            return Ok(outcome);
        }
        let rest = if seen.below.is_some() {
            format!(
                "where the eyes look at rest, {} above level",
                analysis.angle(&place.pitch)
            )
        } else {
            "the eyes".to_owned()
        };
        let sentence = format!(
            "From seat {} the centre of {}{} stands {} above {rest} (at most {}) and its top edge {} (at most {}).",
            seat.id,
            item_label(self.watched.item),
            self.position,
            analysis.beside(&seen.centre, limits[0].value, Dimension::Angle),
            analysis.exact(limits[0].value, Dimension::Angle),
            analysis.beside(&seen.top, limits[1].value, Dimension::Angle),
            analysis.exact(limits[1].value, Dimension::Angle),
        );
        let outcome = outcome.because(sentence);
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        let looks_down = (seen.below.as_ref())
            .is_some_and(|below| to_spare(&(limits[2].value - below), 0.0) < 0.0);
        Ok(if looks_down {
            outcome.remedy(self.hang_higher(place))
        } else {
            outcome
                .remedy(self.hang_lower(place))
                .remedy(self.move_back(seat, place))
                .remedy(self.arm(place))
        }
        .remedy(self.best_height()))
    }

    /// What an eye has to spare with the picture lowered and the eye moved back.
    fn spare(&self, eye: &Vector3, pitch: &Uncertain, picture: &Picture) -> f64 {
        Seen::from(self.watched, picture, eye, pitch).map_or(-1.0, |seen| seen.spare(&self.limits))
    }

    /// The least drop that serves, as long as the lower edge stays off the floor.
    fn drop(&self, place: &SeatPlace) -> Option<f64> {
        let most = self.picture.outside.bottom.value();
        least_change(most, |by| {
            self.spare(&place.eye, &place.pitch, &dropped(self.picture, by))
        })
    }

    fn hang_higher(&self, place: &SeatPlace) -> Option<Remedy> {
        let item = self.watched.item;
        let most = headroom(self.analysis, self.space, &self.watched.parked);
        let by_m = least_change(most, |by| {
            self.spare(&place.eye, &place.pitch, &dropped(self.picture, -by))
        })?;
        let edits = raised_together(self.analysis, item, by_m, None)?;
        let says = format!(
            "Hang {} {} higher, at {}.",
            item_label(item),
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edits[0]),
        );
        Some(
            Remedy::new(says, edits)
                .caution(Caution::Lifting)
                .caution(Caution::Drilling)
                .caution(Caution::Ladder),
        )
    }

    /// The height at which whoever has to turn the head most has to turn it least, where it
    /// serves every seat.
    fn best_height(&self) -> Option<Remedy> {
        let (analysis, item) = (self.analysis, self.watched.item);
        let seats: Vec<SeatPlace> = analysis
            .seats_in(self.space)
            .map(|(_, place)| place.ok())
            .collect::<Option<_>>()?;
        if seats.len() < 2 {
            return None;
        }
        let eyes: Vec<RestingEye> = (seats.iter())
            .map(|place| RestingEye {
                distance: Metres(
                    (&place.plan - &self.picture.centre.in_plan())
                        .norm()
                        .value(),
                ),
                height: Metres(place.eye.z.value()),
                rest: Radians(place.pitch.value()),
            })
            .collect();
        let now_m = self.picture.centre.z.value();
        let lowest_m = now_m - self.picture.outside.bottom.value();
        let highest_m = now_m + headroom(analysis, self.space, &self.watched.parked);
        let best_m = best_height(&eyes, Metres(lowest_m)..=Metres(highest_m))?.0;
        let by_m = best_m - now_m;
        let edits = raised_together(analysis, item, by_m, None)?;
        let step_m = units::step(analysis.printer().system, Dimension::Length, None);
        let serves = seats.iter().all(|place| {
            [by_m - step_m, by_m + step_m]
                .into_iter()
                .all(|by| self.spare(&place.eye, &place.pitch, &dropped(self.picture, -by)) >= 0.0)
        });
        let says = format!(
            "Hang {} at {}, {} {}, where it suits all {} seats best.",
            item_label(item),
            text_of(edits.first()?),
            written_length(analysis, by_m.abs(), Round::Nearest),
            if by_m > 0.0 { "higher" } else { "lower" },
            seats.len(),
        );
        serves.then(|| {
            Remedy::new(says, edits)
                .caution(Caution::Lifting)
                .caution(Caution::Drilling)
        })
    }

    fn hang_lower(&self, place: &SeatPlace) -> Option<Remedy> {
        let item = self.watched.item;
        let by_m = self.drop(place)?;
        let edits = raised_together(self.analysis, item, -by_m, None)?;
        let says = format!(
            "Hang {} {} lower, at {}.",
            item_label(item),
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edits[0]),
        );
        Some(
            Remedy::new(says, edits)
                .caution(Caution::Lifting)
                .caution(Caution::Drilling),
        )
    }

    fn move_back(&self, seat: &Seat, place: &SeatPlace) -> Option<Remedy> {
        let direction = self.picture.face.normal.value();
        let most = room_behind(self.analysis, self.space, place, direction);
        let by_m = least_change(most, |by| {
            let eye = moved(&place.eye, direction, by);
            self.spare(&eye, &place.pitch, self.picture)
        })?;
        let edit = moved_seat(
            self.analysis,
            (self.space, seat),
            direction,
            by_m,
            Round::Up,
        )?;
        let says = format!(
            "Move seat {} {} back from the picture, to {} from the wall that it is measured from.",
            seat.id,
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    }

    /// An arm that pulls the display down far enough.
    fn arm(&self, place: &SeatPlace) -> Option<Remedy> {
        let analysis = self.analysis;
        let item = self.watched.item;
        if !matches!(analysis.kit_of(item), Some(model::Kit::Display(_))) {
            return None;
        }
        let parked = &self.watched.parked;
        let travel = |kit: &model::MountKit| analysis.number(kit.pull_down.as_ref());
        let serves = |kit: &model::MountKit| {
            let reach = analysis.number(kit.reach.as_ref());
            let forward = reach.map_or(0.0, |reach| {
                reach.value()
                    - analysis
                        .mount_of(item)
                        .and_then(|(_, mount)| analysis.number(mount.standoff.as_ref()))
                        .map_or(0.0, |standoff| standoff.value())
            });
            travel(kit).is_some_and(|by| {
                let mut picture = dropped(parked, by.value());
                picture.centre = moved(
                    &picture.centre,
                    picture.face.normal.value(),
                    forward.max(0.0),
                );
                by.value() < parked.outside.bottom.value()
                    && self.spare(&place.eye, &place.pitch, &picture) >= 0.0
            })
        };
        let least = |a: &&model::MountKit, b: &&model::MountKit| {
            let of = |kit| travel(kit).map_or(f64::INFINITY, |by| by.value());
            of(a).total_cmp(&of(b))
        };
        let kit = analysis
            .catalogue()
            .mount
            .iter()
            .filter(|kit| serves(kit))
            .min_by(least)?;
        let edits = match analysis.mount_of(item) {
            Some((mount, _)) => vec![Edit::set(
                format!("item.{}.is", mount.id),
                kit.common.id.clone(),
            )],
            None => {
                let id = format!("{}-arm", item.id);
                let arm = serde_json::json!({ "id": id, "is": kit.common.id });
                vec![
                    Edit::set(format!("item.{id}"), arm),
                    Edit::set(format!("item.{}.mount", item.id), id),
                ]
            }
        };
        let says = format!(
            "Hang {} on {}, which pulls it down by {}.",
            item_label(item),
            kit.common.name.as_deref().unwrap_or(&kit.common.id),
            analysis.length(&travel(kit)?),
        );
        Some(
            Remedy::new(says, edits)
                .caution(Caution::Lifting)
                .caution(Caution::Drilling),
        )
    }
}

fn dropped(picture: &Picture, by_m: f64) -> Picture {
    let mut picture = picture.clone();
    picture.centre.z = &picture.centre.z - by_m;
    picture
}

#[cfg(test)]
mod tests;
