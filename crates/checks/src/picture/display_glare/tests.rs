//! A window behind the sofa by day and at night, a lamp, and each remedy.

use super::CHECK;
use crate::testing::{ROOM, findings_of, job, told};
use crate::{Finding, Verdict};
use analysis::Analysis;

/// A display on the west wall, a seat 3 m before it, a window in the wall behind.
fn lounge(facts: &str, display: &str) -> String {
    let room = ROOM.replace(
        "[[space]]",
        "[site]\nlatitude = 43.1\nlongitude = -70.8\ntime_zone = \"America/New_York\"\n[[space]]",
    );
    format!(
        r#"{room}
first_wall_faces = "0 deg"
{facts}
[[space.seat]]
id = "sofa"
at = {{ from = ["west", "3 m"], and = ["north", "2 m"] }}
eye = "1.1 m"
[[kit.display]]
id = "display-d55"
diagonal = "55 in"
size = ["1.23 m", "0.71 m", "60 mm"]
luminance = "400 cd/m²"
native_contrast = 3000
{display}
[[item]]
id = "tv"
is = "display-d55"
on = {{ wall = "west", from_left = "2 m", height = "1.1 m" }}
"#
    )
}

const WINDOW: &str = r#"
watched = ["15:00", "22:00"]
[[space.opening]]
id = "garden"
kind = "window"
on = { wall = "east", from_left = "1.4 m", height = "0.8 m" }
size = ["1.2 m", "1.2 m"]
transmittance = 0.7
"#;

const LAMP: &str = r#"
[[space.fixture]]
id = "floor-lamp"
kind = "wall-light"
on = { wall = "east", from_left = "2 m", height = "1.3 m" }
size = ["0.3 m", "0.3 m", "0.2 m"]
"#;

fn found(text: &str) -> Finding {
    let mut found = findings_of(&CHECK, text);
    assert_eq!(found.len(), 1, "{}", told(&found));
    found.remove(0)
}

#[test]
fn a_window_behind_the_sofa_glares_by_day_and_not_at_night() {
    let text = lounge(WINDOW, "mirrors = 0.04");
    let day = found(&text);
    assert_eq!(day.verdict, Verdict::Fails, "{}", day.because);
    assert!(day.because.contains("garden"), "{}", day.because);
    let night = found(&text.replace("[\"15:00\", \"22:00\"]", "[\"22:00\", \"24:00\"]"));
    assert_eq!(night.verdict, Verdict::Fits, "{}", night.because);
}

#[test]
fn a_low_sun_through_the_window_is_the_sun_and_not_the_sky() {
    // On 21 March the sun stands some 10° up in the east at eight: from the east wall's
    // window onto the panel, and back to an eye that stands in its way.
    let text = lounge(WINDOW, "mirrors = 0.04")
        .replace("[\"15:00\", \"22:00\"]", "[\"07:00\", \"09:00\"]");
    let morning = found(&text);
    assert!(
        morning.because.contains("the sun through garden"),
        "{}",
        morning.because
    );
    assert!(morning.value.clone().unwrap().value() < 1.1);
}

#[test]
fn a_lamps_light_decides_and_is_asked_for() {
    let lit = |lumens: &str| lounge(&format!("{LAMP}lumens = \"{lumens}\"\n"), "mirrors = 0.04");
    // L = Φ/(4π · 0.09) = 0.884 Φ; C = 15 at r L = (400 − 15 · 0.1333)/14 = 28.43, so Φ = 804 lm.
    assert_eq!(found(&lit("790 lm")).verdict, Verdict::Fits);
    assert_eq!(found(&lit("820 lm")).verdict, Verdict::Fails);
    let asked = found(&lounge(LAMP, "mirrors = 0.04"));
    assert_eq!(asked.needs[0].at, "space.den.fixture.floor-lamp.lumens");
}

#[test]
fn a_front_that_nobody_read_leaves_it_tight() {
    let text = lounge(&format!("{LAMP}lumens = \"900 lm\"\n"), "");
    assert_eq!(found(&text).verdict, Verdict::Tight);
}

#[test]
fn what_no_seat_sees_is_not_spoken_of() {
    let aside = WINDOW
        .replace(
            "wall = \"east\", from_left = \"1.4 m\"",
            "wall = \"west\", from_left = \"0.1 m\"",
        )
        .replace("[\"1.2 m\", \"1.2 m\"]", "[\"0.6 m\", \"1.2 m\"]");
    assert!(findings_of(&CHECK, &lounge(&aside, "")).is_empty());
}

#[test]
fn each_remedy_makes_it_fit_or_shows_nothing() {
    for facts in [WINDOW.to_owned(), format!("{LAMP}lumens = \"2000 lm\"\n")] {
        let text = lounge(&facts, "mirrors = 0.04");
        let found = found(&text);
        assert!(!found.remedies.is_empty(), "{}", found.because);
        let analysis = Analysis::new(job(&text));
        for remedy in &found.remedies {
            let mended = analysis.edited(&remedy.edits).unwrap();
            let after = super::run(&mended, &mended.job().space[0]);
            assert!(
                after.iter().all(|f| f.verdict == Verdict::Fits),
                "{} {}",
                remedy.says,
                told(&after)
            );
        }
    }
}
