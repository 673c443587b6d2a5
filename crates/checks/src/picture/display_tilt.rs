//! Does a display on its mount look down at those who watch it?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Source, Uncertain, Vector2, Vector3,
    item_label,
};
use model::{Edit, Kit, MountKit, Space};
use units::Dimension;

use crate::moves::{Round, least_change, to_spare, written};
use crate::seeing::Watched;
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "display-tilt",
    area: Area::Picture,
    proves: "The display is tilted so that each seat sees it nearly squarely up and down, and no further than its mount tilts.",
    matters: "Panels lose contrast and colour when seen from below, and a display hung high shows it to everybody.",
    formula: "β = |atan(Δz / d) − t|: Δz, the display's centre over the eye, m; d, distance of the eye before the display, square to its wall, m; t, tilt downwards. The seat that is worst off decides. A display on an arm that pulls down is judged pulled down. Angles to the side are not counted.",
    source: Source::CommonPractice,
    when_it_fails: "Tilt the display, or fit a mount that tilts further.",
    limits: &[&OFF_AXIS_MAX],
    published: &[
        Published {
            cite: "eye 1.10 m, picture's centre 1.90 m high and 3.05 m away: 14.6973° from an upright panel (computed)",
            computed: || off_axis(&at(3.05, 1.1), &Vector3::new(0.0, 0.0, 1.9), 0.0).to_degrees(),
            expected: 14.6973,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
        Published {
            cite: "the same eye and a panel tilted 10° down: 4.6973° (computed)",
            computed: || {
                let tilt = 10.0_f64.to_radians();
                off_axis(&at(3.05, 1.1), &Vector3::new(0.0, 0.0, 1.9), tilt).to_degrees()
            },
            expected: 4.6973,
            tolerance: 5e-5, // Four printed decimals.
            unit: "°",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static OFF_AXIS_MAX: Limit = Limit {
    name: "display_off_axis_vertical_max",
    meaning: "the greatest angle up or down between the display's axis and the line to an eye",
    dimension: Dimension::Angle,
    value: 15.0 * std::f64::consts::PI / 180.0,
    source: Source::CommonPractice,
    regional: &[],
};

fn at(distance_m: f64, height_m: f64) -> Vector3 {
    Vector3::new(distance_m, 0.0, height_m)
}

fn off_axis(eye: &Vector3, centre: &Vector3, tilt: f64) -> f64 {
    let below = below_axis(eye, centre, &Vector2::new(1.0, 0.0));
    (below - tilt).abs().value()
}

/// How far below the level through the display's centre the eye stands, rad: the tilt that
/// faces it squarely.
fn below_axis(eye: &Vector3, centre: &Vector3, normal: &Vector2) -> Uncertain {
    let ahead = (&eye.in_plan() - &centre.in_plan()).dot(normal);
    (&centre.z - &eye.z).atan2(&ahead)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // What is faced but not placed yet is asked for by the checks of seats.
    let Some(Ok(watched)) = Watched::of(analysis, space) else {
        return Vec::new();
    };
    if !matches!(analysis.kit_of(watched.item), Some(Kit::Display(_))) {
        return Vec::new();
    }
    let mount = analysis.mount_of(watched.item).map(|(_, kit)| kit);
    let limit = analysis.limit(&OFF_AXIS_MAX);
    let mut findings = vec![CHECK.about(space, Subject::item(watched.item), || {
        decide(analysis, space, &watched, mount, &limit)
    })];
    if let (Some(mount), true) = (mount, watched.tilt.value() > 0.0) {
        let subject = Subject::item(watched.item).with(
            &Subject::new(
                &mount.common.id,
                mount.common.name.as_deref().unwrap_or(&mount.common.id),
            ),
            "on",
        );
        findings.push(CHECK.about(space, subject, || within_mount(analysis, &watched, mount)));
    }
    findings
}

/// Every eye's angle below the display's level; which seat it is.
fn eyes(analysis: &Analysis, space: &Space, watched: &Watched) -> Known<Vec<(String, Uncertain)>> {
    let picture = watched.in_use();
    analysis
        .seats_in(space)
        .map(|(seat, place)| {
            let below = below_axis(&place?.eye, &picture.centre, &picture.face.normal);
            if below.value().abs() < std::f64::consts::FRAC_PI_2 {
                Ok((seat.id.clone(), below))
            } else {
                Err(crate::seeing::not_before(space, seat))
            }
        })
        .collect()
}

/// The eye farthest from the axis at a tilt, and by how much.
fn worst<'a>(eyes: &'a [(String, Uncertain)], tilt: &Uncertain) -> Option<(&'a str, Uncertain)> {
    eyes.iter()
        .map(|(seat, below)| (seat.as_str(), (below - tilt).abs()))
        .max_by(|(_, a), (_, b)| a.value().total_cmp(&b.value()))
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    watched: &Watched,
    mount: Option<&MountKit>,
    limit: &LimitValue,
) -> Known<Outcome> {
    let eyes = eyes(analysis, space, watched)?;
    let (seat, angle) = worst(&eyes, &watched.tilt).ok_or_else(|| {
        let at = format!("space.{}.seat", space.id);
        Missing::new(format!("a seat in {}", space.label()), at, Means::Decide)
    })?;
    let sentence = format!(
        "{}{}, tilted {} down, is seen {} from its axis, up or down, at seat {seat}; {} is the most.",
        item_label(watched.item),
        watched.position().trim_end_matches(','),
        analysis.angle(&watched.tilt),
        analysis.beside(&angle, limit.value, Dimension::Angle),
        analysis.exact(limit.value, Dimension::Angle),
    );
    Ok(Outcome::at_most(angle, limit, Dimension::Angle)
        .because(sentence)
        .mended(analysis, || [tilt(analysis, watched, mount, &eyes, limit)]))
}

/// What a bracket is set to, rad.
const STEP: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// A turn towards the tilt that shares the angle between the outermost eyes.
fn tilt(
    analysis: &Analysis,
    watched: &Watched,
    mount: Option<&MountKit>,
    eyes: &[(String, Uncertain)],
    limit: &LimitValue,
) -> Option<Remedy> {
    let below = || eyes.iter().map(|(_, below)| below.value());
    let least = below().fold(f64::INFINITY, f64::min);
    let most = below().fold(f64::NEG_INFINITY, f64::max);
    let best = ((least + most) / 2.0).max(0.0);
    let turn = best - watched.tilt.value();
    let spare = |tilt: f64| {
        worst(eyes, &Uncertain::exact(tilt))
            .map_or(-1.0, |(_, angle)| to_spare(&(limit.value - angle), 0.0))
    };
    let by = least_change(turn.abs(), |by| {
        spare(watched.tilt.value() + turn.signum() * by)
    })?;
    let enough = watched.tilt.value() + turn.signum() * by;
    let reached = mount
        .and_then(|mount| analysis.number(mount.tilt_down.as_ref()))
        .map_or(f64::INFINITY, |allowed| allowed.value());
    // The best tilt if the mount has it, else what the mount has if that serves, else the
    // least that serves on another mount.
    let (chosen, round) = if best + STEP <= reached && (best - enough).abs() > STEP {
        (best, Round::Nearest)
    } else if turn < 0.0 {
        (enough, Round::Down)
    } else if enough + 2.0 * STEP <= reached && best > reached {
        (reached - STEP, Round::Down)
    } else {
        (enough, Round::Up)
    };
    let text = |tilt: f64, round| written(analysis, tilt, Dimension::Angle, STEP, round);
    let tilted = text(chosen, round);
    let name = item_label(watched.item);
    let mut says = format!("Tilt {name} {tilted} down.");
    let mut edits = vec![Edit::set(
        format!("item.{}.tilt", watched.item.id),
        tilted.clone(),
    )];
    if let Some(mount) = mount.filter(|_| chosen + STEP > reached) {
        let id = &mount.common.id;
        let wanted = text(chosen + 2.0 * STEP, Round::Up);
        says =
            format!("Tilt {name} {tilted} down, on a mount that tilts {wanted} in place of {id}.");
        edits.push(Edit::set(format!("kit.mount.{id}.tilt_down"), wanted));
    }
    Some(Remedy::new(says, edits).caution(Caution::Lifting))
}

/// Whether the mount tilts as far as the job asks.
fn within_mount(analysis: &Analysis, watched: &Watched, mount: &MountKit) -> Known<Outcome> {
    let id = &mount.common.id;
    let allowed = analysis.number(mount.tilt_down.as_ref()).ok_or_else(|| {
        let at = format!("kit.mount.{id}.tilt_down");
        Missing::new(
            format!("how far {id} tilts downwards"),
            at,
            Means::SpecSheet,
        )
    })?;
    let sentence = format!(
        "{} is to be tilted {} down; its mount tilts up to {}.",
        item_label(watched.item),
        analysis.angle(&watched.tilt),
        analysis.angle(&allowed),
    );
    let margin = &allowed - &watched.tilt;
    let outcome = Outcome::with_margin(
        watched.tilt.clone(),
        allowed.value(),
        margin,
        Dimension::Angle,
        Source::SpecSheet,
    );
    let wanted = written(
        analysis,
        watched.tilt.value() + std::f64::consts::PI / 180.0,
        Dimension::Angle,
        std::f64::consts::PI / 180.0,
        Round::Up,
    );
    let says = format!("Choose a mount that tilts {wanted} down in place of {id}.");
    let edit = Edit::set(format!("kit.mount.{id}.tilt_down"), wanted);
    Ok(outcome
        .because(sentence)
        .remedy(Some(Remedy::new(says, vec![edit]))))
}

#[cfg(test)]
mod tests {
    //! A display high on the wall, with and without a mount that tilts.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(centre: &str, tilt: &str, mount: &str) -> String {
        format!(
            r#"
[[kit.display]]
id = "display-d1"
diagonal = "1.3768 m"
size = ["1.22 m", "0.7 m", "0 m"]
[[kit.mount]]
id = "mount-m1"
{mount}
[[item]]
id = "mount"
is = "mount-m1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "mount"
on = {{ wall = "west", from_left = "2 m", height = "{centre}" }}
{tilt}
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "3 m laser"], and = ["north", "2 m"] }}
eye = "1.1 m laser"
"#
        )
    }

    const TILTS: &str = "tilt_down = \"15 deg\"";

    fn verdict(centre: &str, tilt: &str) -> Verdict {
        findings(&CHECK, &room(centre, tilt, TILTS))[0].verdict
    }

    #[test]
    fn a_tilted_display_fits() {
        // atan(0.9 / 3) = 16.70°, less 10°: 6.70°.
        let found = findings(&CHECK, &room("2.0 m", "tilt = \"10 deg\"", TILTS));
        expect![[r#"
            display: fits +0.145: display, tilted 10° down, is seen 6.7° from its axis, up or down, at seat sofa; 15° is the most.
            display on mount-m1: fits +0.087: display is to be tilted 10° down; its mount tilts up to 15°.
        "#]].assert_eq(&told(&found));
    }

    #[test]
    fn the_limit_holds_from_both_sides() {
        // 15°: Δz = 3 tan 15° = 0.8038 m over 1.1 m; tilted 10°: 25°, 1.3989 m.
        assert_eq!(verdict("1.895 m", ""), Verdict::Fits);
        assert_eq!(verdict("1.905 m", ""), Verdict::Fails);
        assert_eq!(verdict("2.490 m", "tilt = 10"), Verdict::Fits);
        assert_eq!(verdict("2.505 m", "tilt = 10"), Verdict::Fails);
    }

    #[test]
    fn the_mount_limits_the_tilt() {
        let mount =
            |tilt: &str, facts: &str| findings(&CHECK, &room("2.2 m", tilt, facts))[1].clone();
        assert_eq!(mount("tilt = 14", TILTS).verdict, Verdict::Fits);
        assert_eq!(mount("tilt = 15", TILTS).verdict, Verdict::Tight);
        assert_eq!(mount("tilt = 16", TILTS).verdict, Verdict::Fails);
        let unread = mount("tilt = 14", "");
        assert_eq!(unread.verdict, Verdict::Unknown);
        assert_eq!(unread.needs[0].at, "kit.mount.mount-m1.tilt_down");
    }

    #[test]
    fn a_guessed_eye_height_leaves_it_tight() {
        let text = room("1.88 m", "", TILTS).replace("eye = \"1.1 m laser\"", "");
        assert_eq!(findings(&CHECK, &text)[0].verdict, Verdict::Tight);
    }

    #[test]
    fn a_seat_without_a_place_is_unknown() {
        let text = room("2 m", "", TILTS).replace("3 m laser", "?");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.seat.sofa.at.from.1");
    }

    #[test]
    fn the_tilt_chosen_is_the_engines_best() {
        // One eye 3 m before and 1.1 m below the centre: atan(1.1 / 3) = 20.1363°.
        let found = findings(&CHECK, &room("2.2 m", "", "tilt_down = \"30 deg\""));
        let pose = optics::Pose {
            centre_m: [0.0, 0.0, 2.2],
            facing: units::Radians(0.0),
            tilt: units::Radians(0.0),
        };
        let all = units::Radians(0.0)..=units::Radians::from_degrees(30.0);
        let range = optics::display::TiltRange::new(all).unwrap();
        let best = optics::display::best_tilt(pose, &[[3.0, 0.0, 1.1]], range).unwrap();
        assert!((best.tilt.degrees() - 20.1363).abs() < 1e-3);
        assert_eq!(found[0].remedies[0].says, "Tilt display 20° down.");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for (centre, tilt, mount) in [
            ("2.2 m", "", TILTS),
            ("2.2 m", "", "tilt_down = \"7 deg\""),
            ("2.2 m", "", "tilt_down = \"3 deg\""),
            ("1.3 m", "tilt = 20", "tilt_down = \"25 deg\""),
            ("2.2 m", "tilt = 16", TILTS),
        ] {
            let text = room(centre, tilt, mount);
            for (index, finding) in findings(&CHECK, &text).iter().enumerate() {
                if finding.verdict == Verdict::Fits {
                    continue;
                }
                assert_eq!(finding.remedies.len(), 1, "{}", finding.because);
                for remedy in &finding.remedies {
                    let after = findings_after(&CHECK, &text, &remedy.edits);
                    let mended = after.iter().all(|after| after.verdict == Verdict::Fits)
                        || index == 1 && after[1].verdict == Verdict::Fits;
                    assert!(mended, "{} {}", remedy.says, told(&after));
                }
            }
        }
    }
}
