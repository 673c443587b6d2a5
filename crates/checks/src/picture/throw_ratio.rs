//! Can the projector's zoom fill the screen from where it hangs?

use analysis::{
    Analysis, COVERAGE_FACTOR, LimitValue, Means, Missing, Parts, ProjectorPlace, Source,
    item_label,
};
use model::Space;
use units::{Dimension, Metres};

use crate::moves::{Round, in_plan, picture_width, text_of, written_length};
use crate::{Area, Caution, Check, Known, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "throw-ratio",
    area: Area::Picture,
    proves: "The distance from the lens to the screen, over the picture's width, lies within the zoom's range.",
    matters: "Too near, the picture does not fill the screen; too far, it spills over the frame. Neither can be mended on the ladder.",
    formula: "TR = D / w; D: square distance from the front of the lens (not the case) to the picture, m; w: picture width, m. A lens without zoom may stand off by half a per cent. Valid for flat screens square to the lens axis.",
    source: Source::SpecSheet,
    when_it_fails: "Move the projector along its axis, choose another picture width, or a lens with another zoom.",
    limits: &[],
    published: &[Published {
        cite: "throw ratio of 3.000 m on a 2.2138 m wide picture: D / w (computed)",
        computed: || ratio(3.0, 2.2138),
        expected: 1.35513,
        tolerance: 5e-5, // Five printed decimals of the ratio, width given to four.
        unit: "1",
    }],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn ratio(distance_m: f64, width_m: f64) -> f64 {
    let throw = optics::throw::Throw {
        distance: Metres(distance_m),
        width: Metres(width_m),
    };
    throw.ratio().unwrap_or(f64::NAN)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<crate::Finding> {
    analysis
        .projectors_in(space)
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                decide(analysis, &projector)
            })
        })
        .collect()
}

fn decide(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Known<Outcome> {
    let [wide, long] = zoom(analysis, projector)?;
    let distance = &projector.lens.distance;
    let width = projector.picture.width();
    let throw = uncertainty::through([distance, &width], |[distance, width]| {
        ratio(distance, width)
    });
    let low = LimitValue {
        value: wide.value(),
        source: Source::SpecSheet,
    };
    let high = LimitValue {
        value: long.value(),
        source: Source::SpecSheet,
    };
    // The zoom's ends may carry the tolerance that the spec sheet states.
    let (margin, limit) = match (&throw - &wide, &long - &throw) {
        (near, far) if near.value() <= far.value() => (near, &low),
        (_, far) => (far, &high),
    };
    let name = item_label(projector.item);
    let sentence = format!(
        "The lens of {name} is {} from a picture {} wide: throw ratio {:.2}, and its zoom goes from {:.2} to {:.2}.",
        analysis.length(distance),
        analysis.length(&width),
        throw.value(),
        wide.value(),
        long.value(),
    );
    let outcome = Outcome::with_margin(
        throw,
        limit.value,
        margin,
        Dimension::Factor,
        limit.source.clone(),
    );
    let (near_side, shortfall) = (std::ptr::eq(limit, &low), outcome.margin().clone());
    let outcome = outcome
        .because(sentence)
        .caution(Caution::Ladder)
        .caution(Caution::BrightBeam);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(move_projector(analysis, projector, &shortfall, near_side))
        .remedy(other_width(
            analysis,
            projector,
            &shortfall,
            [&wide, &long],
            near_side,
        )))
}

/// A lens without zoom is placed until the picture fills the screen: half a per cent of its
/// width either way, which the frame's border hides (common practice, no source).
const PLACED_BY_HAND: f64 = 0.005;

/// The throw ratio at both ends of the zoom, wide end first.
pub(crate) fn zoom(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Known<[Uncertain; 2]> {
    let missing = || {
        let at = format!("kit.projector.{}.throw", projector.kit.common.id);
        Missing::new(
            format!(
                "the throw ratio at both ends of the zoom of {}",
                projector.item.is
            ),
            at,
            Means::SpecSheet,
        )
    };
    let throw = projector.kit.throw.as_ref().ok_or_else(missing)?;
    let end = |index: usize| analysis.number(Some(&throw[index])).ok_or_else(missing);
    let (a, b) = (end(0)?, end(1)?);
    let [wide, long] = if a.value() <= b.value() {
        [a, b]
    } else {
        [b, a]
    };
    // Both ends of a lens without zoom are one.
    if long.value() - wide.value() < 2.0 * PLACED_BY_HAND * wide.value() {
        return Ok([wide * (1.0 - PLACED_BY_HAND), long * (1.0 + PLACED_BY_HAND)]);
    }
    Ok([wide, long])
}

/// Slides the projector along the lens axis until the margin exceeds its uncertainty.
fn move_projector(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    margin: &Uncertain,
    near_side: bool,
) -> Option<Remedy> {
    let lacking = COVERAGE_FACTOR * margin.standard_uncertainty() - margin.value();
    let by_m = lacking * projector.picture.width().value() * 1.001;
    let [x, y] = projector.picture.face.normal.value();
    let (by_m, round, words) = if near_side {
        (by_m, Round::Up, "back from")
    } else {
        (-by_m, Round::Down, "towards")
    };
    let edit = in_plan(analysis, projector.item, [x, y], by_m, round)?;
    let says = format!(
        "Move {} {} {words} the screen, to {} from the wall that it is measured from.",
        item_label(projector.item),
        written_length(analysis, by_m.abs(), Round::Up),
        text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

/// Another picture width that this place can fill.
fn other_width(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    margin: &Uncertain,
    [wide, long]: [&Uncertain; 2],
    near_side: bool,
) -> Option<Remedy> {
    let slack = COVERAGE_FACTOR * margin.standard_uncertainty();
    let (ratio, round, words) = if near_side {
        (wide.value() + slack, Round::Down, "smaller")
    } else {
        (long.value() - slack, Round::Up, "larger")
    };
    let width = projector.lens.distance.value() / ratio;
    let (size, edits) =
        picture_width(analysis, projector.screen, &projector.picture, width, round)?;
    let says = format!(
        "Order {} {words}, with {size}.",
        item_label(projector.screen)
    );
    Some(Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    //! Fits, fails on both sides, tight, and unknown; each remedy mends what it claims.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{cinema, findings, findings_after, told};

    const THROW: &str = "throw = [1.2, 1.6]";

    #[test]
    fn a_lens_within_the_zoom_fits() {
        // Case middle 3.0 m off the wall, lens 0.2 m nearer: D = 2.8 m, TR = 1.4.
        let found = findings(&CHECK, &cinema("3.0 m", THROW));
        expect![[r#"
            projector: fits +0.200: The lens of projector is 2.8 m from a picture 2 m wide: throw ratio 1.40, and its zoom goes from 1.20 to 1.60.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn a_lens_too_near_fails_and_too_far_fails() {
        assert_eq!(
            findings(&CHECK, &cinema("2.59 m", THROW))[0].verdict,
            Verdict::Fails
        );
        assert_eq!(
            findings(&CHECK, &cinema("2.61 m", THROW))[0].verdict,
            Verdict::Fits
        );
        assert_eq!(
            findings(&CHECK, &cinema("3.39 m", THROW))[0].verdict,
            Verdict::Fits
        );
        assert_eq!(
            findings(&CHECK, &cinema("3.41 m", THROW))[0].verdict,
            Verdict::Fails
        );
    }

    #[test]
    fn a_paced_distance_near_the_end_of_the_zoom_is_tight() {
        assert_eq!(
            findings(&CHECK, &cinema("2.65 m paced", THROW))[0].verdict,
            Verdict::Tight
        );
    }

    #[test]
    fn a_lens_without_zoom_stands_at_its_own_distance() {
        // A mirror 150 mm behind the case's middle, 0.25 × 2 m = 0.5 m from the picture: the
        // middle is 0.35 m off the wall, 2.5 mm either way.
        let near = "throw = [0.25, 0.25]\nlens_forward = \"-150 mm\"";
        for (place, verdict) in [
            ("0.346 m", Verdict::Fails),
            ("0.350 m", Verdict::Fits),
            ("0.354 m", Verdict::Fails),
        ] {
            let found = findings(&CHECK, &cinema(place, near));
            assert_eq!(found[0].verdict, verdict, "{place}: {}", found[0].because);
        }
    }

    #[test]
    fn without_the_throw_ratio_nothing_is_claimed() {
        let found = findings(&CHECK, &cinema("3 m", ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.projector.projector-p3.throw");
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        for place in ["2.3 m", "3.8 m", "2.62 m paced"] {
            let text = cinema(place, THROW);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 2, "{place}");
            for remedy in &found[0].remedies {
                let after = findings_after(&CHECK, &text, &remedy.edits);
                assert_ne!(
                    after[0].verdict,
                    Verdict::Fails,
                    "{place}: {} {:?}",
                    remedy.says,
                    after[0].because
                );
            }
        }
    }
}
