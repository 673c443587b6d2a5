//! What the job's windows, paint and clock make of the light on a screen.

use std::sync::Arc;

use analysis::{Analysis, Daylight, Means, Repainted};
use light::outside::Weather;

const JOB: &str = r#"
format = 1
[job]
name = "One room"
[site]
latitude = 43.1
longitude = -70.8
time_zone = "America/New_York"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
gain = 1.0
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
ceiling = { shape = "flat", height = "2.4 m" }
first_wall_faces = "0 deg"
reflectance = { walls = 0.5, floor = 0.2, ceiling = 0.8 }
[[space.opening]]
id = "garden"
kind = "window"
on = { wall = "south", from_left = "2 m", height = "0.9 m" }
size = ["1.6 m", "1.2 m"]
transmittance = 0.7
[[item]]
id = "screen"
is = "screen-s1"
on = { wall = "west", from_left = "2 m", height = "1.3 m" }
"#;

fn analysis(text: &str) -> Analysis {
    let read = model::read(text, &[]);
    Analysis::new(Arc::new(
        read.unwrap_or_else(|problems| panic!("{problems:?}")),
    ))
}

fn with<T>(text: &str, ask: impl FnOnce(&Daylight) -> T) -> T {
    let analysis = analysis(text);
    let item = analysis.item("screen").expect("it is there");
    let daylight = analysis
        .daylight(item)
        .unwrap_or_else(|missing| panic!("{missing:?}"));
    ask(&daylight)
}

fn lux(daylight: &Daylight, month: usize, hour: u16, weather: Weather) -> f64 {
    let sun = daylight.sun(month, hour * 60).expect("the clock shows it");
    daylight.lux(daylight.outside(sun, weather).as_ref())
}

#[test]
fn noon_is_bright_and_midnight_dark() {
    with(JOB, |daylight| {
        let noon = lux(daylight, 11, 12, Weather::Clear);
        let night = lux(daylight, 11, 23, Weather::Clear);
        // A window of 1.9 m² on a room of 96 m²: hundreds of lux in the sun, nothing at night.
        assert!(noon > 200.0 && noon < 20_000.0, "{noon}");
        assert!(night < 1e-3, "{night}");
        assert!(lux(daylight, 5, 12, Weather::Overcast) > lux(daylight, 11, 12, Weather::Overcast));
    });
}

#[test]
fn a_blinds_share_scales_the_light() {
    let open = with(JOB, |daylight| lux(daylight, 5, 15, Weather::Overcast));
    let dimmed = JOB.replace(
        "transmittance = 0.7",
        "blind = \"roller\"\ntransmittance = 0.07",
    );
    let dimmed = with(&dimmed, |daylight| lux(daylight, 5, 15, Weather::Overcast));
    assert!((open / dimmed - 10.0).abs() < 1e-9);
}

#[test]
fn a_blind_that_nobody_measured_is_asked_for() {
    let text = JOB.replace("transmittance = 0.7", "blind = \"roller\"");
    let analysis = analysis(&text);
    let missing = analysis
        .daylight(analysis.item("screen").unwrap())
        .err()
        .unwrap();
    assert_eq!(missing.at, "space.den.opening.garden.transmittance");
    assert_eq!(missing.means, Means::LightMeter);
}

#[test]
fn glass_without_a_word_is_assumed_with_a_spread() {
    let text = JOB.replace("transmittance = 0.7", "");
    with(&text, |daylight| {
        let sun = daylight.sun(5, 900).unwrap();
        let outside = daylight.outside(sun, Weather::Clear);
        let found = daylight.illuminance(outside.as_ref());
        let share = found.standard_uncertainty() / found.value();
        // Sky ± 30 % and glass ± 17 % at 95 %: √(0.15² + 0.083²) = 0.17.
        assert!((share - 0.17).abs() < 0.01, "{share}");
        assert!((found.value() - daylight.lux(outside.as_ref())).abs() < 1e-9);
    });
}

#[test]
fn where_the_house_is_must_be_known_only_if_it_has_windows() {
    for (fact, at) in [
        ("latitude = 43.1", "site.latitude"),
        ("time_zone = \"America/New_York\"", "site.time_zone"),
        ("first_wall_faces = \"0 deg\"", "space.den.first_wall_faces"),
    ] {
        let analysis = analysis(&JOB.replace(fact, ""));
        let missing = analysis
            .daylight(analysis.item("screen").unwrap())
            .err()
            .unwrap();
        assert_eq!(missing.at, at);
    }
    let zone = analysis(&JOB.replace("America/New_York", "Atlantis/Main"));
    assert_eq!(
        zone.daylight(zone.item("screen").unwrap())
            .err()
            .unwrap()
            .at,
        "site.time_zone"
    );
    let cellar = JOB
        .replace("kind = \"window\"", "kind = \"recess\"")
        .replace("transmittance = 0.7", "")
        .replace("latitude = 43.1", "");
    with(&cellar, |daylight| assert_eq!(daylight.lux(None), 0.0));
}

#[test]
fn a_window_or_picture_beyond_its_wall_is_a_clear_answer() {
    // Along the wall the reader refuses it; up it reaches through the ceiling.
    let beyond = analysis(&JOB.replace("height = \"0.9 m\"", "height = \"1.8 m\""));
    let missing = beyond
        .daylight(beyond.item("screen").unwrap())
        .err()
        .unwrap();
    assert_eq!(missing.at, "space.den.opening.garden.on");
    let large = analysis(&JOB.replace("picture_width = \"2 m\"", "picture_width = \"5 m\""));
    let missing = large.daylight(large.item("screen").unwrap()).err().unwrap();
    assert_eq!(missing.at, "item.screen.on");
}

#[test]
fn dark_paint_and_lamps_count() {
    let lamp = JOB.replace("[[item]]", "[[space.fixture]]\nid = \"pendant\"\nkind = \"ceiling-light\"\nlumens = \"400 lm\"\nsize = [\"0.3 m\", \"0.2 m\", \"0.3 m\"]\nhung = { from = [\"north\", \"2 m\"], and = [\"west\", \"3 m\"], drop = \"0.4 m\" }\n[[item]]");
    with(&lamp, |daylight| {
        let lit = daylight.lux(None);
        // Straight light alone: 400 lm/4π at some 3 m, square on: 3.5 lx; walls add to it.
        assert!(lit > 3.0 && lit < 12.0, "{lit}");
        let dark = daylight.repainted(Repainted {
            ceiling: Some(0.05),
            walls: Some(0.05),
        });
        assert!(dark.lux(None) < lit);
        assert!(dark.returned().value() < daylight.returned().value());
    });
}

#[test]
fn only_edits_that_light_rests_on_ask_again() {
    let analysis = analysis(JOB);
    let item = analysis.item("screen").unwrap();
    let first = analysis.daylight(item).unwrap();
    let edited = |at: &str, to: &str| {
        let copy = analysis
            .edited(&[model::Edit::set(at, to)])
            .expect("the edit can be made");
        let again = copy.daylight(copy.item("screen").unwrap()).unwrap();
        std::rc::Rc::ptr_eq(&first, &again)
    };
    assert!(!edited("space.den.opening.garden.transmittance", "0.1"));
    assert!(!edited("item.screen.on.height", "1.4 m"));
}
