//! Does anybody look at the picture from too far aside?

use analysis::{Analysis, Known, Limit, LimitValue, Parts, Source, Uncertain, Vector3, item_label};
use model::{Edit, Kit, Seat, Space};
use optics::Pose;
use units::{Dimension, Radians};

use crate::moves::{Round, least_change, text_of, to_spare, written, written_length};
use crate::seats_apart::{SEAT_APART_MIN, moved_seat};
use crate::seeing::{Watched, not_before};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "off-axis",
    area: Area::Picture,
    proves: "The seat farthest aside still looks at the picture from within the angle in which it keeps its colour, contrast and shape.",
    matters: "From far aside faces are narrow, and many panels and screens turn pale: the end of the sofa is where guests sit.",
    formula: "θ = the angle at the picture's centre between its normal and the line to the eye, in space. A display on an arm counts as it is watched: pulled down, turned and tilted. Where a display's sheet states a cone, half of it is the limit; else θ up to 45° is good and up to the limit is tight.",
    source: Source::CommonPractice,
    when_it_fails: "Move the seat towards the middle, turn the display on its arm, or choose a panel with a wider cone.",
    limits: &[&OFF_AXIS_MAX, &OFF_AXIS_GOOD, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "an eye as far aside as it is away: 45° (exact)",
            computed: || off_axis_deg(0.0, [2.0, 2.0, 0.0]),
            expected: 45.0,
            tolerance: 1e-9, // Exact.
            unit: "°",
        },
        Published {
            cite: "the same eye and a panel turned 30° towards it: 15° (exact)",
            computed: || off_axis_deg(30.0, [2.0, 2.0, 0.0]),
            expected: 15.0,
            tolerance: 1e-9, // Exact.
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static OFF_AXIS_MAX: Limit = Limit {
    name: "off_axis_max",
    meaning: "the greatest angle between a picture's axis and the line to an eye, where its maker states none",
    dimension: Dimension::Angle,
    value: 60.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

static OFF_AXIS_GOOD: Limit = Limit {
    name: "off_axis_good",
    meaning: "the angle from a picture's axis up to which nobody minds; more is called tight",
    dimension: Dimension::Angle,
    value: 45.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

fn off_axis_deg(turned_deg: f64, eye_m: [f64; 3]) -> f64 {
    let pose = Pose {
        centre_m: [0.0; 3],
        facing: Radians::from_degrees(turned_deg),
        tilt: Radians(0.0),
    };
    pose.off_axis(eye_m).map_or(f64::NAN, Radians::degrees)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // What is faced but not placed yet is asked for by the checks of seats.
    let Some(Ok(watched)) = Watched::of(analysis, space) else {
        return Vec::new();
    };
    let subject = Subject::item(watched.item);
    vec![CHECK.about(space, subject, || decide(analysis, space, &watched))]
}

/// The eye and its angle, the panel turned farther to the right by `turn`, rad.
fn seen(watched: &Watched, eye: &Vector3, turn: f64) -> Option<Uncertain> {
    watched.angle(watched.in_use(), eye, |picture, eye| {
        let pose = picture.pose();
        let turned = Pose {
            facing: Radians(pose.facing.0 + turn),
            ..pose
        };
        turned.off_axis(eye)
    })
}

fn decide(analysis: &Analysis, space: &Space, watched: &Watched) -> Known<Outcome> {
    let cone = match analysis.kit_of(watched.item) {
        Some(Kit::Display(kit)) => analysis.number(kit.cone.as_ref()),
        _ => None,
    };
    let (limit, comfort) = match cone {
        Some(cone) => {
            let limit = LimitValue {
                value: cone.value(),
                source: Source::SpecSheet,
            };
            (limit, 0.0)
        }
        None => {
            let limit = analysis.limit(&OFF_AXIS_MAX);
            let comfort = (limit.value - analysis.limit(&OFF_AXIS_GOOD).value).max(0.0);
            (limit, comfort)
        }
    };
    let mut eyes: Vec<(&Seat, Vector3, Uncertain)> = Vec::new();
    for (seat, place) in analysis.seats_in(space) {
        let eye = place?.eye;
        let angle = seen(watched, &eye, 0.0)
            .filter(|angle| angle.value() < std::f64::consts::FRAC_PI_2)
            .ok_or_else(|| not_before(space, seat))?;
        eyes.push((seat, eye, angle));
    }
    let (seat, eye, angle) = eyes
        .iter()
        .max_by(|a, b| a.2.value().total_cmp(&b.2.value()))
        .expect("a picture that is watched has seats before it");
    let sentence = format!(
        "From seat {}, the farthest aside, {}{} is seen {} from its axis; {} is the most{}.",
        seat.id,
        item_label(watched.item),
        watched.position(),
        analysis.beside(angle, limit.value, Dimension::Angle),
        analysis.exact(limit.value, Dimension::Angle),
        if comfort > 0.0 {
            format!(
                ", {} is good",
                analysis.exact(limit.value - comfort, Dimension::Angle)
            )
        } else {
            String::new()
        },
    );
    let outcome = Outcome::at_most(angle.clone(), &limit, Dimension::Angle)
        .comfort(comfort)
        .because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spare = |angle: &Uncertain| to_spare(&(limit.value - angle), comfort);
    Ok(outcome
        .remedy(inwards(analysis, space, watched, seat, eye, spare))
        .remedy(turn(analysis, watched, &eyes, spare)))
}

/// The seat moved towards the middle of the picture.
fn inwards(
    analysis: &Analysis,
    space: &Space,
    watched: &Watched,
    seat: &Seat,
    eye: &Vector3,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    let picture = watched.in_use();
    let [x, y] = picture.face.right.value();
    let aside = (&eye.in_plan() - &picture.centre.in_plan()).dot(&picture.face.right);
    let sign = -aside.value().signum();
    let direction = [sign * x, sign * y];
    let by_m = least_change(aside.value().abs(), |by| {
        let eye = crate::seeing::moved(eye, direction, by);
        seen(watched, &eye, 0.0).map_or(-1.0, |angle| spare(&angle))
    })?;
    let edit = moved_seat(analysis, (space, seat), direction, by_m, Round::Up)?;
    let says = format!(
        "Move seat {} {} towards the picture's middle, to {} from the wall that it is measured from.",
        seat.id,
        written_length(analysis, by_m, Round::Up),
        text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]))
}

/// The display turned on an arm that turns, so that its outermost seats share the angle.
fn turn(
    analysis: &Analysis,
    watched: &Watched,
    eyes: &[(&Seat, Vector3, Uncertain)],
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    /// What an arm is set to, rad.
    const STEP: f64 = std::f64::consts::PI / 180.0;
    let (_, mount) = analysis.mount_of(watched.item)?;
    let turns = analysis.number(mount.turns.as_ref())?.value();
    let now = analysis.number(watched.item.turn.as_ref());
    let now = now.map_or(0.0, |turn| turn.value());
    let picture = watched.in_use();
    let bearing = |eye: &Vector3| {
        let to_eye = &eye.in_plan() - &picture.centre.in_plan();
        let [right, ahead] = [&picture.face.right, &picture.face.normal]
            .map(|direction| to_eye.dot(direction).value());
        right.atan2(ahead)
    };
    let least = eyes
        .iter()
        .map(|(_, eye, _)| bearing(eye))
        .fold(f64::INFINITY, f64::min);
    let most = eyes
        .iter()
        .map(|(_, eye, _)| bearing(eye))
        .fold(f64::NEG_INFINITY, f64::max);
    let wanted = (now + (least + most) / 2.0).clamp(-turns, turns);
    let text = written(analysis, wanted, Dimension::Angle, STEP, Round::Nearest);
    let set = units::read(&text, Dimension::Angle).ok()?.value?;
    let serves = eyes
        .iter()
        .all(|(_, eye, _)| seen(watched, eye, set - now).is_some_and(|angle| spare(&angle) >= 0.0));
    if !serves || set.abs() > turns + 1e-9 {
        return None;
    }
    let says = format!(
        "Turn {} on its arm by {} to the {} when it is watched.",
        item_label(watched.item),
        analysis.exact(set.abs(), Dimension::Angle),
        if set < 0.0 { "left" } else { "right" },
    );
    let edit = Edit::set(format!("item.{}.turn", watched.item.id), text);
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
mod tests {
    //! A display on the west wall, its middle 2 m from north, and a seat 1.5 m before it.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(off_north: &str, mount: &str, cone: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[kit.display]]
id = "display-d1"
diagonal = "1.3768 m"
size = ["1.22 m", "0.7 m", "0 m"]
{cone}
[[kit.mount]]
id = "arm-a1"
standoff = "0 m"
reach = "0 m"
turns = "45 deg"
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
on = {{ wall = "west", from_left = "2 m", height = "1.1 m" }}
{mount}
[[space.seat]]
id = "end"
at = {{ from = ["west", "1.5 m laser"], and = ["north", "{off_north} laser"] }}
eye = "1.1 m laser"
"#
        )
    }

    fn verdict(off_north: &str, cone: &str) -> Verdict {
        findings(&CHECK, &room(off_north, "", cone))[0].verdict
    }

    #[test]
    fn a_seat_before_the_picture_fits() {
        // 0.5 m aside at 1.5 m: atan(1/3) = 18.43°.
        expect![[r#"
            display: fits +0.725: From seat end, the farthest aside, display is seen 18.4° from its axis; 60° is the most, 45° is good.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room("1.5 m", "", ""))));
    }

    #[test]
    fn good_and_most_hold_from_both_sides() {
        // 45°: 1.5 m aside, 0.5 m from north. 60°: 1.5 tan 60° = 2.598 m; with a limit of 50°
        // 1.7876 m aside, 0.2124 m from north.
        assert_eq!(verdict("0.51 m", ""), Verdict::Fits);
        assert_eq!(verdict("0.49 m", ""), Verdict::Tight);
        let rules = "[rules]\noff_axis_max = \"50 deg\"\n";
        let at = |off: &str| findings(&CHECK, &format!("{}{rules}", room(off, "", "")))[0].verdict;
        assert_eq!(at("0.22 m"), Verdict::Tight);
        assert_eq!(at("0.20 m"), Verdict::Fails);
    }

    #[test]
    fn a_makers_cone_comes_first() {
        // 30°: 0.866 m aside, 1.134 m from north.
        assert_eq!(verdict("1.15 m", "cone = \"30 deg\""), Verdict::Fits);
        assert_eq!(verdict("1.12 m", "cone = \"30 deg\""), Verdict::Fails);
    }

    #[test]
    fn a_turned_display_is_seen_from_where_it_faces() {
        // On the west wall viewers look west: north is at their right hand. Turned 40° to the
        // right, a seat 45° to the right is 5° off.
        let turned = "mount = \"arm\"\nturn = \"40 deg\"";
        let found = findings(&CHECK, &room("0.5 m", turned, ""));
        let angle = found[0].value.as_ref().expect("decided").value();
        assert!((angle.to_degrees() - 5.0).abs() < 0.01, "{}", told(&found));
        assert!(
            found[0].because.contains("swung out"),
            "{}",
            found[0].because
        );
    }

    #[test]
    fn a_seat_behind_the_picture_or_unplaced_is_unknown() {
        let text = room("0.5 m", "", "").replace("1.5 m laser", "?");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.seat.end.at.from.1");
    }

    #[test]
    fn each_remedy_mends_it() {
        let text = room("0.3 m", "mount = \"arm\"", "cone = \"30 deg\"");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
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
