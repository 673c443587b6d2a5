//! Is there room round the projector's case for its plugs, its air and its ceiling?

use analysis::{
    Analysis, Body, Limit, Means, Missing, Parts, ProjectorPlace, Source, SpaceModel, Vector2,
    item_label,
};
use geometry::{Ceiling, Plane};
use model::{Length, Side, Space};
use units::Dimension;

use crate::moves::{Placed, Round, least_change, text_of, to_spare, written_length};
use crate::obstacles::{Thing, things};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(crate) static CHECK: Check = Check {
    id: "projector-clearance",
    area: Area::Picture,
    proves: "Behind, beside and above its case a projector has the free space that its maker asks for, and behind it the plugs and their cables too.",
    matters: "Plugs that are bent against the wall break, and a case that breathes its own exhaust gets loud, dims and switches itself off in the middle of a film.",
    formula: "gap = distance from the case's side to the nearest wall, soffit or thing before it, m; asked: behind, the maker's clearance for air and the depth of plugs with the bend of their cables; beside, the maker's clearance, before the exhaust its own; above, a gap to reach and cool. A sloping ceiling stands beside the case where it has come down to the middle of the case's height. Walls more than 1 m from a side are not spoken of. Valid for a case square to its screen.",
    source: Source::SpecSheet,
    when_it_fails: "Move the projector towards the screen or sideways, or hang it lower; look at throw and shift again afterwards.",
    limits: &[&PLUG_DEPTH, &GAP_ABOVE],
    published: NONE,
    run: Run::EachSpaceIn(Parts::FIXTURES, run),
};

/// The makers' sheets are the source; there is nothing else to compare with.
const NONE: &[Published] = &[];

static PLUG_DEPTH: Limit = Limit {
    name: "projector_plug_depth",
    meaning: "depth of plugs and the bend of their cables behind a projector whose sheet does not say",
    dimension: Dimension::Length,
    value: 0.075,
    source: Source::CommonPractice,
    regional: &[],
};

static GAP_ABOVE: Limit = Limit {
    name: "projector_gap_above",
    meaning: "least gap between a projector's case and what is above it",
    dimension: Dimension::Length,
    value: 0.025,
    source: Source::CommonPractice,
    regional: &[],
};

/// A projector is not hung lower by more than this beside a slope, m.
const LOWER_MOST_M: f64 = 1.0;
/// Nothing farther than this from a side disturbs it, m: no maker asks for as much.
const REACH_M: f64 = 1.0;
/// A wall counts as standing on a side when it faces it within 45°.
const FACING: f64 = 0.70;

/// A side of the case.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum CaseSide {
    Behind,
    Left,
    Right,
    Above,
}

impl CaseSide {
    const ALL: [Self; 4] = [Self::Behind, Self::Left, Self::Right, Self::Above];

    fn word(self) -> &'static str {
        match self {
            Self::Behind => "behind",
            Self::Left => "left",
            Self::Right => "right",
            Self::Above => "above",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Behind => "behind",
            Self::Left => "on the left of",
            Self::Right => "on the right of",
            Self::Above => "above",
        }
    }
}

/// What stands nearest to a side.
struct Nearest {
    gap: Uncertain,
    label: String,
    is_ceiling: bool,
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .projectors_in(space)
        .flat_map(|(item, kit)| match analysis.projector(item, kit) {
            Ok(projector) => sides(analysis, space, &projector),
            Err(missing) => vec![CHECK.about(space, Subject::item(item), || Err(missing))],
        })
        .collect()
}

fn sides(analysis: &Analysis, space: &Space, projector: &ProjectorPlace<'_>) -> Vec<Finding> {
    let case = Case::new(projector);
    let near = case.near_things(analysis, space);
    CaseSide::ALL
        .into_iter()
        .filter_map(|side| {
            let nearest = case.nearest(analysis, space, side, &near);
            // Behind, where the plugs are, there is always an answer.
            let matters = match &nearest {
                Ok(Some(nearest)) => side == CaseSide::Behind || nearest.gap.value() < REACH_M,
                Ok(None) => false,
                Err(_) => true,
            };
            let base = Subject::item(projector.item);
            let subject = Subject::new(
                format!("{}.{}", base.id, side.word()),
                format!("{}, {}", base.label, side.word()),
            );
            matters.then(|| {
                CHECK.about(space, subject, || {
                    let nearest = nearest?.expect("sides without anything near are left out");
                    decide(analysis, space, projector, side, &nearest)
                })
            })
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    side: CaseSide,
    nearest: &Nearest,
) -> Known<Outcome> {
    let asked = Asked::of(analysis, projector, side)?;
    let margin = &nearest.gap - &asked.space;
    let outcome = Outcome::with_margin(
        nearest.gap.clone(),
        asked.space.value(),
        margin,
        Dimension::Length,
        asked.source,
    );
    let name = item_label(projector.item);
    let sentence = if nearest.gap.value() < 0.0 {
        format!(
            "The case of {name} reaches {} into {}.",
            analysis.length(&-&nearest.gap),
            nearest.label
        )
    } else {
        format!(
            "{} {name} there are {} to {}; asked for are {}.",
            upper_first(side.words()),
            analysis.length(&nearest.gap),
            nearest.label,
            asked.words
        )
    };
    let lacking = -to_spare(outcome.margin(), 0.0);
    let outcome = outcome.because(sentence).caution(Caution::Ladder);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    // What hangs from a slope follows it when it is moved along; it stays as near to it.
    let hangs = projector.item.hung.is_some();
    if nearest.is_ceiling && side != CaseSide::Above {
        let asked_m = nearest.gap.value() + lacking;
        let outcome = outcome.remedy(lower(analysis, space, projector, side, asked_m));
        return Ok(if hangs {
            outcome
        } else {
            outcome.remedy(remedy(analysis, projector, side, lacking))
        });
    }
    Ok(outcome.remedy(remedy(analysis, projector, side, lacking)))
}

fn upper_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// How much free space a side asks for, and why.
struct Asked {
    space: Uncertain,
    words: String,
    source: Source,
}

impl Asked {
    fn of(analysis: &Analysis, projector: &ProjectorPlace<'_>, side: CaseSide) -> Known<Self> {
        let kit = projector.kit;
        let fact = |fact: &Option<Length>, what: &str, field: &str| {
            analysis.number(fact.as_ref()).ok_or_else(|| {
                Missing::new(
                    format!("{what} of {}", projector.item.is),
                    format!("kit.projector.{}.{field}", kit.common.id),
                    Means::SpecSheet,
                )
            })
        };
        let exhaust = match kit.exhaust {
            Some(Side::Left) => Some(CaseSide::Left),
            Some(Side::Right) => Some(CaseSide::Right),
            None => None,
        };
        match side {
            CaseSide::Behind => {
                let air = fact(
                    &kit.rear_clearance,
                    "the free space behind the case",
                    "rear_clearance",
                )?;
                let usual = analysis.limit(&PLUG_DEPTH);
                let (plugs, source, whose) = match analysis.number(kit.plug_depth.as_ref()) {
                    Some(plugs) => (plugs, Source::SpecSheet, ""),
                    None => (Uncertain::exact(usual.value), usual.source, " usually"),
                };
                let words = format!(
                    "{} for air and{whose} {} for plugs and the bend of their cables",
                    analysis.length(&air),
                    analysis.length(&plugs)
                );
                Ok(Self {
                    space: air + plugs,
                    words,
                    source,
                })
            }
            CaseSide::Left | CaseSide::Right if exhaust == Some(side) => {
                let space = fact(
                    &kit.exhaust_clearance,
                    "the free space before the exhaust",
                    "exhaust_clearance",
                )?;
                let words = format!("{} before the exhaust", analysis.length(&space));
                Ok(Self {
                    space,
                    words,
                    source: Source::SpecSheet,
                })
            }
            CaseSide::Left | CaseSide::Right => {
                let space = fact(
                    &kit.side_clearance,
                    "the free space on each side of the case",
                    "side_clearance",
                )?;
                let words = format!("{} on each side", analysis.length(&space));
                Ok(Self {
                    space,
                    words,
                    source: Source::SpecSheet,
                })
            }
            CaseSide::Above => {
                let limit = analysis.limit(&GAP_ABOVE);
                Ok(Self {
                    space: Uncertain::exact(limit.value),
                    words: analysis.exact(limit.value, Dimension::Length),
                    source: limit.source,
                })
            }
        }
    }
}

/// The case with its directions: to the right of somebody who faces the screen, and back.
struct Case<'a> {
    body: &'a Body,
    right: &'a Vector2,
    back: &'a Vector2,
    item: &'a str,
    screen: &'a str,
}

/// A body in the case's own directions: middle and half size, right, back and up.
struct Seen {
    label: String,
    middle: [Uncertain; 3],
    half: [Uncertain; 3],
}

impl<'a> Case<'a> {
    fn new(projector: &'a ProjectorPlace<'a>) -> Self {
        Self {
            body: &projector.case,
            right: &projector.picture.face.right,
            back: &projector.picture.face.normal,
            item: &projector.item.id,
            screen: &projector.screen.id,
        }
    }

    /// Half of the case's width, depth and height.
    fn half(&self) -> [Uncertain; 3] {
        let [width, height, depth] = &self.body.size;
        [width, depth, height].map(|side| side / 2.0)
    }

    /// Soffits and things whose body is known; the picture checks ask for the others.
    fn near_things(&self, analysis: &Analysis, space: &Space) -> Vec<Seen> {
        things(analysis, space)
            .filter(|thing| {
                !thing
                    .item_id()
                    .is_some_and(|id| id == self.item || id == self.screen)
            })
            .filter_map(|thing: Thing<'_>| {
                let body = thing.body(analysis, space).ok()?;
                Some(self.seen(&body, thing.subject().label))
            })
            .collect()
    }

    fn seen(&self, body: &Body, label: String) -> Seen {
        let offset = &body.centre.in_plan() - &self.body.centre.in_plan();
        let [length, height, depth] = &body.size;
        let parallel = body.along.dot(self.right).abs();
        let square = body.along.dot(self.back).abs();
        Seen {
            label,
            middle: [
                offset.dot(self.right),
                offset.dot(self.back),
                &body.centre.z - &self.body.centre.z,
            ],
            half: [
                (&parallel * length + &square * depth) / 2.0,
                (&square * length + &parallel * depth) / 2.0,
                height / 2.0,
            ],
        }
    }

    fn nearest(
        &self,
        analysis: &Analysis,
        space: &Space,
        side: CaseSide,
        near: &[Seen],
    ) -> Known<Option<Nearest>> {
        let shape = analysis.shape(space);
        let mut found: Vec<Nearest> = near
            .iter()
            .filter_map(|thing| self.gap_to(side, thing))
            .collect();
        match side {
            CaseSide::Above => found.extend(self.ceiling(space, shape)?),
            _ => {
                found.extend(self.wall(space, shape, side)?);
                found.extend(self.slope(space, shape, side, 0.0)?);
            }
        }
        Ok(found
            .into_iter()
            .reduce(|a, b| if b.gap < a.gap { b } else { a }))
    }

    /// The gap to a thing that stands before a side.
    fn gap_to(&self, side: CaseSide, thing: &Seen) -> Option<Nearest> {
        let (axis, sign) = match side {
            CaseSide::Left => (0, -1.0),
            CaseSide::Right => (0, 1.0),
            CaseSide::Behind => (1, 1.0),
            CaseSide::Above => (2, 1.0),
        };
        let half = self.half();
        let between =
            |k: usize| thing.middle[k].value().abs() - thing.half[k].value() - half[k].value();
        let before = (0..3).filter(|k| *k != axis).all(|k| between(k) < 0.0);
        let on_this_side = thing.middle[axis].value() * sign > 0.0;
        // What the case is stuck in is told on the side where the way out is shortest.
        let shortest = between(axis) >= 0.0 || (0..3).all(|k| between(k) <= between(axis));
        (before && on_this_side && shortest).then(|| Nearest {
            gap: &thing.middle[axis] * sign - &thing.half[axis] - &half[axis],
            label: thing.label.clone(),
            is_ceiling: false,
        })
    }

    /// The nearest wall that faces a side and stands before it.
    fn wall(&self, space: &Space, shape: &SpaceModel, side: CaseSide) -> Known<Option<Nearest>> {
        let towards = self.towards(side);
        let mut nearest: Option<Nearest> = None;
        for (index, wall) in space
            .walls
            .iter()
            .enumerate()
            .filter(|(_, wall)| !wall.open)
        {
            let (_, _, inward) = shape.wall_frame(index)?;
            if -towards.dot(&inward).value() < FACING {
                continue;
            }
            let length = shape.wall_length(index)?;
            for corner in self.corners() {
                let (along, off) = shape.on_wall(index, &corner)?;
                let before = (0.0..=length.value()).contains(&along.value());
                let is_nearer = nearest.as_ref().is_none_or(|nearest| off < nearest.gap);
                // A wall far behind the case's own back belongs to another part of the room.
                if before && is_nearer && off.value() > -REACH_M {
                    nearest = Some(Nearest {
                        gap: off,
                        label: format!("wall {}", wall.id),
                        is_ceiling: false,
                    });
                }
            }
        }
        Ok(nearest)
    }

    /// Away from the case on one of its sides.
    fn towards(&self, side: CaseSide) -> Vector2 {
        match side {
            CaseSide::Left => self.right.scaled(&Uncertain::exact(-1.0)),
            CaseSide::Right => self.right.clone(),
            CaseSide::Behind | CaseSide::Above => self.back.clone(),
        }
    }

    /// Where a slope beside the case has come down to half its height, with the case hung
    /// lower by `down_m`. What is below that on the case's own side is told above it.
    fn slope(
        &self,
        space: &Space,
        shape: &SpaceModel,
        side: CaseSide,
        down_m: f64,
    ) -> Known<Option<Nearest>> {
        if space.kind == Some(model::SpaceKind::Outdoor) {
            return Ok(None);
        }
        let towards = self.towards(side);
        let middle = &self.body.centre.z - down_m;
        let mut nearest: Option<Uncertain> = None;
        for corner in self.corners() {
            // Of four corners those on this side are the nearest.
            if let Ok(Some(gap)) = shape.ceiling_comes_down(&corner, &towards, &middle)
                && nearest.as_ref().is_none_or(|nearest| gap < *nearest)
            {
                nearest = Some(gap);
            }
        }
        Ok(nearest.filter(|gap| gap.value() >= 0.0).map(|gap| Nearest {
            gap,
            label: "the sloping ceiling".to_owned(),
            is_ceiling: true,
        }))
    }

    fn ceiling(&self, space: &Space, shape: &SpaceModel) -> Known<Option<Nearest>> {
        if space.kind == Some(model::SpaceKind::Outdoor) {
            return Ok(None);
        }
        let mut nearest: Option<Uncertain> = None;
        for place in self.lowest_places(shape.ceiling()?) {
            let gap = shape.ceiling_at(&place)? - self.body.top();
            if nearest.as_ref().is_none_or(|nearest| gap < *nearest) {
                nearest = Some(gap);
            }
        }
        Ok(nearest.map(|gap| Nearest {
            gap,
            label: "the ceiling".to_owned(),
            is_ceiling: true,
        }))
    }

    /// Places over the case where the ceiling may hang lowest: its corners, where a valley
    /// crosses its edges, and where valleys meet over it.
    fn lowest_places(&self, ceiling: &Ceiling) -> Vec<Vector2> {
        let corners = self.corners();
        let mut places = corners.to_vec();
        let planes = ceiling.planes();
        for (first, one) in planes.iter().enumerate() {
            for (second, other) in planes.iter().enumerate().skip(first + 1) {
                let between = |point: &Vector2| {
                    let [x, y] = point.value();
                    (one.slope_x - other.slope_x) * x
                        + (one.slope_y - other.slope_y) * y
                        + (one.height_m - other.height_m)
                };
                for (a, b) in [(0, 1), (1, 3), (3, 2), (2, 0)] {
                    let (at_a, at_b) = (between(&corners[a]), between(&corners[b]));
                    if at_a * at_b < 0.0 {
                        let share = Uncertain::exact(at_a / (at_a - at_b));
                        let along = &corners[b] - &corners[a];
                        places.push(&corners[a] + &along.scaled(&share));
                    }
                }
                for third in &planes[second + 1..] {
                    places.extend(meeting(one, other, third).and_then(|point| self.over(point)));
                }
            }
        }
        places
    }

    /// A point in plan, where it is over the case.
    fn over(&self, [x, y]: [f64; 2]) -> Option<Vector2> {
        let middle = self.body.centre.in_plan();
        let point = Vector2 {
            x: Uncertain::exact(x),
            y: Uncertain::exact(y),
        };
        let offset = &point - &middle;
        let [across, back, _] = self.half();
        let inside = offset.dot(self.right).value().abs() <= across.value()
            && offset.dot(self.back).value().abs() <= back.value();
        inside.then_some(point)
    }

    /// The case's corners in plan.
    fn corners(&self) -> [Vector2; 4] {
        let [across, back, _] = self.half();
        [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)].map(|(right, behind)| {
            let sideways = self.right.scaled(&(&across * right));
            let backwards = self.back.scaled(&(&back * behind));
            &(&self.body.centre.in_plan() + &sideways) + &backwards
        })
    }
}

/// Where three planes have one height.
fn meeting(a: &Plane, b: &Plane, c: &Plane) -> Option<[f64; 2]> {
    let row = |one: &Plane, other: &Plane| {
        [
            one.slope_x - other.slope_x,
            one.slope_y - other.slope_y,
            other.height_m - one.height_m,
        ]
    };
    let ([a1, b1, c1], [a2, b2, c2]) = (row(a, b), row(a, c));
    let turn = a1 * b2 - a2 * b1;
    (turn.abs() > 1e-9).then(|| [(c1 * b2 - c2 * b1) / turn, (a1 * c2 - a2 * c1) / turn])
}

/// Hangs it lower, so that a slope beside it is down to its middle farther off.
fn lower(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    side: CaseSide,
    asked_m: f64,
) -> Option<Remedy> {
    let case = Case::new(projector);
    let shape = analysis.shape(space);
    let gap = |by: f64| {
        let nearest = case.slope(space, shape, side, by).ok().flatten();
        nearest.map_or(f64::INFINITY, |nearest| nearest.gap.value())
    };
    let by_m = least_change(LOWER_MOST_M, |by| gap(by) - asked_m)?;
    let edit = Placed::item(analysis, projector.item)?.raised(analysis, -by_m)?;
    let to = text_of(&edit);
    let to = match projector.item.hung {
        Some(_) => format!("a drop of {to}"),
        None => format!("{to} above the floor"),
    };
    let says = format!(
        "Lower {} by {}, to {to}; look at beam and shift again.",
        item_label(projector.item),
        written_length(analysis, by_m, Round::Up),
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

fn remedy(
    analysis: &Analysis,
    projector: &ProjectorPlace<'_>,
    side: CaseSide,
    lacking_m: f64,
) -> Option<Remedy> {
    let name = item_label(projector.item);
    let by = written_length(analysis, lacking_m, Round::Up);
    let place = Placed::item(analysis, projector.item)?;
    let face = &projector.picture.face;
    let (edit, words) = match side {
        CaseSide::Above => {
            let edit = place.raised(analysis, -lacking_m)?;
            let says = format!("Lower {name} by {by}, to {}.", text_of(&edit));
            return Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder));
        }
        CaseSide::Behind => (
            place.in_plan(analysis, face.normal.value(), -lacking_m, Round::Down)?,
            "towards the screen",
        ),
        CaseSide::Left => (
            place.in_plan(analysis, face.right.value(), lacking_m, Round::Up)?,
            "to the right as one faces the screen",
        ),
        CaseSide::Right => (
            place.in_plan(analysis, face.right.value(), -lacking_m, Round::Down)?,
            "to the left as one faces the screen",
        ),
    };
    let says = format!(
        "Move {name} {by} {words}, to {} from the wall that it is measured from; prove throw and shift again.",
        text_of(&edit)
    );
    Some(Remedy::new(says, vec![edit]).caution(Caution::Ladder))
}

#[cfg(test)]
mod tests;
