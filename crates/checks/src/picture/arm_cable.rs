//! Is the cable behind a display long enough for its arm?

use analysis::{
    Analysis, Known, Limit, LimitValue, Means, Missing, Parts, Source, Uncertain, WallRect,
    item_label,
};
use model::{Edit, FixtureKind, Item, Kit, MountKit, Space};
use units::Dimension;

use crate::moves::{Round, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "arm-cable",
    area: Area::Picture,
    proves: "The cables that hang free behind a display on an arm reach from the wall to it in every position, with slack for their bends.",
    matters: "A cable that is taut with the arm out pulls its plug loose, or the socket out of the board, the first time that somebody turns the display.",
    formula: "needed = √(Δs² + Δz² + r²) + slack; Δs along and Δz up the wall from the outlet to the middle of the display, parked or fully down, whichever is farther, m; r, the arm's reach and half the display's depth, m. The outlet is the plate, socket or pipe that the parked display hides; where there is none on the survey, the middle of the parked display within 0.3 m. Cables that are tied along the arm's links need more: leave half the reach again.",
    source: Source::Derived {
        from: "the straight line from the wall's outlet to the display",
    },
    when_it_fails: "Order longer cables between wall and display, or move the outlet to where the display hangs when it is out.",
    limits: &[&SLACK],
    published: &[Published {
        cite: "0.6 m down and 0.8 m out from an outlet behind it: 1 m (3-4-5 triangle, exact)",
        computed: || line([0.0, 0.6, 0.8]),
        expected: 1.0,
        tolerance: 1e-12, // Exact.
        unit: "m",
    }],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

static SLACK: Limit = Limit {
    name: "arm_cable_slack",
    meaning: "cable beyond the straight line from outlet to display, for the bends at both ends",
    dimension: Dimension::Length,
    value: 0.15,
    source: Source::CommonPractice,
    regional: &[],
};

/// How far an outlet that nobody surveyed may be from the middle of the display, m.
const OUTLET_TOLERANCE_M: f64 = 0.3;

fn line([along, up, out]: [f64; 3]) -> f64 {
    along.hypot(up).hypot(out)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .pictures_in(space)
        .filter(|item| super::arm_clear::is_display(analysis, item))
        .filter_map(|item| {
            let (_, mount) = analysis.mount_of(item)?;
            // A mount that holds still asks for no slack.
            let moves = [&mount.pull_down, &mount.reach].into_iter().any(|fact| {
                analysis
                    .number(fact.as_ref())
                    .is_some_and(|m| m.value() > 0.0)
            });
            moves.then(|| {
                CHECK.about(space, Subject::item(item), || {
                    decide(analysis, space, item, mount)
                })
            })
        })
        .collect()
}

/// Where cables come out of the wall behind a parked display, from its left corner and up.
fn outlet(analysis: &Analysis, space: &Space, item: &Item, parked: &WallRect) -> [Uncertain; 2] {
    let inside = |rect: &WallRect| {
        rect.wall == parked.wall
            && rect.left >= parked.left
            && rect.right <= parked.right
            && rect.bottom >= parked.bottom
            && rect.top <= parked.top
    };
    let of_fixtures = (space.fixture.iter())
        .filter(|fixture| {
            matches!(
                fixture.kind,
                FixtureKind::Plate | FixtureKind::ConduitEnd | FixtureKind::Socket
            )
        })
        .filter_map(|fixture| analysis.fixture_rect(space, fixture)?.ok());
    let of_items = (analysis.items_in(space))
        .filter(|other| matches!(analysis.kit_of(other), Some(Kit::Plate(_))))
        .filter_map(|other| {
            let on = other.on.as_ref()?;
            Some(analysis.item_on_wall(space, other, on).ok()?.outside)
        });
    // The one farthest from the middle asks for the longest cable.
    let off = |rect: &WallRect| {
        let along = (rect.centre_left() - parked.centre_left()).value();
        let up = (rect.centre_height() - parked.centre_height()).value();
        along.hypot(up)
    };
    let found = of_fixtures
        .chain(of_items)
        .filter(inside)
        .max_by(|a, b| off(a).total_cmp(&off(b)));
    if let Some(rect) = found {
        return [rect.centre_left(), rect.centre_height()];
    }
    let somewhere = |axis: &str| {
        let what = format!("where the outlet behind {} is, {axis}", item_label(item));
        let path = format!("item.{}.outlet-{axis}", item.id);
        analysis.assumed(&what, &path, 0.0, OUTLET_TOLERANCE_M)
    };
    [
        parked.centre_left() + somewhere("along"),
        parked.centre_height() + somewhere("up"),
    ]
}

fn decide(analysis: &Analysis, space: &Space, item: &Item, mount: &MountKit) -> Known<Outcome> {
    let name = item_label(item);
    let loose = analysis.number(item.loose_cable.as_ref()).ok_or_else(|| {
        let what = format!("the length of cable that hangs free between the wall and {name}");
        Missing::new(what, format!("item.{}.loose_cable", item.id), Means::Decide)
    })?;
    let reach = analysis.number(mount.reach.as_ref()).ok_or_else(|| {
        let id = &mount.common.id;
        let at = format!("kit.mount.{id}.reach");
        Missing::new(format!("the full reach of {id}"), at, Means::SpecSheet)
    })?;
    let parked = analysis.picture(item)?.outside;
    let down = analysis
        .number(mount.pull_down.as_ref())
        .unwrap_or_default();
    let [_, _, depth] = analysis.item_size(item)?;
    let [from_left, height] = outlet(analysis, space, item, &parked);
    let along = parked.centre_left() - from_left;
    let parked_up = parked.centre_height() - height;
    let lowered_up = &parked_up - &down;
    let up = if lowered_up.value().abs() > parked_up.value().abs() {
        lowered_up
    } else {
        parked_up
    };
    let out = reach + depth / 2.0;
    let slack = analysis.limit(&SLACK);
    let needed = uncertainty::through([&along, &up, &out], line) + slack.value;
    let sentence = format!(
        "From the wall's outlet to {name} at full reach takes {} of cable, {} of it slack; {} hang free.",
        analysis.length(&needed),
        analysis.exact(slack.value, Dimension::Length),
        analysis.length(&loose),
    );
    let limit = LimitValue {
        value: loose.value(),
        source: slack.source,
    };
    let margin = &loose - &needed;
    let outcome = Outcome::with_margin(
        needed.clone(),
        limit.value,
        margin.clone(),
        Dimension::Length,
        limit.source,
    )
    .because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    // A tenth more than the uncertainty asks for: cables are cut and plugged by hand.
    let longer_m = loose.value() - to_spare(&margin, 0.0) * 1.1;
    let text = written_length(analysis, longer_m, Round::Up);
    let says = format!("Leave {text} of cable free between the wall and {name}.");
    let edit = Edit::set(format!("item.{}.loose_cable", item.id), text);
    Ok(outcome.remedy(Some(Remedy::new(says, vec![edit]).caution(Caution::Mains))))
}

#[cfg(test)]
mod tests {
    //! A display whose arm pulls it 600 mm down and 775 mm out.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(plate: &str, loose: &str) -> String {
        format!(
            r#"
[survey]
by = "laser"
{plate}
[[kit.display]]
id = "display-d1"
diagonal = "1.2 m"
size = ["1.2 m", "0.7 m", "50 mm"]
[[kit.mount]]
id = "arm-a1"
standoff = "50 mm"
reach = "775 mm"
pull_down = "600 mm"
[[item]]
id = "arm"
is = "arm-a1"
space = "den"
[[item]]
id = "display"
is = "display-d1"
mount = "arm"
{loose}
on = {{ wall = "west", from_left = "2 m", height = "1.85 m" }}
"#
        )
    }

    /// A plate in the middle of the parked display.
    const PLATE: &str = r#"
[[space.fixture]]
id = "plate"
kind = "plate"
on = { wall = "west", from_left = "2 m", height = "1.85 m" }
size = ["80 mm", "80 mm", "5 mm"]
"#;

    #[test]
    fn cable_for_the_lowest_position() {
        // 0.6 down, 0.775 + 0.025 out: 1 m, and 150 mm of slack.
        expect![[r#"
            display: fits +0.150: From the wall's outlet to display at full reach takes 1.150 m of cable, 150 mm of it slack; 1.3 m hang free.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room(PLATE, "loose_cable = \"1.3 m\""))));
    }

    #[test]
    fn the_length_holds_from_both_sides() {
        let verdict = |plate: &str, loose: &str| {
            let text = room(plate, &format!("loose_cable = \"{loose}\""));
            findings(&CHECK, &text)[0].verdict
        };
        assert_eq!(verdict(PLATE, "1.16 m"), Verdict::Fits);
        assert_eq!(verdict(PLATE, "1.14 m"), Verdict::Fails);
        // Where the outlet is not on the survey 0.3 m to and fro are not known.
        assert_eq!(verdict("", "1.2 m"), Verdict::Tight);
    }

    #[test]
    fn a_cable_that_nobody_planned_is_asked_for() {
        let found = findings(&CHECK, &room(PLATE, ""));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "item.display.loose_cable");
    }

    #[test]
    fn a_fixed_mount_is_no_question() {
        let text = room(PLATE, "")
            .replace("pull_down = \"600 mm\"", "")
            .replace("reach = \"775 mm\"", "");
        assert!(findings(&CHECK, &text).is_empty());
    }

    #[test]
    fn more_cable_mends_it() {
        for plate in [PLATE, ""] {
            let text = room(plate, "loose_cable = \"1.1 m\"");
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].verdict, Verdict::Fails);
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", told(&after));
        }
    }
}
