//! Is each low-voltage box far enough from mains boxes in its wall?

use analysis::{Analysis, Known, Limit, Parts, Source, Uncertain, WallRect, item_label};
use model::{Edit, FixtureKind, Item, Kit, Space};
use units::Dimension;
use wiring::cable::MAINS_DISTANCE_MIN;

use crate::moves::{Round, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(super) static MAINS_DISTANCE: Limit = Limit {
    name: "mains_distance_min",
    meaning: "least distance of low-voltage cable from mains in no raceway",
    dimension: Dimension::Length,
    value: MAINS_DISTANCE_MIN.0,
    source: Source::FromMemory {
        work: "NEC 725.136, 800.133(A)(2)",
    },
    regional: &[],
};

/// What the limit is held to.
pub(super) const TWO_INCHES: Published = Published {
    cite: "2 in: 50.8 mm (NEC 725.136, from memory)",
    computed: || MAINS_DISTANCE_MIN.0 * 1e3,
    expected: 50.8,
    tolerance: 1e-9, // Two inches exactly.
    unit: "mm",
};

pub(crate) static CHECK: Check = Check {
    id: "mains-distance",
    area: Area::Cables,
    proves: "What is let into a wall keeps its low-voltage cable away from the sockets and switches of that wall.",
    matters: "A fault in the mains reaches the customer's hands through a loudspeaker wire; and nearer than a foot the wire hums.",
    formula: "d ≥ 2 in (50.8 mm); d: from the thing's outside to the socket's or switch's on the same wall, the larger of the gaps across and up, m. Not asked of mains in metal conduit or behind a fixed barrier: then change the limit for the house. To run cables apart by 300 mm and cross at 90° is common practice.",
    source: Source::FromMemory {
        work: "NEC 725.136, 800.133(A)(2)",
    },
    when_it_fails: "Move it along the wall to the next bay, or set a barrier in the box.",
    limits: &[&MAINS_DISTANCE],
    published: &[TWO_INCHES],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mains: Vec<(Subject, Known<WallRect>)> = (space.fixture.iter())
        .filter(|fixture| matches!(fixture.kind, FixtureKind::Socket | FixtureKind::Switch))
        .filter_map(|fixture| {
            let rect = analysis.fixture_rect(space, fixture)?;
            Some((Subject::fixture(fixture), rect))
        })
        .collect();
    if mains.is_empty() {
        return Vec::new();
    }
    let_in_findings(analysis, space, &mains, let_in(analysis, space).collect())
}

/// What is let into the walls of a space and has low-voltage cable behind it.
pub(super) fn let_in<'a>(
    analysis: &'a Analysis,
    space: &'a Space,
) -> impl Iterator<Item = &'a Item> {
    analysis.items_in_where(space, "let into a wall", |analysis, item| {
        item.on.is_some()
            && match analysis.kit_of(item) {
                Some(Kit::Plate(_)) => true,
                Some(Kit::Loudspeaker(kit)) => kit.cutout.is_some(),
                _ => false,
            }
    })
}

/// Where no code is known that says how far, one question for the whole space.
pub(super) const ASK: &str = "EN 50174-2 and the national wiring rules";

fn let_in_findings(
    analysis: &Analysis,
    space: &Space,
    mains: &[(Subject, Known<WallRect>)],
    let_in: Vec<&Item>,
) -> Vec<Finding> {
    if let Err(missing) = analysis.code_limit(&MAINS_DISTANCE, ASK) {
        return match let_in.is_empty() {
            true => Vec::new(),
            false => {
                let subject = Subject::new(format!("{}.mains", space.id), "cables beside mains");
                vec![CHECK.about(space, subject, || Err(missing))]
            }
        };
    }
    (let_in.into_iter())
        .filter_map(|item| {
            let on = item.on.as_ref()?;
            // Where it is not placed yet, others ask.
            let own = analysis.item_on_wall(space, item, on).ok()?.outside;
            let nearest = (mains.iter())
                .filter_map(|(subject, rect)| Some((subject, rect.as_ref().ok()?)))
                .filter(|(_, rect)| rect.wall == own.wall)
                .map(|(subject, rect)| (subject, rect, gap(&own, rect)))
                .reduce(|near, next| {
                    if next.2.value() < near.2.value() {
                        next
                    } else {
                        near
                    }
                })?;
            let (subject, rect, gap) = nearest;
            let about = Subject::item(item).with(subject, "and");
            Some(CHECK.about(space, about, || {
                Ok(decide(analysis, item, &own, (subject, rect), gap))
            }))
        })
        .collect()
}

/// The larger of the gaps across and up; below zero where they overlap in both.
pub(super) fn gap(one: &WallRect, other: &WallRect) -> Uncertain {
    let apart = |a: [&Uncertain; 2], b: [&Uncertain; 2]| {
        let (before, behind) = (b[0] - a[1], a[0] - b[1]);
        if before.value() > behind.value() {
            before
        } else {
            behind
        }
    };
    let across = apart([&one.left, &one.right], [&other.left, &other.right]);
    let up = apart([&one.bottom, &one.top], [&other.bottom, &other.top]);
    if across.value() > up.value() {
        across
    } else {
        up
    }
}

fn decide(
    analysis: &Analysis,
    item: &Item,
    own: &WallRect,
    (subject, rect): (&Subject, &WallRect),
    gap: Uncertain,
) -> Outcome {
    let limit = analysis.limit(&MAINS_DISTANCE);
    let sentence = format!(
        "{} is {} from {} in its wall, and low-voltage cable keeps {} from mains.",
        item_label(item),
        analysis.length(&gap),
        subject.label,
        analysis.exact(limit.value, Dimension::Length),
    );
    let outcome = Outcome::at_least(gap, &limit, Dimension::Length)
        .because(sentence)
        .caution(Caution::Mains);
    let remedy = outcome
        .asks_for_remedies(analysis)
        .then(|| aside(analysis, item, own, rect, &outcome))
        .flatten();
    outcome.remedy(remedy)
}

/// Along the wall, away from it.
fn aside(
    analysis: &Analysis,
    item: &Item,
    own: &WallRect,
    rect: &WallRect,
    outcome: &Outcome,
) -> Option<Remedy> {
    let across = if own.centre_left().value() < rect.centre_left().value() {
        rect.left.value() - own.right.value()
    } else {
        own.left.value() - rect.right.value()
    };
    let limit = analysis.limit(&MAINS_DISTANCE).value;
    // As far again as the survey leaves open.
    let open = outcome.margin().value() - to_spare(outcome.margin(), 0.0);
    let by = limit - across + open;
    let from_left = item.on.as_ref()?.from_left.as_ref()?.value()?;
    let (to, round) = if own.centre_left().value() < rect.centre_left().value() {
        (from_left - by, Round::Down)
    } else {
        (from_left + by, Round::Up)
    };
    let text = written_length(analysis, to, round);
    let says = format!(
        "Move {} along the wall, to {text} from its left corner.",
        item_label(item)
    );
    let at = format!("item.{}.on.from_left", item.id);
    (to > 0.0).then(|| Remedy::new(says, vec![Edit::set(at, text)]))
}

#[cfg(test)]
mod tests {
    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after};

    /// A plate 70 mm wide at this distance from the left, a socket of 70 mm at 2 m.
    fn wall(from_left: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "socket"
kind = "socket"
on = {{ wall = "north", from_left = "2 m", height = "0.3 m" }}
size = ["70 mm", "115 mm", "5 mm"]
[[kit.plate]]
id = "plate-1g"
size = ["70 mm", "115 mm", "5 mm"]
cutout = ["57 mm", "95 mm"]
[[item]]
id = "plate"
is = "plate-1g"
space = "den"
on = {{ wall = "north", from_left = "{from_left}", height = "0.3 m" }}
"#
        )
    }

    #[test]
    fn two_inches_are_the_least() {
        // 2.13 m − 2 m − 70 mm = 60 mm, 9.2 mm more than the limit, ±6 mm by tape.
        let verdict = |from_left| findings(&CHECK, &wall(from_left))[0].verdict;
        assert_eq!(verdict("2.13 m"), Verdict::Fits);
        assert_eq!(verdict("2.122 m"), Verdict::Tight);
        assert_eq!(verdict("2.119 m"), Verdict::Fails);
        assert_eq!(verdict("1.881 m"), Verdict::Fails);
        assert_eq!(verdict("1.87 m"), Verdict::Fits);
    }

    #[test]
    fn along_the_wall_it_fits() {
        for from_left in ["2.05 m", "1.95 m"] {
            let text = wall(from_left);
            let found = findings(&CHECK, &text);
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", after[0].because);
        }
    }

    #[test]
    fn on_another_wall_nothing_is_said() {
        let text = wall("2 m").replacen(
            "space = \"den\"\non = { wall = \"north\"",
            "space = \"den\"\non = { wall = \"south\"",
            1,
        );
        assert!(findings(&CHECK, &text).is_empty());
    }
}
