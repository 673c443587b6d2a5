//! What the checks of a projector's place compare, by best estimates, as plain numbers: a
//! finder lays them over the whole room at once.
//!
//! Each number comes from the check that judges by it, so that a place inside of all of
//! them is one that no check refuses.

use analysis::{Analysis, Known, Missing, ProjectorPlace, Uncertain};
use geometry::{Ceiling, Point2};
use model::{Edit, Item, Space, SpaceKind};

use crate::beam::{Beam, Solid};
use crate::beam_obstacles::beam_obstacles;
use crate::moves::raised_together;
use crate::obstacles::things;
use crate::picture::lens_shift::Reach;
use crate::picture::throw_ratio::zoom;
use crate::picture::{
    beam_clear, focus_distance, projector_case, projector_clearance, projector_mount,
    screen_luminance,
};
use crate::structure::mount_joists;
use crate::{Area, Check, Finding, all, find};

/// The checks that judge where a projector is.
pub const PROJECTOR_CHECKS: [&str; 9] = [
    "throw-ratio",
    "focus-distance",
    "lens-shift",
    "projector-clearance",
    "projector-case",
    "projector-mount",
    "mount-joists",
    "beam-clear",
    "screen-luminance",
];

/// A picture that a projector lights.
#[derive(Clone, Copy, Debug)]
pub struct Lit {
    /// Its middle, m.
    pub centre_m: [f64; 3],
    /// To the right as a viewer sees it, in plan.
    pub right: [f64; 2],
    /// Towards the viewers, in plan.
    pub normal: [f64; 2],
    /// Its width and height, m.
    pub size_m: [f64; 2],
}

/// A projector's case, which hangs square to the picture.
#[derive(Clone, Copy, Debug)]
pub struct Case {
    /// Width, height and depth, m.
    pub size_m: [f64; 3],
    /// The lens' middle right of the case's, as a viewer sees the picture, m.
    pub lens_right_m: f64,
    /// The lens before the case's middle, towards the screen, m.
    pub lens_forward_m: f64,
    /// The lens' middle above the case's underside, m.
    pub lens_up_m: f64,
    /// Half the width of the front lens, m.
    pub lens_radius_m: f64,
}

/// Free space that is asked for round the case, m; nothing where the sheet does not say.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// Behind it, for air and plugs.
    pub behind_m: Option<f64>,
    /// On the left of somebody who faces the screen.
    pub left_m: Option<f64>,
    /// On the right.
    pub right_m: Option<f64>,
    /// Above it.
    pub above_m: f64,
}

/// What a ceiling mount reaches and levels, where its sheet says.
#[derive(Clone, Copy, Debug, Default)]
pub struct Mount {
    /// Shortest and longest drop, m.
    pub drop_m: Option<[f64; 2]>,
    /// The steepest ceiling, rad.
    pub slope_rad: Option<f64>,
}

/// A strip of the ceiling below which the screws of a mount meet no joist.
#[derive(Clone, Copy, Debug)]
pub struct BetweenJoists {
    /// Square to the joists, in plan, off the wall that they run along.
    pub across: [f64; 2],
    /// A point of that wall, m.
    pub from_m: [f64; 2],
    /// Where the strip begins and ends, off the wall, m.
    pub off_m: [f64; 2],
}

/// A thing that the case may bump into.
#[derive(Clone, Debug)]
pub struct Thing {
    /// What it is.
    pub label: String,
    /// Its middle in plan and height, m.
    pub middle_m: [f64; 3],
    /// Half of its extent to the right, along the picture's normal, and up, m.
    pub half_m: [f64; 3],
}

/// Something that may stand in the beam.
#[derive(Clone, Debug)]
pub struct Shadow {
    /// What it is.
    pub label: String,
    /// Its shape, or every place that it takes at times.
    pub solids: Vec<Solid>,
}

/// A wall of the room, from its left corner to its right, seen from inside.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Its name.
    pub id: String,
    /// Open to another space: nothing to keep off.
    pub open: bool,
}

/// All that decides where a projector may be.
#[derive(Clone, Debug)]
pub struct Hanging {
    /// The picture.
    pub picture: Lit,
    /// The case.
    pub case: Case,
    /// The free space that it asks for.
    pub asked: Asked,
    /// The mount that carries it.
    pub mount: Mount,
    /// Walls round the room; wall `i` runs from corner `i` to the next one.
    pub walls: Vec<Wall>,
    /// The room's corners.
    pub corners: Vec<Point2>,
    /// The ceiling; nothing outdoors.
    pub ceiling: Option<Ceiling>,
    /// Throw ratio at both ends of the zoom, wide end first.
    pub throw: Option<[f64; 2]>,
    /// Least and greatest distance at which the lens is sharp, m.
    pub focus_m: Option<[f64; 2]>,
    /// The greatest distance at which the zoom leaves the white bright enough, m: below zero
    /// where it is too dim at every distance, nothing where at none.
    pub bright_m: Option<f64>,
    /// Strips of the ceiling in which its mount finds no joist.
    pub between_joists: Vec<BetweenJoists>,
    /// The outline of the shifts that it can set: shares of width and height.
    pub shift: Option<Vec<[f64; 2]>>,
    /// What the case may meet.
    pub things: Vec<Thing>,
    /// What the beam may meet.
    pub shadows: Vec<Shadow>,
    /// The gap that is asked for around the beam, m.
    pub beam_margin_m: f64,
    /// Facts without which a check says nothing, so that nothing is kept off for it.
    pub needs: Vec<Missing>,
}

/// What decides where a projector of a space may be.
pub fn hanging(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> Known<Hanging> {
    let shape = analysis.shape(space);
    let mut needs = Vec::new();
    let size_m = projector.case.size.each_ref().map(Uncertain::value);
    let lens = projector.lens.at.value();
    let middle = projector.case.centre.value();
    let face = &projector.picture.face;
    let (right, normal) = (face.right.value(), face.normal.value());
    let offset = [lens[0] - middle[0], lens[1] - middle[1]];
    let beam = Beam::new(analysis, projector)?;
    let case = Case {
        size_m,
        lens_right_m: offset[0] * right[0] + offset[1] * right[1],
        lens_forward_m: -(offset[0] * normal[0] + offset[1] * normal[1]),
        lens_up_m: lens[2] - projector.case.bottom().value(),
        lens_radius_m: beam.lens_radius_m(),
    };
    let throw = zoom(analysis, projector).map(|ends| ends.map(|end| end.value()));
    let throw = known(throw, &mut needs);
    let focus_m =
        focus_distance::range(analysis, projector).map(|ends| ends.map(|end| end.value()));
    let bright_m = known(screen_luminance::bright_m(analysis, projector), &mut needs).flatten();
    let between_joists = mount_joists::between(analysis, space, projector);
    let between_joists = known(between_joists, &mut needs).unwrap_or_default();
    let reach = known(Reach::of(projector.item, projector.kit), &mut needs);
    let shift = reach.and_then(|reach| reach.limit(1.0)).map(|limit| {
        let outline = limit.outline(SHIFT_PIECES);
        (outline.iter())
            .map(|shift| [shift.horizontal, shift.vertical])
            .collect()
    });
    let [behind_m, left_m, right_m] = projector_clearance::asked(analysis, projector)
        .map(|asked| known(asked, &mut needs).map(|asked| asked.value()));
    let standing_m = beam_clear::standing_height_m(analysis);
    let mut shadows = Vec::new();
    let everything = beam_obstacles(analysis, space, things(analysis, space), standing_m);
    for obstacle in &everything {
        if beam_clear::belongs_to(obstacle, space, projector) {
            continue;
        }
        match &obstacle.shapes {
            Ok(shapes) => shadows.push(Shadow {
                label: obstacle.subject().label,
                solids: shapes.iter().filter_map(|shape| shape.solid()).collect(),
            }),
            Err(missing) => needs.push(missing.clone()),
        }
    }
    let is_outdoor = space.kind == Some(SpaceKind::Outdoor);
    Ok(Hanging {
        picture: Lit {
            centre_m: projector.picture.centre.value(),
            right,
            normal,
            size_m: [
                projector.picture.width().value(),
                projector.picture.height().value(),
            ],
        },
        case,
        asked: Asked {
            behind_m,
            left_m,
            right_m,
            above_m: projector_clearance::gap_above_m(analysis),
        },
        mount: projector_mount::mount(analysis, projector.item),
        walls: (space.walls.iter())
            .map(|wall| Wall {
                id: wall.id.clone(),
                open: wall.open,
            })
            .collect(),
        corners: shape.outline()?,
        ceiling: if is_outdoor {
            None
        } else {
            Some(shape.ceiling()?.clone())
        },
        throw,
        focus_m,
        bright_m,
        between_joists,
        shift,
        things: bodies(analysis, space, projector),
        shadows,
        beam_margin_m: beam_clear::margin_m(analysis),
        needs,
    })
}

/// What is known; what is missing is noted.
fn known<T>(answer: Known<T>, needs: &mut Vec<Missing>) -> Option<T> {
    answer.map_err(|missing| needs.push(missing)).ok()
}

/// An ellipse of shifts is followed by 4 × 64 chords: a 13,000th of the reach, a tenth of a
/// millimetre for a picture of 1.2 m.
const SHIFT_PIECES: u32 = 64;

fn bodies(analysis: &Analysis, space: &Space, projector: &ProjectorPlace<'_>) -> Vec<Thing> {
    let face = &projector.picture.face;
    let (right, back) = (face.right.value(), face.normal.value());
    let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
    things(analysis, space)
        .filter(|thing| !projector_case::is_own(*thing, projector))
        .filter_map(|thing| {
            let body = thing.body(analysis, space).ok()?;
            let along = body.along.value();
            let [length, height, depth] = body.size.each_ref().map(Uncertain::value);
            let (parallel, square) = (dot(along, right).abs(), dot(along, back).abs());
            Some(Thing {
                label: thing.subject().label,
                middle_m: body.centre.value(),
                half_m: [
                    (parallel * length + square * depth) / 2.0,
                    (square * length + parallel * depth) / 2.0,
                    height / 2.0,
                ],
            })
        })
        .collect()
}

/// A part of a picture that something in the beam darkens.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureShadow {
    /// Whose shadow it is: a thing's, seat's or opening's id, with what follows a point.
    pub of: String,
    /// The same for people.
    pub label: String,
    /// There at times alone, as of somebody who stands up.
    pub passing: bool,
    /// Share of the picture's area.
    pub part: f64,
    /// Its corners on the picture, m.
    pub outline_m: Vec<[f64; 3]>,
}

/// The shadows on a projector's picture of all that reaches into its beam, people who sit,
/// stand up or walk by among them; of what moves, where it darkens most.
pub fn picture_shadows(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> Vec<PictureShadow> {
    let Ok(beam) = Beam::new(analysis, projector) else {
        return Vec::new();
    };
    let everything = beam_obstacles(
        analysis,
        space,
        things(analysis, space),
        beam_clear::standing_height_m(analysis),
    );
    let mut shadows = Vec::new();
    for obstacle in &everything {
        if beam_clear::belongs_to(obstacle, space, projector) {
            continue;
        }
        let shapes = obstacle.shapes.as_deref().unwrap_or_default();
        let darkest = (shapes.iter())
            .filter_map(|shape| beam.shadow(shape))
            .max_by(|a, b| a.part.total_cmp(&b.part));
        let Some(shadow) = darkest else { continue };
        let point = |[across, up]: &[f64; 2]| {
            let point = projector.picture.point(2.0 * across - 1.0, 2.0 * up - 1.0);
            point.value()
        };
        let subject = obstacle.subject();
        shadows.push(PictureShadow {
            of: subject.id,
            label: subject.label,
            passing: obstacle.passing,
            part: shadow.part,
            outline_m: shadow.outline.iter().map(point).collect(),
        });
    }
    shadows
}

/// What the checks of a projector's place say of it.
pub fn findings_of_place(analysis: &Analysis, space: &Space, item: &Item) -> Vec<Finding> {
    let at = (0..analysis.space_count()).find(|at| analysis.space_number(*at).id == space.id);
    let own = |finding: &Finding| {
        let rest = finding.subject.id.strip_prefix(item.id.as_str());
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(['+', '.']))
    };
    (PROJECTOR_CHECKS.iter())
        .filter_map(|id| find(id))
        .flat_map(|check| check.run.ask(analysis, at))
        .filter(own)
        .collect()
}

/// What raises a picture with what hangs together with it by so much, or lowers it.
pub fn raised(analysis: &Analysis, item: &Item, by_m: f64) -> Option<Vec<Edit>> {
    raised_together(analysis, item, by_m, None)
}

/// What the checks of pictures say of a space.
pub fn findings_of_pictures(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    let at = (0..analysis.space_count()).find(|at| analysis.space_number(*at).id == space.id);
    of_pictures()
        .flat_map(|check| check.run.ask(analysis, at))
        .collect()
}

/// The checks of a space's pictures.
pub(crate) fn of_pictures() -> impl Iterator<Item = &'static Check> {
    all().filter(|check| check.area == Area::Picture && check.run.is_of_spaces())
}

/// What one check says of a subject, in words: copies that are only tried print no numbers.
pub fn finding_of(
    analysis: &Analysis,
    space: &Space,
    check: &str,
    subject: &str,
) -> Option<Finding> {
    let at = (0..analysis.space_count()).find(|at| analysis.space_number(*at).id == space.id);
    let found = find(check)?.run.ask(analysis, at);
    found
        .into_iter()
        .find(|finding| finding.subject.id == subject)
}
