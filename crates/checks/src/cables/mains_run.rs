//! Does the way of each low-voltage cable keep away from mains inside the walls?

use std::rc::Rc;

use analysis::{Analysis, Means, Missing, Parts, Source, Uncertain, WallRect};
use geometry::Point2;
use model::{Cable, CableUse, Fixture, FixtureKind, Space};
use units::Dimension;
use wiring::cable::MAINS_DISTANCE_PRACTICE;

use super::mains_distance::{ASK, MAINS_DISTANCE, TWO_INCHES, gap as apart, let_in};
use crate::passing::passing;
use crate::runs::cable_with_kit;
use crate::{Area, Caution, Check, Finding, Known, Outcome, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "mains-run",
    area: Area::Cables,
    proves: "No low-voltage cable runs inside a wall beside a mains cable, or past a socket or switch, nearer than it may.",
    matters: "A fault in the mains reaches the customer's hands through a loudspeaker wire; and a line that runs beside mains for a metre hums.",
    formula: "d ≥ 2 in (50.8 mm); d: from the cable's planned way to the mains cable or box in the same wall, the larger of the gaps across and up, m. What crosses at a right angle is not counted. Beside mains for more than 1 m at less than 300 mm (common practice, no source) line, video, network and antenna cables are tight. Not asked of mains in metal conduit, nor where the local code takes the mains cable's own sheath as a barrier: then change the limit for the house. A mains cable is surveyed as a fixture of the kind `mains-run`, as wide and high as it runs, upright or level.",
    source: Source::FromMemory {
        work: "NEC 725.136, 800.133(A)(2)",
    },
    when_it_fails: "Pull the cable through the next bay, or through a conduit. Find mains with a detector and switch the circuit off before anything is drilled; mains are moved by a licensed electrician.",
    limits: &[&MAINS_DISTANCE],
    published: &[TWO_INCHES],
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

/// Side by side for longer than this a line hums, m (common practice, no source).
const SIDE_BY_SIDE_M: f64 = 1.0;
/// Farther apart nothing is said, m: more than a bay lies between.
const FAR_M: f64 = 0.6;
/// A way is inside a wall, or on it, when it is no farther from its face than this, m.
const IN_WALL_M: f64 = 0.15;
/// A mains cable that comes this near to a box is that box's, m.
const TOUCHES_M: f64 = 0.05;
/// Half of a bay where nobody measured the spacing, m: what is nearer may share it.
const HALF_BAY_M: f64 = 0.2;

/// Mains in a wall.
struct Mains<'a> {
    fixture: &'a Fixture,
    rect: WallRect,
}

/// A straight piece of a cable's way in a wall.
struct Piece<'a> {
    cable: &'a Cable,
    carries: CableUse,
    rect: WallRect,
    is_upright: bool,
}

/// The same by itself, m.
#[derive(PartialEq)]
struct Stretch {
    wall: usize,
    across_m: [f64; 2],
    up_m: [f64; 2],
    is_upright: bool,
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let mains: Vec<Mains> = (space.fixture.iter())
        .filter(|fixture| {
            matches!(
                fixture.kind,
                FixtureKind::Socket | FixtureKind::Switch | FixtureKind::MainsRun
            )
        })
        .filter_map(|fixture| {
            // Where it is not placed yet, others ask.
            let rect = analysis.fixture_rect(space, fixture)?.ok()?;
            Some(Mains { fixture, rect })
        })
        .collect();
    if mains.is_empty() {
        return Vec::new();
    }
    let pieces = pieces(analysis, space, &mains);
    if let (false, Err(missing)) = (pieces.is_empty(), analysis.code_limit(&MAINS_DISTANCE, ASK)) {
        // Of boxes in walls it is asked already.
        if let_in(analysis, space).next().is_some() {
            return Vec::new();
        }
        let subject = Subject::new(format!("{}.mains-run", space.id), "ways beside mains");
        return vec![CHECK.about(space, subject, || Err(missing))];
    }
    (mains.iter())
        .filter_map(|one| {
            let nearest = (pieces.iter())
                .filter(|piece| piece.rect.wall == one.rect.wall && !crosses(piece, one))
                .map(|piece| (piece, apart(&piece.rect, &one.rect)))
                .filter(|(_, gap)| gap.value() < FAR_M)
                .reduce(|a, b| if b.1.value() < a.1.value() { b } else { a })?;
            let subject = Subject::fixture(one.fixture);
            Some(CHECK.about(space, subject, || {
                decide(analysis, space, &mains, one, nearest)
            }))
        })
        .collect()
}

/// Straight pieces of what is still to be pulled, in those walls of a space that hold mains.
fn pieces<'a>(analysis: &'a Analysis, space: &Space, mains: &[Mains<'_>]) -> Vec<Piece<'a>> {
    let at = analysis.position_of_space(space);
    let holds_mains = |wall: usize| mains.iter().any(|one| one.rect.wall == wall);
    let mut pieces = Vec::new();
    for (position, id) in passing(analysis, space).iter() {
        let cable = analysis.unread_cable(*position);
        let stretches =
            analysis.settled_of_cable_and("stretches in walls", cable, at, stretches_in);
        let mut stretches = (stretches.iter())
            .filter(|stretch| holds_mains(stretch.wall))
            .peekable();
        if stretches.peek().is_none() {
            continue;
        }
        let Some((cable, kit)) = cable_with_kit(analysis, id) else {
            continue;
        };
        pieces.extend(stretches.map(|stretch| {
            let [left, right] = stretch.across_m.map(Uncertain::exact);
            let [bottom, top] = stretch.up_m.map(Uncertain::exact);
            Piece {
                cable,
                carries: kit.carries,
                is_upright: stretch.is_upright,
                // The crew lays it where it is planned.
                rect: WallRect {
                    wall: stretch.wall,
                    left,
                    right,
                    bottom,
                    top,
                    out: None,
                },
            }
        }));
    }
    pieces
}

/// Straight pieces of a cable's way in the walls of a space, by its position.
fn stretches_in(analysis: &Analysis, cable: &Cable, space: usize) -> Rc<[Stretch]> {
    let space = analysis.space_in_parts(space, Parts::NONE);
    let (Ok(corners), Ok(route)) = (analysis.shape(space).outline(), analysis.route(cable)) else {
        return Rc::default();
    };
    let here = route.path.iter().filter(|piece| piece.space == space.id);
    let pairs = here.flat_map(|piece| piece.points.windows(2));
    let stretch = |pair: &[[f64; 3]], wall: usize| {
        let left = corners[wall];
        let to_right = corners[(wall + 1) % corners.len()] - left;
        let along = to_right.unit()?;
        let on = |[x, y, _]: [f64; 3]| {
            let from_left = Point2::new(x, y) - left;
            let at_m = along.dot(from_left);
            let is_on = along.cross(from_left).abs() < IN_WALL_M
                && (-IN_WALL_M..to_right.dot(along) + IN_WALL_M).contains(&at_m);
            is_on.then_some(at_m)
        };
        let (a, b) = (on(pair[0])?, on(pair[1])?);
        let (low, high) = (pair[0][2].min(pair[1][2]), pair[0][2].max(pair[1][2]));
        Some(Stretch {
            wall,
            across_m: [a.min(b), a.max(b)],
            up_m: [low, high],
            is_upright: high - low > (a - b).abs(),
        })
    };
    pairs
        .flat_map(|pair| (0..corners.len()).filter_map(move |wall| stretch(pair, wall)))
        .collect()
}

/// Whether a way meets a mains cable at a right angle; a box is met from any side.
fn crosses(piece: &Piece<'_>, mains: &Mains<'_>) -> bool {
    mains.fixture.kind == FixtureKind::MainsRun && piece.is_upright != is_upright(&mains.rect)
}

fn is_upright(rect: &WallRect) -> bool {
    rect.top.value() - rect.bottom.value() > rect.right.value() - rect.left.value()
}

/// For how far both run side by side, m.
fn side_by_side_m(piece: &Piece<'_>, mains: &Mains<'_>) -> f64 {
    let (one, other) = (&piece.rect, &mains.rect);
    let overlap = |a: [&Uncertain; 2], b: [&Uncertain; 2]| {
        (a[1].value().min(b[1].value()) - a[0].value().max(b[0].value())).max(0.0)
    };
    match piece.is_upright {
        true => overlap([&one.bottom, &one.top], [&other.bottom, &other.top]),
        false => overlap([&one.left, &one.right], [&other.left, &other.right]),
    }
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    all: &[Mains<'_>],
    one: &Mains<'_>,
    (piece, gap): (&Piece<'_>, Uncertain),
) -> Known<Outcome> {
    let limit = analysis.limit(&MAINS_DISTANCE);
    let subject = Subject::fixture(one.fixture);
    let is_box = one.fixture.kind != FixtureKind::MainsRun;
    if is_box && gap.value() >= limit.value && shares_bay(space, piece, one) {
        // Its own cable comes up or down the same bay, and nobody knows where.
        let is_known = (all.iter())
            .filter(|other| other.fixture.kind == FixtureKind::MainsRun)
            .filter(|other| other.rect.wall == one.rect.wall)
            .any(|other| apart(&other.rect, &one.rect).value() < TOUCHES_M);
        if !is_known {
            return Err(Missing::new(
                format!(
                    "where the mains cable of the {} runs in its bay, which {} takes too; note it as a fixture of the kind `mains-run`",
                    subject.label, piece.cable.id
                ),
                format!("space.{}.fixture", space.id),
                Means::StudFinder,
            ));
        }
    }
    let beside_m = match is_box {
        true => 0.0,
        false => side_by_side_m(piece, one),
    };
    let beside = match beside_m > 0.0 {
        true => format!(
            ", side by side for {}",
            analysis.exact(beside_m, Dimension::Length)
        ),
        false => String::new(),
    };
    let sentence = format!(
        "{} runs {} from the {} in wall {}{beside}, and low-voltage cable keeps {} from mains.",
        piece.cable.id,
        analysis.length(&gap),
        subject.label,
        space.walls[one.rect.wall].id,
        analysis.exact(limit.value, Dimension::Length),
    );
    let hums = !matches!(piece.carries, CableUse::Loudspeaker | CableUse::Control);
    let comfort_m = match hums && beside_m > SIDE_BY_SIDE_M {
        true => (MAINS_DISTANCE_PRACTICE.0 - limit.value).max(0.0),
        false => 0.0,
    };
    Ok(Outcome::at_least(gap, &limit, Dimension::Length)
        .comfort(comfort_m)
        .because(sentence)
        .caution(Caution::Mains)
        .caution(Caution::Drilling))
}

/// Whether a way goes up or down the bay that a box is in.
fn shares_bay(space: &Space, piece: &Piece<'_>, mains: &Mains<'_>) -> bool {
    if !piece.is_upright {
        return false;
    }
    let (way_m, box_m) = (
        piece.rect.centre_left().value(),
        mains.rect.centre_left().value(),
    );
    let built = space.construction_of(&space.walls[mains.rect.wall].id);
    let fact = |fact: &Option<model::Length>| fact.as_ref().and_then(model::Length::value);
    let stated = built.and_then(|it| Some((fact(&it.first_from_left)?, fact(&it.spacing)?)));
    match stated.filter(|(_, spacing_m)| *spacing_m > 0.0) {
        Some((first_m, spacing_m)) => {
            let bay = |at_m: f64| ((at_m - first_m) / spacing_m).floor();
            bay(way_m) == bay(box_m)
        }
        None => (way_m - box_m).abs() < HALF_BAY_M,
    }
}

#[cfg(test)]
mod tests {
    //! A cable up one bay of the north wall, over the ceiling and down another.

    use super::CHECK;
    use crate::Verdict;
    use crate::testing::findings;

    /// Both things in bays, at 1 m and 4.6 m; studs at 200 mm, 800 mm, 1.4 m and so on.
    fn house(carries: &str, fixtures: &str) -> String {
        format!(
            r#"
[[space.construction]]
of = "north"
framing = "stud"
spacing = "600 mm"
first_from_left = "200 mm"
fire_block_at = []
[[space.construction]]
of = "ceiling"
framing = "joist"
spacing = "400 mm"
along = "north"
first_from_left = "200 mm"
beyond = "attic"
{fixtures}
[[kit.device]]
id = "box"
[[kit.cable]]
id = "wire-w1"
carries = "{carries}"
[[item]]
id = "here"
is = "box"
on = {{ wall = "north", from_left = "1 m", height = "0.4 m" }}
[[item]]
id = "there"
is = "box"
on = {{ wall = "north", from_left = "4.6 m", height = "0.4 m" }}
[[cable]]
id = "W1"
kind = "wire-w1"
from = "here"
to = "there"
way = "overhead"
"#
        )
    }

    /// A mains cable 10 mm wide that runs upright over this height, or a level one.
    fn mains(from_left: &str, width: &str, height: &str) -> String {
        format!(
            r#"
[[space.fixture]]
id = "mains"
kind = "mains-run"
on = {{ wall = "north", from_left = "{from_left} ± 0 mm", height = "1.2 m" }}
size = ["{width} ± 0 mm", "{height} ± 0 mm", "10 mm"]
"#
        )
    }

    fn verdict(carries: &str, from_left: &str) -> Verdict {
        let found = findings(&CHECK, &house(carries, &mains(from_left, "10 mm", "2.4 m")));
        assert_eq!(found.len(), 1, "{found:?}");
        found[0].verdict
    }

    #[test]
    fn two_inches_beside_a_mains_cable() {
        // The way is at 1 m; the cable's near edge is 5 mm before its middle: 55.8 mm are the least.
        assert_eq!(verdict("loudspeaker", "1.0560 m"), Verdict::Fits);
        assert_eq!(verdict("loudspeaker", "1.0555 m"), Verdict::Fails);
        assert_eq!(verdict("loudspeaker", "0.9440 m"), Verdict::Fits);
        assert_eq!(verdict("loudspeaker", "0.9445 m"), Verdict::Fails);
    }

    #[test]
    fn a_line_beside_mains_for_long_is_tight_below_a_foot() {
        assert_eq!(verdict("line", "1.20 m"), Verdict::Tight);
        // 300 mm and half of the cable.
        assert_eq!(verdict("line", "1.304 m"), Verdict::Tight);
        assert_eq!(verdict("line", "1.306 m"), Verdict::Fits);
        assert_eq!(verdict("loudspeaker", "1.20 m"), Verdict::Fits);
    }

    #[test]
    fn what_crosses_at_a_right_angle_is_allowed() {
        let level = house("line", &mains("2 m", "4 m", "10 mm"));
        assert!(findings(&CHECK, &level).is_empty());
        // On another wall it is not met.
        let other = house("line", &mains("1 m", "10 mm", "2.4 m")).replacen(
            "on = { wall = \"north\"",
            "on = { wall = \"south\"",
            1,
        );
        assert!(findings(&CHECK, &other).is_empty());
    }

    #[test]
    fn a_box_in_the_bay_asks_for_its_own_cable() {
        let socket = r#"
[[space.fixture]]
id = "socket"
kind = "socket"
on = { wall = "north", from_left = "0.9 m", height = "1.2 m" }
size = ["70 mm", "115 mm", "5 mm"]
"#;
        let found = findings(&CHECK, &house("line", socket));
        assert_eq!(found[0].verdict, Verdict::Unknown);
        assert!(
            found[0].needs[0].what.contains("mains cable"),
            "{:?}",
            found[0].needs
        );
        // Once its cable is known both are judged: 0.9 m + 35 mm to 1 m for the box.
        let known = format!("{socket}{}", mains("0.9 m", "10 mm", "2.4 m"));
        let found = findings(&CHECK, &house("loudspeaker", &known));
        let verdicts: Vec<Verdict> = found.iter().map(|one| one.verdict).collect();
        assert_eq!(verdicts, [Verdict::Fits, Verdict::Fits], "{found:?}");
        // In the next bay nobody minds.
        let next = socket.replace("0.9 m", "0.7 m");
        assert_eq!(
            findings(&CHECK, &house("line", &next))[0].verdict,
            Verdict::Fits
        );
        // Nearer than two inches it fails whatever its cable does.
        let near = socket.replace("0.9 m", "0.95 m");
        assert_eq!(
            findings(&CHECK, &house("line", &near))[0].verdict,
            Verdict::Fails
        );
    }
}
