//! How do findings read as text, a hundred columns wide?

use std::collections::BTreeSet;

use checks::{Caution, Change, Cost, Finding, Proof, Remedy, Verdict};
use model::{Job, Units};
use units::{Dimension, Printer, System};

use crate::style::Style;

pub use page::{Page, printable, wrap};

mod page;

/// Columns before the sentence below a finding's head.
const INDENT: usize = 10;

/// Measurements to take, of a list that may be longer.
const MEASURE_AGAIN_SHOWN: usize = 8;

/// The findings that are shown of a proof, in its order.
pub struct Shown<'a> {
    pub findings: Vec<&'a Finding>,
    /// Nothing was left out, so that counts and measure-again list belong to it.
    pub all: bool,
}

/// The report on a proof.
pub fn text(job: &Job, proof: &Proof, shown: &Shown, style: Style) -> String {
    let printer = Printer {
        system: match job.units() {
            Units::Imperial => System::Imperial,
            Units::Metric => System::Metric,
        },
    };
    let mut report = Report {
        job,
        printer,
        style,
        page: Page::default(),
        cautions: BTreeSet::new(),
    };
    report.head();
    report.findings(&shown.findings);
    report.cautions();
    if shown.all {
        report.measure_again(proof);
    } else {
        let total = proof.findings.len();
        let count = shown.findings.len();
        report
            .page
            .line(&format!("{count} of {total} findings shown"));
    }
    report.counts(proof);
    report.page.text()
}

/// A value in metric and in imperial units.
pub fn in_both_systems(value: f64, dimension: Dimension) -> [String; 2] {
    [System::Metric, System::Imperial]
        .map(|system| Printer { system }.print(value, dimension, None))
}

struct Report<'a> {
    job: &'a Job,
    printer: Printer,
    style: Style,
    page: Page,
    /// Dangers that were named above.
    cautions: BTreeSet<Caution>,
}

impl Report<'_> {
    fn head(&mut self) {
        let header = &self.job.job;
        let mut head = page::printable(&header.name);
        if let Some(customer) = &header.customer {
            head.push_str(&format!(", for {}", page::printable(customer)));
        }
        if let Some(revision) = header.revision {
            head.push_str(&format!(", revision {revision}"));
        }
        self.page.line(&self.style.heading(&head));
        self.page.blank();
    }

    fn findings(&mut self, findings: &[&Finding]) {
        let mut group = None;
        let mut told = BTreeSet::new();
        for (index, finding) in findings.iter().enumerate() {
            if group != Some(&finding.space) {
                if group.is_some() {
                    self.page.blank();
                }
                group = Some(&finding.space);
                let name = match finding.space.as_deref() {
                    None => "whole house",
                    Some(id) => self.job.space(id).map_or(id, |space| space.label()),
                };
                self.page.line(&self.style.heading(&page::printable(name)));
            }
            if finding.verdict != Verdict::Unknown {
                self.finding(finding);
            } else if told.insert((&finding.space, &finding.because)) {
                // One missing fact stops many checks: it is told once for all of them.
                self.unknown(findings[index..].iter().copied().filter(|other| {
                    other.verdict == Verdict::Unknown
                        && (&other.space, &other.because) == (&finding.space, &finding.because)
                }));
            }
        }
        if findings.is_empty() {
            self.page.line("no findings");
        }
        self.page.blank();
    }

    /// Findings that wait for the same facts.
    fn unknown<'f>(&mut self, findings: impl Iterator<Item = &'f Finding>) {
        let mut mark = self.style.verdict(Verdict::Unknown);
        let mut because = "";
        for finding in findings {
            let head = format!("{}{}", page::padded(&mark, INDENT), name(finding));
            self.page.line(&head);
            mark.clear();
            because = &finding.because;
        }
        self.page.wrapped(INDENT, because);
    }

    fn finding(&mut self, finding: &Finding) {
        let mark = page::padded(&self.style.verdict(finding.verdict), INDENT);
        let left = format!("{mark}{}", name(finding));
        self.page.between(&left, &self.margin(finding));
        if finding.verdict == Verdict::Fits {
            return;
        }
        self.page.wrapped(INDENT, &finding.because);
        for decider in &finding.deciders {
            let share = decider.share * 100.0;
            let what = match decider.what.as_str() {
                what if ["the ", "what ", "how ", "whether "]
                    .iter()
                    .any(|word| what.starts_with(word)) =>
                {
                    what.to_owned()
                }
                what => format!("the {what}"),
            };
            let text = format!("decided {share:.0} % by {what}");
            self.page.wrapped(INDENT, &text);
        }
        let source = format!("limit: {}", finding.source.words());
        self.page
            .wrapped_in(INDENT, &source, |line| self.style.aside(line));
        for remedy in &finding.remedies {
            self.remedy(remedy);
        }
        self.beware(INDENT, &finding.cautions);
    }

    /// Signed margin and its uncertainty; empty while unknown.
    fn margin(&self, finding: &Finding) -> String {
        let Some(margin) = &finding.margin else {
            return String::new();
        };
        (self.printer)
            .print_margin(margin.value(), finding.dimension, finding.uncertainty())
            .to_string()
    }

    fn remedy(&mut self, remedy: &Remedy) {
        self.page.hanging_from(INDENT, "→ ", &remedy.says);
        let mut parts = self.cost(&remedy.cost);
        if let Some(effect) = &remedy.effect {
            match &effect.refused {
                Some(reason) => parts.push(format!("can't be applied: {reason}")),
                None => {
                    parts.push(format!("then it {}", verb(effect.verdict)));
                    parts.extend(changes("better", &effect.better));
                    parts.extend(changes("worse", &effect.worse));
                }
            }
        }
        if !parts.is_empty() {
            self.page.wrapped(INDENT + 2, &parts.join("; "));
        }
        self.beware(INDENT + 2, &remedy.cautions);
        let id = format!("--apply {}", page::shell_word(&remedy.id));
        self.page
            .wrapped_in(INDENT + 2, &id, |line| self.style.aside(line));
    }

    /// Names dangers; what to do about each stands once, at the end.
    fn beware(&mut self, indent: usize, cautions: &[Caution]) {
        if cautions.is_empty() {
            return;
        }
        let names: Vec<&str> = cautions
            .iter()
            .map(|caution| short(caution.words()))
            .collect();
        self.page.hanging_from(indent, "! ", &names.join("; "));
        self.cautions.extend(cautions);
    }

    fn cautions(&mut self) {
        if self.cautions.is_empty() {
            return;
        }
        self.page.line(&self.style.heading("cautions"));
        for caution in &self.cautions {
            self.page.hanging_from(0, "! ", caution.words());
        }
        self.page.blank();
    }

    fn cost(&self, cost: &Cost) -> Vec<String> {
        let mut parts = Vec::new();
        if cost.time_s[1] > 0.0 {
            let [least, most] = cost.time_s.map(minutes);
            parts.push(match least == most {
                true => most,
                false => format!("{least} to {most}"),
            });
        }
        if cost.wire_m > 0.0 {
            let length = self.printer.print(cost.wire_m, Dimension::Length, None);
            parts.push(format!("{length} more wire"));
        }
        match cost.holes {
            [_, 0] => {}
            [1, 1] => parts.push("1 hole".to_owned()),
            [sure, most] if sure == most => parts.push(format!("{most} holes")),
            [sure, most] => parts.push(format!("{sure} to {most} holes")),
        }
        if let Some(money) = cost.money.filter(|money| *money > 0.0) {
            let currency = self.job.rates.currency.as_deref().unwrap_or_default();
            parts.push(format!("{money:.2} {currency}").trim_end().to_owned());
        }
        parts
    }

    fn measure_again(&mut self, proof: &Proof) {
        let list = &proof.measure_again;
        if list.is_empty() {
            return;
        }
        self.page
            .line(&self.style.heading("measure again, most decisive first"));
        for (number, entry) in list.iter().take(MEASURE_AGAIN_SHOWN).enumerate() {
            let settles = match entry.settles.len() {
                1 => "settles 1 finding".to_owned(),
                count => format!("settles {count} findings"),
            };
            let first = format!("{:>2} ", number + 1);
            let text = format!("{} ({}): {settles}", entry.what, entry.tool);
            self.page.hanging_from(0, &first, &text);
            self.page
                .wrapped_in(3, &entry.path, |line| self.style.aside(line));
        }
        if list.len() > MEASURE_AGAIN_SHOWN {
            let more = list.len() - MEASURE_AGAIN_SHOWN;
            self.page.line(&format!("   and {more} more in `--json`"));
        }
        self.page.blank();
    }

    fn counts(&mut self, proof: &Proof) {
        let counts = proof.counts;
        let all = [
            (Verdict::Fails, counts.fails),
            (Verdict::Tight, counts.tight),
            (Verdict::Unknown, counts.unknown),
            (Verdict::Fits, counts.fits),
        ];
        let words = all.map(|(verdict, count)| format!("{} {count}", self.style.verdict(verdict)));
        self.page.line(&words.join("   "));
    }
}

/// What is checked of what.
fn name(finding: &Finding) -> String {
    let subject = page::printable(&finding.subject.label);
    format!("{}: {subject}", finding.check)
}

/// A working time, to the minute: nobody plans a job by seconds.
fn minutes(time_s: f64) -> String {
    let minutes = (time_s / 60.0).round().max(1.0);
    match ((minutes / 60.0).floor(), minutes % 60.0) {
        (0.0, minutes) => format!("{minutes:.0} min"),
        (hours, 0.0) => format!("{hours:.0} h"),
        (hours, minutes) => format!("{hours:.0} h {minutes:.0} min"),
    }
}

/// A caution's first words, before its colon.
fn short(words: &str) -> &str {
    words.split(':').next().unwrap_or(words)
}

fn verb(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "still fails",
        Verdict::Tight => "is tight",
        Verdict::Unknown => "is unknown",
        Verdict::Fits => "fits",
    }
}

/// "better: beam-clear of Projector and pendant fits", three at most.
fn changes(word: &str, changes: &[Change]) -> Option<String> {
    const NAMED: usize = 3;
    if changes.is_empty() {
        return None;
    }
    let named = changes.iter().take(NAMED).map(|change| {
        let to = match (change.from, change.to) {
            (_, None) => "falls away",
            (Some(Verdict::Fails), Some(Verdict::Fails)) if word == "better" => "fails by less",
            (Some(Verdict::Fails), Some(Verdict::Fails)) => "fails by more",
            (_, Some(Verdict::Fails)) => "fails",
            (_, Some(to)) => verb(to),
        };
        format!("{} of {} {to}", change.check, change.subject)
    });
    let mut text = format!("{word}: {}", named.collect::<Vec<_>>().join(", "));
    if changes.len() > NAMED {
        text.push_str(&format!(" and {} more", changes.len() - NAMED));
    }
    Some(text)
}
