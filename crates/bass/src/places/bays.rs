//! Between which studs can a sub be let into a wall?
//!
//! A bay is wide enough if the cut-out goes between two studs, deep enough if the sheet's depth goes
//! behind the board's face, and tall enough between the plate or a block below and the next above.
//! A wall rated against fire, and one whose framing nobody found, has no places.

use analysis::{Analysis, Known, WallRect};
use model::{Construction, Framing, Length, Space};
use units::Dimension;

use super::{PlaceSort, SubPlace};
use crate::subs::{Sub, case_m};

/// A stud's face, a plate's or a block's thickness, m: 1½ in dressed lumber (from memory).
const LUMBER_M: f64 = 0.0381;
/// A board where nobody measured it, m: ½ in (common practice, no source).
const BOARD_M: f64 = 0.0127;
/// From a plate or block to the cut-out, m (common practice, no source).
const EDGE_M: f64 = 0.02;
/// The radiating face is this far in the room's air, m.
const FACE_M: f64 = 0.02;
/// The lowest that a face's middle is put, m: dust and shoes (common practice, no source).
const LOWEST_M: f64 = 0.3;

/// The lowest place in every bay that is free.
pub(super) fn in_walls(analysis: &Analysis, space: &Space, sub: &Sub<'_>) -> Known<Vec<SubPlace>> {
    let metres = |length: Option<&Length>| length.and_then(Length::value);
    let cutout = sub.kit.cutout.as_ref();
    let cutout = cutout.and_then(|[across, up]| Some([across.value()?, up.value()?]));
    let (Some(cutout), Some(depth)) = (cutout, metres(sub.kit.depth_behind.as_ref())) else {
        return Ok(Vec::new());
    };
    let (face, _) = case_m(analysis, std::slice::from_ref(sub));
    let mut places = Vec::new();
    for (wall, named) in space.walls.iter().enumerate() {
        let built = space.construction_of(&named.id);
        let Some(built) = built.filter(|built| is_open_to_all(built)) else {
            continue;
        };
        let [spacing, first, cavity] = [&built.spacing, &built.first_from_left, &built.cavity]
            .map(|fact| metres(fact.as_ref()));
        let (Some(spacing), Some(first), Some(cavity)) = (spacing, first, cavity) else {
            continue;
        };
        let Some(blocks) = &built.fire_block_at else {
            continue;
        };
        let stud = metres(built.face.as_ref()).unwrap_or(LUMBER_M);
        let board = metres(built.board.as_ref()).unwrap_or(BOARD_M);
        if cutout[0] > spacing - stud || depth > cavity + board || spacing <= 0.0 {
            continue;
        }
        let mut blocks: Vec<f64> = blocks.iter().filter_map(Length::value).collect();
        blocks.sort_by(f64::total_cmp);
        let length = analysis.shape(space).wall_length(wall)?.value();
        let taken = taken(analysis, space, wall);
        let (left, along, inward) = analysis.shape(space).wall_frame(wall)?;
        let (left, along, inward) = (left.value(), along.value(), inward.value());
        // The bay to the left of the first stud is the corner's, whose framing is never as drawn.
        let bays = ((length - first) / spacing).floor().max(0.0) as usize;
        for bay in 0..bays {
            let middle = first + (bay as f64 + 0.5) * spacing;
            let plan = [0, 1].map(|axis| left[axis] + along[axis] * middle + inward[axis] * FACE_M);
            let at_plan = analysis::Vector2::new(plan[0], plan[1]);
            let top = analysis.shape(space).ceiling_at(&at_plan)?.value();
            let heights = heights(&blocks, cutout[1], top);
            let is_free = |height: &f64| {
                let half = [face[0] / 2.0, face[1] / 2.0];
                let inside = middle - half[0] >= 0.0
                    && middle + half[0] <= length
                    && height - half[1] >= 0.0;
                inside
                    && !taken.iter().any(|rect| {
                        let over = |low: f64, high: f64, at: f64, half: f64| {
                            low < at + half && high > at - half
                        };
                        over(rect.left.value(), rect.right.value(), middle, half[0])
                            && over(rect.bottom.value(), rect.top.value(), *height, half[1])
                    })
            };
            let Some(height) = heights.into_iter().find(is_free) else {
                continue;
            };
            let name = named.id.replace('-', " ");
            let print = |length_m: f64| analysis.exact(length_m, Dimension::Length);
            places.push(SubPlace {
                at: [plan[0], plan[1], height],
                sort: PlaceSort::InWall,
                kind: format!("in {name}"),
                words: format!(
                    "in {name}, in the bay whose middle is {} from its left end, {} up",
                    print(middle),
                    print(height)
                ),
                wall: Some((named.id.clone(), middle)),
            });
        }
    }
    Ok(places)
}

/// Heights of the cut-out's middle, lowest first: as low as each stretch of a bay allows.
fn heights(blocks: &[f64], cutout_m: f64, top: f64) -> Vec<f64> {
    let half = LUMBER_M / 2.0;
    let mut below = LUMBER_M;
    let mut found = Vec::new();
    for above in (blocks.iter().map(|block| block - half)).chain([top - 2.0 * LUMBER_M]) {
        let middle = (below + EDGE_M + cutout_m / 2.0).max(LOWEST_M);
        if middle + cutout_m / 2.0 + EDGE_M <= above {
            found.push(middle);
        }
        below = above + LUMBER_M;
    }
    found
}

fn is_open_to_all(built: &Construction) -> bool {
    matches!(built.framing, Framing::Stud | Framing::SteelStud) && built.rated != Some(true)
}

/// What is in or on a wall already.
fn taken(analysis: &Analysis, space: &Space, wall: usize) -> Vec<WallRect> {
    let openings = space.opening.iter();
    let openings = openings.filter_map(|opening| analysis.opening_rect(space, opening).ok());
    let fixtures = space.fixture.iter();
    let fixtures = fixtures.filter_map(|fixture| analysis.fixture_rect(space, fixture)?.ok());
    let items = analysis.items_in(space).filter_map(|item| {
        let is_sub = matches!(
            analysis.kit_of(item),
            Some(model::Kit::Loudspeaker(kit)) if kit.form == Some(model::LoudspeakerForm::Subwoofer)
        );
        let on = item.on.as_ref().filter(|_| !is_sub)?;
        Some(analysis.item_on_wall(space, item, on).ok()?.outside)
    });
    openings
        .chain(fixtures)
        .chain(items)
        .filter(|rect| rect.wall == wall)
        .collect()
}

/// Walls whose bays nobody knows.
pub(super) fn not_tried(space: &Space) -> Vec<String> {
    let is_known = |built: &Construction| {
        let facts = [&built.spacing, &built.first_from_left, &built.cavity];
        let known =
            |fact: &&Option<Length>| fact.as_ref().is_some_and(|fact| fact.value().is_some());
        facts.iter().all(known) && built.fire_block_at.is_some()
    };
    let walls = space.walls.iter().filter(|wall| {
        let built = space.construction_of(&wall.id);
        !wall.open && !built.is_some_and(|built| !is_open_to_all(built) || is_known(built))
    });
    let names: Vec<String> = walls.map(|wall| wall.id.replace('-', " ")).collect();
    match names.is_empty() {
        true => Vec::new(),
        false => vec![format!(
            "no place tried in {}: studs, blocks and cavity are not in the survey",
            names.join(", ")
        )],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_out_goes_between_plate_and_block_or_above_the_block() {
        // Block at 0.9 m: 0.881 m to its underside. A cut-out of 0.5 m: its middle at 0.3081 m,
        // its upper edge at 0.558 m; above, 0.919 + 0.02 + 0.25 = 1.189 m.
        let told = heights(&[0.9], 0.5, 2.4);
        assert!((told[0] - 0.308_1).abs() < 1e-6, "{told:?}");
        assert!((told[1] - 1.189_05).abs() < 1e-4, "{told:?}");
        // 0.9 m tall goes nowhere below that block.
        assert_eq!(heights(&[0.9], 0.9, 2.4).len(), 1);
        assert!(heights(&[0.9], 1.5, 2.4).is_empty());
    }
}
