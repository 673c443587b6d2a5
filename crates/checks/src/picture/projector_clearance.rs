//! Is there room round the projector's case for its plugs, its air and its ceiling?

use analysis::{
    Analysis, Body, Limit, Means, Missing, ProjectorPlace, Source, SpaceModel, Vector2, item_label,
};
use model::{Length, Side, Space};
use units::Dimension;

use crate::moves::{Placed, Round, text_of, to_spare, written_length};
use crate::obstacles::{Thing, things};
use crate::{
    Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Subject, Uncertain,
};

pub(crate) static CHECK: Check = Check {
    id: "projector-clearance",
    area: Area::Picture,
    proves: "Behind, beside and above its case a projector has the free space that its maker asks for, and behind it the plugs and their cables too.",
    matters: "Plugs that are bent against the wall break, and a case that breathes its own exhaust gets loud, dims and switches itself off in the middle of a film.",
    formula: "gap = distance from the case's side to the nearest wall, soffit or thing before it, m; asked: behind, the maker's clearance for air and the depth of plugs with the bend of their cables; beside, the maker's clearance, before the exhaust its own; above, a gap to reach and cool. Walls more than 1 m from a side are not spoken of. Valid for a case square to its screen.",
    source: Source::SpecSheet,
    when_it_fails: "Move the projector towards the screen or sideways, or hang it lower; look at throw and shift again afterwards.",
    limits: &[&PLUG_DEPTH, &GAP_ABOVE],
    published: NONE,
    run: Run::EachSpace(run),
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
                    decide(analysis, projector, side, &nearest)
                })
            })
        })
        .collect()
}

fn decide(
    analysis: &Analysis,
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
    Ok(outcome
        .because(sentence)
        .caution(Caution::Ladder)
        .remedy(remedy(analysis, projector, side, lacking)))
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
            _ => found.extend(self.wall(space, shape, side)?),
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
        })
    }

    /// The nearest wall that faces a side and stands before it.
    fn wall(&self, space: &Space, shape: &SpaceModel, side: CaseSide) -> Known<Option<Nearest>> {
        let towards = match side {
            CaseSide::Left => self.right.scaled(&Uncertain::exact(-1.0)),
            CaseSide::Right => self.right.clone(),
            _ => self.back.clone(),
        };
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
                    });
                }
            }
        }
        Ok(nearest)
    }

    fn ceiling(&self, space: &Space, shape: &SpaceModel) -> Known<Option<Nearest>> {
        if space.kind == Some(model::SpaceKind::Outdoor) {
            return Ok(None);
        }
        let mut nearest: Option<Nearest> = None;
        for corner in self.corners() {
            let gap = shape.ceiling_at(&corner)? - self.body.top();
            if nearest.as_ref().is_none_or(|nearest| gap < nearest.gap) {
                nearest = Some(Nearest {
                    gap,
                    label: "the ceiling".to_owned(),
                });
            }
        }
        Ok(nearest)
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
mod tests {
    //! Each side by hand, both sides of its limit, soffits and slopes, and remedies.

    use expect_test::expect;

    use super::CHECK;
    use crate::testing::{findings, findings_after, told};
    use crate::{Finding, Verdict};

    const SHEET: &str = r#"rear_clearance = "150 mm"
plug_depth = "60 mm"
side_clearance = "100 mm"
exhaust = "left"
exhaust_clearance = "500 mm""#;

    /// The screen is on the west wall; the case's back looks east, 6 m away.
    fn cinema(from_west: &str, from_north: &str, drop: &str, sheet: &str) -> String {
        format!(
            r#"
[[kit.screen]]
id = "screen-s1"
aspect = "16:9"
picture_width = "2 m"
frame = "80 mm"
[[kit.projector]]
id = "projector-p3"
size = ["500 mm", "150 mm", "400 mm"]
{sheet}
[[item]]
id = "screen"
is = "screen-s1"
on = {{ wall = "west", from_left = "2 m", height = "1.3 m" }}
[[item]]
id = "projector"
is = "projector-p3"
hung = {{ from = ["west", "{from_west}"], and = ["north", "{from_north}"], drop = "{drop}" }}
"#
        )
    }

    fn side(found: &[Finding], side: &str) -> Finding {
        let ends = format!(".{side}");
        let found = found
            .iter()
            .find(|finding| finding.subject.id.ends_with(&ends));
        found
            .cloned()
            .unwrap_or_else(|| panic!("nothing about {side}"))
    }

    #[test]
    fn each_side_asks_for_its_own_space() {
        // Behind: 6 − 5.5 − 0.2 = 0.3 m. North is on the right of who faces west: 0.9 −
        // 0.25 = 0.65 m. Above: the drop. South is 2.85 m away on the left: not spoken of.
        let found = findings(&CHECK, &cinema("5.5 m", "0.9 m", "100 mm", SHEET));
        expect![[r#"
            projector, behind: fits +0.090: Behind projector there are 300 mm to wall east; asked for are 150 mm for air and 60 mm for plugs and the bend of their cables.
            projector, right: fits +0.550: On the right of projector there are 650 mm to wall north; asked for are 100 mm on each side.
            projector, above: fits +0.075: Above projector there are 100 mm to the ceiling; asked for are 25 mm.
        "#]]
        .assert_eq(&told(&found));
    }

    #[test]
    fn either_side_of_the_rear_limit() {
        // 6 − x − 0.2 = 0.21 at x = 5.59 m; the room is known to some 3 mm.
        for (from_west, verdict) in [
            ("5.58 m", Verdict::Fits),
            ("5.589 m", Verdict::Tight),
            ("5.60 m", Verdict::Fails),
        ] {
            let found = findings(&CHECK, &cinema(from_west, "2 m", "100 mm", SHEET));
            assert_eq!(side(&found, "behind").verdict, verdict, "{from_west}");
        }
    }

    #[test]
    fn plugs_of_unknown_depth_take_the_customary_one() {
        let sheet = r#"rear_clearance = "150 mm""#;
        let found = findings(&CHECK, &cinema("5.5 m", "2 m", "100 mm", sheet));
        let behind = side(&found, "behind");
        assert!((behind.limit.expect("decided") - 0.225).abs() < 1e-12);
        assert_eq!(behind.source, analysis::Source::CommonPractice);
    }

    #[test]
    fn the_exhaust_asks_for_more_than_the_other_side() {
        // 0.4 m to the south wall, on the left, where the exhaust is; as much to the north.
        let found = findings(&CHECK, &cinema("4 m", "3.35 m", "100 mm", SHEET));
        assert_eq!(side(&found, "left").verdict, Verdict::Fails);
        let found = findings(&CHECK, &cinema("4 m", "0.65 m", "100 mm", SHEET));
        assert_eq!(side(&found, "right").verdict, Verdict::Fits);
    }

    #[test]
    fn a_soffit_behind_counts_at_the_height_of_the_case() {
        let soffit = |underside: &str| {
            format!(
                r#"{}
[[space.soffit]]
id = "duct"
from = ["east", "0 m"]
and = ["north", "0 m"]
size = ["4 m", "600 mm"]
underside = "{underside}"
"#,
                cinema("5 m", "2 m", "100 mm", SHEET)
            )
        };
        // 6 − 0.6 − 5 − 0.2 = 0.2 m to the duct's face, 0.21 m asked.
        let found = findings(&CHECK, &soffit("2.2 m"));
        let behind = side(&found, "behind");
        assert_eq!(behind.verdict, Verdict::Fails, "{}", behind.because);
        assert!((behind.value.expect("decided").value() - 0.2).abs() < 1e-3);
        // The case ends 150 mm below 2.3 m; a duct above that passes over.
        let found = findings(&CHECK, &soffit("2.35 m"));
        assert_eq!(side(&found, "behind").verdict, Verdict::Fits);
    }

    #[test]
    fn a_flush_case_lacks_its_gap_above() {
        let found = findings(&CHECK, &cinema("4 m", "2 m", "0 mm", SHEET));
        assert_eq!(side(&found, "above").verdict, Verdict::Fails);
    }

    #[test]
    fn without_the_sheet_nothing_is_claimed_of_the_back() {
        let found = findings(&CHECK, &cinema("4 m", "2 m", "100 mm", ""));
        let behind = side(&found, "behind");
        assert_eq!(behind.verdict, Verdict::Unknown);
        assert_eq!(
            behind.needs[0].at,
            "kit.projector.projector-p3.rear_clearance"
        );
    }

    #[test]
    fn each_remedy_mends_it_alone() {
        for (from_west, from_north, drop, which) in [
            ("5.7 m", "2 m", "100 mm", "behind"),
            ("4 m", "3.3 m", "100 mm", "left"),
            ("4 m", "0.3 m", "100 mm", "right"),
            ("4 m", "2 m", "10 mm", "above"),
        ] {
            let text = cinema(from_west, from_north, drop, SHEET);
            let before = side(&findings(&CHECK, &text), which);
            assert_eq!(before.verdict, Verdict::Fails, "{which}");
            assert_eq!(before.remedies.len(), 1, "{which}");
            let after = findings_after(&CHECK, &text, &before.remedies[0].edits);
            let after = side(&after, which);
            assert_eq!(
                after.verdict,
                Verdict::Fits,
                "{}: {}",
                before.remedies[0].says,
                after.because
            );
        }
    }
}
