//! Which cable is cut how long, runs where, and is called what at both ends?

use std::collections::BTreeMap;

use checks::Caution;
use model::Cable;
use units::Dimension;

use super::about::caution_words;
use super::place::label_of;
use super::{Set, words};
use crate::{Column, ColumnKind, Content, Sheet, Table};

/// How a cable comes into the house.
pub(super) enum Supply {
    /// Behind a plate already.
    Existing,
    /// With its plugs on, of this length, m.
    ReadyMade(f64),
    /// Cut from a spool to this length, m.
    Cut(f64),
    /// Its route is not known; what is missing.
    Unknown,
}

/// The schedule.
pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let pulled = set.job().cable.iter().any(|cable| cable.existing.is_none());
    let dangers = [Caution::Ladder, Caution::Mains, Caution::Drilling];
    let rule = Content::Text {
        heading: String::new(),
        paragraphs: vec![cut_rule(set)],
    };
    let tables = std::iter::once(schedule(set))
        .chain(pulls(set))
        .chain(spool_plan(set))
        .chain(cuts(set));
    Sheet {
        contents: std::iter::once(rule)
            .chain(tables.map(Content::Table))
            .collect(),
        cautions: caution_words(dangers.into_iter().filter(|_| pulled).collect()),
        ..Sheet::default()
    }
}

/// The labels.
pub(super) fn label_sheet(set: &Set<'_>) -> Sheet {
    let how = "Cut along the lines; each strip goes round its end of the cable, the name outside.";
    Sheet {
        contents: vec![
            Content::Text {
                heading: String::new(),
                paragraphs: vec![how.to_owned()],
            },
            Content::Table(labels(set)),
        ],
        ..Sheet::default()
    }
}

/// What every cut length contains.
fn cut_rule(set: &Set<'_>) -> String {
    let analysis = set.analysis;
    let limit = |limit| {
        let limit = analysis.limit(limit);
        (limit.value, limit.source.words())
    };
    let ((slack, slack_source), (spare, spare_source)) = (
        limit(&analysis::CABLE_SLACK),
        limit(&analysis::SERVICE_LOOP),
    );
    format!(
        "Cut lengths hold the way, {} slack ({slack_source}), a loop of {} at each end ({spare_source}) and what the survey may be off, rounded up to the next {}; a cable with its own slack or loops says so.",
        analysis.exact(slack, Dimension::Ratio),
        analysis.exact(spare, Dimension::Length),
        analysis.exact(analysis.cut_step_m(), Dimension::Length)
    )
}

fn schedule(set: &Set<'_>) -> Table {
    let row = |cable: &Cable| {
        vec![
            cable.id.clone(),
            set.cable_kind(&cable.kind),
            set.end_words(&cable.from),
            set.end_words(&cable.to),
            way_words(set, cable),
            match set.supply(cable) {
                Supply::Cut(length_m) => set.analysis.exact(length_m, Dimension::Length),
                _ => "–".to_owned(),
            },
            taken_from(set, cable),
        ]
    };
    Table {
        heading: String::new(),
        columns: vec![
            Column::new("Pulled", ColumnKind::Tick),
            Column::new("Label", ColumnKind::Text),
            Column::new("Cable", ColumnKind::Text),
            Column::new("From", ColumnKind::Text),
            Column::new("To", ColumnKind::Text),
            Column::new("Way", ColumnKind::Text),
            Column::new("Cut", ColumnKind::Number),
            Column::new("Taken from", ColumnKind::Text),
        ],
        rows: set.job().cable.iter().map(|cable| row(cable)).collect(),
        total: Vec::new(),
    }
}

/// Each leg with its length, and loops and slack.
fn way_words(set: &Set<'_>, cable: &Cable) -> String {
    let analysis = set.analysis;
    match analysis.route(cable) {
        Err(missing) => format!("needs {missing}"),
        Ok(route) => {
            let legs = analysis.leg_words(route);
            let mut told = legs.join(", ");
            if told.is_empty() {
                told = "end to end".to_owned();
            }
            if let Some(work) = &route.work {
                told += &format!("; {}", work.words());
            }
            // What holds for every cable stands above the table.
            let own = cable.slack.is_some() || cable.service_loop.is_some();
            match set.supply(cable) {
                Supply::Cut(_) if own => format!(
                    "{told}; slack {}, loops {}",
                    analysis.print(&analysis.slack(cable), Dimension::Ratio),
                    analysis.length(&analysis.service_loop(cable))
                ),
                _ => told,
            }
        }
    }
}

/// From which spool each cable is cut.
fn spool_plan(set: &Set<'_>) -> Option<Table> {
    let (plans, _) = set.analysis.spool_plans();
    let exact = |length_m: f64| set.analysis.exact(length_m, Dimension::Length);
    let mut rows = Vec::new();
    for plan in &plans {
        let kind = set.cable_kind(&plan.kind);
        if let Some(fault) = &plan.fault {
            rows.push(vec![
                kind.clone(),
                "–".to_owned(),
                fault.clone(),
                "–".to_owned(),
            ]);
        }
        for opened in &plan.opened {
            let cuts = opened
                .cuts
                .iter()
                .map(|(id, length_m)| format!("{id} {}", exact(*length_m)));
            let left = match opened.is_scrap {
                true => format!("{}, scrap", exact(opened.left_m)),
                false => exact(opened.left_m),
            };
            let cuts: Vec<String> = cuts.collect();
            rows.push(vec![
                kind.clone(),
                opened.spool.clone(),
                cuts.join(", "),
                left,
            ]);
        }
        for spool in &plan.useless {
            let words = "shorter than every cable of its kind".to_owned();
            rows.push(vec![kind.clone(), spool.clone(), words, "–".to_owned()]);
        }
    }
    (!rows.is_empty()).then(|| Table {
        heading: match plans.iter().all(|plan| plan.gap_m < 1e-9) {
            true => "Cut in this order; no plan opens less length of spool".to_owned(),
            false => "Cut in this order".to_owned(),
        },
        columns: vec![
            Column::new("Cable", ColumnKind::Text),
            Column::new("Spool", ColumnKind::Text),
            Column::new("Cuts", ColumnKind::Text),
            Column::new("Stays on it", ColumnKind::Text),
        ],
        rows,
        total: Vec::new(),
    })
}

/// Which cables are pulled in one go, and which holes they share.
fn pulls(set: &Set<'_>) -> Option<Table> {
    let together = set.analysis.ways_together();
    let row = |(index, pull): (usize, &Vec<String>)| {
        let shares = together
            .shared
            .iter()
            .filter(|hole| pull.contains(&hole.cables[0]));
        let shares: Vec<&str> = shares.map(|hole| hole.through.as_str()).collect();
        vec![
            (index + 1).to_string(),
            pull.join(", "),
            if shares.is_empty() {
                "–".to_owned()
            } else {
                shares.join("; ")
            },
        ]
    };
    (!together.pulls.is_empty()).then(|| Table {
        heading: "Pull in this order: long pulls first, cables that share holes in one go"
            .to_owned(),
        columns: vec![
            Column::new("Pull", ColumnKind::Number),
            Column::new("Cables", ColumnKind::Text),
            Column::new("Share", ColumnKind::Text),
        ],
        rows: together.pulls.iter().enumerate().map(row).collect(),
        total: Vec::new(),
    })
}

fn taken_from(set: &Set<'_>, cable: &Cable) -> String {
    match set.supply(cable) {
        Supply::Existing => {
            let plate = cable.existing.as_deref().unwrap_or_default();
            let length = set.analysis.number(cable.length.as_ref());
            let length = length.map(|length| format!(", {} long", set.analysis.length(&length)));
            format!(
                "existing, at {}{}",
                words(plate).to_lowercase(),
                length.unwrap_or_default()
            )
        }
        Supply::ReadyMade(length_m) => format!(
            "ready-made, {}",
            set.analysis.exact(length_m, Dimension::Length)
        ),
        Supply::Cut(_) => spool_words(set, cable),
        Supply::Unknown => "measure first".to_owned(),
    }
}

fn spool_words(set: &Set<'_>, cable: &Cable) -> String {
    if let Some(spool) = &cable.spool {
        return spool.clone();
    }
    let fitting: Vec<&str> = (set.job().spool.iter())
        .filter(|spool| spool.kind == cable.kind)
        .map(|spool| spool.id.as_str())
        .collect();
    match fitting.as_slice() {
        [] => "to be bought".to_owned(),
        spools => spools.join(" or "),
    }
}

/// What is cut of each kind against what is on the spools.
fn cuts(set: &Set<'_>) -> Option<Table> {
    let mut kinds: BTreeMap<&str, (usize, f64)> = BTreeMap::new();
    for cable in &set.job().cable {
        if let Supply::Cut(length_m) = set.supply(cable) {
            let kind = kinds.entry(&cable.kind).or_default();
            *kind = (kind.0 + 1, kind.1 + length_m);
        }
    }
    let row = |(kind, (count, total_m)): (&&str, &(usize, f64))| {
        let spools = set.job().spool.iter().filter(|spool| spool.kind == **kind);
        let stock =
            spools.map(
                |spool| match spool.length.as_ref().and_then(|length| length.value()) {
                    Some(length_m) => format!(
                        "{}: {}",
                        spool.id,
                        set.analysis.exact(length_m, Dimension::Length)
                    ),
                    None => format!("{}: not measured", spool.id),
                },
            );
        let stock: Vec<String> = stock.collect();
        vec![
            set.cable_kind(kind),
            count.to_string(),
            set.analysis.exact(*total_m, Dimension::Length),
            if stock.is_empty() {
                "none".to_owned()
            } else {
                stock.join(", ")
            },
        ]
    };
    (!kinds.is_empty()).then(|| Table {
        heading: "To cut in all; lengths are rounded up, the survey's uncertainty included"
            .to_owned(),
        columns: vec![
            Column::new("Cable", ColumnKind::Text),
            Column::new("Pieces", ColumnKind::Number),
            Column::new("Length", ColumnKind::Number),
            Column::new("On spools", ColumnKind::Text),
        ],
        rows: kinds.iter().map(row).collect(),
        total: Vec::new(),
    })
}

/// A strip for each end of each cable.
fn labels(set: &Set<'_>) -> Table {
    let row = |cable: &Cable| {
        let (from, to) = (set.end_words(&cable.from), set.end_words(&cable.to));
        vec![
            cable.id.clone(),
            format!("{} · here {from} · other end {to}", cable.id),
            format!("{} · here {to} · other end {from}", cable.id),
        ]
    };
    Table {
        heading: String::new(),
        columns: vec![
            Column::new("Cable", ColumnKind::Text),
            Column::new("On", ColumnKind::Tick),
            Column::new("Strip for the first end", ColumnKind::Text),
            Column::new("On", ColumnKind::Tick),
            Column::new("Strip for the far end", ColumnKind::Text),
        ],
        rows: set.job().cable.iter().map(|cable| row(cable)).collect(),
        total: Vec::new(),
    }
}

impl Set<'_> {
    /// "receiver.front-left" as "Receiver, front left".
    pub fn end_words(&self, end: &str) -> String {
        let item = self.analysis.item_at_end(end);
        match end.split_once('.') {
            Some((id, port)) => {
                let item = item.map_or_else(|| words(id), label_of);
                format!("{item}, {}", words(port).to_lowercase())
            }
            None => item.map_or_else(|| words(end), label_of),
        }
    }

    /// How a cable comes into the house.
    pub fn supply(&self, cable: &Cable) -> Supply {
        if cable.existing.is_some() {
            return Supply::Existing;
        }
        if let Some(length) = self.analysis.number(cable.length.as_ref()) {
            return Supply::ReadyMade(length.value());
        }
        match self.analysis.cut_to(cable) {
            Ok(length_m) => Supply::Cut(length_m),
            Err(_) => Supply::Unknown,
        }
    }
}
