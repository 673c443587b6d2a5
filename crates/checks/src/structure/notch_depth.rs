//! Are notches in studs and joists shallow enough?

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain};
use model::{Construction, Framing, NotchAt, Space};
use units::{Dimension, Metres};
use wiring::holes::{Bearing, JoistLimits, NotchPlace, StudLimits};

use crate::framed::{self, Load};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Run, Subject};

macro_rules! notch_limit {
    ($static:ident, $name:literal, $meaning:literal, $value:expr, $work:literal) => {
        static $static: Limit = Limit {
            name: $name,
            meaning: $meaning,
            dimension: Dimension::Ratio,
            value: $value,
            source: Source::Published { work: $work },
            regional: &[],
        };
    };
}

notch_limit!(
    STUD_NOTCH_BEARING,
    "stud_notch_bearing",
    "deepest notch in a stud that carries load, of its depth",
    StudLimits::IRC.notch_bearing,
    "IRC R602.6"
);
notch_limit!(
    STUD_NOTCH_NON_BEARING,
    "stud_notch_non_bearing",
    "deepest notch in a stud that carries none, of its depth",
    StudLimits::IRC.notch_non_bearing,
    "IRC R602.6"
);
notch_limit!(
    JOIST_NOTCH,
    "joist_notch",
    "deepest notch in the outer thirds of a sawn joist, of its depth",
    JoistLimits::IRC.notch,
    "IRC R502.8"
);
notch_limit!(
    JOIST_NOTCH_END,
    "joist_notch_end",
    "deepest notch over the support of a sawn joist, of its depth",
    JoistLimits::IRC.notch_end,
    "IRC R502.8"
);

pub(crate) static CHECK: Check = Check {
    id: "notch-depth",
    area: Area::Structure,
    proves: "No notch in the studs or joists of a space, there or planned, is deeper than they bear.",
    matters: "A notch takes the edge where the wood works hardest: a notched joist sags, and a notched stud lets the wall lean.",
    formula: "n ≤ s D; n: depth of the deepest notch, m; D: depth of the stud or joist, m (a wall's cavity; 89 ± 3 mm and 235 ± 45 mm where nobody measured it); s: 25 % where a stud stands in an outside wall, carries load or may, 40 % where it carries none; in a joist 1/6 in the outer thirds, 1/4 over the support, nothing in the middle third. Sawn timber only; engineered joists and trusses take what their maker's sheet says.",
    source: Source::Published {
        work: "IRC R602.6, R502.8",
    },
    when_it_fails: "Drill a hole in the middle of the depth instead, or go round. A notch that is there already is for the building's engineer. A cable in a notch wants a steel plate of 1/16 in over it (NEC 300.4(A)(2), from memory).",
    limits: &[
        &STUD_NOTCH_BEARING,
        &STUD_NOTCH_NON_BEARING,
        &JOIST_NOTCH,
        &JOIST_NOTCH_END,
    ],
    published: &[
        Published {
            cite: "deepest notch in a 3 1/2 in stud that carries load: 0.875 in (25 %, IRC R602.6; text in WAC 296-150C-1000)",
            computed: || stud_in(3.5, Bearing::Bearing),
            expected: 0.875,
            tolerance: 0.001, // As the source prints it.
            unit: "in",
        },
        Published {
            cite: "deepest notch in a 3 1/2 in stud that carries none: 1.4 in (40 %, IRC R602.6)",
            computed: || stud_in(3.5, Bearing::NonBearing),
            expected: 1.4,
            tolerance: 0.001, // As the source prints it.
            unit: "in",
        },
        Published {
            cite: "deepest notch in the outer third of a 9 1/4 in joist: 1.54167 in (D/6, IRC R502.8, computed)",
            computed: || {
                JoistLimits::IRC
                    .notch_max(Metres(9.25 * 0.0254), NotchPlace::OuterThird)
                    .map_or(f64::NAN, |notch| notch.0 / 0.0254)
            },
            expected: 1.54167,
            tolerance: 0.00001, // As computed.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn stud_in(depth_in: f64, bearing: Bearing) -> f64 {
    StudLimits::IRC
        .notch_max(Metres(depth_in * 0.0254), bearing)
        .map_or(f64::NAN, |notch| notch.0 / 0.0254)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    (space.construction.iter())
        .filter(|one| one.notch.is_some())
        .filter(|one| matches!(one.framing, Framing::Stud | Framing::Joist))
        .map(|one| {
            let what = match one.framing {
                Framing::Joist => format!("joists of the {}", one.of),
                _ => format!("studs of wall {}", one.of),
            };
            let subject = Subject::new(format!("{}.{}.notch", space.id, one.of), what.clone());
            CHECK.about(space, subject, || decide(analysis, space, one, &what))
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    construction: &Construction,
    what: &str,
) -> Known<Outcome> {
    let at = format!("space.{}.construction.{}", space.id, construction.of);
    let notch = analysis
        .number(construction.notch.as_ref())
        .ok_or_else(|| {
            Missing::new(
                format!("how deep the notches in the {what} are"),
                format!("{at}.notch"),
                Means::Tape,
            )
        })?;
    let load = Load::of(analysis, Some(construction));
    let (limit, place) = match (construction.framing, construction.notch_at) {
        (Framing::Joist, None) => {
            return Err(Missing::new(
                format!("where along the {what} the notches are"),
                format!("{at}.notch_at"),
                Means::Look,
            ));
        }
        (Framing::Joist, Some(NotchAt::End)) => (&JOIST_NOTCH_END, " over their support"),
        (Framing::Joist, Some(NotchAt::OuterThird)) => {
            (&JOIST_NOTCH, " in the outer thirds of their span")
        }
        (Framing::Joist, Some(NotchAt::MiddleThird)) => {
            (&JOIST_NOTCH, " in the middle third of their span")
        }
        _ => match load.bearing() {
            Bearing::Bearing => (&STUD_NOTCH_BEARING, load.words()),
            Bearing::NonBearing => (&STUD_NOTCH_NON_BEARING, load.words()),
        },
    };
    let limit = analysis.code_limit(limit, framed::TIMBER_ASK)?;
    // The middle third takes none whatever the share.
    let share = match construction.notch_at {
        Some(NotchAt::MiddleThird) if construction.framing == Framing::Joist => 0.0,
        _ => limit.value,
    };
    let depth = framed::depth(analysis, space, Some(construction), construction.framing);
    let most = &depth * share;
    let length = |length: &Uncertain| analysis.length(length);
    let sentence = match share == 0.0 {
        true => format!(
            "The {what} are notched {} deep{place}, where none may be.",
            length(&notch)
        ),
        false => format!(
            "The {what}{place}{} notched {} deep, and {} of {} depth may be.",
            if place.starts_with(',') {
                ", are"
            } else {
                " are"
            },
            length(&notch),
            length(&most),
            length(&depth),
        ),
    };
    let margin = &most - &notch;
    let outcome =
        Outcome::with_margin(notch, most.value(), margin, Dimension::Length, limit.source);
    Ok(outcome
        .because(sentence)
        .caution(Caution::Drilling)
        .caution(Caution::Structure))
}

#[cfg(test)]
mod tests {
    //! Notches of the north wall's studs and of the ceiling's joists.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn stud(facts: &str) -> String {
        format!(
            "[[space.construction]]\nof = \"north\"\nframing = \"stud\"\ncavity = \"100 mm ± 0 mm\"\n{facts}\n"
        )
    }

    fn joist(facts: &str) -> String {
        format!(
            "[[space.construction]]\nof = \"ceiling\"\nframing = \"joist\"\ncavity = \"240 mm ± 0 mm\"\n{facts}\n"
        )
    }

    fn verdict(text: &str) -> Verdict {
        findings(&CHECK, text)[0].verdict
    }

    #[test]
    fn a_quarter_where_it_carries_load_and_two_fifths_where_it_does_not() {
        // 100 mm: 25 mm and 40 mm.
        for (notch, facts, expected) in [
            ("24.9", "bearing = true", Verdict::Fits),
            ("25.1", "bearing = true", Verdict::Fails),
            ("25.1", "", Verdict::Fails),
            ("39.9", "bearing = false", Verdict::Fits),
            ("40.1", "bearing = false", Verdict::Fails),
            (
                "39.9",
                "bearing = false\nbeyond = \"outside\"",
                Verdict::Fails,
            ),
        ] {
            let text = stud(&format!("notch = \"{notch} mm ± 0 mm\"\n{facts}"));
            assert_eq!(verdict(&text), expected, "{notch} {facts}");
        }
    }

    #[test]
    fn a_joist_takes_a_sixth_a_quarter_or_none() {
        // 240 mm: 40 mm and 60 mm.
        for (notch, place, expected) in [
            ("39.9", "outer-third", Verdict::Fits),
            ("40.1", "outer-third", Verdict::Fails),
            ("59.9", "end", Verdict::Fits),
            ("60.1", "end", Verdict::Fails),
            ("1", "middle-third", Verdict::Fails),
        ] {
            let text = joist(&format!(
                "notch = \"{notch} mm ± 0 mm\"\nnotch_at = \"{place}\""
            ));
            assert_eq!(verdict(&text), expected, "{notch} {place}");
        }
    }

    #[test]
    fn a_coarse_measurement_is_tight() {
        let of = |notch: &str| verdict(&stud(&format!("notch = \"{notch}\"\nbearing = true")));
        assert_eq!(of("24 mm ± 2 mm"), Verdict::Tight);
        assert_eq!(of("22 mm ± 2 mm"), Verdict::Fits);
    }

    #[test]
    fn it_says_what_is_notched_and_asks_for_what_it_lacks() {
        let text = stud("notch = \"30 mm ± 0 mm\"\nbearing = true")
            + &joist("notch = \"30 mm ± 0 mm\"\nnotch_at = \"middle-third\"");
        expect![[r#"
            studs of wall north: fails -0.005: The studs of wall north, which carries load, are notched 30 mm deep, and 25 mm of 100 mm depth may be.
            joists of the ceiling: fails -0.030: The joists of the ceiling are notched 30 mm deep in the middle third of their span, where none may be.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &text)));
        let asked = |text: &str| findings(&CHECK, text)[0].needs[0].at.clone();
        assert_eq!(
            asked(&stud("notch = \"?\"")),
            "space.den.construction.north.notch"
        );
        assert_eq!(
            asked(&joist("notch = \"30 mm\"")),
            "space.den.construction.ceiling.notch_at"
        );
        assert!(findings(&CHECK, &stud("")).is_empty());
    }
}
