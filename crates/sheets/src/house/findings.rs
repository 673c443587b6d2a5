//! What does not fit, by how much, and what would mend it?

use std::collections::{BTreeMap, BTreeSet};

use analysis::Uncertain;
use checks::{Change, Finding, Remedy, Verdict};
use units::Dimension;

use super::about::{caution_words, cautions_of, shape_of};
use super::{Set, capital, first_few, words};
use crate::{Column, ColumnKind, Content, FindingRow, Sheet, Table};

/// As many things that a remedy changes in one way are told by name.
const SUBJECTS: usize = 2;

pub(super) fn sheet(set: &Set<'_>) -> Sheet {
    let counts = set.proof.counts;
    let count = |verdict| match verdict {
        Verdict::Fails => counts.fails,
        Verdict::Tight => counts.tight,
        Verdict::Unknown => counts.unknown,
        Verdict::Fits => counts.fits,
    };
    let meaning = |verdict| match verdict {
        Verdict::Fails => "A limit is broken: order nothing that hangs on it.",
        Verdict::Tight => {
            "It fits on paper, but by no more than the survey can be off or custom asks to spare: measure again."
        }
        Verdict::Unknown => "Something needed is not known yet: see the measure-again sheet.",
        Verdict::Fits => "With more room than the survey can be off. Not listed below.",
    };
    let counted = |verdict: Verdict| {
        vec![
            verdict.word().to_owned(),
            count(verdict).to_string(),
            meaning(verdict).to_owned(),
        ]
    };
    let all = [
        Verdict::Fails,
        Verdict::Tight,
        Verdict::Unknown,
        Verdict::Fits,
    ];
    let mut contents = vec![
        Content::Table(Table {
            heading: String::new(),
            columns: vec![
                Column::new("Verdict", ColumnKind::Verdict),
                Column::new("Findings", ColumnKind::Number),
                Column::new("What it means", ColumnKind::Text),
            ],
            rows: all.into_iter().map(counted).collect(),
            total: Vec::new(),
        }),
        Content::Table(overview(set)),
    ];
    for (verdict, heading) in [
        (Verdict::Fails, "What fails"),
        (Verdict::Tight, "What is tight"),
        (Verdict::Unknown, "What is not known yet"),
    ] {
        let found: Vec<&Finding> = (set.proof.findings.iter())
            .filter(|finding| finding.verdict == verdict)
            .collect();
        for here in found.chunk_by(|a, b| a.space == b.space) {
            let space = here[0].space.as_deref().and_then(|id| set.job().space(id));
            let place = space.map_or("the whole house", |space| space.label());
            contents.push(Content::Text {
                heading: format!("{heading}: {place}"),
                paragraphs: Vec::new(),
            });
            contents.push(Content::Findings(rows(set, here)));
        }
    }
    let failing = set
        .proof
        .findings
        .iter()
        .filter(|finding| finding.verdict == Verdict::Fails);
    let cautions: BTreeSet<_> = failing.flat_map(cautions_of).collect();
    Sheet {
        contents,
        cautions: caution_words(cautions),
        ..Sheet::default()
    }
}

/// One row for all that one check finds of one thing, at several seats or in several bands; a source is printed where it
/// is first met.
fn rows(set: &Set<'_>, findings: &[&Finding]) -> Vec<FindingRow> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    for finding in findings {
        let same = |group: &&mut Vec<&Finding>| are_alike(group[0], finding);
        match groups.iter_mut().find(same) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    let mut rows: Vec<FindingRow> = Vec::new();
    let mut source = String::new();
    for group in groups {
        let mut row = row(set, &group);
        if row.source == source {
            row.source.clear();
        } else {
            source.clone_from(&row.source);
        }
        rows.push(row);
    }
    rows
}

/// Whether two findings are of one check and about the same thing, told apart by a seat, a band or a neighbour.
fn are_alike(a: &Finding, b: &Finding) -> bool {
    let thing = |finding: &Finding| {
        let (thing, _) = finding.subject.id.split_once('+')?;
        Some(thing.to_owned())
    };
    a.check == b.check
        && thing(a).is_some()
        && thing(a) == thing(b)
        && a.source.words() == b.source.words()
}

/// The worst of alike findings with its numbers; what else fails keeps its sentence, what else is tight, or
/// unknown for the same want, is named.
fn row(set: &Set<'_>, alike: &[&Finding]) -> FindingRow {
    let analysis = set.analysis;
    let (worst, rest) = (alike[0], &alike[1..]);
    let unknown = worst.verdict == Verdict::Unknown;
    let printed = |number: &Uncertain| analysis.print(number, worst.dimension);
    let others = match worst.verdict {
        Verdict::Fails => rest.iter().map(|other| sentence(other)).collect(),
        Verdict::Fits | Verdict::Tight => named(set, rest),
        Verdict::Unknown => {
            let (same, own): (Vec<&Finding>, Vec<&Finding>) =
                (rest.iter()).partition(|other| other.because == worst.because);
            let own = own.into_iter().map(sentence);
            named(set, &same).into_iter().chain(own).collect()
        }
    };
    let mut remedies: Vec<String> = Vec::new();
    for remedy in alike.iter().flat_map(|finding| cures(finding)) {
        let words = remedy_words(set, remedy);
        if !remedies.contains(&words) {
            remedies.push(words);
        }
    }
    FindingRow {
        verdict: shape_of(worst.verdict),
        check: words(worst.check),
        subject: String::new(),
        value: worst.value.as_ref().map(printed).unwrap_or_default(),
        limit: limit_words(set, worst).unwrap_or_default(),
        margin: margin_words(set, worst).unwrap_or_default(),
        because: sentence(worst),
        others,
        source: if unknown {
            String::new()
        } else {
            worst.source.words()
        },
        remedies,
    }
}

/// A finding's sentence, which names its subject.
fn sentence(finding: &Finding) -> String {
    // Most sentences name it themselves; only the others need it in front.
    let label = &finding.subject.label;
    match finding.verdict != Verdict::Unknown && is_named(label, &finding.because) {
        true => finding.because.clone(),
        false => format!("{}: {}", capital(label), finding.because),
    }
}

/// "The same: front left at seat a (+2 dB ±1 dB), …"; nothing without findings.
fn named(set: &Set<'_>, findings: &[&Finding]) -> Vec<String> {
    let told = findings.iter().map(|finding| {
        let label = &finding.subject.label;
        margin_words(set, finding).map_or(label.clone(), |margin| format!("{label} ({margin})"))
    });
    let told: Vec<String> = told.collect();
    match told.is_empty() {
        true => Vec::new(),
        false => vec![format!("So too: {}.", told.join(", "))],
    }
}

/// Remedies that change something: one after which a tight thing is still tight cures nothing.
fn cures(finding: &Finding) -> impl Iterator<Item = &Remedy> {
    let idle = |remedy: &&Remedy| {
        let after = remedy.effect.as_ref().map(|effect| effect.verdict);
        finding.verdict == Verdict::Tight && after == Some(Verdict::Tight)
    };
    finding.remedies.iter().filter(move |remedy| !idle(remedy))
}

/// Whether every telling word of a label stands in a sentence.
fn is_named(label: &str, sentence: &str) -> bool {
    let sentence = sentence.to_lowercase();
    let label = label.to_lowercase();
    // "and", "at" and "past" tell nothing.
    let mut telling = label.split(' ').filter(|word| word.len() > 4);
    telling.all(|word| sentence.contains(word))
}

/// The limit with the side on which the value must stay, where the margin tells it.
fn limit_words(set: &Set<'_>, finding: &Finding) -> Option<String> {
    let (value, limit, margin) = (
        finding.value.as_ref()?.value(),
        finding.limit?,
        finding.margin.as_ref()?.value(),
    );
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b.abs());
    let sign = match () {
        () if close(margin, value - limit) => "≥ ",
        () if close(margin, limit - value) => "≤ ",
        () => "",
    };
    Some(format!(
        "{sign}{}",
        set.analysis.exact(limit, finding.dimension)
    ))
}

fn margin_words(set: &Set<'_>, finding: &Finding) -> Option<String> {
    let (margin, uncertainty) = (finding.margin.as_ref()?.value(), finding.uncertainty());
    let printer = set.analysis.printer();
    let printed = printer.print_margin(margin, finding.dimension, uncertainty);
    Some(printed.to_string())
}

/// What to do, what it takes, and what else it changes.
fn remedy_words(set: &Set<'_>, remedy: &Remedy) -> String {
    let mut told = vec![remedy.says.trim_end_matches('.').to_owned()];
    let cost = cost_words(set, remedy);
    if !cost.is_empty() {
        told.push(format!("Takes {}", cost.join(", ")));
    }
    if let Some(effect) = &remedy.effect {
        match &effect.refused {
            Some(reason) => told.push(format!("Can't be applied: {reason}")),
            None => {
                told.push(format!("Then it {}", after(effect.verdict)));
                if !effect.worse.is_empty() {
                    told.push(format!("Worse: {}", worse_words(&effect.worse)));
                }
                if !effect.better.is_empty() {
                    told.push(format!("Better: {}", better_words(&effect.better)));
                }
            }
        }
    }
    format!("{}.", told.join(". "))
}

fn after(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "still fails",
        Verdict::Tight => "is tight",
        Verdict::Unknown => "is unknown",
        Verdict::Fits => "fits",
    }
}

/// What gets worse by name, what gets better by check: the first must be weighed, the second comes of itself.
fn worse_words(changes: &[Change]) -> String {
    let told = |same: &[&Change]| {
        let to = match (same[0].from, same[0].to) {
            (Some(Verdict::Fails), Some(Verdict::Fails)) => "fails by more",
            (_, to) => to.map_or("no longer matters", Verdict::word),
        };
        let subjects = same.iter().map(|change| change.subject.clone()).collect();
        let subjects = first_few(subjects, SUBJECTS, ", ");
        format!("{} {to} ({subjects})", words(same[0].check).to_lowercase())
    };
    let mut sorted: Vec<&Change> = changes.iter().collect();
    let kind = |change: &Change| (change.check, change.to, change.from == change.to);
    sorted.sort_by_key(|change| kind(change));
    let groups = sorted.chunk_by(|a, b| kind(a) == kind(b));
    groups.map(told).collect::<Vec<_>>().join("; ")
}

fn better_words(changes: &[Change]) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for change in changes {
        *counts.entry(change.check).or_default() += 1;
    }
    counted_checks(&counts)
}

/// "arm clear, picture clear 3".
fn counted_checks(counts: &BTreeMap<&str, usize>) -> String {
    let told = counts.iter().map(|(check, count)| {
        let check = words(check).to_lowercase();
        if *count > 1 {
            format!("{check} {count}")
        } else {
            check
        }
    });
    told.collect::<Vec<_>>().join(", ")
}

/// How each space stands, a row each.
fn overview(set: &Set<'_>) -> Table {
    let spaces = set
        .job()
        .space
        .iter()
        .map(|space| (Some(space.id.as_str()), space.label()));
    let places = spaces.chain([(None, "The whole house")]);
    let row = |(id, label): (Option<&str>, &str)| {
        let here = || {
            set.proof
                .findings
                .iter()
                .filter(move |finding| finding.space.as_deref() == id)
        };
        let count = |verdict| {
            here()
                .filter(|finding| finding.verdict == verdict)
                .count()
                .to_string()
        };
        let mut failing: BTreeMap<&str, usize> = BTreeMap::new();
        for finding in here().filter(|finding| finding.verdict == Verdict::Fails) {
            *failing.entry(finding.check).or_default() += 1;
        }
        here().next()?;
        Some(vec![
            label.to_owned(),
            count(Verdict::Fails),
            count(Verdict::Tight),
            count(Verdict::Unknown),
            count(Verdict::Fits),
            counted_checks(&failing),
        ])
    };
    Table {
        heading: "At a glance".to_owned(),
        columns: vec![
            Column::new("Where", ColumnKind::Text),
            Column::new("fails", ColumnKind::Number),
            Column::new("tight", ColumnKind::Number),
            Column::new("unknown", ColumnKind::Number),
            Column::new("fits", ColumnKind::Number),
            Column::new("What fails", ColumnKind::Text),
        ],
        rows: places.filter_map(row).collect(),
        total: Vec::new(),
    }
}

fn cost_words(set: &Set<'_>, remedy: &Remedy) -> Vec<String> {
    let cost = &remedy.cost;
    let mut told = Vec::new();
    if cost.time_s[1] > 0.0 {
        let [least, most] = cost
            .time_s
            .map(|time_s| set.analysis.exact(time_s, Dimension::Time));
        told.push(match least == most {
            true => most,
            false => format!("{least} to {most}"),
        });
    }
    if cost.wire_m > 0.0 {
        told.push(format!(
            "{} of wire",
            set.analysis.exact(cost.wire_m, Dimension::Length)
        ));
    }
    match cost.holes {
        [_, 0] => {}
        [1, 1] => told.push("1 hole".to_owned()),
        [sure, most] if sure == most => told.push(format!("{most} holes")),
        [sure, most] => told.push(format!("{sure} to {most} holes")),
    }
    told.extend(cost.money.and_then(|money| set.money(money)));
    told
}

impl Set<'_> {
    /// An amount in the job's money; none where the job names no money.
    pub fn money(&self, amount: f64) -> Option<String> {
        let currency = self.job().rates.currency.as_deref()?;
        let read = units::read_money(&format!("{amount:.2}")).ok()?;
        Some(units::print_money(read.amount, currency))
    }
}
