//! One wall as it is drawn: its edge under the ceiling, what is inside it, which way it looks.

use analysis::{Analysis, Observation};
use model::{Construction, Framing, Space};
use units::Dimension;

use super::body::length;
use super::ground::Ground;
use super::place::{round, rounded};
use super::{Block, SceneWall, Stud};
use crate::words::{compass, words};

/// A stud's face where nobody measured it, m: 1 1/2 in, the dressed width of common framing
/// (from memory). A sign only.
const STUD_FACE_M: f64 = 0.038;
/// Studs closer than this are a slip of the pen, m.
const SPACING_MIN_M: f64 = 0.05;
/// A wall has fewer studs than this, and a slip of the pen has not.
const STUDS_MAX: f64 = 200.0;

/// All walls in the order of the walk, without snap lines.
pub(crate) fn walls(ground: &Ground<'_>) -> Vec<SceneWall> {
    let suspected = suspected(ground);
    (0..ground.space.walls.len())
        .map(|index| wall(ground, index, suspected.contains(&index)))
        .collect()
}

/// Walls that are among the likeliest mistakes, or were worked out from the others.
pub(crate) fn suspected(ground: &Ground<'_>) -> Vec<usize> {
    let shape = ground.shape;
    let failed = shape.failed_closure().map(|failed| &failed.closure);
    let Some(closure) = failed.or(shape.closure().ok()) else {
        return Vec::new();
    };
    let likeliest = closure.suspects.iter().filter(|suspect| suspect.rank == 1);
    let walls = likeliest.filter_map(|suspect| match suspect.observation {
        Observation::Length(wall) | Observation::Angle(wall) => Some(wall),
        Observation::Diagonal(_) => None,
    });
    walls.chain(closure.inferred.iter().copied()).collect()
}

fn wall(ground: &Ground<'_>, index: usize, doubtful: bool) -> SceneWall {
    let (analysis, space) = (ground.analysis, ground.space);
    let written = &space.walls[index];
    let frame = ground.walls.get(index).copied().flatten();
    let length_m = ground.length_m(index);
    let top = ground.wall_top(index);
    let made_of = space.construction_of(&written.id);
    let (studs, blocks) = match (made_of, length_m) {
        (Some(made_of), Some(length_m)) => (
            studs(analysis, made_of, length_m),
            blocks(analysis, made_of, length_m),
        ),
        _ => (Vec::new(), Vec::new()),
    };
    let adjusted = ground.shape.wall_length(index).ok();
    SceneWall {
        id: written.id.clone(),
        name: words(&written.id),
        from: frame.map(|frame| rounded(frame.left)),
        to: frame.map(|frame| rounded(frame.point(frame.length_m, 0.0))),
        length_m: length_m.map(round),
        length_text: match adjusted {
            Some(adjusted) => Some(analysis.length(&adjusted)),
            None => length_m.map(|length_m| length(analysis, length_m)),
        },
        doubtful,
        open: written.open,
        faces_text: faces(analysis, space, ground, index),
        top: top.into_iter().map(rounded).collect(),
        studs,
        blocks,
        framing_text: framing_text(analysis, written.open, made_of),
        snaps: Vec::new(),
    }
}

/// Whole studs between the wall's ends.
fn studs(analysis: &Analysis, made_of: &Construction, length_m: f64) -> Vec<Stud> {
    if !matches!(made_of.framing, Framing::Stud | Framing::SteelStud) {
        return Vec::new();
    }
    let number = |fact| analysis.number(fact).map(|number| number.value());
    let (Some(spacing), Some(first)) = (
        number(made_of.spacing.as_ref()),
        number(made_of.first_from_left.as_ref()),
    ) else {
        return Vec::new();
    };
    if spacing <= SPACING_MIN_M {
        return Vec::new();
    }
    let width_m = number(made_of.face.as_ref()).map_or(STUD_FACE_M, |face| face.max(0.01));
    let count = ((length_m - first) / spacing)
        .floor()
        .clamp(-1.0, STUDS_MAX) as i64;
    (0..=count)
        .map(|n| first + spacing * n as f64)
        .filter(|centre| centre - width_m / 2.0 >= 0.0 && centre + width_m / 2.0 <= length_m)
        .map(|centre| Stud {
            centre_m: round(centre),
            width_m: round(width_m),
        })
        .collect()
}

fn blocks(analysis: &Analysis, made_of: &Construction, length_m: f64) -> Vec<Block> {
    let heights = made_of.fire_block_at.iter().flatten();
    heights
        .filter_map(|height| analysis.number(Some(height)))
        .map(|height| Block {
            height_m: round(height.value()),
            from_m: 0.0,
            to_m: round(length_m),
        })
        .collect()
}

fn framing_text(analysis: &Analysis, open: bool, made_of: Option<&Construction>) -> String {
    if open {
        return "An edge without a wall.".to_owned();
    }
    let Some(made_of) = made_of else {
        return "What is inside this wall is not known: look before cutting.".to_owned();
    };
    let name = match made_of.framing {
        Framing::Stud => "Wood studs",
        Framing::SteelStud => "Steel studs",
        Framing::Joist => "Joists",
        Framing::Masonry => return "Masonry.".to_owned(),
        Framing::Concrete => return "Concrete.".to_owned(),
    };
    let number = |fact| analysis.number(fact);
    let mut text = match (
        number(made_of.spacing.as_ref()),
        number(made_of.first_from_left.as_ref()),
    ) {
        (Some(spacing), Some(first)) => format!(
            "{name} every {}, the first {} from the left corner.",
            // Rounded by its tolerance it would drift from bay to bay.
            analysis.exact(spacing.value(), Dimension::Length),
            analysis.length(&first)
        ),
        _ => format!("{name}; find the first one and their spacing with a stud finder."),
    };
    match made_of.fire_block_at.as_deref() {
        None => text += " Whether blocks stand between them is not known.",
        Some([]) => text += " No blocks between them.",
        Some(blocks) => {
            let heights: Vec<String> = (blocks.iter())
                .map(|height| match height.value() {
                    Some(height) => analysis.exact(height, Dimension::Length),
                    None => "a height still to measure".to_owned(),
                })
                .collect();
            text += &format!(" Blocks at {}.", crate::words::list(&heights));
        }
    }
    text + " Find each one before drilling."
}

/// "faces north-east, 40°".
fn faces(analysis: &Analysis, space: &Space, ground: &Ground<'_>, index: usize) -> Option<String> {
    let first = analysis.number(space.first_wall_faces.as_ref())?.value();
    let frame = ground.walls.get(index).copied().flatten()?;
    // One who faces the first wall looks along +y; the compass turns clockwise.
    let [x, y] = frame.inward.map(|part| -part);
    let direction = (first + x.atan2(y)).rem_euclid(std::f64::consts::TAU);
    let degrees = direction.to_degrees().round() % 360.0;
    Some(format!("faces {}, {degrees:.0}°", compass(direction)))
}
