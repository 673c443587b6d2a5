//! Does each cut-out lie between the studs or joists?

use analysis::{Analysis, Means, Missing, Parts, Source};
use model::{Construction, Edit, Kit, LoudspeakerForm, LoudspeakerKit, Space};
use structure::framing::{Bars, Fit, Framing, Span};
use units::{Dimension, Metres};

use crate::cut_out::{
    CUTOUT_CLEARANCE, CutOut, Surface, alike, bars_word, construction, cut_outs, face,
};
use crate::moves::{Round, from_left, in_plan, text_of, to_spare, written_length};
use crate::{Area, Caution, Check, Finding, Known, Outcome, Published, Remedy, Run, Uncertain};

pub(crate) static CHECK: Check = Check {
    id: "cutout-framing",
    area: Area::Cables,
    proves: "Each hole for an in-wall or in-ceiling loudspeaker or plate lies between two studs or joists.",
    matters: "A hole on a stud is found with the saw in it: the loudspeaker can't go there, and the board must be patched.",
    formula: "free = min(left edge − (c + f/2) of the stud before, (c − f/2) of the stud after − right edge); c: centres, first + k spacing; f: width of a stud's face, 38 mm when not measured; m. Joists are counted from the wall that they run along. Corners count as solid. Boxes, pipes and wires in the bay are not seen.",
    source: Source::Derived {
        from: "geometry of equally spaced framing",
    },
    when_it_fails: "Shift it sideways to the middle of a bay, or take one with a narrower hole.",
    limits: &[&CUTOUT_CLEARANCE],
    published: &[
        Published {
            cite: "studs 16 in apart from 14 1/2 in, face 1 1/2 in; hole of 10 in from 33 in: 1 3/4 in free (by hand)",
            computed: || free_in(33.0, 10.0),
            expected: 1.75,
            tolerance: 1e-9, // Exact.
            unit: "in",
        },
        Published {
            cite: "the same wall; hole of 10 in from 40 in: 4 1/4 in into the stud at 46 1/2 in (by hand)",
            computed: || free_in(40.0, 10.0),
            expected: -4.25,
            tolerance: 1e-9, // Exact.
            unit: "in",
        },
    ],
    run: Run::EachSpaceIn(Parts::NONE, run),
};

fn free_in(start_in: f64, width_in: f64) -> f64 {
    let inch = 0.0254;
    let framing = [14.5, 16.0, 1.5, 144.0].map(|value| value * inch);
    free_m([start_in * inch, width_in * inch], framing) / inch
}

/// Least free distance of a hole, from its start and width, to framing by the first
/// centre, spacing, face and length.
fn free_m(hole: [f64; 2], framing: [f64; 4]) -> f64 {
    fit(hole, framing, 0.0).map_or(f64::NAN, |fit| fit.before.0.min(fit.after.0))
}

fn fit([start, width]: [f64; 2], framing: [f64; 4], clearance: f64) -> Option<Fit> {
    let span = Span {
        start: Metres(start),
        width: Metres(width),
    };
    bars(framing)?.fit(span, Metres(clearance))
}

fn bars([first, spacing, face, length]: [f64; 4]) -> Option<Bars> {
    let framing = Framing {
        first: Metres(first),
        spacing: Metres(spacing),
        face: Metres(face),
        length: Metres(length),
    };
    framing.bars_throughout()
}

fn run(analysis: &Analysis, space: &Space) -> Vec<Finding> {
    cut_outs(analysis, space)
        .filter(|cut_out| {
            // Masonry has no bays; what it lacks in depth is another check's affair.
            construction(space, cut_out.surface)
                .map_or(true, |(built, _)| bars_word(built.framing).is_some())
        })
        .map(|cut_out| {
            CHECK.about_item(analysis, space, cut_out.item, || {
                decide(analysis, space, &cut_out)
            })
        })
        .collect()
}

/// Where a hole lies along the direction in which studs or joists are counted.
struct Placed {
    /// Its middle from the end that they are counted from.
    middle: Uncertain,
    /// Its extent that way.
    width: Uncertain,
    /// From end to end.
    length: Uncertain,
    /// That direction in plan.
    direction: [f64; 2],
}

/// A hole among studs or joists.
struct Among<'a> {
    analysis: &'a Analysis,
    cut_out: &'a CutOut<'a>,
    placed: Placed,
    first: Uncertain,
    spacing: Uncertain,
    face: Uncertain,
    word: &'static str,
}

impl Among<'_> {
    /// Free distance, less what is asked for, with the hole moved and of this width.
    fn margin(&self, width: &Uncertain, moved_m: f64) -> Uncertain {
        let start = &self.placed.middle - width / 2.0 + moved_m;
        let (first, spacing, face) = (&self.first, &self.spacing, &self.face);
        let inputs = [&start, width, first, spacing, face, &self.placed.length];
        let free = uncertainty::through(inputs, |[start, width, first, spacing, face, length]| {
            free_m([start, width], [first, spacing, face, length])
        });
        free - self.analysis.limit(&CUTOUT_CLEARANCE).value
    }

    /// The engine's answer to the hole moved, with this clearance.
    fn fit(&self, moved_m: f64, clearance_m: f64) -> Option<Fit> {
        let width = self.placed.width.value();
        let start = self.placed.middle.value() - width / 2.0 + moved_m;
        let length = &self.placed.length;
        let framing = [&self.first, &self.spacing, &self.face, length].map(Uncertain::value);
        fit([start, width], framing, clearance_m)
    }
}

fn decide(analysis: &Analysis, space: &Space, cut_out: &CutOut<'_>) -> Known<Outcome> {
    let (built, path) = construction(space, cut_out.surface)?;
    let word = bars_word(built.framing).unwrap_or_default();
    let surface = cut_out.surface.words();
    let ask = |what: String, field: &str| {
        Missing::new(what, format!("{path}.{field}"), Means::StudFinder)
    };
    let placed = placed(analysis, space, cut_out, built, &path)?;
    let spacing = (analysis.number(built.spacing.as_ref())).ok_or_else(|| {
        ask(
            format!("the spacing of the {word}s of {surface}"),
            "spacing",
        )
    })?;
    let face = face(analysis, built, &path);
    let Some(first) = analysis.number(built.first_from_left.as_ref()) else {
        let bay = &spacing - &face;
        let clearance = analysis.limit(&CUTOUT_CLEARANCE).value;
        if placed.width.value() + 2.0 * clearance > bay.value() {
            let margin = (&bay - &placed.width) / 2.0 - clearance;
            return Ok(wider_than_any_bay(
                analysis,
                cut_out,
                &placed.width,
                &bay,
                margin,
            ));
        }
        let what = format!("where the first {word} of {surface} is");
        return Err(ask(what, "first_from_left"));
    };
    let among = Among {
        analysis,
        cut_out,
        placed,
        first,
        spacing,
        face,
        word,
    };
    judge(&among)
}

fn placed(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
    built: &Construction,
    path: &str,
) -> Known<Placed> {
    let shape = analysis.shape(space);
    let [across, up] = cut_out.size(analysis)?;
    let hung = match cut_out.surface {
        Surface::Wall(on) => {
            let [middle, _] = cut_out.middle_on_wall(analysis, space, on)?;
            let wall = space.wall(&on.wall).expect("its rectangle has a wall");
            let (_, along, _) = shape.wall_frame(wall)?;
            return Ok(Placed {
                middle,
                width: across,
                length: shape.wall_length(wall)?,
                direction: along.value(),
            });
        }
        Surface::Ceiling(hung) => hung,
    };
    let wall = (built.along.as_deref()).and_then(|wall| space.wall(wall));
    let wall = wall.ok_or_else(|| {
        Missing::new(
            format!("the wall that the joists of {} run along", space.label()),
            format!("{path}.along"),
            Means::StudFinder,
        )
    })?;
    let point = analysis.item_point(cut_out.item)?.in_plan();
    let (_, middle) = shape.on_wall(wall, &point)?;
    let (_, along, inward) = shape.wall_frame(wall)?;
    let mut length = Uncertain::exact(0.0);
    for corner in shape.corners()? {
        length = length.max(&shape.on_wall(wall, corner)?.1);
    }
    // Its width lies along the first wall that it is measured from.
    let own = space.wall(&hung.from.0).expect("its place is known");
    let with_joists = shape.wall_frame(own)?.1.dot(&along).value().abs() > 0.5;
    Ok(Placed {
        middle,
        width: if with_joists { up } else { across },
        length,
        direction: inward.value(),
    })
}

fn judge(among: &Among<'_>) -> Known<Outcome> {
    let analysis = among.analysis;
    let margin = among.margin(&among.placed.width, 0.0);
    if !margin.value().is_finite() {
        let what = format!(
            "a spacing and face of the {}s of {} that fit its length",
            among.word,
            among.cut_out.surface.words()
        );
        return Err(Missing::new(what, "", Means::StudFinder));
    }
    let limit = analysis.limit(&CUTOUT_CLEARANCE);
    let free = &margin + limit.value;
    let asked = analysis.exact(limit.value, Dimension::Length);
    let (label, surface) = (among.cut_out.label(), among.cut_out.surface.words());
    let width = analysis.length(&among.placed.width);
    let sentence = if free.value() >= 0.0 {
        format!(
            "The {width} wide hole of {label} in {surface} is {} clear of the nearer {}, where {asked} is asked for.",
            analysis.length(&free),
            among.word,
        )
    } else {
        format!(
            "A {} stands in the {width} wide hole of {label} in {surface}: the hole would have to end {} sooner, and {asked} clear of it is asked for.",
            among.word,
            analysis.length(&-&free),
        )
    };
    let outcome = Outcome::with_margin(
        free,
        limit.value,
        margin,
        Dimension::Length,
        limit.source.clone(),
    );
    let outcome = cautioned(outcome, among.cut_out).because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return Ok(outcome);
    }
    // How well the nearer stud is known differs from bay to bay: ask where it would go.
    let least = among.fit(0.0, limit.value).and_then(|fit| {
        let there = among.margin(&among.placed.width, fit.shift?.0);
        let expanded = there.value() - to_spare(&there, 0.0);
        among.fit(0.0, limit.value + expanded)?.shift
    });
    let middle = least.and_then(|least| {
        let there = among.fit(least.0, 0.0)?;
        Some(least.0 + (there.after.0 - there.before.0) / 2.0)
    });
    let just_clear = least.and_then(|least| shifted(among, least.0, "just clear of"));
    // In a bay with nothing to spare both are the same place.
    let middle = middle
        .filter(|middle| least.is_some_and(|least| (middle - least.0).abs() > 0.005))
        .and_then(|middle| shifted(among, middle, "to the middle between"));
    let clearance = 2.0 * limit.value;
    let bay = &among.spacing - &among.face;
    let too_wide = (&among.placed.width + clearance).value() > bay.value();
    let on_wall = too_wide.then(|| on_the_wall(analysis, among.cut_out));
    Ok(outcome
        .remedy(just_clear)
        .remedy(middle)
        .remedy(narrower(among))
        .remedy(on_wall.flatten()))
}

fn cautioned(outcome: Outcome, cut_out: &CutOut<'_>) -> Outcome {
    let outcome = outcome
        .caution(Caution::Drilling)
        .caution(Caution::Structure);
    match cut_out.surface {
        Surface::Wall(_) => outcome,
        Surface::Ceiling(_) => outcome.caution(Caution::Ladder),
    }
}

fn shifted(among: &Among<'_>, by_m: f64, where_to: &str) -> Option<Remedy> {
    let analysis = among.analysis;
    // Where it is already is no change.
    if by_m == 0.0 {
        return None;
    }
    let round = if by_m > 0.0 { Round::Up } else { Round::Down };
    let edit = match among.cut_out.surface {
        Surface::Wall(on) => {
            let moved = on.from_left.as_ref()?.value()? + by_m;
            from_left(analysis, among.cut_out.item, moved, round)
        }
        Surface::Ceiling(_) => {
            let direction = among.placed.direction;
            in_plan(analysis, among.cut_out.item, direction, by_m, round)?
        }
    };
    let from = match among.cut_out.surface {
        Surface::Wall(_) => "the left corner",
        Surface::Ceiling(_) => "the wall that it is measured from",
    };
    let says = format!(
        "Shift {} {} {where_to} the {}s: {} from {from}.",
        among.cut_out.label(),
        written_length(analysis, by_m.abs(), Round::Up),
        among.word,
        text_of(&edit),
    );
    // What a tape shows may be a step more than a narrow bay allows.
    let step_m = units::step(analysis.printer().system, Dimension::Length, None);
    let worst = [by_m, by_m + step_m.copysign(by_m)]
        .map(|by| among.margin(&among.placed.width, by))
        .map(|margin| to_spare(&margin, 0.0));
    (worst[0] > -1e-6 && worst[1] > -step_m)
        .then(|| Remedy::new(says, vec![edit]).caution(Caution::Drilling))
}

/// Another catalogue entry of its kind whose hole is free of the framing in this place.
fn narrower(among: &Among<'_>) -> Option<Remedy> {
    let analysis = among.analysis;
    let turned = |size: [Uncertain; 2]| {
        let own = among.cut_out.size(analysis).ok()?;
        let across = own[0].value() == among.placed.width.value();
        let [width, height] = size;
        Some(if across { width } else { height })
    };
    let fits = |kit: &Kit<'_>| {
        let size = among.cut_out.size_of(analysis, *kit).ok();
        size.and_then(turned)
            .is_some_and(|width| to_spare(&among.margin(&width, 0.0), 0.0) >= 0.0)
    };
    let kit = alike(analysis, among.cut_out).find(fits)?;
    Some(instead(
        among.cut_out,
        kit,
        "whose hole lies between the framing there",
    ))
}

/// A loudspeaker of the catalogue that hangs on the wall, where no bay holds the hole: of
/// those with as many channels the one most like it in width.
fn on_the_wall(analysis: &Analysis, cut_out: &CutOut<'_>) -> Option<Remedy> {
    let (Surface::Wall(_), Kit::Loudspeaker(own)) = (cut_out.surface, cut_out.kit) else {
        return None;
    };
    let width = |kit: &LoudspeakerKit| {
        let size = kit.common.size.as_ref().map(|[width, ..]| width);
        let hole = kit.cutout.as_ref().map(|[width, _]| width);
        size.or(hole)?.value()
    };
    let now = width(own)?;
    let (kit, _) = (analysis.catalogue().loudspeaker.iter())
        .filter(|kit| kit.form == Some(LoudspeakerForm::OnWall))
        .filter(|kit| kit.channels.unwrap_or(1) == own.channels.unwrap_or(1))
        .filter_map(|kit| Some((kit, (width(kit)? - now).abs())))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let kit = Kit::Loudspeaker(kit);
    let why = "which hangs on the wall and needs no hole";
    Some(instead(cut_out, kit, why).caution(Caution::Drilling))
}

/// Fits another catalogue entry in the same place.
fn instead(cut_out: &CutOut<'_>, kit: Kit<'_>, why: &str) -> Remedy {
    let id = &kit.common().id;
    let says = format!(
        "Fit {} instead of {} as {}, {why}.",
        kit.common().name.as_deref().unwrap_or(id),
        cut_out.item.is,
        cut_out.label(),
    );
    let edit = Edit::set(format!("item.{}.is", cut_out.item.id), id.clone());
    Remedy::new(says, vec![edit])
}

/// Wherever the first stud is, no bay holds it.
fn wider_than_any_bay(
    analysis: &Analysis,
    cut_out: &CutOut<'_>,
    width: &Uncertain,
    bay: &Uncertain,
    margin: Uncertain,
) -> Outcome {
    let limit = analysis.limit(&CUTOUT_CLEARANCE);
    let sentence = format!(
        "The {} wide hole of {} is too wide for any bay of {}: {} between faces, and {} clear on both sides is asked for.",
        analysis.length(width),
        cut_out.label(),
        cut_out.surface.words(),
        analysis.length(bay),
        analysis.exact(limit.value, Dimension::Length),
    );
    let free = &margin + limit.value;
    let outcome = Outcome::with_margin(free, limit.value, margin, Dimension::Length, limit.source);
    let outcome = cautioned(outcome, cut_out).because(sentence);
    if !outcome.asks_for_remedies(analysis) {
        return outcome;
    }
    outcome.remedy(on_the_wall(analysis, cut_out))
}

#[cfg(test)]
mod tests;
