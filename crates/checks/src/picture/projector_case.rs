//! Does the projector's case hang inside the room, and in nothing?

use analysis::{Analysis, Body, Parts, ProjectorPlace, Source, item_label};
use model::Space;
use uncertainty::through;
use units::Dimension;

use crate::in_line::{beside_m, things_in_line};
use crate::moves::{Placed, Round, text_of, to_spare, written_length};
use crate::obstacles::Thing;
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(crate) static CHECK: Check = Check {
    id: "projector-case",
    area: Area::Picture,
    proves: "A projector's case is inside the room's walls, and in nothing that is in front of it or below it.",
    matters: "A case drawn where a chimney breast or a cupboard is cannot be hung there, and the crew finds out on the ladder.",
    formula: "gap = the greatest of the distances between case and wall along the case's two directions and square to the wall, m; likewise to a thing in front or below along the case's three directions; not below 0. Valid for a case square to its screen. What is behind, beside and above is spoken of by the check of its free space.",
    source: Source::Derived {
        from: "two bodies that a plane parts do not meet",
    },
    when_it_fails: "Move the projector away from the wall or out of the thing, or hang it higher.",
    limits: &[],
    published: &[
        Published {
            cite: "case 0.4 × 0.4 m, middle 0.5 m from a wall that it is square to: 0.3 m (computed, 0.5 − 0.4/2)",
            computed: || gap([0.5, 2.0], [0.0, 1.0], [0.4, 0.4], [[0.0, 0.0], [0.0, 4.0]]),
            expected: 0.3,
            tolerance: 1e-12,
            unit: "m",
        },
        Published {
            cite: "the same with a wall at 45° through the origin, middle 1 m off it: 1 − 0.4/√2 (computed, half the diagonal)",
            computed: || {
                let half = std::f64::consts::FRAC_1_SQRT_2;
                gap(
                    [half, -half],
                    [0.0, 1.0],
                    [0.4, 0.4],
                    [[-4.0, -4.0], [4.0, 4.0]],
                )
            },
            expected: 0.717_157_3,
            tolerance: 1e-6, // Printed digits.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

/// A case may stand in a shelf by as much as nobody measures, m.
pub(crate) const STANDS_IN_M: f64 = 0.002;

/// From a case, by its middle, its direction to the right, width and depth, to a wall's
/// face between two corners, m; minus how deep it is in it.
fn gap(middle: [f64; 2], right: [f64; 2], [width, depth]: [f64; 2], wall: [[f64; 2]; 2]) -> f64 {
    let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
    let back = [-right[1], right[0]];
    let ends = wall.map(|end| [end[0] - middle[0], end[1] - middle[1]]);
    let along = |way: [f64; 2], half: f64| {
        let [a, b] = ends.map(|end| dot(end, way));
        (a.min(b) - half).max(-half - a.max(b))
    };
    let [dx, dy] = [wall[1][0] - wall[0][0], wall[1][1] - wall[0][1]];
    let length = dx.hypot(dy).max(1e-9);
    let square = [dy / length, -dx / length];
    let reach = (dot(right, square).abs() * width + dot(back, square).abs() * depth) / 2.0;
    let off = dot(ends[0], square).abs() - reach;
    along(right, width / 2.0)
        .max(along(back, depth / 2.0))
        .max(off)
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .projectors_in(space)
        .map(|(item, kit)| {
            CHECK.about(space, Subject::item(item), || {
                let projector = analysis.projector(item, kit)?;
                decide(analysis, space, &projector)
            })
        })
        .collect()
}

/// The projector itself and its screen.
pub(crate) fn is_own(thing: Thing<'_>, projector: &ProjectorPlace<'_>) -> bool {
    thing
        .item_id()
        .is_some_and(|id| id == projector.item.id || id == projector.screen.id)
}

/// What is nearest to the case, and the way out of it.
struct Nearest {
    gap: Uncertain,
    label: String,
    way: Way,
}

enum Way {
    /// In plan.
    Along([f64; 2], &'static str),
    Up,
}

fn decide(analysis: &Analysis, space: &Space, projector: &ProjectorPlace<'_>) -> Known<Outcome> {
    let wall = nearest_wall(analysis, space, projector)?;
    let thing = things_in_line(analysis, space, projector.item)
        .filter(|thing| !is_own(*thing, projector))
        .filter_map(|thing| met(analysis, space, projector, thing))
        .reduce(|a, b| if b.gap < a.gap { b } else { a });
    let nearest = match thing {
        Some(thing) if thing.gap < wall.gap => thing,
        _ => wall,
    };
    let outcome = Outcome::with_margin(
        nearest.gap.clone(),
        0.0,
        nearest.gap.clone(),
        Dimension::Length,
        CHECK.source.clone(),
    )
    .caution(Caution::Ladder);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let name = item_label(projector.item);
    let sentence = if nearest.gap.value() < 0.0 {
        format!(
            "The case of {name} reaches {} into {}.",
            analysis.length(&-&nearest.gap),
            nearest.label
        )
    } else {
        format!(
            "The case of {name} is inside the room, {} from {}, the nearest wall.",
            analysis.length(&nearest.gap),
            nearest.label
        )
    };
    let lacking = -to_spare(outcome.margin(), 0.0) + 0.002;
    let outcome = outcome.because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    Ok(outcome.remedy(moved(analysis, projector, &nearest, lacking)))
}

fn nearest_wall(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> Known<Nearest> {
    let shape = analysis.shape(space);
    let corners = shape.corners()?;
    let (case, right) = (&projector.case, &projector.picture.face.right);
    let [width, _, depth] = &case.size;
    let inputs = |wall: usize| {
        let (from, to) = (&corners[wall], &corners[(wall + 1) % corners.len()]);
        [
            &case.centre.x,
            &case.centre.y,
            &right.x,
            &right.y,
            width,
            depth,
            &from.x,
            &from.y,
            &to.x,
            &to.y,
        ]
    };
    let to_wall = |[
        x,
        y,
        right_x,
        right_y,
        width,
        depth,
        from_x,
        from_y,
        to_x,
        to_y,
    ]: [f64; 10]| {
        gap(
            [x, y],
            [right_x, right_y],
            [width, depth],
            [[from_x, from_y], [to_x, to_y]],
        )
    };
    // Best estimates tell which wall it is; the others' uncertainty is of no use.
    let (wall, _) = (0..corners.len())
        .map(|wall| (wall, to_wall(inputs(wall).map(Uncertain::value))))
        .reduce(|a, b| if b.1 < a.1 { b } else { a })
        .expect("a room has walls");
    let gap = through(inputs(wall), to_wall);
    let (_, _, inward) = shape.wall_frame(wall)?;
    let outline = shape.outline()?;
    let [x, y] = case.centre.in_plan().value();
    let gap = if geometry::plan::contains(&outline, geometry::Point2::new(x, y)) {
        gap
    } else {
        // Outside, the nearer to the wall the better.
        -(gap.abs() + width.min(depth))
    };
    Ok(Nearest {
        gap,
        label: format!("wall {}", space.walls[wall].id),
        way: Way::Along(inward.value(), "into the room"),
    })
}

/// A thing in front of the case or below it that the case is in.
fn met(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    thing: Thing<'_>,
) -> Option<Nearest> {
    // A thing of unknown size is asked for elsewhere.
    let body = thing.body(analysis, space).ok()?;
    let face = &projector.picture.face;
    // Best estimates tell which things it is in: few, if any.
    let [middles, between] = beside_m(projector, &body);
    // Out of it where the way is shortest.
    let axis = (0..3).max_by(|a, b| between[*a].total_cmp(&between[*b]))?;
    let is_before = middles[axis] <= 0.0;
    let (stands, way) = match axis {
        1 if is_before => (0.0, Way::Along(face.normal.value(), "away from the screen")),
        2 if is_before => (STANDS_IN_M, Way::Up),
        _ => return None,
    };
    (between[axis] + stands < 0.0).then(|| Nearest {
        gap: &beside(projector, &body)[axis] + stands,
        label: thing.subject().label,
        way,
    })
}

/// The gaps between case and thing along the case's directions: across, away from the screen's
/// wall, and up, m; negative where they overlap.
fn beside(projector: &ProjectorPlace<'_>, body: &Body) -> [Uncertain; 3] {
    let (case, face) = (&projector.case, &projector.picture.face);
    let offset = &body.centre.in_plan() - &case.centre.in_plan();
    let [length, height, depth] = &body.size;
    let parallel = body.along.dot(&face.right).abs();
    let square = body.along.dot(&face.normal).abs();
    let [across, up, back] = &case.size;
    let half = |thing: Uncertain, case: &Uncertain| (thing + case) / 2.0;
    [
        offset.dot(&face.right).abs() - half(&parallel * length + &square * depth, across),
        offset.dot(&face.normal).abs() - half(&square * length + &parallel * depth, back),
        (&body.centre.z - &case.centre.z).abs() - half(height.clone(), up),
    ]
}

fn moved(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    nearest: &Nearest,
    by_m: f64,
) -> Option<Remedy> {
    let name = item_label(projector.item);
    let by = written_length(analysis, by_m, Round::Up);
    let place = Placed::item(analysis, projector.item)?;
    let (edit, says) = match nearest.way {
        Way::Up => {
            let edit = place.raised(analysis, by_m)?;
            let says = format!("Raise {name} by {by}, to {}.", text_of(&edit));
            (edit, says)
        }
        Way::Along(way, words) => {
            let edit = place.in_plan(analysis, way, by_m, Round::Up)?;
            let says = format!(
                "Move {name} {by} {words}, to {} from the wall that it is measured from; prove throw and shift again.",
                text_of(&edit)
            );
            (edit, says)
        }
    };
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

#[cfg(test)]
mod tests {
    //! Walls, things in front and below, and the remedies.

    use expect_test::expect;

    use super::*;
    use crate::Verdict;
    use crate::obstacles::things;
    use crate::testing::{ROOM, findings, findings_after, job, told};

    /// A case of 400 × 150 × 400 mm; with a drop of 100 mm its underside is 2.15 m high.
    fn cinema(from_west: &str, drop: &str, extra: &str) -> String {
        format!(
            r#"
{extra}
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["400 mm", "150 mm", "400 mm"]
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "{from_west}"], and = ["north", "2 m"], drop = "{drop}" }}
"#
        )
    }

    fn only(from_west: &str, drop: &str, extra: &str) -> Finding {
        findings(&CHECK, &cinema(from_west, drop, extra)).remove(0)
    }

    /// A cupboard 1 m wide, 2.2 m high and 0.6 m deep, its middle 4 m from west.
    const CUPBOARD: &str = r#"
[[space.fixture]]
id = "cupboard"
kind = "furniture"
at = { from = ["west", "4 m"], and = ["north", "2 m"] }
size = ["0.6 m", "2.2 m", "1 m"]
"#;

    #[test]
    fn a_case_in_the_room_is_told_with_its_nearest_wall() {
        let found = findings(&CHECK, &cinema("5.5 m", "100 mm", ""));
        expect![[r#"
            projector: fits +0.300: The case of projector is inside the room, 300 mm from wall east, the nearest wall.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn a_case_through_a_wall_fails_and_outside_more_so() {
        assert_eq!(only("5.79 m", "100 mm", "").verdict, Verdict::Fits);
        assert_eq!(only("5.81 m", "100 mm", "").verdict, Verdict::Fails);
        let outside = only("6.5 m", "100 mm", "");
        assert!(outside.margin.clone().expect("decided").value() < -0.4);
    }

    #[test]
    fn a_case_sunk_into_what_is_below_fails() {
        // Its underside at 2.15 m is 50 mm below the cupboard's top, 2 mm of it forgiven.
        let found = only("4 m", "100 mm", CUPBOARD);
        assert_eq!(found.verdict, Verdict::Fails);
        assert!((found.margin.clone().expect("decided").value() + 0.048).abs() < 1e-9);
        assert_eq!(only("4 m", "49 mm", CUPBOARD).verdict, Verdict::Fits);
    }

    #[test]
    fn a_case_that_touches_what_is_in_front_fails() {
        // The cupboard's back is at 4.5 m, 20 mm behind the front of a case at 4.68 m.
        let found = only("4.68 m", "100 mm", CUPBOARD);
        assert!((found.margin.clone().expect("decided").value() + 0.020).abs() < 1e-9);
        assert_eq!(only("4.71 m", "100 mm", CUPBOARD).verdict, Verdict::Fits);
    }

    #[test]
    fn best_estimates_are_those_of_what_carries_uncertainty() {
        let shelf = CUPBOARD
            .replace("cupboard", "shelf")
            .replace("4 m", "1.3 m");
        let text = cinema("4.68 m", "100 mm", &format!("{CUPBOARD}{shelf}"));
        let analysis = Analysis::new(job(&format!("{ROOM}{text}")));
        let space = &analysis.job().space[0];
        let (item, kit) = analysis.projectors_in(space).next().expect("one");
        let projector = analysis.projector(item, kit).expect("its place is known");
        let mut count = 0;
        for body in things(&analysis, space).filter_map(|thing| thing.body(&analysis, space).ok()) {
            let [_, quick] = beside_m(&projector, &body);
            assert_eq!(quick, beside(&projector, &body).map(|gap| gap.value()));
            count += 1;
        }
        assert_eq!(count, 4);
    }

    #[test]
    fn each_remedy_mends_it() {
        for (place, drop, extra) in [
            ("5.81 m", "100 mm", ""),
            ("4 m", "100 mm", CUPBOARD),
            ("4.68 m", "100 mm", CUPBOARD),
        ] {
            let text = cinema(place, drop, extra);
            let found = findings(&CHECK, &text);
            assert_eq!(found[0].remedies.len(), 1, "{place}");
            let after = findings_after(&CHECK, &text, &found[0].remedies[0].edits);
            assert_ne!(after[0].verdict, Verdict::Fails, "{}", after[0].because);
        }
    }
}
