//! What stands behind a wall or ceiling where a loudspeaker is to be cut in, and the ceiling
//! over it, as lines that its middle keeps from.

use analysis::{Analysis, Known, Means, Missing};
use geometry::{Ceiling, Join};
use model::{Framing, Space};
use units::{Dimension, Metres};

use super::{Bar, Barrier};
use crate::cables::cavity_depth;
use crate::cut_out::{self, CUTOUT_CLEARANCE, CutOut, bars_word, construction};

/// A wall under its ceiling.
pub(super) struct UnderCeiling<'a> {
    pub ceiling: &'a Ceiling,
    pub left: [f64; 2],
    pub along: [f64; 2],
    pub inward: [f64; 2],
    /// Half the width of what is placed, m.
    pub half_width: f64,
}

impl UnderCeiling<'_> {
    /// Where the ceiling is less than `over_m` above the middle somewhere along the upper edge,
    /// in the wall's face or `out_m` before it.
    pub fn lower_than(&self, over_m: f64, out_m: f64, folds: &[f64]) -> Vec<Vec<[f64; 3]>> {
        let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
        let offs: &[f64] = if out_m > 0.0 { &[0.0, out_m] } else { &[0.0] };
        let ends: &[f64] = if self.half_width > 0.0 {
            &[-1.0, 1.0]
        } else {
            &[0.0]
        };
        let mut found = Vec::new();
        for (end, off) in ends
            .iter()
            .flat_map(|end| offs.iter().map(move |off| (end, off)))
        {
            // slope · (left + along (p₀ + end) + inward off) + c − p₁ ≤ over
            let sides = self.ceiling.planes().iter().map(|plane| {
                let slope = [plane.slope_x, plane.slope_y];
                let rise = dot(slope, self.along);
                let there = plane.height_m
                    + dot(slope, self.left)
                    + rise * end * self.half_width
                    + dot(slope, self.inward) * off;
                [rise, -1.0, over_m - there]
            });
            match self.ceiling.join() {
                Join::Lower => found.extend(sides.map(|side| vec![side])),
                Join::Upper => found.push(sides.collect()),
            }
        }
        if self.ceiling.join() == Join::Upper {
            for (fold, off) in folds
                .iter()
                .flat_map(|fold| offs.iter().map(move |off| (fold, off)))
            {
                let [x, y] =
                    [0, 1].map(|k| self.left[k] + self.along[k] * fold + self.inward[k] * off);
                let height_m = self.ceiling.height_at(geometry::Point2::new(x, y)).0;
                found.push(vec![
                    [1.0, 0.0, fold + self.half_width],
                    [-1.0, 0.0, self.half_width - fold],
                    [0.0, -1.0, over_m - height_m],
                ]);
            }
        }
        found
    }
}

/// A stretch of places, along the direction in which studs or joists are counted, at which
/// a hole meets one.
pub(super) struct BarStretch {
    from_m: f64,
    to_m: f64,
    label: String,
}

pub(super) fn framed(bar: BarStretch, direction: [f64; 2], at_origin: f64) -> Barrier {
    let [x, y] = direction;
    let mut sides = Vec::new();
    if bar.to_m.is_finite() {
        sides.push([x, y, bar.to_m - at_origin]);
    }
    if bar.from_m.is_finite() {
        sides.push([-x, -y, at_origin - bar.from_m]);
    }
    Barrier {
        check: "cutout-framing",
        label: bar.label,
        bar: Bar::Sides(sides),
    }
}

/// Places of a hole's middle at which its width meets a stud or joist, or an end.
pub(super) fn bars_across(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
    width_m: f64,
    length_m: f64,
) -> Known<Vec<BarStretch>> {
    let (built, path) = construction(space, cut_out.surface)?;
    let Some(word) = bars_word(built.framing) else {
        return Ok(Vec::new());
    };
    let surface = cut_out.surface.words();
    let ask = |what: String, field: &str| {
        Missing::new(what, format!("{path}.{field}"), Means::StudFinder)
    };
    let spacing = analysis.number(built.spacing.as_ref());
    let spacing = spacing.ok_or_else(|| {
        ask(
            format!("the spacing of the {word}s of {surface}"),
            "spacing",
        )
    })?;
    let face = cut_out::face(analysis, built, &path).value();
    let spacing = spacing.value();
    let around_m = width_m / 2.0 + analysis.limit(&CUTOUT_CLEARANCE).value;
    if 2.0 * around_m > spacing - face {
        let everywhere = BarStretch {
            from_m: f64::NEG_INFINITY,
            to_m: f64::INFINITY,
            label: format!("every {word} of {surface}: the hole is wider than a bay"),
        };
        return Ok(vec![everywhere]);
    }
    let first = analysis.number(built.first_from_left.as_ref());
    let first = first.ok_or_else(|| {
        ask(
            format!("where the first {word} of {surface} is"),
            "first_from_left",
        )
    })?;
    let framing = structure::framing::Framing {
        first: Metres(first.value()),
        spacing: Metres(spacing),
        face: Metres(face),
        length: Metres(length_m),
    };
    let bars = framing.bars_throughout().ok_or_else(|| {
        let what = format!("a spacing and face of the {word}s of {surface} that fit its length");
        ask(what, "spacing")
    })?;
    let mut found = vec![
        BarStretch {
            from_m: f64::NEG_INFINITY,
            to_m: around_m,
            label: format!("the end of the framing of {surface}"),
        },
        BarStretch {
            from_m: length_m - around_m,
            to_m: f64::INFINITY,
            label: format!("the end of the framing of {surface}"),
        },
    ];
    found.extend(bars.centres().into_iter().map(|centre| BarStretch {
        from_m: centre.0 - face / 2.0 - around_m,
        to_m: centre.0 + face / 2.0 + around_m,
        label: format!(
            "the {word} at {}",
            analysis.exact(centre.0, Dimension::Length)
        ),
    }));
    Ok(found)
}

/// Where a hole meets a block between studs, the floor or the ceiling.
pub(super) fn blocks(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
    height_m: f64,
    near: &UnderCeiling<'_>,
) -> Known<Vec<Barrier>> {
    let (built, path) = construction(space, cut_out.surface)?;
    if !matches!(built.framing, Framing::Stud | Framing::SteelStud) {
        return Ok(Vec::new());
    }
    let surface = cut_out.surface.words();
    let at = format!("{path}.fire_block_at");
    let ask = |at: String| {
        let what = format!("the heights of the blocks between the studs of {surface}");
        Missing::new(what, at, Means::StudFinder)
    };
    let stated = built
        .fire_block_at
        .as_ref()
        .ok_or_else(|| ask(at.clone()))?;
    let face = cut_out::face(analysis, built, &path).value();
    let around_m = height_m / 2.0 + analysis.limit(&CUTOUT_CLEARANCE).value;
    let barrier = |label: String, sides: Vec<[f64; 3]>| Barrier {
        check: "cutout-fire-block",
        label,
        bar: Bar::Sides(sides),
    };
    let mut found = vec![barrier(
        "the plate at the floor".to_owned(),
        vec![[0.0, 1.0, around_m]],
    )];
    for sides in near.lower_than(around_m, 0.0, &[]) {
        found.push(barrier("the plate at the ceiling".to_owned(), sides));
    }
    for (index, block) in stated.iter().enumerate() {
        let block = analysis.number(Some(block));
        let block = block.ok_or_else(|| ask(format!("{at}.{index}")))?.value();
        let label = format!("the block at {}", analysis.exact(block, Dimension::Length));
        let reach = face / 2.0 + around_m;
        found.push(barrier(
            label,
            vec![[0.0, 1.0, block + reach], [0.0, -1.0, reach - block]],
        ));
    }
    Ok(found)
}

/// Everywhere, where a surface is not deep enough.
pub(super) fn behind_board(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
) -> Known<Vec<Barrier>> {
    let [there, depth] = cavity_depth::depths(analysis, space, cut_out)?;
    let barrier = || Barrier {
        check: cavity_depth::CHECK.id,
        label: format!("the depth behind {}", cut_out.surface.words()),
        bar: Bar::Everywhere,
    };
    Ok((depth.value() > there.value())
        .then(barrier)
        .into_iter()
        .collect())
}

pub(super) fn joists(
    analysis: &Analysis,
    space: &Space,
    cut_out: &CutOut<'_>,
    own: usize,
) -> Known<Vec<Barrier>> {
    let shape = analysis.shape(space);
    let (built, path) = construction(space, cut_out.surface)?;
    if bars_word(built.framing).is_none() {
        return Ok(Vec::new());
    }
    let wall = (built.along.as_deref()).and_then(|wall| space.wall(wall));
    let wall = wall.ok_or_else(|| {
        let what = format!("the wall that the joists of {} run along", space.label());
        Missing::new(what, format!("{path}.along"), Means::StudFinder)
    })?;
    let (left, along, inward) = shape.wall_frame(wall)?;
    let mut length_m: f64 = 0.0;
    for corner in shape.corners()? {
        length_m = length_m.max(shape.on_wall(wall, corner)?.1.value());
    }
    let [across, up] = cut_out.size(analysis)?.map(|size| size.value());
    let with_joists = shape.wall_frame(own)?.1.dot(&along).value().abs() > 0.5;
    let width_m = if with_joists { up } else { across };
    let bars = bars_across(analysis, space, cut_out, width_m, length_m)?;
    let at_origin = -left.dot(&inward).value();
    Ok((bars.into_iter())
        .map(|bar| framed(bar, inward.value(), at_origin))
        .collect())
}
