//! Does everything that is measured from two walls lie in its room?

use analysis::{Analysis, Limit, Parts, Source, SpaceModel, fixture_label, item_label};
use geometry::{Point2, plan};
use model::{Space, SpaceKind};
use uncertainty::Vector2;
use units::Dimension;

use crate::{Area, Check, Finding, Known, Outcome, Published, Run, Subject, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "inside-room",
    area: Area::Survey,
    proves: "Everything whose place is measured from two walls (seats, things on the floor, under the ceiling or in the air) lies within its room's outline.",
    matters: "A distance mistyped by ten feet puts a seat or a loudspeaker beyond the wall, and every angle, level and cable that is worked out from there is nonsense.",
    formula: "d = distance in plan from the thing's middle to the nearest wall, m; below zero inside the outline, above zero beyond it. Of all things in the room the farthest out decides. Outdoor places may have things beyond what was walked.",
    source: Source::Derived {
        from: "a point in a polygon",
    },
    when_it_fails: "Measure both distances of the thing that is named again: one of them is wrong, or is from another wall.",
    limits: &[&OUT_MAX],
    published: &[Published {
        cite: "a point 3 m beyond one side and 4 m beyond the next of a square: 5 m from its corner (by hand)",
        computed: || beyond_square_m([13.0, 14.0]),
        expected: 5.0,
        tolerance: 1e-9, // Exact.
        unit: "m",
    }],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::FIXTURES), run),
};

static OUT_MAX: Limit = Limit {
    name: "beyond_walls_max",
    meaning: "how far the middle of what hugs a wall may come to lie beyond it by what tapes miss",
    dimension: Dimension::Length,
    value: 0.025,
    source: Source::CommonPractice,
    regional: &[],
};

/// Of a square of 10 m, clockwise seen from above.
fn beyond_square_m(at: [f64; 2]) -> f64 {
    let corners = [[0.0, 0.0], [0.0, 10.0], [10.0, 10.0], [10.0, 0.0]];
    let corners = corners.map(|[x, y]| Point2::new(x, y));
    let nearest = plan::nearest_wall(&corners, Point2::new(at[0], at[1]));
    nearest.map_or(f64::NAN, |nearest| nearest.distance_m)
}

/// A thing and where its middle is in plan.
struct Placed {
    label: String,
    at: Vector2,
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let shape = analysis.shape(space);
    // Walls that do not close are told by their own check.
    let Ok(outline) = shape.outline() else {
        return Vec::new();
    };
    if space.kind == Some(SpaceKind::Outdoor) {
        return Vec::new();
    }
    let placed = placed(analysis, space);
    if placed.is_empty() {
        return Vec::new();
    }
    let finding = CHECK.about(space, Subject::space(space), || {
        decide(analysis, space, shape, &outline, placed)
    });
    vec![finding]
}

/// What lacks a distance is asked for by whoever needs it.
fn placed(analysis: &Analysis, space: &Space) -> Vec<Placed> {
    let mut found = Vec::new();
    let mut add = |label: String, at: Known<Vector2>| {
        found.extend(at.ok().map(|at| Placed { label, at }));
    };
    for (seat, place) in analysis.seats_in(space) {
        add(
            format!("seat {}", seat.id),
            place.map(|place| place.eye.in_plan()),
        );
    }
    for fixture in &space.fixture {
        if fixture.at.is_some() || fixture.hung.is_some() {
            let point = analysis.fixture_point(space, fixture);
            add(fixture_label(fixture), point.map(|point| point.in_plan()));
        }
    }
    for item in analysis.items_in(space) {
        if item.at.is_some() || item.hung.is_some() {
            let point = analysis.item_point(item);
            add(
                item_label(item).to_owned(),
                point.map(|point| point.in_plan()),
            );
        }
    }
    found
}

/// How far a point lies beyond the outline, and beyond which wall; below zero inside.
fn beyond(
    shape: &SpaceModel,
    outline: &[Point2],
    point: &Vector2,
) -> Known<Option<(Uncertain, usize)>> {
    let at = Point2::new(point.x.value(), point.y.value());
    let Some(nearest) = plan::nearest_wall(outline, at) else {
        return Ok(None);
    };
    let wall = nearest.wall;
    let (along, off) = shape.on_wall(wall, point)?;
    let length = shape.wall_length(wall)?;
    let past = if along.value() < 0.0 {
        Some(along)
    } else {
        Some(along - length).filter(|past| past.value() > 0.0)
    };
    let distance = past.map_or_else(|| off.abs(), |past| off.hypot(&past));
    let out = match plan::contains(outline, at) {
        true => -&distance,
        false => distance,
    };
    Ok(Some((out, wall)))
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    shape: &SpaceModel,
    outline: &[Point2],
    placed: Vec<Placed>,
) -> Known<Outcome> {
    let mut farthest: Option<(Placed, Uncertain, usize)> = None;
    let mut outside = 0;
    let limit = analysis.limit(&OUT_MAX);
    for one in placed {
        let Some((out, wall)) = beyond(shape, outline, &one.at)? else {
            continue;
        };
        outside += usize::from(out.value() > limit.value);
        if (farthest.as_ref()).is_none_or(|(_, most, _)| out.value() > most.value()) {
            farthest = Some((one, out, wall));
        }
    }
    let (one, out, wall) = farthest.expect("something is placed, and a room has walls");
    let wall = &space.walls[wall].id;
    let sentence = if outside > 0 {
        let others = match outside {
            1 => String::new(),
            others => format!(" {} in all lie outside.", others),
        };
        format!(
            "The middle of {} lies {} outside {}, beyond wall {wall}: one of the two distances that place it is wrong.{others}",
            one.label,
            analysis.length(&out),
            space.label(),
        )
    } else {
        format!(
            "All that is measured from two walls lies in {}; nearest to a wall is {}, {} from wall {wall}.",
            space.label(),
            one.label,
            analysis.length(&-&out),
        )
    };
    let outcome = Outcome::at_most(out, &limit, Dimension::Length);
    Ok(outcome.because(sentence))
}

#[cfg(test)]
mod tests {
    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, told};

    fn seat(off_north: &str, off_west: &str) -> String {
        format!(
            "[[space.seat]]\nid = \"sofa\"\nat = {{ from = [\"north\", \"{off_north}\"], and = [\"west\", \"{off_west}\"] }}\n"
        )
    }

    #[test]
    fn what_lies_in_the_room_fits() {
        expect![[r#"
            den: fits +1.025: All that is measured from two walls lies in den; nearest to a wall is seat sofa, 1.000 m from wall south.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &seat("3 m", "3 m"))));
    }

    #[test]
    fn what_lies_beyond_a_wall_is_named() {
        // The room is 4 m deep.
        expect![[r#"
            den: fails -3.975: The middle of seat sofa lies 4.000 m outside den, beyond wall south: one of the two distances that place it is wrong.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &seat("8 m", "3 m"))));
        // 3 m beyond one wall and 4 m beyond the next: 5 m from their corner.
        let found = findings(&CHECK, &seat("7 m", "10 m"));
        assert!((found[0].margin.as_ref().unwrap().value() - (0.025 - 5.0)).abs() < 0.01);
    }

    #[test]
    fn the_limit_holds_from_both_sides() {
        let verdict = |off: &str| findings(&CHECK, &seat(off, "3 m"))[0].verdict;
        assert_eq!(verdict("4.03 m ± 0"), Verdict::Fails);
        assert_ne!(verdict("4.02 m ± 0"), Verdict::Fails);
        assert_eq!(verdict("3.9 m"), Verdict::Fits);
    }

    #[test]
    fn what_is_not_placed_is_nobodys_question_here() {
        assert!(findings(&CHECK, "").is_empty());
        assert!(findings(&CHECK, &seat("?", "3 m")).is_empty());
    }
}
