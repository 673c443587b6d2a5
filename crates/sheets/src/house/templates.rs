//! Cut-outs at their true size, one for each kind of thing that is let into a wall or ceiling.

use checks::{Caution, cut_outs_told};
use drawing::Template;
use units::Dimension;

use super::Set;
use super::about::caution_words;
use crate::drawing_page::Words;
use crate::{Content, Sheet, drawing_areas};

/// Whether anything is let in.
pub(super) fn has_something(set: &Set<'_>) -> bool {
    !cut_outs_told(set.analysis).is_empty()
}

/// The sheet: a drawing for each, in parts where the paper is smaller.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let analysis = set.analysis;
    let areas = drawing_areas(set.paper, set.areas[0].scales);
    const PRINT: &str = "Print at 100 % and hold a rule to the check line of each page before anything is cut. The middle lines go over the marks on the wall; parts are joined over them.";
    let mut drawings = Vec::new();
    for one in cut_outs_told(analysis) {
        let (width, height) = (one.width_m, one.height_m);
        let length = |length_m| analysis.exact(length_m, Dimension::Length);
        let mut words = vec![match one.is_round {
            true => format!("diameter {}", length(width)),
            false => format!("{} × {}", length(width), length(height)),
        }];
        if let Some(depth) = one.depth_m {
            words.push(format!("depth {}", length(depth)));
        }
        words.push(format!("cut {}", one.count));
        let template = Template {
            title: format!("Cut-out of {}", one.name),
            width_m: width,
            height_m: height,
            round: one.is_round,
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
    let mut contents: Vec<Content> = (drawings.into_iter().enumerate())
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
    let cautions = caution_words([Caution::Drilling, Caution::Mains].into());
    if let Some(Content::Drawing { drawing, notes, .. }) = contents.first() {
        let words = Words {
            cautions: &cautions,
            notes,
            tables: &[],
        };
        // A cut-out has one size: where it leaves no room, the cautions stand on a page before it.
        if !set.holds_all(drawing, words) {
            let before = Content::Text {
                heading: String::new(),
                paragraphs: vec![PRINT.to_owned()],
            };
            contents.insert(0, before);
        }
    }
    Sheet {
        contents,
        cautions,
        ..Sheet::default()
    }
}
