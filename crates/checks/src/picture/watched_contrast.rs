//! Does daylight leave a projected picture enough contrast at the hours at which it is watched?

use analysis::{Analysis, Means, Missing, Parts, Repainted, Source, Uncertain, item_label};
use model::{Edit, Space};
use serde_json::{Value, json};
use units::Dimension;

use super::ambient_contrast::CONTRAST_MIN;
use super::screen_luminance::{LIGHT_KEPT, more_lumens, smaller_picture};
use crate::moves::{least_change, to_spare};
use crate::screen_light::ScreenLight;
use crate::shared::watching::{Watching, When, clock_time, contrast};
use crate::{Area, Caution, Check, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "watched-contrast",
    area: Area::Picture,
    proves: "At every hour at which the picture is watched, sun, sky and lamps leave white enough times brighter than black.",
    matters: "A cinema that is dark at nine may be grey at six in June: the customer finds out in summer.",
    formula: "C = (L_w + L) / (L_w / C₀ + L), L = E ρ / π + ½ L_w ρ_s R ρ / g: C, system contrast of a picture half white and half black; L_w, white, cd/m²; C₀, native contrast; E, light on the screen from windows and lamps, lx, by radiosity of matt surfaces under a clear and an overcast sky on the 21st of each month; ρ, how the screen returns room light; ρ_s, share of light that it gives back in all; R, lux that come back from the room for each lm/m² that leave the screen; g, gain. Furniture and reveals are left out. A real sky differs by 30 %.",
    source: Source::FromMemory {
        work: "ANSI/INFOCOMM 3M-2011: passive viewing 7:1, basic decisions 15:1, analytical decisions 50:1, full-motion video 80:1; skies by CIE S 011 and Ineichen and Perez 2002",
    },
    when_it_fails: "Hang a blind, paint the ceiling dark, watch later, or choose a brighter or smaller picture.",
    limits: &[&CONTRAST_MIN, &LIGHT_KEPT],
    published: &[
        Published {
            cite: "white 200 cd/m², native contrast 2000, 10 lx on gain 1 (3.1831 cd/m²), nothing sent back: 61.8876 (computed)",
            computed: || contrast(200.0, 2000.0, 10.0, 1.0, 0.0),
            expected: 61.8876,
            tolerance: 1e-4, // Four printed decimals.
            unit: "1",
        },
        Published {
            cite: "white 120 cd/m², native contrast 5000, 7.61676 lx of it sent back by the room (a share of 0.0202040): 50:1 (computed)",
            computed: || {
                contrast(
                    120.0,
                    5000.0,
                    0.0,
                    1.0,
                    7.616_76 / std::f64::consts::PI / 120.0,
                )
            },
            expected: 50.0,
            tolerance: 5e-5, // The illuminance's six printed digits.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::OPENINGS.and(Parts::FIXTURES).and(Parts::PAINT), run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    let Some(watched) = &space.watched else {
        return Vec::new();
    };
    let projectors = analysis.projectors_in(space);
    let find = |(item, kit)| {
        CHECK.about(space, Subject::item(item), || {
            let hours = watched.minutes().ok_or_else(|| {
                let what = format!(
                    "two times of day between which {} is watched",
                    space.label()
                );
                Missing::new(what, format!("space.{}.watched", space.id), Means::Decide)
            })?;
            let projector = analysis.projector(item, kit)?;
            let kept = analysis.limit(&LIGHT_KEPT).value;
            let light = ScreenLight::of(analysis, &projector, kept)?;
            let watching = Watching::of(analysis, &light)?;
            Ok(decide(
                analysis,
                space,
                &Asked {
                    light: &light,
                    watching,
                    hours,
                },
            ))
        })
    };
    projectors.map(find).collect()
}

struct Asked<'a> {
    light: &'a ScreenLight<'a>,
    watching: Watching,
    hours: [u16; 2],
}

fn decide(analysis: &Analysis, space: &Space, asked: &Asked<'_>) -> Outcome {
    let least = analysis.limit(&CONTRAST_MIN);
    let watching = &asked.watching;
    let (when, _) = watching.brightest(asked.hours);
    let outside = watching.outside(when);
    let lux = watching.daylight.illuminance(outside.as_deref());
    let found = watching.contrast(&watching.white, &lux);
    let outcome = Outcome::at_least(found.clone(), &least, Dimension::Factor)
        .because(sentence(
            analysis,
            space,
            asked,
            (when, &lux, &found),
            least.value,
        ))
        .caution(Caution::BrightBeam);
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    let spare = |found: &Uncertain| to_spare(&(found - least.value), 0.0);
    let with_white = |white: &Uncertain| spare(&watching.contrast(white, &lux));
    let factor = least_change(9.0, |by| with_white(&(&watching.white * (1.0 + by))));
    outcome
        .remedy(blinds(space, asked, when, spare))
        .remedy(paint(analysis, space, asked, Paint::Ceiling, least.value))
        .remedy(paint(
            analysis,
            space,
            asked,
            Paint::CeilingAndWalls,
            least.value,
        ))
        .remedy(later(space, asked, least.value))
        .remedy(grey_screen(asked, &lux, spare))
        .remedy(smaller_picture(analysis, asked.light, |white| {
            with_white(&(white * 0.98))
        }))
        .remedy(factor.and_then(|by| more_lumens(analysis, asked.light, (1.0 + by) * 1.0001)))
}

fn sentence(
    analysis: &Analysis,
    space: &Space,
    asked: &Asked<'_>,
    (when, lux, found): (When, &Uncertain, &Uncertain),
    least: f64,
) -> String {
    if analysis.is_trial() {
        return String::new();
    }
    let class = light::targets::contrast_class(found.value());
    let screen = item_label(asked.light.projector.screen);
    let reading = analysis.number(space.ambient.as_ref()).map(|reading| {
        let reading = analysis.print(&reading, Dimension::Illuminance);
        format!("; {reading} were read on site, when nobody says")
    });
    format!(
        "Watched from {} to {}, it is brightest on {}: {} on {screen} leave a white of {} {:.0} times as bright as black; {least:.0} is the least for films, and this serves {}{}.",
        clock_time(asked.hours[0]),
        clock_time(asked.hours[1]),
        when.words(),
        analysis.print(lux, Dimension::Illuminance),
        analysis.print(&asked.watching.white, Dimension::Luminance),
        found.value(),
        class.map_or("nothing but a dark room", |class| class.name),
        reading.unwrap_or_default(),
    )
}

/// Blinds on every window that lets light in, each with the same share.
fn blinds(
    space: &Space,
    asked: &Asked<'_>,
    when: When,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    /// What a blackout blind with side channels still lets past, from memory.
    const LEAST: f64 = 0.0005;
    let watching = &asked.watching;
    let outside = watching.outside(when);
    let with = |share: f64| {
        let lux = watching.daylight.dimmed(outside.as_deref(), share);
        spare(&watching.contrast(&watching.white, &lux))
    };
    let windows = watching.daylight.windows();
    let by = least_change(1.0, |by| with(1.0 - by))?;
    // Two digits, so that a crew can order it, and on the dark side.
    let rounded = |share: f64| {
        let step = 10_f64.powf(share.log10().floor() - 1.0);
        (share / step * (1.0 + 1e-9)).floor() * step
    };
    let shares: Vec<f64> = windows
        .iter()
        .map(|window| rounded(window.transmittance.value() * (1.0 - by)))
        .collect();
    let least = shares.iter().copied().fold(f64::INFINITY, f64::min);
    if !(LEAST..1.0).contains(&least) {
        return None;
    }
    let list: Vec<String> = (windows.iter().zip(&shares))
        .map(|(window, share)| format!("{:.2} % at {}", share * 100.0, window.id.replace('-', " ")))
        .collect();
    let says = format!(
        "Hang blinds in {} that let no more of the light through, glass and blind together, than {}.",
        space.label(),
        list.join(", ")
    );
    let edits = windows.iter().zip(&shares).map(|(window, share)| {
        let at = format!("space.{}.opening.{}.transmittance", space.id, window.id);
        Edit::set(at, (share * 1e9).round() / 1e9)
    });
    Some(Remedy::new(says, edits.collect()))
}

#[derive(Clone, Copy, PartialEq)]
enum Paint {
    Ceiling,
    CeilingAndWalls,
}

/// Darker paint, as pale as will do.
fn paint(
    analysis: &Analysis,
    space: &Space,
    asked: &Asked<'_>,
    paint: Paint,
    least: f64,
) -> Option<Remedy> {
    let watching = &asked.watching;
    let [ceiling, walls] = watching.daylight.paint();
    let palest = if paint == Paint::Ceiling {
        ceiling
    } else {
        ceiling.max(walls)
    };
    let share = [0.5, 0.3, 0.2, 0.1, 0.05]
        .into_iter()
        .filter(|share| *share < palest)
        .find(|share| {
            let painted = Watching {
                daylight: std::rc::Rc::new(watching.daylight.repainted(Repainted {
                    ceiling: Some(*share),
                    walls: (paint == Paint::CeilingAndWalls).then_some(*share),
                })),
                white: watching.white.clone(),
                ambient_reflectance: watching.ambient_reflectance.clone(),
                gain: watching.gain.clone(),
                native: watching.native,
            };
            let (when, _) = painted.brightest(asked.hours);
            let lux = painted
                .daylight
                .illuminance(painted.outside(when).as_deref());
            to_spare(&(painted.contrast(&painted.white, &lux) - least), 0.0) >= 0.0
        })?;
    let (what, walls) = match paint {
        Paint::Ceiling => ("the ceiling", false),
        Paint::CeilingAndWalls => ("ceiling and walls", true),
    };
    let says = format!(
        "Paint {what} of {} so that they give back no more than {:.0} % of the light.",
        space.label(),
        share * 100.0
    );
    let says = if walls {
        says
    } else {
        says.replace("so that they give", "so that it gives")
    };
    let edits = vec![Edit::set(
        format!("space.{}.reflectance", space.id),
        painted(analysis, space, share, walls),
    )];
    Some(Remedy::new(says, edits).caution(Caution::Ladder))
}

/// The space's reflectances with the painted ones at most as pale.
fn painted(analysis: &Analysis, space: &Space, share: f64, walls: bool) -> Value {
    let stated = space.reflectance.clone().unwrap_or_default();
    let most = |fact: Option<&model::Ratio>, paint: bool| -> Option<Value> {
        let now = analysis.number(fact).map(|share| share.value());
        match (now, paint) {
            (Some(now), true) if now > share => Some(json!(share)),
            (None, true) => Some(json!(share)),
            _ => fact.map(|fact| json!(fact.text())),
        }
    };
    let mut table = serde_json::Map::new();
    let facts = [
        ("walls", most(stated.walls.as_ref(), walls)),
        ("floor", most(stated.floor.as_ref(), false)),
        ("ceiling", most(stated.ceiling.as_ref(), true)),
    ];
    for (key, value) in facts {
        if let Some(value) = value {
            table.insert(key.to_owned(), value);
        }
    }
    let single: serde_json::Map<String, Value> = (stated.wall.iter())
        .filter_map(|(wall, fact)| Some((wall.clone(), most(Some(fact), walls)?)))
        .collect();
    if !single.is_empty() {
        table.insert("wall".to_owned(), Value::Object(single));
    }
    Value::Object(table)
}

/// From when on the room is dark enough in every month.
fn later(space: &Space, asked: &Asked<'_>, least: f64) -> Option<Remedy> {
    const STEP: u16 = 10;
    let watching = &asked.watching;
    let good = |from: u16| {
        let until = asked.hours[1].max(from + 1).min(1440);
        let (when, _) = watching.brightest([from, until]);
        let lux = watching
            .daylight
            .illuminance(watching.outside(when).as_deref());
        to_spare(&(watching.contrast(&watching.white, &lux) - least), 0.0) >= 0.0
    };
    // Halved down to the step: evenings only get darker.
    let first = asked.hours[0] / STEP;
    let (mut bright, mut dark) = (first, 1430 / STEP);
    if !good(dark * STEP) {
        return None;
    }
    while dark - bright > 1 {
        let middle = (bright + dark) / 2;
        if good(middle * STEP) {
            dark = middle
        } else {
            bright = middle
        }
    }
    let from = clock_time(dark * STEP);
    let until = if asked.hours[1] > dark * STEP {
        clock_time(asked.hours[1])
    } else {
        "24:00".to_owned()
    };
    let says = format!(
        "Agree with the customer that films in {} begin at {from} or later.",
        space.label()
    );
    let at = format!("space.{}.watched", space.id);
    Some(Remedy::new(says, vec![Edit::set(at, json!([from, until]))]))
}

/// A grey or layered screen that returns less of the room's light.
fn grey_screen(
    asked: &Asked<'_>,
    lux: &Uncertain,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    /// No screen for rooms returns less: common practice, no source.
    const LEAST: f64 = 0.2;
    let watching = &asked.watching;
    let now = watching.ambient_reflectance.value();
    let with = |by: f64| {
        let reflectance = Uncertain::exact(now - by);
        spare(&watching.contrast_on(&watching.white, lux, &reflectance))
    };
    let by = least_change((now - LEAST).max(0.0), with).filter(|_| now > LEAST)?;
    let share = ((now - by) * 100.0 - 1e-9).floor() / 100.0;
    let screen = &asked.light.projector.screen.is;
    let says = format!(
        "Order {screen} with a cloth of the same gain that returns room light no more than {share:.2} times as a white diffuser does."
    );
    let at = format!("kit.screen.{screen}.ambient_reflectance");
    (share >= LEAST).then(|| Remedy::new(says, vec![Edit::set(at, share)]))
}

#[cfg(test)]
mod tests {
    //! A window's light by the clock, and each remedy.

    use super::CHECK;
    use crate::testing::{findings_of, job, told};
    use crate::{Finding, Verdict};
    use analysis::Analysis;

    const CINEMA: &str = r#"
format = 1
[job]
name = "Test house"
units = "metric"
[site]
latitude = 43.1
longitude = -70.8
time_zone = "America/New_York"
[[space]]
id = "den"
walls = [
  { id = "north", length = "6 m" },
  { id = "east", length = "4 m" },
  { id = "south", length = "6 m" },
  { id = "west", length = "4 m" },
]
diagonals = [["north.left", "south.left", "7.2111 m"]]
ceiling = { shape = "flat", height = "2.4 m" }
first_wall_faces = "0 deg"
reflectance = { walls = 0.3, floor = 0.2, ceiling = 0.7 }
watched = ["19:00", "23:00"]
[[space.opening]]
id = "garden"
kind = "window"
on = { wall = "south", from_left = "2 m", height = "0.9 m" }
size = ["1.6 m", "1.2 m"]
transmittance = 0.7
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
gain = 1.0
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
throw = [1.4, 2.0]
lumens = "2000 lm"
mode_share = 0.6
zoom_share = 0.7
native_contrast = 10000
[[item]]
id = "screen"
is = "screen-s1"
on = { wall = "west", from_left = "2 m", height = "1.3 m" }
[[item]]
id = "projector"
is = "projector-p3"
hung = { from = ["west", "2.95 m"], and = ["north", "2 m"], drop = "100 mm" }
"#;

    fn found(text: &str) -> Finding {
        let mut found = findings_of(&CHECK, text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        found.remove(0)
    }

    #[test]
    fn june_evenings_are_too_bright_and_late_nights_dark() {
        let early = found(CINEMA);
        assert_eq!(early.verdict, Verdict::Fails, "{}", early.because);
        assert!(
            early.because.contains("21 June at 19:00"),
            "{}",
            early.because
        );
        let late = found(&CINEMA.replace("[\"19:00\", \"23:00\"]", "[\"22:00\", \"24:00\"]"));
        // At night only the picture's own light comes back: that alone leaves 100 and more.
        assert_eq!(late.verdict, Verdict::Fits, "{}", late.because);
    }

    #[test]
    fn a_dark_blind_and_no_window_fit() {
        assert_eq!(
            found(&CINEMA.replace("= 0.7\n[[kit", "= 0.0005\n[[kit")).verdict,
            Verdict::Fits
        );
        let cellar = CINEMA
            .replace("kind = \"window\"", "kind = \"recess\"")
            .replace("transmittance = 0.7\n", "");
        assert_eq!(found(&cellar).verdict, Verdict::Fits);
    }

    #[test]
    fn the_least_contrast_holds_from_both_sides() {
        let blind = |share: f64| {
            let share = format!("transmittance = {share:.9}");
            found(&CINEMA.replace("transmittance = 0.7", &share))
        };
        let margin = |share: f64| blind(share).margin.clone().expect("decided").value();
        // Light grows with what the blind lets through, so that contrast falls.
        let (mut dark, mut pale) = (1e-6, 0.7);
        assert!(margin(dark) > 0.0 && margin(pale) < 0.0);
        while pale - dark > 1e-7 {
            let middle = (dark + pale) / 2.0;
            if margin(middle) >= 0.0 {
                dark = middle;
            } else {
                pale = middle;
            }
        }
        // A hundredth more light fails; as much less is tight, since no sky is known so well.
        assert_eq!(blind(dark * 1.01).verdict, Verdict::Fails);
        assert_eq!(blind(dark * 0.99).verdict, Verdict::Tight);
        assert_eq!(blind(dark * 0.3).verdict, Verdict::Fits);
        // At the edge the contrast is the least one itself: (L_w + L)/(L_w/C₀ + L).
        let value = blind(dark).value.clone().expect("decided").value();
        assert!((value - 80.0).abs() < 0.05, "{value}");
    }

    #[test]
    fn unmeasured_blinds_are_asked_for_and_unwatched_rooms_are_not_spoken_of() {
        let blind = found(&CINEMA.replace("transmittance = 0.7", "blind = \"roller\""));
        assert_eq!(blind.verdict, Verdict::Unknown);
        assert_eq!(blind.needs[0].at, "space.den.opening.garden.transmittance");
        let unwatched = CINEMA.replace("watched = [\"19:00\", \"23:00\"]\n", "");
        assert!(findings_of(&CHECK, &unwatched).is_empty());
    }

    #[test]
    fn pale_rooms_lose_contrast_to_their_own_picture() {
        let night = CINEMA.replace("[\"19:00\", \"23:00\"]", "[\"23:00\", \"24:00\"]");
        let value = |text: &str| found(text).value.clone().unwrap().value();
        let pale = value(&night.replace(
            "walls = 0.3, floor = 0.2, ceiling = 0.7",
            "walls = 0.8, floor = 0.4, ceiling = 0.85",
        ));
        let dark = value(&night.replace(
            "walls = 0.3, floor = 0.2, ceiling = 0.7",
            "walls = 0.05, floor = 0.1, ceiling = 0.05",
        ));
        assert!(pale < 60.0 && dark > 500.0, "{pale} {dark}");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        let dusk = CINEMA.replace("transmittance = 0.7", "transmittance = 0.02");
        for text in [CINEMA, &dusk] {
            let found = found(text);
            assert_eq!(found.verdict, Verdict::Fails, "{}", found.because);
            assert!(found.remedies.len() >= 2, "{:#?}", found.remedies);
            let analysis = Analysis::new(job(text));
            for remedy in &found.remedies {
                let mended = analysis.edited(&remedy.edits).unwrap();
                let after = super::run(&mended, &mended.job().space[0]);
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
