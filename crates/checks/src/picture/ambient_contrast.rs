//! Does room light leave a projected picture enough contrast?

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain, item_label};
use light::contrast::{DarkRoomPicture, ambient_luminance};
use model::{Edit, Space};
use units::{CandelasPerSquareMetre, Dimension, Lux};

use super::screen_luminance::{LIGHT_KEPT, more_lumens, smaller_picture};
use crate::moves::{Round, least_change, to_spare, written};
use crate::screen_light::ScreenLight;
use crate::{Area, Caution, Check, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "ambient-contrast",
    area: Area::Picture,
    proves: "With the room's light on the screen, white is enough times brighter than black.",
    matters: "A screen is never blacker than the room's light makes it: dark scenes drown in grey as soon as a lamp or a window reaches the screen.",
    formula: "C = (L_w + L_a) / (L_w / C₀ + L_a), L_a = E g / π: C, system contrast; L_w, luminance of white, cd/m², as in screen-luminance; C₀, native contrast; E, light on the screen, lx; g, gain. For a diffuse screen and light from all around; the picture's own light from pale walls is left out and lowers it further.",
    source: Source::FromMemory {
        work: "ANSI/INFOCOMM 3M-2011: passive viewing 7:1, basic decisions 15:1, analytical decisions 50:1, full-motion video 80:1",
    },
    when_it_fails: "Darken the room, or choose a brighter or smaller picture.",
    limits: &[&CONTRAST_MIN, &LIGHT_KEPT],
    published: &[
        Published {
            cite: "white 200 cd/m², native contrast 2000, 10 lx on gain 1 (3.1831 cd/m²): (L_w + L_a)/(L_b + L_a) = 61.8876 (computed)",
            computed: || contrast(200.0, 2000.0, 10.0, 1.0),
            expected: 61.8876,
            tolerance: 1e-4, // Four printed decimals.
            unit: "1",
        },
        Published {
            cite: "white 120 cd/m², native contrast 5000, gain 1: 7.61676 lx leave 50:1 (computed)",
            computed: || contrast(120.0, 5000.0, 7.61676, 1.0),
            expected: 50.0,
            tolerance: 5e-5, // The illuminance's six printed digits.
            unit: "1",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

pub(super) static CONTRAST_MIN: Limit = Limit {
    name: "ambient_contrast_min",
    meaning: "the least system contrast with the room's light on: that of full-motion video",
    dimension: Dimension::Factor,
    value: 80.0,
    source: Source::FromMemory {
        work: "ANSI/INFOCOMM 3M-2011, full-motion video",
    },
    regional: &[],
};

fn contrast(white_cd_m2: f64, native_contrast: f64, ambient_lux: f64, gain: f64) -> f64 {
    let picture = DarkRoomPicture {
        white: CandelasPerSquareMetre(white_cd_m2),
        native_contrast,
    };
    ambient_luminance(Lux(ambient_lux), gain)
        .and_then(|ambient| picture.system_contrast(ambient))
        .unwrap_or(f64::NAN)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    // Where nobody read it and the hours of watching are known, they are worked out instead.
    if space.ambient.is_none() && space.watched.is_some() {
        return Vec::new();
    }
    analysis
        .projectors_in(space)
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                let kept = analysis.limit(&LIGHT_KEPT).value;
                let light = ScreenLight::of(analysis, &projector, kept)?;
                decide(analysis, space, &light)
            })
        })
        .collect()
}

/// What contrast is made of, besides the white.
struct Room {
    native: f64,
    ambient: Uncertain,
    gain: Uncertain,
}

impl Room {
    fn contrast(&self, white: &Uncertain, ambient: &Uncertain) -> Uncertain {
        uncertainty::through([white, ambient, &self.gain], |[white, ambient, gain]| {
            // A spread about a dark room's zero may not carry the light below it.
            contrast(white, self.native, ambient.max(0.0), gain)
        })
    }
}

fn decide(analysis: &Analysis, space: &Space, light: &ScreenLight) -> Known<Outcome> {
    let id = &light.projector.kit.common.id;
    let ambient = analysis.number(space.ambient.as_ref()).ok_or_else(|| {
        let what = format!(
            "the light on the screen of {} when the picture is watched",
            space.label()
        );
        Missing::new(
            what,
            format!("space.{}.ambient", space.id),
            Means::LightMeter,
        )
    })?;
    let native = light.projector.kit.native_contrast.ok_or_else(|| {
        let at = format!("kit.projector.{id}.native_contrast");
        Missing::new(format!("the native contrast of {id}"), at, Means::SpecSheet)
    })?;
    let room = Room {
        native,
        ambient,
        gain: light.gain.clone(),
    };
    let white = light.white()?;
    let found = room.contrast(&white, &room.ambient);
    if !found.value().is_finite() {
        let at = format!("kit.projector.{id}.native_contrast");
        let what = format!("a native contrast of {id} above 1");
        return Err(Missing::new(what, at, Means::SpecSheet));
    }
    let least = analysis.limit(&CONTRAST_MIN);
    let class = light::targets::contrast_class(found.value());
    let sentence = format!(
        "{} on {} leave a white of {} {:.0} times as bright as black; {:.0} is the least for films, and this serves {}.",
        analysis.print(&room.ambient, Dimension::Illuminance),
        item_label(light.projector.screen),
        analysis.print(&white, Dimension::Luminance),
        found.value(),
        least.value,
        class.map_or("nothing but a dark room", |class| class.name),
    );
    let outcome = Outcome::at_least(found, &least, Dimension::Factor)
        .because(sentence)
        .caution(Caution::BrightBeam);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spare = |found: &Uncertain| to_spare(&(found - least.value), 0.0);
    let with_white = |white: &Uncertain| spare(&room.contrast(white, &room.ambient));
    let factor = least_change(9.0, |by| with_white(&(&white * (1.0 + by)))).map(|by| 1.0 + by);
    Ok(outcome
        .remedy(darken(analysis, space, &room, |ambient| {
            spare(&room.contrast(&white, ambient))
        }))
        .remedy(smaller_picture(analysis, light, with_white))
        .remedy(factor.and_then(|factor| more_lumens(analysis, light, factor * 1.0001))))
}

/// Less light on the screen, by blinds and dimmed lamps.
fn darken(
    analysis: &Analysis,
    space: &Space,
    room: &Room,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    /// What blinds and dimmers are set to on site, lx.
    const STEP_LUX: f64 = 0.01;
    let now = room.ambient.value();
    let by = least_change(now, |by| spare(&Uncertain::exact(now - by)))?;
    let left = written(
        analysis,
        now - by,
        Dimension::Illuminance,
        STEP_LUX,
        Round::Down,
    );
    let says = format!(
        "Darken {} with blinds and dimmed lamps until no more than {left} fall on the screen.",
        space.label(),
    );
    let at = format!("space.{}.ambient", space.id);
    Some(Remedy::new(says, vec![Edit::set(at, left)]))
}

#[cfg(test)]
mod tests {
    //! The limit from both sides, a coarse reading, missing facts, and each remedy.

    use analysis::Analysis;
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{ROOM, findings, findings_after, findings_of, job, told};

    /// White is 2000 lm · 0.6 · 0.5 / (π · 2.25 m²) = 84.88 cd/m².
    fn cinema(facts: &str) -> String {
        format!(
            r#"
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
{facts}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "2.95 m"], and = ["north", "2 m"], drop = "100 mm" }}
"#
        )
    }

    const NATIVE: &str = "native_contrast = 10000";

    /// The ambient is a fact of the space, which the room's text ends with.
    fn lit(lux: &str, facts: &str) -> String {
        format!("ambient = \"{lux}\"\n{}", cinema(facts))
    }

    fn verdict(lux: &str) -> Verdict {
        findings(&CHECK, &lit(lux, NATIVE))[0].verdict
    }

    #[test]
    fn a_dim_room_fits() {
        // L_a = 2 / π = 0.6366: (84.88 + 0.6366) / (0.008488 + 0.6366) = 132.6.
        expect![[r#"
            projector: fits +52.566: 2 lx on screen leave a white of 84.9 cd/m² 133 times as bright as black; 80 is the least for films, and this serves full-motion video.
        "#]].assert_eq(&told(&findings(&CHECK, &lit("2 lx", NATIVE))));
    }

    #[test]
    fn the_limit_holds_from_both_sides() {
        // E = π (84.883 − 80 · 0.0084883) / 79 = 3.3485 lx.
        assert_eq!(verdict("3.33 lx"), Verdict::Fits);
        assert_eq!(verdict("3.37 lx"), Verdict::Fails);
    }

    #[test]
    fn a_coarse_light_meter_leaves_it_tight() {
        assert_eq!(verdict("3.2 lx ± 0.5 lx"), Verdict::Tight);
    }

    #[test]
    fn without_a_reading_nothing_is_claimed() {
        let found = findings(&CHECK, &cinema(NATIVE));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "space.den.ambient");
        assert_eq!(found[0].needs[0].means, crate::Means::LightMeter);
        let found = findings(&CHECK, &lit("2 lx", ""));
        assert_eq!(
            found[0].needs[0].at,
            "kit.projector.projector-p3.native_contrast"
        );
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for lux in ["5 lx", "3.4 lx", "3.2 lx ± 0.5 lx"] {
            let text = lit(lux, NATIVE);
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

    #[test]
    fn in_foot_candles_and_foot_lamberts_the_remedies_mend_it_too() {
        for lux in ["5 lx", "4.1 lx", "3.7 lx"] {
            let metric = format!("{ROOM}{}", lit(lux, NATIVE));
            let text = metric.replace("units = \"metric\"", "units = \"imperial\"");
            let analysis = Analysis::new(job(&text));
            for remedy in &findings_of(&CHECK, &text)[0].remedies {
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

    #[test]
    fn a_projector_of_low_contrast_is_not_mended_by_darkness() {
        let text = lit("5 lx", "native_contrast = 60");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert!(found[0].remedies.is_empty());
    }
}
