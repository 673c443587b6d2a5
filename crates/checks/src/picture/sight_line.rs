//! Does each row see the whole picture over the heads in front?

use analysis::{
    Analysis, Known, Limit, Parts, Picture, SeatPlace, Source, Uncertain, item_label, row_of,
};
use model::{Edit, Seat, Space};
use optics::Point;
use optics::sightline::SightLine;
use units::{Dimension, Metres};

use crate::moves::{Round, least_change, raised_together, text_of, to_spare, written_length};
use crate::seeing::{Watched, headroom};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "sight-line",
    area: Area::Picture,
    proves: "The line from each eye to the picture's lower edge passes high enough over the eyes of those in front.",
    matters: "A head in the lower edge of the picture hides subtitles and faces for the whole film.",
    formula: "C = (N + R) D / (D + T) − R: C, line over the front eye; N, rear eye over front eye; R, front eye over the picture's lower edge; D, front eye to picture; T, front eye to rear eye, in plan along the line; all m. Straight lines to the point of the lower edge that stands behind the front head; a head beside every such line hides nothing.",
    source: Source::FromMemory {
        work: "guides to sports grounds and cinemas: 120 mm good, 90 mm acceptable, 60 mm where one looks between heads",
    },
    when_it_fails: "Put the rear row on a riser, or hang the picture higher.",
    limits: &[&CLEARANCE_MIN, &CLEARANCE_GOOD],
    published: &[
        Published {
            cite: "lower edge 0.60 m high, front eye 1.10 m high at 3.50 m, rows 1.80 m apart, riser 0.438857 m by N = (R + C)(D + T)/D − R: C = 0.120 m (computed)",
            computed: || clearance_m([0.0, 0.0, 0.6], [3.5, 0.0, 1.1], [5.3, 0.0, 1.538857]),
            expected: 0.12,
            tolerance: 1e-6, // The riser's six printed decimals.
            unit: "m",
        },
        Published {
            cite: "the same rows without a riser: C = R D / (D + T) − R = −0.169811 m (computed)",
            computed: || clearance_m([0.0, 0.0, 0.6], [3.5, 0.0, 1.1], [5.3, 0.0, 1.1]),
            expected: -0.169811,
            tolerance: 1e-6, // Six printed decimals.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static CLEARANCE_MIN: Limit = Limit {
    name: "sight_line_clearance_min",
    meaning: "the least height of a sight line over the eyes in front; enough where one looks between heads",
    dimension: Dimension::Length,
    value: 0.060,
    source: Source::FromMemory {
        work: "guides to sports grounds and cinemas",
    },
    regional: &[],
};

static CLEARANCE_GOOD: Limit = Limit {
    name: "sight_line_clearance_good",
    meaning: "the height of a sight line over the eyes in front from which nobody notices the head; less is called tight",
    dimension: Dimension::Length,
    value: 0.120,
    source: Source::FromMemory {
        work: "guides to sports grounds and cinemas",
    },
    regional: &[],
};

/// Half a head's width with hair, m: common practice, no source.
const HALF_HEAD_M: f64 = 0.10;
/// Heads this much nearer to the picture are another row where rows are not numbered, m:
/// common practice, no source.
const ROW_PITCH_MIN_M: f64 = 0.6;

fn clearance_m(focus_m: Point, front_eye_m: Point, rear_eye_m: Point) -> f64 {
    let line = SightLine {
        focus_m,
        front_eye_m,
        rear_eye_m,
    };
    line.passing()
        .map_or(f64::NAN, |passing| passing.clearance.0)
}

/// A seat with its head.
struct Sitting<'a> {
    seat: &'a Seat,
    place: SeatPlace,
    /// Before the picture's plane, m.
    distance: f64,
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let watched = match Watched::of(analysis, space) {
        // One seat has nobody before it.
        _ if space.seat.len() < 2 => return Vec::new(),
        None => return Vec::new(),
        Some(Err(missing)) => {
            return vec![CHECK.about(space, Subject::space(space), || Err(missing))];
        }
        Some(Ok(watched)) => watched,
    };
    let picture = watched.in_use();
    let mut sitting = Vec::new();
    let mut findings = Vec::new();
    for (seat, place) in analysis.seats_in(space) {
        match place {
            Ok(place) => {
                let offset = &place.plan - &picture.centre.in_plan();
                sitting.push(Sitting {
                    seat,
                    distance: offset.dot(&picture.face.normal).value(),
                    place,
                });
            }
            Err(missing) => findings.push(CHECK.about(space, Subject::seat(seat), || Err(missing))),
        }
    }
    for rear in &sitting {
        let heads: Vec<&Sitting> = sitting
            .iter()
            .filter(|front| is_before(front, rear) && hides(front, rear, picture))
            .collect();
        let question = Question {
            analysis,
            space,
            watched: &watched,
            rear,
            heads,
        };
        if !question.heads.is_empty() {
            findings.push(CHECK.about(space, Subject::seat(rear.seat), || question.decide()));
        }
    }
    findings
}

/// Whether a seat is in a row nearer to the picture.
fn is_before(front: &Sitting, rear: &Sitting) -> bool {
    match (front.seat.row, rear.seat.row) {
        (Some(front), Some(rear)) => front < rear,
        _ => {
            front.distance + ROW_PITCH_MIN_M <= rear.distance
                && row_of(front.seat) <= row_of(rear.seat)
        }
    }
}

/// Where in the picture's width a head stands from a seat: −1 to 1 within it.
fn across(front: &Sitting, rear: &Sitting, picture: &Picture) -> f64 {
    let sideways = |sitting: &Sitting| {
        let offset = &sitting.place.plan - &picture.centre.in_plan();
        offset.dot(&picture.face.right).value()
    };
    let share = rear.distance / (rear.distance - front.distance);
    let hit = sideways(rear) + (sideways(front) - sideways(rear)) * share;
    hit / (picture.width().value() / 2.0)
}

/// Whether the head in front stands before any part of the picture's lower edge.
fn hides(front: &Sitting, rear: &Sitting, picture: &Picture) -> bool {
    if front.distance <= 0.0 || front.distance >= rear.distance {
        return false;
    }
    let focus = picture.point(across(front, rear, picture).clamp(-1.0, 1.0), -1.0);
    let line = SightLine {
        focus_m: focus.value(),
        front_eye_m: front.place.eye.value(),
        rear_eye_m: rear.place.eye.value(),
    };
    line.passing()
        .is_some_and(|passing| passing.aside <= Metres(HALF_HEAD_M))
}

/// One seat, and the heads before its picture.
struct Question<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    watched: &'a Watched<'a>,
    rear: &'a Sitting<'a>,
    heads: Vec<&'a Sitting<'a>>,
}

impl Question<'_> {
    /// The least clearance with the rear eye and the picture raised, and over whom.
    fn clearance(&self, eye_up: f64, picture_up: f64) -> Option<(Uncertain, &Sitting<'_>)> {
        let picture = self.watched.in_use();
        let over = |front: &&Sitting| {
            // The point that decides slides along the edge without changing its height, so
            // that its own uncertainty counts for nothing.
            let focus = picture.point(across(front, self.rear, picture).clamp(-1.0, 1.0), -1.0);
            let (near, far) = (&front.place.eye, &self.rear.place.eye);
            uncertainty::through(
                [
                    &focus.x, &focus.y, &focus.z, &near.x, &near.y, &near.z, &far.x, &far.y, &far.z,
                ],
                |[a, b, c, d, e, f, g, h, i]| {
                    clearance_m([a, b, c + picture_up], [d, e, f], [g, h, i + eye_up])
                },
            )
        };
        self.heads
            .iter()
            .map(|front| (over(front), *front))
            .filter(|(clearance, _)| clearance.value().is_finite())
            .min_by(|(a, _), (b, _)| a.value().total_cmp(&b.value()))
    }

    fn decide(&self) -> Known<Outcome> {
        let analysis = self.analysis;
        let least = analysis.limit(&CLEARANCE_MIN);
        let good = analysis.limit(&CLEARANCE_GOOD).value;
        let (clearance, front) = self
            .clearance(0.0, 0.0)
            .ok_or_else(|| crate::seeing::not_before(self.space, self.rear.seat))?;
        let comfort = (good - least.value).max(0.0);
        let outcome = Outcome::at_least(clearance.clone(), &least, Dimension::Length);
        let outcome = outcome.comfort(comfort);
        if analysis.is_trial() {
            return Ok(outcome);
        }
        let edge = &self.watched.in_use().lit.bottom;
        let outcome = outcome.because(format!(
            "From seat {} the line to the lower edge of {}, {} high, passes {} {} the eyes at seat {}; {} over them is the least, {} is good.",
            self.rear.seat.id,
            item_label(self.watched.item),
            analysis.length(edge),
            analysis.length(&clearance.abs()),
            if clearance.value() < 0.0 {
                "below"
            } else {
                "above"
            },
            front.seat.id,
            analysis.exact(least.value, Dimension::Length),
            analysis.exact(good, Dimension::Length),
        ));
        let spare = |eye_up: f64, picture_up: f64| {
            self.clearance(eye_up, picture_up)
                .map_or(-1.0, |(clearance, _)| {
                    to_spare(&(clearance - least.value), comfort)
                })
        };
        if !outcome.asks_for_remedies(analysis) {
            return Ok(outcome);
        }
        Ok(outcome
            .remedy(self.riser(|by| spare(by, 0.0)))
            .remedy(self.raise_picture(|by| spare(0.0, by))))
    }

    /// A riser under the whole row.
    fn riser(&self, spare: impl Fn(f64) -> f64) -> Option<Remedy> {
        /// Higher, and the row needs a rail and a stair: common practice, no source.
        const RISER_MAX_M: f64 = 0.9;
        let by_m = least_change(RISER_MAX_M, spare)?;
        let row = self.rear.seat.row;
        let same = |seat: &&Seat| match row {
            Some(_) => seat.row == row,
            None => seat.id == self.rear.seat.id,
        };
        let mut edits = Vec::new();
        for seat in self.space.seat.iter().filter(same) {
            let path = format!("space.{}.seat.{}", self.space.id, seat.id);
            let raised = |old_m: f64| written_length(self.analysis, old_m + by_m, Round::Up);
            let riser = seat.riser.as_ref().and_then(model::Length::value);
            edits.push(Edit::set(
                format!("{path}.riser"),
                raised(riser.unwrap_or(0.0)),
            ));
            // Heights of eye and ear include the riser.
            for (fact, height) in [("eye", &seat.eye), ("ear", &seat.ear)] {
                if let Some(old_m) = height.as_ref().and_then(model::Length::value) {
                    edits.push(Edit::set(format!("{path}.{fact}"), raised(old_m)));
                }
            }
        }
        let who = match row {
            Some(row) => format!("row {row}"),
            None => format!("seat {}", self.rear.seat.id),
        };
        let says = format!(
            "Raise {who} by {}, on a riser {} high.",
            written_length(self.analysis, by_m, Round::Up),
            text_of(edits.iter().find(|edit| {
                edit.at
                    .ends_with(&format!("seat.{}.riser", self.rear.seat.id))
            })?),
        );
        Some(Remedy::new(says, edits).caution(Caution::Structure))
    }

    fn raise_picture(&self, spare: impl Fn(f64) -> f64) -> Option<Remedy> {
        let item = self.watched.item;
        /// Higher, and the front row looks up at it all evening: common practice.
        const RAISE_MAX_M: f64 = 0.5;
        let room_m = headroom(self.analysis, self.space, &self.watched.parked);
        let by_m = least_change(room_m.min(RAISE_MAX_M), spare)?;
        let edits = raised_together(self.analysis, item, by_m, None)?;
        let says = format!(
            "Hang {} {} higher, at {}.",
            item_label(item),
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edits[0]),
        );
        Some(
            Remedy::new(says, edits)
                .caution(Caution::Ladder)
                .caution(Caution::Lifting),
        )
    }
}

#[cfg(test)]
mod tests {
    //! Two rows before a picture whose lower edge is 0.6 m high.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// Front eye 1.10 m at 3.0 m, rear row 1.8 m behind it with its eyes at a height.
    fn room(rear_eye: &str, rear_off_north: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "1.6 m"
frame = "20 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.05 m" }}
[[space.seat]]
id = "front"
row = 1
at = {{ from = ["west", "3 m"], and = ["north", "2 m"] }}
eye = "1.1 m"
[[space.seat]]
id = "rear"
row = 2
at = {{ from = ["west", "4.8 m"], and = ["north", "{rear_off_north}"] }}
eye = "{rear_eye}"
"#
        )
    }

    fn verdict(rear_eye: &str) -> Verdict {
        findings(&CHECK, &room(rear_eye, "2 m"))[0].verdict
    }

    #[test]
    fn a_high_riser_fits() {
        // C = 0.6 + (1.61 − 0.6) · 3 / 4.8 − 1.1 = 0.13125 m; 0.071 m over the least.
        expect![[r#"
            seat rear: fits +0.071: From seat rear the line to the lower edge of screen, 600 mm high, passes 131 mm above the eyes at seat front; 60 mm over them is the least, 120 mm is good.
        "#]].assert_eq(&told(&findings(&CHECK, &room("1.61 m", "2 m"))));
    }

    #[test]
    fn the_least_holds_from_both_sides() {
        // C = 0.06 m: the eye at 0.6 + (1.1 + 0.06 − 0.6) · 4.8 / 3 = 1.496 m.
        assert_eq!(verdict("1.494 m"), Verdict::Fails);
        assert_eq!(verdict("1.505 m"), Verdict::Tight);
        // C = 0.12 m: 0.6 + 0.62 · 1.6 = 1.592 m.
        assert_eq!(verdict("1.590 m"), Verdict::Tight);
        assert_eq!(verdict("1.594 m"), Verdict::Fits);
    }

    #[test]
    fn rows_aslant_to_the_picture_are_seen_along_their_own_line() {
        // Both seats on a line 15° off the picture's normal through its middle: 3 tan 15° =
        // 0.8038 m and 4.8 tan 15° = 1.2862 m aside. Both distances grow alike, so that C is
        // that of the straight rows, 0.13125 m.
        let text = room("1.61 m", "0.7138 m").replace(
            "at = { from = [\"west\", \"3 m\"], and = [\"north\", \"2 m\"] }",
            "at = { from = [\"west\", \"3 m\"], and = [\"north\", \"1.1962 m\"] }",
        );
        let found = findings(&CHECK, &text);
        let value = found[0].value.as_ref().expect("decided").value();
        assert!((value - 0.131_25).abs() < 1e-4, "{}", told(&found));
    }

    #[test]
    fn a_seat_that_leans_back_sees_less_over_the_row_in_front() {
        // 30° about the hip, 0.76 m below the eye: 0.38 m back and 0.1018 m down:
        // C = 0.6 + (1.5082 − 0.6) · 3 / 5.18 − 1.1 = 0.026 m.
        let text = room("1.61 m", "2 m")
            .replace("id = \"rear\"\n", "id = \"rear\"\nrecline = \"30 deg\"\n");
        let found = findings(&CHECK, &text);
        let value = found[0].value.as_ref().expect("decided").value();
        assert!((value - 0.026).abs() < 5e-4, "{}", told(&found));
        assert_eq!(found[0].verdict, Verdict::Fails);
    }

    #[test]
    fn a_head_beside_the_picture_hides_nothing() {
        // From 1.9 m beside the front head the line past it meets the wall far outside.
        let text = room("1.1 m", "3.9 m");
        assert!(
            findings(&CHECK, &text).is_empty(),
            "{}",
            told(&findings(&CHECK, &text))
        );
    }

    #[test]
    fn rows_that_are_not_numbered_are_told_by_distance() {
        let text = room("1.61 m", "2 m")
            .replace("row = 1", "")
            .replace("row = 2", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].subject.id, "rear");
    }

    #[test]
    fn eye_heights_from_a_table_are_too_coarse_to_decide() {
        let text = room("1.61 m", "2 m").replace("eye = \"1.1 m\"", "");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
    }

    #[test]
    fn an_unplaced_seat_is_unknown() {
        let text = room("1.61 m", "2 m").replace("[\"west\", \"4.8 m\"]", "[\"west\", \"?\"]");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.seat.rear.at.from.1");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for text in [
            room("1.45 m", "2 m"),
            room("1.55 m", "2 m"),
            room("1.5 m", "2.3 m"),
        ] {
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 2, "{}", told(&found));
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_eq!(
                    after[0].verdict,
                    Verdict::Fits,
                    "{} {}",
                    remedy.says,
                    told(&after)
                );
            }
        }
    }

    #[test]
    fn the_riser_is_that_of_the_guides() {
        // N = (R + C)(D + T)/D − R = (0.5 + 0.12) · 1.6 − 0.5 = 0.492 m over the front eye.
        // The screen would have to hang 0.82 m higher instead, before nobody's eyes.
        let found = findings(&CHECK, &room("1.1 m", "2 m"));
        let says: Vec<&str> = found[0].remedies.iter().map(|r| r.says.as_str()).collect();
        expect![[r#"
            Raise row 2 by 493 mm, on a riser 493 mm high."#]]
        .assert_eq(&says.join("\n").replace('\u{202f}', " "));
    }
}
