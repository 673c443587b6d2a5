//! Rooms, skies and clocks that a survey gets wrong, or that are odd and right: clear words,
//! no panic, and the other findings stay.

use std::sync::Arc;

use analysis::{Analysis, Missing};
use checks::hanging::findings_of_pictures;
use checks::light_year::{From, LightYear, light_years};
use checks::{Finding, Verdict};

const CINEMA: &str = include_str!("../src/light_year/cinema.toml");

fn analysis(text: &str) -> Analysis {
    match model::read(text, &checks::limit_names()) {
        Ok(job) => Analysis::new(Arc::new(job)),
        Err(problems) => {
            let listed: Vec<String> = problems.iter().map(ToString::to_string).collect();
            panic!("the test's job does not read:\n{}", listed.join("\n"))
        }
    }
}

/// The cinema with some of its text replaced.
fn with(pairs: &[(&str, &str)]) -> String {
    pairs.iter().fold(CINEMA.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replace(old, new)
    })
}

fn year(text: &str) -> Result<LightYear, Missing> {
    let analysis = analysis(text);
    let space = analysis.space("den").expect("it is there");
    light_years(&analysis, space).remove(0).1
}

fn findings(text: &str, check: &str) -> Vec<Finding> {
    let analysis = analysis(text);
    let space = analysis.space("den").expect("it is there");
    let mut found = findings_of_pictures(&analysis, space);
    found.retain(|finding| finding.check == check);
    found
}

#[test]
fn a_screen_wider_than_its_wall_is_told_and_its_throw_is_judged_all_the_same() {
    let text = with(&[("picture_width = \"2 m\"", "picture_width = \"4.4 m\"")]);
    let clear = findings(&text, "picture-clear");
    let over = |finding: &&Finding| finding.verdict == Verdict::Fails;
    let over = clear.iter().find(over).expect("it does not fit its wall");
    assert!(over.because.contains("wall"), "{}", over.because);
    let missing = year(&text).expect_err("no light on what is beyond a wall");
    assert_eq!(missing.at, "item.screen.on");
    assert!(
        missing.what.contains("wholly on its wall"),
        "{}",
        missing.what
    );
    let watched = findings(&text, "watched-contrast");
    assert_eq!(watched[0].verdict, Verdict::Unknown);
    let throw = findings(&text, "throw-ratio");
    assert_eq!(throw[0].verdict, Verdict::Fails);
}

#[test]
fn a_window_outside_its_wall_is_named() {
    // Beyond an end of its wall it is refused at its letter, with what is accepted.
    for place in ["5.2 m", "9 m", "-1 m"] {
        let text = with(&[("from_left = \"2 m\", height = \"0.9 m\"", "HERE")]);
        let text = text.replace(
            "HERE",
            &format!("from_left = \"{place}\", height = \"0.9 m\""),
        );
        let problems = model::read(&text, &checks::limit_names()).expect_err("no window there");
        let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(
            said[0].contains("garden") && said[0].contains("south"),
            "{said:?}"
        );
    }
    // Through the ceiling, whose height may be the mistake: it is asked for, the rest stays.
    let text = with(&[("height = \"0.9 m\"", "height = \"1.9 m\"")]);
    let missing = year(&text).expect_err("no window there");
    assert_eq!(missing.at, "space.den.opening.garden.on");
    assert!(missing.what.contains("garden"), "{}", missing.what);
    let found = findings(&text, "screen-luminance");
    assert_ne!(found[0].verdict, Verdict::Unknown);
}

#[test]
fn beyond_the_polar_circle_june_is_never_dark_and_december_always() {
    let text = with(&[
        // So far north that the sun is deep below the horizon at noon in December.
        ("latitude = 43.1", "latitude = 86"),
        ("longitude = -70.8", "longitude = 15.6"),
        ("America/New_York", "Arctic/Longyearbyen"),
    ]);
    let year = year(&text).expect("all is known");
    let best = year.classes.last().expect("four classes");
    assert_eq!(best.from[5], From::NotThatDay);
    assert_eq!(best.from[11], From::AllDay);
    let contrast = |month: usize, hour: usize| year.worse(month, hour).expect("an hour").contrast;
    assert!((contrast(11, 12) / contrast(11, 0) - 1.0).abs() < 1e-6);
    assert!(contrast(5, 0) < 0.5 * contrast(11, 0));
    assert_eq!(
        findings(&text, "watched-contrast")[0].verdict,
        Verdict::Fails
    );
}

#[test]
fn a_latitude_beyond_the_pole_and_a_zone_that_is_not_are_asked_for() {
    let off = with(&[("latitude = 43.1", "latitude = 95")]);
    match model::read(&off, &checks::limit_names()) {
        Ok(_) => {
            let missing = year(&off).expect_err("no such place");
            assert_eq!(missing.at, "site.latitude");
            assert!(missing.what.contains("90°"), "{}", missing.what);
        }
        Err(problems) => assert!(
            problems
                .iter()
                .any(|one| one.to_string().contains("latitude"))
        ),
    }
    let nowhere = with(&[("America/New_York", "America/Atlantis")]);
    let missing = year(&nowhere).expect_err("no such zone");
    assert_eq!(missing.at, "site.time_zone");
    assert!(
        missing.what.contains("America/Atlantis"),
        "{}",
        missing.what
    );
}

#[test]
fn an_hour_that_the_clock_skips_is_blank_and_the_others_stay() {
    // Iran's clocks went from 0 h to 1 h on 21 March 2020.
    let text = with(&[
        ("latitude = 43.1", "latitude = 35.7"),
        ("longitude = -70.8", "longitude = 51.4"),
        ("America/New_York", "Asia/Tehran"),
        (
            "name = \"Test house\"",
            "name = \"Test house\"\ndate = \"2020-05-01\"",
        ),
    ]);
    let year = year(&text).expect("all is known");
    for sky in &year.skies {
        let hours = sky.hours.iter().flatten();
        assert_eq!(hours.filter(|hour| hour.is_none()).count(), 1);
        assert!(sky.hours[2][0].is_none() && sky.hours[2][1].is_some());
    }
}

#[test]
fn a_blind_that_nobody_measured_is_asked_for_and_night_is_not_guessed() {
    let text = with(&[("transmittance = 0.7", "blind = \"roller\"")]);
    let missing = year(&text).expect_err("a blind");
    assert_eq!(missing.at, "space.den.opening.garden.transmittance");
    assert!(missing.what.contains("roller"), "{}", missing.what);
}

#[test]
fn a_lens_that_cannot_focus_there_has_its_own_finding() {
    let text = with(&[(
        "throw = [1.4, 2.0]",
        "throw = [1.4, 2.0]\nfocus = [\"3 m\", \"8 m\"]",
    )]);
    let found = findings(&text, "focus-distance");
    assert_eq!(found[0].verdict, Verdict::Fails);
    assert!(
        found[0].because.contains("cannot focus so near"),
        "{}",
        found[0].because
    );
    let throw = |text: &str| {
        findings(text, "throw-ratio")[0]
            .margin
            .as_ref()
            .map(|m| m.value())
    };
    assert_eq!(throw(&text), throw(CINEMA));
    assert!(year(&text).is_ok(), "its light is worked out all the same");
}
