//! Does anybody have to look up too far?

use analysis::{
    Analysis, Known, Limit, LimitValue, Parts, Picture, SeatPlace, Source, Uncertain, Vector3,
    item_label,
};
use model::{Edit, Seat, Space};
use optics::Pose;
use units::{Dimension, Metres, Radians};

use crate::moves::{
    Placed, Round, least_change, raised_together, text_of, to_spare, written_length,
};
use crate::seeing::{Watched, moved, not_before, room_behind};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "vertical-angle",
    area: Area::Picture,
    proves: "From each seat the picture's centre and its top edge stand no higher above the eyes than is comfortable.",
    matters: "A picture that hangs too high, as over a mantel, gives everybody a stiff neck within one film.",
    formula: "α = atan(Δz / d): Δz, height of the picture's centre, or of its top edge, over the eye, m; d, distance to it in plan, m. The angle nearer to its own limit decides. A display on an arm that pulls down is judged parked and pulled down, and the better position for all seats together counts.",
    source: Source::FromMemory {
        work: "SMPTE EG 18 for the top edge; the centre's limit is common practice, no source",
    },
    when_it_fails: "Hang the picture lower, move the seat back, or fit an arm that pulls the display down.",
    limits: &[&CENTRE_MAX, &TOP_MAX],
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
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
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

/// Both angles as one eye sees them.
struct Seen {
    centre: Uncertain,
    top: Uncertain,
}

impl Seen {
    fn from(watched: &Watched, picture: &Picture, eye: &Vector3) -> Option<Self> {
        watched.angle(picture, eye, |picture, eye| {
            // Both angles exist beside the picture too, where nobody watches it.
            picture
                .distance_in_front(eye)
                .filter(|distance| distance.0 > 0.0)?;
            picture.horizontal_angle(eye)
        })?;
        let angle = |of: Angle| watched.angle(picture, eye, of);
        Some(Self {
            centre: angle(optics::Picture::vertical_angle_to_centre)?,
            top: angle(optics::Picture::vertical_angle_to_top)?,
        })
    }

    fn margins(&self, limits: &[LimitValue; 2]) -> [Uncertain; 2] {
        [limits[0].value - &self.centre, limits[1].value - &self.top]
    }

    fn spare(&self, limits: &[LimitValue; 2]) -> f64 {
        let [centre, top] = self.margins(limits);
        to_spare(&centre, 0.0).min(to_spare(&top, 0.0))
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
    let limits = [analysis.limit(&CENTRE_MAX), analysis.limit(&TOP_MAX)];
    let seats: Vec<(&Seat, Known<SeatPlace>)> = analysis.seats_in(space).collect();
    // Everybody watches in the same position: the one whose worst seat is best off.
    let worst = |picture: &Picture| {
        seats
            .iter()
            .filter_map(|(_, place)| place.as_ref().ok())
            .filter_map(|place| Seen::from(&watched, picture, &place.eye))
            .map(|seen| seen.spare(&limits))
            .fold(f64::INFINITY, f64::min)
    };
    let (picture, position) = match &watched.lowered {
        Some(lowered) if worst(lowered) >= worst(&watched.parked) => (lowered, ", pulled down,"),
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
    limits: [LimitValue; 2],
}

impl Question<'_> {
    fn decide(&self, seat: &Seat, place: &SeatPlace) -> Known<Outcome> {
        let Self {
            analysis, limits, ..
        } = self;
        let seen = Seen::from(self.watched, self.picture, &place.eye)
            .ok_or_else(|| not_before(self.space, seat))?;
        let sentence = format!(
            "From seat {} the centre of {}{} stands {} above the eyes (at most {}) and its top edge {} (at most {}).",
            seat.id,
            item_label(self.watched.item),
            self.position,
            analysis.angle(&seen.centre),
            analysis.exact(limits[0].value, Dimension::Angle),
            analysis.angle(&seen.top),
            analysis.exact(limits[1].value, Dimension::Angle),
        );
        let [centre, top] = seen.margins(limits);
        let (value, limit) = if centre <= top {
            (seen.centre, &limits[0])
        } else {
            (seen.top, &limits[1])
        };
        let mut outcome = Outcome::at_most(value, limit, Dimension::Angle).because(sentence);
        if outcome.asks_for_remedies(analysis) {
            outcome = outcome
                .remedy(self.hang_lower(&place.eye))
                .remedy(self.move_back(seat, place))
                .remedy(self.arm(&place.eye));
        }
        Ok(outcome)
    }

    /// What an eye has to spare with the picture lowered and the eye moved back.
    fn spare(&self, eye: &Vector3, picture: &Picture) -> f64 {
        Seen::from(self.watched, picture, eye).map_or(-1.0, |seen| seen.spare(&self.limits))
    }

    /// The least drop that serves, as long as the lower edge stays off the floor.
    fn drop(&self, eye: &Vector3) -> Option<f64> {
        let most = self.picture.outside.bottom.value();
        least_change(most, |by| self.spare(eye, &dropped(self.picture, by)))
    }

    fn hang_lower(&self, eye: &Vector3) -> Option<Remedy> {
        let item = self.watched.item;
        let by_m = self.drop(eye)?;
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
            self.spare(&moved(&place.eye, direction, by), self.picture)
        })?;
        let edit =
            Placed::seat(self.space, seat).in_plan(self.analysis, direction, by_m, Round::Up)?;
        let says = format!(
            "Move seat {} {} back from the picture, to {} from the wall that it is measured from.",
            seat.id,
            written_length(self.analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    }

    /// An arm that pulls the display down far enough.
    fn arm(&self, eye: &Vector3) -> Option<Remedy> {
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
                by.value() < parked.outside.bottom.value() && self.spare(eye, &picture) >= 0.0
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
mod tests {
    //! Both limits, the better of an arm's two positions, and each remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// A display 1.2 m by 0.675 m on the west wall, and a seat square before it.
    fn room(centre: &str, off_west: &str, mount: &str) -> String {
        format!(
            r#"
[[kit.display]]
id = "display-d1"
diagonal = "1.3768 m"
size = ["1.22 m", "0.7 m", "0 m"]
[[kit.mount]]
id = "arm-a1"
standoff = "0 m"
reach = "0.3 m"
pull_down = "600 mm"
[[kit.mount]]
id = "flat-f1"
standoff = "0 m"
[[item]]
id = "display"
is = "display-d1"
on = {{ wall = "west", from_left = "2 m", height = "{centre}" }}
{mount}
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "flat"
is = "flat-f1"
space = "den"
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "{off_west}"], and = ["north", "2 m"] }}
eye = "1.1 m laser"
"#
        )
    }

    fn verdict(centre: &str) -> Verdict {
        findings(&CHECK, &room(centre, "3 m laser", ""))[0].verdict
    }

    #[test]
    fn a_low_picture_fits() {
        // Centre: atan(0.3 / 3) = 5.71°, margin 9.29° = 0.162 rad.
        expect![[r#"
            seat sofa: fits +0.162: From seat sofa the centre of display stands 5.7° above the eyes (at most 15°) and its top edge 12.0° (at most 35°).
        "#]].assert_eq(&told(&findings(&CHECK, &room("1.4 m", "3 m", ""))));
    }

    #[test]
    fn the_centre_decides_far_away() {
        // 15°: Δz = 3 tan 15° = 0.8038 m over 1.1 m.
        assert_eq!(verdict("1.895 m"), Verdict::Fits);
        assert_eq!(verdict("1.905 m"), Verdict::Fails);
    }

    #[test]
    fn the_top_edge_decides_close_by() {
        // At 1 m: top 35° is Δz = 0.7002 m, centre 0.7002 − 0.3375 = 0.3627 m, 19.9°;
        // with a centre limit of 30° the top edge decides.
        let rules = "[rules]\nvertical_angle_centre_max = \"30 deg\"\n";
        let at = |centre: &str| {
            let text = format!("{}{rules}", room(centre, "1 m laser", ""));
            findings(&CHECK, &text)[0].clone()
        };
        assert_eq!(at("1.452 m").verdict, Verdict::Fits);
        assert_eq!(at("1.466 m").verdict, Verdict::Fails);
        assert!((at("1.466 m").limit.unwrap().to_degrees() - 35.0).abs() < 1e-9);
    }

    #[test]
    fn an_arm_is_judged_in_its_better_position() {
        // 1.95 m is 15.8° parked; pulled down to 1.35 m and 0.3 m nearer: atan(0.25 / 2.7) = 5.3°.
        let text = room("1.95 m", "3 m", "mount = \"arm\"");
        expect![[r#"
            seat sofa: fits +0.169: From seat sofa the centre of display, pulled down, stands 5.3° above the eyes (at most 15°) and its top edge 12.3° (at most 35°).
        "#]].assert_eq(&told(&findings(&CHECK, &text)));
    }

    #[test]
    fn an_eye_height_from_a_table_leaves_it_tight() {
        let text = room("1.89 m", "3 m", "").replace("eye = \"1.1 m laser\"", "");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
    }

    #[test]
    fn an_unplaced_display_is_unknown() {
        let text = room("?", "3 m", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "item.display.on.height");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for mount in ["", "mount = \"flat\""] {
            let text = room("2 m", "3 m", mount);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 3, "{}", told(&found));
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
}
