//! The north wall of the test room, 6 m long and 2.4 m high, and its ceiling.

use analysis::Analysis;
use geometry::Surface;

use super::{Flat, Hung};
use crate::listening::cinema;
use crate::sound::early_reflections::Question;
use crate::testing::{ROOM, job};

const NORTH: Surface = Surface::Wall(0);

/// The pieces that cover points of the north wall, from its left end and up, hung one after the
/// other; nothing where one has no place.
fn hung(more: &str, points: &[[f64; 2]]) -> Option<Vec<Flat>> {
    let analysis = Analysis::new(job(&format!("{ROOM}{more}{}", cinema("5.1", ""))));
    let space = analysis.space("den").expect("the room");
    let (seat, place) = analysis.seats_in(space).next().expect("the seat");
    let question = Question {
        analysis: &analysis,
        space,
        seat,
        place: &place.expect("its place is known"),
    };
    let mut all: Vec<Hung> = Vec::new();
    for point in points {
        let at = question.point(NORTH, *point, [0.0; 3])?;
        question.hang(&mut all, NORTH, at)?;
    }
    Some(all.into_iter().map(|one| one.flat).collect())
}

fn one(more: &str, point: [f64; 2]) -> Option<Flat> {
    hung(more, &[point]).map(|all| all[0])
}

fn near(flat: &Flat, middle: [f64; 2], half: [f64; 2]) -> bool {
    (0..2).all(|axis| {
        (flat.middle[axis] - middle[axis]).abs() < 0.01
            && (flat.half[axis] - half[axis]).abs() < 0.01
    })
}

/// A wall light 20 cm square with its middle there.
fn light(from_left: f64, height: f64) -> String {
    format!(
        "[[space.fixture]]\nid = \"light\"\nkind = \"wall-light\"\non = {{ wall = \"north\", from_left = \"{from_left} m\", height = \"{height} m\" }}\nsize = [\"20 cm\", \"20 cm\", \"10 cm\"]\n"
    )
}

#[test]
fn a_panel_hangs_on_its_point_where_there_is_room() {
    let flat = one("", [3.0, 1.1]).expect("a free wall");
    assert!(near(&flat, [3.0, 1.1], [0.3, 0.6]), "{flat:?}");
}

#[test]
fn a_panel_ends_at_the_walls_corner_and_the_ceiling() {
    // 0.21 m from the corner and 2.1 m up: its middle goes to 0.31 m and 1.8 m.
    let flat = one("", [0.21, 2.1]).expect("it covers the point nevertheless");
    assert!(
        flat.middle[0] >= 0.3 - 1e-9 && flat.middle[1] <= 1.8 + 1e-9,
        "{flat:?}"
    );
    assert!(flat.covers([0.21, 2.1]));
    // A point that no panel covers with 5 cm to spare.
    assert!(one("", [0.04, 1.1]).is_none());
    assert!(one("", [0.06, 1.1]).is_some());
}

#[test]
fn a_panel_is_clear_of_what_hangs_there() {
    // The light ends 0.1 m above 1.1 m: the panel's top stays 1 cm below 1.4 m.
    let flat = one(&light(3.0, 1.5), [3.0, 1.1]).expect("there is room below");
    assert!(
        flat.middle[1] + flat.half[1] <= 1.4 - 0.01 + 1e-9,
        "{flat:?}"
    );
    // Over the point itself there is no room.
    assert!(one(&light(3.0, 1.1), [3.0, 1.1]).is_none());
    // As little where nobody measured what hangs there.
    let unknown = light(3.0, 2.0).replace("size = [\"20 cm\", \"20 cm\", \"10 cm\"]\n", "");
    assert!(one(&unknown, [1.0, 1.1]).is_none());
    let door = "[[space.opening]]\nid = \"door\"\nkind = \"door\"\non = { wall = \"north\", from_left = \"3.2 m\", height = \"0 m\" }\nsize = [\"0.9 m\", \"2 m\"]\n";
    let flat = one(door, [3.0, 1.1]).expect("there is room to its left");
    let ends = [flat.middle[0] + flat.half[0], 3.2];
    assert!(ends[0] <= ends[1] - 0.01 + 1e-9, "{flat:?}");
    assert!(one(door, [3.18, 1.1]).is_none());
}

#[test]
fn panels_that_would_overlap_are_one_larger_one() {
    let all = hung("", &[[2.0, 1.1], [2.9, 1.1]]).expect("a free wall");
    assert_eq!(all.len(), 2);
    assert!(all[0].is_clear_of(&all[1]));
    // 0.05 m beyond what the first covers, and no room beside it: both under one.
    let all = hung(&light(2.5, 1.1), &[[2.0, 0.8], [2.0, 1.4], [2.3, 1.1]]);
    let all = all.expect("one larger panel");
    assert_eq!(all.len(), 1, "{all:?}");
    assert!(
        [[2.0, 0.8], [2.0, 1.4], [2.3, 1.1]]
            .iter()
            .all(|point| all[0].covers(*point))
    );
    // A second panel too far off to be the same one and in the way of nothing.
    assert!(hung("", &[[1.0, 1.1], [5.0, 1.1]]).is_some_and(|all| all.len() == 2));
}

#[test]
fn a_cupboard_before_the_wall_is_in_the_way() {
    let cupboard = |off: f64| {
        format!(
            "[[kit.cupboard]]\nid = \"cupboard-c1\"\nsize = [\"1 m\", \"1.9 m\", \"40 cm\"]\n[[item]]\nid = \"cupboard\"\nis = \"cupboard-c1\"\nspace = \"den\"\nat = {{ from = [\"north\", \"{off} m\"], and = [\"west\", \"3 m\"] }}\n"
        )
    };
    assert!(one(&cupboard(0.29), [3.0, 1.1]).is_none());
    assert!(one(&cupboard(0.31), [3.0, 1.1]).is_some());
}
