//! Does a circuit's breaker hold when everything on it is switched on?

use analysis::{Analysis, Known, Limit, Means, Missing, Source, Uncertain, item_label};
use model::{Circuit, Edit, Item};
use units::Dimension;

use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

static INRUSH_MAX: Limit = Limit {
    name: "inrush_max",
    meaning: "highest current for half a cycle over the breaker's rating that it is trusted to hold",
    dimension: Dimension::Factor,
    value: 5.0,
    source: Source::FromMemory {
        work: "magnetic trip: type C 5 to 10 times, US breakers about 6 to 10 times the rating",
    },
    regional: &[],
};

/// What is switched on within this time of one another counts as one, s (common practice).
const APART_S: f64 = 0.5;

pub(crate) static CHECK: Check = Check {
    id: "inrush",
    area: Area::Power,
    proves: "What is switched on at one moment draws no more in its first half cycle than the circuit's breaker holds.",
    matters: "The button for a film trips the breaker, on the first evening and then every third.",
    formula: "Σ I ≤ 5 I_n; I: highest current of each thing in the first half cycle, 10 to 30 times that in use where a sheet says nothing, A; I_n: the breaker's rating, A. Things that start half a second apart or more count apart. Only things whose sheet states it are counted.",
    source: Source::FromMemory {
        work: "magnetic trip: type C 5 to 10 times, US breakers about 6 to 10 times the rating",
    },
    when_it_fails: "Switch things on one after the other, half a second to a second apart.",
    limits: &[&INRUSH_MAX],
    published: &[Published {
        cite: "a breaker of 15 A holds 75 A for half a cycle: 5 times its rating (from memory)",
        computed: || INRUSH_MAX.value * 15.0,
        expected: 75.0,
        tolerance: 0.0, // A whole number.
        unit: "A",
    }],
    run: Run::House(run),
};

fn run(analysis: &Analysis) -> Vec<Finding> {
    (analysis.circuits().iter())
        .filter_map(|circuit| {
            let starting = starting(analysis, circuit);
            let subject = Subject::new(
                format!("circuit.{}", circuit.id),
                format!("circuit {}", circuit.id),
            );
            (!starting.is_empty())
                .then(|| CHECK.about_house(subject, || decide(analysis, circuit, &starting)))
        })
        .collect()
}

/// Things on a circuit that state their inrush: when each starts, s, and how much it draws, A.
fn starting<'a>(analysis: &'a Analysis, circuit: &Circuit) -> Vec<(&'a Item, f64, Uncertain)> {
    let on_it = |item: &Item| {
        (analysis.holders_anywhere(item)).find_map(|holder| holder.circuit.as_deref())
            == Some(&circuit.id)
    };
    let mut starting: Vec<(&Item, f64, Uncertain)> = (analysis.items_anywhere())
        .filter(|item| on_it(item))
        .filter_map(|item| {
            let common = analysis.kit_of(item)?.common();
            let inrush = analysis.number(common.inrush.as_ref())?;
            let delay = analysis.number(item.start_delay.as_ref());
            let count = f64::from(item.count.unwrap_or(1));
            Some((
                item,
                delay.map_or(0.0, |delay| delay.value()),
                inrush * count,
            ))
        })
        .collect();
    starting.sort_by(|a, b| a.1.total_cmp(&b.1));
    starting
}

/// What is switched on together with each thing; the most of it.
fn most_at_once(starting: &[(&Item, f64, Uncertain)]) -> Uncertain {
    let at_once = |at: f64| {
        let near = starting.iter().filter(|(_, start, _)| {
            let after = start - at;
            (0.0..APART_S - 1e-9).contains(&after)
        });
        near.fold(Uncertain::exact(0.0), |sum, (.., inrush)| sum + inrush)
    };
    (starting.iter())
        .map(|(_, start, _)| at_once(*start))
        .reduce(|most, next| {
            if next.value() > most.value() {
                next
            } else {
                most
            }
        })
        .unwrap_or_default()
}

fn decide(
    analysis: &Analysis,
    circuit: &Circuit,
    starting: &[(&Item, f64, Uncertain)],
) -> Known<Outcome> {
    let breaker = (analysis.number(circuit.breaker.as_ref()))
        .filter(|breaker| breaker.value() > 0.0)
        .ok_or_else(|| {
            Missing::new(
                format!("the breaker's rating of circuit {}", circuit.id),
                format!("circuit.{}.breaker", circuit.id),
                Means::Look,
            )
        })?;
    let times = analysis.limit(&INRUSH_MAX);
    let most = &breaker * times.value;
    let at_once = most_at_once(starting);
    let current = |number: &Uncertain| analysis.print(number, Dimension::Current);
    let names: Vec<&str> = starting.iter().map(|(item, ..)| item_label(item)).collect();
    let sentence = format!(
        "Of {} on circuit {}, at most {} start at one moment, and its breaker holds {} for half a cycle.",
        names.join(", "),
        circuit.id,
        current(&at_once),
        current(&most),
    );
    let margin = &most - &at_once;
    let outcome = Outcome::with_margin(
        at_once,
        most.value(),
        margin,
        Dimension::Current,
        times.source,
    );
    Ok(outcome.because(sentence).remedy(one_by_one(starting)))
}

/// Each a second after the one before it.
fn one_by_one(starting: &[(&Item, f64, Uncertain)]) -> Option<Remedy> {
    let edits: Vec<Edit> = (starting.iter().enumerate())
        .map(|(index, (item, ..))| {
            Edit::set(
                format!("item.{}.start_delay", item.id),
                format!("{index} s"),
            )
        })
        .collect();
    let names: Vec<&str> = starting.iter().map(|(item, ..)| item_label(item)).collect();
    let says = format!("Switch on one second apart: {}.", names.join(", "));
    (starting.len() > 1).then(|| Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after};

    fn house(amperes: u32, delay: &str) -> String {
        format!(
            r#"
[[circuit]]
id = "C1"
breaker = "15 A"
[[kit.amplifier]]
id = "amp-a1"
inrush = "{amperes} A"
[[item]]
id = "one"
is = "amp-a1"
circuit = "C1"
[[item]]
id = "two"
is = "amp-a1"
circuit = "C1"
{delay}
"#
        )
    }

    #[test]
    fn both_at_once_draw_twice_as_much() {
        assert_eq!(findings(&CHECK, &house(37, ""))[0].verdict, Verdict::Fits);
        assert_eq!(findings(&CHECK, &house(38, ""))[0].verdict, Verdict::Fails);
        let apart = house(38, "start_delay = \"0.5 s\"");
        assert_eq!(findings(&CHECK, &apart)[0].verdict, Verdict::Fits);
        let near = house(38, "start_delay = \"0.4 s\"");
        assert_eq!(findings(&CHECK, &near)[0].verdict, Verdict::Fails);
    }

    #[test]
    fn one_by_one_mends_it() {
        let text = house(60, "");
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert_eq!(remedy.says, "Switch on one second apart: one, two.");
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn what_is_not_known_is_asked_or_not_counted() {
        let found = findings(&CHECK, &house(37, "").replace("breaker = \"15 A\"\n", ""));
        assert_eq!(found[0].needs[0].at, "circuit.C1.breaker");
        assert!(findings(&CHECK, &house(37, "").replace("inrush", "watts = 3 #")).is_empty());
    }
}
