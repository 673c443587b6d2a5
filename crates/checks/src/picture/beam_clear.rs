//! Does the light reach the screen without meeting a lamp, a beam, a leaf or a head?

use analysis::{Analysis, Limit, Parts, ProjectorPlace, Source, item_label};
use geometry::{Convex, Point3};
use model::{FixtureKind, Space};
use units::Dimension;

use crate::beam::{Beam, Shape};
use crate::beam_obstacles::{BeamObstacle, beam_obstacles};
use crate::in_line::{NEAR_BEAM_M, things_near_beam};
use crate::moves::{Placed, Round, text_of, to_spare, written_length};
use crate::obstacles::{Thing, oriented_box, things};
use crate::{Area, Caution, Check, Finding, Outcome, Published, Remedy, Run, Subject};

pub(crate) static CHECK: Check = Check {
    id: "beam-clear",
    area: Area::Picture,
    proves: "The beam from the lens to the picture's corners clears soffits, lamps, fans, furniture, loudspeakers, door leaves, and the heads of those who sit, stand up or walk by.",
    matters: "Whatever reaches into the beam stands as a shadow on the picture, in every scene or each time that somebody passes.",
    formula: "Beam: all straight lines from the middle of the lens to the picture (a pyramid). Gap = least distance, m, from it to the thing's box, or to a person as an upright cylinder of 0.25 m radius, less the radius of the lens; at least the margin. Negative: minus the least move that frees the beam, less the radius. A seated person ends 0.12 m above the eyes. Flat things on a wall are left to the check of the picture's outside. Gaps over 500 mm are told only when they are the nearest. Valid for the picture filled corner to corner; it changes with every change of zoom and shift.",
    source: Source::Derived {
        from: "straight lines from the lens to the picture's corners",
    },
    when_it_fails: "Hang the projector higher or elsewhere, hang the lamp on a shorter rod, move what stands in the way, or lead the walkway around the beam.",
    limits: &[&MARGIN, &STANDING_HEIGHT],
    published: &[
        Published {
            cite: "lens (0, 0, 2.30), picture corner (3.0, 1.1, 0.9): the pyramid's edge crosses x = 1.5 at y 0.55, z 1.6 (computed, straight edge of the pyramid): its distance from the beam",
            computed: || gap_of_point([1.5, 0.55, 1.6]),
            expected: 0.0,
            tolerance: 1e-3, // The point is a box of 1 mm.
            unit: "m",
        },
        Published {
            cite: "the same beam in the plane x = 1.5 ends at y 0.55 (computed): a point 1.000 m farther out at half the picture's height is 1/√(1 + (1.1/3)²) m from its upright side",
            computed: || gap_of_point([1.5, 1.55, 1.95]),
            expected: 0.938_876,
            tolerance: 1e-3, // The point is a box of 1 mm.
            unit: "m",
        },
    ],
    run: Run::EachSpaceIn(Parts::SEATS.and(Parts::FIXTURES).and(Parts::OPENINGS), run),
};

static MARGIN: Limit = Limit {
    name: "beam_margin",
    meaning: "least gap between a projector's beam, grown by the radius of its lens, and anything else",
    dimension: Dimension::Length,
    value: 0.050,
    source: Source::FromMemory {
        work: "installers' margin of 50 mm around the beam",
    },
    regional: &[],
};

static STANDING_HEIGHT: Limit = Limit {
    name: "standing_head_height",
    meaning: "height of somebody who stands, crown included",
    dimension: Dimension::Length,
    value: 2.0,
    source: Source::FromMemory {
        work: "a tall adult in shoes, tables of body heights",
    },
    regional: &[],
};

/// Nothing is moved further than this, m.
const MOVE_MOST_M: f64 = 1.0;
/// Nor hung higher or lower by more than this, which brings it among the heads, m.
const LOWER_MOST_M: f64 = 0.5;

/// The gap that is asked for, m.
pub(crate) fn margin_m(analysis: &Analysis) -> f64 {
    analysis.limit(&MARGIN).value
}

/// How high somebody who stands reaches, m.
pub(crate) fn standing_height_m(analysis: &Analysis) -> f64 {
    analysis.limit(&STANDING_HEIGHT).value
}

/// The distance of a point from the beam of the published case, whose picture is square
/// to x, 2.2 m wide and 1.4 m high with its lower edge at 0.9 m.
fn gap_of_point(point: [f64; 3]) -> f64 {
    let corners = [
        [3.0, -1.1, 0.9],
        [3.0, 1.1, 0.9],
        [3.0, 1.1, 2.3],
        [3.0, -1.1, 2.3],
    ];
    let corners = corners.map(|[x, y, z]| Point3::new(x, y, z));
    let beam = Convex::pyramid(Point3::new(0.0, 0.0, 2.3), corners);
    let point = oriented_box(point, [1.0, 0.0], [0.0; 3]);
    match (beam, point) {
        (Ok(beam), Some(point)) => beam.clearance(&Convex::from(&point)).signed.0,
        _ => f64::NAN,
    }
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .projectors_in(space)
        .flat_map(|(item, kit)| {
            let seen = analysis.projector(item, kit).and_then(|projector| {
                let beam = Beam::new(analysis, &projector)?;
                let standing_m = standing_height_m(analysis);
                let near = things_near_beam(analysis, space, item);
                let near = beam_obstacles(analysis, space, near, standing_m);
                if let Some(findings) = met(analysis, space, &projector, &beam, &near, false) {
                    return Ok(findings);
                }
                // Where nothing is near, the nearest thing is told of, however far.
                let all = beam_obstacles(analysis, space, things(analysis, space), standing_m);
                let findings = met(analysis, space, &projector, &beam, &all, true);
                Ok(findings.unwrap_or_default())
            });
            seen.unwrap_or_else(|missing| {
                vec![CHECK.about(space, Subject::item(item), || Err(missing))]
            })
        })
        .collect()
}

/// Findings about what is met; nothing where no gap is known to be near and not `all` there is
/// was looked at.
fn met(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    beam: &Beam<'_>,
    everything: &[BeamObstacle<'_>],
    all: bool,
) -> Option<Vec<Finding>> {
    let base = Subject::item(projector.item);
    let concerned = everything
        .iter()
        .filter(|obstacle| !belongs_to(obstacle, space, projector));
    let mut findings = Vec::new();
    let met = |obstacle, shape| Met {
        analysis,
        space,
        projector,
        beam,
        obstacle,
        shape,
    };
    let mut is_answered = false;
    let mut beyond: Vec<(f64, &BeamObstacle<'_>, &[Shape])> = Vec::new();
    for obstacle in concerned {
        let subject = || base.with(&obstacle.subject(), "and");
        let shapes = match &obstacle.shapes {
            Ok(shapes) => &**shapes,
            Err(missing) => {
                findings.push(CHECK.about(space, subject(), || Err(missing.clone())));
                continue;
            }
        };
        // Most things are so far away that how far is of no use.
        let at_least = (shapes.iter())
            .map(|shape| beam.gap_at_least(shape))
            .fold(f64::INFINITY, f64::min);
        let near = (at_least < NEAR_BEAM_M)
            .then(|| beam.nearest(shapes))
            .flatten()
            .filter(|(gap, _)| *gap < NEAR_BEAM_M);
        match near {
            Some((_, shape)) => {
                is_answered = true;
                let met = met(obstacle, shape);
                findings.push(CHECK.about(space, subject(), || Ok(met.decide())));
            }
            None => beyond.push((at_least, obstacle, shapes)),
        }
    }
    if is_answered {
        return Some(findings);
    }
    if !all {
        return None;
    }
    if let Some((obstacle, shape)) = nearest(beam, &beyond) {
        findings.push(CHECK.about(space, base, || Ok(met(obstacle, shape).decide())));
    }
    Some(findings)
}

/// Of things with their shapes and what the gap to each is at least, m, the one with the least
/// gap by best estimates, the first of equal ones.
fn nearest<'o, 'a>(
    beam: &Beam<'_>,
    things: &[(f64, &'o BeamObstacle<'a>, &'o [Shape])],
) -> Option<(&'o BeamObstacle<'a>, &'o Shape)> {
    let mut nearest: Option<(f64, (&BeamObstacle<'a>, &Shape))> = None;
    for (at_least, obstacle, shapes) in things {
        if nearest.is_some_and(|(gap, _)| *at_least > gap) {
            continue;
        }
        if let Some((gap, shape)) = beam.nearest(shapes)
            && nearest.is_none_or(|(least, _)| gap < least)
        {
            nearest = Some((gap, (*obstacle, shape)));
        }
    }
    nearest.map(|(_, nearest)| nearest)
}

/// The projector and its screen themselves, and what lies flat beside the picture, which
/// the check of its outside speaks of.
pub(crate) fn belongs_to(
    obstacle: &BeamObstacle<'_>,
    space: &Space,
    projector: &ProjectorPlace<'_>,
) -> bool {
    let Some(thing) = obstacle.thing else {
        return false;
    };
    let own = thing
        .item_id()
        .is_some_and(|id| id == projector.item.id || id == projector.screen.id);
    let picture_wall = &space.walls[projector.picture.outside.wall].id;
    let flat = 0.1 + projector.picture.face.off.value();
    let beside = thing.wall() == Some(picture_wall)
        && match obstacle.shapes.as_deref() {
            Ok([Shape::Box(numbers)]) => numbers[7].value() <= flat,
            // Its size is asked for there.
            _ => true,
        };
    own || beside
}

/// One thing and the beam.
struct Met<'a> {
    analysis: &'a Analysis,
    space: &'a Space,
    projector: &'a ProjectorPlace<'a>,
    beam: &'a Beam<'a>,
    obstacle: &'a BeamObstacle<'a>,
    shape: &'a Shape,
}

impl Met<'_> {
    fn decide(&self) -> Outcome {
        let analysis = self.analysis;
        let gap = self.beam.gap(self.shape);
        let limit = analysis.limit(&MARGIN);
        if analysis.is_trial() {
            return Outcome::at_least(gap, &limit, Dimension::Length);
        }
        let name = item_label(self.projector.item);
        let other = self.obstacle.subject().label;
        let asked = analysis.exact(limit.value, Dimension::Length);
        let sentence = if gap.value() >= 0.0 {
            format!(
                "The beam of {name}, wider by the radius of its lens, passes {} from {other}; {asked} are asked for.",
                analysis.beside(&gap, limit.value, Dimension::Length)
            )
        } else {
            let when = if self.obstacle.passing {
                "each time a shadow crosses the picture"
            } else {
                "a shadow stands on the picture"
            };
            format!(
                "The beam of {name}, wider by the radius of its lens, is cut {} deep by {other}: {when}{}.",
                analysis.length(&-&gap),
                self.shadow_words()
            )
        };
        let outcome = Outcome::at_least(gap.clone(), &limit, Dimension::Length);
        // Two millimetres more, for the tolerance of the place that it is moved to.
        let target = gap.value() - to_spare(outcome.margin(), 0.0) + 0.002;
        let outcome = outcome.because(sentence).caution(Caution::BrightBeam);
        if !outcome.asks_for_remedies(analysis) {
            return outcome;
        }
        outcome
            .remedy(self.raise_projector(target, 1.0))
            .remedy(self.raise_projector(target, -1.0))
            .remedy(self.move_projector(target))
            .remedy(self.raise_thing(target))
            .remedy(self.move_thing(target))
    }

    /// Which part of the picture is dark then.
    fn shadow_words(&self) -> String {
        let Some(shadow) = self.beam.shadow(self.shape) else {
            return String::new();
        };
        let percent = |share: f64| format!("{:.0}", share * 100.0);
        let [left, right] = shadow.across.map(percent);
        let [low, high] = shadow.up.map(percent);
        let part = match percent(shadow.part).as_str() {
            "0" => "less than 1".to_owned(),
            part => part.to_owned(),
        };
        format!(
            ", on {part} % of it, from {left} to {right} % of its width and {low} to {high} % of its height"
        )
    }

    /// The least step along a direction after which the gap with the lens moved suffices.
    fn lens_step(&self, target: f64, most: f64, way: [f64; 3]) -> Option<f64> {
        let by = |step: f64| way.map(|part| part * step);
        let spare = |step: f64, shape| self.beam.gap_with_lens_moved(shape, by(step)) - target;
        let step = near_change(most, |step| spare(step, self.shape))?;
        // The other places of a thing that moves must stay clear as well.
        let shapes = self.obstacle.shapes.as_deref().unwrap_or_default();
        shapes
            .iter()
            .all(|shape| spare(step, shape) >= 0.0)
            .then_some(step)
    }

    fn raise_projector(&self, target: f64, up: f64) -> Option<Remedy> {
        let analysis = self.analysis;
        let item = self.projector.item;
        let step = self.lens_step(target, LOWER_MOST_M, [0.0, 0.0, up])?;
        let edit = Placed::item(analysis, item)?.raised(analysis, up * step)?;
        let stays = self.projector.case.bottom().value() + up * step > 0.0;
        let says = format!(
            "{} {} by {}, to a {} of {}.",
            if up > 0.0 { "Raise" } else { "Lower" },
            item_label(item),
            written_length(analysis, step, Round::Up),
            if edit.at.ends_with("drop") {
                "drop"
            } else {
                "height"
            },
            text_of(&edit),
        );
        stays.then(|| Remedy::new(says, vec![edit]).caution(Caution::Ladder))
    }

    /// Sideways, back or towards the screen: the shortest way.
    fn move_projector(&self, target: f64) -> Option<Remedy> {
        let analysis = self.analysis;
        let item = self.projector.item;
        let place = Placed::item(analysis, item)?;
        let (step, words, edit) = self
            .ways_in_plan()
            .into_iter()
            .filter_map(|(words, way)| {
                let step = self.lens_step(target, MOVE_MOST_M, [way[0], way[1], 0.0])?;
                let edit = place.in_plan(analysis, way, step, Round::Up)?;
                Some((step, words, edit))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let says = format!(
            "Move {} {} {words}, to {} from the wall that it is measured from; prove throw and shift again.",
            item_label(item),
            written_length(analysis, step, Round::Up),
            text_of(&edit),
        );
        Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
    }

    fn ways_in_plan(&self) -> [(&'static str, [f64; 2]); 4] {
        let [rx, ry] = self.projector.picture.face.right.value();
        let [nx, ny] = self.projector.picture.face.normal.value();
        [
            ("to the left as one faces the screen", [-rx, -ry]),
            ("to the right as one faces the screen", [rx, ry]),
            ("towards the screen", [-nx, -ny]),
            ("away from the screen", [nx, ny]),
        ]
    }

    /// Things that stand or hang free; what is fixed to walls and ceilings with mains is
    /// moved by an electrician.
    fn free_thing(&self) -> Option<(Placed<'_>, String, Option<Caution>)> {
        match self.obstacle.thing? {
            Thing::Item(item) => {
                let place = Placed::item(self.analysis, item)?;
                Some((place, format!("Move {}", item_label(item)), None))
            }
            Thing::Fixture(fixture) => {
                let place = Placed::fixture(self.space, fixture);
                let name = fixture.id.replace('-', " ");
                match fixture.kind {
                    FixtureKind::Furniture => Some((place, format!("Move {name}"), None)),
                    FixtureKind::CeilingLight | FixtureKind::Fan => Some((
                        place,
                        format!("Have a licensed electrician move {name}"),
                        Some(Caution::Mains),
                    )),
                    _ => None,
                }
            }
            Thing::Soffit(_) => None,
        }
    }

    /// A lamp or loudspeaker that hangs: a shorter drop.
    fn raise_thing(&self, target: f64) -> Option<Remedy> {
        let hangs = match self.obstacle.thing? {
            Thing::Item(item) => item.hung.is_some() || item.on.is_some(),
            Thing::Fixture(fixture) => fixture.hung.is_some(),
            Thing::Soffit(_) => false,
        };
        let (place, who, caution) = self.free_thing().filter(|_| hangs)?;
        // A rod gets no shorter than nothing: flush with the ceiling is tried last.
        let most = place
            .drop_m()
            .map_or(MOVE_MOST_M, |drop| drop.min(MOVE_MOST_M));
        let step = near_change(most, |step| {
            self.beam.gap_with_thing_moved(self.shape, [0.0, 0.0, step]) - target
        })?;
        let edit = place.raised(self.analysis, step)?;
        let says = format!(
            "{who} up by {}, to a {} of {}.",
            written_length(self.analysis, step, Round::Up),
            if edit.at.ends_with("drop") {
                "drop"
            } else {
                "height"
            },
            text_of(&edit),
        );
        let remedy = Remedy::new(says, vec![edit]).caution(Caution::Ladder);
        Some(caution.into_iter().fold(remedy, Remedy::caution))
    }

    /// Sideways, back or towards the screen: the shortest way.
    fn move_thing(&self, target: f64) -> Option<Remedy> {
        let (place, who, caution) = self.free_thing()?;
        let (step, words, edit) = self
            .ways_in_plan()
            .into_iter()
            .filter_map(|(words, way)| {
                let step = near_change(MOVE_MOST_M, |step| {
                    let by = [way[0] * step, way[1] * step, 0.0];
                    self.beam.gap_with_thing_moved(self.shape, by) - target
                })?;
                let edit = place.in_plan(self.analysis, way, step, Round::Up)?;
                Some((step, words, edit))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let says = format!(
            "{who} {} {words}, to {} from the wall that it is measured from.",
            written_length(self.analysis, step, Round::Up),
            text_of(&edit),
        );
        let remedy = Remedy::new(says, vec![edit]);
        Some(caution.into_iter().fold(remedy, Remedy::caution))
    }
}

/// A change up to `most` at which `spare` is no longer negative: the first quarter that
/// does, halved to a hundredth of a millimetre. Distances between convex bodies have few
/// turns, and each trial costs one of them.
fn near_change(most: f64, spare: impl Fn(f64) -> f64) -> Option<f64> {
    let quarter = most / 4.0;
    let enough = [1.0, 2.0, 3.0, 4.0]
        .map(|count| count * quarter)
        .into_iter()
        .find(|by| spare(*by) >= 0.0)?;
    let (mut short, mut long) = (enough - quarter, enough);
    while long - short > 1e-5 {
        let middle = (short + long) / 2.0;
        if spare(middle) >= 0.0 {
            long = middle;
        } else {
            short = middle;
        }
    }
    Some(long)
}

#[cfg(test)]
mod tests;
