//! Does copy protection let the picture through every box of a chain?

use analysis::{Analysis, Known, Means, Missing, Source, Uncertain, item_label};
use links::protection::{Content, Hdcp, Passage, TreeLimits, passage};
use model::{Edit, Item, Kit, Signal};
use units::Dimension;

use crate::chain::{Part, parts, past};
use crate::{Area, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "copy-protection",
    area: Area::Signal,
    proves: "Every box behind a source answers the copy protection that the content asks for.",
    matters: "One older box in the chain, and the film comes in half the lines, or black with a message, whatever the picture's own facts say.",
    formula: "v_i ≥ v for each box i behind the source, v: the version that the content asks for (2.3 meets 2.2). No more than 7 boxes in a row with 1.x, 4 with 2.x. The value is the share of boxes that answer; with whole boxes, half a box more or less makes no difference.",
    source: Source::FromMemory {
        work: "HDCP 1.4 and 2.2 specifications: versions and depth of a chain",
    },
    when_it_fails: "Replace the box that is too old, or feed the picture past it and only the sound through it.",
    limits: &[],
    published: &[
        Published {
            cite: "boxes in a row with HDCP 2.x: 4 (from memory)",
            computed: || deepest(Content::Protected2160, Hdcp::V2_2),
            expected: TreeLimits::V2.depth as f64,
            tolerance: 0.0, // A whole number.
            unit: "1",
        },
        Published {
            cite: "boxes in a row with HDCP 1.x: 7 (from memory)",
            computed: || deepest(Content::Protected1080, Hdcp::V1),
            expected: TreeLimits::V1.depth as f64,
            tolerance: 0.0, // A whole number.
            unit: "1",
        },
    ],
    run: Run::House(run),
};

/// The longest chain of equal boxes that passes the picture whole.
fn deepest(content: Content, speaks: Hdcp) -> f64 {
    let passes = |count: &usize| passage(content, &vec![speaks; *count]) == Some(Passage::Whole);
    (1..20)
        .take_while(passes)
        .last()
        .map_or(f64::NAN, |count| count as f64)
}

fn run(analysis: &Analysis) -> Vec<Finding> {
    (analysis.signals().iter())
        .filter_map(|signal| Some((signal, signal.protection.as_deref()?)))
        .map(|(signal, asked)| {
            let subject = Subject::new(
                format!("signal.{}", signal.id),
                format!("signal {}", signal.id),
            );
            CHECK.about_house(subject, || decide(analysis, signal, asked))
        })
        .collect()
}

/// A version as it is written: `none`, `1.4`, `2.2`, `2.3`.
fn version(text: &str) -> Option<Hdcp> {
    match text.trim() {
        "none" | "0" => Some(Hdcp::None),
        "2.2" => Some(Hdcp::V2_2),
        "2.3" => Some(Hdcp::V2_3),
        one if one.starts_with("1.") || one == "1" => Some(Hdcp::V1),
        // 2.0 and 2.1 never reached a lead; what they answer to is not known.
        _ => None,
    }
}

fn protection_of(kit: Kit<'_>) -> Option<&str> {
    match kit {
        Kit::Projector(kit) => kit.protection.as_deref(),
        Kit::Display(kit) => kit.protection.as_deref(),
        Kit::Amplifier(kit) => kit.protection.as_deref(),
        Kit::Device(kit) => kit.protection.as_deref(),
        _ => None,
    }
}

fn decide(analysis: &Analysis, signal: &Signal, asked: &str) -> Known<Outcome> {
    let ask = |what: String, field: &str| {
        Missing::new(what, format!("signal.{}.{field}", signal.id), Means::Decide)
    };
    let content = match version(asked) {
        Some(Hdcp::None) => Content::Free,
        Some(Hdcp::V1) => Content::Protected1080,
        Some(Hdcp::V2_2 | Hdcp::V2_3) => Content::Protected2160,
        None => {
            let what = format!("copy protection as none, 1.4, 2.2 or 2.3, not {asked}");
            return Err(ask(what, "protection"));
        }
    };
    let all = parts(analysis, signal);
    let boxes: Vec<(&Item, Kit)> = (all.iter())
        .filter_map(|part| match part {
            Part::Box(item, kit) => Some((*item, *kit)),
            Part::Lead(_) | Part::Port(_) => None,
        })
        .skip(1)
        .collect();
    let mut known = Vec::new();
    let mut missing = None;
    for (item, kit) in &boxes {
        // A port of its own version counts where the picture passes it.
        let ports = all.iter().filter_map(|part| match part {
            Part::Port(socket) if socket.item.id == item.id => {
                socket.port.protection.as_deref().and_then(version)
            }
            _ => None,
        });
        let least = ports.min();
        let own = protection_of(*kit).and_then(version);
        match least.or(own) {
            Some(speaks) => known.push((*item, speaks)),
            None => {
                missing = missing.or(Some(Missing::new(
                    format!("the copy protection version of {}", item.is),
                    format!("kit.{}.{}.protection", kit.kind(), item.is),
                    Means::SpecSheet,
                )))
            }
        }
    }
    let speaks: Vec<Hdcp> = known.iter().map(|(_, speaks)| *speaks).collect();
    let passed = passage(content, &speaks);
    let weak: Vec<&Item> = (known.iter())
        .filter(|(_, speaks)| *speaks < content.demand())
        .map(|(item, _)| *item)
        .collect();
    // A box that is too old decides, whatever the others are.
    match missing {
        Some(missing) if weak.is_empty() => return Err(missing),
        _ => {}
    }
    let passed = passed.ok_or_else(|| {
        ask(
            format!("the boxes that signal {} passes", signal.id),
            "through",
        )
    })?;
    let count = known.len() as f64;
    let too_many = match passed {
        Passage::TooDeep { depth_max } => known.len() - depth_max,
        _ => 0,
    };
    let answering = count - weak.len().max(too_many) as f64;
    let names: Vec<&str> = weak.iter().map(|item| item_label(item)).collect();
    let ending = match passed {
        Passage::Whole => "and every box behind the source answers it".to_owned(),
        Passage::Reduced { .. } => format!(
            "and {} cannot: the picture comes with 1080 lines at best, or not at all",
            names.join(", ")
        ),
        Passage::Blocked { .. } => {
            format!("and {} cannot: the picture stays black", names.join(", "))
        }
        Passage::TooDeep { depth_max } => format!(
            "and {} boxes in a row are more than the {depth_max} that it allows",
            known.len()
        ),
    };
    let sentence = format!(
        "The content of signal {} asks for copy protection {asked}, {ending}.",
        signal.id
    );
    // Whole boxes: all of them fit, which half a box to spare says.
    let short = answering - count;
    let margin = if short < 0.0 { short } else { 0.5 };
    let outcome = Outcome::with_margin(
        Uncertain::exact(answering),
        count,
        Uncertain::exact(margin),
        Dimension::Factor,
        CHECK.source.clone(),
    );
    let outcome = outcome.because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome
        .remedy(newer(analysis, content, asked, &weak))
        .remedy(apart(analysis, signal, &weak)))
}

/// The picture past the one box that is too old.
fn apart(analysis: &Analysis, signal: &Signal, weak: &[&Item]) -> Option<Remedy> {
    let [weak] = weak else { return None };
    let (says, edits) = past(analysis, signal, weak, 0.0)?;
    Some(Remedy::new(says, edits))
}

/// Each box that is too old replaced by the catalogue's first of its kind that is not.
/// Devices are of many kinds: a newer one of the same sort is to be found, and so is
/// whatever the catalogue lacks.
fn newer(analysis: &Analysis, content: Content, asked: &str, weak: &[&Item]) -> Option<Remedy> {
    let job = analysis.job();
    let mut says = Vec::new();
    let mut edits = Vec::new();
    for item in weak {
        let mine = job.kit_of(item)?;
        let other = (job.kit.all())
            .filter(|kit| kit.kind() == mine.kind() && !matches!(kit, Kit::Device(_)))
            .find(|kit| {
                let speaks = protection_of(*kit).and_then(version);
                speaks.is_some_and(|speaks| speaks >= content.demand())
            });
        let label = item_label(item);
        if let Some(other) = other {
            let id = other.common().id.as_str();
            says.push(format!("{label} by {id}"));
            edits.push(Edit::set(format!("item.{}.is", item.id), id));
        } else {
            says.push(format!("{label} by one of its sort that answers {asked}"));
            let at = format!("kit.{}.{}.protection", mine.kind(), item.is);
            edits.push(Edit::set(at, asked));
        }
    }
    let says = format!("Replace {}.", says.join(", "));
    (!edits.is_empty()).then(|| Remedy::new(says, edits))
}

#[cfg(test)]
mod tests {
    //! A chain of a player, a receiver and a display.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn chain(asked: &str, receiver: &str) -> String {
        format!(
            r#"
[[kit.device]]
id = "player-d1"
protection = "2.3"
[[kit.amplifier]]
id = "receiver-a7"
{receiver}
[[kit.amplifier]]
id = "receiver-a9"
protection = "2.3"
[[kit.display]]
id = "display-t4"
protection = "2.2"
[[item]]
id = "player"
is = "player-d1"
[[item]]
id = "receiver"
is = "receiver-a7"
[[item]]
id = "tv"
is = "display-t4"
[[signal]]
id = "film"
through = ["player", "receiver", "tv"]
format = "3840x2160p60"
{asked}
"#
        )
    }

    const ASKS_2_2: &str = "protection = \"2.2\"";

    #[test]
    fn newer_boxes_pass_it() {
        let found = findings(&CHECK, &chain(ASKS_2_2, "protection = \"2.3\""));
        expect![[r#"
            signal film: fits +0.500: The content of signal film asks for copy protection 2.2, and every box behind the source answers it.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn one_older_box_fails_and_is_named() {
        let found = findings(&CHECK, &chain(ASKS_2_2, "protection = \"1.4\""));
        expect![[r#"
            signal film: fails -1.000: The content of signal film asks for copy protection 2.2, and receiver cannot: the picture comes with 1080 lines at best, or not at all.
        "#]]
        .assert_eq(&told(&found));
        // Content of 1080 lines passes it.
        let older = findings(
            &CHECK,
            &chain("protection = \"1.4\"", "protection = \"1.4\""),
        );
        assert_eq!(older[0].verdict, Verdict::Fits);
    }

    #[test]
    fn five_newer_boxes_in_a_row_are_too_many() {
        let row = |count: usize| {
            let mut text = chain(ASKS_2_2, "protection = \"2.3\"");
            let names: Vec<String> = (0..count)
                .map(|index| format!("\"switch-{index}\""))
                .collect();
            for name in &names {
                text += &format!("[[item]]\nid = {name}\nis = \"player-d1\"\n");
            }
            let through = format!("[\"player\", {}, \"tv\"]", names.join(", "));
            text.replace("[\"player\", \"receiver\", \"tv\"]", &through)
        };
        assert_eq!(findings(&CHECK, &row(3))[0].verdict, Verdict::Fits);
        assert_eq!(findings(&CHECK, &row(4))[0].verdict, Verdict::Fails);
    }

    #[test]
    fn nothing_asked_nothing_said_and_the_unknown_is_named() {
        assert!(findings(&CHECK, &chain("", "")).is_empty());
        let found = findings(&CHECK, &chain(ASKS_2_2, ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.amplifier.receiver-a7.protection");
    }

    #[test]
    fn a_newer_box_mends_it() {
        let text = chain(ASKS_2_2, "protection = \"1.4\"");
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert_eq!(remedy.says, "Replace receiver by receiver-a9.");
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }

    #[test]
    fn a_device_is_replaced_by_one_of_its_sort() {
        let text = chain(ASKS_2_2, "protection = \"2.2\"").replace(
            "\"player\", \"receiver\"",
            "\"player\", \"hub\", \"receiver\"",
        ) + "[[kit.device]]\nid = \"hub-h1\"\nprotection = \"1.4\"\n[[item]]\nid = \"hub\"\nis = \"hub-h1\"\n";
        let remedy = &findings(&CHECK, &text)[0].remedies[0];
        assert_eq!(
            remedy.says,
            "Replace hub by one of its sort that answers 2.2."
        );
        let after = findings_after(&CHECK, &text, &remedy.edits);
        assert_eq!(after[0].verdict, Verdict::Fits);
    }
}
