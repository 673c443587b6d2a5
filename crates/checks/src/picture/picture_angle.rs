//! Is the picture large enough from each seat, and not too large?

use analysis::{Analysis, Limit, Parts, SeatPlace, Source, Uncertain, Vector3, item_label};
use model::{Kit, Seat, Space};
use optics::Pose;
use units::{Dimension, Metres, Radians};

use crate::moves::{Round, least_change, picture_width, text_of, to_spare, written_length};
use crate::seats_apart::{SEAT_APART_MIN, moved_seat};
use crate::seeing::{Watched, each_seat, moved, not_before, room_behind};
use crate::{Area, Check, Known, LimitValue, Outcome, Published, Remedy, Run};

pub(crate) static CHECK: Check = Check {
    id: "picture-angle",
    area: Area::Picture,
    proves: "From each seat the picture fills a horizontal angle between the least and the greatest that are comfortable.",
    matters: "From too far the film is a window on the other side of the room; from too near the head turns with every scene. People choose their seat by it without knowing why.",
    formula: "φ = the angle at the eye between the middles of the picture's left and right edges; square before the centre φ = 2 atan(w / 2D), w: picture width, D: eye to picture, m. Taken in space, so it holds for any seat before a flat picture.",
    source: Source::FromMemory {
        work: "SMPTE EG 18, 30° at the farthest seats",
    },
    when_it_fails: "Move the seat along the room, or choose another picture size.",
    limits: &[&ANGLE_MIN, &ANGLE_MAX, &DISPLAY_ANGLE_MIN, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "eye 3.048 m square before a picture 2.2138 m wide: 2 atan(w / 2D) = 39.9176° (computed)",
            computed: || angle_deg(2.2138, 3.048),
            expected: 39.9176,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
        Published {
            cite: "SMPTE EG 18 (from memory): 30° at D = 1.8660 w, for 2.2138 m 4.13101 m (computed)",
            computed: || angle_deg(2.2138, 4.13101),
            expected: 30.0,
            tolerance: 5e-4, // The distance is printed to 10 µm, worth 0.00007°, and 1.8660 to five digits.
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

pub(super) static ANGLE_MIN: Limit = Limit {
    name: "picture_angle_min",
    meaning: "the least horizontal angle that the picture fills, from the farthest seat",
    dimension: Dimension::Angle,
    value: 30.0 * std::f64::consts::PI / 180.0,
    source: Source::FromMemory {
        work: "SMPTE EG 18",
    },
    regional: &[],
};

static DISPLAY_ANGLE_MIN: Limit = Limit {
    name: "display_angle_min",
    meaning: "the least horizontal angle that the picture of a display fills, from the farthest seat of a living room",
    dimension: Dimension::Angle,
    value: 20.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

static ANGLE_MAX: Limit = Limit {
    name: "picture_angle_max",
    meaning: "the greatest horizontal angle that the picture fills, from the nearest seat",
    dimension: Dimension::Angle,
    value: 60.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// The angle square before the centre of a 16:9 picture, °.
fn angle_deg(width_m: f64, distance_m: f64) -> f64 {
    let pose = Pose {
        centre_m: [0.0; 3],
        facing: Radians(0.0),
        tilt: Radians(0.0),
    };
    optics::PictureSize::from_width(Metres(width_m), optics::Aspect::TELEVISION)
        .and_then(|size| optics::Picture::new(size, pose))
        .and_then(|picture| picture.horizontal_angle([distance_m, 0.0, 0.0]))
        .map_or(f64::NAN, |angle| angle.0.to_degrees())
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    each_seat(&CHECK, analysis, space, |watched, seat, place| {
        // A projected picture is watched as a cinema's is, a display as a living room's.
        let least = match analysis.kit_of(watched.item) {
            Some(Kit::Display(_)) => &DISPLAY_ANGLE_MIN,
            _ => &ANGLE_MIN,
        };
        let limits = [analysis.limit(least), analysis.limit(&ANGLE_MAX)];
        decide(analysis, space, watched, seat, place, &limits)
    })
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    watched: &Watched,
    seat: &Seat,
    place: &SeatPlace,
    limits: &[LimitValue; 2],
) -> Known<Outcome> {
    let picture = watched.in_use();
    let angle = seen(watched, &place.eye).ok_or_else(|| not_before(space, seat))?;
    let outcome = Outcome::between(angle.clone(), &limits[0], &limits[1], Dimension::Angle);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let distance = (&place.eye - &picture.centre).norm();
    let outcome = outcome.because(format!(
        "From seat {}, {} away, the picture of {} fills {} from side to side; between {} and {} is wanted.",
        seat.id,
        analysis.length(&distance),
        item_label(watched.item),
        analysis.angle(&angle),
        analysis.exact(limits[0].value, Dimension::Angle),
        analysis.exact(limits[1].value, Dimension::Angle),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let too_small = angle.value() - limits[0].value <= limits[1].value - angle.value();
    let asks = Asks {
        analysis,
        watched,
        eye: &place.eye,
        limits,
        too_small,
    };
    Ok(outcome
        .remedy(asks.move_seat(space, seat, place))
        .remedy(asks.other_size(&angle)))
}

fn seen(watched: &Watched, eye: &Vector3) -> Option<Uncertain> {
    watched.angle(watched.in_use(), eye, optics::Picture::horizontal_angle)
}

/// What a remedy has to reach.
struct Asks<'a> {
    analysis: &'a Analysis,
    watched: &'a Watched<'a>,
    eye: &'a Vector3,
    limits: &'a [LimitValue; 2],
    too_small: bool,
}

impl Asks<'_> {
    /// What the nearer limit leaves to spare; both must be kept.
    fn spare(&self, angle: &Uncertain) -> f64 {
        let above = to_spare(&(angle - self.limits[0].value), 0.0);
        above.min(to_spare(&(self.limits[1].value - angle), 0.0))
    }

    fn move_seat(&self, space: &Space, seat: &Seat, place: &SeatPlace) -> Option<Remedy> {
        let picture = self.watched.in_use();
        let [x, y] = picture.face.normal.value();
        let (direction, words) = if self.too_small {
            ([-x, -y], "towards")
        } else {
            ([x, y], "back from")
        };
        let most = room_behind(self.analysis, space, place, direction);
        let by_m = least_change(most, |by| {
            seen(self.watched, &moved(self.eye, direction, by))
                .map_or(-1.0, |angle| self.spare(&angle))
        })?;
        let edit = moved_seat(self.analysis, (space, seat), direction, by_m, Round::Up)?;
        let says = format!(
            "Move seat {} {} {words} the picture, to {} from the wall that it is measured from.",
            seat.id,
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    }

    fn other_size(&self, angle: &Uncertain) -> Option<Remedy> {
        // Up to three times as wide, or down to a third.
        let factor = |by: f64| {
            if self.too_small {
                1.0 + by
            } else {
                1.0 / (1.0 + by)
            }
        };
        let picture = self.watched.in_use();
        let scaled = |by: f64| {
            let mut picture = picture.clone();
            let grown = picture.width() * ((factor(by) - 1.0) / 2.0);
            picture.lit.left = &picture.lit.left - &grown;
            picture.lit.right = &picture.lit.right + &grown;
            picture
        };
        let by = least_change(2.0, |by| {
            self.watched
                .angle(&scaled(by), self.eye, optics::Picture::horizontal_angle)
                .map_or(-1.0, |angle| self.spare(&angle))
        })?;
        let width_m = picture.width().value() * factor(by);
        let round = if self.too_small {
            Round::Up
        } else {
            Round::Down
        };
        let (words, edits) =
            picture_width(self.analysis, self.watched.item, picture, width_m, round)?;
        let says = format!(
            "Order {} with {words}, {} than the one that fills {}.",
            self.watched.item.is,
            if self.too_small { "larger" } else { "smaller" },
            self.analysis.angle(angle),
        );
        Some(Remedy::new(says, edits))
    }
}

#[cfg(test)]
mod tests {
    //! Both limits from both sides, a paced seat, and each remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// A picture 2 m wide in the middle of the west wall, and a seat before its centre.
    fn room(off_west: &str) -> String {
        room_with(off_west, "picture_width = \"2 m\"")
    }

    fn room_with(off_west: &str, size: &str) -> String {
        format!(
            r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
{size}
frame = "80 mm"
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[space.seat]]
id = "main"
at = {{ from = ["west", "{off_west}"], and = ["north", "2 m"] }}
eye = "1.3 m"
"#
        )
    }

    fn verdict(off_west: &str) -> Verdict {
        findings(&CHECK, &room(off_west))[0].verdict
    }

    #[test]
    fn a_seat_between_both_limits_fits() {
        // 2 atan(1 / 3) = 36.87°.
        expect![[r#"
            seat main: fits +0.120: From seat main, 3.000 m away, the picture of screen fills 36.9° from side to side; between 30° and 60° is wanted.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room("3 m"))));
    }

    #[test]
    fn both_limits_hold_from_both_sides() {
        // 30°: D = 1 / tan 15° = 3.7321 m. 60°: D = 1 / tan 30° = 1.7321 m.
        assert_eq!(verdict("3.725 m laser"), Verdict::Fits);
        assert_eq!(verdict("3.734 m laser"), Verdict::Fails);
        assert_eq!(verdict("1.738 m laser"), Verdict::Fits);
        assert_eq!(verdict("1.730 m laser"), Verdict::Fails);
    }

    #[test]
    fn a_paced_seat_near_the_limit_is_tight() {
        assert_eq!(verdict("3.65 m paced"), Verdict::Tight);
    }

    #[test]
    fn a_seat_without_a_place_is_unknown() {
        let text = room("3 m").replace("at = { from", "# at = { from");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.seat.main.at");
    }

    #[test]
    fn a_seat_beside_the_picture_is_unknown_and_no_picture_is_no_question() {
        // The screen's face stands 0.3 m off the wall.
        let deep = "picture_width = \"2 m\"\nsize = [\"2.2 m\", \"1.3 m\", \"0.3 m\"]";
        let beside = room_with("0.2 m", deep);
        assert_eq!(findings(&CHECK, &beside)[0].verdict, Verdict::Unknown);
        let seats_alone = "[[space.seat]]\nid = \"main\"";
        assert!(findings(&CHECK, seats_alone).is_empty());
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        let diagonal = room_with(
            "4.5 m",
            "diagonal = \"90 in\"\nsize = [\"2.2 m\", \"1.3 m\", \"40 mm\"]",
        );
        for text in [room("5 m"), room("1.2 m"), room("3.65 m paced"), diagonal] {
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
    fn the_remedies_say_how_far_and_how_large() {
        let found = findings(&CHECK, &room("5 m"));
        let says: Vec<&str> = found[0].remedies.iter().map(|r| r.says.as_str()).collect();
        expect![[r#"
            Move seat main 1.274 m towards the picture, to 3.726 m from the wall that it is measured from.
            Order screen-s1 with a picture width of 2.683 m, larger than the one that fills 22.6°."#]].assert_eq(&says.join("\n").replace('\u{202f}', " "));
    }
}
