//! Does anybody sit so near that single picture elements show?

use analysis::{
    Analysis, Known, Limit, Means, Missing, Parts, Picture, Source, Uncertain, item_label,
};
use model::{Edit, Kit, Seat, Space};
use optics::legibility::{ACUITY, arcminutes};
use units::{Dimension, Metres, Radians};

use crate::moves::{Round, least_change, text_of, to_spare, written_length};
use crate::seats_apart::{SEAT_APART_MIN, moved_seat};
use crate::seeing::{Watched, moved, not_before, room_behind};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "pixel-acuity",
    area: Area::Picture,
    proves: "From the nearest seat one picture element fills no more than normal sight separates.",
    matters: "Nearer than that, edges turn to steps and text to mosaic; those who sit there notice it in the first titles.",
    formula: "p = w / N, the pitch, m; w: picture width, m; N: elements across that width (of a picture narrower than the chip only those that are lit). Angle = the one between the element's edges at the picture's centre, as atan(p / D) square before it, times the square of the cosine to the side; D: eye to picture, m. Normal sight (20/20) separates 1 minute of arc. Who sees better sees more; films are soft, titles and games are not.",
    source: Source::FromMemory {
        work: "Rec. ITU-R BT.1845 and BT.2022, one minute of arc",
    },
    when_it_fails: "Move the seat back, or choose a picture with more elements.",
    limits: &[&PIXEL_MAX, &SEAT_APART_MIN],
    published: &[
        Published {
            cite: "3840 elements over 2.2138 m at 2.50 m: atan(p / D) = 0.792759 minutes of arc (computed)",
            computed: || pixel_minutes(2.2138, 3840, 2.5),
            expected: 0.792759,
            tolerance: 1e-6, // Six printed decimals.
            unit: "arcmin",
        },
        Published {
            cite: "2160 rows at 1.59155 picture heights (design distance of BT.2022, 1.6 from memory): 1 minute of arc (computed)",
            computed: || pixel_minutes(16.0 / 9.0, 3840, 1.59155),
            expected: 1.0,
            tolerance: 1e-5, // Six printed digits of the distance.
            unit: "arcmin",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS, run),
};

static PIXEL_MAX: Limit = Limit {
    name: "pixel_angle_max",
    meaning: "the greatest angle that one picture element fills from the nearest seat",
    dimension: Dimension::Angle,
    value: ACUITY.0,
    source: Source::FromMemory {
        work: "Rec. ITU-R BT.1845, one minute of arc",
    },
    regional: &[],
};

/// Square before the centre of a 16:9 picture, minutes of arc.
fn pixel_minutes(width_m: f64, columns: u32, distance_m: f64) -> f64 {
    let pose = optics::Pose {
        centre_m: [0.0; 3],
        facing: Radians(0.0),
        tilt: Radians(0.0),
    };
    optics::PictureSize::from_width(Metres(width_m), optics::Aspect::TELEVISION)
        .and_then(|size| optics::Picture::new(size, pose))
        .and_then(|picture| picture.pixel_angle([distance_m, 0.0, 0.0], columns))
        .map_or(f64::NAN, arcminutes)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    // What is faced but not placed yet is asked for by the checks of seats.
    let Some(Ok(watched)) = Watched::of(analysis, space) else {
        return Vec::new();
    };
    let shows = match analysis.kit_of(watched.item) {
        Some(Kit::Display(kit)) => Shows {
            kit: "display",
            id: &kit.common.id,
            resolution: kit.resolution,
        },
        _ => {
            let lights = |item: &&model::Item| {
                (analysis.screen_of(item)).is_ok_and(|screen| screen.id == watched.item.id)
            };
            let mut projectors = analysis.projectors_in(space);
            let Some((_, kit)) = projectors.find(|(item, _)| lights(item)) else {
                // A screen without a projector shows nothing yet.
                return Vec::new();
            };
            Shows {
                kit: "projector",
                id: &kit.common.id,
                resolution: kit.resolution,
            }
        }
    };
    let subject = Subject::item(watched.item);
    vec![CHECK.about(space, subject, || decide(analysis, space, &watched, &shows))]
}

/// What makes the picture.
struct Shows<'a> {
    kit: &'static str,
    id: &'a str,
    resolution: Option<[u32; 2]>,
}

/// Elements across a picture's width.
fn columns_lit([columns, rows]: [u32; 2], picture: &Picture) -> Option<u32> {
    let lit = optics::size::Letterbox {
        chip: optics::Aspect::new(f64::from(columns) / f64::from(rows))?,
        picture: optics::Aspect::new(picture.aspect)?,
    }
    .lit();
    Some((f64::from(columns) * lit.columns).round() as u32)
}

fn decide(analysis: &Analysis, space: &Space, watched: &Watched, shows: &Shows) -> Known<Outcome> {
    let ask = || {
        Missing::new(
            format!("the picture elements of {}, across and down", shows.id),
            format!("kit.{}.{}.resolution", shows.kit, shows.id),
            Means::SpecSheet,
        )
    };
    let resolution = shows.resolution.ok_or_else(ask)?;
    let picture = watched.in_use();
    let columns = columns_lit(resolution, picture).ok_or_else(ask)?;
    let seen = |columns: u32, eye: &uncertainty::Vector3| {
        watched.angle(picture, eye, |picture, eye| {
            picture.pixel_angle(eye, columns)
        })
    };
    let mut nearest: Option<(&Seat, Uncertain)> = None;
    for (seat, place) in analysis.seats_in(space) {
        let angle = seen(columns, &place?.eye).ok_or_else(|| not_before(space, seat))?;
        if nearest.as_ref().is_none_or(|(_, most)| angle > *most) {
            nearest = Some((seat, angle));
        }
    }
    let (seat, angle) = nearest.expect("a picture that is watched has seats before it");
    let limit = analysis.limit(&PIXEL_MAX);
    // A share of what sight separates: degrees of it print as nothing.
    let share = &angle / limit.value;
    let margin = 1.0 - &share;
    let outcome = Outcome::with_margin(share, 1.0, margin, Dimension::Ratio, limit.source);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let minutes = |angle: f64| format!("{:.2} minutes of arc", arcminutes(Radians(angle)));
    let pitch = picture.width().value() / f64::from(columns);
    let outcome = outcome.because(format!(
        "From seat {}, the nearest, one of the {columns} elements across {} fills {}; normal sight separates {}, which one element fills from {} away.",
        seat.id,
        item_label(watched.item),
        minutes(angle.value()),
        minutes(limit.value),
        written_length(analysis, pitch / limit.value.tan(), Round::Up),
    ));
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spare = |angle: Option<Uncertain>| {
        angle.map_or(-1.0, |angle| to_spare(&(limit.value - angle), 0.0))
    };
    let place = analysis.seat(space, seat)?;
    let direction = picture.face.normal.value();
    let back = || {
        let most = room_behind(analysis, space, &place, direction);
        let by_m = least_change(most, |by| {
            spare(seen(columns, &moved(&place.eye, direction, by)))
        })?;
        let edit = moved_seat(analysis, (space, seat), direction, by_m, Round::Up)?;
        let says = format!(
            "Move seat {} {} back from the picture, to {} from the wall that it is measured from.",
            seat.id,
            written_length(analysis, by_m, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]))
    };
    let finer = || {
        const SOLD: [[u32; 2]; 3] = [[1920, 1080], [3840, 2160], [7680, 4320]];
        let enough = SOLD.into_iter().find(|resolution| {
            let columns = columns_lit(*resolution, picture);
            columns.is_some_and(|columns| spare(seen(columns, &place.eye)) >= 0.0)
        })?;
        let says = format!(
            "Choose a {} of {} × {} elements in place of {}.",
            shows.kit, enough[0], enough[1], shows.id
        );
        let at = format!("kit.{}.{}.resolution", shows.kit, shows.id);
        let edit = Edit::set(at, serde_json::json!(enough));
        Some(Remedy::new(says, vec![edit]))
    };
    Ok(outcome.remedy(back()).remedy(finer()))
}

#[cfg(test)]
mod tests {
    //! A display 2 m wide of 1920 elements: 1.0417 mm each.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(off_west: &str, resolution: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
[[kit.display]]
id = "display-d1"
diagonal = "2.294715 m"
size = ["2.05 m", "1.2 m", "0 m"]
{resolution}
[[item]]
id = "display"
is = "display-d1"
on = {{ wall = "west", from_left = "2 m", height = "1.1 m" }}
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "{off_west}"], and = ["north", "2 m"] }}
eye = "1.1 m laser"
"#
        )
    }

    const FULL: &str = "resolution = [1920, 1080]";

    #[test]
    fn far_enough_fits() {
        // 2/1920 m at 4 m: 0.8952 minutes; 1 minute at 3.581 m.
        expect![[r#"
            display: fits +0.105: From seat sofa, the nearest, one of the 1920 elements across display fills 0.90 minutes of arc; normal sight separates 1.00 minutes of arc, which one element fills from 3.582 m away.
        "#]].assert_eq(&told(&findings(&CHECK, &room("4 m laser", FULL))));
    }

    #[test]
    fn one_minute_holds_from_both_sides() {
        let verdict = |off: &str| findings(&CHECK, &room(off, FULL))[0].verdict;
        assert_eq!(verdict("3.57 m laser"), Verdict::Fails);
        assert_eq!(verdict("3.59 m laser"), Verdict::Fits);
        assert_eq!(verdict("3.7 m guess"), Verdict::Tight);
    }

    #[test]
    fn without_a_resolution_it_is_asked_for() {
        let found = findings(&CHECK, &room("4 m", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.display.display-d1.resolution");
    }

    #[test]
    fn each_remedy_mends_it() {
        for off in ["3 m laser", "3.7 m guess"] {
            let text = room(off, FULL);
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
}
