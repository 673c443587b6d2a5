//! Does what is set into a ceiling clear the lamps, vents and walls there?

use std::rc::Rc;

use analysis::{Analysis, Limit, Parts, Source, SpaceModel, Uncertain, item_label};
use model::{Item, Space};
use units::Dimension;

use crate::in_ceiling::{Footprint, on_ceiling, own_face, set_in};
use crate::moves::{Round, in_plan, least_change, text_of, to_spare};
use crate::obstacles::Thing;
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "ceiling-clear",
    area: Area::Cables,
    proves: "Each loudspeaker in a ceiling clears the lamps, vents, fans, alarms, soffits and other kit there, and the walls.",
    matters: "A grille that meets a lamp's trim or a vent shows for years; what hangs there is often wired or ducted just where the hole is to be cut.",
    formula: "gap = the widest of |d · n| − r₁(n) − r₂(n) over the directions n of both rectangles' sides; d: from middle to middle in plan, m; r(n): how far a rectangle reaches along n, m. Negative: the least move that parts them. To a wall: the distance from its line less r. Only what hangs from the ceiling or narrows it counts, by its outline in plan; pipes, ducts and wires above the board are not seen.",
    source: Source::Derived {
        from: "distances between rectangles in plan",
    },
    when_it_fails: "Move it along its bay, or have the fixture moved; mains work is a licensed electrician's.",
    limits: &[&GAP_MIN],
    published: &[Published {
        cite: "grilles of 200 mm square, 300 mm and 50 mm from middle to middle: 100 mm apart (by hand)",
        computed: || {
            let square = |x: f64, y: f64| Footprint {
                centre: analysis::Vector2::new(x, y),
                along: analysis::Vector2::new(1.0, 0.0),
                half: [0.1, 0.1].map(Uncertain::exact),
            };
            square(0.0, 0.0).gap(&square(0.3, 0.05)).value() * 1e3
        },
        expected: 100.0,
        tolerance: 1e-9, // Exact.
        unit: "mm",
    }],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

pub(crate) static GAP_MIN: Limit = Limit {
    name: "in_ceiling_gap_min",
    meaning: "least gap between what is set into a ceiling and anything beside it",
    dimension: Dimension::Length,
    value: 0.010,
    source: Source::CommonPractice,
    regional: &[],
};

/// A thing of unknown size reaches no further than this from its middle, m: what is farther
/// away is not asked for.
const MOVE_MOST_M: f64 = 1.0;

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mut set_in = set_in(analysis, space).peekable();
    if set_in.peek().is_none() {
        return Vec::new();
    }
    let things: Vec<_> = on_ceiling(analysis, space)
        .filter_map(|(thing, footprint)| Some((thing, footprint.ok()?)))
        .collect();
    set_in
        .map(|item| {
            CHECK.about(space, Subject::item(item), || {
                decide(analysis, space, item, &things)
            })
        })
        .collect()
}

/// What is beside an item.
enum Beside<'a> {
    Thing(Thing<'a>, &'a Footprint),
    /// By its place in the space's list; its left end and its direction into the room by best
    /// estimates.
    Wall(usize, [[f64; 2]; 2]),
}

/// An item in a ceiling, and all that it may meet.
struct Among<'a> {
    shape: &'a SpaceModel,
    beside: Vec<Beside<'a>>,
}

impl Among<'_> {
    fn gap(&self, own: &Footprint, beside: &Beside) -> Known<Uncertain> {
        match beside {
            Beside::Thing(_, footprint) => Ok(own.gap(footprint)),
            Beside::Wall(wall, _) => {
                let (_, off) = self.shape.on_wall(*wall, &own.centre)?;
                let (_, _, inward) = self.shape.wall_frame(*wall)?;
                Ok(off.abs() - own.reach(&inward))
            }
        }
    }

    /// [`Among::gap`] by best estimates alone, m.
    fn gap_m(own: &Footprint, beside: &Beside) -> f64 {
        match beside {
            Beside::Thing(_, footprint) => own.gap_m(footprint),
            Beside::Wall(_, [left, inward]) => {
                along_m(own.centre.value(), *left, *inward).abs() - own.reach_m(*inward)
            }
        }
    }

    /// What is nearest and how far, by best estimates.
    fn nearest(&self, own: &Footprint) -> (&Beside<'_>, f64) {
        let gaps = (self.beside.iter()).map(|beside| (beside, Self::gap_m(own, beside)));
        gaps.min_by(|a, b| a.1.total_cmp(&b.1))
            .expect("a room has walls")
    }
}

/// How far a point in plan is from another along a direction, m.
fn along_m([x, y]: [f64; 2], [from_x, from_y]: [f64; 2], [nx, ny]: [f64; 2]) -> f64 {
    (x - from_x) * nx + (y - from_y) * ny
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    item: &Item,
    things: &[(Thing<'_>, Rc<Footprint>)],
) -> Known<Outcome> {
    let hung = item.hung.as_ref().expect("it is set into the ceiling");
    let own = own_face(analysis, space, item)?;
    let shape = analysis.shape(space);
    let others = (things.iter()).filter(|(thing, _)| thing.item_id() != Some(item.id.as_str()));
    let mut among = Among {
        shape,
        beside: others
            .map(|(thing, footprint)| Beside::Thing(*thing, footprint))
            .collect(),
    };
    for (wall, facts) in space.walls.iter().enumerate() {
        let [left, along, inward] = shape.wall_frame_m(wall)?;
        let length = shape.wall_length_m(wall)?;
        let from_left = along_m(own.centre.value(), left, along);
        let reach = own.reach_m(along);
        if !facts.open && from_left >= -reach && from_left <= length + reach {
            among.beside.push(Beside::Wall(wall, [left, inward]));
        }
    }
    let limit = analysis.limit(&GAP_MIN);
    let (nearest, _) = among.nearest(&own);
    let gap = among.gap(&own, nearest)?;
    let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length)
        .caution(Caution::Drilling)
        .caution(Caution::Ladder);
    if analysis.is_trial() {
        return Ok(outcome);
    }
    let other = match nearest {
        Beside::Thing(thing, _) => thing.subject().label,
        Beside::Wall(wall, _) => format!("wall {}", space.walls[*wall].id),
    };
    let name = item_label(item);
    let asked = analysis.exact(limit.value, Dimension::Length);
    let sentence = if gap.value() < 0.0 {
        let by = analysis.length(&-&gap);
        format!("{name} overlaps {other} by {by}; {asked} clear of it are asked for.")
    } else {
        let by = analysis.beside(&gap, limit.value, Dimension::Length);
        format!(
            "{name} in the ceiling is {by} from {other}, and nothing is nearer; {asked} are asked for."
        )
    };
    let outcome = outcome.because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    let spread = outcome.margin().value() - to_spare(outcome.margin(), 0.0);
    let (_, first, second) = {
        let wall = space.wall(&hung.from.0).expect("its place is known");
        shape.wall_frame(wall)?
    };
    let ways = [first.value(), second.value()]
        .into_iter()
        .flat_map(|[x, y]| [[x, y], [-x, -y]]);
    let mut moves: Vec<(f64, Remedy)> = ways
        .filter_map(|way| {
            let least = |by_m: f64| {
                let moved = Footprint {
                    centre: &own.centre + &analysis::Vector2::new(way[0] * by_m, way[1] * by_m),
                    ..(*own).clone()
                };
                among.nearest(&moved).1 - limit.value - spread
            };
            let by_m = least_change(MOVE_MOST_M, least)?;
            let edit = in_plan(analysis, item, way, by_m, Round::Up)?;
            let says = format!(
                "Move {name} in the ceiling, away from {other}, to {} from that wall.",
                text_of(&edit)
            );
            let remedy = Remedy::new(says, vec![edit])
                .caution(Caution::Drilling)
                .caution(Caution::Ladder);
            Some((by_m, remedy))
        })
        .collect();
    moves.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok((moves.into_iter().take(2))
        .fold(outcome, |outcome, (_, remedy)| outcome.remedy(Some(remedy))))
}

#[cfg(test)]
mod tests {
    //! A grille of 200 mm beside a lamp of 300 mm, and beside a wall.

    use expect_test::expect;

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::{findings, findings_after, told};

    fn room(from_west: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "lamp"
kind = "ceiling-light"
hung = {{ from = ["west", "2 m"], and = ["north", "2 m"], drop = "0 m" }}
size = ["300 mm", "100 mm", "300 mm"]
[[kit.loudspeaker]]
id = "in-ceiling-c1"
form = "in-ceiling"
size = ["200 mm", "200 mm", "100 mm"]
[[item]]
id = "overhead"
is = "in-ceiling-c1"
space = "den"
hung = {{ from = ["west", "{from_west}"], and = ["north", "2.1 m"] }}
"#
        )
    }

    #[test]
    fn a_grille_beside_a_lamp_is_as_far_as_their_edges() {
        // 2.30 − 2.00 − 0.15 − 0.10 m.
        expect![[r#"
            overhead: fits +0.040: overhead in the ceiling is 50 mm from lamp, and nothing is nearer; 10 mm are asked for.
        "#]]
        .assert_eq(&told(&findings(&CHECK, &room("2.3 m"))));
    }

    #[test]
    fn ten_millimetres_decide() {
        let verdict = |from_west: &str| findings(&CHECK, &room(from_west))[0].verdict;
        assert_eq!(verdict("2.25 m"), Verdict::Fails);
        assert_eq!(verdict("2.262 m"), Verdict::Tight);
        assert_eq!(verdict("0.105 m"), Verdict::Fails);
        assert_eq!(verdict("0.15 m"), Verdict::Fits);
    }

    #[test]
    fn without_a_size_it_asks_for_it() {
        let text = room("2.3 m").replace("size = [\"200 mm\", \"200 mm\", \"100 mm\"]\n", "");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert_eq!(found[0].needs[0].at, "kit.loudspeaker.in-ceiling-c1.size");
    }

    #[test]
    fn each_move_mends_it() {
        let text = room("2.2 m");
        let found = findings(&CHECK, &text);
        assert_eq!(found[0].verdict, Verdict::Fails);
        assert_eq!(found[0].remedies.len(), 2);
        for remedy in &found[0].remedies {
            let after = findings_after(&CHECK, &text, &remedy.edits);
            assert_eq!(after[0].verdict, Verdict::Fits, "{}", remedy.says);
        }
    }
}
