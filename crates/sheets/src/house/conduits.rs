//! How do the cables of each conduit lie in it, cut across?

use checks::{Caution, ConduitSection, conduit_sections};
use drawing::{PipeCable, PipeSection};
use units::Dimension;

use super::Set;
use super::about::caution_words;
use crate::{Column, ColumnKind, Content, Sheet, Table, drawing_areas};

/// Conduits on one page at most, so that each is large enough to read.
const ON_A_PAGE: usize = 6;

/// Whether any conduit has a cable.
pub(super) fn has_something(set: &Set<'_>) -> bool {
    let conduits = |pathway: &model::Pathway| pathway.kind == model::PathwayKind::Conduit;
    set.job().pathway.iter().any(conduits) && !conduit_sections(set.analysis).is_empty()
}

/// The sheet: the conduits that can be drawn, and a table of all their cables.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let analysis = set.analysis;
    let sections = conduit_sections(analysis);
    let pipes: Vec<PipeSection> = (sections.iter())
        .filter_map(|one| pipe(one, one.words(analysis)))
        .collect();
    let areas = drawing_areas(set.paper, set.areas[0].scales);
    let mut contents: Vec<Content> = Vec::new();
    for page in pipes.chunks(ON_A_PAGE) {
        let drawn = areas
            .iter()
            .find_map(|area| drawing::pipe_sections("Conduits, cut across", page, *area).ok());
        contents.extend(drawn.map(|drawing| Content::Drawing {
            drawing: Box::new(drawing),
            notes: vec![
                "Not to one scale: each is drawn equally wide, whatever its size. Cables lie as they were packed by computation: a pull lays them otherwise."
                    .to_owned(),
            ],
            tables: Vec::new(),
        }));
    }
    let table = table(set, &sections);
    match contents.last_mut() {
        Some(Content::Drawing { tables, .. }) => tables.push(table),
        _ => contents.push(Content::Table(table)),
    }
    if let (true, Some(Content::Drawing { notes, .. })) = (contents.len() > 1, contents.first_mut())
    {
        notes.insert(0, "On the next page: further conduits.".to_owned());
    }
    Sheet {
        contents,
        cautions: caution_words([Caution::Drilling, Caution::Mains].into()),
        ..Sheet::default()
    }
}

/// A conduit as it is drawn; none whose size nobody knows.
fn pipe(one: &ConduitSection, words: Vec<String>) -> Option<PipeSection> {
    let cables = one.cables.iter().filter_map(|cable| {
        Some(PipeCable {
            id: cable.id.clone(),
            label: cable.id.clone(),
            centre_m: cable.centre_m?,
            outside_m: cable.outside_m?,
        })
    });
    Some(PipeSection {
        id: one.id.clone(),
        label: one.label.clone(),
        words,
        inside_m: one.inside_m?,
        cables: cables.collect(),
    })
}

fn table(set: &Set<'_>, sections: &[ConduitSection]) -> Table {
    let rows = sections.iter().flat_map(|one| {
        one.cables.iter().map(|cable| {
            let outside = cable.outside_m.map_or_else(
                || "not known".to_owned(),
                |outside_m| set.analysis.exact(outside_m, Dimension::Length),
            );
            vec![
                one.label.clone(),
                cable.id.clone(),
                cable.kind.clone(),
                outside,
                match cable.is_there {
                    true => "lies in it".to_owned(),
                    false => "to be pulled".to_owned(),
                },
            ]
        })
    });
    Table {
        heading: String::new(),
        columns: [
            ("Conduit", ColumnKind::Text),
            ("Cable", ColumnKind::Text),
            ("Kind", ColumnKind::Text),
            ("Outside diameter", ColumnKind::Number),
            ("State", ColumnKind::Text),
        ]
        .into_iter()
        .map(|(head, kind)| Column::new(head, kind))
        .collect(),
        rows: rows.collect(),
        total: Vec::new(),
    }
}
