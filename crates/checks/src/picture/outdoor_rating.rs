//! Does an outdoor display stand the temperatures of its place, and the rain?

use analysis::{Analysis, Known, Limit, Means, Missing, Parts, Source, Uncertain, item_label};
use model::{DisplayKit, Edit, Item, Space};
use units::Dimension;

use super::outdoor_brightness::displays_outdoors;
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "outdoor-rating",
    area: Area::Picture,
    proves: "An outdoor display is rated for the coldest and hottest air of its place, and sealed against dust and jets of water.",
    matters: "The first frost or the first garden hose ends a display that was made for rooms.",
    formula: "margin = the lesser of T_rated − T_hottest and T_coldest − T_least: T, air in the shade, °C. The code IPxy must have x ≥ 5 and y ≥ 5; a lesser one counts as rated for no outdoor air at all. Sun on the case heats it further: see the maker's sheet.",
    source: Source::CommonPractice,
    when_it_fails: "Choose a display made for outdoors, or a heated and sealed cabinet.",
    limits: &[&SEALED],
    published: &[
        Published {
            cite: "IP55: second figure 5, protected against jets of water (IEC 60529, from memory)",
            computed: || code("IP55").map_or(f64::NAN, |[_, water]| f64::from(water)),
            expected: 5.0,
            tolerance: 0.0, // A figure of a code.
            unit: "1",
        },
        Published {
            cite: "rated to 50 °C and from −30 °C in 36 °C and −25 °C: 5 °C to spare in the cold (computed)",
            computed: || spare([-30.0, 50.0], [-25.0, 36.0]),
            expected: 5.0,
            tolerance: 1e-12, // A difference.
            unit: "K",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

static SEALED: Limit = Limit {
    name: "outdoor_sealing_min",
    meaning: "the least figure, against dust and against water, of an outdoor display's IP code",
    dimension: Dimension::Factor,
    value: 5.0,
    source: Source::CommonPractice,
    regional: &[],
};

/// Both figures of a code such as `IP55`; an X counts as nothing.
fn code(text: &str) -> Option<[u32; 2]> {
    let figures = text.trim().to_ascii_uppercase();
    let figures = figures.strip_prefix("IP")?.trim();
    let mut figures = figures
        .chars()
        .take(2)
        .map(|c| if c == 'X' { Some(0) } else { c.to_digit(10) });
    Some([figures.next()??, figures.next()??])
}

fn spare([rated_from, rated_to]: [f64; 2], [coldest, hottest]: [f64; 2]) -> f64 {
    (rated_to - hottest).min(coldest - rated_from)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let find = |(item, kit): (&Item, &DisplayKit)| {
        CHECK.about(space, Subject::item(item), || decide(analysis, item, kit))
    };
    displays_outdoors(analysis, space).map(find).collect()
}

fn decide(analysis: &Analysis, item: &Item, kit: &DisplayKit) -> Known<Outcome> {
    let (id, label) = (&kit.common.id, item_label(item));
    let least = analysis.limit(&SEALED);
    let sheet = |what: &str, fact: &str| {
        Missing::new(
            format!("{what} of {id}"),
            format!("kit.display.{id}.{fact}"),
            Means::SpecSheet,
        )
    };
    let written = kit.weather.as_deref().ok_or_else(|| {
        sheet(
            "the protection against dust and water, its IP code,",
            "weather",
        )
    })?;
    let [dust, water] =
        code(written).ok_or_else(|| sheet("an IP code such as `IP55`", "weather"))?;
    let figure = f64::from(dust.min(water));
    if figure < least.value {
        let sentence = format!(
            "{label} is sealed to {written}; outdoors each figure is to be {:.0} or more: dust-tight enough, and safe from jets of water.",
            least.value
        );
        let better = format!("IP{0:.0}{0:.0}", least.value);
        let says =
            format!("Choose an outdoor display sealed to {better} or better in place of {id}.");
        let edit = Edit::set(format!("kit.display.{id}.weather"), better);
        return Ok(
            Outcome::at_least(Uncertain::exact(figure), &least, Dimension::Factor)
                .because(sentence)
                .remedy(Some(Remedy::new(says, vec![edit]))),
        );
    }
    let place = |fact: Option<Uncertain>, what: &str, field: &str| {
        fact.ok_or_else(|| Missing::new(what, format!("site.{field}"), Means::Look))
    };
    let [coldest, hottest] = analysis.outdoor_air();
    let coldest = place(
        coldest,
        "the coldest that it gets outdoors there",
        "coldest",
    )?;
    let hottest = place(
        hottest,
        "the hottest that it gets outdoors there, in the shade",
        "hottest",
    )?;
    let rated_from = analysis
        .number(kit.rated_from.as_ref())
        .ok_or_else(|| sheet("the lowest temperature in the rating", "rated_from"))?;
    let rated_to = analysis
        .number(kit.common.rated_to.as_ref())
        .ok_or_else(|| sheet("the highest temperature in the rating", "rated_to"))?;
    let (heat, cold) = (&rated_to - &hottest, &coldest - &rated_from);
    let margin = heat.min(&cold);
    let degrees = |t: &Uncertain| analysis.print(t, Dimension::Temperature);
    let sentence = format!(
        "{label}, sealed to {written}, is rated from {} to {}; its place gets from {} to {} in the shade.",
        degrees(&rated_from),
        degrees(&rated_to),
        degrees(&coldest),
        degrees(&hottest),
    );
    let is_heat = heat.value() < cold.value();
    let (value, limit) = if is_heat {
        (hottest, rated_to)
    } else {
        (coldest, rated_from)
    };
    let (fact, text) = if is_heat {
        ("rated_to", &value)
    } else {
        ("rated_from", &value)
    };
    // A degree further, so that rounding of what is printed decides nothing.
    let beyond = text.value() + if is_heat { 1.0 } else { -1.0 };
    let edit = Edit::set(
        format!("kit.display.{id}.{fact}"),
        format!("{beyond:.0} °C"),
    );
    let says = if is_heat {
        format!("Choose an outdoor display rated to {beyond:.0} °C or more in place of {id}.")
    } else {
        format!("Choose an outdoor display rated from {beyond:.0} °C or less in place of {id}.")
    };
    Ok(Outcome::with_margin(
        value,
        limit.value(),
        margin,
        Dimension::Temperature,
        Source::SpecSheet,
    )
    .because(sentence)
    .remedy(Some(Remedy::new(says, vec![edit]))))
}

#[cfg(test)]
mod tests {
    use super::super::outdoor_brightness::tests::terrace;
    use super::{CHECK, code};
    use crate::testing::{findings_of, job, told};
    use crate::{Finding, Verdict};
    use analysis::Analysis;

    fn with(facts: &str) -> String {
        terrace("[\"20:00\", \"23:00\"]", "900 cd/m²", facts)
    }

    fn found(facts: &str) -> Finding {
        let mut found = findings_of(&CHECK, &with(facts));
        assert_eq!(found.len(), 1, "{}", told(&found));
        found.remove(0)
    }

    const SEALED: &str = "weather = \"IP55\"\nrated_from = \"-30 °C\"\nrated_to = \"50 °C\"";

    #[test]
    fn sealed_and_rated_fits_and_each_side_fails() {
        assert_eq!(
            found(SEALED).verdict,
            Verdict::Fits,
            "{}",
            found(SEALED).because
        );
        for (from, to) in [
            ("50 °C", "35 °C"),
            ("-30 °C", "-24 °C"),
            ("IP55", "IP54"),
            ("IP55", "IPX5"),
        ] {
            let found = found(&SEALED.replace(from, to));
            assert_eq!(found.verdict, Verdict::Fails, "{}", found.because);
            assert_eq!(found.remedies.len(), 1);
        }
    }

    #[test]
    fn what_the_sheet_lacks_is_asked_for() {
        for (lacking, at) in [
            ("weather = \"IP55\"\n", "kit.display.display-o55.weather"),
            (
                "rated_from = \"-30 °C\"\n",
                "kit.display.display-o55.rated_from",
            ),
        ] {
            assert_eq!(found(&SEALED.replace(lacking, "")).needs[0].at, at);
        }
        let odd = found(&SEALED.replace("IP55", "waterproof"));
        assert_eq!(odd.verdict, Verdict::Unknown);
        let nowhere = with(SEALED).replace("coldest = \"-25 °C\"\n", "");
        assert_eq!(findings_of(&CHECK, &nowhere)[0].needs[0].at, "site.coldest");
    }

    #[test]
    fn each_remedy_makes_it_fit() {
        for (from, to) in [("50 °C", "35 °C"), ("-30 °C", "-24 °C"), ("IP55", "IP44")] {
            let text = with(&SEALED.replace(from, to));
            let analysis = Analysis::new(job(&text));
            let found = findings_of(&CHECK, &text).remove(0);
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

    #[test]
    fn codes_are_read() {
        assert_eq!(code("ip 65"), Some([6, 5]));
        assert_eq!(code("IPX4"), Some([0, 4]));
        for bad in ["", "IP", "IP5", "65", "IPZ5"] {
            assert_eq!(code(bad), None, "{bad}");
        }
    }
}
