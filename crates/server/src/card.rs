//! What the list of jobs says of each, worked out once for each revision.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use checks::{Analysis, Finding, Means, Verdict, prove_without_remedies};
use schemars::JsonSchema;
use serde::Serialize;
use view::Counts;

use crate::desk::Revision;

/// The moments of a job, in the order in which they happen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Moment {
    /// Measuring on site.
    Walk,
    /// Designing until everything fits.
    Fit,
    /// Offering it.
    Quote,
    /// Loading the van.
    Load,
    /// Fitting on site.
    Day,
    /// Measuring and setting what was fitted.
    Tune,
    /// Handing it over.
    Handover,
    /// Coming back.
    Return,
}

/// How many findings wait to be settled in a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct OpenAt {
    /// The moment.
    pub moment: Moment,
    /// How many.
    pub open: usize,
}

impl Moment {
    const ALL: [Self; 8] = [
        Self::Walk,
        Self::Fit,
        Self::Quote,
        Self::Load,
        Self::Day,
        Self::Tune,
        Self::Handover,
        Self::Return,
    ];

    /// Where an open finding is settled: what is measured on site in the walk, all else at
    /// the desk. None for one that fits.
    fn settling(finding: &Finding) -> Option<Self> {
        match finding.verdict {
            Verdict::Fits => None,
            Verdict::Unknown if finding.needs.iter().any(|need| is_on_site(need.means)) => {
                Some(Self::Walk)
            }
            Verdict::Unknown | Verdict::Tight | Verdict::Fails => Some(Self::Fit),
        }
    }
}

/// How many findings wait in each moment, in order.
pub fn by_moment<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Vec<OpenAt> {
    let mut all: Vec<OpenAt> = (Moment::ALL.into_iter())
        .map(|moment| OpenAt { moment, open: 0 })
        .collect();
    for moment in findings.into_iter().filter_map(Moment::settling) {
        for at in all.iter_mut().filter(|at| at.moment == moment) {
            at.open += 1;
        }
    }
    all
}

fn is_on_site(means: Means) -> bool {
    match means {
        Means::Tape
        | Means::StudFinder
        | Means::LightMeter
        | Means::Thermometer
        | Means::SoundLevelMeter
        | Means::Look => true,
        Means::SpecSheet | Means::Decide | Means::LocalCode | Means::OutsideModel => false,
    }
}

/// The first moment in which something is open; with nothing open, it can be quoted.
pub fn next(open: &[OpenAt]) -> Moment {
    (open.iter().find(|at| at.open > 0)).map_or(Moment::Quote, |at| at.moment)
}

/// What a card says of a revision besides what the store knows.
#[derive(Clone, Debug)]
pub struct Card {
    /// For whom.
    pub customer: Option<String>,
    /// How many spaces it has.
    pub spaces: usize,
    /// Its findings.
    pub counts: Counts,
    /// What is next.
    pub next: Moment,
}

/// Cards of jobs at their last known revision.
#[derive(Clone, Default)]
pub struct Cards(Arc<Mutex<BTreeMap<String, (Revision, Card)>>>);

impl Cards {
    /// The card of a revision, if it was made.
    pub fn get(&self, job: &str, revision: Revision) -> Option<Card> {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (of, card) = known.get(job)?;
        (*of == revision).then(|| card.clone())
    }

    /// Makes the card of a revision; none when the document does not read.
    pub fn make(&self, job: &str, revision: Revision, text: &str) -> Option<Card> {
        let read = model::read(text, &checks::limit_names()).ok()?;
        let proof = prove_without_remedies(&Analysis::new(Arc::new(read.clone())));
        let card = Card {
            customer: read.job.customer.clone(),
            spaces: read.space.len(),
            counts: view::counts(&proof.findings),
            next: next(&by_moment(&proof.findings)),
        };
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        known.insert(job.to_owned(), (revision, card.clone()));
        Some(card)
    }
}
