//! Is a projected picture bright enough, also when its lamp is old?

use analysis::{
    Analysis, Known, Limit, LimitValue, Parts, ProjectorPlace, Source, Uncertain, item_label,
};
use model::{Edit, Space};
use units::Dimension;

use crate::moves::{Round, least_change, picture_width, to_spare, written};
use crate::screen_light::{Lit, ScreenLight, white_cd_m2};
use crate::{Area, Caution, Check, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "screen-luminance",
    area: Area::Picture,
    proves: "White on the screen is bright enough with the picture mode and zoom in use and an aged light source.",
    matters: "A dim picture looks flat and grey; it shows a year after the hand-over, when the lamp has lost half its light.",
    formula: "L = Φ k g / (π A): L, luminance of white, cd/m²; Φ, printed lumens; k, product of the shares that picture mode, zoom, age and lit part of the chip leave; g, screen gain; A, picture area, m². The mean over the picture, seen square to the screen. The zoom's share is taken as falling evenly from the wide end to the long one.",
    source: Source::FromMemory {
        work: "SMPTE ST 431-1: 48 cd/m² at the centre of a cinema screen",
    },
    when_it_fails: "Choose a smaller picture, a screen of higher gain, a brighter picture mode or a projector with more light.",
    limits: &[&LUMINANCE_MIN, &LIGHT_KEPT],
    published: &[
        Published {
            cite: "2000 lm on a 16:9 picture of 100 in, gain 1: Φ g / (π A) = 230.93 cd/m² (computed)",
            computed: || white_on_100_in(2000.0, 1.0, 1.0, 1.0),
            expected: 230.93,
            tolerance: 5e-3, // Two printed decimals.
            unit: "cd/m²",
        },
        Published {
            cite: "the same at gain 0.8, lamp at 50 %, zoom loss 25 %: 69.279 cd/m² (computed)",
            computed: || white_on_100_in(2000.0, 0.8, 0.5, 0.75),
            expected: 69.279,
            tolerance: 5e-4, // Three printed decimals.
            unit: "cd/m²",
        },
        Published {
            cite: "415.711 lm on a 16:9 picture of 100 in, gain 1: 48 cd/m² (computed), the luminance of SMPTE ST 431-1 (from memory)",
            computed: || white_on_100_in(415.711, 1.0, 1.0, 1.0),
            expected: 48.0,
            tolerance: 1e-4, // Lumens to three printed decimals.
            unit: "cd/m²",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

static LUMINANCE_MIN: Limit = Limit {
    name: "screen_luminance_min",
    meaning: "the least luminance of a projected white",
    dimension: Dimension::Luminance,
    value: 48.0,
    source: Source::FromMemory {
        work: "SMPTE ST 431-1",
    },
    regional: &[],
};

pub(super) static LIGHT_KEPT: Limit = Limit {
    name: "projector_light_kept",
    meaning: "the share of a fresh light source's light that the picture must do with before the source is replaced",
    dimension: Dimension::Ratio,
    value: 0.5,
    source: Source::CommonPractice,
    regional: &[],
};

fn white_on_100_in(lumens: f64, gain: f64, age: f64, zoom: f64) -> f64 {
    white_cd_m2(&Lit {
        lumens,
        mode: 1.0,
        zoom,
        age,
        chip: 1.0,
        gain,
        // 100 in across the corners: w = d a / √(1 + a²), 87.158 in.
        width_m: 2.54 * 16.0 / 337.0_f64.sqrt(),
        aspect: 16.0 / 9.0,
    })
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    let least = analysis.limit(&LUMINANCE_MIN);
    let kept = analysis.limit(&LIGHT_KEPT).value;
    analysis
        .projectors_in(space)
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                decide(
                    analysis,
                    &ScreenLight::of(analysis, &projector, kept)?,
                    &least,
                )
            })
        })
        .collect()
}

/// The greatest distance from lens to picture at which the zoom leaves the white bright
/// enough, m: below zero where it is too dim at every distance, nothing where at none.
pub(crate) fn bright_m(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Known<Option<f64>> {
    let kept = analysis.limit(&LIGHT_KEPT).value;
    let light = ScreenLight::of(analysis, projector, kept)?;
    let width = projector.picture.width();
    let fresh = light.white()?.value() / light.zoom(&width).value();
    let needed = analysis.limit(&LUMINANCE_MIN).value / fresh;
    Ok(light.reach_m(width.value(), needed))
}

fn decide(analysis: &Analysis, light: &ScreenLight, least: &LimitValue) -> Known<Outcome> {
    let width = light.projector.picture.width();
    let white = light.white()?;
    let sentence = format!(
        "{} gives {}; picture mode, zoom and age leave {:.0} %, {:.0} % and {:.0} % of it, so white on {}, {} wide, gain {:.2}, is {}; {} is the least.",
        item_label(light.projector.item),
        analysis.print(&light.lumens, Dimension::LuminousFlux),
        light.mode.value() * 100.0,
        light.zoom(&width).value() * 100.0,
        light.kept * 100.0,
        item_label(light.projector.screen),
        analysis.length(&width),
        light.gain.value(),
        analysis.print(&white, Dimension::Luminance),
        analysis.exact(least.value, Dimension::Luminance),
    );
    // Everything but the picture's width multiplies the luminance.
    let outcome = Outcome::at_least(white.clone(), least, Dimension::Luminance)
        .because(sentence)
        .caution(Caution::BrightBeam);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let factor = factor_needed(&white, least.value);
    Ok(outcome
        .remedy(smaller_picture(analysis, light, |white| {
            to_spare(&(white - least.value), 0.0)
        }))
        .remedy(factor.and_then(|factor| higher_gain(light, factor)))
        .remedy(factor.and_then(|factor| brighter_mode(analysis, light, factor)))
        .remedy(factor.and_then(|factor| more_lumens(analysis, light, factor))))
}

/// By how much the light must grow for its margin to exceed its uncertainty, which grows
/// with it; `None` where even so the spread is larger than the light.
pub(super) fn factor_needed(white: &Uncertain, least: f64) -> Option<f64> {
    let sure = to_spare(white, 0.0);
    (sure > 0.0).then(|| least / sure * 1.0001)
}

/// The largest width at which the white has enough to spare.
pub(super) fn smaller_picture(
    analysis: &Analysis,
    light: &ScreenLight,
    spare: impl Fn(&Uncertain) -> f64,
) -> Option<Remedy> {
    let picture = &light.projector.picture;
    let width = picture.width();
    let most = width.value() * 0.6;
    let by_m = least_change(most, |by| spare(&light.white_on(&(&width - by))))?;
    let (words, edits) = picture_width(
        analysis,
        light.projector.screen,
        picture,
        width.value() - by_m,
        Round::Down,
    )?;
    let says = format!("Order {} with {words}.", light.projector.screen.is);
    Some(Remedy::new(says, edits))
}

fn higher_gain(light: &ScreenLight, factor: f64) -> Option<Remedy> {
    /// Above this the middle is seen brighter than the edges: from memory.
    const GAIN_MAX: f64 = 1.3;
    let gain = round_up(light.gain.value() * factor, 0.05);
    (gain <= GAIN_MAX).then(|| {
        let says = format!(
            "Order {} with a gain of {gain:.2}.",
            light.projector.screen.is
        );
        let at = format!("kit.screen.{}.gain", light.projector.screen.is);
        Remedy::new(says, vec![Edit::set(at, gain)])
    })
}

fn brighter_mode(analysis: &Analysis, light: &ScreenLight, factor: f64) -> Option<Remedy> {
    let mode = round_up(light.mode.value() * factor, 0.05);
    (mode <= 1.0).then(|| {
        let name = item_label(light.projector.item);
        let share = analysis.exact(mode, Dimension::Ratio);
        let says = format!("Set {name} to a picture mode that keeps {share} of its printed light, and check its colour.");
        let at = format!("kit.projector.{}.mode_share", light.projector.kit.common.id);
        Remedy::new(says, vec![Edit::set(at, mode)])
    })
}

pub(super) fn more_lumens(analysis: &Analysis, light: &ScreenLight, factor: f64) -> Option<Remedy> {
    /// Beyond this no projector for a house goes: common practice, no source.
    const LUMENS_MAX: f64 = 20_000.0;
    let needed = light.lumens.value() * factor;
    let lumens = written(analysis, needed, Dimension::LuminousFlux, 100.0, Round::Up);
    (needed <= LUMENS_MAX).then(|| {
        let id = &light.projector.kit.common.id;
        let says = format!("Choose a projector that gives {lumens} in place of {id}.");
        let at = format!("kit.projector.{id}.lumens");
        Remedy::new(says, vec![Edit::set(at, lumens)])
    })
}

fn round_up(value: f64, step: f64) -> f64 {
    // Decimal texts of multiples of a twentieth, not their binary neighbours.
    ((value / step - 1e-6).ceil() * step * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    //! The limit from both sides, spreads that leave it tight, and each remedy.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    /// A projector at the wide end of its zoom before a 16:9 picture 2 m wide, 2.25 m².
    fn cinema(lumens: &str, facts: &str, gain: &str) -> String {
        format!(
            r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
{gain}
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
throw = [1.4, 2.0]
{lumens}
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

    const GAIN: &str = "gain = 1.0";
    const FACTS: &str = "mode_share = 0.6\nzoom_share = 0.7";

    fn verdict(lumens: &str, facts: &str) -> Verdict {
        let text = cinema(&format!("lumens = \"{lumens}\""), facts, GAIN);
        findings(&CHECK, &text)[0].verdict
    }

    #[test]
    fn a_bright_picture_fits() {
        // Within 0.025 of the wide end 1.4 at 1.375, so the zoom keeps all:
        // 1500 · 0.6 · 0.5 / (π · 2.25) = 63.66 cd/m².
        let text = cinema("lumens = \"1500 lm\"", FACTS, GAIN);
        expect![[r#"
            projector: fits +15.662: projector gives 1500 lm; picture mode, zoom and age leave 60 %, 100 % and 50 % of it, so white on screen, 2 m wide, gain 1.00, is 63.7 cd/m²; 48 cd/m² is the least.
        "#]].assert_eq(&told(&findings(&CHECK, &text)));
    }

    #[test]
    fn the_limit_holds_from_both_sides() {
        // Φ = 48 · π · 2.25 / (0.6 · 0.5) = 1130.97 lm.
        assert_eq!(verdict("1130 lm", FACTS), Verdict::Fails);
        assert_eq!(verdict("1132 lm", FACTS), Verdict::Fits);
    }

    #[test]
    fn the_long_end_of_the_zoom_costs_light() {
        // Lens at 2.75 m: between 1.0 and 1.75 the throw ratio 1.375 is half way, so that
        // 1 − 0.3 / 2 = 85 % is left: 1130.97 / 0.85 = 1330.55 lm.
        let halfway = |lumens: &str| {
            let text = cinema(&format!("lumens = \"{lumens}\""), FACTS, GAIN)
                .replace("throw = [1.4, 2.0]", "throw = [1.0, 1.75]");
            findings(&CHECK, &text)[0].clone()
        };
        assert_eq!(halfway("1320 lm").verdict, Verdict::Fails);
        assert_eq!(halfway("1350 lm").verdict, Verdict::Fits);
    }

    #[test]
    fn a_wide_film_picture_wastes_the_rest_of_the_chip() {
        // 16/9/2.4 = 74.07 % of the light on 2 m by 0.8333 m: 48 · π · 1.6667 / 0.3 / 0.7407 = 1130.97 lm.
        let text = cinema("lumens = \"1140 lm\"", FACTS, GAIN).replace("\"16:9\"", "2.4");
        let found = findings(&CHECK, &text);
        assert!((found[0].value.as_ref().unwrap().value() - 48.38).abs() < 0.01);
    }

    #[test]
    fn an_unread_picture_mode_leaves_it_tight() {
        assert_eq!(verdict("1200 lm", ""), Verdict::Tight);
        assert_eq!(verdict("1200 lm", FACTS), Verdict::Fits);
    }

    #[test]
    fn without_lumens_or_gain_nothing_is_claimed() {
        let found = findings(&CHECK, &cinema("", FACTS, GAIN));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.projector.projector-p3.lumens");
        let found = findings(&CHECK, &cinema("lumens = \"1500 lm\"", FACTS, ""));
        assert_eq!(found[0].needs[0].at, "kit.screen.screen-s1.gain");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for (lumens, facts, remedies) in [
            ("1000 lm", FACTS, 4),
            ("1200 lm", "", 4),
            ("400 lm", FACTS, 2),
        ] {
            let text = cinema(&format!("lumens = \"{lumens}\""), facts, GAIN);
            let found = findings(&CHECK, &text);
            assert_eq!(
                found[0].remedies.len(),
                remedies,
                "{lumens}: {}",
                told(&found)
            );
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
