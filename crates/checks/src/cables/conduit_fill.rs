//! Do the cables of a conduit fit into it?

use std::f64::consts::PI;

use analysis::{Analysis, Known, Limit, LimitValue, Means, Missing, Source, Uncertain};
use model::Edit;
use units::{Dimension, Metres};
use wiring::conduit::{FillLimits, conduits, fill};

use crate::conduits::{Filled, diameters, filled, names};
use crate::moves::{Round, written_length};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

const TABLE_1: Source = Source::Published {
    work: "NEC chapter 9 table 1; the low-voltage trade goes by it too",
};

macro_rules! fill_limit {
    ($static:ident, $name:literal, $meaning:literal, $value:expr) => {
        static $static: Limit = Limit {
            name: $name,
            meaning: $meaning,
            dimension: Dimension::Ratio,
            value: $value,
            source: TABLE_1,
            regional: &[],
        };
    };
}

fill_limit!(
    FILL_ONE,
    "conduit_fill_one",
    "share of a conduit that one cable may fill",
    FillLimits::NEC.one
);
fill_limit!(
    FILL_TWO,
    "conduit_fill_two",
    "share of a conduit that two cables may fill",
    FillLimits::NEC.two
);
fill_limit!(
    FILL_MORE,
    "conduit_fill_more",
    "share of a conduit that three cables or more may fill",
    FillLimits::NEC.more
);

pub(crate) static CHECK: Check = Check {
    id: "conduit-fill",
    area: Area::Cables,
    proves: "The cables in each conduit, those in it and those to be pulled, fill no more of it than a pull allows.",
    matters: "The last cable stops in the second bend, and the ones in front of it come out with torn jackets.",
    formula: "φ = Σ d² / D² ≤ 53 % for one cable, 31 % for two, 40 % for more; d: outside diameter of each cable, the larger one of an oval, D: inside diameter of the conduit. Trade sizes are names: measure D or look it up.",
    source: TABLE_1,
    when_it_fails: "Take a larger conduit, or another way for one of the cables.",
    limits: &[&FILL_ONE, &FILL_TWO, &FILL_MORE],
    published: &[
        Published {
            cite: "3 cables of 6.2 mm in 3/4 in ENT (0.454 in²): 30.9223 % (computed from NEC chapter 9 table 4)",
            computed: || of_area(&[6.2; 3], 0.454),
            expected: 30.9223,
            tolerance: 0.05, // The area is printed to three places.
            unit: "%",
        },
        Published {
            cite: "2 cables of 7.0 mm in 1/2 in EMT (0.304 in²): 39.2442 % (computed from NEC chapter 9 table 4)",
            computed: || of_area(&[7.0; 2], 0.304),
            expected: 39.2442,
            tolerance: 0.05, // The area is printed to three places.
            unit: "%",
        },
    ],
    run: Run::House(run),
};

/// Per cent of an area in square inches that cables of these diameters in millimetres fill.
fn of_area(diameters_mm: &[f64], area_in2: f64) -> f64 {
    let diameters: Vec<Metres> = diameters_mm.iter().map(|d| Metres(d * 1e-3)).collect();
    let area = units::SquareMetres(area_in2 * 0.0254 * 0.0254);
    fill(area, &diameters).map_or(f64::NAN, |filled| filled * 100.0)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    (filled(analysis).iter())
        .map(|one| {
            let subject = Subject::new(format!("pathway.{}", one.conduit.id), one.conduit.label());
            CHECK.about_house(subject, || decide(analysis, one))
        })
        .collect()
}

fn decide(analysis: &Analysis, one: &Filled) -> Known<Outcome> {
    let path = format!("pathway.{}", one.conduit.id);
    let inside = analysis
        .number(one.conduit.inside.as_ref())
        .ok_or_else(|| {
            Missing::new(
                format!("the inside diameter of {}", one.conduit.label()),
                format!("{path}.inside"),
                Means::Tape,
            )
        })?;
    let diameters = diameters(analysis, &one.cables).map_err(|kit| {
        Missing::new(
            format!("the outside diameter of {}", kit.common.id),
            format!("kit.cable.{}.diameter", kit.common.id),
            Means::SpecSheet,
        )
    })?;
    let limit = limits(analysis, diameters.len())?;
    let mut squares = Uncertain::exact(0.0);
    for diameter in &diameters {
        squares = squares + diameter * diameter;
    }
    let filled = &squares / &(&inside * &inside);
    let sentence = format!(
        "{} in {} of {} inside fill {} of it, and {} is the most for {}.",
        names(&one.cables),
        one.conduit.label(),
        analysis.length(&inside),
        analysis.print(&filled, Dimension::Ratio),
        analysis.exact(limit.value, Dimension::Ratio),
        match diameters.len() {
            1 => "one".to_owned(),
            count => format!("{count}"),
        },
    );
    let outcome = Outcome::at_most(filled, &limit, Dimension::Ratio).because(sentence);
    let remedy = outcome
        .asks_for_remedies(analysis)
        .then(|| larger(analysis, one, squares.value(), limit.value))
        .flatten();
    Ok(outcome.remedy(remedy))
}

/// How much of a conduit this many cables may fill.
pub(crate) fn limits(analysis: &Analysis, cables: usize) -> Known<LimitValue> {
    let limit = match cables {
        1 => &FILL_ONE,
        2 => &FILL_TWO,
        _ => &FILL_MORE,
    };
    analysis.code_limit(limit, "the national wiring rules for conduits")
}

/// The smallest conduit of table 4 whose area suffices.
fn larger(analysis: &Analysis, one: &Filled, squares_m2: f64, most: f64) -> Option<Remedy> {
    let needed_m2 = PI * squares_m2 / 4.0 / most;
    let pipe = (conduits().iter())
        .filter(|pipe| pipe.kind == "ENT" && pipe.area.0 > needed_m2 * 1.02)
        .min_by(|a, b| a.area.0.total_cmp(&b.area.0))?;
    let inside = written_length(analysis, pipe.inside_diameter.0, Round::Nearest);
    let says = format!(
        "Lay a conduit of trade size {} in ({} inside) in place of {}.",
        pipe.trade_size_in,
        inside,
        one.conduit.label()
    );
    let at = format!("pathway.{}.inside", one.conduit.id);
    Some(Remedy::new(says, vec![Edit::set(at, inside)]))
}

/// A conduit in the den with cables in it, for tests of conduits.
#[cfg(test)]
pub(crate) fn conduit(facts: &str, diameter: &str, count: usize) -> String {
    let ids: Vec<String> = (1..=count).map(|n| format!("\"W{n}\"")).collect();
    let mut text = format!(
        r#"
[[kit.device]]
id = "box"
[[kit.cable]]
id = "network-c6"
carries = "network"
{diameter}
[[item]]
id = "here"
is = "box"
at = {{ from = ["north", "1 m"], and = ["west", "1 m"] }}
[[item]]
id = "there"
is = "box"
at = {{ from = ["north", "1 m"], and = ["west", "3 m"] }}
[[pathway]]
id = "pipe"
kind = "conduit"
holds = [{}]
ends = [
  {{ space = "den", on = {{ wall = "north", from_left = "1 m", height = "0.3 m" }} }},
  {{ space = "den", on = {{ wall = "south", from_left = "1 m", height = "0.3 m" }} }},
]
{facts}
"#,
        ids.join(", ")
    );
    for n in 1..=count {
        text += &format!(
            "[[cable]]\nid = \"W{n}\"\nkind = \"network-c6\"\nfrom = \"here\"\nto = \"there\"\nlength = \"9 m\"\n"
        );
    }
    text
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::{CHECK, conduit};
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    const MM_7: &str = "diameter = \"7 mm\"";

    #[test]
    fn two_bite_where_three_do_not() {
        // 2 · 49 / D² at 31 %: D = 17.78 mm; at 40 % for three: √(147/0.4) = 19.17 mm.
        let inside = |d: f64, count| {
            let text = conduit(&format!("inside = \"{d} mm\""), MM_7, count);
            findings(&CHECK, &text)[0].verdict
        };
        assert_eq!(inside(17.9, 2), Verdict::Tight);
        assert_eq!(inside(17.7, 2), Verdict::Fails);
        let exactly = |d: &str, count| {
            let text = conduit(&format!("inside = \"{d} ± 0 mm\""), MM_7, count);
            findings(&CHECK, &text)[0].verdict
        };
        assert_eq!(exactly("17.9 mm", 2), Verdict::Fits);
        assert_eq!(exactly("19.3 mm", 3), Verdict::Fits);
        assert_eq!(exactly("19.1 mm", 3), Verdict::Fails);
        // One: 49 / 0.53 gives 9.615 mm.
        assert_eq!(exactly("9.7 mm", 1), Verdict::Fits);
        assert_eq!(exactly("9.5 mm", 1), Verdict::Fails);
    }

    #[test]
    fn a_larger_pipe_mends_it() {
        let text = conduit("inside = \"16 mm ± 0 mm\"", MM_7, 2);
        let found = findings(&CHECK, &text);
        expect![[r#"
            pipe: fails -0.073: W1, W2 in pipe of 16 mm inside fill 38.3 % of it, and 31 % is the most for 2.
        "#]]
        .assert_eq(&told(&found));
        let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
        assert_ne!(after[0].verdict, Verdict::Fails, "{}", after[0].because);
    }

    #[test]
    fn what_is_not_known_is_asked() {
        let found = findings(&CHECK, &conduit("", MM_7, 2));
        assert_eq!(found[0].needs[0].at, "pathway.pipe.inside");
        let found = findings(&CHECK, &conduit("inside = \"20 mm\"", "", 2));
        assert_eq!(found[0].needs[0].at, "kit.cable.network-c6.diameter");
        assert!(findings(&CHECK, &conduit("inside = \"20 mm\"", MM_7, 0)).is_empty());
    }
}
