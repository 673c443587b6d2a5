//! Is an outdoor display bright enough for the sun and shade in which it is watched?

use analysis::{
    Analysis, Known, Limit, Means, Missing, Parts, SkyOver, Source, Uncertain, item_label,
};
use geometry::Vec3;
use light::contrast::{DarkRoomPicture, ambient_luminance};
use light::open_air::{OpenPanel, PanelLight};
use model::{DisplayKit, Edit, Item, Kit, Space, SpaceKind};
use serde_json::json;
use units::{CandelasPerSquareMetre, Dimension, Lux, Radians};

use crate::shared::watching::{WEATHERS, When, clock_time};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "outdoor-brightness",
    area: Area::Picture,
    proves: "At every hour at which an outdoor display is watched, its white is bright enough for the sun or shade that falls on it.",
    matters: "A living-room display in the sun shows a black mirror.",
    formula: "L_w ≥ what the exposure asks for: the sun's beam on the panel at any hour watched, daylight shade, or dusk. E on the panel: sky by CIE S 011 with Ineichen and Perez 2002, ground, and the sun's beam times the cosine of its incidence; what hides the sky is taken as bright as the ground. C = (L_w + ρ E/π)/(L_w/C₀ + ρ E/π) tells what is left of contrast; ρ, what the front gives back of light from all around. On the 21st of each month, under a clear and an overcast sky.",
    source: Source::CommonPractice,
    when_it_fails: "Choose a display made for the sun, shade it, turn it away from the sun, or watch later.",
    limits: &[&IN_SUN, &IN_SHADE, &AT_DUSK],
    published: &[
        Published {
            cite: "20,000 lx on a front that gives back 2 %: 0.02 · 20,000/π = 127.324 cd/m² (computed)",
            computed: || reflected(20_000.0, 0.02),
            expected: 127.324,
            tolerance: 1e-3, // Three printed decimals.
            unit: "cd/m²",
        },
        Published {
            cite: "the same before a white of 1000 cd/m² with native contrast 1000: 1127.324/128.324 = 8.78498 (computed)",
            computed: || left_of(1000.0, 1000.0, 20_000.0, 0.02),
            expected: 8.784_98,
            tolerance: 1e-5, // Five printed decimals.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

macro_rules! exposure {
    ($name:ident, $key:literal, $meaning:literal, $value:literal) => {
        static $name: Limit = Limit {
            name: $key,
            meaning: $meaning,
            dimension: Dimension::Luminance,
            value: $value,
            source: Source::CommonPractice,
            regional: &[],
        };
    };
}

exposure!(
    IN_SUN,
    "outdoor_luminance_sun",
    "the least white of a display on which the sun shines while it is watched",
    1500.0
);
exposure!(
    IN_SHADE,
    "outdoor_luminance_shade",
    "the least white of a display watched by day in the shade",
    700.0
);
exposure!(
    AT_DUSK,
    "outdoor_luminance_dusk",
    "the least white of a display watched outdoors at dusk and at night",
    300.0
);

/// Below this light on the panel it is dusk, lx (common practice).
const DUSK_LUX: f64 = 1000.0;
/// What a front gives back of light from all around where its sheet does not say (from
/// memory: 1 to 4 %).
const FRONT: f64 = 0.02;

fn reflected(lux: f64, reflectance: f64) -> f64 {
    ambient_luminance(Lux(lux), reflectance).map_or(f64::NAN, |luminance| luminance.0)
}

fn left_of(white: f64, native: f64, lux: f64, reflectance: f64) -> f64 {
    let picture = DarkRoomPicture {
        white: CandelasPerSquareMetre(white),
        native_contrast: native,
    };
    let veil = CandelasPerSquareMetre(reflected(lux, reflectance));
    picture.system_contrast(veil).unwrap_or(f64::NAN)
}

/// Displays of a space without a roof of its own.
pub(super) fn displays_outdoors<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = (&'a Item, &'a DisplayKit)> {
    let is_outdoor = space.kind == Some(SpaceKind::Outdoor);
    analysis
        .pictures_in(space)
        .filter(move |_| is_outdoor)
        .filter_map(|item| match analysis.kit_of(item) {
            Some(Kit::Display(kit)) => Some((item, kit)),
            _ => None,
        })
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let find = |(item, kit): (&Item, &DisplayKit)| {
        CHECK.about(space, Subject::item(item), || {
            decide(analysis, space, item, kit)
        })
    };
    displays_outdoors(analysis, space).map(find).collect()
}

/// The brightest moment while it is watched, and whether the sun ever shines on the panel.
struct Exposure {
    when: When,
    light: PanelLight,
    in_sun: bool,
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, kit: &DisplayKit) -> Known<Outcome> {
    let id = &kit.common.id;
    let white = analysis.number(kit.luminance.as_ref()).ok_or_else(|| {
        let at = format!("kit.display.{id}.luminance");
        Missing::new(
            format!("the luminance of white on {id}"),
            at,
            Means::SpecSheet,
        )
    })?;
    let hours = space
        .watched
        .as_ref()
        .and_then(|watched| watched.minutes())
        .ok_or_else(|| {
            let what = format!(
                "from when until when pictures are watched on {}",
                space.label()
            );
            Missing::new(what, format!("space.{}.watched", space.id), Means::Decide)
        })?;
    let sky = analysis.sky_over(space)?;
    let panel = panel(analysis, item, &sky)?;
    let exposure = exposure(&sky, &panel, hours);
    let (limit, words) = asked(&exposure);
    let limit = analysis.limit(limit);
    let lux = exposure.light.total().0;
    let front = analysis
        .number(kit.ambient_reflectance.as_ref())
        .map_or(FRONT, |f| f.value());
    let contrast = left_of(
        white.value(),
        kit.native_contrast.unwrap_or(1e6),
        lux,
        front,
    );
    let outcome = Outcome::at_least(white.clone(), &limit, Dimension::Luminance);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let (sun, dusk) = sun_hours(&sky, &panel);
    let sentence = format!(
        "{}, facing {:.0}°, is watched from {} to {}, {words}: at most {} on {}, which leave its white of {} {contrast:.0} times as bright as black; {} is the least there. {}{}",
        item_label(item),
        panel.faces.degrees(),
        clock_time(hours[0]),
        clock_time(hours[1]),
        analysis.exact(lux, Dimension::Illuminance),
        exposure.when.words(),
        analysis.print(&white, Dimension::Luminance),
        analysis.exact(limit.value, Dimension::Luminance),
        sun,
        dusk,
    );
    let outcome = outcome.because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(Some(brighter(analysis, id, limit.value)))
        .remedy(later(analysis, space, (&sky, &panel), hours, &white)))
}

fn panel<'a>(analysis: &Analysis, item: &Item, sky: &'a SkyOver) -> Known<OpenPanel<'a>> {
    let picture = analysis.picture(item)?;
    let [x, y] = picture.face.normal.value();
    let tilt = analysis
        .number(item.tilt.as_ref())
        .map_or(0.0, |tilt| tilt.value());
    Ok(OpenPanel {
        faces: sky.compass.azimuth(Vec3::new(x, y, 0.0)),
        leans_back: Radians(-tilt),
        horizon: &sky.horizon,
        roof_from: Radians(std::f64::consts::FRAC_PI_2),
    })
}

fn light(sky: &SkyOver, panel: &OpenPanel<'_>, when: When) -> Option<PanelLight> {
    let outside = sky.at(when.month, when.minute, when.weather)?;
    panel.light(&sky.dome, &outside)
}

fn exposure(sky: &SkyOver, panel: &OpenPanel<'_>, [from, until]: [u16; 2]) -> Exposure {
    let none = PanelLight {
        shade: Lux(0.0),
        beam: Lux(0.0),
    };
    let start = When {
        month: 5,
        minute: from,
        weather: WEATHERS[0],
    };
    let mut found = Exposure {
        when: start,
        light: none,
        in_sun: false,
    };
    for month in 0..12 {
        for minute in (from..until).step_by(60).chain([until]) {
            for weather in WEATHERS {
                let when = When {
                    month,
                    minute,
                    weather,
                };
                let Some(light) = light(sky, panel, when) else {
                    continue;
                };
                found.in_sun |= light.beam.0 > 0.0;
                if light.total().0 > found.light.total().0 {
                    (found.when, found.light) = (when, light);
                }
            }
        }
    }
    found
}

fn asked(exposure: &Exposure) -> (&'static Limit, &'static str) {
    if exposure.in_sun {
        (&IN_SUN, "at times with the sun on its front")
    } else if exposure.light.total().0 > DUSK_LUX {
        (&IN_SHADE, "by day, always in the shade")
    } else {
        (&AT_DUSK, "at dusk and at night")
    }
}

/// When the sun shines on the panel in June and December, in words.
fn sun_hours(sky: &SkyOver, panel: &OpenPanel<'_>) -> (String, String) {
    let told = |month: usize, name: &str| {
        let lit = (0..144_u16).map(|step| step * 10).filter(|minute| {
            let sun = sky.year().sun(month, *minute);
            sun.and_then(|sun| panel.incidence(sun))
                .is_some_and(|share| share > 0.0)
        });
        let lit: Vec<u16> = lit.collect();
        match (lit.first(), lit.last()) {
            (Some(first), Some(last)) => format!(
                "In {name} the sun is on it from {} to {}. ",
                clock_time(*first),
                clock_time(*last)
            ),
            _ => format!("In {name} the sun is never on it. "),
        }
    };
    (told(5, "June"), told(11, "December").trim_end().to_owned())
}

fn brighter(analysis: &Analysis, id: &str, least: f64) -> Remedy {
    // A little more than the limit, which alone would leave nothing to spare.
    let luminance = (least * 1.01 / 10.0).ceil() * 10.0;
    let needed = analysis.exact(luminance, Dimension::Luminance);
    let says =
        format!("Choose an outdoor display whose white is {needed} or more in place of {id}.");
    let at = format!("kit.display.{id}.luminance");
    Remedy::new(says, vec![Edit::set(at, format!("{luminance} cd/m²"))])
}

/// From when on its white is enough.
fn later(
    analysis: &Analysis,
    space: &Space,
    (sky, panel): (&SkyOver, &OpenPanel<'_>),
    hours: [u16; 2],
    white: &Uncertain,
) -> Option<Remedy> {
    let enough = |from: u16| {
        let found = exposure(sky, panel, [from, hours[1].max(from + 1).min(1440)]);
        white.value() >= analysis.limit(asked(&found).0).value
    };
    let from = (hours[0] / 30 + 1..=46)
        .map(|half| half * 30)
        .find(|from| enough(*from))?;
    let until = if hours[1] > from {
        clock_time(hours[1])
    } else {
        "24:00".to_owned()
    };
    let says = format!(
        "Agree with the customer that pictures on {} begin at {} or later.",
        space.label(),
        clock_time(from)
    );
    let edit = Edit::set(
        format!("space.{}.watched", space.id),
        json!([clock_time(from), until]),
    );
    Some(Remedy::new(says, vec![edit]))
}

#[cfg(test)]
pub(super) mod tests {
    //! Sun, shade and dusk on a terrace's display, and each remedy.

    use super::CHECK;
    use crate::testing::{findings_of, job, told};
    use crate::{Finding, Verdict};
    use analysis::Analysis;

    /// A display on the house wall, which one faces looking north, so that it faces south.
    pub(in crate::picture) fn terrace(watched: &str, white: &str, more: &str) -> String {
        format!(
            r#"
format = 1
[job]
name = "Test house"
units = "metric"
[site]
latitude = 43.1
longitude = -70.8
time_zone = "America/New_York"
coldest = "-25 °C"
hottest = "36 °C"
[[space]]
id = "terrace"
kind = "outdoor"
walls = [
  {{ id = "house", length = "6 m" }},
  {{ id = "east", length = "4 m", open = true }},
  {{ id = "south", length = "6 m", open = true }},
  {{ id = "west", length = "4 m", open = true }},
]
first_wall_faces = "0 deg"
watched = {watched}
[[kit.display]]
id = "display-o55"
diagonal = "55 in"
size = ["1.25 m", "0.73 m", "90 mm"]
luminance = "{white}"
native_contrast = 3000
{more}
[[item]]
id = "tv"
is = "display-o55"
on = {{ wall = "house", from_left = "3 m", height = "1.6 m" }}
"#
        )
    }

    fn found(text: &str) -> Finding {
        let mut found = findings_of(&CHECK, text);
        assert_eq!(found.len(), 1, "{}", told(&found));
        found.remove(0)
    }

    #[test]
    fn sun_asks_for_more_than_shade_and_shade_for_more_than_night() {
        let limit = |watched: &str| found(&terrace(watched, "900 cd/m²", "")).limit.unwrap();
        assert_eq!(limit("[\"12:00\", \"15:00\"]"), 1500.0);
        assert_eq!(limit("[\"22:30\", \"23:30\"]"), 300.0);
        // A wall that one faces looking south turns the display to the north.
        let north = terrace("[\"12:00\", \"15:00\"]", "900 cd/m²", "")
            .replace("faces = \"0 deg\"", "faces = \"180 deg\"");
        let shade = found(&north);
        assert_eq!(
            (shade.limit, shade.verdict),
            (Some(700.0), Verdict::Fits),
            "{}",
            shade.because
        );
        assert!(
            shade
                .because
                .contains("In December the sun is never on it."),
            "{}",
            shade.because
        );
    }

    #[test]
    fn the_limit_holds_from_both_sides() {
        let verdict = |white: &str| found(&terrace("[\"12:00\", \"15:00\"]", white, "")).verdict;
        assert_eq!(verdict("1490 cd/m²"), Verdict::Fails);
        assert_eq!(verdict("1510 cd/m²"), Verdict::Fits);
    }

    #[test]
    fn nobody_says_when_or_how_bright() {
        let text = terrace("[\"12:00\", \"15:00\"]", "900 cd/m²", "");
        let unwatched = found(&text.replace("watched = [\"12:00\", \"15:00\"]\n", ""));
        assert_eq!(unwatched.verdict, Verdict::Unknown);
        assert_eq!(unwatched.needs[0].at, "space.terrace.watched");
        let dim = found(&text.replace("luminance = \"900 cd/m²\"\n", ""));
        assert_eq!(dim.verdict, Verdict::Unknown);
        assert_eq!(dim.needs[0].at, "kit.display.display-o55.luminance");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        let text = terrace("[\"15:00\", \"23:00\"]", "400 cd/m²", "");
        let found = found(&text);
        assert_eq!(found.remedies.len(), 2, "{:#?}", found.remedies);
        let analysis = Analysis::new(job(&text));
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
