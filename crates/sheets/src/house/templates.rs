//! Cut-outs at their true size, one for each kind of thing that is let into a wall or ceiling.

use std::collections::BTreeMap;

use checks::Caution;
use drawing::Template;
use model::{Kit, Length, LoudspeakerForm};
use units::Dimension;

use super::Set;
use super::about::caution_words;
use crate::{Content, Sheet, drawing_areas};

/// A kind's cut-out, and how many of them are cut.
struct CutOut<'a> {
    kit: Kit<'a>,
    size: &'a [Length; 2],
    depth: Option<&'a Length>,
    round: bool,
    count: u32,
}

fn cut_outs<'a>(set: &'a Set<'_>) -> Vec<CutOut<'a>> {
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    let new = set
        .job()
        .item
        .iter()
        .filter(|item| !item.existing && item.reuses.is_none());
    for item in new {
        *counts.entry(&item.is).or_default() += item.count.unwrap_or(1);
    }
    (set.job().kit.all())
        .filter_map(|kit| {
            let count = *counts.get(kit.common().id.as_str())?;
            let (size, depth, round) = match kit {
                Kit::Loudspeaker(one) => (
                    one.cutout.as_ref()?,
                    one.depth_behind.as_ref(),
                    one.form == Some(LoudspeakerForm::InCeiling) && same(one.cutout.as_ref()?),
                ),
                Kit::Plate(one) => (one.cutout.as_ref()?, one.depth_behind.as_ref(), false),
                _ => return None,
            };
            Some(CutOut {
                kit,
                size,
                depth,
                round,
                count,
            })
        })
        .collect()
}

/// A round hole's diameter is written twice.
fn same([across, up]: &[Length; 2]) -> bool {
    across.value() == up.value()
}

/// Whether anything is let in.
pub(super) fn has_something(set: &Set<'_>) -> bool {
    !cut_outs(set).is_empty()
}

/// The sheet: a drawing for each, in parts where the paper is smaller.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let analysis = set.analysis;
    let areas = drawing_areas(set.paper, set.areas[0].scales);
    const PRINT: &str = "Print at 100 % and hold a rule to the check line of each page before anything is cut. The middle lines go over the marks on the wall; parts are joined over them.";
    let mut drawings = Vec::new();
    for one in cut_outs(set) {
        let [Some(width), Some(height)] = [&one.size[0], &one.size[1]].map(Length::value) else {
            continue;
        };
        let common = one.kit.common();
        let name = common.name.as_deref().unwrap_or(&common.id);
        let length = |length_m| analysis.exact(length_m, Dimension::Length);
        let mut words = vec![match one.round {
            true => format!("diameter {}", length(width)),
            false => format!("{} × {}", length(width), length(height)),
        }];
        if let Some(depth) = one.depth.and_then(Length::value) {
            words.push(format!("depth {}", length(depth)));
        }
        words.push(format!("cut {}", one.count));
        let template = Template {
            title: format!("Cut-out of {name}"),
            width_m: width,
            height_m: height,
            round: one.round,
            words,
        };
        // The fewest pages.
        let drawn = (areas.iter())
            .map(|area| drawing::template(&template, *area))
            .filter(|parts| !parts.is_empty())
            .min_by_key(Vec::len);
        drawings.extend(drawn.into_iter().flatten());
    }
    let more = drawings.len() > 1;
    let contents = (drawings.into_iter().enumerate())
        .map(|(index, drawing)| Content::Drawing {
            drawing: Box::new(drawing),
            notes: (index == 0 && more)
                .then(|| "On the next page: further cut-outs.".to_owned())
                .into_iter()
                .chain([PRINT.to_owned()])
                .collect(),
            tables: Vec::new(),
        })
        .collect();
    Sheet {
        contents,
        cautions: caution_words([Caution::Drilling, Caution::Mains].into()),
        ..Sheet::default()
    }
}
