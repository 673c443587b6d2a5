//! Is the projector's picture sharp at the distance of its screen?

use analysis::{Analysis, LimitValue, Parts, ProjectorPlace, Source, item_label};
use model::Space;
use units::Dimension;

use crate::moves::{Round, in_plan, text_of, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "focus-distance",
    area: Area::Picture,
    proves: "The screen is no nearer to the lens than it can focus, and no farther.",
    matters: "A lens that cannot focus there shows a soft picture whatever is done to its zoom, and nothing on the ladder mends it.",
    formula: "d: square distance from the front of the lens to the picture, m; within the sheet's nearest and farthest distance. Sheets that state no distance make no claim, and neither does this.",
    source: Source::SpecSheet,
    when_it_fails: "Move the projector along its axis, or choose another lens: zoom and screen size do not help.",
    limits: &[],
    published: NONE,
    run: Run::EachSpaceIn(Parts::NONE, run),
};

/// The maker's sheet is the source; there is nothing else to compare with.
const NONE: &[Published] = &[];

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .projectors_in(space)
        .filter(|(_, kit)| kit.focus.is_some())
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                let range = range(analysis, &projector).ok_or_else(|| {
                    analysis::Missing::new(
                        format!(
                            "the nearest and farthest distance at which {} is sharp",
                            item.is
                        ),
                        format!("kit.projector.{}.focus", item.is),
                        analysis::Means::SpecSheet,
                    )
                })?;
                Ok(decide(analysis, &projector, &range))
            })
        })
        .collect()
}

/// The nearest and the farthest distance at which a lens is sharp, where its sheet says.
pub(crate) fn range(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> Option<[Uncertain; 2]> {
    let focus = projector.kit.focus.as_ref()?;
    let end = |index: usize| analysis.number(Some(&focus[index]));
    let (a, b) = (end(0)?, end(1)?);
    Some(if a.value() <= b.value() {
        [a, b]
    } else {
        [b, a]
    })
}

fn decide(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    [near, far]: &[Uncertain; 2],
) -> Outcome {
    let distance = &projector.lens.distance;
    let limit = |end: &Uncertain| LimitValue {
        value: end.value(),
        source: Source::SpecSheet,
    };
    let outcome = Outcome::between(
        distance.clone(),
        &limit(near),
        &limit(far),
        Dimension::Length,
    );
    let name = item_label(projector.item);
    let too = if distance.value() < near.value() {
        ": it cannot focus so near"
    } else if distance.value() > far.value() {
        ": it cannot focus so far"
    } else {
        ""
    };
    let sentence = format!(
        "The lens of {name} is {} from the picture, and its sheet says that it is sharp from {} to {}{too}.",
        analysis.length(distance),
        analysis.length(near),
        analysis.length(far),
    );
    // Towards the screen where it is nearer to the far end.
    let is_far = far.value() - distance.value() < distance.value() - near.value();
    let lacking = -to_spare(outcome.margin(), 0.0);
    let outcome = outcome.because(sentence).caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    outcome.remedy(moved(analysis, projector, lacking, is_far))
}

fn moved(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    by_m: f64,
    is_far: bool,
) -> Option<Remedy> {
    let normal = projector.picture.face.normal.value();
    let (signed, round, words) = if is_far {
        (-by_m, Round::Down, "towards")
    } else {
        (by_m, Round::Up, "back from")
    };
    let edit = in_plan(analysis, projector.item, normal, signed, round)?;
    let says = format!(
        "Move {} {} {words} the screen, to {} from the wall that it is measured from; prove throw and shift again.",
        item_label(projector.item),
        written_length(analysis, by_m, Round::Up),
        text_of(&edit),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

#[cfg(test)]
mod tests {
    //! Too near, too far, between, and sheets that do not say.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{cinema, findings, findings_after, told};

    const FOCUS: &str = r#"focus = ["1.8 m", "4 m"]"#;

    #[test]
    fn a_lens_too_near_to_focus_has_its_own_finding() {
        // Case middle 1.9 m off the wall, lens 0.2 m nearer: 1.7 m, 0.1 m too near.
        let found = findings(&CHECK, &cinema("1.9 m", FOCUS));
        expect![[r#"
            projector: fails -0.100: The lens of projector is 1.7 m from the picture, and its sheet says that it is sharp from 1.8 m to 4 m: it cannot focus so near.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn both_ends_are_limits() {
        for (place, verdict) in [
            ("1.99 m", Verdict::Fails),
            ("2.01 m", Verdict::Fits),
            ("4.19 m", Verdict::Fits),
            ("4.21 m", Verdict::Fails),
            ("4.15 m paced", Verdict::Tight),
        ] {
            let found = findings(&CHECK, &cinema(place, FOCUS));
            assert_eq!(found[0].verdict, verdict, "{place}");
        }
    }

    #[test]
    fn a_sheet_that_does_not_say_makes_no_finding() {
        assert!(findings(&CHECK, &cinema("1 m", "")).is_empty());
    }

    #[test]
    fn an_end_that_nobody_has_read_is_asked_for() {
        let found = findings(&CHECK, &cinema("2.5 m", r#"focus = ["1.8 m", "?"]"#));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.projector.projector-p3.focus");
    }

    #[test]
    fn each_remedy_mends_it() {
        for place in ["1.5 m", "4.5 m"] {
            let text = cinema(place, FOCUS);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 1, "{place}");
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
        }
    }
}
