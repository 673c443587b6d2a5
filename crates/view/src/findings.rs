//! A proof's findings as every door shows them.

use std::collections::BTreeMap;

use analysis::{Analysis, Limit, VariableName};
use checks::{Again, Area, Check, Proof, Proved, Source, Verdict as Checked};
use model::{Job, Region, Space};
use serde::Serialize;
use serde_json::Value;
use uncertainty::SourceId;
use units::{Dimension, in_both_systems};

use crate::about::about;
use crate::finding::*;
use crate::tellings::Told;
use crate::words::words;
use crate::{document, fact};

/// Facts named with a finding: more are not read.
const INPUTS_SHOWN: usize = 16;
/// A smaller share of the variance is not told.
const SHARE_MIN: f64 = 0.005;

/// Everything that was found out, without or with the effects of remedies as the proof has
/// them. `analysis` must be the one that was proved: it knows what uncertainties stem from.
pub fn findings(analysis: &Analysis, proof: &Proof) -> Findings {
    let all: Vec<&checks::Finding> = proof.findings.iter().collect();
    findings_shown(analysis, proof, &all)
}

/// As [`findings`], with only some of the proof's findings told in full.
pub fn findings_shown(analysis: &Analysis, proof: &Proof, shown: &[&checks::Finding]) -> Findings {
    let mut teller = Teller::of(analysis);
    let told = shown.iter().map(|one| teller.finding(one)).collect();
    concluded(analysis, proof, told)
}

/// What is told of findings, with all that is told of them together.
pub(crate) fn concluded<F>(analysis: &Analysis, proof: &Proof, told: Vec<F>) -> Findings<F> {
    let job = analysis.job();
    Findings {
        job: job.job.name.clone(),
        revision: job.job.revision,
        findings: told,
        measure_again: proof.measure_again.iter().map(MeasureAgain::from).collect(),
        counts: counts(&proof.findings),
        by_space: by_space(job, &proof.findings),
        by_area: by_area(&proof.findings),
    }
}

/// One finding. `analysis` must be the one that was proved.
pub fn finding(analysis: &Analysis, finding: &checks::Finding) -> Finding {
    Teller::of(analysis).finding(finding)
}

/// Tells findings of one proved job. Many speak of the same things, each of which is looked up once.
pub(crate) struct Teller<'a> {
    analysis: &'a Analysis,
    /// Its job: what is told of a finding is not told from all of it.
    job: &'a Job,
    /// Facts that something may be uncertain for, without shares.
    sources: BTreeMap<SourceId, Input>,
    /// Places of things, by the thing's path.
    places: BTreeMap<String, Vec<Input>>,
}

impl<'a> Teller<'a> {
    pub(crate) fn of(analysis: &'a Analysis) -> Self {
        Self {
            analysis,
            job: analysis.job(),
            sources: BTreeMap::new(),
            places: BTreeMap::new(),
        }
    }

    pub(crate) fn analysis(&self) -> &'a Analysis {
        self.analysis
    }

    pub(crate) fn finding(&mut self, finding: &checks::Finding) -> Finding {
        let analysis = self.analysis;
        let printer = analysis.printer();
        let dimension = finding.dimension;
        let spread = finding.uncertainty();
        let about = about(analysis, finding);
        let margin = (finding.margin.as_ref())
            .map(|margin| printer.print_margin(margin.value(), dimension, spread));
        Finding {
            key: key(finding),
            check: finding.check,
            area: finding.area.word(),
            title: title(finding.check),
            subject: Subject {
                id: finding.subject.id.clone(),
                label: finding.subject.label.clone(),
            },
            space: finding.space.clone(),
            about: about.clone(),
            value: finding.value.as_ref().map(|value| value.value()),
            limit: finding.limit,
            unit: si_unit(dimension),
            margin: finding.margin.as_ref().map(|margin| margin.value()),
            uncertainty: spread,
            value_text: (finding.value.as_ref()).map(|value| analysis.print(value, dimension)),
            limit_text: (finding.limit).map(|limit| printer.print(limit, dimension, None)),
            margin_text: margin.as_ref().map(|told| told.margin.clone()),
            uncertainty_text: margin.and_then(|told| told.uncertainty),
            bar: bar(finding),
            verdict: finding.verdict.into(),
            because: finding.because.clone(),
            source: finding.source.words(),
            needs: (finding.needs.iter())
                .map(|missing| Need {
                    what: missing.what.clone(),
                    at: missing.at.clone(),
                    tool: missing.means.tool(),
                })
                .collect(),
            deciders: (finding.deciders.iter())
                .map(|decider| Decider {
                    what: decider.what.clone(),
                    at: decider.path.clone(),
                    share: decider.share,
                })
                .collect(),
            inputs: self.inputs(finding, &about),
            remedies: finding.remedies.iter().map(Remedy::from).collect(),
            cautions: caution_words(&finding.cautions),
        }
    }

    /// Sources of the margin's uncertainty by share, then where the things it speaks of are.
    fn inputs(&mut self, finding: &checks::Finding, about: &[String]) -> Vec<Input> {
        let mut inputs: Vec<Input> = Vec::new();
        if let Some(margin) = &finding.margin {
            let variance = margin.standard_uncertainty().powi(2);
            let mut shares: Vec<_> = (margin.budget().iter())
                .map(|(id, part)| (part * part / variance, *id))
                .filter(|(share, _)| share.is_finite() && *share >= SHARE_MIN)
                .collect();
            shares.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            for (share, id) in shares.into_iter().take(INPUTS_SHOWN) {
                let share = Some(share);
                let source = self.sources.entry(id);
                let source = source
                    .or_insert_with(|| source_of(self.analysis, self.job, id))
                    .clone();
                inputs.push(Input { share, ..source });
            }
        }
        if inputs.len() == INPUTS_SHOWN {
            return inputs;
        }
        for body in about {
            for place in self.places(finding.space.as_deref(), body) {
                if inputs.len() < INPUTS_SHOWN && inputs.iter().all(|known| known.at != place.at) {
                    inputs.push(place.clone());
                }
            }
        }
        inputs
    }

    /// Where a thing that a finding of a space speaks of is written to be, and how large.
    fn places(&mut self, space: Option<&str>, body: &str) -> &[Input] {
        let root = match (body.split_once(':'), space) {
            (Some(("item", id)), _) => format!("item.{id}"),
            (Some((kind, id)), Some(space)) => format!("space.{space}.{kind}.{id}"),
            _ => return &[],
        };
        (self.places.entry(root)).or_insert_with_key(|root| places(self.job, root))
    }
}

/// The fact that a number is uncertain for, without its share.
fn source_of(analysis: &Analysis, job: &Job, id: SourceId) -> Input {
    match analysis.variable(id) {
        VariableName::Measured { path, text } => Input {
            what: fact::name_of(job, &path),
            how: (analysis.measurement_of(id)).map_or("stated", |one| fact::how(job, one)),
            text: Some(text),
            at: path,
            share: None,
        },
        VariableName::Assumed { what, path } => Input {
            what,
            at: path,
            text: None,
            how: "assumed",
            share: None,
        },
    }
}

/// Where the thing of that path is written to be, and how large.
fn places(job: &Job, root: &str) -> Vec<Input> {
    let written = match root.split('.').collect::<Vec<_>>()[..] {
        ["item", id] => (job.item(id)).and_then(|item| serde_json::to_value(item).ok()),
        ["space", space, kind, id] => {
            (job.space(space)).and_then(|space| written_in(space, kind, id))
        }
        _ => None,
    };
    let mut facts = Vec::new();
    document::leaves(&written.unwrap_or_default(), root, &mut facts);
    let mut places = Vec::new();
    for (path, _) in facts {
        // The latest where it was edited.
        if let Some(measurement) = fact::measurement(job, &path) {
            places.push(Input {
                what: fact::name_of(job, &path),
                text: Some(measurement.text.clone()),
                how: fact::how(job, measurement),
                share: None,
                at: path,
            });
        }
    }
    places
}

/// `check~space~subject`: unique in a job.
pub fn key(finding: &checks::Finding) -> String {
    let space = finding.space.as_deref().unwrap_or_default();
    key_of(finding.check, space, &finding.subject.id)
}

/// As [`key`], of a finding that there need not be any more.
pub fn key_of(check: &str, space: &str, subject: &str) -> String {
    format!("{check}~{space}~{subject}")
}

/// A check's question in short words.
pub(crate) fn title(check: &str) -> String {
    words(check)
}

/// How an edited copy's findings differ, for a drag that waits for the answer.
pub fn delta(again: &Again) -> Delta {
    let mut teller = Teller::of(again.proved.analysis());
    let changed = again.changed.iter();
    let gone = again.gone.iter();
    Delta {
        changed: changed
            .map(|one| Told::from(&teller.finding(one)))
            .collect(),
        gone: gone
            .map(|(check, space, subject)| {
                key_of(check, space.as_deref().unwrap_or_default(), subject)
            })
            .collect(),
        counts: counts(again.proved.findings()),
    }
}

/// As [`delta`], between any two proved jobs.
pub fn delta_between(before: &Proved, after: &Proved) -> Delta {
    let old: BTreeMap<String, &checks::Finding> =
        before.findings().map(|one| (key(one), one)).collect();
    let new: BTreeMap<String, &checks::Finding> =
        after.findings().map(|one| (key(one), one)).collect();
    let differs = |one: &&checks::Finding| old.get(&key(one)) != Some(one);
    let changed = after.findings().filter(differs);
    let mut teller = Teller::of(after.analysis());
    let gone = old.keys().filter(|key| !new.contains_key(*key));
    Delta {
        changed: changed
            .map(|one| Told::from(&teller.finding(one)))
            .collect(),
        gone: gone.cloned().collect(),
        counts: counts(after.findings()),
    }
}

/// How many findings have each verdict.
pub fn counts<'a>(findings: impl IntoIterator<Item = &'a checks::Finding>) -> Counts {
    let mut counts = Counts::default();
    for finding in findings {
        counts.add(finding.verdict);
    }
    counts
}

impl Counts {
    fn add(&mut self, verdict: Checked) {
        match verdict {
            Checked::Fits => self.fits += 1,
            Checked::Tight => self.tight += 1,
            Checked::Fails => self.fails += 1,
            Checked::Unknown => self.unknown += 1,
        }
    }
}

fn by_space(job: &Job, findings: &[checks::Finding]) -> Vec<SpaceCounts> {
    let spaces = job.space.iter().map(|space| Some(space.id.clone()));
    spaces
        .chain([None])
        .map(|space| SpaceCounts {
            counts: counts(findings.iter().filter(|finding| finding.space == space)),
            space,
        })
        .collect()
}

fn by_area(findings: &[checks::Finding]) -> Vec<AreaCounts> {
    (Area::ALL.into_iter())
        .map(|area| AreaCounts {
            area: area.word(),
            counts: counts(findings.iter().filter(|finding| finding.area == area)),
        })
        .collect()
}

fn bar(finding: &checks::Finding) -> Option<Bar> {
    let margin = finding.margin.as_ref()?.value();
    let uncertainty = finding.uncertainty()?;
    let reach = margin.abs() + uncertainty;
    (reach.is_finite()).then(|| Bar {
        margin,
        uncertainty,
        scale: one_two_five_up(reach),
    })
}

/// The least of …, 0.1, 0.2, 0.5, 1, 2, 5, … that is no less than a length; 1 for 0.
fn one_two_five_up(reach: f64) -> f64 {
    if reach <= 0.0 {
        return 1.0;
    }
    let decade = 10_f64.powf(reach.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0];
    let step = steps.into_iter().find(|step| step * decade >= reach);
    step.unwrap_or(10.0) * decade
}

/// A seat, fixture, opening or soffit as it is written: it alone, since a room is long.
fn written_in(space: &Space, kind: &str, id: &str) -> Option<Value> {
    fn one<T: Serialize>(list: &[T], is: impl Fn(&T) -> bool) -> Option<Value> {
        let found = list.iter().find(|one| is(one))?;
        serde_json::to_value(found).ok()
    }
    match kind {
        "seat" => one(&space.seat, |seat| seat.id == id),
        "fixture" => one(&space.fixture, |fixture| fixture.id == id),
        "opening" => one(&space.opening, |opening| opening.id == id),
        "soffit" => one(&space.soffit, |soffit| soffit.id == id),
        _ => None,
    }
}

/// A check's manual.
pub fn manual(check: &Check) -> Manual {
    Manual {
        id: check.id,
        area: check.area.word(),
        title: title(check.id),
        proves: check.proves,
        matters: check.matters,
        formula: check.formula,
        source: Sourced::from(&check.source),
        when_it_fails: check.when_it_fails,
        published: (check.published.iter())
            .map(|value| {
                let computed = (value.computed)();
                PublishedValue {
                    cite: value.cite,
                    expected: value.expected,
                    computed: computed.is_finite().then_some(computed),
                    tolerance: value.tolerance,
                    unit: value.unit,
                    holds: value.holds(),
                }
            })
            .collect(),
        limits: (check.limits.iter().copied()).map(told_limit).collect(),
    }
}

/// Every limit that a house may change, by area and name.
pub fn limits() -> Vec<HouseLimit> {
    let mut limits: Vec<HouseLimit> = Vec::new();
    for check in checks::all() {
        for limit in check.limits {
            match limits.iter_mut().find(|told| told.limit.name == limit.name) {
                Some(told) => told.checks.push(check.id),
                None => limits.push(HouseLimit {
                    limit: told_limit(limit),
                    regional: (limit.regional.iter())
                        .map(|(region, value, _)| {
                            let text = in_both_systems(*value, limit.dimension);
                            [region_words(*region).to_owned(), text]
                        })
                        .collect(),
                    area: check.area.word(),
                    checks: vec![check.id],
                }),
            }
        }
    }
    limits.sort_by_key(|told| (told.area, told.limit.name));
    limits
}

fn region_words(region: Region) -> &'static str {
    match region {
        Region::Us => "in the United States and Canada",
        Region::Eu => "in Europe",
    }
}

fn told_limit(limit: &Limit) -> ManualLimit {
    ManualLimit {
        name: limit.name,
        meaning: limit.meaning,
        text: in_both_systems(limit.value, limit.dimension),
        source: limit.source.words(),
    }
}

impl From<&Source> for Sourced {
    fn from(source: &Source) -> Self {
        Self {
            words: source.words(),
            mark: match source {
                Source::Published { .. } => SourceMark::Published,
                Source::Derived { .. } => SourceMark::Derived,
                Source::CommonPractice => SourceMark::CommonPractice,
                Source::FromMemory { .. } => SourceMark::FromMemory,
                Source::SpecSheet => SourceMark::SpecSheet,
                Source::Agreed { .. } => SourceMark::Agreed,
            },
        }
    }
}

impl From<&model::Edit> for Edit {
    fn from(edit: &model::Edit) -> Self {
        Self {
            at: edit.at.clone(),
            set: edit.set.clone(),
        }
    }
}

impl From<Edit> for model::Edit {
    fn from(edit: Edit) -> Self {
        Self {
            at: edit.at,
            set: edit.set,
        }
    }
}

impl From<&checks::Remedy> for Remedy {
    fn from(remedy: &checks::Remedy) -> Self {
        Self {
            id: remedy.id.clone(),
            says: remedy.says.clone(),
            edits: remedy.edits.iter().map(Edit::from).collect(),
            time_s: remedy.cost.usual_time_s(),
            wire_m: remedy.cost.wire_m,
            holes: remedy.cost.holes[1],
            money: remedy.cost.money,
            cautions: caution_words(&remedy.cautions),
            effect: remedy.effect.as_ref().map(|effect| Effect {
                verdict: effect.verdict.into(),
                better: effect.better.iter().map(Change::from).collect(),
                worse: effect.worse.iter().map(Change::from).collect(),
                refused: effect.refused.clone(),
            }),
        }
    }
}

impl From<&checks::Change> for Change {
    fn from(change: &checks::Change) -> Self {
        Self {
            check: change.check,
            subject: change.subject.clone(),
            from: change.from.map(Verdict::from),
            to: change.to.map(Verdict::from),
            from_margin: change.from_margin,
            to_margin: change.to_margin,
        }
    }
}

impl From<&checks::MeasureAgain> for MeasureAgain {
    fn from(entry: &checks::MeasureAgain) -> Self {
        Self {
            what: entry.what.clone(),
            at: entry.path.clone(),
            tool: entry.tool,
            blank: entry.blank,
            settles: (entry.settles.iter())
                .map(|(check, subject)| Settled {
                    check,
                    subject: subject.clone(),
                })
                .collect(),
        }
    }
}

impl Verdict {
    /// The word that people read.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fails => "fails",
            Self::Tight => "tight",
            Self::Unknown => "unknown",
            Self::Fits => "fits",
        }
    }
}

impl From<Checked> for Verdict {
    fn from(verdict: Checked) -> Self {
        match verdict {
            Checked::Fails => Self::Fails,
            Checked::Tight => Self::Tight,
            Checked::Unknown => Self::Unknown,
            Checked::Fits => Self::Fits,
        }
    }
}

pub(crate) fn caution_words(cautions: &[checks::Caution]) -> Vec<&'static str> {
    cautions.iter().map(|caution| caution.words()).collect()
}

/// The symbol of a dimension's SI unit.
fn si_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "m",
        Dimension::Angle => "rad",
        Dimension::Area => "m²",
        Dimension::Volume => "m³",
        Dimension::Illuminance => "lx",
        Dimension::LuminousFlux => "lm",
        Dimension::Luminance => "cd/m²",
        Dimension::Level => "dB",
        Dimension::Power => "W",
        Dimension::Voltage => "V",
        Dimension::Current => "A",
        Dimension::Resistance => "Ω",
        Dimension::Mass => "kg",
        Dimension::Temperature => "°C",
        Dimension::TemperatureDifference => "K",
        Dimension::Frequency => "Hz",
        Dimension::Time => "s",
        Dimension::Ratio | Dimension::Factor => "1",
        Dimension::DataRate => "bit/s",
        Dimension::Force => "N",
        Dimension::WireArea => "m²",
        Dimension::Speed => "m/s",
    }
}

#[cfg(test)]
mod tests {
    use super::one_two_five_up;

    #[test]
    fn a_bar_reaches_past_its_margin() {
        for (reach, scale) in [
            (0.0, 1.0),
            (0.019, 0.02),
            (0.02, 0.02),
            (3.4, 5.0),
            (51.0, 100.0),
        ] {
            let found = one_two_five_up(reach);
            assert!((found - scale).abs() < 1e-9 * scale, "{reach}: {found}");
        }
    }
}
