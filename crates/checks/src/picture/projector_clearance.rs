//! Is there room round the projector's case for its plugs, its air and its ceiling?

mod case;

use analysis::{Analysis, Limit, Means, Missing, Parts, ProjectorPlace, Reads, Source, item_label};
use model::{Length, Side, Space};
use units::Dimension;

use self::case::{Case, CaseSide, Nearest, REACH_M};
use crate::moves::{Placed, Round, least_change, text_of, to_spare, written_length};
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
fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    analysis
        .projectors_in(space)
        .flat_map(|(item, kit)| {
            let (projector, reads) = analysis.noting(|| analysis.projector(item, kit));
            match projector {
                Ok(projector) => sides(analysis, space, &projector, &reads),
                Err(missing) => vec![CHECK.about(space, Subject::item(item), || Err(missing))],
            }
        })
        .collect()
}

/// `reads`: what the projector's place rests on.
fn sides(
    analysis: &Analysis,
    space: &Space,
    projector: &ProjectorPlace<'_>,
    reads: &Reads,
) -> Vec<Finding> {
    let case = Case::new(projector);
    let near = case.near_things(analysis, space);
    let of_the_room = analysis.kept_of_item("the room round a case", projector.item, || {
        analysis.rest_on(reads);
        let space = analysis.with_parts(space, Parts::NONE);
        case.of_the_room(analysis, space)
    });
    (CaseSide::ALL.into_iter().zip(of_the_room))
        .filter_map(|(side, of_the_room)| {
            let nearest = case.nearest(side, &near, of_the_room);
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
    )
    .caution(Caution::Ladder);
    if analysis.is_trial() {
        return Ok(outcome);
    }
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
    let outcome = outcome.because(sentence);
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

/// The free space that is asked for behind, on the left and on the right of the case, m.
pub(crate) fn asked(analysis: &Analysis, projector: &ProjectorPlace<'_>) -> [Known<Uncertain>; 3] {
    [CaseSide::Behind, CaseSide::Left, CaseSide::Right]
        .map(|side| Asked::of(analysis, projector, side).map(|asked| asked.space))
}

/// The gap that is asked for above the case, m.
pub(crate) fn gap_above_m(analysis: &Analysis) -> f64 {
    analysis.limit(&GAP_ABOVE).value
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
